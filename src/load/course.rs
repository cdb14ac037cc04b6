//! A whole course as written: settings, lessons, question banks, pictures.

use std::collections::{BTreeMap, BTreeSet};

use super::bank::Bank;
use super::files::{Files, Unlisted, WhyUnlisted};
use super::lesson::Lesson;
use super::listed::{LessonList, lessons_there};
use super::own::{Own, load_own};
use super::pictures::list_pictures;
use super::settings::{CourseFile, load_settings};
use super::text::{TEXT_LIMIT, read_text};
use super::unread::{FOLDERS, elsewhere, rename, tell_unread, words_file};
use crate::notation::{as_name, is_name};
use crate::parallel::in_parallel;
use crate::problem::{Problem, Problems, Source, code};

/// A course as written.
#[derive(Debug)]
pub struct Manuscript {
    /// `course.yaml`, with its text; without text where it could not be read.
    pub source: Source,
    /// Its typed values, or stand-ins for them.
    pub settings: CourseFile,
    /// The lessons in the order of the course; those that could not be read are left out.
    pub lessons: Vec<Lesson>,
    /// The question banks by name.
    pub banks: BTreeMap<String, Bank>,
    /// Names of the pictures, `images/gun.png`.
    pub images: BTreeSet<String>,
    /// The course's own cautions, terms, phrases, attachments and template parts.
    pub own: Own,
    /// Names of all listed lessons that have a file, whether or not it could be read.
    pub lesson_names: BTreeSet<String>,
    /// Names of all question banks that have a file, whether or not it could be read.
    pub bank_names: BTreeSet<String>,
}

/// Reads a course as it is written: all that can be read, together with everything that is wrong with it. Whoever also
/// makes its lessons reads them one by one ([`LessonFiles::read`]), so that not all texts are in memory.
pub fn load(files: &dyn Files, threads: usize) -> (Manuscript, Problems) {
    let (Syllabus { source, settings, images, lessons }, mut problems) = Syllabus::read(files);
    let (Rest { banks, bank_names, own }, found) = load_rest(files, &settings);
    problems.extend(found);
    let read = in_parallel(&lessons.listed, threads, |stem| lessons.read(files, stem));
    let lesson_names = lessons.listed.into_iter().collect();
    let lessons = read.into_iter().filter_map(|(lesson, found)| {
        problems.extend(found);
        lesson
    });
    let lessons = lessons.collect();
    (Manuscript { source, settings, lessons, banks, images, own, lesson_names, bank_names }, problems)
}

/// What is read of a course first: its settings, and which lessons it has.
#[derive(Debug)]
pub struct Syllabus {
    /// `course.yaml`, with its text; without text where it could not be read.
    pub source: Source,
    /// Its typed values, or stand-ins for them.
    pub settings: CourseFile,
    /// Names of the pictures, `images/gun.png`.
    pub images: BTreeSet<String>,
    /// Which lessons there are.
    pub lessons: LessonFiles,
}

/// Lessons that are still to be read.
#[derive(Debug)]
pub struct LessonFiles {
    /// Names of those that are worth reading, in the order of the course. Where `course.yaml` does not say which these
    /// are, all lessons of the folder.
    pub listed: Vec<String>,
    /// The files of all lessons in the course's language, by their names without it.
    there: BTreeMap<String, String>,
}

/// What is read of a course besides its settings and lessons.
#[derive(Debug)]
pub struct Rest {
    /// The question banks by name.
    pub banks: BTreeMap<String, Bank>,
    /// Names of all question banks that have a file, whether or not it could be read.
    pub bank_names: BTreeSet<String>,
    /// The course's own cautions, terms, phrases, attachments and template parts.
    pub own: Own,
}

impl Syllabus {
    /// Reads the settings, and lists lessons and pictures.
    pub fn read(files: &dyn Files) -> (Syllabus, Problems) {
        let mut problems = Problems::new();
        let images = list_pictures(files, &mut problems);
        let there = |language: &str| files.in_language("lessons", language);
        let (source, settings, read) = load_settings(files, there, &images, &mut problems);
        let (listed, there) = match read {
            Some(LessonList { order, there }) => (order, there),
            None => {
                let there = files.in_language("lessons", &settings.language);
                (lessons_there(&there), there)
            }
        };
        (Syllabus { source, settings, images, lessons: LessonFiles { listed, there } }, problems)
    }
}

impl LessonFiles {
    /// One of the lessons, with its problems; nothing but these where it cannot be read.
    pub fn read(&self, files: &dyn Files, stem: &str) -> (Option<Lesson>, Problems) {
        let mut problems = Problems::new();
        let plain = format!("{stem}.md");
        let lesson = match read_text(files, self.there.get(&plain).unwrap_or(&format!("lessons/{plain}"))) {
            Ok(source) => Lesson::read(stem, source, &mut problems),
            Err(problem) => {
                problems.push(problem);
                None
            }
        };
        (lesson, problems)
    }
}

/// Reads what there is besides settings and lessons.
pub fn load_rest(files: &dyn Files, settings: &CourseFile) -> (Rest, Problems) {
    let mut problems = Problems::new();
    let language = settings.language.as_str();
    for folder in FOLDERS {
        problems.extend(files.unlisted(folder).into_iter().map(unlisted_problem));
    }
    for folder in ["lessons", "questions"] {
        problems.extend(files.unlisted(&format!("{folder}/{language}")).into_iter().map(unlisted_problem));
    }
    let (banks, bank_names) = load_banks(files, language, &mut problems);
    let own = load_own(files, settings, &mut problems);
    tell_unread(files, language, &mut problems);
    (Rest { banks, bank_names, own }, problems)
}

