//! Markup in which what belongs together stays on one line: a number with its unit, an address.

use std::borrow::Cow;
use tankside_calc::text::escape::{html, stays};

/// Markup with spaces that do not break in the quantities of its texts; what is inside tags stays as it is.
pub(super) fn unbroken(markup: &str) -> Cow<'_, str> {
    let (mut out, mut copied, mut in_tag) = (String::new(), 0, false);
    for (at, byte) in markup.bytes().enumerate() {
        match byte {
            b'<' => in_tag = true,
            b'>' => in_tag = false,
            b' ' if !in_tag && stays(markup, at) => {
                out.push_str(&markup[copied..at]);
                out.push('\u{a0}');
                copied = at + 1;
            }
            _ => {}
        }
    }
    if copied == 0 {
        return markup.into();
    }
    out.push_str(&markup[copied..]);
    out.into()
}

/// A text as markup in which an address of mail or of the web goes to the next line whole: a browser would break it at a
/// hyphen.
pub(super) fn whole_addresses(text: &str) -> String {
    let word = |word: &str| match word.contains('@') || word.contains("://") || word.starts_with("www.") {
        true => format!("<span class=\"tk-address\">{}</span>", html(word)),
        false => html(word),
    };
    text.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::{unbroken, whole_addresses};

    #[test]
    fn addresses_are_whole_and_other_words_are_as_they_were() {
        assert_eq!(
            whole_addresses("Ask the front-desk, <x@wash-bay.example>"),
            "Ask the front-desk, <span class=\"tk-address\">&lt;x@wash-bay.example&gt;</span>"
        );
    }

    #[test]
    fn quantities_in_texts_are_kept_together_and_tags_are_left_alone() {
        assert_eq!(
            unbroken(
                "As little as <b>100 psi</b> (7 bar) from <a title=\"7 bar\" href=\"x\">1.5 fl oz</a>; 2 <i>gal</i>"
            ),
            "As little as <b>100\u{a0}psi</b> (7\u{a0}bar) from <a title=\"7 bar\" href=\"x\">1.5\u{a0}fl\u{a0}oz</a>; 2 <i>gal</i>"
        );
        assert_eq!(unbroken("Wear gloves."), "Wear gloves.");
    }
}
