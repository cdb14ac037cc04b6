//! Choices for a number question: the right answer among what the usual mistakes lead to.

use super::chance::Chance;
use super::score::{Answer, Verdict, number};
use super::template::Posed;
use crate::mistakes;
use crate::quantity::kind::Kind;
use crate::quantity::unit::unit;
use crate::quantity::written::quantity;
use crate::text::figures::without_noise;

/// Choices that are offered.
pub const OFFERED: usize = 4;
/// The least distance between two choices, as a share of the larger.
pub const APART: f64 = 0.03;

/// How many times more or less than the right answer a choice may be that no mistake leads to.
const PLAUSIBLE: f64 = 10.0;
/// The same of one that a known mistake leads to: an ounce taken for a quart is worth showing, an acre for a square
/// foot gives itself away.
const NAMED: f64 = 45.0;
/// The same of a speed: nobody walks at 20 mph, and no rider at 150.
const SPEED: f64 = 4.0;
/// What else may be written down where too few mistakes can be told apart: taken twice, half of it, a third more.
const BESIDE: &[f64] = &[2.0, 0.5, 1.5, 2.0 / 3.0, 4.0 / 3.0, 0.75, 1.25, 0.8, 3.0, 1.0 / 3.0];

/// The choices, as the core writes numbers, in the order in which they are shown, the right one among them at a place
/// that the seed decides. The others are what known mistakes lead to, the likely ones first; where fewer than wanted
/// can be told apart, plausible numbers fill up. Empty where no mistake can be told from the right answer, or the
/// numbers leave no room: such a question is typed.
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
    take(posed, &wrong, PLAUSIBLE, true, &mut values);
    take(posed, &wrong, NAMED, true, &mut values);
    if values.len() < 2 {
        return Vec::new();
    }
    if values.len() < OFFERED {
        let mut beside: Vec<f64> = BESIDE.iter().map(|times| beside(posed, *times)).collect();
        chance.shuffle(&mut beside);
        wrong.extend(beside);
        take(posed, &wrong, PLAUSIBLE, false, &mut values);
    }
    if values.len() < 3 {
        return Vec::new();
    }
    chance.shuffle(&mut values);
    let texts: Vec<String> = values.into_iter().map(|si| quantity(si, &posed.unit)).collect();
    let same = texts.iter().enumerate().any(|(index, text)| texts[..index].contains(text));
    if same { Vec::new() } else { texts }
}

/// Takes wrong answers to the choices while there is room: those that can be told apart, that are at most `most` times
/// off, and, where they have to be `named`, whose mistake the review can name.
fn take(posed: &Posed, wrong: &[f64], most: f64, named: bool, values: &mut Vec<f64>) {
    let apart = |one: f64, other: f64| (one - other).abs() >= APART * one.abs().max(other.abs());
    for si in wrong.iter().copied() {
        if values.len() >= OFFERED {
            return;
        }
        if likely(posed, si, most) && values.iter().all(|other| apart(si, *other)) {
            let verdict = number(posed, &Answer::Text(quantity(si, &posed.unit)));
            if matches!(verdict, Verdict::Wrong(said) if said.is_some() || !named) {
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

/// The right answer so many times over; whole where the right one is a small count.
fn beside(posed: &Posed, times: f64) -> f64 {
    let (value, size) = (without_noise(posed.si / posed.unit.size()), posed.unit.size());
    let counted = value.fract() == 0.0 && value.abs() < 100.0;
    (if counted { (value * times).round() } else { value * times }) * size
}

/// What the answer would be if its number were worked out in another unit of the same kind and system.
fn in_other_units(posed: &Posed) -> Vec<f64> {
    let Some(kind) = Kind::of(&posed.unit) else { return Vec::new() };
    let (us, metric) = kind.offered();
    let units = posed.worked.system.pick(us, metric);
    let units = units.iter().filter(|unit| **unit != posed.unit);
    units.map(|unit| posed.si / unit.size() * posed.unit.size()).collect()
}
