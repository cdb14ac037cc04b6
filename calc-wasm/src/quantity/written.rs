//! Quantities written out: a number and its unit, the same in every language.

use crate::quantity::typed::Typed;
use crate::quantity::unit::Unit;
use crate::text::figures::{RESULT_FIGURES, exact, shown, without_noise};

/// A value with its unit, to three figures.
pub fn quantity(si: f64, unit: &Unit) -> String {
    with_unit(&shown(without_noise(si / unit.size()), RESULT_FIGURES), unit)
}

/// A value as it was typed, with its unit.
pub fn as_typed(typed: &Typed) -> String {
    with_unit(&exact(typed.value()), &typed.unit)
}

/// A number with its unit, where there is one: `43.56 × 1000 ft²`, since two numbers side by side read as one.
pub fn with_unit(number: &str, unit: &Unit) -> String {
    let mut text = String::with_capacity(number.len() + 16);
    text.push_str(number);
    if !unit.is_none() {
        text.push(' ');
        if unit.first().is_some_and(|atom| atom.counts.is_some()) {
            text.push_str("× ");
        }
        unit.put_shown(&mut text);
    }
    text
}
