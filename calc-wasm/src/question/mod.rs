//! Questions: templates with a seed, posed and scored by the core.
//!
//! Template id and seed give the same numbers on every machine, for ever: the generator is PCG-XSH-RR 64/32
//! ([`rand_pcg::Pcg32`], whose output is value-stable), its stream chosen by the question's id.

pub mod draw;
pub mod render;
pub mod score;
pub mod template;
pub mod wire;

use serde::{Deserialize, Serialize};

/// What a question asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
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
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// What it says.
    pub text: String,
    /// Whether it is right.
    #[serde(default)]
    pub right: bool,
    /// Why it is right or not.
    #[serde(default)]
    pub because: String,
}

/// A question, as a published page carries it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Question {
    /// Id, unique in its bank.
    pub id: String,
    /// What it asks for.
    pub kind: Ask,
    /// The question; `{input.name}` stands for that input.
    pub text: String,
    /// For a number: `calculator/result`.
    #[serde(default)]
    pub asks: String,
    /// For a number: flat name and template of each input.
    #[serde(default)]
    pub given: Vec<(String, String)>,
    /// For a number: the unit in which the answer is usually said.
    #[serde(default)]
    pub answer_in: String,
    /// How far an answer may be off; 1 % unless given.
    #[serde(default)]
    pub tolerance: String,
    /// An explanation shown with the verdict.
    #[serde(default)]
    pub because: String,
    /// For the other kinds: the options, in the order they were written.
    #[serde(default)]
    pub options: Vec<Choice>,
}
