//! What a training record holds: sittings with their answers, whose they are, and the course they were done in.
//! Texts are pieces of the file that was read.

use serde::Deserialize;
use std::borrow::Cow;
use std::fmt;

/// One answer to one question.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct RecordedAnswer<'a> {
    /// The question: its id in the course.
    #[serde(borrow)]
    pub question: Cow<'a, str>,
    /// The digest of what decided its numbers and its right answer.
    #[serde(borrow, default)]
    pub digest: Cow<'a, str>,
    /// Which draw.
    #[serde(default)]
    pub draw: u32,
    /// What was answered, as typed; numbers of choices, separated by commas.
    #[serde(borrow)]
    pub answer: Cow<'a, str>,
    /// When, as the phone's clock said.
    #[serde(borrow, default)]
    pub at: Cow<'a, str>,
    /// If it does not answer the whole question: the part of its working that was asked, such as `steps-2`.
    #[serde(borrow, default)]
    pub part: Cow<'a, str>,
    /// The first answer to it, or a further one.
    #[serde(default = "first", rename = "try")]
    pub attempt: u32,
}

fn first() -> u32 {
    1
}

/// What kind of sitting it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SittingKind {
    /// A check that counts.
    Check,
    /// Practice, with feedback at once.
    Practice,
    /// Mixed topics, what is due first.
    Drill,
    /// A mock exam.
    Exam,
    /// A printed quiz.
    Paper,
}

impl SittingKind {
    /// Whether it counts toward who is ready: answered without help, feedback at the end.
    pub fn counts(self) -> bool {
        matches!(self, SittingKind::Check | SittingKind::Exam | SittingKind::Paper)
    }
}

/// One sitting: questions answered one after another.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Sitting<'a> {
    /// Random id, so that the same sitting in two files counts once.
    #[serde(borrow)]
    pub id: Cow<'a, str>,
    /// What it was.
    pub kind: SittingKind,
    /// The bank or exam.
    #[serde(borrow, default)]
    pub name: Cow<'a, str>,
    /// The code that the trainer gave out, if any.
    #[serde(borrow, default)]
    pub code: Cow<'a, str>,
    /// When it began.
    #[serde(borrow, default)]
    pub begun: Cow<'a, str>,
    /// When it was handed in; empty while it is still open.
    #[serde(borrow, default)]
    pub ended: Cow<'a, str>,
    /// The answers in their order.
    #[serde(borrow, default)]
    pub answers: Vec<RecordedAnswer<'a>>,
}

/// Who it was, by their own account.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
pub struct Learner<'a> {
    /// Name; empty where none was requested.
    #[serde(borrow, default)]
    pub name: Cow<'a, str>,
    /// Random id of the person on that phone.
    #[serde(borrow, default)]
    pub id: Cow<'a, str>,
}

/// The course it was done in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
pub struct CourseNamed<'a> {
    /// Its id.
    #[serde(borrow)]
    pub id: Cow<'a, str>,
    /// Its title then.
    #[serde(borrow, default)]
    pub title: Cow<'a, str>,
    /// Its digest then.
    #[serde(borrow, default)]
    pub digest: Cow<'a, str>,
}

/// A whole record. Its texts are pieces of the file, but for those that are written with escapes.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Record<'a> {
    /// The course.
    #[serde(borrow)]
    pub course: CourseNamed<'a>,
    /// The learner.
    #[serde(borrow, default)]
    pub learner: Learner<'a>,
    /// When the file was made.
    #[serde(borrow, default)]
    pub made: Cow<'a, str>,
    /// What was done.
    #[serde(borrow, default)]
    pub sittings: Vec<Sitting<'a>>,
    /// Sittings that were taken out of it.
    #[serde(skip)]
    pub ahead: Option<Ahead>,
}

/// Sittings of a record that are dated in the future, where others are not: a phone's clock was wrong for a while.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ahead {
    /// How many.
    pub sittings: usize,
    /// Of how many in the file.
    pub of: usize,
    /// The latest day in them.
    pub day: String,
}

impl fmt::Display for Ahead {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Ahead { sittings, of, day } = self;
        let are = if *sittings == 1 { "is" } else { "are" };
        let rest = if of - sittings == 1 { "the other one counts" } else { "the others count" };
        write!(
            out,
            "{sittings} of its {of} sittings {are} dated in the future ({day}) and left out; {rest}; check that phone's clock"
        )
    }
}
