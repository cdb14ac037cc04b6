//! Searching and joining texts. One plain search serves every kind of pattern: the standard one brings a copy of itself
//! for each, and a faster algorithm than ten letters need; the WebAssembly would be larger for nothing.

/// `text` before and after the first `mark`.
pub fn parted<'t>(text: &'t str, mark: &str) -> Option<(&'t str, &'t str)> {
    let last = text.len().checked_sub(mark.len())?;
    let found = (0..=last).find(|at| text.as_bytes()[*at..].starts_with(mark.as_bytes()))?;
    // A mark is whole letters, so that its ends are ends of letters.
    Some((text.get(..found)?, text.get(found + mark.len()..)?))
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

/// Texts one after another, `by` between them.
pub fn joined(texts: &[String], by: &str) -> String {
    let mut out = String::new();
    for (index, text) in texts.iter().enumerate() {
        if index > 0 {
            out.push_str(by);
        }
        out.push_str(text);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{joined, parted, replaced};

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
    fn texts_are_joined() {
        assert_eq!(joined(&["a".to_owned(), "b".to_owned()], "; "), "a; b");
        assert_eq!(joined(&[], "; "), "");
    }
}
