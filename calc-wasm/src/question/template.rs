//! Templates: a question's inputs with ranges, and the numbers of a draw.

use super::draw::{self, Fixed, Order};
use super::ranges::{RangeSpec, number_and_unit, value};
use super::{Ask, Question};
use crate::calculation::declare::Calculator;
use crate::calculation::inputs::{InputProblem, Inputs, RawInputs};
use crate::calculation::worked::{Worked, work_inputs};
use crate::calculators::registry::calculator;
use crate::mistakes::{Clash, RightWorking};
use crate::quantity::typed;
use crate::quantity::typed::Typed;
use crate::quantity::unit::Unit;
use crate::words::phrases::{Phrases, fill};
use crate::words::say;
use crate::working::record::{Outcome, Rounding, Step, System};
use crate::working::toward::toward;

/// How far an answer may be off where a question does not say.
pub(super) const TOLERANCE: f64 = 0.02;

/// Why a template cannot be used.
#[derive(Clone, Debug, PartialEq)]
pub enum TemplateFault {
    /// `asks` is not `calculator/result`, or names an unknown calculator.
    UnknownCalculator(String),
    /// The calculator has no such result, or does not give it for these inputs.
    UnknownResult(String),
    /// The result requested is a verdict in words.
    NotANumber(String),
    /// An input's range cannot be read.
    Range(String),
    /// `answer-in` is not a unit of the result's kind.
    AnswerUnit,
    /// The tolerance is not a percentage above 0.
    Tolerance,
    /// The calculator refuses the inputs.
    Inputs(Vec<InputProblem>),
    /// A quantity given besides the inputs cannot be read, or has the name of an input.
    Beside(String),
    /// `{name}` in the text is no input given.
    UnknownPlace(String),
    /// No draw gave usable numbers.
    NoUsableNumbers,
    /// No draw keeps these two answers apart.
    Inseparable(Clash),
    /// What is wrong with the part at this place.
    Part(usize, Box<TemplateFault>),
    /// More parts than a question may have.
    TooManyParts,
    /// A part is a result of this other calculator.
    PartElsewhere(String),
    /// What the question asks in the end does not rest on this result, or the working does not stop at it.
    NotOnTheWay(String),
}

impl TemplateFault {
    /// What is wrong in a word or two, for developers; authors read it at the place in their file.
    pub fn id(&self) -> &'static str {
        match self {
            TemplateFault::UnknownCalculator(_) => "unknown calculator",
            TemplateFault::UnknownResult(_) => "unknown result",
            TemplateFault::NotANumber(_) => "the result is not a number",
            TemplateFault::Range(_) => "unreadable range",
            TemplateFault::AnswerUnit => "unit of the answer of another kind",
            TemplateFault::Tolerance => "unreadable tolerance",
            TemplateFault::Inputs(_) => "inputs refused",
            TemplateFault::UnknownPlace(_) => "unknown place in the text",
            TemplateFault::Beside(_) => "unreadable amount beside the inputs",
            TemplateFault::NoUsableNumbers => "no usable numbers",
            TemplateFault::Inseparable(_) => "mistakes that cannot be told apart",
            TemplateFault::Part(_, fault) => fault.id(),
            TemplateFault::TooManyParts => "too many parts",
            TemplateFault::PartElsewhere(_) => "a part of another calculator",
            TemplateFault::NotOnTheWay(_) => "a part that the answer does not rest on",
        }
    }
}

