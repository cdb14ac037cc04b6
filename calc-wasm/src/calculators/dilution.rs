//! Dilution and adjuvant: product and water for a strength, a ratio or a rate per area.

use crate::calculation::any_quantity::AnyQuantity;
use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{Choice, InputOf, ResultOf};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::quantity::kinds;
use crate::quantity::typed::Typed;
use crate::quantity::unit::{Unit, unit, units};
use crate::quantity::usual;
use crate::text::figures::exact;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Product and water for a mix of a wanted strength, by volume, by weight, by ratio or by a rate per area.
///
/// # Formula
/// By volume or per 100 gal: `product = mix * wanted`; from a concentrate: `product = mix * wanted / concentrate`.
/// By weight in a liquid mix: `product = mix * density * wanted / concentrate`. By ratio: `product = mix / (1 + water
/// parts)`, so that 1:10 is one part in eleven. By area: `strength = rate per area / carrier volume`.
/// The other way, from product on hand: `mix = product * (1 + water parts)`, `mix = product * concentrate / wanted`.
/// For plants: `mix = volume for a plant * plants`. `water = mix - product`; a dry product in a liquid mix is taken to
/// displace nothing.
/// # Inputs
/// - `mix` (gal or L): finished mix, by volume or by weight. No limits declared; optional.
/// - `wanted` (%): strength of the mix: in percent, per gallon or per 100 gal. No limits declared; optional.
/// - `by` (`volume` or `weight`): whether a percentage is by volume or by weight. `volume` if left out.
/// - `concentrate` (%): strength of the product; left out, the product itself is what counts. No limits declared;
///   optional.
/// - `water-parts` (a number): parts of water to one part of product. Above 0 to 100,000, usually 1 to 1000; optional.
/// - `product` (fl oz or mL): product put into the mix; without a mix, product on hand. No limits declared; read to
///   2 %; optional.
/// - `area-rate` (pt/acre or L/ha): rate of an adjuvant by area. Above 0 to 1000 gal/acre, usually 0.01 to 10 gal/acre;
///   optional.
/// - `carrier`, `other-carrier` (gal/1000 ft² or L/100 m²): spray volume that it goes into, and another. Above 0 to 50
///   gal/1000 ft², usually 0.1 to 10 gal/1000 ft²; optional.
/// - `density` (lb/gal or kg/L): what a volume of the mix weighs; water unless it is given. Above 0 to 25 lb/gal,
///   usually 7.9 to 12 lb/gal; 8.34 lb/gal if left out.
/// - `plants` (a whole number): plants to treat, in place of a mix. 1 to 100,000; optional.
/// - `per-plant` (fl oz or mL): mix that each takes. Above 0 to 500 gal, usually 0.005 to 25 gal; optional.
/// # Errors
/// Nothing to work out; both a mix and plants; with a mix, more than one of `wanted`, `water-parts`, `product` and
/// `area-rate`; a strength without a mix; units that come to neither a volume nor a weight; a mix with no room for
/// water; a percentage by weight of a product on hand that is not weighed.
/// # Cautions
/// `dilution.stronger` where an adjuvant by area is more than half again as strong at the other carrier volume.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing.
/// # Example
/// 0.5 % by volume in 2 gal, 256 fl oz, is 1.28 fl oz.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("mix", "2 gal"),
///     ("wanted", "0.5 %"),
/// ]);
/// let worked = work(calculator("dilution").unwrap(), &given, System::Us).unwrap();
/// let product_amount = worked.value_in("product-amount", "fl oz").unwrap();
/// assert!((product_amount - 1.28).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "dilution",
    inputs: &[
        MIX.item(),
        WANTED.item(),
        BY.item(),
        CONCENTRATE.item(),
        WATER_PARTS.item(),
        PRODUCT.item(),
        AREA_RATE.item(),
        CARRIER.item(),
        OTHER_CARRIER.item(),
        DENSITY.item(),
        PLANTS.item(),
        PER_PLANT.item(),
    ],
    results: &[
        &MIX_MADE.spec,
        &PLANTS_MIX.spec,
        &PRODUCT_AMOUNT.spec,
        &WATER.spec,
        &STRENGTH.spec,
        &PER_GALLON.spec,
        &TABLESPOONS.spec,
        &TEASPOONS.spec,
        &MIX_WEIGHT.spec,
        &ACTIVE.spec,
        &OTHER_STRENGTH.spec,
    ],
    uncertain: &[MIX_MADE.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        Source {
            title: "How Much Product to Add in Handheld Sprayers?",
            publisher: "University of Illinois Extension",
            url: "http://bulletin.ipm.illinois.edu/article.php?id=539",
        },
        Source {
            title: "Pesticides in the Military, subcourse MD0173 (mixes by volume and by weight; 8.34 lb of water in a gallon)",
            publisher: "US Army Medical Department",
            url: "http://armymedical.tpub.com/MD0173/Calculation-Pesticides-in-the-Military-37.htm",
        },
        Source {
            title: "Using Crop Oil Adjuvants",
            publisher: "The Peanut Grower",
            url: "https://peanutgrower.com/feature/using-crop-oil-adjuvants/",
        },
    ],
    example: &[("mix", "3 gal"), ("wanted", "0.5 %")],
    example_metric: &[("mix", "12 L"), ("wanted", "0.5 %")],
    run,
    draw,
};

