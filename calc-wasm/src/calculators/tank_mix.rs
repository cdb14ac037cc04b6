//! Tank mix: what a full, partial or topped-up tank treats, and what goes into it.

use crate::calculation::asking::RowOf;
use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{GroupOf, InputOf, ResultOf};
use crate::calculation::inputs::Inputs;
use crate::calculation::label::{self, LabelRate, Product};
use crate::calculation::worked::Worked;
use crate::calculators::{shared, sources};
use crate::quantity::kind::{Area, Mass, MassPerArea, MassPerVolume, Ratio, Volume, VolumePerArea};
use crate::quantity::kinds;
use crate::quantity::unit::Units;
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};
use std::sync::Arc;

/// Area that a tank treats, product for each label rate, and water to add.
///
/// # Formula
/// `area treated = mix in the tank / application rate`; `new mix = fill level - mix already in the tank`;
/// product by area: `label rate * area that the new mix treats`; product by volume: `label rate * new mix`;
/// `water = new mix - liquid products`. Dry products are taken to displace nothing.
/// # Inputs
/// - `tank` (gal or L): size of the tank; none is needed where `area` or `fill` says how much to mix. Above 0 to 10,000
///   gal, usually 1 to 1000 gal; optional.
/// - `application-rate` (gal/1000 ft² or L/100 m²): calibrated rate. Above 0 to 50 gal/1000 ft², usually 0.1 to 10
///   gal/1000 ft²; required.
/// - `left` (gal or L): mix already in the tank, at the right strength. 0 to 10,000 gal, usually 0 to 1000 gal; read to
///   2 gal or 10 L; 0 gal if left out.
/// - `fill` (gal or L): level to fill to; left out, the tank or what `area` needs. Above 0 to 10,000 gal, usually 1 to
///   1000 gal; read to 2 gal or 10 L; optional.
/// - `area` (ft² or m²): ground still to treat. Above 0 to 100,000,000 ft², usually 200 to 5,000,000 ft²; read to 2 %;
///   optional.
/// - `label-volume-min` (gal/1000 ft² or L/100 m²): the least volume of spray that the label allows. Above 0 to 50
///   gal/1000 ft², usually 0.1 to 10 gal/1000 ft²; optional.
/// - `product` (0 to 8 rows): products in the mix.
/// - `product.name` (a name): name of the product. Optional.
/// - `product.rate` (fl oz/1000 ft² or mL/100 m²): rate as its label prints it: per area, per 100 gal or 100 L, or in
///   percent by volume. No limits declared; required.
/// - `product.label-max` (fl oz/1000 ft² or mL/100 m²): the most that its label allows. No limits declared; optional.
/// # Errors
/// Neither tank, level nor ground; a fill level above the tank, mix left above the fill level, a label maximum that
/// cannot be compared with its rate.
/// # Cautions
/// `tank-mix.over-label-max` and `tank-mix.under-label-volume` are dangers: the label is the law;
/// `tank-mix.more-fills` where one tank does not treat `area`.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing.
/// # Example
/// 200 gal at 2 gal/1000 ft² treats 100,000 ft²; at 1.5 fl oz/1000 ft² it takes 150 fl oz.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("tank", "200 gal"),
///     ("application-rate", "2 gal/1000 ft2"),
///     ("product.1.rate", "1.5 fl oz/1000 ft2"),
/// ]);
/// let worked = work(calculator("tank-mix").unwrap(), &given, System::Us).unwrap();
/// let product_amount = worked.value_in("product-1-amount", "fl oz").unwrap();
/// assert!((product_amount - 150.0).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "tank-mix",
    inputs: &[
        TANK.item(),
        shared::APPLICATION_RATE.item(),
        shared::LEFT.item(),
        FILL.item(),
        shared::GROUND.item(),
        label::VOLUME_MIN.item(),
        PRODUCT.item(),
    ],
    results: &[
        &AREA_TREATED.spec,
        &AMOUNT.spec,
        &WATER.spec,
        &MIX_TO_MAKE.spec,
        &AREA_PER_TANK.spec,
        &NEW_MIX_AREA.spec,
        &STRENGTH.spec,
        &NEEDED.spec,
        &TANKS.spec,
        &TOTAL.spec,
    ],
    uncertain: &[AREA_TREATED.name(), AMOUNT.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        sources::MIXING,
        Source {
            title: "Backpack Sprayer Calibration Worksheet",
            publisher: "NC State Extension",
            url: "https://christmastrees.ces.ncsu.edu/backpack-sprayer-calibration-worksheet/",
        },
    ],
    example: &[
        ("tank", "200 gal"),
        ("application-rate", "2 gal/1000 ft2"),
        ("left", "60 gal"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "1.5 fl oz/1000 ft2"),
        ("product.1.label-max", "1.8 fl oz/1000 ft2"),
        ("product.2.name", "Spreader-sticker"),
        ("product.2.rate", "0.25 %"),
    ],
    example_metric: &[
        ("tank", "800 L"),
        ("application-rate", "8 L/100 m2"),
        ("left", "200 L"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "50 mL/100 m2"),
        ("product.1.label-max", "60 mL/100 m2"),
        ("product.2.name", "Spreader-sticker"),
        ("product.2.rate", "0.25 %"),
    ],
    run,
    draw,
};

