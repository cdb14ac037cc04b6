//! What to write for a value that cannot be read: as much of it as can be is kept, and only what then works is offered.

use crate::course::{amount_meant, unit_meant, without_knock_ons};
use tankside_calc::calculation::declare::{Calculator, FormItem, Holds};
use tankside_calc::calculation::inputs::{InputFault, InputProblem, RawInputs};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::{self, Misread};
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::System;

/// Units that are offered for a number at most.
const MOST_UNITS: usize = 4;
/// The same for an amount of any kind, of either system.
const MOST_OF_ANY: usize = 6;

/// Inputs that cannot be worked.
pub(super) struct Slip<'s> {
    /// The calculator.
    pub(super) found: &'static Calculator,
    /// What was given.
    pub(super) given: &'s RawInputs,
    /// What is wrong with it.
    pub(super) faults: &'s [InputProblem],
    /// The units shown.
    pub(super) system: System,
}

/// What to write for a value that cannot be read.
pub(super) enum Instead {
    /// A value that works, if it is what was meant.
    Maybe(String),
    /// The value with its ounces fluid, and by weight.
    Ounces([String; 2]),
    /// A number, and the units of which one has to follow it.
    Unit(String, Vec<String>),
    /// Nothing of it can be kept but its unit, if it has one.
    Place(Option<String>),
}

impl Slip<'_> {
    /// What to write for the input `flat`.
    pub(super) fn instead(&self, flat: &str, misread: &Misread, kind: Kind) -> Instead {
        let text = self.given.text(flat).unwrap_or_default();
        let works = |text: &str| self.works(flat, text, kind);
        let unit_after = |number: &str| {
            let units = self.units(flat, kind);
            let fitting = units.iter().filter(|unit| works(&format!("{number} {}", typed::unit_text(unit, kind))));
            let most = if kind == Kind::Any { MOST_OF_ANY } else { MOST_UNITS };
            let shown: Vec<String> = fitting.take(most).map(Unit::shown).collect();
            (!shown.is_empty() || units.is_empty()).then(|| Instead::Unit(number.to_owned(), shown))
        };
        let number = || match number_of(text) {
            // `4 passes`
            Some(number) if kind == Kind::Number => {
                if works(number) {
                    Instead::Maybe(number.to_owned())
                } else {
                    Instead::Place(None)
                }
            }
            Some(number) => unit_after(number).unwrap_or(Instead::Place(None)),
            None => without_last_unit(text).and_then(unit_after).unwrap_or(Instead::Place(None)),
        };
        match misread {
            Misread::Ounces => {
                let both = ["fl oz", "oz weight"].map(|ounces| with_ounces(text, ounces));
                let mut working = both.iter().filter(|meant| works(meant));
                match (working.next(), working.next()) {
                    (Some(one), None) => Instead::Maybe(one.clone()),
                    _ => Instead::Ounces(both),
                }
            }
            Misread::UnitMissing => unit_after(text).unwrap_or_else(number),
            Misread::Comma | Misread::UnitUnknown(_) if amount_meant(text, kind).is_some() => amount_meant(text, kind)
                .filter(|meant| works(meant))
                .map_or_else(|| Instead::Place(unit_given(text, kind)), Instead::Maybe),
            Misread::UnitUnknown(unit) => {
                let meant = unit_meant(unit, kind).map(|meant| text.replacen(unit.as_str(), &meant, 1));
                meant.filter(|meant| works(meant)).map_or_else(number, Instead::Maybe)
            }
            Misread::WrongKind(_) => squared(text).filter(|meant| works(meant)).map_or_else(number, Instead::Maybe),
            Misread::MixedParts => {
                turned(text).filter(|meant| works(meant)).map_or(Instead::Place(unit_given(text, kind)), Instead::Maybe)
            }
            _ => Instead::Place(unit_given(text, kind)),
        }
    }

    /// Whether a text is read in the place of an input, and nothing is wrong with it there.
    fn works(&self, flat: &str, text: &str, kind: Kind) -> bool {
        if typed::read(text, kind, None).is_err() {
            return false;
        }
        let mut trial = self.given.clone();
        trial.0.iter_mut().filter(|(name, _)| name == flat).for_each(|(_, own)| *own = text.to_owned());
        let Err(faults) = work(self.found, &trial, self.system) else { return true };
        // What is wrong besides is said of its own input; what is missing is asked for there.
        without_knock_ons(self.found, faults).iter().all(|fault| {
            let empty = self.found.input(&fault.about).is_some() && self.given.text(&fault.about).is_none();
            let missing = match fault.fault {
                InputFault::Missing | InputFault::TooFewRows(_) => true,
                InputFault::Refused(_) => empty,
                _ => false,
            };
            fault.about != flat && (missing || self.faults.contains(fault))
        })
    }

    /// Units that a value of this kind may have, the usual ones of the system: first the input's own, and those that
    /// measure the same.
    fn units(&self, flat: &str, kind: Kind) -> Vec<Unit> {
        if kind == Kind::Any {
            return self.of_the_other_side();
        }
        let (us, metric) = kind.offered();
        let mut units = self.system.pick(us, metric).to_vec();
        let own = self.found.input(flat).map(|input| input.unit(self.system));
        if let Some(own) = own.filter(|own| !own.is_none()) {
            units.retain(|unit| *unit != own);
            units.insert(0, own);
            units.sort_by_key(|unit| unit.dim() != own.dim());
        }
        units
    }

    /// Units that an amount of any kind may have, to be turned into the unit that is wanted.
    fn of_the_other_side(&self) -> Vec<Unit> {
        let named = self.found.inputs.iter().find_map(|item| match item {
            FormItem::One(input) if matches!(input.holds, Holds::Unit) => self.given.text(input.name),
            _ => None,
        });
        let Some(wanted) = named.and_then(Unit::parse) else { return Vec::new() };
        let (us, metric) = Kind::of(&wanted).map_or((&[][..], &[][..]), Kind::offered);
        let (near, far) = if wanted.is_us() { (us, metric) } else { (metric, us) };
        let half = |units: &[Unit]| -> Vec<Unit> {
            units.iter().filter(|unit| **unit != wanted).take(MOST_OF_ANY / 2).copied().collect()
        };
        [half(near), half(far)].concat()
    }
}

