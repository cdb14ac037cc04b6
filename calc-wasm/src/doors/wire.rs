//! What leaves the core as JSON and what comes in: wire types, their JSON, and nothing else.

use super::{LONGEST, TOO_LONG, message, uncertainty as sure};
use crate::calculation::declare::{Calculator, Holds};
use crate::calculation::fitted;
use crate::calculation::inputs::{MOST_INPUTS, RawInputs};
use crate::calculation::read_to;
use crate::calculation::switch::switched;
use crate::calculation::worked::Worked;
use crate::calculators::registry::calculator;
use crate::card::CARD;
use crate::page::worked::{self, Options, Show};
use crate::quantity::unit::Unit;
use crate::text::figures::without_noise;
use crate::text::json::{Value, map, pairs_json, pairs_of};
use crate::text::texts::joined;
use crate::uncertainty::work;
use crate::words::phrases::Phrases;
use crate::words::uncertainty as words;
use crate::words::{factors, say};
use crate::working::line;
use crate::working::noise::Noise;
use crate::working::record::{Outcome, Step, System};

/// A value with its unit, unrounded, and as a person reads it.
#[derive(Debug)]
pub struct ValueWire {
    /// The number in `unit`, unrounded; `null` for words.
    pub value: Option<f64>,
    /// The unit, plain characters; empty for a bare number or words.
    pub unit: String,
    /// Rounded, with its unit.
    pub text: String,
    /// For an amount that a person measures out: gal and fl oz, lb and oz.
    pub measured: Option<String>,
    /// For a verdict in words: its phrase id.
    pub verdict: Option<&'static str>,
}

impl ValueWire {
    fn json(&self) -> Value {
        let mut members = vec![
            ("value", self.value.map_or(Value::Null, Value::Number)),
            ("unit", Value::from(self.unit.as_str())),
            ("text", Value::from(self.text.as_str())),
        ];
        members.extend(self.measured.as_deref().map(|text| ("measured", Value::from(text))));
        members.extend(self.verdict.map(|id| ("verdict", Value::from(id))));
        map(members)
    }
}

/// One step of the working.
#[derive(Debug)]
pub struct StepWire {
    /// Message id.
    pub id: String,
    /// The whole step on one line.
    pub text: String,
    /// The numbers as factors, each unit that cancels in square brackets.
    pub factors: String,
    /// The number in `unit`, unrounded.
    pub value: f64,
    /// The unit it is shown in.
    pub unit: String,
}

impl StepWire {
    fn json(&self) -> Value {
        map(vec![
            ("id", Value::from(self.id.as_str())),
            ("text", Value::from(self.text.as_str())),
            ("factors", Value::from(self.factors.as_str())),
            ("value", Value::Number(self.value)),
            ("unit", Value::from(self.unit.as_str())),
        ])
    }
}

/// One caution.
#[derive(Debug)]
pub struct CautionWire {
    /// Message id.
    pub id: &'static str,
    /// `danger`, `warning` or `notice`.
    pub severity: &'static str,
    /// The sentence.
    pub text: String,
}

impl CautionWire {
    fn json(&self) -> Value {
        map(vec![
            ("id", Value::from(self.id)),
            ("severity", Value::from(self.severity)),
            ("text", Value::from(self.text.as_str())),
        ])
    }
}

/// A problem worked, as `work --json` prints it.
#[derive(Debug)]
pub struct WorkedWire {
    /// Calculator id.
    pub calculator: &'static str,
    /// Inputs by flat name, defaults included.
    pub inputs: Vec<(String, ValueWire)>,
    /// Steps in order.
    pub steps: Vec<StepWire>,
    /// Results by flat name.
    pub results: Vec<(String, ValueWire)>,
    /// How sure the results are, by flat name; see [`crate::uncertainty`].
    pub uncertainty: Vec<(String, Value)>,
    /// Cautions, the most serious first.
    pub cautions: Vec<CautionWire>,
}

impl WorkedWire {
    /// The object as JSON.
    pub fn json(&self) -> Value {
        let named = |values: &[(String, ValueWire)]| {
            Value::Map(values.iter().map(|(name, value)| (name.clone(), value.json())).collect())
        };
        map(vec![
            ("calculator", Value::from(self.calculator)),
            ("inputs", named(&self.inputs)),
            ("steps", Value::List(self.steps.iter().map(StepWire::json).collect())),
            ("results", named(&self.results)),
            ("uncertainty", Value::Map(self.uncertainty.clone())),
            ("cautions", Value::List(self.cautions.iter().map(CautionWire::json).collect())),
        ])
    }
}

