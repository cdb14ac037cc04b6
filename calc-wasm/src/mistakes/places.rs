//! Results in whose working mistakes are made, and what each decides on the lawn.

use super::Dose::{ByUnit, Less, More, Root, ToppedUp, Unknown};
use super::{Dose, Place};

const fn at(calculator: &'static str, result: &'static str, dose: Dose) -> Place {
    Place { calculator, result, dose }
}

/// What comes out of gun or nozzle, by catch.
pub(super) const OUTPUT: &[Place] = &[
    at("catch-test", "nozzle-output", Less),
    at("catch-test", "mean-output", Less),
    at("catch-test", "total-output", Less),
];
/// What was caught.
pub(super) const CAUGHT: &[Place] = &[at("catch-test", "total-volume", Less), at("catch-test", "mean-catch", Less)];
/// Deviations in percent.
pub(super) const DEPARTURES: &[Place] = &[
    at("catch-test", "nozzle-N-departure", Unknown),
    at("application-rate", "run-N-departure", Unknown),
    at("application-rate", "method-N-departure", Unknown),
    at("application-rate", "largest-departure", Unknown),
    at("application-rate", "target-departure", Unknown),
    at("usage-check", "departure", Unknown),
    at("nozzle-wear", "nozzle-N-departure", Unknown),
    at("nozzle-wear", "nozzle-N-wear", Unknown),
    at("nozzle-wear", "mean-wear", Unknown),
    at("ground-speed", "against-wanted", Unknown),
    at("spreader", "departure", Unknown),
];
/// Spray on the ground, all runs.
pub(super) const RATE: &[Place] =
    &[at("application-rate", "application-rate", Less), at("application-rate", "rate-per-100-m2", Less)];
/// The same over a large area.
pub(super) const RATE_PER_ACRE: &[Place] =
    &[at("application-rate", "rate-per-acre", Less), at("application-rate", "rate-per-ha", Less)];
/// Spray on the ground in one run or by one method.
pub(super) const RUN_RATE: &[Place] =
    &[at("application-rate", "run-N-rate", Less), at("application-rate", "method-N-rate", Less)];
/// Ground covered on foot in a time.
pub(super) const COVERED: &[Place] = &[
    at("swath-timing", "area-rate", More),
    at("swath-timing", "time-per-area", Less),
    at("swath-timing", "area-covered", More),
];
/// Times of spraying, alone and in rates.
pub(super) const TIMED: &[Place] = &[
    at("swath-timing", "area-rate", More),
    at("swath-timing", "time-per-area", Less),
    at("swath-timing", "spray-time", Less),
];
/// Speeds.
pub(super) const PACE: &[Place] = &[at("swath-timing", "pace", More), at("ground-speed", "speed", More)];
/// Product for a tank.
pub(super) const AMOUNT: &[Place] =
    &[at("tank-mix", "product-N-amount", ToppedUp), at("day-plan", "fill-N-product-M", ToppedUp)];
/// Product for some ground.
pub(super) const TOTAL: &[Place] = &[at("tank-mix", "product-N-total", More), at("day-plan", "total-product-N", More)];
/// Ground that a tank treats.
pub(super) const TREATED: &[Place] = &[
    at("tank-mix", "area-treated", More),
    at("tank-mix", "area-per-tank", More),
    at("tank-mix", "new-mix-area", More),
    at("carrier-volume", "volume-N-area-per-tank", More),
];
/// Ground that a tank treats at the label's minimum volume of water; less water does not change the product on it.
pub(super) const LEAST_WATER: &[Place] =
    &[at("tank-mix", "area-treated", Unknown), at("tank-mix", "area-per-tank", Unknown)];
/// Mix to make now.
pub(super) const MIX_TO_MAKE: &[Place] = &[at("tank-mix", "mix-to-make", Unknown)];
/// Ground that the mix made now treats.
pub(super) const NEW_MIX_AREA: &[Place] = &[at("tank-mix", "new-mix-area", More)];
/// Water; more of it thins the product.
pub(super) const WATER: &[Place] =
    &[at("tank-mix", "water-to-add", Less), at("carrier-volume", "volume-N-water", Less)];
