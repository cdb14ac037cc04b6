//! Published sources of several calculators.

use crate::calculation::declare::Source;

/// Nozzles and pressure.
pub(crate) const APPLICATOR_TRAINING: Source = Source {
    title: "Calibrating your equipment (applicator training, 2014)",
    publisher: "University of Wisconsin-Extension",
    url: "http://slidegur.com/doc/88851/calibrating-your-equipment",
};

/// Calibrating sprayers for turf.
pub(crate) const BULLETIN_817: Source = Source {
    title: "Bulletin 817, Calibrating Turfgrass Chemical Application Equipment",
    publisher: "Ohio State University Extension",
    url: "http://ohioline.osu.edu/b817/b817_07.html",
};

/// Formulas of calibration and factors of units.
pub(crate) const FORMULAS: Source = Source {
    title: "Measurements, Conversions, and Formulas",
    publisher: "Pesticide Environmental Stewardship",
    url: "https://pesticidestewardship.org/calibration/measurements-conversions-and-formulas/",
};

/// What goes into a tank.
pub(crate) const MIXING: Source = Source {
    title: "Calculations for Mixing Pesticides (learning module)",
    publisher: "Pesticide Environmental Stewardship",
    url: "http://pesticidesafety.org/PES%20Wiki/1%20Calculations%20for%20Mixing.aspx",
};

/// Catching, timing and walking with a spray gun.
pub(crate) const SPRAY_GUN: Source = Source {
    title: "Spray Gun (calibration)",
    publisher: "Pesticide Environmental Stewardship",
    url: "https://pesticidestewardship.org/calibration/spray-gun/",
};
