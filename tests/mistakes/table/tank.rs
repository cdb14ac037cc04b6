//! Tanks, carrier volumes, mixes, active ingredient and nutrients.

use super::{Numbers, Row, row};

const AMOUNT: &[&str] = &["tank-mix/product-1-amount"];
const FILL_1: &[&str] = &["day-plan/fill-1-product-1"];
const FILL_2: &[&str] = &["day-plan/fill-2-product-1"];
const TREATED: &[&str] = &["tank-mix/area-treated"];
const DILUTED: &[&str] = &["dilution/product-amount"];
const STRENGTH: &[&str] = &["carrier-volume/volume-2-strength-1"];

/// Gallons of new mix, and what they would be if the tank were empty.
fn mixed(n: &Numbers) -> Option<(f64, f64)> {
    let rate = n.n("application-rate", "gal/1000 ft2")?;
    let needed = n.n("area", "1000 ft2").map(|area| area * rate);
    let tank = n.n("tank", "gal")?;
    let level = n.n("fill", "gal").or(needed.map(|needed| needed.min(tank))).unwrap_or(tank);
    Some((level - n.n("left", "gal").unwrap_or(0.0), level))
}

/// A label rate as typed: its number for one of its areas, and the unit that the number is in.
fn rate(n: &Numbers) -> Option<(f64, &'static str)> {
    const RATES: [(&str, &str); 7] = [
        ("fl oz/1000 ft2", "fl oz"),
        ("oz/1000 ft2", "oz"),
        ("pt/acre", "pt"),
        ("qt/acre", "qt"),
        ("fl oz/acre", "fl oz"),
        ("lb/acre", "lb"),
        ("mL/100 m2", "mL"),
    ];
    RATES.iter().find_map(|(whole, amount)| Some((n.own("product.1.rate", whole)?, *amount)))
}

/// So much for each gallon of mix, as if a gallon went over one of the label's areas.
fn by_gallons(n: &Numbers, gallons: f64) -> Option<f64> {
    let (rate, unit) = rate(n)?;
    let mix = if n.in_given("application-rate", "L") == 1 { gallons * 3.785_411_784 } else { gallons };
    n.say(rate * mix, unit)
}

/// What goes into a whole tank, nothing being left in it.
fn in_a_full_tank(n: &Numbers) -> Option<f64> {
    let ((_, level), water) = (mixed(n)?, n.n("application-rate", "gal/1000 ft2")?);
    let (rate, unit) = rate(n)?;
    (n.in_given("product.1.rate", "1000 ft2") == -1).then_some(())?;
    n.say(rate * level / water, unit)
}

/// Gallons of all lawns of a day, with the tank's size and what is left in it.
fn day(n: &Numbers) -> Option<(f64, f64, f64)> {
    let all = n.sum("lawn", "area", "1000 ft2")? * n.n("application-rate", "gal/1000 ft2")?;
    Some((all, n.n("tank", "gal")?, n.n("left", "gal").unwrap_or(0.0)))
}

/// The percentage wanted, of the first product or of a mix.
fn percent(n: &Numbers) -> Option<(f64, f64)> {
    if let Some(wanted) = n.own("wanted", "%") {
        (n.word("by") != Some("weight")).then_some(())?;
        let plants = || Some(n.n("plants", "")? * n.n("per-plant", "fl oz")?);
        return Some((wanted, n.n("mix", "fl oz").or_else(plants)?));
    }
    let rate = n.own("product.2.rate", "%").or(n.own("product.1.rate", "%"))?;
    Some((rate, mixed(n)?.0 * 128.0))
}

/// Pounds of nutrient wanted on the ground, or on one area where no ground is given.
fn wished(n: &Numbers) -> Option<f64> {
    let target = n.n("target", "lb/1000 ft2")?;
    Some(target * n.n("area", "1000 ft2").unwrap_or(1.0))
}

/// Product of a weight, in the unit of the answer; a liquid's by what a gallon of it weighs.
fn weighed(n: &Numbers, pounds: f64) -> Option<f64> {
    match n.n("density", "lb/gal") {
        Some(density) if n.in_answer("gal") == 1 => n.say(pounds / density, "gal"),
        _ if n.in_answer("1000 ft2") == -1 => n.say(pounds, "lb/1000 ft2"),
        _ => n.say(pounds, "lb"),
    }
}

const NUTRIENTS: &[&str] = &["nutrient/product-rate", "nutrient/product-for-area", "nutrient/liquid-for-area"];
const ACTIVE: &[&str] = &["active-ingredient/product-rate", "active-ingredient/small-rate"];

