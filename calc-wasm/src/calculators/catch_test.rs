//! Catch test: what a gun, or each nozzle of a row, puts out.

use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{GroupOf, InputOf, ResultOf, fields};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::calculators::sources;
use crate::quantity::kind::{Ratio, Time, Volume};
use crate::quantity::kinds;
use crate::quantity::typed::Typed;
use crate::quantity::unit::{Units, unit, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::percent_off::{departure, outside};
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Nozzle output from a catch test: the volume caught divided by the time of the catch.
///
/// # Formula
/// One gun: `nozzle_output = sum of volumes caught / sum of catch times` (pooled: a long catch counts for more).
/// A row of nozzles: `mean_output = mean catch / catch time`; `departure = (catch - mean) / mean`; what the tolerance
/// allows a nozzle: `mean_output * (1 - tolerance)` to `mean_output * (1 + tolerance)`.
/// # Inputs
/// - `catch` (0 to 12 rows): catches of one gun.
/// - `catch.volume` (fl oz or L): volume caught. Above 0 to 50 gal, usually 0.125 to 5 gal; read to 1 fl oz or 10 mL;
///   required.
/// - `catch.time` (s): how long it was caught. Above 0 to 600 s, usually 20 to 120 s; read to 0.2 s; required.
/// - `nozzle` (0 to 60 rows): a row of nozzles, each caught for the same time.
/// - `nozzle.volume` (fl oz or L): volume caught from one of them. Above 0 to 50 gal, usually 0.125 to 5 gal; read to 1
///   fl oz or 10 mL; required.
/// - `nozzle-time` (s): that time. Above 0 to 600 s, usually 20 to 120 s; read to 0.2 s; optional.
/// - `tolerance` (%): how far a nozzle may be from the mean. Above 0 to 50 %, usually 5 to 15 %; 10 % if left out.
/// # Errors
/// No catch at all; nozzles without their time.
/// # Cautions
/// `catch-test.short` under 20 s, `catch-test.little` under 20 fl oz in 20 s or more, `catch-test.scatter` for the catch
/// farthest from the pooled output, where that is more than 5 %, `catch-test.nozzle-low` and `.nozzle-high` for each nozzle outside the tolerance,
/// `catch-test.mean-moved` for a nozzle so far off that others are judged otherwise without it (three nozzles or more).
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing.
/// # Example
/// 1 gal 58 fl oz (186 fl oz) in 60 s is 1.453125 gal/min.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("catch.1.volume", "1 gal 58 fl oz"),
///     ("catch.1.time", "60 s"),
/// ]);
/// let worked = work(calculator("catch-test").unwrap(), &given, System::Us).unwrap();
/// let nozzle_output = worked.value_in("nozzle-output", "gal/min").unwrap();
/// assert!((nozzle_output - 1.453125).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "catch-test",
    inputs: &[CATCH.item(), NOZZLE.item(), NOZZLE_TIME.item(), TOLERANCE.item()],
    results: &[
        &NOZZLE_OUTPUT.spec,
        &TOTAL_VOLUME.spec,
        &TOTAL_TIME.spec,
        &MEAN_OUTPUT.spec,
        &TOTAL_OUTPUT.spec,
        &MEAN_CATCH.spec,
        &DEPARTURE.spec,
        &LOWEST.spec,
        &HIGHEST.spec,
    ],
    uncertain: &[NOZZLE_OUTPUT.name(), MEAN_OUTPUT.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        sources::SPRAY_GUN,
        Source {
            title: "Calibration and safety of pesticide application equipment (worksheet, 2012)",
            publisher: "a sports-turf trade association magazine",
            url: "http://read.dmtmag.com/i/82015-september-2012/19",
        },
    ],
    example: &[
        ("catch.1.volume", "186 fl oz"),
        ("catch.1.time", "60 s"),
        ("catch.2.volume", "190 fl oz"),
        ("catch.2.time", "60 s"),
    ],
    example_metric: &[
        ("catch.1.volume", "5.5 L"),
        ("catch.1.time", "60 s"),
        ("catch.2.volume", "5.6 L"),
        ("catch.2.time", "60 s"),
    ],
    run,
    draw,
};

/// Catches of one gun or nozzle, each with its own time.
#[derive(Debug)]
pub(crate) enum Catch {}
pub(crate) const CATCH: GroupOf<Catch> = GroupOf::new("catch", fields![VOLUME, TIME], 0, 12);
/// One catch of each nozzle, all in the same time.
#[derive(Debug)]
pub(crate) enum Nozzle {}
pub(crate) const NOZZLE: GroupOf<Nozzle> = GroupOf::new("nozzle", fields![NOZZLE_VOLUME], 0, 60);
pub(crate) const VOLUME: InputOf<kinds::Volume, Catch> = InputOf::quantity("volume", units!("fl oz", "L"))
    .above("gal", (0.0, 50.0), (0.125, 5.0))
    .read_to((1.0, "fl oz"), (10.0, "mL"))
    .grows();
