//! From the title of a problem, which may be inside another text, to a sentence.

/// The text with a capital letter and a full stop.
pub fn sentence(text: &str) -> String {
    let mut out = capital(text);
    if !out.is_empty() && !out.ends_with(['.', '!', '?', '…', ':']) {
        out.push('.');
    }
    out
}

/// The text with a capital letter. What begins with a name, a number or a quoted word keeps its start.
pub fn capital(text: &str) -> String {
    let text = text.trim();
    let mut out = String::with_capacity(text.len() + 1);
    let first: String = text.chars().take_while(|c| !c.is_whitespace()).collect();
    let word = first.trim_end_matches([',', ';']);
    // A name before a colon keeps its letters, and so does the program's own.
    let is_word =
        !word.is_empty() && word != "tankside" && word.chars().all(|c| c.is_alphabetic() || matches!(c, '\'' | '’'));
    let mut rest = text.chars();
    match rest.next() {
        Some(letter) if is_word && letter.is_lowercase() => {
            out.extend(letter.to_uppercase());
            out.push_str(rest.as_str());
        }
        _ => out.push_str(text),
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_becomes_a_sentence_and_a_name_keeps_its_letters() {
        assert_eq!(sentence("there is no caution `x`"), "There is no caution `x`.");
        assert_eq!(sentence("catch.1.volume: 5 ft is a distance"), "catch.1.volume: 5 ft is a distance.");
        assert_eq!(sentence("`title` is blank"), "`title` is blank.");
        assert_eq!(sentence("what now?"), "What now?");
        assert_eq!(sentence("density: it is needed"), "density: it is needed.");
        assert_eq!(capital("tankside work catch-test"), "tankside work catch-test");
        assert_eq!(sentence(" "), "");
        assert_eq!(sentence("HTML is not allowed"), "HTML is not allowed.");
    }
}
