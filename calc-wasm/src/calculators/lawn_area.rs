//! Lawn area: the ground to treat, measured as simple shapes that are added or cut out.

use crate::problem::asking::RowOf;
use crate::problem::declare::{Calculator, Face, Fault, Source};
use crate::problem::drawing::{Drawing, Label, Set};
use crate::problem::given::{Inputs, Row};
use crate::problem::handles::{Choice, GroupOf, InputOf, ResultOf, Single, fields};
use crate::problem::worked::Worked;
use crate::quantity::kind::{Area, Length, Ratio};
use crate::quantity::kinds;
use crate::quantity::typed::Typed;
use crate::quantity::unit::{unit, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Area of a lawn from parts that are added or cut out.
///
/// # Formula
/// Rectangle and strip: `length * width`. Triangle: `base * height / 2`. Trapezoid: `(side a + side b) / 2 * distance`.
/// Circle: `pi * radius²`, the radius being half the diameter where that was measured. Ellipse: `pi * length * width /
/// 4`, both axes in full. Offset method: `sum of equally spaced widths * spacing`. Average-radius method:
/// `pi * (mean radius)²`. `area = all added - all cut out`. Square of equal area: `side = √area`; circle:
/// `diameter = 2 * √(area / pi)`.
/// # Inputs
/// Groups `rectangle`, `triangle`, `trapezoid`, `circle` (diameter or radius, one of them), `ellipse`, `strip`, `known`
/// (an area from a map or a record); every row has `effect` add or cut-out. `offset.N.width` with `offset-spacing`,
/// `radius.N.length`; each with one effect. Lengths in ft or m, above 0 up to 20,000 ft. Limits as declared below.
/// # Errors
/// No part; nothing left after the cut-outs; a circle with both or neither of diameter and radius; offsets without
/// their spacing.
/// # Cautions
/// `lawn-area.few-offsets` under 3 widths, `lawn-area.few-radii` under 8 radii.
/// # Source
/// As in [`Calculator::sources`]; departs from them in pi, which is taken in full instead of as 3.14.
/// # Example
/// 60 ft by 25 ft is 1500 ft²; with a round bed 14 ft across cut out 1346.06 ft² are left.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::problem::given::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("rectangle.1.length", "60 ft"),
///     ("rectangle.1.width", "25 ft"),
///     ("circle.1.diameter", "14 ft"),
///     ("circle.1.effect", "cut-out"),
/// ]);
/// let worked = work(calculator("lawn-area").unwrap(), &given, System::Us).unwrap();
/// let area = worked.value_in("area", "ft2").unwrap();
/// assert!((area - 1346.06).abs() < 0.01);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "lawn-area",
    inputs: &[
        RECTANGLES.item(),
        TRIANGLES.item(),
        TRAPEZOIDS.item(),
        CIRCLES.item(),
        ELLIPSES.item(),
        STRIPS.item(),
        KNOWN_PARTS.item(),
        OFFSET_ROWS.item(),
        OFFSET_SPACING.item(),
        OFFSET_EFFECT.item(),
        SPOKES.item(),
        RADIUS_EFFECT.item(),
    ],
    results: &[
        &AREA.spec,
        &ACRES.spec,
        &HECTARES.spec,
        &THOUSANDS.spec,
        &SQUARE_SIDE.spec,
        &CIRCLE_DIAMETER.spec,
        &RECTANGLE.spec,
        &TRIANGLE.spec,
        &TRAPEZOID.spec,
        &CIRCLE.spec,
        &ELLIPSE.spec,
        &STRIP.spec,
        &KNOWN.spec,
        &OFFSETS.spec,
        &RADII.spec,
    ],
    uncertain: &[AREA.name()],
    compare: None,
    face: Face::Results,
    sources: &[
        Source {
            title: "Estimating Lawn Areas",
            publisher: "LSU AgCenter",
            url: "https://www.lsuagcenter.com/topics/lawn_garden/commercial_horticulture/turfgrass/management-practices/calculations/estimating-lawn-areas",
        },
        Source {
            title: "Common Calculations",
            publisher: "University of Tennessee Pesticide Safety Education Program",
            url: "https://psep.tennessee.edu/common-calculations/",
        },
        Source {
            title: "Calculating area (horticulture toolbox)",
            publisher: "Government of Western Australia, WestOne training services",
            url: "http://www.westone.wa.gov.au/toolbox6/hort6/html/chemical_use/fertilisers_nutrients/fn27/fn27.htm",
        },
    ],
    example: &[
        ("rectangle.1.length", "80 ft"),
        ("rectangle.1.width", "60 ft"),
        ("rectangle.2.length", "40 ft"),
        ("rectangle.2.width", "28 ft"),
        ("rectangle.2.effect", "cut-out"),
        ("circle.1.diameter", "14 ft"),
        ("circle.1.effect", "cut-out"),
    ],
    example_metric: &[
        ("rectangle.1.length", "24 m"),
        ("rectangle.1.width", "18 m"),
        ("rectangle.2.length", "12 m"),
        ("rectangle.2.width", "8.5 m"),
        ("rectangle.2.effect", "cut-out"),
        ("circle.1.diameter", "4.3 m"),
        ("circle.1.effect", "cut-out"),
    ],
    run,
    draw,
};

