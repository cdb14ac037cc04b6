//! Active ingredient: from a rate of active ingredient to a rate of product, and back.

use crate::calculation::any_quantity::AnyQuantity;
use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{InputOf, ResultOf};
use crate::calculation::inputs::Inputs;
use crate::calculation::label;
use crate::calculation::worked::Worked;
use crate::calculators::shared;
use crate::quantity::kinds;
use crate::quantity::order::above;
use crate::quantity::typed::Typed;
use crate::quantity::unit::{Unit, Units, unit, units};
use crate::quantity::units::Dim;
use crate::quantity::usual;
use crate::text::figures::exact;
use crate::working::record::{Arg, Recorder, Severity, System};

/// Product for a rate of active ingredient, and active ingredient in a rate or an amount of product.
///
/// # Formula
/// `product = active ingredient / strength`, per area or per mix; `active ingredient = product * strength`;
/// a liquid whose strength is a percentage by weight: `strength = density * percentage`;
/// the same dose from another product: `rate * strength / other strength`. For a yearly limit: `left = limit - put on`,
/// `visits = left / rate of a visit`, rounded down.
/// # Inputs
/// - `strength` (lb/gal or g/L): strength of the product: weight in a volume of a liquid, percent by weight of anything
///   dry, at most 100 %. No limits declared; optional.
/// - `ai-wanted` (lb/acre or kg/ha): active ingredient wanted, per area or per 100 gal of mix. No limits declared;
///   optional.
/// - `label-rate` (fl oz/1000 ft² or mL/100 m²): rate of product, per area or per 100 gal of mix. No limits declared;
///   optional.
/// - `label-max` (fl oz/1000 ft² or mL/100 m²): the most product that the label allows. No limits declared; optional.
/// - `area` (ft² or m²): ground that the product is for. Above 0 to 100,000,000 ft², usually 200 to 5,000,000 ft²;
///   read to
///   2 %; optional.
/// - `mix` (gal or L): mix that the product is for. Above 0 to 10,000 gal, usually 0.5 to 1000 gal; optional.
/// - `package` (gal or L): an amount of product. No limits declared; optional.
/// - `density` (lb/gal or kg/L): what a volume of a liquid weighs whose strength is in percent. Above 0 to 25 lb/gal,
///   usually 6.5 to 13 lb/gal; optional.
/// - `other-strength` (lb/gal or g/L): strength of another product for the same dose. No limits declared; optional.
/// - `year-max`, `put-on` (lb/acre or kg/ha): the most that a year allows, and how much of it was put on; of active
///   ingredient or of product, as unit or rate say. No limits declared; optional.
///
/// Visits in a year need no `strength`.
/// # Errors
/// Nothing to work out; a liquid rate with a strength in percent and no density; a strength of 0 or of more than
/// 100 %; active ingredient by volume; a rate or a package that does not fit this strength (dry by weight, liquid by
/// volume); more applied than a year allows.
/// # Cautions
/// `active-ingredient.over-label-max` and `active-ingredient.over-year-max`, where not even one visit is left, are
/// dangers.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing.
/// # Example
/// 1 lb/acre of active ingredient from a 4 lb/gal liquid is a quarter gallon, 2 pt, per acre.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("strength", "4 lb/gal"),
///     ("ai-wanted", "1 lb/acre"),
/// ]);
/// let worked = work(calculator("active-ingredient").unwrap(), &given, System::Us).unwrap();
/// let product_rate = worked.value_in("product-rate", "pt/acre").unwrap();
/// assert!((product_rate - 2.0).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "active-ingredient",
    inputs: &[
        STRENGTH.item(),
        AI_WANTED.item(),
        LABEL_RATE.item(),
        LABEL_MAX.item(),
        shared::GROUND.item(),
        MIX.item(),
        PACKAGE.item(),
        DENSITY.item(),
        OTHER_STRENGTH.item(),
        YEAR_MAX.item(),
        PUT_ON.item(),
    ],
    results: &[
        &PRODUCT_RATE.spec,
        &SMALL_RATE.spec,
        &FINE_RATE.spec,
        &AI_RATE.spec,
        &PRODUCT_AMOUNT.spec,
        &AI_AMOUNT.spec,
        &AI_PER_GALLON.spec,
        &RATE_FACTOR.spec,
        &OTHER_RATE.spec,
        &OTHER_AMOUNT.spec,
        &YEAR_LEFT.spec,
        &VISITS.spec,
    ],
    uncertain: &[PRODUCT_AMOUNT.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        Source {
            title: "Weights and measures, and product-per-acre tables",
            publisher: "Pacific Northwest Pest Management Handbooks",
            url: "https://www.pnwhandbooks.org/node/328/print",
        },
        Source {
            title: "Pesticides in the Military, subcourse MD0173",
            publisher: "US Army Medical Department",
            url: "http://armymedical.tpub.com/MD0173/Pounds-of-Toxicant-per-Acre-and-Pounds-of-Diluted-Dust-Per-Acre-Computation-Pesticides-in-the-Military-43.htm",
        },
    ],
    example: &[
        ("strength", "4 lb/gal"),
        ("ai-wanted", "1 lb/acre"),
        ("label-max", "3 pt/acre"),
        ("area", "12000 ft2"),
        ("package", "2.5 gal"),
        ("other-strength", "3.34 lb/gal"),
    ],
    example_metric: &[
        ("strength", "480 g/L"),
        ("ai-wanted", "1.1 kg/ha"),
        ("label-max", "3.5 L/ha"),
        ("area", "1100 m2"),
        ("package", "10 L"),
        ("other-strength", "400 g/L"),
    ],
    run,
    draw,
};

