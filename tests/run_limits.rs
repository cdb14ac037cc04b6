//! Every limit that a calculator declares, from both sides: taken at the limit, refused or cautioned past it.

use tankside_calc::calculation::declare::{Bounds, Calculator, FormItem, Holds, Input};
use tankside_calc::calculation::inputs::{InputFault, RawInputs};
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::{Arg, System};

/// How far past a limit a value is tried: far below what is typed, far above the core's slack for binary noise.
const PAST: f64 = 1e-6;

/// The calculator's example with one input set to `text`; a group without a row in the example gets its first.
fn with(calculator: &Calculator, system: System, flat: &str, text: &str) -> RawInputs {
    let mut pairs = RawInputs::from_pairs(system.pick(calculator.example, calculator.example_metric)).0;
    match pairs.iter_mut().find(|(name, _)| name == flat) {
        Some((_, old)) => *old = text.to_owned(),
        None => pairs.push((flat.to_owned(), text.to_owned())),
    }
    RawInputs(pairs)
}

/// Flat names of every bounded input, rows as the first row.
fn bounded(calculator: &Calculator) -> Vec<(String, Input, Bounds)> {
    let mut all = Vec::new();
    let mut keep = |name: String, input: &Input| {
        if let Some(bounds) = input.bounds {
            all.push((name, *input, bounds));
        }
    };
    for item in calculator.inputs {
        match item {
            FormItem::One(input) => keep(input.name.to_owned(), input),
            FormItem::Many(group) => {
                group.fields.iter().for_each(|field| keep(format!("{}.1.{}", group.name, field.name), field));
            }
        }
    }
    all
}

fn refused(calculator: &'static Calculator, given: &RawInputs, flat: &str) -> bool {
    let limit = |fault: &InputFault| matches!(fault, InputFault::HardLimit(_));
    match work(calculator, given, System::Us) {
        Ok(_) => false,
        Err(faults) => faults.iter().any(|fault| fault.about == flat && limit(&fault.fault)),
    }
}

/// A value just inside and just outside a limit; a count moves by one.
fn past(input: &Input, limit: f64, up: bool) -> f64 {
    let sign = if up { 1.0 } else { -1.0 };
    match input.holds {
        Holds::Count => limit + sign,
        _ if limit == 0.0 => sign * PAST,
        _ => limit * (1.0 + sign * PAST * limit.signum()),
    }
}

/// The same size in the usual unit of each system, so that a limit in gallons is tried in liters as well.
fn texts(input: &Input, bounds: Bounds, value: f64) -> Vec<String> {
    let mut units = vec![bounds.unit];
    units.extend([input.units.us, input.units.metric].into_iter().filter(|unit| !unit.is_none()));
    units.dedup();
    let size = bounds.unit.size();
    units.iter().map(|unit| format!("{} {}", value * size / unit.size(), unit.plain())).collect()
}

#[test]
fn every_hard_limit_is_taken_at_the_border_and_refused_past_it() {
    let mut tried = 0;
    for calculator in CALCULATORS {
        for (flat, input, bounds) in bounded(calculator) {
            let (low, high) = bounds.hard;
            let inside = if bounds.positive { past(&input, low, true) } else { low };
            let outside = if bounds.positive { low } else { past(&input, low, false) };
            for (value, is_refused) in
                [(inside, false), (outside, true), (high, false), (past(&input, high, true), true)]
            {
                for text in texts(&input, bounds, value) {
                    let given = with(calculator, System::Us, &flat, &text);
                    assert_eq!(refused(calculator, &given, &flat), is_refused, "{} {flat}={text}", calculator.id);
                    tried += 1;
                }
            }
        }
    }
    assert!(tried >= CALCULATORS.len() * 8, "{tried} borders");
}

#[test]
fn every_plausible_limit_is_silent_at_the_border_and_cautioned_past_it() {
    let mut tried = 0;
    for calculator in CALCULATORS {
        for (flat, input, bounds) in bounded(calculator) {
            let ((low, high), hard) = (bounds.plausible, bounds.hard);
            let sides =
                [(low, past(&input, low, false), hard.0 < low), (high, past(&input, high, true), high < hard.1)];
            for (border, outside, has_room) in sides {
                if !has_room {
                    continue;
                }
                for (value, is_cautioned) in [(border, false), (outside, true)] {
                    for text in texts(&input, bounds, value) {
                        let given = with(calculator, System::Us, &flat, &text);
                        // A limit may not go with the rest of the example: a fill above the tank, say.
                        let Ok(worked) = work(calculator, &given, System::Us) else { continue };
                        let cautioned = worked.cautions.iter().any(|caution| {
                            caution.id == "caution.implausible"
                                && matches!(caution.args.first(), Some((_, Arg::Phrase(name))) if *name == flat)
                        });
                        // One cause, one caution: the calculator's own about this number says more than the usual one.
                        let own = worked.cautions.iter().any(|caution| {
                            let name = flat.rsplit('.').next();
                            caution
                                .args
                                .iter()
                                .any(|(place, arg)| name == Some(*place) && matches!(arg, Arg::Quantity(..)))
                        });
                        assert_eq!(cautioned || (is_cautioned && own), is_cautioned, "{} {flat}={text}", calculator.id);
                        tried += 1;
                    }
                }
            }
        }
    }
    assert!(tried >= CALCULATORS.len() * 8, "{tried} borders");
}
