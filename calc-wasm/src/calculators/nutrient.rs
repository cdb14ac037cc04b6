//! Nutrient: product for a rate of nitrogen, phosphate or potash, and how much of each a product holds.

use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{Choice, GroupOf, InputOf, ResultOf, fields};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::calculators::shared;
use crate::quantity::kind::{Kind, Mass, MassPerArea, Ratio, Volume};
use crate::quantity::kinds;
use crate::quantity::order::above;
use crate::quantity::unit::{unit, units};
use crate::quantity::usual;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Product for a nutrient rate from the analysis on the bag, whole bags, and what an amount of product holds.
///
/// # Formula
/// `product rate = nutrient rate / share of the nutrient`; `nutrient = product * share`;
/// `share = nutrient rate / product rate` where the analysis is what is sought; `bags = product / bag`, rounded up;
/// of a liquid, `nutrient per gallon = weight of a gallon * share`; another analysis: `product * share / other share`;
/// `phosphorus = 0.4364 * phosphate`, `potassium = 0.8302 * potash`.
/// # Inputs
/// - `nitrogen`, `phosphate`, `potash` (%): the three numbers of the analysis, by weight. 0 to 100 %, usually 0 to 65
///   %; 0 % if left out.
/// - `nutrient` (`nitrogen` or `phosphate` or `potash`): which of them the target is of. `nitrogen` if left out.
/// - `target` (lb/1000 ft² or kg/100 m²): rate of that nutrient. Above 0 to 50 lb/1000 ft², usually 0.05 to 2 lb/1000
///   ft²; optional.
/// - `spread` (lb/1000 ft² or kg/100 m²): rate of product. Above 0 to 1000 lb/1000 ft², usually 0.5 to 100 lb/1000 ft²;
///   optional.
/// - `limit` (0 to 3 rows): the most of a nutrient that law or label allows.
/// - `limit.rate` (lb/1000 ft² or kg/100 m²): rate of it. Above 0 to 50 lb/1000 ft², usually 0.05 to 2 lb/1000 ft²;
///   required.
/// - `limit.nutrient` (`phosphate` or `nitrogen` or `potash`): which one. `phosphate` if left out.
/// - `area` (ft² or m²): ground that the product is for. Above 0 to 100,000,000 ft², usually 200 to 5,000,000 ft²;
///   read to
///   2 %; optional.
/// - `bag` (lb or kg): weight of a bag. Above 0 to 4000 lb, usually 5 to 100 lb; optional.
/// - `product` (lb or kg): an amount of product, by weight or by volume. No limits declared; optional.
/// - `density` (lb/gal or kg/L): what a volume of a liquid weighs. Above 0 to 25 lb/gal, usually 8.3 to 13 lb/gal;
///   optional.
/// - `other-share` (%): share of the nutrient in another product. Above 0 to 100 %, usually 1 to 65 %; optional.
/// # Errors
/// Nothing to work out; none of the nutrient in the product; more than 100 % in all; a volume without the weight of a
/// gallon.
/// # Cautions
/// `nutrient.over-limit` is a danger.
/// # Source
/// As in [`Calculator::sources`]. The shares of P in P2O5 and of K in K2O follow from the standard atomic weights
/// (P 30.974, K 39.098, O 15.999): 61.948 / 141.943 = 0.4364 and 78.196 / 94.195 = 0.8302; handbooks print 0.44, 0.83.
/// # Example
/// 1 lb of nitrogen per 1000 ft² from 16-4-8 takes 1 / 0.16 = 6.25 lb of product.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("nitrogen", "16 %"),
///     ("phosphate", "4 %"),
///     ("potash", "8 %"),
///     ("target", "1 lb/1000 ft2"),
/// ]);
/// let worked = work(calculator("nutrient").unwrap(), &given, System::Us).unwrap();
/// let product_rate = worked.value_in("product-rate", "lb/1000 ft2").unwrap();
/// assert!((product_rate - 6.25).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "nutrient",
    inputs: &[
        NITROGEN.item(),
        PHOSPHATE.item(),
        POTASH.item(),
        NUTRIENT.item(),
        TARGET.item(),
        SPREAD.item(),
        LIMIT.item(),
        shared::GROUND.item(),
        shared::BAG.item(),
        PRODUCT.item(),
        DENSITY.item(),
        OTHER_SHARE.item(),
    ],
    results: &[
        &PRODUCT_RATE.spec,
        &PER_ACRE.spec,
        &PRODUCT_FOR_AREA.spec,
        &BAGS.spec,
        &SHARE.spec,
        &RATES[0].spec,
        &RATES[1].spec,
        &RATES[2].spec,
        &AMOUNTS[0].spec,
        &AMOUNTS[1].spec,
        &AMOUNTS[2].spec,
        &TOTAL.spec,
        &REMAINDER.spec,
        &PHOSPHORUS.spec,
        &POTASSIUM.spec,
        &PER_GALLON.spec,
        &LIQUID_RATE.spec,
        &LIQUID_FOR_AREA.spec,
        &OTHER_RATE.spec,
        &OTHER_AMOUNT.spec,
    ],
    uncertain: &[PRODUCT_FOR_AREA.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        Source {
            title: "Fertilizing Your Home Lawn",
            publisher: "UF/IFAS Extension, Okaloosa County",
            url: "https://blogs.ifas.ufl.edu/okaloosaco/fertilizing-your-home-lawn/",
        },
        Source {
            title: "Turfgrass Management: Determining How Much Nitrogen or Active Ingredient You Are Applying",
            publisher: "Penn State Extension",
            url: "https://extension.psu.edu/turfgrass-management-determining-how-much-nitrogen-or-active-ingredient-you-are-applying",
        },
        Source {
            title: "Standard atomic weights (phosphorus and potassium in their oxides)",
            publisher: "IUPAC Commission on Isotopic Abundances and Atomic Weights",
            url: "https://www.ciaaw.org/atomic-weights.htm",
        },
    ],
    example: &[
        ("nitrogen", "16 %"),
        ("phosphate", "4 %"),
        ("potash", "8 %"),
        ("target", "1 lb/1000 ft2"),
        ("area", "12000 ft2"),
        ("bag", "50 lb"),
    ],
    example_metric: &[
        ("nitrogen", "16 %"),
        ("phosphate", "4 %"),
        ("potash", "8 %"),
        ("target", "0.5 kg/100 m2"),
        ("area", "1100 m2"),
        ("bag", "25 kg"),
    ],
    run,
    draw,
};

