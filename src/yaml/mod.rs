//! The YAML of an author: read once, with the place of everything, and filled into types from there.

mod bytes;
mod check;
mod document;
mod embedded;
mod fill;
mod lists;
mod mistyped;
mod node;
mod place;
mod recorded;
mod slips;
mod syntax;
mod tree;
mod unbraced;

pub(crate) use check::{Seen, check_name, not_blank, twice};
pub use document::{Document, Filled};
pub use embedded::Embedded;
pub(crate) use fill::or_default;
pub use node::{KeyValue, Node, YamlValue};
