//! Lawns and plots, booms, worn tips, percentages off, and what is put right.

use super::{Numbers, Row, row};

const LAWN: &[&str] = &["lawn-area/area", "lawn-area/acres"];
const THOUSANDS: &[&str] = &["lawn-area/thousands"];
const PI: f64 = std::f64::consts::PI;

/// Parts of a lawn with their signs, each of a shape worked by `circle` and `triangle`.
fn lawn(n: &Numbers, circle: fn(f64) -> f64, triangle: fn(f64, f64) -> f64, cut: f64) -> Option<f64> {
    let mut sum = 0.0;
    let mut parts = 0;
    let mut add = |part: &str, row: usize, area: Option<f64>| {
        let Some(area) = area else { return };
        let out = n.word(&format!("{part}.{row}.effect")) == Some("cut-out");
        sum += if out { -cut * area } else { area };
        parts += 1;
    };
    for row in 1..=6 {
        let ft = |part: &str, field: &str| n.n(&format!("{part}.{row}.{field}"), "ft");
        let sides = |part: &str, one: &str, other: &str| Some((ft(part, one)?, ft(part, other)?));
        add("rectangle", row, sides("rectangle", "length", "width").map(|(one, other)| one * other));
        add("strip", row, sides("strip", "length", "width").map(|(one, other)| one * other));
        add("triangle", row, sides("triangle", "base", "height").map(|(one, other)| triangle(one, other)));
        let wedge = sides("trapezoid", "side-a", "side-b").zip(ft("trapezoid", "distance"));
        add("trapezoid", row, wedge.map(|((one, other), far)| (one + other) / 2.0 * far));
        add(
            "circle",
            row,
            ft("circle", "diameter").map(|across| circle(across / 2.0)).or(ft("circle", "radius").map(circle)),
        );
        add("known", row, n.n(&format!("known.{row}.area"), "ft2"));
    }
    // Nobody writes down a lawn of less than nothing.
    (parts > 0 && sum > 0.0).then_some(sum)
}

fn disc(radius: f64) -> f64 {
    PI * radius * radius
}

fn half(base: f64, height: f64) -> f64 {
    base * height / 2.0
}

/// Length and width of a lawn of one rectangle.
fn sides(n: &Numbers) -> Option<(f64, f64)> {
    let only = ["rectangle.2.length", "circle.1.diameter", "triangle.1.base", "known.1.area"];
    only.iter().all(|name| n.n(name, "ft").or(n.n(name, "ft2")).is_none()).then_some(())?;
    Some((n.n("rectangle.1.length", "ft")?, n.n("rectangle.1.width", "ft")?))
}

/// The right difference in percent, divided by what was measured.
fn by_what_was_measured(n: &Numbers) -> Option<f64> {
    let share = n.right() / 100.0;
    Some(share / (1.0 + share) * 100.0)
}

/// Gallons an acre by the formula of booms, in numbers as they are filled in.
fn boom(flow: f64, speed: f64, spacing: f64) -> f64 {
    5940.0 * flow / (speed * spacing)
}

/// Flow, speed and spacing of a boom; of a boomless nozzle the swath that counts.
fn filled_in(n: &Numbers) -> Option<(f64, f64, f64)> {
    Some((n.n("nozzle-flow", "gal/min")?, n.n("speed", "mph")?, n.n("spacing", "in")?))
}

/// What a tip catches in a time, ounces.
fn rated_catch(n: &Numbers, pressed: fn(f64) -> f64) -> Option<f64> {
    let ratio = n.n("test-pressure", "psi")? / n.n("rated-pressure", "psi").unwrap_or(40.0);
    Some(n.n("rated-flow", "fl oz/min")? * pressed(ratio) * n.n("catch-time", "min")?)
}