/// A result requested in a unit that cannot be given.
#[derive(Debug, PartialEq)]
pub enum ResultUnitError {
    /// There is no such result.
    NoResult(String),
    /// The unit is of another kind.
    WrongKind(String, Unit),
}

/// The wire form of a worked problem; `wanted` names units for results.
///
/// # Errors
/// A wanted result that does not exist, or a unit of another kind.
pub fn worked(worked: &Worked, wanted: &[(String, Unit)], phrases: &Phrases) -> Result<WorkedWire, ResultUnitError> {
    for (name, unit) in wanted {
        let found = worked.result(name).ok_or_else(|| ResultUnitError::NoResult(name.clone()))?;
        let fits = matches!(&found.outcome, Outcome::Quantity(_, own) if own.dim() == unit.dim());
        if !fits {
            return Err(ResultUnitError::WrongKind(name.clone(), *unit));
        }
    }
    let noise = Noise::of(&worked.steps);
    let results = worked.results.iter().map(|found| {
        let name = found.name();
        let asked = wanted.iter().rev().find(|(asked, _)| *asked == name).map(|(_, unit)| unit);
        let wire = match &found.outcome {
            Outcome::Quantity(si, own) => {
                let text = asked
                    .map_or_else(|| say::amount(found, *si, own, phrases), |unit| say::quantity(*si, unit, phrases));
                let unit = asked.unwrap_or(own);
                let number = match &found.expr {
                    Some(expr) => noise.value(expr, *si, unit.size()),
                    None => without_noise(*si / unit.size()),
                };
                value(number, unit, text, say::measured(found, worked.system, phrases))
            }
            Outcome::Verdict(key) => ValueWire {
                value: None,
                unit: String::new(),
                text: phrases.get(key).to_owned(),
                measured: None,
                verdict: Some(key),
            },
        };
        (name, wire)
    });
    let uncertainty = worked.budgets.iter().filter_map(|budget| {
        let name = worked.results.get(budget.result)?.name();
        let asked = wanted.iter().rev().find(|(asked, _)| *asked == name).map(|(_, unit)| unit);
        let unit = asked.or(words::unit_of(worked, budget))?;
        Some((name, sure::budget(worked, budget, unit, phrases)))
    });
    Ok(WorkedWire {
        calculator: worked.calculator.id,
        inputs: inputs(worked, phrases),
        results: results.collect(),
        uncertainty: uncertainty.collect(),
        steps: worked.steps.iter().enumerate().map(|at| step_wire(worked, at, &noise, phrases)).collect(),
        cautions: worked
            .cautions
            .iter()
            .map(|caution| CautionWire {
                id: caution.id,
                severity: caution.severity.id(),
                text: say::caution(worked, caution, phrases),
            })
            .collect(),
    })
}

fn value(number: f64, unit: &Unit, text: String, measured: Option<String>) -> ValueWire {
    ValueWire { value: Some(number), unit: unit.plain(), text, measured, verdict: None }
}

fn inputs(worked: &Worked, phrases: &Phrases) -> Vec<(String, ValueWire)> {
    let mut all = Vec::new();
    for name in worked.inputs.names() {
        let wire = match (worked.inputs.typed_at(name), worked.inputs.word_at(name)) {
            (Some(typed), _) => value(typed.value(), &typed.unit, say::as_typed(typed, phrases), None),
            (None, Some(word)) => ValueWire {
                value: None,
                unit: String::new(),
                text: say::word(worked.calculator, name, word, phrases),
                measured: None,
                verdict: None,
            },
            (None, None) => continue,
        };
        all.push((name.to_owned(), wire));
    }
    all
}

fn step_wire(worked: &Worked, (index, step): (usize, &Step), noise: &Noise, phrases: &Phrases) -> StepWire {
    let title = say::step_label(worked, step, phrases);
    let (formula, numbers) = (say::formula(worked, step, phrases), say::numbers(&line::numbers(step), phrases));
    StepWire {
        id: say::step_key(worked, step),
        text: format!("{title} = {formula} = {numbers} = {}", say::step_value(step, phrases)),
        factors: factors::text(step, phrases),
        value: noise.step(index, step.si, step.unit.size()),
        unit: step.unit.plain(),
    }
}

