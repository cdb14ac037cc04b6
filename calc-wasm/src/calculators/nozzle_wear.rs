//! Nozzle wear: each tip of a set against a new tip, and against the mean of the set.

use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{GroupOf, InputOf, ResultOf, Verdict, fields};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::calculators::sources;
use crate::quantity::kind::{Ratio, Volume, VolumeRate};
use crate::quantity::kinds;
use crate::quantity::order::above;
use crate::quantity::unit::{unit, units};
use crate::quantity::usual;
use crate::text::texts::joined;
use crate::working::percent_off::{departure, outside};
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Catches of a set of tips against the rated flow of a new tip and against their own mean.
///
/// # Formula
/// `rated flow at the test pressure = rated flow * √(test pressure / rated pressure)`;
/// `rated catch = that * catch time`; `wear = (catch - rated catch) / rated catch`, for each tip and for the mean;
/// `departure = (catch - mean catch) / mean catch`. A tip code of four or five figures is fan angle and size:
/// `angle = code / 100, rounded down`, `rated flow = (code - 100 * angle) * 0.1 gal/min`, at 40 psi. What the limit
/// allows: `rated flow * (1 - limit)` to `rated flow * (1 + limit)`.
/// # Inputs
/// - `rated-flow` (gal/min or L/min): flow of a new tip at the rated pressure. Above 0 to 50 gal/min, usually 0.05 to
///   10 gal/min; optional.
/// - `tip-code` (a whole number): fan angle and flow of the tip, 8004 or 11002; half sizes such as 110015 have no
///   unambiguous reading, so give their flow. 1501 to 15,099; optional.
/// - `rated-pressure` (psi or bar): pressure that the flow is rated at. Above 0 to 1000 psi, usually 10 to 250 psi; 40
///   psi if left out.
/// - `test-pressure` (psi or bar): pressure of the test; left out, the rated one. Above 0 to 1000 psi, usually 10 to
///   250 psi; read to 1 psi or 0.1 bar; optional.
/// - `catch-time` (s): the one time of all catches. Above 0 to 600 s, usually 15 to 120 s; read to 0.2 s; optional.
/// - `nozzle` (0 to 60 rows): tips that were caught.
/// - `nozzle.volume` (fl oz or mL): volume caught from one of them. Above 0 to 50 gal, usually 0.05 to 5 gal; read to
///   0.5 fl oz or 10 mL; required.
/// - `wear-limit` (%): how far a tip may be from a new one. Above 0 to 50 %, usually 3 to 20 %; 10 % if left out.
/// - `set-limit` (%): how far a tip may be from the mean of the set. Above 0 to 50 %, usually 3 to 20 %; 10 % if left
///   out.
/// # Errors
/// Both or neither of rated flow and tip code; a code that ends in 00; catches without their time.
/// # Cautions
/// `nozzle-wear.replace-set`, `nozzle-wear.low` and `nozzle-wear.uneven` name the tips they are about;
/// `nozzle-wear.short` under 20 s or 20 fl oz.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing. 10 % against the mean is used as well as 5 %.
/// # Example
/// A tip rated 0.40 gal/min should put 51.2 fl oz in a 60 s catch at 40 psi; a mean of 58.88 fl oz is 15 % worn, even
/// if every tip is within 2 % of that mean.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("rated-flow", "0.4 gal/min"),
///     ("rated-pressure", "40 psi"),
///     ("test-pressure", "40 psi"),
///     ("catch-time", "60 s"),
///     ("nozzle.1.volume", "58.88 fl oz"),
/// ]);
/// let worked = work(calculator("nozzle-wear").unwrap(), &given, System::Us).unwrap();
/// let mean_wear = worked.value_in("mean-wear", "%").unwrap();
/// assert!((mean_wear - 15.0).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "nozzle-wear",
    inputs: &[
        RATED_FLOW.item(),
        TIP_CODE.item(),
        RATED_PRESSURE.item(),
        TEST_PRESSURE.item(),
        CATCH_TIME.item(),
        NOZZLE.item(),
        WEAR_LIMIT.item(),
        SET_LIMIT.item(),
    ],
    results: &[
        &MEAN_WEAR.spec,
        &SET_VERDICT.spec,
        &MEAN_FLOW.spec,
        &MEAN_CATCH.spec,
        &RATED_CATCH.spec,
        &RATED_AT_TEST.spec,
        &RATED_BY_CODE.spec,
        &FAN_ANGLE.spec,
        &WEAR.spec,
        &DEPARTURE.spec,
        &VERDICT.spec,
        &LOWEST.spec,
        &HIGHEST.spec,
    ],
    uncertain: &[MEAN_FLOW.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        Source {
            title: "The 10-Percent Rule (2016)",
            publisher: "USGA Green Section",
            url: "https://www.usga.org/content/usga/home-page/course-care/regional-updates/central-region/the-10-percent-rule.html",
        },
        Source {
            title: "Sprayer Calibration (turf, boom-type sprayers)",
            publisher: "LSU AgCenter",
            url: "http://text.lsuagcenter.com/en/lawn_garden/commercial_horticulture/equipment/Sprayers/Sprayer+Calibration.htm",
        },
        sources::APPLICATOR_TRAINING,
    ],
    example: &[
        ("rated-flow", "0.4 gal/min"),
        ("rated-pressure", "40 psi"),
        ("test-pressure", "30 psi"),
        ("catch-time", "60 s"),
        ("nozzle.1.volume", "46 fl oz"),
        ("nozzle.2.volume", "47 fl oz"),
        ("nozzle.3.volume", "51 fl oz"),
        ("nozzle.4.volume", "46 fl oz"),
    ],
    example_metric: &[
        ("rated-flow", "1.6 L/min"),
        ("rated-pressure", "3 bar"),
        ("test-pressure", "2 bar"),
        ("catch-time", "60 s"),
        ("nozzle.1.volume", "1360 mL"),
        ("nozzle.2.volume", "1390 mL"),
        ("nozzle.3.volume", "1500 mL"),
        ("nozzle.4.volume", "1360 mL"),
    ],
    run,
    draw,
};

