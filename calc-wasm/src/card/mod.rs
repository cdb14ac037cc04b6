//! The calibration card: one operator's measured rate, and what follows from it on a lawn and in a tank.
//!
//! Declared like a calculator, so that form, reading and refusals are the same, but kept out of the registry: it is
//! worked from the application rate's own runs and answers with a card instead of a list of results.

mod date;
pub mod ladder;

pub use date::Day;

use crate::calculation::declare::{Calculator, Face, Fault, row_number};
use crate::calculation::handles::{Choice, GroupOf, InputOf, OwnName, ResultOf};
use crate::calculation::inputs::{InputFault, InputProblem, Inputs, RawInputs};
use crate::calculation::label::{self, LabelRate, Product};
use crate::calculation::worked::Worked;
use crate::calculators::application_rate as rate;
use crate::calculators::{shared, sources};
use crate::quantity::kind::{Area, Mass, Ratio, Volume, VolumePerArea};
use crate::quantity::kinds;
use crate::quantity::unit::{Unit, units};
use crate::quantity::usual;
use crate::uncertainty::{Budget, work};
use crate::working::record::{Origin, Recorder, System, Traced};

/// Application rate of one operator with one gun, tip and pressure, as a card to carry.
///
/// # Formula
/// `rate` as [`rate::CALCULATOR`] pools the runs; `gallons for a lawn = lawn * rate`; `ground at a mark = volume at the
/// mark / rate`; product by area: `label rate * ground the fill treats`; product by volume: `label rate * fill`.
/// `recalibrate by = date + days`, plain calendar days.
/// # Inputs
/// - `operator` (a name): who sprays. Required.
/// - `date` (a name): day of the calibration, year-month-day. Required.
/// - `rig`, `gun`, `tip` (a name): what was used. Optional.
/// - `pressure` (psi or bar): pressure at the gun. Above 0 to 1500 psi, usually 10 to 300 psi; read to 2 psi or 0.1
///   bar; optional.
/// - `timed`, `used` (0 to 12 rows): runs, as the application rate takes them.
/// - `timed.method`, `used.method` (a name): name of a method, to compare methods. Optional.
/// - `timed.volume` (fl oz or L): volume caught. Above 0 to 5000 gal, usually 0.125 to 300 gal; read to 1 fl oz or 10
///   mL; required.
/// - `timed.catch-time` (s): how long it was caught. Above 0 to 600 s, usually 15 to 120 s; read to 0.2 s; required.
/// - `timed.area`, `used.area` (ft² or m²): ground covered. Above 0 to 5,000,000 ft², usually 200 to 100,000 ft²; read
///   to 2 %; required.
/// - `timed.area-time` (s): how long that took. Above 0 to 36,000 s, usually 15 to 7200 s; read to 0.2 s; required.
/// - `used.volume` (gal or L): volume used. Above 0 to 5000 gal, usually 0.125 to 300 gal; read to 0.1 gal or 0.5 L;
///   required.
/// - `tolerance` (%): how far a run or a method may be from the pooled rate. Above 0 to 50 %, usually 1 to 10 %; 5 % if
///   left out.
/// - `tank` (gal or L): size of the tank. Above 0 to 10,000 gal, usually 1 to 1000 gal; required.
/// - `marks` (`eighths` or `round`): how its gauge is marked. `eighths` if left out.
/// - `days` (a whole number): days until recalibration: about a season, common practice, no source. 1 to 730; 90 if
///   left out.
/// - `product` (0 to 6 rows): products in the mix.
/// - `product.name` (a name): name of the product. Optional.
/// - `product.rate` (fl oz/1000 ft² or mL/100 m²): rate as its label prints it: per area, per 100 gal or 100 L, or in
///   percent by volume. No limits declared; required.
/// - `product.label-max` (fl oz/1000 ft² or mL/100 m²): the most that its label allows. No limits declared; optional.
/// # Errors
/// No run, an impossible date, products that leave no room for water.
/// # Cautions
/// Those of the application rate; `card.over-label-max` is a danger, and that product gets no amounts.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing.
/// # Example
/// At 2 gal/1000 ft² a lawn of 7500 ft² takes 15 gal, and half of a 200 gal tank treats 50,000 ft².
pub static CARD: Calculator = Calculator {
    id: "card",
    inputs: &[
        OPERATOR.item(),
        DATE.item(),
        RIG.item(),
        GUN.item(),
        TIP.item(),
        PRESSURE.item(),
        rate::TIMED.item(),
        rate::USED.item(),
        rate::TOLERANCE.item(),
        shared::TANK.item(),
        MARKS.item(),
        DAYS.item(),
        PRODUCT.item(),
    ],
    results: &[
        &rate::APPLICATION_RATE.spec,
        &rate::AGREEMENT.spec,
        &rate::PER_ACRE.spec,
        &rate::PER_100_M2.spec,
        &rate::PER_HA.spec,
        &rate::RUN_RATE.spec,
        &rate::RUN_DEPARTURE.spec,
        &rate::METHOD_RATE.spec,
        &rate::METHOD_DEPARTURE.spec,
        &rate::LARGEST.spec,
        &LAWN_VOLUME.spec,
        &TANK_AREA.spec,
        &MARK_VOLUME.spec,
        &MARK_AREA.spec,
        &FILL.spec,
        &PRODUCT_FILL.spec,
    ],
    uncertain: &[rate::APPLICATION_RATE.name()],
    compare: None,
    face: Face::Card,
    looks_back: false,
    sources: &[sources::SPRAY_GUN, sources::MIXING],
    example: &[
        ("operator", "Sam Sample"),
        ("date", "2026-04-14"),
        ("rig", "Truck 4, 200 gal"),
        ("gun", "Turf gun"),
        ("tip", "Blue, 1.5 gal/min"),
        ("pressure", "80 psi"),
        ("timed.1.method", "catch and passes"),
        ("timed.1.volume", "186 fl oz"),
        ("timed.1.catch-time", "60 s"),
        ("timed.1.area", "1000 ft2"),
        ("timed.1.area-time", "82 s"),
        ("timed.2.method", "catch and passes"),
        ("timed.2.volume", "184 fl oz"),
        ("timed.2.catch-time", "60 s"),
        ("timed.2.area", "2000 ft2"),
        ("timed.2.area-time", "2 min 48 s"),
        ("used.1.method", "refill"),
        ("used.1.volume", "10.1 gal"),
        ("used.1.area", "5000 ft2"),
        ("tank", "200 gal"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "1.5 fl oz/1000 ft2"),
        ("product.1.label-max", "1.8 fl oz/1000 ft2"),
        ("product.2.name", "Iron, dry"),
        ("product.2.rate", "2 oz (weight)/1000 ft2"),
        ("product.3.name", "Spreader-sticker"),
        ("product.3.rate", "0.25 %"),
    ],
    example_metric: &[
        ("operator", "Sam Sample"),
        ("date", "2026-04-14"),
        ("rig", "Truck 4, 800 L"),
        ("gun", "Turf gun"),
        ("tip", "Blue, 5.5 L/min"),
        ("pressure", "5.5 bar"),
        ("timed.1.method", "catch and passes"),
        ("timed.1.volume", "5.5 L"),
        ("timed.1.catch-time", "60 s"),
        ("timed.1.area", "100 m2"),
        ("timed.1.area-time", "88 s"),
        ("timed.2.method", "catch and passes"),
        ("timed.2.volume", "5.45 L"),
        ("timed.2.catch-time", "60 s"),
        ("timed.2.area", "200 m2"),
        ("timed.2.area-time", "2 min 58 s"),
        ("used.1.method", "refill"),
        ("used.1.volume", "40.5 L"),
        ("used.1.area", "500 m2"),
        ("tank", "800 L"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "50 mL/100 m2"),
        ("product.1.label-max", "60 mL/100 m2"),
        ("product.2.name", "Iron, dry"),
        ("product.2.rate", "60 g/100 m2"),
        ("product.3.name", "Spreader-sticker"),
        ("product.3.rate", "0.25 %"),
    ],
    run,
    draw: rate::draw,
};