/// Fields of the shapes: a length on the ground, and whether the part is taken off.
const fn effect<R>() -> InputOf<Choice, R> {
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
pub(crate) const TRAPEZOIDS: GroupOf<Trapezoid> = GroupOf::new("trapezoid", fields![SIDE_A, SIDE_B, DISTANCE, effect()], 0, 12);
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
pub(crate) enum Sized {}
pub(crate) const KNOWN_PARTS: GroupOf<Sized> = GroupOf::new("known", fields![KNOWN_AREA, effect()], 0, 12);
pub(crate) const KNOWN_AREA: InputOf<kinds::Area, Sized> = InputOf::quantity("area", usual::SURFACE)
    .above("ft2", (0.0, 100_000_000.0), (10.0, 5_000_000.0))
    .read_to((2.0, "%"), (2.0, "%"));
/// Widths of a figure at equal steps along it.
#[derive(Debug)]
pub(crate) enum Offset {}
pub(crate) const OFFSET_ROWS: GroupOf<Offset> = GroupOf::new("offset", fields![OFFSET], 0, 60);
/// A figure may run out to nothing at its ends, so a width of 0 is allowed.
pub(crate) const OFFSET: InputOf<kinds::Length, Offset> = taped("width").from("ft", (0.0, 20_000.0), (0.0, 1000.0));
pub(crate) const OFFSET_SPACING: InputOf<kinds::Length> = taped("offset-spacing").optional();
pub(crate) const OFFSET_EFFECT: InputOf<Choice> = InputOf::choice("offset-effect", EFFECTS);
/// Distances from a point inside to the edge, at equal angles.
#[derive(Debug)]
pub(crate) enum Spoke {}
pub(crate) const SPOKES: GroupOf<Spoke> = GroupOf::new("radius", fields![SPOKE], 0, 40);
pub(crate) const SPOKE: InputOf<kinds::Length, Spoke> = taped("length");
pub(crate) const RADIUS_EFFECT: InputOf<Choice> = InputOf::choice("radius-effect", EFFECTS);
const EFFECTS: &[&str] = &["add", "cut-out"];
pub(crate) const CUT_OUT: &str = OFFSET_EFFECT.choice_of("cut-out");

/// A length on the ground, read off a measuring wheel or a tape.
const fn taped<R>(name: &'static str) -> InputOf<kinds::Length, R> {
    InputOf::quantity(name, usual::SPAN)
        .above("ft", (0.0, 20_000.0), (2.0, 1000.0))
        .read_to((0.5, "ft"), (0.1, "m"))
}

const PI: f64 = std::f64::consts::PI;

const fn part<const ROWS: usize>(name: &'static str) -> ResultOf<kinds::Area, ROWS> {
    ResultOf::new(name, usual::SURFACE)
}
pub(crate) static AREA: ResultOf<kinds::Area> = part("area").main();
pub(crate) static ACRES: ResultOf<kinds::Area> = ResultOf::new("acres", units!("acre", "acre"));
pub(crate) static HECTARES: ResultOf<kinds::Area> = ResultOf::new("hectares", units!("ha", "ha"));
pub(crate) static THOUSANDS: ResultOf<kinds::Number> = ResultOf::new("thousands", usual::NUMBER);
pub(crate) static SQUARE_SIDE: ResultOf<kinds::Length> = ResultOf::new("square-side", usual::SPAN);
pub(crate) static CIRCLE_DIAMETER: ResultOf<kinds::Length> = ResultOf::new("circle-diameter", usual::SPAN);
pub(crate) static RECTANGLE: ResultOf<kinds::Area, 1> = part("rectangle-N-area");
pub(crate) static TRIANGLE: ResultOf<kinds::Area, 1> = part("triangle-N-area");
pub(crate) static TRAPEZOID: ResultOf<kinds::Area, 1> = part("trapezoid-N-area");
pub(crate) static CIRCLE: ResultOf<kinds::Area, 1> = part("circle-N-area");
pub(crate) static ELLIPSE: ResultOf<kinds::Area, 1> = part("ellipse-N-area");
pub(crate) static STRIP: ResultOf<kinds::Area, 1> = part("strip-N-area");
pub(crate) static KNOWN: ResultOf<kinds::Area, 1> = part("known-N-area");
pub(crate) static OFFSETS: ResultOf<kinds::Area> = part("offset-area");
pub(crate) static RADII: ResultOf<kinds::Area> = part("radius-area");

/// Common practice, no source: fewer widths say too little about a curved side.
const FEW_OFFSETS: usize = 3;
/// The source measures a radius every 10 degrees, 36 in total; under one every 45 degrees it is a guess.
const FEW_RADII: usize = 8;
/// Shapes drawn; more would be too small on a phone.
const MOST_DRAWN: usize = 6;

/// A shape that may be given several times.
struct Shape {
    group: &'static str,
    /// The phrase of its step.
    step: &'static str,
    result: &'static ResultOf<kinds::Area, 1>,
    /// What is computed of a row.
    area: fn(Row, &mut Recorder) -> Result<Traced<Area>, Fault>,
    /// Its outline.
    outline: fn(Row, f64) -> Outline,
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

static SHAPES: &[Shape] = &[
    shape!(
        RECTANGLES,
        "lawn-area.step.rectangle",
        RECTANGLE,
        |row: &RowOf<Rectangle>, _: &mut Recorder| -> Computed { Ok(&row.need(&LENGTH)? * &row.need(&WIDTH)?) },
        |row: &RowOf<Rectangle>, _: f64| along(&[side(row, &WIDTH); 2], side(row, &LENGTH))
    ),
    shape!(
        TRIANGLES,
        "lawn-area.step.triangle",
        TRIANGLE,
        |row: &RowOf<Triangle>, _: &mut Recorder| -> Computed {
            Ok(&(&row.need(&BASE)? * &row.need(&HEIGHT)?) / &Traced::number(2.0))
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
            Ok(&(&pi() * &(&row.need(&ACROSS)? * &row.need(&UP)?)) / &Traced::number(4.0))
        },
        |row: &RowOf<Ellipse>, _: f64| Outline::Round(side(row, &ACROSS) / 2.0, side(row, &UP) / 2.0)
    ),
    shape!(
        STRIPS,
        "lawn-area.step.strip",
        STRIP,
        |row: &RowOf<Strip>, _: &mut Recorder| -> Computed {
            Ok(&row.need(&STRIP_WIDTH)? * &row.need(&STRIP_LENGTH)?)
        },
        |row: &RowOf<Strip>, _: f64| along(&[side(row, &STRIP_WIDTH); 2], side(row, &STRIP_LENGTH))
    ),
    shape!(
        KNOWN_PARTS,
        "lawn-area.step.known",
        KNOWN,
        |row: &RowOf<Sized>, _: &mut Recorder| row.need(&KNOWN_AREA),
        // Only the size is known: a square of that size.
        |_: &RowOf<Sized>, area: f64| along(&[area.sqrt(); 2], area.sqrt())
    ),
];

fn pi() -> Traced<Ratio> {
    Traced::constant("lawn-area.constant.pi", PI, unit!(""))
}

/// A side for the outline, in meters; 0 where it is not known.
#[inline(always)]
fn side<R>(row: &RowOf<R>, field: &InputOf<kinds::Length, R>) -> f64 {
    si(row.typed(field))
}

fn si(typed: Option<&Typed>) -> f64 {
    typed.map_or(0.0, |typed| typed.si)
}

fn disc(radius: &Traced<Length>) -> Traced<Area> {
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

struct Piece {
    result: Reported,
    cut: bool,
    area: Traced<Area>,
}

/// The result that a part is reported as, where there are several.
enum Reported {
    Row(&'static ResultOf<kinds::Area, 1>, usize),
    Whole(&'static ResultOf<kinds::Area>),
}

fn parts(inputs: &Inputs, rec: &mut Recorder) -> Result<Vec<Piece>, Fault> {
    let mut parts: Vec<Piece> = Vec::new();
    for shape in SHAPES {
        for row in inputs.rows_at(shape.group) {
            let computed = (shape.area)(row, rec)?;
            // An area known in the unit shown needs no step to say that it is itself.
            let own = row.typed_at(KNOWN_AREA.name());
            let shown = own.is_some_and(|typed| typed.unit == usual::SURFACE.pick(rec.system));
            let area = if shown { computed } else { rec.step(shape.step, &[row.number], &computed, usual::SURFACE) };
            parts.push(Piece { result: Reported::Row(shape.result, row.number), cut: cut_out(&row), area });
        }
    }
    if inputs.row_count(&OFFSET_ROWS) > 0 {
        let (cut, area) = (is_cut(inputs.word(&OFFSET_EFFECT)), offsets(inputs, rec)?);
        parts.push(Piece { result: Reported::Whole(&OFFSETS), cut, area });
    }
    if inputs.row_count(&SPOKES) > 0 {
        let (cut, area) = (is_cut(inputs.word(&RADIUS_EFFECT)), radii(inputs, rec)?);
        parts.push(Piece { result: Reported::Whole(&RADII), cut, area });
    }
    Ok(parts)
}

fn is_cut(effect: Option<&str>) -> bool {
    effect == Some(CUT_OUT)
}

/// Whether the part in a row of any shape is taken off: each has this field.
fn cut_out(row: &Row) -> bool {
    is_cut(row.word_at(effect::<Single>().name()))
}

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let parts = parts(inputs, rec)?;
    let area = total(rec, &parts)?;
    rec.result(&AREA, [], &area);
    let thousand: Traced<Area> = Traced::constant("lawn-area.constant.thousand", 1000.0, unit!("ft2"));
    let thousands = rec.step("lawn-area.step.thousands", &[], &(&area / &thousand), usual::NUMBER);
    let side: Traced<Length> = rec.step("lawn-area.step.square-side", &[], &area.root(), usual::SPAN);
    let radius: Traced<Length> = (&area / &pi()).root();
    let diameter = rec.step("lawn-area.step.circle-diameter", &[], &(&Traced::number(2.0) * &radius), usual::SPAN);
    rec.result(&ACRES, [], &area);
    rec.result(&HECTARES, [], &area);
    rec.result(&THOUSANDS, [], &thousands);
    rec.result(&SQUARE_SIDE, [], &side);
    rec.result(&CIRCLE_DIAMETER, [], &diameter);
    if parts.len() > 1 {
        parts.iter().for_each(|part| match part.result {
            Reported::Row(result, row) => rec.result(result, [row], &part.area),
            Reported::Whole(result) => rec.result(result, [], &part.area),
        });
    }
    Ok(())
}

fn offsets(inputs: &Inputs, rec: &mut Recorder) -> Result<Traced<Area>, Fault> {
    let widths: Vec<Traced<Length>> = inputs.rows(&OFFSET_ROWS).filter_map(|row| row.get(&OFFSET)).collect();
    if widths.len() < FEW_OFFSETS {
        let count = vec![("count", Arg::Text(widths.len().to_string()))];
        rec.caution("lawn-area.few-offsets", Severity::Notice, count);
    }
    let sum = Traced::sum(widths).ok_or_else(|| Fault::new("lawn-area.nothing", OFFSET_ROWS.name()))?;
    let sum = rec.step("lawn-area.step.offset-sum", &[], &sum, usual::SPAN);
    let spacing = inputs.need(&OFFSET_SPACING)?;
    Ok(rec.step("lawn-area.step.offset-area", &[], &(&sum * &spacing), usual::SURFACE))
}

fn radii(inputs: &Inputs, rec: &mut Recorder) -> Result<Traced<Area>, Fault> {
    let radii: Vec<Traced<Length>> = inputs.rows(&SPOKES).filter_map(|row| row.get(&SPOKE)).collect();
    let count = radii.len();
    if count < FEW_RADII {
        rec.caution("lawn-area.few-radii", Severity::Notice, vec![("count", Arg::Text(count.to_string()))]);
    }
    let mut mean = Traced::sum(radii).ok_or_else(|| Fault::new("lawn-area.nothing", SPOKES.name()))?;
    if count > 1 {
        mean = rec.step("lawn-area.step.mean-radius", &[], &(&mean / &Traced::number(count as f64)), usual::SPAN);
    }
    Ok(rec.step("lawn-area.step.radius-area", &[], &disc(&mean), usual::SURFACE))
}

fn total(rec: &mut Recorder, parts: &[Piece]) -> Result<Traced<Area>, Fault> {
    let of = |cut: bool| parts.iter().filter(move |part| part.cut == cut).map(|part| part.area.clone());
    if parts.is_empty() {
        return Err(Fault::new("lawn-area.nothing", RECTANGLES.name()));
    }
    let Some(sum) = Traced::sum(of(false)) else { return Err(Fault::new("lawn-area.nothing-left", RECTANGLES.name())) };
    let net = of(true).fold(sum, |net, part| &net - &part);
    if net.si() <= 0.0 {
        return Err(Fault::new("lawn-area.nothing-left", RECTANGLES.name()));
    }
    Ok(if parts.len() > 1 { rec.step("lawn-area.step.area", &[], &net, usual::SURFACE) } else { net })
}

/// The outline of a part in meters, its middle at the origin.
enum Outline {
    Round(f64, f64),
    Corners(Vec<(f64, f64)>),
}

impl Outline {
    /// Half its width and half its height.
    fn reach(&self) -> (f64, f64) {
        match self {
            Outline::Round(across, up) => (*across, *up),
            Outline::Corners(points) => points
                .iter()
                .fold((1e-6, 1e-6), |most: (f64, f64), at| (most.0.max(at.0.abs()), most.1.max(at.1.abs()))),
        }
    }

    fn draw(&self, drawing: &mut Drawing, class: &str, (x, y): (f64, f64), scale: f64) {
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
fn along(widths: &[f64], spacing: f64) -> Outline {
    let x = |index: usize| (index as f64 - (widths.len() as f64 - 1.0) / 2.0) * spacing;
    let upper = widths.iter().enumerate().map(|(index, width)| (x(index), -width / 2.0));
    let lower = widths.iter().enumerate().rev().map(|(index, width)| (x(index), width / 2.0));
    Outline::Corners(upper.chain(lower).collect())
}

/// A circle of this area; of measured radii, that of their mean, which is what is computed.
fn round(area: f64) -> Outline {
    Outline::Round((area / PI).sqrt(), (area / PI).sqrt())
}

/// A part that is drawn: its group, its area and whether it is taken off.
type Drawn = (&'static str, f64, bool);

/// Every part, with the outlines of those that are drawn.
fn drawn(worked: &Worked) -> (Vec<Drawn>, Vec<Outline>) {
    let inputs = &worked.inputs;
    let mut parts: Vec<Drawn> = Vec::new();
    let mut outlines: Vec<Outline> = Vec::new();
    // One part alone is the whole lawn.
    let area = |own: Option<f64>| own.or_else(|| worked.si(&AREA, [])).unwrap_or_default();
    for shape in SHAPES {
        for row in inputs.rows_at(shape.group) {
            let area = area(worked.si(shape.result, [row.number]));
            parts.push((shape.group, area, cut_out(&row)));
            if outlines.len() < MOST_DRAWN {
                outlines.push((shape.outline)(row, area));
            }
        }
    }
    if inputs.row_count(&OFFSET_ROWS) > 0 {
        let area = area(worked.si(&OFFSETS, []));
        parts.push((OFFSET_ROWS.name(), area, is_cut(inputs.word(&OFFSET_EFFECT))));
        let widths: Vec<f64> = inputs.rows(&OFFSET_ROWS).map(|row| side(&row, &OFFSET)).collect();
        outlines.push(along(&widths, si(inputs.typed(&OFFSET_SPACING))));
    }
    if inputs.row_count(&SPOKES) > 0 {
        let area = area(worked.si(&RADII, []));
        parts.push((SPOKES.name(), area, is_cut(inputs.word(&RADIUS_EFFECT))));
        outlines.push(round(area));
    }
    outlines.truncate(MOST_DRAWN);
    (parts, outlines)
}

/// Every part beside the others, all to one scale.
fn draw(worked: &Worked, system: System) -> Drawing {
    let (parts, outlines) = drawn(worked);
    let unit = usual::SURFACE.pick(system);
    let columns = outlines.len().clamp(1, 3);
    let (wide, high) = (344.0 / columns as f64, 112.0);
    let mut drawing = Drawing::new(high * outlines.len().div_ceil(columns) as f64 + 8.0);
    let scale = outlines.iter().fold(f64::MAX, |scale, outline| {
        let (across, up) = outline.reach();
        scale.min((wide / 2.0 - 8.0) / across).min(38.0 / up)
    });
    for (index, (group, area, cut)) in parts.iter().enumerate() {
        if let Some(outline) = outlines.get(index) {
            let middle = (8.0 + wide * ((index % columns) as f64 + 0.5), 46.0 + high * (index / columns) as f64);
            outline.draw(&mut drawing, if *cut { "band-2" } else { "ground" }, middle, scale);
            if !cut {
                outline.draw(&mut drawing, "line", middle, scale);
            }
            let sign = if *cut { "−" } else { "+" };
            let text = format!("{sign} {}", written::quantity(*area, &unit));
            drawing.label(Set::Mid, middle.0, middle.1 + 58.0, Label::Plain(text));
        }
        let key = if *cut { "lawn-area.draw.cut" } else { "lawn-area.draw.added" };
        let shape = Arg::Phrase(format!("{}.group.{group}", CALCULATOR.id));
        drawing.say(key, vec![("shape", shape), ("area", Arg::Quantity(*area, unit))]);
    }
    let total = Arg::Quantity(worked.si(&AREA, []).unwrap_or_default(), unit);
    drawing.say("lawn-area.draw.total", vec![("drawn", Arg::Text(outlines.len().to_string())), ("area", total)]);
    drawing
}
