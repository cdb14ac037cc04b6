//! Day plan: a list of lawns, one tank: which fill treats which lawns, and what goes into each fill.

use crate::calculation::any_quantity::AnyQuantity;
use crate::calculation::asking::RowOf;
use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{GroupOf, InputOf, OwnName, ResultOf, fields};
use crate::calculation::inputs::Inputs;
use crate::calculation::label::{self, LabelRate, Product};
use crate::calculation::worked::Worked;
use crate::calculators::{shared, sources};
use crate::quantity::kind::{Area, Ratio, Volume, VolumePerArea};
use crate::quantity::kinds;
use crate::quantity::order::order_of;
use crate::quantity::unit::{unit, units};
use crate::quantity::usual;
use crate::text::texts::joined;
use crate::working::record::{Arg, Recorder, Severity, System, Traced, WorkedResult};
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
/// - `lawn.area` (ft² or m²): its size. Above 0 to 100,000,000 ft², usually 200 to 5,000,000 ft²; read to 2 %; required.
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
        LAWN.item(),
        shared::APPLICATION_RATE.item(),
        shared::TANK.item(),
        shared::LEFT.item(),
        PRODUCT.item(),
        label::VOLUME_MIN.item(),
        FILL_TIME.item(),
    ],
    results: &[
        &FILLS.spec,
        &TOTAL_MIX.spec,
        &TOTAL_PRODUCT.spec,
        &TOTAL_AREA.spec,
        &FILLING.spec,
        &FILL_MIX.spec,
        &FILL_WATER.spec,
        &FILL_PRODUCT.spec,
        &FILL_AREA.spec,
        &FILL_LAWN.spec,
        &LAWN_MIX.spec,
        &OVER.spec,
    ],
    uncertain: &[TOTAL_MIX.name(), TOTAL_PRODUCT.name(), FILLING.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        sources::MIXING,
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

/// The lawns of the day, in the order of the route.
#[derive(Debug)]
pub(crate) enum Lawn {}
pub(crate) const LAWN: GroupOf<Lawn> = GroupOf::new("lawn", fields![NAME, AREA], 1, 40);
/// What goes into the tank beside water.
pub(crate) const PRODUCT: GroupOf<Product> = label::products(6);
pub(crate) const NAME: InputOf<OwnName, Lawn> = InputOf::own_name("name");
pub(crate) const AREA: InputOf<kinds::Area, Lawn> = InputOf::quantity("area", usual::SURFACE)
    .above("ft2", (0.0, 100_000_000.0), (200.0, 5_000_000.0))
    .read_to((2.0, "%"), (2.0, "%"));
pub(crate) const FILL_TIME: InputOf<kinds::Time> = shared::FILL_TIME.optional();

pub(crate) static FILLS: ResultOf<kinds::Number> = ResultOf::new("fills", usual::NUMBER).main();
pub(crate) static TOTAL_MIX: ResultOf<kinds::Volume> = ResultOf::new("total-mix", usual::TANKFUL).main().adds();
pub(crate) static TOTAL_PRODUCT: ResultOf<kinds::Amount, 1> =
    ResultOf::new("total-product-N", usual::MEASURED).main().measured().adds();
pub(crate) static TOTAL_AREA: ResultOf<kinds::Area> = ResultOf::new("total-area", usual::SURFACE).adds();
pub(crate) static FILLING: ResultOf<kinds::Time> = ResultOf::new("filling", units!("min", "min"));
pub(crate) static FILL_MIX: ResultOf<kinds::Volume, 1> = ResultOf::new("fill-N-mix", usual::TANKFUL).adds();
pub(crate) static FILL_WATER: ResultOf<kinds::Volume, 1> =
    ResultOf::new("fill-N-water", usual::TANKFUL).measured().adds();
pub(crate) static FILL_PRODUCT: ResultOf<kinds::Amount, 2> =
    ResultOf::new("fill-N-product-M", usual::MEASURED).measured().adds();
pub(crate) static FILL_AREA: ResultOf<kinds::Area, 1> = ResultOf::new("fill-N-area", usual::SURFACE).adds();
pub(crate) static FILL_LAWN: ResultOf<kinds::Area, 2> = ResultOf::new("fill-N-lawn-M-area", usual::SURFACE).adds();
pub(crate) static LAWN_MIX: ResultOf<kinds::Volume, 1> = ResultOf::new("lawn-N-mix", usual::TANKFUL).adds();
pub(crate) static OVER: ResultOf<kinds::Volume> = ResultOf::new("left-over", usual::TANKFUL);

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
    let (rate, tank) = (inputs.need(&shared::APPLICATION_RATE)?, inputs.need(&shared::TANK)?);
    let left = inputs.need(&shared::LEFT)?;
    if left.above(&tank) {
        return Err(Fault::new("day-plan.left-above-tank", shared::LEFT.name()));
    }
    label::volume_caution(inputs, rec, &rate, "day-plan.under-label-volume", None);
    let amounts = vec![Vec::new(); inputs.row_count(&PRODUCT)];
    let mut day = Day { inputs, rate, lawns: Vec::new(), next: 0, rest: None, amounts };
    let needed = day.lawns(rec)?;
    if !left.below(&needed) {
        let over = rec.settle(&OVER, [], &(&left - &needed));
        rec.result(&FILLS, [], &Traced::number(0.0));
        rec.caution("day-plan.left-over", Severity::Warning, vec![("over", rec.arg(&over, usual::TANKFUL))]);
        return Ok(());
    }
    let fills: Traced<Ratio> = rec.settle(&FILLS, [], &(&needed / &tank).ceil());
    if fills.si() > MOST_FILLS as f64 {
        return Err(Fault::new("day-plan.too-many-fills", shared::TANK.name()));
    }
    if let Some(time) = inputs.get(&FILL_TIME) {
        // A tank that starts full is not filled the first time.
        let full = !left.below(&tank);
        let made = if full { &fills - &Traced::number(1.0) } else { fills.clone() };
        rec.settle(&FILLING, [], &(&made * &time));
    }
    let mut still = needed;
    for n in 1..=MOST_FILLS {
        let level = still.least(&tank);
        let (level, new) = if n == 1 && left.si() > 0.0 {
            let level = rec.step("day-plan.step.level", &[n], &level, usual::TANKFUL);
            let new = rec.settle(&FILL_MIX, [n], &(&level - &left));
            (level, new)
        } else {
            let level = rec.settle(&FILL_MIX, [n], &level);
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
        for row in self.inputs.rows(&LAWN) {
            let area = row.need(&AREA)?;
            rec.settle(&LAWN_MIX, [row.number()], &(&area * &self.rate));
            self.lawns.push(area);
        }
        let total =
            Traced::sum(self.lawns.iter().cloned()).ok_or_else(|| Fault::new("problem.missing", LAWN.name()))?;
        let total = rec.settle(&TOTAL_AREA, [], &total);
        Ok(rec.settle(&TOTAL_MIX, [], &(&total * &self.rate)))
    }

    /// One fill: the ground it treats, lawn by lawn, and what goes in.
    fn fill(
        &mut self,
        rec: &mut Recorder,
        n: usize,
        level: &Traced<Volume>,
        new: &Traced<Volume>,
    ) -> Result<(), Fault> {
        let area = rec.settle(&FILL_AREA, [n], &(level / &self.rate));
        self.walk(rec, n, &area);
        let dosed = match new.below(level) {
            true => rec.step("day-plan.step.new-mix-area", &[n], &(new / &self.rate), usual::SURFACE),
            false => area,
        };
        let (dosed, mix) = (AnyQuantity::from(&dosed, unit!("ft2")), AnyQuantity::from(new, unit!("gal")));
        let mut water = mix.clone();
        for row in self.inputs.rows(&PRODUCT) {
            let amount = self.product(rec, n, &row, &dosed, &mix)?;
            if amount.measures(unit!("gal")) {
                water = water.minus(&amount);
            }
            self.amounts[row.number() - 1].push(amount);
        }
        if !std::sync::Arc::ptr_eq(water.value.expr(), mix.value.expr()) {
            water = water.settle(rec, &FILL_WATER, [n], usual::TANKFUL);
        } else {
            water.report(rec, &FILL_WATER, [n], FILL_WATER.spec.units);
        }
        if water.value.si() < 0.0 {
            return Err(Fault::new("day-plan.no-room-for-water", PRODUCT.name()));
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
                rec.result(&FILL_LAWN, [n, m], &rest);
                (ground, whole) = (&ground - &rest, false);
                self.next += 1;
            } else if order_of(ground.si(), 0.0, area.si()).is_gt() {
                if whole {
                    rec.result(&FILL_LAWN, [n, m], &ground);
                } else {
                    ground = rec.settle(&FILL_LAWN, [n, m], &ground);
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
        row: &RowOf<Product>,
        area: &AnyQuantity,
        mix: &AnyQuantity,
    ) -> Result<AnyQuantity, Fault> {
        let printed = LabelRate::of(row)?;
        if n == 1 {
            label::max_caution(rec, row, &printed, &self.rate, "day-plan.over-label-max")?;
        }
        let (units, rows) = (printed.amount_units(), [n, row.number()]);
        let rate = AnyQuantity::need_in(row, &label::RATE)?;
        let amount = rate.times(if rate.dim.length < 0 { area } else { mix });
        let amount = amount.settle(rec, &FILL_PRODUCT, rows, units);
        Ok(amount)
    }

    fn totals(&self, rec: &mut Recorder) {
        for (row, amounts) in self.inputs.rows(&PRODUCT).zip(&self.amounts) {
            let units = LabelRate::of(&row).map_or(usual::MEASURED, |rate| rate.amount_units());
            if let Some(total) = Traced::sum(amounts.iter().map(|amount| amount.value.clone())) {
                rec.settle_in(&TOTAL_PRODUCT, [row.number()], &total, units);
            }
        }
    }
}

/// Fills that are drawn; the list has them all.
const DRAWN: usize = 8;

/// A result as it is written out, so that the drawing adds up as the list does.
fn amount(found: Option<&WorkedResult>) -> Option<(f64, String)> {
    let found = found?;
    let (si, unit) = found.quantity()?;
    Some((si, result::amount(found, si, &unit)))
}

/// Every fill as a bar, a full tank as wide as the drawing, with its lawns by number.
fn draw(worked: &Worked, _: System) -> Drawing {
    let tank = worked.inputs.typed(&shared::TANK).map_or(1.0, |typed| typed.si);
    let rate = worked.inputs.typed(&shared::APPLICATION_RATE).map_or(1.0, |typed| typed.si);
    let fills = worked.results.iter().filter(|found| found.spec.name == FILL_MIX.name()).count();
    let mut drawing = Drawing::new(76.0 * fills.clamp(1, DRAWN) as f64);
    for n in 1..=fills {
        let top = 8.0 + 76.0 * (n - 1) as f64;
        let Some((_, mix)) = amount(worked.result_of(&FILL_MIX, [n])) else { continue };
        let fill = vec![("n", Arg::Text(n.to_string())), ("mix", Arg::Text(mix))];
        let mut lawns: Vec<String> = Vec::new();
        let mut x = 8.0;
        for row in worked.inputs.rows(&LAWN) {
            let m = row.number();
            let Some((area, said)) = amount(worked.result_of(&FILL_LAWN, [n, m])) else { continue };
            let name = row.word(&NAME).map_or_else(|| m.to_string(), ToOwned::to_owned);
            lawns.push([&m.to_string(), ". ", &name, " ", &said].concat());
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
    let total = amount(worked.result_of(&TOTAL_MIX, [])).map_or_else(String::new, |(_, said)| said);
    drawing.say("day-plan.draw.day", vec![("mix", Arg::Text(total))]);
    drawing
}
