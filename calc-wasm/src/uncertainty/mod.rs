//! How sure a result is: measurement uncertainty as in JCGM 100:2008 (the GUM), worked out from what was recorded.
//!
//! A budget lists every reading that a result rests on, what its own uncertainty does to the result, and which of them
//! matters most. Readings are taken to err independently of one another (JCGM 100:2008, 5.1.2). What no reading can
//! show is not in here: marks printed in the wrong place, a worn nozzle, a pressure that has changed since.

pub mod chart;
mod longer;
mod slope;
mod unused;
mod work;

pub use crate::calculation::budget::{Budget, BudgetLine, COVERAGE, Cause, Grown, Longer};
pub use crate::calculation::read_to::field_of;
pub use unused::has_part;
pub use work::work;

use crate::calculation::declare::{Input, Need, Source};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::quantity::order::order_of;
use crate::quantity::typed::{self, Typed};
use crate::working::record::Outcome;
use slope::Slopes;

/// How sure a result should be unless the caller says otherwise, relative and expanded; a main result that is less sure
/// is pointed out. Common practice, no source: a calibration is usually asked to agree within 5 %.
pub const WANTED: f64 = 0.05;
/// Standard uncertainty that a hand adds by starting and stopping a watch, seconds, both presses together.
///
/// 0.07 s for one press at an event seen coming, 0.10 s for two; delays common to both presses cancel. From 4304
/// timekeepers' presses at swimming meets, see [`SOURCES`]. NIST Special Publication 960-12, Stopwatch and Timer
/// Calibrations, gives the same order: tens to hundreds of milliseconds.
pub const REACTION_S: f64 = 0.10;

/// What the method rests on.
pub const SOURCES: &[Source] = &[
    Source {
        title: "JCGM 100:2008, Guide to the expression of uncertainty in measurement",
        publisher: "Joint Committee for Guides in Metrology",
        url: "https://www.iso.org/sites/JCGM/GUM/JCGM100/C045315e-html/C045315e.html",
    },
    Source {
        title: "Manual timing in physics experiments: Error and uncertainty (2019)",
        publisher: "American Journal of Physics 87, 110",
        url: "https://pubs.aip.org/aapt/ajp/article-abstract/87/2/110/148269/Manual-timing-in-physics-experiments-Error-and",
    },
];

/// Budgets of every result that its calculator names as uncertain, in the order of the results.
///
/// A reading's own standard uncertainty is its resolution `d` as a rectangle, `d / sqrt(12)` (JCGM 100:2008, 4.3.7
/// and F.2.2.1), and [`REACTION_S`] besides for a hand-held watch. Whoever read it may say how finely; otherwise
/// the field's usual resolution counts. What is printed on a label or taken as given adds nothing, and neither does a
/// default or a count. Repeats add their scatter, see [`scatter`]; what rounding of the
/// readings adds is part of that scatter as well, so the two together are on the safe side. `wanted` is relative and
/// expanded. Results that rest on no reading have no budget.
///
/// Formula: `u(y)^2 = sum of (slope_i * u(x_i))^2` (JCGM 100:2008, equation 10).
pub fn budgets(worked: &Worked, wanted: f64) -> Vec<Budget> {
    let read: Vec<(&str, f64, bool)> = worked
        .inputs
        .declared()
        .filter_map(|(name, input, typed)| {
            let (standard, shrinks) = reading(&worked.inputs, input, name, typed);
            (standard > 0.0).then_some((name, standard, input.grows && shrinks))
        })
        .collect();
    let names: Vec<&str> = read.iter().map(|(name, ..)| *name).collect();
    let mut slopes = Slopes::new(&worked.steps, &names);
    let mut budgets = Vec::new();
    for (index, found) in worked.results.iter().enumerate() {
        let (Outcome::Quantity(value, _), Some(expr)) = (&found.outcome, &found.expr) else { continue };
        if !worked.calculator.uncertain.contains(&found.spec.name) || *value == 0.0 {
            continue;
        }
        let slope = slopes.of(expr);
        let mut parts: Vec<BudgetLine> = read
            .iter()
            .zip(&slope.by)
            .filter(|(_, slope)| **slope != 0.0)
            .map(|((name, standard, grows), slope)| {
                let contribution = (slope * standard).abs();
                let cause = Cause::Reading((*name).to_owned());
                BudgetLine { cause, standard: *standard, sensitivity: *slope, contribution, share: 0.0, grows: *grows }
            })
            .collect();
        let repeats = worked.repeats.iter().find(|repeats| std::ptr::eq(repeats.spec, found.spec));
        if let Some(repeats) = repeats.filter(|repeats| repeats.rows == found.rows) {
            let standard = scatter(&repeats.pairs);
            let cause = Cause::Scatter(repeats.pairs.len());
            parts.push(BudgetLine {
                cause,
                standard,
                sensitivity: 1.0,
                contribution: standard,
                share: 0.0,
                grows: false,
            });
        }
        let variance: f64 = parts.iter().map(|part| part.contribution * part.contribution).sum();
        if variance <= 0.0 || !variance.is_finite() {
            continue;
        }
        for part in &mut parts {
            part.share = part.contribution * part.contribution / variance;
        }
        // A reading that cancels in the result leaves the noise of binary arithmetic.
        let whole = variance.sqrt();
        let counts = |part: &BudgetLine| order_of(part.contribution, 0.0, whole).is_gt();
        parts.retain(|part| counts(part) || matches!(part.cause, Cause::Scatter(_)));
        costliest_first(&mut parts, |part| part.share);
        let longer = longer::longer(worked, &parts, *value, wanted);
        budgets.push(Budget { result: index, value: *value, standard: variance.sqrt(), parts, target: wanted, longer });
    }
    budgets
}

