//! Free-form YAML as a tree in which everything knows its place.

use std::ops::Range;

/// A value and its place; bytes from the start of the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Bytes from the start of the file.
    pub span: Range<usize>,
    /// What is there.
    pub value: YamlValue,
}

/// What a node is.
#[derive(Clone, Debug, PartialEq)]
pub enum YamlValue {
    /// Text as the author wrote it, quotes resolved; numbers are not interpreted.
    Scalar {
        /// The text.
        text: String,
        /// Whether it was written without quotes and not as a block.
        plain: bool,
    },
    /// A list.
    List(Vec<Node>),
    /// Keys with values, in the author's order; no key twice.
    Map(Vec<KeyValue>),
}

/// One key with its value.
#[derive(Clone, Debug, PartialEq)]
pub struct KeyValue {
    /// The key.
    pub key: String,
    /// The place of the key.
    pub key_span: Range<usize>,
    /// The value.
    pub node: Node,
}

impl KeyValue {
    /// From the start of the key to the end of the value.
    pub fn span(&self) -> Range<usize> {
        self.key_span.start..self.node.span.end.max(self.key_span.end)
    }
}

impl Node {
    /// A mapping without keys, as an empty text is one.
    pub(crate) fn no_keys() -> Self {
        Self { span: 0..0, value: YamlValue::Map(Vec::new()) }
    }

    /// Whether this is a list.
    pub fn is_list(&self) -> bool {
        matches!(self.value, YamlValue::List(_))
    }

    /// Whether this is a mapping.
    pub fn is_map(&self) -> bool {
        matches!(self.value, YamlValue::Map(_))
    }

    /// The text of a scalar.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            YamlValue::Scalar { text, .. } => Some(text),
            _ => None,
        }
    }

    /// The items of a list; none for anything else.
    pub fn items(&self) -> &[Node] {
        match &self.value {
            YamlValue::List(items) => items,
            _ => &[],
        }
    }

    /// The entries of a mapping; none for anything else.
    pub fn entries(&self) -> &[KeyValue] {
        match &self.value {
            YamlValue::Map(entries) => entries,
            _ => &[],
        }
    }

    /// The entry of a key.
    pub fn entry(&self, key: &str) -> Option<&KeyValue> {
        self.entries().iter().find(|entry| entry.key == key)
    }

    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entry(key).map(|entry| &entry.node)
    }

    /// Whether this is an empty value: nothing after the colon, `~` or `null`.
    pub fn is_empty(&self) -> bool {
        matches!(&self.value, YamlValue::Scalar { text, plain: true } if matches!(text.as_str(), "" | "~" | "null"))
    }

    /// Names the three forms in the author's words.
    pub fn form(&self) -> &'static str {
        match self.value {
            YamlValue::Scalar { .. } => "text",
            YamlValue::List(_) => "a list",
            YamlValue::Map(_) => "keys with values",
        }
    }

    /// Every scalar below, in order, with its flat name: `catch[0].volume` is named `catch.1.volume`.
    pub fn flat(&self) -> Vec<(String, &Node)> {
        let mut out = Vec::new();
        self.flatten("", &mut out);
        out
    }

    // The depth is bounded: the tree has at most 32 levels.
    fn flatten<'a>(&'a self, name: &str, out: &mut Vec<(String, &'a Node)>) {
        let join = |part: &str| {
            if name.is_empty() { part.to_owned() } else { format!("{name}.{part}") }
        };
        match &self.value {
            YamlValue::Scalar { .. } => out.push((name.to_owned(), self)),
            YamlValue::List(items) => {
                for (index, item) in items.iter().enumerate() {
                    item.flatten(&join(&(index + 1).to_string()), out);
                }
            }
            YamlValue::Map(entries) => {
                for entry in entries {
                    entry.node.flatten(&join(&entry.key), out);
                }
            }
        }
    }
}
