//! The one place where text becomes HTML.

/// Puts pieces of markup at the end of a text, one after another: each is markup as it is, or a text that is escaped on
/// the way, `html(text)` or `quantities(text)`, without a text of its own in between.
macro_rules! markup {
    ($out:expr, $($pieces:tt)+) => {{
        let out: &mut String = $out;
        $crate::text::escape::markup_pieces!(out; $($pieces)+);
    }};
}

macro_rules! markup_pieces {
    ($out:ident;) => {};
    ($out:ident; html($text:expr) $(, $($rest:tt)*)?) => {
        $crate::text::escape::put_html($text, $out);
        $crate::text::escape::markup_pieces!($out; $($($rest)*)?);
    };
    ($out:ident; quantities($text:expr) $(, $($rest:tt)*)?) => {
        $crate::text::escape::put_quantities($text, $out);
        $crate::text::escape::markup_pieces!($out; $($($rest)*)?);
    };
    ($out:ident; $piece:expr $(, $($rest:tt)*)?) => {
        $out.push_str($piece);
        $crate::text::escape::markup_pieces!($out; $($($rest)*)?);
    };
}

pub(crate) use {markup, markup_pieces};

/// `text` as HTML text or attribute value.
pub fn html(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    put_html(text, &mut out);
    out
}

/// `text` as HTML in which a number stays on one line with its unit, and `fl oz` whole.
pub fn quantities(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    put_quantities(text, &mut out);
    out
}

/// Puts the text of [`html`] at the end of `out`.
pub(crate) fn put_html(text: &str, out: &mut String) {
    put(text, false, out);
}

/// Puts the text of [`quantities`] at the end of `out`.
pub(crate) fn put_quantities(text: &str, out: &mut String) {
    put(text, true, out);
}

/// What HTML must not hold as it is, a bit for each byte.
const SIGNS: u64 = 1 << b'\0' | 1 << b'"' | 1 << b'&' | 1 << b'\'' | 1 << b'<' | 1 << b'>';

/// `text` as HTML; where `kept`, a space within a quantity does not break.
fn put(text: &str, kept: bool, out: &mut String) {
    let bytes = text.as_bytes();
    let looked_for = if kept { SIGNS | 1 << b' ' } else { SIGNS };
    let (mut rest, mut at) = (0, 0);
    while at < bytes.len() {
        let byte = bytes[at];
        at += 1;
        // Letters, the most of any text, come after all signs; digits are among them.
        if byte > b'>' || looked_for >> byte & 1 == 0 {
            continue;
        }
        let safe = match byte {
            b' ' if kept && stays(text, at - 1) => "\u{a0}",
            b'&' => "&amp;",
            b'<' => "&lt;",
            b'>' => "&gt;",
            b'"' => "&quot;",
            b'\'' => "&#39;",
            b'\0' => "",
            _ => continue,
        };
        out.push_str(&text[rest..at - 1]);
        out.push_str(safe);
        rest = at;
    }
    out.push_str(&text[rest..]);
}

/// Whether the space at this byte of a text belongs to a quantity: before its unit, inside `fl oz`, after `/` or the
/// count of a unit.
pub fn stays(text: &str, at: usize) -> bool {
    let (before, after) = (&text.as_bytes()[..at], &text.as_bytes()[at + 1..]);
    match before.last() {
        Some(b'/') => true,
        Some(b'l') => before.ends_with(b"fl") && after.starts_with(b"oz"),
        Some(b'0'..=b'9') => match after.first() {
            Some(b'%' | b'a'..=b'z' | b'A'..=b'Z') => true,
            Some(128..) => text[at + 1..].chars().next().is_some_and(is_letter),
            _ => false,
        },
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
