//! Why the YAML parser stopped, read from the author's text and not from the parser's words.

use crate::problem::code;
use std::ops::Range;

use super::lists;
use super::mistyped;
use super::slips;
use super::tree::{DEPTH_LIMIT, Refusal, refusal};
use super::unbraced;

/// Where the reader was when the parser stopped.
pub(super) struct Stopped<'t> {
    pub(super) text: &'t str,
    /// Where the parser stopped, in bytes.
    pub(super) at: usize,
    /// Lists and mappings that are open.
    pub(super) depth: usize,
    /// The innermost bracket or brace that is open.
    pub(super) bracket: Option<usize>,
    /// Where the last thing read ends.
    pub(super) read: usize,
}

/// What is wrong, in the author's words, with its place and what to write.
pub(super) fn explain(stopped: &Stopped<'_>) -> Refusal {
    let (text, at) = (stopped.text, stopped.at.min(stopped.text.len()));
    if stopped.depth + unclosed(&text[stopped.read.min(at)..at]) >= DEPTH_LIMIT {
        // The parser has a limit of its own, above ours, which it may reach first because it reads ahead.
        return too_deep(at..at);
    }
    if let Some(tab) = tab_in_front(text, at) {
        let title = "there is a tab in front of this line, and YAML takes only spaces there";
        return syntax(title, tab..tab + 1, "put spaces in place of the tab");
    }
    if let Some(start) = open_quote(text, at) {
        let title = "this quote is never closed, or it is closed inside the text";
        let help = "close the text with the same quote, and write a quote inside it with the other kind: \"a 'b' c\"";
        // A text by itself in its line is written out; in braces, where it ends is not known.
        let line = text[start..].lines().next().unwrap_or_default();
        let words = line.trim_matches(|letter: char| letter.is_whitespace() || letter == '"' || letter == '\'');
        let alone =
            !words.is_empty() && words.chars().count() <= 120 && !words.contains(['"', '{', '}', '[', ']', '\\']);
        let line_start = text[..start].rfind('\n').map_or(0, |end| end + 1);
        let in_braces = text[line_start..start].contains(['{', '[']);
        if let Some(written) = unbraced::quotes_within(line).filter(|_| !in_braces) {
            return syntax(title, start..start + 1, &written);
        }
        let alone = alone && !in_braces;
        let written = format!("write `\"{words}\"`");
        return syntax(title, start..start + 1, if alone { &written } else { help });
    }
    if let Some((cut, help)) = cut_brace(text, at) {
        return syntax("a `#` after a space starts a comment, so the `}` after it is not read", cut, &help);
    }
    if let Some((slip, span)) = slips::explain(text, at) {
        return refusal(slip.rule, slip.title, span, &slip.help);
    }
    if let Some((title, span, help)) = unbraced::explain(text, at) {
        return syntax(&title, span, &help);
    }
    if let Some((title, span, help)) = lists::beside_key(text, at) {
        return refusal(code::LIST_INDENT, title, span, &help);
    }
    if let Some((title, span, help)) = mistyped::explain(text, at) {
        return syntax(&title, span, &help);
    }
    let line = line_of(text, at);
    let written = &text[line.clone()];
    let in_braces = second_colon(written).filter(|_| written.contains('{'));
    if let Some((colon, help)) = in_braces {
        return syntax("this value has a second colon", line.start + colon..line.start + colon + 1, &help);
    }
    if let Some(start) = stopped.bracket {
        let title = "this bracket is not closed as expected";
        let help = "close `[` with `]` and `{` with `}`, and put commas between the values";
        return syntax(title, start..start + 1, help);
    }
    if let Some((colon, help)) = second_colon(written) {
        let colon = line.start + colon;
        return syntax("there is a second colon in this line", colon..colon + 1, &help);
    }
    let next = text[at..].chars().next().unwrap_or('\n');
    if matches!(next, '@' | '`' | '%' | '&' | '*' | '!' | '|' | '>' | '?' | ',' | ']' | '}' | '#') {
        let title = format!("a text cannot begin with `{next}` in YAML");
        let rest: String = text[at..line.end.max(at)].trim_end().chars().take(60).collect();
        return syntax(&title, at..at + next.len_utf8(), &format!("put the text in quotes: `\"{rest}\"`"));
    }
    let from = line.start + (written.len() - written.trim_start().len());
    let place = if written.trim().is_empty() { at..at } else { from..line.end };
    syntax(
        "a line `key: value` is expected here, indented like the lines around it",
        place,
        "write `key: value`; every key of one thing begins in the same column",
    )
}

pub(super) fn too_deep(place: Range<usize>) -> Refusal {
    refusal(code::TOO_DEEP, format!("this is nested deeper than {DEPTH_LIMIT} levels"), place, "use fewer levels")
}

fn syntax(title: &str, place: Range<usize>, help: &str) -> Refusal {
    refusal(code::YAML_SYNTAX, title, place, help)
}