pub(super) const ROWS: &[Row] = &[
    row(AMOUNT, "gallons-taken-for-thousands", |n| by_gallons(n, mixed(n)?.0)),
    row(AMOUNT, "capacity-for-mix-left", |n| {
        (n.n("left", "gal")? > 0.0).then_some(())?;
        in_a_full_tank(n)
    }),
    row(&["tank-mix/mix-to-make"], "capacity-for-mix-left", |n| {
        (n.n("left", "gal")? > 0.0).then_some(())?;
        n.say(mixed(n)?.1, "gal")
    }),
    row(FILL_1, "gallons-taken-for-thousands", |n| by_gallons(n, day(n)?.1.min(day(n)?.0) - day(n)?.2)),
    row(FILL_2, "gallons-taken-for-thousands", |n| by_gallons(n, day(n)?.0 - day(n)?.1)),
    row(FILL_1, "capacity-for-mix-left", |n| {
        ((day(n)?.2) > 0.0).then_some(())?;
        let (rate, unit) = rate(n)?;
        n.say(rate * day(n)?.1.min(day(n)?.0) / n.n("application-rate", "gal/1000 ft2")?, unit)
    }),
    row(TREATED, "area-per-tank-upside-down", |n| {
        let gallons = mixed(n)?.1;
        if n.in_given("application-rate", "acre") == -1 {
            return n.say(n.n("application-rate", "gal/acre")? / gallons, "acre");
        }
        n.say(n.n("application-rate", "gal/1000 ft2")? / gallons, "1000 ft2")
    }),
    row(&["tank-mix/new-mix-area"], "area-per-tank-upside-down", |n| {
        n.say(n.n("application-rate", "gal/1000 ft2")? / mixed(n)?.0, "1000 ft2")
    }),
    row(&["carrier-volume/volume-2-area-per-tank"], "area-per-tank-upside-down", |n| {
        n.say(n.n("volume.2.rate", "gal/1000 ft2")? / n.n("tank", "gal")?, "1000 ft2")
    }),
    row(TREATED, "tank-times-rate", |n| {
        let gallons = mixed(n)?.1;
        if n.in_given("application-rate", "acre") == -1 {
            return n.say(gallons * n.n("application-rate", "gal/acre")?, "acre");
        }
        n.say(gallons * n.n("application-rate", "gal/1000 ft2")?, "1000 ft2")
    }),
    row(&["carrier-volume/volume-2-area-per-tank"], "tank-times-rate", |n| {
        n.say(n.n("volume.2.rate", "gal/1000 ft2")? * n.n("tank", "gal")?, "1000 ft2")
    }),
    row(TREATED, "thousands-forgotten", |n| {
        n.own("application-rate", "gal/1000 ft2")?;
        n.called(mixed(n)?.1 / n.n("application-rate", "gal/1000 ft2")?, "ft2")
    }),
    row(&["carrier-volume/volume-2-area-per-tank"], "thousands-forgotten", |n| {
        n.called(n.n("tank", "gal")? / n.own("volume.2.rate", "gal/1000 ft2")?, "ft2")
    }),
    row(&["tank-mix/mix-to-make"], "thousands-forgotten", |n| {
        (n.n("left", "gal").unwrap_or(0.0) == 0.0).then_some(())?;
        n.say(n.own("area", "ft2")? * n.own("application-rate", "gal/1000 ft2")?, "gal")
    }),
    row(&["tank-mix/mix-to-make"], "area-divided-by-rate", |n| {
        (n.n("left", "gal").unwrap_or(0.0) == 0.0).then_some(())?;
        n.say(n.n("area", "ft2")? / 1000.0 / n.own("application-rate", "gal/1000 ft2")?, "gal")
    }),
    row(TREATED, "below-label-water-volume", |n| {
        let (habit, label) = (n.n("habit", "gal/1000 ft2")?, n.n("application-rate", "gal/1000 ft2")?);
        if habit < label { n.say(n.n("tank", "gal")? / habit, "1000 ft2") } else { None }
    }),
    row(&["tank-mix/water-to-add"], "product-volume-on-top", |n| n.say(mixed(n)?.0, "gal")),
    row(&["carrier-volume/volume-2-water"], "product-volume-on-top", |n| {
        n.say(n.n("volume.2.rate", "gal/1000 ft2")? * n.n("area", "1000 ft2")?, "gal")
    }),
    row(&["dilution/water"], "product-volume-on-top", |n| n.say(n.n("mix", "gal")?, "gal")),
    row(AMOUNT, "per-100-gal-rate-as-per-area", |n| n.say(n.own("product.1.rate", "pt/100 gal")?, "pt")),
    row(DILUTED, "per-100-gal-rate-as-per-area", |n| n.say(n.own("wanted", "pt/100 gal")?, "pt")),
    row(&["tank-mix/product-2-amount"], "surfactant-on-product-not-spray", |n| {
        let product =
            n.n("product.1.rate", "fl oz/1000 ft2")? * mixed(n)?.0 / n.n("application-rate", "gal/1000 ft2")?;
        n.say(product * n.own("product.2.rate", "%")? / 100.0, "fl oz")
    }),
    row(
        &["tank-mix/product-1-amount", "tank-mix/product-2-amount", "dilution/product-amount"],
        "percent-as-whole-number",
        |n| n.say(percent(n)?.0 * percent(n)?.1, "fl oz"),
    ),
    row(
        &["tank-mix/product-1-amount", "tank-mix/product-2-amount", "dilution/product-amount"],
        "percent-as-ounces-per-gallon",
        |n| if n.metric() { None } else { n.say(percent(n)?.0 * percent(n)?.1 / 128.0, "fl oz") },
    ),
    row(AMOUNT, "fluid-ounce-cup-for-dry-ounces", |n| {
        let ounces = rate(n)?.0 * mixed(n)?.0 / n.n("application-rate", "gal/1000 ft2")?;
        n.say(ounces / 128.0 * n.n("bulk-density", "oz/gal")?, "oz")
    }),
    row(AMOUNT, "rounding-early", |n| {
        let water = n.own("application-rate", "gal/1000 ft2")?;
        (water >= 0.5 && (water * 10.0).fract() > 1e-6).then_some(())?;
        n.given("label-max").or(n.given("product.1.label-max"))?;
        n.say(rate(n)?.0 * mixed(n)?.0 / water.round(), "fl oz")
    }),
    row(TREATED, "rounding-early", |n| {
        let water = n.own("application-rate", "gal/1000 ft2")?;
        (water >= 1.0 && (water * 10.0 - (water * 10.0).round()).abs() > 1e-6).then_some(())?;
        n.say(n.n("tank", "gal")? / water.round(), "1000 ft2")
    }),
    row(&["carrier-volume/volume-2-area-per-tank"], "rounding-early", |n| {
        let water = n.own("volume.2.rate", "gal/1000 ft2")?;
        ((water * 10.0 - (water * 10.0).round()).abs() > 1e-6).then_some(())?;
        n.say(n.n("tank", "gal")? / water.round(), "1000 ft2")
    }),
    row(&["tank-mix/product-1-amount", "day-plan/total-product-1"], "ordered-rate-over-the-label", |n| {
        let (order, water) = (n.n("order", "fl oz/1000 ft2")?, n.n("application-rate", "gal/1000 ft2")?);
        let ground = n.sum("lawn", "area", "1000 ft2").or(n.n("tank", "gal").map(|tank| tank / water))?;
        n.say(order * ground, "fl oz")
    }),
    row(DILUTED, "ordered-rate-over-the-label", |n| n.say(n.n("order", "%")? / 100.0 * n.n("mix", "fl oz")?, "fl oz")),
    row(&["spreader/product-for-area"], "ordered-rate-over-the-label", |n| {
        n.say(n.n("order", "lb/1000 ft2")? * n.n("area", "1000 ft2")?, "lb")
    }),
    row(&["nutrient/product-for-area"], "ordered-rate-over-the-label", |n| {
        let nutrient = n.n("order", "lb/1000 ft2")? * n.n("area", "1000 ft2")?;
        n.say(nutrient * 100.0 / n.own("nitrogen", "%")?, "lb")
    }),
    row(&["carrier-volume/volume-2-area-per-tank"], "reach-at-the-old-volume", |n| {
        n.say(n.n("tank", "gal")? / n.n("volume.1.rate", "gal/1000 ft2")?, "1000 ft2")
    }),
    row(&["carrier-volume/volume-2-mix"], "water-at-the-old-volume", |n| {
        n.say(n.n("area", "1000 ft2")? * n.n("volume.1.rate", "gal/1000 ft2")?, "gal")
    }),
    row(&["carrier-volume/volume-2-water"], "water-at-the-old-volume", |n| {
        let thousands = n.n("area", "1000 ft2")?;
        let product = n.n("product.1.rate", "gal/1000 ft2").unwrap_or(0.0);
        n.say(thousands * (n.n("volume.1.rate", "gal/1000 ft2")? - product), "gal")
    }),
    row(STRENGTH, "same-ounces-per-gallon-at-lower-volume", |n| as_at_first(n, true)),
    row(STRENGTH, "same-ounces-per-gallon-at-higher-volume", |n| as_at_first(n, false)),
    row(&["carrier-volume/volume-2-product-1"], "same-ounces-per-gallon-at-higher-volume", |n| {
        let (first, second) = (n.n("volume.1.rate", "gal/1000 ft2")?, n.n("volume.2.rate", "gal/1000 ft2")?);
        (second > first).then_some(())?;
        n.say(rate(n)?.0 / first * second * n.n("area", "1000 ft2")?, rate(n)?.1)
    }),
    row(DILUTED, "additive-scaling", |n| {
        let (each, old, new) = (n.n("wanted", "fl oz/gal")?, n.n("old-mix", "gal")?, n.n("mix", "gal")?);
        n.say(each * old + (new - old), "fl oz")
    }),
    row(DILUTED, "ratio-parts", |n| n.say(n.n("mix", "fl oz")? / n.n("water-parts", "")?, "fl oz")),
    row(DILUTED, "water-weight-forgotten", |n| {
        (n.word("by") == Some("weight")).then_some(())?;
        n.called(n.n("mix", "gal")? * n.n("wanted", "%")? / n.n("concentrate", "%")?, "lb")
    }),
    row(ACTIVE, "ai-rate-as-product-rate-liquid", |n| {
        if let Some(kilograms) = n.own("ai-wanted", "kg/ha") {
            return n.called(kilograms, "L/ha");
        }
        n.own("strength", "lb/gal")?;
        n.say(n.n("ai-wanted", "lb/acre")?, "gal/acre")
    }),
    row(ACTIVE, "ai-rate-as-product-rate-dry", |n| {
        n.own("strength", "%")?;
        n.say(n.n("ai-wanted", "lb/acre")?, "lb/acre")
    }),
    row(ACTIVE, "multiplied-by-strength", |n| {
        n.say(n.n("ai-wanted", "lb/acre")? * n.own("strength", "lb/gal")?, "gal/acre")
    }),
    row(ACTIVE, "multiplies-by-percent-ai", |n| {
        n.say(n.n("ai-wanted", "lb/acre")? * n.own("strength", "%")? / 100.0, "lb/acre")
    }),
    row(&["active-ingredient/visits"], "applications-rounded-up", |n| {
        let put_on = n.n("put-on", "lb/acre").unwrap_or(0.0);
        match n.n("year-max", "fl oz/1000 ft2").zip(n.n("label-rate", "fl oz/1000 ft2")) {
            Some((most, each)) => Some((most / each - 1e-9).ceil()),
            None => Some(((n.n("year-max", "lb/acre")? - put_on) / n.n("ai-wanted", "lb/acre")? - 1e-9).ceil()),
        }
    }),
    row(&["active-ingredient/visits"], "yearly-total-forgotten", |n| {
        n.n("put-on", "lb/acre")?;
        Some((n.n("year-max", "lb/acre")? / n.n("ai-wanted", "lb/acre")? + 1e-9).floor())
    }),
    row(NUTRIENTS, "pound-of-fertilizer-for-pound-of-nitrogen", |n| weighed(n, wished(n)?)),
    row(NUTRIENTS, "multiplies-by-percent-ai", |n| weighed(n, wished(n)? * n.own("nitrogen", "%")? / 100.0)),
    row(&["nutrient/nutrient-per-gallon"], "liquid-fertilizer-weight-as-water", |n| {
        n.say(8.34 * n.own("nitrogen", "%")? / 100.0, "lb/gal")
    }),
    row(&["nutrient/liquid-for-area"], "liquid-fertilizer-weight-as-water", |n| {
        n.say(wished(n)? * 100.0 / n.own("nitrogen", "%")? / 8.34, "gal")
    }),
];

/// The strength of the first volume, kept at the second.
fn as_at_first(n: &Numbers, lower: bool) -> Option<f64> {
    let (first, second) = (n.n("volume.1.rate", "gal/1000 ft2")?, n.n("volume.2.rate", "gal/1000 ft2")?);
    ((second < first) == lower).then_some(())?;
    n.say(n.n("product.1.rate", "fl oz/1000 ft2")? / first, "fl oz/gal")
}
