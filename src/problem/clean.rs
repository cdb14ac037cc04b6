//! Text from files, made fit for a terminal.

use std::borrow::Cow;

/// Replaces what could control a terminal or change the reading direction with a visible mark; tabs and line ends stay.
pub fn clean(text: &str) -> Cow<'_, str> {
    if !text.chars().any(steers) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().map(|c| if steers(c) { '\u{fffd}' } else { c }).collect())
}

/// The same for JSON, which has an escape for such a character, so nothing is lost.
pub fn clean_json(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        // All of them lie in the first plane, so one escape says each.
        if steers(c) { out.push_str(&format!("\\u{:04x}", u32::from(c))) } else { out.push(c) }
    }
    out
}

/// Whether a character is a control or one of the marks that reorder the text around them (Unicode UAX 9).
fn steers(c: char) -> bool {
    match c {
        '\n' | '\t' => false,
        '\u{200e}' | '\u{200f}' | '\u{061c}' | '\u{2028}' | '\u{2029}' | '\u{feff}' => true,
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => true,
        _ => c.is_control(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escape_sequences_and_direction_marks_do_not_reach_the_terminal() {
        assert_eq!(clean("a\u{1b}[31mb\u{202e}c\td"), "a\u{fffd}[31mb\u{fffd}c\td");
        assert_eq!(clean_json("{\"a\": \"b\u{202e}c\"}\n"), "{\"a\": \"b\\u202ec\"}\n");
        assert!(matches!(clean("plain ft²"), Cow::Borrowed(_)));
    }
}
