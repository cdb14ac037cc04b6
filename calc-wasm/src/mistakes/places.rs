//! Results in whose working mistakes are made, and what each decides on the lawn.

use super::Dose::{Less, More, ToppedUp, Unknown};
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
/// Ground covered by a walker in a time.
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
pub(super) const PACE: &[Place] = &[at("swath-timing", "pace", More)];
/// Product for a tank.
pub(super) const AMOUNT: &[Place] = &[at("tank-mix", "product-N-amount", ToppedUp)];
/// Product for some ground, and how strong the mix is.
pub(super) const TOTAL: &[Place] = &[at("tank-mix", "product-N-total", More)];
/// Ground that a tank treats.
pub(super) const TREATED: &[Place] = &[
    at("tank-mix", "area-treated", More),
    at("tank-mix", "area-per-tank", More),
    at("tank-mix", "new-mix-area", More),
    at("carrier-volume", "volume-N-area-per-tank", More),
];
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
