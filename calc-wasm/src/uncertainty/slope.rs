//! Sensitivity coefficients: how fast a result changes with each reading, by differentiating what was recorded.
//!
//! Exact to the last binary digits, never by small differences: a recorded expression is a tree of sums, products
//! and quotients, and each has its rule.

use crate::working::record::{Expr, Origin, Step};
use std::rc::Rc;

/// A value and its slope against every reading, in SI base units.
#[derive(Debug)]
pub(super) struct Slope {
    value: f64,
    /// One slope for each reading, in the order of the readings.
    pub(super) by: Vec<f64>,
}

/// Slopes of a recording against a list of readings; each step is differentiated once.
pub(super) struct Slopes<'a> {
    steps: &'a [Step],
    readings: &'a [&'a str],
    kept: Vec<Option<Rc<Slope>>>,
}

impl<'a> Slopes<'a> {
    pub(super) fn new(steps: &'a [Step], readings: &'a [&'a str]) -> Slopes<'a> {
        Slopes { steps, readings, kept: vec![None; steps.len()] }
    }

    /// Value and slopes of an expression; a step it refers to is entered through its own expression.
    ///
    /// Counting whole things (up, down) has no slope between its jumps; the smaller of two has the slope of the one
    /// that is smaller. At a jump, or where the two are equal, first-order propagation does not hold (JCGM 100:2008,
    /// 5.1.2, note) and the first is taken.
    pub(super) fn of(&mut self, expr: &Expr) -> Rc<Slope> {
        let (a, b) = match expr {
            Expr::Leaf { origin, si, .. } => return self.leaf(origin, *si),
            Expr::Add(a, b) | Expr::Sub(a, b) | Expr::Mul(a, b) | Expr::Div(a, b) | Expr::Least(a, b) => {
                (self.of(a), self.of(b))
            }
            Expr::Root(a) | Expr::Ceil(a) | Expr::Floor(a) => {
                let a = self.of(a);
                (a.clone(), a)
            }
        };
        let (x, y) = (a.value, b.value);
        let (value, by_a, by_b) = match expr {
            Expr::Add(..) => (x + y, 1.0, 1.0),
            Expr::Sub(..) => (x - y, 1.0, -1.0),
            Expr::Mul(..) => (x * y, y, x),
            Expr::Div(..) => (x / y, 1.0 / y, -(x / y) / y),
            Expr::Root(_) => (x.sqrt(), 0.5 / x.sqrt(), 0.0),
            Expr::Least(..) if x <= y => (x, 1.0, 0.0),
            Expr::Least(..) => (y, 0.0, 1.0),
            other => (other.value(), 0.0, 0.0),
        };
        let by = a.by.iter().zip(&b.by).map(|(to_a, to_b)| by_a * to_a + by_b * to_b).collect();
        Rc::new(Slope { value, by })
    }

    fn leaf(&mut self, origin: &Origin, value: f64) -> Rc<Slope> {
        if let Origin::Step(index) = origin
            && let Some(step) = self.steps.get(*index)
        {
            if let Some(kept) = &self.kept[*index] {
                return kept.clone();
            }
            let slope = self.of(&step.expr);
            self.kept[*index] = Some(slope.clone());
            return slope;
        }
        let own = |name: &&str| f64::from(u8::from(matches!(origin, Origin::Input(flat) if **flat == **name)));
        Rc::new(Slope { value, by: self.readings.iter().map(own).collect() })
    }
}
