//! Swath timing: how much ground somebody on foot covers in a time.

use crate::calculation::declare::{Calculator, Face, Fault, FormItem, Group, Input, ResultSpec, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::quantity::kind::{Area, Kind, Length, Measure, Ratio, Time};
use crate::quantity::unit::{Units, unit, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Area covered per time on foot, from passes, blocks and patches timed with the trigger open.
///
/// # Formula
/// `area_rate = area covered / spray time`, areas and times of all runs added first. A pass covers its length times
/// the spacing between passes, the width that counts; the wetted band is wider where passes overlap.
/// `pace = distance walked / pass time`; `overlap = (wetted width - spacing) / wetted width`.
/// # Inputs
/// - `pass` (0 to 12 rows): passes walked with the trigger open.
/// - `pass.length` (ft or m): length of one pass. Above 0 to 10,000 ft, usually 20 to 1000 ft; read to 0.5 ft or 0.1 m;
///   required.
/// - `pass.spacing` (ft or m): distance between passes. Above 0 to 60 ft, usually 2 to 12 ft; read to 2 in or 5 cm;
///   required.
/// - `pass.passes` (a whole number): passes in the row. 1 to 200; 1 if left out.
/// - `pass.time`, `block.time` (s): spray time of the row. Above 0 to 36,000 s, usually 15 to 3600 s; read to 0.2 s;
///   required.
/// - `block` (0 to 12 rows): areas that were timed as a whole.
/// - `patch` (0 to 12 rows): areas to add or subtract.
/// - `block.length`, `patch.length` (ft or m): length of the area. Above 0 to 10,000 ft, usually 3 to 1000 ft; read to
///   0.5 ft or 0.1 m; required.
/// - `block.width`, `patch.width` (ft or m): its width. Above 0 to 10,000 ft, usually 3 to 1000 ft; read to 0.5 ft or
///   0.1 m; required.
/// - `patch.effect` (`add` or `subtract`): whether it is added or subtracted. `add` if left out.
/// - `patch.time` (s): spray time of the patch. 0 to 36,000 s, usually 0 to 3600 s; read to 0.2 s; 0 s if left out.
/// - `wetted-width` (ft or m): width that the spray wets. Above 0 to 120 ft, usually 3 to 24 ft; read to 6 in or 10 cm;
///   optional.
/// # Errors
/// Nothing covered, or less than nothing once patches are subtracted; no time at all.
/// # Cautions
/// `swath-timing.gap` where passes are farther apart than the spray is wide; `swath-timing.pace` outside 1.5 to 5 mph;
/// `swath-timing.short` for less than 30 s of spraying in all.
/// # Source
/// As in [`Calculator::sources`]; departs from them in asking for the pass spacing instead of "the swath".
/// # Example
/// 200 ft at 5 ft spacing in 78 s: 1000 ft² in 78 s is 769.2 ft²/min.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("pass.1.length", "200 ft"),
///     ("pass.1.spacing", "5 ft"),
///     ("pass.1.passes", "1"),
///     ("pass.1.time", "78 s"),
/// ]);
/// let worked = work(calculator("swath-timing").unwrap(), &given, System::Us).unwrap();
/// let area_rate = worked.value_in("area-rate", "ft2/min").unwrap();
/// assert!((area_rate - 769.23).abs() < 0.01);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "swath-timing",
    inputs: &[
        FormItem::Many(Group { name: "pass", fields: &[PASS_LENGTH, SPACING, PASSES, TIME], least: 0, most: 12 }),
        FormItem::Many(Group { name: "block", fields: &[SIDE_LENGTH, SIDE_WIDTH, TIME], least: 0, most: 12 }),
        FormItem::Many(Group {
            name: "patch",
            fields: &[SIDE_LENGTH, SIDE_WIDTH, EFFECT, PATCH_TIME],
            least: 0,
            most: 12,
        }),
        FormItem::One(WETTED_WIDTH),
    ],
    results: &[&AREA_RATE, &TIME_PER_AREA, &AREA_COVERED, &SPRAY_TIME, &PACE, &OVERLAP],
    uncertain: &["area-rate"],
    compare: None,
    face: Face::Results,
    sources: &[
        Source {
            title: "Spray Gun (calibration)",
            publisher: "Pesticide Environmental Stewardship",
            url: "https://pesticidestewardship.org/calibration/spray-gun/",
        },
        Source {
            title: "Math for Pesticide Applicators",
            publisher: "University of Nebraska-Lincoln Pesticide Safety Education Program",
            url: "https://pested.unl.edu/math",
        },
    ],
    example: &[
        ("pass.1.length", "100 ft"),
        ("pass.1.spacing", "5 ft"),
        ("pass.1.passes", "10"),
        ("pass.1.time", "3 min 47 s"),
        ("wetted-width", "10 ft"),
    ],
    example_metric: &[
        ("pass.1.length", "30 m"),
        ("pass.1.spacing", "1.5 m"),
        ("pass.1.passes", "10"),
        ("pass.1.time", "3 min 47 s"),
        ("wetted-width", "3 m"),
    ],
    run,
    draw,
};

const PASS_LENGTH: Input = Input::quantity("length", Kind::Length, usual::SPAN)
    .above("ft", (0.0, 10_000.0), (20.0, 1000.0))
    .read_to((0.5, "ft"), (0.1, "m"))
    .grows();
const SPACING: Input = Input::quantity("spacing", Kind::Length, usual::SPAN)
    .above("ft", (0.0, 60.0), (2.0, 12.0))
    .read_to((2.0, "in"), (5.0, "cm"));
const PASSES: Input = Input::count("passes", 1.0, 200.0).or("1");
const TIME: Input = Input::quantity("time", Kind::Time, usual::SECONDS)
    .above("s", (0.0, 36_000.0), (15.0, 3600.0))
    .read_to((0.2, "s"), (0.2, "s"))
    .stopwatch()
    .grows();
const SIDE_LENGTH: Input = Input::quantity("length", Kind::Length, usual::SPAN)
    .above("ft", (0.0, 10_000.0), (3.0, 1000.0))
    .read_to((0.5, "ft"), (0.1, "m"))
    .grows();
const SIDE_WIDTH: Input = Input::quantity("width", Kind::Length, usual::SPAN)
    .above("ft", (0.0, 10_000.0), (3.0, 1000.0))
    .read_to((0.5, "ft"), (0.1, "m"));
const EFFECT: Input = Input::choice("effect", &["add", "subtract"]);
const PATCH_TIME: Input = Input::quantity("time", Kind::Time, usual::SECONDS)
    .from("s", (0.0, 36_000.0), (0.0, 3600.0))
    .read_to((0.2, "s"), (0.2, "s"))
    .stopwatch()
    .grows()
    .or("0 s");
const WETTED_WIDTH: Input = Input::quantity("wetted-width", Kind::Length, usual::SPAN)
    .above("ft", (0.0, 120.0), (3.0, 24.0))
    .read_to((6.0, "in"), (10.0, "cm"))
    .optional();

static AREA_RATE: ResultSpec = ResultSpec::new("area-rate", Kind::AreaRate, units!("ft2/min", "m2/min")).main();
static TIME_PER_AREA: ResultSpec =
    ResultSpec::new("time-per-area", Kind::TimePerArea, units!("s/1000 ft2", "s/100 m2")).main();
static AREA_COVERED: ResultSpec = ResultSpec::new("area-covered", Kind::Area, usual::SURFACE);
static SPRAY_TIME: ResultSpec = ResultSpec::new("spray-time", Kind::Time, usual::SECONDS);
static PACE: ResultSpec = ResultSpec::new("pace", Kind::Speed, usual::PACE);
static OVERLAP: ResultSpec = ResultSpec::new("overlap", Kind::Share, usual::PERCENT);

/// Common practice, no source: the walking paces of people who spray; outside them the stopwatch is suspected.
const PACE_MPH: (f64, f64) = (1.5, 5.0);
const SHORT_RUN_S: f64 = 30.0;

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let mut added: Vec<Traced<Area>> = Vec::new();
    let mut taken: Vec<Traced<Area>> = Vec::new();
    let mut times: Vec<Traced<Time>> = Vec::new();
    passes(inputs, rec, &mut added, &mut times)?;
    for row in inputs.rows("block") {
        let area = &row.need::<Length>("length")? * &row.need::<Length>("width")?;
        added.push(rec.step("swath-timing.step.block-area", &[row.number], &area, usual::SURFACE));
        times.push(row.need("time")?);
    }
    // A patch belongs to one of the rows, but nobody says which, so rows with patches do not count as repeats.
    if inputs.row_count("patch") == 0 {
        rec.repeats(&AREA_RATE, added.iter().zip(&times));
    }
    for row in inputs.rows("patch") {
        let area = &row.need::<Length>("length")? * &row.need::<Length>("width")?;
        let area = rec.step("swath-timing.step.patch-area", &[row.number], &area, usual::SURFACE);
        let subtract = row.word("effect") == Some("subtract");
        if subtract {
            taken.push(area)
        } else {
            added.push(area)
        }
        times.extend(row.get::<Time>("time").filter(|time| time.si() > 0.0));
    }
    let (area, time) = pooled(rec, added, taken, times)?;
    let rate = rec.step("swath-timing.step.area-rate", &[], &(&area / &time), units!("ft2/min", "m2/min"));
    let per = rec.step("swath-timing.step.time-per-area", &[], &(&time / &area), units!("s/1000 ft2", "s/100 m2"));
    rec.result(&AREA_RATE, &[], &rate);
    rec.result(&TIME_PER_AREA, &[], &per);
    rec.result(&AREA_COVERED, &[], &area);
    rec.result(&SPRAY_TIME, &[], &time);
    if time.si() < SHORT_RUN_S {
        rec.caution("swath-timing.short", Severity::Notice, vec![("time", rec.arg(&time, usual::SECONDS))]);
    }
    pace(inputs, rec)?;
    overlap(inputs, rec)
}

