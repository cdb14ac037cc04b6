//! A form's inputs in the units of the other system, as somebody who works in them would set them.
//!
//! Nobody sets a tank to 757.08236 L for 200 gal: on metric gauges it is 760 L. What is read is rounded to what it can
//! be read to in the field, what is chosen or printed to two figures (three where the first is a 1, the last of them 0
//! or 5). So it is another problem of about the same size, which the page says; it remembers what was there before.

use crate::calculation::declare::{Bounds, Calculator, Input};
use crate::calculation::inputs::RawInputs;
use crate::calculation::read_to;
use crate::quantity::kind::Kind;
use crate::quantity::order::{above, order, whole_above, whole_below};
use crate::quantity::typed;
use crate::quantity::unit::{Unit, Units, unit, units};
use crate::text::figures::{exact, to_figures, without_noise};
use crate::working::record::System;

/// Re-expresses the given quantities in the usual unit of `system`, in round numbers.
pub fn switched(calculator: &'static Calculator, given: &RawInputs, system: System) -> RawInputs {
    let pairs = given.0.iter().map(|(name, text)| {
        let own = read_to::target(calculator, name).map(|(_, input, kind)| (input, kind));
        let own = own.or_else(|| calculator.input(name).and_then(|input| Some((input, input.kind()?))));
        let changed = own.and_then(|(input, kind)| in_system(input, kind, text, system));
        (name.clone(), changed.unwrap_or_else(|| text.clone()))
    });
    RawInputs(pairs.collect())
}

fn in_system(input: &Input, kind: Kind, text: &str, system: System) -> Option<String> {
    let typed = typed::read(text, kind, None).ok()?;
    // Seconds and counts are the same in both systems, whatever the kind of the input.
    let both = kind.takes(&typed.unit) && matches!(kind, Kind::Time | Kind::Number)
        || counterpart(&typed.unit).is_some_and(|other| other == typed.unit);
    // A share, in percent or in parts, is the same number everywhere.
    let share = typed.unit.dim() == unit!("%").dim();
    if both || share || typed.unit.is_us() == (system == System::Us) {
        return None;
    }
    let usual = |system: System| input.unit(system);
    let here = system.pick(System::Metric, System::Us);
    let unit = match counterpart(&typed.unit) {
        // The unit a form starts with goes over to the one that the other form starts with, and back.
        _ if usual(here) == typed.unit && usual(system).dim() == typed.unit.dim() => usual(system),
        Some(unit) => unit,
        // A unit of its own kind, such as a ton, is left where the form's unit measures something else.
        None => Some(usual(system)).filter(|unit| unit.dim() == typed.unit.dim())?,
    };
    let number = exact(round(input, typed.si, &unit, system)).replace([',', '−'], "");
    let sign = if typed.si < 0.0 { "-" } else { "" };
    Some([sign, &number, " ", &typed::unit_text(&unit, kind)].concat())
}

/// How far a number may be moved to make it round; a reading that is coarser than this is written more finely than it
/// can be read, rather than changed.
const FAR: f64 = 0.025;

/// The size of a quantity in `unit`, as somebody sets or reads it.
fn round(input: &Input, si: f64, unit: &Unit, system: System) -> f64 {
    let value = without_noise(si.abs() / unit.size());
    if value == 0.0 {
        return 0.0;
    }
    let mark = read_to::usual(input, system).filter(|read| read.unit.dim() == unit.dim());
    // Sixteenths of a pound are no round numbers: of a scale in ounces only what reads as decimals is taken over.
    let round = |mark: &f64| order(to_figures(*mark, 1), *mark).is_eq();
    let mark = mark.map(|read| read.si / unit.size()).filter(|mark| round(mark) && value * FAR >= mark / 2.0);
    // No scale has marks finer than a thousandth: three figures say what was read.
    let step = mark.unwrap_or_else(|| step_of(value)).max(place_of(value, 3));
    let marks = value / step;
    let whole = |marks: f64| without_noise(marks * step);
    let inside = |value: f64| input.limits(system).is_none_or(|bounds| allowed(&bounds, value * unit.size()));
    let near = whole((marks + 0.5).floor());
    match () {
        () if inside(near) => near,
        () if above(near, value) => whole(whole_below(marks)),
        () => whole(whole_above(marks)),
    }
}

fn allowed(bounds: &Bounds, si: f64) -> bool {
    let size = bounds.unit.size();
    let beyond = above(si, bounds.hard.1 * size) || above(bounds.hard.0 * size, si) || (bounds.positive && si <= 0.0);
    !beyond
}

/// The value of one in figure `figure` of a number.
fn place_of(value: f64, figure: i32) -> f64 {
    let mut place = 1.0;
    while place * 10.0 <= value {
        place *= 10.0;
    }
    while above(place, value) {
        place /= 10.0;
    }
    (1..figure).fold(place, |place, _| place / 10.0)
}

/// Two figures; where the first is a 1, halves of the second.
fn step_of(value: f64) -> f64 {
    let second = place_of(value, 2);
    if value < second * 20.0 { second / 2.0 } else { second }
}

/// Units that correspond to one another in the two systems, US customary first; going back, the first that fits counts.
const PAIRS: &[&Units] = &[
    units!("in", "cm"),
    units!("in", "mm"),
    units!("ft", "m"),
    units!("yd", "m"),
    units!("mi", "km"),
    units!("ft2", "m2"),
    units!("yd2", "m2"),
    units!("1000 ft2", "100 m2"),
    units!("acre", "ha"),
    units!("gal", "L"),
    units!("qt", "L"),
    units!("pt", "L"),
    units!("fl oz", "mL"),
    units!("cup", "mL"),
    units!("tbsp", "mL"),
    units!("tsp", "mL"),
    units!("100 gal", "100 L"),
    units!("lb", "kg"),
    units!("oz", "g"),
    units!("psi", "bar"),
    units!("psi", "kPa"),
];

/// The unit of the other system that is used where this one is, part by part; `None` where a part has none.
fn counterpart(unit: &Unit) -> Option<Unit> {
    let us = unit.is_us();
    unit.over(|part| {
        let (here, there) = if us { (System::Us, System::Metric) } else { (System::Metric, System::Us) };
        let pair = PAIRS.iter().find(|pair| pair.pick(here).first() == Some(part));
        match pair {
            Some(pair) => pair.pick(there).first(),
            None if part.dim == unit!("s").dim() => Some(part),
            None => None,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::place_of;

    #[test]
    fn figures_are_found_whatever_the_size() {
        for (value, second) in [(757.0, 10.0), (0.095, 0.001), (1.5, 0.1), (9.99, 0.1), (1e-6, 1e-7), (1e9, 1e8)] {
            assert!((place_of(value, 2) / second - 1.0).abs() < 1e-9, "{value}: {}", place_of(value, 2));
        }
    }
}
