//! A file as it was read, with its name; and the conversion from a byte to a line and a column.

use std::cell::RefCell;
use std::sync::Arc;

/// The name and the text of a file; cheap to copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Relative to the course, with forward slashes.
    pub name: Arc<str>,
    /// The whole text.
    pub text: Arc<str>,
}

impl Source {
    /// A file that has been read.
    pub fn new(name: impl Into<Arc<str>>, text: impl Into<Arc<str>>) -> Self {
        Self { name: name.into(), text: text.into() }
    }

    /// The place after the last character of the last line that holds one: where something missing at the end of the
    /// file belongs.
    pub(super) fn end(&self) -> std::ops::Range<usize> {
        let end = self.text.trim_end_matches(['\n', '\r']).len();
        end..end
    }

    /// Line and column of a byte, both from 1.
    pub fn line_column(&self, offset: usize) -> (usize, usize) {
        line_column(&self.text, offset)
    }
}

/// Where the lines of a text begin. Thousands of problems may be about one file, and counting its lines for each would
/// take the square of its length.
struct Lines {
    text: Arc<str>,
    starts: Vec<usize>,
    /// The last byte that was asked for and its column from 0: a line may be a megabyte long.
    last: (usize, usize),
}

impl Lines {
    fn of(text: &Arc<str>) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at + 1);
        Self { text: Arc::clone(text), starts: std::iter::once(0).chain(ends).collect(), last: (0, 0) }
    }

    fn line(&self, offset: usize) -> usize {
        self.starts.partition_point(|start| *start <= offset)
    }

    fn place(&mut self, offset: usize) -> (usize, usize) {
        let offset = floor(&self.text, offset);
        let line = self.line(offset);
        let start = self.starts[line - 1];
        let (from, before) = if (start..=offset).contains(&self.last.0) { self.last } else { (start, 0) };
        let column = before + self.text[from..offset].chars().count();
        self.last = (offset, column);
        (line, column + 1)
    }
}

thread_local! {
    /// The lines of the text that was asked about last: problems are sorted by file.
    static LAST: RefCell<Option<Lines>> = const { RefCell::new(None) };
}

fn with_lines<T>(text: &Arc<str>, look: impl FnOnce(&mut Lines) -> T) -> T {
    LAST.with_borrow_mut(|last| {
        if last.as_ref().is_none_or(|lines| !Arc::ptr_eq(&lines.text, text)) {
            *last = None;
        }
        look(last.get_or_insert_with(|| Lines::of(text)))
    })
}

/// Line and column of a byte, both from 1, the column in characters.
pub(super) fn line_column(text: &Arc<str>, offset: usize) -> (usize, usize) {
    with_lines(text, |lines| lines.place(offset))
}

/// The line of a byte, from 1, and where it begins and ends, without the characters that end it.
pub(super) fn line_of(text: &Arc<str>, offset: usize) -> (usize, std::ops::Range<usize>) {
    with_lines(text, |lines| {
        let line = lines.line(floor(text, offset));
        let end = lines.starts.get(line).map_or(text.len(), |next| next - 1);
        let start = lines.starts[line - 1];
        let end = if end > start && text[start..end].ends_with('\r') { end - 1 } else { end };
        (line, start..end)
    })
}

/// The nearest place at or before `offset` where a character begins.
pub(super) fn floor(text: &str, offset: usize) -> usize {
    let mut at = offset.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_lines_start_at_one() {
        let source = Source::new("a.md", "ab\nft² x\n");
        assert_eq!(source.line_column(0), (1, 1));
        assert_eq!(source.line_column(8), (2, 5));
        assert_eq!(source.line_column(999), (3, 1));
    }

    #[test]
    fn places_are_the_same_in_any_order_and_for_texts_in_turn() {
        let counted = |text: &str, offset: usize| {
            let before = &text[..floor(text, offset)];
            let line = before.matches('\n').count() + 1;
            (line, before.rsplit('\n').next().unwrap_or_default().chars().count() + 1)
        };
        let sources = ["", "\n", "a", "ab\r\n½ ft²\n\nlong ½½½ line", "½\n½"].map(|text| Source::new("a", text));
        for step in 1..7 {
            for (turn, source) in sources.iter().cycle().take(60).enumerate() {
                let offset = turn * step % (source.text.len() + 2);
                assert_eq!(source.line_column(offset), counted(&source.text, offset), "{:?} {offset}", source.text);
            }
        }
        let (line, range) = line_of(&sources[3].text, 1);
        assert_eq!((line, range), (1, 0..2), "the end of a line has no carriage return");
        assert_eq!(line_of(&sources[3].text, 999).0, 4);
    }
}
