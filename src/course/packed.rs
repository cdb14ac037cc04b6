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
/// Beside the lesson's own text or its examples it is packed: all of thousands of lessons would take most of the memory.
/// Unpacking costs a thirteenth of reading the Markdown again.
#[derive(Debug)]
pub(super) enum KeptText {
    /// As it is.
    Whole(Box<str>),
    /// Packed, with the bytes that it has unpacked.
    Packed(Box<[u8]>, usize),
}

impl KeptText {
    /// Packs a text.
    pub(super) fn packed(text: &str) -> Self {
        let block = DESK.with_borrow_mut(|(table, room)| {
            let most = get_maximum_output_size(text.len());
            if room.len() < most {
                room.resize(most, 0);
            }
            // There is room for the most that a text can take.
            let packed = compress_into_with_table(text.as_bytes(), room, table).unwrap_or_default();
            Box::from(&room[..packed])
        });
        Self::Packed(block, text.len())
    }

    /// The text; nothing if the memory that holds it was damaged.
    pub(super) fn text(&self) -> Option<String> {
        self.with_text(str::to_owned)
    }

    /// How many bytes the text has.
    pub(super) fn len(&self) -> usize {
        match self {
            Self::Whole(text) => text.len(),
            Self::Packed(_, length) => *length,
        }
    }

    /// What `read` makes of the text. One that is packed is unpacked to where the one before it was.
    pub(super) fn with_text<R>(&self, read: impl FnOnce(&str) -> R) -> Option<R> {
        let (block, length) = match self {
            Self::Whole(text) => return Some(read(text)),
            Self::Packed(block, length) => (block, *length),
        };
        let mut room = ROOM.take();
        if room.len() < length {
            room.resize(length, 0);
        }
        let unpacked = decompress_into(block, &mut room[..length]).ok();
        let text = unpacked.filter(|bytes| *bytes == length).and_then(|bytes| str::from_utf8(&room[..bytes]).ok());
        let made = text.map(read);
        ROOM.set(room);
        made
    }
}

#[cfg(test)]
mod tests {
    use super::KeptText;

    #[test]
    fn every_text_comes_out_as_it_went_in() {
        let long = "<p>An acre is 43,560 ft², ½ of it is half.</p>\n".repeat(3_000);
        for text in ["", "a", "<p>é</p>", &long, &long[..70_001]] {
            for kept in [KeptText::packed(text), KeptText::Whole(text.into())] {
                assert_eq!((kept.text().as_deref(), kept.len()), (Some(text), text.len()));
            }
        }
        assert!(matches!(KeptText::packed(&long), KeptText::Packed(block, _) if block.len() < long.len() / 50));
    }
}
