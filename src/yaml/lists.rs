//! Lists that do not begin where they should: beside their key, below a key without its colon, deeper than the item above;
//! and comments, which stand beside a key or a dash and change nothing.

use std::ops::Range;

use super::mistyped::items;

/// A line without the comment at its end.
pub(super) fn without_comment(line: &str) -> &str {
    let (mut quote, mut end) = (None, line.len());
    for (at, letter) in line.char_indices() {
        let begins = line[..at].is_empty() || line[..at].ends_with([' ', '\t', '[', '{']);
        match (quote, letter) {
            (Some(mark), _) if letter == mark => quote = None,
            (None, '"' | '\'') if begins => quote = Some(letter),
            (None, '#') if begins => {
                end = at;
                break;
            }
            _ => {}
        }
    }
    line[..end].trim_end()
}

/// The dash of the item that begins at `start`: before it, or above it with a comment between the two.
pub(super) fn dash_before(text: &str, start: usize) -> Option<usize> {
    let mut before = &text[..start];
    loop {
        let line = before.rfind('\n').map_or(0, |end| end + 1);
        let written = without_comment(&before[line..]);
        if written.ends_with('-') {
            return Some(line + written.len() - 1);
        }
        if !written.trim().is_empty() || line == 0 {
            return None;
        }
        before = &text[..line - 1];
    }
}

/// The lines of a text that continue an item of a list although they begin as items themselves: where each begins.
pub(super) fn items_within(text: &str) -> Vec<usize> {
    let ends = text.match_indices('\n').map(|(end, _)| end + 1);
    ends.map(|start| start + text[start..].len() - text[start..].trim_start_matches(' ').len())
        .filter(|start| text[*start..].starts_with("- "))
        .collect()
}

/// A list whose key has something else in its line, or no colon: `lessons: a` and below it `- b`; `lessons: - a`;
/// `lessons` and below it `- a`. In the line of `at`, or the one above it.
pub(super) fn beside_key(text: &str, at: usize) -> Option<(String, Range<usize>, String)> {
    let start = |at: usize| text[..at].rfind('\n').map_or(0, |end| end + 1);
    let here = start(at);
    let above = text[..here].trim_end();
    [here, start(above.len())].into_iter().find_map(|start| {
        let end = text[start..].find('\n').map_or(text.len(), |length| start + length);
        let line = &text[start..end];
        let written = without_comment(line);
        let comment = line[written.len()..].trim();
        let comment = if comment.is_empty() { String::new() } else { format!(" {comment}") };
        let indent = written.len() - written.trim_start_matches([' ', '-']).len();
        let word = written[indent..].find(|letter: char| !(letter.is_ascii_lowercase() || letter == '-'));
        let (key, rest) = written[indent..].split_at(word.unwrap_or(written.len() - indent));
        let below = text[end..].lines().find(|line| !without_comment(line).trim().is_empty());
        // An item that begins further left is the next one of the list that this key is in.
        let list = below.is_some_and(|line| {
            let item = line.trim_start();
            item.starts_with("- ") && line.len() - item.len() >= indent
        });
        let place = start + indent..start + written.len();
        if key.is_empty() {
            return None;
        }
        if rest.is_empty() {
            let title = format!("a colon is missing after `{key}`");
            return (list && !written[..indent].contains('-'))
                .then(|| (title, place, format!("write `{key}:{comment}`")));
        }
        let value = rest.strip_prefix(": ")?.trim_start();
        let begins = value.starts_with("- ");
        if !begins && (!list || value.starts_with(['"', '\'', '[', '{', '|', '>'])) {
            return None;
        }
        let title = match begins {
            true => format!("the list of `{key}` begins in the line of its key"),
            false => format!("`{key}` has a text in its line, and a list below it"),
        };
        let lines = text[end..].lines().map(without_comment).filter(|line| !line.is_empty());
        let below: Vec<&str> = lines.take_while(|line| line.trim_start().starts_with("- ")).collect();
        let help = items(key, &[value, &below.join(" ")].join(" ")).unwrap_or_else(|| {
            format!("end this line after `{key}:`, and give each item a line of its own, with a dash")
        });
        Some((title, place, help))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comment_ends_a_line_and_a_sign_in_a_text_does_not() {
        for (line, written) in [
            ("lessons: # mine", "lessons:"),
            ("  - # mine", "  -"),
            ("# all", ""),
            ("band: \"#1d4f7a\" # blue", "band: \"#1d4f7a\""),
            ("text: It's # 3", "text: It's"),
            ("text: tank#3", "text: tank#3"),
        ] {
            assert_eq!(without_comment(line), written, "{line}");
        }
    }

    #[test]
    fn a_dash_is_found_across_its_comment() {
        let text = "- a: 1\n- # first\n  # more\n  b: 2\nc";
        assert_eq!(dash_before(text, 2), Some(0));
        assert_eq!(dash_before(text, text.find("b:").expect("the key")), Some(7));
        assert_eq!(dash_before(text, text.len() - 1), None);
        assert_eq!(items_within("a\n   - b\n  c\n- d"), [5, 13]);
    }
}
