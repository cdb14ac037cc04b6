//! YAML events into a tree with places, refusing what an author never needs and a reader cannot cope with.
//!
//! Anchors, aliases, tags, merge keys, several documents and words for infinity or not-a-number are refused here, and
//! so are deep nesting and endless lists: serde_yaml lets all of these through or takes minutes over them.

mod ahead;
mod around;
mod flat;
mod mend;
mod remark;

use crate::problem::{Rule, code};
use std::ops::Range;

use saphyr_parser::{Event, Parser, ScalarStyle};

pub(super) use ahead::put_together;
pub(super) use around::parse_around;

use super::bytes::Bytes;
use super::node::{KeyValue, Node, YamlValue};
use super::syntax;

/// Levels of lists and mappings inside one another.
pub(super) const DEPTH_LIMIT: usize = 32;
/// Values and keys in one file.
pub(super) const NODE_LIMIT: usize = 50_000;
/// The same in `course.yaml`, which lists every lesson and cannot be split: a hundred thousand lessons.
pub(super) const COURSE_NODE_LIMIT: usize = 101_000;

/// A refusal, with places counted in the YAML text.
#[derive(Clone, Debug)]
pub(super) struct Refusal {
    pub(super) rule: &'static Rule,
    pub(super) title: String,
    pub(super) span: Range<usize>,
    pub(super) context: Option<(Range<usize>, &'static str)>,
    pub(super) help: Option<String>,
}

/// The result of reading a YAML text.
#[derive(Debug)]
pub(super) struct Tree {
    /// The tree; nothing for an empty text.
    pub(super) root: Option<Node>,
    /// What was refused.
    pub(super) refusals: Vec<Refusal>,
    /// What is probably wrong.
    pub(super) remarks: Vec<Refusal>,
    /// Whether the text was read to its end.
    pub(super) complete: bool,
    /// Whether it was not because the parser stopped; the last refusal says why.
    stopped: bool,
}

pub(super) fn refusal(rule: &'static Rule, title: impl Into<String>, span: Range<usize>, help: &str) -> Refusal {
    Refusal { rule, title: title.into(), span, context: None, help: Some(help.to_owned()) }
}

/// A list or mapping that is still open.
enum Open {
    List(usize, Vec<Node>),
    Map(usize, Vec<KeyValue>, Option<(String, Range<usize>)>),
}

struct Builder<'t> {
    text: &'t str,
    open: Vec<Open>,
    root: Option<Node>,
    count: usize,
    limit: usize,
    /// Whether it is known that no text in it is to be remarked on or mended.
    seen: bool,
    /// Where the last event ends.
    read: usize,
    refusals: Vec<Refusal>,
    remarks: Vec<Refusal>,
}

/// The tree of a YAML text, and what was refused in it; `limit` is for values and keys.
pub(super) fn parse_within(text: &str, limit: usize) -> Tree {
    flat::read_flat(text, limit).unwrap_or_else(|| parse_events(text, limit))
}

/// The same, as the parser finds it.
fn parse_events(text: &str, limit: usize) -> Tree {
    let bytes = Bytes::new(text);
    let mut builder = Builder::new(text, limit);
    let (mut complete, mut stopped) = (true, false);
    for event in Parser::new_from_str(text) {
        let go_on = match event {
            Ok((event, span)) => builder.take(event, bytes.span(span)),
            Err(error) => {
                stopped = true;
                let place = syntax::Stopped {
                    text,
                    at: bytes.byte(error.marker().index()),
                    depth: builder.open.len(),
                    bracket: builder.open_bracket(text),
                    read: builder.read,
                };
                let refusal = syntax::explain(&place);
                builder.refusals.push(refusal);
                false
            }
        };
        if !go_on {
            complete = false;
            break;
        }
    }
    builder.tree(complete, stopped)
}

impl<'t> Builder<'t> {
    fn new(text: &'t str, limit: usize) -> Self {
        let (open, refusals, remarks) = (Vec::new(), Vec::new(), Vec::new());
        Self { text, open, root: None, count: 0, limit, seen: false, read: 0, refusals, remarks }
    }

    fn tree(self, complete: bool, stopped: bool) -> Tree {
        Tree { root: self.root, refusals: self.refusals, remarks: self.remarks, complete, stopped }
    }
}

