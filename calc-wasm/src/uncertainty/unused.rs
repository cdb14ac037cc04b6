//! Inputs that were given and have no part in the answer: they are named, not ignored.

use crate::calculation::declare::{Holds, Input, Need};
use crate::calculation::inputs::{Inputs, RawInputs};
use crate::calculation::worked::{Worked, work_values};
use crate::quantity::kind::Kind;
use crate::quantity::typed::read;
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
    // What has a default, such as a tolerance, is held against the answer: only where it could not matter is it idle.
    let held = |input: &Input| matches!(input.need, Need::Default(_));
    // A pressure is noted as the condition of a test, and nothing times anything is nothing.
    let noted = |input: &Input| input.kind() == Some(Kind::Pressure);
    let idle = worked.inputs.declared().filter(|(name, input, typed)| {
        !named.contains(name) && !held(input) && typed.si != 0.0 && !noted(input) && own(name)
    });
    let idle = idle.filter(|(name, _, typed)| [1e-4, 1e4].iter().all(|times| same(worked, name, typed.si * times)));
    let mut idle: Vec<String> = idle.map(|(name, ..)| name.to_owned()).collect();
    idle.extend(unheld(worked, given));
    idle
}

/// Inputs with a default that were given otherwise, and that matter neither here nor where every other number is a
/// little off: runs that agree to the last figure have a tolerance all the same.
fn unheld(worked: &Worked, given: &RawInputs) -> Vec<String> {
    let chosen = worked.inputs.chosen().filter(|(name, input)| {
        let Need::Default(usual) = input.need else { return false };
        if input.kind() == Some(Kind::Pressure) {
            return false;
        }
        let own = given.text(name).map(str::trim).filter(|text| !text.is_empty());
        own.is_some_and(|text| !text.eq_ignore_ascii_case(usual) && !as_usual(worked, name, input, usual))
    });
    let (mut found, mut moved) = (Vec::new(), None);
    for (name, input) in chosen {
        let others = || {
            let mut inputs = worked.inputs.clone();
            for (place, (other, typed)) in worked.inputs.quantities().enumerate() {
                if !worked.inputs.chosen().any(|(chosen, input)| chosen == other && input.need != Need::Required) {
                    inputs.set(other, typed.si * (1.0 + 0.03 * ((place * 7 % 5) as f64 - 2.0)));
                }
            }
            inputs
        };
        let moved = moved.get_or_insert_with(others);
        if [&worked.inputs, &*moved].into_iter().all(|inputs| alike(worked, inputs, name, input)) {
            found.push(name.to_owned());
        }
    }
    found
}

/// Whether a quantity is the size that its default has.
fn as_usual(worked: &Worked, name: &str, input: &Input, usual: &str) -> bool {
    let usual = input.kind().and_then(|kind| read(usual, kind, None).ok());
    let given = worked.inputs.typed_at(name);
    usual.zip(given).is_some_and(|(usual, given)| (usual.si - given.si).abs() <= 0.01 * usual.si.abs())
}

/// Whether these inputs lead to the same without an input, and with it at other sizes.
fn alike(worked: &Worked, inputs: &Inputs, name: &str, input: &Input) -> bool {
    let answer = |inputs: Inputs| work_values(worked.calculator, inputs, worked.system, Rounding::None).ok();
    let Some(with) = answer(inputs.clone()) else { return false };
    let as_with = |other: Inputs| answer(other).is_some_and(|other| leads_to_same(&with, &other));
    match (input.holds, inputs.typed_at(name).map(|typed| typed.si)) {
        (Holds::Choice(words), _) => words.iter().all(|word| as_with(inputs.with_word(name, word))),
        (_, Some(si)) if si != 0.0 => [1e-4, 1e4].iter().all(|times| as_with(inputs.with(name, si * times))),
        _ => false,
    }
}

/// Whether two workings have the same results, cautions and steps.
fn leads_to_same(one: &Worked, other: &Worked) -> bool {
    let outcomes = |worked: &Worked| worked.results.iter().map(|found| found.outcome.clone()).collect::<Vec<_>>();
    let cautions = |worked: &Worked| worked.cautions.iter().map(|caution| caution.id).collect::<Vec<_>>();
    let steps = |worked: &Worked| worked.steps.iter().map(|step| step.si.to_bits()).collect::<Vec<_>>();
    outcomes(one) == outcomes(other) && cautions(one) == cautions(other) && steps(one) == steps(other)
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
