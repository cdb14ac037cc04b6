//! Why a file that should hold a training record is not counted, in words for a trainer.

use super::record::{LARGEST, VERSION};
use std::fmt;

/// What to do about a file that no page wrote so.
const AGAIN: &str = "ask for the training record as the page “Your progress” saves it";

/// Why a file is not counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// Larger than any record.
    TooLarge(u64),
    /// It ends in the middle.
    CutShort,
    /// Not JSON: line and column.
    NotJson(usize, usize),
    /// All progress of a phone, and not a training record.
    Progress,
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
                    "too large for a training record ({:.1} MB, at most {} MB); {AGAIN}",
                    *bytes as f64 / 1e6,
                    LARGEST / 1_000_000
                )
            }
            Refusal::CutShort => out.write_str("the file ends in the middle; ask for it again"),
            Refusal::NotJson(line, column) => {
                write!(out, "not readable at line {line}, column {column}; ask for it again")
            }
            Refusal::Progress => write!(
                out,
                "this is a progress file, which carries progress to another phone, and not a training record; {AGAIN}"
            ),
            Refusal::NotARecord(why) => write!(out, "not a training record: {why}; {AGAIN}"),
            Refusal::Newer(version) => write!(
                out,
                "written by a newer tankside (version {version} of the format, this one reads {VERSION}); mark it with \
                 the tankside that published the course"
            ),
            Refusal::OtherCourse(id) => {
                write!(out, "from another course, “{id}”; to mark it, name that course with `--course FOLDER`")
            }
            Refusal::Altered => out.write_str("changed after it was made; ask for the file as the page saved it"),
            Refusal::FromTheFuture(at) => {
                write!(out, "dated in the future ({at}); check that phone's clock")
            }
            Refusal::Impossible(why) => write!(out, "not possible: {why}; {AGAIN}"),
            Refusal::TooLong(what) => write!(out, "{what} is longer than a page would write; {AGAIN}"),
            Refusal::Unreadable(why) => write!(out, "cannot be read: {why}"),
        }
    }
}
