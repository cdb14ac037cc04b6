//! Files into the course as its author wrote it, with the place of everything.
//!
//! Nothing here decides what a value means; it decides whether the file can be read and has the right form.
//! Loading goes on after a problem, so that one run reports them all: what could not be read is replaced by a stand-in.

mod attachments;
mod bank;
mod course;
mod exam;
mod face;
mod files;
mod lesson;
mod listed;
mod listing;
mod logo;
mod own;
mod parts;
mod phrases;
mod pictures;
mod pixels;
mod schema;
mod settings;
mod text;
mod unread;
mod words;

pub use attachments::{Attachment, read_attachment};
pub use bank::{AnswerKind, Bank, BankFile, Choice, Question, QuestionPart, Topic};
pub use course::{LessonFiles, Manuscript, Rest, Syllabus, load, load_rest};
pub use exam::ExamFile;
pub use face::{ATTACHED, Colours, Titled};
pub use files::{Disk, Files, Layered, Memory, ReadError, Unlisted, WhyUnlisted};
pub use lesson::{Lesson, LessonHeader};
pub use own::Own;
pub use parts::{next_tag, stock_parts};
pub use phrases::own_phrases;
pub use pictures::read_image;
pub use schema::Described;
pub use settings::CourseFile;
pub use text::{IMAGE_LIMIT, TEXT_LIMIT, read_text};
