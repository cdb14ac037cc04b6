//! Turns ids and values into text, through a phrase catalog. Plain text: whoever makes HTML escapes it.

mod amounts;
mod formula;
mod limits;
mod names;
mod problem;

use crate::calculation::worked::Worked;
use crate::words::phrases::{Form, Phrases};
use crate::working::record::{Arg, Caution};

pub use amounts::{amount, as_typed, measured, numbers, outcome, quantity, step_value};
pub use formula::formula;
pub use limits::{default_in, example_of, example_text, limit, usual_range};
pub use names::{
    input_in, input_label, input_name, result_heading, result_label, result_name, row_name, step_key, step_label,
    step_title, word,
};
pub(crate) use names::{line_label, result_in};
pub use problem::problem;

/// A caution as text.
pub fn caution(worked: &Worked, caution: &Caution, phrases: &Phrases) -> String {
    phrases.fill_in(caution.id, Form::Inside, |place, form| {
        let (_, arg) = caution.args.iter().find(|(name, _)| *name == place)?;
        Some(match arg {
            Arg::Text(text) => phrases.number(text.clone()),
            Arg::Name(name) => name.clone(),
            Arg::Quantity(si, unit) => quantity(*si, unit, phrases),
            Arg::Phrase(flat) if worked.calculator.input(flat).is_some() => {
                names::input_or_row(worked, flat, form, phrases)
            }
            Arg::Phrase(key) => match worked.result(key) {
                Some(found) => result_in(worked, found, form, phrases),
                None => phrases.form(key, form).to_owned(),
            },
        })
    })
}

/// A phrase with its values, as plain text.
pub fn phrase_with(key: &str, args: &[(&'static str, Arg)], phrases: &Phrases) -> String {
    phrases.fill_in(key, Form::Inside, |place, form| {
        let (_, arg) = args.iter().find(|(name, _)| *name == place)?;
        Some(match arg {
            Arg::Text(text) => phrases.number(text.clone()),
            Arg::Name(name) => name.clone(),
            Arg::Quantity(si, unit) => quantity(*si, unit, phrases),
            Arg::Phrase(key) => phrases.form(key, form).to_owned(),
        })
    })
}

/// A list in a sentence: `a, b and c`.
pub fn listed(things: &[String], phrases: &Phrases) -> String {
    list(things, ["list.next", "list.last"], phrases)
}

/// A list of things that contain commas: `a; b; c`.
pub fn listed_apart(things: &[String], phrases: &Phrases) -> String {
    list(things, ["list.apart"; 2], phrases)
}

fn list(things: &[String], [next, last]: [&str; 2], phrases: &Phrases) -> String {
    let mut out = String::new();
    for (index, thing) in things.iter().enumerate() {
        if index == 0 {
            out.push_str(thing);
            continue;
        }
        let key = if index + 1 == things.len() { last } else { next };
        out = phrases.fill(key, |place| match place {
            "so-far" => Some(out.clone()),
            "next" => Some(thing.clone()),
            _ => None,
        });
    }
    out
}
