//! The YAML of an author: read once, with the place of everything, and filled into types from there.

mod bytes;
mod check;
mod document;
mod embedded;
mod node;
mod place;
mod syntax;
mod tree;
mod typed;
mod wording;

pub(crate) use check::{Seen, check_name, not_blank};
pub use document::Document;
pub use embedded::Embedded;
pub use node::{Entry, Node, Value};
