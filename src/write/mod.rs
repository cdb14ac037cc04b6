//! The site onto the disk: whole or not at all.

mod parallel;
mod staged;

pub use parallel::{THREADS, in_parallel, threads};
pub use staged::{MARKER, Staging, Written};