pub(super) const ROWS: &[Row] = &[
    row(LAWN, "sides-added", |n| n.say(2.0 * (sides(n)?.0 + sides(n)?.1), "ft2")),
    row(LAWN, "length-plus-width", |n| n.say(sides(n)?.0 + sides(n)?.1, "ft2")),
    row(THOUSANDS, "sides-added", |n| Some(2.0 * (sides(n)?.0 + sides(n)?.1) / 1000.0)),
    row(THOUSANDS, "length-plus-width", |n| Some((sides(n)?.0 + sides(n)?.1) / 1000.0)),
    row(LAWN, "diameter-for-radius", |n| {
        n.all("circle", "diameter", "ft").first()?;
        n.say(lawn(n, |radius| disc(2.0 * radius), half, 1.0)?, "ft2")
    }),
    row(LAWN, "radius-not-squared", |n| {
        let alone = n.given("rectangle.1.length").is_none() && n.given("trapezoid.1.side-a").is_none();
        (alone && n.given("circle.2.diameter").is_none()).then_some(())?;
        if n.in_answer("m2") == 1 {
            return Some(
                PI * n.n("circle.1.radius", "m").or(n.n("circle.1.diameter", "m").map(|across| across / 2.0))?,
            );
        }
        n.say(PI * n.n("circle.1.radius", "ft").or(n.n("circle.1.diameter", "ft").map(|across| across / 2.0))?, "ft2")
    }),
    row(LAWN, "circumference-for-area", |n| {
        let alone = n.given("rectangle.1.length").is_none() && n.given("trapezoid.1.side-a").is_none();
        (alone && n.given("circle.2.diameter").is_none()).then_some(())?;
        if n.in_answer("m2") == 1 {
            return Some(2.0 * PI * n.n("circle.1.radius", "m")?);
        }
        let across = n.n("circle.1.diameter", "ft").or(n.n("circle.1.radius", "ft").map(|radius| 2.0 * radius))?;
        n.say(PI * across, "ft2")
    }),
    row(LAWN, "triangle-without-half", |n| {
        n.given("triangle.1.base")?;
        n.say(lawn(n, disc, |base, height| base * height, 1.0)?, "ft2")
    }),
    row(LAWN, "lot-size-for-lawn-size", |n| {
        let whole = lawn(n, disc, half, 0.0)?;
        let cut = whole - lawn(n, disc, half, 1.0)?;
        (cut > 0.0).then_some(())?;
        n.say(whole, "ft2")
    }),
    row(&["lawn-area/area"], "doubling-sides-doubles-area", |n| Some(n.right() / n.n("scale", "")?)),
    row(&["lawn-area/area"], "feet-inches-as-decimal", |n| {
        let (feet, inches) = n.in_two("strip.1.width")?;
        let decimal = feet + inches / if inches < 10.0 { 10.0 } else { 100.0 };
        n.say(decimal * n.n("strip.1.length", "ft")?, "ft2")
    }),
    row(&["known-area/plot-1-area"], "185-read-as-area", |n| {
        let (width, length) = (n.n("plot.1.width", "ft")?, n.n("plot.1.length", "ft")?);
        (width.to_bits() == length.to_bits()).then_some(width)
    }),
    row(&["spreader/rate"], "one-pass-only", |n| {
        let passes = n.n("run.1.passes", "").filter(|passes| *passes > 1.0)?;
        n.n("run.2.weight", "lb").is_none().then(|| n.right() * passes)
    }),
    row(&["spreader/rate"], "not-scaled-to-1000", |n| n.called(n.sum("run", "weight", "lb")?, "lb/1000 ft2")),
    row(&["spreader/rate"], "thousands-forgotten", |n| n.called(n.right() / 1000.0, "lb/1000 ft2")),
    row(&["usage-check/true-rate"], "not-scaled-to-1000", |n| {
        let used = |unit: &str| {
            let gauge = || Some(n.n("tank-before", unit)? - n.n("tank-after", unit)?);
            n.n("volume-used", unit).or_else(gauge)
        };
        n.called(used("gal")?, "gal/1000 ft2").or(n.called(used("L")?, "L/100 m2"))
    }),
    row(&["usage-check/true-rate"], "thousands-forgotten", |n| {
        n.called(n.right() / 1000.0, "gal/1000 ft2").or(n.called(n.right() / 100.0, "L/100 m2"))
    }),
    row(&["known-area/application-rate", "known-area/rate-per-acre"], "ounces-left-as-gallons", |n| {
        (n.in_answer("gal") == 1).then(|| n.right() * 128.0)
    }),
    row(&["pressure-flow/new-flow"], "pressures-upside-down", |n| {
        let ratio = n.n("new-pressure", "psi")? / n.n("pressure", "psi")?;
        Some(n.right() / ratio)
    }),
    row(&["boom-output/rate"], "5940-with-feet", |n| {
        (!n.metric()).then_some(())?;
        let (flow, speed, spacing) = filled_in(n)?;
        n.say(boom(flow, speed, spacing / 12.0), "gal/acre")
    }),
    row(&["boom-output/rate-per-1000-ft2"], "5940-with-feet", |n| {
        let (flow, speed, spacing) = filled_in(n)?;
        n.say(boom(flow, speed, spacing / 12.0) / 43.56, "gal/1000 ft2")
    }),
    row(&["boom-output/nozzle-flow"], "5940-with-feet", |n| {
        n.say(n.n("rate", "gal/acre")? * n.n("speed", "mph")? * n.n("spacing", "ft")? / 5940.0, "gal/min")
    }),
    row(&["boom-output/rate"], "one-nozzle-flow-with-boom-width", |n| {
        let (flow, speed, spacing) = filled_in(n)?;
        n.say(boom(flow, speed, spacing * n.n("nozzles", "")?), "gal/acre")
    }),
    row(&["boom-output/rate-per-1000-ft2"], "one-nozzle-flow-with-boom-width", |n| {
        let (flow, speed, spacing) = filled_in(n)?;
        n.say(boom(flow, speed, spacing * n.n("nozzles", "")?) / 43.56, "gal/1000 ft2")
    }),
    row(&["boom-output/rate"], "boom-flow-with-nozzle-spacing", |n| {
        let (flow, speed, spacing) = filled_in(n)?;
        n.say(boom(flow * n.n("nozzles", "")?, speed, spacing), "gal/acre")
    }),
    row(&["boom-output/rate-per-1000-ft2"], "boom-flow-with-nozzle-spacing", |n| {
        let (flow, speed, spacing) = filled_in(n)?;
        n.say(boom(flow * n.n("nozzles", "")?, speed, spacing) / 43.56, "gal/1000 ft2")
    }),
    row(&["boom-output/nozzle-flow"], "boom-flow-for-each-nozzle", |n| {
        let swath = n.n("spacing", "in")? * n.n("nozzles", "")?;
        n.say(n.n("rate", "gal/acre")? * n.n("speed", "mph")? * swath / 5940.0, "gal/min")
    }),
    row(&["boom-output/rate-change"], "speed-change-for-rate-change", |n| {
        let (old, new) = (n.n("speed", "mph")?, n.n("new-speed", "mph")?);
        Some((old - new) / old * 100.0)
    }),
    row(&["pressure-flow/flow-change"], "flow-change-linear", |n| {
        let (old, new) = (n.n("pressure", "psi")?, n.n("new-pressure", "psi")?);
        Some((new - old) / old * 100.0)
    }),
    row(&["boom-output/rate-per-1000-ft2"], "gpa-constant-for-per-1000", |n| {
        let (flow, speed, spacing) = filled_in(n)?;
        n.called(boom(flow, speed, spacing), "gal/1000 ft2")
    }),
    row(&["boom-output/nozzle-flow"], "5940-solved-backwards", |n| {
        n.called(boom(n.n("rate", "gal/acre")?, n.n("speed", "mph")?, n.n("spacing", "in")?), "gal/min")
    }),
    row(&["boom-output/rate"], "wetted-width-used-as-pass-width", |n| {
        let (flow, speed) = (n.n("nozzle-flow", "gal/min")?, n.n("speed", "mph")?);
        n.say(boom(flow, speed, n.n("wetted-width", "in")?), "gal/acre")
    }),
    row(&["boom-output/new-rate"], "faster-walk-more-spray", |n| {
        let (flow, speed, spacing) = filled_in(n)?;
        n.say(boom(flow, speed, spacing) * n.n("new-speed", "mph")? / speed, "gal/acre")
    }),
    row(&["boom-output/boom-width"], "gaps-counted-instead-of-nozzles", |n| {
        n.say((n.n("nozzles", "")? - 1.0) * n.n("spacing", "ft")?, "ft")
    }),
    row(
        &[
            "application-rate/run-1-departure",
            "application-rate/target-departure",
            "catch-test/nozzle-2-departure",
            "catch-test/nozzle-4-departure",
            "ground-speed/against-wanted",
            "nozzle-wear/mean-wear",
            "nozzle-wear/nozzle-2-wear",
            "nozzle-wear/nozzle-3-departure",
            "spreader/departure",
            "usage-check/departure",
        ],
        "percent-error-on-wrong-base",
        by_what_was_measured,
    ),
    row(
        &[
            "application-rate/run-1-departure",
            "application-rate/target-departure",
            "boom-output/rate-change",
            "catch-test/nozzle-2-departure",
            "catch-test/nozzle-4-departure",
            "ground-speed/against-wanted",
            "nozzle-wear/mean-wear",
            "nozzle-wear/nozzle-2-wear",
            "nozzle-wear/nozzle-3-departure",
            "pressure-flow/flow-change",
            "spreader/departure",
            "usage-check/departure",
        ],
        "ratio-read-as-percent-off",
        |n| Some(100.0 + n.right()),
    ),
    row(&["nozzle-wear/mean-wear"], "worn-set-compared-with-itself", |n| {
        let tips = n.all("nozzle", "volume", "fl oz");
        let mean = tips.iter().sum::<f64>() / tips.len() as f64;
        Some((tips.iter().fold(0.0, |most: f64, tip| most.max(*tip)) / mean - 1.0) * 100.0)
    }),
    row(&["nozzle-wear/nozzle-2-wear"], "worn-set-compared-with-itself", |n| {
        let tips = n.all("nozzle", "volume", "fl oz");
        let mean = tips.iter().sum::<f64>() / tips.len() as f64;
        Some((tips.get(1)? / mean - 1.0) * 100.0)
    }),
    row(&["nozzle-wear/rated-catch"], "rated-flow-at-other-pressure", |n| n.say(rated_catch(n, |_| 1.0)?, "fl oz")),
    row(&["nozzle-wear/rated-catch"], "rated-flow-linear", |n| n.say(rated_catch(n, |ratio| ratio)?, "fl oz")),
    row(&["nozzle-wear/rated-flow-at-test"], "rated-flow-at-other-pressure", |n| {
        n.say(n.n("rated-flow", "gal/min")?, "gal/min")
    }),
    row(&["nozzle-wear/rated-flow-at-test"], "rated-flow-linear", |n| {
        let ratio = n.n("test-pressure", "psi")? / n.n("rated-pressure", "psi").unwrap_or(40.0);
        n.say(n.n("rated-flow", "gal/min")? * ratio, "gal/min")
    }),
    row(&["nozzle-wear/rated-flow"], "nozzle-code-decimal", |n| n.say(n.n("tip-code", "")? % 100.0, "gal/min")),
    row(&["usage-check/time-that-fits"], "correction-wrong-way", |n| {
        let meant = n.n("application-rate", "gal/1000 ft2")? * n.n("area", "1000 ft2")?;
        n.say(n.n("time", "min")? * n.n("volume-used", "gal")? / meant, "min")
    }),
];
