//! Templates: a question's inputs with ranges, and the numbers drawn for a seed.

use super::draw::Draw;
use super::{Ask, Question};
use crate::calculators::registry::calculator;
use crate::mistakes::{self, Clash, PosedProblem};
use crate::problem::declare::Calculator;
use crate::problem::given::{InputProblem, Inputs, RawInputs};
use crate::problem::worked::{Worked, work_inputs};
use crate::quantity::order::whole_below;
use crate::quantity::typed;
use crate::quantity::typed::Typed;
use crate::quantity::unit::Unit;
use crate::text::figures::{exact, read_decimal};
use crate::text::texts::parted;
use crate::words::phrases::{Phrases, fill};
use crate::words::say;
use crate::working::record::{Outcome, Rounding, System};

/// Draws that are tried before a template is given up.
const TRIES: usize = 200;
/// Draws that are tried while a template is checked: fewer, so that what passes does not fail a learner's seed.
const TRIES_CHECKED: usize = 50;
/// Most values a range may hold.
pub const MOST_VALUES: usize = 10_000;

/// A value of a template.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Always this text.
    Fixed(String),
    /// One of these numbers, with a unit behind it.
    OneOf(Vec<f64>, String),
    /// One of these texts, each a quantity in two units: `1 min 15 s`.
    Texts(Vec<String>),
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
    /// A quantity given beside the inputs cannot be read, or has the name of an input.
    Beside(String),
    /// `{name}` in the text is no input given.
    UnknownPlace(String),
    /// No draw gave usable numbers.
    NoUsableNumbers,
    /// No draw keeps these two answers apart.
    Inseparable(Clash),
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
            TemplateFault::Beside(_) => "unreadable amount beside the inputs",
            TemplateFault::NoUsableNumbers => "no usable numbers",
            TemplateFault::Inseparable(_) => "mistakes that cannot be told apart",
        }
    }
}

/// Reads `90 to 200 by 2 fl oz`, `one of 20, 30, 45 s`, or a fixed text.
pub fn value(text: &str) -> Option<Value> {
    let text = text.trim();
    if let Some(list) = text.strip_prefix("one of ") {
        let mut texts = Vec::new();
        let mut left = list;
        while let Some((text, rest)) = parted(left, ", ") {
            texts.push(text.trim().to_owned());
            left = rest;
        }
        texts.push(left.trim().to_owned());
        if texts.iter().all(|text| typed::is_compound(text)) {
            return Some(Value::Texts(texts));
        }
        let (last, rest) = list.rsplit_once(',').map_or((list, ""), |(rest, last)| (last, rest));
        let (number, unit) = number_and_unit(last)?;
        let mut numbers: Vec<f64> = Vec::new();
        for piece in rest.split(',').filter(|piece| !piece.trim().is_empty()) {
            numbers.push(finite(piece)?);
        }
        numbers.push(number);
        return Some(Value::OneOf(numbers, unit.to_owned()));
    }
    let Some((low, rest)) = parted(text, " to ") else { return Some(Value::Fixed(text.to_owned())) };
    // "refill to the mark" is a name, not a range.
    let Some(low) = finite(low) else { return Some(Value::Fixed(text.to_owned())) };
    let (high, rest) = parted(rest, " by ")?;
    let high = finite(high)?;
    let (step, unit) = number_and_unit(rest)?;
    let count = whole_below((high - low) / step);
    if step <= 0.0 || high < low || count >= MOST_VALUES as f64 {
        return None;
    }
    let numbers = (0..=count as usize).map(|index| crate::text::figures::without_noise(low + step * index as f64));
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
    pub given: RawInputs,
    /// The problem worked.
    pub worked: Worked,
    /// What the text gives beside the inputs.
    pub beside: Vec<(String, Typed)>,
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
            if let Some(text) = posed.given.text(place).filter(|text| typed::is_compound(text)) {
                return Some(text.to_owned());
            }
            match (posed.typed(place), inputs.word(place)) {
                (Some(typed), _) => Some(say::as_typed(typed)),
                (None, Some(word)) => Some(say::word(posed.calculator, place, word, phrases)),
                (None, None) => None,
            }
        })
    }

    /// Poses a number question at a seed.
    ///
    /// Draws that the calculator refuses, or would caution as implausible, or in which two of right answer and known
    /// mistakes come too close to each other, are drawn again, in a fixed order.
    ///
    /// # Errors
    /// What is wrong with the template.
    pub fn pose(&self, seed: u32) -> Result<Posed, TemplateFault> {
        self.pose_within(seed, TRIES)
    }

    fn pose_within(&self, seed: u32, tries: usize) -> Result<Posed, TemplateFault> {
        debug_assert_eq!(self.kind, Ask::Number);
        let (id, result) =
            self.asks.split_once('/').ok_or_else(|| TemplateFault::UnknownCalculator(self.asks.clone()))?;
        let calculator = calculator(id).ok_or_else(|| TemplateFault::UnknownCalculator(id.to_owned()))?;
        let (values, others) = (values(&self.given)?, values(&self.beside)?);
        let mut draw = Draw::new(&self.id, seed);
        let mut fault = TemplateFault::NoUsableNumbers;
        let mut clashes: Vec<(Clash, usize)> = Vec::new();
        let fixed = values.iter().chain(&others).all(|(_, value)| matches!(value, Value::Fixed(_)));
        for _ in 0..if fixed { 1 } else { tries } {
            let (given, beside) = (drawn(&values, &mut draw), drawn(&others, &mut draw));
            match self.worked(calculator, given, &beside, result) {
                Ok(posed) if fixed => return Ok(posed),
                Ok(posed) if usable(&posed) => match mistakes::clash(&posed.problem(), &posed.unit) {
                    None => return Ok(posed),
                    Some(clash) => counted(&mut clashes, clash),
                },
                Ok(_) => {}
                Err(TemplateFault::Inputs(problems)) => fault = TemplateFault::Inputs(problems),
                Err(other) => return Err(other),
            }
        }
        let most = clashes.into_iter().max_by_key(|(_, times)| *times);
        Err(most.map_or(fault, |(clash, _)| TemplateFault::Inseparable(clash)))
    }

    fn worked(
        &self,
        calculator: &'static Calculator,
        given: RawInputs,
        beside: &RawInputs,
        result: &str,
    ) -> Result<Posed, TemplateFault> {
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
        let beside = read_beside(calculator, beside)?;
        Ok(Posed { calculator, given, worked, beside, result: result.to_owned(), si, unit, tolerance })
    }

    fn tolerance_share(&self) -> Result<f64, TemplateFault> {
        if self.tolerance.is_empty() {
            return Ok(0.01);
        }
        typed::read(&self.tolerance, crate::quantity::kind::Kind::Share, None)
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
            let posed = self.pose_within(seed, TRIES_CHECKED)?;
            for place in crate::words::phrases::places(&self.text) {
                if posed.typed(place).is_none() && posed.worked.inputs.word(place).is_none() {
                    return Err(TemplateFault::UnknownPlace(place.to_owned()));
                }
            }
        }
        Ok(())
    }
}

