//! Application rate: what really goes onto the ground, from catches and timed or measured areas.

use crate::calculation::declare::{Calculator, Face, Fault};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{GroupOf, InputOf, OwnName, ResultOf, Verdict, fields};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::calculators::sources;
use crate::quantity::kind::{Area, Ratio, Volume, VolumePerArea};
use crate::quantity::kinds;
use crate::quantity::order::above;
use crate::quantity::unit::{unit, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::text::figures::{RESULT_FIGURES, shown, without_noise};
use crate::working::percent_off::{departure, outside};
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Application rate from one or more runs: spray put down divided by ground covered.
///
/// # Formula
/// Timed run: `spray = volume caught / catch time * area time`, `rate = spray / area`; the catch and the area may be
/// timed over different durations. Measured run: `rate = volume used / area`. Several runs are pooled:
/// `rate = all spray / all area`, so a large run counts for more. `departure = (rate of one - pooled) / pooled`.
/// # Inputs
/// - `timed`, `used` (0 to 12 rows): runs: a catch and ground, each timed; a volume and the ground it was used on.
/// - `timed.method`, `used.method` (a name): name of a method, to compare methods. Optional.
/// - `timed.volume` (fl oz or L): volume caught. Above 0 to 5000 gal, usually 0.125 to 300 gal; read to 1 fl oz or 10
///   mL; required.
/// - `timed.catch-time` (s): how long it was caught. Above 0 to 600 s, usually 15 to 120 s; read to 0.2 s; required.
/// - `timed.area`, `used.area` (ft² or m²): ground covered. Above 0 to 5,000,000 ft², usually 200 to 100,000 ft²; read
///   to 2 %; required.
/// - `timed.area-time` (s): how long that took. Above 0 to 36,000 s, usually 15 to 7200 s; read to 0.2 s; required.
/// - `used.volume` (gal or L): volume used. Above 0 to 5000 gal, usually 0.125 to 300 gal; read to 0.1 gal or 0.5 L;
///   required.
/// - `target` (gal/1000 ft² or L/100 m²): the rate wanted. Above 0 to 50 gal/1000 ft², usually 0.25 to 10 gal/1000 ft²;
///   optional.
/// - `tolerance` (%): how far a run or a method may be from the pooled rate. Above 0 to 50 %, usually 1 to 10 %; 5 % if
///   left out.
/// # Errors
/// No run at all.
/// # Cautions
/// `application-rate.disagree` where methods (or, with one method, runs) are farther from the pooled rate than the
/// tolerance; `application-rate.off-target`; `application-rate.single` for one run only;
/// `application-rate.implausible` outside 0.1 to 10 gal/1000 ft².
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing.
/// # Example
/// 5.25 gal caught in 78 s, and 1000 ft² covered in 78 s, is 5.25 gal/1000 ft².
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("timed.1.volume", "5.25 gal"),
///     ("timed.1.catch-time", "78 s"),
///     ("timed.1.area", "1000 ft2"),
///     ("timed.1.area-time", "78 s"),
/// ]);
/// let worked = work(calculator("application-rate").unwrap(), &given, System::Us).unwrap();
/// let application_rate = worked.value_in("application-rate", "gal/1000 ft2").unwrap();
/// assert!((application_rate - 5.25).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "application-rate",
    inputs: &[TIMED.item(), USED.item(), TARGET.item(), TOLERANCE.item()],
    results: &[
        &APPLICATION_RATE.spec,
        &AGREEMENT.spec,
        &PER_ACRE.spec,
        &PER_100_M2.spec,
        &PER_HA.spec,
        &RUN_RATE.spec,
        &RUN_DEPARTURE.spec,
        &METHOD_RATE.spec,
        &METHOD_DEPARTURE.spec,
        &LARGEST.spec,
        &TARGET_DEPARTURE.spec,
    ],
    uncertain: &[APPLICATION_RATE.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[sources::SPRAY_GUN, sources::BULLETIN_817],
    example: &[
        ("timed.1.method", "passes"),
        ("timed.1.volume", "186 fl oz"),
        ("timed.1.catch-time", "60 s"),
        ("timed.1.area", "5000 ft2"),
        ("timed.1.area-time", "3 min 47 s"),
        ("used.1.method", "refill"),
        ("used.1.volume", "5.6 gal"),
        ("used.1.area", "5000 ft2"),
    ],
    example_metric: &[
        ("timed.1.method", "passes"),
        ("timed.1.volume", "5.5 L"),
        ("timed.1.catch-time", "60 s"),
        ("timed.1.area", "450 m2"),
        ("timed.1.area-time", "3 min 47 s"),
        ("used.1.method", "refill"),
        ("used.1.volume", "21 L"),
        ("used.1.area", "450 m2"),
    ],
    run,
    draw,
};

/// Runs of a timed catch and timed ground.
#[derive(Debug)]
pub(crate) enum Timed {}
pub(crate) const TIMED: GroupOf<Timed> =
    GroupOf::new("timed", fields![METHOD, CAUGHT, CATCH_TIME, AREA, AREA_TIME], 0, 12);
/// Runs of a measured volume on measured ground.
#[derive(Debug)]
pub(crate) enum Used {}
pub(crate) const USED: GroupOf<Used> = GroupOf::new("used", fields![USED_METHOD, VOLUME, USED_AREA], 0, 12);
pub(crate) const METHOD: InputOf<OwnName, Timed> = InputOf::own_name("method");
/// A catch is read off a marked bucket.
pub(crate) const CAUGHT: InputOf<kinds::Volume, Timed> =
    VOLUME.in_group().said_in(units!("fl oz", "L")).read_to((1.0, "fl oz"), (10.0, "mL"));
/// What a run used is measured back with a marked jug, or read off a meter.
pub(crate) const VOLUME: InputOf<kinds::Volume, Used> = InputOf::quantity("volume", usual::TANKFUL)
    .above("gal", (0.0, 5000.0), (0.125, 300.0))
    .read_to((0.1, "gal"), (0.5, "L"))
    .grows();
pub(crate) const CATCH_TIME: InputOf<kinds::Time, Timed> =
    InputOf::quantity("catch-time", usual::SECONDS).above("s", (0.0, 600.0), (15.0, 120.0)).timed();
/// A lawn that was measured with a wheel or a tape is known to one part in a hundred, one way or the other.
pub(crate) const AREA: InputOf<kinds::Area, Timed> = InputOf::quantity("area", usual::SURFACE)
    .above("ft2", (0.0, 5_000_000.0), (200.0, 100_000.0))
    .read_to((2.0, "%"), (2.0, "%"))
    .grows();
pub(crate) const AREA_TIME: InputOf<kinds::Time, Timed> =
    InputOf::quantity("area-time", usual::SECONDS).above("s", (0.0, 36_000.0), (15.0, 7200.0)).timed();
pub(crate) const USED_METHOD: InputOf<OwnName, Used> = METHOD.in_group();
pub(crate) const USED_AREA: InputOf<kinds::Area, Used> = AREA.in_group();
pub(crate) const TARGET: InputOf<kinds::VolumePerArea> =
    InputOf::quantity("target", usual::LAWN_RATE).above("gal/1000 ft2", (0.0, 50.0), (0.25, 10.0)).optional();
/// How far runs may depart from the pooled rate.
pub(crate) const TOLERANCE: InputOf<kinds::Share> =
    InputOf::quantity("tolerance", usual::PERCENT).above("%", (0.0, 50.0), (1.0, 10.0)).or("5 %");

pub(crate) static APPLICATION_RATE: ResultOf<kinds::VolumePerArea> =
    ResultOf::new("application-rate", usual::LAWN_RATE).main();
pub(crate) static AGREEMENT: ResultOf<Verdict> = ResultOf::verdict("agreement").main();
pub(crate) static PER_ACRE: ResultOf<kinds::VolumePerArea> =
    ResultOf::new("rate-per-acre", units!("gal/acre", "gal/acre")).us_only();
pub(crate) static PER_100_M2: ResultOf<kinds::VolumePerArea> =
    ResultOf::new("rate-per-100-m2", units!("L/100 m2", "L/100 m2"));
pub(crate) static PER_HA: ResultOf<kinds::VolumePerArea> = ResultOf::new("rate-per-ha", units!("L/ha", "L/ha"));
pub(crate) static RUN_RATE: ResultOf<kinds::VolumePerArea, 1> = ResultOf::new("run-N-rate", usual::LAWN_RATE);
pub(crate) static RUN_DEPARTURE: ResultOf<kinds::Share, 1> =
    ResultOf::new("run-N-departure", usual::PERCENT).percent_off();
pub(crate) static METHOD_RATE: ResultOf<kinds::VolumePerArea, 1> = ResultOf::new("method-N-rate", usual::LAWN_RATE);
pub(crate) static METHOD_DEPARTURE: ResultOf<kinds::Share, 1> =
    ResultOf::new("method-N-departure", usual::PERCENT).percent_off();
pub(crate) static LARGEST: ResultOf<kinds::Share> = ResultOf::new("largest-departure", usual::PERCENT).percent_off();
pub(crate) static TARGET_DEPARTURE: ResultOf<kinds::Share> =
    ResultOf::new("target-departure", usual::PERCENT).percent_off();

struct Run {
    method: Option<String>,
    spray: Traced<Volume>,
    area: Traced<Area>,
    rate: Traced<VolumePerArea>,
}

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let pooled = measured(inputs, rec)?;
    target(inputs, rec, &pooled)
}