/// The most of a nutrient that may be put down.
#[derive(Debug)]
pub(crate) enum Limit {}
pub(crate) const LIMIT: GroupOf<Limit> = GroupOf::new("limit", fields![LIMIT_RATE, LIMITED], 0, 3);
/// The words for the nutrients, each the name of its share.
const NUTRIENTS: [&str; 3] = [NITROGEN.name(), PHOSPHATE.name(), POTASH.name()];
const WORDS: [&str; 3] = ["nutrient.word.nitrogen", "nutrient.word.phosphate", "nutrient.word.potash"];
pub(crate) const NUTRIENT: InputOf<Choice> = InputOf::choice("nutrient", &NUTRIENTS);
pub(crate) const LIMITED: InputOf<Choice, Limit> =
    InputOf::choice("nutrient", &[PHOSPHATE.name(), NITROGEN.name(), POTASH.name()]);
pub(crate) const NITROGEN: InputOf<kinds::Share> = share("nitrogen");
pub(crate) const PHOSPHATE: InputOf<kinds::Share> = share("phosphate");
pub(crate) const POTASH: InputOf<kinds::Share> = share("potash");
pub(crate) const TARGET: InputOf<kinds::MassPerArea> =
    InputOf::quantity("target", usual::LAWN_WEIGHT).above("lb/1000 ft2", (0.0, 50.0), (0.05, 2.0)).optional();
pub(crate) const SPREAD: InputOf<kinds::MassPerArea> =
    InputOf::quantity("spread", usual::LAWN_WEIGHT).above("lb/1000 ft2", (0.0, 1000.0), (0.5, 100.0)).optional();
pub(crate) const LIMIT_RATE: InputOf<kinds::MassPerArea, Limit> =
    InputOf::quantity("rate", usual::LAWN_WEIGHT).above("lb/1000 ft2", (0.0, 50.0), (0.05, 2.0));
