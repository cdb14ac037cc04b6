//! Values that can be read and yet not be worked: which of them cannot be as they are, and which exclude each other.

use super::empty;
use super::instead::unit_given;
use tankside_calc::calculation::declare::{Calculator, Input, Need};
use tankside_calc::calculation::inputs::{InputFault, InputProblem, RawInputs};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::System;

/// Sizes at which a refused value is tried: if one of them is taken, it is the size that cannot be.
const SIZES: [f64; 4] = [1e-3, 0.1, 10.0, 1e3];

/// The inputs that the calculation refuses as they are, each with a place to write there.
pub(super) fn impossible(
    found: &'static Calculator,
    given: &RawInputs,
    fault: &InputProblem,
    system: System,
) -> Vec<(String, String)> {
    if !matches!(fault.fault, InputFault::Refused(_)) {
        return Vec::new();
    }
    let taken = |name: &str| {
        SIZES.iter().filter_map(|size| resized(found, given, name, *size)).any(|trial| {
            let faults = work(found, &trial, system).err().unwrap_or_default();
            faults.iter().all(|other| other != fault && other.about != name)
        })
    };
    let group = [&fault.about, "."].concat();
    // What has a default is not missing: then any of the others may be what cannot be.
    let any = given.text(&fault.about).is_none() && has_default(found, &fault.about);
    let own = given.0.iter().map(|(name, _)| name.as_str());
    let concerned = |name: &&str| any || *name == fault.about || name.starts_with(&group);
    let names: Vec<&str> = own.filter(|name| concerned(name) && taken(name)).collect();
    if !names.is_empty() {
        return names.into_iter().map(|name| (name.to_owned(), beyond(found, given, name, system))).collect();
    }
    let name = &fault.about;
    if given.text(name).is_none() || !exclusive(found, given, fault, system).is_empty() {
        return Vec::new();
    }
    // Where it may be of several kinds, only the label says in which unit.
    let several = found.input(name).and_then(Input::kind).is_some_and(|kind| !kind.members().is_empty());
    vec![(name.clone(), if several { "…".to_owned() } else { empty(found, name, system) })]
}

/// What was given, once for each way to leave out what excludes the rest; nothing where none do.
pub(super) fn exclusive(
    found: &'static Calculator,
    given: &RawInputs,
    fault: &InputProblem,
    system: System,
) -> Vec<RawInputs> {
    if !matches!(fault.fault, InputFault::Refused(_)) {
        return Vec::new();
    }
    let mut parts: Vec<&str> = Vec::new();
    for (name, _) in &given.0 {
        // All rows of a group go together, or one field of a row.
        for part in [name.as_str(), name.split('.').next().unwrap_or(name)] {
            if !parts.contains(&part) {
                parts.push(part);
            }
        }
    }
    let of =
        |name: &str, part: &str| name.strip_prefix(part).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'));
    let works = |dropped: &[&str]| {
        let kept = given.0.iter().filter(|(name, _)| !dropped.iter().any(|part| of(name, part)));
        let kept = RawInputs(kept.cloned().collect());
        (!kept.0.is_empty() && work(found, &kept, system).is_ok()).then_some(kept)
    };
    let mut ways: Vec<RawInputs> = Vec::new();
    let mut keep = |way: RawInputs| {
        if !ways.contains(&way) {
            ways.push(way);
        }
    };
    let (alone, others): (Vec<&str>, Vec<&str>) = parts.iter().partition(|part| works(&[part]).is_some());
    alone.iter().filter_map(|part| works(&[part])).for_each(&mut keep);
    // Two readings may stand against one.
    for (at, one) in others.iter().enumerate() {
        others[at + 1..].iter().filter_map(|other| works(&[one, other])).for_each(&mut keep);
    }
    if ways.len() < 2 { Vec::new() } else { ways }
}

/// A place for a value that is beyond a limit, in the unit that was given.
pub(super) fn beyond(found: &'static Calculator, given: &RawInputs, flat: &str, system: System) -> String {
    let text = given.text(flat).unwrap_or_default();
    let unit = found.input(flat).and_then(Input::kind).and_then(|kind| unit_given(text, kind));
    unit.map_or_else(|| empty(found, flat, system), |unit| format!("… {unit}"))
}

/// What was given, with one quantity of another size.
fn resized(found: &Calculator, given: &RawInputs, name: &str, size: f64) -> Option<RawInputs> {
    let kind = found.input(name)?.kind()?;
    let typed = typed::read(given.text(name)?, kind, None).ok()?;
    let number = if typed.si == 0.0 { size } else { typed.si.abs() * size / typed.unit.size() };
    let unit = if kind == Kind::Number { String::new() } else { typed::unit_text(&typed.unit, kind) };
    let mut trial = given.clone();
    trial.0.iter_mut().filter(|(own, _)| own == name).for_each(|(_, text)| *text = format!("{number} {unit}"));
    Some(trial)
}

/// Whether something counts where an input is left out.
pub(super) fn has_default(found: &Calculator, flat: &str) -> bool {
    found.input(flat).is_some_and(|input| matches!(input.need, Need::Default(_)))
}