/// Brackets that a text opens and does not close, and dashes in a row.
fn unclosed(text: &str) -> usize {
    let (mut open, mut most) = (0_usize, 0);
    for letter in text.chars() {
        match letter {
            '[' | '{' | '-' | '?' => open += 1,
            ']' | '}' => open = open.saturating_sub(1),
            '\n' => open = 0,
            _ => {}
        }
        most = most.max(open);
    }
    most
}

/// The line of `at`, or the one before it where that is empty: the parser may stop at the end of the text.
fn line_of(text: &str, at: usize) -> Range<usize> {
    let start = text[..at].rfind('\n').map_or(0, |end| end + 1);
    let end = text[at..].find('\n').map_or(text.len(), |length| at + length);
    if text[start..end].trim().is_empty() && start > 0 {
        let before = text[..start].trim_end();
        return before.rfind('\n').map_or(0, |newline| newline + 1)..before.len();
    }
    start..start + text[start..end].trim_end().len()
}

/// The tab in front of a line, from the line of `at` on: the parser stops where the text before it began.
fn tab_in_front(text: &str, at: usize) -> Option<usize> {
    let mut start = text[..at].rfind('\n').map_or(0, |end| end + 1);
    for line in text[start..].split_inclusive('\n').take(2) {
        if let Some(tab) = line[..line.len() - line.trim_start().len()].find('\t') {
            return Some(start + tab);
        }
        start += line.len();
    }
    None
}

/// The quote at which the parser stopped, or that opens the value in the line of `at` or the line above.
fn open_quote(text: &str, at: usize) -> Option<usize> {
    let value = |line: Range<usize>| {
        let written = &text[line.clone()];
        let colon = written.find(": ").map(|colon| colon + 2).or_else(|| written.find("- ").map(|dash| dash + 2))?;
        let start = colon + (written[colon..].len() - written[colon..].trim_start().len());
        let quote = written[start..].chars().next().filter(|letter| matches!(letter, '"' | '\''))?;
        let inside = &written[start + 1..];
        let closed = inside.trim_end().trim_end_matches([',', ']', '}', ' ']).ends_with(quote);
        let many = inside.matches(quote).count() != 1;
        (!closed || many).then_some(line.start + start)
    };
    if text[at..].starts_with(['"', '\'']) {
        return Some(at);
    }
    let line = line_of(text, at);
    let above = text[..line.start].trim_end_matches('\n');
    let above = above.rfind('\n').map_or(0, |newline| newline + 1)..above.len();
    value(line).or_else(|| value(above))
}

/// A ` #` in one of the last lines up to `at` that cuts off a closing brace: its place, and what to write.
fn cut_brace(text: &str, at: usize) -> Option<(Range<usize>, String)> {
    slips::lines_before(text, at).into_iter().rev().find_map(|line| {
        let written = &text[line.clone()];
        let cut = written.match_indices(" #").map(|(cut, _)| cut + 1).find(|cut| {
            let before = &written[..*cut];
            before.matches('"').count().is_multiple_of(2) && before.matches('{').count() > before.matches('}').count()
        })?;
        let end = cut + written[cut..].find('}')?;
        let start = written[..cut].rfind([',', '{'])? + 1;
        let (key, value) = written[start..end].split_once(": ")?;
        // `text: Use tank # 3, right: true`: the next key does not belong to the text.
        let value = &value[..next_key(value).unwrap_or(value.len())];
        let help = format!("put the text in quotes: `{}: \"{}\"`", key.trim(), value.trim().replace('"', "\\\""));
        Some((line.start + cut..line.start + end, help))
    })
}

/// Where a value within braces ends because `, key:` follows.
fn next_key(value: &str) -> Option<usize> {
    value.match_indices(", ").map(|(comma, _)| comma).find(|comma| {
        let rest = &value[comma + 2..];
        let key = rest.split(':').next().unwrap_or_default();
        let lower = |letter: u8| letter.is_ascii_lowercase() || letter == b'-';
        !key.is_empty() && key.bytes().all(lower) && rest[key.len()..].starts_with(": ")
    })
}

/// For a text that contains a colon and a space: where, and the line with the text in quotes.
fn second_colon(line: &str) -> Option<(usize, String)> {
    if let Some(open) = line.find('{') {
        // Within braces each part between commas is a key and its value.
        let mut start = open + 1;
        for part in line[open + 1..].split(',') {
            if let Some((colon, help)) = second_colon_of(part) {
                return Some((start + colon, help));
            }
            start += part.len() + 1;
        }
        return None;
    }
    second_colon_of(line)
}

fn second_colon_of(line: &str) -> Option<(usize, String)> {
    let first = line.find(": ")?;
    let second =
        first + 2 + line[first + 2..].find(": ").or_else(|| line[first + 2..].strip_suffix(':').map(str::len))?;
    let value = line[first + 2..].trim().trim_end_matches(['}', ' ']);
    let value = value.trim_matches(['\u{201c}', '\u{201d}']);
    let key = line[..first].trim_start_matches([' ', '-']);
    let quoted = value.replace('\\', "\\\\").replace('"', "\\\"");
    Some((second, format!("put the text in quotes: `{key}: \"{quoted}\"`")))
}
