//! Mistakes with active ingredient, nutrients, percentages and parts.

use super::places::{AI_PRODUCT, DILUTED, FERTILIZER, LIQUID_FEED, NUTRIENT_HELD, VISITS, YEAR_LEFT};
use super::{Mistake, Wrong, beside};
use crate::calculators::{active_ingredient, dilution, nutrient};
use crate::quantity::kind::Kind;
use crate::quantity::order::whole_above;
use crate::quantity::unit::unit;
use crate::working::record::Expr;

pub(super) static MISTAKES: &[Mistake] = &[
    Mistake { id: "additive-scaling", places: &[DILUTED], slight: false, wrong: added_instead },
    Mistake {
        id: "ratio-parts",
        places: &[DILUTED],
        slight: true,
        wrong: |w| w.with(&dilution::WATER_PARTS, w.si(&dilution::WATER_PARTS)? - 1.0),
    },
    Mistake { id: "water-weight-forgotten", places: &[DILUTED], slight: false, wrong: gallons_for_pounds },
    Mistake { id: "ai-rate-as-product-rate-liquid", places: &[AI_PRODUCT], slight: false, wrong: liquid_ai_poured },
    Mistake {
        id: "ai-rate-as-product-rate-dry",
        places: &[AI_PRODUCT],
        slight: true,
        wrong: |w| w.with(&active_ingredient::STRENGTH, dry_share(w).map(|_| 1.0)?),
    },
    Mistake {
        id: "multiplies-by-percent-ai",
        places: &[AI_PRODUCT, FERTILIZER],
        slight: true,
        wrong: |w| dry_share(w).or(analysis(w)).map(|share| w.right() * share * share),
    },
    Mistake {
        id: "pound-of-fertilizer-for-pound-of-nitrogen",
        places: &[FERTILIZER],
        slight: false,
        wrong: |w| analysis(w).map(|share| w.right() * share),
    },
    Mistake {
        id: "liquid-fertilizer-weight-as-water",
        places: &[NUTRIENT_HELD, LIQUID_FEED],
        slight: true,
        wrong: |w| w.with(&nutrient::DENSITY, 8.34 * unit!("lb/gal").size()),
    },
    Mistake { id: "applications-rounded-up", places: &[VISITS], slight: false, wrong: rounded_up },
    Mistake { id: "yearly-total-forgotten", places: &[VISITS, YEAR_LEFT], slight: false, wrong: nothing_put_on },
];

/// What was put on before this visit is not counted: the whole year is left.
fn nothing_put_on(w: &Wrong) -> Option<f64> {
    w.typed(&active_ingredient::PUT_ON)?;
    if w.is(&active_ingredient::YEAR_LEFT) {
        w.si(&active_ingredient::YEAR_MAX)
    } else {
        w.run(w.inputs().without(active_ingredient::PUT_ON.name()))
    }
}

/// The visits rounded up; where they come out whole there is nothing to round.
fn rounded_up(w: &Wrong) -> Option<f64> {
    match w.expr_of(&active_ingredient::VISITS)? {
        Expr::Floor(visits) => Some(whole_above(visits.value())),
        _ => None,
    }
}

/// As much product is added as water was: a fluid ounce for each gallon more. `old-mix` is what was made before.
fn added_instead(w: &Wrong) -> Option<f64> {
    let (mix, old) = (w.si(&dilution::MIX)?, w.si(&beside::OLD_MIX)?);
    let before = w.right() * old / mix;
    Some(before + (mix - old) / unit!("gal").size() * unit!("fl oz").size())
}

/// A mix by weight is worked with gallons where pounds belong.
fn gallons_for_pounds(w: &Wrong) -> Option<f64> {
    w.result_si(&dilution::MIX_WEIGHT, [])?;
    w.with(&dilution::DENSITY, unit!("lb/gal").size())
}

/// A pound of active ingredient becomes a gallon of product; a kilogram, a liter.
fn liquid_ai_poured(w: &Wrong) -> Option<f64> {
    if w.inputs().kind(&active_ingredient::STRENGTH) != Some(Kind::MassPerVolume) {
        return None;
    }
    let us = w.typed(&active_ingredient::AI_WANTED)?.unit.is_us();
    let one = if us { unit!("lb/gal") } else { unit!("kg/L") };
    w.with(&active_ingredient::STRENGTH, one.size())
}

/// The share of active ingredient in a dry product.
fn dry_share(w: &Wrong) -> Option<f64> {
    let strength = w.typed(&active_ingredient::STRENGTH).filter(|typed| typed.unit.has(unit!("%")))?;
    w.si(&active_ingredient::AI_WANTED).map(|_| strength.si)
}

/// The share of the nutrient that a target is of.
fn analysis(w: &Wrong) -> Option<f64> {
    w.si(&nutrient::TARGET)?;
    // The word for a nutrient is the name of its share.
    w.si_at(w.inputs().word(&nutrient::NUTRIENT)?).filter(|share| *share > 0.0)
}