pub(crate) const STRENGTH: InputOf<kinds::Strength> = InputOf::quantity("strength", units!("lb/gal", "g/L")).optional();
pub(crate) const YEAR_MAX: InputOf<kinds::LabelRate> =
    InputOf::quantity("year-max", units!("lb/acre", "kg/ha")).optional();
pub(crate) const PUT_ON: InputOf<kinds::LabelRate> = InputOf::quantity("put-on", units!("lb/acre", "kg/ha")).optional();
pub(crate) const AI_WANTED: InputOf<kinds::LabelRate> =
    InputOf::quantity("ai-wanted", units!("lb/acre", "kg/ha")).optional();
pub(crate) const LABEL_RATE: InputOf<kinds::LabelRate> =
    InputOf::quantity("label-rate", units!("fl oz/1000 ft2", "mL/100 m2")).optional();
pub(crate) const LABEL_MAX: InputOf<kinds::LabelRate> = label::MAX.in_group();
pub(crate) const MIX: InputOf<kinds::Volume> =
    InputOf::quantity("mix", usual::TANKFUL).above("gal", (0.0, 10_000.0), (0.5, 1000.0)).optional();
pub(crate) const PACKAGE: InputOf<kinds::Amount> = InputOf::quantity("package", usual::TANKFUL).optional();
/// Common practice, no source: from light oils to strong salt solutions.
pub(crate) const DENSITY: InputOf<kinds::MassPerVolume> =
    InputOf::quantity("density", units!("lb/gal", "kg/L")).above("lb/gal", (0.0, 25.0), (6.5, 13.0)).optional();
pub(crate) const OTHER_STRENGTH: InputOf<kinds::Strength> =
    InputOf::quantity("other-strength", units!("lb/gal", "g/L")).optional();

pub(crate) static PRODUCT_RATE: ResultOf<kinds::LabelRate> =
    ResultOf::new("product-rate", units!("pt/acre", "L/ha")).main();
pub(crate) static SMALL_RATE: ResultOf<kinds::LabelRate> =
    ResultOf::new("small-rate", units!("fl oz/1000 ft2", "mL/100 m2")).main();
pub(crate) static FINE_RATE: ResultOf<kinds::LabelRate> =
    ResultOf::new("fine-rate", units!("mL/1000 ft2", "mL/100 m2"));
pub(crate) static AI_RATE: ResultOf<kinds::LabelRate> = ResultOf::new("ai-rate", units!("lb/acre", "kg/ha")).main();
pub(crate) static PRODUCT_AMOUNT: ResultOf<kinds::Amount> =
    ResultOf::new("product-amount", usual::MEASURED).main().measured();
pub(crate) static AI_AMOUNT: ResultOf<kinds::Mass> = ResultOf::new("ai-amount", usual::WEIGHT).main();
pub(crate) static AI_PER_GALLON: ResultOf<kinds::MassPerVolume> =
    ResultOf::new("ai-per-gallon", units!("lb/gal", "g/L"));
