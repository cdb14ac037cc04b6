//! Mistakes at the tank: what goes in, how far it goes, and how much water carries it.

use super::places::{
    AMOUNT, DAY_PRODUCT, DAY_WATER, DILUTED, DILUTION_WATER, FERTILIZER, LEAST_WATER, MIX_TO_MAKE, NEW_MIX_AREA, RATE,
    REACH, RUN_RATE, SPREAD, SPREAD_LOAD, STRENGTH, TOTAL, TREATED, TRUE_RATE, WATER,
};
use super::{Mistake, Wrong, beside};
use crate::calculation::label;
use crate::calculators::{carrier_volume, day_plan, dilution, nutrient, shared, spreader, tank_mix};
use crate::quantity::kind::Kind;
use crate::quantity::order::order;
use crate::quantity::typed::Typed;
use crate::quantity::unit::{Unit, unit};
use crate::quantity::units::{Atom, Dim};

pub(super) static MISTAKES: &[Mistake] = &[
    Mistake {
        id: "capacity-for-mix-left",
        places: &[AMOUNT, MIX_TO_MAKE, NEW_MIX_AREA, WATER],
        slight: false,
        wrong: nothing_counted_as_left,
    },
    Mistake { id: "gallons-taken-for-thousands", places: &[AMOUNT], slight: false, wrong: gallons_for_thousands },
    Mistake { id: "area-per-tank-upside-down", places: &[TREATED], slight: false, wrong: tank_upside_down },
    Mistake { id: "tank-times-rate", places: &[TREATED], slight: false, wrong: tank_times_rate },
    Mistake { id: "area-divided-by-rate", places: &[MIX_TO_MAKE], slight: false, wrong: area_by_rate },
    Mistake {
        id: "thousands-forgotten",
        places: &[RATE, RUN_RATE, TREATED, MIX_TO_MAKE, SPREAD, TRUE_RATE],
        slight: false,
        wrong: thousands_forgotten,
    },
    Mistake { id: "product-volume-on-top", places: &[WATER, DILUTION_WATER], slight: true, wrong: product_on_top },
    Mistake { id: "per-100-gal-rate-as-per-area", places: &[AMOUNT, DILUTED], slight: false, wrong: rate_not_scaled },
    Mistake { id: "surfactant-on-product-not-spray", places: &[AMOUNT], slight: false, wrong: share_of_product },
    Mistake { id: "rounding-early", places: &[TREATED, AMOUNT], slight: true, wrong: rounded_output },
    Mistake {
        id: "percent-as-whole-number",
        places: &[AMOUNT, TOTAL, DAY_PRODUCT, DILUTED],
        slight: false,
        wrong: |w| percent_taken(w, 1.0),
    },
    Mistake {
        id: "percent-as-ounces-per-gallon",
        places: &[AMOUNT, TOTAL, DAY_PRODUCT, DILUTED],
        slight: false,
        // A metric problem has neither ounces nor gallons.
        wrong: |w| if w.is_metric() { None } else { percent_taken(w, 1.0 / 128.0) },
    },
    Mistake { id: "below-label-water-volume", places: &[LEAST_WATER], slight: false, wrong: less_by_habit },
    Mistake { id: "reach-at-the-old-volume", places: &[REACH], slight: false, wrong: at_first_volume },
    Mistake { id: "water-at-the-old-volume", places: &[DAY_WATER], slight: false, wrong: at_first_volume },
    Mistake {
        id: "ordered-rate-over-the-label",
        places: &[AMOUNT, TOTAL, DILUTED, SPREAD_LOAD, FERTILIZER],
        slight: false,
        wrong: ordered,
    },
    Mistake {
        id: "same-ounces-per-gallon-at-lower-volume",
        places: &[STRENGTH, DAY_PRODUCT],
        slight: false,
        wrong: |w| strength_of_first(w, true),
    },
    Mistake {
        id: "same-ounces-per-gallon-at-higher-volume",
        places: &[STRENGTH, DAY_PRODUCT],
        slight: false,
        wrong: |w| strength_of_first(w, false),
    },
];

/// What is left in the tank is not taken off.
fn nothing_counted_as_left(w: &Wrong) -> Option<f64> {
    // With nothing left, the calculator does not tell new mix from old.
    let by_hand = || {
        let (left, new) = (w.si(&shared::LEFT)?, w.result_si(&tank_mix::MIX_TO_MAKE, [])?);
        Some(w.right() * (left + new) / new)
    };
    w.with(&shared::LEFT, 0.0).or_else(by_hand)
}

