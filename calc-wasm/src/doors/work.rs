//! The doors of a worked example: its form and answer, its numbers as data, its inputs in other units.

use super::error;
use super::notation::as_shown;
use super::request::read;
use super::wire::{ResultUnitError, worked};
use crate::calculation::switch::switched;
use crate::calculation::worked::Worked;
use crate::page::worked::{Options, fragment};
use crate::text::json::{Value, map, pairs_json};
use crate::text::texts::joined;
use crate::uncertainty::work;
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::working::record::{Outcome, System};

/// Form and answer of a worked example, JSON in; out a line of JSON with what is said of the fields, then form and answer
/// as they are, a zero byte before each: quoting markup and reading it again would be a fifth of the work. What cannot be
/// read is answered by the line of an error alone.
pub fn fragment_reply(id: &str, pairs: &str, options: &str, phrases: &Phrases) -> String {
    let (calculator, given, asked) = match read(id, pairs, options, phrases) {
        Ok(read) => read,
        Err(error) => return error,
    };
    let first: Option<Vec<&str>> = asked.first.as_ref().map(|names| names.iter().map(String::as_str).collect());
    let unfolded: Option<Vec<&str>> = asked.unfolded.as_ref().map(|names| names.iter().map(String::as_str).collect());
    let options = Options {
        name: &asked.name,
        title: &asked.title,
        system: asked.system,
        level: asked.level,
        show: asked.show,
        first: first.as_deref(),
        large: &asked.large,
        unfolded: unfolded.as_deref(),
        formed: asked.formed,
        brief: asked.brief,
    };
    let fragment = fragment(calculator, &given, &options, phrases);
    let errors = fragment.notes.errors.into_iter().map(|(name, text)| (name, Value::Text(text)));
    let unusual = fragment.notes.unusual.into_iter().map(Value::Text);
    let said = map(vec![
        ("errors", Value::Map(errors.collect())),
        ("unusual", Value::List(unusual.collect())),
        ("spoken", fragment.spoken.into()),
    ]);
    [&said.line(), "\0", &fragment.form, "\0", &fragment.answer].concat()
}

/// The numbers of a worked problem to their last bit, for the test that two engines compute the same: pairs of 16 hex
/// digits each. First every input, step and result in the order of the answer, in SI base units, with the size of its
/// unit; then of every uncertainty the value with its standard uncertainty, and of each part slope and contribution.
fn bits(worked: &Worked) -> String {
    let mut text = String::new();
    let mut put = |one: f64, other: f64| {
        for bits in [one.to_bits(), other.to_bits()] {
            for digit in (0..16).rev() {
                text.push(char::from(b"0123456789abcdef"[(bits >> (4 * digit)) as usize & 15]));
            }
        }
    };
    worked.inputs.quantities().for_each(|(_, typed)| put(typed.si, typed.unit.size()));
    worked.steps.iter().for_each(|step| put(step.si, step.unit.size()));
    for found in &worked.results {
        if let Outcome::Quantity(si, unit) = &found.outcome {
            put(*si, unit.size());
        }
    }
    for budget in &worked.budgets {
        put(budget.value, budget.standard);
        budget.parts.iter().for_each(|part| put(part.sensitivity, part.contribution));
    }
    text
}

/// A problem worked, JSON in and out: the object that `work --json` prints; with `bits` among the options, also the
/// bits of its numbers.
pub fn work_json(id: &str, pairs: &str, options: &str, phrases: &Phrases) -> String {
    let (calculator, given, asked) = match read(id, pairs, options, phrases) {
        Ok(read) => read,
        Err(error) => return error,
    };
    match work(calculator, &given, asked.system) {
        Ok(done) => match worked(&done, &asked.wanted, phrases) {
            Ok(wire) => {
                let mut answer = wire.json();
                if let (true, Value::Map(members)) = (asked.bits, &mut answer) {
                    members.push(("bits".to_owned(), bits(&done).into()));
                }
                answer.line()
            }
            Err(ResultUnitError::NoResult(name)) => error(&format!("there is no result called {name}")),
            Err(ResultUnitError::WrongKind(name, _)) => error(&format!("{name} measures something else")),
        },
        Err(problems) => {
            let said: Vec<String> =
                problems.iter().map(|problem| say::problem(calculator, problem, asked.system, phrases)).collect();
            error(&joined(&said, "\n"))
        }
    }
}

/// Inputs re-expressed in the units of another system, pairs in and out.
pub fn switch_units_json(id: &str, pairs: &str, units: &str, phrases: &Phrases) -> String {
    match (read(id, pairs, "{}", phrases), System::from_id(units)) {
        (Ok((calculator, given, _)), Some(system)) => {
            let switched = switched(calculator, &given, system);
            pairs_json(&as_shown(calculator, switched, phrases).0).line()
        }
        (Err(error), _) => error,
        (Ok(_), None) => error("units are us or metric"),
    }
}
