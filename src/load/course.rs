//! A whole course as written: settings, lessons, question banks, pictures.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Deserialize;

use super::bank::Bank;
use super::exam::{ExamFile, check_exam};
use super::face::{Colours, Titled, check_face};
use super::files::{Files, Unlisted, WhyUnlisted};
use super::lesson::Lesson;
use super::own::{Own, load_own};
use super::pictures::list_pictures;
use super::text::{TEXT_LIMIT, read_text};
use super::unread::{FOLDERS, elsewhere, rename, tell_unread, words_file};
use crate::catalogue::{self, first_language};
use crate::notation::{NAME_PATTERN, SAYS_SOMETHING, Units, as_name, is_name};
use crate::parallel::in_parallel;
use crate::problem::{ASKED, Problem, Problems, Source, code, nearest};
use crate::yaml::{Document, Seen, check_name, not_blank, or_default};

/// `course.yaml` as typed.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CourseFile {
    /// Names what a browser stores for this course.
    #[schemars(regex(pattern = NAME_PATTERN), length(max = 80))]
    pub id: String,
    /// Title of the course.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub title: String,
    /// Who gives the course.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub company: String,
    /// Language of the phrases: a code such as `en` or `es`.
    #[schemars(regex(pattern = "^[A-Za-z0-9]{2,8}(-[A-Za-z0-9]{2,8})*$"))]
    #[serde(default = "first_language", deserialize_with = "or_first")]
    pub language: String,
    /// Units shown first.
    #[serde(default, deserialize_with = "or_default")]
    pub units: Units,
    /// Whom to ask.
    pub contact: Option<String>,
    /// A few sentences for the first page.
    pub summary: Option<String>,
    /// The company's logo, `images/logo.svg`.
    pub logo: Option<String>,
    /// The company's colors.
    #[serde(default, deserialize_with = "or_default")]
    pub colours: Colours,
    /// The same, in American spelling.
    pub colors: Option<Colours>,
    /// The company's own line for the foot of every page, inline CommonMark.
    pub footer: Option<String>,
    /// Titles of files in `attachments/`, in the order in which they are listed.
    #[serde(default, deserialize_with = "or_default")]
    pub attachments: Vec<Titled>,
    /// Names of the lesson files without `.md`, in order.
    #[schemars(length(min = 1), inner(regex(pattern = NAME_PATTERN)))]
    pub lessons: Vec<String>,
    /// Whether browsers keep the course for use without a signal.
    #[serde(default = "yes", deserialize_with = "or_true")]
    pub offline: bool,
    /// What is different from the usual mock exam.
    #[serde(default, deserialize_with = "or_default")]
    pub exam: ExamFile,
}

fn or_first<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    Ok(Option::deserialize(deserializer)?.unwrap_or_else(first_language))
}

fn yes() -> bool {
    true
}

fn or_true<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<bool, D::Error> {
    Ok(Option::deserialize(deserializer)?.unwrap_or_else(yes))
}

impl CourseFile {
    /// The company's colors, however they are spelled.
    pub fn face(&self) -> &Colours {
        self.colors.as_ref().unwrap_or(&self.colours)
    }

    /// Stand-ins for settings that cannot be read, so that the lessons are still checked.
    fn stand_in() -> Self {
        Self {
            id: "course".to_owned(),
            title: String::new(),
            company: String::new(),
            language: first_language(),
            units: Units::default(),
            contact: None,
            summary: None,
            logo: None,
            colours: Colours::default(),
            colors: None,
            footer: None,
            attachments: Vec::new(),
            lessons: Vec::new(),
            offline: true,
            exam: ExamFile::default(),
        }
    }
}

