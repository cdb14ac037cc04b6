//! The entries of the index: made one by one, and cut where a course is long.

use crate::course::{Course, ReadyLesson};
use crate::site::quoted::quoted;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::{Mutex, PoisonError};

/// The group of what is in lessons, which is the first one of the index.
pub(super) const LESSONS: &str = "search.in-lessons";

/// Bytes of lessons beyond which each section is cut, to as many letters together: a phone reads and sorts these in a
/// moment.
const MOST_TEXT: usize = 2_000_000;
/// Letters of a section that are always kept, however long the course is.
const LEAST_TEXT: usize = 160;

/// Room for the rows of most lessons, so that they need not move while they grow.
const USUAL: usize = 4096;

/// One thing that can be found.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct IndexEntry<'e> {
    /// The phrase of its group: `search.in-lessons`.
    pub(super) group: &'static str,
    /// From the site's folder.
    pub(super) href: &'e str,
    pub(super) title: &'e str,
    /// Which lesson, which calculator; may be empty.
    pub(super) place: &'e str,
    pub(super) text: &'e str,
    /// Other words for the same thing; searched, but not shown.
    pub(super) also: &'e str,
}

/// The index, each entry made into text as soon as it is known: a long course would fill memory with them.
pub(super) struct Index {
    pub(super) json: String,
    pub(super) groups: Vec<&'static str>,
    /// Letters of a text that are kept, unless all are.
    share: Option<usize>,
}

impl Index {
    /// None yet; lessons are the first group.
    pub(super) fn new(json: String, share: Option<usize>) -> Self {
        Self { json, groups: vec![LESSONS], share }
    }

    pub(super) fn add(&mut self, entry: &IndexEntry<'_>) {
        let group = self.groups.iter().position(|group| *group == entry.group).unwrap_or_else(|| {
            self.groups.push(entry.group);
            self.groups.len() - 1
        });
        if !self.json.is_empty() {
            self.json.push(',');
        }
        // A text takes all that is written into it.
        let _ = write!(self.json, "[{group}");
        let text = self.share.map_or(entry.text, |share| cut(entry.text, share));
        for text in [entry.href, entry.title, entry.place, text, entry.also] {
            self.json.push(',');
            quoted(text, &mut self.json);
        }
        self.json.push(']');
    }
}

/// Letters of each section in a course that is too long for all of them; nothing where all are kept. Known from the
/// course before any text is read: what is ready can go out, and is never in memory as a whole.
pub(in crate::site) fn share(course: &Course) -> Option<usize> {
    let bytes: usize = course.lessons.iter().map(|lesson| lesson.html_len()).sum();
    let of_lesson = |lesson: &ReadyLesson| 1 + lesson.body.outline.headings.len() + lesson.examples.len();
    let sections: usize = course.lessons.iter().map(|lesson| of_lesson(lesson)).sum();
    (bytes > MOST_TEXT).then(|| (MOST_TEXT / sections.max(1)).max(LEAST_TEXT))
}

/// The sections of all lessons on their way into the index, brought in any order while the pages of the lessons are made,
/// so that no thread waits for an index of megabytes at the end.
pub(in crate::site) struct Sections<'s> {
    /// Takes rows in the order of the course, a piece at a time.
    take: &'s (dyn Fn(&str) + Sync),
    /// Letters of each section that are kept, unless all are.
    share: Option<usize>,
    line: Mutex<Line>,
}

/// Lessons in the order of the course: rows that are ready to go out, and those of lessons that came out of turn.
#[derive(Default)]
struct Line {
    json: String,
    /// Whether there were rows before these.
    begun: bool,
    next: usize,
    waiting: BTreeMap<usize, Box<str>>,
}

/// Bytes of rows that go out together.
const PIECE: usize = 128 * 1024;

impl<'s> Sections<'s> {
    /// None yet; `take` takes their rows, with at most `share` letters of each section.
    pub(in crate::site) fn new(take: &'s (dyn Fn(&str) + Sync), share: Option<usize>) -> Self {
        Self { take, share, line: Mutex::default() }
    }

    /// How many letters of a section are enough: one more than is kept shows that there is something to cut.
    pub(super) fn enough(&self) -> usize {
        self.share.map_or(usize::MAX, |share| share + 1)
    }

    /// For the rows of one lesson, in the room of others.
    pub(super) fn rows(&self, mut room: String) -> Index {
        room.clear();
        room.reserve(USUAL);
        Index::new(room, self.share)
    }

