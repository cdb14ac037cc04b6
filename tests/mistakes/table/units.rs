//! One unit taken for another: what becomes of a right answer in which the two meet.

use super::{Numbers, Row, row};

const OUNCES: &[&str] = &[
    "catch-test/nozzle-output",
    "catch-test/mean-output",
    "catch-test/total-output",
    "application-rate/application-rate",
    "application-rate/rate-per-acre",
    "known-area/application-rate",
    "known-area/rate-per-acre",
    "tank-mix/product-1-amount",
    "tank-mix/product-1-total",
    "tank-mix/product-2-amount",
    "dilution/product-amount",
    "unit-conversion/converted",
];
const CONVERTED: &[&str] = &["unit-conversion/converted"];
const DOSES: &[&str] = &["tank-mix/product-1-amount", "day-plan/total-product-1"];
const GROUND: &[&str] = &["application-rate/rate-per-acre", "known-area/rate-per-acre"];

/// What is measured out, converted or caught, by its unit: the first of these that is given.
const MEASURED: &[&str] = &[
    "amount",
    "wanted",
    "product.2.rate",
    "product.1.rate",
    "mix",
    "catch.1.volume",
    "nozzle.1.volume",
    "timed.1.volume",
    "plot.1.volume",
];

fn measured(n: &Numbers) -> Option<&'static str> {
    MEASURED.iter().copied().find(|name| n.0.typed(name).is_some())
}

/// 1 where fluid ounces become gallons, -1 where gallons become fluid ounces, 0 elsewhere.
fn to_gallons(n: &Numbers) -> i32 {
    let Some(name) = measured(n) else { return 0 };
    let into = |symbol: &str| n.in_answer(symbol) == 1;
    let from = |symbol: &str| n.in_given(name, symbol) == 1;
    // A share of a mix in gallons is measured out of it.
    let share = n.in_given(name, "%") == 1 && n.n("per-plant", "fl oz").is_none()
        || name == "mix" && n.in_given("mix", "gal") == 1;
    match () {
        () if from("fl oz") && into("gal") => 1,
        () if from("gal") && into("fl oz") || share && into("fl oz") => -1,
        () => 0,
    }
}

/// The right answer if a gallon had `ounces`.
fn gallon_of(n: &Numbers, ounces: f64) -> Option<f64> {
    // Of 1 gal 24 fl oz only the ounces are read that way.
    if let Some((gallons, rest)) = n.in_two("catch.1.volume") {
        (n.in_answer("gal") == 1).then_some(())?;
        return Some((gallons + rest / ounces) / n.n("catch.1.time", "min")?);
    }
    match to_gallons(n) {
        0 => None,
        1 => Some(n.right() * 128.0 / ounces),
        _ => Some(n.right() * ounces / 128.0),
    }
}

/// 1 where a rate for 1000 ft² becomes one for an acre, -1 the other way around.
fn to_acres(n: &Numbers) -> i32 {
    let from = |symbol: &str| n.in_given("amount", symbol) == -1;
    match () {
        () if from("1000 ft2") && n.in_answer("acre") == -1 => 1,
        () if from("acre") && n.in_answer("1000 ft2") == -1 => -1,
        () => 0,
    }
}

/// The right answer with thousands in an acre taken otherwise.
fn acre_of(n: &Numbers, thousands: f64) -> Option<f64> {
    match to_acres(n) {
        1 => Some(n.right() / 43.56 * thousands),
        -1 => Some(n.right() * 43.56 / thousands),
        _ => None,
    }
}

/// Of a rate of spray that is worked out by the acre from ground in square feet.
fn ground(n: &Numbers, thousands: f64) -> Option<f64> {
    (n.in_answer("acre") == -1).then(|| n.right() / 43.56 * thousands)
}

