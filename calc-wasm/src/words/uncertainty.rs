//! A budget in words, through a phrase catalog: plain text for the page and the terminal alike.

use crate::calculation::declare::Input;
use crate::calculation::worked::Worked;
use crate::quantity::kind::Kind;
use crate::quantity::unit::Unit;
use crate::quantity::written::with_unit;
use crate::text::figures::{at_place, exact, places_beside, shown, to_figures, up_to_two_figures, without_noise};
use crate::uncertainty::{Budget, BudgetLine, Cause, Grown, Longer, costliest_first, field_of};
use crate::words::phrases::{Form, Phrases};
use crate::words::say;
use crate::working::record::Outcome;

/// The most readings that a table lists one by one; more are grouped by what they are readings of.
const ONE_BY_ONE: usize = 6;
/// Repeats up to which their scatter is itself little known.
const FEW: usize = 3;

/// One line of a budget as it is shown.
#[derive(Clone, Debug)]
pub struct Line {
    /// What was read.
    pub name: String,
    /// The same as a row of a table begins.
    pub label: String,
    /// Its own uncertainty, with its unit; empty for scatter.
    pub standard: String,
    /// What that does to the result, in the unit the result is shown in.
    pub contribution: String,
    /// Its share of the uncertainty, 0 to 1.
    pub share: f64,
}

/// The unit a result with a budget is shown in.
pub fn unit_of<'a>(worked: &'a Worked, budget: &Budget) -> Option<&'a Unit> {
    match &worked.results.get(budget.result)?.outcome {
        Outcome::Quantity(_, unit) => Some(unit),
        Outcome::Verdict(_) => None,
    }
}

/// The result with its uncertainty, both rounded to the same place: `1.47 ± 0.03 gal/min (2.1 %)`.
pub fn result(budget: &Budget, unit: &Unit, phrases: &Phrases) -> String {
    let Some([value, margin]) = rounded(budget, unit, phrases) else {
        let own = say::quantity(budget.value, unit, phrases);
        return phrases.fill("uncertainty.line-fine", |place| (place == "value").then(|| own.clone()));
    };
    phrases.fill("uncertainty.line", |place| match place {
        "value" => Some(value.clone()),
        "margin" => Some(with_unit(&margin, unit)),
        "relative" => Some(percent(budget.relative(), phrases)),
        _ => None,
    })
}

/// How sure a result is, on one line: `within 0.03 gal/min, about 2.1 %`.
pub fn short(budget: &Budget, unit: &Unit, phrases: &Phrases) -> String {
    let Some([_, margin]) = rounded(budget, unit, phrases) else {
        return phrases.get("uncertainty.short-fine").to_owned();
    };
    phrases.fill("uncertainty.short", |place| match place {
        "margin" => Some(with_unit(&margin, unit)),
        "relative" => Some(percent(budget.relative(), phrases)),
        _ => None,
    })
}

/// The value and how far it may be off, to the same place; `None` where that is less than the last figure shown.
fn rounded(budget: &Budget, unit: &Unit, phrases: &Phrases) -> Option<[String; 2]> {
    let (value, off) = (without_noise(budget.value / unit.size()), budget.expanded() / unit.size());
    let places = places_beside(off, value)?;
    Some([value, off].map(|number| phrases.number(at_place(number, places))))
}

/// What a reader without the method needs to know: between what bounds the true figure lies.
pub fn explained(budget: &Budget, unit: &Unit, name: &str, phrases: &Phrases) -> String {
    let (value, off) = (budget.value / unit.size(), budget.expanded() / unit.size());
    let places = places_beside(off, value);
    let edge = |edge: f64| places.map(|places| with_unit(&phrases.number(at_place(without_noise(edge), places)), unit));
    let key = if places.is_some() { "uncertainty.explain" } else { "uncertainty.explain-fine" };
    phrases.fill(key, |place| match place {
        "result" => Some(name.to_owned()),
        "low" => edge(value - off),
        "high" => edge(value + off),
        _ => None,
    })
}