pub(crate) static RATE_FACTOR: ResultOf<kinds::Number> = ResultOf::new("rate-factor", usual::NUMBER);
pub(crate) static OTHER_RATE: ResultOf<kinds::LabelRate> = ResultOf::new("other-rate", units!("pt/acre", "L/ha"));
pub(crate) static OTHER_AMOUNT: ResultOf<kinds::Amount> = ResultOf::new("other-amount", usual::MEASURED).measured();
pub(crate) static YEAR_LEFT: ResultOf<kinds::LabelRate> = ResultOf::new("year-left", units!("lb/acre", "kg/ha")).main();
pub(crate) static VISITS: ResultOf<kinds::Number> = ResultOf::new("visits", usual::NUMBER).main();

/// From memory: no product sold holds 20 lb in a gallon; above it, g/L was typed as lb/gal.
const MOST_KG_PER_M3: f64 = 2400.0;

/// Units of a rate of product: as labels print it, for small ground, and fine enough for a cylinder or a scale.
fn rate_units(dim: Dim) -> [&'static Units; 3] {
    match (dim.length, dim.mass) {
        (-2, 0) => {
            [units!("pt/acre", "L/ha"), units!("fl oz/1000 ft2", "mL/100 m2"), units!("mL/1000 ft2", "mL/100 m2")]
        }
        (-2, _) => [units!("lb/acre", "kg/ha"), units!("oz/1000 ft2", "g/100 m2"), units!("g/1000 ft2", "g/100 m2")],
        (_, 0) => [units!("qt/100 gal", "mL/100 L"), usual::STRENGTH, units!("mL/gal", "mL/L")],
        _ => [units!("lb/100 gal", "kg/100 L"), usual::DRY_STRENGTH, units!("g/gal", "g/L")],
    }
}

fn amount_units(dim: Dim) -> &'static Units {
    if dim.mass == 0 { usual::MEASURED } else { usual::WEIGHT }
}

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    // How many times a rate goes into a limit needs no strength.
    if inputs.typed(&STRENGTH).is_none() && inputs.typed(&YEAR_MAX).is_some() {
        let visit = [AnyQuantity::of(inputs, &AI_WANTED)?, AnyQuantity::of(inputs, &LABEL_RATE)?];
        return yearly(inputs, rec, &visit);
    }
    let printed = strength(inputs, &STRENGTH)?;
    let strength = match AnyQuantity::of(inputs, &DENSITY)? {
        Some(density) if printed.is_share() => {
            density.times(&printed).settle(rec, &AI_PER_GALLON, [], units!("lb/gal", "g/L"))
        }
        _ => printed.clone(),
    };
    let rate = rate(inputs, rec, &strength)?;
    let ai = match AnyQuantity::of(inputs, &AI_WANTED)? {
        Some(wanted) => Some(wanted),
        None => rate.as_ref().map(|rate| rate.times(&strength)),
    };
    if let Some(package) = AnyQuantity::of(inputs, &PACKAGE)? {
        let ai = package.times(&strength);
        if !ai.measures(unit!("lb")) {
            return Err(Fault::new("active-ingredient.other-kind", PACKAGE.name()));
        }
        ai.settle(rec, &AI_AMOUNT, [], usual::WEIGHT);
    }
    if let Some(rate) = &rate
        && let Some(amount) = amount(inputs, rate)?
    {
        let units = amount_units(rate.dim);
        amount.settle(rec, &PRODUCT_AMOUNT, [], units);
    }
    if inputs.typed(&OTHER_STRENGTH).is_some() {
        other(inputs, rec, &printed, rate.as_ref())?;
    }
    if inputs.typed(&YEAR_MAX).is_some() {
        let given = if inputs.typed(&AI_WANTED).is_some() { [ai, rate.clone()] } else { [rate.clone(), ai] };
        yearly(inputs, rec, &given)?;
    }
    match &rate {
        _ if !rec.results.is_empty() => Ok(()),
        Some(_) => Err(Fault::new("active-ingredient.no-density", DENSITY.name())),
        None => Err(Fault::new("active-ingredient.nothing", AI_WANTED.name())),
    }
}