/// The catch of each tip, all in the same time.
#[derive(Debug)]
pub(crate) enum Nozzle {}
pub(crate) const NOZZLE: GroupOf<Nozzle> = GroupOf::new("nozzle", fields![CATCH], 0, 60);
pub(crate) const RATED_FLOW: InputOf<kinds::Flow> =
    InputOf::quantity("rated-flow", usual::OUTPUT).above("gal/min", (0.0, 50.0), (0.05, 10.0)).optional();
/// Four figures for a fan angle of two (1501 to 9999), five for one of three (10001 to 15099).
pub(crate) const TIP_CODE: InputOf<kinds::Count> = InputOf::count("tip-code", 1501.0, 15_099.0).optional();
pub(crate) const RATED_PRESSURE: InputOf<kinds::Pressure> = pressure("rated-pressure").or("40 psi");
pub(crate) const TEST_PRESSURE: InputOf<kinds::Pressure> =
    pressure("test-pressure").read_to((1.0, "psi"), (0.1, "bar")).optional();
pub(crate) const CATCH_TIME: InputOf<kinds::Time> =
    InputOf::quantity("catch-time", usual::SECONDS).above("s", (0.0, 600.0), (15.0, 120.0)).timed().optional();
pub(crate) const CATCH: InputOf<kinds::Volume, Nozzle> = InputOf::quantity("volume", usual::MEASURED)
    .above("gal", (0.0, 50.0), (0.05, 5.0))
    .read_to((0.5, "fl oz"), (10.0, "mL"))
    .grows();
pub(crate) const WEAR_LIMIT: InputOf<kinds::Share> = limit("wear-limit");
pub(crate) const SET_LIMIT: InputOf<kinds::Share> = limit("set-limit");

const fn pressure(name: &'static str) -> InputOf<kinds::Pressure> {
    InputOf::quantity(name, units!("psi", "bar")).above("psi", (0.0, 1000.0), (10.0, 250.0))
}

