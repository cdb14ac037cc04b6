//! Ground speed: how fast you walk or drive over a measured course, and how long a course takes at a speed.

use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{GroupOf, InputOf, ResultOf, fields};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::calculators::sources;
use crate::quantity::kind::{Length, Time, Velocity};
use crate::quantity::kinds;
use crate::quantity::unit::{unit, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::percent_off::departure;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Speed from timed runs, and the time that a course takes at a wanted speed.
///
/// # Formula
/// `speed = all distances / all times`; speeds of single runs are not averaged, because a slow run takes longer and
/// counts for more. `course time = course / speed`, at the wanted speed or else at the measured one.
/// `mean time = all times / runs` where every run was over the same distance, or none is given.
/// # Inputs
/// - `run` (0 to 12 rows): timed runs.
/// - `run.distance` (ft or m): distance covered; left out in every row, times alone are averaged. Above 0 to 20,000 ft,
///   usually 50 to 3000 ft; read to 0.5 ft or 0.1 m; optional.
/// - `run.time` (s): how long the run took. Above 0 to 3600 s, usually 10 to 600 s; read to 0.2 s; required.
/// - `wanted-speed` (mph or km/h): the speed to hold. Above 0 to 40 mph, usually 1 to 12 mph; optional.
/// - `course` (0 to 12 rows): courses to be timed at the wanted speed, or else at the measured one.
/// - `course.length` (ft or m): length of one of them. Above 0 to 20,000 ft, usually 50 to 3000 ft; read to 0.5 ft or
///   0.1 m; required.
/// # Errors
/// Neither a run nor a wanted speed; a wanted speed with neither a run nor a course; a distance for some runs only, or
/// for none where only one was timed.
/// # Cautions
/// `ground-speed.short-course` for a run or a course under 100 ft, or under 200 ft above 5 mph; `ground-speed.single`
/// for one run only.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing. Their 88 is the ft/min in one mph.
/// # Example
/// 200 ft in 45 s is 3.03 mph; 100 ft in 20 s and again in 30 s is 2.727 mph, not the 2.841 mph of averaged speeds.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("run.1.distance", "100 ft"),
///     ("run.1.time", "20 s"),
///     ("run.2.distance", "100 ft"),
///     ("run.2.time", "30 s"),
/// ]);
/// let worked = work(calculator("ground-speed").unwrap(), &given, System::Us).unwrap();
/// let speed = worked.value_in("speed", "mph").unwrap();
/// assert!((speed - 2.727).abs() < 0.001);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "ground-speed",
    inputs: &[RUN.item(), WANTED.item(), COURSE.item()],
    results: &[
        &SPEED.spec,
        &PER_MINUTE.spec,
        &COURSE_TIME.spec,
        &TOTAL_DISTANCE.spec,
        &TOTAL_TIME.spec,
        &MEAN_TIME.spec,
        &RUN_SPEED.spec,
        &WANTED_DEPARTURE.spec,
    ],
    uncertain: &[SPEED.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        sources::FORMULAS,
        Source {
            title: "Sprayer Calibration (turf fact sheet)",
            publisher: "Oklahoma State University",
            url: "http://www.turf.okstate.edu/FactSheets/sprayer.htm",
        },
    ],
    example: &[
        ("run.1.distance", "200 ft"),
        ("run.1.time", "45 s"),
        ("run.2.distance", "200 ft"),
        ("run.2.time", "48 s"),
        ("wanted-speed", "3 mph"),
        ("course.1.length", "200 ft"),
    ],
    example_metric: &[
        ("run.1.distance", "60 m"),
        ("run.1.time", "45 s"),
        ("run.2.distance", "60 m"),
        ("run.2.time", "48 s"),
        ("wanted-speed", "5 km/h"),
        ("course.1.length", "60 m"),
    ],
    run,
    draw,
};

/// Timed runs over a measured distance, or all over the same one.
#[derive(Debug)]
pub(crate) enum Run {}
pub(crate) const RUN: GroupOf<Run> = GroupOf::new("run", fields![DISTANCE, TIME], 0, 12);
/// Courses whose time at the speed is wanted.
#[derive(Debug)]
pub(crate) enum Course {}
pub(crate) const COURSE: GroupOf<Course> = GroupOf::new("course", fields![LENGTH], 0, 12);
pub(crate) const DISTANCE: InputOf<kinds::Length, Run> = course("distance").grows().optional();
pub(crate) const LENGTH: InputOf<kinds::Length, Course> = course("length");
pub(crate) const TIME: InputOf<kinds::Time, Run> =
    InputOf::quantity("time", usual::SECONDS).above("s", (0.0, 3600.0), (10.0, 600.0)).timed();
pub(crate) const WANTED: InputOf<kinds::Speed> =
    InputOf::quantity("wanted-speed", usual::PACE).above("mph", (0.0, 40.0), (1.0, 12.0)).optional();

