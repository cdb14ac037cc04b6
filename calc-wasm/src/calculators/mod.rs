//! The calculators, one file each.

pub mod active_ingredient;
pub mod application_rate;
pub mod boom_output;
pub mod carrier_volume;
pub mod catch_test;
pub mod day_plan;
pub mod dilution;
pub mod ground_speed;
pub mod known_area;
pub mod lawn_area;
pub mod nozzle_wear;
pub mod nutrient;
pub mod pressure_flow;
pub mod registry;
pub(crate) mod shared;
pub(crate) mod sources;
pub mod spreader;
pub mod swath_timing;
pub mod tank_mix;
pub mod unit_conversion;
pub mod usage_check;
