//! The recorder: every operation a calculator performs is kept, with its operands, as it is performed.
//!
//! The working that a page, a terminal or a question's explanation shows is this recording; there is no second
//! description of a formula anywhere.

use crate::declare::ResultSpec;
use crate::figures::{decimals, to_figures, without_noise};
use crate::kind::{Measure, Ratio};
use crate::unit::Unit;
use std::ops::{Add, Div, Mul, Sub};
use std::sync::Arc;

/// Which units a page or a terminal shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum System {
    /// US customary, as US labels write.
    #[default]
    Us,
    /// Metric.
    Metric,
}

impl System {
    /// `us` or `metric`.
    pub fn id(self) -> &'static str {
        match self {
            System::Us => "us",
            System::Metric => "metric",
        }
    }

    /// The system with this id.
    pub fn from_id(id: &str) -> Option<System> {
        [System::Us, System::Metric].into_iter().find(|system| system.id() == id)
    }

    /// The first in US units, the second in metric.
    pub fn pick<T>(self, us: T, metric: T) -> T {
        match self {
            System::Us => us,
            System::Metric => metric,
        }
    }
}

/// Where an operand comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// An input, by its flat name (`catch.1.volume`).
    Input(String),
    /// An earlier step, by its index in the recording.
    Step(usize),
    /// A constant of the formula, by phrase id.
    Constant(&'static str),
    /// A plain number that needs no name: the 2 of "half".
    Number,
}

/// An expression as it was computed.
#[derive(Clone, Debug)]
pub enum Expr {
    /// A value with a name.
    Leaf {
        /// Where it comes from.
        origin: Origin,
        /// Value in SI base units.
        si: f64,
        /// The unit it is shown in.
        unit: Unit,
    },
    /// Left plus right.
    Add(Arc<Expr>, Arc<Expr>),
    /// Left minus right.
    Sub(Arc<Expr>, Arc<Expr>),
    /// Left times right.
    Mul(Arc<Expr>, Arc<Expr>),
    /// Left over right.
    Div(Arc<Expr>, Arc<Expr>),
    /// Square root.
    Root(Arc<Expr>),
    /// Up to the next whole number.
    Ceil(Arc<Expr>),
    /// Down to a whole number.
    Floor(Arc<Expr>),
    /// The smaller of two.
    Least(Arc<Expr>, Arc<Expr>),
}

/// Slack for counting whole things, as a share: numbers that were carried to 8 figures when their units were switched
/// must not make a fourth tank of three.
const WHOLE_SLACK: f64 = 1e-7;

/// `value` up to the next whole number.
pub(crate) fn whole_above(value: f64) -> f64 {
    (value - value.abs() * WHOLE_SLACK).ceil()
}

/// `value` down to a whole number.
pub(crate) fn whole_below(value: f64) -> f64 {
    (value + value.abs() * WHOLE_SLACK).floor()
}

impl Expr {
    /// Works the expression out again from its leaves, in the order it was computed.
    pub fn value(&self) -> f64 {
        match self {
            Expr::Leaf { si, .. } => *si,
            Expr::Add(a, b) => a.value() + b.value(),
            Expr::Sub(a, b) => a.value() - b.value(),
            Expr::Mul(a, b) => a.value() * b.value(),
            Expr::Div(a, b) => a.value() / b.value(),
            Expr::Root(a) => a.value().sqrt(),
            Expr::Ceil(a) => whole_above(a.value()),
            Expr::Floor(a) => whole_below(a.value()),
            Expr::Least(a, b) => a.value().min(b.value()),
        }
    }
}

/// A quantity that remembers how it was computed.
#[derive(Clone, Debug)]
pub struct Traced<Q> {
    value: Q,
    expr: Arc<Expr>,
}

impl<Q: Measure> Traced<Q> {
    /// A named value shown in `unit`.
    pub fn leaf(origin: Origin, value: Q, unit: Unit) -> Traced<Q> {
        Traced { value, expr: leaf(origin, value.si(), unit) }
    }

    /// A constant of the formula with a phrase for a name, `amount` of `unit`.
    pub fn constant(name: &'static str, amount: f64, unit: &str) -> Traced<Q> {
        let (si, expr) = constant(name, amount, unit);
        Traced { value: Q::from_si(si), expr }
    }

