//! Lawn area: the ground to treat, measured as simple shapes that are added or cut out.

mod drawn;
mod outline;
mod placed;
pub(crate) mod shapes;

use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::handles::{Choice, GroupOf, InputOf, ResultOf, Single, fields};
use crate::calculation::inputs::{Inputs, Row};
use crate::quantity::kind::{Area, Length};
use crate::quantity::kinds;
use crate::quantity::unit::{unit, units};
use crate::quantity::usual;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};
use drawn::draw;
use shapes::{
    CIRCLES, EFFECTS, ELLIPSES, KNOWN_AREA, KNOWN_PARTS, RECTANGLES, SHAPES, STRIPS, TRAPEZOIDS, TRIANGLES, disc,
    effect, pi, taped,
};

/// Area of a lawn from parts that are added or cut out.
///
/// # Formula
/// Rectangle and strip: `length * width`. Triangle: `base * height / 2`. Trapezoid: `(side a + side b) / 2 * distance`.
/// Circle: `pi * radius²`, the radius being half the diameter where that was measured. Ellipse: `pi * length * width /
/// 4`, both axes in full. Offset method: `sum of equally spaced widths * spacing`. Average-radius method:
/// `pi * (mean radius)²`. `area = all added - all cut out`. Square of equal area: `side = √area`; circle:
/// `diameter = 2 * √(area / pi)`.
/// # Inputs
/// - `rectangle`, `triangle`, `trapezoid`, `circle`, `ellipse`, `strip` (0 to 12 rows): parts of the lawn, by their
///   shape.
/// - `known` (0 to 12 rows): parts of known size, from a map or a record.
/// - `rectangle.length`, `rectangle.width`, `triangle.base`, `triangle.height`, `trapezoid.side-a`, `trapezoid.side-b`,
///   `trapezoid.distance`, `ellipse.length`, `ellipse.width`, `strip.width`, `radius.length` (ft or m): a length on the
///   ground. Above 0 to 20,000 ft, usually 2 to 1000 ft; read to 0.5 ft or 0.1 m; required.
/// - `strip.length` (ft or m): length along the middle of the strip. Above 0 to 100,000 ft, usually 2 to 10,000 ft;
///   read to 0.5 ft or 0.1 m; required.
/// - `circle.diameter`, `circle.radius` (ft or m): one of the two. Above 0 to 20,000 ft, usually 2 to 1000 ft; read to
///   0.5 ft or 0.1 m; optional.
/// - `known.area` (ft² or m²): size of the part. Above 0 to 100,000,000 ft², usually 10 to 5,000,000 ft²; read to 2 %;
///   required.
/// - `rectangle.effect`, `triangle.effect`, `trapezoid.effect`, `circle.effect`, `ellipse.effect`, `strip.effect`,
///   `known.effect`, `offset-effect`, `radius-effect` (`add` or `cut-out`): whether the part is lawn or is cut out of
///   it. `add` if left out.
/// - `offset` (0 to 60 rows): widths of an irregular part at equal distances.
/// - `offset.width` (ft or m): one of them; 0 at a pointed end. 0 to 20,000 ft, usually 0 to 1000 ft; read to 0.5 ft or
///   0.1 m; required.
/// - `offset-spacing` (ft or m): the distance between them. Above 0 to 20,000 ft, usually 2 to 1000 ft; read to 0.5 ft
///   or 0.1 m; optional.
/// - `radius` (0 to 40 rows): distances from the center of a rounded part, at equal angles.
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
/// use tankside_calc::calculation::inputs::RawInputs;
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
    looks_back: false,
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
pub(crate) const CUT_OUT: &str = OFFSET_EFFECT.choice_of("cut-out");

const fn part<const ROWS: usize>(name: &'static str) -> ResultOf<kinds::Area, ROWS> {
    ResultOf::new(name, usual::SURFACE)
}
pub(crate) static AREA: ResultOf<kinds::Area> = part("area").main();
pub(crate) static ACRES: ResultOf<kinds::Area> = ResultOf::new("acres", units!("acre", "acre")).us_only();
pub(crate) static HECTARES: ResultOf<kinds::Area> = ResultOf::new("hectares", units!("ha", "ha"));
pub(crate) static THOUSANDS: ResultOf<kinds::Number> = ResultOf::new("thousands", usual::NUMBER).us_only();
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
    let mut thousands = &area / &thousand;
    // Only a lawn label in US units counts in them.
    if rec.system == System::Us {
        thousands = rec.step("lawn-area.step.thousands", &[], &thousands, usual::NUMBER);
    }
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
