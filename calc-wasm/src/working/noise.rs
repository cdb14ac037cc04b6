//! How many figures of a worked value the arithmetic is sure of.
//!
//! A difference of two large numbers has their last digits: 184.8 − 182 is 2.8, and in binary 2.80000000000001. What
//! the arithmetic may have lost is followed through the recording (a running error analysis: Higham, Accuracy and
//! Stability of Numerical Algorithms, 3.3), so that no such digit is handed out.

use crate::text::figures::to_figures;
use crate::working::record::{Expr, Origin, Step};

/// Sizes of the terms of each step, in the order of a recording.
#[derive(Debug, Default)]
pub struct Noise {
    steps: Vec<f64>,
}

impl Noise {
    /// Of a recording.
    pub fn of(steps: &[Step]) -> Noise {
        let mut noise = Noise { steps: Vec::with_capacity(steps.len()) };
        for step in steps {
            let (_, size) = noise.size(&step.expr);
            noise.steps.push(size);
        }
        noise
    }

    /// `si` of the step with this index, in a unit of size `unit`, to the figures that are sure.
    pub fn step(&self, index: usize, si: f64, unit: f64) -> f64 {
        sure(si, self.steps.get(index).copied().unwrap_or_default(), unit)
    }

    /// `si`, which `expr` came to, in a unit of size `unit`, to the figures that are sure.
    pub fn value(&self, expr: &Expr, si: f64, unit: f64) -> f64 {
        sure(si, self.size(expr).1, unit)
    }

    /// The value of an expression, and what it may be off by, in units of the relative error of its operands.
    fn size(&self, expr: &Expr) -> (f64, f64) {
        match expr {
            Expr::Leaf { origin: Origin::Step(index), si, .. } => {
                (*si, self.steps.get(*index).copied().unwrap_or(si.abs()))
            }
            Expr::Leaf { si, .. } => (*si, si.abs()),
            Expr::Add(a, b) | Expr::Sub(a, b) => {
                let ((x, off_x), (y, off_y)) = (self.size(a), self.size(b));
                (if matches!(expr, Expr::Add(..)) { x + y } else { x - y }, off_x + off_y)
            }
            Expr::Mul(a, b) => {
                let ((x, off_x), (y, off_y)) = (self.size(a), self.size(b));
                (x * y, off_x * y.abs() + off_y * x.abs())
            }
            Expr::Div(a, b) => {
                let ((x, off_x), (y, off_y)) = (self.size(a), self.size(b));
                (x / y, (off_x + off_y * (x / y).abs()) / y.abs())
            }
            Expr::Root(a) => {
                let (x, off) = self.size(a);
                (x.sqrt(), off / (2.0 * x.sqrt()))
            }
            // Counted things are whole.
            Expr::Ceil(_) | Expr::Floor(_) => (expr.value(), expr.value().abs()),
            Expr::Least(a, b) => {
                let (x, y) = (self.size(a), self.size(b));
                if x.0 <= y.0 { x } else { y }
            }
        }
    }
}

/// A product of so many operands keeps its figures.
const FEW: f64 = 4.0;

/// A value in a unit, to the figures that are sure: 14 of a plain product, one less for every tenfold that canceled.
fn sure(si: f64, off: f64, unit: f64) -> f64 {
    let (mut figures, mut ratio) = (14_usize, off / si.abs() / FEW);
    while ratio > 1.0 && figures > 3 {
        (figures, ratio) = (figures - 1, ratio / 10.0);
    }
    to_figures(si / unit, figures)
}
