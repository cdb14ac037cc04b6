//! Turns ids and values into text, through a phrase catalog. Plain text: whoever makes HTML escapes it.

use crate::calculation::declare::{Bounds, Calculator, Holds, Input, ResultSpec, limit_unit};
use crate::calculation::inputs::{InputFault, InputProblem, Inputs};
use crate::calculation::read_to;
use crate::calculation::worked::Worked;
use crate::quantity::kind::Kind;
use crate::quantity::typed::{self, Misread};
use crate::quantity::unit::Unit;
use crate::text::figures::{down_to_two_figures, exact, shown, to_figures, up_to_two_figures, without_noise};
use crate::words::phrases::{Form, Phrases};
use crate::working::line::{self, Line};
use crate::working::record::{Arg, Caution, Expr, Origin, Outcome, Step, System, WorkedResult};
use std::sync::Arc;

use crate::quantity::typed::Typed;
use crate::quantity::written;

/// A value with its unit, to three figures.
pub fn quantity(si: f64, unit: &Unit, phrases: &Phrases) -> String {
    phrases.number(written::quantity(si, unit))
}

/// A value as it was typed, with its unit.
pub fn as_typed(typed: &Typed, phrases: &Phrases) -> String {
    phrases.number(written::as_typed(typed))
}

/// A result's amount, with its unit; see [`crate::working::result::amount`].
pub fn amount(found: &WorkedResult, si: f64, unit: &Unit, phrases: &Phrases) -> String {
    phrases.number(crate::working::result::amount(found, si, unit))
}

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
        Some(Holds::Choice(_)) => phrases.get(&format!("{}.word.{text}", calculator.id)).to_owned(),
        // A bare "oz" stays as it is: the amount beside it says which one is meant.
        Some(Holds::Unit) => {
            typed::read(&format!("1 {text}"), Kind::Any, None).map_or(text.to_owned(), |typed| typed.unit.shown())
        }
        _ => text.to_owned(),
    }
}

/// The own name of a row (a product's), or its group's name and number.
pub fn row_name(calculator: &Calculator, inputs: &Inputs, group: &str, row: usize, phrases: &Phrases) -> String {
    row_in(calculator, inputs, group, row, Form::Inside, phrases)
}