/// Puts the largest share first; equal ones stay as they were. A handful of parts needs no more than this.
pub(crate) fn costliest_first<T>(parts: &mut [T], share: impl Fn(&T) -> f64) {
    for end in 1..parts.len() {
        let mut at = end;
        while at > 0 && share(&parts[at - 1]) < share(&parts[at]) {
            parts.swap(at - 1, at);
            at -= 1;
        }
    }
}

/// Standard uncertainty of one reading as it was typed, SI base units, 0 where nothing was read; and whether a longer
/// run makes it matter less.
fn reading(inputs: &Inputs, input: &Input, name: &str, typed: &Typed) -> (f64, bool) {
    let kind = input.kind();
    if let (Need::Default(text), Some(kind)) = (input.need, kind)
        && !inputs.says_read_to(name)
        && typed::read(text, kind, None).is_ok_and(|default| default.si.to_bits() == typed.si.to_bits())
    {
        return (0.0, false);
    }
    let read = inputs.resolution(input, name, typed);
    let hand = if input.stopwatch { REACTION_S } else { 0.0 };
    ((read.width * read.width / 12.0 + hand * hand).sqrt(), !read.share)
}

/// Standard uncertainty of a pooled ratio from the scatter of its repeats, each an amount and what it was measured
/// over.
///
/// `u = sqrt(n / (n - 1) * sum of w_i^2 (r_i - r)^2)`, with `r_i` the ratio of one repeat, `w_i` its share of what was
/// measured over in all, and `r` the pooled ratio. With equal shares this is the standard deviation of the mean,
/// `s / sqrt(n)` (JCGM 100:2008, 4.2.3); for unequal ones the usual estimator for a ratio (Cochran, Sampling
/// Techniques, chapter 6, from memory). 0 for fewer than two repeats. Two repeats tell little: the estimate itself is
/// then off by three quarters (JCGM 100:2008, table E.1).
pub fn scatter(pairs: &[(f64, f64)]) -> f64 {
    let count = pairs.len() as f64;
    let over: f64 = pairs.iter().map(|(_, over)| *over).sum();
    let pooled = pairs.iter().map(|(amount, _)| *amount).sum::<f64>() / over;
    if count < 2.0 || !pooled.is_finite() {
        return 0.0;
    }
    let squares: f64 = pairs
        .iter()
        .map(|(amount, part)| {
            let apart = (amount - pooled * part) / over;
            apart * apart
        })
        .sum();
    (count / (count - 1.0) * squares).sqrt()
}
