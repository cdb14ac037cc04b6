//! The calculators, one file each.

pub mod active_ingredient;
pub mod application_rate;
pub mod carrier_volume;
pub mod catch_test;
pub mod day_plan;
pub mod dilution;
pub mod nutrient;
pub mod spreader;
pub mod swath_timing;
pub mod tank_mix;
pub mod unit_conversion;