pub(crate) const TIME: InputOf<kinds::Time, Catch> =
    InputOf::quantity("time", usual::SECONDS).above("s", (0.0, 600.0), (20.0, 120.0)).timed();
pub(crate) const NOZZLE_VOLUME: InputOf<kinds::Volume, Nozzle> = VOLUME.in_group();
pub(crate) const NOZZLE_TIME: InputOf<kinds::Time> =
    InputOf::quantity("nozzle-time", usual::SECONDS).above("s", (0.0, 600.0), (20.0, 120.0)).timed().optional();
pub(crate) const TOLERANCE: InputOf<kinds::Share> =
    InputOf::quantity("tolerance", usual::PERCENT).above("%", (0.0, 50.0), (5.0, 15.0)).or("10 %");

pub(crate) static NOZZLE_OUTPUT: ResultOf<kinds::Flow> = ResultOf::new("nozzle-output", usual::OUTPUT).main();
pub(crate) static TOTAL_VOLUME: ResultOf<kinds::Volume> =
    ResultOf::new("total-volume", units!("fl oz", "L")).measured();
pub(crate) static TOTAL_TIME: ResultOf<kinds::Time> = ResultOf::new("total-time", usual::SECONDS);
pub(crate) static MEAN_OUTPUT: ResultOf<kinds::Flow> = ResultOf::new("mean-output", usual::OUTPUT).main();
pub(crate) static TOTAL_OUTPUT: ResultOf<kinds::Flow> = ResultOf::new("total-output", usual::OUTPUT).main();
pub(crate) static MEAN_CATCH: ResultOf<kinds::Volume> = ResultOf::new("mean-catch", usual::MEASURED);
pub(crate) static LOWEST: ResultOf<kinds::Flow> = ResultOf::new("lowest-output", usual::OUTPUT);
pub(crate) static HIGHEST: ResultOf<kinds::Flow> = ResultOf::new("highest-output", usual::OUTPUT);
pub(crate) static DEPARTURE: ResultOf<kinds::Share, 1> =
    ResultOf::new("nozzle-N-departure", usual::PERCENT).percent_off();

/// Turf worksheet: catch 20 to 60 s and at least 20 fl oz to keep the reading error small.
const SHORT_CATCH_S: f64 = 20.0;
const LITTLE_FL_OZ: f64 = 20.0;
/// Common practice, no source: catches of one gun that differ by more are done again.
const SCATTER: f64 = 0.05;

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    if inputs.row_count(&CATCH) == 0 && inputs.row_count(&NOZZLE) == 0 {
        return Err(Fault::new("catch-test.nothing", CATCH.name()));
    }
    if inputs.row_count(&CATCH) > 0 {
        gun(inputs, rec)?;
    }
    if inputs.row_count(&NOZZLE) > 0 {
        nozzles(inputs, rec)?;
    }
    Ok(())
}

fn gun(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let mut catches: Vec<(Traced<Volume>, Traced<Time>)> = Vec::new();
    for row in inputs.rows(&CATCH) {
        let (volume, time) = (row.need(&VOLUME)?, row.need(&TIME)?);
        reading_cautions(rec, &volume, &time);
        catches.push((volume, time));
    }
    let unit = inputs.rows(&CATCH).find_map(|row| row.unit(&VOLUME).cloned()).unwrap_or_default();
    let (mut volume, mut time) = catches[0].clone();
    if let Some(sum) = Traced::sum(catches.iter().map(|(volume, _)| volume.clone())).filter(|_| catches.len() > 1) {
        volume = rec.step_in("catch-test.step.total-volume", &[], &sum, &unit);
    }
    if let Some(sum) = Traced::sum(catches.iter().map(|(_, time)| time.clone())).filter(|_| catches.len() > 1) {
        time = rec.step("catch-test.step.total-time", &[], &sum, usual::SECONDS);
    }
    let output = rec.step("catch-test.step.nozzle-output", &[], &(&volume / &time), usual::OUTPUT);
    // One catch that is off pulls the pooled output away from the good ones: only the farthest is to blame.
    let mut farthest = (0, 0.0_f64);
    for (index, (volume, time)) in catches.iter().enumerate() {
        let departure = (volume.si() / time.si() - output.si()) / output.si();
        if departure.abs() > farthest.1.abs() {
            farthest = (index, departure);
        }
    }
    if farthest.1.abs() > SCATTER {
        let share = Arg::Quantity(farthest.1, unit!("%"));
        let args = vec![("n", Arg::Text((farthest.0 + 1).to_string())), ("departure", share)];
        rec.caution("catch-test.scatter", Severity::Warning, args);
    }
    rec.result(&NOZZLE_OUTPUT, [], &output);
    rec.repeats(&NOZZLE_OUTPUT, catches.iter().map(|(volume, time)| (volume, time)));
    rec.result(&TOTAL_VOLUME, [], &volume);
    rec.result(&TOTAL_TIME, [], &time);
    Ok(())
}