fn passes(
    inputs: &Inputs,
    rec: &mut Recorder,
    areas: &mut Vec<Traced<Area>>,
    times: &mut Vec<Traced<Time>>,
) -> Result<(), Fault> {
    for row in inputs.rows("pass") {
        let (length, spacing): (Traced<Length>, Traced<Length>) = (row.need("length")?, row.need("spacing")?);
        let count: Traced<Ratio> = row.need("passes")?;
        let one = &length * &spacing;
        let area = if count.si() > 1.0 { &one * &count } else { one };
        areas.push(rec.step("swath-timing.step.pass-area", &[row.number], &area, usual::SURFACE));
        times.push(row.need("time")?);
    }
    Ok(())
}

fn pooled(
    rec: &mut Recorder,
    added: Vec<Traced<Area>>,
    taken: Vec<Traced<Area>>,
    times: Vec<Traced<Time>>,
) -> Result<(Traced<Area>, Traced<Time>), Fault> {
    let several = added.len() + taken.len() > 1;
    let sum = Traced::sum(added).ok_or_else(|| Fault::new("swath-timing.nothing", "pass"))?;
    let net = taken.iter().fold(sum, |net, patch| &net - patch);
    if net.si() <= 0.0 {
        return Err(Fault::new("swath-timing.nothing-left", "patch"));
    }
    let area = if several { rec.step("swath-timing.step.area-covered", &[], &net, usual::SURFACE) } else { net };
    let several = times.len() > 1;
    let sum = Traced::sum(times).ok_or_else(|| Fault::new("swath-timing.no-time", "patch"))?;
    let time = if several { rec.step("swath-timing.step.spray-time", &[], &sum, usual::SECONDS) } else { sum };
    Ok((area, time))
}

