//! Catches, timed ground, speeds and pressures.

use super::{Numbers, Row, row};
use tankside_calc::quantity::unit::Unit;

const GUN: &[&str] = &["catch-test/nozzle-output"];
const MEAN: &[&str] = &["catch-test/mean-output"];
const ALL: &[&str] = &["catch-test/total-output"];
const RATE: &[&str] = &["application-rate/application-rate"];
const PER_ACRE: &[&str] = &["application-rate/rate-per-acre"];
const AREA_RATE: &[&str] = &["swath-timing/area-rate"];
const FLOW: &[&str] = &["pressure-flow/new-flow"];

/// Fluid ounces caught and the time they were caught in: of a gun, or of a row of nozzles.
fn caught(n: &Numbers) -> Option<(f64, f64)> {
    match (n.sum("catch", "volume", "fl oz"), n.sum("catch", "time", "s")) {
        (Some(volume), Some(time)) => Some((volume, time)),
        _ => Some((n.sum("nozzle", "volume", "fl oz")?, n.n("nozzle-time", "s")?)),
    }
}

/// The same of the average nozzle.
fn each(n: &Numbers) -> Option<(f64, f64)> {
    let (sum, time) = caught(n)?;
    Some((sum / n.all("nozzle", "volume", "fl oz").len() as f64, time))
}

/// What is caught is said in gallons, liters or ounces a minute, in the answer's unit.
fn a_minute(n: &Numbers, ounces: f64) -> Option<f64> {
    n.say(ounces, "fl oz/min")
}

fn in_ounces(n: &Numbers) -> bool {
    ["catch.1.volume", "nozzle.1.volume", "timed.1.volume"].iter().any(|name| n.in_given(name, "fl oz") == 1)
}

/// One timed run: ounces, catch time, ground, time for the ground.
fn run(n: &Numbers) -> Option<[f64; 4]> {
    Some([
        n.n("timed.1.volume", "fl oz")?,
        n.n("timed.1.catch-time", "s")?,
        n.n("timed.1.area", "ft2")?,
        n.n("timed.1.area-time", "s")?,
    ])
}

/// Ground of passes and blocks, less the beds, and the time of all.
fn ground(n: &Numbers) -> Option<(f64, f64)> {
    let passes = |row: usize| {
        let name = |field: &str| format!("pass.{row}.{field}");
        let count = n.n(&name("passes"), "").unwrap_or(1.0);
        Some((n.n(&name("length"), "ft")? * n.n(&name("spacing"), "ft")? * count, n.n(&name("time"), "s")?))
    };
    let blocks = |row: usize| {
        let name = |field: &str| format!("block.{row}.{field}");
        Some((n.n(&name("length"), "ft")? * n.n(&name("width"), "ft")?, n.n(&name("time"), "s")?))
    };
    let all: Vec<(f64, f64)> = (1..=12).map_while(passes).chain((1..=12).map_while(blocks)).collect();
    (!all.is_empty()).then(|| all.iter().fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1)))
}

/// The first timing alone.
fn first(n: &Numbers) -> Option<(f64, f64)> {
    if n.given("pass.2.time").is_some() {
        let count = n.n("pass.1.passes", "").unwrap_or(1.0);
        return Some((n.n("pass.1.length", "ft")? * n.n("pass.1.spacing", "ft")? * count, n.n("pass.1.time", "s")?));
    }
    n.given("block.2.time")?;
    Some((n.n("block.1.length", "ft")? * n.n("block.1.width", "ft")?, n.n("block.1.time", "s")?))
}

/// Every distance of a run with its time.
fn runs(n: &Numbers) -> Vec<(f64, f64)> {
    n.all("run", "distance", "ft").into_iter().zip(n.all("run", "time", "s")).collect()
}

/// The ground with the right signs, as the question has it.
fn area_from(n: &Numbers, (ground, time): (f64, f64)) -> Option<f64> {
    n.say(ground / time * 60.0, "ft2/min")
}

