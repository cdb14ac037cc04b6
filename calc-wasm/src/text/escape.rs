//! The one place where text becomes HTML.

/// `text` as HTML text or attribute value.
pub fn html(text: &str) -> String {
    written(text, |_, _| false)
}

/// `text` as HTML in which a number stays on one line with its unit, and `fl oz` whole.
pub fn quantities(text: &str) -> String {
    written(text, stays)
}

/// `text` as HTML; a space at which `fixed` says so does not break.
fn written(text: &str, fixed: impl Fn(&str, usize) -> bool) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = 0;
    for (at, byte) in text.bytes().enumerate() {
        // Letters, the most of any text, come after all signs that are looked for.
        if byte > b'>' {
            continue;
        }
        let safe = match byte {
            b' ' if fixed(text, at) => "\u{a0}",
            b'&' => "&amp;",
            b'<' => "&lt;",
            b'>' => "&gt;",
            b'"' => "&quot;",
            b'\'' => "&#39;",
            b'\0' => "",
            _ => continue,
        };
        out.push_str(&text[rest..at]);
        out.push_str(safe);
        rest = at + 1;
    }
    out.push_str(&text[rest..]);
    out
}

/// Whether the space at a place belongs to a quantity: before its unit, inside `fl oz`, after `/` or the count of a
/// unit.
fn stays(text: &str, at: usize) -> bool {
    let (before, after) = (&text.as_bytes()[..at], &text[at + 1..]);
    let unit_follows = || after.starts_with(|next: char| is_letter(next) || next == '%');
    match before.last() {
        Some(b'/') => true,
        Some(b'l') => before.ends_with(b"fl") && after.starts_with("oz"),
        Some(b'0'..=b'9') => unit_follows(),
        _ => false,
    }
}

/// Letters of western Europe, and `µ`; signs such as × do not count.
fn is_letter(letter: char) -> bool {
    letter.is_ascii_alphabetic() || letter == 'µ' || (('À'..='ɏ').contains(&letter) && !matches!(letter, '×' | '÷'))
}

#[cfg(test)]
mod tests {
    #[test]
    fn numbers_stay_with_their_units() {
        let kept = super::quantities("186 fl oz ÷ 60 s in 2 catches at 1.5 gal/1000 ft²");
        assert_eq!(kept, "186\u{a0}fl\u{a0}oz ÷ 60\u{a0}s in 2\u{a0}catches at 1.5\u{a0}gal/1000\u{a0}ft²");
    }

    #[test]
    fn markup_becomes_text() {
        assert_eq!(super::html("<b a=\"1\">'&'\0"), "&lt;b a=&quot;1&quot;&gt;&#39;&amp;&#39;");
    }
}
