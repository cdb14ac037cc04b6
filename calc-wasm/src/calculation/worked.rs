//! Working a problem: inputs in, recording out.

use crate::calculation::budget::Budget;
use crate::calculation::declare::{Calculator, limit_unit};
use crate::calculation::inputs::{InputFault, InputProblem, Inputs};
use crate::quantity::order::order;
use crate::quantity::unit::Unit;
use crate::working::noise::Noise;
use crate::working::record::{
    Arg, Caution, Outcome, Recorder, Repeats, ResultOf, Rounding, Severity, Step, System, WorkedResult,
};
use crate::working::result::align;

/// A problem worked.
#[derive(Debug)]
pub struct Worked {
    /// The calculator.
    pub calculator: &'static Calculator,
    /// Units shown.
    pub system: System,
    /// The inputs it rests on.
    pub inputs: Inputs,
    /// The working, in order.
    pub steps: Vec<Step>,
    /// The results, in order.
    pub results: Vec<WorkedResult>,
    /// Cautions, the most serious first.
    pub cautions: Vec<Caution>,
    /// Repeats that results pool.
    pub repeats: Vec<Repeats>,
    /// How sure the results are; only `uncertainty::work` fills it in.
    pub budgets: Vec<Budget>,
}

impl Worked {
    /// The results that are shown unasked: in metric units without those of US practice alone.
    pub fn unasked(&self) -> impl Iterator<Item = &WorkedResult> {
        self.results.iter().filter(|found| self.system == System::Us || !found.spec.us_only)
    }

    /// The result with this flat name.
    pub fn result(&self, flat: &str) -> Option<&WorkedResult> {
        self.results.iter().find(|found| found.is(flat))
    }

    /// The value of a result in SI base units, by its flat name, where it is a quantity.
    pub fn si_at(&self, flat: &str) -> Option<f64> {
        Some(self.result(flat)?.quantity()?.0)
    }

    fn reported(&self, name: &str, rows: &[usize]) -> Option<&WorkedResult> {
        self.results.iter().find(|found| found.spec.name == name && found.rows == rows)
    }

    fn shown_at(&self, name: &str, rows: &[usize]) -> Option<(f64, Unit)> {
        self.reported(name, rows)?.quantity()
    }

    fn rounded_at(&self, name: &str, rows: &[usize], unit: Unit) -> Arg {
        let quantity = |found: &WorkedResult| Some(found.spec.rounded(found.quantity()?.0, &unit));
        Arg::Quantity(self.reported(name, rows).and_then(quantity).unwrap_or_default(), unit)
    }

    /// The result at these rows.
    #[inline(always)]
    pub fn result_of<D, const ROWS: usize>(
        &self,
        result: &ResultOf<D, ROWS>,
        rows: [usize; ROWS],
    ) -> Option<&WorkedResult> {
        self.reported(result.spec.name, &rows)
    }

    /// The value of a result in SI base units.
    #[inline(always)]
    pub fn si<D, const ROWS: usize>(&self, result: &ResultOf<D, ROWS>, rows: [usize; ROWS]) -> Option<f64> {
        self.shown(result, rows).map(|(si, _)| si)
    }

    /// The value of a result in SI base units, and the unit it is shown in; for drawings.
    #[inline(always)]
    pub fn shown<D, const ROWS: usize>(&self, result: &ResultOf<D, ROWS>, rows: [usize; ROWS]) -> Option<(f64, Unit)> {
        self.shown_at(result.spec.name, &rows)
    }

    /// A result for a drawing: in `unit`, rounded as the result itself is.
    #[inline(always)]
    pub fn rounded<D, const ROWS: usize>(&self, result: &ResultOf<D, ROWS>, rows: [usize; ROWS], unit: Unit) -> Arg {
        self.rounded_at(result.spec.name, &rows, unit)
    }

    /// A result's value in `unit`, to the figures that its working is sure of.
    pub fn value_in(&self, flat: &str, unit: &str) -> Option<f64> {
        let found = self.result(flat)?;
        let (Outcome::Quantity(si, _), size) = (&found.outcome, Unit::parse(unit).unwrap_or_default().size()) else {
            return None;
        };
        Some(match &found.expr {
            Some(expr) => Noise::of(&self.steps).value(expr, *si, size),
            None => crate::text::figures::without_noise(si / size),
        })
    }
}

/// Works a problem from inputs that were read, rounding steps on the way if asked to; without budgets, because a
/// question is drawn by working it hundreds of times.
///
/// # Errors
/// What the calculation refuses beyond its declaration.
pub fn work_inputs(
    calculator: &'static Calculator,
    inputs: Inputs,
    system: System,
    rounding: Rounding,
) -> Result<Worked, Vec<InputProblem>> {
    let mut worked = work_values(calculator, inputs, system, rounding)?;
    align(&mut worked.results);
    Ok(worked)
}

/// The same where only the values are wanted: what adds up is not aligned.
///
/// # Errors
/// What the calculation refuses beyond its declaration.
pub(crate) fn work_values(
    calculator: &'static Calculator,
    inputs: Inputs,
    system: System,
    rounding: Rounding,
) -> Result<Worked, Vec<InputProblem>> {
    let mut recorder = Recorder::new(system, rounding);
    let refused = |about: String, fault| Err(vec![InputProblem { about, fault }]);
    if let Err(fault) = (calculator.run)(&inputs, &mut recorder) {
        let problem = match (&fault.misread, fault.id) {
            (Some((misread, kind)), _) => InputFault::Misread(misread.clone(), *kind),
            (None, "problem.missing") => InputFault::Missing,
            (None, id) => InputFault::Refused(id),
        };
        return refused(fault.about.clone(), problem);
    }
    let finite = recorder.results.iter().all(|found| match found.outcome {
        Outcome::Quantity(si, _) => si.is_finite(),
        Outcome::Verdict(_) => true,
    });
    if !finite {
        return refused(String::new(), InputFault::Refused("problem.no-finite-result"));
    }
    for (name, bounds) in &inputs.implausible {
        // One cause, one warning: what the calculator has said about this very number says more.
        let own = |(place, arg): &(&str, Arg)| {
            name.rsplit('.').next() == Some(*place)
                && matches!(arg, Arg::Quantity(si, _) if inputs.typed_at(name).is_some_and(|typed| order(typed.si, *si).is_eq()))
        };
        if recorder.cautions.iter().any(|caution| caution.args.iter().any(own)) {
            continue;
        }
        let (size, unit) = (bounds.unit.size(), limit_unit(calculator, name, bounds, system));
        recorder.caution(
            "caution.implausible",
            Severity::Warning,
            vec![
                ("input", Arg::Phrase(String::from(&**name))),
                ("low", Arg::Quantity(bounds.plausible.0 * size, unit)),
                ("high", Arg::Quantity(bounds.plausible.1 * size, unit)),
            ],
        );
    }
    let Recorder { steps, results, cautions: raised, repeats, .. } = recorder;
    let mut cautions = Vec::with_capacity(raised.len());
    for severity in [Severity::Danger, Severity::Warning, Severity::Notice] {
        cautions.extend(raised.iter().filter(|caution| caution.severity == severity).cloned());
    }
    Ok(Worked { calculator, system, inputs, steps, results, cautions, repeats, budgets: Vec::new() })
}