/// 10 % against a new tip and 10 % against the set: the first two sources. Others allow 5 % against the set.
const fn limit(name: &'static str) -> InputOf<kinds::Share> {
    InputOf::quantity(name, usual::PERCENT).above("%", (0.0, 50.0), (3.0, 20.0)).or("10 %")
}

pub(crate) static MEAN_WEAR: ResultOf<kinds::Share> = ResultOf::new("mean-wear", usual::PERCENT).percent_off().main();
pub(crate) static SET_VERDICT: ResultOf<Verdict> = ResultOf::verdict("set-verdict").main();
pub(crate) static MEAN_FLOW: ResultOf<kinds::Flow> = ResultOf::new("mean-flow", usual::OUTPUT);
pub(crate) static MEAN_CATCH: ResultOf<kinds::Volume> = ResultOf::new("mean-catch", usual::MEASURED);
pub(crate) static RATED_CATCH: ResultOf<kinds::Volume> = ResultOf::new("rated-catch", usual::MEASURED);
pub(crate) static RATED_AT_TEST: ResultOf<kinds::Flow> = ResultOf::new("rated-flow-at-test", usual::OUTPUT);
pub(crate) static RATED_BY_CODE: ResultOf<kinds::Flow> = ResultOf::new("rated-flow", usual::OUTPUT);
pub(crate) static LOWEST: ResultOf<kinds::Flow> = ResultOf::new("lowest-flow", usual::OUTPUT);
pub(crate) static HIGHEST: ResultOf<kinds::Flow> = ResultOf::new("highest-flow", usual::OUTPUT);
pub(crate) static FAN_ANGLE: ResultOf<kinds::Number> = ResultOf::new("fan-angle", usual::NUMBER);
pub(crate) static WEAR: ResultOf<kinds::Share, 1> = ResultOf::new("nozzle-N-wear", usual::PERCENT).percent_off();
pub(crate) static DEPARTURE: ResultOf<kinds::Share, 1> =
    ResultOf::new("nozzle-N-departure", usual::PERCENT).percent_off();
pub(crate) static VERDICT: ResultOf<Verdict, 1> = ResultOf::verdict("nozzle-N-verdict");

/// Turf worksheet, as in the catch test: less time or volume makes one mark or one blink matter too much.
const SHORT_S: f64 = 20.0;
const LITTLE_FL_OZ: f64 = 20.0;
/// The same in metric practice.
const LITTLE_ML: f64 = 600.0;

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let rated = rated_flow(inputs, rec)?;
    let rated = at_test_pressure(inputs, rec, rated)?;
    let (one, limit) = (Traced::number(1.0), inputs.need(&WEAR_LIMIT)?);
    rec.settle(&LOWEST, [], &(&rated * &(&one - &limit)));
    rec.settle(&HIGHEST, [], &(&rated * &(&one + &limit)));
    let catches: Vec<Traced<Volume>> = inputs.rows(&NOZZLE).filter_map(|row| row.get(&CATCH)).collect();
    let Some(sum) = Traced::sum(catches.iter().cloned()) else { return Ok(()) };
    let time = inputs.need(&CATCH_TIME)?;
    let expected = rec.step("nozzle-wear.step.rated-catch", &[], &(&rated * &time), usual::MEASURED);
    let mean =
        rec.step("nozzle-wear.step.mean-catch", &[], &(&sum / &Traced::number(catches.len() as f64)), usual::MEASURED);
    let mean_flow = rec.step("nozzle-wear.step.mean-flow", &[], &(&mean / &time), usual::OUTPUT);
    let mean_wear = departure(rec, "nozzle-wear.step.mean-wear", &[], &mean, &expected);
    rec.result(&MEAN_WEAR, [], &mean_wear);
    rec.result(&MEAN_FLOW, [], &mean_flow);
    rec.result(&MEAN_CATCH, [], &mean);
    rec.result(&RATED_CATCH, [], &expected);
    let (least, unit) = rec.system.pick((LITTLE_FL_OZ, unit!("fl oz")), (LITTLE_ML, unit!("mL")));
    let smallest = catches.iter().map(|catch| catch.in_unit(unit)).fold(f64::MAX, f64::min);
    if time.si() < SHORT_S || above(least, smallest) {
        let least = Arg::Quantity(least * unit.size(), unit);
        let time = rec.arg(&time, usual::SECONDS);
        rec.caution("nozzle-wear.short", Severity::Notice, vec![("time", time), ("least", least)]);
    }
    judge(inputs, rec, &catches, &expected, &mean)
}

