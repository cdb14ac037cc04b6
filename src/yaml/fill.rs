//! Types filled from the tree, so that every problem is at the place of the value it is about.
//!
//! Nothing stops at the first mistake: it is reported, and a stand-in takes the place of the value, so that one reading
//! finds everything. A type is asked for every key, also for one that is not there: what may be left out is an `Option`
//! or is read by [`or_default`].

use std::cell::RefCell;
use std::fmt;
use std::ops::Range;

use serde::Deserialize;
use serde::de::{self, DeserializeSeed, IntoDeserializer, MapAccess, SeqAccess, Visitor};
use serde::forward_to_deserialize_any;

use super::node::{KeyValue, Node};
use super::slips;
use crate::problem::{Problem, Source, code, nearest, offer};

/// Fills a type from a tree; every mistake is given to `found`.
pub(super) fn fill<T: de::DeserializeOwned>(root: &Node, source: &Source) -> (Result<T, Stop>, Vec<Problem>) {
    let filling = Filling { source, found: RefCell::new(Vec::new()) };
    let value = T::deserialize(Place { filling: &filling, at: At::Node(root), key: None });
    (value, filling.found.into_inner())
}

/// For a value that may be left out and has a usual value: `#[serde(default, deserialize_with = "or_default")]`.
///
/// # Errors
/// As the value itself.
pub(crate) fn or_default<'de, D: de::Deserializer<'de>, T: de::Deserialize<'de> + Default>(
    deserializer: D,
) -> Result<T, D::Error> {
    Ok(Option::deserialize(deserializer)?.unwrap_or_default())
}

/// The state while a type is filled.
struct Filling<'a> {
    source: &'a Source,
    found: RefCell<Vec<Problem>>,
}

impl Filling<'_> {
    fn report(&self, problem: Problem, span: &Range<usize>) {
        self.found.borrow_mut().push(problem.at(self.source, span.clone()));
    }
}

/// A refusal by the type itself, for which there is no stand-in.
#[derive(Debug)]
pub(super) struct Stop(pub(super) String);

impl fmt::Display for Stop {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0)
    }
}

impl std::error::Error for Stop {}

impl de::Error for Stop {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self(message.to_string())
    }
}

/// What a value is read from.
#[derive(Clone, Copy)]
enum At<'a> {
    /// A value of the file.
    Node(&'a Node),
    /// A key that is not there, in the mapping of that place.
    Missing(&'a str, &'a Range<usize>),
    /// Something unreadable that has been reported.
    GivenUp,
}

/// A value on its way into a type.
#[derive(Clone, Copy)]
struct Place<'a> {
    filling: &'a Filling<'a>,
    at: At<'a>,
    /// The key it belongs to.
    key: Option<&'a KeyValue>,
}