/// A course as written.
#[derive(Debug)]
pub struct Manuscript {
    /// `course.yaml`, with its text; without text where it could not be read.
    pub source: Source,
    /// Its typed values, or what stands in for them.
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

/// Reads a course: all that can be read, together with everything that is wrong with it.
///
/// Where `course.yaml` does not say which lessons there are, all lessons of the folder are read.
pub fn load(files: &dyn Files, threads: usize) -> (Manuscript, Problems) {
    let mut problems = Problems::new();
    let images = list_pictures(files, &mut problems);
    let (source, settings, listed) = load_settings(files, &images, &mut problems);
    let language = settings.language.as_str();
    for folder in FOLDERS {
        problems.extend(files.unlisted(folder).into_iter().map(unlisted_problem));
    }
    for folder in ["lessons", "questions"] {
        problems.extend(files.unlisted(&format!("{folder}/{language}")).into_iter().map(unlisted_problem));
    }
    let (banks, bank_names) = load_banks(files, language, &mut problems);
    let own = load_own(files, &settings, &mut problems);
    tell_unread(files, language, &mut problems);
    let there = files.in_language("lessons", language);
    let listed = listed.unwrap_or_else(|| lessons_there(files, language));
    let lessons = load_lessons(files, &there, &listed, threads, &mut problems);
    let lesson_names = listed.into_iter().collect();
    (Manuscript { source, settings, lessons, banks, images, own, lesson_names, bank_names }, problems)
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

/// The settings, and the lessons that they list, if they do.
fn load_settings(
    files: &dyn Files,
    images: &BTreeSet<String>,
    problems: &mut Problems,
) -> (Source, CourseFile, Option<Vec<String>>) {
    let source = match read_text(files, "course.yaml") {
        Ok(source) => source,
        Err(problem) => {
            let there = files.list("");
            let near = ["course.yml", "course.yaml", "course.yaml.txt", "course.yml.txt"];
            let other = there.iter().find(|name| near.contains(&name.to_lowercase().as_str()));
            // One that is there and cannot be read says itself what to do.
            let missing = problem.code == code::FILE_MISSING.code;
            problems.push(match other.filter(|other| *other != "course.yaml") {
                Some(other) if missing => problem.help(format!("rename `{other}` to `course.yaml`")),
                None if missing && other.is_none() => {
                    problem.help("write a file `course.yaml` with `id`, `title`, `company` and `lessons`")
                }
                _ => *problem,
            });
            return (Source::new("course.yaml", ""), CourseFile::stand_in(), None);
        }
    };
    let read = Document::of_file(&source, problems)
        .and_then(|document| Some((document.filled::<CourseFile>(problems)?, document)));
    let Some((filled, document)) = read else { return (source, CourseFile::stand_in(), None) };
    let sound = |key: &str| document.get(key).is_some_and(|node| filled.is_sound(&node.span));
    check_settings(&document, &filled.value, sound, problems);
    check_face(files, &document, &filled.value, images, problems);
    if sound("exam") {
        check_exam(&document, &filled.value.exam, problems);
    }
    let listed = sound("lessons").then(|| check_list(files, &document, &filled.value, problems));
    (source, filled.value, listed)
}

fn lessons_there(files: &dyn Files, language: &str) -> Vec<String> {
    files
        .in_language("lessons", language)
        .into_keys()
        .filter_map(|name| Some(name.strip_suffix(".md")?.to_owned()))
        .collect()
}

fn check_settings(document: &Document, settings: &CourseFile, sound: impl Fn(&str) -> bool, problems: &mut Problems) {
    if sound("id") {
        check_name(document, "id", &settings.id, problems);
    }
    for (key, text) in [("title", &settings.title), ("company", &settings.company)] {
        if sound(key) {
            not_blank(document, key, text, problems);
        }
    }
    let language = &settings.language;
    let shape = |part: &str| (2..=8).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_alphanumeric());
    if sound("language") && !language.split('-').all(shape) {
        let title = format!("a language such as `en` is expected, and this is `{language}`");
        problems.push(document.problem(code::LANGUAGE_FORM, title, "language").help("write `language: en`"));
    }
    if sound("lessons") && settings.lessons.is_empty() {
        problems.push(document.problem(
            code::NO_LESSONS,
            "at least one lesson is expected, and there is none",
            "lessons",
        ));
    }
}

/// The lessons that are worth reading: those with a good name, a file, and listed for the first time.
fn check_list(files: &dyn Files, document: &Document, settings: &CourseFile, problems: &mut Problems) -> Vec<String> {
    let there = lessons_there(files, &settings.language);
    let known: BTreeSet<&str> = there.iter().map(String::as_str).collect();
    let mut asked = 0;
    let mut seen = Seen::default();
    let mut listed = BTreeSet::new();
    let mut order = Vec::new();
    for (index, stem) in settings.lessons.iter().enumerate() {
        let path = format!("lessons[{index}]");
        let plain = stem.strip_prefix("lessons/").unwrap_or(stem);
        let plain = plain.strip_suffix(".md").unwrap_or(plain);
        if plain != stem && is_name(plain) && known.contains(plain) {
            let title = "a lesson is listed by its name alone, without its folder and `.md`";
            problems.push(document.problem(code::LESSON_SUFFIX, title, &path).help(format!("write `- {plain}`")));
            if listed.insert(plain.to_owned()) {
                order.push(plain.to_owned());
            }
        } else if !is_name(stem) {
            asked += 1;
            problems.push(misnamed(document, &path, plain, if asked <= ASKED { &there } else { &[] }));
        } else {
            seen.add(document, &path, stem, "lesson", problems);
            if !known.contains(stem.as_str()) {
                // Looking for a near name costs a walk through all of them.
                asked += 1;
                problems.push(missing(document, &path, stem, if asked <= ASKED { &there } else { &[] }));
            } else if listed.insert(stem.clone()) {
                order.push(stem.clone());
            }
        }
    }
    // A stock lesson waits until a course lists it; only a company's own can be forgotten.
    let stock = |stem: &str| catalogue::is_stock("lessons", &format!("{stem}.md"));
    for stem in known.iter().filter(|stem| is_name(stem) && !listed.contains(**stem) && !stock(stem)) {
        let title = "this lesson is not listed in `course.yaml`, so nobody will see it";
        let problem = Problem::new(code::LESSON_UNLISTED, title, format!("lessons/{stem}.md"));
        problems.push(problem.help(format!("add a line `- {stem}` below `lessons:`")));
    }
    order
}

/// A listed lesson whose name is not a name: what to write instead depends on which file exists.
fn misnamed(document: &Document, path: &str, written: &str, there: &[String]) -> Problem {
    let name = as_name(written);
    let shown: String = written.chars().take(60).collect();
    let title = format!("a name of lowercase letters, digits and hyphens is expected, and this is `{shown}`");
    let near = || nearest(&name, there.iter().map(String::as_str).filter(|stem| is_name(stem)));
    let help = if there.contains(&name) {
        format!("write `- {name}`")
    } else if let Some(file) = there.iter().find(|stem| as_name(stem) == name) {
        format!("rename the file `lessons/{file}.md` to `{name}.md`, and write `- {name}`")
    } else if let Some(near) = near() {
        format!("write `- {near}`")
    } else {
        format!("write the lesson as `lessons/{name}.md` and list it as `- {name}`, or remove this line")
    };
    document.problem(code::NAME_FORM, title, path).help(help)
}

/// `there` holds the names among which to look for a similar one.
fn missing(document: &Document, path: &str, stem: &str, there: &[String]) -> Problem {
    let problem = document.problem(code::LESSON_MISSING, format!("there is no lesson `lessons/{stem}.md`"), path);
    match nearest(stem, there.iter().map(String::as_str)) {
        Some(near) => problem.help(format!("write `- {near}`")),
        None => problem.help("write the lesson, or remove this line"),
    }
}

fn load_lessons(
    files: &dyn Files,
    there: &BTreeMap<String, String>,
    listed: &[String],
    threads: usize,
    problems: &mut Problems,
) -> Vec<Lesson> {
    let read = in_parallel(listed, threads, |stem| {
        let mut problems = Problems::new();
        let plain = format!("{stem}.md");
        let lesson = match read_text(files, there.get(&plain).unwrap_or(&format!("lessons/{plain}"))) {
            Ok(source) => Lesson::read(stem, source, &mut problems),
            Err(problem) => {
                problems.push(problem);
                None
            }
        };
        (lesson, problems)
    });
    let mut lessons = Vec::with_capacity(read.len());
    for (lesson, found) in read {
        problems.extend(found);
        lessons.extend(lesson);
    }
    lessons
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
