//! Mistakes in catch tests and in the application rate worked from them.

use super::places::{CHANGES, DEPARTURES, OUTPUT, PLOT_RATE, RATE, RATE_PER_ACRE, RUN_RATE};
use super::{Mistake, Wrong};
use crate::calculators::application_rate::{AREA_TIME, CATCH_TIME, TIMED};
use crate::calculators::{application_rate, catch_test, known_area};
use crate::quantity::order::within;
use crate::quantity::unit::unit;

pub(super) static MISTAKES: &[Mistake] = &[
    Mistake {
        id: "catch-time-not-scaled",
        places: &[RATE, RATE_PER_ACRE, RUN_RATE],
        slight: false,
        wrong: catch_time_not_scaled,
    },
    Mistake {
        id: "time-ratio-upside-down",
        places: &[RATE, RATE_PER_ACRE, RUN_RATE],
        slight: false,
        wrong: time_ratio_upside_down,
    },
    Mistake { id: "partial-minute-catch-called-gpm", places: &[OUTPUT], slight: false, wrong: partial_minute },
    Mistake { id: "averaging-rates-not-totals", places: &[RATE, RATE_PER_ACRE], slight: true, wrong: mean_of_rates },
    Mistake { id: "percent-error-on-wrong-base", places: &[DEPARTURES], slight: true, wrong: wrong_base },
    // The one as a percent of the other: 115 for 15.
    Mistake {
        id: "ratio-read-as-percent-off",
        places: &[DEPARTURES, CHANGES],
        slight: false,
        wrong: |w| Some(1.0 + w.right()),
    },
    Mistake {
        id: "one-128th-shortcut-on-other-plot",
        places: &[RATE_PER_ACRE, PLOT_RATE],
        slight: true,
        wrong: ounces_as_gpa,
    },
    Mistake {
        id: "target-written-as-measured",
        places: &[RATE],
        slight: false,
        wrong: |w| w.si(&application_rate::TARGET),
    },
];

/// The catch is taken for what the ground got, although it took another time.
fn catch_time_not_scaled(w: &Wrong) -> Option<f64> {
    w.change(&|name, _| {
        let area_time = TIMED.has(name, &AREA_TIME);
        area_time.then(|| w.sibling(name, &CATCH_TIME)).flatten()
    })
}

/// Times are scaled by catch time over spraying time.
fn time_ratio_upside_down(w: &Wrong) -> Option<f64> {
    w.change(&|name, _| match name {
        name if TIMED.has(name, &AREA_TIME) => w.sibling(name, &CATCH_TIME),
        name if TIMED.has(name, &CATCH_TIME) => w.sibling(name, &AREA_TIME),
        _ => None,
    })
}

/// What was caught in part of a minute is written down as the output of a minute.
fn partial_minute(w: &Wrong) -> Option<f64> {
    w.change(&|name, _| {
        let time = name == catch_test::NOZZLE_TIME.name() || catch_test::CATCH.has(name, &catch_test::TIME);
        time.then_some(60.0)
    })
}

/// Rates of runs on different ground are averaged as if they weighed the same.
fn mean_of_rates(w: &Wrong) -> Option<f64> {
    let rates: Vec<f64> = (1..).map_while(|run| w.result_si(&application_rate::RUN_RATE, [run])).collect();
    let pooled = w.result_si(&application_rate::APPLICATION_RATE, [])?;
    let mean = rates.iter().sum::<f64>() / rates.len() as f64;
    (rates.len() > 1).then(|| w.right() * mean / pooled)
}

/// The difference is divided by what was measured, not by what it is compared with: d / (1 + d).
fn wrong_base(w: &Wrong) -> Option<f64> {
    Some(w.right() / (1.0 + w.right()))
}

/// Fluid ounces put down on the plot are called gal/acre, although the plot is not 1/128 acre.
fn ounces_as_gpa(w: &Wrong) -> Option<f64> {
    if *w.unit != unit!("gal/acre") {
        return None;
    }
    let areas = w.inputs().quantities().filter(|(name, _)| application_rate::AREA.is_last_in(name));
    let ground = w.result_si(&known_area::TOTAL_AREA, []).unwrap_or_else(|| areas.map(|(_, typed)| typed.si).sum());
    // On a plot of that size it is a way of working: 18.5 ft square is half a percent off.
    let exact = unit!("acre").size() / 128.0;
    if within(ground, exact, 0.02 * exact) {
        return None;
    }
    Some(w.in_answer_unit(w.result_si(&application_rate::APPLICATION_RATE, [])? * ground / unit!("fl oz").size()))
}
