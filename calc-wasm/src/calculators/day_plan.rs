//! Day plan: a list of lawns, one tank: which fill treats which lawns, and what goes into each fill.

use crate::calculation::any_quantity::AnyQuantity;
use crate::calculation::declare::{Calculator, Face, Fault, FormItem, Group, Input, ResultSpec, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::inputs::{Inputs, Row};
use crate::calculation::label::{self, LabelRate};
use crate::calculation::worked::Worked;
use crate::quantity::kind::{Area, Kind, Ratio, Time, Volume, VolumePerArea};
use crate::quantity::order::order_of;
use crate::quantity::unit::{unit, units};
use crate::quantity::usual;
use crate::text::texts::joined;
use crate::working::record::{Arg, Outcome, Recorder, Severity, System, Traced};
use crate::working::result;

/// Fills of a tank for a day's lawns, in order, the last one mixed short so that nothing is left.
///
/// # Formula
/// `mix for a lawn = area * application rate`; `mix for the day = sum of lawns * application rate`; each fill is the
/// smaller of the tank and what is still needed; the first counts the mix already in the tank, which is at strength.
/// Product by area: `label rate * area that the new mix treats`; by volume: `label rate * new mix`; `water = new mix -
/// liquid products`; dry products are taken to displace nothing. Lawns are treated in the order given; one that a fill
/// does not finish goes on with the next.
/// # Inputs
/// - `lawn` (1 to 40 rows): lawns in the order in which they are treated.
/// - `lawn.name` (a name): name of the lawn. Optional.
/// - `lawn.area` (ft² or m²): its size. Above 0 to 100,000,000 ft², usually 200 to 5,000,000 ft²; required.
/// - `application-rate` (gal/1000 ft² or L/100 m²): calibrated rate of whoever sprays. Above 0 to 50 gal/1000 ft²,
///   usually 0.1 to 10 gal/1000 ft²; required.
/// - `tank` (gal or L): size of the tank. Above 0 to 10,000 gal, usually 1 to 1000 gal; required.
/// - `left` (gal or L): mix already in the tank, at the right strength. 0 to 10,000 gal, usually 0 to 1000 gal; read to
///   2 gal or 10 L; 0 gal if left out.
/// - `product` (0 to 6 rows): products in the mix.
/// - `product.name` (a name): name of the product. Optional.
/// - `product.rate` (fl oz/1000 ft² or mL/100 m²): rate as its label prints it: per area, per 100 gal or 100 L, or in
///   percent by volume. No limits declared; required.
/// - `product.label-max` (fl oz/1000 ft² or mL/100 m²): the most that its label allows. No limits declared; optional.
/// - `label-volume-min` (gal/1000 ft² or L/100 m²): the least volume of spray that the label allows. Above 0 to 50
///   gal/1000 ft², usually 0.1 to 10 gal/1000 ft²; optional.
/// - `fill-time` (min): time of one fill. Above 0 to 600 min, usually 2 to 90 min; read to 1 min; optional.
/// # Errors
/// More mix left than the tank holds; more than 60 fills; products that leave no room for water.
/// # Cautions
/// `day-plan.over-label-max` and `day-plan.under-label-volume` are dangers; `day-plan.left-over` where the mix already
/// in the tank is more than the day needs.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing.
/// # Example
/// Lawns of 60,000, 50,000 and 40,000 ft² at 2 gal/1000 ft² need 300 gal: a 200 gal tank and one fill of 100 gal.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("lawn.1.area", "60000 ft2"),
///     ("lawn.2.area", "50000 ft2"),
///     ("lawn.3.area", "40000 ft2"),
///     ("application-rate", "2 gal/1000 ft2"),
///     ("tank", "200 gal"),
/// ]);
/// let worked = work(calculator("day-plan").unwrap(), &given, System::Us).unwrap();
/// let total_mix = worked.value_in("total-mix", "gal").unwrap();
/// assert!((total_mix - 300.0).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "day-plan",
    inputs: &[
        FormItem::Many(Group { name: "lawn", fields: &[NAME, AREA], least: 1, most: 40 }),
        FormItem::One(APPLICATION_RATE),
        FormItem::One(TANK),
        FormItem::One(LEFT),
        FormItem::Many(Group { name: "product", fields: &[NAME, label::RATE, label::MAX], least: 0, most: 6 }),
        FormItem::One(LABEL_VOLUME_MIN),
        FormItem::One(FILL_TIME),
    ],
    results: &[
        &FILLS,
        &TOTAL_MIX,
        &TOTAL_PRODUCT,
        &TOTAL_AREA,
        &FILLING,
        &FILL_MIX,
        &FILL_WATER,
        &FILL_PRODUCT,
        &FILL_AREA,
        &FILL_LAWN,
        &LAWN_MIX,
        &OVER,
    ],
    uncertain: &[],
    compare: None,
    face: Face::Results,
    sources: &[
        Source {
            title: "Calculations for Mixing Pesticides (learning module)",
            publisher: "Pesticide Environmental Stewardship",
            url: "http://pesticidesafety.org/PES%20Wiki/1%20Calculations%20for%20Mixing.aspx",
        },
        Source {
            title: "Reduce the Need for Disposal",
            publisher: "Pesticide Environmental Stewardship",
            url: "https://pesticidestewardship.org/disposal/reduce-the-need-for-disposal",
        },
    ],
    example: &[
        ("lawn.1.name", "14 Alder Court"),
        ("lawn.1.area", "62000 ft2"),
        ("lawn.2.name", "Quarry Lane church"),
        ("lawn.2.area", "55000 ft2"),
        ("lawn.3.name", "9 Mill Street"),
        ("lawn.3.area", "28000 ft2"),
        ("application-rate", "2 gal/1000 ft2"),
        ("tank", "200 gal"),
        ("left", "30 gal"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "1.5 fl oz/1000 ft2"),
        ("product.1.label-max", "1.8 fl oz/1000 ft2"),
        ("fill-time", "20 min"),
    ],
    example_metric: &[
        ("lawn.1.name", "14 Alder Court"),
        ("lawn.1.area", "5800 m2"),
        ("lawn.2.name", "Quarry Lane church"),
        ("lawn.2.area", "5100 m2"),
        ("lawn.3.name", "9 Mill Street"),
        ("lawn.3.area", "2600 m2"),
        ("application-rate", "8 L/100 m2"),
        ("tank", "800 L"),
        ("left", "120 L"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "50 mL/100 m2"),
        ("product.1.label-max", "60 mL/100 m2"),
        ("fill-time", "20 min"),
    ],
    run,
    draw,
};

