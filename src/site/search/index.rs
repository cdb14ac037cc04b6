//! The entries of the index: made one by one, and cut where a course is long.

use crate::site::assets::in_script;
use tankside_calc::text::json::Value;

/// Total letters of text beyond which each section is cut: a phone reads and sorts this many in a moment.
const MOST_TEXT: usize = 2_000_000;
/// Letters of a section that are always kept, however long the course is.
const LEAST_TEXT: usize = 160;

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
        let mut row = vec![Value::Number(group as f64)];
        row.extend([entry.href, entry.title, entry.place, entry.text, entry.also].map(Value::from));
        if !self.json.is_empty() {
            self.json.push(',');
        }
        self.json.push_str(&in_script(&Value::List(row).line()));
    }
}

/// The sections of all lessons on their way into the index. Where a course is so long that its index would be, the text
/// of every section is cut; how short depends on how many there are, so the first ones wait until that is certain.
pub(super) struct Sections<'r> {
    rows: &'r mut Index,
    waiting: Vec<IndexEntry>,
    count: usize,
    letters: usize,
}

impl<'r> Sections<'r> {
    pub(super) fn new(rows: &'r mut Index) -> Self {
        Self { rows, waiting: Vec::new(), count: 0, letters: 0 }
    }

    pub(super) fn add(&mut self, mut entry: IndexEntry) {
        self.count += 1;
        self.letters += entry.text.chars().count();
        if self.letters > MOST_TEXT {
            let share = share(self.count);
            if share == LEAST_TEXT {
                // It will not be shorter than this, however many come.
                self.release();
                self.rows.add(cut(entry, share));
                return;
            }
            // It will not be longer; a letter more shows that something was there to cut.
            if let Some((end, _)) = entry.text.char_indices().nth(share + 1) {
                entry.text.truncate(end);
                entry.text.shrink_to_fit();
            }
        }
        self.waiting.push(entry);
    }

    fn release(&mut self) {
        let long = self.letters > MOST_TEXT;
        for entry in std::mem::take(&mut self.waiting) {
            self.rows.add(if long { cut(entry, share(self.count)) } else { entry });
        }
    }

    pub(super) fn finish(mut self) {
        self.release();
    }
}

/// Letters of each section in a course that is too long for all.
fn share(sections: usize) -> usize {
    (MOST_TEXT / sections.max(1)).max(LEAST_TEXT)
}

/// Cuts the text between two words.
fn cut(mut entry: IndexEntry, share: usize) -> IndexEntry {
    if let Some((end, _)) = entry.text.char_indices().nth(share) {
        let end = entry.text[..end].rfind(' ').unwrap_or(end);
        entry.text.truncate(end);
    }
    entry
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The texts that come out, section by section.
    fn kept(texts: impl Iterator<Item = String>) -> Vec<String> {
        let mut rows = Index { json: String::new(), groups: Vec::new() };
        let mut sections = Sections::new(&mut rows);
        texts.for_each(|text| sections.add(IndexEntry { group: "search.in-lessons", text, ..IndexEntry::default() }));
        sections.finish();
        let all: Vec<(usize, String, String, String, String, String)> =
            serde_json::from_str(&format!("[{}]", rows.json)).expect("rows of six");
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
