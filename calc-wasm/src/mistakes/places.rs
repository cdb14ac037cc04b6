//! Results in whose working mistakes are made, and what each decides on the lawn.

use super::Dose::{ByUnit, Less, More, Root, ToppedUp, Unknown};
use super::Place;
use crate::calculators::{
    active_ingredient, application_rate, boom_output, carrier_volume, catch_test, day_plan, dilution, ground_speed,
    known_area, lawn_area, nozzle_wear, nutrient, pressure_flow, spreader, swath_timing, tank_mix, unit_conversion,
    usage_check,
};

/// The place of a calculator's result, by the module that declares both.
macro_rules! at {
    ($calculator:ident::$result:ident, $dose:expr) => {
        $crate::mistakes::Place {
            calculator: $calculator::CALCULATOR.id,
            result: $calculator::$result.name(),
            dose: $dose,
        }
    };
}
pub(super) use at;

/// What comes out of gun or nozzle, by catch.
pub(super) const OUTPUT: &[Place] =
    &[at!(catch_test::NOZZLE_OUTPUT, Less), at!(catch_test::MEAN_OUTPUT, Less), at!(catch_test::TOTAL_OUTPUT, Less)];
/// What was caught.
pub(super) const CAUGHT: &[Place] = &[at!(catch_test::TOTAL_VOLUME, Less), at!(catch_test::MEAN_CATCH, Less)];
/// What a nozzle gives on average.
pub(super) const MEAN_CATCH: &[Place] = &[at!(catch_test::MEAN_CATCH, Less)];
/// Deviations in percent.
pub(super) const DEPARTURES: &[Place] = &[
    at!(catch_test::DEPARTURE, Unknown),
    at!(application_rate::RUN_DEPARTURE, Unknown),
    at!(application_rate::METHOD_DEPARTURE, Unknown),
    at!(application_rate::LARGEST, Unknown),
    at!(application_rate::TARGET_DEPARTURE, Unknown),
    at!(usage_check::DEPARTURE, Unknown),
    at!(nozzle_wear::DEPARTURE, Unknown),
    at!(nozzle_wear::WEAR, Unknown),
    at!(nozzle_wear::MEAN_WEAR, Unknown),
    at!(ground_speed::WANTED_DEPARTURE, Unknown),
    at!(spreader::DEPARTURE, Unknown),
];
/// Changes in percent.
pub(super) const CHANGES: &[Place] =
    &[at!(boom_output::RATE_CHANGE, Unknown), at!(pressure_flow::FLOW_CHANGE, Unknown)];
/// How a rate changes with the speed.
pub(super) const RATE_CHANGE: &[Place] = &[at!(boom_output::RATE_CHANGE, Unknown)];
/// How a flow changes with the pressure.
pub(super) const FLOW_CHANGE: &[Place] = &[at!(pressure_flow::FLOW_CHANGE, Unknown)];
/// Spray on the ground, all runs.
pub(super) const RATE: &[Place] =
    &[at!(application_rate::APPLICATION_RATE, Less), at!(application_rate::PER_100_M2, Less)];
/// The same over a large area.
pub(super) const RATE_PER_ACRE: &[Place] =
    &[at!(application_rate::PER_ACRE, Less), at!(application_rate::PER_HA, Less)];
/// Spray on the ground in one run or by one method.
pub(super) const RUN_RATE: &[Place] =
    &[at!(application_rate::RUN_RATE, Less), at!(application_rate::METHOD_RATE, Less)];
/// Ground covered on foot in a time.
pub(super) const COVERED: &[Place] = &[
    at!(swath_timing::AREA_RATE, More),
    at!(swath_timing::TIME_PER_AREA, Less),
    at!(swath_timing::AREA_COVERED, More),
];
/// Times of spraying, alone and in rates.
pub(super) const TIMED: &[Place] =
    &[at!(swath_timing::AREA_RATE, More), at!(swath_timing::TIME_PER_AREA, Less), at!(swath_timing::SPRAY_TIME, Less)];
