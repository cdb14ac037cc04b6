//! Wrong workings written apart from the mistakes' own code: arithmetic on the numbers of a question, in units that the
//! formula names. Each is held against what the judge calls it.

mod area;
mod output;
mod tank;
mod units;
mod whole;

use tankside_calc::quantity::typed::Typed;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::template::Posed;

/// A wrong working: the result it is made in, what it is called, and its value in the unit of the answer; `None` where
/// it cannot be made at these inputs.
pub(crate) struct Row {
    pub(crate) asks: &'static [&'static str],
    pub(crate) named: &'static str,
    pub(crate) wrong: fn(&Numbers) -> Option<f64>,
}

pub(crate) const fn row(asks: &'static [&'static str], named: &'static str, wrong: fn(&Numbers) -> Option<f64>) -> Row {
    Row { asks, named, wrong }
}

/// Every wrong working of the table.
pub(crate) fn rows() -> impl Iterator<Item = &'static Row> {
    [output::ROWS, area::ROWS, tank::ROWS, units::ROWS, whole::ROWS].into_iter().flatten()
}

/// The numbers of a question that was posed.
pub(crate) struct Numbers<'a>(pub(crate) &'a Posed);

impl Numbers<'_> {
    fn given(&self, name: &str) -> Option<&Typed> {
        self.0.typed(name)
    }

    /// A given number in a unit.
    pub(crate) fn n(&self, name: &str, unit: &str) -> Option<f64> {
        let (typed, unit) = (self.given(name)?, Unit::of(unit));
        (typed.unit.dim() == unit.dim()).then(|| typed.si / unit.size())
    }

    /// The number as it is typed, where it is typed in that unit.
    pub(crate) fn own(&self, name: &str, unit: &str) -> Option<f64> {
        self.given(name).filter(|typed| typed.unit == Unit::of(unit)).map(Typed::value)
    }

    /// Whether the question is in metric units throughout.
    pub(crate) fn metric(&self) -> bool {
        self.0.right_working().is_metric(&self.0.unit)
    }

    /// A field of every row of a group, in a unit.
    pub(crate) fn all(&self, group: &str, field: &str, unit: &str) -> Vec<f64> {
        (1..=12).map_while(|row| self.n(&format!("{group}.{row}.{field}"), unit)).collect()
    }

    /// Their sum; `None` if there are no rows.
    pub(crate) fn sum(&self, group: &str, field: &str, unit: &str) -> Option<f64> {
        let all = self.all(group, field, unit);
        (!all.is_empty()).then(|| all.iter().sum())
    }

    /// The word chosen for an input.
    pub(crate) fn word(&self, name: &str) -> Option<&str> {
        self.0.worked.inputs.word_at(name)
    }

    /// An amount in a unit, converted to the unit of the answer.
    pub(crate) fn say(&self, amount: f64, unit: &str) -> Option<f64> {
        let unit = Unit::of(unit);
        (unit.dim() == self.0.unit.dim()).then(|| amount * unit.size() / self.0.unit.size())
    }

    /// A number labeled with the unit of the answer, whatever it really measures.
    pub(crate) fn called(&self, amount: f64, unit: &str) -> Option<f64> {
        (self.0.unit == Unit::of(unit)).then_some(amount)
    }

    /// The right answer in its unit.
    pub(crate) fn right(&self) -> f64 {
        self.0.si / self.0.unit.size()
    }

    /// Whether a unit is part of the answer's, and where: 1 above the line, -1 below.
    pub(crate) fn in_answer(&self, symbol: &str) -> i32 {
        place(&self.0.unit, symbol)
    }

    /// The same of a given number's unit.
    pub(crate) fn in_given(&self, name: &str, symbol: &str) -> i32 {
        self.given(name).map_or(0, |typed| place(&typed.unit, symbol))
    }

    /// Whether the number was typed in two units: `1 min 24 s`.
    pub(crate) fn in_two(&self, name: &str) -> Option<(f64, f64)> {
        let text = self.0.given.text(name)?;
        let numbers: Vec<f64> = text.split_whitespace().filter_map(|word| word.parse().ok()).collect();
        match numbers[..] {
            [large, small] => Some((large, small)),
            _ => None,
        }
    }
}

fn place(unit: &Unit, symbol: &str) -> i32 {
    unit.parts().filter(|(part, _)| part.symbol == symbol).map(|(_, exponent)| i32::from(exponent)).sum()
}
