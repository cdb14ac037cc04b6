//! The YAML parser counts characters; everything else here counts bytes.

use std::ops::Range;

use saphyr_parser::Span;

/// From characters, in which the parser counts, to bytes.
pub(super) struct Bytes<'t> {
    text: &'t str,
    starts: Option<Vec<u32>>,
}

impl<'t> Bytes<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        // A file has at most 2 MiB, so every byte fits.
        let starts = || text.char_indices().map(|(at, _)| u32::try_from(at).unwrap_or(u32::MAX)).collect();
        Self { text, starts: if text.is_ascii() { None } else { Some(starts()) } }
    }

    pub(super) fn byte(&self, character: usize) -> usize {
        match &self.starts {
            None => character.min(self.text.len()),
            Some(starts) => starts.get(character).map_or(self.text.len(), |at| *at as usize),
        }
    }

    /// The bytes of a span, without the white space that the parser counts as the end of a value.
    pub(super) fn span(&self, span: Span) -> Range<usize> {
        let start = self.byte(span.start.index());
        let end = self.byte(span.end.index()).max(start);
        start..start + self.text[start..end].trim_end().len()
    }
}