impl Posed {
    /// An input, or a quantity given beside the inputs.
    pub fn typed(&self, name: &str) -> Option<&Typed> {
        let beside = || self.beside.iter().find(|(beside, _)| beside == name).map(|(_, typed)| typed);
        self.worked.inputs.typed(name).or_else(beside)
    }

    /// The problem, as wrong workings start from it.
    pub fn problem(&self) -> PosedProblem<'_> {
        PosedProblem {
            given: &self.given,
            worked: &self.worked,
            beside: &self.beside,
            result: &self.result,
            si: self.si,
        }
    }
}

fn counted(clashes: &mut Vec<(Clash, usize)>, clash: Clash) {
    match clashes.iter_mut().find(|(known, _)| *known == clash) {
        Some((_, times)) => *times += 1,
        None => clashes.push((clash, 1)),
    }
}

fn values(given: &[(String, String)]) -> Result<Vec<(&str, Value)>, TemplateFault> {
    let read = |(name, text): &'_ (String, String)| value(text).ok_or_else(|| TemplateFault::Range(name.clone()));
    given.iter().map(|pair| Ok((pair.0.as_str(), read(pair)?))).collect()
}

/// Reads quantities given beside the inputs: any unit, or none.
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

fn drawn(values: &[(&str, Value)], draw: &mut Draw) -> RawInputs {
    let pairs = values.iter().map(|(name, value)| {
        let text = match value {
            Value::Fixed(text) => text.clone(),
            Value::Texts(texts) => texts[draw.below(texts.len() as u32) as usize].clone(),
            Value::OneOf(numbers, unit) => {
                let number = numbers[draw.below(numbers.len() as u32) as usize];
                format!("{} {unit}", exact(number).replace(',', "").replace('−', "-")).trim().to_owned()
            }
        };
        ((*name).to_owned(), text)
    });
    RawInputs(pairs.collect())
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
        assert_eq!(
            value("one of 1 min 15 s, 1:20"),
            Some(Value::Texts(vec!["1 min 15 s".to_owned(), "1:20".to_owned()]))
        );
        for text in ["5 to 3 by 1 s", "1 to 2 by 0 s", "1 to 2 s", "one of a, b s", "1 to 1e12 by 1 s"] {
            assert_eq!(value(text), None, "{text}");
        }
    }
}
