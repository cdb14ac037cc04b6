//! The ways to a right answer that a good teacher accepts: to full figures, with steps rounded to three, with the
//! factors that the trade rounds, and a percentage to the whole percent.

use super::template::{Posed, TOLERANCE};
use crate::calculation::inputs::Inputs;
use crate::calculation::label;
use crate::calculation::worked::work_inputs;
use crate::calculators::{active_ingredient, day_plan, shared, tank_mix};
use crate::mistakes::is_percent_off;
use crate::quantity::order;
use crate::quantity::unit::{Unit, unit};
use crate::working::record::{Rounding, again, each_rounded};
use crate::working::result::is_flat_name;

/// Figures to which a learner may round an intermediate step without losing the answer.
const STEP_FIGURES: usize = 3;
/// How close an answer must be to one that was reached by a way of its own: the last rounding to three figures.
const CLOSE: f64 = 0.005;
/// How far a percentage off may be from the right one: half a percentage point, which whole percents are within.
const POINTS: f64 = 0.005;
/// The percentage from which half a point is allowed even where nothing is said to be off: half a point of a strength
/// of 1.5 % would be a third of it.
const LARGE: f64 = 0.1;

/// A factor that the trade rounds: one `unit` is `count` of `of`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TradeFactor {
    /// The unit that is counted out.
    pub unit: Unit,
    /// How many.
    pub count: f64,
    /// Of what.
    pub of: Unit,
}

/// The rounded factors that handbooks print (Pesticide Environmental Stewardship, Measurements, Conversions, and
/// Formulas; New England Vegetable Management Guide, measuring small amounts; Pacific Northwest Pest Management
/// Handbooks, weights and measures). Those that are exact, such as 43.56 and 2.54, need no entry.
pub(super) const TRADE: &[TradeFactor] = &[
    TradeFactor { unit: unit!("fl oz"), count: 30.0, of: unit!("mL") },
    TradeFactor { unit: unit!("fl oz"), count: 29.6, of: unit!("mL") },
    TradeFactor { unit: unit!("tsp"), count: 5.0, of: unit!("mL") },
    TradeFactor { unit: unit!("gal"), count: 3.785, of: unit!("L") },
    TradeFactor { unit: unit!("gal"), count: 3.8, of: unit!("L") },
    TradeFactor { unit: unit!("oz"), count: 28.0, of: unit!("g") },
    TradeFactor { unit: unit!("lb"), count: 454.0, of: unit!("g") },
    TradeFactor { unit: unit!("acre"), count: 0.4, of: unit!("ha") },
    TradeFactor { unit: unit!("acre"), count: 0.405, of: unit!("ha") },
    TradeFactor { unit: unit!("imp gal"), count: 1.2, of: unit!("gal") },
];

impl Posed {
    /// Whether `si` is a right answer: within the tolerance, or reached by a way that is accepted.
    pub fn accepts(&self, si: f64) -> bool {
        if self.within(si) {
            return true;
        }
        // No way of these doubles an answer or takes it away, so what is farther off need not be tried.
        let possible = (si - self.si).abs() <= 0.5 * self.si.abs();
        possible && (self.rounded(None).into_iter().any(|way| near(si, way, CLOSE)) || self.trade_factor(si).is_some())
    }

    /// Whether `si` is within the tolerance itself, with no way of its own.
    pub(super) fn within(&self, si: f64) -> bool {
        self.close_to(si, self.si)
    }

    /// Whether `si` is as close to `target` as an answer may be to the right one.
    pub(super) fn close_to(&self, si: f64, target: f64) -> bool {
        let percent = self.unit.has(unit!("%"));
        let points = is_percent_off(self.calculator, &self.result) || percent && target.abs() >= LARGE;
        // Of a percentage the usual tolerance is half a point, not a share of it; an author's own counts beside it.
        let share = if points && order::order(self.tolerance, TOLERANCE).is_eq() { 0.0 } else { self.tolerance };
        points && order::within(si, target, POINTS) || near(si, target, share)
    }

