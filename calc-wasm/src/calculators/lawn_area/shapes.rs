//! The shapes that a lawn is measured as: the fields of each, its area and its outline.

use super::outline::{Outline, along, round};
use super::{CIRCLE, ELLIPSE, KNOWN, RECTANGLE, STRIP, TRAPEZOID, TRIANGLE};
use crate::calculation::asking::RowOf;
use crate::calculation::declare::Fault;
use crate::calculation::handles::{Choice, GroupOf, InputOf, ResultOf, fields};
use crate::calculation::inputs::Row;
use crate::quantity::kind::{Area, Length, Ratio};
use crate::quantity::kinds;
use crate::quantity::typed::Typed;
use crate::quantity::unit::unit;
use crate::quantity::usual;
use crate::working::record::{Recorder, Traced};

/// Whether the part is added or cut out.
pub(crate) const fn effect<R>() -> InputOf<Choice, R> {
    InputOf::choice("effect", EFFECTS)
}
/// Rectangles.
#[derive(Debug)]
pub(crate) enum Rectangle {}
pub(crate) const RECTANGLES: GroupOf<Rectangle> = GroupOf::new("rectangle", fields![LENGTH, WIDTH, effect()], 0, 12);
pub(crate) const LENGTH: InputOf<kinds::Length, Rectangle> = taped("length");
pub(crate) const WIDTH: InputOf<kinds::Length, Rectangle> = taped("width");
/// Triangles.
#[derive(Debug)]
pub(crate) enum Triangle {}
pub(crate) const TRIANGLES: GroupOf<Triangle> = GroupOf::new("triangle", fields![BASE, HEIGHT, effect()], 0, 12);
pub(crate) const BASE: InputOf<kinds::Length, Triangle> = taped("base");
pub(crate) const HEIGHT: InputOf<kinds::Length, Triangle> = taped("height");
/// Four-sided parts with two sides level.
#[derive(Debug)]
pub(crate) enum Trapezoid {}
pub(crate) const TRAPEZOIDS: GroupOf<Trapezoid> =
    GroupOf::new("trapezoid", fields![SIDE_A, SIDE_B, DISTANCE, effect()], 0, 12);
pub(crate) const SIDE_A: InputOf<kinds::Length, Trapezoid> = taped("side-a");
pub(crate) const SIDE_B: InputOf<kinds::Length, Trapezoid> = taped("side-b");
pub(crate) const DISTANCE: InputOf<kinds::Length, Trapezoid> = taped("distance");
/// Circles, each by its diameter or its radius.
#[derive(Debug)]
pub(crate) enum Circle {}
pub(crate) const CIRCLES: GroupOf<Circle> = GroupOf::new("circle", fields![DIAMETER, RADIUS, effect()], 0, 12);
pub(crate) const DIAMETER: InputOf<kinds::Length, Circle> = taped("diameter").optional();
pub(crate) const RADIUS: InputOf<kinds::Length, Circle> = taped("radius").optional();
/// Ellipses.
#[derive(Debug)]
pub(crate) enum Ellipse {}
pub(crate) const ELLIPSES: GroupOf<Ellipse> = GroupOf::new("ellipse", fields![ACROSS, UP, effect()], 0, 12);
pub(crate) const ACROSS: InputOf<kinds::Length, Ellipse> = taped("length");
pub(crate) const UP: InputOf<kinds::Length, Ellipse> = taped("width");
/// Strips along a street or a fence.
#[derive(Debug)]
pub(crate) enum Strip {}
pub(crate) const STRIPS: GroupOf<Strip> = GroupOf::new("strip", fields![STRIP_LENGTH, STRIP_WIDTH, effect()], 0, 12);
pub(crate) const STRIP_LENGTH: InputOf<kinds::Length, Strip> =
    taped("length").above("ft", (0.0, 100_000.0), (2.0, 10_000.0));
pub(crate) const STRIP_WIDTH: InputOf<kinds::Length, Strip> = taped("width");
/// Parts whose area is known.
#[derive(Debug)]
pub(crate) enum KnownPart {}
pub(crate) const KNOWN_PARTS: GroupOf<KnownPart> = GroupOf::new("known", fields![KNOWN_AREA, effect()], 0, 12);
pub(crate) const KNOWN_AREA: InputOf<kinds::Area, KnownPart> = InputOf::quantity("area", usual::SURFACE)
    .above("ft2", (0.0, 100_000_000.0), (10.0, 5_000_000.0))
    .read_to((2.0, "%"), (2.0, "%"));
/// A length on the ground, read off a measuring wheel or a tape.
pub(super) const fn taped<R>(name: &'static str) -> InputOf<kinds::Length, R> {
    InputOf::quantity(name, usual::SPAN).above("ft", (0.0, 20_000.0), (2.0, 1000.0)).read_to((0.5, "ft"), (0.1, "m"))
}

pub(super) const EFFECTS: &[&str] = &["add", "cut-out"];

