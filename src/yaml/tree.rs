//! YAML events into a tree with places, refusing what an author never needs and a reader cannot cope with.
//!
//! Anchors, aliases, tags, merge keys, several documents and words for infinity or not-a-number are refused here, and
//! so are deep nesting and endless lists: serde_yaml lets all of these through or takes minutes over them.

use crate::problem::{Rule, code};
use std::collections::HashMap;
use std::ops::Range;

use saphyr_parser::{Event, Parser, ScalarStyle, Span};

use super::bytes::Bytes;
use super::node::{KeyValue, Node, YamlValue};
use super::slips;
use super::syntax;

/// Levels of lists and mappings inside one another.
pub(super) const DEPTH_LIMIT: usize = 32;
/// Values and keys in one file.
pub(super) const NODE_LIMIT: usize = 50_000;
/// The same in `course.yaml`, which lists every lesson and cannot be split: a hundred thousand lessons.
pub(super) const COURSE_NODE_LIMIT: usize = 101_000;

/// A refusal, with places counted in the YAML text.
#[derive(Debug)]
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
    bytes: Bytes<'t>,
    open: Vec<Open>,
    root: Option<Node>,
    count: usize,
    limit: usize,
    /// Where the last event ends.
    read: usize,
    refusals: Vec<Refusal>,
    remarks: Vec<Refusal>,
}

/// The tree of a YAML text, and what was refused in it; `limit` is for values and keys.
pub(super) fn parse_within(text: &str, limit: usize) -> Tree {
    let mut builder = Builder {
        text,
        bytes: Bytes::new(text),
        open: Vec::new(),
        root: None,
        count: 0,
        limit,
        read: 0,
        refusals: Vec::new(),
        remarks: Vec::new(),
    };
    let mut complete = true;
    for event in Parser::new_from_str(text) {
        let go_on = match event {
            Ok((event, span)) => builder.take(event, span),
            Err(error) => {
                let stopped = syntax::Stopped {
                    text,
                    at: builder.bytes.byte(error.marker().index()),
                    depth: builder.open.len(),
                    bracket: builder.open_bracket(text),
                    read: builder.read,
                };
                let refusal = syntax::explain(&stopped);
                builder.refusals.push(refusal);
                false
            }
        };
        if !go_on {
            complete = false;
            break;
        }
    }
    Tree { root: builder.root, refusals: builder.refusals, remarks: builder.remarks, complete }
}

