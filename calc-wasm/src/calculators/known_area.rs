//! Known area: a plot of known size, the spray put on it, and the rate that comes to.

use crate::calculation::asking::RowOf;
use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{Choice, GroupOf, InputOf, ResultOf, fields};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::quantity::kind::{Area, Length, Volume, VolumePerArea};
use crate::quantity::kinds;
use crate::quantity::typed::Typed;
use crate::quantity::unit::{Units, unit, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::percent_off::departure;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Application rate from spray caught, or refilled, for a plot of known area; 1/128 acre is the best-known one.
///
/// # Formula
/// `plot area = length * width`, or as given (1/128 acre, 1/8 acre, 340 ft²); `course length = plot area / width`,
/// `length for an acre = 1 acre / width`; `rate = all volumes / all plot areas`. On 1/128 acre the fluid ounces caught
/// read straight across as gal/acre, on 1/8 acre the pints, because a gallon has 128 and 8 of them:
/// `rate read across = volume / (1/128 acre)`; `plot off = (plot area - 1/128 acre) / (1/128 acre)`.
/// Times to 1000 ft²: `1000 ft² / plot area`; to an acre: `1 acre / plot area`; in metric practice to 100 m² and a
/// hectare. `diagonal = √(length² + width²)`, by which a plot is laid out square.
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
    inputs: &[PLOT.item(), NOZZLE.item(), NOZZLES_COVER.item(), PLOTS_PER_ACRE.item()],
    results: &[
        &RATE.spec,
        &PER_ACRE.spec,
        &PER_HA.spec,
        &READ_ACROSS.spec,
        &PLOT_AREA_FOUND.spec,
        &DIAGONAL.spec,
        &COURSE.spec,
        &COURSE_FOR_ACRE.spec,
        &TIMES_THOUSAND.spec,
        &TIMES_ACRE.spec,
        &TIMES_HUNDRED.spec,
        &TIMES_HECTARE.spec,
        &PLOT_OFF.spec,
        &TOTAL_AREA.spec,
        &TOTAL_VOLUME.spec,
        &SCALED_AREA.spec,
        &SCALED_VOLUME.spec,
    ],
    uncertain: &[RATE.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
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
    example: &[("plot.1.length", "18.5 ft"), ("plot.1.width", "18.5 ft"), ("plot.1.volume", "86 fl oz")],
    example_metric: &[("plot.1.length", "20 m"), ("plot.1.width", "5 m"), ("plot.1.volume", "8.1 L")],
    run,
    draw,
};

/// Plots, each known by its area or by its sides.
#[derive(Debug)]
pub(crate) enum Plot {}
pub(crate) const PLOT: GroupOf<Plot> = GroupOf::new("plot", fields![PLOT_AREA, LENGTH, WIDTH, CAUGHT], 1, 12);
/// What each nozzle gave while the plot was covered.
#[derive(Debug)]
pub(crate) enum Nozzle {}
pub(crate) const NOZZLE: GroupOf<Nozzle> = GroupOf::new("nozzle", fields![NOZZLE_VOLUME], 0, 60);
/// A plot of known size is what it is, 1/128 acre among them: nobody makes it larger to be surer, so it does not grow.
pub(crate) const PLOT_AREA: InputOf<kinds::Area, Plot> = InputOf::quantity("area", usual::SURFACE)
    .above("ft2", (0.0, 5_000_000.0), (40.0, 45_000.0))
    .read_to((1.0, "ft2"), (0.1, "m2"))
    .optional();
/// Down to an inch: some handbooks work a factor out for 1 in of width.
pub(crate) const WIDTH: InputOf<kinds::Length, Plot> = InputOf::quantity("width", usual::SPAN)
    .above("ft", (0.0, 120.0), (0.8, 60.0))
    .read_to((1.0, "in"), (2.0, "cm"))
    .optional();
pub(crate) const LENGTH: InputOf<kinds::Length, Plot> = InputOf::quantity("length", usual::SPAN)
    .above("ft", (0.0, 60_000.0), (10.0, 2500.0))
    .read_to((0.25, "ft"), (0.1, "m"))
    .optional();
pub(crate) const CAUGHT: InputOf<kinds::Volume, Plot> = InputOf::quantity("volume", units!("fl oz", "L"))
    .above("gal", (0.0, 1000.0), (0.05, 50.0))
    .read_to((1.0, "fl oz"), (10.0, "mL"))
    .grows()
    .optional();
pub(crate) const NOZZLE_VOLUME: InputOf<kinds::Volume, Nozzle> = InputOf::quantity("volume", usual::MEASURED)
    .above("gal", (0.0, 50.0), (0.02, 5.0))
    .read_to((1.0, "fl oz"), (10.0, "mL"))
    .grows();
pub(crate) const NOZZLES_COVER: InputOf<Choice> = InputOf::choice("nozzles-cover", &["together", "each"]);
pub(crate) const EACH: &str = NOZZLES_COVER.choice_of("each");
pub(crate) const PLOTS_PER_ACRE: InputOf<kinds::Count> = InputOf::count("plots-per-acre", 1.0, 10_000.0).optional();

pub(crate) static RATE: ResultOf<kinds::VolumePerArea> = ResultOf::new("application-rate", usual::LAWN_RATE).main();
pub(crate) static PER_ACRE: ResultOf<kinds::VolumePerArea> =
    ResultOf::new("rate-per-acre", units!("gal/acre", "gal/acre")).main().us_only();
pub(crate) static PER_HA: ResultOf<kinds::VolumePerArea> = ResultOf::new("rate-per-ha", units!("L/ha", "L/ha"));
pub(crate) static READ_ACROSS: ResultOf<kinds::VolumePerArea> =
    ResultOf::new("read-across", units!("gal/acre", "gal/acre")).us_only();
pub(crate) static PLOT_AREA_FOUND: ResultOf<kinds::Area, 1> = ResultOf::new("plot-N-area", usual::SURFACE);
pub(crate) static COURSE: ResultOf<kinds::Length, 1> = ResultOf::new("plot-N-course", usual::SPAN).main();
pub(crate) static COURSE_FOR_ACRE: ResultOf<kinds::Length, 1> =
    ResultOf::new("plot-N-course-for-acre", usual::SPAN).us_only();
pub(crate) static DIAGONAL: ResultOf<kinds::Length, 1> = ResultOf::new("plot-N-diagonal", usual::SPAN);
pub(crate) static TIMES_HUNDRED: ResultOf<kinds::Number> = ResultOf::new("times-to-100-m2", usual::NUMBER);
pub(crate) static TIMES_HECTARE: ResultOf<kinds::Number> = ResultOf::new("times-to-hectare", usual::NUMBER);
pub(crate) static TIMES_THOUSAND: ResultOf<kinds::Number> = ResultOf::new("times-to-1000-ft2", usual::NUMBER).us_only();
pub(crate) static TIMES_ACRE: ResultOf<kinds::Number> = ResultOf::new("times-to-acre", usual::NUMBER).us_only();
pub(crate) static PLOT_OFF: ResultOf<kinds::Share> = ResultOf::new("plot-off", usual::PERCENT).percent_off().us_only();
pub(crate) static TOTAL_AREA: ResultOf<kinds::Area> = ResultOf::new("total-area", usual::SURFACE);
pub(crate) static TOTAL_VOLUME: ResultOf<kinds::Volume> =
    ResultOf::new("total-volume", units!("fl oz", "L")).measured();
pub(crate) static SCALED_AREA: ResultOf<kinds::Area> = ResultOf::new("scaled-area", usual::SURFACE);
pub(crate) static SCALED_VOLUME: ResultOf<kinds::Volume> =
    ResultOf::new("scaled-volume", units!("fl oz", "L")).measured();

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
    for row in inputs.rows(&PLOT) {
        areas.push(plot(rec, &row)?);
        volumes.extend(row.get(&CAUGHT));
    }
    if inputs.row_count(&NOZZLE) > 0 {
        if areas.len() > 1 || !volumes.is_empty() {
            return Err(Fault::new("known-area.nozzles-beside-volume", NOZZLE.name()));
        }
        volumes.push(nozzles(inputs, rec)?);
    }
    if !volumes.is_empty() && volumes.len() < areas.len() {
        let without = inputs.rows(&PLOT).find(|row| row.typed(&CAUGHT).is_none());
        return Err(Fault::new("problem.missing", without.map(|row| row.name(&CAUGHT)).unwrap_or_default()));
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
        if inputs.row_count(&PLOT) == 1 {
            reading(rec, &first, volume.as_ref());
        }
    }
    Ok(())
}

