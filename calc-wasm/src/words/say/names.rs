//! Names of inputs, rows, results and steps.

use crate::calculation::declare::{Calculator, Holds, ResultSpec};
use crate::calculation::inputs::Inputs;
use crate::calculation::read_to;
use crate::calculation::worked::Worked;
use crate::quantity::kind::Kind;
use crate::quantity::typed;
use crate::words::phrases::{Form, Phrases};
use crate::working::record::{Step, WorkedResult};

/// The name of an input: `volume caught`, or with its row where there are several: `volume caught 2`.
pub fn input_name(calculator: &Calculator, flat: &str, rows: usize, phrases: &Phrases) -> String {
    input_in(calculator, flat, rows, Form::Inside, phrases)
}

/// The name of an input as a label begins: `Volume caught`.
pub fn input_label(calculator: &Calculator, flat: &str, rows: usize, phrases: &Phrases) -> String {
    input_in(calculator, flat, rows, Form::Label, phrases)
}

/// The name of an input in one of its forms.
pub fn input_in(calculator: &Calculator, flat: &str, rows: usize, form: Form, phrases: &Phrases) -> String {
    if let Some((field, ..)) = read_to::target(calculator, flat) {
        let own = input_in(calculator, &field.replacen('.', ".1.", 1), 1, form, phrases);
        return phrases.fill("uncertainty.of", |place| (place == "name").then(|| own.clone()));
    }
    let mut words = flat.split('.');
    let key = |name: &[&str]| [&[calculator.id, ".input."], name].concat().concat();
    match (words.next(), words.next(), words.next(), words.next()) {
        (Some(group), Some(row), Some(field), None) => {
            let key = key(&[group, ".", field]);
            if rows > 1 { row_of(&key, row, form, phrases) } else { phrases.form(&key, form).to_owned() }
        }
        _ => phrases.form(&key(&[flat]), form).to_owned(),
    }
}

/// The name of an input in a message; for the name of a row, which nobody gave, the row: `product`, or `product 2`
/// where there are several.
pub(super) fn input_or_row(worked: &Worked, flat: &str, form: Form, phrases: &Phrases) -> String {
    let mut words = flat.split('.');
    let group = words.next().unwrap_or(flat);
    match (words.next(), worked.calculator.input(flat).map(|input| input.holds)) {
        (Some(row), Some(Holds::Name)) => unnamed(worked.calculator, &worked.inputs, group, row, form, phrases),
        _ => input_in(worked.calculator, flat, worked.inputs.row_count_at(group), form, phrases),
    }
}

/// What is named by a phrase, with the number of its row: `volume caught 2`.
fn row_of(key: &str, row: &str, form: Form, phrases: &Phrases) -> String {
    phrases.fill_in("row.of", form, |place, form| match place {
        "name" => Some(phrases.form(key, form).to_owned()),
        "row" => Some(row.to_owned()),
        _ => None,
    })
}

/// How a word is shown: a choice by its phrase, a name as it is.
pub fn word(calculator: &Calculator, flat: &str, text: &str, phrases: &Phrases) -> String {
    match calculator.input(flat).map(|input| input.holds) {
        Some(Holds::Choice(_)) => phrases.get(&[calculator.id, ".word.", text].concat()).to_owned(),
        // A bare "oz" stays as it is: the amount beside it says which one is meant.
        Some(Holds::Unit) => {
            typed::read(&["1 ", text].concat(), Kind::Any, None).map_or(text.to_owned(), |typed| typed.unit.shown())
        }
        _ => text.to_owned(),
    }
}

/// The own name of a row (a product's), or its group's name, with its number where there are several.
pub fn row_name(calculator: &Calculator, inputs: &Inputs, group: &str, row: usize, phrases: &Phrases) -> String {
    row_in(calculator, inputs, group, row, Form::Inside, phrases)
}