    /// The factor that the trade rounds by which an answer was reached that the exact one does not explain.
    pub fn trade_factor(&self, si: f64) -> Option<&'static TradeFactor> {
        if near(si, self.si, CLOSE) {
            return None;
        }
        TRADE.iter().find(|factor| {
            let ways = self.rounded(Some(factor));
            ways.into_iter().any(|way| near(si, way, CLOSE))
        })
    }

    /// What the answer becomes when a learner rounds every step, or any one of them, to three figures; with a factor
    /// of the trade, without rounding or with every step rounded.
    fn rounded(&self, factor: Option<&TradeFactor>) -> Vec<f64> {
        let every = Rounding::Every(STEP_FIGURES);
        let Some(factor) = factor else {
            let steps = &self.worked.steps;
            let Some(expr) = self.worked.result(&self.result).and_then(|found| found.expr.as_ref()) else {
                return Vec::new();
            };
            let mut ways = each_rounded(steps, expr, STEP_FIGURES);
            ways.insert(0, again(steps, expr, every));
            return ways;
        };
        let Some((inputs, over)) = self.with_factor(factor) else { return Vec::new() };
        let way = |rounding| {
            let worked = work_inputs(self.calculator, inputs.clone(), self.worked.system, rounding).ok()?;
            Some(worked.si_at(&self.result)? / over)
        };
        [Rounding::None, every].into_iter().filter_map(way).collect()
    }

    /// The inputs read in a table of units in which the factor holds, and what the answer is then divided by; `None`
    /// where the factor is not needed, because not both of its units are in the problem.
    fn with_factor(&self, factor: &TradeFactor) -> Option<(Inputs, f64)> {
        let (unit, of) = (factor.unit, factor.of);
        let all = || self.worked.inputs.quantities().map(|(_, typed)| &typed.unit).chain([&self.unit]);
        let metric = |us: bool| all().any(|unit| unit.parts().any(|(part, _)| part.dim == of.dim() && part.us == us));
        let there = all().any(|one| one.has(factor.unit));
        if !(there && (factor.of == unit!("gal") || metric(true) && metric(false))) {
            return None;
        }
        // The whole of a kind moves with it: with 30 mL to a fluid ounce a gallon is 128 of them.
        let ratio = factor.count * of.size() / unit.size();
        let scale = |one: &Unit| {
            let moved = one.parts().filter(|(part, _)| {
                if factor.of == unit!("gal") { Some(*part) == unit.first() } else { part.us && part.dim == unit.dim() }
            });
            ratio.powi(moved.map(|(_, exponent)| i32::from(exponent)).sum())
        };
        let mut inputs = self.worked.inputs.clone();
        for (name, typed) in self.worked.inputs.quantities() {
            inputs.set(name, typed.si * scale(&typed.unit));
        }
        Some((inputs, scale(&self.unit)))
    }

    /// Whether working on with `si` breaks a limit of the label that the question names, where the right answer does
    /// not: more product than it allows, or less water.
    pub(super) fn breaks_label(&self, si: f64) -> bool {
        let inputs = &self.worked.inputs;
        let limit = |name: &str| inputs.typed_at(name).map(|typed| typed.si);
        let mut breaks = false;
        for row in 1..=inputs.row_count(&tank_mix::PRODUCT) {
            let own = |field| limit(&tank_mix::PRODUCT.flat(row, field));
            let (Some(rate), Some(most)) = (own(&label::RATE), own(&label::MAX)) else { continue };
            let amount = AMOUNTS.iter().any(|amount| is_flat_name(amount, &[row], &self.result));
            breaks |= amount && order::above(si / self.si, (most / rate).max(1.0));
        }
        let (rate, least) = (shared::APPLICATION_RATE.name(), label::VOLUME_MIN.name());
        if let (Some(rate), Some(least)) = (limit(rate), limit(least)) {
            let reach = REACH.contains(&self.result.as_str());
            breaks |= reach && order::above(si / self.si, (rate / least).max(1.0));
        }
        if let (Some(most), true) = (limit(label::MAX.name()), self.result == PRODUCT_RATE) {
            breaks |= order::above(si, most.max(self.si));
        }
        breaks
    }
}

/// Amounts of a product for a tank or a day, which its highest rate limits.
const AMOUNTS: [&str; 3] = [tank_mix::AMOUNT.name(), tank_mix::TOTAL.name(), day_plan::TOTAL_PRODUCT.name()];
/// Ground that a tank reaches, which the least volume of water limits.
const REACH: [&str; 3] = [tank_mix::AREA_TREATED.name(), tank_mix::AREA_PER_TANK.name(), tank_mix::NEW_MIX_AREA.name()];
/// A rate of product, which the label limits itself.
const PRODUCT_RATE: &str = active_ingredient::PRODUCT_RATE.name();

fn near(si: f64, target: f64, share: f64) -> bool {
    order::within(si, target, share * target.abs())
}