    /// Brings the rows of a lesson, by its place in the course; every lesson once. Gives their room back.
    pub(super) fn bring(&self, lesson: usize, rows: Index) -> String {
        let mut line = self.line.lock().unwrap_or_else(PoisonError::into_inner);
        if line.json.capacity() == 0 {
            // What grows moves, and each time into memory that is new to the processor.
            line.json.reserve(PIECE + PIECE / 2);
        }
        if lesson == line.next {
            line.take(&rows.json);
            while line.advance() {}
        } else {
            line.waiting.insert(lesson, Box::from(rows.json.as_str()));
        }
        if line.json.len() >= PIECE {
            // The lock keeps the pieces in their order.
            (self.take)(&line.json);
            line.json.clear();
        }
        rows.json
    }

    /// The rest of the rows, when all lessons were brought.
    pub(in crate::site) fn end(self) -> String {
        self.line.into_inner().unwrap_or_else(PoisonError::into_inner).json
    }
}

impl Line {
    /// Takes the rows of the lesson whose turn it is.
    fn take(&mut self, rows: &str) {
        self.next += 1;
        if !rows.is_empty() {
            if self.begun {
                self.json.push(',');
            }
            self.begun = true;
            self.json.push_str(rows);
        }
    }

    /// Takes the lesson whose turn it is, if it waits.
    fn advance(&mut self) -> bool {
        let Some(rows) = self.waiting.remove(&self.next) else { return false };
        self.take(&rows);
        true
    }
}

/// Where a text goes on after so many letters; nothing where it ends before.
fn after_letters(text: &str, letters: usize) -> Option<usize> {
    match text.as_bytes().get(..=letters)?.is_ascii() {
        true => Some(letters),
        false => text.char_indices().nth(letters).map(|(at, _)| at),
    }
}

/// Cuts a text between two words.
fn cut(text: &str, share: usize) -> &str {
    let Some(end) = after_letters(text, share) else { return text };
    &text[..text[..end].rfind(' ').unwrap_or(end)]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The texts that come out, section by section; each is that of a lesson of its own, and they come last one first.
    fn kept(texts: impl Iterator<Item = String>, share: Option<usize>) -> Vec<String> {
        let texts: Vec<String> = texts.collect();
        let out = Mutex::new(String::new());
        let take = |rows: &str| out.lock().expect("no thread panicked").push_str(rows);
        let sections = Sections::new(&take, share);
        for (lesson, text) in texts.into_iter().enumerate().rev() {
            let enough: String = text.chars().take(sections.enough()).collect();
            let mut rows = sections.rows(String::new());
            rows.add(&IndexEntry { group: LESSONS, text: &enough, ..IndexEntry::default() });
            sections.bring(lesson, rows);
        }
        let rest = sections.end();
        let all: Vec<(usize, String, String, String, String, String)> =
            serde_json::from_str(&format!("[{}{rest}]", out.into_inner().expect("as above"))).expect("rows of six");
        all.into_iter().map(|row| row.4).collect()
    }

    #[test]
    fn a_long_course_keeps_the_beginning_of_every_section() {
        let long = "word ".repeat(2_000);
        assert_eq!(kept([long.clone()].into_iter(), None), [long.as_str()]);
        let many = kept((0..20_000).map(|_| long.clone()), Some(LEAST_TEXT));
        assert_eq!(many.len(), 20_000);
        assert!(many.iter().all(|text| (LEAST_TEXT - 5..=LEAST_TEXT).contains(&text.len()) && text.ends_with("word")));
    }

    #[test]
    fn every_section_is_cut_alike_in_the_order_of_the_course() {
        // Lengths around the share, letters of several bytes, and texts without a blank.
        let text = |index: usize| match index % 3 {
            0 => "wörd ".repeat(index % 97),
            1 => "é".repeat(index % 701),
            _ => "a bc ".repeat(index % 180),
        };
        for share in [None, Some(LEAST_TEXT), Some(285), Some(666)] {
            let texts: Vec<String> = (0..5_000).map(text).collect();
            let cut_to = |text: &String| share.map_or(text.as_str(), |share| cut(text, share)).to_owned();
            let expected: Vec<String> = texts.iter().map(cut_to).collect();
            assert!(kept(texts.into_iter(), share) == expected, "{share:?}");
        }
    }
}
