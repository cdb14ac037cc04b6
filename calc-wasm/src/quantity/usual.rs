//! The units that the trade says a quantity in, US and metric practice: each pair is written here once.

use crate::quantity::unit::{Units, units};

/// A bare number.
pub const NUMBER: &Units = units!("", "");
/// A share, a difference in percent.
pub const PERCENT: &Units = units!("%", "%");
/// Seconds of a catch or a walk.
pub const SECONDS: &Units = units!("s", "s");
/// A lawn.
pub const SURFACE: &Units = units!("ft2", "m2");
/// A width, a length of a course.
pub const SPAN: &Units = units!("ft", "m");
/// Mix in a tank.
pub const TANKFUL: &Units = units!("gal", "L");
/// A catch, or liquid product as it is measured out.
pub const MEASURED: &Units = units!("fl oz", "mL");
/// Dry product as it is bought and spread.
pub const WEIGHT: &Units = units!("lb", "kg");
/// Walking and driving.
pub const PACE: &Units = units!("mph", "km/h");
/// What a nozzle or a gun puts out.
pub const OUTPUT: &Units = units!("gal/min", "L/min");
/// Spray on a lawn.
pub const LAWN_RATE: &Units = units!("gal/1000 ft2", "L/100 m2");
/// Spray on a field.
pub const FIELD_RATE: &Units = units!("gal/acre", "L/ha");
/// A dry product on a lawn.
pub const LAWN_WEIGHT: &Units = units!("lb/1000 ft2", "kg/100 m2");
/// Liquid product in the mix.
pub const STRENGTH: &Units = units!("fl oz/gal", "mL/L");
/// Dry product in the mix.
pub const DRY_STRENGTH: &Units = units!("oz/gal", "g/L");
