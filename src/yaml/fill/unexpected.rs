//! What is reported of a value that is not what its type expects, and what to write instead.

use super::super::node::Node;
use super::super::{mistyped, slips};
use super::fields::Field;
use super::{At, Place};
use crate::problem::{Problem, code, nearest};

pub(super) const KEYS: &str = "keys with values";
pub(super) const LIST: &str = "a list";
/// Keys of the lists that a file of its own consists of.
const LISTS: [&str; 3] = ["cautions", "terms", "questions"];
pub(super) const WHOLE: &str = "a whole number, 0 or more,";

impl<'a> Place<'a> {
    /// The text of a scalar; otherwise nothing, and the mistake is reported.
    pub(super) fn scalar(&self, expected: &str) -> Option<&'a str> {
        match self.at {
            At::Node(node) if !node.is_empty() && node.text().is_some() => node.text(),
            _ => {
                self.wrong(expected, None);
                None
            }
        }
    }

    /// Reports a value that is not what is expected, or that is missing.
    pub(super) fn wrong(&self, expected: &str, help: Option<String>) {
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
                let title = format!("the key `{key}` is missing here");
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
        const SHOWN: usize = 40;
        let name = self.key.map_or_else(|| "this".to_owned(), |entry| format!("`{}`", entry.key));
        let found = match node.text() {
            _ if node.is_empty() => "empty".to_owned(),
            Some(text) if text.parse::<f64>().is_ok() => format!("`{}`", text.trim()),
            Some(text) if text.chars().count() > SHOWN => {
                format!("the text `{}…`", text.chars().take(SHOWN).collect::<String>())
            }
            Some(text) => format!("the text `{text}`"),
            None => node.form().to_owned(),
        };
        let be = if expected == KEYS { "are" } else { "is" };
        let title = format!("{name} is {found}, and {expected} {be} expected");
        let mut problem = Problem::new(code::WRONG_TYPE, title, "");
        let words = || self.named(|key| format!("write the words: `{key}: …`")).filter(|_| node.is_empty());
        problem.help = help.or_else(words);
        problem
    }

    /// A text where a list is expected: the list of its parts, if there is nothing in it that would be read otherwise.
    pub(super) fn as_list(&self) -> Option<String> {
        const SHORT: usize = 60;
        const NAMES: usize = 200;
        let text = match self.at {
            At::Node(node) if !node.is_empty() => node.text(),
            _ => None,
        };
        let plain = text.filter(|text| {
            let names =
                text.len() <= NAMES && text.bytes().all(|byte| byte == b' ' || byte == b',' || is_of_name(byte));
            (names || text.chars().count() <= SHORT)
                && !text.contains(['[', ']', '{', '}', ':', '#', '"', '\'', '\n'])
                && !text.contains(" - ")
        });
        let other_dash = text.and_then(|text| text.strip_prefix(['–', '—', '•', '−', '*'])?.strip_prefix(' '));
        if let Some(first) = other_dash.and_then(|items| items.split([' ', '\n']).next()) {
            return Some(format!("an item of a list begins with a hyphen: write `- {first}`"));
        }
        // `lessons: a, b` and below it `- c`, which YAML reads as one text.
        let both = text.filter(|text| text.contains(" - ") && text.len() <= 4 * SHORT);
        // A name on each line, without their dashes: YAML reads one text.
        let lines = matches!(self.at, At::Node(node) if text.is_some_and(|text| text.len() < node.span.len()));
        let names = |text: &str| lines && text.bytes().all(|byte| byte == b' ' || is_of_name(byte));
        self.named(|key| match plain {
            Some(text) if names(text) => {
                format!("write `{key}: [{}]`", text.split_whitespace().collect::<Vec<_>>().join(", "))
            }
            Some(text) => format!("write `{key}: [{text}]`"),
            None => both
                .and_then(|text| mistyped::items(key, text))
                .unwrap_or_else(|| format!("write `{key}:` and below it one line `- …` for each")),
        })
    }

    /// A text where keys are expected, written after the first of them, with room for the others if they are few.
    pub(super) fn as_keys(&self, names: &[&str]) -> Option<String> {
        const FEW: usize = 3;
        // What is in a list of options is one of them, and most are wrong.
        if names.contains(&"right") {
            let At::Node(node) = self.at else { return None };
            let text = node.text().filter(|text| !node.is_empty() && !text.contains(['{', '}', ',']))?;
            return Some(format!("write `{{ text: {text} }}`"));
        }
        let (At::Node(node), [first, rest @ ..]) = (self.at, names) else { return None };
        let text =
            node.text().filter(|text| !node.is_empty() && rest.len() < FEW && !text.contains(['{', '}', ',']))?;
        let rest: String = rest.iter().map(|name| format!(", {name}: …")).collect();
        Some(format!("write `{{ {first}: {text}{rest} }}`"))
    }

    /// A file that begins with the items of its list, without the key above them: that is reported, and they are read.
    pub(super) fn list_of_file(&self, node: &'a Node, names: &'static [&'static str]) -> Option<Vec<Field<'a>>> {
        let key = names.iter().copied().find(|name| LISTS.contains(name))?;
        if !node.items().iter().any(Node::is_map) {
            return None;
        }
        let title = format!("a line `{key}:` is missing above this list");
        let others: String =
            names.iter().filter(|name| ["id", "title"].contains(name)).map(|n| format!("`{n}: …`, ")).collect();
        let help = format!(
            "write {others}{}`{key}:` on {} above it",
            if others.is_empty() { "" } else { "and " },
            if others.is_empty() { "a line of its own" } else { "lines of their own" }
        );
        self.filling
            .report(Problem::new(code::WRONG_TYPE, title, "").help(help), &(node.span.start..node.span.start + 1));
        let given_up = names.iter().filter(|name| **name != key).map(|name| (*name, At::GivenUp, None));
        Some(given_up.chain([(key, At::Node(node), None)]).collect())
    }

    /// Whether a file with one list has its entries as keys, `wash-pad:` in place of `- id: wash-pad`; that is reported.
    pub(super) fn is_named_entries(&self, node: &Node, names: &[&str]) -> bool {
        let [key] = names else { return false };
        let entries = node.entries();
        let Some(first) = entries.first().filter(|_| self.key.is_none() && LISTS.contains(key)) else { return false };
        if entries.iter().any(|entry| entry.key == *key || !entry.node.is_map()) {
            return false;
        }
        let title = format!("the {key} of this file are a list, and `{}` is a key", first.key);
        let help = format!(
            "write `{key}:` on a line of its own; below it `  - id: {}`, and its other lines with four spaces in front",
            first.key
        );
        self.filling.report(Problem::new(code::WRONG_TYPE, title, "").help(help), &first.key_span);
        true
    }

    pub(super) fn named(&self, help: impl FnOnce(&str) -> String) -> Option<String> {
        self.key.map(|entry| help(&entry.key))
    }

    /// A number that `read` accepts; otherwise 1, with the mistake reported.
    pub(super) fn number<N: From<u8>>(&self, expected: &str, read: impl FnOnce(&str) -> Option<N>) -> N {
        let Some(text) = self.scalar(expected) else { return N::from(1) };
        read(text).unwrap_or_else(|| {
            self.wrong(expected, self.named(|key| number_help(key, text, expected)));
            N::from(1)
        })
    }

    /// Reports a text that is not one of the words.
    pub(super) fn unknown_word(&self, node: &Node, text: &str, words: &[&str]) {
        const FEW: usize = 4;
        let many = words.len() > FEW;
        let list: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
        let list = match list.split_last() {
            Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
            _ => list.join(""),
        };
        let shown: String = text.chars().take(40).collect();
        let title = match self.key {
            Some(entry) if many => format!("`{shown}` is not one of the words for `{}`", entry.key),
            _ => format!("one of the words {list} is expected, and this is `{shown}`"),
        };
        let near = nearest(text, words.iter().copied());
        let choice =
            words.contains(&"several") && near.is_none() && ["choice", "multi"].iter().any(|word| text.contains(word));
        let help = match near {
            Some(near) => format!("write `{near}`"),
            None if choice => "write `one` if one option is right, and `several` if more than one is".to_owned(),
            None => format!("write {list}"),
        };
        self.filling.report(Problem::new(code::UNKNOWN_WORD, title, "").help(help), &node.span);
    }
}

fn is_of_name(byte: u8) -> bool {
    byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-'
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
    let hours = text.split_whitespace().nth(1).is_some_and(|unit| unit.starts_with('h'));
    let number = if key == "minutes" && hours { number.map(|number| number * 60.0) } else { number };
    match number {
        Some(number) if expected == WHOLE => format!("write `{key}: {}`", number.ceil()),
        Some(number) => format!("write `{key}: {number}`"),
        None => format!("write it in digits, as in `{key}: 5`, or leave the line out"),
    }
}