impl<'a> Place<'a> {
    /// The text of a scalar; otherwise nothing, and the mistake is reported.
    fn scalar(&self, expected: &str) -> Option<&'a str> {
        match self.at {
            At::Node(node) if !node.is_empty() && node.text().is_some() => node.text(),
            _ => {
                self.wrong(expected, None);
                None
            }
        }
    }

    /// Reports a value that is not what is expected, or that is missing.
    fn wrong(&self, expected: &str, help: Option<String>) {
        match self.at {
            At::Node(node) => {
                let problem = self.slip(node).unwrap_or_else(|| self.wrong_type(node, expected, help));
                let span = match self.key {
                    Some(entry) if node.span.is_empty() => &entry.key_span,
                    _ => &node.span,
                };
                self.filling.report(problem, span);
            }
            At::Missing(key, place) => {
                let title = format!("the key `{key}` is expected here, and there is none");
                let line = if expected == LIST { format!("{key}: [ … ]") } else { format!("{key}: …") };
                let problem = Problem::new(code::MISSING_KEY, title, "").help(format!("add a line `{line}`"));
                self.filling.report(problem, place);
            }
            At::GivenUp => {}
        }
    }

    /// A text in place of something else because of a missing or an odd space.
    fn slip(&self, node: &Node) -> Option<Problem> {
        let slip = slips::in_line(node.text()?)?;
        Some(Problem::new(slip.rule, slip.title, "").help(slip.help))
    }

    fn wrong_type(&self, node: &Node, expected: &str, help: Option<String>) -> Problem {
        let name = self.key.map_or_else(|| "this".to_owned(), |entry| format!("`{}`", entry.key));
        let found = match node.text() {
            _ if node.is_empty() => "empty".to_owned(),
            Some(text) if text.parse::<f64>().is_ok() => format!("`{}`", text.trim()),
            Some(text) => format!("the text `{}`", text.chars().take(40).collect::<String>()),
            None => node.form().to_owned(),
        };
        let be = if expected == KEYS { "are" } else { "is" };
        let title = format!("{name} is {found}, and {expected} {be} expected");
        let problem = Problem::new(code::WRONG_TYPE, title, "");
        match help {
            Some(help) => problem.help(help),
            None => problem,
        }
    }

    fn named(&self, help: impl FnOnce(&str) -> String) -> Option<String> {
        self.key.map(|entry| help(&entry.key))
    }

    /// A number that `read` accepts; otherwise 1, with the mistake reported.
    fn number<N: From<u8>>(&self, expected: &str, read: impl FnOnce(&str) -> Option<N>) -> N {
        let Some(text) = self.scalar(expected) else { return N::from(1) };
        read(text).unwrap_or_else(|| {
            self.wrong(expected, self.named(|key| number_help(key, text, expected)));
            N::from(1)
        })
    }
}

/// What to write for a number that cannot be read: the whole number in the text, or the one that is nearest.
fn number_help(key: &str, text: &str, expected: &str) -> String {
    let digits = |text: &str| {
        let text = text.trim();
        let end = text.find(|letter: char| !(letter.is_ascii_digit() || letter == '.')).unwrap_or(text.len());
        text[..end].parse::<f64>().ok()
    };
    let small = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    let word = small.iter().position(|word| text.trim().eq_ignore_ascii_case(word)).map(|number| number as f64);
    let number = digits(text.trim_start_matches('-')).or(word).filter(|number| *number < 1e6);
    // It is a whole number, and larger than can be meant.
    if text.trim().bytes().all(|byte| byte.is_ascii_digit()) {
        return "write a smaller number".to_owned();
    }
    match number {
        Some(number) if expected == WHOLE => format!("write `{key}: {}`", number.ceil()),
        Some(number) => format!("write `{key}: {number}`"),
        None => format!("write it in digits, as in `{key}: 5`, or leave the line out"),
    }
}

const KEYS: &str = "keys with values";
const LIST: &str = "a list";
const WHOLE: &str = "a whole number, 0 or more,";

macro_rules! whole_numbers {
    ($($method:ident $visit:ident $type:ty),*) => {$(
        fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
            visitor.$visit(self.number::<$type>(WHOLE, |text| text.parse().ok()))
        }
    )*};
}