pub(crate) const MIX: InputOf<kinds::Amount> = InputOf::quantity("mix", usual::TANKFUL).optional();
pub(crate) const BY: InputOf<Choice> = InputOf::choice("by", &["volume", "weight"]);
const BY_WEIGHT: &str = BY.choice_of("weight");
pub(crate) const PLANTS: InputOf<kinds::Count> = InputOf::count("plants", 1.0, 100_000.0).optional();
pub(crate) const PER_PLANT: InputOf<kinds::Volume> =
    InputOf::quantity("per-plant", usual::MEASURED).above("gal", (0.0, 500.0), (0.005, 25.0)).optional();
pub(crate) const WANTED: InputOf<kinds::Strength> = InputOf::quantity("wanted", usual::PERCENT).optional();
pub(crate) const CONCENTRATE: InputOf<kinds::Strength> = InputOf::quantity("concentrate", usual::PERCENT).optional();
pub(crate) const WATER_PARTS: InputOf<kinds::Number> =
    InputOf::quantity("water-parts", usual::NUMBER).above("", (0.0, 100_000.0), (1.0, 1000.0)).optional();
/// Common practice, no source: a cup or a scale is read to a fiftieth of what is in it, whichever of the two it is.
pub(crate) const PRODUCT: InputOf<kinds::Amount> =
    InputOf::quantity("product", usual::MEASURED).read_to((2.0, "%"), (2.0, "%")).optional();
pub(crate) const AREA_RATE: InputOf<kinds::VolumePerArea> =
    InputOf::quantity("area-rate", units!("pt/acre", "L/ha")).above("gal/acre", (0.0, 1000.0), (0.01, 10.0)).optional();
pub(crate) const CARRIER: InputOf<kinds::VolumePerArea> =
    InputOf::quantity("carrier", usual::LAWN_RATE).above("gal/1000 ft2", (0.0, 50.0), (0.1, 10.0)).optional();
pub(crate) const OTHER_CARRIER: InputOf<kinds::VolumePerArea> =
    InputOf::quantity("other-carrier", usual::LAWN_RATE).above("gal/1000 ft2", (0.0, 50.0), (0.1, 10.0)).optional();
pub(crate) const DENSITY: InputOf<kinds::MassPerVolume> =
    InputOf::quantity("density", units!("lb/gal", "kg/L")).above("lb/gal", (0.0, 25.0), (7.9, 12.0)).or("8.34 lb/gal");

pub(crate) static MIX_MADE: ResultOf<kinds::Amount> = ResultOf::new("mix-made", usual::TANKFUL).main().measured();
pub(crate) static PLANTS_MIX: ResultOf<kinds::Volume> = ResultOf::new("plants-mix", usual::TANKFUL).main().measured();
pub(crate) static PRODUCT_AMOUNT: ResultOf<kinds::Amount> =
    ResultOf::new("product-amount", usual::MEASURED).main().measured();
