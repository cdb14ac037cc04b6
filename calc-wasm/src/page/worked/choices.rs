//! The units to choose from in a form. Those of a kind are the same in every form, but for the one that comes first and
//! the one that is chosen, and a conversion offers a hundred of them twice: they are written once and copied.

use crate::calculation::declare::Input;
use crate::quantity::kind::Kind;
use crate::quantity::typed;
use crate::quantity::unit::{Unit, unit};
use crate::quantity::units::ATOMS;
use crate::working::record::System;
use std::cell::OnceCell;

/// The units of a kind as options, of which none is chosen.
#[derive(Default)]
struct Ready {
    /// Each unit, and where its option ends in `text`.
    units: Vec<(Unit, usize)>,
    text: String,
}

thread_local! {
    static READY: [[OnceCell<Ready>; 2]; Kind::ALL.len()] =
        const { [const { [const { OnceCell::new() }; 2] }; Kind::ALL.len()] };
}

/// Does something with what is offered for a kind to somebody who works in this system's units.
fn ready<T>(kind: Kind, system: System, done: impl FnOnce(&Ready) -> T) -> T {
    READY.with(|all| done(all[kind as usize][system as usize].get_or_init(|| Ready::of(kind, system))))
}

impl Ready {
    /// Units of the system in use, then of the other; for anything with a unit, every unit.
    fn of(kind: Kind, system: System) -> Ready {
        let (one, any) = ([kind], kind == Kind::Any);
        let mut ready = Ready::default();
        for member in if any { kind.members() } else { &one } {
            let (us, metric) = member.offered();
            for unit in system.pick(us, metric).iter().chain(system.pick(metric, us)) {
                ready.add(unit, kind);
            }
        }
        if any {
            ATOMS.iter().for_each(|atom| ready.add(&Unit::none().with(atom, 1), kind));
        }
        ready
    }

    fn add(&mut self, unit: &Unit, kind: Kind) {
        if !self.has(unit) {
            option(unit, kind, false, &mut self.text);
            self.units.push((*unit, self.text.len()));
        }
    }

    fn has(&self, unit: &Unit) -> bool {
        self.units.iter().any(|(own, _)| own == unit)
    }
}

/// The unit of an input where there is no other to choose.
pub(super) fn only(input: &Input, kind: Kind, chosen: &Unit, system: System) -> Option<Unit> {
    let percent = unit!("%");
    if kind == Kind::Share && input.units.us == percent {
        return Some(percent);
    }
    let own = input.unit(system);
    let other = |unit: &Unit| !unit.is_none() && *unit != own;
    let more = other(chosen) || ready(kind, system, |ready| ready.units.iter().any(|(unit, _)| other(unit)));
    (!more && !own.is_none()).then_some(own)
}

/// Puts the units of an input at the end of `out`, as options: its own first, and one that is chosen without being
/// offered last.
pub(super) fn put(out: &mut String, input: &Input, kind: Kind, chosen: &Unit, system: System) {
    let own = input.unit(system);
    if !own.is_none() {
        option(&own, kind, own == *chosen, out);
    }
    ready(kind, system, |ready| {
        let (mut from, mut begins, mut marked) = (0, 0, own == *chosen || chosen.is_none());
        for (unit, ends) in &ready.units {
            if *unit == own || unit == chosen {
                out.push_str(&ready.text[from..begins]);
                from = *ends;
                if *unit != own {
                    option(unit, kind, true, out);
                    marked = true;
                }
            }
            begins = *ends;
        }
        out.push_str(&ready.text[from..]);
        if !marked {
            option(chosen, kind, true, out);
        }
    });
}

/// No symbol of the table has a letter to escape.
fn option(unit: &Unit, kind: Kind, chosen: bool, out: &mut String) {
    out.push_str("<option value=\"");
    typed::put_unit(unit, kind, out);
    out.push_str(if chosen { "\" selected>" } else { "\">" });
    unit.put_shown(out);
    out.push_str("</option>");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::registry::calculator;

    /// The units of an input as options; a star marks the chosen one.
    fn listed(input: &Input, kind: Kind, chosen: &str, system: System) -> Vec<String> {
        let mut out = String::new();
        put(&mut out, input, kind, &Unit::of(chosen), system);
        let option = |text: &str| {
            let (value, rest) = text.split_once('"').expect("a value in quotes");
            [if rest.starts_with(" selected>") { "*" } else { "" }, value].concat()
        };
        out.split("<option value=\"").skip(1).map(option).collect()
    }

    #[test]
    fn the_units_of_a_form_begin_with_its_own_and_have_the_chosen_one_once() {
        let caught = calculator("catch-test").and_then(|own| own.input("catch.volume")).expect("a volume");
        let units = |chosen, system| listed(caught, Kind::Volume, chosen, system);
        assert_eq!(units("fl oz", System::Us), ["*fl oz", "gal", "qt", "pt", "cup", "tbsp", "tsp", "L", "mL"]);
        assert_eq!(units("pt", System::Us), ["fl oz", "gal", "qt", "*pt", "cup", "tbsp", "tsp", "L", "mL"]);
        assert_eq!(units("imp gal", System::Us).last().map(String::as_str), Some("*imp gal"));
        assert_eq!(units("", System::Us).concat().matches('*').count(), 0);
        assert_eq!(only(caught, Kind::Volume, &Unit::of("pt"), System::Us), None);
    }

    #[test]
    fn of_anything_with_a_unit_every_unit_is_offered_once() {
        let amount = calculator("unit-conversion").and_then(|own| own.input("amount")).expect("an amount");
        for system in [System::Us, System::Metric] {
            let mut units = listed(amount, Kind::Any, "rod", system);
            assert_eq!(units.first(), Some(&amount.unit(system).plain()));
            assert!(units.contains(&"*rod".to_owned()));
            let all = units.len();
            assert!(all > ATOMS.len());
            units.sort();
            units.dedup();
            assert_eq!(units.len(), all);
        }
    }
}
