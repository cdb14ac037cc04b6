//! Typing mistakes that YAML takes for something else: a missing space, an odd space, a list too far left.

use super::lists::without_comment;
use crate::problem::{Rule, code};
use std::ops::Range;

/// A slip in a line of its own.
pub(super) struct Slip {
    pub(super) rule: &'static Rule,
    pub(super) title: String,
    pub(super) help: String,
}

/// Characters that look like a space and are not one in YAML: no-break, figure, thin, ideographic, zero-width.
pub(super) fn is_odd_space(letter: char) -> bool {
    matches!(
        letter,
        '\u{a0}' | '\u{2000}'..='\u{200b}' | '\u{202f}' | '\u{205f}' | '\u{3000}' | '\u{2060}' | '\u{feff}'
    )
}

/// For a key with odd spaces: the key without them.
pub(super) fn in_key(key: &str) -> Option<String> {
    key.contains(is_odd_space).then(|| key.chars().filter(|letter| !is_odd_space(*letter)).collect())
}

/// What keeps a text from being `key: value` or `- item`.
pub(super) fn in_line(text: &str) -> Option<Slip> {
    let line = text.lines().next().unwrap_or_default();
    let start = line.trim_start_matches(|letter: char| letter == ' ' || is_odd_space(letter));
    let head = &line[..line.len() - start.len()];
    let odd = |title: &str| Slip {
        rule: code::ODD_SPACE,
        title: title.to_owned(),
        help: "delete it and type a plain space in its place".to_owned(),
    };
    if head.contains(is_odd_space) {
        return Some(odd("this line starts with a space that is not a plain one"));
    }
    let (dash, rest) = match start.strip_prefix('-') {
        // Three dashes are a line of their own, and `-5` is a number.
        Some(rest) if !rest.starts_with(['-', ' ']) && !rest.starts_with(|c: char| c.is_ascii_digit() || c == '.') => {
            ("-", rest)
        }
        Some(rest) if rest.starts_with(' ') => ("", rest.trim_start()),
        _ => ("", start),
    };
    if dash == "-" {
        return match rest.chars().next() {
            Some(letter) if is_odd_space(letter) => Some(odd("the space after this `-` is not a plain one")),
            Some('#') => Some(Slip {
                rule: code::SPACE_MISSING,
                title: "a space is missing between this `-` and its comment".to_owned(),
                help: "write `- #`".to_owned(),
            }),
            Some(_) => Some(Slip {
                rule: code::SPACE_MISSING,
                title: "a space is missing after this `-`".to_owned(),
                help: format!("write `- {}`", short(rest)),
            }),
            None => None,
        };
    }
    let end = rest.find(|letter: char| !(letter.is_ascii_alphanumeric() || matches!(letter, '-' | '_')))?;
    let (key, value) = (&rest[..end], rest[end..].strip_prefix(':')?);
    if key.is_empty() || value.starts_with("//") {
        return None;
    }
    match value.chars().next() {
        Some(letter) if is_odd_space(letter) => {
            Some(odd(&format!("the space after the colon of `{key}` is not a plain one")))
        }
        Some('\t') => Some(odd(&format!("a tab follows the colon of `{key}`"))),
        Some(letter) if letter != ' ' && !letter.is_ascii_digit() => Some(Slip {
            rule: code::SPACE_MISSING,
            title: format!("a space is missing after the colon of `{key}`"),
            help: format!("write `{key}: {}`", short(value)),
        }),
        Some(letter) if letter.is_ascii_digit() && key.starts_with(|c: char| c.is_ascii_lowercase()) => Some(Slip {
            rule: code::SPACE_MISSING,
            title: format!("a space is missing after the colon of `{key}`"),
            help: format!("write `{key}: {}`", short(value)),
        }),
        _ => None,
    }
}

fn short(text: &str) -> String {
    text.trim_end().chars().take(60).collect()
}

/// How many lines above the place where the parser stopped are searched for the slip.
const LINES: usize = 3;

/// Why the parser stopped at `at`, if a slip in that line or just above it explains it.
pub(super) fn explain(text: &str, at: usize) -> Option<(Slip, Range<usize>)> {
    let lines = lines_before(text, at);
    let last = lines.last().cloned()?;
    for line in lines.iter().rev() {
        let written = &text[line.clone()];
        if let Some(slip) = in_line(written) {
            let start = line.start + (written.len() - written.trim_start_matches(' ').len());
            return Some((slip, start..line.end));
        }
    }
    list_too_far_left(text, &last)
}

/// The line of `at` and those just above it, without their ends.
pub(super) fn lines_before(text: &str, at: usize) -> Vec<Range<usize>> {
    let mut lines = Vec::new();
    let mut end = text[at..].find('\n').map_or(text.len(), |length| at + length);
    while lines.len() <= LINES {
        let start = text[..end].rfind('\n').map_or(0, |newline| newline + 1);
        if !text[start..end].trim().is_empty() {
            lines.push(start..start + text[start..end].trim_end().len());
        }
        if start == 0 {
            break;
        }
        end = start - 1;
    }
    lines.reverse();
    lines
}

/// An item `- …` further left than the key above that it belongs to.
fn list_too_far_left(text: &str, line: &Range<usize>) -> Option<(Slip, Range<usize>)> {
    let written = &text[line.clone()];
    let item = written.trim_start_matches(' ');
    if !item.starts_with("- ") {
        return None;
    }
    let above = text[..line.start].trim_end();
    let key_line = &above[above.rfind('\n').map_or(0, |newline| newline + 1)..];
    let key_line = without_comment(key_line);
    let key = key_line.trim_start_matches([' ', '-']).strip_suffix(':')?;
    let column = key_line.len() - key_line.trim_start_matches([' ', '-']).len();
    let indent = written.len() - item.len();
    if indent >= column {
        return None;
    }
    let start = line.start + indent;
    let slip = indented(key, column, item);
    Some((slip, start..line.end))
}

/// A list that is not below its key.
pub(super) fn indented(key: &str, column: usize, item: &str) -> Slip {
    Slip {
        rule: code::LIST_INDENT,
        title: format!("this list belongs to `{key}`, and is not indented below it"),
        help: match short(item) {
            whole if whole.len() == item.trim_end().len() => {
                format!("put {} spaces in front of it: `{}{whole}`", column + 2, " ".repeat(column + 2))
            }
            _ => format!("put {} spaces in front of it", column + 2),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_or_an_odd_space_is_seen() {
        for (line, code) in [
            ("calculator:catch-test", Some("space-missing")),
            ("  - text:What?", Some("space-missing")),
            ("minutes:5", Some("space-missing")),
            ("-one", Some("space-missing")),
            ("title:\u{a0}Catch", Some("odd-space")),
            ("-\u{a0}one", Some("odd-space")),
            ("\u{a0} title: x", Some("odd-space")),
            ("title: x", None),
            ("https://example.org", None),
            ("- -5 gal", None),
            ("1:15", None),
            ("plain words", None),
        ] {
            assert_eq!(in_line(line).map(|slip| slip.rule.code), code, "{line}");
        }
    }
}