/// The flow of a new tip at its rated pressure: as given, or read off the code stamped on the tip.
fn rated_flow(inputs: &Inputs, rec: &mut Recorder) -> Result<Traced<VolumeRate>, Fault> {
    let code = match (inputs.get(&RATED_FLOW), inputs.get(&TIP_CODE)) {
        (Some(flow), None) => return Ok(flow),
        (None, Some(code)) => code,
        _ => return Err(Fault::new("nozzle-wear.flow-or-code", RATED_FLOW.name())),
    };
    let hundred = Traced::number(100.0);
    let angle = rec.step("nozzle-wear.step.fan-angle", &[], &(&code / &hundred).floor(), usual::NUMBER);
    let size = rec.step("nozzle-wear.step.tip-size", &[], &(&code - &(&hundred * &angle)), usual::NUMBER);
    if size.si() <= 0.0 {
        return Err(Fault::new("nozzle-wear.no-size", TIP_CODE.name()));
    }
    let tenth: Traced<VolumeRate> = Traced::constant("nozzle-wear.constant.tenth", 0.1, unit!("gal/min"));
    let flow = rec.step("nozzle-wear.step.rated-flow", &[], &(&size * &tenth), usual::OUTPUT);
    rec.result(&FAN_ANGLE, [], &angle);
    rec.result(&RATED_BY_CODE, [], &flow);
    Ok(flow)
}

fn at_test_pressure(
    inputs: &Inputs,
    rec: &mut Recorder,
    rated: Traced<VolumeRate>,
) -> Result<Traced<VolumeRate>, Fault> {
    let Some(test) = inputs.get(&TEST_PRESSURE) else { return Ok(rated) };
    let ratio: Traced<Ratio> = &test / &inputs.need(&RATED_PRESSURE)?;
    let flow = rec.step("nozzle-wear.step.rated-flow-at-test", &[], &(&rated * &ratio.root::<Ratio>()), usual::OUTPUT);
    rec.result(&RATED_AT_TEST, [], &flow);
    Ok(flow)
}

/// Each tip against the rated catch and against the mean, a verdict for each and one for the set.
fn judge(
    inputs: &Inputs,
    rec: &mut Recorder,
    catches: &[Traced<Volume>],
    expected: &Traced<Volume>,
    mean: &Traced<Volume>,
) -> Result<(), Fault> {
    let (wear_limit, set_limit) = (inputs.need(&WEAR_LIMIT)?, inputs.need(&SET_LIMIT)?);
    let (mut worn, mut low, mut uneven) = (Vec::new(), Vec::new(), Vec::new());
    for (index, catch) in catches.iter().enumerate() {
        let row = [index + 1];
        let wear = departure(rec, "nozzle-wear.step.wear", &row, catch, expected);
        let off = departure(rec, "nozzle-wear.step.departure", &row, catch, mean);
        let verdict = if outside(&wear, &wear_limit) && wear.si() > 0.0 {
            worn.push(row[0].to_string());
            "nozzle-wear.verdict.worn"
        } else if outside(&wear, &wear_limit) {
            low.push(row[0].to_string());
            "nozzle-wear.verdict.low"
        } else if outside(&off, &set_limit) {
            uneven.push(row[0].to_string());
            "nozzle-wear.verdict.uneven"
        } else {
            "nozzle-wear.verdict.good"
        };
        rec.result(&WEAR, row, &wear);
        rec.result(&DEPARTURE, row, &off);
        rec.verdict(&VERDICT, row, verdict);
    }
    let set = match (worn.is_empty(), low.is_empty() && uneven.is_empty()) {
        (false, _) => "nozzle-wear.set.replace",
        (true, false) => "nozzle-wear.set.clean",
        (true, true) => "nozzle-wear.set.keep",
    };
    rec.verdict(&SET_VERDICT, [], set);
    let lists = [
        ("nozzle-wear.replace-set-one", "nozzle-wear.replace-set", worn, &wear_limit),
        ("nozzle-wear.low-one", "nozzle-wear.low", low, &wear_limit),
        ("nozzle-wear.uneven-one", "nozzle-wear.uneven", uneven, &set_limit),
    ];
    for (one, several, tips, limit) in lists {
        let Some((last, others)) = tips.split_last() else { continue };
        let others_text = Arg::Text(joined(others, ", "));
        let args =
            vec![("tips", others_text), ("last", Arg::Text(last.clone())), ("limit", rec.arg(limit, usual::PERCENT))];
        rec.caution(if others.is_empty() { one } else { several }, Severity::Warning, args);
    }
    Ok(())
}

