//! A text of keys with a few words each, as the header of nearly every lesson is. What the parser would find in it is
//! plain to see, and the parser, which is ready for all of YAML, takes ten times as long.

use std::ops::Range;

use saphyr_parser::{Event, ScalarStyle};

use super::{Builder, Tree};

/// The longest text that is tried.
const LONGEST: usize = 2_000;

/// Whether a byte is itself in YAML wherever it is within words: no colon, no `#`, no end of a line.
fn is_itself(byte: u8) -> bool {
    byte.is_ascii_alphanumeric()
        || matches!(byte, b' ' | b',' | b'.' | b'-' | b'\'' | b'"' | b'(' | b')' | b'/' | b'?' | b'!' | b'%' | b'+')
}

/// Where a key and its words are in a line `key: words` that begins at `start`.
fn key_and_words(line: &str, start: usize) -> Option<[Range<usize>; 2]> {
    let (key, words) = line.split_once(": ")?;
    let named = !key.is_empty() && key.bytes().all(|byte| byte.is_ascii_lowercase());
    let begun = words.starts_with(|letter: char| letter.is_ascii_alphanumeric());
    let plain = begun && !words.ends_with(' ') && words.bytes().all(is_itself);
    (named && plain).then(|| [start..start + key.len(), start + key.len() + 2..start + line.len()])
}

/// The tree of such a text; nothing for any other.
pub(super) fn read_flat(text: &str, limit: usize) -> Option<Tree> {
    if text.is_empty() || text.len() > LONGEST {
        return None;
    }
    let mut builder = Builder::new(text, limit);
    // No comment, no quotation mark that is a letter, no item of a list.
    builder.seen = true;
    let mut complete = builder.take(Event::MappingStart(0, None), 0..0);
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        for span in key_and_words(line.strip_suffix('\n').unwrap_or(line), start)? {
            let scalar = Event::Scalar(text[span.clone()].into(), ScalarStyle::Plain, 0, None);
            complete &= builder.take(scalar, span);
        }
        start += line.len();
    }
    complete &= builder.take(Event::MappingEnd, start..start);
    Some(builder.tree(complete, false))
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
        ];
        for many in 1..1_u32 << lines.len() {
            let chosen = lines.iter().enumerate().filter(|(at, _)| many >> at & 1 == 1);
            let text: String = chosen.map(|(_, line)| *line).collect();
            for text in [text.as_str(), text.trim_end()] {
                let flat = read_flat(text, NODE_LIMIT).expect(text);
                assert_eq!(seen(&flat), seen(&parse_events(text, NODE_LIMIT)), "{text}");
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
                if let Some(flat) = read_flat(&text, NODE_LIMIT) {
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
    }
}
