//! The steps that lead to one result, and no others: what a question's working shows.

use crate::quantity::unit::Unit;
use crate::working::record::Step;
use crate::working::result::{Outcome, WorkedResult};
use crate::working::traced::{Expr, Origin};

/// The steps that `result` rests on, in order; the last of them is the result itself, in `unit`.
pub fn toward(steps: &[Step], result: &WorkedResult, unit: &Unit) -> Vec<Step> {
    let (Some(expr), Outcome::Quantity(si, _)) = (&result.expr, &result.outcome) else { return Vec::new() };
    let mut kept: Vec<Step> = steps_toward(steps, result).into_iter().map(|index| steps[index].clone()).collect();
    match (&**expr, kept.last_mut()) {
        // The last step gives the result, perhaps in a unit other than the one asked for.
        (Expr::Leaf { origin: Origin::Step(_), .. }, Some(last)) => last.unit = *unit,
        _ => {
            let (rows, named) = (result.rows.clone(), result.named.clone());
            kept.push(Step { id: result.spec.name, rows, expr: expr.clone(), si: *si, unit: *unit, named });
        }
    }
    kept
}

/// The places of the steps that `result` rests on, in order.
pub fn steps_toward(steps: &[Step], result: &WorkedResult) -> Vec<usize> {
    let wanted = result.expr.as_deref().map_or_else(Vec::new, |expr| steps_under(expr, steps));
    (0..wanted.len()).filter(|index| wanted[*index]).collect()
}

/// Of each step whether an expression rests on it.
pub(crate) fn steps_under(expr: &Expr, steps: &[Step]) -> Vec<bool> {
    let mut wanted = vec![false; steps.len()];
    want(expr, steps, &mut wanted);
    wanted
}

/// Whether an expression rests on a step.
pub fn rests_on(expr: &Expr, steps: &[Step], step: usize) -> bool {
    steps_under(expr, steps).get(step).copied().unwrap_or(false)
}

/// Marks the steps that an expression rests on.
fn want(expr: &Expr, steps: &[Step], wanted: &mut [bool]) {
    match expr {
        Expr::Leaf { origin: Origin::Step(index), .. } => {
            if let (Some(step), false) = (steps.get(*index), wanted.get(*index).copied().unwrap_or(true)) {
                wanted[*index] = true;
                want(&step.expr, steps, wanted);
            }
        }
        Expr::Leaf { .. } => {}
        Expr::Add(a, b) | Expr::Sub(a, b) | Expr::Mul(a, b) | Expr::Div(a, b) | Expr::Least(a, b) => {
            want(a, steps, wanted);
            want(b, steps, wanted);
        }
        Expr::Root(a) | Expr::Ceil(a) | Expr::Floor(a) => want(a, steps, wanted),
    }
}