pub(crate) static WATER: ResultOf<kinds::Amount> = ResultOf::new("water", usual::TANKFUL).main().measured();
pub(crate) static STRENGTH: ResultOf<kinds::Share> = ResultOf::new("strength", usual::PERCENT).main();
pub(crate) static PER_GALLON: ResultOf<kinds::Strength> = ResultOf::new("per-gallon", usual::STRENGTH);
pub(crate) static TABLESPOONS: ResultOf<kinds::Volume> = ResultOf::new("tablespoons", units!("tbsp", "mL")).us_only();
pub(crate) static TEASPOONS: ResultOf<kinds::Volume> = ResultOf::new("teaspoons", units!("tsp", "mL")).us_only();
pub(crate) static MIX_WEIGHT: ResultOf<kinds::Mass> = ResultOf::new("mix-weight", usual::WEIGHT);
pub(crate) static ACTIVE: ResultOf<kinds::Amount> = ResultOf::new("active", usual::WEIGHT);
pub(crate) static OTHER_STRENGTH: ResultOf<kinds::Share> = ResultOf::new("other-strength", usual::PERCENT).main();

/// The most that is measured with spoons: a cup.
const SPOONED_FL_OZ: f64 = 8.0;
/// Common practice, no source: an adjuvant half again as strong is worth a warning.
const STRONGER: f64 = 1.5;

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let asked = [inputs.typed(&WANTED), inputs.typed(&WATER_PARTS), inputs.typed(&PRODUCT), inputs.typed(&AREA_RATE)];
    let asked = asked.map(|typed| typed.is_some());
    let grown = for_plants(inputs, rec)?;
    if grown.is_some() && asked == [false; 4] {
        return Ok(());
    }
    if asked[2] && asked[0] != asked[1] && !asked[3] && inputs.typed(&MIX).is_none() && grown.is_none() {
        return at_hand(inputs, rec);
    }
    match asked.iter().filter(|asked| **asked).count() {
        0 => return Err(Fault::new("dilution.nothing", WANTED.name())),
        1 => {}
        _ => return Err(Fault::new("dilution.one-of", WANTED.name())),
    }
    if asked[3] {
        return by_area(inputs, rec, grown);
    }
    let mix = match grown {
        Some(mix) => mix,
        None => AnyQuantity::need(inputs, &MIX)?,
    };
    if asked[2] {
        return made(rec, &mix, &AnyQuantity::need(inputs, &PRODUCT)?, true, None);
    }
    let (product, weighed) = if asked[1] { (by_ratio(inputs, rec, &mix)?, None) } else { wanted(inputs, rec, &mix)? };
    let product = measured_out(rec, product, WANTED.name())?;
    let percent = inputs.typed(&WANTED).is_some_and(|wanted| wanted.unit == unit!("%"));
    let density = AnyQuantity::of(inputs, &DENSITY)?;
    let weighed = weighed.zip(density).filter(|_| !product.measures(unit!("gal")));
    made(rec, &mix, &product, !percent || inputs.typed(&CONCENTRATE).is_some(), weighed)
}

/// The mix that a number of plants takes, where each has its volume.
fn for_plants(inputs: &Inputs, rec: &mut Recorder) -> Result<Option<AnyQuantity>, Fault> {
    let (plants, each) = (inputs.get(&PLANTS), AnyQuantity::of(inputs, &PER_PLANT)?);
    match (plants, each) {
        (None, None) => Ok(None),
        (Some(_), Some(_)) if inputs.typed(&MIX).is_some() => Err(Fault::new("dilution.mix-or-plants", MIX.name())),
        (Some(plants), Some(each)) => {
            let mix = AnyQuantity { value: &each.value * &plants, dim: each.dim };
            Ok(Some(mix.settle(rec, &PLANTS_MIX, [], usual::TANKFUL)))
        }
        (None, _) => Err(Fault::new("problem.missing", PLANTS.name())),
        (_, None) => Err(Fault::new("problem.missing", PER_PLANT.name())),
    }
}

