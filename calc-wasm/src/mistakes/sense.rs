//! Which way a wrong number errs on the lawn, whatever slip led to it: what the known mistakes say of their results holds
//! for every other wrong number there.

use super::Dose::{Less, More};
use super::places::at;
use super::{Dose, Place, all, by_unit, share};
use crate::calculation::declare::{Calculator, follows};
use crate::calculators::{
    active_ingredient, boom_output, day_plan, dilution, ground_speed, known_area, nutrient, spreader, usage_check,
};
use crate::mistakes::RightWorking;
use crate::quantity::typed::Typed;

/// Results that no known mistake is about and that decide what the lawn gets.
static OTHERS: &[Place] = &[
    // Product, or the rate at which it is put on.
    at!(spreader::PRODUCT, More),
    at!(spreader::BAGS, More),
    at!(nutrient::BAGS, More),
    at!(dilution::TABLESPOONS, More),
    at!(dilution::TEASPOONS, More),
    at!(dilution::PER_GALLON, More),
    at!(active_ingredient::FINE_RATE, More),
    at!(active_ingredient::OTHER_RATE, More),
    at!(active_ingredient::OTHER_AMOUNT, More),
    // Water thins it.
    at!(day_plan::FILL_WATER, Less),
    // What a machine was found to put down: believed too high, it is mixed or set for less.
    at!(spreader::RATE, Less),
    at!(usage_check::TRUE_RATE, Less),
    at!(known_area::PER_HA, Less),
    at!(ground_speed::PER_MINUTE, More),
    // The speed to drive: too fast puts down less.
    at!(boom_output::SPEED_FOUND, Less),
];

/// What a number too high at a result does to the product on the lawn; [`Dose::Unknown`] where nothing is known, or the
/// known mistakes do not agree.
pub fn sense(calculator: &Calculator, result: &str) -> Dose {
    let places = all().flat_map(|mistake| mistake.places.iter().copied().flatten()).chain(OTHERS);
    let here = places.filter(|place| place.calculator == calculator.id && follows(place.result, result));
    // A mistake of which nothing can be told says nothing about other wrong numbers.
    let mut told = here.map(|place| place.dose).filter(|dose| *dose != Dose::Unknown);
    let Some(first) = told.next() else { return Dose::Unknown };
    if told.all(|other| other == first) { first } else { Dose::Unknown }
}

/// Product on the lawn as a share of what was meant, if a wrong number is used and nothing else goes wrong; `None` where
/// this number alone does not decide it.
pub fn dose_of(right: &RightWorking, answer: &Typed) -> Option<f64> {
    let dose = by_unit(sense(right.worked.calculator, right.result), &answer.unit);
    share(dose, right, answer.si)
}
