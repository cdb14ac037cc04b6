//! Known area: a plot of known size, the spray put on it, and the rate that comes to.

use crate::calculation::declare::{Calculator, Face, Fault, FormItem, Group, Input, ResultSpec, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::inputs::{Inputs, Row};
use crate::calculation::worked::Worked;
use crate::quantity::kind::{Area, Kind, Length, Ratio, Volume, VolumePerArea};
use crate::quantity::unit::{Units, unit, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::percent_off::departure;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Application rate from spray caught, or refilled, for a plot of known area; 1/128 acre is the best-known one.
///
/// # Formula
/// `plot area = width * length`, or as given (1/128 acre, 1/8 acre, 340 ft²); `course length = plot area / width`,
/// `length for an acre = 1 acre / width`; `rate = all volumes / all plot areas`. On 1/128 acre the fluid ounces caught
/// read straight across as gal/acre, on 1/8 acre the pints, because a gallon has 128 and 8 of them:
/// `rate read across = volume / (1/128 acre)`; `plot off = (plot area - 1/128 acre) / (1/128 acre)`.
/// Times to 1000 ft²: `1000 ft² / plot area`; to an acre: `1 acre / plot area`; in metric practice to 100 m² and a
/// hectare. `diagonal = √(width² + length²)`, by which a plot is laid out square.
/// # Inputs
/// - `plot` (1 to 12 rows): plots of known size that were sprayed.
/// - `plot.area` (ft² or m²): size of the plot. Above 0 to 5,000,000 ft², usually 40 to 45,000 ft²; read to 1 ft² or
///   0.1 m²; optional.
/// - `plot.length` (ft or m): its length. Above 0 to 60,000 ft, usually 10 to 2500 ft; read to 0.25 ft or 0.1 m;
///   optional.
/// - `plot.width` (ft or m): its width. Above 0 to 120 ft, usually 0.8 to 60 ft; read to 1 in or 2 cm; optional.
/// - `plot.volume` (fl oz or L): volume caught or refilled. Above 0 to 1000 gal, usually 0.05 to 50 gal; read to 1 fl
///   oz or 10 mL; optional.
/// - `nozzle` (0 to 60 rows): catches from nozzles, in place of the volume of one plot.
/// - `nozzle.volume` (fl oz or mL): volume caught from one of them. Above 0 to 50 gal, usually 0.02 to 5 gal; read to 1
///   fl oz or 10 mL; required.
/// - `nozzles-cover` (`together` or `each`): whether all nozzles share the width, so that their sum counts, or it is
///   the spacing of one, so that their mean does. `together` if left out.
/// - `plots-per-acre` (a whole number): how many plots make an acre, for a proof that is scaled up. 1 to 10,000;
///   optional.
///
/// Of area, width and length two are needed, or the area alone.
/// # Errors
/// A plot with neither its area nor two sides, or with all three; a volume for some plots only; nozzle catches beside a
/// volume or with several plots.
/// # Cautions
/// `known-area.plot-off` where the plot is near 1/128 or 1/8 acre but more than 0.1 % off it.
/// # Source
/// As in [`Calculator::sources`]; departs from them in taking 1/128 acre as 340.3125 ft², not 340.
/// # Example
/// 150 fl oz on a square of 18.5 ft (342.25 ft², 0.57 % too large) is 149.15 gal/acre; read across it is 150.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("plot.1.width", "18.5 ft"),
///     ("plot.1.length", "18.5 ft"),
///     ("plot.1.volume", "150 fl oz"),
/// ]);
/// let worked = work(calculator("known-area").unwrap(), &given, System::Us).unwrap();
/// let rate_per_acre = worked.value_in("rate-per-acre", "gal/acre").unwrap();
/// assert!((rate_per_acre - 149.15).abs() < 0.01);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "known-area",
    inputs: &[
        FormItem::Many(Group { name: "plot", fields: &[PLOT_AREA, LENGTH, WIDTH, CAUGHT], least: 1, most: 12 }),
        FormItem::Many(Group { name: "nozzle", fields: &[NOZZLE], least: 0, most: 60 }),
        FormItem::One(Input::choice("nozzles-cover", &["together", "each"])),
        FormItem::One(PLOTS_PER_ACRE),
    ],
    results: &[
        &RATE,
        &PER_ACRE,
        &PER_HA,
        &READ_ACROSS,
        &PLOT_AREA_FOUND,
        &DIAGONAL,
        &COURSE,
        &COURSE_FOR_ACRE,
        &TIMES_THOUSAND,
        &TIMES_ACRE,
        &TIMES_HUNDRED,
        &TIMES_HECTARE,
        &PLOT_OFF,
        &TOTAL_AREA,
        &TOTAL_VOLUME,
        &SCALED_AREA,
        &SCALED_VOLUME,
    ],
    uncertain: &["application-rate"],
    compare: None,
    face: Face::Results,
    sources: &[
        Source {
            title: "Ounces Equal Gallons: Sprayer Calibration",
            publisher: "LSU AgCenter",
            url: "https://www.lsuagcenter.com/topics/lawn_garden/commercial_horticulture/equipment/sprayers/ounces-equal-gallons-sprayer-calibration",
        },
        Source {
            title: "Refill Method for Boom Sprayer Calibration",
            publisher: "Mesa County, Colorado",
            url: "https://www.mesacounty.us/pest/controlling-weeds/sprayer-calibration-methods/refill-method-for-boom-sprayer-calibration/",
        },
        Source {
            title: "Calibrating a Boomless Sprayer: Pints to Gallons Method (ENTFACT-805)",
            publisher: "University of Kentucky College of Agriculture",
            url: "https://entomology.mgcafe.uky.edu/ef805",
        },
    ],
    example: &[("plot.1.width", "18.5 ft"), ("plot.1.length", "18.5 ft"), ("plot.1.volume", "86 fl oz")],
    example_metric: &[("plot.1.width", "5 m"), ("plot.1.length", "20 m"), ("plot.1.volume", "8.1 L")],
    run,
    draw,
};

/// A plot of known size is what it is, 1/128 acre among them: nobody makes it larger to be surer, so it does not grow.
const PLOT_AREA: Input = Input::quantity("area", Kind::Area, usual::SURFACE)
    .above("ft2", (0.0, 5_000_000.0), (40.0, 45_000.0))
    .read_to((1.0, "ft2"), (0.1, "m2"))
    .optional();
/// Down to an inch: some handbooks work a factor out for 1 in of width.
const WIDTH: Input = Input::quantity("width", Kind::Length, usual::SPAN)
    .above("ft", (0.0, 120.0), (0.8, 60.0))
    .read_to((1.0, "in"), (2.0, "cm"))
    .optional();
const LENGTH: Input = Input::quantity("length", Kind::Length, usual::SPAN)
    .above("ft", (0.0, 60_000.0), (10.0, 2500.0))
    .read_to((0.25, "ft"), (0.1, "m"))
    .optional();
const CAUGHT: Input = Input::quantity("volume", Kind::Volume, units!("fl oz", "L"))
    .above("gal", (0.0, 1000.0), (0.05, 50.0))
    .read_to((1.0, "fl oz"), (10.0, "mL"))
    .grows()
    .optional();
const NOZZLE: Input = Input::quantity("volume", Kind::Volume, usual::MEASURED)
    .above("gal", (0.0, 50.0), (0.02, 5.0))
    .read_to((1.0, "fl oz"), (10.0, "mL"))
    .grows();
const PLOTS_PER_ACRE: Input =
    Input { need: crate::calculation::declare::Need::Optional, ..Input::count("plots-per-acre", 1.0, 10_000.0) };

static RATE: ResultSpec = ResultSpec::new("application-rate", Kind::VolumePerArea, usual::LAWN_RATE).main();
static PER_ACRE: ResultSpec =
    ResultSpec::new("rate-per-acre", Kind::VolumePerArea, units!("gal/acre", "gal/acre")).main();
static PER_HA: ResultSpec = ResultSpec::new("rate-per-ha", Kind::VolumePerArea, units!("L/ha", "L/ha"));
static READ_ACROSS: ResultSpec = ResultSpec::new("read-across", Kind::VolumePerArea, units!("gal/acre", "gal/acre"));
static PLOT_AREA_FOUND: ResultSpec = ResultSpec::new("plot-N-area", Kind::Area, usual::SURFACE);
static COURSE: ResultSpec = ResultSpec::new("plot-N-course", Kind::Length, usual::SPAN).main();
static COURSE_FOR_ACRE: ResultSpec = ResultSpec::new("plot-N-course-for-acre", Kind::Length, usual::SPAN);
static DIAGONAL: ResultSpec = ResultSpec::new("plot-N-diagonal", Kind::Length, usual::SPAN);
static TIMES_HUNDRED: ResultSpec = ResultSpec::new("times-to-100-m2", Kind::Number, usual::NUMBER);
static TIMES_HECTARE: ResultSpec = ResultSpec::new("times-to-hectare", Kind::Number, usual::NUMBER);
static TIMES_THOUSAND: ResultSpec = ResultSpec::new("times-to-1000-ft2", Kind::Number, usual::NUMBER);
static TIMES_ACRE: ResultSpec = ResultSpec::new("times-to-acre", Kind::Number, usual::NUMBER);
static PLOT_OFF: ResultSpec = ResultSpec::new("plot-off", Kind::Share, usual::PERCENT);
static TOTAL_AREA: ResultSpec = ResultSpec::new("total-area", Kind::Area, usual::SURFACE);
static TOTAL_VOLUME: ResultSpec = ResultSpec::new("total-volume", Kind::Volume, units!("fl oz", "L")).measured();
static SCALED_AREA: ResultSpec = ResultSpec::new("scaled-area", Kind::Area, usual::SURFACE);
static SCALED_VOLUME: ResultSpec = ResultSpec::new("scaled-volume", Kind::Volume, units!("fl oz", "L")).measured();

/// Fractions of an acre on which the same fraction of a gallon, caught there, reads directly as gal/acre.
const READING: [(&str, f64); 2] =
    [("known-area.constant.128th", 1.0 / 128.0), ("known-area.constant.eighth", 1.0 / 8.0)];
/// How close a plot must be to count as one of them. 18.5 ft square is 0.57 % off and is used by seven of the sources.
const MEANT: f64 = 0.02;
const NOTED: f64 = 0.001;

fn acre(parts: f64, name: &'static str) -> Traced<Area> {
    Traced::constant(name, parts, unit!("acre"))
}

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let mut areas: Vec<Traced<Area>> = Vec::new();
    let mut volumes: Vec<Traced<Volume>> = Vec::new();
    for row in inputs.rows("plot") {
        areas.push(plot(rec, &row)?);
        volumes.extend(row.get::<Volume>("volume"));
    }
    if inputs.row_count("nozzle") > 0 {
        if areas.len() > 1 || !volumes.is_empty() {
            return Err(Fault::new("known-area.nozzles-beside-volume", "nozzle"));
        }
        volumes.push(nozzles(inputs, rec)?);
    }
    if !volumes.is_empty() && volumes.len() < areas.len() {
        let without = inputs.rows("plot").find(|row| row.get::<Volume>("volume").is_none());
        return Err(Fault::new("problem.missing", without.map(|row| row.name("volume")).unwrap_or_default()));
    }
    rec.repeats(&RATE, volumes.iter().zip(&areas));
    let first = areas[0].clone();
    let area = pooled(rec, areas, "known-area.step.total-area", usual::SURFACE);
    if let Some(area) = area {
        let volume = pooled(rec, volumes, "known-area.step.total-volume", units!("fl oz", "L"));
        if let Some(volume) = &volume {
            rate(rec, &area, volume);
        }
        multiples(inputs, rec, &area, volume.as_ref());
        if inputs.row_count("plot") == 1 {
            reading(rec, &first, volume.as_ref());
        }
    }
    Ok(())
}

