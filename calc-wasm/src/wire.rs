//! What leaves the core as JSON and what comes in: wire types and nothing else.

use crate::card::CARD;
use crate::declare::Calculator;
use crate::figures::without_noise;
use crate::fragment::{self, Options};
use crate::given::{Given, switched};
use crate::phrases::{Phrases, capital};
use crate::record::{Outcome, System};
use crate::registry::calculator;
use crate::uncertainty::{Budget, COVERAGE, Cause, Longer, field_of, words};
use crate::unit::Unit;
use crate::worked::{Worked, work};
use crate::{say, working};
use serde::ser::SerializeMap;
use serde::{Deserialize, Serialize, Serializer};

/// A map that keeps its order.
#[derive(Debug)]
pub struct Ordered<T>(pub Vec<(String, T)>);

impl<T: Serialize> Serialize for Ordered<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (key, value) in &self.0 {
            map.serialize_entry(key, value)?;
        }
        map.end()
    }
}

/// A value with its unit, unrounded, and as a person reads it.
#[derive(Debug, Serialize)]
pub struct ValueWire {
    /// The number in `unit`, unrounded; `null` for words.
    pub value: Option<f64>,
    /// The unit, plain characters; empty for a bare number or words.
    pub unit: String,
    /// Rounded, with its unit.
    pub text: String,
    /// For an amount that a person measures out: gal and fl oz, lb and oz.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured: Option<String>,
    /// For a verdict in words: its phrase id.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<&'static str>,
}

/// One step of the working.
#[derive(Debug, Serialize)]
pub struct StepWire {
    /// Message id.
    pub id: &'static str,
    /// The whole step on one line.
    pub text: String,
    /// The number in `unit`, unrounded.
    pub value: f64,
    /// The unit it is shown in.
    pub unit: String,
}

/// One caution.
#[derive(Debug, Serialize)]
pub struct CautionWire {
    /// Message id.
    pub id: &'static str,
    /// `danger`, `warning` or `notice`.
    pub severity: &'static str,
    /// The sentence.
    pub text: String,
}

/// A problem worked, as `work --json` prints it.
#[derive(Debug, Serialize)]
pub struct WorkedWire {
    /// Calculator id.
    pub calculator: &'static str,
    /// Inputs by flat name, defaults included.
    pub inputs: Ordered<ValueWire>,
    /// Steps in order.
    pub steps: Vec<StepWire>,
    /// Results by flat name.
    pub results: Ordered<ValueWire>,
    /// How sure the results are, by flat name; see [`crate::uncertainty`].
    pub uncertainty: Ordered<BudgetWire>,
    /// Cautions, the most serious first.
    pub cautions: Vec<CautionWire>,
}

/// How sure one result is.
#[derive(Debug, Serialize)]
pub struct BudgetWire {
    /// The result in `unit`, unrounded.
    pub value: f64,
    /// The unit of the result and of its uncertainties.
    pub unit: String,
    /// Combined standard uncertainty.
    pub standard: f64,
    /// Expanded uncertainty, `k` times the standard one.
    pub expanded: f64,
    /// Standard uncertainty over the result.
    pub relative_standard: f64,
    /// Expanded uncertainty over the result.
    pub relative: f64,
    /// Coverage factor.
    pub k: f64,
    /// The result with its uncertainty, as a person reads it.
    pub text: String,
    /// Readings it rests on, the costliest first.
    pub readings: Vec<ReadingWire>,
    /// What the scatter of repeats adds, where there are repeats.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scatter: Option<ScatterWire>,
    /// What it would take to be as sure as wanted.
    pub longer: LongerWire,
}

/// One reading of a budget.
#[derive(Debug, Serialize)]
pub struct ReadingWire {
    /// Flat name of the input.
    pub name: String,
    /// What was read, in `unit`.
    pub value: f64,
    /// The unit it was typed in.
    pub unit: String,
    /// Its own standard uncertainty, in `unit`.
    pub standard: f64,
    /// Slope of the result against it, the result's unit per `unit`.
    pub sensitivity: f64,
    /// What it adds, in the result's unit.
    pub contribution: f64,
    /// Its share of the variance, 0 to 1.
    pub share: f64,
}

/// The scatter of repeats in a budget.
#[derive(Debug, Serialize)]
pub struct ScatterWire {
    /// How many repeats.
    pub repeats: usize,
    /// What it adds, in the result's unit.
    pub standard: f64,
    /// Its share of the variance, 0 to 1.
    pub share: f64,
}

/// What it would take to be as sure as wanted.
#[derive(Debug, Serialize)]
pub struct LongerWire {
    /// Wanted expanded uncertainty over the result.
    pub wanted: f64,
    /// `enough`, `times`, `repeats` or `never`.
    pub answer: &'static str,
    /// For `times`: every run must be so many times as long.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub factor: Option<f64>,
    /// For `times`: what grows, by field: now and needed in all, and the unit.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub grown: Vec<GrownWire>,
    /// For `repeats`: how many are needed in all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repeats: Option<usize>,
    /// For `never`: what readings that do not grow leave, expanded over the result.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fixed: Option<f64>,
    /// As a sentence.
    pub text: String,
}

