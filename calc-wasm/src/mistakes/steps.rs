//! A step left out, or done the wrong way around: the slips that a question is most often built for.

use super::area::parts;
use super::places::{
    AI_PRODUCT, COVERED, LAWN, MEAN_CATCH, OUTPUT, PLOT_RATE, RATE, RATED_AT_TEST, RUN_RATE, SPREAD, TIMED, TRUE_RATE,
};
use super::{Mistake, Wrong};
use crate::calculators::lawn_area::shapes;
use crate::calculators::{
    active_ingredient, application_rate, catch_test, lawn_area, nozzle_wear, spreader, swath_timing, usage_check,
};
use crate::quantity::unit::{Unit, unit};

pub(super) static MISTAKES: &[Mistake] = &[
    Mistake { id: "seconds-taken-as-minutes", places: &[OUTPUT, COVERED], slight: false, wrong: seconds_as_minutes },
    Mistake { id: "sixty-and-128-forgotten", places: &[OUTPUT], slight: false, wrong: both_forgotten },
    Mistake { id: "sum-for-mean", places: &[OUTPUT, MEAN_CATCH], slight: false, wrong: sum_for_mean },
    Mistake { id: "bed-not-taken-out", places: &[COVERED], slight: true, wrong: bed_left_in },
    Mistake { id: "one-pass-only", places: &[COVERED, TIMED, SPREAD], slight: false, wrong: one_pass },
    Mistake { id: "not-scaled-to-1000", places: &[RATE, SPREAD, TRUE_RATE], slight: false, wrong: not_scaled },
    Mistake { id: "rate-upside-down", places: &[RATE, RUN_RATE], slight: false, wrong: rate_upside_down },
    Mistake {
        id: "ounces-left-as-gallons",
        places: &[RATE, RUN_RATE, PLOT_RATE],
        slight: false,
        wrong: ounces_as_gallons,
    },
    Mistake { id: "multiplied-by-strength", places: &[AI_PRODUCT], slight: false, wrong: times_strength },
    Mistake { id: "length-plus-width", places: &[LAWN], slight: false, wrong: length_plus_width },
    Mistake { id: "rated-flow-linear", places: &[RATED_AT_TEST], slight: false, wrong: linear_at_test },
];

/// Whether the answer is per minute and every time is given in seconds.
fn a_minute_from_seconds(w: &Wrong) -> bool {
    w.unit.exponent(unit!("min")) == -1 && counted_in(w, unit!("s")).0
}

/// Whether the answer is in gallons and something was caught in fluid ounces.
fn ounces_for_gallons(w: &Wrong) -> bool {
    w.unit.has(unit!("gal")) && counted_in(w, unit!("fl oz")).1
}

/// Whether all the inputs that measure what `unit` does are given in it, and whether any is.
fn counted_in(w: &Wrong, unit: Unit) -> (bool, bool) {
    let (mut all, mut any) = (true, false);
    for (_, typed) in w.inputs().quantities() {
        if typed.unit.dim() == unit.dim() {
            let counted = typed.unit.has(unit);
            (all, any) = (all && counted, any || counted);
        }
    }
    (all, any)
}

/// The amount is divided by the seconds, and the result is called an amount in a minute.
fn seconds_as_minutes(w: &Wrong) -> Option<f64> {
    a_minute_from_seconds(w).then(|| w.right() / 60.0)
}

/// The same, and fluid ounces are called gallons.
fn both_forgotten(w: &Wrong) -> Option<f64> {
    (ounces_for_gallons(w) && a_minute_from_seconds(w)).then(|| w.right() * 128.0 / 60.0)
}

/// The catches of all nozzles are added, and the sum is called that of the average one.
fn sum_for_mean(w: &Wrong) -> Option<f64> {
    let nozzles = w.inputs().row_count(&catch_test::NOZZLE);
    let mean = w.is(&catch_test::MEAN_OUTPUT) || w.is(&catch_test::MEAN_CATCH);
    (mean && nozzles > 1).then(|| w.right() * nozzles as f64)
}

/// What is not sprayed is not taken off.
fn bed_left_in(w: &Wrong) -> Option<f64> {
    let mut patches = w.inputs().rows(&swath_timing::PATCH);
    let taken_off = patches.any(|row| row.word(&swath_timing::EFFECT) == Some(swath_timing::SUBTRACT));
    taken_off.then(|| w.without_rows(&swath_timing::PATCH)).flatten()
}

/// One pass is counted, although the time is that of all of them.
fn one_pass(w: &Wrong) -> Option<f64> {
    let passes =
        |name: &str| swath_timing::PASS.has(name, &swath_timing::PASSES) || spreader::RUN.has(name, &spreader::PASSES);
    w.change(&|name, _| passes(name).then_some(1.0))
}

/// What landed on the ground that was sprayed is called what lands on 1000 ft2.
fn not_scaled(w: &Wrong) -> Option<f64> {
    let per = [unit!("1000 ft2"), unit!("100 m2")].into_iter().find(|area| w.unit.has(*area))?;
    let whole = w.right_working.worked.si(&spreader::TOTAL_AREA, []).or_else(|| w.si(&usage_check::AREA));
    if let Some(ground) = whole {
        return Some(w.right() * ground / per.size());
    }
    let areas =
        w.inputs().quantities().filter(|(name, _)| application_rate::AREA.is_last_in(name)).map(|(_, typed)| typed.si);
    let ground: f64 = areas.sum();
    (ground > 0.0).then(|| w.right() * ground / per.size())
}

/// The area is divided by the spray, and the result is called spray on an area.
fn rate_upside_down(w: &Wrong) -> Option<f64> {
    let right = w.right() / w.unit.size();
    // Near 1 both ways up look alike, and an answer to two figures would have to be asked about.
    (right > 0.0 && !(0.9..1.1).contains(&right)).then(|| w.in_answer_unit(1.0 / right))
}

/// Fluid ounces are called gallons, all else is right.
fn ounces_as_gallons(w: &Wrong) -> Option<f64> {
    ounces_for_gallons(w).then(|| w.right() * 128.0)
}

/// The pounds wanted are multiplied by the pounds in a gallon, where they are divided by them.
fn times_strength(w: &Wrong) -> Option<f64> {
    let strength = w.typed(&active_ingredient::STRENGTH).filter(|typed| typed.unit == unit!("lb/gal"))?.value();
    Some(w.right() * strength * strength)
}

/// Length and width are added once.
fn length_plus_width(w: &Wrong) -> Option<f64> {
    let first = w.inputs().rows(&shapes::RECTANGLES).next()?;
    let (length, width) = (first.typed(&shapes::LENGTH)?, first.typed(&shapes::WIDTH)?);
    let unit = unit!("ft");
    let sum = (length.si + width.si) / unit.size();
    // Of thousands of square feet, the sum is divided as an area would be.
    let size = if w.is(&lawn_area::THOUSANDS) { 0.001 } else { unit.size() * unit.size() };
    (parts(w) == 1 && length.unit == unit).then_some(sum * size)
}

/// The flow of a new tip is scaled in step with the pressure, not with its root.
fn linear_at_test(w: &Wrong) -> Option<f64> {
    Some(w.right() * (w.si(&nozzle_wear::TEST_PRESSURE)? / w.si(&nozzle_wear::RATED_PRESSURE)?).sqrt())
}
