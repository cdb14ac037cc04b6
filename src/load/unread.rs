//! Files in a course that nothing reads.

use std::collections::BTreeSet;

use super::files::Files;
use crate::catalogue;
use crate::embedded::{CONTENT, file};
use crate::notation::{as_name, is_name};
use crate::problem::{Problem, Problems, Rule, code, nearest};

/// Files of a course folder itself that are read.
const READ: &[&str] = &["course.yaml", "cautions.yaml", "glossary.yaml"];
/// Endings of text files that an author would expect something to read.
const EXPECTED: &[&str] = &["yaml", "yml", "css", "js", "html", "htm", "md", "markdown", "mdown", "txt"];
/// Endings of files that are read from a folder, and what to say of them beside it.
const BELONGS: &[(&[&str], &str)] = &[
    (&["avif", "gif", "jpeg", "jpg", "png", "svg", "webp"], "a picture belongs in the folder `images/`"),
    (&["docx", "odt", "pdf"], "a file for learners to download belongs in the folder `attachments/`"),
];
/// Folders of a course that are read, and the one that `start` writes for editors.
pub(super) const FOLDERS: &[&str] =
    &["attachments", "cautions", "glossary", "images", "lessons", "phrases", "questions", "schema", "templates"];
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

/// Names each file and folder that is left out, with what would make it read.
pub(super) fn tell_unread(files: &dyn Files, language: &str, problems: &mut Problems) {
    tell_beside(files, language, problems);
    tell_folders(files, problems);
    let languages = languages(files, language);
    tell_nested(files, &languages, problems);
    tell_words(files, language, &languages, problems);
    tell_lessons(files, problems);
}

/// Names each file of the course folder itself that is left out.
fn tell_beside(files: &dyn Files, language: &str, problems: &mut Problems) {
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
            problems.push(elsewhere(name.clone(), rename(files, "", words)));
            continue;
        }
        // `course.yaml.txt`, as an editor on a screen without endings saves it.
        if let Some(meant) = READ.iter().find(|read| stem.eq_ignore_ascii_case(read)) {
            let title = "nothing reads this file, so learners do not see what it says";
            if *meant == "course.yaml" && !files.has(meant) {
                continue;
            }
            let rule = if *meant == "course.yaml" { code::FILE_SUFFIX } else { code::WORDS_FILE_NAME };
            problems.push(Problem::new(rule, title, name.clone()).help(rename(files, "", meant)));
            continue;
        }
        let belongs = BELONGS.iter().find(|(endings, _)| endings.contains(&ending.as_str())).map(|(_, help)| *help);
        let expected = belongs.is_some() || EXPECTED.contains(&ending.as_str());
        if FOR_PEOPLE.contains(&stem.to_lowercase().as_str()) || !expected {
            continue;
        }
        let (rule, help) = match belongs {
            Some(help) => (code::FILE_NOT_READ, help.to_owned()),
            None => where_to(files, stem, &ending, language),
        };
        problems
            .push(Problem::new(rule, "nothing reads this file, so learners do not see what it says", name).help(help));
    }
}

/// The rule for a text file of the course folder itself that nothing reads, and what would make it read.
fn where_to(files: &dyn Files, stem: &str, ending: &str, language: &str) -> (&'static Rule, String) {
    match ending {
        "yml" if READ.contains(&format!("{stem}.yaml").as_str()) => {
            (code::FILE_SUFFIX, rename(files, "", &format!("{stem}.yaml")))
        }
        "yaml" | "yml" if stem.eq_ignore_ascii_case("course") => (code::FILE_SUFFIX, rename(files, "", "course.yaml")),
        "yaml" | "yml" if ["phrases", "phrase"].contains(&stem.to_lowercase().as_str()) => {
            let words = format!("phrases/{language}.yaml");
            let help = if files.has(&words) && !is_stock(files, &words) {
                format!("move its lines into `{words}`, and delete this file")
            } else {
                format!("move it to `{words}`")
            };
            (code::FILE_NOT_READ, help)
        }
        "md" | "markdown" | "mdown" => {
            (code::FILE_NOT_READ, format!("a lesson belongs in the folder `lessons/`, as `{}.md`", as_name(stem)))
        }
        "yaml" | "yml" if files.has("course.yaml") => {
            (code::FILE_NOT_READ, "questions belong in the folder `questions/`, settings in `course.yaml`".to_owned())
        }
        _ => (code::FILE_NOT_READ, "move it out of the course folder".to_owned()),
    }
}

