//! What is wrong with a table of answers from paper, in words for whoever typed it.

use super::table::COLUMNS;
use super::unread::column_letters;
use std::fmt;

/// What is wrong with a table of answers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PaperFault {
    /// Not a table.
    NotATable(String),
    /// Letters in another encoding than UTF-8: the line and the column, counted from 0, of the first.
    Encoding(u64, usize),
    /// A column is missing or has another name.
    Column(String),
    /// Two columns have this name.
    Twice(String),
    /// A row that cannot be used: its number in the file, and why.
    Row(u64, String),
}

impl fmt::Display for PaperFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PaperFault::NotATable(why) => write!(out, "cannot be read as CSV: {why}"),
            PaperFault::Encoding(line, column) => write!(
                out,
                "line {line}, column {}: there are letters that are not stored as UTF-8, so that a name would come out \
                 wrong; save the table in the spreadsheet as “CSV UTF-8”, and mark that file",
                column_letters(*column)
            ),
            PaperFault::Column(name) => write!(
                out,
                "the column “{name}” is missing; the first row is {} and then 1,2,3 for the questions, as in the \
                 answers.csv that `tankside sheet` writes",
                COLUMNS.join(",")
            ),
            PaperFault::Twice(name) => {
                write!(out, "two columns are called “{name}”; delete one, or give it the number of its question")
            }
            PaperFault::Row(line, why) => write!(out, "line {line}: {why}"),
        }
    }
}