pub(crate) const OPERATOR: InputOf<OwnName> = InputOf::own_name("operator").required();
pub(crate) const DATE: InputOf<OwnName> = InputOf::own_name("date").required();
pub(crate) const RIG: InputOf<OwnName> = InputOf::own_name("rig");
pub(crate) const GUN: InputOf<OwnName> = InputOf::own_name("gun");
pub(crate) const TIP: InputOf<OwnName> = InputOf::own_name("tip");
const PRESSURE: InputOf<kinds::Pressure> = InputOf::quantity("pressure", units!("psi", "bar"))
    .above("psi", (0.0, 1500.0), (10.0, 300.0))
    .read_to((2.0, "psi"), (0.1, "bar"))
    .optional();
pub(crate) const MARKS: InputOf<Choice> = InputOf::choice("marks", &["eighths", "round"]);
/// Marks at round volumes.
pub(crate) const ROUND: &str = MARKS.choice_of("round");
const DAYS: InputOf<kinds::Count> = InputOf::count("days", 1.0, 730.0).or("90");
/// The products that are measured out.
pub(crate) const PRODUCT: GroupOf<Product> = label::products(6);

pub(crate) static LAWN_VOLUME: ResultOf<kinds::Volume, 1> = ResultOf::new("lawn-N-volume", usual::TANKFUL);
pub(crate) static TANK_AREA: ResultOf<kinds::Area> = ResultOf::new("tank-area", usual::SURFACE);
pub(crate) static MARK_VOLUME: ResultOf<kinds::Volume, 1> = ResultOf::new("mark-N-volume", usual::TANKFUL);
pub(crate) static MARK_AREA: ResultOf<kinds::Area, 1> = ResultOf::new("mark-N-area", usual::SURFACE);
pub(crate) static FILL: ResultOf<kinds::Volume, 1> = ResultOf::new("fill-N", usual::TANKFUL);
pub(crate) static PRODUCT_FILL: ResultOf<kinds::Amount, 2> =
    ResultOf::new("product-N-fill-M", usual::MEASURED).measured();

