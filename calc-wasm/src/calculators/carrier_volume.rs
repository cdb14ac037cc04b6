//! Carrier volume: two or more volumes of water side by side, for one tank and one day's ground.

use crate::calculation::declare::{Calculator, Face, Fault, FormItem, Group, Input, ResultSpec, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::inputs::Inputs;
use crate::calculation::label::{self, LabelRate};
use crate::calculation::worked::Worked;
use crate::quantity::kind::{Area, Kind, Ratio, Time, Volume, VolumePerArea};
use crate::quantity::unit::{Unit, Units, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::record::{Arg, Recorder, System, Traced};

/// What each carrier volume means for a day: area per tank, tanks, refills, water, strength of the mix, time filling.
///
/// # Formula
/// `area per tank = tank / volume`; `mix = area * volume`; `tanks = mix / tank`;
/// `refills = tanks rounded up - 1` (the first fill is made before the day's first lawn);
/// `filling = tanks rounded up * time of one fill`; product by area: `label rate * area`, the same at every volume;
/// `strength = product / mix`; `water = mix - liquid products`.
/// # Inputs
/// - `volume` (2 to 4 rows): volumes of water side by side.
/// - `volume.rate` (gal/1000 ft² or L/100 m²): one of them. Above 0 to 50 gal/1000 ft², usually 0.1 to 10 gal/1000 ft²;
///   required.
/// - `tank` (gal or L): size of the tank. Above 0 to 10,000 gal, usually 1 to 1000 gal; required.
/// - `area` (ft² or m²): ground of the day. Above 0 to 100,000,000 ft², usually 1000 to 5,000,000 ft²; required.
/// - `fill-time` (min): time of one fill. Above 0 to 600 min, usually 2 to 90 min; read to 1 min; 15 min if left out.
/// - `label-volume-min` (gal/1000 ft² or L/100 m²): the least volume that the label allows. Above 0 to 50 gal/1000 ft²,
///   usually 0.1 to 10 gal/1000 ft²; optional.
/// - `product` (0 to 6 rows): products in the mix.
/// - `product.name` (a name): name of the product. Optional.
/// - `product.rate` (fl oz/1000 ft² or mL/100 m²): rate as its label prints it: per area, per 100 gal or 100 L, or in
///   percent by volume. No limits declared; required.
/// - `product.label-max` (fl oz/1000 ft² or mL/100 m²): the most that its label allows. No limits declared; optional.
/// # Errors
/// A mix that is all product.
/// # Cautions
/// `carrier-volume.under-label` is a danger; `carrier-volume.over-label-max` likewise.
/// # Source
/// As in [`Calculator::sources`]; the pros and cons of each volume are common practice and marked as such.
/// # Example
/// 200 gal at 1 gal/1000 ft² treats 200,000 ft², at 2 gal/1000 ft² half of it.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("volume.1.rate", "1 gal/1000 ft2"),
///     ("volume.2.rate", "2 gal/1000 ft2"),
///     ("tank", "200 gal"),
///     ("area", "330000 ft2"),
/// ]);
/// let worked = work(calculator("carrier-volume").unwrap(), &given, System::Us).unwrap();
/// let volume_area_per_tank = worked.value_in("volume-2-area-per-tank", "ft2").unwrap();
/// assert!((volume_area_per_tank - 100_000.0).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "carrier-volume",
    inputs: &[
        FormItem::Many(Group { name: "volume", fields: &[VOLUME_RATE], least: 2, most: 4 }),
        FormItem::One(TANK),
        FormItem::One(AREA),
        FormItem::One(FILL_TIME),
        FormItem::One(LABEL_VOLUME_MIN),
        FormItem::Many(Group { name: "product", fields: &[NAME, label::RATE, label::MAX], least: 0, most: 6 }),
    ],
    results: &[&AREA_PER_TANK, &TANKS, &REFILLS, &MIX, &PRODUCT, &STRENGTH, &PERCENT, &WATER, &FILLING, &PER_ACRE],
    uncertain: &[],
    compare: Some("volume"),
    face: Face::Results,
    sources: &[
        Source {
            title: "Maximizing fungicide efficacy through proper application techniques (Pennsylvania State University authors)",
            publisher: "Pennsylvania Turfgrass Council",
            url: "https://blubrry.com/theturfzone/75780678/",
        },
        Source {
            title: "PI-225 Spray Gun Calibration",
            publisher: "UF/IFAS Extension",
            url: "https://edis.ifas.ufl.edu/publication/pi225",
        },
    ],
    example: &[
        ("volume.1.rate", "1 gal/1000 ft2"),
        ("volume.2.rate", "2 gal/1000 ft2"),
        ("tank", "200 gal"),
        ("area", "330000 ft2"),
        ("fill-time", "20 min"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "1.5 fl oz/1000 ft2"),
    ],
    example_metric: &[
        ("volume.1.rate", "4 L/100 m2"),
        ("volume.2.rate", "8 L/100 m2"),
        ("tank", "800 L"),
        ("area", "3 ha"),
        ("fill-time", "20 min"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "50 mL/100 m2"),
    ],
    run,
    draw,
};

const VOLUME_RATE: Input =
    Input::quantity("rate", Kind::VolumePerArea, usual::LAWN_RATE).above("gal/1000 ft2", (0.0, 50.0), (0.1, 10.0));
const TANK: Input = Input::quantity("tank", Kind::Volume, usual::TANKFUL).above("gal", (0.0, 10_000.0), (1.0, 1000.0));
const AREA: Input =
    Input::quantity("area", Kind::Area, usual::SURFACE).above("ft2", (0.0, 100_000_000.0), (1000.0, 5_000_000.0));
const FILL_TIME: Input = Input::quantity("fill-time", Kind::Time, units!("min", "min"))
    .above("min", (0.0, 600.0), (2.0, 90.0))
    .read_to((1.0, "min"), (1.0, "min"))
    .or("15 min");
const LABEL_VOLUME_MIN: Input = Input::quantity("label-volume-min", Kind::VolumePerArea, usual::LAWN_RATE)
    .above("gal/1000 ft2", (0.0, 50.0), (0.1, 10.0))
    .optional();
const NAME: Input = Input::own_name("name");

static AREA_PER_TANK: ResultSpec = ResultSpec::new("volume-N-area-per-tank", Kind::Area, usual::SURFACE).coarse();
static TANKS: ResultSpec = ResultSpec::new("volume-N-tanks", Kind::Number, usual::NUMBER);
static REFILLS: ResultSpec = ResultSpec::new("volume-N-refills", Kind::Number, usual::NUMBER);
static MIX: ResultSpec = ResultSpec::new("volume-N-mix", Kind::Volume, usual::TANKFUL);
static PRODUCT: ResultSpec = ResultSpec::new("volume-N-product-M", Kind::Volume, usual::MEASURED).measured();
static STRENGTH: ResultSpec = ResultSpec::new("volume-N-strength-M", Kind::Share, usual::STRENGTH);
static PERCENT: ResultSpec = ResultSpec::new("volume-N-percent-M", Kind::Share, usual::PERCENT);
static WATER: ResultSpec = ResultSpec::new("volume-N-water", Kind::Volume, usual::TANKFUL);
static FILLING: ResultSpec = ResultSpec::new("volume-N-filling", Kind::Time, units!("min", "min"));
static PER_ACRE: ResultSpec = ResultSpec::new("volume-N-per-acre", Kind::VolumePerArea, usual::FIELD_RATE);

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let tank: Traced<Volume> = inputs.need("tank")?;
    let area: Traced<Area> = inputs.need("area")?;
    let fill_time: Traced<Time> = inputs.need("fill-time")?;
    for volume in inputs.rows("volume") {
        let rate: Traced<VolumePerArea> = volume.need("rate")?;
        let n = volume.number;
        label::volume_caution(inputs, rec, &rate, "carrier-volume.under-label", Some(n));
        let per_acre = rec.step("carrier-volume.step.per-acre", &[n], &rate, usual::FIELD_RATE);
        let per_tank = rec.step("carrier-volume.step.area-per-tank", &[n], &(&tank / &rate), usual::SURFACE);
        let mix = rec.step("carrier-volume.step.mix", &[n], &(&area * &rate), usual::TANKFUL);
        let tanks: Traced<Ratio> = rec.step("carrier-volume.step.tanks", &[n], &(&mix / &tank), usual::NUMBER);
        let fills = rec.step("carrier-volume.step.fills", &[n], &tanks.ceil(), usual::NUMBER);
        let refills = rec.step("carrier-volume.step.refills", &[n], &(&fills - &Traced::number(1.0)), usual::NUMBER);
        let filling = rec.step("carrier-volume.step.filling", &[n], &(&fills * &fill_time), units!("min", "min"));
        rec.result(&AREA_PER_TANK, &[n], &per_tank);
        rec.result(&TANKS, &[n], &tanks);
        rec.result(&REFILLS, &[n], &refills);
        rec.result(&MIX, &[n], &mix);
        products(inputs, rec, n, &rate, &mix, &area)?;
        rec.result(&FILLING, &[n], &filling);
        rec.result(&PER_ACRE, &[n], &per_acre);
    }
    Ok(())
}

