//! The recorder: every operation a calculator performs is kept, with its operands, as it is performed.
//!
//! The working that a page, a terminal or a question's explanation shows is this recording; there is no second
//! description of a formula anywhere.

use crate::quantity::kind::Measure;
use crate::quantity::kinds::{OfKind, Takes};
pub use crate::quantity::system::System;
use crate::quantity::unit::{Unit, Units};
use crate::text::figures::{round_number, to_figures};
pub use crate::working::result::{Outcome, ResultOf, ResultSpec, Verdict, WorkedResult};
use crate::working::traced::leaf;
pub use crate::working::traced::{Expr, Origin, Traced};
use std::ops::Div;
use std::sync::Arc;

/// How serious a caution is. The three words of the site; see the stock cautions for what each means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Not about injury: property, environment, compliance, a doubtful number.
    Notice,
    /// Could end badly: a figure that should stop the work until it is understood.
    Warning,
    /// Breaks the label or could injure.
    Danger,
}

impl Severity {
    /// `notice`, `warning` or `danger`.
    pub fn id(self) -> &'static str {
        match self {
            Severity::Notice => "notice",
            Severity::Warning => "warning",
            Severity::Danger => "danger",
        }
    }
}

/// A caution raised by a calculation, as a message id with arguments.
#[derive(Clone, Debug)]
pub struct Caution {
    /// Message id, also the phrase key.
    pub id: &'static str,
    /// How serious.
    pub severity: Severity,
    /// Values for the phrase.
    pub args: Vec<(&'static str, Arg)>,
}

/// A value inside a message.
#[derive(Clone, Debug, PartialEq)]
pub enum Arg {
    /// Text with figures in it, which a language writes in its own notation: a count, a row number, an amount.
    Text(String),
    /// A name that somebody gave, kept as it is: a product's.
    Name(String),
    /// A quantity: SI value and the unit to show it in.
    Quantity(f64, Unit),
    /// A phrase of its own, by key.
    Phrase(String),
}

/// One step of the working.
#[derive(Clone, Debug)]
pub struct Step {
    /// Phrase id (`catch-test.step.nozzle-output`), or the name of the result that the step gives.
    pub id: &'static str,
    /// Row numbers it belongs to.
    pub rows: Vec<usize>,
    /// What was computed.
    pub expr: Arc<Expr>,
    /// Result in SI base units, unrounded.
    pub si: f64,
    /// The unit it is shown in.
    pub unit: Unit,
    /// A name that the user gave, which it belongs to: a method, a product.
    pub named: Option<String>,
}

/// Repeated measurements that a result pools: for the uncertainty of the result.
#[derive(Clone, Debug)]
pub struct Repeats {
    /// The result they were pooled into.
    pub spec: &'static ResultSpec,
    /// Row numbers of that result.
    pub rows: Vec<usize>,
    /// Of each repeat the amount and what it was measured over, SI base units: volume and time, area and time.
    pub pairs: Vec<(f64, f64)>,
}

/// Which steps are rounded as they are computed, to see what a learner who rounds on the way arrives at.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Rounding {
    /// None: the ordinary way.
    #[default]
    None,
    /// Every step, to this many figures.
    Every(usize),
    /// Only the step with this index, to this many figures.
    Only(usize, usize),
    /// None, but the step with this index comes out this many times too large: a slip, for learners to find.
    Scaled(usize, f64),
    /// None, but the steps with these indexes come out as these figures, SI: a learner's own.
    Figures([Option<(usize, f64)>; FIGURES_AT_MOST]),
}

/// The most figures of a learner's own that a problem is worked with.
pub const FIGURES_AT_MOST: usize = 3;

impl Rounding {
    /// What becomes of a step's value, SI, that is shown in `unit`.
    pub(crate) fn of(self, index: usize, si: f64, unit: &Unit) -> f64 {
        let rounded = |figures| to_figures(si / unit.size(), figures) * unit.size();
        match self {
            Rounding::Every(figures) => rounded(figures),
            Rounding::Only(only, figures) if only == index => rounded(figures),
            Rounding::Scaled(only, factor) if only == index => si * factor,
            Rounding::Figures(own) => own.iter().flatten().find(|(only, _)| *only == index).map_or(si, |(_, own)| *own),
            Rounding::None | Rounding::Only(..) | Rounding::Scaled(..) => si,
        }
    }
}

/// Works a result out again from its recording, with steps rounded on the way: what a learner arrives at who rounds.
/// It goes the way that was recorded, whatever the rounded numbers would have led to.
pub(crate) fn again(steps: &[Step], result: &Expr, rounding: Rounding) -> f64 {
    result.value_after(&values_again(steps, Vec::with_capacity(steps.len()), rounding))
}

