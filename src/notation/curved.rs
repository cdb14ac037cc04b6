//! Apostrophes as a reader expects them.

/// A text of an author's as it is shown: an apostrophe typed straight is curved, as in the lessons' own text. A foot
/// after a number stays as typed, and so does a quotation in single marks.
pub fn curved(text: String) -> String {
    if !text.contains('\'') {
        return text;
    }
    let (mut out, mut before, mut open) = (String::with_capacity(text.len() + 2), None::<char>, false);
    for (at, sign) in text.char_indices() {
        let joined = text[at + sign.len_utf8()..].starts_with(char::is_alphabetic);
        let after_word = before.is_some_and(char::is_alphabetic);
        let apostrophe = sign == '\'' && after_word && (joined || !open);
        if sign == '\'' && !apostrophe {
            open = !after_word && !before.is_some_and(|before| before.is_ascii_digit());
        }
        out.push(if apostrophe { '’' } else { sign });
        before = Some(sign);
    }
    out
}
