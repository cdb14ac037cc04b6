//! Swath timing: how much ground somebody on foot covers in a time.

use crate::calculation::asking::RowOf;
use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{Choice, GroupOf, InputOf, ResultOf, fields};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::calculators::sources;
use crate::quantity::kind::{Area, Length, Time};
use crate::quantity::kinds;
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
    inputs: &[PASS.item(), BLOCK.item(), PATCH.item(), WETTED_WIDTH.item()],
    results: &[&AREA_RATE.spec, &TIME_PER_AREA.spec, &AREA_COVERED.spec, &SPRAY_TIME.spec, &PACE.spec, &OVERLAP.spec],
    uncertain: &[AREA_RATE.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        sources::SPRAY_GUN,
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

/// Passes walked up and down.
#[derive(Debug)]
pub(crate) enum Pass {}
pub(crate) const PASS: GroupOf<Pass> = GroupOf::new("pass", fields![PASS_LENGTH, SPACING, PASSES, TIME], 0, 12);
/// Blocks whose sides were measured.
#[derive(Debug)]
pub(crate) enum Block {}
pub(crate) const BLOCK: GroupOf<Block> = GroupOf::new("block", fields![SIDE_LENGTH, SIDE_WIDTH, BLOCK_TIME], 0, 12);
/// Patches beside the passes, or left out of them.
#[derive(Debug)]
pub(crate) enum Patch {}
pub(crate) const PATCH: GroupOf<Patch> =
    GroupOf::new("patch", fields![PATCH_LENGTH, PATCH_WIDTH, EFFECT, PATCH_TIME], 0, 12);
pub(crate) const PASS_LENGTH: InputOf<kinds::Length, Pass> = InputOf::quantity("length", usual::SPAN)
    .above("ft", (0.0, 10_000.0), (20.0, 1000.0))
    .read_to((0.5, "ft"), (0.1, "m"))
    .grows();
pub(crate) const SPACING: InputOf<kinds::Length, Pass> =
    InputOf::quantity("spacing", usual::SPAN).above("ft", (0.0, 60.0), (2.0, 12.0)).read_to((2.0, "in"), (5.0, "cm"));
pub(crate) const PASSES: InputOf<kinds::Count, Pass> = InputOf::count("passes", 1.0, 200.0).or("1");
pub(crate) const TIME: InputOf<kinds::Time, Pass> =
    InputOf::quantity("time", usual::SECONDS).above("s", (0.0, 36_000.0), (15.0, 3600.0)).timed();
pub(crate) const SIDE_LENGTH: InputOf<kinds::Length, Block> = InputOf::quantity("length", usual::SPAN)
    .above("ft", (0.0, 10_000.0), (3.0, 1000.0))
    .read_to((0.5, "ft"), (0.1, "m"))
    .grows();
pub(crate) const SIDE_WIDTH: InputOf<kinds::Length, Block> = InputOf::quantity("width", usual::SPAN)
    .above("ft", (0.0, 10_000.0), (3.0, 1000.0))
    .read_to((0.5, "ft"), (0.1, "m"));
pub(crate) const PATCH_LENGTH: InputOf<kinds::Length, Patch> = SIDE_LENGTH.in_group();
pub(crate) const PATCH_WIDTH: InputOf<kinds::Length, Patch> = SIDE_WIDTH.in_group();
pub(crate) const BLOCK_TIME: InputOf<kinds::Time, Block> = TIME.in_group();
pub(crate) const EFFECT: InputOf<Choice, Patch> = InputOf::choice("effect", &["add", "subtract"]);
pub(crate) const SUBTRACT: &str = EFFECT.choice_of("subtract");
pub(crate) const PATCH_TIME: InputOf<kinds::Time, Patch> =
    InputOf::quantity("time", usual::SECONDS).from("s", (0.0, 36_000.0), (0.0, 3600.0)).timed().or("0 s");
pub(crate) const WETTED_WIDTH: InputOf<kinds::Length> = InputOf::quantity("wetted-width", usual::SPAN)
    .above("ft", (0.0, 120.0), (3.0, 24.0))
    .read_to((6.0, "in"), (10.0, "cm"))
    .optional();

pub(crate) static AREA_RATE: ResultOf<kinds::AreaRate> = ResultOf::new("area-rate", units!("ft2/min", "m2/min")).main();
pub(crate) static TIME_PER_AREA: ResultOf<kinds::TimePerArea> =
    ResultOf::new("time-per-area", units!("s/1000 ft2", "s/100 m2")).main();
pub(crate) static AREA_COVERED: ResultOf<kinds::Area> = ResultOf::new("area-covered", usual::SURFACE);
pub(crate) static SPRAY_TIME: ResultOf<kinds::Time> = ResultOf::new("spray-time", usual::SECONDS);
pub(crate) static PACE: ResultOf<kinds::Speed> = ResultOf::new("pace", usual::PACE);
pub(crate) static OVERLAP: ResultOf<kinds::Share> = ResultOf::new("overlap", usual::PERCENT);

/// Common practice, no source: the walking paces of people who spray; outside them the stopwatch is suspected.
const PACE_MPH: (f64, f64) = (1.5, 5.0);
const SHORT_RUN_S: f64 = 30.0;

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let mut added: Vec<Traced<Area>> = Vec::new();
    let mut taken: Vec<Traced<Area>> = Vec::new();
    let mut times: Vec<Traced<Time>> = Vec::new();
    passes(inputs, rec, &mut added, &mut times)?;
    for row in inputs.rows(&BLOCK) {
        let area = &row.need(&SIDE_LENGTH)? * &row.need(&SIDE_WIDTH)?;
        added.push(rec.step("swath-timing.step.block-area", &[row.number()], &area, usual::SURFACE));
        times.push(row.need(&BLOCK_TIME)?);
    }
    // A patch belongs to one of the rows, but nobody says which, so rows with patches do not count as repeats.
    if inputs.row_count(&PATCH) == 0 {
        rec.repeats(&AREA_RATE, added.iter().zip(&times));
    }
    for row in inputs.rows(&PATCH) {
        let area = &row.need(&PATCH_LENGTH)? * &row.need(&PATCH_WIDTH)?;
        let area = rec.step("swath-timing.step.patch-area", &[row.number()], &area, usual::SURFACE);
        let subtract = row.word(&EFFECT) == Some(SUBTRACT);
        if subtract {
            taken.push(area)
        } else {
            added.push(area)
        }
        times.extend(row.get(&PATCH_TIME).filter(|time| time.si() > 0.0));
    }
    let passes_alone = times.len() == inputs.row_count(&PASS);
    let (area, time) = pooled(rec, added, taken, times)?;
    let rate = rec.step("swath-timing.step.area-rate", &[], &(&area / &time), units!("ft2/min", "m2/min"));
    let per = rec.step("swath-timing.step.time-per-area", &[], &(&time / &area), units!("s/1000 ft2", "s/100 m2"));
    rec.result(&AREA_RATE, [], &rate);
    rec.result(&TIME_PER_AREA, [], &per);
    rec.result(&AREA_COVERED, [], &area);
    rec.result(&SPRAY_TIME, [], &time);
    if time.si() < SHORT_RUN_S {
        rec.caution("swath-timing.short", Severity::Notice, vec![("time", rec.arg(&time, usual::SECONDS))]);
    }
    pace(inputs, rec, Some(&time).filter(|_| passes_alone))?;
    overlap(inputs, rec)
}

