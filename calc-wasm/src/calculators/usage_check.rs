//! Usage check: what a finished lawn really got, from the spray used on it.

use crate::calculation::any_quantity::AnyQuantity;
use crate::calculation::asking::RowOf;
use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{GroupOf, InputOf, ResultOf, Verdict};
use crate::calculation::inputs::Inputs;
use crate::calculation::label::{self, Product};
use crate::calculation::worked::Worked;
use crate::calculators::{shared, sources};
use crate::quantity::kind::{Area, Kind, Length, Ratio, Volume, VolumePerArea};
use crate::quantity::kinds;
use crate::quantity::unit::{Unit, Units, unit, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::percent_off::{departure, outside};
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Spray used on a finished lawn against what its size and the calibrated rate ask for.
///
/// # Formula
/// `expected volume = area * application rate`; `used = reading before - reading after` where the tank was read;
/// `difference = used - expected`; `true rate = used / area`; `departure = (true rate - application rate) /
/// application rate`. Product by area: `rate it got = rate mixed for * true rate / application rate`; product by
/// volume: `rate it got = rate in the mix * true rate`. `pace = area / spacing / time`; `output = used / time`;
/// `time that fits = time * expected / used`, at the same output.
/// # Inputs
/// - `area` (ft² or m²): ground that was treated. Above 0 to 100,000,000 ft², usually 500 to 500,000 ft²; read to 2 %;
///   required.
/// - `application-rate` (gal/1000 ft² or L/100 m²): calibrated rate. Above 0 to 50 gal/1000 ft², usually 0.1 to 10
///   gal/1000 ft²; required.
/// - `volume-used` (gal or L): spray used. Above 0 to 10,000 gal, usually 0.25 to 1000 gal; read to 0.1 gal or 0.5 L;
///   optional.
/// - `tank-before` (gal or L): tank reading before the lawn, in its place. Above 0 to 10,000 gal, usually 1 to 1000
///   gal; read to 1 gal or 5 L; optional.
/// - `tank-after` (gal or L): tank reading after it. 0 to 10,000 gal, usually 0 to 1000 gal; read to 1 gal or 5 L;
///   optional.
/// - `time` (min): time with the trigger open. Above 0 to 36,000 s, usually 30 to 14,400 s; read to 1 s; optional.
/// - `spacing` (ft or m): distance between passes. Above 0 to 120 ft, usually 2 to 12 ft; read to 2 in or 5 cm;
///   optional.
/// - `product` (0 to 8 rows): products in the mix.
/// - `product.name` (a name): name of the product. Optional.
/// - `product.rate` (fl oz/1000 ft² or mL/100 m²): rate that the tank was mixed for. No limits declared; required.
/// - `product.label-max` (fl oz/1000 ft² or mL/100 m²): the most that its label allows. No limits declared; optional.
/// - `tolerance` (%): how far the spray used may be from what the lawn asks for. Above 0 to 50 %, usually 1 to 10 %; 5
///   % if left out.
/// # Errors
/// Both or neither of volume used and tank readings; more in the tank after than before; nothing used.
/// # Cautions
/// `usage-check.over` and `usage-check.under` outside the tolerance; `usage-check.over-label-max` is a danger.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing.
/// # Example
/// 8000 ft² at 2 gal/1000 ft² asks for 16 gal; 18.4 gal used is 2.3 gal/1000 ft², 15 % over: a product mixed for
/// 1.5 fl oz/1000 ft² went on at 1.725 fl oz/1000 ft².
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("area", "8000 ft2"),
///     ("application-rate", "2 gal/1000 ft2"),
///     ("volume-used", "18.4 gal"),
/// ]);
/// let worked = work(calculator("usage-check").unwrap(), &given, System::Us).unwrap();
/// let true_rate = worked.value_in("true-rate", "gal/1000 ft2").unwrap();
/// assert!((true_rate - 2.3).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "usage-check",
    inputs: &[
        AREA.item(),
        shared::APPLICATION_RATE.item(),
        VOLUME_USED.item(),
        TANK_BEFORE.item(),
        TANK_AFTER.item(),
        TIME.item(),
        SPACING.item(),
        PRODUCT.item(),
        TOLERANCE.item(),
    ],
    results: &[
        &TRUE_RATE.spec,
        &VERDICT.spec,
        &DEPARTURE.spec,
        &EXPECTED.spec,
        &USED.spec,
        &DIFFERENCE.spec,
        &PRODUCT_RATE.spec,
        &PRODUCT_SHARE.spec,
        &OUTPUT.spec,
        &PACE.spec,
        &FITTING_TIME.spec,
    ],
    uncertain: &[TRUE_RATE.name()],
    compare: None,
    face: Face::Results,
    looks_back: true,
    sources: &[
        sources::SPRAY_GUN,
        Source {
            title: "Hand Sprayer Calibration, Pesticide Fact Sheet 204 (2006)",
            publisher: "Colorado State University",
            url: "https://paperzz.com/doc/8765247/hand-sprayer-calibration---colorado-state-university",
        },
    ],
    example: &[
        ("area", "8000 ft2"),
        ("application-rate", "2 gal/1000 ft2"),
        ("tank-before", "140 gal"),
        ("tank-after", "122 gal"),
        ("time", "7 min"),
        ("spacing", "5 ft"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "1.5 fl oz/1000 ft2"),
        ("product.1.label-max", "1.8 fl oz/1000 ft2"),
    ],
    example_metric: &[
        ("area", "750 m2"),
        ("application-rate", "8 L/100 m2"),
        ("tank-before", "530 L"),
        ("tank-after", "460 L"),
        ("time", "7 min"),
        ("spacing", "1.5 m"),
        ("product.1.name", "Weed control"),
        ("product.1.rate", "48 mL/100 m2"),
        ("product.1.label-max", "58 mL/100 m2"),
    ],
    run,
    draw,
};

