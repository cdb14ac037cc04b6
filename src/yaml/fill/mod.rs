//! Types filled from the tree, so that every problem is at the place of the value it is about.
//!
//! Nothing stops at the first mistake: it is reported, and a stand-in takes the place of the value, so that one reading
//! finds everything. A type is asked for every key, also for one that is not there: what may be left out is an `Option`
//! or is read by [`or_default`].

mod deserializer;
mod fields;
mod unexpected;

use std::cell::RefCell;
use std::fmt;
use std::ops::Range;

use serde::Deserialize;
use serde::de;

use super::node::{KeyValue, Node};
use crate::problem::{Problem, Source};

/// A type filled from a tree.
pub(super) struct Full<T> {
    pub(super) value: Result<T, Stop>,
    /// Every mistake.
    pub(super) found: Vec<Problem>,
    /// Keys that are mistyped and were read as the ones that were meant; each is among the mistakes.
    pub(super) misnamed: Vec<Range<usize>>,
}

/// Fills a type from a tree.
pub(super) fn fill<T: de::DeserializeOwned>(root: &Node, source: &Source) -> Full<T> {
    let filling = Filling { source, found: RefCell::default(), misnamed: RefCell::default() };
    let value = T::deserialize(Place { filling: &filling, at: At::Node(root), key: None });
    Full { value, found: filling.found.into_inner(), misnamed: filling.misnamed.into_inner() }
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
    misnamed: RefCell<Vec<Range<usize>>>,
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

#[cfg(test)]
mod tests;