fn reading_cautions(rec: &mut Recorder, volume: &Traced<Volume>, time: &Traced<Time>) {
    let raised = |rec: &Recorder, id| rec.cautions.iter().any(|caution| caution.id == id);
    // A short catch is a small one too, and catching longer mends both.
    if time.si() < SHORT_CATCH_S {
        if !raised(rec, "catch-test.short") {
            rec.caution("catch-test.short", Severity::Notice, vec![("time", rec.arg(time, usual::SECONDS))]);
        }
    } else if volume.in_unit(unit!("fl oz")) < LITTLE_FL_OZ && !raised(rec, "catch-test.little") {
        rec.caution("catch-test.little", Severity::Notice, vec![("volume", rec.arg(volume, usual::MEASURED))]);
    }
}

fn nozzles(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let time = inputs.need(&NOZZLE_TIME)?;
    let tolerance = inputs.need(&TOLERANCE)?;
    let mut catches: Vec<Traced<Volume>> = Vec::new();
    for row in inputs.rows(&NOZZLE) {
        catches.push(row.need(&NOZZLE_VOLUME)?);
    }
    reading_cautions(rec, &catches[0], &time);
    let unit = inputs.rows(&NOZZLE).find_map(|row| row.unit(&NOZZLE_VOLUME).cloned()).unwrap_or_default();
    let mut sum = catches[0].clone();
    if let Some(all) = Traced::sum(catches.iter().cloned()).filter(|_| catches.len() > 1) {
        sum = rec.step_in("catch-test.step.nozzle-sum", &[], &all, &unit);
    }
    let count = Traced::number(catches.len() as f64);
    let mean = rec.step_in("catch-test.step.mean-catch", &[], &(&sum / &count), &unit);
    let mean_output = rec.step("catch-test.step.mean-output", &[], &(&mean / &time), usual::OUTPUT);
    let total_output = rec.step("catch-test.step.total-output", &[], &(&sum / &time), usual::OUTPUT);
    rec.result(&MEAN_OUTPUT, [], &mean_output);
    rec.result(&TOTAL_OUTPUT, [], &total_output);
    rec.result(&MEAN_CATCH, [], &mean);
    let one = Traced::number(1.0);
    rec.settle(&LOWEST, [], &(&mean_output * &(&one - &tolerance)));
    rec.settle(&HIGHEST, [], &(&mean_output * &(&one + &tolerance)));
    let mut off = Vec::new();
    for (index, catch) in catches.iter().enumerate() {
        let row = [index + 1];
        let departure = departure(rec, "catch-test.step.departure", &row, catch, &mean);
        rec.result(&DEPARTURE, row, &departure);
        off.push(outside(&departure, &tolerance));
        if off[index] {
            let args = vec![
                ("n", Arg::Text(row[0].to_string())),
                ("departure", Arg::Quantity(departure.si().abs(), usual::PERCENT.us)),
                ("tolerance", rec.arg(&tolerance, usual::PERCENT)),
            ];
            let id = if departure.si() < 0.0 { "catch-test.nozzle-low" } else { "catch-test.nozzle-high" };
            rec.caution(id, Severity::Warning, args);
        }
    }
    if let Some(far) = mover(&catches, mean.si(), &tolerance, &off) {
        rec.caution("catch-test.mean-moved", Severity::Notice, vec![("n", Arg::Text((far + 1).to_string()))]);
    }
    Ok(())
}

/// The nozzle farthest from the mean, if others are on the other side of the tolerance once it is left out.
fn mover(catches: &[Traced<Volume>], mean: f64, tolerance: &Traced<Ratio>, off: &[bool]) -> Option<usize> {
    let from_mean = |at: usize| (catches[at].si() - mean).abs();
    let far = (0..catches.len()).fold(0, |far, at| if from_mean(at) > from_mean(far) { at } else { far });
    if catches.len() < 3 || !off[far] {
        return None;
    }
    let count = catches.len() as f64;
    let rest = (mean * count - catches[far].si()) / (count - 1.0);
    let changes = |at: usize| ((catches[at].si() / rest - 1.0).abs() > tolerance.si()) != off[at];
    (0..catches.len()).any(|at| at != far && changes(at)).then_some(far)
}

