//! Inputs that were given and have no part in the answer: they are named, not ignored.

use crate::calculation::declare::{Holds, Input, Need};
use crate::calculation::inputs::{Inputs, RawInputs};
use crate::calculation::worked::{Worked, work_values};
use crate::quantity::kind::Kind;
use crate::quantity::typed::read;
use crate::working::record::{Expr, Origin, Rounding};

/// Flat names of what was given and that nothing worked out rests on.
///
/// A quantity has a part where a step or a result is computed with it, or where another size of it would lead to
/// another answer or another caution: a label's maximum that is kept has its part. What has a default, such as a
/// tolerance, counts if it was given otherwise, and has its part where it matters once every other number is a little
/// off: runs that agree to the last figure have a tolerance all the same.
pub(super) fn unused(worked: &Worked, given: &RawInputs) -> Vec<String> {
    let named = named(worked);
    let mut idle = Vec::new();
    let mut off: Option<Worked> = None;
    for (name, input) in worked.inputs.chosen() {
        let own = given.text(name).map_or("", str::trim);
        // A pressure is noted as the condition of a test.
        if own.is_empty() || input.kind() == Some(Kind::Pressure) {
            continue;
        }
        let without_part = match input.need {
            Need::Default(usual) if own.eq_ignore_ascii_case(usual) || as_usual(worked, name, input, usual) => false,
            _ if named.contains(&name) => false,
            Need::Default(_) => {
                alike(worked, name, input) && {
                    off = off.or_else(|| answer(worked, moved(worked)));
                    off.as_ref().is_some_and(|off| alike(off, name, input))
                }
            }
            _ if matches!(input.holds, Holds::Choice(_)) => false,
            _ => alike(worked, name, input),
        };
        if without_part {
            idle.push(name.to_owned());
        }
    }
    idle
}

/// Whether an answer rests on a quantity that counts by default: it is in a step or a result, or at another size
/// something else would come out. What is nothing and in no step has no part: an empty tank.
pub fn has_part(worked: &Worked, name: &str) -> bool {
    let (Some(typed), Some(input)) = (worked.inputs.typed_at(name), worked.calculator.input(name)) else {
        return false;
    };
    let alike = |worked: &Worked| alike(worked, name, input);
    named(worked).contains(&name)
        || !(typed.si == 0.0 || alike(worked) && answer(worked, moved(worked)).is_none_or(|off| alike(&off)))
}

/// The inputs with every measured number a little off, each by another share.
fn moved(worked: &Worked) -> Inputs {
    let mut inputs = worked.inputs.clone();
    for (place, (name, input, typed)) in worked.inputs.declared().enumerate() {
        if input.need == Need::Required {
            inputs.set(name, typed.si * (1.0 + 0.03 * ((place * 7 % 5) as f64 - 2.0)));
        }
    }
    inputs
}

/// Whether a quantity is the size that its default has.
fn as_usual(worked: &Worked, name: &str, input: &Input, usual: &str) -> bool {
    let usual = input.kind().and_then(|kind| read(usual, kind, None).ok());
    let given = worked.inputs.typed_at(name);
    usual.zip(given).is_some_and(|(usual, given)| (usual.si - given.si).abs() <= 0.01 * usual.si.abs())
}

/// The problem worked with other inputs.
fn answer(worked: &Worked, inputs: Inputs) -> Option<Worked> {
    work_values(worked.calculator, inputs, worked.system, Rounding::None).ok()
}

/// Whether a problem comes to the same results, cautions and steps with an input at other sizes. Nothing times anything
/// is nothing, which says nothing.
fn alike(worked: &Worked, name: &str, input: &Input) -> bool {
    let inputs = &worked.inputs;
    let same = |other: Inputs| answer(worked, other).is_some_and(|other| leads_to_same(worked, &other));
    match (input.holds, inputs.typed_at(name)) {
        (Holds::Choice(words), _) => words.iter().all(|word| same(inputs.with_word(name, word))),
        (_, Some(typed)) if typed.si != 0.0 => {
            [1e-4, 1e4].into_iter().all(|times| same(inputs.with(name, typed.si * times)))
        }
        _ => false,
    }
}

fn leads_to_same(one: &Worked, other: &Worked) -> bool {
    one.results.iter().map(|found| &found.outcome).eq(other.results.iter().map(|found| &found.outcome))
        && one.cautions.iter().map(|caution| caution.id).eq(other.cautions.iter().map(|caution| caution.id))
        && one.steps.iter().map(|step| step.si.to_bits()).eq(other.steps.iter().map(|step| step.si.to_bits()))
}

/// Flat names of the inputs that steps and results are computed with.
fn named(worked: &Worked) -> Vec<&str> {
    let mut named: Vec<&str> = Vec::new();
    let steps = worked.steps.iter().map(|step| &*step.expr);
    for expr in steps.chain(worked.results.iter().filter_map(|found| found.expr.as_deref())) {
        leaves(expr, &mut named);
    }
    named
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
