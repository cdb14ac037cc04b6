//! The entries of the index: made one by one, and cut where a course is long.

use crate::parallel::{in_parallel, threads};
use crate::site::assets::in_script;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use tankside_calc::text::json::Value;

/// The group of what is in lessons, which is the first one of the index.
pub(super) const LESSONS: &str = "search.in-lessons";

/// Total letters of text beyond which each section is cut: a phone reads and sorts this many in a moment.
const MOST_TEXT: usize = 2_000_000;
/// Letters of a section that are always kept, however long the course is.
const LEAST_TEXT: usize = 160;

/// The first byte of a line separator.
const SEPARATOR: u8 = "\u{2028}".as_bytes()[0];

/// One thing that can be found.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct IndexEntry {
    /// The phrase of its group: `search.in-lessons`.
    pub(super) group: &'static str,
    /// From the site's folder.
    pub(super) href: String,
    pub(super) title: String,
    /// Which lesson, which calculator; may be empty.
    pub(super) place: String,
    pub(super) text: String,
    /// Other words for the same thing; searched, but not shown.
    pub(super) also: String,
}

/// The index, each entry made into text as soon as it is known: a long course would fill memory with them.
pub(super) struct Index {
    pub(super) json: String,
    pub(super) groups: Vec<&'static str>,
}

impl Index {
    pub(super) fn add(&mut self, entry: IndexEntry) {
        let group = self.groups.iter().position(|group| *group == entry.group).unwrap_or_else(|| {
            self.groups.push(entry.group);
            self.groups.len() - 1
        });
        if !self.json.is_empty() {
            self.json.push(',');
        }
        let start = self.json.len();
        self.json.push('[');
        self.json.push_str(&group.to_string());
        for text in [&entry.href, &entry.title, &entry.place, &entry.text, &entry.also] {
            self.json.push(',');
            quoted(text, &mut self.json);
        }
        self.json.push(']');
        // What may not be in a script begins with one of these two.
        if memchr::memchr2(b'<', SEPARATOR, &self.json.as_bytes()[start..]).is_some() {
            let row = in_script(&self.json[start..]);
            self.json.truncate(start);
            self.json.push_str(&row);
        }
    }
}

/// A text as JSON has it. Nearly every one has nothing to escape.
fn quoted(text: &str, out: &mut String) {
    let escaped = |byte: u8| (byte < b' ') | (byte == b'"') | (byte == b'\\');
    if text.bytes().fold(false, |found, byte| found | escaped(byte)) {
        return out.push_str(&Value::from(text).line());
    }
    out.reserve(text.len() + 2);
    out.push('"');
    out.push_str(text);
    out.push('"');
}

/// The sections of all lessons on their way into the index, brought in any order while the pages of the lessons are made.
/// Where a course is so long that its index would be, the text of every section is cut; how short depends on how many
/// there are, so the first ones wait until that is certain. From then on what is ready goes out: no thread waits for an
/// index of megabytes at the end, and it is never in memory as a whole.
pub(in crate::site) struct Sections<'s> {
    /// Takes rows in the order of the course, a piece at a time.
    take: &'s (dyn Fn(&str) + Sync),
    /// Of those brought so far: neither ever becomes less, so what is certain now stays so.
    count: AtomicUsize,
    letters: AtomicUsize,
    line: Mutex<Line>,
}

/// Lessons in the order of the course: rows that are ready to go out, and lessons that came out of turn or wait.
#[derive(Default)]
struct Line {
    json: String,
    /// Whether there were rows before these.
    begun: bool,
    next: usize,
    waiting: BTreeMap<usize, Brought>,
}

/// The sections of one lesson.
enum Brought {
    /// Whole, or with more than will be kept.
    Sections(Vec<IndexEntry>),
    /// As they will be in the index.
    Rows(String),
}

/// How many lessons that waited are taken when another one comes: others want the line too.
const AT_ONCE: usize = 32;

/// Bytes of rows that go out together.
const PIECE: usize = 128 * 1024;

impl<'s> Sections<'s> {
    /// None yet; `take` takes their rows.
    pub(in crate::site) fn new(take: &'s (dyn Fn(&str) + Sync)) -> Self {
        Self { take, count: AtomicUsize::new(0), letters: AtomicUsize::new(0), line: Mutex::default() }
    }

    /// How many letters of a section are certain to be enough: one more than may be kept shows that there is something
    /// to cut.
    pub(super) fn enough(&self) -> usize {
        match self.letters.load(Ordering::Relaxed) > MOST_TEXT {
            true => share(self.count.load(Ordering::Relaxed)) + 1,
            false => usize::MAX,
        }
    }

    /// Brings the sections of a lesson, by its place in the course; every lesson once.
    pub(super) fn bring(&self, lesson: usize, mut sections: Vec<IndexEntry>) {
        let added: usize = sections.iter().map(|found| found.text.chars().count()).sum();
        let letters = self.letters.fetch_add(added, Ordering::Relaxed) + added;
        let count = self.count.fetch_add(sections.len(), Ordering::Relaxed) + sections.len();
        let long = letters > MOST_TEXT;
        // It will not be shorter than this, however many come.
        let certain = long && share(count) == LEAST_TEXT;
        let brought = if certain {
            Brought::Rows(rows_of(sections, Some(LEAST_TEXT)))
        } else {
            for found in sections.iter_mut().filter(|_| long) {
                // It will not be longer.
                if let Some(end) = after_letters(&found.text, share(count) + 1) {
                    found.text.truncate(end);
                    found.text.shrink_to_fit();
                }
            }
            Brought::Sections(sections)
        };
        let mut line = self.line.lock().unwrap_or_else(PoisonError::into_inner);
        line.waiting.insert(lesson, brought);
        if certain {
            (0..AT_ONCE).all(|_| line.take());
            if line.json.len() >= PIECE {
                // The lock keeps the pieces in their order.
                (self.take)(&line.json);
                line.json.clear();
            }
        }
    }