pub(crate) const PRODUCT: InputOf<kinds::Amount> = InputOf::quantity("product", usual::WEIGHT).optional();
/// Common practice, no source: liquid fertilizers weigh from a little more than water to half as much again.
pub(crate) const DENSITY: InputOf<kinds::MassPerVolume> =
    InputOf::quantity("density", units!("lb/gal", "kg/L")).above("lb/gal", (0.0, 25.0), (8.3, 13.0)).optional();
pub(crate) const OTHER_SHARE: InputOf<kinds::Share> =
    InputOf::quantity("other-share", usual::PERCENT).above("%", (0.0, 100.0), (1.0, 65.0)).optional();

const fn share(name: &'static str) -> InputOf<kinds::Share> {
    InputOf::quantity(name, usual::PERCENT).from("%", (0.0, 100.0), (0.0, 65.0)).or("0 %")
}

const fn rate(name: &'static str) -> ResultOf<kinds::MassPerArea> {
    ResultOf::new(name, usual::LAWN_WEIGHT)
}
const fn weight(name: &'static str) -> ResultOf<kinds::Mass> {
    ResultOf::new(name, usual::WEIGHT)
}

pub(crate) static PRODUCT_RATE: ResultOf<kinds::MassPerArea> = rate("product-rate").main();
pub(crate) static PER_ACRE: ResultOf<kinds::MassPerArea> =
    ResultOf::new("product-per-acre", units!("lb/acre", "kg/ha"));
pub(crate) static PRODUCT_FOR_AREA: ResultOf<kinds::Mass> = weight("product-for-area").main().measured();
pub(crate) static BAGS: ResultOf<kinds::Number> = ResultOf::new("bags", usual::NUMBER).main();
pub(crate) static SHARE: ResultOf<kinds::Share> = ResultOf::new("share", usual::PERCENT).main();
static RATES: [&ResultOf<kinds::MassPerArea>; 3] =
    [&rate("nitrogen-rate"), &rate("phosphate-rate"), &rate("potash-rate")];
static AMOUNTS: [&ResultOf<kinds::Mass>; 3] =
    [&weight("nitrogen-amount"), &weight("phosphate-amount"), &weight("potash-amount")];
pub(crate) static TOTAL: ResultOf<kinds::Mass> = weight("nutrients-total");
pub(crate) static REMAINDER: ResultOf<kinds::Mass> = weight("remainder");
pub(crate) static PHOSPHORUS: ResultOf<kinds::Mass> = weight("phosphorus-amount");
pub(crate) static POTASSIUM: ResultOf<kinds::Mass> = weight("potassium-amount");
pub(crate) static PER_GALLON: ResultOf<kinds::MassPerVolume> =
    ResultOf::new("nutrient-per-gallon", units!("lb/gal", "kg/L"));
pub(crate) static LIQUID_RATE: ResultOf<kinds::VolumePerArea> = ResultOf::new("liquid-rate", usual::LAWN_RATE).main();
pub(crate) static LIQUID_FOR_AREA: ResultOf<kinds::Volume> =
    ResultOf::new("liquid-for-area", usual::TANKFUL).main().measured();
pub(crate) static OTHER_RATE: ResultOf<kinds::MassPerArea> = rate("other-rate");
pub(crate) static OTHER_AMOUNT: ResultOf<kinds::Mass> = weight("other-amount");

/// Phosphorus in phosphate and potassium in potash, by weight; see the source of the calculator.
const ELEMENTS: [f64; 2] = [0.4364, 0.8302];
const ELEMENT_NAMES: [&str; 2] = ["nutrient.phosphorus-share", "nutrient.potassium-share"];

/// The analysis, and which of its three the target is of.
struct Analysis {
    shares: [Traced<Ratio>; 3],
    chosen: usize,
}

impl Analysis {
    fn of(inputs: &Inputs) -> Result<Analysis, Fault> {
        let shares = [inputs.need(&NITROGEN)?, inputs.need(&PHOSPHATE)?, inputs.need(&POTASH)?];
        if above(shares.iter().map(|share: &Traced<Ratio>| share.si()).sum(), 1.0) {
            return Err(Fault::new("nutrient.more-than-all", NITROGEN.name()));
        }
        Ok(Analysis { shares, chosen: place(inputs.word(&NUTRIENT)) })
    }

