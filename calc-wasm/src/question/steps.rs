//! The steps of a problem as questions of their own, and a working with one wrong step made from the usual mistakes.

use super::chance::Chance;
use super::score::Query;
use super::template::Posed;
use crate::calculation::worked::{Worked, work_inputs};
use crate::mistakes::{self, Mistake};
use crate::quantity::kind::Kind;
use crate::quantity::order::{order, within};
use crate::quantity::typed::{self, Misread};
use crate::working::line::{Line, Op, Term, numbers};
use crate::working::record::{Rounding, Step};
use crate::working::toward::{steps_toward, toward};

/// How far the answer to a step may be off: what was rounded to three figures before it counts.
const NEAR: f64 = 0.02;

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

/// Judges what somebody typed for the step at this place of a problem's working ([`Posed::working`]).
pub fn judge_step(working: &[Step], step: usize, text: &str) -> StepVerdict {
    let Some(step) = working.get(step) else { return StepVerdict::Ask(Query::Empty) };
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
/// steps in their order with `; ` between, or `slip-SEED`, the step that was marked and its figure; `slip-SEED-MISTAKE`
/// where it was that mistake. `None` for any other part.
pub fn judge_part(posed: &Posed, part: &str, answer: &str) -> Option<bool> {
    let working = posed.working();
    let right = |step: usize, answer: &str| judge_step(&working, step, answer) == StepVerdict::Right;
    if let Some(blanks) = part.strip_prefix("steps-") {
        let first = working.len().saturating_sub(blanks.parse().ok()?);
        let mut answers = answer.split("; ");
        let all = (first..working.len()).all(|step| answers.next().is_some_and(|answer| right(step, answer)));
        return Some(all && answers.next().is_none());
    }
    let rest = part.strip_prefix("slip-")?;
    let (seed, only) = rest.split_once('-').map_or((rest, None), |(seed, mistake)| (seed, Some(mistake)));
    let slip = slipped(posed, seed.parse().ok()?, only);
    let (marked, figure) = answer.split_once("; ").unwrap_or((answer, ""));
    Some(slip.is_some_and(|slip| marked.parse() == Ok(slip.step) && right(slip.step, figure)))
}

/// A working in which one step is wrong.
#[derive(Debug)]
pub struct Slipped {
    /// The mistake it is made from.
    pub mistake: &'static Mistake,
    /// The place of the wrong step in the problem's working.
    pub step: usize,
    /// The problem worked with it.
    pub worked: Worked,
    /// The same steps as those of the right working, wrong from that one on.
    pub working: Vec<Step>,
}

/// A wrong working of a problem: a usual mistake, put into a step from which it leads to what the mistake leads to; the
/// one with the id `only` where that is given. `None` where no mistake, or not that one, can be shown in one step.
pub fn slipped(posed: &Posed, seed: u32, only: Option<&str>) -> Option<Slipped> {
    let mut chance = Chance::new(u64::from(seed) ^ 0x736c_6970);
    let problem = posed.right_working();
    let mut wrong: Vec<(&'static Mistake, f64)> =
        mistakes::all().filter_map(|mistake| Some((mistake, mistake.leads_to(&problem, &posed.unit)?))).collect();
    wrong.retain(|(mistake, _)| only.is_none_or(|only| mistake.id == only));
    chance.shuffle(&mut wrong);
    let result = posed.worked.result(&posed.result)?;
    let right = posed.working();
    // A line that only writes the result is no step of the recording, and can hold no slip.
    let mut places: Vec<(usize, usize)> = steps_toward(&posed.worked.steps, result).into_iter().enumerate().collect();
    chance.shuffle(&mut places);
    for (mistake, si) in wrong {
        let factor = si / posed.si;
        // A step that is only a little off could be rounding, and a wrong sign is no slip of one step.
        if !(factor > 0.0 && (factor - 1.0).abs() > 0.05) {
            continue;
        }
        for (place, step) in places.iter().filter(|(_, step)| room(&posed.worked.steps[*step], mistake)) {
            let inputs = posed.worked.inputs.clone();
            let rounding = Rounding::Scaled(*step, factor);
            let Ok(worked) = work_inputs(posed.calculator, inputs, posed.worked.system, rounding) else { continue };
            let Some(found) = worked.result(&posed.result) else { continue };
            let working = toward(&worked.steps, found, &posed.unit);
            let same = working.iter().map(name).eq(right.iter().map(name));
            if same && worked.si_at(&posed.result).is_some_and(|led| order(led, si).is_eq()) {
                return Some(Slipped { mistake, step: *place, worked, working });
            }
        }
    }
    None
}

/// Whether a line can hold a mistake: one in a factor, where that factor is in the line; any other, where something is
/// multiplied or divided and not only added, compared or rounded.
fn room(step: &Step, mistake: &Mistake) -> bool {
    let line = numbers(step);
    let factors = mistake.factors();
    let wanted = |count: f64| factors.iter().any(|factor| order(*factor, count).is_eq());
    if !factors.is_empty() {
        return any(&line, &|term| matches!(term, Term::Factor { count, .. } if wanted(*count)));
    }
    // A number alone, such as the total of one fill, counts as multiplied by nothing.
    let alone = matches!(line.as_slice(), [(_, Term::Value { .. })]);
    let times = line.iter().any(|(op, _)| matches!(op, Op::Times | Op::Over));
    times && !alone && !any(&line, &|term| matches!(term, Term::Up(_) | Term::Down(_) | Term::Least(..)))
}

/// Whether any term of a line is such a one, however deep in it.
fn any(line: &Line, such: &dyn Fn(&Term) -> bool) -> bool {
    line.iter().any(|(_, term)| {
        such(term)
            || match term {
                Term::Value { .. } | Term::Factor { .. } => false,
                Term::Bracket(inner, _) | Term::Root(inner) | Term::Up(inner) | Term::Down(inner) => any(inner, such),
                Term::Least(a, b) => any(a, such) || any(b, such),
            }
    })
}

/// What tells a step from the others of its working.
fn name(step: &Step) -> (&str, &[usize], Option<&str>) {
    (step.id, &step.rows, step.named.as_deref())
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
    Kind::Pressure,
    Kind::MassPerVolume,
    Kind::Number,
];

/// What a step is for, by the kind of what it gives: a rate by weight is a rate, and time for a set area is a time.
fn purpose(kind: Kind) -> Kind {
    match kind {
        Kind::MassPerArea => Kind::VolumePerArea,
        Kind::TimePerArea => Kind::Time,
        other => other,
    }
}

/// Steps on whose kind their purpose does not rest: squares of lengths are measured like an area but are not one.
const UNSAID: &[&str] = &["known-area.step.squares"];

/// The step that is asked about, of those of a working that are `shown`, and the purposes offered; the place of the
/// right one among them is the second number. `None` where none of these steps has a purpose of its own.
pub fn why(shown: &[Step], seed: u32) -> Option<(usize, usize, Vec<Kind>)> {
    let mut chance = Chance::new(u64::from(seed) ^ 0x0077_6879);
    let kinds: Vec<(usize, Kind)> = (shown.iter().enumerate())
        .filter_map(|(index, step)| Some((index, purpose(Kind::of(&step.unit)?))))
        .filter(|(index, kind)| PURPOSES.contains(kind) && !UNSAID.contains(&shown[*index].id))
        .collect();
    let (step, kind) = *kinds.get(chance.below(kinds.len()))?;
    let mut others: Vec<Kind> = PURPOSES.iter().copied().filter(|other| *other != kind).collect();
    chance.shuffle(&mut others);
    others.truncate(2);
    let place = chance.below(3);
    others.insert(place, kind);
    Some((step, place, others))
}
