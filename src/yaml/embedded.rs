//! A piece of YAML inside another file, with the way back to the places of that file.

use std::borrow::Cow;
use std::ops::Range;

/// Text taken from a file. Inside a list or a quote its lines are indented, so it may be put together from pieces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Embedded<'a> {
    /// The text by itself.
    pub text: Cow<'a, str>,
    /// Where in the text a piece starts, and where in the file; rising, the first at 0.
    pieces: Vec<(usize, usize)>,
}

impl<'a> Embedded<'a> {
    /// A stretch of the file as it is.
    pub fn whole(text: &'a str, start: usize) -> Self {
        Self { text: Cow::Borrowed(text), pieces: vec![(0, start)] }
    }

    /// Nothing yet, at a place of the file.
    pub fn empty(start: usize) -> Self {
        Self { text: Cow::Borrowed(""), pieces: vec![(0, start)] }
    }

    /// Adds text that is at `start` in the file.
    pub fn push(&mut self, text: &'a str, start: usize) {
        if self.text.is_empty() {
            *self = Self::whole(text, start);
            return;
        }
        if self.to_file(self.text.len()) != start {
            self.pieces.push((self.text.len(), start));
        }
        self.text.to_mut().push_str(text);
    }

    /// The place in the file of a place in the text.
    pub fn to_file(&self, at: usize) -> usize {
        let after = self.pieces.partition_point(|(text, _)| *text <= at);
        let (text, file) = self.pieces[after.saturating_sub(1)];
        file + (at - text)
    }

    /// Where a stretch of the text is in the file.
    pub fn span(&self, span: &Range<usize>) -> Range<usize> {
        let start = self.to_file(span.start);
        // The end belongs to the piece of the last byte: the next piece may start far away.
        let end = if span.end > span.start { self.to_file(span.end - 1) + 1 } else { start };
        start..end.max(start)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_in_an_indented_block_lead_back_to_the_file() {
        let mut block = Embedded::empty(0);
        block.push("a: 1\n", 10);
        block.push("b: 2\n", 19);
        assert_eq!(block.text, "a: 1\nb: 2\n");
        assert_eq!(block.span(&(5..6)), 19..20);
        assert_eq!(block.span(&(0..4)), 10..14);
        assert_eq!(block.span(&(3..8)), 13..22);
    }

    #[test]
    fn neighboring_pieces_are_one() {
        let mut block = Embedded::empty(3);
        block.push("ab", 3);
        block.push("cd", 5);
        assert_eq!(block.pieces.len(), 1);
    }
}