    /// The quantity.
    pub fn get(&self) -> Q {
        self.value
    }

    /// The value in SI base units.
    pub fn si(&self) -> f64 {
        self.value.si()
    }

    /// The value in `unit`.
    pub fn in_unit(&self, unit: &str) -> f64 {
        self.si() / Unit::of(unit).size()
    }

    /// How it was computed.
    pub fn expr(&self) -> &Arc<Expr> {
        &self.expr
    }

    /// The same without its dimension, for reckoning with quantities whose kind is known only once they are typed.
    pub fn untyped(&self) -> Traced<Ratio> {
        Traced { value: Ratio::from_si(self.si()), expr: self.expr.clone() }
    }

    /// The square root; `R` must be the type whose square this is (held by a test on re-evaluation).
    pub fn root<R: Measure>(&self) -> Traced<R> {
        Traced { value: R::from_si(self.si().sqrt()), expr: alone(Expr::Root, &self.expr) }
    }

    /// The smaller of the two.
    pub fn least(&self, other: &Traced<Q>) -> Traced<Q> {
        let value = Q::from_si(self.si().min(other.si()));
        Traced { value, expr: joined(Expr::Least, &self.expr, &other.expr) }
    }

    /// The sum of all, in order; `None` for none.
    pub fn sum(all: impl IntoIterator<Item = Traced<Q>>) -> Option<Traced<Q>>
    where
        Q: Add<Q, Output = Q>,
    {
        all.into_iter().reduce(|sum, next| &sum + &next)
    }
}

impl Traced<Ratio> {
    /// A plain number in the formula.
    pub fn number(value: f64) -> Traced<Ratio> {
        Traced::leaf(Origin::Number, Ratio::from_si(value), Unit::none())
    }

    /// Up to the next whole number.
    pub fn ceil(&self) -> Traced<Ratio> {
        let expr = alone(Expr::Ceil, &self.expr);
        Traced { value: Ratio::from_si(expr.value()), expr }
    }

    /// Down to a whole number.
    pub fn floor(&self) -> Traced<Ratio> {
        let expr = alone(Expr::Floor, &self.expr);
        Traced { value: Ratio::from_si(expr.value()), expr }
    }
}

// What does not depend on the dimension is done once, outside the generic functions: a copy for each pair of
// dimensions would make the WebAssembly half as large again.

#[inline(never)]
fn leaf(origin: Origin, si: f64, unit: Unit) -> Arc<Expr> {
    Arc::new(Expr::Leaf { origin, si, unit })
}

#[inline(never)]
fn constant(name: &'static str, amount: f64, unit: &str) -> (f64, Arc<Expr>) {
    let unit = Unit::of(unit);
    let si = amount * unit.size();
    (si, leaf(Origin::Constant(name), si, unit))
}

#[inline(never)]
fn alone(kept: fn(Arc<Expr>) -> Expr, a: &Arc<Expr>) -> Arc<Expr> {
    Arc::new(kept(a.clone()))
}

#[inline(never)]
fn joined(kept: fn(Arc<Expr>, Arc<Expr>) -> Expr, a: &Arc<Expr>, b: &Arc<Expr>) -> Arc<Expr> {
    Arc::new(kept(a.clone(), b.clone()))
}

macro_rules! operation {
    ($trait:ident, $method:ident, $kept:ident) => {
        impl<A, B> $trait<&Traced<B>> for &Traced<A>
        where
            A: Measure + $trait<B>,
            B: Measure,
            <A as $trait<B>>::Output: Measure,
        {
            type Output = Traced<<A as $trait<B>>::Output>;

            fn $method(self, other: &Traced<B>) -> Self::Output {
                let value = $trait::$method(self.value, other.value);
                Traced { value, expr: joined(Expr::$kept, &self.expr, &other.expr) }
            }
        }
    };
}

operation!(Add, add, Add);
operation!(Sub, sub, Sub);
operation!(Mul, mul, Mul);
operation!(Div, div, Div);

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
    /// Text that is the same in every language: a product's name, a row number.
    Text(String),
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
    /// A name of the user's own that it belongs to: a method, a product.
    pub named: Option<String>,
}

/// A result's value.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// A quantity: SI value and the unit it is shown in.
    Quantity(f64, Unit),
    /// A verdict in words, by phrase key.
    Verdict(&'static str),
}

