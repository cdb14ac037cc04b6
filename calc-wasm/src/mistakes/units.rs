//! Mistakes in units: one unit taken for another, or a factor used the wrong way.

use super::places::{
    AMOUNT, CAUGHT, CONVERTED, DAY_PRODUCT, DILUTED, MIX_TO_MAKE, OUTPUT, PLOT_RATE, RATE, RATE_PER_ACRE, RUN_RATE,
    TOTAL, TREATED, WATER,
};
use super::{Mistake, Place, Wrong, beside};
use crate::calculation::label;
use crate::calculators::dilution;
use crate::calculators::tank_mix;
use crate::calculators::unit_conversion;
use crate::quantity::order::order;
use crate::quantity::unit::{Unit, unit};

/// Results in which fluid ounces and gallons meet.
const OUNCES: &[&[Place]] =
    &[OUTPUT, CAUGHT, RATE, RATE_PER_ACRE, RUN_RATE, PLOT_RATE, AMOUNT, TOTAL, DAY_PRODUCT, DILUTED, CONVERTED];

pub(super) static MISTAKES: &[Mistake] = &[
    Mistake {
        id: "acre-rate-used-per-1000",
        places: &[AMOUNT, TOTAL, DAY_PRODUCT, CONVERTED],
        slight: false,
        wrong: acre_rate,
    },
    Mistake {
        id: "per-1000-rate-used-per-acre",
        places: &[AMOUNT, TOTAL, DAY_PRODUCT, RATE_PER_ACRE, CONVERTED],
        slight: false,
        wrong: per_1000_rate,
    },
    Mistake {
        id: "4356-wrong-direction",
        places: &[AMOUNT, TOTAL, DAY_PRODUCT, RATE, RATE_PER_ACRE, TREATED, CONVERTED],
        slight: false,
        wrong: |w| by_thousands(w, 1000.0 / 43.56),
    },
    Mistake {
        id: "4356-and-43560-mixed",
        places: &[RATE, RATE_PER_ACRE, TREATED, CONVERTED],
        slight: false,
        wrong: |w| by_thousands(w, 43_560.0 * 1000.0),
    },
    Mistake {
        id: "acre-rounded-to-40000",
        places: &[AMOUNT, TOTAL, DAY_PRODUCT, RATE, RATE_PER_ACRE, TREATED, PLOT_RATE, CONVERTED],
        slight: false,
        wrong: acre_of_40000,
    },
    Mistake { id: "128-forgotten-divides-by-100", places: OUNCES, slight: false, wrong: hundred_ounces },
    Mistake {
        id: "quart-for-gallon",
        places: OUNCES,
        slight: false,
        wrong: |w| gallons_in_ounces(w).then(|| w.unit_taken(unit!("fl oz"), 1.0 / 32.0, unit!("gal"))).flatten(),
    },
    Mistake {
        id: "pints-read-as-quarts",
        places: &[AMOUNT, TOTAL, DAY_PRODUCT, DILUTED, CONVERTED],
        slight: false,
        wrong: |w| w.unit_taken(unit!("pt"), 32.0, unit!("fl oz")),
    },
    Mistake { id: "fluid-ounce-cup-for-dry-ounces", places: &[AMOUNT, TOTAL], slight: false, wrong: cup_for_scale },
    Mistake {
        id: "teaspoons-per-fluid-ounce",
        places: &[AMOUNT, TOTAL, DILUTED, CONVERTED],
        slight: false,
        wrong: |w| w.unit_taken(unit!("tsp"), 1.0 / 3.0, unit!("fl oz")),
    },
    Mistake {
        id: "gram-ounce-used-for-millilitres",
        places: &[AMOUNT, TOTAL, DILUTED, CONVERTED],
        slight: false,
        // A metric problem has no ounce.
        wrong: |w| if w.is_metric() { None } else { w.unit_taken(unit!("mL"), 1.0 / 28.35, unit!("fl oz")) },
    },
    Mistake {
        id: "imperial-and-us-gallon",
        places: &[TREATED, AMOUNT, MIX_TO_MAKE, WATER, CONVERTED],
        slight: false,
        wrong: |w| w.unit_taken(unit!("imp gal"), 1.0, unit!("gal")),
    },
    Mistake { id: "litres-per-hectare-wrong-way", places: &[CONVERTED], slight: false, wrong: hectares_wrong_way },
    Mistake {
        id: "square-yard-as-three-square-feet",
        places: &[TREATED, CONVERTED],
        slight: false,
        wrong: |w| w.unit_taken(unit!("yd2"), 3.0, unit!("ft2")),
    },
];

