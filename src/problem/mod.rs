//! What is wrong with a file: one record per mistake, collected, sorted and drawn for the author.
//!
//! A problem without a span still names its file; a problem never vanishes because its place is unknown.

mod clean;
pub mod code;
mod excerpt;
mod near;
mod sentence;
mod sought;
mod source;
mod window;
mod wrapped;

use std::collections::BTreeMap;
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use tankside_calc::text::figures::shown;

pub use clean::{clean, clean_json};
pub use code::Rule;
pub use excerpt::{ON_PAGE, Style};
pub use near::{Offer, alike, nearest, offer, offered, quoted};
pub use sentence::{capital, sentence};
pub use sought::{ASKED, Among, Sought};
pub use source::Source;
pub use wrapped::{KEPT, filled, wrapped};

/// How bad a problem is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The course is not published.
    Error,
    /// The course is published, but is probably wrong.
    Warning,
}

impl Severity {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        }
    }
}

/// A stretch of a file with a note about it; bytes from the start of the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// Bytes from the start of the file.
    pub span: Range<usize>,
    /// A few words beside the mark; may be empty.
    pub label: String,
}

/// One mistake in one file.
#[derive(Clone, Debug)]
pub struct Problem {
    /// Whether it stops publishing.
    pub severity: Severity,
    /// The mistake's name, in kebab-case; it reads well after "allow".
    pub code: &'static str,
    /// What is wrong, in lower case and without a full stop.
    pub title: String,
    /// The file, relative to the course.
    pub file: Arc<str>,
    /// The text of the file, where it could be read.
    pub text: Option<Arc<str>>,
    /// The place of the mistake.
    pub primary: Option<Mark>,
    /// Up to two more places that explain it.
    pub context: Vec<Mark>,
    /// What to write instead.
    pub help: Option<String>,
    /// A name for which to look up the nearest one.
    pub sought: Option<Sought>,
}

impl Problem {
    /// A mistake that the registry knows, in a file.
    pub fn new(rule: &'static Rule, title: impl Into<String>, file: impl Into<Arc<str>>) -> Self {
        Self::made(rule.severity, rule.code, title.into(), file.into())
    }

    /// A mistake outside the registry, for the tests of the drawing.
    #[cfg(test)]
    pub(crate) fn error(code: &'static str, title: impl Into<String>, file: impl Into<Arc<str>>) -> Self {
        Self::made(Severity::Error, code, title.into(), file.into())
    }

    /// The same as a warning.
    #[cfg(test)]
    pub(crate) fn warning(code: &'static str, title: impl Into<String>, file: impl Into<Arc<str>>) -> Self {
        Self::made(Severity::Warning, code, title.into(), file.into())
    }

    fn made(severity: Severity, code: &'static str, title: String, file: Arc<str>) -> Self {
        Self { severity, code, title, file, text: None, primary: None, context: Vec::new(), help: None, sought: None }
    }

    /// Puts the problem at a place of a file that has been read.
    #[must_use]
    pub fn at(mut self, source: &Source, span: Range<usize>) -> Self {
        self.file = Arc::clone(&source.name);
        self.text = Some(Arc::clone(&source.text));
        let span = if span.start == source.text.len() { source.end() } else { span };
        self.primary = Some(Mark { span, label: String::new() });
        self
    }

    /// Adds words beside the primary mark.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        if let Some(mark) = &mut self.primary {
            mark.label = label.into();
        }
        self
    }

    /// Adds a second place of the same file; more than two are not kept.
    #[must_use]
    pub fn context(mut self, span: Range<usize>, label: impl Into<String>) -> Self {
        if self.context.len() < 2 {
            self.context.push(Mark { span, label: label.into() });
        }
        self
    }

    /// Says what to write instead.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Line and column of the primary mark, both from 1, the column in characters.
    pub fn line_column(&self) -> Option<(usize, usize)> {
        let mark = self.primary.as_ref()?;
        Some(source::line_column(self.text.as_ref()?, mark.span.start))
    }

    /// Line and column after the last character of the primary mark, both from 1.
    pub fn end_line_column(&self) -> Option<(usize, usize)> {
        let mark = self.primary.as_ref()?;
        Some(source::line_column(self.text.as_ref()?, mark.span.end.max(mark.span.start)))
    }

    /// The problem as it is shown in a terminal; the last line ends like every other.
    pub fn draw(&self, style: Style) -> String {
        excerpt::draw(self, style)
    }
}

/// Every problem found, to be shown together.
#[derive(Clone, Debug, Default)]
pub struct Problems(Vec<Problem>);

/// How many problems are drawn before the rest is only counted.
const DRAWN: usize = 100;
/// How many problems of one code are drawn where every kind is to be seen: in one file, and in all of them.
const ALIKE_IN_A_FILE: usize = 20;
const ALIKE: usize = 200;

impl Problems {
    /// No problem yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds one problem, boxed or not.
    pub fn push(&mut self, problem: impl Into<Problem>) {
        self.0.push(problem.into());
    }

