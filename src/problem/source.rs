//! A file as it was read, with its name; and the conversion from a byte to a line and a column.

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

/// Line and column of a byte, both from 1, the column in characters.
pub(super) fn line_column(text: &str, offset: usize) -> (usize, usize) {
    let before = &text[..floor(text, offset)];
    let line = line_number(text, offset);
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    (line, before[start..].chars().count() + 1)
}

/// The line of a byte, from 1.
pub(super) fn line_number(text: &str, offset: usize) -> usize {
    text[..floor(text, offset)].bytes().filter(|byte| *byte == b'\n').count() + 1
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
}
