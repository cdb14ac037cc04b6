//! Checks that several files share: names, blanks, twins.

use std::collections::HashMap;
use std::ops::Range;

use super::document::Document;
use crate::notation::{as_name, is_name};
use crate::problem::{Problem, Problems, code};

/// A text that must say something.
pub(crate) fn not_blank(document: &Document, path: &str, text: &str, problems: &mut Problems) {
    if text.trim().is_empty() {
        let title = format!("{} is blank, and text is expected", document.words(path));
        let key = path.rsplit('.').next().unwrap_or(path);
        problems.push(document.problem(code::BLANK, title, path).help(format!("write the words: `{key}: …`")));
    }
}

/// A name in lowercase with hyphens.
pub(crate) fn check_name(document: &Document, path: &str, name: &str, problems: &mut Problems) -> bool {
    if is_name(name) {
        return true;
    }
    let problem = document
        .problem(
            code::NAME_FORM,
            format!("a name of lowercase letters, digits and hyphens is expected, and this is `{name}`"),
            path,
        )
        .help(format!("write `{}`", as_name(name)));
    problems.push(problem);
    false
}

/// Names that were seen in one file, with their places.
#[derive(Default)]
pub(crate) struct Seen(HashMap<String, Range<usize>>);

impl Seen {
    /// Remembers a name; a second one of the same is a problem.
    pub(crate) fn add(&mut self, document: &Document, path: &str, name: &str, what: &str, problems: &mut Problems) {
        let place = document.place(path);
        if let Some(first) = self.0.get(name) {
            problems.push(twice(document, name, what, first.clone(), place));
        } else {
            self.0.insert(name.to_owned(), place);
        }
    }
}

/// What is wrong with a name that is in a file twice.
pub(crate) fn twice(document: &Document, name: &str, what: &str, first: Range<usize>, second: Range<usize>) -> Problem {
    Problem::new(code::DUPLICATE_ID, format!("the {what} `{name}` appears twice"), "")
        .at(document.source(), second)
        .context(first, "here for the first time")
        .help("change one of the two, or remove it")
}
