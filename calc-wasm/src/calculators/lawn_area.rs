//! Lawn area: the ground to treat, measured as simple shapes that are added or cut out.

use crate::calculation::declare::{Calculator, Face, Fault, FormItem, Group, Input, ResultSpec, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::inputs::{Inputs, Row};
use crate::calculation::worked::Worked;
use crate::quantity::kind::{Area, Kind, Length, Ratio};
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
        rows("rectangle", &[taped("length"), taped("width"), EFFECT], 12),
        rows("triangle", &[taped("base"), taped("height"), EFFECT], 12),
        rows("trapezoid", &[taped("side-a"), taped("side-b"), taped("distance"), EFFECT], 12),
        rows("circle", &[DIAMETER, RADIUS, EFFECT], 12),
        rows("ellipse", &[taped("length"), taped("width"), EFFECT], 12),
        rows("strip", &[STRIP_LENGTH, taped("width"), EFFECT], 12),
        rows("known", &[KNOWN_AREA, EFFECT], 12),
        rows("offset", &[OFFSET], 60),
        FormItem::One(OFFSET_SPACING),
        FormItem::One(Input::choice("offset-effect", EFFECTS)),
        rows("radius", &[taped("length")], 40),
        FormItem::One(Input::choice("radius-effect", EFFECTS)),
    ],
    results: &[
        &AREA,
        &ACRES,
        &HECTARES,
        &THOUSANDS,
        &SQUARE_SIDE,
        &CIRCLE_DIAMETER,
        &RECTANGLE,
        &TRIANGLE,
        &TRAPEZOID,
        &CIRCLE,
        &ELLIPSE,
        &STRIP,
        &KNOWN,
        &OFFSETS,
        &RADII,
    ],
    uncertain: &["area"],
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

const fn rows(name: &'static str, fields: &'static [Input], most: usize) -> FormItem {
    FormItem::Many(Group { name, fields, least: 0, most })
}
const EFFECTS: &[&str] = &["add", "cut-out"];
const EFFECT: Input = Input::choice("effect", EFFECTS);

/// A length on the ground, read off a measuring wheel or a tape.
const fn taped(name: &'static str) -> Input {
    Input::quantity(name, Kind::Length, usual::SPAN)
        .above("ft", (0.0, 20_000.0), (2.0, 1000.0))
        .read_to((0.5, "ft"), (0.1, "m"))
}
const DIAMETER: Input = taped("diameter").optional();
const RADIUS: Input = taped("radius").optional();
const STRIP_LENGTH: Input = taped("length").above("ft", (0.0, 100_000.0), (2.0, 10_000.0));
const OFFSET_SPACING: Input = taped("offset-spacing").optional();
/// A figure may run out to nothing at its ends, so a width of 0 is allowed.
const OFFSET: Input = taped("width").from("ft", (0.0, 20_000.0), (0.0, 1000.0));
const KNOWN_AREA: Input = Input::quantity("area", Kind::Area, usual::SURFACE)
    .above("ft2", (0.0, 100_000_000.0), (10.0, 5_000_000.0))
    .read_to((2.0, "%"), (2.0, "%"));

const PI: f64 = std::f64::consts::PI;

const fn part(name: &'static str) -> ResultSpec {
    ResultSpec::new(name, Kind::Area, usual::SURFACE)
}
static AREA: ResultSpec = part("area").main();
static ACRES: ResultSpec = ResultSpec::new("acres", Kind::Area, units!("acre", "acre"));
static HECTARES: ResultSpec = ResultSpec::new("hectares", Kind::Area, units!("ha", "ha"));
static THOUSANDS: ResultSpec = ResultSpec::new("thousands", Kind::Number, usual::NUMBER);
static SQUARE_SIDE: ResultSpec = ResultSpec::new("square-side", Kind::Length, usual::SPAN);
static CIRCLE_DIAMETER: ResultSpec = ResultSpec::new("circle-diameter", Kind::Length, usual::SPAN);
static RECTANGLE: ResultSpec = part("rectangle-N-area");
static TRIANGLE: ResultSpec = part("triangle-N-area");
static TRAPEZOID: ResultSpec = part("trapezoid-N-area");
static CIRCLE: ResultSpec = part("circle-N-area");
static ELLIPSE: ResultSpec = part("ellipse-N-area");
static STRIP: ResultSpec = part("strip-N-area");
static KNOWN: ResultSpec = part("known-N-area");
static OFFSETS: ResultSpec = part("offset-area");
static RADII: ResultSpec = part("radius-area");

/// Common practice, no source: fewer widths say too little about a curved side.
const FEW_OFFSETS: usize = 3;
/// The source measures a radius every 10 degrees, 36 in total; under one every 45 degrees it is a guess.
const FEW_RADII: usize = 8;
/// Shapes drawn; more would be too small on a phone.
const MOST_DRAWN: usize = 6;

