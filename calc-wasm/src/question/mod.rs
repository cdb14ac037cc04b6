//! Questions: templates with a draw, posed and marked by the core.
//!
//! The door for whoever asks questions (pages, sheets, marking):
//!
//! - [`Question::digest`] names what decides a question's numbers, right answer and tolerance; a record holds it.
//! - [`Question::draw`] gives the numbers of a draw: the same on every machine, forever ([`draw`]).
//! - [`Question::offered`] says which draws may be asked: judged when the course was published ([`offered`]).
//!   [`Question::draw_at`] leads from a seed to one of them.
//! - [`score::judge`] gives the verdict on an answer as it was typed.

pub mod chance;
mod draw;
pub mod offered;
pub mod options;
pub mod parts;
pub mod ranges;
pub mod score;
pub mod steps;
pub mod template;
pub mod topic;
mod ways;

use crate::calculation::inputs::MOST_INPUTS;
use crate::text::json::{Value, map, pairs_json, pairs_of};
use offered::Offered;
use parts::QuestionPart;
use topic::Topic;

/// The most options of a choice that a page may carry.
const MOST_OPTIONS: usize = 1_000;

/// What a question asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ask {
    /// A number with its unit, worked by a calculator.
    Number,
    /// One of the options.
    One,
    /// All options that are right.
    Several,
    /// The options in order; they are written in the right order.
    Order,
}

impl Ask {
    /// Every kind.
    pub const ALL: &[Ask] = &[Ask::Number, Ask::One, Ask::Several, Ask::Order];

    /// Its word in a question file.
    pub fn id(self) -> &'static str {
        match self {
            Ask::Number => "number",
            Ask::One => "one",
            Ask::Several => "several",
            Ask::Order => "order",
        }
    }
}

/// An option of a choice, or a line to put in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Choice {
    /// What it says.
    pub text: String,
    /// Whether it is right.
    pub right: bool,
    /// Why it is right or not.
    pub because: String,
}

/// A question, as a published page carries it.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Id, unique in its bank.
    pub id: String,
    /// What it asks for.
    pub kind: Ask,
    /// What it is about, where its author says so.
    pub topic: Option<Topic>,
    /// The question; `{input.name}` stands for that input.
    pub text: String,
    /// For a number: `calculator/result`.
    pub asks: String,
    /// For a number: flat name and template of each input.
    pub given: Vec<(String, String)>,
    /// For a number: quantities that the text gives beside the inputs and the working does not need, like `given`.
    pub beside: Vec<(String, String)>,
    /// For a number: the unit in which the answer is usually said.
    pub answer_in: String,
    /// How far an answer may be off; 2 % unless given.
    pub tolerance: String,
    /// An explanation shown with the verdict.
    pub because: String,
    /// For a number: earlier results that are asked first, in their order.
    pub parts: Vec<QuestionPart>,
    /// For the other kinds: the options, in the order they were written.
    pub options: Vec<Choice>,
    /// Version of the draws, from 1; raised when a question's numbers or its right answer are changed on purpose.
    pub draw_version: u32,
    /// For a number: the draws that may be asked. None where the course was not published.
    pub offered: Offered,
}

impl Question {
    /// The numbers of the options in the order in which they are dealt at a draw; lines to be put in order are never
    /// dealt in the right one.
    pub fn dealt(&self, draw: u32) -> Vec<usize> {
        let count = self.options.len();
        let mut order = draw::dealt(&self.id, draw, count);
        if self.kind == Ask::Order && order.iter().copied().eq(0..count) {
            order.reverse();
        }
        order
    }

    /// As a published page carries it.
    pub fn json(&self) -> Value {
        let option = |option: &Choice| {
            map(vec![
                ("text", option.text.as_str().into()),
                ("right", Value::Bool(option.right)),
                ("because", option.because.as_str().into()),
            ])
        };
        let mut members = vec![
            ("id", self.id.as_str().into()),
            ("digest", self.digest().into()),
            ("kind", self.kind.id().into()),
            ("topic", self.topic.map_or(Value::Null, |topic| topic.id().into())),
            ("text", self.text.as_str().into()),
            ("asks", self.asks.as_str().into()),
            ("given", pairs_json(&self.given)),
            ("beside", pairs_json(&self.beside)),
            ("answer-in", self.answer_in.as_str().into()),
            ("tolerance", self.tolerance.as_str().into()),
            ("because", self.because.as_str().into()),
            ("options", Value::List(self.options.iter().map(option).collect())),
        ];
        if !self.parts.is_empty() {
            let part = |part: &QuestionPart| {
                map(vec![
                    ("text", part.text.as_str().into()),
                    ("asks", part.asks.as_str().into()),
                    ("answer-in", part.answer_in.as_str().into()),
                ])
            };
            members.push(("parts", Value::List(self.parts.iter().map(part).collect())));
        }
        if self.draw_version != 1 {
            members.push(("draw-version", Value::Number(f64::from(self.draw_version))));
        }
        let (judged, skip) = self.offered.parts();
        if judged > 0 {
            members.push(("draws", Value::Number(f64::from(judged))));
            members.push(("skip", skip.into()));
        }
        map(members)
    }

    /// Reads what [`Question::json`] wrote; `None` for anything that is not a question.
    pub fn read(json: &str) -> Option<Question> {
        Question::of(&Value::read(json)?)
    }

    /// The question that an object of JSON holds.
    pub fn of(value: &Value) -> Option<Question> {
        let text = |value: &Value, key: &str| value.get(key).text().unwrap_or_default().to_owned();
        let option = |option: &Value| Choice {
            text: text(option, "text"),
            right: *option.get("right") == Value::Bool(true),
            because: text(option, "because"),
        };
        let part = |part: &Value| QuestionPart {
            text: text(part, "text"),
            asks: text(part, "asks"),
            answer_in: text(part, "answer-in"),
        };
        // A hostile page must not make the core work a thousand parts, shuffle a million options or look up as many inputs.
        let items = |key: &str| value.get(key).list().unwrap_or_default().iter();
        let pairs = |key: &str| {
            let pairs = pairs_of(value.get(key)).unwrap_or_default();
            if pairs.len() > MOST_INPUTS { Vec::new() } else { pairs }
        };
        let kind = value.get("kind").text()?;
        let count = |key: &str| value.get(key).whole().and_then(|number| u32::try_from(number).ok());
        Some(Question {
            id: value.get("id").text()?.to_owned(),
            kind: Ask::ALL.iter().copied().find(|ask| ask.id() == kind)?,
            topic: value.get("topic").text().and_then(Topic::of),
            text: text(value, "text"),
            asks: text(value, "asks"),
            given: pairs("given"),
            beside: pairs("beside"),
            answer_in: text(value, "answer-in"),
            tolerance: text(value, "tolerance"),
            because: text(value, "because"),
            parts: items("parts").take(parts::MOST - 1).map(part).collect(),
            options: items("options").take(MOST_OPTIONS).map(option).collect(),
            draw_version: count("draw-version").unwrap_or(1),
            offered: Offered::read(count("draws").unwrap_or(0), &text(value, "skip")),
        })
    }
}