/// Closes the step of the product and reports it.
fn measured_out(rec: &mut Recorder, product: AnyQuantity, about: &'static str) -> Result<AnyQuantity, Fault> {
    let units = if product.measures(unit!("gal")) { usual::MEASURED } else { units!("oz", "g") };
    if !product.measures(units.us) {
        return Err(Fault::new("dilution.do-not-fit", about));
    }
    let product = product.settle(rec, &PRODUCT_AMOUNT, [], units);
    Ok(product)
}

fn by_ratio(inputs: &Inputs, rec: &mut Recorder, mix: &AnyQuantity) -> Result<AnyQuantity, Fault> {
    let water = inputs.need(&WATER_PARTS)?;
    let parts = rec.step("dilution.step.parts", &[], &(&Traced::number(1.0) + &water), usual::NUMBER);
    Ok(AnyQuantity { value: &mix.value / &parts, dim: mix.dim })
}

/// The mix that product on hand makes, by ratio or at a target strength, and the water that goes with it.
fn at_hand(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let product = AnyQuantity::need(inputs, &PRODUCT)?;
    let mix = match inputs.get(&WATER_PARTS) {
        Some(water) => {
            let parts = rec.step("dilution.step.parts", &[], &(&Traced::number(1.0) + &water), usual::NUMBER);
            AnyQuantity { value: &product.value * &parts, dim: product.dim }
        }
        None => {
            let wanted = AnyQuantity::need(inputs, &WANTED)?;
            let active = AnyQuantity::of(inputs, &CONCENTRATE)?.map_or(product.clone(), |own| product.times(&own));
            // A percentage by weight of something that is known by its volume alone cannot be known.
            if inputs.word(&BY) == Some(BY_WEIGHT) && wanted.is_share() && active.measures(unit!("gal")) {
                return Err(Fault::new("dilution.not-weighed", PRODUCT.name()));
            }
            active.over(&wanted)
        }
    };
    let units = if mix.measures(unit!("gal")) { usual::TANKFUL } else { usual::WEIGHT };
    if !mix.measures(units.us) {
        return Err(Fault::new("dilution.do-not-fit", WANTED.name()));
    }
    let mix = mix.settle(rec, &MIX_MADE, [], units);
    made(rec, &mix, &product, inputs.typed(&WATER_PARTS).is_some(), None)
}

/// The product for a wanted strength: straight, from a concentrate, or by weight in a liquid mix.
///
/// Returns it with the weight of the whole mix, where it was worked by weight.
fn wanted(inputs: &Inputs, rec: &mut Recorder, mix: &AnyQuantity) -> Result<(AnyQuantity, Option<AnyQuantity>), Fault> {
    let (wanted, concentrate) = (AnyQuantity::need(inputs, &WANTED)?, AnyQuantity::of(inputs, &CONCENTRATE)?);
    let weighed = inputs.word(&BY) == Some(BY_WEIGHT) || concentrate.as_ref().is_some_and(|known| !known.is_share());
    let (mut whole, mut by_weight) = (mix.clone(), None);
    if weighed && wanted.is_share() && mix.measures(unit!("gal")) {
        whole = mix.times(&AnyQuantity::need(inputs, &DENSITY)?).settle(rec, &MIX_WEIGHT, [], usual::WEIGHT);
        by_weight = Some(whole.clone());
    }
    let active = whole.times(&wanted);
    let Some(concentrate) = concentrate else { return Ok((active, by_weight)) };
    let units = if active.measures(unit!("gal")) { usual::MEASURED } else { usual::WEIGHT };
    if !active.measures(units.us) {
        return Err(Fault::new("dilution.do-not-fit", WANTED.name()));
    }
    let active = active.settle(rec, &ACTIVE, [], units);
    Ok((active.over(&concentrate), by_weight))
}