/// A shape that may be given several times: its group, its step, its result, and what is computed of a row.
struct Shape(&'static str, &'static str, &'static ResultSpec, fn(&Row, &mut Recorder) -> Result<Traced<Area>, Fault>);

static SHAPES: &[Shape] = &[
    Shape("rectangle", "lawn-area.step.rectangle", &RECTANGLE, |row, _| product(row, "length", "width")),
    Shape("triangle", "lawn-area.step.triangle", &TRIANGLE, |row, _| {
        Ok(&product(row, "base", "height")? / &Traced::number(2.0))
    }),
    Shape("trapezoid", "lawn-area.step.trapezoid", &TRAPEZOID, |row, _| {
        let sides = &row.need::<Length>("side-a")? + &row.need::<Length>("side-b")?;
        Ok(&(&sides * &row.need::<Length>("distance")?) / &Traced::number(2.0))
    }),
    Shape("circle", "lawn-area.step.circle", &CIRCLE, circle),
    Shape("ellipse", "lawn-area.step.ellipse", &ELLIPSE, |row, _| {
        Ok(&(&pi() * &product(row, "length", "width")?) / &Traced::number(4.0))
    }),
    Shape("strip", "lawn-area.step.strip", &STRIP, |row, _| product(row, "width", "length")),
    Shape("known", "lawn-area.step.known", &KNOWN, |row, _| row.need("area")),
];

fn pi() -> Traced<Ratio> {
    Traced::constant("lawn-area.constant.pi", PI, unit!(""))
}

fn product(row: &Row, one: &str, other: &str) -> Result<Traced<Area>, Fault> {
    Ok(&row.need::<Length>(one)? * &row.need::<Length>(other)?)
}

fn disc(radius: &Traced<Length>) -> Traced<Area> {
    &(&pi() * radius) * radius
}

fn circle(row: &Row, rec: &mut Recorder) -> Result<Traced<Area>, Fault> {
    let radius = match (row.get::<Length>("diameter"), row.get::<Length>("radius")) {
        (None, Some(radius)) => radius,
        (Some(diameter), None) => {
            rec.step("lawn-area.step.circle-radius", &[row.number], &(&diameter / &Traced::number(2.0)), usual::SPAN)
        }
        _ => return Err(Fault::new("lawn-area.diameter-or-radius", row.name("diameter"))),
    };
    Ok(disc(&radius))
}

struct Piece {
    spec: &'static ResultSpec,
    rows: Vec<usize>,
    cut: bool,
    area: Traced<Area>,
}

fn parts(inputs: &Inputs, rec: &mut Recorder) -> Result<Vec<Piece>, Fault> {
    let mut parts: Vec<Piece> = Vec::new();
    for Shape(group, step, spec, area) in SHAPES {
        for row in inputs.rows(group) {
            let computed = area(&row, rec)?;
            // An area known in the unit shown needs no step to say that it is itself.
            let shown = row.unit("area").is_some_and(|unit| *unit == usual::SURFACE.pick(rec.system));
            let area = if shown { computed } else { rec.step(step, &[row.number], &computed, usual::SURFACE) };
            parts.push(Piece { spec, rows: vec![row.number], cut: is_cut(row.word("effect")), area });
        }
    }
    if inputs.row_count("offset") > 0 {
        let (cut, area) = (is_cut(inputs.word("offset-effect")), offsets(inputs, rec)?);
        parts.push(Piece { spec: &OFFSETS, rows: Vec::new(), cut, area });
    }
    if inputs.row_count("radius") > 0 {
        let (cut, area) = (is_cut(inputs.word("radius-effect")), radii(inputs, rec)?);
        parts.push(Piece { spec: &RADII, rows: Vec::new(), cut, area });
    }
    Ok(parts)
}

fn is_cut(effect: Option<&str>) -> bool {
    effect == Some("cut-out")
}

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let parts = parts(inputs, rec)?;
    let area = total(rec, &parts)?;
    rec.result(&AREA, &[], &area);
    let thousand: Traced<Area> = Traced::constant("lawn-area.constant.thousand", 1000.0, unit!("ft2"));
    let thousands = rec.step("lawn-area.step.thousands", &[], &(&area / &thousand), usual::NUMBER);
    let side: Traced<Length> = rec.step("lawn-area.step.square-side", &[], &area.root(), usual::SPAN);
    let radius: Traced<Length> = (&area / &pi()).root();
    let diameter = rec.step("lawn-area.step.circle-diameter", &[], &(&Traced::number(2.0) * &radius), usual::SPAN);
    rec.result(&ACRES, &[], &area);
    rec.result(&HECTARES, &[], &area);
    rec.result(&THOUSANDS, &[], &thousands);
    rec.result(&SQUARE_SIDE, &[], &side);
    rec.result(&CIRCLE_DIAMETER, &[], &diameter);
    if parts.len() > 1 {
        parts.iter().for_each(|part| rec.result(part.spec, &part.rows, &part.area));
    }
    Ok(())
}