fn strength(inputs: &Inputs, strength: &InputOf<kinds::Strength>) -> Result<AnyQuantity, Fault> {
    let known = AnyQuantity::need(inputs, strength)?;
    if above(known.value.si(), if known.is_share() { 1.0 } else { MOST_KG_PER_M3 }) {
        return Err(Fault::new("active-ingredient.more-than-all", strength.name()));
    }
    Ok(known)
}

/// The rate of product: from the active ingredient wanted, or as given on the label, with the active ingredient in it.
fn rate(inputs: &Inputs, rec: &mut Recorder, strength: &AnyQuantity) -> Result<Option<AnyQuantity>, Fault> {
    let mut used = None;
    if let Some(rate) = AnyQuantity::of(inputs, &LABEL_RATE)? {
        let ai = rate.times(strength);
        if ai.dim.mass > 1 {
            return Err(Fault::new("active-ingredient.other-kind", LABEL_RATE.name()));
        }
        // A liquid rate of a strength in percent holds no weight until its density is known.
        if ai.dim.mass == 1 {
            let units = if ai.dim.length < 0 { units!("lb/acre", "kg/ha") } else { units!("lb/100 gal", "g/100 L") };
            ai.settle(rec, &AI_RATE, [], units);
        }
        used = Some(rate);
    }
    if let Some(wanted) = AnyQuantity::of(inputs, &AI_WANTED)? {
        if wanted.dim.mass != 1 {
            return Err(Fault::new("active-ingredient.ai-is-weight", AI_WANTED.name()));
        }
        let product = wanted.over(strength);
        let units = rate_units(product.dim);
        let product = product.settle(rec, &PRODUCT_RATE, [], units[0]);
        product.report(rec, &SMALL_RATE, [], units[1]);
        if rec.system == System::Us {
            product.report(rec, &FINE_RATE, [], units[2]);
        }
        used = Some(product);
    }
    if let Some(rate) = &used {
        label::rate_caution(
            rec,
            inputs.typed(&LABEL_MAX),
            rate.value.si(),
            rate.dim,
            "active-ingredient.over-label-max",
        )?;
    }
    Ok(used)
}

/// What a year still allows, and how often a visit goes into it: of the first of the visit's rates that measures what
/// the limit does.
fn yearly(inputs: &Inputs, rec: &mut Recorder, visit: &[Option<AnyQuantity>]) -> Result<(), Fault> {
    let mut left = AnyQuantity::need(inputs, &YEAR_MAX)?;
    let unit = inputs.typed(&YEAR_MAX).map_or(unit!("lb/acre"), |typed| typed.unit);
    if let Some(put_on) = AnyQuantity::of(inputs, &PUT_ON)? {
        if put_on.dim != left.dim {
            return Err(Fault::new("active-ingredient.other-than-year", PUT_ON.name()));
        }
        left = left.minus(&put_on).settle(rec, &YEAR_LEFT, [], &Units { us: unit, metric: unit });
        if left.value.si() < 0.0 {
            return Err(Fault::new("active-ingredient.year-used-up", PUT_ON.name()));
        }
    }
    // What is left needs no rate per visit.
    if visit.iter().all(Option::is_none) {
        let nothing = Err(Fault::new("active-ingredient.nothing", AI_WANTED.name()));
        return if rec.results.is_empty() { nothing } else { Ok(()) };
    }
    let Some(each) = visit.iter().flatten().find(|each| each.dim == left.dim) else {
        return Err(Fault::new("active-ingredient.other-than-year", YEAR_MAX.name()));
    };
    let visits = rec.settle(&VISITS, [], &left.value.share_of(&each.value).floor());
    if visits.si() < 1.0 {
        let args = vec![("rate", Arg::Quantity(each.value.si(), unit)), ("left", Arg::Quantity(left.value.si(), unit))];
        rec.caution("active-ingredient.over-year-max", Severity::Danger, args);
    }
    Ok(())
}

/// What the rate comes to for the ground or the mix given, whichever it is a rate of.
fn amount(inputs: &Inputs, rate: &AnyQuantity) -> Result<Option<AnyQuantity>, Fault> {
    let by_area = rate.dim.length < 0;
    let whole = if by_area { AnyQuantity::of(inputs, &shared::GROUND)? } else { AnyQuantity::of(inputs, &MIX)? };
    Ok(whole.map(|whole| rate.times(&whole)))
}

