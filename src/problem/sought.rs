//! Names that were not found: similar ones are looked up once all problems of a course are known, and only for the
//! first of them. Each costs a walk through all the names of its kind, and a course may have thousands of both.

use super::near::{nearest, offer};
use super::{Problem, Problems};

/// How many problems of a course get a similar name looked up.
pub const ASKED: usize = 50;

/// What kind of thing a name belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Among {
    /// The lessons of the course.
    Lessons,
    /// Its question banks.
    Banks,
    /// Its pictures.
    Images,
    /// Its attachments.
    Attachments,
}

/// A name that was not found, and what is written before and after a suggestion.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sought {
    pub(super) typed: String,
    pub(super) among: Among,
    pub(super) before: &'static str,
    pub(super) after: &'static str,
}

impl Problem {
    /// Has a near name looked for later; its help line is written around it, and the help so far stays where none is
    /// near.
    #[must_use]
    pub fn seek(mut self, typed: &str, among: Among, before: &'static str, after: &'static str) -> Self {
        self.sought = Some(Sought { typed: typed.to_owned(), among, before, after });
        self
    }
}

impl Problems {
    /// Looks for the near names, for the first problems in their order that ask for one.
    pub fn find_near<'n, N: Iterator<Item = &'n str> + Clone>(&mut self, names: impl Fn(Among) -> N) {
        let asking = self.0.iter_mut().filter(|problem| problem.sought.is_some());
        for problem in asking.take(ASKED) {
            let Some(sought) = problem.sought.take() else { continue };
            let help = match sought.among {
                Among::Banks => offer(&sought.typed, names(sought.among)),
                _ => nearest(&sought.typed, names(sought.among))
                    .map(|near| format!("write `{}{near}{}`", sought.before, sought.after)),
            };
            if help.is_some() {
                problem.help = help;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::code;
    use super::*;

    #[test]
    fn near_names_are_found_for_the_first_problems_and_no_more() {
        let names = ["first", "second"];
        let mut problems = Problems::new();
        for number in 0..ASKED + 5 {
            let problem = Problem::new(code::BANK_MISSING, format!("{number}"), "").help("another");
            problems.push(problem.seek("frist", Among::Lessons, "", ".md"));
        }
        problems.find_near(|_| names.into_iter());
        let near = problems.iter().filter(|problem| problem.help.as_deref() == Some("write `first.md`")).count();
        let rest = problems.iter().filter(|problem| problem.help.as_deref() == Some("another")).count();
        assert_eq!((near, rest), (ASKED, 5));
    }
}
