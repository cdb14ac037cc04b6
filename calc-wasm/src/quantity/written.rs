//! Quantities written out: a number and its unit, the same in every language.

use crate::quantity::typed::Typed;
use crate::quantity::unit::Unit;
use crate::text::figures::{RESULT_FIGURES, put_exact, put_shown, without_noise};

/// A value with its unit, to three figures.
pub fn quantity(si: f64, unit: &Unit) -> String {
    to_figures(without_noise(si / unit.size()), RESULT_FIGURES, unit)
}

/// A value in this unit to so many figures, with the unit.
pub(crate) fn to_figures(value: f64, figures: usize, unit: &Unit) -> String {
    let mut text = String::with_capacity(40);
    put_shown(value, figures, &mut text);
    put_unit(unit, &mut text);
    text
}

/// A value as it was typed, with its unit.
pub fn as_typed(typed: &Typed) -> String {
    exactly(typed.value(), &typed.unit)
}

/// A value in this unit to its last digit, with the unit.
pub(crate) fn exactly(value: f64, unit: &Unit) -> String {
    let mut text = String::with_capacity(40);
    put_exact(value, &mut text);
    put_unit(unit, &mut text);
    text
}

/// A number with its unit, where there is one: `43.56 × 1000 ft²`, since two numbers side by side read as one.
pub fn with_unit(number: &str, unit: &Unit) -> String {
    let mut text = String::with_capacity(number.len() + 16);
    text.push_str(number);
    put_unit(unit, &mut text);
    text
}

fn put_unit(unit: &Unit, text: &mut String) {
    if !unit.is_none() {
        text.push(' ');
        if unit.first().is_some_and(|atom| atom.counts.is_some()) {
            text.push_str("× ");
        }
        unit.put_shown(text);
    }
}