/// The area of a plot and, where it was planned by its area, how long the course must be.
fn plot(rec: &mut Recorder, row: &Row) -> Result<Traced<Area>, Fault> {
    let rows = [row.number];
    let sides = (row.get::<Length>("width"), row.get::<Length>("length"));
    let area = match (row.get::<Area>("area"), &sides) {
        (None, (Some(width), Some(length))) => {
            rec.step("known-area.step.plot-area", &rows, &(width * length), usual::SURFACE)
        }
        // An area given in acres becomes a step of its own; one in square feet is used as it is.
        (Some(area), (None, _) | (Some(_), None)) => match row.unit("area") {
            Some(unit) if *unit == usual::SURFACE.pick(rec.system) => area,
            _ => rec.step("known-area.step.plot-area", &rows, &area, usual::SURFACE),
        },
        (Some(_), _) => return Err(Fault::new("known-area.plot-three", row.name("area"))),
        (None, _) => return Err(Fault::new("known-area.plot-unknown", row.name("area"))),
    };
    rec.result(&PLOT_AREA_FOUND, &rows, &area);
    if let (Some(width), Some(length)) = &sides {
        let squares: Traced<Area> = &(width * width) + &(length * length);
        let squares = rec.step("known-area.step.squares", &rows, &squares, usual::SURFACE);
        rec.settle(&DIAGONAL, &rows, &squares.root::<Length>());
    }
    if let (Some(width), None) = &sides {
        let course: Traced<Length> = rec.step("known-area.step.course", &rows, &(&area / width), usual::SPAN);
        rec.result(&COURSE, &rows, &course);
        let whole = &acre(1.0, "known-area.constant.acre") / width;
        let whole: Traced<Length> = rec.step("known-area.step.course-for-acre", &rows, &whole, usual::SPAN);
        rec.result(&COURSE_FOR_ACRE, &rows, &whole);
    }
    Ok(area)
}