impl Builder<'_> {
    /// The place of the innermost bracket that is still open.
    fn open_bracket(&self, text: &str) -> Option<usize> {
        let (Open::List(start, _) | Open::Map(start, _, _)) = self.open.last()?;
        text[*start..].starts_with(['[', '{']).then_some(*start)
    }

    /// Takes one event; false when reading on makes no sense.
    fn take(&mut self, event: Event<'_>, span: Span) -> bool {
        let mut span = self.bytes.span(span);
        self.read = span.end;
        if let Event::Scalar(_, ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted, ..) = &event {
            span.end = quoted_end(self.text, &span);
        }
        match event {
            Event::Scalar(text, style, anchor, tag) => {
                self.refuse_extras(anchor, tag.is_some(), &span);
                let plain = style == ScalarStyle::Plain;
                if plain && no_number(&text) {
                    self.refusals.push(refusal(
                        code::NOT_A_NUMBER,
                        format!("a number is expected, and `{text}` is not one"),
                        span.clone(),
                        "write the number itself, or put the text in quotes",
                    ));
                }
                if plain {
                    self.remark_cut(&text, &span);
                    self.remark_curly(&text, &span);
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

    /// Inside braces a comma ends a value: `{ area: 4,800 ft2 }` is `area: 4` and the key `800 ft2`. Reports it, and
    /// puts the value together again.
    fn join_at_commas(&mut self, entries: &mut Vec<KeyValue>) {
        let mut joined: Vec<KeyValue> = Vec::with_capacity(entries.len());
        for entry in entries.drain(..) {
            let without_colon = entry.node.is_empty()
                && self
                    .text
                    .get(entry.key_span.end..entry.node.span.end.max(entry.key_span.end))
                    .is_some_and(|between| !between.contains(':'))
                // A key with its colon and no value is empty, and no part of the value before it.
                && !self.text[entry.key_span.end..].trim_start().starts_with(':');
            let before = joined.last_mut().filter(|before| without_colon && is_plain(&before.node));
            let Some(before) = before else {
                joined.push(entry);
                continue;
            };
            before.node.span.end = entry.key_span.end;
            let whole = &self.text[before.node.span.clone()];
            before.node.value = YamlValue::Scalar { text: whole.to_owned(), plain: true };
            let title = format!("inside braces a comma ends a value, so `{}` stops at the comma", before.key);
            let help = format!("put it in quotes: `{}: \"{whole}\"`", before.key);
            // One value is reported once, however many commas it has.
            match self.refusals.last_mut().filter(|last| {
                last.rule.code == code::COMMA_IN_BRACES.code && last.span.start == before.node.span.start
            }) {
                Some(last) => (last.span, last.help) = (before.node.span.clone(), Some(help)),
                None => self.refusals.push(refusal(code::COMMA_IN_BRACES, title, before.node.span.clone(), &help)),
            }
        }
        *entries = joined;
    }

    /// An item that lacks the first key of the first one, after an item that ends with a key without a value, belongs
    /// to that key: its list is not indented. Reports it, and puts the items where they belong.
    fn take_back_lists(&mut self, items: &mut Vec<Node>) {
        let Some(first) = items.first().and_then(|first| first.entries().first()).map(|entry| entry.key.clone()) else {
            return;
        };
        let mut kept: Vec<Node> = Vec::with_capacity(items.len());
        for item in items.drain(..) {
            let stray = item.is_map() && item.get(&first).is_none();
            let owner = kept.last_mut().filter(|_| stray).and_then(|before| match &mut before.value {
                YamlValue::Map(entries) => {
                    entries.last_mut().filter(|last| last.node.is_empty() || last.node.is_list())
                }
                _ => None,
            });
            let own_line = |node: &Node| self.text[..node.span.start].trim_end_matches(' ').ends_with('-');
            let Some(owner) = owner.filter(|_| own_line(&item)) else {
                kept.push(item);
                continue;
            };
            match &mut owner.node.value {
                YamlValue::List(taken) if owner.node.span.is_empty() => taken.push(item),
                // A list that is already there is the author's own.
                YamlValue::List(_) => kept.push(item),
                _ => {
                    let dash = self.text[..item.span.start].rfind('-').unwrap_or(item.span.start);
                    let line = dash..self.text[dash..].find('\n').map_or(self.text.len(), |end| dash + end);
                    let column = self.text[..owner.key_span.start].chars().rev().take_while(|c| *c != '\n').count();
                    let slip = slips::indented(&owner.key, column, &self.text[line.clone()]);
                    let mut told = refusal(slip.rule, slip.title, line, &slip.help);
                    told.context = Some((owner.key_span.clone(), "the key it belongs to"));
                    self.refusals.push(told);
                    owner.node.value = YamlValue::List(vec![item]);
                }
            }
        }
        *items = kept;
    }

    /// A ` #` starts a comment, so what follows it is not part of the text; an author's own comment is left alone.
    fn remark_cut(&mut self, text: &str, span: &Range<usize>) {
        let line = &self.text[span.end..self.text[span.end..].find('\n').map_or(self.text.len(), |end| span.end + end)];
        let comment = line.trim_start_matches([' ', '\t']);
        let Some(rest) = comment.strip_prefix('#').filter(|_| comment.len() < line.len() && !text.is_empty()) else {
            return;
        };
        let sentence = text.trim_end().ends_with(['.', '!', '?', ':']);
        let joined = rest.starts_with(|letter: char| !letter.is_whitespace() && letter != '#');
        let words = text.split_whitespace().count();
        // After a setting, a comment is on purpose; after half a sentence that learners read, it hardly is.
        let read =
            matches!(self.open.last(), Some(Open::Map(_, _, Some((key, _)))) if key == "text" || key == "because");
        if !joined && (sentence || words < 4 && !read) {
            return;
        }
        let start = span.end + (line.len() - comment.len());
        let whole = self.text[span.start..start + comment.trim_end().len()].replace('\n', " ");
        let told = refusal(
            code::TEXT_CUT,
            "a `#` after a space starts a comment, so this text ends before it",
            start..start + comment.trim_end().len(),
            &format!("put the text in quotes: `{}`; or put the comment on its own line", quoted(&whole)),
        );
        self.remarks.push(told);
    }

    /// Curly quotation marks are letters to YAML: around a whole text they were meant as quotes.
    fn remark_curly(&mut self, text: &str, span: &Range<usize>) {
        let inside = text.strip_prefix(['\u{201c}', '\u{201d}', '\u{201e}']);
        let Some(inside) = inside.and_then(|rest| rest.strip_suffix(['\u{201c}', '\u{201d}'])) else { return };
        if inside.contains(['\u{201c}', '\u{201d}']) || !inside.contains(' ') {
            return;
        }
        let title = "curly quotes around a text are shown with it, and do not protect a colon or a `#` in it";
        let help = format!("write straight ones: `{}`", quoted(inside));
        self.remarks.push(refusal(code::CURLY_QUOTES, title, span.clone(), &help));
    }

    /// Reports each key that is there twice, and keeps the first.
    fn refuse_twins(&mut self, entries: &mut Vec<KeyValue>) {
        let mut seen: HashMap<String, Range<usize>> = HashMap::with_capacity(entries.len());
        entries.retain(|entry| {
            let first = seen.get(&entry.key).cloned();
            if let Some(first) = &first {
                self.refusals.push(Refusal {
                    context: Some((first.clone(), "here for the first time")),
                    ..refusal(
                        code::DUPLICATE_KEY,
                        format!("the key `{}` appears twice", entry.key),
                        entry.key_span.clone(),
                        "keep one of the two",
                    )
                });
            } else {
                seen.insert(entry.key.clone(), entry.key_span.clone());
            }
            first.is_none() && entry.key != "<<"
        });
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

fn is_plain(node: &Node) -> bool {
    matches!(node.value, YamlValue::Scalar { plain: true, .. }) && !node.is_empty()
}

/// A text in double quotes.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

/// Whether YAML reads the word as infinity or as "not a number".
fn no_number(text: &str) -> bool {
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    matches!(unsigned, ".inf" | ".Inf" | ".INF" | ".nan" | ".NaN" | ".NAN")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(text: &str) -> Tree {
        parse_within(text, NODE_LIMIT)
    }

    fn codes(text: &str) -> Vec<&'static str> {
        parse(text).refusals.into_iter().map(|refusal| refusal.rule.code).collect()
    }

    #[test]
    fn every_value_and_key_has_its_place() {
        for newline in ["\n", "\r\n"] {
            let text =
                ["area: 5 ft²", "# note ²", "catch:", "  - volume: 96 fl oz", "    time: \"30 s\"", "  - [a, b]", ""]
                    .join(newline);
            let tree = parse(&text);
            assert!(tree.refusals.is_empty(), "{:?}", tree.refusals);
            let root = tree.root.expect("not empty");
            let at = |span: &Range<usize>| text[span.clone()].to_owned();
            assert_eq!(at(&root.get("area").expect("there").span), "5 ft²");
            let catch = root.entry("catch").expect("there");
            assert_eq!(at(&catch.key_span), "catch");
            let first = &catch.node.items()[0];
            assert_eq!(at(&first.get("volume").expect("there").span), "96 fl oz");
            assert_eq!(at(&first.get("time").expect("there").span), "\"30 s\"");
            assert_eq!(at(&first.span).replace("\r\n", "\n"), "volume: 96 fl oz\n    time: \"30 s\"");
            assert_eq!(at(&catch.node.items()[1].span), "[a, b]");
            let flat: Vec<_> = root.flat().into_iter().map(|(name, _)| name).collect();
            assert_eq!(flat, ["area", "catch.1.volume", "catch.1.time", "catch.2.1", "catch.2.2"]);
        }
    }

    #[test]
    fn a_text_in_quotes_ends_with_its_quote_and_not_with_a_comment() {
        let text = "a: \"x \\\" y\"   # a \"note\"\nb: 'it''s'  # 'note'\nc: { d: \"1\" }\n\"e\": \"two\n  lines\"\n";
        let root = parse(text).root.expect("not empty");
        let found: Vec<&str> =
            ["a", "b", "c", "e"].iter().map(|key| &text[root.get(key).expect("there").span.clone()]).collect();
        assert_eq!(found, ["\"x \\\" y\"", "'it''s'", "{ d: \"1\" }", "\"two\n  lines\""]);
    }

    #[test]
    fn what_no_author_needs_is_refused() {
        assert_eq!(codes("a: &x 1\nb: *x\n"), ["anchor", "alias"]);
        assert_eq!(codes("a: !!str 1\n"), ["tag"]);
        assert_eq!(codes("<<: 1\n"), ["merge-key"]);
        assert_eq!(codes("a: 1\nb: 2\na: 3\n"), ["duplicate-key"]);
        assert_eq!(codes("a: 1\n---\nb: 2\n"), ["extra-document"]);
        assert_eq!(codes("a: .inf\nb: -.INF\nc: .nan\nd: \".nan\"\n"), ["not-a-number"; 3]);
        assert_eq!(codes("a: \"x\n"), ["yaml-syntax"]);
        assert_eq!(codes("? [a]\n: b\n"), ["key-not-text"]);
    }

    #[test]
    fn deep_and_endless_files_are_refused_at_once() {
        assert_eq!(codes(&"[".repeat(200_000)), ["too-deep"]);
        assert_eq!(codes(&"- ".repeat(5_000)), ["too-deep"]);
        assert_eq!(codes(&"- a\n".repeat(60_000)), ["too-many-values"]);
        // A list of a hundred thousand lessons is accepted; a longer one is not.
        let lessons = |count: usize| format!("id: a\nlessons:\n{}", "- a\n".repeat(count));
        let refused = |count| parse_within(&lessons(count), COURSE_NODE_LIMIT).refusals.len();
        assert_eq!((refused(100_000), refused(101_000)), (0, 1));
    }

    #[test]
    fn no_text_makes_the_reader_panic() {
        for text in [
            "",
            "\u{feff}",
            "%",
            "%YAML 9",
            "- : :",
            "{",
            "}",
            "a: |\n ²",
            "\t",
            "?",
            "'",
            "a:\n\t- b",
            "\u{85}",
            "---",
            "...",
            "&",
            "*",
            "!<",
        ] {
            let _ = parse(text);
        }
    }
}
