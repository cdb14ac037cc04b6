//! What goes into a tank, a day, a bag or a jug.

use super::{off, row};
use crate::table::Numbers;

/// Product for so much ground in so much mix, in a unit that its label rate leads to.
fn product(n: &Numbers, rate: &str, thousands: f64, gallons: f64) -> Option<f64> {
    if let Some(rate) = n.n(rate, "fl oz/1000 ft2") {
        return n.say(rate * thousands, "fl oz");
    }
    if let Some(rate) = n.n(rate, "lb/1000 ft2") {
        return n.say(rate * thousands, "lb");
    }
    if let Some(rate) = n.n(rate, "lb/gal") {
        return n.say(rate * gallons, "lb");
    }
    n.say(n.n(rate, "%")? / 100.0 * gallons, "gal")
}

/// The same where it is a liquid, gallons; 0 for a dry one.
fn liquid(n: &Numbers, rate: &str, thousands: f64, gallons: f64) -> f64 {
    match (n.n(rate, "fl oz/1000 ft2"), n.n(rate, "%")) {
        (Some(rate), _) => rate * thousands / 128.0,
        (_, Some(share)) => share / 100.0 * gallons,
        _ => 0.0,
    }
}

pub(super) fn active(n: &Numbers, result: &str) -> Option<f64> {
    if result == "visits" {
        let left = |unit: &str| Some(n.n("year-max", unit)? - n.n("put-on", unit).unwrap_or(0.0));
        let visit = |unit: &str| n.n("label-rate", unit).or(n.n("ai-wanted", unit));
        let of = |unit: &str| Some(left(unit)? / visit(unit)?);
        return of("fl oz/1000 ft2").or_else(|| of("lb/acre")).map(|visits| (visits + 1e-9).floor());
    }
    let wanted = n.n("ai-wanted", "lb/acre")?;
    match n.n("strength", "lb/gal") {
        Some(strength) => n.say(wanted / strength, "gal/acre"),
        None => n.say(wanted / (n.n("strength", "%")? / 100.0), "lb/acre"),
    }
}

pub(super) fn carried(n: &Numbers, result: &str) -> Option<f64> {
    let volume = n.n(&format!("volume.{}.rate", row(result)), "gal/1000 ft2")?;
    let thousands = n.n("area", "ft2")? / 1000.0;
    let mix = volume * thousands;
    let poured: f64 = (1..=6).map(|row| liquid(n, &format!("product.{row}.rate"), thousands, mix)).sum();
    match result.split_once("-").and_then(|(_, rest)| rest.split_once("-"))?.1 {
        "area-per-tank" => n.say(n.n("tank", "gal")? / volume * 1000.0, "ft2"),
        "mix" => n.say(mix, "gal"),
        "per-acre" => n.say(volume, "gal/1000 ft2"),
        "product-1" => product(n, "product.1.rate", thousands, mix),
        "water" => n.say(mix - poured, "gal"),
        "strength-1" => n.say(n.n("product.1.rate", "fl oz/1000 ft2")? / volume, "fl oz/gal"),
        "percent-1" => Some(n.n("product.1.rate", "fl oz/1000 ft2")? / 128.0 / volume * 100.0),
        _ => None,
    }
}

pub(super) fn planned(n: &Numbers, result: &str) -> Option<f64> {
    let (rate, tank) = (n.n("application-rate", "gal/1000 ft2")?, n.n("tank", "gal")?);
    let left = n.n("left", "gal").unwrap_or(0.0);
    let thousands = n.sum("lawn", "area", "ft2")? / 1000.0;
    // What is made new; what was left over is in the tank already.
    let made = rate * thousands - left;
    let first = made.min(tank - left);
    let of_mix = |gallons: f64| product(n, "product.1.rate", gallons / rate, gallons);
    match result {
        "total-mix" => n.say(rate * thousands, "gal"),
        "total-product-1" => of_mix(made),
        "fill-1-product-1" => of_mix(first),
        "fill-2-product-1" => of_mix((made - first).min(tank)),
        _ => n.say(rate * n.n(&format!("lawn.{}.area", row(result)), "ft2")? / 1000.0, "gal"),
    }
}

