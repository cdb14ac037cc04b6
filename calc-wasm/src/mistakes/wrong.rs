//! Tools to run a wrong working: the calculator again with other inputs, in a wrong table of units, or by hand.

use crate::calculation::handles::{GroupOf, InputOf, ResultOf};
use crate::calculation::inputs::{Inputs, RawInputs, flat_name};
use crate::calculation::worked::{Worked, work_values};
use crate::quantity::kinds::OfKind;
use crate::quantity::typed::{Typed, small_part};
use crate::quantity::unit::Unit;
use crate::working::record::{Expr, Rounding};

/// A number question as it was posed, worked correctly: what a wrong working starts from.
#[derive(Clone, Copy, Debug)]
pub struct RightWorking<'a> {
    /// The inputs as they were written.
    pub given: &'a RawInputs,
    /// The problem worked correctly.
    pub worked: &'a Worked,
    /// Quantities in the text that are not inputs and that the right working does not need.
    pub beside: &'a [(String, Typed)],
    /// Flat name of the result requested.
    pub result: &'a str,
    /// The right answer in SI base units.
    pub si: f64,
}

impl RightWorking<'_> {
    /// Whether every amount that is given, and the answer in this unit, is metric; what has none of either is not.
    pub fn is_metric(&self, answer: &Unit) -> bool {
        let sided = |unit: &&Unit| unit.dim().length != 0 || unit.dim().mass != 0 || unit.dim().volume != 0;
        // What is usual where nothing is given is in US units in every course.
        let given = self.worked.inputs.quantities().filter(|(name, _)| self.given.text(name).is_some());
        let all = given.map(|(_, typed)| typed).chain(self.beside.iter().map(|(_, typed)| typed));
        let mut sided = all.map(|typed| &typed.unit).chain([answer]).filter(sided).peekable();
        sided.peek().is_some() && sided.all(|unit| !unit.is_us())
    }
}

/// A wrong working under way.
#[derive(Clone, Copy, Debug)]
pub struct Wrong<'a> {
    pub(super) right_working: &'a RightWorking<'a>,
    /// The unit the answer is given in.
    pub unit: &'a Unit,
    rounding: Rounding,
}

impl<'a> Wrong<'a> {
    /// A wrong working whose answer is given in `unit`, steps rounded as `rounding` says.
    pub fn new(right_working: &'a RightWorking<'a>, unit: &'a Unit, rounding: Rounding) -> Wrong<'a> {
        Wrong { right_working, unit, rounding }
    }

    /// The right answer, SI.
    pub fn right(&self) -> f64 {
        self.right_working.si
    }

    /// Whether the problem is in metric units throughout.
    pub fn is_metric(&self) -> bool {
        self.right_working.is_metric(self.unit)
    }

    /// The inputs as given.
    pub fn inputs(&self) -> &'a Inputs {
        &self.right_working.worked.inputs
    }