/// Speeds.
pub(super) const PACE: &[Place] = &[at!(swath_timing::PACE, More), at!(ground_speed::SPEED, More)];
/// Product for a tank.
pub(super) const AMOUNT: &[Place] = &[at!(tank_mix::AMOUNT, ToppedUp), at!(day_plan::FILL_PRODUCT, ToppedUp)];
/// Product for some ground.
pub(super) const TOTAL: &[Place] = &[at!(tank_mix::TOTAL, More), at!(day_plan::TOTAL_PRODUCT, More)];
/// Ground that a tank treats.
pub(super) const TREATED: &[Place] = &[
    at!(tank_mix::AREA_TREATED, More),
    at!(tank_mix::AREA_PER_TANK, More),
    at!(tank_mix::NEW_MIX_AREA, More),
    at!(carrier_volume::AREA_PER_TANK, More),
];
/// Ground that a tank treats at one of several spray volumes.
pub(super) const REACH: &[Place] = &[at!(carrier_volume::AREA_PER_TANK, More)];
/// Mix and water for a day at one of several spray volumes.
pub(super) const DAY_WATER: &[Place] = &[at!(carrier_volume::MIX, Unknown), at!(carrier_volume::WATER, Unknown)];
/// Ground that a tank treats at the label's minimum volume of water; less water does not change the product on it.
pub(super) const LEAST_WATER: &[Place] = &[at!(tank_mix::AREA_TREATED, Unknown), at!(tank_mix::AREA_PER_TANK, Unknown)];
/// Mix to make now.
pub(super) const MIX_TO_MAKE: &[Place] = &[at!(tank_mix::MIX_TO_MAKE, Unknown)];
/// Ground that the mix made now treats.
pub(super) const NEW_MIX_AREA: &[Place] = &[at!(tank_mix::NEW_MIX_AREA, More)];
/// Water; more of it thins the product.
pub(super) const WATER: &[Place] = &[at!(tank_mix::WATER, Less), at!(carrier_volume::WATER, Less)];
/// Product for a day.
pub(super) const DAY_PRODUCT: &[Place] = &[at!(carrier_volume::PRODUCT_AMOUNT, More)];
/// How strong a mix is.
pub(super) const STRENGTH: &[Place] = &[at!(tank_mix::STRENGTH, More), at!(carrier_volume::STRENGTH, More)];
/// Spray on a plot of known size.
pub(super) const PLOT_RATE: &[Place] = &[at!(known_area::RATE, Less), at!(known_area::PER_ACRE, Less)];
/// The size of a plot; the less of it is believed, the shorter it is sprayed and the less is caught for it.
pub(super) const PLOT: &[Place] = &[at!(known_area::PLOT_AREA_FOUND, Less)];
/// Ground of a lawn.
pub(super) const LAWN: &[Place] =
    &[at!(lawn_area::AREA, More), at!(lawn_area::ACRES, More), at!(lawn_area::THOUSANDS, More)];
