//! A text kept small until it is wanted.

use lz4_flex::block::{CompressTable, compress_into_with_table, decompress_into, get_maximum_output_size};
use std::cell::{Cell, RefCell};

thread_local! {
    /// Where texts are unpacked.
    static ROOM: Cell<Vec<u8>> = const { Cell::new(Vec::new()) };
    /// What packing needs beside the text, made once for thousands of them.
    static DESK: RefCell<(CompressTable, Vec<u8>)> = RefCell::new((CompressTable::default(), Vec::new()));
}

/// The HTML of a lesson between the two times it is needed: when the course is resolved and when its page is made.
///
/// Kept as it is, that of all lessons would take most of the memory; unpacking costs a thirteenth of reading the
/// Markdown again.
#[derive(Debug, Default)]
pub(super) struct PackedText {
    block: Box<[u8]>,
    /// Bytes of the text.
    length: usize,
}

impl PackedText {
    /// Packs a text.
    pub(super) fn of(text: &str) -> Self {
        let block = DESK.with_borrow_mut(|(table, room)| {
            let most = get_maximum_output_size(text.len());
            if room.len() < most {
                room.resize(most, 0);
            }
            // There is room for the most that a text can take.
            let packed = compress_into_with_table(text.as_bytes(), room, table).unwrap_or_default();
            Box::from(&room[..packed])
        });
        Self { block, length: text.len() }
    }

    /// The text; nothing if the memory that holds it was damaged.
    pub(super) fn text(&self) -> Option<String> {
        self.with_text(str::to_owned)
    }

    /// What `read` makes of the text, which is unpacked to where the one before it was.
    pub(super) fn with_text<R>(&self, read: impl FnOnce(&str) -> R) -> Option<R> {
        let mut room = ROOM.take();
        if room.len() < self.length {
            room.resize(self.length, 0);
        }
        let length = decompress_into(&self.block, &mut room[..self.length]).ok();
        let text =
            length.filter(|length| *length == self.length).and_then(|length| str::from_utf8(&room[..length]).ok());
        let made = text.map(read);
        ROOM.set(room);
        made
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
