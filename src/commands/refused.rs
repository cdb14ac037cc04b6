//! What `tankside work` says to inputs that cannot be worked: every fault, and the whole command put right.

use super::work::{WorkRequest, shell};
use crate::course::{input_help, meant, without_knock_ons};
use tankside_calc::problem::declare::{Calculator, Holds, Input};
use tankside_calc::problem::given::{InputFault, InputProblem, RawInputs};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::{self, Misread};
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::System;

/// Every fault with what to write; below them, where that makes it work, the whole command with what was given kept.
pub(super) fn said(
    found: &'static Calculator,
    wanted: &WorkRequest,
    given: &RawInputs,
    faults: Vec<InputProblem>,
    phrases: &Phrases,
) -> String {
    let each: Vec<String> = faults
        .iter()
        .map(|fault| {
            let text = say::problem(found, fault, wanted.system, phrases);
            let hint = match &fault.fault {
                InputFault::UnknownName => format!("\n  {}", input_help(found, &fault.about)),
                InputFault::Misread(Misread::Ounces, _) => {
                    // Which of the two it is only the label can say.
                    let text = given.text(&fault.about).unwrap_or_default();
                    let either = |ounces| shell(&fault.about, &text.replacen("oz", ounces, 1));
                    format!("\n  write {} or {}", either("fl oz"), either("oz weight"))
                }
                InputFault::Missing | InputFault::Misread(..) => {
                    format!("\n  write {}", shell(&fault.about, &mended(found, given, fault, wanted.system)))
                }
                _ => String::new(),
            };
            format!("{}: {text}{hint}", if fault.about.is_empty() { found.id } else { &fault.about })
        })
        .collect();
    each.join("\n") + &whole(found, wanted, given)
}

/// What to write for an input: what was given, put right where that can be done, else the example's.
fn mended(found: &'static Calculator, given: &RawInputs, fault: &InputProblem, system: System) -> String {
    let example = || say::example_of(found, &fault.about, system);
    if let Some((_, text)) = taken_for_a_name(found, given, fault) {
        return text.to_owned();
    }
    let (Some(text), Some(input)) = (given.text(&fault.about), found.input(&fault.about)) else { return example() };
    let InputFault::Misread(misread, kind) = &fault.fault else { return example() };
    let tried = match misread {
        Misread::UnitMissing => format!("{text} {}", Unit::of(usual_unit(input, found, fault, system)).plain()),
        Misread::Comma => text.replace(',', "."),
        Misread::Ounces => return text.to_owned(),
        _ => return example(),
    };
    if typed::read(&tried, *kind, None).is_ok() { tried } else { example() }
}

/// For what is missing in a row: the name of that row which is no name but just that, as in `lawn='5000 ft2'`.
fn taken_for_a_name<'g>(found: &Calculator, given: &'g RawInputs, fault: &InputProblem) -> Option<(&'g str, &'g str)> {
    let (row, _) = fault.about.rsplit_once('.').filter(|_| fault.fault == InputFault::Missing)?;
    let kind = found.input(&fault.about)?.kind()?;
    let named = given.0.iter().find(|(name, text)| {
        let is_name = matches!(found.input(name), Some(Input { holds: Holds::Name, .. }));
        is_name
            && name.strip_prefix(row).is_some_and(|rest| rest.starts_with('.'))
            && typed::read(text, kind, None).is_ok()
    });
    named.map(|(name, text)| (name.as_str(), text.as_str()))
}

/// The unit of the example, or the usual one.
fn usual_unit(input: &Input, found: &'static Calculator, fault: &InputProblem, system: System) -> &'static str {
    let example = say::example_of(found, &fault.about, system);
    let typed = input.kind().and_then(|kind: Kind| typed::read(&example, kind, None).ok());
    match typed {
        // Of a duration in two units the last one would be meant.
        Some(typed) if typed.unit.plain() != input.unit(system) && !typed::is_compound(&example) => {
            let (us, metric) = input.kind().map_or((&[][..], &[][..]), Kind::offered);
            let same = us.iter().chain(metric).find(|unit| **unit == typed.unit.plain());
            same.copied().unwrap_or(input.unit(system))
        }
        _ => input.unit(system),
    }
}

/// Rounds of putting right: a name first, then what stands under it, then what is missing beside it.
const ROUNDS: usize = 3;

/// The whole command: what was given stays, names and numbers put right, what is missing added from the example.
fn whole(found: &'static Calculator, wanted: &WorkRequest, given: &RawInputs) -> String {
    if given.0.is_empty() {
        return String::new();
    }
    let mut given = given.clone();
    for _ in 0..ROUNDS {
        match work(found, &given, wanted.system) {
            Ok(_) => return command(found, wanted, &given),
            Err(faults) => given = put_right(found, &given, &without_knock_ons(found, faults), wanted.system),
        }
    }
    // A line that would be refused again helps nobody.
    String::new()
}

fn put_right(found: &'static Calculator, given: &RawInputs, faults: &[InputProblem], system: System) -> RawInputs {
    let mut right = RawInputs::default();
    for (name, text) in &given.0 {
        match faults.iter().find(|fault| fault.about == *name) {
            Some(fault) if fault.fault == InputFault::UnknownName => match meant(found, name) {
                Some(group) if found.group(&group).is_some() => {
                    right.0.push((format!("{group}.{}", given.rows(&group).max(right.rows(&group)) + 1), text.clone()));
                }
                Some(name) => right.0.push((name, text.clone())),
                None => {}
            },
            Some(fault) => right.0.push((name.clone(), mended(found, given, fault, system))),
            None => right.0.push((name.clone(), text.clone())),
        }
    }
    for fault in faults.iter().filter(|fault| fault.fault == InputFault::Missing) {
        let added = (fault.about.clone(), mended(found, given, fault, system));
        match taken_for_a_name(found, given, fault)
            .and_then(|(name, _)| right.0.iter().position(|(own, _)| own == name))
        {
            Some(place) => right.0[place] = added,
            None if right.text(&fault.about).is_none() => right.0.push(added),
            None => {}
        }
    }
    right.opened(found)
}

fn command(found: &Calculator, wanted: &WorkRequest, given: &RawInputs) -> String {
    let mut words: Vec<String> = given.0.iter().map(|(name, text)| shell(name, text)).collect();
    if wanted.system == System::Metric {
        words.push("--units metric".to_owned());
    }
    words.extend(wanted.wanted.iter().filter_map(|word| {
        let (name, unit) = word.split_once('=')?;
        Some(format!("--in {}", shell(name, unit)))
    }));
    format!("\nwhat you gave, with this put right:\n  tankside work {} {}", found.id, words.join(" "))
}