/// A course measured with a tape.
const fn course<R>(name: &'static str) -> InputOf<kinds::Length, R> {
    InputOf::quantity(name, usual::SPAN).above("ft", (0.0, 20_000.0), (50.0, 3000.0)).read_to((0.5, "ft"), (0.1, "m"))
}

pub(crate) static SPEED: ResultOf<kinds::Speed> = ResultOf::new("speed", usual::PACE).main();
pub(crate) static PER_MINUTE: ResultOf<kinds::Speed> = ResultOf::new("speed-per-minute", units!("ft/min", "m/min"));
pub(crate) static COURSE_TIME: ResultOf<kinds::Time, 1> = ResultOf::new("course-N-time", usual::SECONDS).main();
pub(crate) static TOTAL_DISTANCE: ResultOf<kinds::Length> = ResultOf::new("total-distance", usual::SPAN);
pub(crate) static TOTAL_TIME: ResultOf<kinds::Time> = ResultOf::new("total-time", usual::SECONDS);
pub(crate) static MEAN_TIME: ResultOf<kinds::Time> = ResultOf::new("mean-time", usual::SECONDS).main();
pub(crate) static RUN_SPEED: ResultOf<kinds::Speed, 1> = ResultOf::new("run-N-speed", usual::PACE);
pub(crate) static WANTED_DEPARTURE: ResultOf<kinds::Share> =
    ResultOf::new("against-wanted", usual::PERCENT).percent_off();

/// The travel-time table of the first source leaves 100 ft out from 5.5 mph on; its last 100 ft entry is at 5 mph.
const SHORT_FT: f64 = 100.0;
const SHORT_FAST_FT: f64 = 200.0;
const FAST_MPH: f64 = 5.0;

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let mut runs: Vec<(Traced<Length>, Traced<Time>)> = Vec::new();
    let mut times: Vec<Traced<Time>> = Vec::new();
    for row in inputs.rows(&RUN) {
        let time = row.need(&TIME)?;
        runs.extend(row.get(&DISTANCE).map(|distance| (distance, time.clone())));
        times.push(time);
    }
    if runs.len() < times.len() {
        let bare = inputs.rows(&RUN).find(|row| row.typed(&DISTANCE).is_none());
        let about = bare.map(|row| row.name(&DISTANCE)).unwrap_or_default();
        if !runs.is_empty() || times.len() == 1 {
            return Err(Fault::new("ground-speed.no-distance", about));
        }
        mean_time(rec, times);
        if inputs.get(&WANTED).is_none() && inputs.row_count(&COURSE) == 0 {
            return Ok(());
        }
    }
    let measured = if runs.is_empty() { None } else { Some(timed(rec, &runs)) };
    let wanted = inputs.get(&WANTED);
    if let (Some(measured), Some(wanted)) = (&measured, &wanted) {
        let off = departure(rec, "ground-speed.step.against-wanted", &[], measured, wanted);
        rec.result(&WANTED_DEPARTURE, [], &off);
    }
    let courses = inputs.row_count(&COURSE);
    let Some(speed) = wanted.or_else(|| measured.clone()) else {
        return Err(if courses > 0 {
            Fault::new("ground-speed.no-speed", RUN.name())
        } else {
            Fault::new("ground-speed.nothing", RUN.name())
        });
    };
    if measured.is_none() && courses == 0 {
        return Err(Fault::new("ground-speed.no-course", COURSE.name()));
    }
    for row in inputs.rows(&COURSE) {
        let length = row.need(&LENGTH)?;
        let time = rec.step("ground-speed.step.course-time", &[row.number()], &(&length / &speed), usual::SECONDS);
        rec.result(&COURSE_TIME, [row.number()], &time);
        short(rec, &length, &speed);
    }
    Ok(())
}

/// The mean of times over a course that nobody measured.
fn mean_time(rec: &mut Recorder, times: Vec<Traced<Time>>) {
    let count = Traced::number(times.len() as f64);
    let Some(sum) = Traced::sum(times) else { return };
    let sum = rec.step("ground-speed.step.total-time", &[], &sum, usual::SECONDS);
    let mean = rec.step("ground-speed.step.mean-time", &[], &(&sum / &count), usual::SECONDS);
    rec.result(&MEAN_TIME, [], &mean);
    rec.result(&TOTAL_TIME, [], &sum);
}