/// The lines of a budget, the largest share first.
pub fn lines(worked: &Worked, budget: &Budget, phrases: &Phrases) -> Vec<Line> {
    let Some(unit) = unit_of(worked, budget) else { return Vec::new() };
    let single = budget.parts.len() <= ONE_BY_ONE;
    let mut kept: Vec<(String, Vec<&BudgetLine>)> = Vec::new();
    for part in &budget.parts {
        let key = match &part.cause {
            Cause::Reading(flat) if single => flat.clone(),
            Cause::Reading(flat) => field_of(flat),
            Cause::Scatter(_) => String::new(),
        };
        match kept.iter_mut().find(|(other, _)| *other == key) {
            Some((_, parts)) => parts.push(part),
            None => kept.push((key, vec![part])),
        }
    }
    let names: Vec<String> =
        kept.iter().map(|(_, parts)| name(worked, &parts[0].cause, parts.len(), Form::Inside, phrases)).collect();
    let mut lines: Vec<Line> = kept
        .iter()
        .zip(&names)
        .map(|((key, parts), name)| {
            let squares: f64 = parts.iter().map(|part| part.contribution * part.contribution).sum();
            let own = match &parts[0].cause {
                Cause::Reading(flat) => worked.inputs.typed_at(flat),
                Cause::Scatter(_) => None,
            };
            let label = self::name(worked, &parts[0].cause, parts.len(), Form::Label, phrases);
            // Two groups may have a field of the same name; then its group is named as well.
            let group = key.split_once('.').filter(|_| names.iter().filter(|other| *other == name).count() > 1);
            let in_group = |name: &str| match group {
                Some((group, _)) => phrases.fill("uncertainty.in-group", |place| match place {
                    "name" => Some(name.to_owned()),
                    "group" => Some(phrases.get(&[worked.calculator.id, ".group.", group].concat()).to_owned()),
                    _ => None,
                }),
                None => name.to_owned(),
            };
            Line {
                name: in_group(name),
                label: in_group(&label),
                standard: own.map_or_else(String::new, |typed| phrases.number(doubt(parts[0].standard, &typed.unit))),
                contribution: phrases.number(two_figures(squares.sqrt() / unit.size())),
                share: parts.iter().map(|part| part.share).sum(),
            }
        })
        .collect();
    costliest_first(&mut lines, |line| line.share);
    lines
}

fn name(worked: &Worked, cause: &Cause, count: usize, form: Form, phrases: &Phrases) -> String {
    let counted = |key: &str, name: &dyn Fn(Form) -> String, count: usize| {
        phrases.fill_in(key, form, |place, form| match place {
            "name" => Some(name(form)),
            "count" => Some(count.to_string()),
            _ => None,
        })
    };
    match cause {
        Cause::Scatter(repeats) => counted("uncertainty.scatter", &|_| String::new(), *repeats),
        Cause::Reading(flat) => {
            let group = flat.split('.').next().unwrap_or(flat);
            let rows = if count > 1 { 1 } else { worked.inputs.row_count_at(group) };
            let name = |form| say::input_in(worked.calculator, flat, rows, form, phrases);
            if count > 1 { counted("uncertainty.several", &name, count) } else { name(form) }
        }
    }
}

/// A number to two figures, as an uncertainty is shown.
pub fn two_figures(number: f64) -> String {
    exact(to_figures(number, 2))
}

/// The uncertainty of a reading, with its unit.
fn doubt(si: f64, unit: &Unit) -> String {
    let number = two_figures(si / unit.size());
    if unit.is_none() { number } else { [&number, " ", &unit.shown()].concat() }
}

/// A share in percent, to two figures.
pub fn percent(share: f64, phrases: &Phrases) -> String {
    phrases.number([&two_figures(share * 100.0), " %"].concat())
}

/// A share of the uncertainty in whole percent, or to one figure where it is less.
pub fn part_of(share: f64, phrases: &Phrases) -> String {
    phrases.number([&shown(share * 100.0, 1), " %"].concat())
}

/// The largest source of uncertainty.
pub fn most(lines: &[Line], phrases: &Phrases) -> String {
    let Some(line) = lines.first() else { return String::new() };
    phrases.fill("uncertainty.most", |place| match place {
        "cause" => Some(line.name.clone()),
        "share" => Some(part_of(line.share, phrases)),
        _ => None,
    })
}

