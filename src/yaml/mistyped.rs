//! Texts and brackets that YAML reads otherwise than their author meant: seen in the lines up to the place where the parser
//! stopped, which is often below the mistake.

use std::ops::Range;

use super::lists::without_comment;
use super::slips::lines_before;

/// What is wrong, where, and what to write.
pub(super) type Seen = (String, Range<usize>, String);

/// Keys in braces, one after the other: a colon after one of them in the middle of a value means that a comma
/// is missing in front of it.
pub(super) const IN_BRACES: &[&str] = &[
    "area", "ask", "asks", "bank", "because", "distance", "file", "given", "id", "kind", "name", "options", "parts",
    "product", "rate", "right", "severity", "source", "sources", "term", "text", "time", "title", "topic", "unit",
    "volume",
];

/// The longest text that is written out in a help line.
const WRITTEN: usize = 160;

/// The mistake in the lines up to `at`, the nearest first.
pub(super) fn explain(text: &str, at: usize) -> Option<Seen> {
    let lines = lines_before(text, at);
    let of_line: [fn(&str) -> Option<Seen>; 5] = [apostrophe, braces_at_start, comma_missing, other_sign, other_dash];
    for line in lines.iter().rev() {
        let moved = |(title, span, help): Seen| (title, line.start + span.start..line.start + span.end, help);
        if let Some(seen) = of_line.iter().find_map(|seen| seen(&text[line.clone()])) {
            return Some(moved(seen));
        }
    }
    folded(text, &lines)
        .or_else(|| open_above(text, &lines))
        .or_else(|| item_out_of_line(text, &lines))
        .or_else(|| key_out_of_line(text, &lines))
        .or_else(|| key_below_value(text, &lines))
}

/// A text in double quotes.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

/// The key and the start of the value of a line, without the dash of an item.
fn key_and_value(line: &str) -> Option<(&str, usize)> {
    let start = line.len() - line.trim_start_matches([' ', '-']).len();
    let colon = start + line[start..].find(": ")?;
    let key = &line[start..colon];
    let word = !key.is_empty() && key.bytes().all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_'));
    let value = colon + 1 + (line[colon + 1..].len() - line[colon + 1..].trim_start().len());
    (word && value < line.len()).then_some((key, value))
}

/// `'It's still product.'`: the apostrophe closes the quote.
fn apostrophe(line: &str) -> Option<Seen> {
    let opens =
        |at: usize| line[..at].ends_with([' ', '[', '{']) && line[..at].trim_end().ends_with([':', '-', ',', '[', '{']);
    let start = line.match_indices('\'').map(|(at, _)| at).find(|at| opens(*at))?;
    let inside = &line[start + 1..];
    let within = inside.match_indices('\'').map(|(at, _)| at).find(|at| !inside[..*at].ends_with('\''))?;
    if !inside[within + 1..].starts_with(char::is_alphanumeric) {
        return None;
    }
    let end = start + 1 + inside.rfind('\'')?;
    let whole = if end == start + 1 + within { line[start..].trim_end() } else { &line[start..end + 1] };
    let words = whole.trim_matches('\'').trim_end_matches([' ', '}', ']', ',']);
    let title = "an apostrophe ends a text in single quotes".to_owned();
    Some((title, start..start + whole.len(), format!("put the text in double quotes: `{}`", quoted(words))))
}

/// `text: {area} is left`: a brace at the start of a text opens a list of keys.
fn braces_at_start(line: &str) -> Option<Seen> {
    let (key, start) = key_and_value(line)?;
    let value = line[start..].trim_end();
    let close = match value.chars().next()? {
        '{' => '}',
        '[' => ']',
        _ => return None,
    };
    let rest = value[value.find(close)? + 1..].trim_start();
    if rest.is_empty() || rest.starts_with(['#', ',', '}', ']']) || value[..value.find(close)?].contains(": ") {
        return None;
    }
    let open = &value[..1];
    let title = format!("this text begins with `{open}`, which is not read as text without quotes");
    let help = if value.chars().count() <= WRITTEN {
        format!("put the text in quotes: `{key}: {}`", quoted(value))
    } else {
        format!("put all of the text after `{key}:` in quotes")
    };
    Some((title, start..start + value.len(), help))
}