/// Whether the working goes from fluid ounces to gallons or back: what a gallon holds then moves the answer. From pints
/// to fluid ounces it does not, whatever the tank holds.
fn gallons_in_ounces(w: &Wrong) -> bool {
    // A rate for 100 gal is multiplied by gallons, whatever its own unit is.
    if rate_unit(w).is_some_and(|unit| unit.has(unit!("100 gal"))) {
        return false;
    }
    let moved = |w: &Wrong| w.unit_taken(unit!("gal"), 100.0, unit!("fl oz"));
    in_play(w, unit!("fl oz")) && moved(w).is_some_and(|si| order(si, w.right()).is_ne())
}

/// A gallon is taken for 100 fl oz. Of a percentage, that is reading it as ounces in a gallon, which has its own name.
fn hundred_ounces(w: &Wrong) -> Option<f64> {
    if rate_unit(w).is_some_and(|unit| unit.has(unit!("%"))) || !gallons_in_ounces(w) {
        return None;
    }
    w.unit_taken(unit!("fl oz"), 0.01, unit!("gal"))
}

/// An acre is taken for 40,000 ft²; in a conversion, only where square feet are on the other side.
fn acre_of_40000(w: &Wrong) -> Option<f64> {
    if w.typed(&unit_conversion::AMOUNT).is_some() && !in_play(w, unit!("1000 ft2")) && !in_play(w, unit!("ft2")) {
        return None;
    }
    w.unit_taken(unit!("acre"), 40_000.0, unit!("ft2"))
}

/// Any input, or the answer, holds this unit.
fn in_play(w: &Wrong, part: Unit) -> bool {
    w.unit.has(part) || w.inputs().quantities().any(|(_, typed)| typed.unit.has(part))
}

/// 43.56 is used the wrong way, or a wrong one of its kind: an acre is taken for that many square feet. In a
/// conversion, only where the other side counts in 1000 ft².
fn by_thousands(w: &Wrong, square_feet: f64) -> Option<f64> {
    let conversion = w.typed(&unit_conversion::AMOUNT).is_some();
    if conversion && !in_play(w, unit!("1000 ft2")) {
        return None;
    }
    w.unit_taken(unit!("acre"), square_feet, unit!("ft2"))
}

/// A label rate per acre is measured out for each 1000 ft².
fn acre_rate(w: &Wrong) -> Option<f64> {
    let conversion = w.typed(&unit_conversion::AMOUNT).is_some();
    rate_unit(w).filter(|unit| unit.has(unit!("acre")) && (!conversion || in_play(w, unit!("1000 ft2"))))?;
    w.unit_taken(unit!("acre"), 1.0, unit!("1000 ft2"))
}

/// The factor between L/ha and gal/acre is used the wrong way around.
fn hectares_wrong_way(w: &Wrong) -> Option<f64> {
    let amount = w.typed(&unit_conversion::AMOUNT)?;
    let factor = amount.value() / (w.right() / w.unit.size());
    let sides = [&amount.unit, w.unit];
    let across = sides.iter().any(|unit| unit.has(unit!("ha"))) && sides.iter().any(|unit| unit.has(unit!("acre")));
    across.then(|| w.in_answer_unit(amount.value() * factor))
}

/// A rate per 1000 ft² is measured out for a whole acre.
fn per_1000_rate(w: &Wrong) -> Option<f64> {
    let conversion = w.typed(&unit_conversion::AMOUNT).is_some();
    if rate_unit(w).is_some_and(|unit| unit.has(unit!("acre")))
        || !in_play(w, unit!("acre"))
        || conversion && !in_play(w, unit!("1000 ft2"))
    {
        return None;
    }
    w.unit_taken(unit!("acre"), 1.0, unit!("1000 ft2"))
}

/// The unit of the label rate of the product in question; of an amount converted, or a strength, its own.
fn rate_unit<'w>(w: &Wrong<'w>) -> Option<&'w Unit> {
    if let Some(typed) = w.typed(&unit_conversion::AMOUNT).or(w.typed(&dilution::WANTED)) {
        return Some(&typed.unit);
    }
    let row = w.row(1).or(w.row(0))?;
    Some(&w.typed_in(&tank_mix::PRODUCT, row, &label::RATE)?.unit)
}

/// Ounces by weight are measured in a fluid-ounce cup; `bulk-density` says what a cup weighs.
fn cup_for_scale(w: &Wrong) -> Option<f64> {
    let bulk = w.si(&beside::BULK_DENSITY)?;
    let ounces = w.right() / unit!("oz").size();
    w.unit.has(unit!("oz")).then(|| ounces * unit!("fl oz").size() * bulk)
}
