//! Many short texts in a few large pieces: each takes its own bytes and one more, and nothing is moved when more come.

/// Bytes of a piece; a longer text gets a piece as long as several.
const PIECE: usize = 256 * 1024;
/// The most bytes of a number in front of a text.
const NUMBER: usize = 10;

/// Where a text is: its piece, and its place in it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Place(u32);

/// The texts, 4 GB of them at most.
#[derive(Debug, Default)]
pub(super) struct Store {
    pieces: Vec<Vec<u8>>,
}

impl Store {
    /// Keeps a text.
    pub(super) fn keep(&mut self, text: &[u8]) -> Place {
        let need = text.len() + NUMBER;
        if self.pieces.last().is_none_or(|last| last.capacity() == 0 || last.len() + need > PIECE) {
            let pieces = need.div_ceil(PIECE);
            self.pieces.push(Vec::with_capacity(pieces * PIECE));
            // The places that a long one takes up; it is full, so that the next text gets a piece of its own.
            self.pieces.extend((1..pieces).map(|_| Vec::new()));
        }
        let piece = self.pieces.iter().rposition(|piece| piece.capacity() > 0).unwrap_or(0);
        let Some(into) = self.pieces.get_mut(piece) else { return Place::default() };
        let place = Place((piece * PIECE + into.len()) as u32);
        put(into, text.len() as u64);
        into.extend_from_slice(text);
        place
    }

    /// A text that was kept.
    pub(super) fn get(&self, Place(place): Place) -> &[u8] {
        let (piece, from) = (place as usize / PIECE, place as usize % PIECE);
        Unpack(self.pieces.get(piece).and_then(|piece| piece.get(from..)).unwrap_or_default()).bytes()
    }

    /// A text that was kept as text.
    pub(super) fn text(&self, place: Place) -> &str {
        std::str::from_utf8(self.get(place)).unwrap_or_default()
    }
}

/// Writes a number in as few bytes as it needs: seven bits in each, the lowest first, the eighth says that more follow.
pub(super) fn put(out: &mut Vec<u8>, mut number: u64) {
    while number >= 0x80 {
        out.push(number as u8 | 0x80);
        number >>= 7;
    }
    out.push(number as u8);
}

/// Writes a text with its length in front.
pub(super) fn put_text(out: &mut Vec<u8>, text: &str) {
    put(out, text.len() as u64);
    out.extend_from_slice(text.as_bytes());
}

/// Reads what [`put`] and [`put_text`] wrote, one after another; beyond the end everything is empty.
#[derive(Clone, Copy, Debug)]
pub(super) struct Unpack<'a>(pub(super) &'a [u8]);

impl<'a> Unpack<'a> {
    /// A number.
    pub(super) fn number(&mut self) -> u64 {
        let (mut number, mut shift) = (0, 0);
        while let Some((first, rest)) = self.0.split_first() {
            self.0 = rest;
            number |= u64::from(first & 0x7f) << shift;
            shift += 7;
            if first & 0x80 == 0 || shift > 63 {
                break;
            }
        }
        number
    }

    /// Bytes with their length in front.
    pub(super) fn bytes(&mut self) -> &'a [u8] {
        let length = usize::try_from(self.number()).unwrap_or(usize::MAX).min(self.0.len());
        let (bytes, rest) = self.0.split_at(length);
        self.0 = rest;
        bytes
    }

    /// A text.
    pub(super) fn text(&mut self) -> &'a str {
        std::str::from_utf8(self.bytes()).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_come_back_from_any_piece() {
        let mut store = Store::default();
        let long = "x".repeat(PIECE + 1);
        let texts = ["", "Ada", &long, "ñ", &long[..PIECE - 5], "last"];
        let places: Vec<Place> = texts.iter().map(|text| store.keep(text.as_bytes())).collect();
        assert!(store.pieces.len() > 2);
        for (place, text) in places.iter().zip(texts) {
            assert_eq!(store.text(*place), text);
        }
    }

    #[test]
    fn numbers_of_any_size_come_back() {
        let numbers = [0, 1, 127, 128, 300, u64::from(u32::MAX), u64::MAX];
        let mut out = Vec::new();
        numbers.iter().for_each(|number| put(&mut out, *number));
        put_text(&mut out, "2 gal");
        let mut unpack = Unpack(&out);
        assert!(numbers.iter().all(|number| unpack.number() == *number));
        assert_eq!((unpack.text(), unpack.number(), unpack.text()), ("2 gal", 0, ""));
    }
}
