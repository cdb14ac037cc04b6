//! Every calculator, one line each, in the order in which pages list them.

use crate::calculation::declare::Calculator;
use crate::calculators as all;
use crate::fitted;

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

/// The ids of [`CALCULATORS`], in the same order, as text of the core: a calculator whose part is not loaded cannot be
/// asked for its own.
static PARTS: [&str; CALCULATORS.len()] = {
    let mut ids = [""; CALCULATORS.len()];
    let mut at = 0;
    while at < ids.len() {
        ids[at] = CALCULATORS[at].id;
        at += 1;
    }
    ids
};

/// The calculator with this id; in the browser only where its part is there.
pub fn calculator(id: &str) -> Option<&'static Calculator> {
    let place = PARTS.iter().position(|part| *part == id)?;
    fitted::is(id).then(|| CALCULATORS.get(place).copied()).flatten()
}