/// Water, strength and spoons of a mix with its product; the share is shown unless it is what was asked for.
///
/// `weighed` is the weight of the mix and its density: what the product weighs is then not water.
fn made(
    rec: &mut Recorder,
    mix: &AnyQuantity,
    product: &AnyQuantity,
    share: bool,
    weighed: Option<(AnyQuantity, AnyQuantity)>,
) -> Result<(), Fault> {
    let strength = product.over(mix);
    let same = strength.is_share();
    let liquid = mix.measures(unit!("gal"));
    if same {
        let units = if liquid { usual::TANKFUL } else { usual::WEIGHT };
        let water = mix.minus(product).settle(rec, &WATER, [], units);
        if water.value.si() < 0.0 {
            return Err(Fault::new("dilution.no-room", MIX.name()));
        }
    } else if let Some((whole, density)) = weighed {
        let water = whole.minus(product).over(&density).settle(rec, &WATER, [], usual::TANKFUL);
        if water.value.si() < 0.0 {
            return Err(Fault::new("dilution.no-room", MIX.name()));
        }
    } else if liquid {
        mix.report(rec, &WATER, [], WATER.spec.units);
    }
    let per = if product.measures(unit!("gal")) { usual::STRENGTH } else { usual::DRY_STRENGTH };
    if same && share {
        let strength = strength.settle(rec, &STRENGTH, [], usual::PERCENT);
        if liquid {
            strength.report(rec, &PER_GALLON, [], per);
        }
    } else if liquid {
        strength.settle(rec, &PER_GALLON, [], per);
    }
    let spooned = product.measures(unit!("gal")) && product.value.si() <= SPOONED_FL_OZ * unit!("fl oz").size();
    if spooned && rec.system == System::Us {
        product.report(rec, &TABLESPOONS, [], TABLESPOONS.spec.units);
        product.report(rec, &TEASPOONS, [], TEASPOONS.spec.units);
    }
    Ok(())
}

/// An adjuvant by area: its strength at one carrier volume and at another, and its amount in the mix.
fn by_area(inputs: &Inputs, rec: &mut Recorder, grown: Option<AnyQuantity>) -> Result<(), Fault> {
    let rate = AnyQuantity::need(inputs, &AREA_RATE)?;
    let strength = rate.over(&AnyQuantity::need(inputs, &CARRIER)?).settle(rec, &STRENGTH, [], usual::PERCENT);
    if let Some(other) = AnyQuantity::of(inputs, &OTHER_CARRIER)? {
        let other = rate.over(&other).settle(rec, &OTHER_STRENGTH, [], usual::PERCENT);
        if other.value.si() > STRONGER * strength.value.si() {
            let share = |known: &AnyQuantity| Arg::Quantity(known.value.si(), unit!("%"));
            rec.caution(
                "dilution.stronger",
                Severity::Warning,
                vec![("strength", share(&strength)), ("other", share(&other))],
            );
        }
    }
    if strength.value.si() >= 1.0 {
        return Err(Fault::new("dilution.no-room", CARRIER.name()));
    }
    let mix = if grown.is_some() { grown } else { AnyQuantity::of(inputs, &MIX)? };
    let Some(mix) = mix else { return Ok(()) };
    let product = measured_out(rec, mix.times(&strength), MIX.name())?;
    made(rec, &mix, &product, false, None)
}

/// The least part of a drawn column at which the product can be seen.
const SEEN: f64 = 0.1;

/// How many times the lowest part of the mix is drawn taller beside it: a power of ten, 1 where the product can be seen.
fn magnified(shares: &[f64]) -> f64 {
    let most = shares.iter().copied().fold(0.0, f64::max);
    let mut times = 1.0;
    while most > 0.0 && most * times < SEEN && times < 1e6 {
        times *= 10.0;
    }
    times
}

