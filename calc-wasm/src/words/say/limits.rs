//! What may be typed into an input: its usual range, its limits and an example.

use super::amounts::quantity;
use crate::calculation::declare::{Bounds, Calculator, Holds, Input};
use crate::quantity::kind::Kind;
use crate::quantity::typed::Typed;
use crate::quantity::unit::Unit;
use crate::quantity::written;
use crate::text::figures::{RESULT_FIGURES, exact, to_figures, without_noise};
use crate::text::texts::joined;
use crate::words::phrases::Phrases;
use crate::working::record::System;

/// The usual range of an input as a person says it: `15 to 120 s`, `16 fl oz to 5 gal`.
pub fn usual_range(bounds: &Bounds, input: &Input, kind: Kind, system: System, phrases: &Phrases) -> String {
    let limit = |amount: f64| limit(amount, bounds, input, kind, system, phrases);
    let (low, high) = (limit(bounds.plausible.0), limit(bounds.plausible.1));
    // The unit once, where both have the same.
    let unit = high.trim_start_matches(|letter: char| letter != ' ');
    let number = low.strip_suffix(unit).unwrap_or(&low).to_owned();
    phrases.fill("range", |place| match place {
        "low" => Some(number.clone()),
        "high" => Some(high.clone()),
        _ => None,
    })
}

/// A limit as a person would say it: in the unit that the form starts with; in the unit it was declared in where that
/// takes fewer digits (5 gal, not 640 fl oz); a long one in any offered unit that needs no more than three (10 h).
pub fn limit(amount: f64, bounds: &Bounds, input: &Input, kind: Kind, system: System, phrases: &Phrases) -> String {
    let usual = input.unit(system);
    let si = amount * bounds.unit.size();
    let value = |unit: &Unit| without_noise(si / unit.size());
    let digits = |unit: &Unit| exact(value(unit)).len();
    let long = value(&usual) >= 1000.0;
    let (us, metric) = kind.offered();
    let mut best = usual;
    for unit in system.pick(us, metric).iter().copied().filter(|unit| long || *unit == bounds.unit) {
        // "5000 1000 ft²" would be two numbers in a row, and "40 L/ha to 30 L/100 m²" no range.
        let counts = unit.shown().contains(['/', '0']);
        let sound = (1.0..1000.0).contains(&value(&unit)) && to_figures(value(&unit), 3) == value(&unit) && !counts;
        if sound && digits(&unit) < digits(&best) {
            best = unit;
        }
    }
    quantity(si, &best, phrases)
}

/// What an input is by default, in a unit of the form, to the figures that the working shows: 2.76 bar for 40 psi.
pub fn default_in(typed: &Typed, unit: &Unit) -> f64 {
    to_figures(typed.si / unit.size(), RESULT_FIGURES)
}

/// An example of what may be typed into an input, in the units of `system`.
pub fn example_of(calculator: &Calculator, flat: &str, system: System, phrases: &Phrases) -> String {
    let text = example_text(calculator, flat, system);
    match calculator.input(flat).map(|input| input.holds) {
        Some(Holds::Quantity(_)) => phrases.number(text),
        Some(Holds::Choice(words)) if text == joined(words, ", ") => choices(calculator, words, phrases),
        _ => text,
    }
}

/// The words that a choice takes, as a page shows them.
pub(super) fn choices(calculator: &Calculator, words: &[&str], phrases: &Phrases) -> String {
    let shown: Vec<&str> =
        words.iter().map(|word| phrases.find(&[calculator.id, ".word.", word].concat()).unwrap_or(word)).collect();
    joined(&shown, ", ")
}

/// The same as the core writes numbers, and as an author or a terminal takes it.
pub fn example_text(calculator: &Calculator, flat: &str, system: System) -> String {
    let pairs = system.pick(calculator.example, calculator.example_metric);
    let exact = pairs.iter().find(|(name, _)| *name == flat);
    let like = || {
        let field = flat.rsplit('.').next()?;
        let group = flat.split('.').next()?;
        pairs.iter().find(|(name, _)| name.starts_with(group) && name.ends_with(field))
    };
    if let Some((_, text)) = exact.or_else(like) {
        return (*text).to_owned();
    }
    match calculator.input(flat) {
        Some(Input { holds: Holds::Choice(words), .. }) => joined(words, ", "),
        Some(input) => {
            let limits = input.limits(system);
            let amount = limits.map_or(1.0, |bounds| bounds.plausible.1);
            let unit = limits.map_or(Unit::none(), |bounds| bounds.unit);
            written::with_unit(&exact_plain(amount), &unit)
        }
        None => String::new(),
    }
}

fn exact_plain(value: f64) -> String {
    exact(value).replace(',', "")
}
