//! The right answer of every kind of question, by formulas as a bulletin prints them, written apart from the core: each
//! template at many seeds.
//!
//! Sources of the constants: 43,560 ft² to an acre, 128 fl oz to a gallon, 88 ft/min to a mile an hour, 5940 for booms
//! (gal/acre, gal/min, mph, inches), flow as the root of pressure and of the weight of the liquid (water 8.34 lb/gal).

mod tank;

use crate::apart::on_all_cores;
use crate::banks;
use crate::table::Numbers;
use std::collections::BTreeSet;
use tank::{active, carried, checked, diluted, fed, mixed, planned};
use tankside_calc::question::Question;
use tankside_calc::question::template::Posed;

const SEEDS: u32 = 60;
const PI: f64 = std::f64::consts::PI;

/// Gallons a minute from catches in ounces and seconds.
fn gallons_a_minute(ounces: f64, seconds: f64) -> f64 {
    ounces / 128.0 / (seconds / 60.0)
}

/// Gallons and thousands of square feet of the timed areas and the refills together.
fn put_down(n: &Numbers, row: usize) -> Option<(f64, f64)> {
    let part = |group: &str, field: &str, unit: &str| n.n(&format!("{group}.{row}.{field}"), unit);
    if let (Some(volume), Some(area)) = (part("used", "volume", "gal"), part("used", "area", "ft2")) {
        return Some((volume, area / 1000.0));
    }
    let output = gallons_a_minute(part("timed", "volume", "fl oz")?, part("timed", "catch-time", "s")?);
    Some((output * part("timed", "area-time", "min")?, part("timed", "area", "ft2")? / 1000.0))
}

/// Gallons on 1000 ft² over all runs.
fn pooled(n: &Numbers) -> Option<f64> {
    let rows: Vec<(f64, f64)> = (1..=12).map_while(|row| put_down(n, row)).collect();
    let (gallons, thousands) = rows.iter().fold((0.0, 0.0), |sum, row| (sum.0 + row.0, sum.1 + row.1));
    (!rows.is_empty()).then(|| gallons / thousands)
}

/// Gallons an acre of a boom, by the constant 5940.
fn boom(n: &Numbers, speed: f64) -> Option<f64> {
    // Of a boomless nozzle's wet band only a share counts.
    let swath = || Some(n.n("wetted-width", "in")? * n.n("effective-share", "%").unwrap_or(100.0) / 100.0);
    let band = n.n("spacing", "in").or_else(swath)?;
    Some(5940.0 * n.n("nozzle-flow", "gal/min")? / (speed * band))
}

/// A lawn of simple shapes, ft².
fn lawn(n: &Numbers) -> Option<f64> {
    let mut all = 0.0;
    for row in 1..=12 {
        let ft = |part: &str, field: &str| n.n(&format!("{part}.{row}.{field}"), "ft");
        let both = |part: &str, one: &str, other: &str| Some(ft(part, one)? * ft(part, other)?);
        let wide = ft("circle", "radius").map_or(ft("circle", "diameter"), |radius| Some(2.0 * radius));
        let sides = ft("trapezoid", "side-a").zip(ft("trapezoid", "side-b"));
        let shapes = [
            ("rectangle", both("rectangle", "length", "width")),
            ("strip", both("strip", "length", "width")),
            ("triangle", both("triangle", "base", "height").map(|twice| twice / 2.0)),
            ("trapezoid", sides.zip(ft("trapezoid", "distance")).map(|((a, b), far)| far * (a + b) / 2.0)),
            ("circle", wide.map(|wide| PI / 4.0 * wide * wide)),
            ("ellipse", both("ellipse", "length", "width").map(|box_| PI / 4.0 * box_)),
            ("known", n.n(&format!("known.{row}.area"), "ft2")),
        ];
        for (part, area) in shapes {
            let out = n.word(&format!("{part}.{row}.effect")) == Some("cut-out");
            all += area.map_or(0.0, |area| if out { -area } else { area });
        }
    }
    let offsets: f64 = n.all("offset", "width", "ft").iter().sum();
    all += offsets * n.n("offset-spacing", "ft").unwrap_or(0.0);
    let radii = n.all("radius", "length", "ft");
    if !radii.is_empty() {
        let mean = radii.iter().sum::<f64>() / radii.len() as f64;
        all += PI * mean * mean;
    }
    (all > 0.0).then_some(all)
}