/// The unit of a value that can be read but not worked, or that ends in one though its number cannot be read.
pub(super) fn unit_given(text: &str, kind: Kind) -> Option<String> {
    let read = typed::read(text, kind, None).map(|typed| typed.unit).ok().filter(|unit| !unit.is_none());
    let last = text.rfind(|mark: char| mark.is_ascii_digit()).map_or("", |at| &text[at + 1..]);
    let unit = read.or_else(|| Unit::parse(last.trim()).filter(|unit| kind.takes(unit)))?;
    Some(typed::unit_text(&unit, kind))
}

/// `1 gal 5` of `1 gal 5 flox`: all but the last unit of an amount in two.
fn without_last_unit(text: &str) -> Option<&str> {
    let end = text.rfind(|mark: char| mark.is_ascii_digit())? + 1;
    let kept = text[..end].trim_start();
    let two = kept.contains(char::is_alphabetic) && text[end..].contains(char::is_alphabetic);
    two.then_some(kept)
}

/// `2 gal/1000 ft2` for `2 gal/1000 ft`: a length where there can only be an area.
fn squared(text: &str) -> Option<String> {
    let text = text.trim_end();
    (text.contains('/') && text.ends_with(char::is_alphabetic)).then(|| format!("{text}2"))
}

/// `1 gal 3 fl oz` for `3 fl oz 1 gal`.
fn turned(text: &str) -> Option<String> {
    let first = text.find(char::is_alphabetic)?;
    let second = first + text[first..].find(|mark: char| mark.is_ascii_digit())?;
    let (one, other) = text.split_at(second);
    Some(format!("{} {}", other.trim(), one.trim()))
}

/// A text with its bare ounces named.
pub(super) fn with_ounces(text: &str, ounces: &str) -> String {
    let lower = text.to_ascii_lowercase();
    for word in ["ounces", "ounce", "ozs", "oz."] {
        if let Some(at) = lower.find(word) {
            return format!("{}{ounces}{}", &text[..at], &text[at + word.len()..]);
        }
    }
    match lower.find("oz") {
        Some(at) => format!("{}{ounces}{}", &text[..at], &text[at + 2..]),
        None => text.to_owned(),
    }
}

/// The number of `1 galon`, whose unit is not known; of `1 gal 5 flox` neither number says what was meant.
fn number_of(text: &str) -> Option<&str> {
    let at = text.find(|mark: char| mark.is_alphabetic() || "%#'\"′″".contains(mark))?;
    let (number, unit) = (text[..at].trim(), &text[at..]);
    // `2OO gal` is not 2.
    if text[..at].ends_with(|last: char| last.is_ascii_digit()) && unit.starts_with(['O', 'o', 'l', 'I']) {
        return None;
    }
    let over = unit.split('/').next().unwrap_or_default().as_bytes();
    // The 2 of `m2x` is no number of its own.
    let power = |at: usize| at > 0 && b"23".contains(&over[at]) && b"mtnd".contains(&over[at - 1]);
    let again = (0..over.len()).any(|at| over[at].is_ascii_digit() && !power(at));
    (!again && typed::read(number, Kind::Number, None).is_ok()).then_some(number)
}
