//! The lessons of a course: which there are, and which its `course.yaml` lists, in what order.

use std::cell::OnceCell;
use std::collections::{BTreeMap, HashMap};

use super::files::Files;
use super::settings::CourseFile;
use crate::catalogue;
use crate::notation::{as_name, is_name};
use crate::problem::{ASKED, Problem, Problems, code, nearest};
use crate::yaml::{Document, twice};

/// The lessons that `course.yaml` lists.
pub(super) struct LessonList {
    /// Those that are worth reading, in the order of the course.
    pub(super) order: Vec<String>,
    /// The files of all lessons in the course's language, by their names without it.
    pub(super) there: BTreeMap<String, String>,
}

/// Names of the lessons that have a file, without `.md`.
pub(super) fn lessons_there(there: &BTreeMap<String, String>) -> Vec<String> {
    there.keys().filter_map(|name| Some(name.strip_suffix(".md")?.to_owned())).collect()
}

/// The lessons that are worth reading: those with a good name, a file, and listed for the first time. `in_language` are
/// the files of all lessons in the course's language.
pub(super) fn check_list(
    files: &dyn Files,
    in_language: BTreeMap<String, String>,
    document: &Document,
    settings: &CourseFile,
    problems: &mut Problems,
) -> LessonList {
    let there = lessons_there(&in_language);
    let in_folder = OnceCell::new();
    let in_folder = || in_folder.get_or_init(|| files.list("lessons"));
    let known: HashMap<&str, usize> = there.iter().enumerate().map(|(at, stem)| (stem.as_str(), at)).collect();
    let mut asked = 0;
    let path = |index: usize| format!("lessons[{index}]");
    // Which lessons of the folder are listed, and where each name is listed first. Only a problem needs its place: there
    // may be tens of thousands.
    let (mut is_listed, mut first) = (vec![false; there.len()], vec![None; there.len()]);
    let mut first_of_others: HashMap<&str, usize> = HashMap::new();
    let mut order = Vec::with_capacity(settings.lessons.len());
    for (index, stem) in settings.lessons.iter().enumerate() {
        let plain = stem.strip_prefix("lessons/").unwrap_or(stem);
        let plain = plain.strip_suffix(".md").unwrap_or(plain);
        let found = known.get(plain).copied();
        if let Some(at) = found.filter(|_| plain != stem && is_name(plain)) {
            let title = "a lesson is listed by its name alone, without its folder and `.md`";
            let problem = document.problem(code::LESSON_SUFFIX, title, &path(index));
            problems.push(problem.help(format!("write `- {plain}`")));
            if !std::mem::replace(&mut is_listed[at], true) {
                order.push(plain.to_owned());
            }
        } else if !is_name(stem) {
            asked += 1;
            problems.push(misnamed(document, &path(index), plain, if asked <= ASKED { &there } else { &[] }));
        } else {
            // A valid name has no folder and no ending, so it is the plain one.
            let before = match found {
                Some(at) => *first[at].get_or_insert(index),
                None => *first_of_others.entry(stem).or_insert(index),
            };
            if before != index {
                let place = |index: usize| document.place(&path(index));
                problems.push(twice(document, stem, "lesson", place(before), place(index)));
            }
            match found {
                None => {
                    // Looking for a near name costs a walk through all of them.
                    asked += 1;
                    let near: &[String] = if asked <= ASKED { &there } else { &[] };
                    problems.push(missing(document, &path(index), stem, near, in_folder()));
                }
                Some(at) if !std::mem::replace(&mut is_listed[at], true) => order.push(stem.clone()),
                Some(_) => {}
            }
        }
    }
    // A stock lesson waits until a course lists it; only a company's own can be forgotten.
    let stock = |stem: &str| catalogue::is_stock("lessons", &format!("{stem}.md"));
    let unlisted = there.iter().zip(&is_listed).filter(|(_, listed)| !**listed).map(|(stem, _)| stem);
    for stem in unlisted.filter(|stem| is_name(stem) && !stock(stem)) {
        let title = "this lesson is not listed in `course.yaml`, so nobody will see it";
        let problem = Problem::new(code::LESSON_UNLISTED, title, format!("lessons/{stem}.md"));
        problems.push(problem.help(format!("add a line `- {stem}` below `lessons:`")));
    }
    LessonList { order, there: in_language }
}

/// A listed lesson whose name is not a name: what to write instead depends on which file exists.
fn misnamed(document: &Document, path: &str, written: &str, there: &[String]) -> Problem {
    let name = as_name(written);
    let shown: String = written.chars().take(60).collect();
    let title = format!("a name of lowercase letters, digits and hyphens is expected, and this is `{shown}`");
    let near = || nearest(&name, there.iter().map(String::as_str).filter(|stem| is_name(stem)));
    let words: Vec<&str> = written.split_whitespace().collect();
    let help = if words.len() > 1 && words.iter().all(|word| there.iter().any(|stem| stem == word)) {
        let items: Vec<String> = words.iter().map(|word| format!("`- {word}`")).collect();
        format!("write each on its own line, with a hyphen in front: {}", items.join(", "))
    } else if there.contains(&name) {
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
fn missing(document: &Document, path: &str, stem: &str, there: &[String], in_folder: &[String]) -> Problem {
    let problem = document.problem(code::LESSON_MISSING, format!("there is no lesson `lessons/{stem}.md`"), path);
    // A file that is read under no name: its own warning says how it should be called.
    let other = |file: &String| {
        let (file, _) = file.split_once('.').unwrap_or((file, ""));
        as_name(file) == stem
    };
    if let Some(file) = in_folder.iter().find(|file| other(file)) {
        // Under another name the file of a word processor is still no text.
        let ending = file.rsplit('.').next().unwrap_or_default().to_lowercase();
        if ["doc", "docx", "odt", "rtf", "pdf", "pages"].contains(&ending.as_str()) {
            return problem.help(format!(
                "copy the text of `lessons/{file}` into a plain text file `lessons/{stem}.md`, below a header"
            ));
        }
        return problem.help(format!("rename the file `lessons/{file}` to `lessons/{stem}.md`"));
    }
    match nearest(stem, there.iter().map(String::as_str).filter(|near| is_name(near))) {
        Some(near) => problem.help(format!("write `- {near}`")),
        None => problem.help("write the lesson, or remove this line"),
    }
}