/// What the mix holds.
pub(crate) const PRODUCT: GroupOf<Product> = label::products(8);
pub(crate) const AREA: InputOf<kinds::Area> = InputOf::quantity("area", usual::SURFACE)
    .above("ft2", (0.0, 100_000_000.0), (500.0, 500_000.0))
    .read_to((2.0, "%"), (2.0, "%"))
    .grows();
pub(crate) const VOLUME_USED: InputOf<kinds::Volume> =
    volume("volume-used").read_to((0.1, "gal"), (0.5, "L")).above("gal", (0.0, 10_000.0), (0.25, 1000.0)).grows();
/// A tank reading itself does not grow, but what lies between two of them does, and that is what is used.
pub(crate) const TANK_BEFORE: InputOf<kinds::Volume> =
    volume("tank-before").above("gal", (0.0, 10_000.0), (1.0, 1000.0)).grows();
pub(crate) const TANK_AFTER: InputOf<kinds::Volume> =
    volume("tank-after").from("gal", (0.0, 10_000.0), (0.0, 1000.0)).grows();
pub(crate) const TIME: InputOf<kinds::Time> = InputOf::quantity("time", units!("min", "min"))
    .above("s", (0.0, 36_000.0), (30.0, 14_400.0))
    .read_to((1.0, "s"), (1.0, "s"))
    .stopwatch()
    .grows()
    .optional();
pub(crate) const SPACING: InputOf<kinds::Length> = InputOf::quantity("spacing", usual::SPAN)
    .above("ft", (0.0, 120.0), (2.0, 12.0))
    .read_to((2.0, "in"), (5.0, "cm"))
    .optional();
pub(crate) const TOLERANCE: InputOf<kinds::Share> =
    InputOf::quantity("tolerance", usual::PERCENT).above("%", (0.0, 50.0), (1.0, 10.0)).or("5 %");

/// A volume: what was used is read off a meter or measured back with a jug, a tank is read off its gauge.
const fn volume(name: &'static str) -> InputOf<kinds::Volume> {
    InputOf::quantity(name, usual::TANKFUL).read_to((1.0, "gal"), (5.0, "L")).optional()
}

pub(crate) static TRUE_RATE: ResultOf<kinds::VolumePerArea> = ResultOf::new("true-rate", usual::LAWN_RATE).main();
pub(crate) static VERDICT: ResultOf<Verdict> = ResultOf::verdict("verdict").main();
pub(crate) static DEPARTURE: ResultOf<kinds::Share> = ResultOf::new("departure", usual::PERCENT).percent_off().main();
pub(crate) static EXPECTED: ResultOf<kinds::Volume> = ResultOf::new("expected-volume", usual::TANKFUL).measured();
pub(crate) static USED: ResultOf<kinds::Volume> = ResultOf::new("volume-used", usual::TANKFUL);
pub(crate) static DIFFERENCE: ResultOf<kinds::Volume> = ResultOf::new("difference", usual::TANKFUL);
pub(crate) static PRODUCT_RATE: ResultOf<kinds::LabelRate, 1> =
    ResultOf::new("product-N-rate", units!("fl oz/1000 ft2", "mL/100 m2")).main();