/// The catches side by side, with the catch of a new tip as a line and the wear limit as another.
fn draw(worked: &Worked, system: System) -> Drawing {
    let catches: Vec<f64> = (worked.inputs.rows(&NOZZLE)).filter_map(|row| Some(row.typed(&CATCH)?.si)).collect();
    let expected = worked.si(&RATED_CATCH, []).unwrap_or_default();
    let limit = worked.inputs.typed(&WEAR_LIMIT).map_or(0.1, |typed| typed.si);
    let unit = usual::MEASURED.pick(system);
    if catches.is_empty() {
        let mut drawing = Drawing::new(40.0);
        let flow = worked.si(&RATED_BY_CODE, []).or_else(|| worked.inputs.typed(&RATED_FLOW).map(|typed| typed.si));
        let flow = Arg::Quantity(flow.unwrap_or_default(), usual::OUTPUT.pick(system));
        drawing.label(
            Set::Strong,
            180.0,
            26.0,
            Label::Phrase("nozzle-wear.draw.new-tip", vec![("flow", flow.clone())]),
        );
        drawing.say("nozzle-wear.draw.new-tip", vec![("flow", flow)]);
        return drawing;
    }
    let mut drawing = Drawing::new(130.0);
    let highest = catches.iter().fold(expected * (1.0 + limit), |most, si| most.max(*si));
    let slot = 212.0 / catches.len() as f64;
    let width = (slot * 0.6).min(44.0);
    let y = |si: f64| 106.0 - si / highest * 90.0;
    for (index, si) in catches.iter().enumerate() {
        let middle = 8.0 + slot * (index as f64 + 0.5);
        drawing.rect("water", middle - width / 2.0, y(*si), width, 106.0 - y(*si));
        drawing.rect("line", middle - width / 2.0, y(*si), width, 106.0 - y(*si));
        if catches.len() <= 12 {
            drawing.label(Set::Mid, middle, 124.0, Label::Plain((index + 1).to_string()));
        }
    }
    drawing.line("line", (8.0, 106.0), (218.0, 106.0));
    drawing.line("line", (8.0, y(expected)), (226.0, y(expected)));
    let most = y(expected * (1.0 + limit));
    drawing.line("warn", (8.0, most), (226.0, most));
    let quantity = |si: f64| Arg::Quantity(si, unit);
    // Both lines are named at their ends; the names keep apart where the lines do not.
    let rated = vec![("rated", quantity(expected))];
    drawing.label(
        Set::Start,
        232.0,
        (y(expected) + 5.0).max(most + 21.0),
        Label::Phrase("nozzle-wear.draw.line", rated),
    );
    let limit_at = vec![("limit", quantity(expected * (1.0 + limit)))];
    drawing.label(Set::Start, 232.0, most + 5.0, Label::Phrase("nozzle-wear.draw.limit", limit_at));
    drawing.say(
        "nozzle-wear.draw.bars",
        vec![
            ("count", Arg::Text(catches.len().to_string())),
            ("rated", quantity(expected)),
            ("limit", quantity(expected * (1.0 + limit))),
            ("mean", quantity(worked.si(&MEAN_CATCH, []).unwrap_or_default())),
        ],
    );
    drawing
}