/// The template of a number question, read and ready to draw from.
#[derive(Clone, Debug)]
pub struct Template<'q> {
    question: &'q Question,
    calculator: &'static Calculator,
    result: &'q str,
    given: Vec<(&'q str, RangeSpec)>,
    beside: Vec<(&'q str, RangeSpec)>,
    tolerance: f64,
    order: Order,
}

/// A number question with its numbers.
#[derive(Debug)]
pub struct Posed {
    /// The draw whose numbers these are.
    pub draw: u32,
    /// The calculator that works it.
    pub calculator: &'static Calculator,
    /// The inputs drawn.
    pub given: RawInputs,
    /// The problem worked.
    pub worked: Worked,
    /// What the text gives besides the inputs.
    pub beside: Vec<(String, Typed)>,
    /// Flat name of the result requested.
    pub result: String,
    /// The right answer in SI base units.
    pub si: f64,
    /// The unit in which the answer is usually said.
    pub unit: Unit,
    /// How far an answer may be off, as a share.
    pub tolerance: f64,
    /// Whether the question says what the answer is for, so that the answer need not repeat it: "on 1000 ft²".
    pub names_per: bool,
    /// Of a question that is answered with a bare number, its text: "4 visits" may repeat what is counted.
    pub counts: String,
}

impl Question {
    /// The question's text with the inputs drawn in their places.
    pub fn text_for(&self, posed: &Posed, phrases: &Phrases) -> String {
        fill(&self.text, |place| {
            let inputs = &posed.worked.inputs;
            // A whole number that is stamped on a tip is no amount: `11003`, not 11,003.
            let as_given = |text: &str| typed::is_compound(text) || text.bytes().all(|letter| letter.is_ascii_digit());
            if let Some(text) = posed.given.text(place).filter(|text| as_given(text)) {
                return Some(text.to_owned());
            }
            match (posed.typed(place), inputs.word_at(place)) {
                (Some(typed), _) => Some(say::as_typed(typed, phrases)),
                (None, Some(word)) => Some(say::word(posed.calculator, place, word, phrases)),
                (None, None) => None,
            }
        })
    }

    /// The template of a number question.
    ///
    /// # Errors
    /// The first thing wrong with what the author wrote, whatever the draw.
    pub fn template(&self) -> Result<Template<'_>, TemplateFault> {
        debug_assert_eq!(self.kind, Ask::Number);
        let (id, result) =
            self.asks.split_once('/').ok_or_else(|| TemplateFault::UnknownCalculator(self.asks.clone()))?;
        let calculator = calculator(id).ok_or_else(|| TemplateFault::UnknownCalculator(id.to_owned()))?;
        let (given, beside) = (values(&self.given)?, values(&self.beside)?);
        let mut key = Fixed::new();
        key.number(self.version());
        key.pairs(&self.given);
        key.pairs(&self.beside);
        let counts = given.iter().chain(&beside).map(|(_, value)| value.count()).collect();
        let order = Order::new(key.value(), counts);
        let tolerance = self.tolerance_share().ok_or(TemplateFault::Tolerance)?;
        Ok(Template { question: self, calculator, result, given, beside, tolerance, order })
    }

    /// A number question with the numbers of a draw: the same forever, whether the draw is offered or not.
    ///
    /// # Errors
    /// What is wrong with the template, or that these numbers cannot be worked.
    pub fn draw(&self, draw: u32) -> Result<Posed, TemplateFault> {
        self.template()?.draw(draw)
    }

    /// What decides a question's numbers, its right answer and its tolerance, in 16 hex digits: two questions with
    /// the same digest have the same numbers at every draw and accept the same answers. The wording and the id are
    /// no part of it, nor are the mistakes that are known.
    pub fn digest(&self) -> String {
        let mut hash = Fixed::new();
        hash.text(self.kind.id());
        hash.number(self.version());
        for text in [&self.asks, &self.answer_in] {
            hash.text(text);
        }
        // Of a tolerance counts what it is, not how it is written.
        hash.text(&self.tolerance_share().map_or_else(|| self.tolerance.clone(), crate::text::figures::exact));
        hash.pairs(&self.given);
        hash.pairs(&self.beside);
        for part in &self.parts {
            hash.text(&part.asks);
            hash.text(&part.answer_in);
        }
        hash.number(self.options.len() as u32);
        for option in &self.options {
            hash.text(&option.text);
            hash.number(u32::from(option.right));
        }
        format!("{:016x}", hash.value())
    }

    /// The version of the question's draws: of the order, of the calculator's answers, and its own together.
    pub fn version(&self) -> u32 {
        draw::version(self.calculator_id(), self.draw_version)
    }

    /// The id of the calculator that works it; empty where it asks for no result.
    pub fn calculator_id(&self) -> &str {
        self.asks.split_once('/').map_or("", |(id, _)| id)
    }

    fn tolerance_share(&self) -> Option<f64> {
        if self.tolerance.is_empty() {
            return Some(TOLERANCE);
        }
        let typed = typed::read(&self.tolerance, crate::quantity::kind::Kind::Share, None).ok()?;
        Some(typed.si).filter(|share| 0.0 < *share && *share <= 0.5)
    }
}