impl<'de: 'a, 'a> de::Deserializer<'de> for Place<'a> {
    type Error = Stop;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        match self.at {
            At::Node(node) if node.text().is_some() => self.deserialize_str(visitor),
            At::Node(node) if node.entries().is_empty() => self.deserialize_seq(visitor),
            At::Node(_) => self.deserialize_map(visitor),
            At::Missing(..) | At::GivenUp => visitor.visit_unit(),
        }
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        visitor.visit_unit()
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        const EXPECTED: &str = "true or false";
        let help = || self.named(|key| format!("write `{key}: true` or leave the line out"));
        let value = match self.at {
            At::Node(node) => match node.text() {
                Some("true") => Some(true),
                Some("false") => Some(false),
                _ => None,
            },
            At::Missing(..) | At::GivenUp => None,
        };
        if value.is_none() {
            self.wrong(EXPECTED, help());
        }
        visitor.visit_bool(value.unwrap_or(false))
    }

    whole_numbers! {
        deserialize_u8 visit_u8 u8, deserialize_u16 visit_u16 u16, deserialize_u32 visit_u32 u32,
        deserialize_u64 visit_u64 u64
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        let finite = |text: &str| text.parse().ok().filter(|number: &f64| number.is_finite());
        visitor.visit_f64(self.number("a number", finite))
    }

    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        visitor.visit_str(self.scalar("text").unwrap_or_default())
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        self.deserialize_str(visitor)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        match self.at {
            At::Node(node) if !node.is_empty() => visitor.visit_some(self),
            _ => visitor.visit_none(),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _: &'static str, visitor: V) -> Result<V::Value, Stop> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        let items = match self.at {
            At::Node(node) if node.is_list() => node.items(),
            _ => {
                self.wrong(LIST, self.named(|key| format!("write `{key}:` and below it one line `- …` for each")));
                &[]
            }
        };
        visitor.visit_seq(Items { filling: self.filling, rest: items.iter() })
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        let entries = match self.at {
            At::Node(node) if node.is_map() => node.entries(),
            _ => {
                self.wrong(KEYS, None);
                &[]
            }
        };
        let fields = entries.iter().map(|entry| (entry.key.as_str(), At::Node(&entry.node), Some(entry))).collect();
        visitor.visit_map(Fields { filling: self.filling, fields, next: 0 })
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        names: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Stop> {
        let given_up = || names.iter().map(|name| (*name, At::GivenUp, None)).collect();
        let fields = match self.at {
            At::Node(node) if node.is_map() => fields(self.filling, node, self.key, names),
            At::Missing(..) => {
                self.wrong(KEYS, None);
                given_up()
            }
            At::Node(_) => {
                self.wrong(KEYS, None);
                given_up()
            }
            At::GivenUp => given_up(),
        };
        visitor.visit_map(Fields { filling: self.filling, fields, next: 0 })
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        words: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Stop> {
        let first = words.first().copied().unwrap_or_default();
        let written = match self.at {
            At::Node(node) => match node.text().filter(|_| !node.is_empty()) {
                Some(text) if words.contains(&text) => text,
                Some(text) => {
                    let list: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
                    let list = match list.split_last() {
                        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
                        _ => list.join(""),
                    };
                    let shown: String = text.chars().take(40).collect();
                    let title = format!("one of the words {list} is expected, and this is `{shown}`");
                    let near = nearest(text, words.iter().copied());
                    let help = near.map_or_else(|| format!("write {list}"), |near| format!("write `{near}`"));
                    self.filling.report(Problem::new(code::UNKNOWN_WORD, title, "").help(help), &node.span);
                    first
                }
                None => {
                    self.wrong("one word", None);
                    first
                }
            },
            At::Missing(..) | At::GivenUp => {
                self.wrong("one word", None);
                first
            }
        };
        visitor.visit_enum(IntoDeserializer::<Stop>::into_deserializer(written))
    }

    forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u128 f32 char bytes byte_buf unit unit_struct tuple tuple_struct identifier
    }
}

type Field<'a> = (&'a str, At<'a>, Option<&'a KeyValue>);