fn nozzles(inputs: &Inputs, rec: &mut Recorder) -> Result<Traced<Volume>, Fault> {
    let catches: Vec<Traced<Volume>> = inputs.rows("nozzle").filter_map(|row| row.get("volume")).collect();
    let count = Traced::number(catches.len() as f64);
    let sum = Traced::sum(catches).ok_or_else(|| Fault::new("problem.missing", "nozzle.1.volume"))?;
    let sum = rec.step("known-area.step.nozzle-sum", &[], &sum, usual::MEASURED);
    if inputs.word("nozzles-cover") == Some("each") {
        return Ok(rec.step("known-area.step.nozzle-mean", &[], &(&sum / &count), usual::MEASURED));
    }
    Ok(sum)
}

/// All together, as a step of its own where there are several.
fn pooled<Q>(rec: &mut Recorder, all: Vec<Traced<Q>>, id: &'static str, units: &Units) -> Option<Traced<Q>>
where
    Q: crate::quantity::kind::Measure + std::ops::Add<Q, Output = Q>,
{
    let several = all.len() > 1;
    let sum = Traced::sum(all)?;
    Some(if several { rec.step(id, &[], &sum, units) } else { sum })
}

fn rate(rec: &mut Recorder, area: &Traced<Area>, volume: &Traced<Volume>) {
    let rate: Traced<VolumePerArea> =
        rec.step("known-area.step.application-rate", &[], &(volume / area), usual::LAWN_RATE);
    let per_acre = rec.step("known-area.step.rate-per-acre", &[], &rate, usual::FIELD_RATE);
    rec.result(&RATE, &[], &rate);
    rec.result(&PER_ACRE, &[], &per_acre);
    rec.result(&PER_HA, &[], &per_acre);
    rec.result(&TOTAL_AREA, &[], area);
    rec.result(&TOTAL_VOLUME, &[], volume);
}

fn multiples(inputs: &Inputs, rec: &mut Recorder, area: &Traced<Area>, volume: Option<&Traced<Volume>>) {
    let (small, large) = match rec.system {
        System::Us => {
            let thousand = Traced::constant("known-area.constant.thousand", 1000.0, unit!("ft2"));
            ((&TIMES_THOUSAND, thousand), (&TIMES_ACRE, acre(1.0, "known-area.constant.acre")))
        }
        System::Metric => {
            let hundred = Traced::constant("known-area.constant.hundred", 100.0, unit!("m2"));
            (
                (&TIMES_HUNDRED, hundred),
                (&TIMES_HECTARE, Traced::constant("known-area.constant.hectare", 1.0, unit!("ha"))),
            )
        }
    };
    for (times, ground) in [small, large] {
        rec.settle(times, &[], &(&ground / area));
    }
    let Some(plots) = inputs.get::<Ratio>("plots-per-acre") else { return };
    let scaled = rec.step("known-area.step.scaled-area", &[], &(area * &plots), usual::SURFACE);
    rec.result(&SCALED_AREA, &[], &scaled);
    if let Some(volume) = volume {
        let scaled = rec.step("known-area.step.scaled-volume", &[], &(volume * &plots), units!("fl oz", "L"));
        rec.result(&SCALED_VOLUME, &[], &scaled);
    }
}

/// The reading without arithmetic, where the plot is meant for it, and how far the plot is off.
fn reading(rec: &mut Recorder, area: &Traced<Area>, volume: Option<&Traced<Volume>>) {
    let near = |part: &Traced<Area>| (area.si() / part.si() - 1.0).abs();
    let meant = READING.iter().map(|(name, parts)| (*name, acre(*parts, name))).find(|(_, part)| near(part) < MEANT);
    let Some((name, part)) = meant else { return };
    let exact = rec.step("known-area.step.exact-part", &[], &part, usual::SURFACE);
    let off = departure(rec, "known-area.step.plot-off", &[], area, &exact);
    rec.result(&PLOT_OFF, &[], &off);
    if let Some(volume) = volume {
        let id = if name == READING[0].0 { "known-area.step.ounces-across" } else { "known-area.step.pints-across" };
        let across = rec.step(id, &[], &(volume / &part), units!("gal/acre", "gal/acre"));
        rec.result(&READ_ACROSS, &[], &across);
    }
    if near(&part) > NOTED {
        let args = vec![("off", rec.arg(&off, usual::PERCENT)), ("part", Arg::Phrase(name.to_owned()))];
        rec.caution("known-area.plot-off", Severity::Notice, args);
    }
}

/// The first plot from above, its sides to scale; a plot known by its area alone is drawn as a square.
fn draw(worked: &Worked, system: System) -> Drawing {
    let mut drawing = Drawing::new(236.0);
    let area = worked.si("plot-1-area").unwrap_or(1.0);
    let side = |name: &str| worked.inputs.typed(name).map(|typed| typed.si);
    let (width, length) = match (side("plot.1.width"), side("plot.1.length")) {
        (Some(width), length) => (width, length.unwrap_or(area / width)),
        (None, Some(length)) => (area / length, length),
        (None, None) => (area.sqrt(), area.sqrt()),
    };
    let scale = (300.0 / length).min(132.0 / width);
    let (across, down) = (length * scale, (width * scale).max(3.0));
    let (left, top) = (180.0 - across / 2.0, 52.0 + (132.0 - down) / 2.0);
    drawing.rect("ground", left, top, across, down);
    drawing.rect("line", left, top, across, down);
    drawing.line("dim", (left, top + down / 2.0), (left + across, top + down / 2.0));
    drawing.circle("mark", left + across, top + down / 2.0, 5.0);
    let quantity = |si: f64, units: &Units| written::quantity(si, &units.pick(system));
    // A side that was measured is shown as it was written down.
    let written =
        |name: &str, si: f64| worked.inputs.typed(name).map_or_else(|| quantity(si, usual::SPAN), written::as_typed);
    let (length, width) = (written("plot.1.length", length), written("plot.1.width", width));
    let area = quantity(area, usual::SURFACE);
    drawing.dimension((left, top - 14.0), (left + across, top - 14.0));
    drawing.label(Set::Mid, 180.0, top - 24.0, Label::Plain(length.clone()));
    let wide = vec![("width", Arg::Text(width.clone()))];
    drawing.label(Set::Mid, 180.0, top + down + 20.0, Label::Phrase("known-area.draw.width", wide));
    drawing.label(Set::Strong, 180.0, 228.0, Label::Plain(area.clone()));
    let args = vec![("length", Arg::Text(length)), ("width", Arg::Text(width)), ("area", Arg::Text(area))];
    drawing.say("known-area.draw.plot", args);
    if let Some(rate) = worked.si("rate-per-acre") {
        let rate = Arg::Text(quantity(rate, usual::FIELD_RATE));
        drawing.say("known-area.draw.rate", vec![("rate", rate)]);
    }
    drawing
}