fn pace(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let mut walked: Vec<Traced<Length>> = Vec::new();
    let mut times: Vec<Traced<Time>> = Vec::new();
    for row in inputs.rows("pass") {
        let (length, count): (Traced<Length>, Traced<Ratio>) = (row.need("length")?, row.need("passes")?);
        walked.push(if count.si() > 1.0 { &length * &count } else { length });
        times.push(row.need("time")?);
    }
    let several = walked.len() > 1;
    let (Some(mut distance), Some(mut time)) = (Traced::sum(walked), Traced::sum(times)) else {
        return Ok(());
    };
    if several {
        distance = rec.step("swath-timing.step.distance", &[], &distance, usual::SPAN);
        time = rec.step("swath-timing.step.pass-time", &[], &time, usual::SECONDS);
    }
    let pace = rec.step("swath-timing.step.pace", &[], &(&distance / &time), usual::PACE);
    rec.result(&PACE, &[], &pace);
    let mph = pace.in_unit(unit!("mph"));
    if mph < PACE_MPH.0 || PACE_MPH.1 < mph {
        let limit = |mph: f64| Arg::Quantity(mph * unit!("mph").size(), usual::PACE.pick(rec.system));
        let args = vec![("pace", rec.arg(&pace, usual::PACE)), ("low", limit(PACE_MPH.0)), ("high", limit(PACE_MPH.1))];
        rec.caution("swath-timing.pace", Severity::Notice, args);
    }
    Ok(())
}

fn overlap(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let Some(wetted) = inputs.get::<Length>("wetted-width") else { return Ok(()) };
    let Some(first) = inputs.rows("pass").next() else { return Ok(()) };
    let spacing: Traced<Length> = first.need("spacing")?;
    let share = &(&wetted - &spacing) / &wetted;
    let overlap = rec.step("swath-timing.step.overlap", &[], &share, usual::PERCENT);
    rec.result(&OVERLAP, &[], &overlap);
    if spacing.above(&wetted) {
        let args = vec![("spacing", rec.arg(&spacing, usual::SPAN)), ("wetted", rec.arg(&wetted, usual::SPAN))];
        rec.caution("swath-timing.gap", Severity::Warning, args);
    }
    Ok(())
}