pub(crate) static PRODUCT_SHARE: ResultOf<kinds::Share, 1> = ResultOf::new("product-N-share", usual::PERCENT);
pub(crate) static OUTPUT: ResultOf<kinds::Flow> = ResultOf::new("output", usual::OUTPUT);
pub(crate) static PACE: ResultOf<kinds::Speed> = ResultOf::new("pace", usual::PACE);
pub(crate) static FITTING_TIME: ResultOf<kinds::Time> = ResultOf::new("time-that-fits", units!("min", "min"));

struct Lawn {
    area: Traced<Area>,
    wanted: Traced<VolumePerArea>,
    used: Traced<Volume>,
    rate: Traced<VolumePerArea>,
    expected: Traced<Volume>,
}

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let (area, wanted) = (inputs.need(&AREA)?, inputs.need(&shared::APPLICATION_RATE)?);
    let used = used(inputs, rec)?;
    let expected = rec.step("usage-check.step.expected-volume", &[], &(&area * &wanted), usual::TANKFUL);
    let difference = rec.step("usage-check.step.difference", &[], &(&used - &expected), usual::TANKFUL);
    let rate = rec.step("usage-check.step.true-rate", &[], &(&used / &area), usual::LAWN_RATE);
    let lawn = Lawn { area, wanted, used, rate, expected };
    let off = departure(rec, "usage-check.step.departure", &[], &lawn.rate, &lawn.wanted);
    rec.result(&TRUE_RATE, [], &lawn.rate);
    verdict(inputs, rec, &lawn, &off)?;
    rec.result(&DEPARTURE, [], &off);
    rec.result(&EXPECTED, [], &lawn.expected);
    rec.result(&USED, [], &lawn.used);
    rec.result(&DIFFERENCE, [], &difference);
    for row in inputs.rows(&PRODUCT) {
        product(rec, &row, &lawn)?;
    }
    rec.named = None;
    timed(inputs, rec, &lawn);
    Ok(())
}

fn used(inputs: &Inputs, rec: &mut Recorder) -> Result<Traced<Volume>, Fault> {
    match (inputs.get(&VOLUME_USED), inputs.get(&TANK_BEFORE), inputs.get(&TANK_AFTER)) {
        (Some(used), None, None) => Ok(used),
        (None, Some(before), Some(after)) if after.below(&before) => {
            Ok(rec.step("usage-check.step.volume-used", &[], &(&before - &after), usual::TANKFUL))
        }
        (None, Some(_), Some(_)) => Err(Fault::new("usage-check.nothing-used", TANK_AFTER.name())),
        // Of two readings one is missing.
        (None, Some(_), None) => Err(Fault::new("usage-check.used-or-readings", TANK_AFTER.name())),
        (None, None, Some(_)) => Err(Fault::new("usage-check.used-or-readings", TANK_BEFORE.name())),
        _ => Err(Fault::new("usage-check.used-or-readings", VOLUME_USED.name())),
    }
}

fn verdict(inputs: &Inputs, rec: &mut Recorder, lawn: &Lawn, off: &Traced<Ratio>) -> Result<(), Fault> {
    let tolerance = inputs.need(&TOLERANCE)?;
    if !outside(off, &tolerance) {
        rec.verdict(&VERDICT, [], "usage-check.verdict.within");
        return Ok(());
    }
    let (phrase, id) = if off.si() > 0.0 {
        ("usage-check.verdict.over", "usage-check.over")
    } else {
        ("usage-check.verdict.under", "usage-check.under")
    };
    rec.verdict(&VERDICT, [], phrase);
    let args = vec![
        ("departure", rec.arg(off, usual::PERCENT)),
        ("tolerance", rec.arg(&tolerance, usual::PERCENT)),
        ("rate", rec.arg(&lawn.rate, usual::LAWN_RATE)),
        ("wanted", rec.arg(&lawn.wanted, usual::LAWN_RATE)),
    ];
    rec.caution(id, Severity::Warning, args);
    Ok(())
}