fn products(
    inputs: &Inputs,
    rec: &mut Recorder,
    n: usize,
    carrier: &Traced<VolumePerArea>,
    mix: &Traced<Volume>,
    area: &Traced<Area>,
) -> Result<(), Fault> {
    let mut liquids: Vec<Traced<Volume>> = Vec::new();
    for row in inputs.rows("product") {
        let rows = [n, row.number];
        rec.named = row.word("name").map(ToOwned::to_owned);
        let rate = LabelRate::of(&row)?;
        if n == 1 || !matches!(rate, LabelRate::LiquidByArea(_) | LabelRate::DryByArea(_)) {
            label::max_caution(rec, &row, &rate, carrier, "carrier-volume.over-label-max")?;
        }
        let units = rate.amount_units();
        let id = "carrier-volume.step.product";
        match &rate {
            LabelRate::LiquidByArea(rate) => liquids.push(rec.step(id, &rows, &(rate * area), units)),
            LabelRate::LiquidByVolume(rate) => liquids.push(rec.step(id, &rows, &(rate * mix), units)),
            LabelRate::DryByArea(rate) => {
                let amount = rec.step(id, &rows, &(rate * area), units);
                dry(rec, &rows, &amount, mix, units);
                continue;
            }
            LabelRate::DryByVolume(rate) => {
                let amount = rec.step(id, &rows, &(rate * mix), units);
                dry(rec, &rows, &amount, mix, units);
                continue;
            }
        }
        if let Some(amount) = liquids.last().cloned() {
            let strength: Traced<Ratio> =
                rec.step("carrier-volume.step.strength", &rows, &(&amount / mix), usual::STRENGTH);
            rec.result_in(&PRODUCT, &rows, &amount, units);
            rec.result(&STRENGTH, &rows, &strength);
            rec.result(&PERCENT, &rows, &strength);
        }
    }
    rec.named = None;
    let water = match Traced::sum(liquids) {
        Some(liquid) => rec.step("carrier-volume.step.water", &[n], &(mix - &liquid), usual::TANKFUL),
        None => mix.clone(),
    };
    if water.si() < 0.0 {
        return Err(Fault::new("carrier-volume.no-room-for-water", "product"));
    }
    rec.result(&WATER, &[n], &water);
    Ok(())
}