fn row_in(calculator: &Calculator, inputs: &Inputs, group: &str, row: usize, form: Form, phrases: &Phrases) -> String {
    let row = row.to_string();
    match inputs.word_at(&[group, ".", &row, ".name"].concat()) {
        Some(name) => name.to_owned(),
        None => unnamed(calculator, inputs, group, &row, form, phrases),
    }
}

/// A row by its group's name, with its number where there are several.
fn unnamed(calculator: &Calculator, inputs: &Inputs, group: &str, row: &str, form: Form, phrases: &Phrases) -> String {
    let key = [calculator.id, ".group.", group].concat();
    if inputs.row_count_at(group) == 1 { phrases.form(&key, form).to_owned() } else { row_of(&key, row, form, phrases) }
}

/// Fills row places in a phrase: `{n}`, `{m}`, and `{GROUP}` for the own name of a row.
fn rows_filled(
    worked: &Worked,
    key: &str,
    rows: &[usize],
    named: Option<&str>,
    form: Form,
    phrases: &Phrases,
) -> String {
    phrases.fill_in(key, form, |place, form| match place {
        "name" => named.map(ToOwned::to_owned),
        "n" => rows.first().map(ToString::to_string),
        "m" => rows.get(1).map(ToString::to_string),
        group => {
            worked.calculator.group(group)?;
            let row = rows.last()?;
            Some(row_in(worked.calculator, &worked.inputs, group, *row, form, phrases))
        }
    })
}

fn result_key(calculator: &Calculator, name: &str) -> String {
    [calculator.id, ".result.", name].concat()
}

/// The phrase key of a step's title: its own id, or the result's that the step is.
pub fn step_key(worked: &Worked, step: &Step) -> String {
    if step.id.as_bytes().contains(&b'.') { step.id.to_owned() } else { result_key(worked.calculator, step.id) }
}

/// The title of a step.
pub fn step_title(worked: &Worked, step: &Step, phrases: &Phrases) -> String {
    step_in(worked, step, Form::Inside, phrases)
}

/// The title of a step as a heading begins.
pub fn step_label(worked: &Worked, step: &Step, phrases: &Phrases) -> String {
    step_in(worked, step, Form::Label, phrases)
}

fn step_in(worked: &Worked, step: &Step, form: Form, phrases: &Phrases) -> String {
    rows_filled(worked, &step_key(worked, step), &step.rows, step.named.as_deref(), form, phrases)
}

/// The name of a result.
pub fn result_name(worked: &Worked, found: &WorkedResult, phrases: &Phrases) -> String {
    result_in(worked, found, Form::Inside, phrases)
}

/// The name of a result as a label begins.
pub fn result_heading(worked: &Worked, found: &WorkedResult, phrases: &Phrases) -> String {
    result_in(worked, found, Form::Label, phrases)
}

/// The name of a result in one of its forms.
pub(crate) fn result_in(worked: &Worked, found: &WorkedResult, form: Form, phrases: &Phrases) -> String {
    let key = result_key(worked.calculator, found.spec.name);
    rows_filled(worked, &key, &found.rows, found.named.as_deref(), form, phrases)
}

/// The name of a result without its row, for a line of a table whose columns are the rows.
pub(crate) fn line_label(worked: &Worked, found: &WorkedResult, phrases: &Phrases) -> String {
    let key = [&result_key(worked.calculator, found.spec.name), ".line"].concat();
    rows_filled(worked, &key, &found.rows, None, Form::Label, phrases)
}

/// The plain name of a result's declaration, for lists of results.
pub fn result_label(calculator: &Calculator, spec: &ResultSpec, phrases: &Phrases) -> String {
    phrases.fill(&result_key(calculator, spec.name), |place| match place {
        "name" => Some(phrases.get("row.own").to_owned()),
        "n" => Some("N".to_owned()),
        "m" => Some("M".to_owned()),
        group => Some(phrases.get(&[calculator.id, ".group.", group].concat()).to_owned()),
    })
}