fn draw(worked: &Worked, system: System) -> Drawing {
    let mut drawing = match worked.inputs.rows("pass").next() {
        Some(_) => draw_passes(worked),
        None => draw_shapes(worked),
    };
    let quantity = |name: &str, units: &Units| Arg::Quantity(worked.si(name).unwrap_or_default(), units.pick(system));
    drawing.say(
        "swath-timing.draw.covered",
        vec![
            ("area", quantity("area-covered", usual::SURFACE)),
            ("time", quantity("spray-time", usual::SECONDS)),
            ("rate", quantity("area-rate", units!("ft2/min", "m2/min"))),
        ],
    );
    drawing
}

/// The passes of the first row, seen from above, widths to scale: spacing between the walking lines, and the wet band.
fn draw_passes(worked: &Worked) -> Drawing {
    let inputs_wetted = worked.inputs.typed("wetted-width").is_some();
    let mut drawing = Drawing::new(if inputs_wetted { 136.0 } else { 112.0 });
    let inputs = &worked.inputs;
    let spacing = inputs.typed("pass.1.spacing").map_or(1.0, |typed| typed.si);
    let wetted = inputs.typed("wetted-width").map_or(spacing, |typed| typed.si);
    let passes = inputs.typed("pass.1.passes").map_or(1.0, |typed| typed.si).clamp(1.0, 3.0);
    let lines = passes.max(2.0);
    let scale = 200.0 / (spacing * (lines - 1.0) + wetted);
    drawing.rect("ground", 8.0, 34.0, 344.0, 72.0);
    let first = 80.0 + wetted * scale / 2.0;
    for line in 0..lines as usize {
        let x = first + spacing * scale * line as f64;
        let class = if line % 2 == 0 { "band" } else { "band-2" };
        drawing.rect(class, x - wetted * scale / 2.0, 34.0, wetted * scale, 72.0);
        drawing.line("dim", (x, 34.0), (x, 106.0));
        drawing.circle("mark", x, if line % 2 == 0 { 44.0 } else { 96.0 }, 6.0);
    }
    let second = first + spacing * scale;
    drawing.dimension((first, 26.0), (second, 26.0));
    let text = |name: &str| inputs.typed(name).map(written::as_typed).unwrap_or_default();
    drawing.label(
        Set::Mid,
        (first + second) / 2.0,
        15.0,
        Label::Phrase("swath-timing.draw.spacing-label", vec![("spacing", Arg::Text(text("pass.1.spacing")))]),
    );
    if inputs.typed("wetted-width").is_some() {
        let (from, to) = (first - wetted * scale / 2.0, first + wetted * scale / 2.0);
        drawing.dimension((from, 114.0), (to, 114.0));
        drawing.label(
            Set::Start,
            from,
            132.0,
            Label::Phrase("swath-timing.draw.wetted-label", vec![("wetted", Arg::Text(text("wetted-width")))]),
        );
        drawing.say("swath-timing.draw.wetted", vec![("wetted", Arg::Text(text("wetted-width")))]);
    }
    drawing.say("swath-timing.draw.passes", vec![("spacing", Arg::Text(text("pass.1.spacing")))]);
    drawing
}

/// The first block or patch to scale, with its sides.
fn draw_shapes(worked: &Worked) -> Drawing {
    let mut drawing = Drawing::new(124.0);
    let inputs = &worked.inputs;
    let group = if inputs.row_count("block") > 0 { "block" } else { "patch" };
    let side = |field: &str| inputs.typed(&format!("{group}.1.{field}"));
    let (Some(length), Some(width)) = (side("length"), side("width")) else { return drawing };
    let scale = (280.0 / length.si).min(84.0 / width.si);
    let (across, down) = (length.si * scale, width.si * scale);
    let (left, top) = (180.0 - across / 2.0, 30.0);
    drawing.rect("ground", left, top, across, down);
    drawing.rect("line", left, top, across, down);
    drawing.dimension((left, top - 8.0), (left + across, top - 8.0));
    drawing.label(Set::Mid, 180.0, 15.0, Label::Plain(written::as_typed(length)));
    drawing.label(
        Set::Mid,
        180.0,
        top + down / 2.0 + 5.0,
        Label::Plain(format!("{} × {}", written::as_typed(length), written::as_typed(width))),
    );
    drawing.say(
        "swath-timing.draw.block",
        vec![
            ("length", Arg::Quantity(Length::from_si(length.si).si(), length.unit)),
            ("width", Arg::Quantity(width.si, width.unit)),
        ],
    );
    drawing
}