/// The area of a plot and, where it was planned by its area, how long the course must be.
fn plot(rec: &mut Recorder, row: &RowOf<Plot>) -> Result<Traced<Area>, Fault> {
    let rows = [row.number()];
    let sides = (row.get(&LENGTH), row.get(&WIDTH));
    let area = match (row.get(&PLOT_AREA), &sides) {
        (None, (Some(length), Some(width))) => {
            rec.step("known-area.step.plot-area", &rows, &(length * width), usual::SURFACE)
        }
        // An area given in acres becomes a step of its own; one in square feet is used as it is.
        (Some(area), (None, _) | (_, None)) => match row.unit(&PLOT_AREA) {
            Some(unit) if *unit == usual::SURFACE.pick(rec.system) => area,
            _ => rec.step("known-area.step.plot-area", &rows, &area, usual::SURFACE),
        },
        (Some(_), _) => return Err(Fault::new("known-area.plot-three", row.name(&PLOT_AREA))),
        // Of a plot with one side, the other is missing.
        (None, (Some(_), _)) => return Err(Fault::new("known-area.plot-unknown", row.name(&WIDTH))),
        (None, (_, Some(_))) => return Err(Fault::new("known-area.plot-unknown", row.name(&LENGTH))),
        (None, _) => return Err(Fault::new("known-area.plot-unknown", row.name(&PLOT_AREA))),
    };
    rec.result(&PLOT_AREA_FOUND, rows, &area);
    if let (Some(length), Some(width)) = &sides {
        let squares: Traced<Area> = &(length * length) + &(width * width);
        let squares = rec.step("known-area.step.squares", &rows, &squares, usual::SURFACE);
        rec.settle(&DIAGONAL, rows, &squares.root::<Length>());
    }
    if let (None, Some(width)) = &sides {
        let course: Traced<Length> = rec.step("known-area.step.course", &rows, &(&area / width), usual::SPAN);
        rec.result(&COURSE, rows, &course);
        let mut whole: Traced<Length> = &acre(1.0, "known-area.constant.acre") / width;
        if rec.system == System::Us {
            whole = rec.step("known-area.step.course-for-acre", &rows, &whole, usual::SPAN);
        }
        rec.result(&COURSE_FOR_ACRE, rows, &whole);
    }
    Ok(area)
}

