//! Working a problem, and how sure its results are.

use super::unused::unused;
use super::{WANTED, budgets};
use crate::calculation::declare::Calculator;
use crate::calculation::inputs::{InputProblem, Inputs, RawInputs};
use crate::calculation::worked::{Worked, work_inputs};
use crate::quantity::order::above;
use crate::quantity::typed::took_fluid_ounces;
use crate::quantity::unit::unit;
use crate::text::figures::to_figures;
use crate::working::record::{Arg, Caution, Rounding, Severity, System};

/// Works a problem from inputs as given, and how sure its results are.
///
/// # Errors
/// Every problem with the inputs; nothing else fails.
pub fn work(calculator: &'static Calculator, given: &RawInputs, system: System) -> Result<Worked, Vec<InputProblem>> {
    let inputs = Inputs::read(calculator, given, system)?;
    let mut worked = work_inputs(calculator, inputs, system, Rounding::None)?;
    worked.budgets = budgets(&worked, WANTED);
    let idle = unused(&worked, given);
    unsure(&mut worked);
    for name in idle {
        let args = vec![("input", Arg::Phrase(name))];
        worked.cautions.push(Caution { id: "caution.no-part", severity: Severity::Notice, args });
    }
    for name in fluid(&worked, given) {
        let args = vec![("input", Arg::Phrase(name))];
        worked.cautions.push(Caution { id: "caution.fluid-ounces", severity: Severity::Notice, args });
    }
    Ok(worked)
}

/// Inputs whose bare `oz` was read as fluid ounces.
fn fluid(worked: &Worked, given: &RawInputs) -> Vec<String> {
    let taken = worked.inputs.declared().filter(|(name, input, _)| {
        input.kind().zip(given.text(name)).is_some_and(|(kind, text)| took_fluid_ounces(text, kind))
    });
    taken.map(|(name, ..)| name.to_owned()).collect()
}

/// Points out main results that are less sure than a calibration should be.
fn unsure(worked: &mut Worked) {
    for budget in &worked.budgets {
        let found = &worked.results[budget.result];
        if found.spec.main && above(budget.relative(), WANTED) {
            let relative = Arg::Quantity(to_figures(budget.relative(), 2), unit!("%"));
            let args = vec![("result", Arg::Phrase(found.name())), ("relative", relative)];
            // A notice is the least serious of all, so that the order by severity holds.
            worked.cautions.push(Caution { id: "caution.uncertain", severity: Severity::Notice, args });
        }
    }
}
