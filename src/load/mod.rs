//! Files into the course as its author wrote it, with the place of everything.
//!
//! Nothing here decides what a value means; it decides whether the file can be read and has the right form.
//! Loading goes on after a problem, so that one run reports them all.

mod bank;
mod check;
mod course;
mod embedded;
mod files;
mod lesson;
mod node;
mod place;
mod text;
mod tree;
mod typed;
mod yaml;

pub use bank::{Bank, BankFile, Choice, Kind, Question};
pub(crate) use check::is_name;
pub use course::{Course, CourseFile, Units, load};
pub use embedded::Embedded;
pub use files::{Disk, Files, Layered, Memory, ReadError};
pub use lesson::{Lesson, LessonHeader};
pub use node::{Entry, Node, Value};
pub use text::{IMAGE_LIMIT, TEXT_LIMIT, read_image, read_text};
pub use yaml::Document;
