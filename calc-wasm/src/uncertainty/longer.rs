//! How long to catch and spray until a result is as certain as wanted.

use crate::calculation::budget::{BudgetLine, COVERAGE, Cause, Grown, Longer};
use crate::calculation::read_to::field_of;
use crate::calculation::worked::Worked;
use crate::quantity::kind::Kind;
use crate::quantity::order::{above, less, whole_above};

/// Nobody catches, walks or sprays longer than this many times what they did.
pub(super) const MOST_TIMES: f64 = 4.0;
/// Nobody repeats a test more often than this, unless they have nearly done so already: then once or twice more.
pub(super) const MOST_REPEATS: usize = 6;

/// Works out the answer for a result of size `value` from its parts.
///
/// Relative variances add. Those of readings that grow fall with the square of the length of a run, for the reading's
/// own uncertainty stays what it is while the reading grows; those of other readings stay. Scatter is taken to stay
/// with a longer run, because nothing measured says that it falls, and to fall with the number of repeats
/// (JCGM 100:2008, 4.2.3), as the readings of each repeat do.
pub(super) fn longer(worked: &Worked, parts: &[BudgetLine], value: f64, wanted: f64) -> Longer {
    let goal = wanted / COVERAGE;
    let sum = |these: &dyn Fn(&BudgetLine) -> bool| -> f64 {
        parts.iter().filter(|part| these(part)).map(|part| square(part.contribution / value)).sum()
    };
    let grows = |part: &BudgetLine| part.grows;
    let scatter = |part: &BudgetLine| matches!(part.cause, Cause::Scatter(_));
    let fixed = |part: &BudgetLine| !part.grows && !matches!(part.cause, Cause::Scatter(_));
    let (growing, scattered, staying) = (sum(&grows), sum(&scatter), sum(&fixed));
    let room = less(square(goal), staying);
    // A result that is exactly as sure as wanted is sure enough.
    if !above(growing + scattered + staying, square(goal)) {
        return Longer::Enough;
    }
    let stretched = stretched(worked, parts);
    if scattered < room && stretched.is_some() {
        let factor = (growing / (room - scattered)).sqrt();
        if factor > MOST_TIMES {
            return coarse(parts);
        }
        return Longer::Times { factor, grown: grown(worked, parts, factor, stretched) };
    }
    let repeats = parts.iter().find_map(|part| match part.cause {
        Cause::Scatter(now) => Some(now),
        Cause::Reading(_) => None,
    });
    let repeats = repeats.or((growing > 0.0 && stretched.is_none()).then_some(1));
    if let (Some(now), true) = (repeats, room > 0.0) {
        let needed = whole_above(now as f64 * (growing + scattered) / room);
        return match () {
            () if needed <= MOST_REPEATS.max(now + 2) as f64 => Longer::Repeats { now, needed: needed as usize },
            () if scattered > growing => Longer::Unsteady { now },
            () => coarse(parts),
        };
    }
    // Parts are sorted, so the first of these costs most; there is one, or there would have been room.
    let most = parts.iter().find(|part| fixed(part));
    Longer::Never {
        fixed: most.map_or(Cause::Scatter(0), |part| part.cause.clone()),
        alone: most.map_or(0.0, |part| COVERAGE * part.contribution / value.abs()),
        together: COVERAGE * staying.sqrt(),
    }
}

fn coarse(parts: &[BudgetLine]) -> Longer {
    let mut readings = parts.iter().map(|part| &part.cause).filter(|cause| matches!(cause, Cause::Reading(_)));
    Longer::Coarse { most: readings.next().cloned().unwrap_or(Cause::Scatter(0)) }
}

fn square(value: f64) -> f64 {
    value * value
}

/// What to make longer: 0 the times; where nothing is timed, 1 the ground or the distance covered. Nobody fills a tank
/// higher to make a run longer, although what lies between two tank readings grows with it.
fn rank(worked: &Worked, name: &str) -> Option<u8> {
    let input = worked.calculator.input(name)?;
    let ground = matches!(input.kind(), Some(Kind::Area | Kind::Length));
    if input.stopwatch { Some(0) } else { ground.then_some(1) }
}

fn growing<'w>(worked: &'w Worked, parts: &'w [BudgetLine]) -> impl Iterator<Item = &'w str> {
    worked.inputs.names().filter(|name| parts.iter().any(|part| part.grows && part.cause.is(name)))
}

/// The rank of what is to be made longer; `None` where no run can be.
fn stretched(worked: &Worked, parts: &[BudgetLine]) -> Option<u8> {
    growing(worked, parts).filter_map(|name| rank(worked, name)).min()
}

fn grown(worked: &Worked, parts: &[BudgetLine], factor: f64, stretched: Option<u8>) -> Vec<Grown> {
    let mut all: Vec<Grown> = Vec::new();
    for name in growing(worked, parts).filter(|name| rank(worked, name) == stretched) {
        let Some(typed) = worked.inputs.typed_at(name) else { continue };
        let field = field_of(name);
        match all.iter_mut().find(|grown| field_of(&grown.first) == field) {
            Some(grown) => grown.now += typed.si,
            None => all.push(Grown { first: name.to_owned(), now: typed.si, needed: 0.0 }),
        }
    }
    for grown in &mut all {
        grown.needed = grown.now * factor;
    }
    all
}