/// What goes into the tank beside water.
pub(crate) const PRODUCT: GroupOf<Product> = label::products(8);
pub(crate) const TANK: InputOf<kinds::Volume> = shared::TANK.optional();
pub(crate) const FILL: InputOf<kinds::Volume> = InputOf::quantity("fill", usual::TANKFUL)
    .above("gal", (0.0, 10_000.0), (1.0, 1000.0))
    .read_to((2.0, "gal"), (10.0, "L"))
    .optional();

/// What a tank reaches, to four figures: neither its gauge nor the rate is known more finely.
pub(crate) static AREA_TREATED: ResultOf<kinds::Area> = ResultOf::new("area-treated", usual::SURFACE).main().coarse();
/// Ground that was measured and is treated whole, as it was measured.
pub(crate) static AREA_GIVEN: ResultOf<kinds::Area> = ResultOf::new("area-treated", usual::SURFACE).main();
pub(crate) static AMOUNT: ResultOf<kinds::Amount, 1> =
    ResultOf::new("product-N-amount", usual::MEASURED).main().measured();
pub(crate) static WATER: ResultOf<kinds::Volume> = ResultOf::new("water-to-add", usual::TANKFUL).main().measured();
pub(crate) static MIX_TO_MAKE: ResultOf<kinds::Volume> = ResultOf::new("mix-to-make", usual::TANKFUL);
pub(crate) static AREA_PER_TANK: ResultOf<kinds::Area> = ResultOf::new("area-per-tank", usual::SURFACE).coarse();
pub(crate) static NEW_MIX_AREA: ResultOf<kinds::Area> = ResultOf::new("new-mix-area", usual::SURFACE).coarse();
pub(crate) static STRENGTH: ResultOf<kinds::Strength, 1> = ResultOf::new("product-N-strength", usual::STRENGTH);
pub(crate) static NEEDED: ResultOf<kinds::Volume> = ResultOf::new("mix-needed", usual::TANKFUL);
pub(crate) static TANKS: ResultOf<kinds::Number> = ResultOf::new("tanks", usual::NUMBER);
pub(crate) static TOTAL: ResultOf<kinds::Amount, 1> = ResultOf::new("product-N-total", usual::MEASURED).measured();

struct Tank {
    rate: Traced<VolumePerArea>,
    /// Mix to make now.
    new: Traced<Volume>,
    /// Area the new mix treats.
    area: Traced<Area>,
}

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let area = inputs.get(&shared::GROUND);
    let tank = fill(inputs, rec, area.as_ref())?;
    let mut liquids: Vec<Traced<Volume>> = Vec::new();
    for row in inputs.rows(&PRODUCT) {
        liquids.extend(product(rec, &row, &tank, area.as_ref())?);
    }
    rec.named = None;
    let water = match Traced::sum(liquids) {
        Some(liquid) => rec.step("tank-mix.step.water", &[], &(&tank.new - &liquid), usual::TANKFUL),
        None => tank.new.clone(),
    };
    if water.si() < 0.0 {
        return Err(Fault::new("tank-mix.no-room-for-water", PRODUCT.name()));
    }
    rec.result(&WATER, [], &water);
    rec.result(&MIX_TO_MAKE, [], &tank.new);
    label::volume_caution(inputs, rec, &tank.rate, "tank-mix.under-label-volume", None);
    Ok(())
}