/// The same dose from another product.
fn other(inputs: &Inputs, rec: &mut Recorder, printed: &AnyQuantity, rate: Option<&AnyQuantity>) -> Result<(), Fault> {
    let other = strength(inputs, &OTHER_STRENGTH)?;
    if other.dim != printed.dim {
        return Err(Fault::new("active-ingredient.strengths-differ", OTHER_STRENGTH.name()));
    }
    let factor = printed.over(&other).settle(rec, &RATE_FACTOR, [], usual::NUMBER);
    let Some(rate) = rate else { return Ok(()) };
    let units = rate_units(rate.dim)[usize::from(inputs.typed(&AI_WANTED).is_none())];
    let rate = rate.times(&factor).settle(rec, &OTHER_RATE, [], units);
    if let Some(amount) = amount(inputs, &rate)? {
        let units = amount_units(rate.dim);
        amount.settle(rec, &OTHER_AMOUNT, [], units);
    }
    Ok(())
}

/// Product above and the active ingredient in it below, both from nothing.
fn draw(worked: &Worked, _: System) -> Drawing {
    let mut drawing = Drawing::new(112.0);
    let (inputs, shown) = (&worked.inputs, |typed: &Typed| (typed.si, typed.unit));
    let (ai_wanted, label_rate) = (inputs.typed(&AI_WANTED).map(shown), inputs.typed(&LABEL_RATE).map(shown));
    let (product_rate, ai_rate) = (worked.shown(&PRODUCT_RATE, []), worked.shown(&AI_RATE, []));
    let package = || inputs.typed(&PACKAGE).map(shown).zip(worked.shown(&AI_AMOUNT, []));
    let pair = product_rate.zip(ai_wanted).or_else(|| label_rate.zip(ai_rate)).or_else(package).or_else(|| {
        // Nothing but strengths: a pound of product, and what of it is active.
        let (share, _) = inputs.typed(&STRENGTH).map(shown).filter(|(_, unit)| unit.dim() == Dim::default())?;
        let pound = usual::WEIGHT.pick(worked.system);
        Some(((pound.size(), pound), (share * pound.size(), pound)))
    });
    if let Some((product, ai)) = pair {
        let name = |key, unit: &Unit| Label::Phrase(key, vec![("unit", Arg::Text(unit.shown()))]);
        drawing.scales(
            [name("active-ingredient.draw.product", &product.1), name("active-ingredient.draw.ai", &ai.1)],
            [&product, &ai],
        );
        let args = vec![("product", Arg::Quantity(product.0, product.1)), ("ai", Arg::Quantity(ai.0, ai.1))];
        drawing.say("active-ingredient.draw.scale", args);
    } else if let (Some((most, unit)), Some(visits)) = (inputs.typed(&YEAR_MAX).map(shown), worked.si(&VISITS, [])) {
        // The year as a bar: what is on already, then the visits that it allows.
        let left = worked.si(&YEAR_LEFT, []).unwrap_or(most);
        let x = |si: f64| 14.0 + 332.0 * si / most;
        drawing.rect("paper", 14.0, 40.0, 332.0, 30.0);
        drawing.rect("band", 14.0, 40.0, x(most - left) - 14.0, 30.0);
        let rates = [ai_wanted, label_rate, ai_rate, product_rate];
        let each = rates.into_iter().flatten().find(|(_, own)| own.dim() == unit.dim());
        let each = each.map_or(0.0, |(si, _)| si);
        for visit in 0..visits.min(40.0) as usize {
            let from = most - left + each * visit as f64;
            drawing.rect("water", x(from) + 1.0, 42.0, (x(from + each) - x(from) - 2.0).max(1.0), 26.0);
        }
        drawing.rect("line", 14.0, 40.0, 332.0, 30.0);
        let args = vec![("limit", Arg::Quantity(most, unit)), ("visits", Arg::Text(exact(visits)))];
        drawing.label(Set::Mid, 180.0, 28.0, Label::Phrase("active-ingredient.draw.limit", args.clone()));
        drawing.say("active-ingredient.draw.year", args);
    }
    drawing
}
