//! Choices for a number question: the right answer among what the usual mistakes lead to.

use super::chance::Chance;
use super::score::{Answer, Verdict, number};
use super::template::Posed;
use super::{Ask, Question};
use crate::calculators::lawn_area::shapes::CIRCLES;
use crate::calculators::pressure_flow;
use crate::mistakes;
use crate::quantity::kind::Kind;
use crate::quantity::unit::unit;
use crate::quantity::written::quantity;

/// Choices that are offered at most.
pub const OFFERED: usize = 4;
/// The fewest: the right answer and what two mistakes lead to. Where fewer mistakes can be told apart the question is
/// typed, for an option that nobody arrives at only makes the others easier.
pub const FEWEST: usize = 3;
/// The least distance between two choices, as a share of the larger.
pub const APART: f64 = 0.03;

/// How many times more or less than the right answer a choice is that is taken first.
const LIKELY: f64 = 10.0;
/// How many times more or less it may be at all: an ounce taken for a quart is worth showing, an acre for a square foot
/// gives itself away.
const POSSIBLE: f64 = 45.0;
/// The same of a speed: nobody walks at 20 mph, and no rider at 150.
const SPEED: f64 = 4.0;
/// Worked by a relation that is not in proportion.
const PRESSURE_FLOW: &str = pressure_flow::CALCULATOR.id;
/// Seeds at which a question has to have choices to be asked as one in an exam.
const TRIED: u32 = 6;

/// Whether an exam may ask a question as a choice: its mistakes leave enough options whatever the numbers are. One of
/// several parts is about the figures on the way; a relation that is not in proportion, pressure to flow and the circle,
/// is typed, for the proportional answer as an option lowers success (Van Dooren and others 2007). A question that is no
/// number has the options that its author wrote.
pub fn choosable(question: &Question) -> bool {
    if question.kind != Ask::Number {
        return true;
    }
    let circle = question.given.iter().any(|(name, _)| name.starts_with(CIRCLES.name()));
    if !question.parts.is_empty() || circle || question.calculator_id() == PRESSURE_FLOW {
        return false;
    }
    (0..TRIED).all(|seed| {
        // Far apart among the draws, whose neighbors share most of their numbers.
        let posed = question.draw(question.draw_at(seed * 37));
        posed.is_ok_and(|posed| !choices(&posed, seed).is_empty())
    })
}

/// The choices, as the core writes numbers, in the order in which they are shown, the right one among them at a place
/// that the seed decides. The others are what known mistakes lead to, the likely ones first. Empty where fewer than
/// [`FEWEST`] can be told apart: such a question is typed.
pub fn choices(posed: &Posed, seed: u32) -> Vec<String> {
    let problem = posed.right_working();
    let mut chance = Chance::new((u64::from(seed) << 32 | u64::from(posed.draw)) ^ 0x6f70_7469_6f6e);
    let mut wrong: Vec<f64> = mistakes::all().filter_map(|mistake| mistake.leads_to(&problem, &posed.unit)).collect();
    chance.shuffle(&mut wrong);
    // The number of another unit with this unit after it: the commonest mistake of all, after those of this problem.
    let mut others = in_other_units(posed);
    chance.shuffle(&mut others);
    wrong.extend(others);
    let mut values = vec![posed.si];
    take(posed, &wrong, LIKELY, &mut values);
    take(posed, &wrong, POSSIBLE, &mut values);
    if values.len() < FEWEST {
        return Vec::new();
    }
    let length = |si: &f64| quantity(*si, &posed.unit).chars().count();
    // The longest must not give the right one away: other mistakes that are as long, or longer, come in where there are
    // any.
    let right = length(&posed.si);
    if values.len() > OFFERED && values[1..OFFERED].iter().all(|si| length(si) <= right) {
        let spare =
            |values: &[f64], least: usize| (OFFERED..values.len()).find(|place| length(&values[*place]) >= least);
        if let Some(place) = spare(&values, right + 1) {
            values.swap(OFFERED - 1, place);
        } else {
            for at in 1..OFFERED {
                if length(&values[at]) < right
                    && let Some(place) = spare(&values, right)
                {
                    values.swap(at, place);
                }
            }
        }
    }
    values.truncate(OFFERED);
    chance.shuffle(&mut values);
    let texts: Vec<String> = values.into_iter().map(|si| quantity(si, &posed.unit)).collect();
    let same = texts.iter().enumerate().any(|(index, text)| texts[..index].contains(text));
    if same { Vec::new() } else { texts }
}

/// Takes wrong answers to the choices while there is room: those that can be told apart, that are at most `most` times
/// off, and whose mistake the review can name.
fn take(posed: &Posed, wrong: &[f64], most: f64, values: &mut Vec<f64>) {
    let apart = |one: f64, other: f64| (one - other).abs() >= APART * one.abs().max(other.abs());
    for si in wrong.iter().copied() {
        if values.len() > 4 * OFFERED {
            return;
        }
        if likely(posed, si, most) && values.iter().all(|other| apart(si, *other)) {
            let verdict = number(posed, &Answer::Text(quantity(si, &posed.unit)));
            if matches!(verdict, Verdict::Wrong(Some(_))) {
                values.push(si);
            }
        }
    }
}

/// Whether somebody would consider a wrong answer: one that nobody would only makes the others easier.
fn likely(posed: &Posed, si: f64, most: f64) -> bool {
    let kind = Kind::of(&posed.unit);
    let most = if kind == Some(Kind::Speed) { SPEED } else { most };
    let times = si / posed.si;
    // Nothing is more than the whole of it, unless the right answer is.
    let whole = posed.unit.has(unit!("%")) && posed.si.abs() <= 1.0;
    (1.0 / most..=most).contains(&times) && (!whole || si.abs() <= 1.0)
}

/// What the answer would be if its number were worked out in another unit of the same kind and system.
fn in_other_units(posed: &Posed) -> Vec<f64> {
    let Some(kind) = Kind::of(&posed.unit) else { return Vec::new() };
    let (us, metric) = kind.offered();
    let units = posed.worked.system.pick(us, metric);
    let units = units.iter().filter(|unit| **unit != posed.unit);
    units.map(|unit| posed.si / unit.size() * posed.unit.size()).collect()
}
