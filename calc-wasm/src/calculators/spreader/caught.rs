//! What runs put down, how far that is from the target, and the setting to try next.

use super::{
    DEPARTURE, HIGH_LIMIT, LENGTH, LOW_LIMIT, NEXT_SETTING, PASSES, RATE, RUN, RUN_AREA, Run, SETTING, SPACING,
    TOLERANCE, TOTAL_AREA, TOTAL_WEIGHT, WEIGHT,
};
use crate::calculation::asking::RowOf;
use crate::calculation::declare::Fault;
use crate::calculation::inputs::Inputs;
use crate::quantity::kind::{Area, Length, Mass, MassPerArea, Ratio};
use crate::quantity::unit::unit;
use crate::quantity::usual;
use crate::working::percent_off::outside;
use crate::working::record::{Arg, Recorder, Severity, Traced};

/// Common practice, no source: spreader gates open unevenly, so a straight line reaches no farther.
const FAR: f64 = 0.25;

/// The rate of all runs together.
pub(super) fn caught(
    inputs: &Inputs,
    rec: &mut Recorder,
    hopper: Option<&Traced<Length>>,
) -> Result<Option<Traced<MassPerArea>>, Fault> {
    let (mut weights, mut areas): (Vec<Traced<Mass>>, Vec<Traced<Area>>) = (Vec::new(), Vec::new());
    for row in inputs.rows(&RUN) {
        weights.push(row.need(&WEIGHT)?);
        areas.push(ground(&row, rec, hopper)?);
    }
    let several = weights.len() > 1;
    let (Some(mut weight), Some(mut area)) = (Traced::sum(weights), Traced::sum(areas)) else { return Ok(None) };
    if several {
        weight = rec.settle(&TOTAL_WEIGHT, [], &weight);
        area = rec.settle(&TOTAL_AREA, [], &area);
    } else {
        rec.result(&TOTAL_WEIGHT, [], &weight);
        rec.result(&TOTAL_AREA, [], &area);
    }
    let rate = rec.settle(&RATE, [], &(&weight / &area));
    Ok(Some(rate))
}

/// The ground of a run: as given, or length by width, times its passes.
fn ground(row: &RowOf<Run>, rec: &mut Recorder, hopper: Option<&Traced<Length>>) -> Result<Traced<Area>, Fault> {
    let passes = row.need(&PASSES)?;
    let one = match (row.get(&RUN_AREA), row.get(&LENGTH)) {
        (Some(area), None) if passes.si() <= 1.0 => return Ok(area),
        (Some(area), None) => area,
        (None, Some(length)) => {
            let width = row.get(&SPACING).or_else(|| hopper.cloned());
            &length * &width.ok_or_else(|| Fault::new("problem.missing", row.name(&SPACING)))?
        }
        _ => return Err(Fault::new("spreader.area-or-length", row.name(&RUN_AREA))),
    };
    let area = if passes.si() > 1.0 { &one * &passes } else { one };
    Ok(rec.step("spreader.step.run-area", &[row.number()], &area, usual::SURFACE))
}

/// The window around the target, how far the rate is off, and the setting to try next.
pub(super) fn against(
    inputs: &Inputs,
    rec: &mut Recorder,
    rate: Option<&Traced<MassPerArea>>,
    target: &Traced<MassPerArea>,
) -> Result<(), Fault> {
    let tolerance = inputs.need(&TOLERANCE)?;
    let one = Traced::number(1.0);
    rec.settle(&LOW_LIMIT, [], &(target * &(&one - &tolerance)));
    rec.settle(&HIGH_LIMIT, [], &(target * &(&one + &tolerance)));
    let Some(rate) = rate else { return Ok(()) };
    let departure = rec.settle(&DEPARTURE, [], &(&(rate - target) / target));
    let percent = |share: &Traced<Ratio>| Arg::Quantity(share.si(), unit!("%"));
    if outside(&departure, &tolerance) {
        let args = vec![("departure", percent(&departure)), ("tolerance", percent(&tolerance))];
        rec.caution("spreader.off", Severity::Warning, args);
    }
    let Some(setting) = inputs.get(&SETTING) else { return Ok(()) };
    let next = rec.settle(&NEXT_SETTING, [], &(&(&setting * target) / rate));
    if (next.si() / setting.si() - 1.0).abs() > FAR {
        rec.caution("spreader.far", Severity::Warning, vec![("setting", rec.arg(&next, usual::NUMBER))]);
    }
    Ok(())
}