/// A field that grows with the run.
#[derive(Debug, Serialize)]
pub struct GrownWire {
    /// The field, `catch.time`.
    pub name: String,
    /// Its unit.
    pub unit: String,
    /// All rows together now.
    pub now: f64,
    /// All rows together as needed.
    pub needed: f64,
}

/// A result asked for in a unit that cannot be given.
#[derive(Debug, PartialEq)]
pub enum WantedFault {
    /// There is no such result.
    NoResult(String),
    /// The unit is of another kind.
    WrongKind(String, Unit),
}

/// The wire form of a worked problem; `wanted` names units for results.
///
/// # Errors
/// A wanted result that does not exist, or a unit of another kind.
pub fn worked(worked: &Worked, wanted: &[(String, Unit)], phrases: &Phrases) -> Result<WorkedWire, WantedFault> {
    for (name, unit) in wanted {
        let found = worked.result(name).ok_or_else(|| WantedFault::NoResult(name.clone()))?;
        let fits = matches!(&found.outcome, Outcome::Quantity(_, own) if own.dim() == unit.dim());
        if !fits {
            return Err(WantedFault::WrongKind(name.clone(), unit.clone()));
        }
    }
    let results = worked.found.iter().map(|found| {
        let name = found.name();
        let asked = wanted.iter().rev().find(|(asked, _)| *asked == name).map(|(_, unit)| unit);
        let wire = match &found.outcome {
            Outcome::Quantity(si, own) => {
                let unit = asked.unwrap_or(own);
                value(*si, unit, say::quantity(*si, unit), say::measured(found, worked.system))
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
        let name = worked.found.get(budget.found)?.name();
        let asked = wanted.iter().rev().find(|(asked, _)| *asked == name).map(|(_, unit)| unit);
        let unit = asked.or(words::unit_of(worked, budget))?;
        Some((name, budget_wire(worked, budget, unit, phrases)))
    });
    Ok(WorkedWire {
        calculator: worked.calculator.id,
        inputs: Ordered(inputs(worked, phrases)),
        results: Ordered(results.collect()),
        uncertainty: Ordered(uncertainty.collect()),
        steps: worked.steps.iter().map(|step| step_wire(worked, step, phrases)).collect(),
        cautions: worked
            .cautions
            .iter()
            .map(|caution| CautionWire {
                id: caution.id,
                severity: caution.severity.id(),
                text: capital(&say::caution(worked, caution, phrases)),
            })
            .collect(),
    })
}

fn value(si: f64, unit: &Unit, text: String, measured: Option<String>) -> ValueWire {
    let value = Some(without_noise(si / unit.size()));
    ValueWire { value, unit: unit.plain(), text, measured, verdict: None }
}

fn budget_wire(worked: &Worked, budget: &Budget, unit: &Unit, phrases: &Phrases) -> BudgetWire {
    let size = unit.size();
    let (mut readings, mut scatter) = (Vec::new(), None);
    for part in &budget.parts {
        match &part.cause {
            Cause::Scatter(repeats) => {
                let standard = without_noise(part.contribution / size);
                scatter = Some(ScatterWire { repeats: *repeats, standard, share: part.share });
            }
            Cause::Reading(flat) => {
                let Some(typed) = worked.inputs.typed(flat) else { continue };
                let own = typed.unit.size();
                readings.push(ReadingWire {
                    name: flat.clone(),
                    value: typed.value(),
                    unit: typed.unit.plain(),
                    standard: without_noise(part.standard / own),
                    sensitivity: without_noise(part.sensitivity * own / size),
                    contribution: without_noise(part.contribution / size),
                    share: part.share,
                });
            }
        }
    }
    BudgetWire {
        value: without_noise(budget.value / size),
        unit: unit.plain(),
        standard: without_noise(budget.standard / size),
        expanded: without_noise(budget.expanded() / size),
        relative_standard: budget.standard / budget.value.abs(),
        relative: budget.relative(),
        k: COVERAGE,
        text: words::result(budget, unit, phrases),
        readings,
        scatter,
        longer: longer_wire(worked, budget, phrases),
    }
}

fn longer_wire(worked: &Worked, budget: &Budget, phrases: &Phrases) -> LongerWire {
    let mut wire = LongerWire {
        wanted: budget.wanted,
        answer: "enough",
        factor: None,
        grown: Vec::new(),
        repeats: None,
        fixed: None,
        text: words::answer(worked, budget, phrases),
    };
    match &budget.longer {
        Longer::Enough => {}
        Longer::Times { factor, grown } => {
            (wire.answer, wire.factor) = ("times", Some(*factor));
            wire.grown = grown
                .iter()
                .filter_map(|grown| {
                    let unit = &worked.inputs.typed(&grown.first)?.unit;
                    let (now, needed) = (grown.now / unit.size(), grown.needed / unit.size());
                    let (now, needed) = (without_noise(now), without_noise(needed));
                    Some(GrownWire { name: field_of(&grown.first), unit: unit.plain(), now, needed })
                })
                .collect();
        }
        Longer::Repeats { needed, .. } => (wire.answer, wire.repeats) = ("repeats", Some(*needed)),
        Longer::Never { together, .. } => (wire.answer, wire.fixed) = ("never", Some(*together)),
    }
    wire
}

fn inputs(worked: &Worked, phrases: &Phrases) -> Vec<(String, ValueWire)> {
    let mut all = Vec::new();
    for name in worked.inputs.names() {
        let wire = match (worked.inputs.typed(name), worked.inputs.word(name)) {
            (Some(typed), _) => value(typed.si, &typed.unit, say::as_typed(typed), None),
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

fn step_wire(worked: &Worked, step: &crate::record::Step, phrases: &Phrases) -> StepWire {
    let title = capital(&say::step_title(worked, step, phrases));
    let (formula, numbers) = (say::formula(worked, step, phrases), working::text(&working::numbers(step)));
    StepWire {
        id: step.id,
        text: format!("{title} = {formula} = {numbers} = {}", say::step_value(step)),
        value: without_noise(step.si / step.unit.size()),
        unit: step.unit.plain(),
    }
}

/// What a page asks for a worked example, as its script sends it.
#[derive(Debug, Deserialize)]
struct OptionsWire {
    #[serde(default)]
    name: String,
    #[serde(default)]
    title: String,
    #[serde(default)]
    units: String,
    #[serde(default)]
    level: Option<u8>,
    /// Units wanted for results, for `work_json`.
    #[serde(default)]
    wanted: Vec<(String, String)>,
}

/// What a page gets back.
#[derive(Debug, Serialize)]
struct FragmentWire {
    form: String,
    answer: String,
    errors: Ordered<String>,
    spoken: String,
}

#[derive(Debug, Serialize)]
struct ErrorWire {
    error: String,
}

fn error(text: impl Into<String>) -> String {
    json(&ErrorWire { error: text.into() })
}

/// JSON text; the wire types hold nothing that cannot be written.
pub(crate) fn json(value: &impl Serialize) -> String {
    serde_json::to_string(value)
        .unwrap_or_else(|fault| format!("{{\"error\":\"{}\"}}", fault.to_string().replace('"', "'")))
}

fn read(pairs: &str, options: &str) -> Result<(Given, OptionsWire), String> {
    let pairs: Vec<(String, String)> = serde_json::from_str(pairs).map_err(|fault| error(fault.to_string()))?;
    let options: OptionsWire = serde_json::from_str(options).map_err(|fault| error(fault.to_string()))?;
    Ok((Given(pairs), options))
}

fn known(id: &str) -> Result<&'static Calculator, String> {
    let card = (id == CARD.id).then_some(&CARD);
    calculator(id).or(card).ok_or_else(|| error(format!("there is no calculator called {id}")))
}

/// Form and answer of a worked example, JSON in and out.
pub fn fragment_json(id: &str, pairs: &str, options: &str, phrases: &Phrases) -> String {
    let answer = || -> Result<String, String> {
        let (calculator, (given, options)) = (known(id)?, read(pairs, options)?);
        let system = System::from_id(&options.units).unwrap_or_default();
        let level = options.level.unwrap_or(3);
        let options = Options { name: &options.name, title: &options.title, system, level };
        let fragment = fragment::fragment(calculator, &given, &options, phrases);
        Ok(json(&FragmentWire {
            form: fragment.form,
            answer: fragment.answer,
            errors: Ordered(fragment.errors),
            spoken: fragment.spoken,
        }))
    };
    answer().unwrap_or_else(|error| error)
}

/// A problem worked, JSON in and out: the object that `work --json` prints.
pub fn work_json(id: &str, pairs: &str, options: &str, phrases: &Phrases) -> String {
    let answer = || -> Result<String, String> {
        let (calculator, (given, options)) = (known(id)?, read(pairs, options)?);
        let system = System::from_id(&options.units).unwrap_or_default();
        let done = work(calculator, &given, system).map_err(|problems| {
            let said: Vec<String> =
                problems.iter().map(|problem| say::problem(calculator, problem, system, phrases)).collect();
            error(said.join("\n"))
        })?;
        let wanted: Vec<(String, Unit)> =
            options.wanted.iter().map(|(name, unit)| (name.clone(), Unit::of(unit))).collect();
        worked(&done, &wanted, phrases).map(|wire| json(&wire)).map_err(|fault| error(format!("{fault:?}")))
    };
    answer().unwrap_or_else(|error| error)
}

/// Inputs re-expressed in the units of another system, pairs in and out.
pub fn switch_units_json(id: &str, pairs: &str, units: &str) -> String {
    let answer = || -> Result<String, String> {
        let (calculator, (given, _)) = (known(id)?, read(pairs, "{}")?);
        let system = System::from_id(units).ok_or_else(|| error("units are us or metric"))?;
        Ok(json(&switched(calculator, &given, system).0))
    };
    answer().unwrap_or_else(|error| error)
}