/// The pooled rate of the runs given, with its agreement and its per-acre and metric forms.
///
/// # Errors
/// No run at all.
pub(crate) fn measured(inputs: &Inputs, rec: &mut Recorder) -> Result<Traced<VolumePerArea>, Fault> {
    let runs = runs(inputs, rec)?;
    if runs.is_empty() {
        return Err(Fault::new("application-rate.nothing", TIMED.name()));
    }
    let all: Vec<&Run> = runs.iter().collect();
    let pooled = pool(
        rec,
        &all,
        ["application-rate.step.total-spray", "application-rate.step.total-area", "application-rate.step.pooled-rate"],
    );
    rec.result(&APPLICATION_RATE, [], &pooled);
    rec.repeats(&APPLICATION_RATE, runs.iter().map(|run| (&run.spray, &run.area)));
    agreement(inputs, rec, &runs, &pooled)?;
    let per_acre = rec.step("application-rate.step.per-acre", &[], &pooled, usual::FIELD_RATE);
    for spec in [&PER_ACRE, &PER_100_M2, &PER_HA] {
        rec.result(spec, [], &per_acre);
    }
    Ok(pooled)
}

fn runs(inputs: &Inputs, rec: &mut Recorder) -> Result<Vec<Run>, Fault> {
    let mut runs: Vec<Run> = Vec::new();
    for row in inputs.rows(&TIMED) {
        let number = runs.len() + 1;
        rec.named = row.word(&METHOD).map(ToOwned::to_owned);
        let (volume, catch) = (row.need(&CAUGHT)?, row.need(&CATCH_TIME)?);
        let (area, time) = (row.need(&AREA)?, row.need(&AREA_TIME)?);
        let output = rec.step("application-rate.step.output", &[number], &(&volume / &catch), usual::OUTPUT);
        let spray = rec.step("application-rate.step.spray", &[number], &(&output * &time), usual::TANKFUL);
        let rate = rec.step("application-rate.step.rate", &[number], &(&spray / &area), usual::LAWN_RATE);
        runs.push(Run { method: rec.named.take(), spray, area, rate });
    }
    for row in inputs.rows(&USED) {
        let number = runs.len() + 1;
        rec.named = row.word(&USED_METHOD).map(ToOwned::to_owned);
        let (spray, area) = (row.need(&VOLUME)?, row.need(&USED_AREA)?);
        let rate = rec.step("application-rate.step.rate", &[number], &(&spray / &area), usual::LAWN_RATE);
        runs.push(Run { method: rec.named.take(), spray, area, rate });
    }
    Ok(runs)
}

