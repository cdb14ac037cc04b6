//! A quantity whose kind is known only once it is typed: product as liquid or dry, per area or per mix.

use crate::calculation::asking::RowOf;
use crate::calculation::declare::{Fault, ResultSpec};
use crate::calculation::handles::{InputOf, ResultOf};
use crate::calculation::inputs::Inputs;
use crate::quantity::kind::{Measure, Mixed};
use crate::quantity::kinds::OfKind;
use crate::quantity::unit::{Unit, Units};
use crate::quantity::units::Dim;
use crate::working::record::{Recorder, Traced};

/// A quantity and what it measures, worked out along with it.
#[derive(Clone, Debug)]
pub struct AnyQuantity {
    /// The quantity; its type says nothing of its dimension.
    pub value: Traced<Mixed>,
    /// What it measures.
    pub dim: Dim,
}

impl AnyQuantity {
    /// An input, where it is given.
    ///
    /// # Errors
    /// Not above zero: an input of several kinds declares no limits of its own.
    #[inline(always)]
    pub fn of<D: OfKind>(inputs: &Inputs, input: &InputOf<D>) -> Result<Option<AnyQuantity>, Fault> {
        AnyQuantity::of_at(inputs, input.name())
    }

    /// An input.
    ///
    /// # Errors
    /// Missing, or not above zero.
    #[inline(always)]
    pub fn need<D: OfKind>(inputs: &Inputs, input: &InputOf<D>) -> Result<AnyQuantity, Fault> {
        AnyQuantity::need_at(inputs, input.name())
    }

    /// A field of a row.
    ///
    /// # Errors
    /// Missing, or not above zero.
    #[inline(always)]
    pub fn need_in<D: OfKind, R>(row: &RowOf<R>, field: &InputOf<D, R>) -> Result<AnyQuantity, Fault> {
        AnyQuantity::need_at(row.inputs(), &row.name(field))
    }

    fn of_at(inputs: &Inputs, name: &str) -> Result<Option<AnyQuantity>, Fault> {
        let (Some(value), Some(typed)) = (inputs.get_at(name), inputs.typed_at(name)) else { return Ok(None) };
        if typed.si <= 0.0 {
            return Err(Fault::new("label.not-above-zero", name));
        }
        Ok(Some(AnyQuantity { value, dim: typed.unit.dim() }))
    }

    fn need_at(inputs: &Inputs, name: &str) -> Result<AnyQuantity, Fault> {
        AnyQuantity::of_at(inputs, name)?.ok_or_else(|| Fault::new("problem.missing", name))
    }

    /// A quantity whose dimension the compiler knows, beside those that it does not.
    pub fn from<Q: Measure>(value: &Traced<Q>, unit: Unit) -> AnyQuantity {
        AnyQuantity { value: value.untyped(), dim: unit.dim() }
    }

    /// The product of the two.
    pub fn times(&self, other: &AnyQuantity) -> AnyQuantity {
        AnyQuantity { value: &self.value * &other.value, dim: self.dim.plus(other.dim, 1) }
    }

    /// The quotient of the two.
    pub fn over(&self, other: &AnyQuantity) -> AnyQuantity {
        AnyQuantity { value: &self.value / &other.value, dim: self.dim.plus(other.dim, -1) }
    }

    /// The difference of two quantities that measure the same.
    pub fn minus(&self, other: &AnyQuantity) -> AnyQuantity {
        AnyQuantity { value: &self.value - &other.value, dim: self.dim }
    }

    /// Closes a step; see [`Recorder::step`].
    pub fn step(&self, rec: &mut Recorder, id: &'static str, units: &Units) -> AnyQuantity {
        self.step_at(rec, id, &[], units)
    }

    /// Closes a step that belongs to rows.
    pub fn step_at(&self, rec: &mut Recorder, id: &'static str, rows: &[usize], units: &Units) -> AnyQuantity {
        AnyQuantity { value: rec.step(id, rows, &self.value, units), dim: self.dim }
    }

    /// Closes a step that is itself a result; see [`Recorder::settle_in`]. What it measures is known only once it is
    /// typed, so that the compiler cannot check it against the result's kind: every test that works a problem does, and
    /// a test over the registry compares it with the unit that the result is shown in.
    #[inline(always)]
    pub fn settle<D: OfKind, const ROWS: usize>(
        &self,
        rec: &mut Recorder,
        result: &'static ResultOf<D, ROWS>,
        rows: [usize; ROWS],
        units: &Units,
    ) -> AnyQuantity {
        debug_assert!(D::KIND.measures(self.dim), "{} is of another kind", result.name());
        self.settle_at(rec, &result.spec, &rows, units)
    }

    fn settle_at(&self, rec: &mut Recorder, spec: &'static ResultSpec, rows: &[usize], units: &Units) -> AnyQuantity {
        AnyQuantity { value: rec.settle_in_at(spec, rows, &self.value, units), dim: self.dim }
    }

    /// Reports it as a result; see [`Recorder::result_in`].
    #[inline(always)]
    pub fn report<D: OfKind, const ROWS: usize>(
        &self,
        rec: &mut Recorder,
        result: &'static ResultOf<D, ROWS>,
        rows: [usize; ROWS],
        units: &Units,
    ) {
        debug_assert!(D::KIND.measures(self.dim), "{} is of another kind", result.name());
        rec.result_in_at(&result.spec, &rows, &self.value, units);
    }

    /// Whether it is a share: percent, or liquid in liquid.
    pub fn is_share(&self) -> bool {
        self.dim == Dim::NONE
    }

    /// Whether it measures what `unit` does.
    pub fn measures(&self, unit: Unit) -> bool {
        self.dim == unit.dim()
    }
}