/// One test plot: ft², and the gallons that land on it.
fn plot(n: &Numbers) -> Option<(f64, f64)> {
    let area =
        n.n("plot.1.area", "ft2").or(n.n("plot.1.length", "ft").zip(n.n("plot.1.width", "ft")).map(|(a, b)| a * b))?;
    let nozzles = n.all("nozzle", "volume", "fl oz");
    let sum: f64 = nozzles.iter().sum();
    let ounces = match n.word("nozzles-cover") {
        Some("each") if !nozzles.is_empty() => sum / nozzles.len() as f64,
        _ if !nozzles.is_empty() => sum,
        _ => n.n("plot.1.volume", "fl oz").unwrap_or(0.0),
    };
    Some((area, ounces / 128.0))
}

/// What a new tip puts out at the test pressure, gal/min.
fn new_tip(n: &Numbers) -> Option<f64> {
    let at =
        n.n("test-pressure", "psi").zip(n.n("rated-pressure", "psi")).map_or(1.0, |(now, rated)| (now / rated).sqrt());
    Some(n.n("rated-flow", "gal/min")? * at)
}

/// Ground that timed passes, blocks and patches cover, ft², and the seconds they take.
fn ground(n: &Numbers) -> (f64, f64) {
    let (mut area, mut seconds) = (0.0, 0.0);
    for row in 1..=12 {
        let ft = |part: &str, field: &str| n.n(&format!("{part}.{row}.{field}"), "ft");
        let s = |part: &str| n.n(&format!("{part}.{row}.time"), "s").unwrap_or(0.0);
        let passes = n.n(&format!("pass.{row}.passes"), "").unwrap_or(1.0);
        let pass = ft("pass", "length").zip(ft("pass", "spacing")).map_or(0.0, |(a, b)| a * b * passes);
        let block = ft("block", "length").zip(ft("block", "width")).map_or(0.0, |(a, b)| a * b);
        let patch = ft("patch", "length").zip(ft("patch", "width")).map_or(0.0, |(a, b)| a * b);
        let out = n.word(&format!("patch.{row}.effect")) == Some("subtract");
        area += pass + block + if out { -patch } else { patch };
        seconds += s("pass") + s("block") + s("patch");
    }
    (area, seconds)
}

/// Pounds on 1000 ft² that a spreader put down.
fn spread(n: &Numbers) -> Option<f64> {
    let (mut pounds, mut thousands) = (0.0, 0.0);
    for row in 1..=12 {
        let part = |field: &str, unit: &str| n.n(&format!("run.{row}.{field}"), unit);
        let Some(weight) = part("weight", "lb") else { break };
        let passes = part("passes", "").unwrap_or(1.0);
        let own = part("length", "ft").zip(part("spacing", "ft")).map(|(a, b)| a * b);
        (pounds, thousands) = (pounds + weight, thousands + part("area", "ft2").or(own)? * passes / 1000.0);
    }
    (thousands > 0.0).then(|| pounds / thousands)
}

/// Percent by which one is off the other.
fn off(one: f64, other: f64) -> f64 {
    (one / other - 1.0) * 100.0
}

/// The row of a result such as `nozzle-4-wear`, or of its first row.
fn row(asks: &str) -> usize {
    asks.split('-').find_map(|word| word.parse().ok()).unwrap_or(1)
}