fn dry(
    rec: &mut Recorder,
    rows: &[usize],
    amount: &Traced<crate::quantity::kind::Mass>,
    mix: &Traced<Volume>,
    units: &Units,
) {
    let per = usual::DRY_STRENGTH;
    let strength = rec.step("carrier-volume.step.strength", rows, &(amount / mix), per);
    rec.result_in(&PRODUCT, rows, amount, units);
    rec.result_in(&STRENGTH, rows, &strength, per);
}

/// The day's tanks of each volume in a row: full ones and the last, part full, to scale.
fn draw(worked: &Worked, system: System) -> Drawing {
    let volumes: Vec<(usize, f64)> =
        (1..=4).filter_map(|n| Some((n, worked.si(&format!("volume-{n}-tanks"))?))).collect();
    let mut drawing = Drawing::new(8.0 + 58.0 * volumes.len() as f64);
    let most = volumes.iter().map(|(_, tanks)| tanks.ceil()).fold(1.0, f64::max).min(24.0);
    let slot = 344.0 / most.max(3.0);
    let width = (slot - 6.0).clamp(6.0, 60.0);
    for (line, (n, tanks)) in volumes.iter().enumerate() {
        let top = 10.0 + 58.0 * line as f64;
        let rate = worked.inputs.typed(&format!("volume.{n}.rate"));
        let shown = rate.map(written::as_typed).unwrap_or_default();
        drawing.label(
            Set::Start,
            8.0,
            top + 6.0,
            Label::Phrase(
                "carrier-volume.draw.tanks",
                vec![("volume", Arg::Text(shown.clone())), ("tanks", Arg::Quantity(*tanks, Unit::none()))],
            ),
        );
        for index in 0..tanks.ceil().min(24.0) as usize {
            let share = (tanks - index as f64).clamp(0.0, 1.0);
            let x = 8.0 + slot * index as f64;
            drawing.rect("paper", x, top + 14.0, width, 28.0);
            drawing.rect("water", x, top + 42.0 - 28.0 * share, width, 28.0 * share);
            drawing.rect("line", x, top + 14.0, width, 28.0);
        }
        drawing.say(
            "carrier-volume.draw.day",
            vec![
                ("volume", Arg::Text(shown)),
                ("tanks", Arg::Quantity(*tanks, Unit::none())),
                ("area", worked.rounded(&format!("volume-{n}-area-per-tank"), usual::SURFACE.pick(system))),
            ],
        );
    }
    drawing
}
