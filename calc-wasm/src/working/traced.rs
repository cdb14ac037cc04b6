//! Quantities that remember how they were computed.
//!
//! Every operation on a [`Traced`] quantity is kept as an [`Expr`]; the recorder closes such an expression as a step.

use crate::quantity::kind::{Measure, Mixed, Ratio};
use crate::quantity::order::{less, order, whole_above, whole_below};
use crate::quantity::unit::Unit;
use std::cmp::Ordering;
use std::ops::{Add, Div, Mul, Sub};
use std::sync::Arc;

/// Where an operand comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// An input, by its flat name (`catch.1.volume`).
    Input(Arc<str>),
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

impl Expr {
    /// Works the expression out again from its leaves, in the order it was computed.
    pub fn value(&self) -> f64 {
        self.value_after(&[])
    }

    /// The same after steps that came to other values than those recorded.
    pub(crate) fn value_after(&self, steps: &[f64]) -> f64 {
        let of = |expr: &Expr| expr.value_after(steps);
        match self {
            Expr::Leaf { origin: Origin::Step(index), si, .. } => steps.get(*index).copied().unwrap_or(*si),
            Expr::Leaf { si, .. } => *si,
            Expr::Add(a, b) => of(a) + of(b),
            Expr::Sub(a, b) => less(of(a), of(b)),
            Expr::Mul(a, b) => of(a) * of(b),
            Expr::Div(a, b) => of(a) / of(b),
            Expr::Root(a) => of(a).sqrt(),
            Expr::Ceil(a) => whole_above(of(a)),
            Expr::Floor(a) => whole_below(of(a)),
            Expr::Least(a, b) => of(a).min(of(b)),
        }
    }
}

/// A quantity that remembers how it was computed.
#[derive(Clone, Debug)]
pub struct Traced<Q> {
    pub(crate) value: Q,
    pub(crate) expr: Arc<Expr>,
}

impl<Q: Measure> Traced<Q> {
    /// A named value shown in `unit`.
    pub fn leaf(origin: Origin, value: Q, unit: Unit) -> Traced<Q> {
        Traced { value, expr: leaf(origin, value.si(), unit) }
    }

    /// A constant of the formula with a phrase for a name, `amount` of `unit`.
    pub fn constant(name: &'static str, amount: f64, unit: Unit) -> Traced<Q> {
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
    pub fn in_unit(&self, unit: Unit) -> f64 {
        self.si() / unit.size()
    }

    /// How it compares with another; equal where the two are the same but for [`SLACK`](crate::quantity::order::SLACK).
    pub fn order(&self, other: &Traced<Q>) -> Ordering {
        order(self.si(), other.si())
    }

    /// Whether it is more than another.
    pub fn above(&self, other: &Traced<Q>) -> bool {
        self.order(other) == Ordering::Greater
    }

    /// Whether it is less than another.
    pub fn below(&self, other: &Traced<Q>) -> bool {
        self.order(other) == Ordering::Less
    }

    /// How it was computed.
    pub fn expr(&self) -> &Arc<Expr> {
        &self.expr
    }

    /// The same without its dimension, for reckoning with quantities whose kind is known only once they are typed.
    pub fn untyped(&self) -> Traced<Mixed> {
        Traced { value: Mixed::from_si(self.si()), expr: self.expr.clone() }
    }

    /// The square root; `R` must be the type whose square this is (a test that re-evaluates workings checks it).
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

impl Traced<Mixed> {
    /// The share that this is of `whole`; the caller has seen that the two measure the same.
    #[inline(always)]
    pub fn share_of(&self, whole: &Traced<Mixed>) -> Traced<Ratio> {
        let Traced { value, expr } = self / whole;
        Traced { value: Ratio::from_si(value.si()), expr }
    }
}

// What does not depend on the dimension is done once, outside the generic functions: a copy for each pair of
// dimensions would make the WebAssembly half as large again.

#[inline(never)]
pub(crate) fn leaf(origin: Origin, si: f64, unit: Unit) -> Arc<Expr> {
    Arc::new(Expr::Leaf { origin, si, unit })
}

#[inline(never)]
fn constant(name: &'static str, amount: f64, unit: Unit) -> (f64, Arc<Expr>) {
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
operation!(Mul, mul, Mul);
operation!(Div, div, Div);

impl<A, B> Sub<&Traced<B>> for &Traced<A>
where
    A: Measure + Sub<B>,
    B: Measure,
    <A as Sub<B>>::Output: Measure,
{
    type Output = Traced<<A as Sub<B>>::Output>;

    fn sub(self, other: &Traced<B>) -> Self::Output {
        // The types say that the two may be taken from each other; the noise of doing so is left out.
        let value = Measure::from_si(less(self.si(), other.si()));
        Traced { value, expr: joined(Expr::Sub, &self.expr, &other.expr) }
    }
}