pub(super) const ROWS: &[Row] = &[
    row(GUN, "partial-minute-catch-called-gpm", |n| {
        a_minute(n, caught(n)?.0 / n.all("catch", "time", "s").len() as f64)
    }),
    row(MEAN, "partial-minute-catch-called-gpm", |n| a_minute(n, each(n)?.0)),
    row(ALL, "partial-minute-catch-called-gpm", |n| a_minute(n, caught(n)?.0)),
    row(GUN, "single-timing", |n| {
        n.given("catch.2.time")?;
        a_minute(n, n.n("catch.1.volume", "fl oz")? / n.n("catch.1.time", "s")? * 60.0)
    }),
    row(GUN, "minutes-seconds-as-decimal", |n| {
        let (minutes, seconds) = n.in_two("catch.1.time")?;
        a_minute(n, n.n("catch.1.volume", "fl oz")? / (minutes + seconds / 100.0))
    }),
    row(MEAN, "sum-for-mean", |n| a_minute(n, caught(n)?.0 * 60.0 / caught(n)?.1)),
    row(GUN, "seconds-taken-as-minutes", |n| a_minute(n, caught(n)?.0 / caught(n)?.1)),
    row(MEAN, "seconds-taken-as-minutes", |n| a_minute(n, each(n)?.0 / each(n)?.1)),
    row(ALL, "seconds-taken-as-minutes", |n| a_minute(n, caught(n)?.0 / caught(n)?.1)),
    row(&["catch-test/nozzle-output", "catch-test/total-output"], "sixty-and-128-forgotten", |n| {
        in_ounces(n).then_some(())?;
        n.called(caught(n)?.0 / caught(n)?.1, "gal/min")
    }),
    row(MEAN, "sixty-and-128-forgotten", |n| n.called(each(n)?.0 / each(n)?.1, "gal/min")),
    row(RATE, "catch-time-not-scaled", |n| n.say(run(n)?[0] * 1000.0 / run(n)?[2], "fl oz/1000 ft2")),
    row(PER_ACRE, "catch-time-not-scaled", |n| n.say(run(n)?[0] * 43_560.0 / run(n)?[2], "fl oz/acre")),
    row(RATE, "time-ratio-upside-down", |n| {
        let [volume, caught, area, time] = run(n)?;
        n.say(volume * caught / time * 1000.0 / area, "fl oz/1000 ft2")
    }),
    row(PER_ACRE, "time-ratio-upside-down", |n| {
        let [volume, caught, area, time] = run(n)?;
        n.say(volume * caught / time * 43_560.0 / area, "fl oz/acre")
    }),
    row(RATE, "turns-counted-as-spray-time", |n| {
        let ([volume, caught, area, time], turns) = (run(n)?, n.n("turns", "s")?);
        n.say(volume / caught * (time + turns) * 1000.0 / area, "fl oz/1000 ft2")
    }),
    row(RATE, "minutes-seconds-as-decimal", |n| {
        let ([volume, caught, area, _], (minutes, seconds)) = (run(n)?, n.in_two("timed.1.area-time")?);
        n.say(volume / caught * 60.0 * (minutes + seconds / 100.0) * 1000.0 / area, "fl oz/1000 ft2")
    }),
    row(RATE, "not-scaled-to-1000", |n| match run(n) {
        Some([volume, caught, _, time]) if n.in_answer("1000 ft2") != 0 => {
            n.say(volume / caught * time, "fl oz/1000 ft2")
        }
        Some([volume, caught, _, time]) => n.say(volume / caught * time, "fl oz/100 m2"),
        None => n.called(n.sum("used", "volume", "gal")?, "gal/1000 ft2"),
    }),
    row(RATE, "rate-upside-down", |n| {
        let per = if n.in_answer("1000 ft2") != 0 { "gal/1000 ft2" } else { "L/100 m2" };
        let (spray, ground) = (&per[..per.find('/')?], &per[per.find('/')? + 1..]);
        let (volume, area) = match run(n) {
            Some([ounces, caught, area, time]) => (ounces / caught * time, area),
            None => (n.sum("used", "volume", "fl oz")?, n.sum("used", "area", "ft2")?),
        };
        let (volume, area) = (
            volume * Unit::of("fl oz").size() / Unit::of(spray).size(),
            area * Unit::of("ft2").size() / Unit::of(ground).size(),
        );
        // Near 1 both ways up look alike.
        (!(0.9..1.1).contains(&(volume / area))).then_some(())?;
        n.called(area / volume, per)
    }),
    row(RATE, "ounces-left-as-gallons", |n| {
        in_ounces(n).then_some(())?;
        let [volume, caught, area, time] = run(n)?;
        n.called(volume / caught * time * 1000.0 / area, "gal/1000 ft2")
    }),
    row(RATE, "thousands-forgotten", |n| {
        let (gallons, area) = match run(n) {
            Some([ounces, caught, area, time]) => (ounces / 128.0 / caught * time, area),
            None => (n.sum("used", "volume", "gal")?, n.sum("used", "area", "ft2")?),
        };
        let liters = || n.called(n.right() / 100.0, "L/100 m2");
        n.called(gallons / area, "gal/1000 ft2").or_else(liters)
    }),
    row(RATE, "averaging-rates-not-totals", |n| {
        let (volumes, areas) = (n.all("used", "volume", "gal"), n.all("used", "area", "ft2"));
        let rates: Vec<f64> = volumes.iter().zip(&areas).map(|(volume, area)| volume / area * 1000.0).collect();
        if rates.len() < 2 { None } else { n.say(rates.iter().sum::<f64>() / rates.len() as f64, "gal/1000 ft2") }
    }),
    row(RATE, "target-written-as-measured", |n| n.say(n.n("target", "gal/1000 ft2")?, "gal/1000 ft2")),
    row(PER_ACRE, "one-128th-shortcut-on-other-plot", |n| match run(n) {
        Some([volume, caught, _, time]) => n.called(volume / caught * time, "gal/acre"),
        None => n.called(n.sum("used", "volume", "fl oz")?, "gal/acre"),
    }),
    row(&["known-area/rate-per-acre"], "one-128th-shortcut-on-other-plot", |n| {
        let (width, length) = (n.n("plot.1.width", "ft")?, n.n("plot.1.length", "ft")?);
        // On 340 ft2 it is a way of working.
        ((width * length / 340.3 - 1.0).abs() > 0.02).then_some(())?;
        n.called(n.n("plot.1.volume", "fl oz")?, "gal/acre")
    }),
    row(&["known-area/rate-per-acre"], "one-128th-sum-of-nozzles", |n| {
        (n.word("nozzles-cover") == Some("each")).then_some(())?;
        let (width, length) = (n.n("plot.1.width", "ft")?, n.n("plot.1.length", "ft")?);
        n.say(n.sum("nozzle", "volume", "fl oz")? * 43_560.0 / (width * length), "fl oz/acre")
    }),
    row(AREA_RATE, "seconds-taken-as-minutes", |n| {
        let seconds = |group: &str| {
            n.own(&format!("{group}.1.time"), "s").is_some() && n.in_two(&format!("{group}.1.time")).is_none()
        };
        (seconds("pass") || seconds("block") || n.in_two("pass.1.time").is_some()).then(|| n.right() / 60.0)
    }),
    row(AREA_RATE, "single-timing", |n| area_from(n, first(n)?)),
    row(&["swath-timing/time-per-area"], "single-timing", |n| {
        let (ground, time) = first(n)?;
        n.say(time / ground * 1000.0, "s/1000 ft2")
    }),
    row(AREA_RATE, "one-pass-only", |n| {
        (n.n("pass.1.passes", "")? > 1.0).then_some(())?;
        area_from(n, (n.n("pass.1.length", "ft")? * n.n("pass.1.spacing", "ft")?, n.n("pass.1.time", "s")?))
    }),
    row(&["swath-timing/time-per-area"], "one-pass-only", |n| {
        let ground = n.n("pass.1.length", "ft")? * n.n("pass.1.spacing", "ft")?;
        (n.n("pass.1.passes", "")? > 1.0).then_some(())?;
        n.say(n.n("pass.1.time", "s")? / ground * 1000.0, "s/1000 ft2")
    }),
    row(&["swath-timing/time-per-area"], "wetted-width-used-as-pass-width", |n| {
        let ((ground, time), wetted) = (ground(n)?, n.n("wetted-width", "ft")?);
        n.say(time / (ground / n.n("pass.1.spacing", "ft")? * wetted) * 1000.0, "s/1000 ft2")
    }),
    row(&["swath-timing/area-covered"], "one-pass-only", |n| {
        n.say(n.n("pass.1.length", "ft")? * n.n("pass.1.spacing", "ft")?, "ft2")
    }),
    row(AREA_RATE, "overlap-corrected-twice", |n| {
        n.given("pass.1.spacing")?;
        let (ground, time) = ground(n)?;
        area_from(n, (ground / 2.0, time))
    }),
    row(&["swath-timing/area-covered"], "overlap-corrected-twice", |n| n.say(ground(n)?.0 / 2.0, "ft2")),
    row(&["swath-timing/time-per-area"], "overlap-corrected-twice", |n| {
        n.given("pass.1.spacing")?;
        let (ground, time) = ground(n)?;
        n.say(time / (ground / 2.0) * 1000.0, "s/1000 ft2")
    }),
    row(AREA_RATE, "wetted-width-used-as-pass-width", |n| {
        let ((ground, time), wetted) = (ground(n)?, n.n("wetted-width", "ft")?);
        area_from(n, (ground / n.n("pass.1.spacing", "ft")? * wetted, time))
    }),
    row(&["swath-timing/area-covered"], "wetted-width-used-as-pass-width", |n| {
        n.say(ground(n)?.0 / n.n("pass.1.spacing", "ft")? * n.n("wetted-width", "ft")?, "ft2")
    }),
    row(AREA_RATE, "bed-not-taken-out", |n| {
        (n.word("patch.1.effect") == Some("subtract")).then_some(())?;
        area_from(n, ground(n)?)
    }),
    row(AREA_RATE, "turns-counted-as-spray-time", |n| {
        let ((ground, time), turns) = (ground(n)?, n.n("turns", "s")?);
        let bed = n.n("patch.1.length", "ft").zip(n.n("patch.1.width", "ft")).map_or(0.0, |(one, other)| one * other);
        area_from(n, (ground - bed, time + turns))
    }),
    row(&["swath-timing/time-per-area"], "turns-counted-as-spray-time", |n| {
        let ((ground, time), turns) = (ground(n)?, n.n("turns", "s")?);
        n.say((time + turns) / ground * 1000.0, "s/1000 ft2")
    }),
    row(AREA_RATE, "minutes-seconds-as-decimal", |n| {
        let ((ground, _), (minutes, seconds)) = (ground(n)?, n.in_two("pass.1.time")?);
        n.say(ground / (minutes + seconds / 100.0), "ft2/min")
    }),
    row(AREA_RATE, "feet-inches-as-decimal", |n| {
        let ((ground, time), (feet, inches)) = (ground(n)?, n.in_two("pass.1.spacing")?);
        let decimal = feet + inches / if inches < 10.0 { 10.0 } else { 100.0 };
        area_from(n, (ground / n.n("pass.1.spacing", "ft")? * decimal, time))
    }),
    row(&["ground-speed/speed"], "feet-per-second-as-mph", |n| {
        let (far, long) = runs(n).into_iter().fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        let meters = n.sum("run", "distance", "m")?;
        if n.in_answer("km") == 1 { Some(meters / long) } else { Some(far / long) }
    }),
    row(&["swath-timing/pace"], "feet-per-second-as-mph", |n| {
        let metric = n.in_answer("km") == 1;
        let passes = n.n("pass.1.passes", "").unwrap_or(1.0);
        Some(n.n("pass.1.length", if metric { "m" } else { "ft" })? * passes / n.n("pass.1.time", "s")?)
    }),
    row(&["ground-speed/speed"], "averaging-speeds-not-times", |n| {
        let speeds: Vec<f64> = runs(n).into_iter().map(|(far, long)| far / long).collect();
        if speeds.len() < 2 { None } else { n.say(speeds.iter().sum::<f64>() / speeds.len() as f64, "ft/s") }
    }),
    row(&["ground-speed/speed"], "single-timing", |n| {
        let runs = runs(n);
        if runs.len() < 2 { None } else { n.say(runs[0].0 / runs[0].1, "ft/s") }
    }),
    row(&["ground-speed/speed"], "minutes-seconds-as-decimal", |n| {
        let (minutes, seconds) = n.in_two("run.1.time")?;
        n.say(n.n("run.1.distance", "ft")? / (minutes + seconds / 100.0), "ft/min")
    }),
    row(FLOW, "pressure-linear", |n| {
        n.say(n.n("flow", "gal/min")? * n.n("new-pressure", "psi")? / n.n("pressure", "psi")?, "gal/min")
    }),
    row(FLOW, "rated-flow-at-other-pressure", |n| n.say(n.n("flow", "gal/min")?, "gal/min")),
    row(FLOW, "pump-gauge-for-gun-pressure", |n| {
        n.say(n.n("flow", "gal/min")? * (n.n("pump-pressure", "psi")? / n.n("pressure", "psi")?).sqrt(), "gal/min")
    }),
    row(&["pressure-flow/needed-pressure"], "double-pressure-to-double-flow", |n| {
        let flows = || Some(n.n("wanted-flow", "gal/min")? / n.n("flow", "gal/min")?);
        let times = n.n("speed-change", "%").map(|percent| 1.0 + percent / 100.0).or_else(flows)?;
        n.say(n.n("pressure", "psi")? * times, "psi")
    }),
    row(&["spreader/crossing-target"], "full-rate-each-way", |n| n.say(n.n("target", "lb/1000 ft2")?, "lb/1000 ft2")),
    row(&["pressure-flow/liquid-flow"], "water-catch-for-dense-liquid", |n| n.say(n.n("flow", "gal/min")?, "gal/min")),
];
