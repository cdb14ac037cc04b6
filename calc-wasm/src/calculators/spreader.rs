//! Granular spreader: what it puts down, how far that is from the target, and how wide it really spreads.

mod caught;
mod drawn;
mod swath;

use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::handles::{GroupOf, InputOf, ResultOf, fields};
use crate::calculation::inputs::Inputs;
use crate::calculation::label;
use crate::calculators::shared;
use crate::quantity::kinds;
use crate::quantity::unit::{unit, units};
use crate::quantity::usual;
use crate::working::record::{Recorder, Severity};
use caught::{against, caught};
use drawn::draw;
use swath::{BOX, swath};

/// Rate of a granular spreader from what was spread or caught, against a target; and its effective swath.
///
/// # Formula
/// `rate = sum of weights / sum of areas`; area of a run: as given, or `length * spacing between passes * passes`, of a
/// drop spreader with the inside width of its hopper for the spacing; of a pan, its own area times the passes over it.
/// `departure = (rate - target) / target`; limits `target * (1 ± tolerance)`; `next setting = setting * target / rate`,
/// common practice, to be caught again. Passes that cross share the target: `target of each = target / crossings`, and
/// the spreader is set for that; `rate in all = rate * crossings`. Effective swath: twice the distance at which the
/// catch is half of the center catch, between two boxes on a straight line. `bags = product / bag`, rounded up.
/// # Inputs
/// - `run` (0 to 12 rows): runs of the spreader, or pans in its path.
/// - `run.weight` (lb or kg): product spread or caught. Above 0 to 2000 lb, usually 0.01 to 100 lb; read to 1 oz
///   (weight) or 20 g; required.
/// - `run.area` (ft² or m²): ground of the run, or of a pan. Above 0 to 1,000,000 ft², usually 1 to 20,000 ft²; read to
///   2 %; optional.
/// - `run.length` (ft or m): length of the run, in place of its area. Above 0 to 10,000 ft, usually 1 to 1000 ft; read
///   to 0.5 ft or 0.1 m; optional.
/// - `run.spacing` (ft or m): distance between passes. Above 0 to 60 ft, usually 1 to 24 ft; read to 2 in or 5 cm;
///   optional.
/// - `run.passes` (a whole number): passes of the run, or over the pan. 1 to 200; 1 if left out.
/// - `hopper-width` (in or cm): inside width of a drop spreader's hopper, in place of the spacing. Above 0 to 240 in,
///   usually 12 to 72 in; read to 0.25 in or 0.5 cm; optional.
/// - `target` (lb/1000 ft² or kg/100 m²): the rate wanted. Above 0 to 1000 lb/1000 ft², usually 0.2 to 50 lb/1000 ft²;
///   optional.
/// - `tolerance` (%): how far the rate may be from the target. Above 0 to 50 %, usually 2 to 10 %; 5 % if left out.
/// - `crossings` (a whole number): directions in which the ground is covered. 1 to 4; optional.
/// - `label-max` (lb/1000 ft² or kg/100 m²): the most that the label allows. Above 0 to 1000 lb/1000 ft², usually 0.2
///   to 50 lb/1000 ft²; optional.
/// - `setting` (a number): setting as the spreader counts it. Above 0 to 1000, usually 0.5 to 100; optional.
/// - `area` (ft² or m²): ground of the job. Above 0 to 100,000,000 ft², usually 200 to 5,000,000 ft²; read to 2 %;
///   optional.
/// - `bag` (lb or kg): weight of a bag. Above 0 to 4000 lb, usually 5 to 100 lb; optional.
/// - `box` (0 to 20 rows): boxes in a line across the swath, the mean of both sides.
/// - `box.offset` (ft or m): distance from the center line. 0 to 60 ft, usually 0 to 20 ft; read to 1 in or 2 cm;
///   required.
/// - `box.depth` (in or mm): catch as depth. 0 to 60 in, usually 0 to 12 in; read to 0.125 in or 2 mm; optional.
/// - `box.weight` (oz (weight) or g): catch as weight. 0 to 1600 oz (weight), usually 0 to 32 oz (weight); read to 0.1
///   oz (weight) or 2 g; optional.
/// # Errors
/// Nothing given; a run without ground; no center box, boxes read in different ways, a row of boxes that ends before
/// half of the center catch.
/// # Cautions
/// `spreader.over-label-max` is a danger; `spreader.off` a warning outside the tolerance; `spreader.far` where the next
/// setting is more than a quarter away, too far for a straight line.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing.
/// # Example
/// 2.6 lb over 100 ft of passes 5 ft apart is 2.6 lb on 500 ft², 5.2 lb/1000 ft².
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("run.1.weight", "2.6 lb"),
///     ("run.1.length", "100 ft"),
///     ("run.1.spacing", "5 ft"),
///     ("run.1.passes", "1"),
/// ]);
/// let worked = work(calculator("spreader").unwrap(), &given, System::Us).unwrap();
/// let rate = worked.value_in("rate", "lb/1000 ft2").unwrap();
/// assert!((rate - 5.2).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "spreader",
    inputs: &[
        RUN.item(),
        HOPPER_WIDTH.item(),
        TARGET.item(),
        TOLERANCE.item(),
        CROSSINGS.item(),
        LABEL_MAX.item(),
        SETTING.item(),
        shared::GROUND.item(),
        shared::BAG.item(),
        BOX.item(),
    ],
    results: &[
        &RATE.spec,
        &DEPARTURE.spec,
        &LOW_LIMIT.spec,
        &HIGH_LIMIT.spec,
        &NEXT_SETTING.spec,
        &SWATH.spec,
        &PASS_WIDTH.spec,
        &TOTAL_WEIGHT.spec,
        &TOTAL_AREA.spec,
        &PRODUCT.spec,
        &BAGS.spec,
        &EACH_TARGET.spec,
        &CROSSED_RATE.spec,
    ],
    uncertain: &[RATE.name(), SWATH.name()],
    compare: None,
    face: Face::Results,
    looks_back: true,
    sources: &[
        Source {
            title: "Rotary Spreader Calibration Procedures",
            publisher: "University of Massachusetts Extension",
            url: "https://ag.umass.edu/turf/fact-sheets/rotary-spreader-calibration-procedures",
        },
        Source {
            title: "Calibrating Turfgrass Chemical Application Equipment, Bulletin 817-00",
            publisher: "Ohio State University Extension",
            url: "http://ohioline.osu.edu/b817/b817_13.html",
        },
        Source {
            title: "Calibrating a Drop Spreader for Home Lawns",
            publisher: "University of Arizona Cooperative Extension",
            url: "http://turf.arizona.edu/tips499.htm",
        },
    ],
    example: &[
        ("run.1.weight", "2.8 lb"),
        ("run.1.length", "50 ft"),
        ("run.1.spacing", "5 ft"),
        ("run.1.passes", "2"),
        ("target", "5 lb/1000 ft2"),
        ("setting", "12"),
        ("area", "12000 ft2"),
        ("bag", "50 lb"),
        ("box.1.offset", "0 ft"),
        ("box.1.depth", "4 in"),
        ("box.2.offset", "2 ft"),
        ("box.2.depth", "2.5 in"),
        ("box.3.offset", "3 ft"),
        ("box.3.depth", "1.5 in"),
    ],
    example_metric: &[
        ("run.1.weight", "1.3 kg"),
        ("run.1.length", "15 m"),
        ("run.1.spacing", "1.5 m"),
        ("run.1.passes", "2"),
        ("target", "2.5 kg/100 m2"),
        ("setting", "12"),
        ("area", "1100 m2"),
        ("bag", "25 kg"),
        ("box.1.offset", "0 m"),
        ("box.1.depth", "100 mm"),
        ("box.2.offset", "0.6 m"),
        ("box.2.depth", "62 mm"),
        ("box.3.offset", "0.9 m"),
        ("box.3.depth", "38 mm"),
    ],
    run,
    draw,
};

