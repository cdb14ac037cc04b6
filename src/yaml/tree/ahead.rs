//! The tree of a stock file, whose events were found when the program was built (`build.rs`): the parser takes most of
//! the time that reading takes.

use std::ops::Range;

use saphyr_parser::{Event, ScalarStyle};

use super::super::recorded::{AS_WRITTEN, STYLES};
use super::{Builder, Tree};

/// What is left of the events.
struct Events<'t> {
    text: &'t str,
    rest: &'t [u8],
}

impl<'t> Events<'t> {
    fn number(&mut self) -> Option<u32> {
        let (number, rest) = self.rest.split_first_chunk()?;
        self.rest = rest;
        Some(u32::from_le_bytes(*number))
    }

    fn scalar(&mut self, style: ScalarStyle, span: &Range<usize>) -> Option<Event<'t>> {
        let text = match self.number()? {
            AS_WRITTEN => self.text.get(span.clone())?,
            length => {
                let (value, rest) = self.rest.split_at_checked(length as usize)?;
                self.rest = rest;
                str::from_utf8(value).ok()?
            }
        };
        Some(Event::Scalar(text.into(), style, 0, None))
    }

    fn next(&mut self) -> Option<(Event<'t>, Range<usize>)> {
        let (tag, rest) = self.rest.split_first()?;
        self.rest = rest;
        let span = self.number()? as usize..self.number()? as usize;
        let event = match tag {
            b'[' => Event::SequenceStart(0, None),
            b']' => Event::SequenceEnd,
            b'{' => Event::MappingStart(0, None),
            b'}' => Event::MappingEnd,
            letter => {
                let (_, style) = STYLES.iter().find(|(own, _)| own == letter)?;
                self.scalar(*style, &span)?
            }
        };
        Some((event, span))
    }
}

/// The tree of a text of the stock, whose events are known; a test sees to it that there is nothing to say about it.
pub(in crate::yaml) fn put_together(text: &str, events: &[u8], limit: usize) -> Tree {
    let mut builder = Builder::new(text, limit);
    builder.seen = true;
    let (mut events, mut complete) = (Events { text, rest: events }, true);
    while let Some((event, span)) = events.next() {
        complete &= builder.take(event, span);
    }
    complete &= events.rest.is_empty();
    builder.tree(complete, false)
}

#[cfg(test)]
mod tests {
    use super::super::{NODE_LIMIT, parse_around};
    use super::*;
    use crate::embedded::{CONTENT, events};

    #[test]
    fn the_tree_of_every_stock_bank_is_the_one_that_is_read_from_its_text() {
        let banks = CONTENT.get_dir("questions/en").expect("the stock has banks").files();
        let mut read = 0;
        for file in banks {
            let (name, text) = (file.path().to_str().expect("plain"), file.contents_utf8().expect("UTF-8"));
            let known = events(name, text).expect("its events are known");
            let (whole, _) = parse_around(text, NODE_LIMIT);
            let tree = put_together(text, known, NODE_LIMIT);
            assert!(tree.complete && tree.root.is_some() && tree.root == whole.root, "{name}");
            assert!(whole.refusals.is_empty() && whole.remarks.is_empty(), "{name}");
            assert!(events(name, &format!("{text}\n")).is_none(), "a changed text is read");
            assert!(!put_together(text, &known[..known.len() - 1], NODE_LIMIT).complete);
            read += 1;
        }
        assert!(read > 20, "{read} banks");
    }
}
