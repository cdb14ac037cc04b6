//! The registry of problems: one entry per code, with what it finds, why it matters to a learner and what to write.
//!
//! A problem can only be made from an entry, so no code and no severity is written anywhere else.

mod course;
mod example;
mod lesson;
mod own;
mod proof;
mod question;
mod target;
mod yaml;

pub use course::*;
pub use example::*;
pub use lesson::*;
pub use own::*;
pub use proof::*;
pub use question::*;
pub use target::*;
pub use yaml::*;

use super::Severity;

/// One entry of the registry.
#[derive(Debug)]
pub struct Rule {
    /// Its name, in kebab-case; it names the mistake, not the cure.
    pub code: &'static str,
    /// Whether it stops publishing.
    pub severity: Severity,
    /// What it finds.
    pub finds: &'static str,
    /// Why it matters to a learner.
    pub matters: &'static str,
    /// What to write instead.
    pub write: &'static str,
}

impl Rule {
    /// Whether a part of the file, or all of it, could not be read: what seems to be missing may be there.
    pub fn hides_text(&self) -> bool {
        const HIDING: &[&Rule] = &[
            YAML_SYNTAX,
            HEADER_MISSING,
            HEADER_OPEN,
            NOTE_OPEN,
            FENCE_OPEN,
            FENCE_SHORT,
            FENCE_INDENTED,
            FILE_MISSING,
            FILE_TOO_LARGE,
            FILE_UNREAD,
            NOT_A_FILE,
            OUTSIDE_COURSE,
            NOT_UTF_8,
            NUL,
            MERGE_LEFT,
            SPACE_MISSING,
            ODD_SPACE,
            LIST_INDENT,
            CAUTION_LOST,
            CONSTRUCT_UNKNOWN,
            CONSTRUCT_NAME,
        ];
        HIDING.iter().any(|rule| rule.code == self.code)
    }
}

/// Every entry, area by area.
pub fn rules() -> impl Iterator<Item = &'static Rule> {
    [yaml::ALL, course::ALL, lesson::ALL, example::ALL, question::ALL, own::ALL, proof::ALL, target::ALL]
        .into_iter()
        .flatten()
        .copied()
}

/// Whether a code is about the folder that is written to, not about the course.
pub fn is_of_target(code: &str) -> bool {
    target::ALL.iter().any(|rule| rule.code == code)
}

/// The entry of a code.
pub fn rule(code: &str) -> Option<&'static Rule> {
    rules().find(|rule| rule.code == code)
}

/// Declares entries, each as a constant and in the list `ALL` of its file.
macro_rules! entries {
    ($($name:ident $code:literal $severity:ident $finds:literal $matters:literal $write:literal;)*) => {
        $(
            #[doc = $finds]
            pub const $name: &super::Rule = &super::Rule {
                code: $code,
                severity: crate::problem::Severity::$severity,
                finds: $finds,
                matters: $matters,
                write: $write,
            };
        )*
        pub(super) const ALL: &[&super::Rule] = &[$($name),*];
    };
}
use entries;

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_code_is_there_once_and_every_entry_says_what_why_and_what_to_write() {
        let mut codes = BTreeSet::new();
        for one in rules() {
            assert!(codes.insert(one.code), "{} is there twice", one.code);
            let kebab = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
            assert!(one.code.chars().all(kebab), "{}", one.code);
            for text in [one.finds, one.matters, one.write] {
                assert!(text.ends_with('.') && text.len() > 12, "{}: {text}", one.code);
                assert!(text.starts_with(|c: char| c.is_uppercase() || c == '`'), "{}: {text}", one.code);
            }
        }
        assert!(rules().filter(|one| one.severity == Severity::Error).count() > 40);
    }

    #[test]
    fn an_entry_is_found_by_its_code() {
        assert!(rules().all(|one| rule(one.code).is_some_and(|found| std::ptr::eq(found, one))));
        assert!(rule("no-such-code").is_none());
    }
}