fn passes(
    inputs: &Inputs,
    rec: &mut Recorder,
    areas: &mut Vec<Traced<Area>>,
    times: &mut Vec<Traced<Time>>,
) -> Result<(), Fault> {
    for row in inputs.rows(&PASS) {
        let (length, spacing) = (row.need(&PASS_LENGTH)?, row.need(&SPACING)?);
        let count = row.need(&PASSES)?;
        let one = &length * &spacing;
        let area = if count.si() > 1.0 { &one * &count } else { one };
        areas.push(rec.step("swath-timing.step.pass-area", &[row.number()], &area, usual::SURFACE));
        times.push(row.need(&TIME)?);
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
    let sum = Traced::sum(added).ok_or_else(|| Fault::new("swath-timing.nothing", PASS.name()))?;
    let net = taken.iter().fold(sum, |net, patch| &net - patch);
    if net.si() <= 0.0 {
        return Err(Fault::new("swath-timing.nothing-left", PATCH.name()));
    }
    let area = if several { rec.step("swath-timing.step.area-covered", &[], &net, usual::SURFACE) } else { net };
    let several = times.len() > 1;
    let sum = Traced::sum(times).ok_or_else(|| Fault::new("swath-timing.no-time", PATCH.name()))?;
    let time = if several { rec.step("swath-timing.step.spray-time", &[], &sum, usual::SECONDS) } else { sum };
    Ok((area, time))
}

/// The pace on the passes; `total` is their time together, where nothing else was timed.
fn pace(inputs: &Inputs, rec: &mut Recorder, total: Option<&Traced<Time>>) -> Result<(), Fault> {
    let mut walked: Vec<Traced<Length>> = Vec::new();
    let mut times: Vec<Traced<Time>> = Vec::new();
    for row in inputs.rows(&PASS) {
        let (length, count) = (row.need(&PASS_LENGTH)?, row.need(&PASSES)?);
        walked.push(if count.si() > 1.0 { &length * &count } else { length });
        times.push(row.need(&TIME)?);
    }
    let several = walked.len() > 1;
    let (Some(mut distance), Some(mut time)) = (Traced::sum(walked), Traced::sum(times)) else {
        return Ok(());
    };
    if several {
        distance = rec.step("swath-timing.step.distance", &[], &distance, usual::SPAN);
        time = match total {
            Some(total) => total.clone(),
            None => rec.step("swath-timing.step.pass-time", &[], &time, usual::SECONDS),
        };
    }
    let pace = rec.step("swath-timing.step.pace", &[], &(&distance / &time), usual::PACE);
    rec.result(&PACE, [], &pace);
    let mph = pace.in_unit(unit!("mph"));
    if mph < PACE_MPH.0 || PACE_MPH.1 < mph {
        let limit = |mph: f64| rec.limit(mph, unit!("mph"), usual::PACE);
        let args = vec![("pace", rec.arg(&pace, usual::PACE)), ("low", limit(PACE_MPH.0)), ("high", limit(PACE_MPH.1))];
        rec.caution("swath-timing.pace", Severity::Notice, args);
    }
    Ok(())
}

fn overlap(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let Some(wetted) = inputs.get(&WETTED_WIDTH) else { return Ok(()) };
    let Some(first) = inputs.rows(&PASS).next() else { return Ok(()) };
    let spacing = first.need(&SPACING)?;
    let share = &(&wetted - &spacing) / &wetted;
    let overlap = rec.step("swath-timing.step.overlap", &[], &share, usual::PERCENT);
    rec.result(&OVERLAP, [], &overlap);
    if spacing.above(&wetted) {
        let args = vec![("spacing", rec.arg(&spacing, usual::SPAN)), ("wetted", rec.arg(&wetted, usual::SPAN))];
        rec.caution("swath-timing.gap", Severity::Warning, args);
    }
    Ok(())
}

fn draw(worked: &Worked, system: System) -> Drawing {
    let mut drawing = match worked.inputs.rows(&PASS).next() {
        Some(first) => draw_passes(worked, &first),
        None => draw_shapes(worked),
    };
    let quantity = |si: Option<f64>, units: &Units| Arg::Quantity(si.unwrap_or_default(), units.pick(system));
    drawing.say(
        "swath-timing.draw.covered",
        vec![
            ("area", quantity(worked.si(&AREA_COVERED, []), usual::SURFACE)),
            ("time", quantity(worked.si(&SPRAY_TIME, []), usual::SECONDS)),
            ("rate", quantity(worked.si(&AREA_RATE, []), units!("ft2/min", "m2/min"))),
        ],
    );
    drawing
}

/// The passes of the first row, seen from above, widths to scale: spacing between the walking lines, and the wet band.
fn draw_passes(worked: &Worked, row: &RowOf<Pass>) -> Drawing {
    let wetted_width = worked.inputs.typed(&WETTED_WIDTH);
    let mut drawing = Drawing::new(if wetted_width.is_some() { 136.0 } else { 112.0 });
    let spacing = row.typed(&SPACING).map_or(1.0, |typed| typed.si);
    let wetted = wetted_width.map_or(spacing, |typed| typed.si);
    let passes = row.typed(&PASSES).map_or(1.0, |typed| typed.si).clamp(1.0, 3.0);
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
    let spaced = row.typed(&SPACING).map(written::as_typed).unwrap_or_default();
    drawing.label(
        Set::Mid,
        (first + second) / 2.0,
        15.0,
        Label::Phrase("swath-timing.draw.spacing-label", vec![("spacing", Arg::Text(spaced.clone()))]),
    );
    if let Some(wide) = wetted_width.map(written::as_typed) {
        let (from, to) = (first - wetted * scale / 2.0, first + wetted * scale / 2.0);
        drawing.dimension((from, 114.0), (to, 114.0));
        drawing.label(
            Set::Start,
            from,
            132.0,
            Label::Phrase("swath-timing.draw.wetted-label", vec![("wetted", Arg::Text(wide.clone()))]),
        );
        drawing.say("swath-timing.draw.wetted", vec![("wetted", Arg::Text(wide))]);
    }
    drawing.say("swath-timing.draw.passes", vec![("spacing", Arg::Text(spaced))]);
    drawing
}

/// The first block or patch to scale, with its sides.
fn draw_shapes(worked: &Worked) -> Drawing {
    let mut drawing = Drawing::new(124.0);
    let inputs = &worked.inputs;
    let block = inputs.rows(&BLOCK).next().map(|row| (row.typed(&SIDE_LENGTH), row.typed(&SIDE_WIDTH)));
    let patch = || inputs.rows(&PATCH).next().map(|row| (row.typed(&PATCH_LENGTH), row.typed(&PATCH_WIDTH)));
    let Some((Some(length), Some(width))) = block.or_else(patch) else { return drawing };
    // A bed that is not sprayed lies in the block, where it fits and is the only one.
    let bed = inputs.rows(&PATCH).next().filter(|row| {
        row.word(&EFFECT) == Some(SUBTRACT)
            && block.is_some()
            && inputs.row_count(&PATCH) + inputs.row_count(&BLOCK) == 2
    });
    let bed = bed.and_then(|row| Some((row.typed(&PATCH_LENGTH)?, row.typed(&PATCH_WIDTH)?)));
    let bed = bed.filter(|(long, wide)| long.si < length.si && wide.si < width.si);
    // Its sides stand under the block.
    let high = if bed.is_some() { 70.0 } else { 84.0 };
    let scale = (280.0 / length.si).min(high / width.si);
    let (across, down) = (length.si * scale, width.si * scale);
    let (left, top) = (180.0 - across / 2.0, 30.0);
    drawing.rect("ground", left, top, across, down);
    drawing.rect("line", left, top, across, down);
    drawing.dimension((left, top - 8.0), (left + across, top - 8.0));
    let sides = |length, width| [&written::as_typed(length), " × ", &written::as_typed(width)].concat();
    drawing.label(Set::Mid, 180.0, 15.0, Label::Plain(sides(length, width)));
    if let Some((long, wide)) = bed {
        let (under, middle) = (top + down + 18.0, top + down / 2.0);
        let (across, down) = (long.si * scale, wide.si * scale);
        drawing.rect("paper", 180.0 - across / 2.0, middle - down / 2.0, across, down);
        drawing.label(Set::Mid, 180.0, under, Label::Plain(["− ", &sides(long, wide)].concat()));
        let [length, width] = [long, wide].map(|side| Arg::Quantity(side.si, side.unit));
        drawing.say("swath-timing.draw.bed", vec![("length", length), ("width", width)]);
    }
    drawing.say(
        "swath-timing.draw.block",
        vec![("length", Arg::Quantity(length.si, length.unit)), ("width", Arg::Quantity(width.si, width.unit))],
    );
    drawing
}