const NAME: Input = Input::own_name("name");
const AREA: Input =
    Input::quantity("area", Kind::Area, usual::SURFACE).above("ft2", (0.0, 100_000_000.0), (200.0, 5_000_000.0));
const APPLICATION_RATE: Input = Input::quantity("application-rate", Kind::VolumePerArea, usual::LAWN_RATE).above(
    "gal/1000 ft2",
    (0.0, 50.0),
    (0.1, 10.0),
);
const TANK: Input = Input::quantity("tank", Kind::Volume, usual::TANKFUL).above("gal", (0.0, 10_000.0), (1.0, 1000.0));
const LEFT: Input = Input::quantity("left", Kind::Volume, usual::TANKFUL)
    .from("gal", (0.0, 10_000.0), (0.0, 1000.0))
    .read_to((2.0, "gal"), (10.0, "L"))
    .or("0 gal");
const LABEL_VOLUME_MIN: Input = Input::quantity("label-volume-min", Kind::VolumePerArea, usual::LAWN_RATE)
    .above("gal/1000 ft2", (0.0, 50.0), (0.1, 10.0))
    .optional();
const FILL_TIME: Input = Input::quantity("fill-time", Kind::Time, units!("min", "min"))
    .above("min", (0.0, 600.0), (2.0, 90.0))
    .read_to((1.0, "min"), (1.0, "min"))
    .optional();

