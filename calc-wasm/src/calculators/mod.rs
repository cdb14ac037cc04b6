//! The calculators, one file each.

pub mod application_rate;
pub mod carrier_volume;
pub mod catch_test;
pub mod swath_timing;
pub mod tank_mix;
pub mod unit_conversion;
