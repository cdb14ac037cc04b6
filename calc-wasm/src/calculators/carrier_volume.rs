//! Carrier volume: two or more volumes of water side by side, for one tank and one day's ground.

use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{GroupOf, InputOf, ResultOf, fields};
use crate::calculation::inputs::Inputs;
use crate::calculation::label::{self, LabelRate, Product};
use crate::calculation::worked::Worked;
use crate::calculators::shared;
use crate::quantity::kind::{Area, Mass, Ratio, Volume, VolumePerArea};
use crate::quantity::kinds;
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
/// - `area` (ft² or m²): ground of the day. Above 0 to 100,000,000 ft², usually 1000 to 5,000,000 ft²; read to 2 %;
///   required.
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
        VOLUME.item(),
        shared::TANK.item(),
        AREA.item(),
        FILL_TIME.item(),
        label::VOLUME_MIN.item(),
        PRODUCT.item(),
    ],
    results: &[
        &AREA_PER_TANK.spec,
        &TANKS.spec,
        &REFILLS.spec,
        &MIX.spec,
        &PRODUCT_AMOUNT.spec,
        &STRENGTH.spec,
        &PERCENT.spec,
        &WATER.spec,
        &FILLING.spec,
        &PER_ACRE.spec,
    ],
    uncertain: &[MIX.name(), FILLING.name()],
    compare: Some(VOLUME.name()),
    face: Face::Results,
    looks_back: false,
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
        ("area", "3.1 ha"),
        ("fill-time", "20 min"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "50 mL/100 m2"),
    ],
    run,
    draw,
};

/// Volumes of spray to compare.
#[derive(Debug)]
pub(crate) enum Carrier {}
pub(crate) const VOLUME: GroupOf<Carrier> = GroupOf::new("volume", fields![VOLUME_RATE], 2, 4);
/// What is mixed into each of them.
pub(crate) const PRODUCT: GroupOf<Product> = label::products(6);
pub(crate) const VOLUME_RATE: InputOf<kinds::VolumePerArea, Carrier> =
    InputOf::quantity("rate", usual::LAWN_RATE).above("gal/1000 ft2", (0.0, 50.0), (0.1, 10.0));
pub(crate) const AREA: InputOf<kinds::Area> = InputOf::quantity("area", usual::SURFACE)
    .above("ft2", (0.0, 100_000_000.0), (1000.0, 5_000_000.0))
    .read_to((2.0, "%"), (2.0, "%"));
pub(crate) const FILL_TIME: InputOf<kinds::Time> = shared::FILL_TIME.or("15 min");

pub(crate) static AREA_PER_TANK: ResultOf<kinds::Area, 1> =
    ResultOf::new("volume-N-area-per-tank", usual::SURFACE).coarse();
pub(crate) static TANKS: ResultOf<kinds::Number, 1> = ResultOf::new("volume-N-tanks", usual::NUMBER);
pub(crate) static REFILLS: ResultOf<kinds::Number, 1> = ResultOf::new("volume-N-refills", usual::NUMBER);
pub(crate) static MIX: ResultOf<kinds::Volume, 1> = ResultOf::new("volume-N-mix", usual::TANKFUL);
pub(crate) static PRODUCT_AMOUNT: ResultOf<kinds::Amount, 2> =
    ResultOf::new("volume-N-product-M", usual::MEASURED).measured();
pub(crate) static STRENGTH: ResultOf<kinds::Strength, 2> = ResultOf::new("volume-N-strength-M", usual::STRENGTH);
pub(crate) static PERCENT: ResultOf<kinds::Share, 2> = ResultOf::new("volume-N-percent-M", usual::PERCENT);
pub(crate) static WATER: ResultOf<kinds::Volume, 1> = ResultOf::new("volume-N-water", usual::TANKFUL);
pub(crate) static FILLING: ResultOf<kinds::Time, 1> = ResultOf::new("volume-N-filling", units!("min", "min"));
pub(crate) static PER_ACRE: ResultOf<kinds::VolumePerArea, 1> =
    ResultOf::new("volume-N-per-acre", usual::FIELD_RATE).fine();

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let tank = inputs.need(&shared::TANK)?;
    let area = inputs.need(&AREA)?;
    let fill_time = inputs.need(&FILL_TIME)?;
    let mut by_area = Vec::new();
    for volume in inputs.rows(&VOLUME) {
        let rate = volume.need(&VOLUME_RATE)?;
        let n = volume.number();
        label::volume_caution(inputs, rec, &rate, "carrier-volume.under-label", Some(n));
        let per_acre = rec.step("carrier-volume.step.per-acre", &[n], &rate, usual::FIELD_RATE);
        let per_tank = rec.step("carrier-volume.step.area-per-tank", &[n], &(&tank / &rate), usual::SURFACE);
        let mix = rec.step("carrier-volume.step.mix", &[n], &(&area * &rate), usual::TANKFUL);
        let tanks: Traced<Ratio> = rec.step("carrier-volume.step.tanks", &[n], &(&mix / &tank), usual::NUMBER);
        let fills = rec.step("carrier-volume.step.fills", &[n], &tanks.ceil(), usual::NUMBER);
        let refills = rec.step("carrier-volume.step.refills", &[n], &(&fills - &Traced::number(1.0)), usual::NUMBER);
        let filling = rec.step("carrier-volume.step.filling", &[n], &(&fills * &fill_time), units!("min", "min"));
        rec.result(&AREA_PER_TANK, [n], &per_tank);
        rec.result(&TANKS, [n], &tanks);
        rec.result(&REFILLS, [n], &refills);
        rec.result(&MIX, [n], &mix);
        products(inputs, rec, n, &rate, &mix, &area, &mut by_area)?;
        rec.result(&FILLING, [n], &filling);
        rec.result(&PER_ACRE, [n], &per_acre);
    }
    Ok(())
}

