//! Marking: an answer against a question, by the same core that worked it.

use super::template::{Posed, TemplateFault};
use super::{Ask, Question};
use crate::mistakes::{Recognised, recognise};
use crate::problem::worked::work_inputs;
use crate::quantity::kind::Kind;
use crate::quantity::typed::{self, Misread};
use crate::working::record::{Outcome, Rounding};

/// Figures to which a learner may round an intermediate step without losing the answer.
const ROUNDED_STEP_FIGURES: usize = 3;
/// How close an answer must be to one that was reached by rounding on the way: the last rounding of three figures.
const ROUNDED_CLOSE: f64 = 0.005;

/// What was answered.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// Nothing.
    Nothing,
    /// As typed.
    Text(String),
    /// An option's number.
    One(usize),
    /// Numbers of options: all that are right, or the order.
    Many(Vec<usize>),
}

/// The verdict.
#[derive(Debug)]
pub enum Verdict {
    /// Right.
    Right,
    /// Not right, with the mistake that a number shows; none where no known one fits.
    Wrong(Option<Recognised>),
    /// Not marked: something has to be asked first.
    Ask(Query),
}

/// What has to be asked before an answer can be marked.
#[derive(Debug, PartialEq)]
pub enum Query {
    /// Nothing was answered.
    Empty,
    /// A number without a unit.
    Unit(Kind),
    /// A unit of another kind: what it is, what is wanted.
    Kind(Option<Kind>, Kind),
    /// No number.
    Number,
    /// A bare `oz` that could be either.
    Ounces,
}

/// Marks an answer to a number question that was posed.
pub fn number(posed: &Posed, answer: &Answer) -> Verdict {
    let text = match answer {
        Answer::Text(text) if !text.trim().is_empty() => text,
        _ => return Verdict::Ask(Query::Empty),
    };
    let kind = Kind::of(&posed.unit).unwrap_or(Kind::Number);
    match typed::read(text, kind, None) {
        Ok(typed) if accepted(posed, typed.si) => Verdict::Right,
        Ok(typed) => Verdict::Wrong(recognise(&posed.problem(), &typed, &|si| accepted(posed, si))),
        Err(Misread::UnitMissing) => Verdict::Ask(Query::Unit(kind)),
        Err(Misread::Ounces) => Verdict::Ask(Query::Ounces),
        Err(Misread::WrongKind(unit)) => Verdict::Ask(Query::Kind(Kind::of(&unit), kind)),
        Err(Misread::UnitUnknown(_)) => Verdict::Ask(Query::Unit(kind)),
        Err(_) => Verdict::Ask(Query::Number),
    }
}

/// Whether a value is within the tolerance, or is what rounding one step or every step to three figures leads to.
pub fn accepted(posed: &Posed, si: f64) -> bool {
    let near = |target: f64, share: f64| (si - target).abs() <= share * target.abs() * (1.0 + 1e-9);
    // No rounding to three figures doubles an answer or takes it away, so what is farther off need not be tried.
    let possible = (si - posed.si).abs() <= posed.si.abs();
    near(posed.si, posed.tolerance) || possible && rounded(posed).into_iter().any(|target| near(target, ROUNDED_CLOSE))
}

/// What the answer becomes when a learner rounds every step, or any one of them, to three figures.
fn rounded(posed: &Posed) -> Vec<f64> {
    let one = (0..posed.worked.steps.len()).map(|step| Rounding::Only(step, ROUNDED_STEP_FIGURES));
    std::iter::once(Rounding::Every(ROUNDED_STEP_FIGURES))
        .chain(one)
        .filter_map(|rounding| {
            let inputs = posed.worked.inputs.clone();
            let worked = work_inputs(posed.calculator, inputs, posed.worked.system, rounding).ok()?;
            match &worked.result(&posed.result)?.outcome {
                Outcome::Quantity(si, _) => Some(*si),
                Outcome::Verdict(_) => None,
            }
        })
        .collect()
}

/// Marks an answer to a choice or an order.
pub fn choice(question: &Question, answer: &Answer) -> Verdict {
    let right: Vec<usize> = match question.kind {
        Ask::Order => (0..question.options.len()).collect(),
        _ => (0..question.options.len()).filter(|index| question.options[*index].right).collect(),
    };
    let given = match answer {
        Answer::One(index) => vec![*index],
        Answer::Many(indexes) if !indexes.is_empty() => indexes.clone(),
        _ => return Verdict::Ask(Query::Empty),
    };
    let same = match question.kind {
        Ask::Order => given == right,
        _ => given.len() == right.len() && right.iter().all(|index| given.contains(index)),
    };
    if same { Verdict::Right } else { Verdict::Wrong(None) }
}

/// The verdict on an answer to a question at a draw, and of a number question the problem that was posed.
///
/// # Errors
/// What is wrong with a number question's template, or that the numbers of this draw cannot be worked.
pub fn judge(question: &Question, draw: u32, answer: &Answer) -> Result<(Verdict, Option<Posed>), TemplateFault> {
    if question.kind != Ask::Number {
        return Ok((choice(question, answer), None));
    }
    let posed = question.draw(draw)?;
    Ok((number(&posed, answer), Some(posed)))
}
