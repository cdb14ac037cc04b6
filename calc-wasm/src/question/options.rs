//! Choices for a number question: the right answer among what the usual mistakes lead to.

use super::chance::Chance;
use super::score::{Answer, Verdict, number};
use super::template::Posed;
use crate::mistakes;
use crate::quantity::kind::Kind;
use crate::quantity::written::quantity;

/// Choices that are offered.
pub const OFFERED: usize = 4;
/// The least distance between two choices, as a share of the larger.
pub const APART: f64 = 0.03;

/// The choices, as the core writes numbers, in the order in which they are shown, the right one among them at a place
/// that the seed decides. Empty where fewer than two mistakes can be told from the right answer and from each other:
/// such a question is typed.
pub fn choices(posed: &Posed, seed: u32) -> Vec<String> {
    let problem = posed.right_working();
    let apart = |one: f64, other: f64| (one - other).abs() >= APART * one.abs().max(other.abs());
    let mut chance = Chance::new((u64::from(seed) << 32 | u64::from(posed.draw)) ^ 0x6f70_7469_6f6e);
    let mut wrong: Vec<f64> = mistakes::all().filter_map(|mistake| mistake.leads_to(&problem, &posed.unit)).collect();
    chance.shuffle(&mut wrong);
    // The number of another unit with this unit after it: the commonest mistake of all, after those of this problem.
    let mut others = in_other_units(posed);
    chance.shuffle(&mut others);
    wrong.extend(others);
    let mut values = vec![posed.si];
    for si in wrong {
        let far = values.iter().all(|other| apart(si, *other));
        // A choice that nobody would consider only makes the others easier.
        let likely = si.signum() == posed.si.signum() && (1e-3..1e3).contains(&(si / posed.si));
        let wrong = || matches!(number(posed, &Answer::Text(quantity(si, &posed.unit))), Verdict::Wrong(_));
        if values.len() < OFFERED && far && likely && wrong() {
            values.push(si);
        }
    }
    if values.len() < 3 {
        return Vec::new();
    }
    chance.shuffle(&mut values);
    let texts: Vec<String> = values.into_iter().map(|si| quantity(si, &posed.unit)).collect();
    let same = texts.iter().enumerate().any(|(index, text)| texts[..index].contains(text));
    if same { Vec::new() } else { texts }
}

/// What the answer would be if its number were worked out in another unit of the same kind and system.
fn in_other_units(posed: &Posed) -> Vec<f64> {
    let Some(kind) = Kind::of(&posed.unit) else { return Vec::new() };
    let (us, metric) = kind.offered();
    let units = posed.worked.system.pick(us, metric);
    let units = units.iter().filter(|unit| **unit != posed.unit);
    units.map(|unit| posed.si / unit.size() * posed.unit.size()).collect()
}
