//! The entries of a mapping and the items of a list, one after the other; a mistyped key counts as the one that was meant.

use serde::de::{DeserializeSeed, IntoDeserializer, MapAccess, SeqAccess};

use super::super::node::{KeyValue, Node};
use super::super::slips;
use super::{At, Filling, Place, Stop};
use crate::notation::percent_meant;
use crate::problem::{Problem, code, nearest, offer};

pub(super) type Field<'a> = (&'a str, At<'a>, Option<&'a KeyValue>);

/// The fields of a mapping: those that are there, a mistyped key under the name that was meant, then those missing.
pub(super) fn fields<'a>(
    filling: &Filling<'_>,
    node: &'a Node,
    key: Option<&'a KeyValue>,
    names: &'static [&'static str],
) -> Vec<Field<'a>> {
    let mut fields: Vec<Field<'a>> = Vec::with_capacity(names.len());
    for entry in node.entries() {
        if names.contains(&entry.key.as_str()) {
            fields.push((&entry.key, At::Node(&entry.node), Some(entry)));
            continue;
        }
        let there = |name: &str| node.get(name).is_some() || fields.iter().any(|(other, _, _)| *other == name);
        // One key in two spellings.
        let taken =
            |name: &str| there(name) || matches!(name, "colors" | "colours") && (there("colors") || there("colours"));
        let free: Vec<&'static str> = names.iter().copied().filter(|name| !taken(name)).collect();
        let slip = slips::in_key(&entry.key);
        let same = slip.as_deref().and_then(|plain| free.iter().copied().find(|name| *name == plain));
        let meant = same.or_else(|| nearest(slip.as_deref().unwrap_or(&entry.key), free.iter().copied()));
        let shown: String = entry.key.chars().take(60).collect();
        let problem = match (&slip, meant) {
            (Some(plain), None) if above(plain).is_some() => {
                let title = format!("a space that is not a plain one is part of the key `{shown}`");
                Problem::new(code::ODD_SPACE, title, "").help("delete it and type plain spaces in its place")
            }
            (Some(_), Some(meant)) => {
                let title = format!("a space that is not a plain one is part of the key `{shown}`");
                Problem::new(code::ODD_SPACE, title, "").help(format!("write `{meant}` again, with plain spaces"))
            }
            _ => {
                let mut problem = Problem::new(code::UNKNOWN_KEY, format!("the key `{shown}` is not known here"), "");
                problem.help = match meant {
                    Some(meant) => Some(format!("write `{meant}`")),
                    None if entry.key == "answer" && names.contains(&"asks") => {
                        Some("leave it out: the answer is worked out from what is given".to_owned())
                    }
                    None if names.contains(&"right") && ["answer", "correct"].contains(&&*entry.key) => {
                        Some("write `right: true` for the right one, and leave the line out of the others".to_owned())
                    }
                    None if names.iter().any(|name| Some(*name) == above(&entry.key)) => outdented(node, entry),
                    None => there_as(&entry.key, names, there)
                        .or_else(|| offer(&entry.key, free.iter().copied()))
                        .or_else(|| already(&entry.key, names)),
                };
                problem
            }
        };
        filling.report(problem, &entry.key_span);
        if let Some(meant) = meant {
            // What is free-form is looked up in the tree by its name.
            if !FREE_FORM.contains(&meant) {
                filling.misnamed.borrow_mut().push(entry.key_span.clone());
            }
            fields.push((meant, At::Node(&entry.node), Some(entry)));
        }
    }
    let place = match key {
        Some(entry) => &entry.key_span,
        None => node.entries().first().map_or(&node.span, |first| &first.key_span),
    };
    for name in names {
        if !fields.iter().any(|(other, _, _)| other == name) {
            fields.push((name, At::Missing(name, place), None));
        }
    }
    fields
}

/// Keys whose values are not filled into a type.
const FREE_FORM: [&str; 2] = ["given", "beside"];

/// Keys that belong below another one of the same file.
const BELOW: &[(&str, &[&str])] = &[
    ("exam", &["items", "minutes", "typed", "pass", "reference-sheet", "calculator", "weights"]),
    ("colors", &["band", "link"]),
];

/// The key that a key belongs below.
fn above(key: &str) -> Option<&'static str> {
    BELOW.iter().find(|(_, keys)| keys.contains(&key)).map(|(above, _)| *above)
}

/// What to write for a key that is too far left.
fn outdented(node: &Node, entry: &KeyValue) -> Option<String> {
    let value = match entry.node.text() {
        Some(text) if entry.key == "pass" => format!(" {}", percent_meant(text, text)),
        Some(text) if text.starts_with('#') => format!(" \"{text}\""),
        Some(text) => format!(" {text}"),
        None => String::new(),
    };
    let above = above(&entry.key)?;
    let line = format!("`  {}:{value}`", entry.key);
    Some(match node.get(above) {
        Some(_) => format!("it belongs to {above}: write it below that key with two spaces in front, {line}"),
        None => format!("it belongs to {above}: write a line `{above}:`, and below it {line}"),
    })
}

/// For a key that is nearly one that is there: that one, as the author wrote it.
fn there_as(key: &str, names: &[&str], there: impl Fn(&str) -> bool) -> Option<String> {
    let near = nearest(key, names.iter().copied().filter(|name| there(name)))?;
    Some(format!("remove it: {near} is already there"))
}

/// If every key is already there: the one that the unknown key repeats, or a note that nothing is left to add.
fn already(key: &str, names: &[&str]) -> Option<String> {
    Some(match nearest(key, names.iter().copied()) {
        Some(near) => format!("remove it; `{near}` is already there"),
        None => "remove it; every key that belongs here is already there".to_owned(),
    })
}

/// The fields of a mapping, one after the other.
pub(super) struct Fields<'a> {
    filling: &'a Filling<'a>,
    fields: Vec<Field<'a>>,
    next: usize,
}

impl<'a> Fields<'a> {
    pub(super) fn new(filling: &'a Filling<'a>, fields: Vec<Field<'a>>) -> Self {
        Fields { filling, fields, next: 0 }
    }
}

impl<'de: 'a, 'a> MapAccess<'de> for Fields<'a> {
    type Error = Stop;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Stop> {
        let Some((name, _, _)) = self.fields.get(self.next) else { return Ok(None) };
        let name: &str = name;
        seed.deserialize(IntoDeserializer::<Stop>::into_deserializer(name)).map(Some)
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Stop> {
        let (at, key) = self.fields.get(self.next).map_or((At::GivenUp, None), |(_, at, key)| (*at, *key));
        self.next += 1;
        seed.deserialize(Place { filling: self.filling, at, key })
    }
}

/// The items of a list, one after the other.
pub(super) struct Items<'a> {
    filling: &'a Filling<'a>,
    rest: std::slice::Iter<'a, Node>,
}

impl<'a> Items<'a> {
    pub(super) fn new(filling: &'a Filling<'a>, items: &'a [Node]) -> Self {
        Items { filling, rest: items.iter() }
    }
}

impl<'de: 'a, 'a> SeqAccess<'de> for Items<'a> {
    type Error = Stop;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Stop> {
        let Some(node) = self.rest.next() else { return Ok(None) };
        seed.deserialize(Place { filling: self.filling, at: At::Node(node), key: None }).map(Some)
    }
}
