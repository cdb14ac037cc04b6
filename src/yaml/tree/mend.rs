//! Lists and mappings put together again where an author's slip took them apart: what was meant is read, and the slip
//! reported.

use std::collections::HashMap;
use std::ops::Range;

use super::super::lists::{dash_before, items_within};
use super::super::node::{KeyValue, Node, YamlValue};
use super::super::slips;
use super::{Builder, Open, Refusal, refusal};
use crate::problem::code;

/// How many keys are compared with each other quicker than each is looked up.
const FEW: usize = 12;

impl Builder<'_> {
    /// Inside braces a comma ends a value: `{ area: 4,800 ft2 }` is `area: 4` and the key `800 ft2`. Reports it, and
    /// puts the value together again.
    pub(super) fn join_at_commas(&mut self, entries: &mut Vec<KeyValue>) {
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
            let help = match decimal_comma(whole) {
                Some(point) => format!("write `{}: {point}`", before.key),
                None => format!("put it in quotes: `{}: \"{whole}\"`", before.key),
            };
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
    pub(super) fn take_back_lists(&mut self, items: &mut Vec<Node>) {
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
            let dash = dash_before(self.text, item.span.start);
            let Some((owner, dash)) = owner.zip(dash) else {
                kept.push(item);
                continue;
            };
            match &mut owner.node.value {
                YamlValue::List(taken) if owner.node.span.is_empty() => taken.push(item),
                // A list that is already there is the author's own.
                YamlValue::List(_) => kept.push(item),
                _ => {
                    let line = dash..line_end(self.text, dash);
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

    /// An item below another one that begins deeper is read as more text of the first. Reports it, and puts each of them
    /// into the list; false where there is nothing to put apart.
    pub(super) fn put_items_within(&mut self, span: &Range<usize>) -> bool {
        let Some(Open::List(open, _)) = self.open.last() else { return false };
        let starts = items_within(&self.text[span.clone()]);
        let Some(first) = starts.first().filter(|_| !self.text[*open..].starts_with('[')) else { return false };
        let line = span.start + first..line_end(self.text, span.start + first);
        let dash = dash_before(self.text, span.start).unwrap_or(span.start);
        let column = dash - self.text[..dash].rfind('\n').map_or(0, |end| end + 1);
        let title = "this item does not begin in the same column as the one above it";
        let help = format!("write `{}{}`", " ".repeat(column), self.text[line.clone()].trim_end());
        self.refusals.push(refusal(code::LIST_INDENT, title, line, &help));
        let ends = starts.iter().copied().chain([span.len()]);
        let from = [0].into_iter().chain(starts.iter().map(|start| start + 2));
        for (start, end) in from.zip(ends) {
            let text = self.text[span.start + start..span.start + end].trim().to_owned();
            let start = span.start + start;
            let value = YamlValue::Scalar { text: text.clone(), plain: true };
            self.put(Node { span: start..start + text.len(), value });
        }
        true
    }

    /// Reports each key that is there twice, and keeps the first.
    pub(super) fn refuse_twins(&mut self, entries: &mut Vec<KeyValue>) {
        // Nearly every mapping has few keys, and no two of one name.
        let known = |at: usize| entries[..at].iter().any(|other| other.key == entries[at].key);
        if entries.len() <= FEW && !(0..entries.len()).any(|at| known(at) || entries[at].key == "<<") {
            return;
        }
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

/// Where the line of `at` ends.
fn line_end(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |length| at + length)
}

/// `1,5 fl oz` with a decimal point; three digits after the comma are thousands, and a space after it ends a value.
fn decimal_comma(text: &str) -> Option<String> {
    let (whole, rest) = text.split_once(',')?;
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let number = !whole.is_empty() && whole.bytes().all(|byte| byte.is_ascii_digit());
    (number && digits != 0 && digits != 3 && !rest.contains(',')).then(|| format!("{whole}.{rest}"))
}

fn is_plain(node: &Node) -> bool {
    matches!(node.value, YamlValue::Scalar { plain: true, .. }) && !node.is_empty()
}
