//! What is wrong with an input, and what to write instead.

use super::amounts::quantity;
use super::limits::{choices, example_of};
use super::names::input_in;
use crate::calculation::declare::{Calculator, Holds, limit_unit};
use crate::calculation::inputs::{InputFault, InputProblem};
use crate::quantity::kind::Kind;
use crate::quantity::typed::{LONGEST, Misread};
use crate::text::texts::joined;
use crate::words::phrases::{Form, Phrases};
use crate::working::record::System;

/// The kind of thing that an input holds, in words and in the reader's units: never a value, which could be taken for the
/// reader's own.
fn kind_of(calculator: &Calculator, flat: &str, system: System, phrases: &Phrases) -> String {
    match calculator.input(flat).map(|input| input.holds) {
        Some(Holds::Quantity(kind)) => named(kind.id(), system, phrases),
        Some(Holds::Choice(words)) => choices(calculator, words, phrases),
        Some(Holds::Unit) => named("kind.unit", system, phrases),
        Some(Holds::Count) => phrases.get(Kind::Number.id()).to_owned(),
        Some(Holds::Name) | None => phrases.get("kind.name").to_owned(),
    }
}

/// The name of a kind, with units of the reader's own.
fn named(kind: &str, system: System, phrases: &Phrases) -> String {
    phrases.get(&phrases.in_system(kind, system)).to_owned()
}

/// What is wrong with an input, and what to write instead.
#[inline(never)]
pub fn problem(calculator: &Calculator, problem: &InputProblem, system: System, phrases: &Phrases) -> String {
    let flat = problem.about.as_str();
    let example = example_of(calculator, flat, system, phrases);
    let say = |key: &str, found: &str, wanted: &str| {
        phrases.fill_in(key, Form::Inside, |place, form| match place {
            "input" => Some(input_in(calculator, flat, 2, form, phrases)),
            "group" => Some(phrases.form(&[calculator.id, ".group.", flat].concat(), form).to_owned()),
            "example" => Some(example.clone()),
            "found" => Some(found.to_owned()),
            "wanted" => Some(wanted.to_owned()),
            "field" => Some(flat.to_owned()),
            _ => None,
        })
    };
    match &problem.fault {
        InputFault::Missing => say("problem.missing", "", &kind_of(calculator, flat, system, phrases)),
        InputFault::UnknownName => say("problem.unknown-name", flat, ""),
        InputFault::Misread(misread, kind) => misread_text(misread, kind.id(), system, phrases, say),
        InputFault::HardLimit(bounds) => {
            let key = if bounds.positive { "problem.limit-above" } else { "problem.limit" };
            let unit = limit_unit(calculator, flat, bounds, system);
            let amount = |limit: f64| quantity(limit * bounds.unit.size(), &unit, phrases);
            say(key, &amount(bounds.hard.0), &amount(bounds.hard.1))
        }
        InputFault::UnknownWord(words) => say("problem.word", "", &joined(words, ", ")),
        InputFault::LongName => say("problem.long-name", "", ""),
        InputFault::TooManyRows(most) => say("problem.too-many-rows", "", &most.to_string()),
        InputFault::TooFewRows(least) => say("problem.too-few-rows", "", &least.to_string()),
        InputFault::Refused(key) => say(&phrases.in_system(key, system), "", ""),
    }
}

fn misread_text(
    misread: &Misread,
    kind: &str,
    system: System,
    phrases: &Phrases,
    say: impl Fn(&str, &str, &str) -> String,
) -> String {
    let kind = &named(kind, system, phrases);
    match misread {
        Misread::Empty => say("problem.missing", "", kind),
        Misread::NotANumber => say("problem.not-a-number", "", kind),
        Misread::TwoPoints => say("problem.two-points", "", kind),
        // How this language writes a number with both marks.
        Misread::Comma => say("problem.comma", &phrases.number("12,345.6".to_owned()), kind),
        Misread::UnitMissing => say("problem.unit-missing", "", kind),
        Misread::Ounces => say("problem.ounces", "", kind),
        Misread::UnitUnknown(unit) => say("problem.unit-unknown", unit, kind),
        Misread::WrongKind(unit) => {
            let found = Kind::of(unit).map_or_else(|| unit.shown(), |found| named(found.id(), system, phrases));
            say("problem.wrong-kind", &found, kind)
        }
        Misread::MixedParts => say("problem.mixed-parts", "", kind),
        Misread::NotWhole => say("problem.not-whole", "", kind),
        Misread::TooLong => say("problem.too-long", &LONGEST.to_string(), kind),
    }
}