static FILLS: ResultSpec = ResultSpec::new("fills", Kind::Number, usual::NUMBER).main();
static TOTAL_MIX: ResultSpec = ResultSpec::new("total-mix", Kind::Volume, usual::TANKFUL).main().adds();
static TOTAL_PRODUCT: ResultSpec =
    ResultSpec::new("total-product-N", Kind::Amount, usual::MEASURED).main().measured().adds();
static TOTAL_AREA: ResultSpec = ResultSpec::new("total-area", Kind::Area, usual::SURFACE).adds();
static FILLING: ResultSpec = ResultSpec::new("filling", Kind::Time, units!("min", "min"));
static FILL_MIX: ResultSpec = ResultSpec::new("fill-N-mix", Kind::Volume, usual::TANKFUL).adds();
static FILL_WATER: ResultSpec = ResultSpec::new("fill-N-water", Kind::Volume, usual::TANKFUL).measured().adds();
static FILL_PRODUCT: ResultSpec = ResultSpec::new("fill-N-product-M", Kind::Amount, usual::MEASURED).measured().adds();
static FILL_AREA: ResultSpec = ResultSpec::new("fill-N-area", Kind::Area, usual::SURFACE).adds();
static FILL_LAWN: ResultSpec = ResultSpec::new("fill-N-lawn-M-area", Kind::Area, usual::SURFACE).adds();
static LAWN_MIX: ResultSpec = ResultSpec::new("lawn-N-mix", Kind::Volume, usual::TANKFUL).adds();
static OVER: ResultSpec = ResultSpec::new("left-over", Kind::Volume, usual::TANKFUL);

/// More fills than a day has room for.
const MOST_FILLS: usize = 60;

/// What is the same for every fill.
struct Day<'a> {
    inputs: &'a Inputs,
    rate: Traced<VolumePerArea>,
    lawns: Vec<Traced<Area>>,
    /// The next lawn, and how much of it is still to treat.
    next: usize,
    rest: Option<Traced<Area>>,
    /// Amounts of each product, fill by fill.
    amounts: Vec<Vec<AnyQuantity>>,
}

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let (rate, tank, left): (Traced<VolumePerArea>, Traced<Volume>, Traced<Volume>) =
        (inputs.need("application-rate")?, inputs.need("tank")?, inputs.need("left")?);
    if left.above(&tank) {
        return Err(Fault::new("day-plan.left-above-tank", "left"));
    }
    label::volume_caution(inputs, rec, &rate, "day-plan.under-label-volume", None);
    let amounts = vec![Vec::new(); inputs.row_count("product")];
    let mut day = Day { inputs, rate, lawns: Vec::new(), next: 0, rest: None, amounts };
    let needed = day.lawns(rec)?;
    if !left.below(&needed) {
        let over = rec.settle(&OVER, &[], &(&left - &needed));
        rec.result(&FILLS, &[], &Traced::number(0.0));
        rec.caution("day-plan.left-over", Severity::Warning, vec![("over", rec.arg(&over, usual::TANKFUL))]);
        return Ok(());
    }
    let fills: Traced<Ratio> = rec.settle(&FILLS, &[], &(&needed / &tank).ceil());
    if fills.si() > MOST_FILLS as f64 {
        return Err(Fault::new("day-plan.too-many-fills", "tank"));
    }
    if let Some(time) = inputs.get::<Time>("fill-time") {
        // A tank that starts full is not filled the first time.
        let full = !left.below(&tank);
        let made = if full { &fills - &Traced::number(1.0) } else { fills.clone() };
        rec.settle(&FILLING, &[], &(&made * &time));
    }
    let mut still = needed;
    for n in 1..=MOST_FILLS {
        let level = still.least(&tank);
        let (level, new) = if n == 1 && left.si() > 0.0 {
            let level = rec.step("day-plan.step.level", &[n], &level, usual::TANKFUL);
            let new = rec.settle(&FILL_MIX, &[n], &(&level - &left));
            (level, new)
        } else {
            let level = rec.settle(&FILL_MIX, &[n], &level);
            (level.clone(), level)
        };
        day.fill(rec, n, &level, &new)?;
        if !still.above(&level) {
            break;
        }
        still = rec.step("day-plan.step.still", &[n], &(&still - &level), usual::TANKFUL);
    }
    day.totals(rec);
    Ok(())
}

