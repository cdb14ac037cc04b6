//! Files in a course that nothing reads.

use super::files::Files;
use crate::embedded::CONTENT;
use crate::notation::{as_name, is_name};
use crate::problem::{Problem, Problems, code, nearest};

/// Files of a course folder itself that are read.
const READ: &[&str] = &["course.yaml", "cautions.yaml", "glossary.yaml"];
/// Endings of text files that an author would expect something to read.
const EXPECTED: &[&str] = &["yaml", "yml", "css", "js", "html", "htm", "md", "markdown", "mdown", "txt"];
/// Folders of a course that are read, and the one that `start` writes for editors.
pub(crate) const FOLDERS: &[&str] =
    &["attachments", "images", "lessons", "phrases", "questions", "schema", "templates"];
/// What an author may have called a folder that is read under another name.
const OTHER_NAMES: &[(&str, &str)] = &[
    ("banks", "questions"),
    ("downloads", "attachments"),
    ("files", "attachments"),
    ("labels", "attachments"),
    ("media", "images"),
    ("photos", "images"),
    ("pictures", "images"),
    ("quiz", "questions"),
    ("quizzes", "questions"),
    ("translations", "phrases"),
];
/// Files that tell people about the folder.
const FOR_PEOPLE: &[&str] = &["readme", "license", "licence", "changelog", "notes", "todo"];

/// Names each file that is left out, with what would make it read.
pub(super) fn tell_unread(files: &dyn Files, problems: &mut Problems) {
    for name in files.list("") {
        if READ.contains(&name.as_str()) || is_stock(files, &name) {
            continue;
        }
        // If `course.yaml` itself is missing, that has been reported, with this file's name.
        if ["course.yml", "course.yaml"].contains(&name.to_lowercase().as_str()) && !files.has("course.yaml") {
            continue;
        }
        let (stem, ending) = parts(&name);
        if let Some(words) = words_file(&name) {
            problems.push(elsewhere(name.clone(), format!("rename it to `{words}`")));
            continue;
        }
        if FOR_PEOPLE.contains(&stem.to_lowercase().as_str()) || !EXPECTED.contains(&ending.as_str()) {
            continue;
        }
        let (rule, help) = match ending.as_str() {
            "yml" if READ.contains(&format!("{stem}.yaml").as_str()) => {
                (code::FILE_SUFFIX, format!("rename it to `{stem}.yaml`"))
            }
            "md" | "markdown" | "mdown" => {
                (code::FILE_NOT_READ, format!("a lesson belongs in the folder `lessons/`, as `{}.md`", as_name(stem)))
            }
            "yaml" | "yml" if files.has("course.yaml") => (
                code::FILE_NOT_READ,
                "questions belong in the folder `questions/`, settings in `course.yaml`".to_owned(),
            ),
            _ => (code::FILE_NOT_READ, "move it out of the course folder".to_owned()),
        };
        problems
            .push(Problem::new(rule, "nothing reads this file, so learners do not see what it says", name).help(help));
    }
    tell_folders(files, problems);
    for name in files.list("lessons") {
        let (stem, ending) = parts(&name);
        let file = format!("lessons/{name}");
        if let Some(words) = words_file(&name) {
            problems.push(elsewhere(file, format!("move it to `{words}`, beside `course.yaml`")));
            continue;
        }
        let suffixed = matches!(ending.as_str(), "md" | "markdown" | "mdown" | "txt");
        if name.ends_with(".md") {
            if !is_name(stem) {
                let title = "a lesson with this file name cannot be listed, so nobody will see it";
                let help = format!("rename the file to `{0}.md`, and list it as `- {0}`", as_name(stem));
                problems.push(Problem::new(code::LESSON_FILE_NAME, title, file).help(help));
            }
        } else if suffixed {
            let title = "a lesson is a file `name.md`, so this one is not read";
            let stem = stem.strip_suffix(".md").unwrap_or(stem);
            let help = format!("rename it to `{}.md`", as_name(stem));
            problems.push(Problem::new(code::FILE_SUFFIX, title, file).help(help));
        } else {
            let title = "this file is not a lesson, and nothing else in this folder is read";
            problems.push(Problem::new(code::FILE_NOT_READ, title, file).help("move it out of the folder `lessons/`"));
        }
    }
}

/// Names each folder that is left out, with the name under which it would be read.
fn tell_folders(files: &dyn Files, problems: &mut Problems) {
    for name in files.folders() {
        if FOLDERS.contains(&name.as_str()) || CONTENT.get_dir(&name).is_some() {
            continue;
        }
        let small = name.to_lowercase();
        let other = OTHER_NAMES.iter().find(|(other, _)| *other == small).map(|(_, read)| *read);
        let other = other.or_else(|| FOLDERS.iter().copied().find(|read| *read == small));
        let help = match other.or_else(|| nearest(&small, FOLDERS.iter().copied())) {
            Some(read) => format!("rename it to `{read}`"),
            None => {
                let read = FOLDERS.iter().filter(|folder| **folder != "schema");
                let all: Vec<String> = read.map(|folder| format!("{folder}/")).collect();
                format!("the folders that are read are {}", all.join(", "))
            }
        };
        let title = "nothing reads this folder, so learners do not see what is in it";
        problems.push(Problem::new(code::FOLDER_NOT_READ, title, format!("{name}/")).help(help));
    }
}

/// The name under which a file of cautions or terms is read, where it has another.
pub(super) fn words_file(name: &str) -> Option<&'static str> {
    let (stem, ending) = parts(name);
    if !matches!(ending.as_str(), "yaml" | "yml") {
        return None;
    }
    match stem.to_lowercase().as_str() {
        "cautions" | "caution" | "warnings" => Some("cautions.yaml"),
        "glossary" | "terms" => Some("glossary.yaml"),
        _ => None,
    }
}

/// A file of cautions or terms that is not where it is read.
pub(super) fn elsewhere(file: String, help: String) -> Problem {
    Problem::new(code::WORDS_FILE_NAME, "this file of cautions or terms is not read under this name", file).help(help)
}

/// A file's name without its ending, and the ending in lower case.
fn parts(name: &str) -> (&str, String) {
    name.rsplit_once('.').map_or((name, String::new()), |(stem, ending)| (stem, ending.to_ascii_lowercase()))
}

/// Whether a file is an unchanged stock file.
fn is_stock(files: &dyn Files, name: &str) -> bool {
    let stock = CONTENT.get_file(name).map(|file| file.contents());
    stock.is_some_and(|stock| files.read(name, u64::MAX).is_ok_and(|bytes| *bytes == *stock))
}
