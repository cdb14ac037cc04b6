//! Quantities that a question may give beside the inputs of its calculator: what a mistake makes use of, and the right
//! working does not.

use crate::calculation::handles::InputOf;
use crate::quantity::kinds;
use crate::quantity::unit::units;
use crate::quantity::usual;

/// Seconds of turning with the trigger shut.
pub(super) const TURNS: InputOf<kinds::Time> = InputOf::quantity("turns", usual::SECONDS);
/// How many times as long every side is.
pub(super) const SCALE: InputOf<kinds::Number> = InputOf::quantity("scale", usual::NUMBER);
/// The application rate that the operator is used to.
pub(super) const HABIT: InputOf<kinds::VolumePerArea> = InputOf::quantity("habit", usual::LAWN_RATE);
/// The rate that somebody asks for, though the label allows less.
pub(super) const ORDER: InputOf<kinds::LabelRate> = InputOf::quantity("order", usual::STRENGTH);
/// The mix that was made before.
pub(super) const OLD_MIX: InputOf<kinds::Volume> = InputOf::quantity("old-mix", usual::TANKFUL);
/// The pressure at the pump, far from the gun.
pub(super) const PUMP_PRESSURE: InputOf<kinds::Pressure> = InputOf::quantity("pump-pressure", units!("psi", "bar"));
/// What a dry product weighs by the cup.
pub(super) const BULK_DENSITY: InputOf<kinds::MassPerVolume> = InputOf::quantity("bulk-density", usual::DRY_STRENGTH);