pub(super) fn diluted(n: &Numbers, result: &str) -> Option<f64> {
    let drench = || Some(n.n("plants", "")? * n.n("per-plant", "gal")?);
    let mix = n.n("mix", "gal").or_else(drench)?;
    let product = match (n.n("water-parts", ""), n.n("wanted", "%")) {
        (Some(parts), _) => mix / (1.0 + parts),
        (_, Some(wanted)) => wanted / 100.0 * mix,
        _ => 0.0,
    };
    match result {
        "plants-mix" => n.say(mix, "gal"),
        "water" => n.say(mix - product, "gal"),
        "product-amount" if n.word("by") == Some("weight") => {
            let pounds = product * n.n("density", "lb/gal").unwrap_or(8.34);
            n.say(pounds / (n.n("concentrate", "%").unwrap_or(100.0) / 100.0), "lb")
        }
        "product-amount" => n.say(product, "gal"),
        _ => None,
    }
}

pub(super) fn fed(n: &Numbers, result: &str) -> Option<f64> {
    let of = n.word("nutrient").unwrap_or("nitrogen");
    let share = n.n(of, "%")? / 100.0;
    let per_thousand = n.n("target", "lb/1000 ft2").map(|target| target / share);
    let pounds = per_thousand.zip(n.n("area", "ft2")).map(|(rate, area)| rate * area / 1000.0);
    match result {
        "product-rate" => n.say(per_thousand?, "lb/1000 ft2"),
        "product-for-area" => n.say(pounds?, "lb"),
        "nutrient-per-gallon" => n.say(share * n.n("density", "lb/gal")?, "lb/gal"),
        "liquid-for-area" => n.say(pounds? / n.n("density", "lb/gal")?, "gal"),
        _ => None,
    }
}

pub(super) fn mixed(n: &Numbers, result: &str) -> Option<f64> {
    let rate = n.n("application-rate", "gal/1000 ft2")?;
    let (tank, area) = (n.n("tank", "gal"), n.n("area", "ft2").map(|area| area / 1000.0));
    let left = n.n("left", "gal").unwrap_or(0.0);
    let needed = area.map(|area| area * rate);
    // A fill level, or as much as the lawns take, or the whole tank.
    let full = n.n("fill", "gal").or(tank);
    let level = match (full, needed) {
        (Some(full), Some(needed)) => full.min(needed),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => return None,
    };
    let fresh = level - left;
    match result {
        "area-treated" => n.say(level / rate * 1000.0, "ft2"),
        "new-mix-area" => n.say(fresh / rate * 1000.0, "ft2"),
        "mix-needed" => n.say(needed?, "gal"),
        "mix-to-make" => n.say(fresh, "gal"),
        "water-to-add" => {
            let poured: f64 = (1..=8).map(|row| liquid(n, &format!("product.{row}.rate"), fresh / rate, fresh)).sum();
            n.say(fresh - poured, "gal")
        }
        "product-1-total" => product(n, "product.1.rate", area?, needed?),
        _ => product(n, &format!("product.{}.rate", row(result)), fresh / rate, fresh),
    }
}

pub(super) fn checked(n: &Numbers, result: &str) -> Option<f64> {
    let thousands = n.n("area", "ft2")? / 1000.0;
    let card = n.n("application-rate", "gal/1000 ft2")?;
    let gauge = || Some(n.n("tank-before", "gal")? - n.n("tank-after", "gal")?);
    let used = n.n("volume-used", "gal").or_else(gauge);
    let expected = card * thousands;
    match result {
        "expected-volume" => n.say(expected, "gal"),
        "volume-used" => n.say(used?, "gal"),
        "true-rate" => n.say(used? / thousands, "gal/1000 ft2"),
        "departure" => Some(off(used?, expected)),
        "output" => n.say(used? / n.n("time", "min")?, "gal/min"),
        "time-that-fits" => n.say(expected / (used? / n.n("time", "min")?), "min"),
        "product-1-rate" => n.say(n.n("product.1.rate", "fl oz/1000 ft2")? * used? / expected, "fl oz/1000 ft2"),
        _ => None,
    }
}