/// The same with each step rounded in its turn, one after another: what comes before that step is worked once for all.
pub(crate) fn each_rounded(steps: &[Step], result: &Expr, figures: usize) -> Vec<f64> {
    let whole = values_again(steps, Vec::with_capacity(steps.len()), Rounding::None);
    let mut values = Vec::with_capacity(steps.len());
    let each = (0..steps.len()).map(|only| {
        values.clear();
        values.extend_from_slice(&whole[..only]);
        values = values_again(steps, std::mem::take(&mut values), Rounding::Only(only, figures));
        result.value_after(&values)
    });
    each.collect()
}

/// The values of all steps, the first of which are known.
fn values_again(steps: &[Step], mut values: Vec<f64>, rounding: Rounding) -> Vec<f64> {
    for (index, step) in steps.iter().enumerate().skip(values.len()) {
        let si = step.expr.value_after(&values);
        values.push(rounding.of(index, si, &step.unit));
    }
    values
}

/// How many steps, and how many results, a recording has room for from the start.
const ROOM: usize = 8;

/// Keeps what a calculator does.
#[derive(Debug, Default)]
pub struct Recorder {
    /// Units shown.
    pub system: System,
    rounding: Rounding,
    /// Steps in order.
    pub steps: Vec<Step>,
    /// Results in order.
    pub results: Vec<WorkedResult>,
    /// Cautions in order.
    pub cautions: Vec<Caution>,
    /// Repeats that results pool.
    pub repeats: Vec<Repeats>,
    /// The name that steps and results from here on belong to.
    pub named: Option<String>,
}

impl Recorder {
    /// An empty recording.
    pub fn new(system: System, rounding: Rounding) -> Recorder {
        // Room for most problems: a recording is made for every key and every wrong working, and moving it takes long.
        let (steps, results) = (Vec::with_capacity(ROOM), Vec::with_capacity(ROOM));
        Recorder { system, rounding, steps, results, ..Recorder::default() }
    }

    /// Closes a step: what was computed is shown from now on as one value in the unit of the system in use.
    ///
    /// `units` are the unit in US and in metric practice.
    pub fn step<Q: Measure>(
        &mut self,
        id: &'static str,
        rows: &[usize],
        computed: &Traced<Q>,
        units: &Units,
    ) -> Traced<Q> {
        let (si, expr) = self.close(id, rows, &computed.expr, computed.si(), units.pick(self.system));
        Traced { value: Q::from_si(si), expr }
    }

    /// Closes a step whose value is shown in `unit`, whatever the system: a sum, in the unit its parts were typed in.
    pub fn step_in<Q: Measure>(
        &mut self,
        id: &'static str,
        rows: &[usize],
        computed: &Traced<Q>,
        unit: &Unit,
    ) -> Traced<Q> {
        let (si, expr) = self.close(id, rows, &computed.expr, computed.si(), *unit);
        Traced { value: Q::from_si(si), expr }
    }

    #[inline(never)]
    fn close(&mut self, id: &'static str, rows: &[usize], expr: &Arc<Expr>, si: f64, unit: Unit) -> (f64, Arc<Expr>) {
        let index = self.steps.len();
        let si = self.rounding.of(index, si, &unit);
        let (expr, named) = (expr.clone(), self.named.clone());
        self.steps.push(Step { id, rows: rows.to_vec(), expr, si, unit, named });
        (si, leaf(Origin::Step(index), si, unit))
    }

    /// Reports a result in the unit of the system in use.
    #[inline(always)]
    pub fn result<D: Takes<Q>, Q: Measure, const ROWS: usize>(
        &mut self,
        result: &'static ResultOf<D, ROWS>,
        rows: [usize; ROWS],
        value: &Traced<Q>,
    ) {
        self.result_in(result, rows, value, result.spec.units);
    }

    /// Reports a result in units of the calculator's choice (the amount of a product, measured as its label is).
    #[inline(always)]
    pub fn result_in<D: Takes<Q>, Q: Measure, const ROWS: usize>(
        &mut self,
        result: &'static ResultOf<D, ROWS>,
        rows: [usize; ROWS],
        value: &Traced<Q>,
        units: &Units,
    ) {
        self.result_in_at(&result.spec, &rows, value, units);
    }

    pub(crate) fn result_in_at<Q: Measure>(
        &mut self,
        spec: &'static ResultSpec,
        rows: &[usize],
        value: &Traced<Q>,
        units: &Units,
    ) {
        self.report(spec, rows, value.si(), &value.expr, units);
    }

