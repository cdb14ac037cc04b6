//! Mistakes in pace, swath and the timing of ground.

use super::places::{BOOM_RATE, CONVERTED, COVERED, LAWN, OUTPUT, PACE, RATE, RATE_PER_ACRE, RUN_RATE, TIMED};
use super::{Mistake, Wrong, beside};
use crate::calculators::{application_rate, boom_output, catch_test, ground_speed, swath_timing, unit_conversion};
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
    swath_timing::PASS.has(name, &swath_timing::SPACING)
}

/// The speed of each run is worked out, and the speeds are averaged.
fn mean_of_speeds(w: &Wrong) -> Option<f64> {
    let passed = w.inputs().rows(&swath_timing::PASS).map(|row| {
        let length = row.typed(&swath_timing::PASS_LENGTH)?.si;
        Some(length * row.typed(&swath_timing::PASSES)?.si / row.typed(&swath_timing::TIME)?.si)
    });
    let driven = w
        .inputs()
        .rows(&ground_speed::RUN)
        .map(|row| Some(row.typed(&ground_speed::DISTANCE)?.si / row.typed(&ground_speed::TIME)?.si));
    let speeds = passed.chain(driven).collect::<Option<Vec<f64>>>()?;
    (speeds.len() > 1).then(|| speeds.iter().sum::<f64>() / speeds.len() as f64)
}

/// Only the first of several timings or catches is used.
fn first_alone(w: &Wrong) -> Option<f64> {
    (w.first_row_of(&swath_timing::PASS))
        .or_else(|| w.first_row_of(&swath_timing::BLOCK))
        .or_else(|| w.first_row_of(&catch_test::CATCH))
        .or_else(|| w.first_row_of(&ground_speed::RUN))
}

/// The watch runs on through turns with the trigger shut.
fn turns_counted(w: &Wrong) -> Option<f64> {
    let turns = w.si(&beside::TURNS)?;
    (w.longer(&swath_timing::PASS, &swath_timing::TIME, turns))
        .or_else(|| w.longer(&swath_timing::BLOCK, &swath_timing::BLOCK_TIME, turns))
        .or_else(|| w.longer(&application_rate::TIMED, &application_rate::AREA_TIME, turns))
}

/// Feet are divided by seconds and called mph; meters by seconds, km/h.
fn feet_per_second(w: &Wrong) -> Option<f64> {
    if w.typed(&unit_conversion::AMOUNT).is_some_and(|amount| !amount.unit.has(unit!("s"))) {
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
    let wetted = w.si(&swath_timing::WETTED_WIDTH)?;
    if w.si(&boom_output::EFFECTIVE_SHARE).is_some() {
        return w.with(&boom_output::EFFECTIVE_SHARE, 1.0);
    }
    w.change(&|name, _| is_spacing(name).then_some(wetted))
}
