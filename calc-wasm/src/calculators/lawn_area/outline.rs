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

    /// Half the width and half the height of a level rectangle about the middle that lies inside it; nothing of a shape
    /// whose middle is no guide.
    pub(super) fn inside(&self) -> (f64, f64) {
        let (across, up) = self.reach();
        match self {
            Outline::Round(..) => (across * 0.7, up * 0.7),
            Outline::Corners(points) if points.len() == 4 && points[0].1 == points[1].1 => (across, up),
            Outline::Corners(_) => (0.0, 0.0),
        }
    }

    /// Whether its number has room in it.
    pub(super) fn holds_number(&self, scale: f64) -> bool {
        let (across, up) = self.inside();
        across * scale >= 8.0 && up * scale >= 9.0
    }

    /// Where its number stands: near the upper left of what is added, in the middle of what is cut out or is round, and
    /// to the right of what is too small for it.
    pub(super) fn mark(&self, (x, y): (f64, f64), scale: f64, cut: bool) -> (f64, f64) {
        let (across, up) = self.reach();
        match (cut, self.holds_number(scale)) {
            (_, false) => (x + across * scale + 9.0, y + 5.0),
            (false, true) if self.inside().0 == across => {
                (x - across * scale + 12.0, (y - up * scale + 18.0).min(y + 5.0))
            }
            (_, true) => (x, y + 5.0),
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
