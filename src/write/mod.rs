//! Onto the disk: whole or not at all.

mod staged;

pub use staged::{MARKER, Staging, Written};
