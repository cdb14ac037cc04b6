//! How the events of a stock file are written down when the program is built (`build.rs`), to be read again at every start
//! (`tree/ahead.rs`).
//!
//! One event after the other: a letter for what it is, its first byte and the one after its last in the text, four bytes
//! each, lowest first; and of a value the length of its text with that text, unless it is [`AS_WRITTEN`].

use saphyr_parser::ScalarStyle;

/// In place of a length: the value is the text of the file at its place.
pub(crate) const AS_WRITTEN: u32 = u32::MAX;

/// The letters of values.
pub(crate) const STYLES: [(u8, ScalarStyle); 5] = [
    (b'p', ScalarStyle::Plain),
    (b's', ScalarStyle::SingleQuoted),
    (b'd', ScalarStyle::DoubleQuoted),
    (b'l', ScalarStyle::Literal),
    (b'f', ScalarStyle::Folded),
];
