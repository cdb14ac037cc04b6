//! The one place where text becomes HTML.

/// `text` as HTML text or attribute value.
pub fn html(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut rest = 0;
    for (at, byte) in text.bytes().enumerate() {
        let safe = match byte {
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

/// `text` as HTML in which a number stays on one line with its unit, and `fl oz` whole.
pub fn quantities(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut before = ' ';
    for (index, letter) in text.char_indices() {
        let after = &text[index + letter.len_utf8()..];
        let unit_follows = after.starts_with(|next: char| is_letter(next) || next == '%');
        let inside_unit = before == 'l' && after.starts_with("oz") && text[..index].ends_with("fl");
        let counted =
            before == '/' || (text[..index].ends_with("1000") || text[..index].ends_with("100")) && unit_follows;
        if letter == ' ' && ((before.is_ascii_digit() && unit_follows) || inside_unit || counted) {
            out.push('\u{a0}');
        } else {
            out.push(letter);
        }
        before = letter;
    }
    html(&out)
}

/// Letters of western Europe, and `µ`; signs such as × are none.
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