/// What a product by area takes for the day, whatever the volume: worked once.
#[derive(Clone)]
enum ByArea {
    Liquid(Traced<Volume>),
    Dry(Traced<Mass>),
}

/// The products at one volume; those by area are kept from the first.
fn products(
    inputs: &Inputs,
    rec: &mut Recorder,
    n: usize,
    carrier: &Traced<VolumePerArea>,
    mix: &Traced<Volume>,
    area: &Traced<Area>,
    by_area: &mut Vec<(usize, ByArea)>,
) -> Result<(), Fault> {
    let mut liquids: Vec<Traced<Volume>> = Vec::new();
    for row in inputs.rows(&PRODUCT) {
        let rows = [n, row.number()];
        rec.named = row.word(&label::NAME).map(ToOwned::to_owned);
        let rate = LabelRate::of(&row)?;
        if n == 1 || !matches!(rate, LabelRate::LiquidByArea(_) | LabelRate::DryByArea(_)) {
            label::max_caution(rec, &row, &rate, carrier, "carrier-volume.over-label-max")?;
        }
        let units = rate.amount_units();
        let id = "carrier-volume.step.product";
        let kept = by_area.iter().find(|(row, _)| *row == rows[1]).map(|(_, amount)| amount.clone());
        let mut keep = |amount: ByArea| by_area.push((rows[1], amount));
        match (&rate, kept) {
            (LabelRate::LiquidByArea(_), Some(ByArea::Liquid(amount))) => liquids.push(amount),
            (LabelRate::LiquidByArea(rate), _) => {
                let amount = rec.step("carrier-volume.step.product-by-area", &rows, &(rate * area), units);
                keep(ByArea::Liquid(amount.clone()));
                liquids.push(amount);
            }
            (LabelRate::LiquidByVolume(rate), _) => liquids.push(rec.step(id, &rows, &(rate * mix), units)),
            (LabelRate::DryByArea(_), Some(ByArea::Dry(amount))) => {
                dry(rec, rows, &amount, mix, units);
                continue;
            }
            (LabelRate::DryByArea(rate), _) => {
                let amount = rec.step("carrier-volume.step.product-by-area", &rows, &(rate * area), units);
                keep(ByArea::Dry(amount.clone()));
                dry(rec, rows, &amount, mix, units);
                continue;
            }
            (LabelRate::DryByVolume(rate), _) => {
                let amount = rec.step(id, &rows, &(rate * mix), units);
                dry(rec, rows, &amount, mix, units);
                continue;
            }
        }
        if let Some(amount) = liquids.last().cloned() {
            let strength: Traced<Ratio> =
                rec.step("carrier-volume.step.strength", &rows, &(&amount / mix), usual::STRENGTH);
            rec.result_in(&PRODUCT_AMOUNT, rows, &amount, units);
            rec.result(&STRENGTH, rows, &strength);
            rec.result(&PERCENT, rows, &strength);
        }
    }
    rec.named = None;
    let water = match Traced::sum(liquids) {
        Some(liquid) => rec.step("carrier-volume.step.water", &[n], &(mix - &liquid), usual::TANKFUL),
        None => mix.clone(),
    };
    if water.si() < 0.0 {
        return Err(Fault::new("carrier-volume.no-room-for-water", PRODUCT.name()));
    }
    rec.result(&WATER, [n], &water);
    Ok(())
}

fn dry(rec: &mut Recorder, rows: [usize; 2], amount: &Traced<Mass>, mix: &Traced<Volume>, units: &Units) {
    let per = usual::DRY_STRENGTH;
    let strength = rec.step("carrier-volume.step.strength", &rows, &(amount / mix), per);
    rec.result_in(&PRODUCT_AMOUNT, rows, amount, units);
    rec.result_in(&STRENGTH, rows, &strength, per);
}

/// The day's tanks of each volume in a row: full ones and the last, part full, to scale.
fn draw(worked: &Worked, system: System) -> Drawing {
    let volumes: Vec<(usize, f64)> = (1..=4).filter_map(|n| Some((n, worked.si(&TANKS, [n])?))).collect();
    let mut drawing = Drawing::new(12.0 + 58.0 * volumes.len() as f64);
    let most = volumes.iter().map(|(_, tanks)| tanks.ceil()).fold(1.0, f64::max).min(24.0);
    let slot = 344.0 / most.max(3.0);
    let width = (slot - 6.0).clamp(6.0, 60.0);
    for (line, (n, tanks)) in volumes.iter().copied().enumerate() {
        let top = 12.0 + 58.0 * line as f64;
        let row = worked.inputs.rows(&VOLUME).nth(n - 1);
        let shown = row.and_then(|row| row.typed(&VOLUME_RATE)).map(written::as_typed).unwrap_or_default();
        drawing.label(
            Set::Start,
            8.0,
            top + 6.0,
            Label::Phrase(
                "carrier-volume.draw.tanks",
                vec![("volume", Arg::Text(shown.clone())), ("tanks", Arg::Quantity(tanks, Unit::none()))],
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
                ("tanks", Arg::Quantity(tanks, Unit::none())),
                ("area", worked.rounded(&AREA_PER_TANK, [n], usual::SURFACE.pick(system))),
            ],
        );
    }
    drawing
}