/// Product for a day.
pub(super) const DAY_PRODUCT: &[Place] = &[at("carrier-volume", "volume-N-product-M", More)];
/// How strong a mix is.
pub(super) const STRENGTH: &[Place] =
    &[at("tank-mix", "product-N-strength", More), at("carrier-volume", "volume-N-strength-M", More)];
/// Spray on a plot of known size.
pub(super) const PLOT_RATE: &[Place] =
    &[at("known-area", "application-rate", Less), at("known-area", "rate-per-acre", Less)];
/// The size of a plot; the less of it is believed, the shorter it is sprayed and the less is caught for it.
pub(super) const PLOT: &[Place] = &[at("known-area", "plot-N-area", Less)];
/// Ground of a lawn.
pub(super) const LAWN: &[Place] =
    &[at("lawn-area", "area", More), at("lawn-area", "acres", More), at("lawn-area", "thousands", More)];
/// Spray by nozzle flow, speed and spacing.
pub(super) const BOOM_RATE: &[Place] = &[at("boom-output", "rate", Less)];
/// The same for a lawn label.
pub(super) const BOOM_PER_1000: &[Place] = &[at("boom-output", "rate-per-1000-ft2", Less)];
/// Flow that a nozzle must have.
pub(super) const NOZZLE_FLOW: &[Place] = &[at("boom-output", "nozzle-flow", More)];
/// Width of a boom.
pub(super) const BOOM_WIDTH: &[Place] = &[at("boom-output", "boom-width", More)];
/// Rate at another speed.
pub(super) const NEW_RATE: &[Place] = &[at("boom-output", "new-rate", Less)];
/// Flow at another pressure.
pub(super) const NEW_FLOW: &[Place] = &[at("pressure-flow", "new-flow", Less)];
/// Flow of a denser liquid.
pub(super) const LIQUID_FLOW: &[Place] = &[at("pressure-flow", "liquid-flow", Less)];
/// Pressure for a wanted flow.
pub(super) const NEEDED_PRESSURE: &[Place] = &[at("pressure-flow", "needed-pressure", Root)];
/// Flow of a new tip.
pub(super) const RATED_FLOW: &[Place] = &[at("nozzle-wear", "rated-flow", Less)];
/// The same at the pressure of the test.
pub(super) const RATED_AT_TEST: &[Place] =
    &[at("nozzle-wear", "rated-flow-at-test", Less), at("nozzle-wear", "rated-catch", Less)];
/// Wear against a new tip.
pub(super) const WEAR: &[Place] =
    &[at("nozzle-wear", "mean-wear", Unknown), at("nozzle-wear", "nozzle-N-wear", Unknown)];
/// Time that would have put down what was wanted.
pub(super) const FITTING_TIME: &[Place] = &[at("usage-check", "time-that-fits", More)];
/// Fertilizer for a nutrient rate.
pub(super) const FERTILIZER: &[Place] = &[
    at("nutrient", "product-rate", More),
    at("nutrient", "product-per-acre", More),
    at("nutrient", "product-for-area", More),
    at("nutrient", "liquid-rate", More),
    at("nutrient", "liquid-for-area", More),
];
/// Nutrient in a gallon of liquid; believed too low, too many gallons are used.
pub(super) const NUTRIENT_HELD: &[Place] = &[at("nutrient", "nutrient-per-gallon", Less)];
/// Liquid fertilizer for a nutrient rate.
pub(super) const LIQUID_FEED: &[Place] =
    &[at("nutrient", "liquid-rate", More), at("nutrient", "liquid-for-area", More)];
/// Product for a rate of active ingredient.
pub(super) const AI_PRODUCT: &[Place] = &[
    at("active-ingredient", "product-rate", More),
    at("active-ingredient", "small-rate", More),
    at("active-ingredient", "product-amount", More),
];
/// How often a label lets a lawn be treated in a year.
pub(super) const VISITS: &[Place] = &[at("active-ingredient", "visits", More)];
/// What a year's limit has left.
pub(super) const YEAR_LEFT: &[Place] = &[at("active-ingredient", "year-left", More)];
/// Product for a strength.
pub(super) const DILUTED: &[Place] = &[at("dilution", "product-amount", More)];
/// Water for a strength.
pub(super) const DILUTION_WATER: &[Place] = &[at("dilution", "water", Less)];
/// One amount in another unit.
pub(super) const CONVERTED: &[Place] = &[at("unit-conversion", "converted", ByUnit)];