/// One result.
#[derive(Clone, Debug)]
pub struct Found {
    /// Its declaration.
    pub spec: &'static ResultSpec,
    /// Row numbers it belongs to.
    pub rows: Vec<usize>,
    /// What came out.
    pub outcome: Outcome,
    /// How a quantity was computed: for uncertainty, and for seeing what a wrong working leads to.
    pub expr: Option<Arc<Expr>>,
    /// A name of the user's own that it belongs to: a method, a product.
    pub named: Option<String>,
    /// Decimal places of one that adds up with others; see [`Recorder::align`].
    pub places: Option<i32>,
}

impl Found {
    /// The flat name: the declared one with each `N` replaced by its row number.
    pub fn name(&self) -> String {
        flat_name(self.spec.name, &self.rows)
    }
}

/// Repeated measurements behind a result that pools them: for [`crate::uncertainty`].
#[derive(Clone, Debug)]
pub struct Repeats {
    /// The result they were pooled into.
    pub spec: &'static ResultSpec,
    /// Row numbers of that result.
    pub rows: Vec<usize>,
    /// Of each repeat the amount and what it was measured over, SI base units: volume and time, area and time.
    pub pairs: Vec<(f64, f64)>,
}

/// `volume-N-product-M` with rows 1 and 2 is `volume-1-product-2`.
pub fn flat_name(pattern: &str, rows: &[usize]) -> String {
    let mut rows = rows.iter();
    pattern
        .split('-')
        .map(|word| match word {
            "N" | "M" => rows.next().map_or_else(|| word.to_owned(), ToString::to_string),
            _ => word.to_owned(),
        })
        .collect::<Vec<_>>()
        .join("-")
}

/// Which steps are rounded as they are computed, to see what a learner who rounds on the way arrives at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Rounding {
    /// None: the ordinary way.
    #[default]
    None,
    /// Every step, to so many figures.
    Every(usize),
    /// Only the step with this index, to so many figures.
    Only(usize, usize),
}

/// Keeps what a calculator does.
#[derive(Debug, Default)]
pub struct Recorder {
    /// Units shown.
    pub system: System,
    rounding: Rounding,
    /// Steps in order.
    pub steps: Vec<Step>,
    /// Results in order.
    pub found: Vec<Found>,
    /// Cautions in order.
    pub cautions: Vec<Caution>,
    /// Repeats behind pooled results.
    pub repeats: Vec<Repeats>,
    /// The name that steps and results from here on belong to.
    pub named: Option<String>,
}

impl Recorder {
    /// An empty recording.
    pub fn new(system: System, rounding: Rounding) -> Recorder {
        Recorder { system, rounding, ..Recorder::default() }
    }

    /// Closes a step: what was computed is shown from now on as one value in the unit of the system in use.
    ///
    /// `units` are the unit in US and in metric practice.
    pub fn step<Q: Measure>(
        &mut self,
        id: &'static str,
        rows: &[usize],
        computed: &Traced<Q>,
        units: (&str, &str),
    ) -> Traced<Q> {
        let (si, expr) =
            self.close(id, rows, &computed.expr, computed.si(), Unit::of(self.system.pick(units.0, units.1)));
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
        let (si, expr) = self.close(id, rows, &computed.expr, computed.si(), unit.clone());
        Traced { value: Q::from_si(si), expr }
    }

    #[inline(never)]
    fn close(&mut self, id: &'static str, rows: &[usize], expr: &Arc<Expr>, si: f64, unit: Unit) -> (f64, Arc<Expr>) {
        let index = self.steps.len();
        let figures = match self.rounding {
            Rounding::Every(figures) => Some(figures),
            Rounding::Only(only, figures) if only == index => Some(figures),
            _ => None,
        };
        let si = match figures {
            Some(figures) => to_figures(si / unit.size(), figures) * unit.size(),
            None => si,
        };
        let (expr, named) = (expr.clone(), self.named.clone());
        self.steps.push(Step { id, rows: rows.to_vec(), expr, si, unit: unit.clone(), named });
        (si, leaf(Origin::Step(index), si, unit))
    }

    /// Reports a result in the unit of the system in use.
    pub fn result<Q: Measure>(&mut self, spec: &'static ResultSpec, rows: &[usize], value: &Traced<Q>) {
        self.result_in(spec, rows, value, (spec.us, spec.metric));
    }