impl Template<'_> {
    /// How many draws there are before they begin again: the combinations of what the ranges hold.
    pub fn candidates(&self) -> u64 {
        self.order.candidates()
    }

    /// The texts of a draw: inputs, and what the text gives beside them.
    pub fn numbers(&self, draw: u32) -> (RawInputs, RawInputs) {
        let places = self.order.places(draw);
        let (given, beside) = places.split_at(self.given.len());
        (texts(&self.given, given), texts(&self.beside, beside))
    }

    /// The question with the numbers of a draw.
    ///
    /// # Errors
    /// These numbers cannot be worked, or the template asks for something that does not exist.
    pub fn draw(&self, draw: u32) -> Result<Posed, TemplateFault> {
        let (given, beside) = self.numbers(draw);
        let (calculator, result) = (self.calculator, self.result);
        let asked = Unit::parse(&self.question.answer_in);
        let us = asked.as_ref().is_none_or(Unit::is_us);
        let system = if us { System::Us } else { System::Metric };
        let inputs = Inputs::read(calculator, &given, system).map_err(TemplateFault::Inputs)?;
        let worked = work_inputs(calculator, inputs, system, Rounding::None).map_err(TemplateFault::Inputs)?;
        let found = worked.result(result).ok_or_else(|| TemplateFault::UnknownResult(result.to_owned()))?;
        let Outcome::Quantity(si, own) = found.outcome.clone() else {
            return Err(TemplateFault::NotANumber(result.to_owned()));
        };
        let unit = match asked {
            Some(unit) if unit.dim() == own.dim() => unit,
            Some(_) => return Err(TemplateFault::AnswerUnit),
            None if self.question.answer_in.is_empty() => own,
            None => return Err(TemplateFault::AnswerUnit),
        };
        let beside = read_beside(calculator, &beside)?;
        let (result, tolerance) = (result.to_owned(), self.tolerance);
        let names_per = names_per(&self.question.text, &unit);
        let counts = if unit.is_none() { self.question.text.to_lowercase() } else { String::new() };
        Ok(Posed { draw, calculator, given, worked, beside, result, si, unit, tolerance, names_per, counts })
    }

    /// The first place of the question's text that names nothing given at a draw.
    pub(super) fn unknown_place(&self, posed: &Posed) -> Option<String> {
        let places = crate::words::phrases::places(&self.question.text);
        let known = |place: &&str| posed.typed(place).is_some() || posed.worked.inputs.word_at(place).is_some();
        places.into_iter().find(|place| !known(place)).map(str::to_owned)
    }
}

impl Posed {
    /// An input, or a quantity given beside the inputs.
    pub fn typed(&self, name: &str) -> Option<&Typed> {
        let beside = || self.beside.iter().find(|(beside, _)| beside == name).map(|(_, typed)| typed);
        self.worked.inputs.typed_at(name).or_else(beside)
    }

    /// The steps that lead to the answer, the last of them in its unit.
    pub fn working(&self) -> Vec<Step> {
        let result = self.worked.result(&self.result);
        result.map_or_else(Vec::new, |result| toward(&self.worked.steps, result, &self.unit))
    }

    /// The problem, as wrong workings start from it.
    pub fn right_working(&self) -> RightWorking<'_> {
        RightWorking {
            given: &self.given,
            worked: &self.worked,
            beside: &self.beside,
            result: &self.result,
            si: self.si,
        }
    }
}

/// What is below the line of a unit, and how a question words it.
const PER_WORDS: &[(&str, &[&str])] = &[
    ("1000 ft2", &["1000 ft²", "1000 ft2", "1,000 ft²", "1,000 ft2", "1000 square feet", "thousand"]),
    ("acre", &["acre"]),
    ("100 m2", &["100 m²", "100 m2"]),
    ("ha", &["hectare", "a ha"]),
    ("min", &["minute"]),
    ("h", &["hour"]),
    ("s", &["second"]),
    ("gal", &["gallon"]),
    ("100 gal", &["100 gal"]),
    ("L", &["liter", "litre"]),
];

fn names_per(text: &str, unit: &Unit) -> bool {
    let below = unit.parts().filter(|(_, exponent)| *exponent < 0);
    let mut below = below.map(|(part, _)| PER_WORDS.iter().find(|(symbol, _)| *symbol == part.symbol));
    below.all(|words| words.is_some_and(|(_, words)| words.iter().any(|word| text.contains(word))))
}

fn values(given: &[(String, String)]) -> Result<Vec<(&str, RangeSpec)>, TemplateFault> {
    let read = |(name, text): &'_ (String, String)| value(text).ok_or_else(|| TemplateFault::Range(name.clone()));
    given.iter().map(|pair| Ok((pair.0.as_str(), read(pair)?))).collect()
}

fn texts(values: &[(&str, RangeSpec)], places: &[usize]) -> RawInputs {
    let drawn = |name: &str| {
        values.iter().zip(places).find(|((own, _), _)| *own == name).map(|((_, value), place)| value.at(*place))
    };
    // `same as plot.1.width`: a square has two sides and one number.
    let text = |((name, value), place): (&(&str, RangeSpec), &usize)| {
        let text = value.at(*place);
        let same = text.strip_prefix("same as ").and_then(|other| drawn(other.trim()));
        ((*name).to_owned(), same.unwrap_or(text))
    };
    RawInputs(values.iter().zip(places).map(text).collect())
}

/// Reads quantities given besides the inputs: any unit, or none.
fn read_beside(calculator: &Calculator, beside: &RawInputs) -> Result<Vec<(String, Typed)>, TemplateFault> {
    let read = |name: &str, text: &str| {
        let (number, unit) = number_and_unit(text)?;
        let unit = if unit.is_empty() { Unit::none() } else { Unit::parse(unit)? };
        calculator.input(name).is_none().then(|| Typed { si: number * unit.size(), unit })
    };
    let pairs = beside.0.iter().map(|(name, text)| {
        read(name, text).map(|typed| (name.clone(), typed)).ok_or_else(|| TemplateFault::Beside(name.clone()))
    });
    pairs.collect()
}