/// Spray by nozzle flow, speed and spacing.
pub(super) const BOOM_RATE: &[Place] = &[at!(boom_output::RATE_FOUND, Less)];
/// The same for a lawn label.
pub(super) const BOOM_PER_1000: &[Place] = &[at!(boom_output::PER_THOUSAND, Less)];
/// Flow that a nozzle must have.
pub(super) const NOZZLE_FLOW: &[Place] = &[at!(boom_output::FLOW_FOUND, More)];
/// Flow of all nozzles of a boom.
pub(super) const BOOM_FLOW: &[Place] = &[at!(boom_output::TOTAL_FLOW, Unknown), at!(catch_test::TOTAL_OUTPUT, Less)];
/// Width of a boom.
pub(super) const BOOM_WIDTH: &[Place] = &[at!(boom_output::BOOM_WIDTH, More)];
/// Rate at another speed.
pub(super) const NEW_RATE: &[Place] = &[at!(boom_output::NEW_RATE, Less)];
/// What a spreader puts down; believed too high, it is turned down.
pub(super) const SPREAD: &[Place] = &[at!(spreader::RATE, Less)];
/// Product to load into a spreader.
pub(super) const SPREAD_LOAD: &[Place] = &[at!(spreader::PRODUCT, More)];
/// Bags to load.
pub(super) const BAGS: &[Place] = &[at!(spreader::BAGS, More)];
/// Mix that one lawn of a day takes.
pub(super) const LAWN_MIX: &[Place] = &[at!(day_plan::LAWN_MIX, Unknown)];
/// What a lawn really got, by the tank.
pub(super) const TRUE_RATE: &[Place] = &[at!(usage_check::TRUE_RATE, Less)];
/// What a spreader is set to where passes cross.
pub(super) const EACH_WAY: &[Place] = &[at!(spreader::EACH_TARGET, More)];
/// Flow at another pressure.
pub(super) const NEW_FLOW: &[Place] = &[at!(pressure_flow::NEW_FLOW, Less)];
/// Flow of a denser liquid.
pub(super) const LIQUID_FLOW: &[Place] = &[at!(pressure_flow::LIQUID_FLOW, Less)];
/// Pressure for a wanted flow.
pub(super) const NEEDED_PRESSURE: &[Place] = &[at!(pressure_flow::NEEDED, Root)];
/// Flow of a new tip.
pub(super) const RATED_FLOW: &[Place] = &[at!(nozzle_wear::RATED_BY_CODE, Less)];
/// The same at the pressure of the test.
pub(super) const RATED_AT_TEST: &[Place] =
    &[at!(nozzle_wear::RATED_AT_TEST, Less), at!(nozzle_wear::RATED_CATCH, Less)];
/// Wear against a new tip.
pub(super) const WEAR: &[Place] = &[at!(nozzle_wear::MEAN_WEAR, Unknown), at!(nozzle_wear::WEAR, Unknown)];
/// Time that would have put down what was wanted.
pub(super) const FITTING_TIME: &[Place] = &[at!(usage_check::FITTING_TIME, More)];
/// Fertilizer for a nutrient rate.
pub(super) const FERTILIZER: &[Place] = &[
    at!(nutrient::PRODUCT_RATE, More),
    at!(nutrient::PER_ACRE, More),
    at!(nutrient::PRODUCT_FOR_AREA, More),
    at!(nutrient::LIQUID_RATE, More),
    at!(nutrient::LIQUID_FOR_AREA, More),
];
/// Nutrient in a gallon of liquid; believed too low, too many gallons are used.
pub(super) const NUTRIENT_HELD: &[Place] = &[at!(nutrient::PER_GALLON, Less)];
/// Liquid fertilizer for a nutrient rate.
pub(super) const LIQUID_FEED: &[Place] = &[at!(nutrient::LIQUID_RATE, More), at!(nutrient::LIQUID_FOR_AREA, More)];
/// Product for a rate of active ingredient.
pub(super) const AI_PRODUCT: &[Place] = &[
    at!(active_ingredient::PRODUCT_RATE, More),
    at!(active_ingredient::SMALL_RATE, More),
    at!(active_ingredient::PRODUCT_AMOUNT, More),
];
/// How often a label lets a lawn be treated in a year.
pub(super) const VISITS: &[Place] = &[at!(active_ingredient::VISITS, More)];
/// What a year's limit has left.
pub(super) const YEAR_LEFT: &[Place] = &[at!(active_ingredient::YEAR_LEFT, More)];
/// Product for a strength.
pub(super) const DILUTED: &[Place] = &[at!(dilution::PRODUCT_AMOUNT, More)];
/// Water for a strength.
pub(super) const DILUTION_WATER: &[Place] = &[at!(dilution::WATER, Less)];
/// One amount in another unit.
pub(super) const CONVERTED: &[Place] = &[at!(unit_conversion::CONVERTED, ByUnit)];