/// What would otherwise be silently missing from the site.
fn unlisted_problem(unlisted: Unlisted) -> Problem {
    let (title, help) = match unlisted.why {
        WhyUnlisted::Outside => (
            "this folder leads out of the course, and nothing outside it is read".to_owned(),
            "copy the files into a folder of the course",
        ),
        WhyUnlisted::Name => (
            "the name of this file is not UTF-8, so nothing can refer to it".to_owned(),
            "rename the file, for example to lowercase letters and hyphens",
        ),
        WhyUnlisted::NotAFile => {
            ("a file is expected here, and this is something else".to_owned(), "move it out of the course folder")
        }
        WhyUnlisted::System(words) => {
            (format!("this folder cannot be read: {words}"), "allow reading it, or remove it")
        }
    };
    Problem::new(code::FOLDER_UNREAD, title, unlisted.name).help(help)
}

fn load_banks(
    files: &dyn Files,
    language: &str,
    problems: &mut Problems,
) -> (BTreeMap<String, Bank>, BTreeSet<String>) {
    let (mut banks, mut names) = (BTreeMap::new(), BTreeSet::new());
    for (name, file) in files.in_language("questions", language) {
        let (stem, ending) = name.rsplit_once('.').unwrap_or((&name, ""));
        if !matches!(ending.to_ascii_lowercase().as_str(), "yaml" | "yml") {
            let title = "this file is not a question bank, and nothing else in this folder is read";
            let help = match stem.strip_suffix(".yaml").or(stem.strip_suffix(".yml")) {
                Some(bank) => rename(files, "questions/", &format!("{}.yaml", as_name(bank))),
                None => "move it out of the folder `questions/`".to_owned(),
            };
            problems.push(Problem::new(code::FILE_NOT_READ, title, file).help(help));
            continue;
        }
        if ending != "yaml" || !is_name(stem) {
            let title = "a question bank is a file `name.yaml` in lowercase letters, digits and hyphens";
            let named = as_name(stem);
            let help = rename(files, "questions/", &format!("{named}.yaml"));
            problems.push(Problem::new(code::BANK_FILE_NAME, title, file).help(help));
            names.insert(named);
            continue;
        }
        if let Some(words) = words_file(&name)
            && files.read(&file, TEXT_LIMIT).is_ok_and(|text| !text.windows(10).any(|part| part == b"questions:"))
        {
            problems.push(elsewhere(file, format!("move it to `{words}`, beside `course.yaml`")));
            continue;
        }
        names.insert(stem.to_owned());
        match read_text(files, &file) {
            Ok(source) => {
                if let Some(bank) = Bank::read(stem, source, problems) {
                    banks.insert(stem.to_owned(), bank);
                }
            }
            Err(problem) => problems.push(problem),
        }
    }
    (banks, names)
}

#[cfg(test)]
mod tests {
    use super::super::files::Memory;
    use super::*;

    fn loaded(files: &[(&'static str, &'static str)]) -> (Manuscript, Vec<(&'static str, String)>) {
        let mut memory = Memory::new();
        for (name, text) in files {
            memory.add(*name, text.as_bytes());
        }
        let (course, mut problems) = load(&memory, 2);
        problems.sort();
        (course, problems.into_iter().map(|problem| (problem.code, problem.file.to_string())).collect())
    }

    const COURSE: &str = "id: demo\ntitle: T\ncompany: C\nlessons: [one, two]\n";
    const LESSON: &str = "---\ntitle: L\nsummary: S\n---\nText.\n";

    #[test]
    fn a_course_has_its_lessons_in_its_own_order() {
        let (course, problems) = loaded(&[
            ("course.yaml", "id: demo\ntitle: T\ncompany: C\nlessons: [two, one]\n"),
            ("lessons/one.md", LESSON),
            ("lessons/two.md", LESSON),
            ("images/a.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"/>"),
        ]);
        assert_eq!(course.lessons.iter().map(|lesson| lesson.stem.as_str()).collect::<Vec<_>>(), ["two", "one"]);
        assert!(course.images.contains("images/a.svg"));
        assert_eq!(problems, []);
    }

    #[test]
    fn every_problem_of_a_course_is_reported_in_one_run() {
        let (course, problems) = loaded(&[
            ("course.yaml", "id: Demo\ntitle: T\ncompany: C\nlessons: [one, oen, one, two.md, ../up]\n"),
            ("lessons/one.md", "# no header\n"),
            ("lessons/left.md", LESSON),
            ("questions/first.yaml", "id: first\n"),
        ]);
        assert_eq!(course.lesson_names.len(), 1);
        let codes: Vec<_> = problems.iter().map(|(code, _)| *code).collect();
        assert_eq!(
            codes,
            [
                "name-form",
                "lesson-missing",
                "duplicate-id",
                "name-form",
                "name-form",
                "lesson-unlisted",
                "header-missing",
                "missing-key",
                "missing-key"
            ]
        );
    }

    #[test]
    fn a_folder_without_settings_names_the_file_that_is_missing() {
        let (course, problems) = loaded(&[("lessons/one.md", LESSON)]);
        assert_eq!(course.lessons.len(), 1, "it is read for its own problems");
        assert_eq!(problems, [("file-missing", "course.yaml".to_owned())]);
        assert_eq!(loaded(&[("course.yaml", COURSE)]).1.len(), 2);
    }

    #[test]
    fn a_bracket_before_a_million_blanks_makes_a_short_message() {
        let mut memory = Memory::new();
        memory.add("course.yaml", format!("lessons: [l{}", " ".repeat(1_000_000)).into_bytes());
        let drawn = load(&memory, 1).1.draw(crate::problem::Style::Plain);
        assert!(drawn.contains("course.yaml:1:10") && drawn.len() < 2_000, "{} bytes", drawn.len());
    }
}