/// Height of the fullest catch in the drawing.
const DRAWN_HIGH: f64 = 68.0;

fn draw(worked: &Worked, system: System) -> Drawing {
    let inputs = &worked.inputs;
    let gun = inputs.row_count(&CATCH) > 0;
    let rows: Vec<(&Typed, Option<&Typed>)> = if gun {
        inputs.rows(&CATCH).filter_map(|row| Some((row.typed(&VOLUME)?, row.typed(&TIME)))).collect()
    } else {
        inputs.rows(&NOZZLE).filter_map(|row| Some((row.typed(&NOZZLE_VOLUME)?, None))).collect()
    };
    let mut drawing = Drawing::new(128.0);
    let highest = rows.iter().map(|(volume, _)| volume.si).fold(f64::MIN_POSITIVE, f64::max);
    // Beside a row of nozzles its lines are named.
    let slot = if gun { 344.0 } else { 212.0 } / rows.len().max(1) as f64;
    let width = (slot * 0.66).min(72.0);
    let floor = 104.0;
    for (index, (volume, time)) in rows.iter().enumerate() {
        let middle = 8.0 + slot * (index as f64 + 0.5);
        let level = volume.si / highest * DRAWN_HIGH;
        drawing.rect("paper", middle - width / 2.0, floor - DRAWN_HIGH - 8.0, width, DRAWN_HIGH + 8.0);
        drawing.rect("water", middle - width / 2.0, floor - level, width, level);
        drawing.rect("line", middle - width / 2.0, floor - DRAWN_HIGH - 8.0, width, DRAWN_HIGH + 8.0);
        if rows.len() <= if gun { 4 } else { 3 } {
            drawing.label(Set::Mid, middle, 18.0, Label::Plain(written::as_typed(volume)));
            drawing.label(
                Set::Mid,
                middle,
                122.0,
                Label::Plain(time.map(written::as_typed).unwrap_or_else(|| (index + 1).to_string())),
            );
        } else if rows.len() <= if gun { 20 } else { 12 } {
            drawing.label(Set::Mid, middle, 122.0, Label::Plain((index + 1).to_string()));
        }
    }
    drawing.line("line", (8.0, floor), (if gun { 352.0 } else { 220.0 }, floor));
    if !gun {
        mean_lines(worked, &mut drawing, highest, floor, system);
    }
    captions(worked, &mut drawing, gun, rows.len(), system);
    drawing
}

fn mean_lines(worked: &Worked, drawing: &mut Drawing, highest: f64, floor: f64, system: System) {
    let (Some(mean), Some(tolerance)) = (worked.si(&MEAN_CATCH, []), worked.inputs.typed(&TOLERANCE)) else {
        return;
    };
    let height = |si: f64| floor - (si / highest * DRAWN_HIGH).min(DRAWN_HIGH + 8.0);
    drawing.line("mark", (8.0, height(mean)), (226.0, height(mean)));
    for edge in [1.0 - tolerance.si, 1.0 + tolerance.si] {
        drawing.line("dim", (8.0, height(mean * edge)), (226.0, height(mean * edge)));
    }
    let named = vec![("mean", Arg::Quantity(mean, usual::MEASURED.pick(system)))];
    drawing.label(Set::Start, 232.0, height(mean) - 3.0, Label::Phrase("catch-test.draw.mean", named));
    drawing.label(Set::Start, 232.0, height(mean) + 15.0, Label::Plain(["± ", &written::as_typed(tolerance)].concat()));
}

fn captions(worked: &Worked, drawing: &mut Drawing, gun: bool, rows: usize, system: System) {
    let count = ("count", Arg::Text(rows.to_string()));
    let quantity = |si: Option<f64>, units: &Units| Arg::Quantity(si.unwrap_or_default(), units.pick(system));
    if gun {
        drawing.say(
            "catch-test.draw.gun",
            vec![
                count,
                ("volume", quantity(worked.si(&TOTAL_VOLUME, []), units!("fl oz", "L"))),
                ("time", quantity(worked.si(&TOTAL_TIME, []), usual::SECONDS)),
                ("output", quantity(worked.si(&NOZZLE_OUTPUT, []), usual::OUTPUT)),
            ],
        );
    } else {
        drawing.say(
            "catch-test.draw.nozzles",
            vec![
                count,
                ("mean", quantity(worked.si(&MEAN_CATCH, []), usual::MEASURED)),
                ("output", quantity(worked.si(&MEAN_OUTPUT, []), usual::OUTPUT)),
            ],
        );
    }
}