/// The fields of a mapping: those that are there, a mistyped key under the name that was meant, then those missing.
fn fields<'a>(
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
        let taken = |name: &str| node.get(name).is_some() || fields.iter().any(|(other, _, _)| *other == name);
        let free: Vec<&'static str> = names.iter().copied().filter(|name| !taken(name)).collect();
        let slip = slips::in_key(&entry.key);
        let same = slip.as_deref().and_then(|plain| free.iter().copied().find(|name| *name == plain));
        let meant = same.or_else(|| nearest(slip.as_deref().unwrap_or(&entry.key), free.iter().copied()));
        let shown: String = entry.key.chars().take(60).collect();
        let problem = match (&slip, meant) {
            (Some(_), Some(meant)) => {
                let title = format!("a space that is not a plain one is part of the key `{shown}`");
                Problem::new(code::ODD_SPACE, title, "").help(format!("write `{meant}` again, with plain spaces"))
            }
            _ => {
                let mut problem = Problem::new(code::UNKNOWN_KEY, format!("the key `{shown}` is not known here"), "");
                problem.help = match meant {
                    Some(meant) => Some(format!("write `{meant}`")),
                    None if names.iter().any(|name| Some(*name) == above(&entry.key)) => outdented(entry),
                    None => offer(&entry.key, free.iter().copied()).or_else(|| already(&entry.key, names)),
                };
                problem
            }
        };
        filling.report(problem, &entry.key_span);
        if let Some(meant) = meant {
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
fn outdented(entry: &KeyValue) -> Option<String> {
    let value = entry.node.text().map_or_else(String::new, |text| format!(" {text}"));
    let above = above(&entry.key)?;
    Some(format!("it belongs to {above}: write it below that key with two spaces in front, `  {}:{value}`", entry.key))
}

/// If every key is already there: the one that the unknown key repeats, or a note that there is none to add.
fn already(key: &str, names: &[&str]) -> Option<String> {
    Some(match nearest(key, names.iter().copied()) {
        Some(near) => format!("remove it; `{near}` is already there"),
        None => "remove it; every key that belongs here is already there".to_owned(),
    })
}

/// The fields of a mapping, one after the other.
struct Fields<'a> {
    filling: &'a Filling<'a>,
    fields: Vec<Field<'a>>,
    next: usize,
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
struct Items<'a> {
    filling: &'a Filling<'a>,
    rest: std::slice::Iter<'a, Node>,
}

impl<'de: 'a, 'a> SeqAccess<'de> for Items<'a> {
    type Error = Stop;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Stop> {
        let Some(node) = self.rest.next() else { return Ok(None) };
        seed.deserialize(Place { filling: self.filling, at: At::Node(node), key: None }).map(Some)
    }
}

#[cfg(test)]
mod tests {
    use serde::Deserialize;