/// What it takes to be as certain as wanted.
pub fn answer(worked: &Worked, budget: &Budget, phrases: &Phrases) -> String {
    let say = |key: &str, value: &dyn Fn(&str) -> Option<String>| {
        phrases.fill(key, |place| match place {
            "wanted" => Some(percent(budget.target, phrases)),
            other => value(other),
        })
    };
    match &budget.longer {
        Longer::Enough => say("uncertainty.enough", &|_| None),
        // Half a percent off is no reason to start again.
        Longer::Times { factor, .. } if two_figures(*factor) == "1" => say("uncertainty.long-enough", &|_| None),
        Longer::Times { factor, grown } => {
            let each: Vec<String> = grown.iter().map(|grown| one_grown(worked, grown, phrases)).collect();
            say("uncertainty.longer", &|place| match place {
                "factor" => Some(phrases.number(two_figures(*factor))),
                "times" => Some(say::listed(&each, phrases)),
                _ => None,
            })
        }
        Longer::Repeats { now, needed } => {
            let differ = budget.parts.iter().any(|part| matches!(part.cause, Cause::Scatter(_)) && part.share > 0.0);
            say(if differ { "uncertainty.repeats" } else { "uncertainty.again" }, &|place| match place {
                "now" => Some(now.to_string()),
                "needed" => Some(needed.to_string()),
                _ => None,
            })
        }
        Longer::Unsteady { now } => say("uncertainty.unsteady", &|place| (place == "now").then(|| now.to_string())),
        Longer::Coarse { most } => say("uncertainty.coarse", &|place| match place {
            "cause" => Some(name(worked, most, 1, Form::Inside, phrases)),
            "finer" => Some(finer(worked, most, phrases)),
            _ => None,
        }),
        Longer::Never { fixed, alone, together } => {
            let own = *alone > budget.target;
            say(if own { "uncertainty.never-alone" } else { "uncertainty.never" }, &|place| match place {
                "cause" => Some(name(worked, fixed, 1, Form::Inside, phrases)),
                "share" => Some(percent(if own { *alone } else { *together }, phrases)),
                "finer" => Some(finer(worked, fixed, phrases)),
                _ => None,
            })
        }
    }
}

/// What can be done about a reading that is too coarse.
fn finer(worked: &Worked, cause: &Cause, phrases: &Phrases) -> String {
    let Cause::Reading(flat) = cause else { return String::new() };
    let kind = worked.calculator.input(flat).and_then(Input::kind).map_or("", Kind::id);
    let key = ["uncertainty", ".finer.", kind.strip_prefix("kind.").unwrap_or(kind)].concat();
    phrases.find(&key).unwrap_or(phrases.get("uncertainty.finer.other")).to_owned()
}

fn one_grown(worked: &Worked, grown: &Grown, phrases: &Phrases) -> String {
    let unit = worked.inputs.typed_at(&grown.first).map(|typed| typed.unit).unwrap_or_default();
    let needed = without_noise(grown.needed / unit.size());
    // Rounded up, because less would not do, and to what somebody would walk or time.
    let needed = up_to_two_figures(needed);
    phrases.fill("uncertainty.grown", |place| match place {
        "input" => Some(say::input_name(worked.calculator, &grown.first, 1, phrases)),
        "needed" => Some(say::quantity(needed * unit.size(), &unit, phrases)),
        "now" => Some(say::quantity(grown.now, &unit, phrases)),
        _ => None,
    })
}

/// What else somebody reading a budget must know: that scatter counts rounding twice, and that few repeats tell little.
pub fn notes(budgets: &[Budget]) -> Vec<&'static str> {
    let repeats = budgets.iter().flat_map(|budget| &budget.parts).filter_map(|part| match part.cause {
        Cause::Scatter(repeats) => Some(repeats),
        Cause::Reading(_) => None,
    });
    match repeats.min() {
        None => Vec::new(),
        Some(repeats) if repeats <= FEW => vec!["uncertainty.note.scatter", "uncertainty.note.few"],
        Some(_) => vec!["uncertainty.note.scatter"],
    }
}