/// The right answer in the unit that it is asked in; `None` where no formula is written here.
fn right(posed: &Posed, asks: &str) -> Option<f64> {
    let n = &Numbers(posed);
    let share = |percent: f64| Some(percent);
    let (calculator, result) = asks.split_once('/')?;
    match calculator {
        "unit-conversion" => Some(posed.typed("amount")?.si / posed.unit.size()),
        "active-ingredient" => active(n, result),
        "application-rate" => match result {
            "target-departure" => share(off(pooled(n)?, n.n("target", "gal/1000 ft2")?)),
            "run-1-departure" => {
                let (gallons, thousands) = put_down(n, 1)?;
                share(off(gallons / thousands, pooled(n)?))
            }
            _ => n.say(pooled(n)?, "gal/1000 ft2"),
        },
        "boom-output" => boomed(n, result),
        "carrier-volume" => carried(n, result),
        "catch-test" => caught(n, result),
        "day-plan" => planned(n, result),
        "dilution" => diluted(n, result),
        "ground-speed" => walked(n, result),
        "known-area" => {
            let (area, gallons) = plot(n)?;
            match result {
                "plot-1-area" => n.say(area, "ft2"),
                "plot-1-course" => n.say(area / n.n("plot.1.width", "ft")?, "ft"),
                _ => n.say(gallons / area * 1000.0, "gal/1000 ft2"),
            }
        }
        "lawn-area" => match result {
            "acres" | "area" => n.say(lawn(n)?, "ft2"),
            "thousands" => Some(lawn(n)? / 1000.0),
            "square-side" => n.say(lawn(n)?.sqrt(), "ft"),
            _ => {
                let side = |field: &str| n.n(&format!("rectangle.{}.{field}", row(result)), "ft");
                n.say(side("length")? * side("width")?, "ft2")
            }
        },
        "nozzle-wear" => worn(n, result),
        "nutrient" => fed(n, result),
        "pressure-flow" => pressed(n, result),
        "spreader" => granules(n, result),
        "swath-timing" => {
            let (area, seconds) = ground(n);
            match result {
                "area-covered" => n.say(area, "ft2"),
                "area-rate" => n.say(area / (seconds / 60.0), "ft2/min"),
                "time-per-area" => n.say(seconds / (area / 1000.0), "s/1000 ft2"),
                "overlap" => share((1.0 - n.n("pass.1.spacing", "ft")? / n.n("wetted-width", "ft")?) * 100.0),
                "pace" => {
                    let passes = n.n("pass.1.passes", "").unwrap_or(1.0);
                    n.say(n.n("pass.1.length", "ft")? * passes / n.n("pass.1.time", "min")? / 88.0, "mph")
                }
                _ => None,
            }
        }
        "tank-mix" => mixed(n, result),
        "usage-check" => checked(n, result),
        _ => None,
    }
}

fn boomed(n: &Numbers, result: &str) -> Option<f64> {
    let band = n.n("spacing", "in").or(n.n("wetted-width", "in"));
    match result {
        "rate" | "rate-per-1000-ft2" => n.say(boom(n, n.n("speed", "mph")?)?, "gal/acre"),
        "new-rate" => n.say(boom(n, n.n("new-speed", "mph")?)?, "gal/acre"),
        "rate-change" => Some(off(n.n("speed", "mph")?, n.n("new-speed", "mph")?)),
        "nozzle-flow" => n.say(n.n("rate", "gal/acre")? * n.n("speed", "mph")? * band? / 5940.0, "gal/min"),
        "spacing" => {
            let over = n.n("rate", "gal/acre")? * n.n("speed", "mph")?;
            n.say(5940.0 * n.n("nozzle-flow", "gal/min")? / over, "in")
        }
        "speed" => n.say(5940.0 * n.n("nozzle-flow", "gal/min")? / (n.n("rate", "gal/acre")? * band?), "mph"),
        "boom-width" => n.say(n.n("nozzles", "")? * band?, "in"),
        "total-flow" => n.say(n.n("nozzles", "")? * n.n("nozzle-flow", "gal/min")?, "gal/min"),
        _ => None,
    }
}

fn caught(n: &Numbers, result: &str) -> Option<f64> {
    if result == "nozzle-output" {
        let (ounces, seconds) = (n.sum("catch", "volume", "fl oz")?, n.sum("catch", "time", "s")?);
        return n.say(gallons_a_minute(ounces, seconds), "gal/min");
    }
    let cups = n.all("nozzle", "volume", "fl oz");
    let sum: f64 = cups.iter().sum();
    let mean = sum / cups.len() as f64;
    let seconds = n.n("nozzle-time", "s");
    match result {
        "mean-catch" => n.say(mean, "fl oz"),
        "mean-output" => n.say(gallons_a_minute(mean, seconds?), "gal/min"),
        "total-output" => n.say(gallons_a_minute(sum, seconds?), "gal/min"),
        _ => Some(off(*cups.get(row(result) - 1)?, mean)),
    }
}

fn walked(n: &Numbers, result: &str) -> Option<f64> {
    let seconds = n.all("run", "time", "s");
    let sum: f64 = seconds.iter().sum();
    let pace = n.sum("run", "distance", "ft")? / (sum / 60.0);
    match result {
        "speed" | "speed-per-minute" => n.say(pace, "ft/min"),
        "mean-time" => n.say(sum / seconds.len() as f64, "s"),
        "against-wanted" => Some(off(pace / 88.0, n.n("wanted-speed", "mph")?)),
        "course-1-time" => n.say(n.n("course.1.length", "ft")? / (n.n("wanted-speed", "mph")? * 88.0) * 60.0, "s"),
        _ => None,
    }
}