fn fill(inputs: &Inputs, rec: &mut Recorder, area: Option<&Traced<Area>>) -> Result<Tank, Fault> {
    let capacity = inputs.get(&TANK);
    let (rate, left) = (inputs.need(&shared::APPLICATION_RATE)?, inputs.need(&shared::LEFT)?);
    let fill = inputs.get(&FILL);
    let mut level = fill.clone().or_else(|| capacity.clone());
    let mut treated = None;
    if let Some(capacity) = &capacity {
        let per_tank = rec.step("tank-mix.step.area-per-tank", &[], &(capacity / &rate), usual::SURFACE);
        rec.result(&AREA_PER_TANK, [], &per_tank);
        treated = Some(per_tank).filter(|_| fill.is_none() && area.is_none());
    }
    if let Some(area) = area {
        let needed = rec.step("tank-mix.step.mix-needed", &[], &(area * &rate), usual::TANKFUL);
        rec.result(&NEEDED, [], &needed);
        if let Some(capacity) = &capacity {
            let tanks = rec.step("tank-mix.step.tanks", &[], &(&needed / capacity), usual::NUMBER);
            if fill.is_none() && tanks.si() > 1.0 {
                let least = rec.arg(area, usual::SURFACE);
                rec.caution("tank-mix.more-fills", Severity::Notice, vec![("area", least)]);
            }
            rec.result(&TANKS, [], &tanks);
        }
        if fill.is_none() {
            level = Some(match &capacity {
                Some(capacity) => rec.step("tank-mix.step.level", &[], &needed.least(capacity), usual::TANKFUL),
                None => needed,
            });
            // Without a tank, all of the ground is treated.
            treated = treated.or(Some(area).cloned().filter(|_| capacity.is_none()));
        }
    }
    let Some(level) = level else { return Err(Fault::new("tank-mix.no-volume", TANK.name())) };
    if capacity.is_some_and(|capacity| level.above(&capacity)) {
        return Err(Fault::new("tank-mix.fill-above-tank", FILL.name()));
    }
    if left.above(&level) {
        return Err(Fault::new("tank-mix.left-above-fill", shared::LEFT.name()));
    }
    let treated =
        treated.unwrap_or_else(|| rec.step("tank-mix.step.area-treated", &[], &(&level / &rate), usual::SURFACE));
    let measured = area.is_some_and(|area| !area.above(&treated));
    rec.result(if measured { &AREA_GIVEN } else { &AREA_TREATED }, [], &treated);
    if left.si() <= 0.0 {
        return Ok(Tank { rate, new: level, area: treated });
    }
    let new = rec.step("tank-mix.step.mix-to-make", &[], &(&level - &left), usual::TANKFUL);
    let area = rec.step("tank-mix.step.new-mix-area", &[], &(&new / &rate), usual::SURFACE);
    rec.result(&NEW_MIX_AREA, [], &area);
    Ok(Tank { rate, new, area })
}

/// One product: its amount, strength and, where an area is given, the total for it. Returns the amount if liquid.
fn product(
    rec: &mut Recorder,
    row: &RowOf<Product>,
    tank: &Tank,
    area: Option<&Traced<Area>>,
) -> Result<Option<Traced<Volume>>, Fault> {
    rec.named = row.word(&label::NAME).map(ToOwned::to_owned);
    let number = row.number();
    let rate = LabelRate::of(row)?;
    label::max_caution(rec, row, &rate, &tank.rate, "tank-mix.over-label-max")?;
    let units = rate.amount_units();
    // Without a tank the mix treats all of the ground: what goes into it is the total.
    let all = area.is_some_and(|area| Arc::ptr_eq(&area.expr, &tank.area.expr));
    let mut totaled = false;
    let liquid = match &rate {
        LabelRate::LiquidByArea(rate) => {
            let amount = liquid(rec, number, &(rate * &tank.area), units);
            if all {
                rec.result_in(&TOTAL, [number], &amount, units);
                totaled = true;
            }
            Some(amount)
        }
        LabelRate::LiquidByVolume(rate) => Some(liquid(rec, number, &(rate * &tank.new), units)),
        LabelRate::DryByArea(rate) => {
            let rate: &Traced<MassPerArea> = rate;
            let amount = dry(rec, number, &(rate * &tank.area), &tank.new, units);
            if all {
                rec.result_in(&TOTAL, [number], &amount, units);
                totaled = true;
            }
            None
        }
        LabelRate::DryByVolume(rate) => {
            let rate: &Traced<MassPerVolume> = rate;
            dry(rec, number, &(rate * &tank.new), &tank.new, units);
            None
        }
    };
    if let Some(amount) = &liquid {
        let strength: Traced<Ratio> =
            rec.step("tank-mix.step.strength", &[number], &(amount / &tank.new), usual::STRENGTH);
        rec.result(&STRENGTH, [number], &strength);
    }
    if let Some(area) = area.filter(|_| !totaled) {
        total(rec, number, &rate, area, &tank.rate);
    }
    Ok(liquid)
}

fn liquid(rec: &mut Recorder, number: usize, amount: &Traced<Volume>, units: &Units) -> Traced<Volume> {
    let amount = rec.step("tank-mix.step.amount", &[number], amount, units);
    rec.result_in(&AMOUNT, [number], &amount, units);
    amount
}

