//! Mistakes in pace, swath and the timing of ground.

use super::places::{BOOM_RATE, CONVERTED, COVERED, LAWN, OUTPUT, PACE, RATE, RATE_PER_ACRE, RUN_RATE, TIMED};
use super::{Mistake, Wrong};
use crate::quantity::unit::unit;

pub(super) static MISTAKES: &[Mistake] = &[
    Mistake {
        id: "minutes-seconds-as-decimal",
        places: &[OUTPUT, RATE, RATE_PER_ACRE, RUN_RATE, TIMED, PACE],
        slight: true,
        wrong: |w| w.two_units(unit!("min"), unit!("s"), &|minutes, seconds| minutes + seconds / 100.0),
    },
    Mistake { id: "averaging-speeds-not-times", places: &[PACE], slight: true, wrong: mean_of_speeds },
    Mistake { id: "single-timing", places: &[TIMED, PACE, OUTPUT], slight: true, wrong: first_alone },
    Mistake {
        id: "turns-counted-as-spray-time",
        places: &[TIMED, PACE, RATE, RATE_PER_ACRE],
        slight: false,
        wrong: turns_counted,
    },
    Mistake { id: "feet-per-second-as-mph", places: &[PACE, CONVERTED], slight: false, wrong: feet_per_second },
    Mistake {
        id: "feet-inches-as-decimal",
        places: &[COVERED, LAWN],
        slight: true,
        // 5 ft 9 in becomes 5.9, and 5 ft 11 in becomes 5.11.
        wrong: |w| {
            w.two_units(unit!("ft"), unit!("in"), &|feet, inches| {
                feet + inches / if inches < 10.0 { 10.0 } else { 100.0 }
            })
        },
    },
    Mistake {
        id: "wetted-width-used-as-pass-width",
        places: &[COVERED, BOOM_RATE],
        slight: false,
        wrong: wetted_width,
    },
    Mistake {
        id: "overlap-corrected-twice",
        places: &[COVERED],
        slight: false,
        wrong: |w| w.change(&|name, typed| is_spacing(name).then_some(typed.si / 2.0)),
    },
];

fn is_spacing(name: &str) -> bool {
    name.starts_with("pass.") && name.ends_with(".spacing")
}

/// The speed of each run is worked out, and the speeds are averaged.
fn mean_of_speeds(w: &Wrong) -> Option<f64> {
    let runs = w.inputs().row_count("pass").max(w.inputs().row_count("run"));
    let speed = |row: usize| {
        let field = |name: &str| w.si(&format!("{name}.{row}.time"));
        match field("pass") {
            Some(time) => {
                let length = w.si(&format!("pass.{row}.length"))?;
                Some(length * w.si(&format!("pass.{row}.passes"))? / time)
            }
            None => Some(w.si(&format!("run.{row}.distance"))? / field("run")?),
        }
    };
    let sum = (1..=runs).map(speed).sum::<Option<f64>>()?;
    (runs > 1).then(|| sum / runs as f64)
}

/// Only the first of several timings or catches is used.
fn first_alone(w: &Wrong) -> Option<f64> {
    ["pass", "block", "catch", "run"].into_iter().find_map(|group| w.first_row_of(group))
}

/// The watch runs on through turns with the trigger shut.
fn turns_counted(w: &Wrong) -> Option<f64> {
    let turns = w.si("turns")?;
    let timed = ["pass.1.time", "block.1.time", "timed.1.area-time"];
    let name = timed.into_iter().find(|name| w.inputs().typed(name).is_some())?;
    w.with(name, w.si(name)? + turns)
}

/// Feet are divided by seconds and called mph; meters by seconds, km/h.
fn feet_per_second(w: &Wrong) -> Option<f64> {
    if w.typed("amount").is_some_and(|amount| !amount.unit.has(unit!("s"))) {
        return None;
    }
    let length = match (w.unit.exponent(unit!("mi")), w.unit.exponent(unit!("km")), w.unit.exponent(unit!("h"))) {
        (1, _, -1) => crate::quantity::units::atom("ft").size.value(),
        (_, 1, -1) => 1.0,
        _ => return None,
    };
    Some(w.in_answer_unit(w.right() / length))
}

/// The wet band is taken for the width of a pass; of a boomless swath, all of it for the effective part.
fn wetted_width(w: &Wrong) -> Option<f64> {
    let wetted = w.si("wetted-width")?;
    if w.si("effective-share").is_some() {
        return w.with("effective-share", 1.0);
    }
    w.change(&|name, _| is_spacing(name).then_some(wetted))
}