pub(super) const ROWS: &[Row] = &[
    row(OUNCES, "128-forgotten-divides-by-100", |n| {
        (measured(n).is_none_or(|name| n.in_given(name, "%") == 0)).then_some(())?;
        gallon_of(n, 100.0)
    }),
    row(OUNCES, "quart-for-gallon", |n| gallon_of(n, 32.0)),
    row(OUNCES, "pints-read-as-quarts", |n| {
        let name = measured(n)?;
        (n.in_given(name, "pt") == 1 && n.in_answer("pt") == 0).then(|| n.right() * 2.0)
    }),
    row(&["day-plan/total-product-1"], "pints-read-as-quarts", |n| {
        (n.in_given("product.1.rate", "pt") == 1).then(|| n.right() * 2.0)
    }),
    row(OUNCES, "teaspoons-per-fluid-ounce", |n| {
        (n.in_answer("tsp") == 1 && n.in_given(measured(n)?, "fl oz") == 1).then(|| n.right() / 2.0)
    }),
    row(OUNCES, "gram-ounce-used-for-millilitres", |n| {
        let name = measured(n)?;
        match (n.in_given(name, "fl oz"), n.in_given(name, "mL")) {
            (1, _) if n.in_answer("mL") == 1 => Some(n.right() / 29.5735 * 28.35),
            (_, 1) if n.in_answer("fl oz") == 1 => Some(n.right() * 29.5735 / 28.35),
            _ => None,
        }
    }),
    row(CONVERTED, "acre-rate-used-per-1000", |n| if to_acres(n) == -1 { acre_of(n, 1.0) } else { None }),
    row(CONVERTED, "per-1000-rate-used-per-acre", |n| if to_acres(n) == 1 { acre_of(n, 1.0) } else { None }),
    row(CONVERTED, "4356-wrong-direction", |n| acre_of(n, 1.0 / 43.56)),
    row(CONVERTED, "4356-and-43560-mixed", |n| acre_of(n, 43_560.0)),
    row(CONVERTED, "acre-rounded-to-40000", |n| {
        if to_acres(n) != 0 {
            return acre_of(n, 40.0);
        }
        match (n.in_given("amount", "acre"), n.in_answer("acre")) {
            (1, 0) if n.in_answer("ft2") == 1 => Some(n.right() / 43.56 * 40.0),
            (0, 1) if n.in_given("amount", "ft2") == 1 => Some(n.right() * 43.56 / 40.0),
            _ => None,
        }
    }),
    row(GROUND, "acre-rounded-to-40000", |n| ground(n, 40.0)),
    row(GROUND, "per-1000-rate-used-per-acre", |n| {
        n.0.result.starts_with("rate").then_some(())?;
        n.0.typed("plot.1.width").is_none().then_some(())?;
        ground(n, 1.0)
    }),
    row(&["application-rate/rate-per-acre"], "4356-wrong-direction", |n| ground(n, 1.0 / 43.56)),
    row(&["application-rate/rate-per-acre"], "4356-and-43560-mixed", |n| ground(n, 43_560.0)),
    row(DOSES, "acre-rounded-to-40000", |n| {
        match (n.in_given("product.1.rate", "acre"), n.in_given("application-rate", "acre")) {
            (-1, 0) => Some(n.right() * 43.56 / 40.0),
            (0, -1) => Some(n.right() / 43.56 * 40.0),
            _ => None,
        }
    }),
    row(DOSES, "acre-rate-used-per-1000", |n| {
        let crossed = n.in_given("product.1.rate", "acre") == -1 && n.in_given("application-rate", "acre") == 0;
        crossed.then(|| n.right() * 43.56)
    }),
    row(DOSES, "per-1000-rate-used-per-acre", |n| {
        let crossed = n.in_given("product.1.rate", "1000 ft2") == -1 && n.in_given("application-rate", "acre") == -1;
        crossed.then(|| n.right() / 43.56)
    }),
    row(&["tank-mix/product-1-amount"], "4356-wrong-direction", |n| {
        let crossed = n.in_given("product.1.rate", "1000 ft2") == -1 && n.in_given("application-rate", "acre") == -1;
        crossed.then(|| n.right() / 43.56 / 43.56)
    }),
    row(&["tank-mix/area-treated"], "acre-rounded-to-40000", |n| crossed(n, 40.0)),
    row(&["tank-mix/area-treated"], "4356-wrong-direction", |n| crossed(n, 1.0 / 43.56)),
    row(&["tank-mix/area-treated"], "4356-and-43560-mixed", |n| crossed(n, 43_560.0)),
    row(&["tank-mix/area-treated", "unit-conversion/converted"], "imperial-and-us-gallon", |n| {
        let name = if n.0.typed("amount").is_some() { "amount" } else { "tank" };
        (n.in_given(name, "imp gal") == 1).then(|| n.right() / 1.20095)
    }),
    row(CONVERTED, "feet-per-second-as-mph", |n| n.own("amount", "ft/s").filter(|_| n.in_answer("mi") == 1)),
    row(CONVERTED, "litres-per-hectare-wrong-way", |n| {
        let amount = n.own("amount", "L/ha")?;
        (n.in_answer("acre") == -1).then(|| amount * amount / n.right())
    }),
    row(CONVERTED, "square-yard-as-three-square-feet", |n| {
        (n.in_given("amount", "yd2") == 1 && n.in_answer("ft2") == 1).then(|| n.right() / 3.0)
    }),
];

/// Ground that a tank treats where the spray is by the acre and the ground in square feet.
fn crossed(n: &Numbers, thousands: f64) -> Option<f64> {
    (n.in_given("application-rate", "acre") == -1 && n.in_answer("ft2") == 1).then(|| n.right() / 43.56 * thousands)
}
