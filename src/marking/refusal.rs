//! Why a file that should hold a training record is not counted, in words for a trainer.

use super::record::{LARGEST, VERSION};
use std::fmt;

/// Why a file is not counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// Larger than any record.
    TooLarge(u64),
    /// It ends in the middle.
    CutShort,
    /// Not JSON: line and column.
    NotJson(usize, usize),
    /// JSON, but not a training record.
    NotARecord(String),
    /// Written by a newer program.
    Newer(u64),
    /// Made by another course.
    OtherCourse(String),
    /// Its seal does not fit: it was changed after it was made.
    Altered,
    /// It is dated in the future.
    FromTheFuture(String),
    /// Times or counts that no page would write.
    Impossible(String),
    /// A text longer than a page would write.
    TooLong(String),
    /// The file cannot be read.
    Unreadable(String),
}

impl fmt::Display for Refusal {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::TooLarge(bytes) => {
                write!(
                    out,
                    "too large for a training record ({:.1} MB, at most {} MB)",
                    *bytes as f64 / 1e6,
                    LARGEST / 1_000_000
                )
            }
            Refusal::CutShort => out.write_str("the file ends in the middle; ask for it again"),
            Refusal::NotJson(line, column) => {
                write!(out, "not readable at line {line}, column {column}; ask for it again")
            }
            Refusal::NotARecord(why) => write!(out, "not a training record: {why}"),
            Refusal::Newer(version) => {
                write!(out, "written by a newer tankside (version {version} of the format, this one reads {VERSION})")
            }
            Refusal::OtherCourse(id) => {
                write!(out, "from another course, “{id}”; to mark it, name that course with `--course FOLDER`")
            }
            Refusal::Altered => out.write_str("changed after it was made; ask for the file as the page saved it"),
            Refusal::FromTheFuture(at) => {
                write!(out, "dated in the future ({at}); check that phone's clock")
            }
            Refusal::Impossible(why) => write!(out, "not possible: {why}"),
            Refusal::TooLong(what) => write!(out, "{what} is longer than a page would write"),
            Refusal::Unreadable(why) => write!(out, "cannot be read: {why}"),
        }
    }
}
