//! Inputs that several calculators ask for in the same words and within the same limits.

use crate::calculation::handles::InputOf;
use crate::quantity::kinds;
use crate::quantity::unit::units;
use crate::quantity::usual;

/// What a tank holds when it is full.
pub(crate) const TANK: InputOf<kinds::Volume> =
    InputOf::quantity("tank", usual::TANKFUL).above("gal", (0.0, 10_000.0), (1.0, 1000.0));
/// Mix that is in the tank already, read off its gauge.
pub(crate) const LEFT: InputOf<kinds::Volume> = InputOf::quantity("left", usual::TANKFUL)
    .from("gal", (0.0, 10_000.0), (0.0, 1000.0))
    .read_to((2.0, "gal"), (10.0, "L"))
    .or("0 gal");
/// How long one fill takes.
pub(crate) const FILL_TIME: InputOf<kinds::Time> = InputOf::quantity("fill-time", units!("min", "min"))
    .above("min", (0.0, 600.0), (2.0, 90.0))
    .read_to((1.0, "min"), (1.0, "min"));
/// Spray that the operator puts on the ground.
pub(crate) const APPLICATION_RATE: InputOf<kinds::VolumePerArea> =
    InputOf::quantity("application-rate", usual::LAWN_RATE).above("gal/1000 ft2", (0.0, 50.0), (0.1, 10.0));
/// Ground to treat, where it is known, measured with a wheel or off a map: to 2 %, common practice, no source.
pub(crate) const GROUND: InputOf<kinds::Area> = InputOf::quantity("area", usual::SURFACE)
    .above("ft2", (0.0, 100_000_000.0), (200.0, 5_000_000.0))
    .read_to((2.0, "%"), (2.0, "%"))
    .optional();
/// What a bag weighs.
pub(crate) const BAG: InputOf<kinds::Mass> =
    InputOf::quantity("bag", usual::WEIGHT).above("lb", (0.0, 4000.0), (5.0, 100.0)).optional();
