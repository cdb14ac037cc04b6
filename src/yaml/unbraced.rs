//! Keys with values that lack the braces around them, a bracket that nothing opens, quotes inside quotes: seen in the line
//! in which the parser stopped, or the one above.

use super::lists::without_comment;
use super::mistyped::{IN_BRACES, Seen};

/// Keys whose value has keys of its own.
const WITH_KEYS: &[&str] = &["beside", "colors", "colours", "exam", "given", "weights"];

/// The longest text that is written out in a help line.
const WRITTEN: usize = 160;

/// What the line of `at`, or the one above it, lacks.
pub(super) fn explain(text: &str, at: usize) -> Option<Seen> {
    let start = |at: usize| text[..at].rfind('\n').map_or(0, |end| end + 1);
    let here = start(at);
    [here, start(text[..here].trim_end().len())].into_iter().find_map(|start| {
        let end = text[start..].find('\n').map_or(text.len(), |length| start + length);
        let line = without_comment(&text[start..end]);
        let (title, span, help) = keys_in_line(line).or_else(|| closed_only(line))?;
        Some((title, start + span.start..start + span.end, help))
    })
}

/// `- text: Stop, right: true` and `colors: band: "#23402b"`: several keys in one line.
fn keys_in_line(line: &str) -> Option<Seen> {
    let start = line.len() - line.trim_start_matches([' ', '-']).len();
    let written = &line[start..];
    let (key, value) = written.split_once(": ")?;
    if !is_key(key) || written.contains(['{', '[']) || written.len() > WRITTEN {
        return None;
    }
    let inside = |parts: &str| parts.split_once(": ").is_some_and(|(first, _)| is_key(first.trim()));
    let (title, braced) = if WITH_KEYS.contains(&key) && inside(value) {
        (format!("the keys of `{key}` are in its own line, without braces"), format!("{key}: {{ {} }}", value.trim()))
    } else {
        let next = value.match_indices(", ").map(|(comma, _)| &value[comma + 2..]);
        let next = next.filter_map(|rest| rest.split_once(": ")).find(|(next, _)| IN_BRACES.contains(next));
        let (next, _) = next?;
        let braced = if line[..start].contains('-') { format!("- {{ {} }}", written.trim()) } else { return None };
        (format!("`{key}` and `{next}` are in one line, without braces"), braced)
    };
    Some((title, start..line.len(), format!("write `{braced}`")))
}

fn is_key(word: &str) -> bool {
    !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'-')
}

/// `catch: { volume: 1 gal } ]`: a bracket at the end of a line that opens none.
fn closed_only(line: &str) -> Option<Seen> {
    let (mut open, mut quote) = (Vec::new(), None);
    for (at, letter) in line.char_indices() {
        match (quote, letter) {
            (Some(mark), _) if letter == mark => quote = None,
            (Some(_), _) => {}
            (None, '"' | '\'') if line[..at].ends_with([' ', '{', '[']) => quote = Some(letter),
            (None, '{' | '[') => open.push(letter),
            (None, '}' | ']') => {
                let opens = if letter == ']' { '[' } else { '{' };
                if open.pop() == Some(opens) {
                    continue;
                }
                // One that is open from a line above may end here.
                let last = line[at + 1..].trim().is_empty();
                let colon = line.find(": ").filter(|_| last && open.is_empty())?;
                let begins = line[colon + 2..].trim_start().starts_with(['{', '[']);
                if !begins {
                    return None;
                }
                let start = line.len() - line.trim_start_matches([' ', '-']).len();
                let (key, value) = (&line[start..colon], line[colon + 2..at].trim());
                let closed = if opens == '[' { format!("[ {value} ]") } else { format!("{{ {value} }}") };
                let title = format!("this `{letter}` has no `{opens}` before it");
                return Some((title, at..at + 1, format!("write `{key}: {closed}`, or remove the `{letter}`")));
            }
            _ => {}
        }
    }
    None
}

/// `"The boss says "go on"."` and `"Stop!" says the boss.`: the whole text, in quotes that it does not have.
pub(super) fn quotes_within(line: &str) -> Option<String> {
    let text = line.trim();
    let quote = text.chars().next().filter(|letter| matches!(letter, '"' | '\''))?;
    let inside = text.strip_prefix(quote)?;
    let text = match inside.strip_suffix(quote).filter(|inside| inside.matches(quote).count().is_multiple_of(2)) {
        Some(inside) => inside,
        None if inside.matches(quote).count() == 1 => text,
        None => return None,
    };
    let plain = text.len() <= WRITTEN && !text.contains('\\');
    let other = if text.contains('\'') { None } else { Some(format!("'{text}'")) };
    let other = other.or_else(|| (!text.contains('"')).then(|| format!("\"{text}\"")));
    (plain && text.contains(quote))
        .then(|| format!("write `{}`", other.unwrap_or_else(|| format!("\"{}\"", text.replace('"', "\\\"")))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_in_one_line_are_put_in_braces() {
        for (line, help) in [
            ("  - text: Stop, right: true", Some("write `- { text: Stop, right: true }`")),
            ("colors: band: \"#23402b\"", Some("write `colors: { band: \"#23402b\" }`")),
            ("exam: items: 20, minutes: 45", Some("write `exam: { items: 20, minutes: 45 }`")),
            ("contact: Mo Teller: yard two", None),
            ("  - { text: Stop, right: true }", None),
            ("text: Wear gloves, and note: rinse", None),
            ("  catch: { volume: 1 gal } ]", Some("write `catch: [ { volume: 1 gal } ]`, or remove the `]`")),
            ("  catch: [ { volume: 1 gal } ]", None),
            ("    - { volume: 1 gal } ]", None),
        ] {
            assert_eq!(explain(line, line.len()).map(|(_, _, help)| help).as_deref(), help, "{line}");
        }
    }

    #[test]
    fn a_text_with_quotes_is_written_out() {
        for (text, help) in [
            ("\"Say \"go on\" now.\"", Some("write `'Say \"go on\" now.'`")),
            ("\"Stop!\" says the boss.", Some("write `'\"Stop!\" says the boss.'`")),
            ("\"It's \"go on\".\"", Some("write `\"It's \\\"go on\\\".\"`")),
            ("\"never closed", None),
        ] {
            assert_eq!(quotes_within(text).as_deref(), help, "{text}");
        }
    }
}