/// The fills that products are measured for, in quarters of the tank: full, three quarters, half, one quarter.
pub const FILLS: [f64; 4] = [1.0, 0.75, 0.5, 0.25];

/// Marks of a tank that is read in eighths.
const EIGHTHS: [f64; 8] = [1.0, 0.875, 0.75, 0.625, 0.5, 0.375, 0.25, 0.125];

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let rate = rate::measured(inputs, rec)?;
    let tank = inputs.need(&shared::TANK)?;
    let area = &tank / &rate;
    rec.result(&TANK_AREA, [], &area);
    let unit = units!("1000 ft2", "100 m2").pick(rec.system);
    for (index, size) in ladder::lawns(area.si() / unit.size()).iter().enumerate() {
        let lawn: Traced<Area> = amount(*size, &unit);
        rec.result(&LAWN_VOLUME, [index + 1], &(&lawn * &rate));
    }
    for (index, volume) in marks(inputs, rec.system, &tank).iter().enumerate() {
        rec.result(&MARK_VOLUME, [index + 1], volume);
        rec.result(&MARK_AREA, [index + 1], &(volume / &rate));
    }
    products(inputs, rec, &tank, &rate)
}

fn amount<Q: crate::quantity::kind::Measure>(number: f64, unit: &Unit) -> Traced<Q> {
    Traced::leaf(Origin::Number, Q::from_si(number * unit.size()), *unit)
}

/// Volumes at which the tank is read, the full tank first.
fn marks(inputs: &Inputs, system: System, tank: &Traced<Volume>) -> Vec<Traced<Volume>> {
    if inputs.word(&MARKS) == Some(ROUND) {
        let unit = usual::TANKFUL.pick(system);
        let mut marks = vec![tank.clone()];
        marks.extend(ladder::round_marks(tank.si() / unit.size()).iter().map(|mark| amount(*mark, &unit)));
        return marks;
    }
    shares(tank, &EIGHTHS)
}

fn shares(tank: &Traced<Volume>, shares: &[f64]) -> Vec<Traced<Volume>> {
    shares.iter().map(|share| tank * &Traced::<Ratio>::number(*share)).collect()
}

