//! One lesson as written: its header as typed values, its body as text.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::Deserialize;

use crate::notation::curved;
use crate::problem::{Problem, Problems, Source, code};
use crate::yaml::{Document, Embedded, not_blank, or_default};

/// The YAML header of a lesson.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LessonHeader {
    /// Heading of the page.
    #[schemars(regex(pattern = crate::notation::SAYS_SOMETHING))]
    pub title: String,
    /// One or two sentences for lists of lessons.
    #[schemars(regex(pattern = crate::notation::SAYS_SOMETHING))]
    pub summary: String,
    /// How long the lesson takes.
    pub minutes: Option<u32>,
    /// Whether it is still being written: then it is shown in a preview but not published.
    #[serde(default, deserialize_with = "or_default")]
    pub draft: bool,
}

/// A lesson as written.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// Name of the file without `.md`.
    pub stem: String,
    /// The whole file.
    pub source: Source,
    /// The header.
    pub header: LessonHeader,
    /// Where the body starts in the file.
    pub body_start: usize,
}

impl Lesson {
    /// Takes a lesson file apart. A lesson whose header is wrong is returned with the name of its file for a title,
    /// so that the problems of its body are found in the same run.
    pub fn read(stem: &str, source: Source, problems: &mut Problems) -> Option<Self> {
        let (start, end, body_start) = header_span(&source, problems)?;
        let header = read_header(&source, start, end, problems).unwrap_or_else(|| LessonHeader {
            title: stem.to_owned(),
            summary: String::new(),
            minutes: None,
            draft: false,
        });
        Some(Self { stem: stem.to_owned(), header, body_start, source })
    }

    /// Lets go of its text.
    pub fn let_go(&mut self) {
        self.source.text = Arc::default();
        self.body_start = 0;
    }

    /// The Markdown after the header.
    pub fn body(&self) -> &str {
        &self.source.text[self.body_start..]
    }
}

fn read_header(source: &Source, start: usize, end: usize, problems: &mut Problems) -> Option<LessonHeader> {
    // No header at all has already been reported.
    if start == end && start == 0 {
        return None;
    }
    let document = Document::read(source, &Embedded::whole(&source.text[start..end], start), problems)?;
    let filled = document.filled::<LessonHeader>(problems)?;
    for (key, text) in [("title", &filled.value.title), ("summary", &filled.value.summary)] {
        if document.root().get(key).is_some_and(|node| !node.is_empty() && filled.is_sound(&node.span)) {
            not_blank(&document, key, text, problems);
        }
    }
    let header = filled.value;
    Some(LessonHeader { title: curved(header.title), summary: curved(header.summary), ..header })
}

/// Start and end of the YAML, and start of the body.
fn header_span(source: &Source, problems: &mut Problems) -> Option<(usize, usize, usize)> {
    let text = &*source.text;
    let mut lines = text.split_inclusive('\n');
    let first = lines.next().unwrap_or("");
    if first.trim_end() != "---" {
        let problem = Problem::new(
            code::HEADER_MISSING,
            "a lesson starts with a header between two `---` lines, and this one does not",
            "",
        );
        let (place, help) = match begun(text) {
            Some(line) if line.start == 0 => (line, "write `---`, three hyphens and nothing else"),
            Some(line) => (line, "remove what is above this line, so that the file starts with it"),
            None => (
                0..first.trim_end().len(),
                "start the file with `---`, `title: …`, `summary: …` and `---`, each on a line of its own",
            ),
        };
        let begun = place.clone();
        problems.push(problem.at(source, place).help(help));
        // What is in a header that is nearly one is no text for learners.
        let rest = if begun.is_empty() { None } else { text[begun.end..].find("\n---").map(|at| begun.end + at + 4) };
        return Some((0, 0, rest.filter(|_| dashes(&text[begun])).unwrap_or(0)));
    }
    let start = first.len();
    let mut at = start;
    for line in lines {
        if line.trim_end() == "---" {
            return Some((start, at, at + line.len()));
        }
        at += line.len();
    }
    let problem = Problem::new(code::HEADER_OPEN, "this header is never closed", "")
        .at(source, 0..3)
        .help("write a second `---` line below the last key of the header");
    problems.push(problem);
    None
}

/// Whether a line is made of hyphens or dashes, as one writes that means `---`.
fn dashes(line: &str) -> bool {
    let line = line.trim();
    !line.is_empty() && line.chars().all(|letter| matches!(letter, '-' | '–' | '—' | '_' | '*')) && line != "-"
}

/// The line that was meant to begin the header: of other dashes, or of the right ones below something else.
fn begun(text: &str) -> Option<std::ops::Range<usize>> {
    let mut at = 0;
    for line in text.split_inclusive('\n').take(3) {
        let below = text[at + line.len()..].trim_start();
        if dashes(line) && (below.starts_with("title:") || below.starts_with("summary:") || below.starts_with('#')) {
            return Some(at..at + line.trim_end().len());
        }
        at += line.len();
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    type CodeAndPlace = (&'static str, Option<(usize, usize)>);

    fn read(text: &str) -> (Option<Lesson>, Vec<CodeAndPlace>) {
        let mut problems = Problems::new();
        let lesson = Lesson::read("a", Source::new("lessons/a.md", text), &mut problems);
        (lesson, problems.into_iter().map(|problem| (problem.code, problem.line_column())).collect())
    }

    #[test]
    fn a_lesson_is_header_and_body() {
        let (lesson, problems) = read("---\r\ntitle: A\r\nsummary: B\r\n---\r\n# H\r\n");
        let lesson = lesson.expect("a good lesson");
        assert_eq!((lesson.header.title.as_str(), lesson.body()), ("A", "# H\r\n"));
        assert!(problems.is_empty());
    }

    #[test]
    fn places_in_the_header_are_those_of_the_file() {
        assert_eq!(read("---\ntitle: A\nsummary: B\nminuts: 5\n---\n").1, [("unknown-key", Some((4, 1)))]);
        assert_eq!(read("---\ntitle: [A\nsummary: B\n---\n").1[0].0, "yaml-syntax");
        assert_eq!(read("---\ntitle: ' '\nsummary: B\n---\n").1, [("blank", Some((2, 8)))]);
    }

    #[test]
    fn a_header_that_is_missing_or_open_is_reported() {
        assert_eq!(read("# H\n").1, [("header-missing", Some((1, 1)))]);
        assert_eq!(read("").1, [("header-missing", Some((1, 1)))]);
        assert_eq!(read("----\ntitle: A\n---\n# H\n").1, [("header-missing", Some((1, 1)))]);
        assert_eq!(read("—\ntitle: A\n---\n# H\n").1, [("header-missing", Some((1, 1)))]);
        assert_eq!(read("\n---\ntitle: A\n---\n# H\n").1, [("header-missing", Some((2, 1)))]);
        assert_eq!(read("---\ntitle: A\n\n# H\n").1, [("header-open", Some((1, 1)))]);
    }
}