fn worn(n: &Numbers, result: &str) -> Option<f64> {
    let cups = n.all("nozzle", "volume", "fl oz");
    let mean = cups.iter().sum::<f64>() / cups.len() as f64;
    let cup = || Some(new_tip(n)? * 128.0 * n.n("catch-time", "min")?);
    match result {
        "rated-flow" => {
            // 8004 is a fan of 80 degrees and 0.4 gal/min.
            let code: f64 = posed_code(n)?;
            n.say(code / 10.0, "gal/min")
        }
        "rated-flow-at-test" => n.say(new_tip(n)?, "gal/min"),
        "rated-catch" => n.say(cup()?, "fl oz"),
        "mean-wear" => Some(off(mean, cup()?)),
        _ if result.ends_with("-wear") => Some(off(*cups.get(row(result) - 1)?, cup()?)),
        _ if result.ends_with("-departure") => Some(off(*cups.get(row(result) - 1)?, mean)),
        _ => None,
    }
}

/// The last two figures of a tip's code.
fn posed_code(n: &Numbers) -> Option<f64> {
    let digits: Vec<char> = n.0.given.text("tip-code")?.chars().filter(char::is_ascii_digit).collect();
    digits.get(digits.len().checked_sub(2)?..)?.iter().collect::<String>().parse().ok()
}

fn pressed(n: &Numbers, result: &str) -> Option<f64> {
    let (flow, pressure) = (n.n("flow", "gal/min"), n.n("pressure", "psi")?);
    let times = n.n("wanted-flow", "gal/min").zip(flow).map(|(wanted, flow)| wanted / flow);
    let faster = n.n("speed-change", "%").map(|change| 1.0 + change / 100.0);
    let root = n.n("new-pressure", "psi").map(|new| (new / pressure).sqrt());
    match result {
        "new-flow" => n.say(flow? * root?, "gal/min"),
        "flow-change" => Some((root? - 1.0) * 100.0),
        "flow-ratio" => times,
        "pressure-ratio" => times.map(|times| times * times),
        "needed-pressure" => n.say(pressure * times.or(faster)? * times.or(faster)?, "psi"),
        "liquid-flow" => {
            let heavy = n.n("relative-density", "").or(n.n("liquid-weight", "lb/gal").map(|pounds| pounds / 8.34))?;
            n.say(flow? / heavy.sqrt(), "gal/min")
        }
        _ => None,
    }
}

fn granules(n: &Numbers, result: &str) -> Option<f64> {
    let thousands = n.n("area", "ft2").map(|area| area / 1000.0);
    let target = n.n("target", "lb/1000 ft2");
    let load = target.or_else(|| spread(n)).zip(thousands).map(|(rate, thousands)| rate * thousands);
    match result {
        "rate" => n.say(spread(n)?, "lb/1000 ft2"),
        "departure" => Some(off(spread(n)?, target?)),
        "next-setting" => Some(n.n("setting", "")? * target? / spread(n)?),
        "product-for-area" => n.say(load?, "lb"),
        "bags" => Some((load? / n.n("bag", "lb")? - 1e-9).ceil()),
        "crossing-target" => n.say(target? / n.n("crossings", "")?, "lb/1000 ft2"),
        _ => None,
    }
}

#[test]
fn every_kind_of_question_is_answered_as_formulas_written_apart_answer_it() {
    let all: Vec<Question> = banks::numbers().flat_map(Question::each).collect();
    let found = on_all_cores(&all, |question| {
        let (mut tried, mut off) = (0, None);
        for seed in 0..SEEDS.min(question.offered.count()) {
            let posed = question.draw(question.draw_at(seed)).expect("it was judged");
            let got = posed.si / posed.unit.size();
            tried += 1;
            match right(&posed, &question.asks) {
                None => off = off.or(Some(format!("{} ({}) has no formula of its own", question.id, question.asks))),
                // 5940 and 88 are the trade's own roundings, and 8.34 weighs a gallon of water to three figures.
                Some(own) if (own - got).abs() <= 2e-3 * got.abs() + 1e-9 => {}
                Some(own) => {
                    off = off.or(Some(format!("{} {seed} ({}): {got}, by hand {own}", question.id, question.asks)))
                }
            }
        }
        (tried, off, question.asks.clone())
    });
    let kinds: BTreeSet<&String> = found.iter().map(|(_, _, asks)| asks).collect();
    let tried: u32 = found.iter().map(|(tried, ..)| tried).sum();
    let off: Vec<&String> = found.iter().filter_map(|(_, off, _)| off.as_ref()).collect();
    println!("{tried} answers to {} questions of {} kinds", all.len(), kinds.len());
    assert!(off.is_empty(), "{} of {}: {off:#?}", off.len(), all.len());
    assert!(tried > 8000, "{tried}");
}