/// The mix with the product at its bottom, to scale, and beside it the lowest part magnified where the product would
/// be too thin to see; an adjuvant by area at both carrier volumes.
fn draw(worked: &Worked, _: System) -> Drawing {
    let (inputs, shown) = (&worked.inputs, |typed: &Typed| (typed.si, typed.unit));
    let strengths = [worked.shown(&STRENGTH, []), worked.shown(&OTHER_STRENGTH, [])];
    let mix = inputs.typed(&MIX).map(shown);
    let amount = worked.shown(&PRODUCT_AMOUNT, []);
    let product = inputs.typed(&PRODUCT).map(shown);
    let whole = mix.or_else(|| worked.shown(&PLANTS_MIX, []));
    let share = |part: Option<(f64, Unit)>| {
        let (part, whole) = (part?, whole?);
        Some(if part.1.dim() == whole.1.dim() { part.0 / whole.0 } else { 0.0 })
    };
    let shares = strengths.map(|strength| strength.map(|(si, _)| si));
    let first = shares[0].or_else(|| share(amount)).or_else(|| share(product)).unwrap_or(0.0);
    let columns: Vec<f64> = std::iter::once(first).chain(shares[1]).collect();
    let times = magnified(&columns);
    let mut drawing = Drawing::new(if times > 1.0 { 150.0 } else { 126.0 });
    let (high, floor) = (68.0, 98.0);
    let width = if columns.len() > 1 && times > 1.0 { 56.0 } else { 130.0 };
    for (index, share) in columns.iter().enumerate() {
        let middle = 360.0 * (index as f64 + 0.5) / columns.len() as f64;
        let part = |drawing: &mut Drawing, middle: f64, share: f64| {
            let level = high * share.clamp(0.0, 1.0);
            drawing.rect("water", middle - width / 2.0, floor - high, width, high);
            drawing.rect("mark", middle - width / 2.0, floor - level, width, level);
            drawing.rect("line", middle - width / 2.0, floor - high, width, high);
        };
        if times > 1.0 {
            let (tank, closer) = (middle - width / 2.0 - 18.0, middle + width / 2.0 + 18.0);
            part(&mut drawing, tank, *share);
            part(&mut drawing, closer, share * times);
            // From the part of the tank that is magnified to the whole of the column beside it.
            for (from, to) in [(floor - high / times, floor - high), (floor, floor)] {
                drawing.line("dim", (tank + width / 2.0, from), (closer - width / 2.0, to));
            }
            let closer_text = Label::Phrase("dilution.draw.times", vec![("times", Arg::Text(exact(times)))]);
            drawing.label(Set::Mid, closer.min(297.0), 120.0, closer_text);
        } else {
            part(&mut drawing, middle, *share);
        }
        let carrier = if index == 0 { inputs.typed(&CARRIER) } else { inputs.typed(&OTHER_CARRIER) };
        let whole = carrier.filter(|_| inputs.typed(&AREA_RATE).is_some()).map(shown).or(whole);
        let text = |(si, unit): (f64, Unit)| Label::Plain(crate::quantity::written::quantity(si, &unit));
        if let Some(whole) = whole {
            drawing.label(Set::Mid, middle, 20.0, text(whole));
        }
        let part = if columns.len() > 1 { None } else { amount.or(product) };
        let under = if times > 1.0 { 144.0 } else { 120.0 };
        drawing.label(Set::Strong, middle, under, text(part.unwrap_or((*share, unit!("%")))));
    }
    let said = |(si, unit): (f64, Unit)| Arg::Quantity(si, unit);
    if let (Some(product), Some(mix)) = (amount.or(product).map(said), mix.map(said)) {
        let key = if first > 0.0 { "dilution.draw.mix" } else { "dilution.draw.weighed" };
        drawing.say(key, vec![("product", product), ("mix", mix)]);
    }
    if times > 1.0 {
        drawing.say("dilution.draw.magnified", vec![("times", Arg::Text(exact(times)))]);
    }
    for (key, strength) in ["dilution.draw.at", "dilution.draw.at-other"].into_iter().zip(strengths) {
        if let (Some(strength), true) = (strength.map(said), inputs.typed(&AREA_RATE).is_some()) {
            drawing.say(key, vec![("strength", strength)]);
        }
    }
    drawing
}