    /// Adds many.
    pub fn extend(&mut self, problems: impl IntoIterator<Item = Problem>) {
        self.0.extend(problems);
    }

    /// Whether there is anything that stops publishing.
    pub fn has_errors(&self) -> bool {
        self.0.iter().any(|problem| problem.severity == Severity::Error)
    }

    /// Whether nothing was found.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many problems there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// How many errors and how many warnings there are.
    pub fn count(&self) -> (usize, usize) {
        let errors = self.0.iter().filter(|problem| problem.severity == Severity::Error).count();
        (errors, self.0.len() - errors)
    }

    /// The problems in the order they were found, or sorted once [`Problems::sort`] was called.
    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.0.iter()
    }

    /// Sorts by file, place and code; what has no place comes first in its file.
    pub fn sort(&mut self) {
        self.0.sort_by(|left, right| {
            let start = |problem: &Problem| problem.primary.as_ref().map(|mark| mark.span.start);
            left.file
                .cmp(&right.file)
                .then(start(left).cmp(&start(right)))
                .then(left.code.cmp(right.code))
                .then_with(|| left.title.cmp(&right.title))
        });
    }

    /// Names each file of a course as it is found from where the command runs: `lessons/a.md` of the course `our-course`
    /// is `our-course/lessons/a.md`. A file that is not the course's `own` keeps its name.
    pub fn seen_from(&mut self, course: &Path, own: impl Fn(&str) -> bool) {
        let course = course.strip_prefix(".").unwrap_or(course);
        for problem in &mut self.0 {
            let elsewhere = code::is_of_target(problem.code) || problem.code == code::COURSE_MISSING.code;
            if !elsewhere && own(&problem.file) {
                problem.file = course.join(&*problem.file).display().to_string().into();
            }
        }
    }

    /// All problems, sorted, one after the other, with a last line that counts them.
    pub fn draw(&self, style: Style) -> String {
        let mut sorted = self.clone();
        sorted.sort();
        let mut out = String::new();
        for problem in sorted.iter().take(DRAWN) {
            out.push_str(&problem.draw(style));
            out.push('\n');
        }
        if sorted.len() > DRAWN {
            out.push_str(&format!("and {} more, not shown\n", sorted.len() - DRAWN));
        }
        out + &self.counted()
    }

    /// The same with every kind of problem in every file: of many that are alike the first are drawn, and the rest is
    /// counted below them. `listed` says where every one can be read.
    pub fn draw_each_kind(&self, style: Style, listed: &str) -> String {
        let mut sorted = self.clone();
        sorted.sort();
        let mut in_all: BTreeMap<&str, usize> = BTreeMap::new();
        let (mut out, mut left_out) = (String::new(), false);
        for file in sorted.0.chunk_by(|left, right| left.file == right.file) {
            let mut in_file: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
            for problem in file {
                let all = in_all.entry(problem.code).or_default();
                let (drawn, alike) = in_file.entry(problem.code).or_default();
                if *drawn < ALIKE_IN_A_FILE && *all < ALIKE {
                    out.push_str(&problem.draw(style));
                    out.push('\n');
                    (*drawn, *all) = (*drawn + 1, *all + 1);
                } else {
                    *alike += 1;
                }
            }
            for (code, (_, alike)) in in_file.iter().filter(|(_, (_, alike))| *alike > 0) {
                let file = clean(&file[0].file);
                out.push_str(&format!("And {} more `{code}` in {file}.\n\n", shown(*alike as f64, 15)));
                left_out = true;
            }
        }
        if left_out {
            out.push_str(&format!("{listed}\n\n"));
        }
        out + &self.counted()
    }

    /// The last line: `2 errors, 1 warning`.
    fn counted(&self) -> String {
        let (errors, warnings) = self.count();
        let mut out = counted(errors, "error", "errors");
        if warnings > 0 {
            out.push_str(", ");
            out.push_str(&counted(warnings, "warning", "warnings"));
        }
        out.push('\n');
        out
    }
}

impl From<Box<Problem>> for Problem {
    fn from(problem: Box<Problem>) -> Self {
        *problem
    }
}

impl IntoIterator for Problems {
    type Item = Problem;
    type IntoIter = std::vec::IntoIter<Problem>;
    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn problems_are_sorted_by_file_and_then_by_place() {
        let b = Source::new("b.yaml", "one: 1\ntwo: 2\n");
        let mut problems = Problems::new();
        problems.push(Problem::error("late", "late", "").at(&b, 7..10));
        problems.push(Problem::error("early", "early", "").at(&b, 0..3));
        problems.push(Problem::warning("whole", "whole", "b.yaml"));
        problems.push(Problem::error("first", "first", "a.yaml"));
        problems.sort();
        let codes: Vec<_> = problems.iter().map(|problem| problem.code).collect();
        assert_eq!(codes, ["first", "whole", "early", "late"]);
        assert_eq!(problems.count(), (3, 1));
    }
}
