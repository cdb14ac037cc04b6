//! Names of inputs and results as they are shown: one that says a US unit says the metric one in metric units.
//!
//! The names themselves are the same in every system, since scripts rely on them; both are taken.

use tankside_calc::working::record::System;

/// What names say of US units, and what they say in its place in metric ones.
const IN_METRIC: &[(&str, &str)] = &[("gallon", "liter"), ("acre", "hectare"), ("1000-ft2", "100-m2")];

/// A name as it is shown: `per-liter` in metric units for `per-gallon`.
pub(super) fn shown_name(name: &str, system: System) -> String {
    match system {
        System::Us => name.to_owned(),
        System::Metric => IN_METRIC.iter().fold(name.to_owned(), |name, (us, metric)| name.replace(us, metric)),
    }
}

/// The name that was typed as it is shown in metric units, if `known` knows it so; otherwise as it was typed.
pub(super) fn own_name(typed: &str, known: impl Fn(&str) -> bool) -> String {
    let own = IN_METRIC.iter().fold(typed.to_owned(), |name, (us, metric)| name.replace(metric, us));
    if !known(typed) && known(&own) { own } else { typed.to_owned() }
}