    /// Reports a result in units of the calculator's choice (the amount of a product, measured as its label is).
    pub fn result_in<Q: Measure>(
        &mut self,
        spec: &'static ResultSpec,
        rows: &[usize],
        value: &Traced<Q>,
        units: (&str, &str),
    ) {
        self.report(spec, rows, value.si(), &value.expr, units);
    }

    #[inline(never)]
    fn report(&mut self, spec: &'static ResultSpec, rows: &[usize], si: f64, expr: &Arc<Expr>, units: (&str, &str)) {
        let unit = Unit::of(self.system.pick(units.0, units.1));
        self.found(spec, rows, Outcome::Quantity(si, unit), Some(expr.clone()));
    }

    /// Reports what a pooled result was measured from, where it was measured more than once: `amount` over `over`
    /// for each repeat.
    pub fn repeats<'a, A: Measure + 'a, B: Measure + 'a>(
        &mut self,
        spec: &'static ResultSpec,
        repeats: impl IntoIterator<Item = (&'a Traced<A>, &'a Traced<B>)>,
    ) {
        let pairs: Vec<(f64, f64)> = repeats.into_iter().map(|(amount, over)| (amount.si(), over.si())).collect();
        if pairs.len() > 1 {
            self.repeats.push(Repeats { spec, rows: Vec::new(), pairs });
        }
    }

    /// Closes a step that is itself a result: under the result's name, in its unit.
    pub fn settle<Q: Measure>(&mut self, spec: &'static ResultSpec, rows: &[usize], computed: &Traced<Q>) -> Traced<Q> {
        self.settle_in(spec, rows, computed, (spec.us, spec.metric))
    }

    /// Closes a step that is itself a result, in units of the calculator's choice.
    pub fn settle_in<Q: Measure>(
        &mut self,
        spec: &'static ResultSpec,
        rows: &[usize],
        computed: &Traced<Q>,
        units: (&str, &str),
    ) -> Traced<Q> {
        let (si, expr) = self.settled(spec, rows, &computed.expr, computed.si(), units);
        Traced { value: Q::from_si(si), expr }
    }

    #[inline(never)]
    fn settled(
        &mut self,
        spec: &'static ResultSpec,
        rows: &[usize],
        expr: &Arc<Expr>,
        si: f64,
        units: (&str, &str),
    ) -> (f64, Arc<Expr>) {
        let unit = Unit::of(self.system.pick(units.0, units.1));
        let (si, expr) = self.close(spec.name, rows, expr, si, unit);
        self.report(spec, rows, si, &expr, units);
        (si, expr)
    }

    /// Reports a verdict, by phrase key.
    pub fn verdict(&mut self, spec: &'static ResultSpec, rows: &[usize], phrase: &'static str) {
        self.found(spec, rows, Outcome::Verdict(phrase), None);
    }

    fn found(&mut self, spec: &'static ResultSpec, rows: &[usize], outcome: Outcome, expr: Option<Arc<Expr>>) {
        let named = self.named.clone();
        self.found.push(Found { spec, rows: rows.to_vec(), outcome, expr, named, places: None });
    }

    /// Gives results that add up, in each unit, the decimal places that three figures of the finest of them take.
    pub(crate) fn align(&mut self) {
        let mut finest: Vec<(Unit, i32)> = Vec::new();
        for again in [false, true] {
            for found in self.found.iter_mut().filter(|found| found.spec.adds) {
                let Outcome::Quantity(si, unit) = &found.outcome else { continue };
                let held = finest.iter_mut().find(|(other, _)| other == unit);
                let places = decimals(without_noise(si / unit.size()));
                match held {
                    Some((_, finest)) if again => found.places = Some(*finest),
                    Some((_, finest)) => *finest = places.max(*finest),
                    None => finest.push((unit.clone(), places)),
                }
            }
        }
    }

    /// Raises a caution.
    pub fn caution(&mut self, id: &'static str, severity: Severity, args: Vec<(&'static str, Arg)>) {
        self.cautions.push(Caution { id, severity, args });
    }

    /// A quantity for a message, in the unit of the system in use.
    pub fn arg<Q: Measure>(&self, value: &Traced<Q>, units: (&str, &str)) -> Arg {
        Arg::Quantity(value.si(), Unit::of(self.system.pick(units.0, units.1)))
    }
}
