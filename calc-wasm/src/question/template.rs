//! Templates: a question's inputs with ranges, and the numbers drawn for a seed.

use super::draw::Draw;
use super::{Ask, Question};
use crate::declare::Calculator;
use crate::figures::{exact, read_decimal};
use crate::given::{Given, InputProblem, Inputs};
use crate::phrases::{Phrases, fill};
use crate::record::{Outcome, Rounding, System};
use crate::registry::calculator;
use crate::unit::Unit;
use crate::worked::{Worked, work_inputs};
use crate::{say, typed};

/// Draws that are tried before a template is given up.
const TRIES: usize = 200;
/// Most values a range may hold.
const MOST_VALUES: usize = 10_000;

/// A value of a template.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Always this text.
    Fixed(String),
    /// One of these numbers, with a unit behind it.
    OneOf(Vec<f64>, String),
}

/// Why a template cannot be used.
#[derive(Clone, Debug, PartialEq)]
pub enum TemplateFault {
    /// `asks` is not `calculator/result`, or names an unknown calculator.
    UnknownCalculator(String),
    /// The calculator has no such result, or does not give it for these inputs.
    UnknownResult(String),
    /// The result asked for is a verdict in words.
    NotANumber(String),
    /// An input's range cannot be read.
    Range(String),
    /// `answer-in` is not a unit of the result's kind.
    AnswerUnit,
    /// The tolerance is not a percentage above 0.
    Tolerance,
    /// The calculator refuses the inputs.
    Inputs(Vec<InputProblem>),
    /// `{name}` in the text is no input given.
    UnknownPlace(String),
    /// No draw gave usable numbers.
    NoUsableNumbers,
}

impl TemplateFault {
    /// What is wrong in a word or two, for developers; authors are told at the place in their file.
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
            TemplateFault::NoUsableNumbers => "no usable numbers",
        }
    }
}

/// Reads `90 to 200 by 2 fl oz`, `one of 20, 30, 45 s`, or a fixed text.
pub fn value(text: &str) -> Option<Value> {
    let text = text.trim();
    if let Some(list) = text.strip_prefix("one of ") {
        let (last, rest) = list.rsplit_once(',').map_or((list, ""), |(rest, last)| (last, rest));
        let (number, unit) = number_and_unit(last)?;
        let mut numbers: Vec<f64> = Vec::new();
        for piece in rest.split(',').filter(|piece| !piece.trim().is_empty()) {
            numbers.push(finite(piece)?);
        }
        numbers.push(number);
        return Some(Value::OneOf(numbers, unit.to_owned()));
    }
    let Some((low, rest)) = text.split_once(" to ") else { return Some(Value::Fixed(text.to_owned())) };
    // "refill to the mark" is a name, not a range.
    let Some(low) = finite(low) else { return Some(Value::Fixed(text.to_owned())) };
    let (high, rest) = rest.split_once(" by ")?;
    let high = finite(high)?;
    let (step, unit) = number_and_unit(rest)?;
    let count = ((high - low) / step + 1e-9).floor();
    if step <= 0.0 || high < low || count >= MOST_VALUES as f64 {
        return None;
    }
    let numbers = (0..=count as usize).map(|index| crate::figures::without_noise(low + step * index as f64));
    Some(Value::OneOf(numbers.collect(), unit.to_owned()))
}

fn finite(text: &str) -> Option<f64> {
    let text = text.trim();
    match text.strip_prefix('-') {
        Some(size) => read_decimal(size).map(|size| -size),
        None => read_decimal(text),
    }
}

fn number_and_unit(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = text.find(|letter: char| !(letter.is_ascii_digit() || letter == '.')).unwrap_or(text.len());
    Some((finite(&text[..end])?, text[end..].trim()))
}

/// A number question with its numbers.
#[derive(Debug)]
pub struct Posed {
    /// The calculator that works it.
    pub calculator: &'static Calculator,
    /// The inputs drawn.
    pub given: Given,
    /// The problem worked.
    pub worked: Worked,
    /// Flat name of the result asked for.
    pub result: String,
    /// The right answer in SI base units.
    pub si: f64,
    /// The unit in which the answer is usually said.
    pub unit: Unit,
    /// How far an answer may be off, as a share.
    pub tolerance: f64,
}

impl Question {
    /// The question's text with the inputs drawn in their places.
    pub fn text_for(&self, posed: &Posed, phrases: &Phrases) -> String {
        fill(&self.text, |place| {
            let inputs = &posed.worked.inputs;
            match (inputs.typed(place), inputs.word(place)) {
                (Some(typed), _) => Some(say::as_typed(typed)),
                (None, Some(word)) => Some(say::word(posed.calculator, place, word, phrases)),
                (None, None) => None,
            }
        })
    }

