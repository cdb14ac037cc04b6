//! The steps of a problem as questions of their own, and a working with one wrong step made from the usual mistakes.

use super::chance::Chance;
use super::score::Query;
use super::template::Posed;
use crate::calculation::worked::{Worked, work_inputs};
use crate::mistakes::{self, Mistake};
use crate::quantity::kind::Kind;
use crate::quantity::order::{order, within};
use crate::quantity::typed::{self, Misread};
use crate::working::record::{Outcome, Rounding};

/// How far the answer to a step may be off: what was rounded to three figures before it counts.
const NEAR: f64 = 0.02;

/// How many steps of a problem's working lead to its answer; what the calculator works out beyond is not asked.
pub fn leading(posed: &Posed) -> usize {
    let steps = &posed.worked.steps;
    let gives = |si: f64| order(si, posed.si).is_eq();
    steps.iter().position(|step| gives(step.si)).map_or(steps.len(), |last| last + 1)
}

/// The verdict on the answer to one step.
#[derive(Debug, PartialEq)]
pub enum StepVerdict {
    /// Right.
    Right,
    /// Not right.
    Wrong,
    /// Not marked: something has to be asked first.
    Ask(Query),
}

/// Judges what somebody typed for a step.
pub fn judge_step(worked: &Worked, step: usize, text: &str) -> StepVerdict {
    let Some(step) = worked.steps.get(step) else { return StepVerdict::Ask(Query::Empty) };
    if text.trim().is_empty() {
        return StepVerdict::Ask(Query::Empty);
    }
    let kind = Kind::of(&step.unit).unwrap_or(Kind::Number);
    match typed::read(text, kind, None) {
        Ok(typed) if within(typed.si, step.si, NEAR * step.si.abs()) => StepVerdict::Right,
        Ok(_) => StepVerdict::Wrong,
        Err(Misread::UnitMissing) => StepVerdict::Ask(Query::Unit(text.trim().to_owned(), kind)),
        Err(Misread::UnitUnknown(_)) => StepVerdict::Ask(Query::UnitUnknown(kind)),
        Err(Misread::Ounces) => StepVerdict::Ask(Query::Ounces),
        Err(Misread::WrongKind(unit)) => StepVerdict::Ask(Query::Kind(Kind::of(&unit), kind)),
        Err(_) => StepVerdict::Ask(Query::Number),
    }
}

/// Whether the answer to a part of a problem's working is right, from what a record holds: `steps-2`, the last two
/// steps in their order with `; ` between, or `slip-SEED`, the step that was marked and its figure. `None` for any
/// other part.
pub fn judge_part(posed: &Posed, part: &str, answer: &str) -> Option<bool> {
    if let Some(blanks) = part.strip_prefix("steps-") {
        let last = leading(posed);
        let first = last.saturating_sub(blanks.parse().ok()?);
        let mut answers = answer.split("; ");
        let right = (first..last).all(|step| {
            answers.next().is_some_and(|answer| judge_step(&posed.worked, step, answer) == StepVerdict::Right)
        });
        return Some(right && answers.next().is_none());
    }
    let slip = slipped(posed, part.strip_prefix("slip-")?.parse().ok()?);
    let (marked, figure) = answer.split_once("; ").unwrap_or((answer, ""));
    Some(slip.is_some_and(|slip| {
        marked.parse() == Ok(slip.step) && judge_step(&posed.worked, slip.step, figure) == StepVerdict::Right
    }))
}

/// A working in which one step is wrong.
#[derive(Debug)]
pub struct Slipped {
    /// The mistake it is made from.
    pub mistake: &'static Mistake,
    /// The wrong step.
    pub step: usize,
    /// The working, wrong from that step on.
    pub worked: Worked,
}

/// A wrong working of a problem: a usual mistake, put into a step from which it leads to what the mistake leads to.
/// `None` where no mistake can be shown in one step.
pub fn slipped(posed: &Posed, seed: u32) -> Option<Slipped> {
    let mut chance = Chance::new(u64::from(seed) ^ 0x736c_6970);
    let problem = posed.right_working();
    let mut wrong: Vec<(&'static Mistake, f64)> =
        mistakes::all().filter_map(|mistake| Some((mistake, mistake.leads_to(&problem, &posed.unit)?))).collect();
    chance.shuffle(&mut wrong);
    let mut places: Vec<usize> = (0..leading(posed)).collect();
    chance.shuffle(&mut places);
    for (mistake, si) in wrong {
        let factor = si / posed.si;
        // A step that is only a little off could be rounding, and a wrong sign is no slip of one step.
        if !(factor > 0.0 && (factor - 1.0).abs() > 0.05) {
            continue;
        }
        for step in &places {
            let inputs = posed.worked.inputs.clone();
            let Ok(worked) =
                work_inputs(posed.calculator, inputs, posed.worked.system, Rounding::Scaled(*step, factor))
            else {
                continue;
            };
            let Some(Outcome::Quantity(led, _)) = worked.result(&posed.result).map(|found| found.outcome.clone())
            else {
                continue;
            };
            if order(led, si).is_eq() {
                return Some(Slipped { mistake, step: *step, worked });
            }
        }
    }
    None
}

/// What steps can be for: the kinds of what they give.
const PURPOSES: &[Kind] = &[
    Kind::Flow,
    Kind::AreaRate,
    Kind::VolumePerArea,
    Kind::Area,
    Kind::Volume,
    Kind::Mass,
    Kind::Speed,
    Kind::Time,
    Kind::Length,
    Kind::Share,
];

/// The step of a working that is asked about, one of the first `shown`, and the purposes offered; the place of the right
/// one among them is the second number. `None` where none of these steps has a purpose of its own.
pub fn why(posed: &Posed, shown: usize, seed: u32) -> Option<(usize, usize, Vec<Kind>)> {
    let mut chance = Chance::new(u64::from(seed) ^ 0x0077_6879);
    let kinds: Vec<(usize, Kind)> = (posed.worked.steps.iter().take(shown).enumerate())
        .filter_map(|(index, step)| Some((index, Kind::of(&step.unit)?)))
        .filter(|(_, kind)| PURPOSES.contains(kind))
        .collect();
    let (step, kind) = *kinds.get(chance.below(kinds.len()))?;
    let mut others: Vec<Kind> = PURPOSES.iter().copied().filter(|other| *other != kind).collect();
    chance.shuffle(&mut others);
    others.truncate(2);
    let place = chance.below(3);
    others.insert(place, kind);
    Some((step, place, others))
}