fn row_in(calculator: &Calculator, inputs: &Inputs, group: &str, row: usize, form: Form, phrases: &Phrases) -> String {
    let row = row.to_string();
    match inputs.word_at(&[group, ".", &row, ".name"].concat()) {
        Some(name) => name.to_owned(),
        None => row_of(&[calculator.id, ".group.", group].concat(), &row, form, phrases),
    }
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
    if step.id.contains('.') { step.id.to_owned() } else { result_key(worked.calculator, step.id) }
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

/// The plain name of a result's declaration, for lists of results.
pub fn result_label(calculator: &Calculator, spec: &ResultSpec, phrases: &Phrases) -> String {
    phrases.fill(&result_key(calculator, spec.name), |place| match place {
        "name" => Some(phrases.get("row.own").to_owned()),
        "n" => Some("N".to_owned()),
        "m" => Some("M".to_owned()),
        group => Some(phrases.get(&format!("{}.group.{group}", calculator.id)).to_owned()),
    })
}

/// A result's value as text.
pub fn outcome(found: &WorkedResult, phrases: &Phrases) -> String {
    match &found.outcome {
        Outcome::Quantity(si, unit) => amount(found, *si, unit, phrases),
        Outcome::Verdict(key) => phrases.get(key).to_owned(),
    }
}

/// How a person measures an amount out, where that differs from its value: `1 gal 22 fl oz`.
pub fn measured(found: &WorkedResult, system: System, phrases: &Phrases) -> Option<String> {
    match &found.outcome {
        Outcome::Quantity(si, unit) if found.spec.measured => {
            let tenths = crate::working::result::amount(found, *si, unit).contains('.');
            crate::quantity::measured::by_hand(*si, unit, system, tenths).map(|text| phrases.number(text))
        }
        _ => None,
    }
}

/// The formula of a step in words: `volume caught ÷ catch time`.
pub fn formula(worked: &Worked, step: &Step, phrases: &Phrases) -> String {
    expression(worked, &step.expr, phrases, 0)
}

fn expression(worked: &Worked, expr: &Arc<Expr>, phrases: &Phrases, outer: u8) -> String {
    let join = |a: &Arc<Expr>, sign: &str, b: &Arc<Expr>, rank: u8, right: u8| {
        let (a, b) = (expression(worked, a, phrases, rank), expression(worked, b, phrases, right));
        let (open, close) = if outer > rank { ("(", ")") } else { ("", "") };
        [open, &a, " ", sign, " ", &b, close].concat()
    };
    match &**expr {
        Expr::Leaf { origin, si, unit } => leaf(worked, origin, *si, unit, phrases),
        Expr::Add(a, b) => join(a, "+", b, 1, 1),
        Expr::Sub(a, b) => join(a, "−", b, 1, 2),
        Expr::Mul(a, b) => join(a, "×", b, 3, 3),
        Expr::Div(a, b) => join(a, "÷", b, 3, 4),
        Expr::Root(a) => ["√(", &expression(worked, a, phrases, 0), ")"].concat(),
        Expr::Ceil(a) => wrapped("formula.up", expression(worked, a, phrases, 0), phrases),
        Expr::Floor(a) => wrapped("formula.down", expression(worked, a, phrases, 0), phrases),
        Expr::Least(a, b) => phrases.fill("formula.least", |place| match place {
            "a" => Some(expression(worked, a, phrases, 0)),
            "b" => Some(expression(worked, b, phrases, 0)),
            _ => None,
        }),
    }
}

fn wrapped(key: &str, inner: String, phrases: &Phrases) -> String {
    phrases.fill(key, |place| (place == "a").then(|| inner.clone()))
}

fn leaf(worked: &Worked, origin: &Origin, si: f64, unit: &Unit, phrases: &Phrases) -> String {
    match origin {
        Origin::Input(flat) => {
            let group = flat.split('.').next().unwrap_or(flat);
            input_name(worked.calculator, flat, worked.inputs.row_count_at(group), phrases)
        }
        Origin::Step(index) => {
            worked.steps.get(*index).map_or_else(String::new, |step| step_title(worked, step, phrases))
        }
        Origin::Constant(key) => phrases.get(key).to_owned(),
        Origin::Number => phrases.number(written::with_unit(&exact(without_noise(si / unit.size())), unit)),
    }
}

/// A caution as text.
pub fn caution(worked: &Worked, caution: &Caution, phrases: &Phrases) -> String {
    phrases.fill_in(caution.id, Form::Inside, |place, form| {
        let (_, arg) = caution.args.iter().find(|(name, _)| *name == place)?;
        Some(match arg {
            Arg::Text(text) => phrases.number(text.clone()),
            Arg::Name(name) => name.clone(),
            Arg::Quantity(si, unit) => quantity(*si, unit, phrases),
            Arg::Phrase(flat) if worked.calculator.input(flat).is_some() => {
                let group = flat.split('.').next().unwrap_or(flat);
                input_in(worked.calculator, flat, worked.inputs.row_count_at(group), form, phrases)
            }
            Arg::Phrase(key) => match worked.result(key) {
                Some(found) => result_in(worked, found, form, phrases),
                None => phrases.form(key, form).to_owned(),
            },
        })
    })
}

/// The usual range of an input as a person says it: `15 to 120 s`, `16 fl oz to 5 gal`.
pub fn usual_range(bounds: &Bounds, input: &Input, kind: Kind, system: System, phrases: &Phrases) -> String {
    let limit = |amount: f64| limit(amount, bounds, input, kind, system, phrases);
    let (low, high) = (limit(bounds.plausible.0), limit(bounds.plausible.1));
    // The unit once, where both have the same.
    let unit = high.trim_start_matches(|letter: char| letter != ' ');
    let number = low.strip_suffix(unit).unwrap_or(&low).to_owned();
    phrases.fill("range", |place| match place {
        "low" => Some(number.clone()),
        "high" => Some(high.clone()),
        _ => None,
    })
}

/// A limit in SI base units; in units of the other system it is rounded to two figures, never to one that would be
/// refused.
pub fn rounded_limit(amount: f64, bounds: &Bounds, unit: &Unit) -> f64 {
    let (declared, size) = (bounds.unit, unit.size());
    let si = amount * declared.size();
    let value = without_noise(si / size);
    if declared.is_us() == unit.is_us() || declared.dim() != unit.dim() || value == 0.0 {
        return si;
    }
    size * match amount {
        most if most == bounds.hard.1 => down_to_two_figures(value),
        least if least == bounds.hard.0 => up_to_two_figures(value),
        _ => to_figures(value, 2),
    }
}

/// A limit as a person would say it: in the unit that the form starts with; in the unit it was declared in where that
/// takes fewer digits (5 gal, not 640 fl oz); a long one in any offered unit that says it in three figures (10 h).
pub fn limit(amount: f64, bounds: &Bounds, input: &Input, kind: Kind, system: System, phrases: &Phrases) -> String {
    let usual = input.unit(system);
    let si = rounded_limit(amount, bounds, &usual);
    let value = |unit: &Unit| without_noise(si / unit.size());
    let digits = |unit: &Unit| exact(value(unit)).len();
    let long = value(&usual) >= 1000.0;
    let (us, metric) = kind.offered();
    let mut best = usual;
    for unit in system.pick(us, metric).iter().copied() {
        // "5000 1000 ft²" would be two numbers in a row.
        let counts = unit.first().is_some_and(|part| part.counts.is_some());
        let sound = value(&unit) >= 1.0 && to_figures(value(&unit), 3) == value(&unit) && !counts;
        if (long || unit == bounds.unit) && sound && digits(&unit) < digits(&best) {
            best = unit;
        }
    }
    quantity(si, &best, phrases)
}

/// An example of what may be typed into an input, in the units of `system`.
pub fn example_of(calculator: &Calculator, flat: &str, system: System, phrases: &Phrases) -> String {
    let text = example_text(calculator, flat, system);
    match calculator.input(flat).map(|input| input.holds) {
        Some(Holds::Quantity(_)) => phrases.number(text),
        Some(Holds::Choice(words)) if text == words.join(", ") => choices(calculator, words, phrases),
        _ => text,
    }
}

/// The words that a choice takes, as a page shows them.
fn choices(calculator: &Calculator, words: &[&str], phrases: &Phrases) -> String {
    let shown: Vec<&str> =
        words.iter().map(|word| phrases.find(&format!("{}.word.{word}", calculator.id)).unwrap_or(word)).collect();
    shown.join(", ")
}

/// The same as the core writes numbers, and as an author or a terminal takes it.
pub fn example_text(calculator: &Calculator, flat: &str, system: System) -> String {
    let pairs = system.pick(calculator.example, calculator.example_metric);
    let exact = pairs.iter().find(|(name, _)| *name == flat);
    let like = || {
        let field = flat.rsplit('.').next()?;
        let group = flat.split('.').next()?;
        pairs.iter().find(|(name, _)| name.starts_with(group) && name.ends_with(field))
    };
    if let Some((_, text)) = exact.or_else(like) {
        return (*text).to_owned();
    }
    match calculator.input(flat) {
        Some(Input { holds: Holds::Choice(words), .. }) => words.join(", "),
        Some(input) => {
            let amount = input.bounds.map_or(1.0, |bounds| bounds.plausible.1);
            let unit = input.bounds.map_or(Unit::none(), |bounds| bounds.unit);
            written::with_unit(&exact_plain(amount), &unit)
        }
        None => String::new(),
    }
}

fn exact_plain(value: f64) -> String {
    exact(value).replace(',', "")
}

/// The kind of thing that an input holds, in words: never a value, which could be taken for the reader's own.
fn kind_of(calculator: &Calculator, flat: &str, phrases: &Phrases) -> String {
    match calculator.input(flat).map(|input| input.holds) {
        Some(Holds::Quantity(kind)) => phrases.get(kind.id()).to_owned(),
        Some(Holds::Choice(words)) => choices(calculator, words, phrases),
        Some(Holds::Unit) => phrases.get("kind.unit").to_owned(),
        Some(Holds::Count) => phrases.get(Kind::Number.id()).to_owned(),
        Some(Holds::Name) | None => phrases.get("kind.name").to_owned(),
    }
}

/// What is wrong with an input, and what to write instead.
pub fn problem(calculator: &Calculator, problem: &InputProblem, system: System, phrases: &Phrases) -> String {
    let flat = problem.about.as_str();
    let example = example_of(calculator, flat, system, phrases);
    let say = |key: &str, found: &str, wanted: &str| {
        phrases.fill_in(key, Form::Inside, |place, form| match place {
            "input" => Some(input_in(calculator, flat, 2, form, phrases)),
            "group" => Some(phrases.form(&format!("{}.group.{flat}", calculator.id), form).to_owned()),
            "example" => Some(example.clone()),
            "found" => Some(found.to_owned()),
            "wanted" => Some(wanted.to_owned()),
            "field" => Some(flat.to_owned()),
            _ => None,
        })
    };
    match &problem.fault {
        InputFault::Missing => say("problem.missing", "", &kind_of(calculator, flat, phrases)),
        InputFault::UnknownName => say("problem.unknown-name", flat, ""),
        InputFault::Misread(misread, kind) => misread_text(misread, phrases.get(kind.id()), phrases, say),
        InputFault::HardLimit(bounds) => {
            let key = if bounds.positive { "problem.limit-above" } else { "problem.limit" };
            let unit = limit_unit(calculator, flat, bounds, system);
            let amount = |limit: f64| quantity(rounded_limit(limit, bounds, &unit), &unit, phrases);
            say(key, &amount(bounds.hard.0), &amount(bounds.hard.1))
        }
        InputFault::UnknownWord(words) => say("problem.word", "", &words.join(", ")),
        InputFault::LongName => say("problem.long-name", "", ""),
        InputFault::TooManyRows(most) => say("problem.too-many-rows", "", &most.to_string()),
        InputFault::TooFewRows(least) => say("problem.too-few-rows", "", &least.to_string()),
        InputFault::Refused(key) => say(key, "", ""),
    }
}

fn misread_text(misread: &Misread, kind: &str, phrases: &Phrases, say: impl Fn(&str, &str, &str) -> String) -> String {
    match misread {
        Misread::Empty => say("problem.missing", "", kind),
        Misread::NotANumber => say("problem.not-a-number", "", kind),
        // How this language writes a number with both marks.
        Misread::Comma => say("problem.comma", &phrases.number("12,345.6".to_owned()), kind),
        Misread::UnitMissing => say("problem.unit-missing", "", kind),
        Misread::Ounces => say("problem.ounces", "", kind),
        Misread::UnitUnknown(unit) => say("problem.unit-unknown", unit, kind),
        Misread::WrongKind(unit) => {
            let found = crate::quantity::kind::Kind::of(unit).map_or("kind.other", crate::quantity::kind::Kind::id);
            say("problem.wrong-kind", phrases.get(found), kind)
        }
        Misread::MixedParts => say("problem.mixed-parts", "", kind),
        Misread::NotWhole => say("problem.not-whole", "", kind),
        Misread::TooLong => say("problem.too-long", &crate::quantity::typed::LONGEST.to_string(), kind),
    }
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

/// The numbers of a line; what no sign says, in words: `1.65, rounded up`.
pub fn numbers(numbers: &Line, phrases: &Phrases) -> String {
    phrases.number(line::text(numbers, &|key, a, b| phrases.fill_with(key, &[("a", a), ("b", b)])))
}

/// A step's value with its unit, to four figures.
pub fn step_value(step: &Step, phrases: &Phrases) -> String {
    let value = without_noise(step.si / step.unit.size());
    phrases.number(written::with_unit(&shown(value, crate::text::figures::STEP_FIGURES), &step.unit))
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
