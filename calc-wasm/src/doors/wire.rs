//! A worked problem as it leaves the core: wire types, and their JSON.

use super::uncertainty as sure;
use crate::calculation::worked::Worked;
use crate::quantity::unit::Unit;
use crate::text::figures::without_noise;
use crate::text::json::{Value, map};
use crate::words::phrases::Phrases;
use crate::words::uncertainty as words;
use crate::words::{factors, say};
use crate::working::line;
use crate::working::noise::Noise;
use crate::working::record::{Outcome, Step};

/// A value with its unit, unrounded, and as a person reads it.
#[derive(Debug)]
pub struct ValueWire {
    /// The number in `unit`, unrounded; `null` for words.
    pub value: Option<f64>,
    /// The unit, plain characters; empty for a bare number or words.
    pub unit: String,
    /// Rounded, with its unit.
    pub text: String,
    /// For an amount that a person measures out: gal and fl oz, lb and oz.
    pub measured: Option<String>,
    /// For a verdict in words: its phrase id.
    pub verdict: Option<&'static str>,
}

impl ValueWire {
    fn json(&self) -> Value {
        let mut members = vec![
            ("value", self.value.map_or(Value::Null, Value::Number)),
            ("unit", Value::from(self.unit.as_str())),
            ("text", Value::from(self.text.as_str())),
        ];
        members.extend(self.measured.as_deref().map(|text| ("measured", Value::from(text))));
        members.extend(self.verdict.map(|id| ("verdict", Value::from(id))));
        map(members)
    }
}

/// One step of the working.
#[derive(Debug)]
pub struct StepWire {
    /// Message id.
    pub id: String,
    /// The whole step on one line.
    pub text: String,
    /// The numbers as factors, each unit that cancels in square brackets.
    pub factors: String,
    /// The number in `unit`, unrounded.
    pub value: f64,
    /// The unit it is shown in.
    pub unit: String,
}

impl StepWire {
    fn json(&self) -> Value {
        map(vec![
            ("id", Value::from(self.id.as_str())),
            ("text", Value::from(self.text.as_str())),
            ("factors", Value::from(self.factors.as_str())),
            ("value", Value::Number(self.value)),
            ("unit", Value::from(self.unit.as_str())),
        ])
    }
}

/// One caution.
#[derive(Debug)]
pub struct CautionWire {
    /// Message id.
    pub id: &'static str,
    /// `danger`, `warning` or `notice`.
    pub severity: &'static str,
    /// The sentence.
    pub text: String,
}

impl CautionWire {
    fn json(&self) -> Value {
        map(vec![
            ("id", Value::from(self.id)),
            ("severity", Value::from(self.severity)),
            ("text", Value::from(self.text.as_str())),
        ])
    }
}

/// A problem worked, as `work --json` prints it.
#[derive(Debug)]
pub struct WorkedWire {
    /// Calculator id.
    pub calculator: &'static str,
    /// Inputs by flat name, defaults included.
    pub inputs: Vec<(String, ValueWire)>,
    /// Steps in order.
    pub steps: Vec<StepWire>,
    /// Results by flat name.
    pub results: Vec<(String, ValueWire)>,
    /// How sure the results are, by flat name; see [`crate::uncertainty`].
    pub uncertainty: Vec<(String, Value)>,
    /// Cautions, the most serious first.
    pub cautions: Vec<CautionWire>,
}

impl WorkedWire {
    /// The object as JSON.
    pub fn json(&self) -> Value {
        let named = |values: &[(String, ValueWire)]| {
            Value::Map(values.iter().map(|(name, value)| (name.clone(), value.json())).collect())
        };
        map(vec![
            ("calculator", Value::from(self.calculator)),
            ("inputs", named(&self.inputs)),
            ("steps", Value::List(self.steps.iter().map(StepWire::json).collect())),
            ("results", named(&self.results)),
            ("uncertainty", Value::Map(self.uncertainty.clone())),
            ("cautions", Value::List(self.cautions.iter().map(CautionWire::json).collect())),
        ])
    }
}