/// The operator keeps to the usual rate, where that is less than the label asks for.
fn less_by_habit(w: &Wrong) -> Option<f64> {
    let habit = w.si(&beside::HABIT).filter(|habit| Some(*habit) < w.si(&shared::APPLICATION_RATE))?;
    w.with(&shared::APPLICATION_RATE, habit)
}

/// Tank or ground are worked with the first volume, although another is sprayed.
fn at_first_volume(w: &Wrong) -> Option<f64> {
    let first = w.si_in(&carrier_volume::VOLUME, 1, &carrier_volume::VOLUME_RATE)?;
    w.with_in(&carrier_volume::VOLUME, w.row(0)?, &carrier_volume::VOLUME_RATE, first)
}

/// The rate of the work order is used, where the label allows less.
fn ordered(w: &Wrong) -> Option<f64> {
    let order = w.si(&beside::ORDER)?;
    let most = w.si(&spreader::TARGET).or(w.si(&nutrient::TARGET)).or(rate(w).map(|rate| rate.si))?;
    (order > most).then(|| w.right() * order / most)
}

/// The label rate of the product in question, or the strength wanted of a mix.
fn rate<'w>(w: &Wrong<'w>) -> Option<&'w Typed> {
    if let Some(wanted) = w.typed(&dilution::WANTED) {
        return Some(wanted);
    }
    w.typed_in(&tank_mix::PRODUCT, w.row(1).or(w.row(0))?, &label::RATE)
}

/// The part of a unit that is above the line, or below it.
fn part(typed: &Typed, index: usize) -> Option<&'static Atom> {
    typed.unit.parts().nth(index).map(|(atom, _)| atom)
}

fn is_area(atom: &Atom) -> bool {
    atom.dim == Dim { length: 2, ..Dim::default() }
}

/// The rate is multiplied by the gallons in the tank, as if each gallon treated one of the label's areas.
fn gallons_for_thousands(w: &Wrong) -> Option<f64> {
    let (rate, gallon) = (rate(w)?, part(w.typed(&shared::APPLICATION_RATE)?, 0)?);
    let area = part(rate, 1).filter(|area| is_area(area))?;
    let mix = w.result_si(&tank_mix::MIX_TO_MAKE, []).or_else(|| w.result_si(&day_plan::FILL_MIX, [w.row(0)?]))?;
    Some(rate.si * area.value * (mix / gallon.value))
}

/// The rate at which the tank is sprayed.
fn spray_rate<'w>(w: &Wrong<'w>) -> Option<&'w Typed> {
    match w.row(0) {
        Some(row) => w.typed_in(&carrier_volume::VOLUME, row, &carrier_volume::VOLUME_RATE),
        None => w.typed(&shared::APPLICATION_RATE),
    }
}

/// The spray for one area is divided by the tank: tanks per area, called areas per tank.
fn tank_upside_down(w: &Wrong) -> Option<f64> {
    let rate = spray_rate(w)?;
    let (above, area) = (part(rate, 0)?, part(rate, 1)?);
    let tank = w.right() * rate.si;
    (above.dim == w.typed(&shared::TANK)?.unit.dim()).then(|| rate.si * area.value / tank * area.value)
}

/// The tank is multiplied by the rate, where it is divided by it.
fn tank_times_rate(w: &Wrong) -> Option<f64> {
    let rate = spray_rate(w)?;
    let (gallon, area) = (part(rate, 0)?, part(rate, 1)?);
    let tank = w.right() * rate.si;
    Some(tank / gallon.value * rate.value() * area.value)
}

fn nothing_left(w: &Wrong) -> bool {
    w.si(&shared::LEFT).is_none_or(|left| left == 0.0)
}

/// The area is divided by the rate, where it is multiplied by it.
fn area_by_rate(w: &Wrong) -> Option<f64> {
    let rate = spray_rate(w).filter(|_| nothing_left(w))?;
    let (gallon, area) = (part(rate, 0)?, part(rate, 1)?);
    let ground = w.right() / rate.si;
    Some(ground / area.value / rate.value() * gallon.value)
}

