//! YAML events into a tree with places, refusing what an author never needs and a reader cannot bear.
//!
//! Anchors, aliases, tags, merge keys, several documents and numbers that are none are refused here, and so are
//! deep nesting and endless lists: serde_yaml lets all of these through or takes minutes over them.

use std::collections::HashMap;
use std::ops::Range;

use saphyr_parser::{Event, Parser, ScalarStyle, ScanError, Span};

use super::bytes::Bytes;
use super::node::{Entry, Node, Value};
use super::syntax;

/// Levels of lists and mappings inside one another.
pub(super) const DEPTH_LIMIT: usize = 32;
/// Values and keys in one file.
pub(super) const NODE_LIMIT: usize = 50_000;

/// A refusal, with places counted in the YAML text.
#[derive(Debug)]
pub(super) struct Refusal {
    pub(super) code: &'static str,
    pub(super) title: String,
    pub(super) span: Range<usize>,
    pub(super) context: Option<(Range<usize>, &'static str)>,
    pub(super) help: Option<String>,
}

fn refusal(code: &'static str, title: impl Into<String>, span: Range<usize>, help: &str) -> Refusal {
    Refusal { code, title: title.into(), span, context: None, help: Some(help.to_owned()) }
}

/// A list or mapping that is still open.
enum Open {
    List(usize, Vec<Node>),
    Map(usize, Vec<Entry>, Option<(String, Range<usize>)>),
}

struct Builder<'t> {
    bytes: Bytes<'t>,
    open: Vec<Open>,
    root: Option<Node>,
    count: usize,
    refusals: Vec<Refusal>,
}

/// The tree of a YAML text, nothing for an empty one, and what was refused in it.
pub(super) fn parse(text: &str) -> (Option<Node>, Vec<Refusal>) {
    let mut builder = Builder { bytes: Bytes::new(text), open: Vec::new(), root: None, count: 0, refusals: Vec::new() };
    for event in Parser::new_from_str(text) {
        let go_on = match event {
            Ok((event, span)) => builder.take(event, span),
            Err(error) => {
                let mut refusal = syntax(&error, &builder.bytes, text);
                // The parser notices an open bracket where the text goes on wrongly, often at its end;
                // the author looks for the bracket.
                if let Some(start) = builder.open_bracket(text).filter(|_| refusal.code == "yaml-syntax") {
                    refusal.context = Some((start..start + 1, "opened here"));
                }
                builder.refusals.push(refusal);
                false
            }
        };
        if !go_on {
            break;
        }
    }
    (builder.root, builder.refusals)
}