/// `{ text: Clean water right: true }`: a comma is missing in front of `right`.
fn comma_missing(line: &str) -> Option<Seen> {
    let open = line.find('{')?;
    let mut start = open + 1;
    for part in line[open + 1..].split(',') {
        let first = part.find(": ")?;
        let second = part[first + 2..].match_indices(": ").find_map(|(colon, _)| {
            let colon = first + 2 + colon;
            let word = part[..colon].rfind(' ').map_or(first + 2, |space| space + 1);
            let text = !part[first + 2..word].contains(['{', '[', '"', '\'']);
            (word > first + 2 && text && IN_BRACES.contains(&&part[word..colon])).then_some((word, colon))
        });
        if let Some((word, colon)) = second {
            let (before, key) = (part[..word].trim(), &part[word..colon]);
            let after = part[word..].trim_end_matches(['}', ']', ' ']);
            let span = start + part.len() - part.trim_start().len()..start + word + after.len();
            let title = format!("a comma is missing in front of `{key}`");
            return Some((title, span, format!("write `{before}, {after}`")));
        }
        start += part.len() + 1;
    }
    None
}

/// `units = us`, `units; us`: another sign in the place of the colon.
fn other_sign(line: &str) -> Option<Seen> {
    let start = line.len() - line.trim_start_matches([' ', '-']).len();
    let rest = &line[start..];
    let end = rest.find(|letter: char| !(letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-'))?;
    let (key, after) = (&rest[..end], rest[end..].trim_start());
    let value = after.strip_prefix(['=', ';'])?.trim();
    if key.is_empty() || value.is_empty() || after.contains(": ") {
        return None;
    }
    let title = format!("a colon is expected after `{key}`");
    Some((title, start..start + rest.trim_end().len(), format!("write `{key}: {value}`")))
}

/// `– our-rate`, `• our-rate`: another sign in the place of the hyphen.
fn other_dash(line: &str) -> Option<Seen> {
    let start = indent(line);
    let item = line[start..].strip_prefix(['–', '—', '•', '−', '*'])?.strip_prefix(' ')?.trim();
    let sign = line[start..].chars().next()?;
    let title = format!("an item of a list begins with a hyphen, and this one with `{sign}`");
    (!item.is_empty()).then(|| (title, start..line.trim_end().len(), format!("write `- {item}`")))
}

fn indent(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

/// A text below `summary: >-` that is not indented.
fn folded(text: &str, lines: &[Range<usize>]) -> Option<Seen> {
    let pair = lines.windows(2).find(|pair| {
        let (head, below) = (&text[pair[0].clone()], &text[pair[1].clone()]);
        let folds = [": >-", ": >", ": |-", ": |"].iter().any(|end| head.ends_with(end));
        folds && indent(below) <= indent(head)
    })?;
    let (head, below) = (&text[pair[0].clone()], &text[pair[1].clone()]);
    let key = head.trim_start_matches([' ', '-']).split(':').next().unwrap_or_default();
    let title = format!("this text belongs to `{key}`, and is not indented below it");
    let deeper = " ".repeat(indent(head) + 2);
    let help = format!("put {} spaces in front of each of its lines: `{deeper}{}`", deeper.len(), below.trim());
    Some((title, pair[1].clone(), help))
}

/// How a list is written that has some of its items on the line of its key; nothing where they are no plain words.
pub(super) fn items(key: &str, value: &str) -> Option<String> {
    let plain =
        |item: &&str| item.bytes().all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.'));
    let items: Vec<&str> = value.split([',', ' ']).filter(|item| !item.is_empty() && *item != "-").collect();
    let all = !items.is_empty() && items.iter().all(plain);
    all.then(|| format!("write `{key}: [{}]` in place of these lines", items.join(", ")))
}

/// A bracket that a line opens and does not close, although the next line begins something new.
fn open_above(text: &str, lines: &[Range<usize>]) -> Option<Seen> {
    lines.windows(2).rev().find_map(|pair| {
        let (line, below) = (&text[pair[0].clone()], text[pair[1].clone()].trim_start());
        let new = below.starts_with("- ") || key_and_value(below).is_some() || without_comment(below).ends_with(':');
        if !new || line.trim_end().ends_with([',', '{', '[']) {
            return None;
        }
        let (open, sign) = unclosed(line)?;
        let close = if sign == '{' { '}' } else { ']' };
        let title = format!("this `{sign}` is not closed in its line");
        let help = format!("write `{close}` at its end: `{} {close}`", line.trim());
        let start = pair[0].start;
        Some((title, start + open..start + open + 1, help))
    })
}

/// The last bracket of a line that is open at its end; what is in quotes does not count.
fn unclosed(line: &str) -> Option<(usize, char)> {
    let (mut open, mut quote) = (Vec::new(), None);
    for (at, letter) in line.char_indices() {
        match (quote, letter) {
            (Some(mark), _) if letter == mark => quote = None,
            (None, '"') => quote = Some(letter),
            (None, '\'') if line[..at].ends_with([' ', '[', '{']) => quote = Some(letter),
            (None, '{' | '[') => open.push((at, letter)),
            (None, '}' | ']') => drop(open.pop()),
            (None, '#') if line[..at].ends_with(' ') => break,
            _ => {}
        }
    }
    open.pop()
}

/// An item of a list that begins in another column than the item above it.
fn item_out_of_line(text: &str, lines: &[Range<usize>]) -> Option<Seen> {
    let [.., above, last] = lines else { return None };
    let (before, item) = (&text[above.clone()], &text[last.clone()]);
    let both = before.trim_start().starts_with("- ") && item.trim_start().starts_with("- ");
    if !both || indent(before) == indent(item) {
        return None;
    }
    let title = "this item does not begin in the same column as the one above it".to_owned();
    let help = format!("write `{}{}`", " ".repeat(indent(before)), item.trim());
    Some((title, last.start + indent(item)..last.end, help))
}

/// A key that begins a space beside those of the lines above, where one of them shows the column that was meant.
fn key_out_of_line(text: &str, lines: &[Range<usize>]) -> Option<Seen> {
    const BESIDE: usize = 1;
    let [above @ .., last] = lines else { return None };
    let line = &text[last.clone()];
    let key = |line: &str| key_and_value(line).is_some() || without_comment(line).ends_with(':');
    let column = |line: &str| line.len() - line.trim_start_matches([' ', '-']).len();
    if !key(line) || line.trim_start().starts_with('-') {
        return None;
    }
    let columns = above.iter().map(|line| &text[line.clone()]).filter(|line| key(line)).map(column);
    let meant = columns.into_iter().find(|meant| meant.abs_diff(indent(line)) == BESIDE)?;
    let title = "this key does not begin in the same column as those above it".to_owned();
    let help = format!("write `{}{}`", " ".repeat(meant), line.trim());
    Some((title, last.start + indent(line)..last.end, help))
}

/// A key below one that has its value already and is not as far right; above that, a key without a value.
fn key_below_value(text: &str, lines: &[Range<usize>]) -> Option<Seen> {
    let [before @ .., above, last] = lines else { return None };
    let (owner, line) = (&text[above.clone()], &text[last.clone()]);
    let (key, _) = key_and_value(owner)?;
    key_and_value(line)?;
    if indent(line) <= indent(owner) || owner.trim_start().starts_with('-') || line.trim_start().starts_with('-') {
        return None;
    }
    // `given:` and below it `tank: 200 gal`, which belongs to it, and is not indented.
    let empty = before.last().map(|head| &text[head.clone()]);
    if let Some(head) = empty.map(without_comment).filter(|head| head.ends_with(':') && indent(head) == indent(owner)) {
        let title = format!("`{key}` belongs to `{}`, and is not indented below it", head.trim().trim_end_matches(':'));
        let help = format!("write `{}{}`", " ".repeat(indent(line)), owner.trim());
        return Some((title, above.start + indent(owner)..above.end, help));
    }
    let title = format!("this line is indented below `{key}`, which has its value already");
    let help = format!("write `{}{}`", " ".repeat(indent(owner)), line.trim());
    Some((title, last.start + indent(line)..last.end, help))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_meant_is_read_from_the_line() {
        for (line, help) in [
            ("    text: {area} is left.", Some("put the text in quotes: `text: \"{area} is left.\"`")),
            ("- { text: A, because: 'It's so.' }", Some("put the text in double quotes: `\"It's so.\"`")),
            ("title: 'It's so.'", Some("put the text in double quotes: `\"It's so.\"`")),
            ("- { text: Clean water right: true, because: B }", Some("write `text: Clean water, right: true`")),
            ("units = us", Some("write `units: us`")),
            ("  – our-rate", Some("write `- our-rate`")),
            ("  • our-rate", Some("write `- our-rate`")),
            ("units; us", Some("write `units: us`")),
            ("given: { area: 5 ft2 }", None),
            ("title: 'It is so.'", None),
            ("options: [{ text: A, right: true }, { text: B }]", None),
            ("text: Don't, it's so.", None),
        ] {
            let found = explain(line, line.len()).map(|(_, _, help)| help);
            assert_eq!(found.as_deref(), help, "{line}");
        }
    }
}
