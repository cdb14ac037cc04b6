//! From the path of a value, such as `questions[3].answer`, to its place.

use super::node::{KeyValue, Node, YamlValue};

/// What a path passes.
#[derive(Clone, Copy, Debug)]
pub(super) enum Passed<'a> {
    /// The document or an item of a list.
    Node(&'a Node),
    /// A key with its value.
    KeyValue(&'a KeyValue),
}

impl<'a> Passed<'a> {
    pub(super) fn node(self) -> &'a Node {
        match self {
            Passed::Node(node) => node,
            Passed::KeyValue(entry) => &entry.node,
        }
    }
}

/// One step of a path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Step {
    Key(String),
    Index(usize),
}

/// Splits a path. Keys of ours are kebab-case, so dots and brackets always separate.
pub(super) fn steps(path: &str) -> Vec<Step> {
    let parts = path.split(['.', '[', ']']).filter(|part| !part.is_empty() && *part != "?" && *part != "\\?");
    let mut rest = path;
    let mut out = Vec::new();
    for part in parts {
        let at = rest.find(part).unwrap_or(0);
        let in_brackets = rest[..at].ends_with('[');
        rest = &rest[at + part.len()..];
        out.push(match part.parse() {
            Ok(index) if in_brackets => Step::Index(index),
            _ => Step::Key(part.to_owned()),
        });
    }
    out
}

/// Everything the path passes, the document first; ends early where the path leaves the tree.
pub(super) fn walk<'a>(root: &'a Node, path: &[Step]) -> Vec<Passed<'a>> {
    let mut passed = vec![Passed::Node(root)];
    let mut node = root;
    for step in path {
        let next = match (step, &node.value) {
            (Step::Index(index), YamlValue::List(items)) => items.get(*index).map(Passed::Node),
            (Step::Key(key), YamlValue::Map(_)) => node.entry(key).map(Passed::KeyValue),
            _ => None,
        };
        let Some(next) = next else { break };
        node = next.node();
        passed.push(next);
    }
    passed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_split_into_keys_and_indices() {
        let key = |name: &str| Step::Key(name.to_owned());
        assert_eq!(steps("questions[3].answer"), [key("questions"), Step::Index(3), key("answer")]);
        assert_eq!(steps("given.catch[0].volume"), [key("given"), key("catch"), Step::Index(0), key("volume")]);
        assert!(steps(".").is_empty());
    }
}