fn nozzles(inputs: &Inputs, rec: &mut Recorder) -> Result<Traced<Volume>, Fault> {
    let catches: Vec<Traced<Volume>> = inputs.rows(&NOZZLE).filter_map(|row| row.get(&NOZZLE_VOLUME)).collect();
    let count = Traced::number(catches.len() as f64);
    let sum = Traced::sum(catches).ok_or_else(|| Fault::new("problem.missing", NOZZLE.name()))?;
    let sum = rec.step("known-area.step.nozzle-sum", &[], &sum, usual::MEASURED);
    if inputs.word(&NOZZLES_COVER) == Some(EACH) {
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
    let id = rec.system.pick("known-area.step.rate-per-acre", "known-area.step.rate-per-ha");
    let field = rec.step(id, &[], &rate, usual::FIELD_RATE);
    rec.result(&RATE, [], &rate);
    rec.result(&PER_ACRE, [], &field);
    rec.result(&PER_HA, [], &field);
    rec.result(&TOTAL_AREA, [], area);
    rec.result(&TOTAL_VOLUME, [], volume);
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
        rec.settle(times, [], &(&ground / area));
    }
    let Some(plots) = inputs.get(&PLOTS_PER_ACRE) else { return };
    let scaled = rec.step("known-area.step.scaled-area", &[], &(area * &plots), usual::SURFACE);
    rec.result(&SCALED_AREA, [], &scaled);
    if let Some(volume) = volume {
        let scaled = rec.step("known-area.step.scaled-volume", &[], &(volume * &plots), units!("fl oz", "L"));
        rec.result(&SCALED_VOLUME, [], &scaled);
    }
}

