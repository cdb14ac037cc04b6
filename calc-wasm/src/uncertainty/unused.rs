//! Inputs that were given and have no part in the answer: they are named, not ignored.

use crate::calculation::declare::{Input, Need};
use crate::calculation::inputs::RawInputs;
use crate::calculation::worked::{Worked, work_values};
use crate::quantity::kind::Kind;
use crate::working::record::{Expr, Origin, Rounding};

/// Flat names of quantities that were given and that nothing worked out rests on.
///
/// A quantity has a part where a step or a result is computed with it, or where another size of it would lead to
/// another answer or another caution: a label's maximum that is kept has its part.
pub(super) fn unused(worked: &Worked, given: &RawInputs) -> Vec<String> {
    let mut named: Vec<&str> = Vec::new();
    let steps = worked.steps.iter().map(|step| &*step.expr);
    for expr in steps.chain(worked.results.iter().filter_map(|found| found.expr.as_deref())) {
        leaves(expr, &mut named);
    }
    let own = |name: &str| given.text(name).is_some_and(|text| !text.trim().is_empty());
    // What has a default, such as a tolerance, is compared with the answer whatever comes out.
    let held = |input: &Input| matches!(input.need, Need::Default(_));
    // A pressure is noted as the condition of a test, and nothing times anything is nothing.
    let noted = |input: &Input| input.kind() == Some(Kind::Pressure);
    let idle = worked.inputs.declared().filter(|(name, input, typed)| {
        !named.contains(name) && !held(input) && typed.si != 0.0 && !noted(input) && own(name)
    });
    let idle = idle.filter(|(name, _, typed)| [1e-4, 1e4].iter().all(|times| same(worked, name, typed.si * times)));
    idle.map(|(name, ..)| name.to_owned()).collect()
}

fn leaves<'e>(expr: &'e Expr, into: &mut Vec<&'e str>) {
    match expr {
        Expr::Leaf { origin: Origin::Input(name), .. } => {
            if !into.contains(&&**name) {
                into.push(name);
            }
        }
        Expr::Leaf { .. } => {}
        Expr::Add(a, b) | Expr::Sub(a, b) | Expr::Mul(a, b) | Expr::Div(a, b) | Expr::Least(a, b) => {
            leaves(a, into);
            leaves(b, into);
        }
        Expr::Root(a) | Expr::Ceil(a) | Expr::Floor(a) => leaves(a, into),
    }
}

/// Whether another size of an input leads to the same.
fn same(worked: &Worked, name: &str, si: f64) -> bool {
    let inputs = worked.inputs.with(name, si);
    let Ok(other) = work_values(worked.calculator, inputs, worked.system, Rounding::None) else { return false };
    let (outcomes, others) = (worked.results.iter().map(|found| &found.outcome), &other.results);
    let (cautions, raised) = (worked.cautions.iter().map(|caution| caution.id), &other.cautions);
    cautions.eq(raised.iter().map(|caution| caution.id)) && outcomes.eq(others.iter().map(|found| &found.outcome))
}