fn dry(rec: &mut Recorder, number: usize, amount: &Traced<Mass>, mix: &Traced<Volume>, units: &Units) -> Traced<Mass> {
    let amount = rec.step("tank-mix.step.amount", &[number], amount, units);
    rec.result_in(&AMOUNT, [number], &amount, units);
    let strength = rec.step("tank-mix.step.strength", &[number], &(&amount / mix), usual::DRY_STRENGTH);
    rec.result_in(&STRENGTH, [number], &strength, usual::DRY_STRENGTH);
    amount
}

fn total(rec: &mut Recorder, number: usize, rate: &LabelRate, area: &Traced<Area>, app: &Traced<VolumePerArea>) {
    let units = rate.amount_units();
    let id = "tank-mix.step.total";
    match rate {
        LabelRate::LiquidByArea(rate) => {
            let total = rec.step(id, &[number], &(rate * area), units);
            rec.result_in(&TOTAL, [number], &total, units);
        }
        LabelRate::DryByArea(rate) => {
            let total = rec.step(id, &[number], &(rate * area), units);
            rec.result_in(&TOTAL, [number], &total, units);
        }
        LabelRate::LiquidByVolume(rate) => {
            let total = rec.step(id, &[number], &(rate * &(app * area)), units);
            rec.result_in(&TOTAL, [number], &total, units);
        }
        LabelRate::DryByVolume(rate) => {
            let total = rec.step(id, &[number], &(rate * &(app * area)), units);
            rec.result_in(&TOTAL, [number], &total, units);
        }
    }
}

/// The tank from the side, levels to scale.
fn draw(worked: &Worked, system: System) -> Drawing {
    let mut drawing = Drawing::new(124.0);
    let inputs = &worked.inputs;
    let left = inputs.typed(&shared::LEFT).map_or(0.0, |typed| typed.si);
    let new = worked.si(&MIX_TO_MAKE, []).unwrap_or(0.0);
    // Without a tank, what is mixed fills what is drawn.
    let capacity = inputs.typed(&TANK).map_or((new + left).max(f64::MIN_POSITIVE), |typed| typed.si);
    let (x, top, width, height) = (8.0, 34.0, 130.0, 84.0);
    let y = |si: f64| top + height - (si / capacity).clamp(0.0, 1.0) * height;
    drawing.rect("paper", x, top, width, height);
    drawing.rect("water", x, y(left + new), width, y(left) - y(left + new));
    drawing.rect("band-2", x, y(left), width, top + height - y(left));
    drawing.rect("line", x, top, width, height);
    drawing.rect("line", x + 45.0, top - 8.0, 40.0, 8.0);
    for quarter in 1..4 {
        let mark = top + height * f64::from(quarter) / 4.0;
        drawing.line("dim", (x, mark), (x + 10.0, mark));
    }
    let unit = usual::TANKFUL.pick(system);
    // What is in the tank is named beside it, each on a line of its own that leads to it.
    let plate = |drawing: &mut Drawing, (from, to): (f64, f64), key: &'static str, si: f64| {
        drawing.line("dim", (x + width - 12.0, from), (x + width + 14.0, to));
        let label = Label::Phrase(key, vec![("volume", Arg::Quantity(si, unit))]);
        drawing.label(Set::Start, x + width + 20.0, to + 5.0, label);
    };
    plate(&mut drawing, ((y(left + new) + y(left)) / 2.0, 76.0), "tank-mix.draw.new", new);
    if left > 0.0 {
        plate(&mut drawing, ((y(left) + top + height) / 2.0, 104.0), "tank-mix.draw.left", left);
    }
    drawing.label(
        Set::Mid,
        x + width / 2.0,
        18.0,
        Label::Plain(inputs.typed(&TANK).map(written::as_typed).unwrap_or_default()),
    );
    let area = worked.rounded(&AREA_TREATED, [], usual::SURFACE.pick(system));
    drawing.label(Set::Strong, 255.0, 44.0, Label::Phrase("tank-mix.draw.treats", vec![("area", area.clone())]));
    drawing.say(
        if inputs.typed(&TANK).is_some() { "tank-mix.draw.tank" } else { "tank-mix.draw.no-tank" },
        vec![
            ("tank", Arg::Text(inputs.typed(&TANK).map(written::as_typed).unwrap_or_default())),
            ("new", Arg::Quantity(new, unit)),
            ("left", Arg::Quantity(left, unit)),
            ("area", area),
        ],
    );
    drawing
}