impl Builder<'_> {
    /// Where the innermost bracket that is still open stands.
    fn open_bracket(&self, text: &str) -> Option<usize> {
        let (Open::List(start, _) | Open::Map(start, _, _)) = self.open.last()?;
        text[*start..].starts_with(['[', '{']).then_some(*start)
    }

    /// Takes one event; false when reading on makes no sense.
    fn take(&mut self, event: Event<'_>, span: Span) -> bool {
        let span = self.bytes.span(span);
        match event {
            Event::Scalar(text, style, anchor, tag) => {
                self.refuse_extras(anchor, tag.is_some(), &span);
                let plain = style == ScalarStyle::Plain;
                if plain && no_number(&text) {
                    self.refusals.push(refusal(
                        "not-a-number",
                        format!("a number is expected, and `{text}` is none"),
                        span.clone(),
                        "write the number itself, or put the text in quotes",
                    ));
                }
                let node = Node { span, value: Value::Scalar { text: text.into_owned(), plain } };
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
                    "alias",
                    "a reference to another value is not read",
                    span.clone(),
                    "write the value out, or put it in quotes if the `*` belongs to the text",
                ));
                self.put(Node { span, value: Value::Scalar { text: String::new(), plain: true } })
            }
            Event::DocumentStart(_) if self.root.is_some() => {
                let help = "keep one document per file, without a second `---` line";
                self.refusals.push(refusal("extra-document", "a second YAML document starts here", span, help));
                false
            }
            _ => true,
        }
    }

    fn refuse_extras(&mut self, anchor: usize, tag: bool, span: &Range<usize>) {
        if anchor != 0 {
            let help = "remove the `&name`, or put the text in quotes if the `&` belongs to it";
            self.refusals.push(refusal("anchor", "an anchor (`&name`) is not read", span.clone(), help));
        }
        if tag {
            let help = "remove the `!name`, or put the text in quotes if the `!` belongs to it";
            self.refusals.push(refusal("tag", "a tag (`!name`) is not read", span.clone(), help));
        }
    }

    fn enter(&mut self, open: Open, span: &Range<usize>) -> bool {
        if self.open.len() >= DEPTH_LIMIT {
            self.refusals.push(refusal("too-deep", too_deep(), span.clone(), "write it flatter"));
            return false;
        }
        self.open.push(open);
        true
    }

    fn leave(&mut self, end: &Range<usize>) -> bool {
        // Only brackets and braces have an end of their own; a block ends with its last value.
        let own_end = if end.is_empty() { 0 } else { end.end };
        match self.open.pop() {
            Some(Open::List(start, items)) => {
                let last = items.last().map_or(start, |item| item.span.end);
                self.put(Node { span: start..last.max(own_end), value: Value::List(items) })
            }
            Some(Open::Map(start, entries, _)) => {
                self.refuse_twins(&entries);
                let start = entries.first().map_or(start, |entry| entry.key_span.start.min(start));
                let last = entries.last().map_or(start, |entry| entry.span().end);
                self.put(Node { span: start..last.max(own_end), value: Value::Map(entries) })
            }
            None => true,
        }
    }

    fn put(&mut self, node: Node) -> bool {
        self.count += 1;
        if self.count > NODE_LIMIT {
            let title = format!("this file has more than {NODE_LIMIT} values");
            self.refusals.push(refusal("too-many-values", title, node.span, "split it into several files"));
            return false;
        }
        match self.open.last_mut() {
            None => self.root = Some(node),
            Some(Open::List(_, items)) => items.push(node),
            Some(Open::Map(_, entries, pending)) => match pending.take() {
                Some((key, key_span)) => entries.push(Entry { key, key_span, node }),
                None => match node.value {
                    Value::Scalar { text, .. } => {
                        if text == "<<" {
                            let help = "write the keys out";
                            let span = node.span.clone();
                            self.refusals.push(refusal("merge-key", "a merge key (`<<`) is not read", span, help));
                        }
                        *pending = Some((text, node.span));
                    }
                    _ => {
                        let help = "put the text in quotes if the bracket belongs to it";
                        let title = "a key is a word, and this is a list or a mapping";
                        self.refusals.push(refusal("key-not-text", title, node.span.clone(), help));
                        *pending = Some((String::new(), node.span));
                    }
                },
            },
        }
        true
    }

    fn refuse_twins(&mut self, entries: &[Entry]) {
        let mut seen: HashMap<&str, &Range<usize>> = HashMap::with_capacity(entries.len());
        for entry in entries {
            if let Some(first) = seen.insert(&entry.key, &entry.key_span) {
                self.refusals.push(Refusal {
                    context: Some((first.clone(), "here for the first time")),
                    ..refusal(
                        "duplicate-key",
                        format!("the key `{}` stands here twice", entry.key),
                        entry.key_span.clone(),
                        "keep one of the two",
                    )
                });
            }
        }
    }
}

/// Whether YAML reads the word as infinity or as "not a number".
fn no_number(text: &str) -> bool {
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    matches!(unsigned, ".inf" | ".Inf" | ".INF" | ".nan" | ".NaN" | ".NAN")
}

fn too_deep() -> String {
    format!("this is nested deeper than {DEPTH_LIMIT} levels")
}

fn syntax(error: &ScanError, bytes: &Bytes<'_>, text: &str) -> Refusal {
    let at = bytes.byte(error.marker().index()).min(text.len());
    if error.info().contains("recursion") {
        // The parser has a limit of its own, above ours, which it may reach first because it reads ahead.
        return refusal("too-deep", too_deep(), at..at, "write it flatter");
    }
    let (title, help) = syntax::words(error.info());
    let at = if title.contains("there is a tab") { tab_in_front(text, at).unwrap_or(at) } else { at };
    let width = text[at..].chars().next().map_or(0, |c| if c == '\n' { 0 } else { c.len_utf8() });
    Refusal { code: "yaml-syntax", title, span: at..at + width, context: None, help: help.map(str::to_owned) }
}

/// The tab in front of a line, from the line of `at` on: the parser stops where the text before it began.
fn tab_in_front(text: &str, at: usize) -> Option<usize> {
    let mut start = text[..at].rfind('\n').map_or(0, |end| end + 1);
    for line in text[start..].split_inclusive('\n') {
        if let Some(tab) = line[..line.len() - line.trim_start().len()].find('\t') {
            return Some(start + tab);
        }
        start += line.len();
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(text: &str) -> Vec<&'static str> {
        parse(text).1.into_iter().map(|refusal| refusal.code).collect()
    }

    #[test]
    fn every_value_and_key_has_its_place() {
        for newline in ["\n", "\r\n"] {
            let text =
                ["area: 5 ft²", "# note ²", "catch:", "  - volume: 96 fl oz", "    time: \"30 s\"", "  - [a, b]", ""]
                    .join(newline);
            let (root, refusals) = parse(&text);
            assert!(refusals.is_empty(), "{refusals:?}");
            let root = root.expect("not empty");
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
