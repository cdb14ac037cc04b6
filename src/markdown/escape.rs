//! The one place where text becomes HTML.

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

/// Bytes of a text that is looked through one by one.
const SHORT: usize = 32;

/// Text between tags.
pub fn text(out: &mut String, text: &str) {
    // Most texts are a few words, and end before a search for several signs at once has begun.
    if text.len() < SHORT && !text.bytes().any(|byte| matches!(byte, b'&' | b'<' | b'>')) {
        return out.push_str(text);
    }
    let mut copied = 0;
    for at in memchr::memchr3_iter(b'&', b'<', b'>', text.as_bytes()) {
        out.push_str(&text[copied..at]);
        out.push_str(match text.as_bytes()[at] {
            b'&' => "&amp;",
            b'<' => "&lt;",
            _ => "&gt;",
        });
        copied = at + 1;
    }
    out.push_str(&text[copied..]);
}

/// What stands for a byte that has a meaning of its own inside a quoted attribute, with either kind of quote.
pub(crate) fn entity(byte: u8) -> Option<&'static str> {
    match byte {
        b'&' => Some("&amp;"),
        b'<' => Some("&lt;"),
        b'>' => Some("&gt;"),
        b'"' => Some("&quot;"),
        b'\'' => Some("&#39;"),
        _ => None,
    }
}

/// Text inside a quoted attribute.
pub fn attribute(out: &mut String, text: &str) {
    replaced(out, text, entity);
}

/// An address inside a quoted attribute: what is not allowed in a URL is percent-encoded, what is already encoded
/// stays.
pub fn address(out: &mut String, address: &str) {
    for byte in address.bytes() {
        match byte {
            b'&' => out.push_str("&amp;"),
            b'\'' => out.push_str("&#39;"),
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' => out.push(char::from(byte)),
            b'-' | b'.' | b'_' | b'~' | b':' | b'/' | b'?' | b'#' | b'@' | b'!' | b'$' | b'(' | b')' | b'*' | b'+'
            | b',' | b';' | b'=' | b'%' => out.push(char::from(byte)),
            other => {
                const DIGITS: &[u8; 16] = b"0123456789ABCDEF";
                out.push('%');
                out.push(char::from(DIGITS[usize::from(other >> 4)]));
                out.push(char::from(DIGITS[usize::from(other & 15)]));
            }
        }
    }
}

/// Letters of a file's name that an address must not have as they are: all but the unreserved ones of RFC 3986, section
/// 2.3, and the slash between folders.
const FILE: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'.').remove(b'_').remove(b'~').remove(b'/');

/// The path of a file as an address inside a quoted attribute: a percent sign in it is a real percent sign.
pub fn file(out: &mut String, path: &str) {
    out.extend(utf8_percent_encode(path, FILE));
}

/// Copies whole stretches between the few characters that are replaced, each one byte.
fn replaced(out: &mut String, text: &str, replacement: impl Fn(u8) -> Option<&'static str>) {
    let mut copied = 0;
    for (at, byte) in text.bytes().enumerate() {
        if let Some(written) = replacement(byte) {
            out.push_str(&text[copied..at]);
            out.push_str(written);
            copied = at + 1;
        }
    }
    out.push_str(&text[copied..]);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_escapes_from_text_attribute_or_address() {
        let hostile = "<b a='\"'>&ft²";
        let written = |write: fn(&mut String, &str)| {
            let mut out = String::new();
            write(&mut out, hostile);
            out
        };
        assert_eq!(written(text), "&lt;b a='\"'&gt;&amp;ft²");
        assert_eq!(written(attribute), "&lt;b a=&#39;&quot;&#39;&gt;&amp;ft²");
        assert_eq!(written(address), "%3Cb%20a=&#39;%22&#39;%3E&amp;ft%C2%B2");
    }
}