/// The 1000 of a rate per 1000 ft2, or the 100 of one per 100 m2, is left out.
fn thousands_forgotten(w: &Wrong) -> Option<f64> {
    let count = |unit: &Unit| match unit {
        unit if unit.has(unit!("1000 ft2")) => Some(1000.0),
        unit if unit.has(unit!("100 m2")) => Some(100.0),
        _ => None,
    };
    let one_by_one = |unit: &Unit| *unit == unit!("ft2") || *unit == unit!("m2");
    if [unit!("gal/1000 ft2"), unit!("lb/1000 ft2")].iter().any(|rate| w.unit.dim() == rate.dim()) {
        return Some(w.right() / count(w.unit)?);
    }
    let count = count(&spray_rate(w)?.unit)?;
    if w.unit.dim() == unit!("ft2").dim() {
        return one_by_one(w.unit).then(|| w.right() / count);
    }
    let ground = w.typed(&shared::GROUND).filter(|ground| one_by_one(&ground.unit));
    ground.filter(|_| nothing_left(w)).map(|_| w.right() * count)
}

/// Water is filled to the mark and the product poured on top.
fn product_on_top(w: &Wrong) -> Option<f64> {
    match w.row(0) {
        Some(volume) => w.result_si(&carrier_volume::MIX, [volume]),
        None => w.result_si(&tank_mix::MIX_TO_MAKE, []).or(w.si(&dilution::MIX)),
    }
}

/// The amount for 100 gal or 100 L is poured in whatever the tank holds.
fn rate_not_scaled(w: &Wrong) -> Option<f64> {
    let rate = rate(w)?;
    let hundred = part(rate, 1).filter(|atom| matches!(atom.symbol, "100 gal" | "100 L"))?;
    Some(rate.si * hundred.value)
}

/// The percentage of an adjuvant is taken of the product in the mix, not of the mix.
fn share_of_product(w: &Wrong) -> Option<f64> {
    let rate = rate(w)?;
    if !rate.unit.has(unit!("%")) {
        return None;
    }
    let mut rows = w.inputs().rows(&tank_mix::PRODUCT);
    let other = rows.find(|row| row.kind(&label::RATE) == Some(Kind::VolumePerArea))?;
    Some(rate.si * w.result_si(&tank_mix::AMOUNT, [other.number()])?)
}

/// An output of three figures is rounded to a whole number before it is used.
fn rounded_output(w: &Wrong) -> Option<f64> {
    let volume = w.row(0).filter(|_| w.inputs().row_count(&carrier_volume::VOLUME) > 0);
    let typed = match volume {
        Some(row) => w.typed_in(&carrier_volume::VOLUME, row, &carrier_volume::VOLUME_RATE),
        None => w.typed(&shared::APPLICATION_RATE),
    };
    // Of a plan of fills, another rate may make another number of fills.
    let typed = typed.filter(|_| w.inputs().row_count(&day_plan::LAWN) == 0)?;
    let (value, two) = (typed.value(), crate::text::figures::to_figures(typed.value(), 2));
    let carried = order(value, two).is_ne() && (0.5..10.0).contains(&value);
    let rounded = value.round() * typed.unit.size();
    match volume {
        _ if !carried => None,
        Some(row) => w.with_in(&carrier_volume::VOLUME, row, &carrier_volume::VOLUME_RATE, rounded),
        None => w.with(&shared::APPLICATION_RATE, rounded),
    }
}

/// One percent is taken for another share.
fn percent_taken(w: &Wrong, share: f64) -> Option<f64> {
    let rate = rate(w).filter(|rate| rate.unit.has(unit!("%")))?;
    if w.result_si(&dilution::MIX_WEIGHT, []).is_some() {
        return None; // a percentage of weight has another name for its mistake
    }
    let taken = rate.si * 100.0 * share;
    let run = match w.row(1).or(w.row(0)) {
        Some(row) => w.with_in(&tank_mix::PRODUCT, row, &label::RATE, taken),
        None => w.with(&dilution::WANTED, taken),
    };
    // More product than mix is refused by the calculator, and written down by a learner all the same.
    run.or(Some(w.right() * 100.0 * share))
}

/// The mix is made as strong as at the first volume, although the water changed.
fn strength_of_first(w: &Wrong, lower: bool) -> Option<f64> {
    let (volume, product) = (w.row(0)?, w.row(1)?);
    let rate = |volume| w.si_in(&carrier_volume::VOLUME, volume, &carrier_volume::VOLUME_RATE);
    let volumes = (rate(1)?, rate(volume)?);
    let label = w.typed_in(&carrier_volume::PRODUCT, product, &label::RATE).and_then(|rate| Kind::of(&rate.unit));
    if (volumes.1 < volumes.0) != lower || label == Some(Kind::Share) {
        return None;
    }
    let strength = |volume| w.result_si(&carrier_volume::STRENGTH, [volume, product]);
    Some(w.right() * strength(1)? / strength(volume)?)
}
