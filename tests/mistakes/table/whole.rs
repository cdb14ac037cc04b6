//! What a number is of: the whole for a part, one for several, a plain shape for an odd one.

use super::{Numbers, Row, row};

const LAWN: &[&str] = &["lawn-area/area"];

/// Gallons for all lawns of a day, and what the tank holds.
fn day(n: &Numbers) -> Option<(f64, f64)> {
    let all = n.sum("lawn", "area", "1000 ft2")? * n.n("application-rate", "gal/1000 ft2")?;
    Some((all, n.n("tank", "gal")?))
}

/// A wedge, of one width all the way, less a round part that is cut out of it.
fn wedge(n: &Numbers, width: fn(f64, f64) -> f64) -> Option<f64> {
    let (a, b) = (n.n("trapezoid.1.side-a", "ft")?, n.n("trapezoid.1.side-b", "ft")?);
    let round = n.n("circle.1.diameter", "ft").map_or(0.0, |across| std::f64::consts::PI * across * across / 4.0);
    n.say(width(a, b) * n.n("trapezoid.1.distance", "ft")? - round, "ft2")
}

/// How many times as dense as water a liquid is.
fn density(n: &Numbers) -> Option<f64> {
    n.n("relative-density", "").or(n.n("liquid-weight", "lb/gal").map(|weight| weight / 8.34))
}

pub(super) const ROWS: &[Row] = &[
    row(&["tank-mix/product-1-amount"], "whole-tank-for-part", |n| {
        n.n("fill", "gal")?;
        let mix = n.n("tank", "gal")? - n.n("left", "gal").unwrap_or(0.0);
        n.say(n.n("product.1.rate", "fl oz/1000 ft2")? * mix / n.n("application-rate", "gal/1000 ft2")?, "fl oz")
    }),
    row(&["tank-mix/area-treated"], "whole-tank-for-part", |n| {
        n.n("fill", "gal")?;
        n.say(n.n("tank", "gal")? / n.n("application-rate", "gal/1000 ft2")?, "1000 ft2")
    }),
    row(&["tank-mix/new-mix-area"], "capacity-for-mix-left", |n| {
        n.n("left", "gal")?;
        n.say(n.n("tank", "gal")? / n.n("application-rate", "gal/1000 ft2")?, "1000 ft2")
    }),
    row(&["day-plan/fill-2-product-1"], "full-tank-for-last-fill", |n| {
        let rate = n.n("product.1.rate", "fl oz/1000 ft2")?;
        n.say(rate * day(n)?.1 / n.n("application-rate", "gal/1000 ft2")?, "fl oz")
    }),
    row(&["day-plan/lawn-2-mix"], "all-lawns-for-one", |n| n.say(day(n)?.0, "gal")),
    row(&["boom-output/total-flow"], "one-nozzle-for-the-boom", |n| n.say(n.n("nozzle-flow", "gal/min")?, "gal/min")),
    row(&["catch-test/total-output"], "one-nozzle-for-the-boom", |n| {
        let nozzles = n.all("nozzle", "volume", "gal").len();
        n.say(n.sum("nozzle", "volume", "gal")? / nozzles as f64 / n.n("nozzle-time", "min")?, "gal/min")
    }),
    row(&["catch-test/mean-catch"], "sum-for-mean", |n| n.say(n.sum("nozzle", "volume", "fl oz")?, "fl oz")),
    row(&["spreader/bags"], "last-bag-left-off", |n| {
        let bags = n.n("target", "lb/1000 ft2")? * n.n("area", "1000 ft2")? / n.n("bag", "lb")?;
        (bags > 1.0 && (bags - bags.round()).abs() > 1e-6).then(|| bags.floor())
    }),
    row(LAWN, "oval-as-rectangle", |n| n.say(n.n("ellipse.1.length", "ft")? * n.n("ellipse.1.width", "ft")?, "ft2")),
    row(LAWN, "wedge-by-its-wide-side", |n| wedge(n, f64::max)),
    row(LAWN, "wedge-by-its-narrow-side", |n| wedge(n, f64::min)),
    row(&["pressure-flow/liquid-flow"], "density-in-proportion", |n| {
        n.say(n.n("flow", "gal/min")? / density(n)?, "gal/min")
    }),
];
