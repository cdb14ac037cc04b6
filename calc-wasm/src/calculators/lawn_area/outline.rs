//! Outlines of the parts of a lawn, for the drawing.

use crate::calculation::drawing::Drawing;
use std::f64::consts::PI;

/// The outline of a part in meters, its middle at the origin.
pub(super) enum Outline {
    Round(f64, f64),
    Corners(Vec<(f64, f64)>),
}

impl Outline {
    /// Half its width and half its height.
    pub(super) fn reach(&self) -> (f64, f64) {
        match self {
            Outline::Round(across, up) => (*across, *up),
            Outline::Corners(points) => points
                .iter()
                .fold((1e-6, 1e-6), |most: (f64, f64), at| (most.0.max(at.0.abs()), most.1.max(at.1.abs()))),
        }
    }

    pub(super) fn draw(&self, drawing: &mut Drawing, class: &str, (x, y): (f64, f64), scale: f64) {
        match self {
            Outline::Round(across, up) => drawing.ellipse(class, x, y, across * scale, up * scale),
            Outline::Corners(points) => {
                let placed: Vec<(f64, f64)> = points.iter().map(|at| (x + at.0 * scale, y + at.1 * scale)).collect();
                drawing.polygon(class, &placed);
            }
        }
    }
}

/// A shape symmetrical about a level middle line, as wide as `widths` at equal steps along it.
pub(super) fn along(widths: &[f64], spacing: f64) -> Outline {
    let x = |index: usize| (index as f64 - (widths.len() as f64 - 1.0) / 2.0) * spacing;
    let upper = widths.iter().enumerate().map(|(index, width)| (x(index), -width / 2.0));
    let lower = widths.iter().enumerate().rev().map(|(index, width)| (x(index), width / 2.0));
    Outline::Corners(upper.chain(lower).collect())
}

/// A circle of this area; of measured radii, that of their mean, which is what is computed.
pub(super) fn round(area: f64) -> Outline {
    Outline::Round((area / PI).sqrt(), (area / PI).sqrt())
}