    /// The rest of the rows, when all lessons were brought.
    pub(in crate::site) fn end(self) -> String {
        let long = self.letters.into_inner() > MOST_TEXT;
        let most = long.then_some(share(self.count.into_inner()));
        let mut line = self.line.into_inner().unwrap_or_else(PoisonError::into_inner);
        let waiting = std::mem::take(&mut line.waiting).into_values();
        let waiting: Vec<Mutex<Option<Brought>>> = waiting.map(|one| Mutex::new(Some(one))).collect();
        let rest = in_parallel(&waiting, threads(), |one| {
            let brought = one.lock().unwrap_or_else(PoisonError::into_inner).take();
            brought.map_or_else(String::new, |brought| brought.rows(most))
        });
        line.json.reserve(rest.iter().map(|rows| rows.len() + 1).sum());
        rest.iter().for_each(|rows| line.append(rows));
        line.json
    }
}

impl Line {
    /// Takes the lesson whose turn it is, if it is there.
    fn take(&mut self) -> bool {
        let Some(brought) = self.waiting.remove(&self.next) else { return false };
        self.append(&brought.rows(Some(LEAST_TEXT)));
        self.next += 1;
        true
    }

    fn append(&mut self, rows: &str) {
        if rows.is_empty() {
            return;
        }
        if self.begun {
            self.json.push(',');
        }
        self.begun = true;
        self.json.push_str(rows);
    }
}

impl Brought {
    fn rows(self, most: Option<usize>) -> String {
        match self {
            Brought::Sections(sections) => rows_of(sections, most),
            Brought::Rows(rows) => rows,
        }
    }
}

/// The rows of one lesson, whose group is the first one of the index.
fn rows_of(sections: Vec<IndexEntry>, most: Option<usize>) -> String {
    let mut rows = Index { json: String::new(), groups: vec![LESSONS] };
    for found in sections {
        rows.add(match most {
            Some(share) => cut(found, share),
            None => found,
        });
    }
    rows.json
}

/// Letters of each section in a course that is too long for all.
fn share(sections: usize) -> usize {
    (MOST_TEXT / sections.max(1)).max(LEAST_TEXT)
}

/// Where a text goes on after so many letters; nothing where it ends before.
fn after_letters(text: &str, letters: usize) -> Option<usize> {
    match text.as_bytes().get(..=letters)?.is_ascii() {
        true => Some(letters),
        false => text.char_indices().nth(letters).map(|(at, _)| at),
    }
}

/// Cuts the text between two words.
fn cut(mut entry: IndexEntry, share: usize) -> IndexEntry {
    if let Some(end) = after_letters(&entry.text, share) {
        let end = entry.text[..end].rfind(' ').unwrap_or(end);
        entry.text.truncate(end);
    }
    entry
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The texts that come out, section by section; each is that of a lesson of its own, and they come last one first.
    fn kept(texts: impl Iterator<Item = String>) -> Vec<String> {
        let texts: Vec<String> = texts.collect();
        let out = Mutex::new(String::new());
        let take = |rows: &str| out.lock().expect("no thread panicked").push_str(rows);
        let sections = Sections::new(&take);
        for (lesson, text) in texts.into_iter().enumerate().rev() {
            let enough = text.chars().take(sections.enough()).collect();
            sections.bring(lesson, vec![IndexEntry { group: LESSONS, text: enough, ..IndexEntry::default() }]);
        }
        let rest = sections.end();
        let all: Vec<(usize, String, String, String, String, String)> =
            serde_json::from_str(&format!("[{}{rest}]", out.into_inner().expect("as above"))).expect("rows of six");
        all.into_iter().map(|row| row.4).collect()
    }

    #[test]
    fn a_long_course_keeps_the_beginning_of_every_section() {
        let long = "word ".repeat(2_000);
        assert_eq!(kept([long.clone()].into_iter()), [long.as_str()]);
        let many = kept((0..20_000).map(|_| long.clone()));
        assert_eq!(many.len(), 20_000);
        assert!(many.iter().all(|text| (LEAST_TEXT - 5..=LEAST_TEXT).contains(&text.len()) && text.ends_with("word")));
    }

    #[test]
    fn every_section_is_cut_alike_however_many_came_before_it() {
        // Lengths around the share, letters of several bytes, and texts without a blank.
        let text = |index: usize| match index % 3 {
            0 => "wörd ".repeat(index % 97),
            1 => "é".repeat(index % 701),
            _ => "a bc ".repeat(index % 180),
        };
        for count in [1, 3_000, 7_000, 12_499, 12_500, 15_000] {
            let texts: Vec<String> = (0..count).map(text).collect();
            let letters: usize = texts.iter().map(|text| text.chars().count()).sum();
            let whole = |text: &String| IndexEntry { text: text.clone(), ..IndexEntry::default() };
            let expected: Vec<String> = if letters > MOST_TEXT {
                texts.iter().map(|text| cut(whole(text), share(count)).text).collect()
            } else {
                texts.clone()
            };
            assert!(kept(texts.into_iter()) == expected, "{count} sections");
        }
    }
}
