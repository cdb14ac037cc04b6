//! A text of keys with a few words each, or with a list of such below it, as the header of nearly every lesson is and the
//! list of a long course. What the parser would find in it is plain to see, and the parser, which is ready for all of
//! YAML, takes ten times as long.

use std::ops::Range;

use super::Tree;
use crate::yaml::node::{KeyValue, Node, YamlValue};

/// The most keys of such a text.
const MOST_KEYS: usize = 64;

/// Whether a byte is itself in YAML wherever it is within words: no colon, no `#`, no end of a line.
fn is_itself(byte: u8) -> bool {
    byte.is_ascii_alphanumeric()
        || matches!(byte, b' ' | b',' | b'.' | b'-' | b'_' | b'\'' | b'"' | b'(' | b')' | b'/')
        || matches!(byte, b'?' | b'!' | b'%' | b'+' | b'@')
}

fn is_key(key: &str) -> bool {
    !key.is_empty() && key.bytes().all(|byte| byte.is_ascii_lowercase())
}

fn is_plain(words: &str) -> bool {
    let begun = words.starts_with(|letter: char| letter.is_ascii_alphanumeric());
    begun && !words.ends_with(' ') && words.bytes().all(is_itself)
}

/// Where a key and its words are in a line `key: words` that begins at `start`.
fn key_and_words(line: &str, start: usize) -> Option<[Range<usize>; 2]> {
    let (key, words) = line.split_once(": ")?;
    (is_key(key) && is_plain(words)).then(|| [start..start + key.len(), start + key.len() + 2..start + line.len()])
}

/// Where the hyphen and the words are in a line `- words` that begins at `start`.
fn item(line: &str, start: usize) -> Option<(usize, Range<usize>)> {
    let words = line.trim_start_matches(' ').strip_prefix("- ")?;
    let end = start + line.len();
    is_plain(words).then(|| (end - words.len() - 2, end - words.len()..end))
}

/// The tree of such a text; nothing for any other, nor where something in it is to be refused.
pub(super) fn read_flat(text: &str, limit: usize) -> Option<Tree> {
    let scalar = |span: Range<usize>| {
        let value = YamlValue::Scalar { text: text[span.clone()].to_owned(), plain: true };
        Node { span, value }
    };
    // The keys and values, and the whole.
    let (mut entries, mut count): (Vec<KeyValue>, usize) = (Vec::new(), 1);
    let mut start = 0;
    let lines = text.split_inclusive('\n').map(|line| {
        let place = start;
        start += line.len();
        (line.strip_suffix('\n').unwrap_or(line), place)
    });
    let mut lines = lines.peekable();
    while let Some((line, place)) = lines.next() {
        let (key_span, node) = match key_and_words(line, place) {
            Some([key, words]) => (key, scalar(words)),
            None => {
                let key = line.strip_suffix(':').filter(|key| is_key(key))?;
                let is_item = |(line, place): &(&str, usize)| Some((*place, item(line, *place)?));
                let (first, (hyphen, words)) = is_item(lines.peek()?)?;
                // The parser sees no list begin where its hyphens are below the key's first letter.
                let begins = if hyphen == first { words.start } else { hyphen };
                let mut items = Vec::new();
                while let Some((place, (at, words))) = lines.peek().and_then(is_item) {
                    // Further to the right or to the left is another list, or a mistake.
                    if at - place != hyphen - first {
                        return None;
                    }
                    items.push(scalar(words));
                    lines.next();
                }
                count += items.len();
                let end = items.last()?.span.end;
                (place..place + key.len(), Node { span: begins..end, value: YamlValue::List(items) })
            }
        };
        let key = text[key_span.clone()].to_owned();
        // Each key is held against all others.
        if entries.len() == MOST_KEYS || entries.iter().any(|entry| entry.key == key) {
            return None;
        }
        count += 2;
        entries.push(KeyValue { key, key_span, node });
    }
    let span = 0..entries.last().filter(|_| count <= limit)?.node.span.end;
    let root = Some(Node { span, value: YamlValue::Map(entries) });
    Some(Tree { root, refusals: Vec::new(), remarks: Vec::new(), complete: true, stopped: false })
}

#[cfg(test)]
mod tests {
    use super::super::{NODE_LIMIT, parse_events};
    use super::*;

    /// What can be compared of a tree.
    fn seen(tree: &Tree) -> String {
        format!("{tree:?}")
    }

    #[test]
    fn a_flat_text_has_the_tree_that_the_parser_finds() {
        let lines = [
            "title: Lesson 5 of many\n",
            "summary: What the numbers say, isn't it? (Some \"do\".) 50 % + 3/4 - 1!\n",
            "minutes: 5\n",
            "draft: true\n",
            "title: twice\n",
            "a: 1e3\n",
            "b: null\n",
            "c: 0x1 - - -\n",
            "d: no --- ... ?x -y\n",
            "e:\n- x\n- y z\n",
            "f:\n  - lesson-1\n  - null\n",
        ];
        for many in 1..1_u32 << lines.len() {
            let chosen = lines.iter().enumerate().filter(|(at, _)| many >> at & 1 == 1);
            let text: String = chosen.map(|(_, line)| *line).collect();
            for text in [text.as_str(), text.trim_end()] {
                let flat = read_flat(text, NODE_LIMIT);
                // What is there twice is refused.
                let twice = text.matches("title:").count() == 2;
                assert_eq!(flat.is_none(), twice, "{text}");
                if let Some(flat) = flat {
                    assert_eq!(seen(&flat), seen(&parse_events(text, NODE_LIMIT)), "{text}");
                }
            }
        }
    }

    #[test]
    fn words_of_any_signs_are_read_as_the_parser_reads_them_or_left_to_it() {
        // Every pair of signs, at the beginning, within and at the end.
        let signs = (b' '..=b'~').map(char::from).chain(['\n', '\r', '\t', 'é', '\u{85}', '\u{2028}', '\u{feff}']);
        let signs: Vec<char> = signs.collect();
        let mut read = 0;
        for (one, other) in signs.iter().flat_map(|one| signs.iter().map(move |other| (one, other))) {
            for text in [
                format!("a: {one}{other}x\nb: y\n"),
                format!("a: x{one}{other}y\n"),
                format!("a: x{one}{other}"),
                format!("a{one}{other}x\nb: y\n"),
                format!("{one}{other}: x\n"),
            ] {
                // The same words in a list.
                let listed = text.replacen(": ", ":\n - ", 1);
                let flats = [text, listed].map(|text| (read_flat(&text, NODE_LIMIT), text));
                for (flat, text) in flats.into_iter().filter_map(|(flat, text)| Some((flat?, text))) {
                    assert_eq!(seen(&flat), seen(&parse_events(&text, NODE_LIMIT)), "{text:?}");
                    read += 1;
                }
            }
        }
        assert!(read > 5_000, "{read}");
        for text in ["", "a", "a:", "a: ", "a:\n  b: c\n", "- a: b\n", "a: b\n\n", "# a: b\n", "a: b #c\n", "a: b: c\n"]
        {
            assert!(read_flat(text, NODE_LIMIT).is_none(), "{text:?}");
        }
        let lists = ["a:\n- b\n - c\n", "a:\n - b\n- c\n", "a:\n - b\n  c\n", "a:\n - - b\n", "a:\n - b: c\n", "- a\n"];
        for text in lists {
            assert!(read_flat(text, NODE_LIMIT).is_none(), "{text:?}");
        }
        assert!(read_flat("a:\n- b\n- c\n", 3).is_none(), "one value too many is refused by the parser");
    }
}