impl Day<'_> {
    /// The mix that every lawn needs, and the whole day.
    fn lawns(&mut self, rec: &mut Recorder) -> Result<Traced<Volume>, Fault> {
        for row in self.inputs.rows("lawn") {
            let area: Traced<Area> = row.need("area")?;
            rec.settle(&LAWN_MIX, &[row.number], &(&area * &self.rate));
            self.lawns.push(area);
        }
        let total = Traced::sum(self.lawns.iter().cloned()).ok_or_else(|| Fault::new("problem.missing", "lawn"))?;
        let total = rec.settle(&TOTAL_AREA, &[], &total);
        Ok(rec.settle(&TOTAL_MIX, &[], &(&total * &self.rate)))
    }

    /// One fill: the ground it treats, lawn by lawn, and what goes in.
    fn fill(
        &mut self,
        rec: &mut Recorder,
        n: usize,
        level: &Traced<Volume>,
        new: &Traced<Volume>,
    ) -> Result<(), Fault> {
        let area = rec.settle(&FILL_AREA, &[n], &(level / &self.rate));
        self.walk(rec, n, &area);
        let dosed = match new.below(level) {
            true => rec.step("day-plan.step.new-mix-area", &[n], &(new / &self.rate), usual::SURFACE),
            false => area,
        };
        let (dosed, mix) = (AnyQuantity::from(&dosed, unit!("ft2")), AnyQuantity::from(new, unit!("gal")));
        let mut water = mix.clone();
        for row in self.inputs.rows("product") {
            let amount = self.product(rec, n, &row, &dosed, &mix)?;
            if amount.measures(unit!("gal")) {
                water = water.minus(&amount);
            }
            self.amounts[row.number - 1].push(amount);
        }
        if !std::sync::Arc::ptr_eq(water.value.expr(), mix.value.expr()) {
            water = water.settle(rec, &FILL_WATER, &[n], usual::TANKFUL);
        } else {
            rec.result(&FILL_WATER, &[n], &water.value);
        }
        if water.value.si() < 0.0 {
            return Err(Fault::new("day-plan.no-room-for-water", "product"));
        }
        Ok(())
    }

    /// The lawns that a fill reaches: whole ones, and the part of one that it does not finish.
    fn walk(&mut self, rec: &mut Recorder, n: usize, area: &Traced<Area>) {
        let (mut ground, mut whole) = (area.clone(), true);
        while let Some(lawn) = self.lawns.get(self.next) {
            let m = self.next + 1;
            let rest = self.rest.take().unwrap_or_else(|| lawn.clone());
            if order_of(rest.si(), ground.si(), area.si()).is_le() {
                rec.result(&FILL_LAWN, &[n, m], &rest);
                (ground, whole) = (&ground - &rest, false);
                self.next += 1;
            } else if order_of(ground.si(), 0.0, area.si()).is_gt() {
                if whole {
                    rec.result(&FILL_LAWN, &[n, m], &ground);
                } else {
                    ground = rec.settle(&FILL_LAWN, &[n, m], &ground);
                }
                self.rest = Some(rec.step("day-plan.step.rest", &[n, m], &(&rest - &ground), usual::SURFACE));
                return;
            } else {
                self.rest = Some(rest);
                return;
            }
        }
    }

    fn product(
        &self,
        rec: &mut Recorder,
        n: usize,
        row: &Row,
        area: &AnyQuantity,
        mix: &AnyQuantity,
    ) -> Result<AnyQuantity, Fault> {
        let printed = LabelRate::of(row)?;
        if n == 1 {
            label::max_caution(rec, row, &printed, &self.rate, "day-plan.over-label-max")?;
        }
        let (units, rows) = (printed.amount_units(), [n, row.number]);
        let rate = AnyQuantity::need(self.inputs, &row.name("rate"))?;
        let amount = rate.times(if rate.dim.length < 0 { area } else { mix });
        let amount = amount.settle(rec, &FILL_PRODUCT, &rows, units);
        Ok(amount)
    }

    fn totals(&self, rec: &mut Recorder) {
        for (row, amounts) in self.inputs.rows("product").zip(&self.amounts) {
            let units = LabelRate::of(&row).map_or(usual::MEASURED, |rate| rate.amount_units());
            if let Some(total) = Traced::sum(amounts.iter().map(|amount| amount.value.clone())) {
                rec.settle_in(&TOTAL_PRODUCT, &[row.number], &total, units);
            }
        }
    }
}

