//! Files in a course that nothing reads.

use super::files::Files;
use crate::embedded::CONTENT;
use crate::notation::{as_name, is_name};
use crate::problem::{Problem, Problems, code};

/// Files of a course folder itself that are read.
const READ: &[&str] = &["course.yaml", "cautions.yaml", "glossary.yaml"];
/// Endings of text files that an author would expect something to read.
const EXPECTED: &[&str] = &["yaml", "yml", "css", "js", "html", "htm", "md", "markdown", "mdown", "txt"];
/// Files that tell people about the folder.
const FOR_PEOPLE: &[&str] = &["readme", "license", "licence", "changelog", "notes", "todo"];

/// Names each file that is left out, with what would make it read.
pub(super) fn tell_unread(files: &dyn Files, problems: &mut Problems) {
    for name in files.list("") {
        if READ.contains(&name.as_str()) || is_stock(files, &name) {
            continue;
        }
        let (stem, ending) = parts(&name);
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
    for name in files.list("lessons") {
        let (stem, ending) = parts(&name);
        let file = format!("lessons/{name}");
        let suffixed = matches!(ending.as_str(), "md" | "markdown" | "mdown" | "txt");
        if name.ends_with(".md") {
            if !is_name(stem) {
                let title = "a lesson with this file name cannot be listed, so nobody will see it";
                let help = format!("rename the file to `{0}.md`, and list it as `- {0}`", as_name(stem));
                problems.push(Problem::new(code::LESSON_FILE_NAME, title, file).help(help));
            }
        } else if suffixed {
            let title = "a lesson is a file `name.md`, so this one is not read";
            let help = format!("rename it to `{}.md`", as_name(stem));
            problems.push(Problem::new(code::FILE_SUFFIX, title, file).help(help));
        } else {
            let title = "this file is not a lesson, and nothing else in this folder is read";
            problems.push(Problem::new(code::FILE_NOT_READ, title, file).help("move it out of the folder `lessons/`"));
        }
    }
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