fn timed(rec: &mut Recorder, runs: &[(Traced<Length>, Traced<Time>)]) -> Traced<Velocity> {
    let (mut distance, mut time) = runs[0].clone();
    let sums = (
        Traced::sum(runs.iter().map(|(distance, _)| distance.clone())),
        Traced::sum(runs.iter().map(|(_, time)| time.clone())),
    );
    if let ((Some(far), Some(long)), true) = (sums, runs.len() > 1) {
        distance = rec.step("ground-speed.step.total-distance", &[], &far, usual::SPAN);
        time = rec.step("ground-speed.step.total-time", &[], &long, usual::SECONDS);
    }
    let speed = rec.step("ground-speed.step.speed", &[], &(&distance / &time), usual::PACE);
    let per_minute = rec.step("ground-speed.step.speed-per-minute", &[], &speed, units!("ft/min", "m/min"));
    rec.result(&SPEED, [], &speed);
    rec.repeats(&SPEED, runs.iter().map(|(distance, time)| (distance, time)));
    rec.result(&PER_MINUTE, [], &per_minute);
    rec.result(&TOTAL_DISTANCE, [], &distance);
    rec.result(&TOTAL_TIME, [], &time);
    if runs.len() == 1 {
        rec.caution("ground-speed.single", Severity::Notice, Vec::new());
    } else {
        let level = |far: &Traced<Length>| far.order(&runs[0].0).is_eq();
        if runs.iter().all(|(far, _)| level(far)) {
            let count = Traced::number(runs.len() as f64);
            let mean = rec.step("ground-speed.step.mean-time", &[], &(&time / &count), usual::SECONDS);
            rec.result(&MEAN_TIME, [], &mean);
        }
        for (index, (far, long)) in runs.iter().enumerate() {
            let one = rec.step("ground-speed.step.run-speed", &[index + 1], &(far / long), usual::PACE);
            rec.result(&RUN_SPEED, [index + 1], &one);
        }
    }
    for (far, _) in runs {
        short(rec, far, &speed);
    }
    speed
}

/// One caution for the first course that is too short to be timed by hand.
fn short(rec: &mut Recorder, course: &Traced<Length>, speed: &Traced<Velocity>) {
    let least = if speed.in_unit(unit!("mph")) > FAST_MPH { SHORT_FAST_FT } else { SHORT_FT };
    let known = rec.cautions.iter().any(|caution| caution.id == "ground-speed.short-course");
    // 30 m, the metric course, is 98.4 ft; a twentieth of slack lets it pass for 100 ft.
    if course.in_unit(unit!("ft")) < least * 0.95 && !known {
        let args = vec![
            ("course", rec.arg(course, usual::SPAN)),
            ("speed", rec.arg(speed, usual::PACE)),
            ("least", rec.limit(least, unit!("ft"), usual::SPAN)),
        ];
        rec.caution("ground-speed.short-course", Severity::Notice, args);
    }
}

/// Each run, or each course, as a line to scale with its time at the end.
fn draw(worked: &Worked, system: System) -> Drawing {
    let runs: Vec<(f64, f64)> =
        (worked.inputs.rows(&RUN)).filter_map(|row| Some((row.typed(&DISTANCE)?.si, row.typed(&TIME)?.si))).collect();
    let courses = worked
        .inputs
        .rows(&COURSE)
        .filter_map(|row| Some((row.typed(&LENGTH)?.si, worked.si(&COURSE_TIME, [row.number()])?)));
    let timed = !runs.is_empty();
    let mut lines: Vec<(f64, f64)> = if timed { runs } else { courses.collect() };
    // Of times alone, a line is as long as its time.
    let times = lines.is_empty();
    if times {
        let rows = worked.inputs.rows(&RUN).filter_map(|row| row.typed(&TIME).map(|typed| typed.si));
        lines = rows.map(|time| (time, time)).collect();
    }
    let (span, seconds) = (usual::SPAN.pick(system), unit!("s"));
    let longest = lines.iter().fold(f64::MIN_POSITIVE, |most, (far, _)| most.max(*far));
    let mut drawing = Drawing::new(24.0 + 46.0 * lines.len() as f64);
    for (index, (far, long)) in lines.iter().enumerate() {
        let (y, end) = (44.0 + 46.0 * index as f64, 14.0 + far / longest * 332.0);
        drawing.rect("ground", 14.0, y - 6.0, end - 14.0, 12.0);
        for x in [14.0, end] {
            drawing.line("line", (x, y - 12.0), (x, y + 12.0));
        }
        if !times {
            drawing.label(Set::Start, 14.0, y - 18.0, Label::Plain(written::quantity(*far, &span)));
        }
        let at = end.max(150.0);
        drawing.label(Set::End, at, y - 18.0, Label::Plain(written::quantity(*long, &seconds)));
        let args = vec![
            ("n", Arg::Text((index + 1).to_string())),
            ("distance", Arg::Quantity(*far, span)),
            ("time", Arg::Quantity(*long, seconds)),
        ];
        let key = match (timed, times) {
            (true, _) => "ground-speed.draw.run",
            (_, true) => "ground-speed.draw.timed",
            _ => "ground-speed.draw.course",
        };
        drawing.say(key, args);
    }
    let speed = worked.si(&SPEED, []).or_else(|| worked.inputs.typed(&WANTED).map(|typed| typed.si));
    if let Some(speed) = speed {
        let speed = Arg::Quantity(speed, usual::PACE.pick(system));
        drawing.say("ground-speed.draw.speed", vec![("speed", speed)]);
    }
    drawing
}