/// Runs over a tarp, a driveway or a measured course, weighed.
#[derive(Debug)]
pub(crate) enum Run {}
pub(crate) const RUN: GroupOf<Run> = GroupOf::new("run", fields![WEIGHT, RUN_AREA, LENGTH, SPACING, PASSES], 0, 12);
pub(crate) const WEIGHT: InputOf<kinds::Mass, Run> = InputOf::quantity("weight", usual::WEIGHT)
    .above("lb", (0.0, 2000.0), (0.01, 100.0))
    .read_to((1.0, "oz"), (20.0, "g"))
    .grows();
pub(crate) const RUN_AREA: InputOf<kinds::Area, Run> = InputOf::quantity("area", usual::SURFACE)
    .above("ft2", (0.0, 1_000_000.0), (1.0, 20_000.0))
    .read_to((2.0, "%"), (2.0, "%"))
    .grows()
    .optional();
pub(crate) const LENGTH: InputOf<kinds::Length, Run> = InputOf::quantity("length", usual::SPAN)
    .above("ft", (0.0, 10_000.0), (1.0, 1000.0))
    .read_to((0.5, "ft"), (0.1, "m"))
    .grows()
    .optional();
pub(crate) const SPACING: InputOf<kinds::Length, Run> = InputOf::quantity("spacing", usual::SPAN)
    .above("ft", (0.0, 60.0), (1.0, 24.0))
    .read_to((2.0, "in"), (5.0, "cm"))
    .optional();
pub(crate) const PASSES: InputOf<kinds::Count, Run> = InputOf::count("passes", 1.0, 200.0).or("1");
pub(crate) const HOPPER_WIDTH: InputOf<kinds::Length> = InputOf::quantity("hopper-width", units!("in", "cm"))
    .above("in", (0.0, 240.0), (12.0, 72.0))
    .read_to((0.25, "in"), (0.5, "cm"))
    .optional();