/// Names each file in the folder of lessons that is no lesson, and each lesson that cannot be listed.
fn tell_lessons(files: &dyn Files, problems: &mut Problems) {
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
                let named = as_name(stem);
                let help = if files.has(&format!("lessons/{named}.md")) {
                    rename(files, "lessons/", &format!("{named}.md"))
                } else {
                    format!("rename the file to `{named}.md`, and list it as `- {named}`")
                };
                problems.push(Problem::new(code::LESSON_FILE_NAME, title, file).help(help));
            }
        } else if suffixed {
            let title = "a lesson is a file `name.md`, so this one is not read";
            let stem = stem.strip_suffix(".md").unwrap_or(stem);
            let help = rename(files, "lessons/", &format!("{}.md", as_name(stem)));
            problems.push(Problem::new(code::FILE_SUFFIX, title, file).help(help));
        } else {
            let title = "this file is not a lesson, and nothing else in this folder is read";
            problems.push(Problem::new(code::FILE_NOT_READ, title, file).help("move it out of the folder `lessons/`"));
        }
    }
}

/// Names each folder that is left out, with the name under which it would be read.
fn tell_folders(files: &dyn Files, problems: &mut Problems) {
    for name in files.folders("") {
        if FOLDERS.contains(&name.as_str()) {
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

/// The languages that a course may be published in, as far as its folder shows: its own, the stock's, and those that it
/// brings phrases for.
fn languages(files: &dyn Files, language: &str) -> BTreeSet<String> {
    let mut all: BTreeSet<String> = catalogue::languages().into_iter().collect();
    all.insert(language.to_owned());
    all.extend(files.list("phrases").iter().filter_map(|name| Some(name.strip_suffix(".yaml")?.to_owned())));
    all
}

/// Names each folder within a folder that is read, unless it is a language's or one of the kinds of parts.
fn tell_nested(files: &dyn Files, languages: &BTreeSet<String>, problems: &mut Problems) {
    for folder in FOLDERS.iter().filter(|folder| **folder != "schema") {
        for name in files.folders(folder) {
            let read = match *folder {
                "lessons" | "questions" => languages.contains(&name),
                "templates" => ["pages", "parts"].contains(&name.as_str()),
                _ => false,
            };
            if read {
                continue;
            }
            let title = "nothing reads this folder, so learners do not see what is in it";
            let help = match *folder {
                "templates" => "the folders for parts are `templates/pages/` and `templates/parts/`".to_owned(),
                _ => format!("move its files into `{folder}/`"),
            };
            problems.push(Problem::new(code::FOLDER_NOT_READ, title, format!("{folder}/{name}/")).help(help));
        }
    }
}

/// Names each file beside the cautions and terms of a language that is not read.
fn tell_words(files: &dyn Files, language: &str, languages: &BTreeSet<String>, problems: &mut Problems) {
    for folder in ["cautions", "glossary"] {
        for name in files.list(folder) {
            let (stem, ending) = parts(&name);
            let file = format!("{folder}/{name}");
            if name.ends_with(".yaml") && languages.contains(stem) {
                continue;
            }
            if matches!(ending.as_str(), "yaml" | "yml") {
                let help =
                    format!("name it `{folder}/{language}.yaml`, or move it to `{folder}.yaml`, beside `course.yaml`");
                problems.push(elsewhere(file, help));
            } else {
                let title = "this file is not read, so learners do not see what it says";
                let help = format!("move it out of the folder `{folder}/`");
                problems.push(Problem::new(code::FILE_NOT_READ, title, file).help(help));
            }
        }
    }
}

/// What to do with a file that is read only under another name, `to` in `folder`: a file of that name is never
/// overwritten.
pub(super) fn rename(files: &dyn Files, folder: &str, to: &str) -> String {
    if files.list(folder.trim_end_matches('/')).iter().any(|there| there == to) {
        return format!(
            "`{folder}{to}` is there too, and is the one that is read: move what it lacks into it, and delete this file"
        );
    }
    format!("rename it to `{to}`")
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
    let stock = file(&CONTENT, name).map(|file| file.contents());
    stock.is_some_and(|stock| files.read(name, u64::MAX).is_ok_and(|bytes| *bytes == *stock))
}