fn offsets(inputs: &Inputs, rec: &mut Recorder) -> Result<Traced<Area>, Fault> {
    let widths: Vec<Traced<Length>> = inputs.rows("offset").filter_map(|row| row.get("width")).collect();
    if widths.len() < FEW_OFFSETS {
        let count = vec![("count", Arg::Text(widths.len().to_string()))];
        rec.caution("lawn-area.few-offsets", Severity::Notice, count);
    }
    let sum = Traced::sum(widths).ok_or_else(|| Fault::new("lawn-area.nothing", "offset"))?;
    let sum = rec.step("lawn-area.step.offset-sum", &[], &sum, usual::SPAN);
    let spacing = inputs.need::<Length>("offset-spacing")?;
    Ok(rec.step("lawn-area.step.offset-area", &[], &(&sum * &spacing), usual::SURFACE))
}

fn radii(inputs: &Inputs, rec: &mut Recorder) -> Result<Traced<Area>, Fault> {
    let radii: Vec<Traced<Length>> = inputs.rows("radius").filter_map(|row| row.get("length")).collect();
    let count = radii.len();
    if count < FEW_RADII {
        rec.caution("lawn-area.few-radii", Severity::Notice, vec![("count", Arg::Text(count.to_string()))]);
    }
    let mut mean = Traced::sum(radii).ok_or_else(|| Fault::new("lawn-area.nothing", "radius"))?;
    if count > 1 {
        mean = rec.step("lawn-area.step.mean-radius", &[], &(&mean / &Traced::number(count as f64)), usual::SPAN);
    }
    Ok(rec.step("lawn-area.step.radius-area", &[], &disc(&mean), usual::SURFACE))
}

fn total(rec: &mut Recorder, parts: &[Piece]) -> Result<Traced<Area>, Fault> {
    let of = |cut: bool| parts.iter().filter(move |part| part.cut == cut).map(|part| part.area.clone());
    if parts.is_empty() {
        return Err(Fault::new("lawn-area.nothing", "rectangle"));
    }
    let Some(sum) = Traced::sum(of(false)) else { return Err(Fault::new("lawn-area.nothing-left", "rectangle")) };
    let net = of(true).fold(sum, |net, part| &net - &part);
    if net.si() <= 0.0 {
        return Err(Fault::new("lawn-area.nothing-left", "rectangle"));
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

/// The outline of a part of this group and row, whose area is known; 0 is no row.
fn outline(inputs: &Inputs, group: &'static str, row: usize, area: f64) -> Outline {
    let typed = |name: &str| inputs.typed(name).map_or(0.0, |typed| typed.si);
    let side = |field: &str| typed(&format!("{group}.{row}.{field}"));
    match group {
        "rectangle" | "strip" => along(&[side("width"); 2], side("length")),
        "triangle" => along(&[side("base"), 0.0], side("height")),
        "trapezoid" => along(&[side("side-a"), side("side-b")], side("distance")),
        "ellipse" => Outline::Round(side("length") / 2.0, side("width") / 2.0),
        "offset" => {
            let widths: Vec<f64> = inputs.rows(group).map(|row| typed(&row.name("width"))).collect();
            along(&widths, typed("offset-spacing"))
        }
        // A circle, and of measured radii the circle of their mean, which is what is computed.
        "circle" | "radius" => Outline::Round((area / PI).sqrt(), (area / PI).sqrt()),
        // Of a known area only the size is known: a square of that size.
        _ => along(&[area.sqrt(); 2], area.sqrt()),
    }
}

/// Group, area and effect of every part, with the outlines of those that are drawn.
fn drawn(worked: &Worked) -> (Vec<(&'static str, f64, bool)>, Vec<Outline>) {
    let inputs = &worked.inputs;
    let mut parts: Vec<(&'static str, f64, bool)> = Vec::new();
    let mut outlines: Vec<Outline> = Vec::new();
    let rows = SHAPES.iter().flat_map(|Shape(group, ..)| inputs.rows(group).map(|row| (*group, row.number)));
    let whole = ["offset", "radius"].into_iter().filter(|group| inputs.row_count(group) > 0).map(|group| (group, 0));
    for (group, row) in rows.chain(whole) {
        let (result, effect) = match row {
            0 => (format!("{group}-area"), format!("{group}-effect")),
            _ => (format!("{group}-{row}-area"), format!("{group}.{row}.effect")),
        };
        // One part alone is the whole lawn.
        let area = worked.si(&result).or_else(|| worked.si("area")).unwrap_or_default();
        parts.push((group, area, is_cut(inputs.word(&effect))));
        if outlines.len() < MOST_DRAWN {
            outlines.push(outline(inputs, group, row, area));
        }
    }
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
    let total = Arg::Quantity(worked.si("area").unwrap_or_default(), unit);
    drawing.say("lawn-area.draw.total", vec![("drawn", Arg::Text(outlines.len().to_string())), ("area", total)]);
    drawing
}
