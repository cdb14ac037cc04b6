//! A form's inputs in the units of the other system.

use crate::problem::declare::{Calculator, Input};
use crate::problem::given::RawInputs;
use crate::quantity::kind::Kind;
use crate::quantity::typed;
use crate::quantity::unit::{Unit, Units, unit, units};
use crate::working::record::System;

/// Re-expresses the given quantities in the usual unit of `system`, keeping their size to 6 figures or better.
pub fn switched(calculator: &'static Calculator, given: &RawInputs, system: System) -> RawInputs {
    let pairs = given.0.iter().map(|(name, text)| {
        let changed = calculator
            .input(name)
            .and_then(|input| Some((input, input.kind()?)))
            .and_then(|(input, kind)| in_system(input, kind, text, system));
        (name.clone(), changed.unwrap_or_else(|| text.clone()))
    });
    RawInputs(pairs.collect())
}

fn in_system(input: &Input, kind: Kind, text: &str, system: System) -> Option<String> {
    let typed = typed::read(text, kind, None).ok()?;
    let both = kind.takes(&typed.unit) && matches!(kind, Kind::Time | Kind::Number);
    let percent = typed.unit == unit!("%");
    if both || percent || typed.unit.is_us() == (system == System::Us) {
        return None;
    }
    let usual = |system: System| input.unit(system);
    let here = system.pick(System::Metric, System::Us);
    let unit = match counterpart(&typed.unit) {
        // The unit a form starts with goes over to the one that the other form starts with, and back.
        _ if usual(here) == typed.unit && usual(system).dim() == typed.unit.dim() => usual(system),
        Some(unit) => unit,
        None => usual(system),
    };
    let value = crate::text::figures::without_noise(typed.si / unit.size());
    let (short, long) = (crate::text::figures::to_figures(value, 6), crate::text::figures::to_figures(value, 8));
    // What was typed as 126 fl oz comes back from its eight figures in litres as 126, not as 126.000001.
    let digits = if (short - value).abs() <= 5e-8 * value.abs() { short } else { long };
    Some(format!("{} {}", crate::text::figures::exact(digits).replace(',', ""), typed::unit_text(&unit, kind)))
}

/// Units that stand for one another in the two systems, US customary first; going back, the first that fits counts.
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

/// The unit of the other system that stands where this one does, part by part; `None` where a part has none.
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
