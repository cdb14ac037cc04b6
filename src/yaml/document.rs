//! A YAML text read twice: as a tree that knows the place of everything, then by serde_yaml into types.

use std::ops::Range;

use serde::de::DeserializeOwned;

use super::embedded::Embedded;
use super::node::{Entry, Node, Value};
use super::place::{steps, walk};
use super::tree::{self, Refusal};
use super::typed;
use crate::problem::{Problem, Problems, Source};

/// A YAML file, or the YAML part of another file, that passed the first reading.
#[derive(Clone, Debug)]
pub struct Document<'a> {
    source: Source,
    yaml: Embedded<'a>,
    root: Node,
}

impl<'a> Document<'a> {
    /// Reads a whole file.
    pub fn of_file(source: &'a Source, problems: &mut Problems) -> Option<Self> {
        Self::read(source, Embedded::whole(&source.text, 0), problems)
    }

    /// Reads a part of a file. An empty part is a mapping without keys.
    pub fn read(source: &Source, yaml: Embedded<'a>, problems: &mut Problems) -> Option<Self> {
        let (root, refusals) = tree::parse(&yaml.text);
        if !refusals.is_empty() {
            problems.extend(refusals.into_iter().map(|refusal| placed(refusal, source, &yaml)));
            return None;
        }
        let mut root = root.filter(|root| !root.is_empty()).unwrap_or_else(Node::no_keys);
        move_to_file(&mut root, &yaml);
        Some(Self { source: source.clone(), yaml, root })
    }

    /// The tree; its places are those of the file.
    pub fn root(&self) -> &Node {
        &self.root
    }

    /// The file this was read from.
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// The second reading: into a type. Every mistake that can be told apart from the others is reported.
    pub fn typed<T: DeserializeOwned>(&self, problems: &mut Problems) -> Option<T> {
        match serde_yaml::from_str(self.text()) {
            Ok(value) => Some(value),
            Err(error) => {
                typed::explain::<T>(error, self, problems);
                None
            }
        }
    }

    /// The place of the value at a path such as `questions[3].answer`, or of what is nearest above it.
    pub fn place(&self, path: &str) -> Range<usize> {
        let passed = walk(&self.root, &steps(path));
        // The walk always passes the root, so there is a last one.
        passed.last().map_or(self.root.span.clone(), |found| found.node().span.clone())
    }

    /// The place of the key at a path, or of the value if the path ends with an index.
    pub fn key_place(&self, path: &str) -> Range<usize> {
        match walk(&self.root, &steps(path)).last() {
            Some(super::place::Found::Entry(Entry { key_span, .. })) => key_span.clone(),
            _ => self.place(path),
        }
    }

    /// A problem at the value of a path.
    pub fn problem(&self, code: &'static str, title: impl Into<String>, path: &str) -> Problem {
        Problem::error(code, title, "").at(&self.source, self.place(path))
    }

    pub(super) fn yaml(&self) -> &Embedded<'a> {
        &self.yaml
    }

    /// What serde_yaml reads: an empty text is no mapping to it.
    fn text(&self) -> &str {
        if self.root.entries().is_empty() && !matches!(self.root.value, Value::List(_)) && self.root.text().is_none() {
            "{}"
        } else {
            &self.yaml.text
        }
    }
}

fn placed(refusal: Refusal, source: &Source, yaml: &Embedded<'_>) -> Problem {
    let mut problem = Problem::error(refusal.code, refusal.title, "").at(source, yaml.span(&refusal.span));
    if let Some((span, label)) = refusal.context {
        problem = problem.context(yaml.span(&span), label);
    }
    problem.help = refusal.help;
    problem
}

// The depth is bounded: the tree has at most 32 levels.
fn move_to_file(node: &mut Node, yaml: &Embedded<'_>) {
    node.span = yaml.span(&node.span);
    match &mut node.value {
        Value::Scalar { .. } => {}
        Value::List(items) => items.iter_mut().for_each(|item| move_to_file(item, yaml)),
        Value::Map(entries) => {
            for entry in entries {
                entry.key_span = yaml.span(&entry.key_span);
                move_to_file(&mut entry.node, yaml);
            }
        }
    }
}