    fn share(&self) -> &Traced<Ratio> {
        &self.shares[self.chosen]
    }

    /// The nutrients that are in the product.
    fn present(&self) -> impl Iterator<Item = (usize, &Traced<Ratio>)> {
        self.shares.iter().enumerate().filter(|(_, share)| share.si() > 0.0)
    }
}

fn place(nutrient: Option<&str>) -> usize {
    NUTRIENTS.iter().position(|name| Some(*name) == nutrient).unwrap_or(0)
}

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let analysis = Analysis::of(inputs)?;
    let whole = product(inputs, rec)?;
    let rate = product_rate(inputs, rec, &analysis)?;
    let mut amount = whole.clone();
    if let Some(rate) = &rate {
        nutrient_rates(inputs, rec, &analysis, rate)?;
        if let Some(area) = inputs.get(&shared::GROUND) {
            let needed = rec.settle(&PRODUCT_FOR_AREA, [], &(rate * &area));
            if let Some(bag) = inputs.get(&shared::BAG) {
                rec.settle(&BAGS, [], &(&needed / &bag).ceil());
            }
            amount = amount.or(Some(needed));
        }
    }
    liquid(inputs, rec, &analysis, rate.as_ref());
    if let Some(whole) = whole.or_else(|| inputs.get(&shared::BAG)) {
        content(rec, &analysis, &whole);
    }
    other(inputs, rec, &analysis, rate, amount)?;
    if rec.results.is_empty() { Err(Fault::new("nutrient.nothing", TARGET.name())) } else { Ok(()) }
}

/// The amount of product given, by weight.
fn product(inputs: &Inputs, rec: &mut Recorder) -> Result<Option<Traced<Mass>>, Fault> {
    let Some(typed) = inputs.typed(&PRODUCT) else { return Ok(None) };
    if typed.si <= 0.0 {
        return Err(Fault::new("label.not-above-zero", PRODUCT.name()));
    }
    if inputs.kind(&PRODUCT) == Some(Kind::Mass) {
        return inputs.need_as(&PRODUCT).map(Some);
    }
    let (volume, density): (Traced<Volume>, _) = (inputs.need_as(&PRODUCT)?, inputs.need(&DENSITY)?);
    Ok(Some(rec.step("nutrient.step.weight", &[], &(&volume * &density), usual::WEIGHT)))
}

/// The rate of product: as spread, or as the target asks for it; or the analysis, where both are given without it.
fn product_rate(
    inputs: &Inputs,
    rec: &mut Recorder,
    analysis: &Analysis,
) -> Result<Option<Traced<MassPerArea>>, Fault> {
    let spread = inputs.get(&SPREAD);
    let Some(target) = inputs.get(&TARGET) else { return Ok(spread) };
    if analysis.share().si() > 0.0 {
        let rate = rec.settle(&PRODUCT_RATE, [], &(&target / analysis.share()));
        return Ok(spread.or(Some(rate)));
    }
    let Some(spread) = spread else { return Err(Fault::new("nutrient.none-of-it", TARGET.name())) };
    let share: Traced<Ratio> = rec.settle(&SHARE, [], &(&target / &spread));
    if share.si() > 1.0 {
        return Err(Fault::new("nutrient.more-than-all", TARGET.name()));
    }
    Ok(Some(spread))
}

/// What the rate of product puts down of each nutrient, against the limits given.
fn nutrient_rates(
    inputs: &Inputs,
    rec: &mut Recorder,
    analysis: &Analysis,
    rate: &Traced<MassPerArea>,
) -> Result<(), Fault> {
    rec.settle(&PER_ACRE, [], rate);
    for (index, share) in analysis.present() {
        let applied = rec.settle(RATES[index], [], &(rate * share));
        for row in inputs.rows(&LIMIT).filter(|row| place(row.word(&LIMITED)) == index) {
            let limit = row.need(&LIMIT_RATE)?;
            if applied.above(&limit) {
                let nutrient = Arg::Phrase(WORDS[index].to_owned());
                let args = vec![
                    ("nutrient", nutrient),
                    ("rate", rec.arg(&applied, usual::LAWN_WEIGHT)),
                    ("max", rec.arg(&limit, usual::LAWN_WEIGHT)),
                ];
                rec.caution("nutrient.over-limit", Severity::Danger, args);
            }
        }
    }
    Ok(())
}

