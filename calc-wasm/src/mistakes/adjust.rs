//! Mistakes with booms, pressure, speed, worn tips, and in putting a rate right.

use super::places::{
    BOOM_PER_1000, BOOM_RATE, BOOM_WIDTH, EACH_WAY, FITTING_TIME, FLOW_CHANGE, LIQUID_FLOW, NEEDED_PRESSURE, NEW_FLOW,
    NEW_RATE, NOZZLE_FLOW, RATE_CHANGE, RATED_AT_TEST, RATED_FLOW, WEAR,
};
use super::{Mistake, Wrong, beside};
use crate::calculators::{boom_output, nozzle_wear, pressure_flow, spreader, usage_check};
use crate::quantity::unit::unit;

pub(super) static MISTAKES: &[Mistake] = &[
    Mistake {
        id: "gaps-counted-instead-of-nozzles",
        places: &[BOOM_WIDTH],
        slight: false,
        wrong: |w| w.with(&boom_output::NOZZLES, w.si(&boom_output::NOZZLES)? - 1.0),
    },
    Mistake {
        id: "5940-with-feet",
        places: &[BOOM_RATE, BOOM_PER_1000, NOZZLE_FLOW],
        slight: false,
        wrong: feet_for_inches,
    },
    Mistake {
        id: "one-nozzle-flow-with-boom-width",
        places: &[BOOM_RATE, BOOM_PER_1000],
        slight: false,
        wrong: |w| w.with(&boom_output::SPACING, w.si(&boom_output::SPACING)? * w.si(&boom_output::NOZZLES)?),
    },
    Mistake {
        id: "boom-flow-with-nozzle-spacing",
        places: &[BOOM_RATE, BOOM_PER_1000],
        slight: false,
        wrong: |w| w.with(&boom_output::NOZZLE_FLOW, w.si(&boom_output::NOZZLE_FLOW)? * w.si(&boom_output::NOZZLES)?),
    },
    Mistake {
        id: "boom-flow-for-each-nozzle",
        places: &[NOZZLE_FLOW],
        slight: false,
        wrong: |w| Some(w.right() * w.si(&boom_output::NOZZLES)?),
    },
    Mistake { id: "5940-solved-backwards", places: &[NOZZLE_FLOW], slight: false, wrong: solved_backwards },
    Mistake {
        id: "gpa-constant-for-per-1000",
        places: &[BOOM_PER_1000],
        slight: false,
        wrong: |w| Some(w.in_answer_unit(w.result_si(&boom_output::RATE_FOUND, [])? / unit!("gal/acre").size())),
    },
    Mistake {
        id: "pressure-linear",
        places: &[NEW_FLOW],
        slight: false,
        wrong: |w| {
            Some(w.si(&pressure_flow::FLOW)? * w.si(&pressure_flow::NEW_PRESSURE)? / w.si(&pressure_flow::PRESSURE)?)
        },
    },
    Mistake {
        id: "flow-change-linear",
        places: &[FLOW_CHANGE],
        slight: false,
        wrong: |w| Some(w.si(&pressure_flow::NEW_PRESSURE)? / w.si(&pressure_flow::PRESSURE)? - 1.0),
    },
    // By how much the speed changes, with the sign of the rate: d / (1 + d).
    Mistake {
        id: "speed-change-for-rate-change",
        places: &[RATE_CHANGE],
        slight: false,
        wrong: |w| Some(w.right() / (1.0 + w.right())),
    },
    Mistake {
        id: "pressures-upside-down",
        places: &[NEW_FLOW],
        slight: false,
        wrong: |w| {
            let flow = w.si(&pressure_flow::FLOW)?;
            Some(flow * (w.si(&pressure_flow::PRESSURE)? / w.si(&pressure_flow::NEW_PRESSURE)?).sqrt())
        },
    },
    Mistake {
        id: "double-pressure-to-double-flow",
        places: &[NEEDED_PRESSURE],
        slight: false,
        wrong: |w| Some(w.si(&pressure_flow::PRESSURE)? * w.result_si(&pressure_flow::FLOW_RATIO, [])?),
    },
    Mistake {
        id: "faster-walk-more-spray",
        places: &[NEW_RATE],
        slight: false,
        wrong: |w| {
            let rate = w.result_si(&boom_output::RATE_FOUND, []).or(w.si(&boom_output::RATE))?;
            Some(rate * w.si(&boom_output::NEW_SPEED)? / w.si(&boom_output::SPEED)?)
        },
    },
    Mistake {
        id: "correction-wrong-way",
        places: &[FITTING_TIME],
        slight: false,
        wrong: |w| {
            let used = w.result_si(&usage_check::USED, [])?;
            Some(w.si(&usage_check::TIME)? * used / w.result_si(&usage_check::EXPECTED, [])?)
        },
    },
    Mistake { id: "worn-set-compared-with-itself", places: &[WEAR], slight: false, wrong: against_itself },
    Mistake {
        id: "rated-flow-at-other-pressure",
        places: &[NEW_FLOW, RATED_AT_TEST, WEAR],
        slight: true,
        wrong: |w| {
            w.with(&pressure_flow::NEW_PRESSURE, w.si(&pressure_flow::PRESSURE).unwrap_or_default())
                .or_else(|| w.with(&nozzle_wear::TEST_PRESSURE, w.si(&nozzle_wear::RATED_PRESSURE)?))
        },
    },
    Mistake {
        id: "pump-gauge-for-gun-pressure",
        places: &[NEW_FLOW],
        slight: true,
        wrong: |w| w.with(&pressure_flow::NEW_PRESSURE, w.si(&beside::PUMP_PRESSURE)?),
    },
    Mistake {
        id: "water-catch-for-dense-liquid",
        places: &[LIQUID_FLOW],
        slight: true,
        wrong: |w| w.result_si(&pressure_flow::NEW_FLOW, []).or(w.si(&pressure_flow::FLOW)),
    },
    Mistake { id: "full-rate-each-way", places: &[EACH_WAY], slight: false, wrong: |w| w.si(&spreader::TARGET) },
    Mistake { id: "nozzle-code-decimal", places: &[RATED_FLOW], slight: false, wrong: whole_gallons },
];

