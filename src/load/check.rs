//! Checks that several files share: names, blanks, twins.

use std::collections::BTreeMap;
use std::ops::Range;

use super::yaml::Document;
use crate::problem::{Problem, Problems};

/// A text that must say something.
pub(super) fn not_blank(document: &Document<'_>, path: &str, text: &str, problems: &mut Problems) {
    if text.trim().is_empty() {
        let title = format!("`{path}` is blank, and text is expected");
        problems.push(document.problem("blank", title, path));
    }
}

/// Whether a name can stand in a file name, a link and an identifier on every system.
pub(crate) fn is_name(name: &str) -> bool {
    let good = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-';
    let ends = |byte: Option<&u8>| byte.is_some_and(|byte| *byte != b'-');
    let bytes = name.as_bytes();
    bytes.len() <= 80 && bytes.iter().copied().all(good) && ends(bytes.first()) && ends(bytes.last())
}

/// A name in lower case with hyphens.
pub(super) fn name(document: &Document<'_>, path: &str, name: &str, problems: &mut Problems) -> bool {
    if is_name(name) {
        return true;
    }
    let problem = document
        .problem(
            "name-form",
            format!("a name of small letters, digits and hyphens is expected, and this is `{name}`"),
            path,
        )
        .help(format!("write `{}`", suggested(name)));
    problems.push(problem);
    false
}

fn suggested(name: &str) -> String {
    let mut out = String::new();
    for c in name.chars().take(80) {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-');
    if out.is_empty() { "a-name".to_owned() } else { out.to_owned() }
}

/// Names that were seen in one file, with their places.
#[derive(Default)]
pub(super) struct Seen(BTreeMap<String, Range<usize>>);

impl Seen {
    /// Remembers a name; a second one of the same is a problem.
    pub(super) fn add(&mut self, document: &Document<'_>, path: &str, name: &str, what: &str, problems: &mut Problems) {
        let place = document.place(path);
        if let Some(first) = self.0.get(name) {
            let problem = Problem::error("duplicate-id", format!("the {what} `{name}` stands here twice"), "")
                .at(document.source(), place)
                .context(first.clone(), "here for the first time")
                .help("change one of the two, or remove it");
            problems.push(problem);
        } else {
            self.0.insert(name.to_owned(), place);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_small_letters_digits_and_hyphens() {
        assert!(is_name("first-week-2"));
        for bad in ["", "-a", "a-", "A", "a b", "a/b", "..", "ä", "a_b"] {
            assert!(!is_name(bad), "{bad}");
        }
        assert_eq!(suggested("First Week!"), "first-week");
        assert_eq!(suggested("²"), "a-name");
    }
}