    #[inline(never)]
    fn report(&mut self, spec: &'static ResultSpec, rows: &[usize], si: f64, expr: &Arc<Expr>, units: &Units) {
        let unit = units.pick(self.system);
        self.add_result(spec, rows, Outcome::Quantity(si, unit), Some(expr.clone()));
    }

    /// Reports what a pooled result was measured from, where it was measured more than once: `amount` over `over`
    /// for each repeat.
    pub fn repeats<'a, D: OfKind, A: Measure + Div<B, Output = D::Quantity> + 'a, B: Measure + 'a>(
        &mut self,
        result: &'static ResultOf<D>,
        repeats: impl IntoIterator<Item = (&'a Traced<A>, &'a Traced<B>)>,
    ) {
        let pairs: Vec<(f64, f64)> = repeats.into_iter().map(|(amount, over)| (amount.si(), over.si())).collect();
        if pairs.len() > 1 {
            self.repeats.push(Repeats { spec: &result.spec, rows: Vec::new(), pairs });
        }
    }

    /// Closes a step that is itself a result: under the result's name, in its unit.
    #[inline(always)]
    pub fn settle<D: Takes<Q>, Q: Measure, const ROWS: usize>(
        &mut self,
        result: &'static ResultOf<D, ROWS>,
        rows: [usize; ROWS],
        computed: &Traced<Q>,
    ) -> Traced<Q> {
        self.settle_in(result, rows, computed, result.spec.units)
    }

    /// Closes a step that is itself a result, in units of the calculator's choice.
    #[inline(always)]
    pub fn settle_in<D: Takes<Q>, Q: Measure, const ROWS: usize>(
        &mut self,
        result: &'static ResultOf<D, ROWS>,
        rows: [usize; ROWS],
        computed: &Traced<Q>,
        units: &Units,
    ) -> Traced<Q> {
        self.settle_in_at(&result.spec, &rows, computed, units)
    }

    pub(crate) fn settle_in_at<Q: Measure>(
        &mut self,
        spec: &'static ResultSpec,
        rows: &[usize],
        computed: &Traced<Q>,
        units: &Units,
    ) -> Traced<Q> {
        let (si, expr) = self.settle_si(spec, rows, &computed.expr, computed.si(), units);
        Traced { value: Q::from_si(si), expr }
    }

    #[inline(never)]
    fn settle_si(
        &mut self,
        spec: &'static ResultSpec,
        rows: &[usize],
        expr: &Arc<Expr>,
        si: f64,
        units: &Units,
    ) -> (f64, Arc<Expr>) {
        let unit = units.pick(self.system);
        let (si, expr) = self.close(spec.name, rows, expr, si, unit);
        self.report(spec, rows, si, &expr, units);
        (si, expr)
    }

    /// Reports a verdict, by phrase key.
    #[inline(always)]
    pub fn verdict<const ROWS: usize>(
        &mut self,
        result: &'static ResultOf<Verdict, ROWS>,
        rows: [usize; ROWS],
        phrase: &'static str,
    ) {
        self.verdict_at(&result.spec, &rows, phrase);
    }

    fn verdict_at(&mut self, spec: &'static ResultSpec, rows: &[usize], phrase: &'static str) {
        self.add_result(spec, rows, Outcome::Verdict(phrase), None);
    }

    fn add_result(&mut self, spec: &'static ResultSpec, rows: &[usize], outcome: Outcome, expr: Option<Arc<Expr>>) {
        let named = self.named.clone();
        self.results.push(WorkedResult { spec, rows: rows.to_vec(), outcome, expr, named, places: None });
    }

    /// Raises a caution.
    pub fn caution(&mut self, id: &'static str, severity: Severity, args: Vec<(&'static str, Arg)>) {
        self.cautions.push(Caution { id, severity, args });
    }

    /// A limit for a message, `amount` of `declared`: in a unit of the other system the nearest number that a person
    /// would set.
    pub fn limit(&self, amount: f64, declared: Unit, units: &Units) -> Arg {
        let unit = units.pick(self.system);
        let value = amount * declared.size() / unit.size();
        let near = || {
            let (low, high) = (round_number(value, false), round_number(value, true));
            if value - low < high - value { low } else { high }
        };
        Arg::Quantity(unit.size() * if unit.is_us() == declared.is_us() { value } else { near() }, unit)
    }

    /// A quantity for a message, in the unit of the system in use.
    pub fn arg<Q: Measure>(&self, value: &Traced<Q>, units: &Units) -> Arg {
        Arg::Quantity(value.si(), units.pick(self.system))
    }
}
