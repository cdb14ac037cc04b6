//! Text as the template engine puts it into HTML. Its own way of doing that writes byte by byte.

use crate::markdown::escape::entity;
use std::io::{self, Write};

/// Writes a text with its entities: what lies between two of them is written at once.
pub(super) fn escape(text: &str, out: &mut dyn Write) -> io::Result<()> {
    let (bytes, mut from) = (text.as_bytes(), 0);
    for (at, byte) in bytes.iter().enumerate() {
        let Some(entity) = entity(*byte) else { continue };
        out.write_all(&bytes[from..at])?;
        out.write_all(entity.as_bytes())?;
        from = at + 1;
    }
    out.write_all(&bytes[from..])
}

/// The same as a text of its own.
pub(super) fn escaped(text: &str) -> String {
    let mut out = Vec::with_capacity(text.len());
    // Writing into memory does not fail.
    let _ = escape(text, &mut out);
    String::from_utf8(out).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_escaped_as_the_engine_does_it() {
        let all: String = (0..=127).map(char::from).collect();
        for text in ["", "plain", "<&>", "'é' \"½\"", "a & b", &all, &all.repeat(3)] {
            let mut engines = Vec::new();
            tera::escape_html(text, &mut engines).expect("it is memory");
            assert_eq!(escaped(text).into_bytes(), engines, "{text}");
        }
    }
}
