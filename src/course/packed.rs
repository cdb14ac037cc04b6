//! A text kept small until it is wanted.

/// The HTML of a lesson between the two times it is needed: when the course is resolved and when its page is made.
///
/// Kept as it is, that of all lessons would take most of the memory; unpacking costs a thirteenth of reading the
/// Markdown again.
#[derive(Debug, Default)]
pub(super) struct PackedText {
    block: Box<[u8]>,
    /// Bytes of the text.
    pub(super) length: usize,
}

impl PackedText {
    /// Packs a text.
    pub(super) fn of(text: &str) -> Self {
        Self { block: lz4_flex::block::compress(text.as_bytes()).into_boxed_slice(), length: text.len() }
    }

    /// The text; nothing if the memory that holds it was damaged.
    pub(super) fn text(&self) -> Option<String> {
        String::from_utf8(lz4_flex::block::decompress(&self.block, self.length).ok()?).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::PackedText;

    #[test]
    fn every_text_comes_out_as_it_went_in() {
        let long = "<p>An acre is 43,560 ft², ½ of it is half.</p>\n".repeat(3_000);
        for text in ["", "a", "<p>é</p>", &long, &long[..70_001]] {
            assert_eq!(PackedText::of(text).text().as_deref(), Some(text));
        }
        assert!(PackedText::of(&long).block.len() < long.len() / 50);
    }
}