/// What a page asks for, besides the numbers.
struct PageRequest {
    name: String,
    title: String,
    system: System,
    level: u8,
    show: Show,
    /// Inputs that are open in the form; all where the page does not say.
    first: Option<Vec<String>>,
    /// The result shown large; nothing for the calculator's own choice.
    large: String,
    /// Parts of the answer that are unfolded; all where the page does not say.
    unfolded: Option<Vec<String>>,
    /// Whether the page has the form already: a key changes the answer and the messages beside the fields.
    formed: bool,
    /// Whether the page wants no more of the answer than results and cautions.
    brief: bool,
    /// Units wanted for results, for `work_json`.
    wanted: Vec<(String, Unit)>,
    /// Whether the bits of every number are wanted besides their 15 digits, for `work_json`.
    bits: bool,
}

impl PageRequest {
    fn of(options: &Value) -> PageRequest {
        let text = |key: &str| options.get(key).text().unwrap_or_default().to_owned();
        let yes = |key: &str| matches!(options.get(key), Value::Bool(true));
        let wanted = pairs_of(options.get("wanted")).unwrap_or_default();
        PageRequest {
            name: text("name"),
            title: text("title"),
            system: System::from_id(&text("units")).unwrap_or_default(),
            level: options.get("level").whole().and_then(|level| u8::try_from(level).ok()).unwrap_or(3),
            show: Show::from_id(&text("show")).unwrap_or_default(),
            first: names(options.get("first")),
            large: text("large"),
            unfolded: names(options.get("unfolded")),
            formed: yes("formed"),
            brief: yes("brief"),
            wanted: wanted.into_iter().map(|(name, unit)| (name, Unit::parse(&unit).unwrap_or_default())).collect(),
            bits: yes("bits"),
        }
    }
}

/// An object that says what went wrong; only a developer sees it.
pub(crate) fn error(text: &str) -> String {
    map(vec![("error", Value::from(text))]).line()
}

const UNREADABLE: &str = "what was handed to the core is not the JSON it reads";

/// A list of texts.
fn names(value: &Value) -> Option<Vec<String>> {
    value.list()?.iter().map(|name| name.text().map(ToOwned::to_owned)).collect()
}

/// What was typed into a form in the language's own notation, as the core reads it: numbers only, no names.
pub fn as_typed(calculator: &'static Calculator, given: RawInputs, phrases: &Phrases) -> RawInputs {
    if phrases.has_own_notation() { renoted(calculator, given, &|text| phrases.typed(&text)) } else { given }
}

/// What the core reads, as a form shows it in the language's own notation.
pub fn as_shown(calculator: &'static Calculator, given: RawInputs, phrases: &Phrases) -> RawInputs {
    if phrases.has_own_notation() { renoted(calculator, given, &|text| phrases.number(text)) } else { given }
}

/// The inputs that hold numbers, in another notation.
fn renoted(calculator: &'static Calculator, given: RawInputs, note: &dyn Fn(String) -> String) -> RawInputs {
    let pairs = given.0.into_iter().map(|(name, text)| {
        let numbers = read_to::target(calculator, &name).is_some()
            || calculator.input(&name).is_some_and(|input| matches!(input.holds, Holds::Quantity(_) | Holds::Count));
        let text = if numbers { note(text) } else { text };
        (name, text)
    });
    RawInputs(pairs.collect())
}

fn read(
    id: &str,
    pairs: &str,
    options: &str,
    phrases: &Phrases,
) -> Result<(&'static Calculator, RawInputs, PageRequest), String> {
    let card = (fitted::is("card") && id == CARD.id).then_some(&CARD);
    let pairs = message(pairs, LONGEST)?.and_then(|pairs| pairs_of(&pairs));
    let options = message(options, LONGEST)?;
    let found = calculator(id).or(card).ok_or_else(|| match id.len() {
        ..100 => error(&["there is no calculator called ", id].concat()),
        _ => error("there is no such calculator"),
    })?;
    match (pairs, options.as_ref().map(PageRequest::of)) {
        (Some(pairs), _) if pairs.len() > MOST_INPUTS => Err(error(TOO_LONG)),
        (Some(pairs), Some(asked)) => Ok((found, as_typed(found, RawInputs(pairs), phrases), asked)),
        _ => Err(error(UNREADABLE)),
    }
}

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
    let fragment = worked::fragment(calculator, &given, &options, phrases);
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
