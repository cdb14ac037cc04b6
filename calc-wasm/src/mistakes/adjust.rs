//! Mistakes with booms, pressure, speed, worn tips, and in putting a rate right.

use super::places::{
    BOOM_PER_1000, BOOM_RATE, BOOM_WIDTH, FITTING_TIME, LIQUID_FLOW, NEEDED_PRESSURE, NEW_FLOW, NEW_RATE, NOZZLE_FLOW,
    RATED_AT_TEST, RATED_FLOW, WEAR,
};
use super::{Mistake, Wrong};
use crate::quantity::unit::{Unit, unit};

pub(super) static MISTAKES: &[Mistake] = &[
    Mistake {
        id: "gaps-counted-instead-of-nozzles",
        places: &[BOOM_WIDTH],
        slight: false,
        wrong: |w| w.with("nozzles", w.si("nozzles")? - 1.0),
    },
    Mistake {
        id: "5940-with-feet",
        places: &[BOOM_RATE, BOOM_PER_1000, NOZZLE_FLOW],
        slight: false,
        // The number of feet is put where the formula has inches.
        wrong: |w| w.with("spacing", w.si("spacing")? / unit!("ft").size() * unit!("in").size()),
    },
    Mistake {
        id: "one-nozzle-flow-with-boom-width",
        places: &[BOOM_RATE, BOOM_PER_1000],
        slight: false,
        wrong: |w| w.with("spacing", w.si("spacing")? * w.si("nozzles")?),
    },
    Mistake { id: "5940-solved-backwards", places: &[NOZZLE_FLOW], slight: false, wrong: solved_backwards },
    Mistake {
        id: "gpa-constant-for-per-1000",
        places: &[BOOM_PER_1000],
        slight: false,
        wrong: |w| Some(w.in_answer_unit(w.result_si("rate")? / unit!("gal/acre").size())),
    },
    Mistake {
        id: "pressure-linear",
        places: &[NEW_FLOW],
        slight: false,
        wrong: |w| Some(w.si("flow")? * w.si("new-pressure")? / w.si("pressure")?),
    },
    Mistake {
        id: "double-pressure-to-double-flow",
        places: &[NEEDED_PRESSURE],
        slight: false,
        wrong: |w| Some(w.si("pressure")? * w.si("wanted-flow")? / w.si("flow")?),
    },
    Mistake {
        id: "faster-walk-more-spray",
        places: &[NEW_RATE],
        slight: false,
        wrong: |w| Some(w.result_si("rate").or(w.si("rate"))? * w.si("new-speed")? / w.si("speed")?),
    },
    Mistake {
        id: "correction-wrong-way",
        places: &[FITTING_TIME],
        slight: false,
        wrong: |w| Some(w.si("time")? * w.result_si("volume-used")? / w.result_si("expected-volume")?),
    },
    Mistake { id: "worn-set-compared-with-itself", places: &[WEAR], slight: false, wrong: against_itself },
    Mistake {
        id: "rated-flow-at-other-pressure",
        places: &[NEW_FLOW, RATED_AT_TEST, WEAR],
        slight: true,
        wrong: |w| {
            w.with("new-pressure", w.si("pressure").unwrap_or_default())
                .or_else(|| w.with("test-pressure", w.si("rated-pressure")?))
        },
    },
    Mistake {
        id: "pump-gauge-for-gun-pressure",
        places: &[NEW_FLOW],
        slight: true,
        wrong: |w| w.with("new-pressure", w.si("pump-pressure")?),
    },
    Mistake {
        id: "water-catch-for-dense-liquid",
        places: &[LIQUID_FLOW],
        slight: true,
        wrong: |w| w.result_si("new-flow").or(w.si("flow")),
    },
    Mistake { id: "nozzle-code-decimal", places: &[RATED_FLOW], slight: false, wrong: whole_gallons },
];

/// The formula for gal/acre is filled in with the rate where it has the flow, and the result is called a flow.
fn solved_backwards(w: &Wrong) -> Option<f64> {
    let number = |name: &str, unit: Unit| Some(w.si(name)? / unit.size());
    let flow = 5940.0 * number("rate", unit!("gal/acre"))?
        / (number("speed", unit!("mph"))? * number("spacing", unit!("in"))?);
    (*w.unit == unit!("gal/min")).then(|| w.in_answer_unit(flow))
}

/// Tips are held against the mean of the set: each against it, or the highest of them.
fn against_itself(w: &Wrong) -> Option<f64> {
    if let Some(row) = w.row(0) {
        return w.result_si(&format!("nozzle-{row}-departure"));
    }
    let tips = (1..).map_while(|row| w.result_si(&format!("nozzle-{row}-departure")));
    tips.reduce(f64::max)
}

/// The last two figures of a tip are read as whole gallons in a minute.
fn whole_gallons(w: &Wrong) -> Option<f64> {
    let code = w.si("tip-code")?;
    let size = code - (code / 100.0).floor() * 100.0;
    Some(size * unit!("gal/min").size())
}
