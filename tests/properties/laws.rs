//! How each calculator's results follow from its inputs: the table that `scaling` holds the calculators against.

use tankside_calc::calculators::registry::CALCULATORS;

/// What follows when one input is changed and nothing else: result ∝ input ^ exponent.
pub(crate) struct Law {
    pub(crate) calculator: &'static str,
    /// Inputs that are drawn within their usual range, or `name=text`.
    pub(crate) given: &'static [&'static str],
    /// Input, result, exponent.
    pub(crate) laws: &'static [(&'static str, &'static str, f64)],
}

const fn law(
    calculator: &'static str,
    given: &'static [&'static str],
    laws: &'static [(&'static str, &'static str, f64)],
) -> Law {
    Law { calculator, given, laws }
}

/// From the formula of each calculator, which names its source; by hand.
pub(crate) const LAWS: &[Law] = &[
    law(
        "catch-test",
        &["catch.1.volume", "catch.1.time"],
        &[("catch.1.volume", "nozzle-output", 1.0), ("catch.1.time", "nozzle-output", -1.0)],
    ),
    law(
        "swath-timing",
        &["pass.1.length", "pass.1.spacing", "pass.1.passes=4", "pass.1.time"],
        &[
            ("pass.1.length", "area-rate", 1.0),
            ("pass.1.spacing", "area-rate", 1.0),
            ("pass.1.passes", "area-covered", 1.0),
            ("pass.1.time", "area-rate", -1.0),
            ("pass.1.time", "time-per-area", 1.0),
            ("pass.1.spacing", "time-per-area", -1.0),
            ("pass.1.length", "pace", 1.0),
            ("pass.1.time", "pace", -1.0),
            ("pass.1.spacing", "pace", 0.0),
        ],
    ),
    law(
        "application-rate",
        &["timed.1.volume", "timed.1.catch-time", "timed.1.area", "timed.1.area-time"],
        &[
            ("timed.1.volume", "application-rate", 1.0),
            ("timed.1.catch-time", "application-rate", -1.0),
            ("timed.1.area", "application-rate", -1.0),
            ("timed.1.area-time", "application-rate", 1.0),
            ("timed.1.volume", "rate-per-acre", 1.0),
        ],
    ),
    law(
        "application-rate",
        &["used.1.volume", "used.1.area"],
        &[("used.1.volume", "application-rate", 1.0), ("used.1.area", "application-rate", -1.0)],
    ),
    law(
        "tank-mix",
        &["tank", "application-rate", "product.1.rate=0.02 fl oz/1000 ft2"],
        &[
            ("tank", "area-treated", 1.0),
            ("application-rate", "area-treated", -1.0),
            ("product.1.rate", "product-1-amount", 1.0),
            ("tank", "product-1-amount", 1.0),
            ("application-rate", "product-1-amount", -1.0),
            ("application-rate", "product-1-strength", -1.0),
        ],
    ),
    law(
        "tank-mix",
        &["tank", "application-rate", "product.1.rate=0.25 %", "product.2.rate=2 lb/100 gal"],
        &[
            ("product.1.rate", "product-1-amount", 1.0),
            ("application-rate", "product-1-amount", 0.0),
            ("tank", "product-2-amount", 1.0),
            ("application-rate", "product-2-amount", 0.0),
        ],
    ),
    law(
        "carrier-volume",
        &["volume.1.rate", "volume.2.rate", "tank", "area", "product.1.rate=0.02 fl oz/1000 ft2"],
        &[
            ("volume.1.rate", "volume-1-area-per-tank", -1.0),
            ("volume.1.rate", "volume-1-mix", 1.0),
            ("volume.1.rate", "volume-1-tanks", 1.0),
            ("volume.1.rate", "volume-1-strength-1", -1.0),
            ("volume.1.rate", "volume-1-product-1", 0.0),
            ("volume.1.rate", "volume-2-mix", 0.0),
            ("tank", "volume-1-tanks", -1.0),
            ("area", "volume-1-product-1", 1.0),
        ],
    ),
    law(
        "lawn-area",
        &["rectangle.1.length", "rectangle.1.width"],
        &[
            ("rectangle.1.length", "area", 1.0),
            ("rectangle.1.width", "acres", 1.0),
            ("rectangle.1.width", "square-side", 0.5),
            ("rectangle.1.width", "circle-diameter", 0.5),
        ],
    ),
    law("lawn-area", &["triangle.1.base", "triangle.1.height"], &[("triangle.1.height", "area", 1.0)]),
    law(
        "lawn-area",
        &["trapezoid.1.side-a", "trapezoid.1.side-b", "trapezoid.1.distance"],
        &[("trapezoid.1.distance", "area", 1.0)],
    ),
    law("lawn-area", &["circle.1.diameter"], &[("circle.1.diameter", "area", 2.0)]),
    law("lawn-area", &["circle.1.radius"], &[("circle.1.radius", "area", 2.0)]),
    law(
        "lawn-area",
        &["ellipse.1.length", "ellipse.1.width"],
        &[("ellipse.1.length", "area", 1.0), ("ellipse.1.width", "area", 1.0)],
    ),
    law("lawn-area", &["strip.1.width", "strip.1.length"], &[("strip.1.width", "area", 1.0)]),
    law(
        "lawn-area",
        &["offset.1.width", "offset.2.width", "offset.3.width", "offset-spacing"],
        &[("offset-spacing", "area", 1.0)],
    ),
    law(
        "usage-check",
        &["area", "application-rate", "volume-used", "time", "spacing", "product.1.rate=1.5 fl oz/1000 ft2"],
        &[
            ("volume-used", "true-rate", 1.0),
            ("area", "true-rate", -1.0),
            ("application-rate", "true-rate", 0.0),
            ("application-rate", "expected-volume", 1.0),
            ("area", "expected-volume", 1.0),
            ("time", "output", -1.0),
            ("time", "pace", -1.0),
            ("spacing", "pace", -1.0),
            ("product.1.rate", "product-1-rate", 1.0),
            ("volume-used", "product-1-share", 1.0),
            ("application-rate", "product-1-share", -1.0),
        ],
    ),
    law(
        "known-area",
        &["plot.1.width", "plot.1.length", "plot.1.volume"],
        &[
            ("plot.1.volume", "application-rate", 1.0),
            ("plot.1.width", "application-rate", -1.0),
            ("plot.1.length", "rate-per-acre", -1.0),
        ],
    ),
    law(
        "known-area",
        &["plot.1.area", "plot.1.volume"],
        &[("plot.1.area", "application-rate", -1.0), ("plot.1.area", "times-to-acre", -1.0)],
    ),
    law(
        "boom-output",
        &["nozzle-flow", "speed", "spacing", "nozzles=8", "new-speed"],
        &[
            ("nozzle-flow", "rate", 1.0),
            ("speed", "rate", -1.0),
            ("spacing", "rate", -1.0),
            ("nozzles", "total-flow", 1.0),
            ("new-speed", "new-rate", -1.0),
        ],
    ),
    law(
        "boom-output",
        &["rate", "speed", "spacing"],
        &[("rate", "nozzle-flow", 1.0), ("speed", "nozzle-flow", 1.0), ("spacing", "nozzle-flow", 1.0)],
    ),
    law("boom-output", &["rate", "nozzle-flow", "spacing"], &[("nozzle-flow", "speed", 1.0), ("rate", "speed", -1.0)]),
    law(
        "boom-output",
        &["rate", "nozzle-flow", "speed"],
        &[("nozzle-flow", "spacing", 1.0), ("rate", "spacing", -1.0)],
    ),
    law(
        "ground-speed",
        &["run.1.distance", "run.1.time", "course.1.length"],
        &[
            ("run.1.distance", "speed", 1.0),
            ("run.1.time", "speed", -1.0),
            ("course.1.length", "course-1-time", 1.0),
            ("run.1.distance", "course-1-time", -1.0),
        ],
    ),
    law(
        "pressure-flow",
        &["flow", "pressure", "new-pressure", "relative-density"],
        &[
            ("flow", "new-flow", 1.0),
            ("pressure", "new-flow", -0.5),
            ("new-pressure", "new-flow", 0.5),
            ("relative-density", "liquid-flow", -0.5),
        ],
    ),
    law(
        "pressure-flow",
        &["flow", "pressure", "wanted-flow"],
        &[
            ("wanted-flow", "needed-pressure", 2.0),
            ("flow", "needed-pressure", -2.0),
            ("pressure", "needed-pressure", 1.0),
        ],
    ),
    law(
        "pressure-flow",
        &["pressure", "speed-change"],
        &[("pressure", "needed-pressure", 1.0), ("pressure", "pressure-ratio", 0.0)],
    ),
    law(
        "tank-mix",
        &["application-rate", "area", "product.1.rate=1.5 fl oz/1000 ft2"],
        &[
            ("area", "mix-to-make", 1.0),
            ("application-rate", "mix-to-make", 1.0),
            ("area", "product-1-amount", 1.0),
            ("application-rate", "product-1-amount", 0.0),
        ],
    ),
    law(
        "nozzle-wear",
        &["rated-flow", "rated-pressure", "test-pressure", "catch-time", "nozzle.1.volume", "nozzle.2.volume"],
        &[
            ("rated-flow", "rated-catch", 1.0),
            ("catch-time", "rated-catch", 1.0),
            ("test-pressure", "rated-catch", 0.5),
            ("rated-pressure", "rated-catch", -0.5),
            ("catch-time", "mean-flow", -1.0),
        ],
    ),
    law(
        "nutrient",
        &["nitrogen=16 %", "target", "area"],
        &[
            ("target", "product-rate", 1.0),
            ("nitrogen", "product-rate", -1.0),
            ("area", "product-for-area", 1.0),
            ("target", "product-for-area", 1.0),
        ],
    ),
    law(
        "nutrient",
        &["nitrogen=12 %", "phosphate=4 %", "spread"],
        &[("spread", "nitrogen-rate", 1.0), ("nitrogen", "nitrogen-rate", 1.0), ("nitrogen", "phosphate-rate", 0.0)],
    ),
    law(
        "active-ingredient",
        &["strength=4 lb/gal", "ai-wanted=1 lb/acre", "area"],
        &[
            ("ai-wanted", "product-rate", 1.0),
            ("strength", "product-rate", -1.0),
            ("area", "product-amount", 1.0),
            ("area", "product-rate", 0.0),
        ],
    ),
    law(
        "dilution",
        &["mix=3 gal", "wanted=0.5 %"],
        &[("mix", "product-amount", 1.0), ("wanted", "product-amount", 1.0), ("mix", "per-gallon", 0.0)],
    ),
    law("active-ingredient", &["year-max=3 lb/acre", "put-on=1 lb/acre", "ai-wanted=0.3 lb/acre"], &[]),
    law(
        "dilution",
        &["plants=40", "per-plant", "wanted=2 %"],
        &[("per-plant", "plants-mix", 1.0), ("per-plant", "product-amount", 1.0), ("plants", "plants-mix", 1.0)],
    ),
    law(
        "spreader",
        &["target", "crossings=2", "area"],
        &[
            ("target", "crossing-target", 1.0),
            ("crossings", "crossing-target", -1.0),
            ("area", "product-for-area", 1.0),
        ],
    ),
    law(
        "spreader",
        &["run.1.weight", "run.1.length", "run.1.spacing", "run.1.passes=4", "target", "setting"],
        &[
            ("run.1.weight", "rate", 1.0),
            ("run.1.length", "rate", -1.0),
            ("run.1.passes", "rate", -1.0),
            ("setting", "next-setting", 1.0),
            ("target", "next-setting", 1.0),
            ("run.1.weight", "next-setting", -1.0),
        ],
    ),
    law(
        "day-plan",
        &["lawn.1.area", "lawn.2.area", "application-rate", "tank=1000 gal", "product.1.rate=0.02 fl oz/1000 ft2"],
        &[
            ("application-rate", "total-mix", 1.0),
            ("application-rate", "lawn-1-mix", 1.0),
            ("lawn.1.area", "lawn-1-mix", 1.0),
            ("lawn.1.area", "lawn-2-mix", 0.0),
            ("product.1.rate", "total-product-1", 1.0),
            ("application-rate", "total-product-1", 0.0),
            ("application-rate", "total-area", 0.0),
        ],
    ),
    law("unit-conversion", &["amount=87 gal/acre", "to=gal/1000 ft2"], &[("amount", "converted", 1.0)]),
];

#[test]
fn every_calculator_has_a_law() {
    for calculator in CALCULATORS {
        assert!(LAWS.iter().any(|law| law.calculator == calculator.id), "{} has none", calculator.id);
    }
}
