//! What a lesson leaves open: worked examples, cautions, question banks, computed numbers, phrases.
//!
//! Nothing is computed here. Every insert keeps its places, so that what is found later can be shown in the lesson.

use std::ops::Range;

use super::body::Body;
use crate::notation::Units;
use crate::yaml::Node;
use serde::Deserialize;

/// What goes into a hole in the HTML.
#[derive(Clone, Debug)]
pub enum Insert {
    /// A worked example.
    WorkedExample(WorkedExample),
    /// A caution.
    Caution(Caution),
    /// A question bank.
    Questions(Questions),
    /// A number in prose.
    Figure(Figure),
    /// Words from the phrase catalog.
    Phrase(Phrase),
}

/// How much of a worked example is shown before anything is unfolded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Show {
    /// The result in a sentence and the drawing: an example to read.
    Sentence,
    /// The form, the main result and the steps.
    Steps,
    /// All results and all readings as well.
    Everything,
}

/// An input or a group named under `first`, or the result named under `large`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct First {
    /// Its name: `tank`, or `catch` for all rows of a group.
    pub name: String,
    /// Its place in the file.
    pub place: Range<usize>,
}

/// A worked example as written.
#[derive(Clone, Debug)]
pub struct WorkedExample {
    /// Its name within the lesson.
    pub name: String,
    /// The author's title.
    pub title: Option<String>,
    /// The calculator.
    pub calculator: String,
    /// The units to show, if they differ from the course's.
    pub units: Option<Units>,
    /// How much of the working is shown; the steps, unless set.
    pub show: Option<Show>,
    /// Inputs and groups that are open in the form, in this order; those that are given, unless set.
    pub first: Option<Vec<First>>,
    /// The result that is shown large; the calculator's own choice, unless set.
    pub large: Option<First>,
    /// The inputs, free-form.
    pub given: Option<Node>,
    /// The name after `worked-example`.
    pub place: Range<usize>,
    /// The value of `calculator`.
    pub calculator_place: Range<usize>,
}

/// How serious one of the author's cautions is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// Harm to people or plants.
    Danger,
    /// A result that is probably wrong.
    Warning,
    /// Something to know.
    Notice,
}

/// A caution between the paragraphs.
#[derive(Clone, Debug)]
pub enum Caution {
    /// A stock caution by its name.
    Stock {
        /// Its name.
        id: String,
        /// The name after `caution`.
        place: Range<usize>,
    },
    /// The author's own sentences.
    Own {
        /// How serious it is.
        level: Level,
        /// The sentences.
        body: Body,
        /// The word after `caution`.
        place: Range<usize>,
    },
}

/// A question bank in a lesson.
#[derive(Clone, Debug)]
pub struct Questions {
    /// Name of the bank.
    pub bank: String,
    /// How many questions are asked; all, unless set.
    pub ask: Option<u32>,
    /// The value of `ask`.
    pub ask_place: Range<usize>,
    /// Share of right answers to pass, as written, where it differs from the bank's.
    pub pass: Option<String>,
    /// The value of `pass`.
    pub pass_place: Range<usize>,
    /// Whether it counts: feedback and score come at the end, for the whole.
    pub counts: bool,
    /// Other banks that questions are drawn from as well.
    pub also: Vec<OtherBank>,
    /// The name after `questions`.
    pub place: Range<usize>,
}

impl Questions {
    /// Every bank that questions are drawn from, with how many: all, unless set.
    pub fn banks(&self) -> impl Iterator<Item = (&str, Option<u32>)> {
        let others = self.also.iter().map(|other| (other.bank.as_str(), other.ask));
        [(self.bank.as_str(), self.ask)].into_iter().chain(others)
    }
}

/// Another bank besides the one that a block names.
#[derive(Clone, Debug)]
pub struct OtherBank {
    /// Its name.
    pub bank: String,
    /// How many of its questions are asked; all, unless set.
    pub ask: Option<u32>,
    /// The value of `ask`.
    pub ask_place: Range<usize>,
}

/// Which number of an example a computed number shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FigureOf {
    /// A result.
    Result(String),
    /// An input.
    Input(String),
}

/// A computed number in prose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// The lesson of the example, if it is not this one.
    pub lesson: Option<String>,
    /// The example.
    pub example: String,
    /// Which of its numbers.
    pub of: FigureOf,
    /// The unit to show it in.
    pub unit: Option<String>,
    /// The words of the link, as a reader of the plain file sees them.
    pub words: String,
    /// The whole link.
    pub place: Range<usize>,
    /// The number as a reader is shown it; empty until the course is resolved.
    pub shown: String,
}

/// Words from the phrase catalog; used inside a quoted attribute.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Phrase {
    /// Key of the phrase.
    pub key: &'static str,
    /// The number that the phrase names.
    pub number: usize,
}
