//! The messages of serde_yaml taken apart, and its types in the author's words.

use super::node::{Node, Value};

/// A mapping in the author's words.
pub(super) const KEYS: &str = "keys with values";

/// `questions[0].kind: unknown variant … at line 3 column 5` into path and message.
pub(super) fn taken_apart(message: &str) -> (&str, &str) {
    let message = message.rfind(" at line ").map_or(message, |at| &message[..at]);
    const STARTS: [&str; 7] = [
        "unknown field",
        "missing field",
        "invalid type",
        "invalid value",
        "unknown variant",
        "invalid length",
        "duplicate field",
    ];
    for start in STARTS {
        if message.starts_with(start) {
            return ("", message);
        }
        if let Some(at) = message.find(&format!(": {start}")) {
            return (&message[..at], &message[at + 2..]);
        }
    }
    ("", message)
}

pub(super) enum Kind<'m> {
    UnknownKey { key: &'m str, expected: Vec<&'m str> },
    MissingKey(&'m str),
    WrongType { found: &'m str, expected: &'m str },
    UnknownWord { word: &'m str, expected: Vec<&'m str> },
    Other,
}

pub(super) fn kind(message: &str) -> Kind<'_> {
    let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    let (first, rest) = quoted.split_first().map_or(("", Vec::new()), |(first, rest)| (*first, rest.to_vec()));
    if message.starts_with("unknown field") {
        return Kind::UnknownKey { key: first, expected: rest };
    }
    if message.starts_with("missing field") {
        return Kind::MissingKey(first);
    }
    if message.starts_with("unknown variant") {
        return Kind::UnknownWord { word: first, expected: rest };
    }
    let types = message.strip_prefix("invalid type: ").or_else(|| message.strip_prefix("invalid value: "));
    match types.and_then(|types| types.rsplit_once(", expected ")) {
        Some((found, expected)) => Kind::WrongType { found, expected },
        None => Kind::Other,
    }
}

pub(super) fn found_in_words(found: &str, node: &Node) -> String {
    if node.is_empty() || found.starts_with("unit") {
        return "empty".to_owned();
    }
    match (&node.value, found) {
        (Value::List(_), _) => "a list".to_owned(),
        (Value::Map(_), _) => "keys with values".to_owned(),
        (Value::Scalar { text, .. }, found) => {
            let short: String = text.chars().take(40).collect();
            let kind = match found.split([' ', '`']).next() {
                Some("integer" | "floating") => "the number",
                Some("boolean") => "the word",
                _ => "the text",
            };
            format!("{kind} `{short}`")
        }
    }
}

pub(super) fn expected_in_words(expected: &str) -> String {
    let words = match expected {
        "a string" => "text",
        "a boolean" => "true or false",
        "a sequence" => "a list",
        "f64" => "a number",
        "u8" | "u16" | "u32" | "u64" | "usize" => "a whole number, 0 or more,",
        other if other.starts_with("struct") || other.starts_with("a map") => KEYS,
        other if other.starts_with("enum") => "one word",
        other => other,
    };
    words.to_owned()
}