/// What the lawn got of one product, and the caution where that is more than its label allows.
fn product(rec: &mut Recorder, row: &RowOf<Product>, lawn: &Lawn) -> Result<(), Fault> {
    rec.named = row.word(&label::NAME).map(ToOwned::to_owned);
    let rows = [row.number()];
    let id = "usage-check.step.product-rate";
    let mixed = AnyQuantity::need_in(row, &label::RATE)?;
    let by_area = matches!(row.kind(&label::RATE), Some(Kind::VolumePerArea | Kind::MassPerArea));
    let liquid = matches!(row.kind(&label::RATE), Some(Kind::VolumePerArea | Kind::Share));
    let units = &units(row.unit(&label::RATE).filter(|_| by_area), liquid);
    // The mix has the strength it was mixed at; more of it on the ground is more product on the ground.
    let on_ground = &mixed.value * &lawn.rate;
    let (per_area, share) = if by_area {
        let got = rec.step(id, &rows, &(&on_ground / &lawn.wanted), units);
        rec.result_in(&PRODUCT_RATE, rows, &got, units);
        (got.si(), got.share_of(&mixed.value))
    } else {
        let got = rec.step(id, &rows, &on_ground, units);
        rec.result_in(&PRODUCT_RATE, rows, &got, units);
        (got.si(), got.share_of(&(&mixed.value * &lawn.wanted)))
    };
    let share = rec.step("usage-check.step.product-share", &rows, &share, usual::PERCENT);
    rec.result(&PRODUCT_SHARE, rows, &share);
    label::area_caution(rec, row, liquid, per_area, &lawn.rate, "usage-check.over-label-max")
}

/// A rate per area is shown in the unit of its label; without one, in the usual unit.
fn units(own: Option<&Unit>, liquid: bool) -> Units {
    let usual = if liquid { units!("fl oz/1000 ft2", "mL/100 m2") } else { units!("oz/1000 ft2", "g/100 m2") };
    match own {
        Some(unit) if unit.is_us() => Units { us: *unit, ..*usual },
        Some(unit) => Units { metric: *unit, ..*usual },
        None => *usual,
    }
}

fn timed(inputs: &Inputs, rec: &mut Recorder, lawn: &Lawn) {
    let Some(time) = inputs.get(&TIME) else { return };
    let output = rec.step("usage-check.step.output", &[], &(&lawn.used / &time), usual::OUTPUT);
    rec.result(&OUTPUT, [], &output);
    if let Some(spacing) = inputs.get(&SPACING) {
        let walked: Traced<Length> = rec.step("usage-check.step.walked", &[], &(&lawn.area / &spacing), usual::SPAN);
        let pace = rec.step("usage-check.step.pace", &[], &(&walked / &time), usual::PACE);
        rec.result(&PACE, [], &pace);
    }
    let fitting = rec.step("usage-check.step.time-that-fits", &[], &(&lawn.expected / &output), units!("min", "min"));
    rec.result(&FITTING_TIME, [], &fitting);
}

/// Expected and used as two bars from one line, with the tolerance about the expected one.
fn draw(worked: &Worked, system: System) -> Drawing {
    let unit = usual::TANKFUL.pick(system);
    let (expected, used) = (worked.si(&EXPECTED, []).unwrap_or_default(), worked.si(&USED, []).unwrap_or_default());
    let tolerance = worked.inputs.typed(&TOLERANCE).map_or(0.05, |typed| typed.si);
    let mut drawing = Drawing::new(186.0);
    let x = |si: f64| 8.0 + si / (expected * (1.0 + tolerance)).max(used) * 336.0;
    let (low, high) = (x(expected * (1.0 - tolerance)), x(expected * (1.0 + tolerance)));
    drawing.rect("band", low, 34.0, high - low, 132.0);
    let bars =
        [(expected, 44.0, "ground", "usage-check.draw.expected"), (used, 112.0, "water", "usage-check.draw.used")];
    for (si, y, class, key) in bars {
        drawing.rect(class, 8.0, y, x(si) - 8.0, 44.0);
        drawing.rect("line", 8.0, y, x(si) - 8.0, 44.0);
        let volume = vec![("volume", Arg::Quantity(si, unit))];
        drawing.rect("paper", 16.0, y + 9.0, 196.0, 26.0);
        drawing.label(Set::Start, 24.0, y + 27.0, Label::Phrase(key, volume));
    }
    drawing.line("line", (8.0, 34.0), (8.0, 166.0));
    let text = ["± ", &written::quantity(tolerance, &unit!("%"))].concat();
    drawing.label(Set::End, 352.0, 26.0, Label::Plain(text));
    let rate = Arg::Quantity(worked.si(&TRUE_RATE, []).unwrap_or_default(), usual::LAWN_RATE.pick(system));
    drawing.say(
        "usage-check.draw.bars",
        vec![
            ("expected", Arg::Quantity(expected, unit)),
            ("used", Arg::Quantity(used, unit)),
            ("tolerance", Arg::Quantity(tolerance, unit!("%"))),
            ("rate", rate),
        ],
    );
    drawing
}
