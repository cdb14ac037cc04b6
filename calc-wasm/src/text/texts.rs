//! Searching and joining texts. One plain search serves every kind of pattern: the standard one brings a copy of itself
//! for each, and a faster algorithm than ten letters need; the WebAssembly would be larger for nothing.

/// `text` before and after the first `mark`.
pub fn parted<'t>(text: &'t str, mark: &str) -> Option<(&'t str, &'t str)> {
    let last = text.len().checked_sub(mark.len())?;
    let found = (0..=last).find(|at| text.as_bytes()[*at..].starts_with(mark.as_bytes()))?;
    // A mark is whole letters, so that its ends are ends of letters.
    Some((text.get(..found)?, text.get(found + mark.len()..)?))
}

/// Where a byte is first in a text. A loop for short texts: the standard search begins with what pays for long ones.
pub(crate) fn place_of(text: &str, wanted: u8) -> Option<usize> {
    let (bytes, mut at) = (text.as_bytes(), 0);
    while at < bytes.len() {
        if bytes[at] == wanted {
            return Some(at);
        }
        at += 1;
    }
    None
}

/// `text` with `to` for every `mark`.
pub fn replaced(text: &str, mark: &str, to: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = parted(rest, mark) {
        out.push_str(before);
        out.push_str(to);
        rest = after;
    }
    out.push_str(rest);
    out
}

/// Whether something that a person typed is a letter: to the letter in Latin scripts, in coarse ranges beyond them. The
/// tables of the standard library know every script, and a page would load them for words that are no unit anyway.
pub(crate) fn is_letter(letter: char) -> bool {
    match letter {
        _ if letter.is_ascii() => letter.is_ascii_alphabetic(),
        '×' | '÷' => false,
        'ª' | 'µ' | 'º' | 'À'..='ˁ' | 'ℓ' => true,
        'Ͱ'..='\u{1fff}' | '\u{2c00}'..='\u{2dff}' | '\u{3041}'..='\u{d7ff}' | '\u{f900}'..='\u{faff}' => true,
        '\u{10000}'..='\u{1bfff}' | '\u{20000}'.. => true,
        _ => false,
    }
}

/// Whether it is a letter, a digit, a raised or lowered digit or a fraction in one character.
pub(crate) fn is_letter_or_number(letter: char) -> bool {
    is_letter(letter)
        || letter.is_ascii_digit()
        || matches!(letter, '²' | '³' | '¹' | '¼'..='¾' | '⁰' | '⁴'..='⁹' | '₀'..='₉' | '⅐'..='↉')
}

/// Whether a flat name is a pattern with, for each of its words `N` and `M`, a word of which `row` says yes; `row` is
/// asked with the pattern's word and the name's. Hundreds are compared for one answer, and nearly all differ in their
/// first letters.
pub(crate) fn word_by_word(pattern: &str, flat: &str, row: &mut dyn FnMut(&str, &str) -> bool) -> bool {
    let (own, have) = (pattern.as_bytes(), flat.as_bytes());
    if own.first() != have.first() && !own.is_empty() && !have.is_empty() && !matches!(own[0], b'N' | b'M') {
        return false;
    }
    let (mut at, mut here) = (0, 0);
    loop {
        // A word begins in both.
        if matches!(own.get(at), Some(b'N' | b'M')) && matches!(own.get(at + 1), None | Some(b'-')) {
            let rest = flat.get(here..).unwrap_or_default();
            let word = &rest[..rest.bytes().position(|byte| byte == b'-').unwrap_or(rest.len())];
            if !row(&pattern[at..=at], word) {
                return false;
            }
            (at, here) = (at + 1, here + word.len());
        }
        loop {
            match (own.get(at), have.get(here)) {
                (None, None) => return true,
                (Some(one), Some(other)) if one == other => (at, here) = (at + 1, here + 1),
                _ => return false,
            }
            if own[at - 1] == b'-' {
                break;
            }
        }
    }
}

/// Texts one after another, `by` between them.
pub fn joined<T: AsRef<str>>(texts: &[T], by: &str) -> String {
    let mut out = String::new();
    for (index, text) in texts.iter().enumerate() {
        if index > 0 {
            out.push_str(by);
        }
        out.push_str(text.as_ref());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{is_letter, is_letter_or_number, joined, parted, replaced, word_by_word};

    #[test]
    fn letters_of_latin_scripts_are_those_of_the_standard_library() {
        for letter in '\0'..='ˁ' {
            assert_eq!(is_letter(letter), letter.is_alphabetic(), "{letter:?}");
            assert_eq!(is_letter_or_number(letter), letter.is_alphanumeric(), "{letter:?}");
        }
        for letter in "Ωжם中あ한ℓ".chars() {
            assert!(is_letter(letter) && letter.is_alphabetic(), "{letter:?}");
        }
        for sign in "\u{a0}\u{301}′″–—−·“”…⁄√≈≤€™→½⅜⁴₂\u{2009}\u{202f}\u{200b}\u{feff}🚜".chars()
        {
            assert!(!is_letter(sign) && !sign.is_alphabetic(), "{sign:?}");
            assert_eq!(is_letter_or_number(sign), sign.is_numeric(), "{sign:?}");
        }
    }

    #[test]
    fn texts_are_parted_at_the_first_mark() {
        assert_eq!(parted("90 to 200 by 2 fl oz", " to "), Some(("90", "200 by 2 fl oz")));
        assert_eq!(parted("½ µL, ½ mL, 1", ", "), Some(("½ µL", "½ mL, 1")));
        assert_eq!((parted("90", " to "), parted("", "x"), parted("ab", "ab")), (None, None, Some(("", ""))));
    }

    #[test]
    fn every_mark_is_replaced() {
        assert_eq!(replaced("3 gal 2 gal ", "gal ", "gal<br>"), "3 gal<br>2 gal<br>");
        assert_eq!(replaced("ft^2", "²", "2"), "ft^2");
    }

    #[test]
    fn names_follow_patterns_word_by_word() {
        let divided = |pattern: &str, flat: &str| {
            let (own, have): (Vec<&str>, Vec<&str>) = (pattern.split('-').collect(), flat.split('-').collect());
            let is_row = |word: &str, other: &str| matches!(word, "N" | "M") && other.parse::<usize>().is_ok();
            own.len() == have.len() && own.iter().zip(have).all(|(word, other)| *word == other || is_row(word, other))
        };
        let names = [
            "",
            "-",
            "N",
            "1",
            "12",
            "mix",
            "mix-1",
            "mix-N",
            "mix-",
            "-mix",
            "volume-N-mix",
            "volume-1-mix",
            "volume-12-mix",
            "volume--mix",
            "volume-1",
            "volume-N",
            "volume-1-mixed",
            "Nozzle-N",
            "Nozzle-3",
            "N-M",
            "4-5",
            "volume-N-product-M",
            "volume-1-product-12",
            "volume-1-product",
            "volume-é-mix",
            "volume-1é-mix",
        ];
        for pattern in names {
            for name in names {
                let followed =
                    word_by_word(pattern, name, &mut |word, row| word == row || row.parse::<usize>().is_ok());
                assert_eq!(followed, divided(pattern, name), "{pattern} {name}");
            }
        }
    }

    #[test]
    fn texts_are_joined() {
        assert_eq!(joined(&["a".to_owned(), "b".to_owned()], "; "), "a; b");
        assert_eq!(joined::<&str>(&[], "; "), "");
    }
}