fn products(
    inputs: &Inputs,
    rec: &mut Recorder,
    tank: &Traced<Volume>,
    rate: &Traced<VolumePerArea>,
) -> Result<(), Fault> {
    let fills = shares(tank, &FILLS);
    for (index, fill) in fills.iter().enumerate() {
        rec.result(&FILL, [index + 1], fill);
    }
    let mut liquids = 0.0;
    for row in inputs.rows(&PRODUCT) {
        rec.named = row.word(&label::NAME).map(ToOwned::to_owned);
        let label = LabelRate::of(&row)?;
        let cautions = rec.cautions.len();
        label::max_caution(rec, &row, &label, rate, "card.over-label-max")?;
        if rec.cautions.len() > cautions {
            // Amounts above the label have no place on a card that is read at the tank.
            continue;
        }
        let units = label.amount_units();
        for (index, fill) in fills.iter().enumerate() {
            let rows = [row.number(), index + 1];
            if let Some(liquid) = liquid(&label, fill, rate) {
                liquids += if index == 0 { liquid.si() } else { 0.0 };
                rec.result_in(&PRODUCT_FILL, rows, &liquid, units);
            } else if let Some(dry) = dry(&label, fill, rate) {
                rec.result_in(&PRODUCT_FILL, rows, &dry, units);
            }
        }
    }
    rec.named = None;
    if liquids > tank.si() {
        return Err(Fault::new("card.no-room-for-water", PRODUCT.name()));
    }
    Ok(())
}

fn liquid(label: &LabelRate, fill: &Traced<Volume>, rate: &Traced<VolumePerArea>) -> Option<Traced<Volume>> {
    match label {
        LabelRate::LiquidByArea(label) => Some(label * &(fill / rate)),
        LabelRate::LiquidByVolume(label) => Some(label * fill),
        _ => None,
    }
}

fn dry(label: &LabelRate, fill: &Traced<Volume>, rate: &Traced<VolumePerArea>) -> Option<Traced<Mass>> {
    match label {
        LabelRate::DryByArea(label) => Some(label * &(fill / rate)),
        LabelRate::DryByVolume(label) => Some(label * fill),
        _ => None,
    }
}

/// What the application rate says where no run was given.
pub const NO_RUN: &str = "application-rate.nothing";

/// Works a card from inputs as given; rows that were added and left empty do not count.
///
/// # Errors
/// Every problem with the inputs.
pub fn work_card(given: &RawInputs, system: System) -> Result<Worked, Vec<InputProblem>> {
    let date = given.text(DATE.name()).unwrap_or_default().trim();
    let no_day = match Day::read(date) {
        Err(fault) if !date.is_empty() => {
            Some(InputProblem { about: DATE.name().to_owned(), fault: InputFault::Refused(fault) })
        }
        _ => None,
    };
    let given = without_empty_rows(given);
    let mut problems = match (work(&CARD, &given, system), &no_day) {
        (Ok(worked), None) => return Ok(worked),
        (Ok(_), Some(_)) => Vec::new(),
        (Err(problems), _) => problems,
    };
    let nothing = InputProblem { about: rate::TIMED.name().to_owned(), fault: InputFault::Refused(NO_RUN) };
    if given.rows(rate::TIMED.name()) + given.rows(rate::USED.name()) == 0 && !problems.contains(&nothing) {
        problems.push(nothing);
    }
    problems.extend(no_day);
    Err(problems)
}

/// Without the rows at the end of each group in which nothing was typed.
fn without_empty_rows(given: &RawInputs) -> RawInputs {
    let mut typed = given.clone();
    typed.0.retain(|(_, text)| !text.trim().is_empty());
    let mut kept = given.clone();
    kept.0.retain(|(name, _)| match name.split_once('.') {
        Some((group, rest)) if CARD.group(group).is_some() => {
            let row = rest.split('.').next().and_then(row_number);
            row.is_none_or(|row| row <= typed.rows(group))
        }
        _ => true,
    });
    kept
}

/// The day by which to calibrate again, where the card's date is one.
pub fn again_by(worked: &Worked) -> Option<Day> {
    let days = worked.inputs.typed(&DAYS)?.si;
    Some(Day::read(worked.inputs.word(&DATE)?).ok()?.after(days as u32))
}

/// Whether the card still carries the invented operator.
pub fn is_example(worked: &Worked) -> bool {
    worked.inputs.word(&OPERATOR) == CARD.example.first().map(|(_, name)| *name)
}

/// The expanded uncertainty of the rate, k = 2, in SI base units of volume per area; `None` where no reading shows one.
pub fn spread(worked: &Worked) -> Option<f64> {
    let of_rate = |budget: &&Budget| worked.results[budget.result].spec.name == rate::APPLICATION_RATE.name();
    worked.budgets.iter().find(of_rate).map(Budget::expanded)
}
