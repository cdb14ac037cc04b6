//! Amounts as text: of a result, of a step, as a person typed it or measures it out.

use crate::quantity::typed::Typed;
use crate::quantity::unit::Unit;
use crate::quantity::{measured as by_hand, written};
use crate::text::figures::{STEP_FIGURES, without_noise};
use crate::words::phrases::Phrases;
use crate::working::line::{self, Line};
use crate::working::record::{Outcome, Step, System, WorkedResult};
use crate::working::result;

/// A value with its unit, to three figures.
pub fn quantity(si: f64, unit: &Unit, phrases: &Phrases) -> String {
    phrases.number(written::quantity(si, unit))
}

/// A value as it was typed, with its unit.
pub fn as_typed(typed: &Typed, phrases: &Phrases) -> String {
    phrases.number(written::as_typed(typed))
}

/// A result's amount, with its unit; see [`crate::working::result::amount`].
pub fn amount(found: &WorkedResult, si: f64, unit: &Unit, phrases: &Phrases) -> String {
    phrases.number(result::amount(found, si, unit))
}

/// A result's value as text.
pub fn outcome(found: &WorkedResult, phrases: &Phrases) -> String {
    match &found.outcome {
        Outcome::Quantity(si, unit) => amount(found, *si, unit, phrases),
        Outcome::Verdict(key) => phrases.get(key).to_owned(),
    }
}

/// How a person measures an amount out, where that differs from its value: `1 gal 22 fl oz`.
pub fn measured(found: &WorkedResult, system: System, phrases: &Phrases) -> Option<String> {
    match &found.outcome {
        Outcome::Quantity(si, unit) if found.spec.measured => {
            let tenths = result::amount(found, *si, unit).as_bytes().contains(&b'.');
            by_hand::by_hand(*si, unit, system, tenths).map(|text| phrases.number(text))
        }
        _ => None,
    }
}

/// The numbers of a line; what no sign says, in words: `1.65, rounded up`.
pub fn numbers(numbers: &Line, phrases: &Phrases) -> String {
    phrases.number(line::text(numbers, &|key, a, b| phrases.fill_with(key, &[("a", a), ("b", b)])))
}

/// A step's value with its unit, to four figures.
pub fn step_value(step: &Step, phrases: &Phrases) -> String {
    let value = without_noise(step.si / step.unit.size());
    phrases.number(written::to_figures(value, STEP_FIGURES, &step.unit))
}