/// Fills that are drawn; the list has them all.
const DRAWN: usize = 8;

/// A result as it is written out, so that the drawing adds up as the list does.
fn amount(worked: &Worked, name: &str) -> Option<(f64, String)> {
    let found = worked.result(name)?;
    match &found.outcome {
        Outcome::Quantity(si, unit) => Some((*si, result::amount(found, *si, unit))),
        Outcome::Verdict(_) => None,
    }
}

/// Every fill as a bar, a full tank as wide as the drawing, with its lawns by number.
fn draw(worked: &Worked, _: System) -> Drawing {
    let tank = worked.shown("tank").map_or(1.0, |(si, _)| si);
    let rate = worked.shown("application-rate").map_or(1.0, |(si, _)| si);
    let fills = worked.results.iter().filter(|found| found.spec.name == FILL_MIX.name).count();
    let mut drawing = Drawing::new(20.0 + 76.0 * fills.clamp(1, DRAWN) as f64);
    for n in 1..=fills {
        let top = 8.0 + 76.0 * (n - 1) as f64;
        let Some((_, mix)) = amount(worked, &format!("fill-{n}-mix")) else { continue };
        let fill = vec![("n", Arg::Text(n.to_string())), ("mix", Arg::Text(mix))];
        let mut lawns: Vec<String> = Vec::new();
        let mut x = 8.0;
        for m in 1..=worked.inputs.row_count("lawn") {
            let Some((area, said)) = amount(worked, &format!("fill-{n}-lawn-{m}-area")) else { continue };
            let name = worked.inputs.word(&format!("lawn.{m}.name")).map_or_else(|| m.to_string(), ToOwned::to_owned);
            lawns.push(format!("{m}. {name} {said}"));
            let width = 344.0 * area * rate / tank;
            if n <= DRAWN {
                drawing.rect(if m % 2 == 0 { "band-2" } else { "band" }, x, top + 24.0, width, 34.0);
                if width > 18.0 {
                    drawing.label(Set::Mid, x + width / 2.0, top + 46.0, Label::Plain(m.to_string()));
                }
            }
            x += width;
        }
        if n <= DRAWN {
            drawing.rect("line", 8.0, top + 24.0, 344.0, 34.0);
            drawing.label(Set::Start, 8.0, top + 16.0, Label::Phrase("day-plan.draw.fill", fill.clone()));
        }
        let said = [fill, vec![("lawns", Arg::Text(joined(&lawns, ", ")))]].concat();
        drawing.say("day-plan.draw.said", said);
    }
    if fills == 0 {
        drawing.say("day-plan.draw.enough", Vec::new());
        return drawing;
    }
    let total = amount(worked, "total-mix").map_or_else(String::new, |(_, said)| said);
    drawing.say("day-plan.draw.day", vec![("mix", Arg::Text(total))]);
    drawing
}