/// The reading without arithmetic, where the plot is meant for it, and how far the plot is off.
fn reading(rec: &mut Recorder, area: &Traced<Area>, volume: Option<&Traced<Volume>>) {
    let near = |part: &Traced<Area>| (area.si() / part.si() - 1.0).abs();
    let meant = READING.iter().map(|(name, parts)| (*name, acre(*parts, name))).find(|(_, part)| near(part) < MEANT);
    let Some((name, part)) = meant else { return };
    // Nobody who works in metric units reads a catch across; the results are there for who asks for them by name.
    if rec.system == System::Metric {
        rec.result(&PLOT_OFF, [], &(&(area - &part) / &part));
        if let Some(volume) = volume {
            rec.result(&READ_ACROSS, [], &(volume / &part));
        }
        return;
    }
    let exact = rec.step("known-area.step.exact-part", &[], &part, usual::SURFACE);
    let off = departure(rec, "known-area.step.plot-off", &[], area, &exact);
    rec.result(&PLOT_OFF, [], &off);
    if let Some(volume) = volume {
        let id = if name == READING[0].0 { "known-area.step.ounces-across" } else { "known-area.step.pints-across" };
        let across = rec.step(id, &[], &(volume / &part), units!("gal/acre", "gal/acre"));
        rec.result(&READ_ACROSS, [], &across);
    }
    if near(&part) > NOTED {
        let args = vec![("off", rec.arg(&off, usual::PERCENT)), ("part", Arg::Phrase(name.to_owned()))];
        rec.caution("known-area.plot-off", Severity::Notice, args);
    }
}

/// The first plot from above, its sides to scale; a plot known by its area alone is drawn as a square.
fn draw(worked: &Worked, system: System) -> Drawing {
    let mut drawing = Drawing::new(236.0);
    let area = worked.si(&PLOT_AREA_FOUND, [1]).unwrap_or(1.0);
    let first = worked.inputs.rows(&PLOT).next();
    let sides = first.map_or((None, None), |row| (row.typed(&WIDTH), row.typed(&LENGTH)));
    let (width, length) = match (sides.0.map(|typed| typed.si), sides.1.map(|typed| typed.si)) {
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
    let written = |typed: Option<&Typed>, si: f64| typed.map_or_else(|| quantity(si, usual::SPAN), written::as_typed);
    let (length, width) = (written(sides.1, length), written(sides.0, width));
    let area = quantity(area, usual::SURFACE);
    drawing.dimension((left, top - 14.0), (left + across, top - 14.0));
    drawing.label(Set::Mid, 180.0, top - 24.0, Label::Plain(length.clone()));
    let wide = vec![("width", Arg::Text(width.clone()))];
    drawing.label(Set::Mid, 180.0, top + down + 20.0, Label::Phrase("known-area.draw.width", wide));
    drawing.label(Set::Strong, 180.0, 228.0, Label::Plain(area.clone()));
    let args = vec![("length", Arg::Text(length)), ("width", Arg::Text(width)), ("area", Arg::Text(area))];
    drawing.say("known-area.draw.plot", args);
    if let Some(rate) = worked.si(&PER_HA, []) {
        let rate = Arg::Text(quantity(rate, usual::FIELD_RATE));
        drawing.say("known-area.draw.rate", vec![("rate", rate)]);
    }
    drawing
}