/// A result requested in a unit that cannot be given.
#[derive(Debug, PartialEq)]
pub enum ResultUnitError {
    /// There is no such result.
    NoResult(String),
    /// The unit is of another kind.
    WrongKind(String, Unit),
}

/// The wire form of a worked problem; `wanted` names units for results.
///
/// # Errors
/// A wanted result that does not exist, or a unit of another kind.
pub fn worked(worked: &Worked, wanted: &[(String, Unit)], phrases: &Phrases) -> Result<WorkedWire, ResultUnitError> {
    for (name, unit) in wanted {
        let found = worked.result(name).ok_or_else(|| ResultUnitError::NoResult(name.clone()))?;
        let fits = matches!(&found.outcome, Outcome::Quantity(_, own) if own.dim() == unit.dim());
        if !fits {
            return Err(ResultUnitError::WrongKind(name.clone(), *unit));
        }
    }
    let noise = Noise::of(&worked.steps);
    let results = worked.results.iter().map(|found| {
        let name = found.name();
        let asked = wanted.iter().rev().find(|(asked, _)| *asked == name).map(|(_, unit)| unit);
        let wire = match &found.outcome {
            Outcome::Quantity(si, own) => {
                let text = asked
                    .map_or_else(|| say::amount(found, *si, own, phrases), |unit| say::quantity(*si, unit, phrases));
                let unit = asked.unwrap_or(own);
                let number = match &found.expr {
                    Some(expr) => noise.value(expr, *si, unit.size()),
                    None => without_noise(*si / unit.size()),
                };
                value(number, unit, text, say::measured(found, worked.system, phrases))
            }
            Outcome::Verdict(key) => ValueWire {
                value: None,
                unit: String::new(),
                text: phrases.get(key).to_owned(),
                measured: None,
                verdict: Some(key),
            },
        };
        (name, wire)
    });
    let uncertainty = worked.budgets.iter().filter_map(|budget| {
        let name = worked.results.get(budget.result)?.name();
        let asked = wanted.iter().rev().find(|(asked, _)| *asked == name).map(|(_, unit)| unit);
        let unit = asked.or(words::unit_of(worked, budget))?;
        Some((name, sure::budget(worked, budget, unit, phrases)))
    });
    Ok(WorkedWire {
        calculator: worked.calculator.id,
        inputs: inputs(worked, phrases),
        results: results.collect(),
        uncertainty: uncertainty.collect(),
        steps: worked.steps.iter().enumerate().map(|at| step_wire(worked, at, &noise, phrases)).collect(),
        cautions: worked
            .cautions
            .iter()
            .map(|caution| CautionWire {
                id: caution.id,
                severity: caution.severity.id(),
                text: say::caution(worked, caution, phrases),
            })
            .collect(),
    })
}

fn value(number: f64, unit: &Unit, text: String, measured: Option<String>) -> ValueWire {
    ValueWire { value: Some(number), unit: unit.plain(), text, measured, verdict: None }
}

fn inputs(worked: &Worked, phrases: &Phrases) -> Vec<(String, ValueWire)> {
    let mut all = Vec::new();
    for name in worked.inputs.names() {
        let wire = match (worked.inputs.typed_at(name), worked.inputs.word_at(name)) {
            (Some(typed), _) => value(typed.value(), &typed.unit, say::as_typed(typed, phrases), None),
            (None, Some(word)) => ValueWire {
                value: None,
                unit: String::new(),
                text: say::word(worked.calculator, name, word, phrases),
                measured: None,
                verdict: None,
            },
            (None, None) => continue,
        };
        all.push((name.to_owned(), wire));
    }
    all
}

fn step_wire(worked: &Worked, (index, step): (usize, &Step), noise: &Noise, phrases: &Phrases) -> StepWire {
    let title = say::step_label(worked, step, phrases);
    let (formula, numbers) = (say::formula(worked, step, phrases), say::numbers(&line::numbers(step), phrases));
    StepWire {
        id: say::step_key(worked, step),
        text: format!("{title} = {formula} = {numbers} = {}", say::step_value(step, phrases)),
        factors: factors::text(step, phrases),
        value: noise.step(index, step.si, step.unit.size()),
        unit: step.unit.plain(),
    }
}