/// A shape that may be given several times.
pub(super) struct Shape {
    pub(super) group: &'static str,
    /// The phrase of its step.
    pub(super) step: &'static str,
    pub(super) result: &'static ResultOf<kinds::Area, 1>,
    /// What is computed of a row.
    pub(super) area: fn(Row, &mut Recorder) -> Result<Traced<Area>, Fault>,
    /// Its outline.
    pub(super) outline: fn(Row, f64) -> Outline,
}

/// A shape of one group: every function gets a row of that group, and of no other.
macro_rules! shape {
    ($group:ident, $step:literal, $result:ident, $area:expr, $outline:expr) => {
        Shape {
            group: $group.name(),
            step: $step,
            result: &$result,
            area: |row, rec| ($area)(&$group.row(row), rec),
            outline: |row, area| ($outline)(&$group.row(row), area),
        }
    };
}

type Computed = Result<Traced<Area>, Fault>;

fn product<R>(row: &RowOf<R>, one: &InputOf<kinds::Length, R>, other: &InputOf<kinds::Length, R>) -> Computed {
    Ok(&row.need(one)? * &row.need(other)?)
}

pub(super) static SHAPES: &[Shape] = &[
    shape!(
        RECTANGLES,
        "lawn-area.step.rectangle",
        RECTANGLE,
        |row: &RowOf<Rectangle>, _: &mut Recorder| -> Computed { product(row, &LENGTH, &WIDTH) },
        |row: &RowOf<Rectangle>, _: f64| along(&[side(row, &WIDTH); 2], side(row, &LENGTH))
    ),
    shape!(
        TRIANGLES,
        "lawn-area.step.triangle",
        TRIANGLE,
        |row: &RowOf<Triangle>, _: &mut Recorder| -> Computed {
            Ok(&product(row, &BASE, &HEIGHT)? / &Traced::number(2.0))
        },
        |row: &RowOf<Triangle>, _: f64| along(&[side(row, &BASE), 0.0], side(row, &HEIGHT))
    ),
    shape!(
        TRAPEZOIDS,
        "lawn-area.step.trapezoid",
        TRAPEZOID,
        |row: &RowOf<Trapezoid>, _: &mut Recorder| -> Computed {
            let sides = &row.need(&SIDE_A)? + &row.need(&SIDE_B)?;
            Ok(&(&sides * &row.need(&DISTANCE)?) / &Traced::number(2.0))
        },
        |row: &RowOf<Trapezoid>, _: f64| along(&[side(row, &SIDE_A), side(row, &SIDE_B)], side(row, &DISTANCE))
    ),
    shape!(CIRCLES, "lawn-area.step.circle", CIRCLE, circle, |_: &RowOf<Circle>, area: f64| round(area)),
    shape!(
        ELLIPSES,
        "lawn-area.step.ellipse",
        ELLIPSE,
        |row: &RowOf<Ellipse>, _: &mut Recorder| -> Computed {
            Ok(&(&pi() * &product(row, &ACROSS, &UP)?) / &Traced::number(4.0))
        },
        |row: &RowOf<Ellipse>, _: f64| Outline::Round(side(row, &ACROSS) / 2.0, side(row, &UP) / 2.0)
    ),
    shape!(
        STRIPS,
        "lawn-area.step.strip",
        STRIP,
        |row: &RowOf<Strip>, _: &mut Recorder| -> Computed { product(row, &STRIP_LENGTH, &STRIP_WIDTH) },
        |row: &RowOf<Strip>, _: f64| along(&[side(row, &STRIP_WIDTH); 2], side(row, &STRIP_LENGTH))
    ),
    shape!(
        KNOWN_PARTS,
        "lawn-area.step.known",
        KNOWN,
        |row: &RowOf<KnownPart>, _: &mut Recorder| row.need(&KNOWN_AREA),
        // Only the size is known: a square of that size.
        |_: &RowOf<KnownPart>, area: f64| along(&[area.sqrt(); 2], area.sqrt())
    ),
];

pub(super) fn pi() -> Traced<Ratio> {
    Traced::constant("lawn-area.constant.pi", std::f64::consts::PI, unit!(""))
}

/// A side for the outline, in meters; 0 where it is not known.
#[inline(always)]
pub(super) fn side<R>(row: &RowOf<R>, field: &InputOf<kinds::Length, R>) -> f64 {
    si(row.typed(field))
}

pub(super) fn si(typed: Option<&Typed>) -> f64 {
    typed.map_or(0.0, |typed| typed.si)
}

pub(super) fn disc(radius: &Traced<Length>) -> Traced<Area> {
    &(&pi() * radius) * radius
}

fn circle(row: &RowOf<Circle>, rec: &mut Recorder) -> Result<Traced<Area>, Fault> {
    let radius = match (row.get(&DIAMETER), row.get(&RADIUS)) {
        (None, Some(radius)) => radius,
        (Some(diameter), None) => {
            rec.step("lawn-area.step.circle-radius", &[row.number()], &(&diameter / &Traced::number(2.0)), usual::SPAN)
        }
        _ => return Err(Fault::new("lawn-area.diameter-or-radius", row.name(&DIAMETER))),
    };
    Ok(disc(&radius))
}