    use super::super::Document;
    use super::*;
    use crate::problem::{Problems, Style};

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code, reason = "only the reading is tested")]
    struct Top {
        title: String,
        minutes: Option<u32>,
        #[serde(default, deserialize_with = "or_default")]
        questions: Vec<Item>,
    }

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code, reason = "only the reading is tested")]
    struct Item {
        id: String,
        kind: Word,
        #[serde(default, deserialize_with = "or_default")]
        right: bool,
    }

    #[derive(Debug, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    enum Word {
        One,
        Several,
    }

    type Reported = (&'static str, String, Option<(usize, usize)>, Option<String>);

    fn found(text: &str) -> Vec<Reported> {
        let source = Source::new("a.yaml", text);
        let mut problems = Problems::new();
        let typed = Document::of_file(&source, &mut problems).and_then(|document| document.typed::<Top>(&mut problems));
        assert_eq!(typed.is_some(), problems.is_empty(), "{}", problems.draw(Style::Plain));
        problems.into_iter().map(|p| (p.code, p.title.clone(), p.line_column(), p.help.clone())).collect()
    }

    fn short(text: &str) -> Vec<(&'static str, Option<(usize, usize)>)> {
        found(text).into_iter().map(|(code, _, place, _)| (code, place)).collect()
    }

    #[test]
    fn a_slip_in_a_key_is_shown_at_the_key_and_the_name_is_offered() {
        let all = found("titel: A\nminutes: 5\n");
        assert_eq!(
            all[0],
            ("unknown-key", "the key `titel` is not known here".into(), Some((1, 1)), Some("write `title`".into()))
        );
        assert_eq!(all.len(), 1, "the key that was meant is not reported as missing, too");
    }

    #[test]
    fn a_value_of_the_wrong_kind_says_what_is_expected_and_what_was_found() {
        let all = found("title: [12]\nminutes: 5\n");
        assert_eq!(all[0].1, "`title` is a list, and text is expected");
        assert_eq!(all[0].2, Some((1, 8)));
        assert_eq!(
            found("title: A\nminutes: soon\n")[0].1,
            "`minutes` is the text `soon`, and a whole number, 0 or more, is expected"
        );
        assert_eq!(found("title: A\nquestions: yes\n")[0].2, Some((2, 12)));
        assert_eq!(found("title: A\nquestions: [{id: [x], kind: one}]\n")[0].1, "`id` is a list, and text is expected");
    }

    #[test]
    fn one_run_reports_the_mistakes_of_several_items() {
        let text = "title: A\nquestions:\n  - id: a\n    kind: on\n  - {id: b, kind: one, rihgt: true}\n  - id: c\n    kind: one\n    extra: 1\n    right: maybe\n  - id: d\n    kind: one\n";
        assert_eq!(
            short(text),
            [
                ("unknown-word", Some((4, 11))),
                ("unknown-key", Some((5, 24))),
                ("unknown-key", Some((8, 5))),
                ("wrong-type", Some((9, 12)))
            ]
        );
    }

    #[test]
    fn a_missing_key_is_shown_where_its_neighbors_are() {
        assert_eq!(short("title: A\nquestions:\n  - id: a\n"), [("missing-key", Some((3, 5)))]);
    }

    #[test]
    fn an_empty_file_lacks_its_keys() {
        assert_eq!(short(""), [("missing-key", Some((1, 1)))]);
        assert_eq!(short("# only a note\n"), [("missing-key", Some((1, 1)))]);
    }

    #[test]
    fn a_list_or_text_where_keys_are_expected_is_reported() {
        assert_eq!(found("- a\n- b\n")[0].1, "this is a list, and keys with values are expected");
        assert_eq!(found("just text\n")[0].0, "wrong-type");
    }

    #[test]
    fn a_key_that_is_missing_is_reported_together_with_every_other_mistake() {
        assert_eq!(
            short("minutes: soon\nquestions:\n  - { kind: two }\n"),
            [
                ("wrong-type", Some((1, 10))),
                ("unknown-word", Some((3, 13))),
                ("missing-key", Some((3, 7))),
                ("missing-key", Some((1, 1))),
            ]
        );
    }

    #[test]
    fn slips_of_the_space_bar_are_shown_where_they_are_with_the_line_that_works() {
        let help = |text: &str| found(text).into_iter().map(|(code, _, at, help)| (code, at, help)).collect::<Vec<_>>();
        let one = |code: &'static str, at, help: &str| vec![(code, Some(at), Some(help.to_owned()))];
        assert_eq!(help("title:A\n"), one("space-missing", (1, 1), "write `title: A`"));
        assert_eq!(help("title:A\nminutes: 5\n"), one("space-missing", (1, 1), "write `title: A`"));
        assert_eq!(help("title: A\nminutes:5\n"), one("space-missing", (2, 1), "write `minutes: 5`"));
        assert_eq!(
            help("title:\u{a0}A\nminutes: 5\n"),
            one("odd-space", (1, 1), "delete it and type a plain space in its place")
        );
        assert_eq!(help("title: A\n\u{a0}\u{a0}minutes: 5\n")[0].0, "odd-space");
    }

    #[test]
    fn a_list_that_is_not_indented_is_put_where_it_belongs() {
        let all = found("title: A\nquestions:\n  - id: a\n    kind: one\n    right:\n  - x: y\n");
        assert_eq!(all[0].0, "list-indent", "{all:?}");
        assert_eq!(all[0].3.as_deref(), Some("put 6 spaces in front of it: `      - x: y`"));
    }
}
