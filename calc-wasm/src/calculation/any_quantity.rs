//! A quantity whose kind is known only once it is typed: product as liquid or dry, per area or per mix.

use crate::calculation::declare::{Fault, ResultSpec};
use crate::calculation::inputs::Inputs;
use crate::quantity::kind::{Measure, Mixed};
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
    /// The input with this name, where it is given.
    ///
    /// # Errors
    /// Not above zero: an input of several kinds declares no limits of its own.
    pub fn of(inputs: &Inputs, name: &str) -> Result<Option<AnyQuantity>, Fault> {
        let (Some(value), Some(typed)) = (inputs.get(name), inputs.typed(name)) else { return Ok(None) };
        if typed.si <= 0.0 {
            return Err(Fault::new("label.not-above-zero", name));
        }
        Ok(Some(AnyQuantity { value, dim: typed.unit.dim() }))
    }

    /// The input with this name.
    ///
    /// # Errors
    /// Missing, or not above zero.
    pub fn need(inputs: &Inputs, name: &str) -> Result<AnyQuantity, Fault> {
        AnyQuantity::of(inputs, name)?.ok_or_else(|| Fault::new("problem.missing", name))
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

    /// Closes a step that is itself a result; see [`Recorder::settle_in`].
    pub fn settle(&self, rec: &mut Recorder, spec: &'static ResultSpec, rows: &[usize], units: &Units) -> AnyQuantity {
        AnyQuantity { value: rec.settle_in(spec, rows, &self.value, units), dim: self.dim }
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