/// The number of feet is put where the formula has inches, which no metric formula has.
fn feet_for_inches(w: &Wrong) -> Option<f64> {
    let spacing = w.si(&boom_output::SPACING)? / unit!("ft").size() * unit!("in").size();
    if w.is_metric() { None } else { w.with(&boom_output::SPACING, spacing) }
}

/// The formula for gal/acre is filled in with the rate where it has the flow, and the result is called a flow.
fn solved_backwards(w: &Wrong) -> Option<f64> {
    let rate = w.si(&boom_output::RATE)? / unit!("gal/acre").size();
    let speed = w.si(&boom_output::SPEED)? / unit!("mph").size();
    let flow = 5940.0 * rate / (speed * (w.si(&boom_output::SPACING)? / unit!("in").size()));
    (*w.unit == unit!("gal/min")).then(|| w.in_answer_unit(flow))
}

/// Tips are compared with the mean of the set: each of them, or only the highest.
fn against_itself(w: &Wrong) -> Option<f64> {
    if let Some(row) = w.row(0) {
        return w.result_si(&nozzle_wear::DEPARTURE, [row]);
    }
    let tips = (1..).map_while(|row| w.result_si(&nozzle_wear::DEPARTURE, [row]));
    tips.reduce(f64::max)
}

/// The last two figures of a tip are read as whole gallons in a minute.
fn whole_gallons(w: &Wrong) -> Option<f64> {
    let code = w.si(&nozzle_wear::TIP_CODE)?;
    let size = code - (code / 100.0).floor() * 100.0;
    Some(size * unit!("gal/min").size())
}
