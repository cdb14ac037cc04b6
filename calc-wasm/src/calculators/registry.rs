//! Every calculator, one line each, in the order in which pages list them.

use crate::calculators as all;
use crate::problem::declare::Calculator;

/// Every calculator.
pub static CALCULATORS: &[&Calculator] = &[
    &all::catch_test::CALCULATOR,
    &all::swath_timing::CALCULATOR,
    &all::application_rate::CALCULATOR,
    &all::tank_mix::CALCULATOR,
    &all::carrier_volume::CALCULATOR,
    &all::lawn_area::CALCULATOR,
    &all::usage_check::CALCULATOR,
    &all::known_area::CALCULATOR,
    &all::boom_output::CALCULATOR,
    &all::ground_speed::CALCULATOR,
    &all::pressure_flow::CALCULATOR,
    &all::nozzle_wear::CALCULATOR,
    &all::spreader::CALCULATOR,
    &all::nutrient::CALCULATOR,
    &all::active_ingredient::CALCULATOR,
    &all::dilution::CALCULATOR,
    &all::unit_conversion::CALCULATOR,
    &all::day_plan::CALCULATOR,
];

/// The calculator with this id.
pub fn calculator(id: &str) -> Option<&'static Calculator> {
    // In the browser a calculator whose part is not loaded reads as zeros: its id has no letters.
    CALCULATORS.iter().copied().find(|calculator| !id.is_empty() && calculator.id == id)
}