/// Nutrient in a gallon of a liquid, and gallons for the rate and the area.
fn liquid(inputs: &Inputs, rec: &mut Recorder, analysis: &Analysis, rate: Option<&Traced<MassPerArea>>) {
    let Some(density) = inputs.get(&DENSITY) else { return };
    if analysis.share().si() > 0.0 {
        let held = &density * analysis.share();
        rec.settle(&PER_GALLON, [], &held);
    }
    let Some(rate) = rate else { return };
    let liquid = rec.settle(&LIQUID_RATE, [], &(rate / &density));
    if let Some(area) = inputs.get(&shared::GROUND) {
        rec.settle(&LIQUID_FOR_AREA, [], &(&liquid * &area));
    }
}

/// What an amount of product holds of each nutrient, and of the elements in them.
fn content(rec: &mut Recorder, analysis: &Analysis, whole: &Traced<Mass>) {
    let mut held: Vec<Traced<Mass>> = Vec::new();
    for (index, share) in analysis.present() {
        let amount = rec.settle(AMOUNTS[index], [], &(whole * share));
        if index > 0 {
            let share: Traced<Ratio> = Traced::constant(ELEMENT_NAMES[index - 1], ELEMENTS[index - 1], unit!(""));
            rec.settle([&PHOSPHORUS, &POTASSIUM][index - 1], [], &(&amount * &share));
        }
        held.push(amount);
    }
    if let Some(total) = Traced::sum(held) {
        let total = rec.settle(&TOTAL, [], &total);
        rec.settle(&REMAINDER, [], &(whole - &total));
    }
}

/// The same nutrient from another product.
fn other(
    inputs: &Inputs,
    rec: &mut Recorder,
    analysis: &Analysis,
    rate: Option<Traced<MassPerArea>>,
    amount: Option<Traced<Mass>>,
) -> Result<(), Fault> {
    let Some(other) = inputs.get(&OTHER_SHARE) else { return Ok(()) };
    if analysis.share().si() <= 0.0 {
        return Err(Fault::new("nutrient.none-of-it", OTHER_SHARE.name()));
    }
    if let Some(rate) = rate {
        rec.settle(&OTHER_RATE, [], &(&(&rate * analysis.share()) / &other));
    }
    if let Some(amount) = amount {
        rec.settle(&OTHER_AMOUNT, [], &(&(&amount * analysis.share()) / &other));
    }
    Ok(())
}

/// What a bag is made of, by weight: the three nutrients and the rest, to scale.
fn draw(worked: &Worked, _: System) -> Drawing {
    let mut drawing = Drawing::new(186.0);
    let chosen = place(worked.inputs.word(&NUTRIENT));
    let mut shares =
        [&NITROGEN, &PHOSPHATE, &POTASH].map(|share| worked.inputs.typed(share).map_or(0.0, |typed| typed.si));
    shares[chosen] = worked.si(&SHARE, []).unwrap_or(shares[chosen]);
    let rest = 1.0 - shares.iter().sum::<f64>();
    let parts = shares.into_iter().chain([rest]).zip(["band", "water", "ground", "paper"]);
    let keys = ["nutrient.draw.nitrogen", "nutrient.draw.phosphate", "nutrient.draw.potash", "nutrient.draw.rest"];
    let (mut x, width) = (24.0, 312.0);
    for (index, ((share, class), key)) in parts.zip(keys).enumerate() {
        let part = Arg::Quantity(share, unit!("%"));
        let y = 96.0 + 24.0 * index as f64;
        drawing.rect(class, x, 20.0, width * share, 48.0);
        drawing.rect("line", x, 20.0, width * share, 48.0);
        drawing.rect(class, 24.0, y - 13.0, 20.0, 16.0);
        drawing.rect("line", 24.0, y - 13.0, 20.0, 16.0);
        drawing.label(Set::Start, 54.0, y, Label::Phrase(key, vec![("share", part.clone())]));
        drawing.say(key, vec![("share", part)]);
        x += width * share;
    }
    drawing
}
