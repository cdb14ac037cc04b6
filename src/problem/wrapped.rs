//! Text in lines of a width, broken where a reader would break it: at spaces, never inside a name or what is to be
//! pasted.

use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter};

/// Stands for a space at which a line must not end.
pub const KEPT: char = '\u{e000}';

/// The text in lines of at most `width` columns, the first after `first`, the others after `then`.
///
/// `day-plan` and `gal/1000 ft²` stay whole, and so does what is in backticks if it fits in a line.
pub fn wrapped(text: &str, width: usize, first: &str, then: &str) -> Vec<String> {
    let room = width.saturating_sub(display_width(first).max(display_width(then)));
    let mut kept = String::with_capacity(text.len());
    for (at, piece) in text.split('`').enumerate() {
        if at > 0 {
            kept.push('`');
        }
        // With its backticks, and a full stop after them.
        let whole = at % 2 == 1 && display_width(piece) + 3 <= room;
        if whole { kept.push_str(&piece.replace(' ', &KEPT.to_string())) } else { kept.push_str(piece) }
    }
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(then)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .break_words(false);
    textwrap::wrap(&kept, options).into_iter().map(|line| line.replace(KEPT, " ")).collect()
}

/// The same as one text.
pub fn filled(text: &str, width: usize, first: &str, then: &str) -> String {
    wrapped(text, width, first, then).join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_and_what_is_in_backticks_stay_whole() {
        let text = "Write `day-plan`, or one of `gal/1000 ft2` and `fl oz/1000 ft2`; tank-mix is another.";
        for width in 20..90 {
            let lines = wrapped(text, width, "  ", "    ");
            assert!(lines.iter().all(|line| display_width(line) <= width), "{width}: {lines:?}");
            for whole in ["`day-plan`", "`gal/1000 ft2`", "tank-mix"] {
                assert!(lines.iter().any(|line| line.contains(whole)), "{width}: {whole} in {lines:?}");
            }
            let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
            assert_eq!(words(&lines.join("\n")), words(text));
        }
        assert_eq!(filled("one `a b c d e f g h`", 10, "", ""), "one `a b c\nd e f g h`");
        assert_eq!(filled("", 10, "", ""), "");
    }
}