    /// An input, or a quantity given beside the inputs.
    #[inline(always)]
    pub fn typed<D: OfKind>(&self, input: &InputOf<D>) -> Option<&'a Typed> {
        self.typed_at(input.name())
    }

    fn typed_at(&self, name: &str) -> Option<&'a Typed> {
        let beside = || self.right_working.beside.iter().find(|(beside, _)| beside == name).map(|(_, typed)| typed);
        self.inputs().typed_at(name).or_else(beside)
    }

    /// The SI value of an input, or of a quantity given beside the inputs.
    #[inline(always)]
    pub fn si<D: OfKind>(&self, input: &InputOf<D>) -> Option<f64> {
        self.si_at(input.name())
    }

    /// The same by its flat name.
    pub fn si_at(&self, name: &str) -> Option<f64> {
        self.typed_at(name).map(|typed| typed.si)
    }

    /// A field of a row.
    #[inline(always)]
    pub fn typed_in<D: OfKind, R>(&self, group: &GroupOf<R>, row: usize, field: &InputOf<D, R>) -> Option<&'a Typed> {
        self.typed_at(&flat_name(group.name(), row, field.name()))
    }

    /// The SI value of a field of a row.
    #[inline(always)]
    pub fn si_in<D: OfKind, R>(&self, group: &GroupOf<R>, row: usize, field: &InputOf<D, R>) -> Option<f64> {
        self.si_at(&flat_name(group.name(), row, field.name()))
    }

    /// The SI value of another field in the row of `flat`.
    #[inline(always)]
    pub fn sibling<D: OfKind, R>(&self, flat: &str, field: &InputOf<D, R>) -> Option<f64> {
        self.sibling_at(flat, field.name())
    }

    fn sibling_at(&self, flat: &str, field: &str) -> Option<f64> {
        let (row, _) = flat.rsplit_once('.')?;
        self.si_at(&format!("{row}.{field}"))
    }

    /// How the step of a result was computed in the right working.
    pub fn expr_of<D>(&self, result: &ResultOf<D>) -> Option<&'a Expr> {
        self.right_working.worked.steps.iter().find(|one| one.id == result.name()).map(|one| &*one.expr)
    }

    /// Another result of the same problem, SI.
    #[inline(always)]
    pub fn result_si<D, const ROWS: usize>(&self, result: &ResultOf<D, ROWS>, rows: [usize; ROWS]) -> Option<f64> {
        self.right_working.worked.si(result, rows)
    }

    /// The same by its flat name.
    pub fn result_si_at(&self, result: &str) -> Option<f64> {
        self.right_working.worked.si_at(result)
    }

    /// The `index`-th row number in the name of the result requested: 2 in `product-2-amount`.
    pub fn row(&self, index: usize) -> Option<usize> {
        row_in(self.right_working.result, index)
    }

    /// What the result comes to with these inputs; `None` where the calculator refuses them.
    pub fn run(&self, inputs: Inputs) -> Option<f64> {
        let worked = &self.right_working.worked;
        work_values(worked.calculator, inputs, worked.system, self.rounding).ok()?.si_at(self.right_working.result)
    }

    /// The result with every quantity put to what `to` makes of it; `None` where nothing changes.
    pub fn change(&self, to: &dyn Fn(&str, &Typed) -> Option<f64>) -> Option<f64> {
        let mut inputs = self.inputs().clone();
        let mut changed = false;
        for (name, typed) in self.inputs().quantities() {
            if let Some(si) = to(name, typed) {
                changed |= si.to_bits() != typed.si.to_bits();
                inputs.set(name, si);
            }
        }
        if changed { self.run(inputs) } else { None }
    }

    /// The result with one input put to another value.
    #[inline(always)]
    pub fn with<D: OfKind>(&self, input: &InputOf<D>, si: f64) -> Option<f64> {
        self.with_at(input.name(), si)
    }

    /// The same with a field of a row.
    #[inline(always)]
    pub fn with_in<D: OfKind, R>(&self, group: &GroupOf<R>, row: usize, field: &InputOf<D, R>, si: f64) -> Option<f64> {
        self.with_at(&flat_name(group.name(), row, field.name()), si)
    }

    fn with_at(&self, input: &str, si: f64) -> Option<f64> {
        self.change(&|name, _| (name == input).then_some(si))
    }

    /// The result with a field of the first row made larger; `None` where there is no such row.
    #[inline(always)]
    pub fn longer<D: OfKind, R>(&self, group: &GroupOf<R>, field: &InputOf<D, R>, by: f64) -> Option<f64> {
        self.longer_at(&flat_name(group.name(), 1, field.name()), by)
    }

    fn longer_at(&self, name: &str, by: f64) -> Option<f64> {
        self.with_at(name, self.inputs().typed_at(name)?.si + by)
    }

    /// The result from the first row alone of a group that has more.
    #[inline(always)]
    pub fn first_row_of<R>(&self, group: &GroupOf<R>) -> Option<f64> {
        self.rows_kept(group.name(), 1)
    }

    /// The result without the rows of a group that has some.
    #[inline(always)]
    pub fn without_rows<R>(&self, group: &GroupOf<R>) -> Option<f64> {
        self.rows_kept(group.name(), 0)
    }

    fn rows_kept(&self, group: &'static str, rows: usize) -> Option<f64> {
        if self.inputs().row_count_at(group) <= rows {
            return None;
        }
        let mut inputs = self.inputs().clone();
        inputs.keep_rows(group, rows);
        self.run(inputs)
    }

    /// Whether this is the result requested.
    pub fn is<D>(&self, result: &ResultOf<D>) -> bool {
        self.right_working.result == result.name()
    }

    /// The working in a wrong table of units, in which one of `taken` is `count` of `of`: the inputs are read in that
    /// table and the answer is given in it.
    pub fn unit_taken(&self, taken: Unit, count: f64, of: Unit) -> Option<f64> {
        let ratio = count * of.size() / taken.size();
        let scale = |unit: &Unit| ratio.powi(unit.exponent(taken));
        // Where nothing is counted in it, the working is the right one.
        let mut units = self.inputs().quantities().map(|(_, typed)| &typed.unit).chain([self.unit]);
        if self.rounding == Rounding::None && units.all(|unit| unit.exponent(taken) == 0) {
            return Some(self.right());
        }
        let mut inputs = self.inputs().clone();
        for (name, typed) in self.inputs().quantities() {
            // Of 1 gal 58 fl oz only the ounces are read wrongly.
            let read = self.small(name).map_or(typed.si, |small| small * typed.unit.size());
            inputs.set(name, typed.si - read + read * scale(&typed.unit));
        }
        Some(self.run(inputs)? / scale(self.unit))
    }

    /// The SI values of inputs of one dimension that were written in two units, `1 min 15 s`, each put to what
    /// `to` makes of the count of large units and of small ones.
    pub fn two_units(&self, large: Unit, small: Unit, to: &dyn Fn(f64, f64) -> f64) -> Option<f64> {
        self.change(&|name, typed| {
            let count = self.small(name).filter(|count| *count > 0.0 && typed.unit == small)?;
            let whole = (typed.si - count * small.size()) / large.size();
            Some(to(whole, count) * large.size())
        })
    }

    /// Of an input written in two units, the number in front of the smaller one.
    fn small(&self, name: &str) -> Option<f64> {
        small_part(self.right_working.given.text(name)?)
    }

    /// `number`, written in the unit of the answer.
    pub fn in_answer_unit(&self, number: f64) -> f64 {
        number * self.unit.size()
    }
}

/// The `index`-th row number in a flat name.
pub(super) fn row_in(result: &str, index: usize) -> Option<usize> {
    result.split('-').filter_map(|word| word.parse().ok()).nth(index)
}
