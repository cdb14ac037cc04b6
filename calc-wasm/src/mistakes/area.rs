//! Mistakes in the area of a lawn or a plot.

use super::places::{LAWN, PLOT, PLOT_RATE};
use super::{Mistake, Wrong, beside};
use crate::calculation::handles::{GroupOf, ResultOf};
use crate::calculators::lawn_area::shapes;
use crate::calculators::{known_area, lawn_area};
use crate::quantity::kinds;
use crate::working::result::flat_name;

/// Whether a part is added or cut out; every shape has it.
const EFFECT: &str = shapes::effect::<shapes::Rectangle>().name();

pub(super) static MISTAKES: &[Mistake] = &[
    Mistake { id: "sides-added", places: &[LAWN], slight: false, wrong: sides_added },
    Mistake {
        id: "diameter-for-radius",
        places: &[LAWN],
        slight: true,
        wrong: |w| w.change(&|name, typed| shapes::CIRCLES.has(name, &shapes::DIAMETER).then_some(typed.si * 2.0)),
    },
    Mistake { id: "radius-not-squared", places: &[LAWN], slight: false, wrong: |w| circle_of(w, 1.0) },
    Mistake { id: "circumference-for-area", places: &[LAWN], slight: false, wrong: |w| circle_of(w, 2.0) },
    Mistake {
        id: "triangle-without-half",
        places: &[LAWN],
        slight: true,
        wrong: |w| w.change(&|name, typed| shapes::TRIANGLES.has(name, &shapes::BASE).then_some(typed.si * 2.0)),
    },
    Mistake { id: "lot-size-for-lawn-size", places: &[LAWN], slight: false, wrong: nothing_cut_out },
    Mistake { id: "doubling-sides-doubles-area", places: &[LAWN], slight: false, wrong: scaled_once },
    Mistake { id: "one-128th-sum-of-nozzles", places: &[PLOT_RATE], slight: false, wrong: sum_of_nozzles },
    Mistake { id: "185-read-as-area", places: &[PLOT], slight: false, wrong: side_as_area },
];

/// Whether a lawn is of one part. A slip that makes a part of several all but vanish looks like leaving it out.
fn one_part(w: &Wrong) -> bool {
    parts(w) == 1
}

/// How many parts a lawn has, each added or cut out.
pub(super) fn parts(w: &Wrong) -> usize {
    w.inputs().names().filter(|name| name.rsplit('.').next() == Some(EFFECT)).count()
}

/// The sides of a rectangle are added, twice over as one walks around it, and the sum is called square feet.
fn sides_added(w: &Wrong) -> Option<f64> {
    if !one_part(w) {
        return None;
    }
    w.change(&|name, typed| {
        if !shapes::RECTANGLES.has(name, &shapes::WIDTH) {
            return None;
        }
        let length = w.sibling(name, &shapes::LENGTH)?;
        Some(2.0 * (length + typed.si) * typed.unit.size() / length)
    })
}

/// Pi is multiplied by so many radii. The circle whose area that is takes the place of the one given.
fn circle_of(w: &Wrong, radii: f64) -> Option<f64> {
    if !one_part(w) {
        return None;
    }
    w.change(&|name, typed| match name {
        name if shapes::CIRCLES.has(name, &shapes::DIAMETER) => {
            Some(2.0 * (radii * typed.si / 2.0 * typed.unit.size()).sqrt())
        }
        name if shapes::CIRCLES.has(name, &shapes::RADIUS) => Some((radii * typed.si * typed.unit.size()).sqrt()),
        _ => None,
    })
}

/// The rows of each shape and the area of one. Constants, so that every page has their names and only the lawn's part
/// the declarations.
const SHAPES: [(&str, &str); 7] = [
    shape(&shapes::RECTANGLES, &lawn_area::RECTANGLE),
    shape(&shapes::TRIANGLES, &lawn_area::TRIANGLE),
    shape(&shapes::TRAPEZOIDS, &lawn_area::TRAPEZOID),
    shape(&shapes::CIRCLES, &lawn_area::CIRCLE),
    shape(&shapes::ELLIPSES, &lawn_area::ELLIPSE),
    shape(&shapes::STRIPS, &lawn_area::STRIP),
    shape(&shapes::KNOWN_PARTS, &lawn_area::KNOWN),
];

const fn shape<R>(rows: &GroupOf<R>, area: &ResultOf<kinds::Area, 1>) -> (&'static str, &'static str) {
    (rows.name(), area.name())
}

/// What is not sprayed is not taken off.
fn nothing_cut_out(w: &Wrong) -> Option<f64> {
    let net = w.result_si(&lawn_area::AREA, [])?;
    let cut = SHAPES.iter().flat_map(|(group, area)| {
        let rows = w.inputs().rows_at(group).filter(|row| row.word_at(EFFECT) == Some(lawn_area::CUT_OUT));
        rows.filter_map(|row| w.result_si_at(&flat_name(area, &[row.number])))
    });
    let cut: f64 = cut.sum();
    (cut > 0.0).then(|| w.right() * (net + cut) / net)
}

/// The area is scaled by what each side is scaled by, once; `scale` says by how much.
fn scaled_once(w: &Wrong) -> Option<f64> {
    let length = w.si_in(&shapes::RECTANGLES, 1, &shapes::LENGTH)?;
    w.with_in(&shapes::RECTANGLES, 1, &shapes::LENGTH, length / w.si(&beside::SCALE)?)
}

/// The catches of all nozzles are added where the mean of one belongs.
fn sum_of_nozzles(w: &Wrong) -> Option<f64> {
    let is_catch = |name: &str| known_area::NOZZLE.has(name, &known_area::NOZZLE_VOLUME);
    let catches = w.inputs().quantities().filter(|(name, _)| is_catch(name));
    let sum: f64 = catches.map(|(_, typed)| typed.si).sum();
    let each = w.inputs().word(&known_area::NOZZLES_COVER) == Some(known_area::EACH);
    if each { w.change(&|name, _| is_catch(name).then_some(sum)) } else { None }
}

/// The side of a square plot is taken for its area.
fn side_as_area(w: &Wrong) -> Option<f64> {
    let width = w.typed_in(&known_area::PLOT, 1, &known_area::WIDTH)?;
    let length = w.si_in(&known_area::PLOT, 1, &known_area::LENGTH)?;
    let square = width.si.to_bits() == length.to_bits();
    square.then(|| w.with_in(&known_area::PLOT, 1, &known_area::LENGTH, width.unit.size())).flatten()
}