pub(crate) const TARGET: InputOf<kinds::MassPerArea> =
    InputOf::quantity("target", usual::LAWN_WEIGHT).above("lb/1000 ft2", (0.0, 1000.0), (0.2, 50.0)).optional();
pub(crate) const CROSSINGS: InputOf<kinds::Count> = InputOf::count("crossings", 1.0, 4.0).optional();
pub(crate) const TOLERANCE: InputOf<kinds::Share> =
    InputOf::quantity("tolerance", usual::PERCENT).above("%", (0.0, 50.0), (2.0, 10.0)).or("5 %");
pub(crate) const LABEL_MAX: InputOf<kinds::MassPerArea> =
    InputOf::quantity("label-max", usual::LAWN_WEIGHT).above("lb/1000 ft2", (0.0, 1000.0), (0.2, 50.0)).optional();
pub(crate) const SETTING: InputOf<kinds::Number> =
    InputOf::quantity("setting", usual::NUMBER).above("", (0.0, 1000.0), (0.5, 100.0)).optional();

pub(crate) static RATE: ResultOf<kinds::MassPerArea> = ResultOf::new("rate", usual::LAWN_WEIGHT).main();
pub(crate) static DEPARTURE: ResultOf<kinds::Share> = ResultOf::new("departure", usual::PERCENT).percent_off().main();
pub(crate) static EACH_TARGET: ResultOf<kinds::MassPerArea> =
    ResultOf::new("crossing-target", usual::LAWN_WEIGHT).main();
pub(crate) static CROSSED_RATE: ResultOf<kinds::MassPerArea> = ResultOf::new("crossed-rate", usual::LAWN_WEIGHT);
pub(crate) static LOW_LIMIT: ResultOf<kinds::MassPerArea> = ResultOf::new("low-limit", usual::LAWN_WEIGHT);
pub(crate) static HIGH_LIMIT: ResultOf<kinds::MassPerArea> = ResultOf::new("high-limit", usual::LAWN_WEIGHT);
pub(crate) static NEXT_SETTING: ResultOf<kinds::Number> = ResultOf::new("next-setting", usual::NUMBER).main();
pub(crate) static SWATH: ResultOf<kinds::Length> = ResultOf::new("effective-swath", usual::SPAN).main();
pub(crate) static PASS_WIDTH: ResultOf<kinds::Length> = ResultOf::new("pass-width", usual::SPAN);
pub(crate) static TOTAL_WEIGHT: ResultOf<kinds::Mass> = ResultOf::new("total-weight", usual::WEIGHT);
pub(crate) static TOTAL_AREA: ResultOf<kinds::Area> = ResultOf::new("total-area", usual::SURFACE);
pub(crate) static PRODUCT: ResultOf<kinds::Mass> = ResultOf::new("product-for-area", usual::WEIGHT).main().measured();
pub(crate) static BAGS: ResultOf<kinds::Number> = ResultOf::new("bags", usual::NUMBER).main();

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let mut hopper = inputs.get(&HOPPER_WIDTH);
    if let Some(width) = &hopper {
        let width = rec.settle(&PASS_WIDTH, [], width);
        hopper = Some(width);
    }
    let rate = caught(inputs, rec, hopper.as_ref())?;
    let target = inputs.get(&TARGET);
    let crossings = inputs.get(&CROSSINGS).filter(|crossings| crossings.si() > 1.0);
    if let Some(target) = &target {
        let each = crossings.as_ref().map(|crossings| rec.settle(&EACH_TARGET, [], &(target / crossings)));
        against(inputs, rec, rate.as_ref(), each.as_ref().unwrap_or(target))?;
    }
    // What lands in total is what counts, for the label and for the lawn.
    let rate = match (rate, &crossings) {
        (Some(rate), Some(crossings)) => Some(rec.settle(&CROSSED_RATE, [], &(&rate * crossings))),
        (rate, _) => rate,
    };
    for rate in rate.iter().chain(&target) {
        if rec.cautions.iter().all(|caution| caution.severity != Severity::Danger) {
            let dim = unit!("lb/ft2").dim();
            label::rate_caution(rec, inputs.typed(&LABEL_MAX), rate.si(), dim, "spreader.over-label-max")?;
        }
    }
    if let (Some(rate), Some(area)) = (target.or(rate), inputs.get(&shared::GROUND)) {
        let product = rec.settle(&PRODUCT, [], &(&rate * &area));
        if let Some(bag) = inputs.get(&shared::BAG) {
            rec.settle(&BAGS, [], &(&product / &bag).ceil());
        }
    }
    if inputs.row_count(&BOX) > 0 {
        swath(inputs, rec)?;
    }
    if rec.results.is_empty() { Err(Fault::new("spreader.nothing", RUN.name())) } else { Ok(()) }
}