    /// Poses a number question at a seed.
    ///
    /// Draws that the calculator refuses, or would caution as implausible, are drawn again, in a fixed order.
    ///
    /// # Errors
    /// What is wrong with the template.
    pub fn pose(&self, seed: u32) -> Result<Posed, TemplateFault> {
        debug_assert_eq!(self.kind, Ask::Number);
        let (id, result) =
            self.asks.split_once('/').ok_or_else(|| TemplateFault::UnknownCalculator(self.asks.clone()))?;
        let calculator = calculator(id).ok_or_else(|| TemplateFault::UnknownCalculator(id.to_owned()))?;
        let mut values: Vec<(&str, Value)> = Vec::new();
        for (name, text) in &self.given {
            values.push((name, value(text).ok_or_else(|| TemplateFault::Range(name.clone()))?));
        }
        let mut draw = Draw::new(&self.id, seed);
        let mut fault = TemplateFault::NoUsableNumbers;
        let fixed = values.iter().all(|(_, value)| matches!(value, Value::Fixed(_)));
        for _ in 0..if fixed { 1 } else { TRIES } {
            let given = drawn(&values, &mut draw);
            match self.worked(calculator, given, result) {
                Ok(posed) if fixed || usable(&posed) => return Ok(posed),
                Ok(_) => {}
                Err(TemplateFault::Inputs(problems)) => fault = TemplateFault::Inputs(problems),
                Err(other) => return Err(other),
            }
        }
        Err(fault)
    }

    fn worked(&self, calculator: &'static Calculator, given: Given, result: &str) -> Result<Posed, TemplateFault> {
        let inputs = Inputs::read(calculator, &given).map_err(TemplateFault::Inputs)?;
        let asked = Unit::parse(&self.answer_in);
        let us = asked.as_ref().is_none_or(Unit::is_us);
        let system = if us { System::Us } else { System::Metric };
        let worked = work_inputs(calculator, inputs, system, Rounding::None).map_err(TemplateFault::Inputs)?;
        let found = worked.result(result).ok_or_else(|| TemplateFault::UnknownResult(result.to_owned()))?;
        let Outcome::Quantity(si, own) = found.outcome.clone() else {
            return Err(TemplateFault::NotANumber(result.to_owned()));
        };
        let unit = match asked {
            Some(unit) if unit.dim() == own.dim() => unit,
            Some(_) => return Err(TemplateFault::AnswerUnit),
            None if self.answer_in.is_empty() => own,
            None => return Err(TemplateFault::AnswerUnit),
        };
        let tolerance = self.tolerance_share()?;
        Ok(Posed { calculator, given, worked, result: result.to_owned(), si, unit, tolerance })
    }

    fn tolerance_share(&self) -> Result<f64, TemplateFault> {
        if self.tolerance.is_empty() {
            return Ok(0.01);
        }
        typed::read(&self.tolerance, crate::kind::Kind::Share, None)
            .ok()
            .map(|typed| typed.si)
            .filter(|share| 0.0 < *share && *share <= 0.5)
            .ok_or(TemplateFault::Tolerance)
    }

    /// Checks the whole template: the names in its text, its ranges, and `seeds` draws of it.
    ///
    /// # Errors
    /// The first thing wrong.
    pub fn check(&self, seeds: u32) -> Result<(), TemplateFault> {
        for seed in 1..=seeds.max(1) {
            let posed = self.pose(seed)?;
            for place in crate::phrases::places(&self.text) {
                if posed.worked.inputs.typed(place).is_none() && posed.worked.inputs.word(place).is_none() {
                    return Err(TemplateFault::UnknownPlace(place.to_owned()));
                }
            }
        }
        Ok(())
    }
}

fn drawn(values: &[(&str, Value)], draw: &mut Draw) -> Given {
    let pairs = values.iter().map(|(name, value)| {
        let text = match value {
            Value::Fixed(text) => text.clone(),
            Value::OneOf(numbers, unit) => {
                let number = numbers[draw.below(numbers.len() as u32) as usize];
                format!("{} {unit}", exact(number).replace(',', "").replace('−', "-")).trim().to_owned()
            }
        };
        ((*name).to_owned(), text)
    });
    Given(pairs.collect())
}

/// Whether the numbers make a sensible problem: nothing implausible, and an answer that is not nothing.
fn usable(posed: &Posed) -> bool {
    posed.worked.inputs.implausible.is_empty() && posed.si.abs() > 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_lists_and_fixed_texts_are_read() {
        assert_eq!(value("refill to the mark"), Some(Value::Fixed("refill to the mark".to_owned())));
        assert_eq!(value("60 s"), Some(Value::Fixed("60 s".to_owned())));
        assert_eq!(value("90 to 96 by 2 fl oz"), Some(Value::OneOf(vec![90.0, 92.0, 94.0, 96.0], "fl oz".to_owned())));
        assert_eq!(
            value("1 to 1.3 by 0.1 gal/1000 ft2"),
            Some(Value::OneOf(vec![1.0, 1.1, 1.2, 1.3], "gal/1000 ft2".to_owned()))
        );
        assert_eq!(value("one of 20, 30, 45 s"), Some(Value::OneOf(vec![20.0, 30.0, 45.0], "s".to_owned())));
        for text in ["5 to 3 by 1 s", "1 to 2 by 0 s", "1 to 2 s", "one of a, b s", "1 to 1e12 by 1 s"] {
            assert_eq!(value(text), None, "{text}");
        }
    }
}
