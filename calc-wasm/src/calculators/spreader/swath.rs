//! How wide the spreader really spreads, from boxes in a line across its path.

use super::SWATH;
use crate::calculation::declare::Fault;
use crate::calculation::handles::{GroupOf, InputOf, fields};
use crate::calculation::inputs::Inputs;
use crate::quantity::kind::{Length, Mixed};
use crate::quantity::kinds;
use crate::quantity::unit::{Unit, units};
use crate::quantity::units::Dim;
use crate::quantity::usual;
use crate::working::record::{Recorder, Traced};

/// Boxes across the swath, from the center outward.
#[derive(Debug)]
pub(super) enum Collector {}
pub(super) const BOX: GroupOf<Collector> = GroupOf::new("box", fields![OFFSET, DEPTH, CAUGHT], 0, 20);
/// Common practice, no source: the row of boxes lies along a tape.
pub(super) const OFFSET: InputOf<kinds::Length, Collector> =
    InputOf::quantity("offset", usual::SPAN).from("ft", (0.0, 60.0), (0.0, 20.0)).read_to((1.0, "in"), (2.0, "cm"));
/// Common practice, no source: a ruler held into the box, or a tube with marks.
pub(super) const DEPTH: InputOf<kinds::Length, Collector> = InputOf::quantity("depth", units!("in", "mm"))
    .from("in", (0.0, 60.0), (0.0, 12.0))
    .read_to((0.125, "in"), (2.0, "mm"))
    .optional();
/// Common practice, no source: a kitchen scale.
pub(super) const CAUGHT: InputOf<kinds::Mass, Collector> = InputOf::quantity("weight", units!("oz", "g"))
    .from("oz", (0.0, 1600.0), (0.0, 32.0))
    .read_to((0.1, "oz"), (2.0, "g"))
    .optional();

/// What a box caught, as depth or as weight: only the ratio of catches counts.
pub(super) struct Caught {
    pub(super) offset: Traced<Length>,
    pub(super) amount: Traced<Mixed>,
    unit: Unit,
}

/// The boxes in their order, all read in one way.
pub(super) fn boxes(inputs: &Inputs) -> Result<Vec<Caught>, Fault> {
    let mut all: Vec<Caught> = Vec::new();
    for row in inputs.rows(&BOX) {
        let offset = row.need(&OFFSET)?;
        let (amount, unit) = match row.get(&DEPTH) {
            Some(depth) => (depth.untyped(), row.unit(&DEPTH)),
            None => (row.need(&CAUGHT)?.untyped(), row.unit(&CAUGHT)),
        };
        all.push(Caught { offset, amount, unit: unit.cloned().unwrap_or_default() });
    }
    let dims: Vec<Dim> = all.iter().map(|caught| caught.unit.dim()).collect();
    if dims.iter().any(|dim| *dim != dims[0]) {
        return Err(Fault::new("spreader.mixed-boxes", BOX.name()));
    }
    if all.windows(2).any(|pair| !pair[1].offset.above(&pair[0].offset)) {
        return Err(Fault::new("spreader.box-order", BOX.name()));
    }
    if all.first().is_none_or(|centre| centre.offset.si() > 0.0 || centre.amount.si() <= 0.0) {
        return Err(Fault::new("spreader.no-centre", BOX.name()));
    }
    Ok(all)
}

/// Twice the distance at which the catch falls to half of the center catch.
pub(super) fn swath(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let boxes = boxes(inputs)?;
    let two = Traced::number(2.0);
    let half = rec.step_in("spreader.step.half", &[], &(&boxes[0].amount / &two), &boxes[0].unit);
    let outer = boxes.iter().position(|caught| !caught.amount.above(&half));
    let Some(outer) = outer.filter(|outer| *outer > 0) else {
        return Err(Fault::new("spreader.short-row", BOX.name()));
    };
    let (inner, outer) = (&boxes[outer - 1], &boxes[outer]);
    let mut distance = outer.offset.clone();
    if outer.amount.below(&half) {
        let share = (&inner.amount - &half).share_of(&(&inner.amount - &outer.amount));
        let beyond = &(&outer.offset - &inner.offset) * &share;
        distance = rec.step("spreader.step.half-distance", &[], &(&inner.offset + &beyond), usual::SPAN);
    }
    rec.settle(&SWATH, [], &(&two * &distance));
    Ok(())
}
