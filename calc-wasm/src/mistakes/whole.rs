//! Mistakes in what a number is of: the whole tank for a part of it, one nozzle for a boom, the rectangle around an
//! oval, all lawns for one.

use super::area::parts;
use super::places::{AMOUNT, BAGS, BOOM_FLOW, LAWN, LAWN_MIX, LIQUID_FLOW, TREATED};
use super::{Mistake, Wrong};
use crate::calculators::lawn_area::shapes;
use crate::calculators::{boom_output, catch_test, day_plan, pressure_flow, shared, spreader, tank_mix};

pub(super) static MISTAKES: &[Mistake] = &[
    Mistake {
        id: "whole-tank-for-part",
        places: &[AMOUNT, TREATED],
        slight: false,
        wrong: |w| w.with(&tank_mix::FILL, w.si(&tank_mix::TANK)?),
    },
    Mistake { id: "full-tank-for-last-fill", places: &[AMOUNT], slight: false, wrong: full_last_fill },
    Mistake { id: "one-nozzle-for-the-boom", places: &[BOOM_FLOW], slight: false, wrong: one_nozzle },
    Mistake { id: "last-bag-left-off", places: &[BAGS], slight: false, wrong: rounded_down },
    Mistake { id: "oval-as-rectangle", places: &[LAWN], slight: false, wrong: around_the_oval },
    Mistake { id: "wedge-by-its-wide-side", places: &[LAWN], slight: true, wrong: |w| one_side(w, f64::max) },
    Mistake { id: "wedge-by-its-narrow-side", places: &[LAWN], slight: true, wrong: |w| one_side(w, f64::min) },
    Mistake { id: "density-in-proportion", places: &[LIQUID_FLOW], slight: true, wrong: by_density },
    Mistake {
        id: "all-lawns-for-one",
        places: &[LAWN_MIX],
        slight: false,
        wrong: |w| w.result_si(&day_plan::TOTAL_MIX, []),
    },
];

/// The last fill of a day is mixed as a full tank.
fn full_last_fill(w: &Wrong) -> Option<f64> {
    let fill = w.row(0).filter(|fill| *fill > 1)?;
    Some(w.right() * w.si(&shared::TANK)? / w.result_si(&day_plan::FILL_MIX, [fill])?)
}

/// The flow of one nozzle, or of the average one, is called that of the boom.
fn one_nozzle(w: &Wrong) -> Option<f64> {
    if w.is(&catch_test::TOTAL_OUTPUT) {
        return w.result_si(&catch_test::MEAN_OUTPUT, []);
    }
    w.si(&boom_output::NOZZLE_FLOW).or(w.result_si(&boom_output::FLOW_FOUND, []))
}

/// Of a part of a bag, none is loaded.
fn rounded_down(w: &Wrong) -> Option<f64> {
    let bags = w.result_si(&spreader::PRODUCT, [])? / w.si(&shared::BAG)?;
    (w.right() > 1.0 && w.right() - bags > 1e-9).then(|| w.right() - 1.0)
}

/// Length and width of an oval are multiplied as a rectangle's are.
fn around_the_oval(w: &Wrong) -> Option<f64> {
    (parts(w) == 1 && w.inputs().row_count(&shapes::ELLIPSES) == 1).then(|| w.right() * 4.0 / std::f64::consts::PI)
}

/// One side of a wedge is taken for its width all the way.
fn one_side(w: &Wrong, of: fn(f64, f64) -> f64) -> Option<f64> {
    w.change(&|name, typed| {
        let other = match name {
            name if shapes::TRAPEZOIDS.has(name, &shapes::SIDE_A) => w.sibling(name, &shapes::SIDE_B),
            name if shapes::TRAPEZOIDS.has(name, &shapes::SIDE_B) => w.sibling(name, &shapes::SIDE_A),
            _ => None,
        };
        Some(of(typed.si, other?))
    })
}

/// The flow is divided by the density, and not by its square root.
fn by_density(w: &Wrong) -> Option<f64> {
    let water = w.result_si(&pressure_flow::NEW_FLOW, []).or(w.si(&pressure_flow::FLOW))?;
    Some(w.right() * w.right() / water)
}