/// All spray over all area of some runs; one run is its own pool.
fn pool(rec: &mut Recorder, runs: &[&Run], ids: [&'static str; 3]) -> Traced<VolumePerArea> {
    if let [only] = runs {
        return only.rate.clone();
    }
    let spray = Traced::sum(runs.iter().map(|run| run.spray.clone()));
    let area = Traced::sum(runs.iter().map(|run| run.area.clone()));
    let (Some(spray), Some(area)) = (spray, area) else { return runs[0].rate.clone() };
    let spray = rec.step(ids[0], &[], &spray, usual::TANKFUL);
    let area = rec.step(ids[1], &[], &area, usual::SURFACE);
    rec.step(ids[2], &[], &(&spray / &area), usual::LAWN_RATE)
}

fn methods(runs: &[Run]) -> Vec<(Option<String>, Vec<&Run>)> {
    let mut methods: Vec<(Option<String>, Vec<&Run>)> = Vec::new();
    for run in runs {
        match methods.iter_mut().find(|(name, _)| *name == run.method) {
            Some((_, members)) => members.push(run),
            None => methods.push((run.method.clone(), vec![run])),
        }
    }
    methods
}

/// Common practice, no source: what lawn guns and booms put down; see the table of carrier volumes in the tests, where
/// the lowest label is 0.1 and the highest trial 5 gal/1000 ft².
const USUAL_RATE: (f64, f64) = (0.1, 10.0);

/// Points out a rate that no lawn sprayer puts down, which nearly always is a slip in a unit.
fn implausible(rec: &mut Recorder, pooled: &Traced<VolumePerArea>) {
    let rate = pooled.in_unit(unit!("gal/1000 ft2"));
    if rate < USUAL_RATE.0 || USUAL_RATE.1 < rate {
        let limit = |rate: f64| rec.limit(rate, unit!("gal/1000 ft2"), usual::LAWN_RATE);
        let args = vec![
            ("rate", rec.arg(pooled, usual::LAWN_RATE)),
            ("low", limit(USUAL_RATE.0)),
            ("high", limit(USUAL_RATE.1)),
        ];
        rec.caution("application-rate.implausible", Severity::Warning, args);
    }
}

fn agreement(inputs: &Inputs, rec: &mut Recorder, runs: &[Run], pooled: &Traced<VolumePerArea>) -> Result<(), Fault> {
    implausible(rec, pooled);
    if runs.len() == 1 {
        rec.caution("application-rate.single", Severity::Notice, Vec::new());
        return Ok(());
    }
    let mut largest: Option<Traced<Ratio>> = None;
    let mut keep = |departure: &Traced<Ratio>| {
        if largest.as_ref().is_none_or(|most| above(departure.si().abs(), most.si().abs())) {
            largest = Some(departure.clone());
        }
    };
    let methods = methods(runs);
    let mut departures = Vec::new();
    for (index, run) in runs.iter().enumerate() {
        rec.named.clone_from(&run.method);
        let departure = departure(rec, "application-rate.step.departure", &[index + 1], &run.rate, pooled);
        rec.result(&RUN_RATE, [index + 1], &run.rate);
        rec.result(&RUN_DEPARTURE, [index + 1], &departure);
        if methods.len() < 2 {
            keep(&departure);
        }
        departures.push(departure);
    }
    if methods.len() > 1 {
        for (index, (name, members)) in methods.iter().enumerate() {
            rec.named = Some(name.clone().unwrap_or_else(|| (index + 1).to_string()));
            let rate = pool(
                rec,
                members,
                [
                    "application-rate.step.method-spray",
                    "application-rate.step.method-area",
                    "application-rate.step.method-rate",
                ],
            );
            // A method with one run is as far off as the run, which has its step already.
            let only = runs.iter().position(|run| members.len() == 1 && std::ptr::eq(run, members[0]));
            let departure = match only {
                Some(run) => departures[run].clone(),
                None => departure(rec, "application-rate.step.method-departure", &[index + 1], &rate, pooled),
            };
            rec.result(&METHOD_RATE, [index + 1], &rate);
            rec.result(&METHOD_DEPARTURE, [index + 1], &departure);
            keep(&departure);
        }
    }
    rec.named = None;
    verdict(inputs, rec, largest)
}

fn verdict(inputs: &Inputs, rec: &mut Recorder, largest: Option<Traced<Ratio>>) -> Result<(), Fault> {
    let Some(largest) = largest else { return Ok(()) };
    let tolerance = inputs.need(&TOLERANCE)?;
    rec.result(&LARGEST, [], &largest);
    // A departure typed as exactly the tolerance must not fail on its last binary digit.
    if outside(&largest, &tolerance) {
        rec.verdict(&AGREEMENT, [], "application-rate.agreement.no");
        let args =
            vec![("departure", rec.arg(&largest, usual::PERCENT)), ("tolerance", rec.arg(&tolerance, usual::PERCENT))];
        rec.caution("application-rate.disagree", Severity::Warning, args);
    } else {
        rec.verdict(&AGREEMENT, [], "application-rate.agreement.yes");
    }
    Ok(())
}

fn target(inputs: &Inputs, rec: &mut Recorder, pooled: &Traced<VolumePerArea>) -> Result<(), Fault> {
    let Some(target) = inputs.get(&TARGET) else { return Ok(()) };
    let tolerance = inputs.need(&TOLERANCE)?;
    let departure = departure(rec, "application-rate.step.target-departure", &[1], pooled, &target);
    rec.result(&TARGET_DEPARTURE, [], &departure);
    if outside(&departure, &tolerance) {
        let id = if departure.si() > 0.0 { "application-rate.over-target" } else { "application-rate.under-target" };
        let args = vec![
            ("departure", rec.arg(&departure, usual::PERCENT)),
            ("rate", rec.arg(pooled, usual::LAWN_RATE)),
            ("target", rec.arg(&target, usual::LAWN_RATE)),
        ];
        rec.caution(id, Severity::Warning, args);
    }
    Ok(())
}

/// Each run's rate as a mark on a scale, with the pooled rate and the tolerance around it.
pub(crate) fn draw(worked: &Worked, system: System) -> Drawing {
    let unit = usual::LAWN_RATE.pick(system);
    let pooled = worked.si(&APPLICATION_RATE, []).unwrap_or_default();
    let tolerance = worked.inputs.typed(&TOLERANCE).map_or(0.05, |typed| typed.si);
    let runs: Vec<f64> =
        worked.steps.iter().filter(|step| step.id == "application-rate.step.rate").map(|step| step.si).collect();
    let spread = runs.iter().map(|rate| (rate / pooled - 1.0).abs()).fold(tolerance * 1.6, f64::max) * 1.15;
    // Names in a column of their own on the left, so that no word lies across an edge.
    let middle = 226.0;
    let x = |rate: f64| middle + (rate / pooled - 1.0) / spread * 120.0;
    let height = 64.0 + 24.0 * runs.len() as f64;
    let mut drawing = Drawing::new(height);
    let (low, high) = (x(pooled * (1.0 - tolerance)), x(pooled * (1.0 + tolerance)));
    drawing.rect("band", low, 30.0, high - low, height - 58.0);
    drawing.line("line", (middle, 30.0), (middle, height - 28.0));
    drawing.label(Set::Strong, middle, 20.0, Label::Plain(written::quantity(pooled, &unit)));
    for (index, rate) in runs.iter().enumerate() {
        let y = 44.0 + 24.0 * index as f64;
        drawing.circle("mark", x(*rate), y, 6.0);
        let number = shown(without_noise(rate / unit.size()), RESULT_FIGURES);
        drawing.label(Set::Start, 8.0, y + 5.0, Label::Plain([&(index + 1).to_string(), ": ", &number].concat()));
    }
    let edge = |share: f64| Arg::Quantity(pooled * share, unit);
    let bare = |share: f64| Arg::Text(shown(without_noise(pooled * share / unit.size()), RESULT_FIGURES));
    let ends = vec![("low", bare(1.0 - tolerance)), ("high", bare(1.0 + tolerance))];
    drawing.label(Set::Mid, middle, height - 8.0, Label::Phrase("application-rate.draw.band", ends));
    drawing.say(
        "application-rate.draw.runs",
        vec![
            ("count", Arg::Text(runs.len().to_string())),
            ("rate", Arg::Quantity(pooled, unit)),
            ("low", edge(1.0 - tolerance)),
            ("high", edge(1.0 + tolerance)),
        ],
    );
    drawing
}