impl Builder<'_> {
    /// The place of the innermost bracket that is still open.
    fn open_bracket(&self, text: &str) -> Option<usize> {
        let (Open::List(start, _) | Open::Map(start, _, _)) = self.open.last()?;
        text[*start..].starts_with(['[', '{']).then_some(*start)
    }

    /// Takes one event; false when reading on makes no sense.
    fn take(&mut self, event: Event<'_>, mut span: Range<usize>) -> bool {
        self.read = span.end;
        if let Event::Scalar(_, ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted, ..) = &event {
            span.end = quoted_end(self.text, &span);
        }
        match event {
            Event::Scalar(text, style, anchor, tag) => {
                self.refuse_extras(anchor, tag.is_some(), &span);
                let plain = style == ScalarStyle::Plain;
                let plain_unseen = plain && !self.seen;
                if plain_unseen && no_number(&text) {
                    self.refusals.push(refusal(
                        code::NOT_A_NUMBER,
                        format!("a number is expected, and `{text}` is not one"),
                        span.clone(),
                        "write the number itself, or put the text in quotes",
                    ));
                }
                if plain_unseen {
                    self.remark_cut(&text, &span);
                    self.remark_curly(&text, &span);
                }
                if plain_unseen && self.put_items_within(&span) {
                    return true;
                }
                let node = Node { span, value: YamlValue::Scalar { text: text.into_owned(), plain } };
                self.put(node)
            }
            Event::SequenceStart(anchor, tag) => {
                self.refuse_extras(anchor, tag.is_some(), &span);
                self.enter(Open::List(span.start, Vec::new()), &span)
            }
            Event::MappingStart(anchor, tag) => {
                self.refuse_extras(anchor, tag.is_some(), &span);
                self.enter(Open::Map(span.start, Vec::new(), None), &span)
            }
            Event::SequenceEnd | Event::MappingEnd => self.leave(&span),
            Event::Alias(_) => {
                self.refusals.push(refusal(
                    code::ALIAS,
                    "a reference to another value is not read",
                    span.clone(),
                    "write the value out, or put it in quotes if the `*` belongs to the text",
                ));
                self.put(Node { span, value: YamlValue::Scalar { text: String::new(), plain: true } })
            }
            Event::DocumentStart(_) if self.root.is_some() => {
                let help = "keep one document per file, without a second `---` line";
                self.refusals.push(refusal(code::EXTRA_DOCUMENT, "a second YAML document starts here", span, help));
                false
            }
            _ => true,
        }
    }

    fn refuse_extras(&mut self, anchor: usize, tag: bool, span: &Range<usize>) {
        if anchor != 0 {
            let help = "remove the `&name`, or put the text in quotes if the `&` belongs to it";
            self.refusals.push(refusal(code::ANCHOR, "an anchor (`&name`) is not read", span.clone(), help));
        }
        if tag {
            let help = "remove the `!name`, or put the text in quotes if the `!` belongs to it";
            self.refusals.push(refusal(code::TAG, "a tag (`!name`) is not read", span.clone(), help));
        }
    }

    fn enter(&mut self, open: Open, span: &Range<usize>) -> bool {
        if self.open.len() >= DEPTH_LIMIT {
            self.refusals.push(syntax::too_deep(span.clone()));
            return false;
        }
        self.open.push(open);
        true
    }

    fn leave(&mut self, end: &Range<usize>) -> bool {
        // Only brackets and braces have an end of their own; a block ends with its last value.
        let own_end = if end.is_empty() { 0 } else { end.end };
        match self.open.pop() {
            Some(Open::List(start, mut items)) => {
                self.take_back_lists(&mut items);
                let last = items.last().map_or(start, |item| item.span.end);
                self.put(Node { span: start..last.max(own_end), value: YamlValue::List(items) })
            }
            Some(Open::Map(start, mut entries, _)) => {
                if self.text[start..].starts_with('{') {
                    self.join_at_commas(&mut entries);
                }
                self.refuse_twins(&mut entries);
                let start = entries.first().map_or(start, |entry| entry.key_span.start.min(start));
                let last = entries.last().map_or(start, |entry| entry.span().end);
                self.put(Node { span: start..last.max(own_end), value: YamlValue::Map(entries) })
            }
            None => true,
        }
    }

    fn put(&mut self, node: Node) -> bool {
        self.count += 1;
        if self.count > self.limit {
            let title = format!("this file has more than {} values", self.limit);
            let help = match self.limit {
                COURSE_NODE_LIMIT => "list at most 100,000 lessons, or make several courses of them",
                _ => "split it into several files",
            };
            self.refusals.push(refusal(code::TOO_MANY_VALUES, title, node.span, help));
            return false;
        }
        match self.open.last_mut() {
            None => self.root = Some(node),
            Some(Open::List(_, items)) => items.push(node),
            Some(Open::Map(_, entries, pending)) => match pending.take() {
                Some((key, key_span)) => entries.push(KeyValue { key, key_span, node }),
                None => match node.value {
                    YamlValue::Scalar { text, .. } => {
                        if text == "<<" {
                            let help = "write the keys out";
                            let span = node.span.clone();
                            self.refusals.push(refusal(code::MERGE_KEY, "a merge key (`<<`) is not read", span, help));
                        }
                        *pending = Some((text, node.span));
                    }
                    _ => {
                        let help = "put the text in quotes if the bracket belongs to it";
                        let title = "a key is a word, and this is a list or a mapping";
                        self.refusals.push(refusal(code::KEY_NOT_TEXT, title, node.span.clone(), help));
                        *pending = Some((String::new(), node.span));
                    }
                },
            },
        }
        true
    }
}

/// Where a text in quotes ends; the parser's own end may lie after a comment on the same line.
fn quoted_end(text: &str, span: &Range<usize>) -> usize {
    let bytes = text.as_bytes();
    let Some(quote @ (b'"' | b'\'')) = bytes.get(span.start).copied() else { return span.end };
    let mut at = span.start + 1;
    while at < span.end.min(bytes.len()) {
        match (bytes[at], bytes.get(at + 1)) {
            (b'\\', _) if quote == b'"' => at += 2,
            (b'\'', Some(b'\'')) if quote == b'\'' => at += 2,
            (byte, _) if byte == quote => return at + 1,
            _ => at += 1,
        }
    }
    span.end
}

/// Whether YAML reads the word as infinity or as "not a number".
fn no_number(text: &str) -> bool {
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    matches!(unsigned, ".inf" | ".Inf" | ".INF" | ".nan" | ".NaN" | ".NAN")
}

#[cfg(test)]
mod tests;
