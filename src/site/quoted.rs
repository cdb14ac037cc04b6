//! Texts as JSON that a script may hold.

use tankside_calc::text::json::Value;

/// Whether a byte cannot be written as it is, or begins a letter that cannot: few comparisons, so that the processor
/// makes them for many bytes side by side.
fn is_special(byte: u8) -> bool {
    const SEPARATOR: u8 = "\u{2028}".as_bytes()[0];
    (byte < b' ') | (byte == b'"') | (byte == b'\\') | (byte == b'<') | (byte == SEPARATOR)
}

/// Adds a text as JSON has it, so that it may be written inside a script. Nearly every one is written as it is.
pub(super) fn quoted(text: &str, out: &mut String) {
    out.reserve(text.len() + 2);
    out.push('"');
    let mut rest = text;
    if text.bytes().fold(false, |found, byte| found | is_special(byte)) {
        while let Some(at) = rest.bytes().position(is_special) {
            out.push_str(&rest[..at]);
            let mut letters = rest[at..].chars();
            match letters.next() {
                Some('"') => out.push_str("\\\""),
                Some('\\') => out.push_str("\\\\"),
                Some('<') => out.push_str("\\u003c"),
                Some('\u{2028}') => out.push_str("\\u2028"),
                Some(letter) if letter < ' ' => {
                    let line = Value::from(letter.to_string()).line();
                    out.push_str(line.trim_matches('"'));
                }
                letter => out.extend(letter),
            }
            rest = letters.as_str();
        }
    }
    out.push_str(rest);
    out.push('"');
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::assets::in_script;

    #[test]
    fn every_letter_is_written_as_the_general_writer_has_it() {
        let letters = (0..=0x2fff).chain([0xfeff, 0x1f33f]).filter_map(char::from_u32);
        for letter in letters {
            for text in [format!("{letter}"), format!("{letter}ab{letter}{letter}c"), format!("a worn nozzle {letter}")]
            {
                let mut out = String::from("[");
                quoted(&text, &mut out);
                assert_eq!(out[1..], in_script(&Value::from(text.as_str()).line()), "{text:?}");
            }
        }
    }
}
