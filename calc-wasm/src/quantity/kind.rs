//! What an input or a result measures, and its typed quantities.
//!
//! The compiler checks dimensions through `uom`'s quantities; [`Kind`] says at run time what a form or a file may hold.

use crate::quantity::unit::{Unit, unit_list};
use crate::quantity::units::Dim;
use std::ops::{Add, Div, Mul, Sub};
use uom::si::{Dimension, Quantity, SI};

/// Weight per area: dry label rate.
pub use uom::si::f64::ArealMassDensity as MassPerArea;
/// Weight per liquid volume: dry label rate per 100 gal, active ingredient in a liquid.
pub use uom::si::f64::MassDensity as MassPerVolume;
pub use uom::si::f64::{Area, Length, Mass, Pressure, Ratio, Time, Velocity, Volume, VolumeRate};

/// Area covered per time.
pub type AreaRate = <Area as Div<Time>>::Output;
/// Liquid per area: application rate, carrier volume, liquid label rate. By dimension it is a length, the depth of the
/// liquid, so the compiler does not tell the two apart; [`Kind`] does.
pub type VolumePerArea = Length;
/// Time per area.
pub type TimePerArea = <Time as Div<Area>>::Output;
/// A square of a length's product, for intermediate steps.
pub type VolumeTime = <Volume as Mul<Time>>::Output;

/// A quantity that turns out liquid or dry, per area or per volume, only when it is typed.
///
/// The compiler cannot check its dimension, so it is a type of its own: it becomes no share and no number by itself, and
/// only a result of a kind that includes several takes it. `AnyQuantity` carries its dimension along, and a test over
/// the registry compares the dimension of every step computed with it with the unit the step is shown in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mixed(f64);

/// A quantity whose dimension the compiler knows.
pub trait Measure: Copy {
    /// The value in SI base units.
    fn si(self) -> f64;
    /// From a value in SI base units.
    fn from_si(value: f64) -> Self;
}

impl<D: Dimension + ?Sized> Measure for Quantity<D, SI<f64>, f64> {
    fn si(self) -> f64 {
        self.value
    }

    fn from_si(value: f64) -> Self {
        Quantity { dimension: std::marker::PhantomData, units: std::marker::PhantomData, value }
    }
}

impl Measure for Mixed {
    fn si(self) -> f64 {
        self.0
    }

    fn from_si(value: f64) -> Self {
        Mixed(value)
    }
}

macro_rules! mixed_operations {
    ($($trait:ident $method:ident);+) => {$(
        impl $trait for Mixed {
            type Output = Mixed;

            fn $method(self, other: Mixed) -> Mixed {
                Mixed($trait::$method(self.0, other.0))
            }
        }
    )+};
}

mixed_operations!(Add add; Sub sub; Mul mul; Div div);

impl<D: Dimension + ?Sized> Mul<Quantity<D, SI<f64>, f64>> for Mixed {
    type Output = Mixed;

    fn mul(self, other: Quantity<D, SI<f64>, f64>) -> Mixed {
        Mixed(self.0 * other.value)
    }
}

impl<D: Dimension + ?Sized> Div<Quantity<D, SI<f64>, f64>> for Mixed {
    type Output = Mixed;

    fn div(self, other: Quantity<D, SI<f64>, f64>) -> Mixed {
        Mixed(self.0 / other.value)
    }
}

/// What may be typed into a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A distance.
    Length,
    /// A surface.
    Area,
    /// Liquid.
    Volume,
    /// A duration.
    Time,
    /// A weight.
    Mass,
    /// A pressure.
    Pressure,
    /// Liquid per time.
    Flow,
    /// Surface per time.
    AreaRate,
    /// Distance per time.
    Speed,
    /// Liquid per surface.
    VolumePerArea,
    /// Weight per surface.
    MassPerArea,
    /// Weight per liquid.
    MassPerVolume,
    /// Time per surface.
    TimePerArea,
    /// A share: percent, or liquid per liquid.
    Share,
    /// A bare number.
    Number,
    /// Any rate a label prints: liquid or weight, per area or per liquid.
    LabelRate,
    /// An amount of product: liquid or weight.
    Amount,
    /// The strength of a product or a mix: a share, or weight per liquid.
    Strength,
    /// Anything with a unit.
    Any,
}

impl Kind {
    /// Every kind, for tests over the whole table.
    pub const ALL: &[Kind] = &[
        Kind::Length,
        Kind::Area,
        Kind::Volume,
        Kind::Time,
        Kind::Mass,
        Kind::Pressure,
        Kind::Flow,
        Kind::AreaRate,
        Kind::Speed,
        Kind::VolumePerArea,
        Kind::MassPerArea,
        Kind::MassPerVolume,
        Kind::TimePerArea,
        Kind::Share,
        Kind::Number,
        Kind::LabelRate,
        Kind::Amount,
        Kind::Strength,
        Kind::Any,
    ];

    /// Phrase id of its name.
    pub fn id(self) -> &'static str {
        match self {
            Kind::Length => "kind.length",
            Kind::Area => "kind.area",
            Kind::Volume => "kind.volume",
            Kind::Time => "kind.time",
            Kind::Mass => "kind.mass",
            Kind::Pressure => "kind.pressure",
            Kind::Flow => "kind.flow",
            Kind::AreaRate => "kind.area-rate",
            Kind::Speed => "kind.speed",
            Kind::VolumePerArea => "kind.volume-per-area",
            Kind::MassPerArea => "kind.mass-per-area",
            Kind::MassPerVolume => "kind.mass-per-volume",
            Kind::TimePerArea => "kind.time-per-area",
            Kind::Share => "kind.share",
            Kind::Number => "kind.number",
            Kind::LabelRate => "kind.label-rate",
            Kind::Amount => "kind.amount",
            Kind::Strength => "kind.strength",
            Kind::Any => "kind.any",
        }
    }

    /// The kinds that this one includes, where it includes several; empty for a kind of its own.
    pub fn members(self) -> &'static [Kind] {
        match self {
            Kind::LabelRate => &[Kind::VolumePerArea, Kind::MassPerArea, Kind::Share, Kind::MassPerVolume],
            Kind::Amount => &[Kind::Volume, Kind::Mass],
            Kind::Strength => &[Kind::MassPerVolume, Kind::Share],
            Kind::Any => &[
                Kind::Volume,
                Kind::Mass,
                Kind::Length,
                Kind::Area,
                Kind::VolumePerArea,
                Kind::MassPerArea,
                Kind::MassPerVolume,
                Kind::Share,
                Kind::Speed,
                Kind::Time,
                Kind::Flow,
                Kind::AreaRate,
                Kind::TimePerArea,
                Kind::Pressure,
            ],
            _ => &[],
        }
    }

    /// The kind that a unit measures.
    pub fn of(unit: &Unit) -> Option<Kind> {
        if unit.is_none() {
            return Some(Kind::Number);
        }
        let dim = unit.dim();
        let own = |kind: &Kind| *kind != Kind::Number && kind.members().is_empty();
        Kind::ALL.iter().copied().filter(own).find(|kind| kind.measures(dim))
    }

    /// Whether this kind takes a value in `unit`.
    pub fn takes(self, unit: &Unit) -> bool {
        match self {
            Kind::Number => unit.is_none(),
            _ => !unit.is_none() && self.measures(unit.dim()),
        }
    }

    /// Whether this kind has the dimension.
    pub(crate) fn measures(self, dim: Dim) -> bool {
        let own = |length, time, mass, volume, pressure| dim == Dim { length, time, mass, volume, pressure };
        match self {
            Kind::Length => own(1, 0, 0, 0, 0),
            Kind::Area => own(2, 0, 0, 0, 0),
            Kind::Volume => own(0, 0, 0, 1, 0),
            Kind::Time => own(0, 1, 0, 0, 0),
            Kind::Mass => own(0, 0, 1, 0, 0),
            Kind::Pressure => own(0, 0, 0, 0, 1),
            Kind::Flow => own(0, -1, 0, 1, 0),
            Kind::AreaRate => own(2, -1, 0, 0, 0),
            Kind::Speed => own(1, -1, 0, 0, 0),
            Kind::VolumePerArea => own(-2, 0, 0, 1, 0),
            Kind::MassPerArea => own(-2, 0, 1, 0, 0),
            Kind::MassPerVolume => own(0, 0, 1, -1, 0),
            Kind::TimePerArea => own(-2, 1, 0, 0, 0),
            Kind::Share | Kind::Number => dim == Dim::NONE,
            Kind::LabelRate | Kind::Amount | Kind::Strength | Kind::Any => {
                self.members().iter().any(|kind| kind.measures(dim))
            }
        }
    }

    /// Units offered in a form, the usual one of US practice and of metric practice first in their group.
    pub fn offered(self) -> (&'static [Unit], &'static [Unit]) {
        match self {
            Kind::Length => (unit_list!["ft", "in", "yd", "mi"], unit_list!["m", "cm", "mm", "km"]),
            Kind::Area => (unit_list!["ft2", "1000 ft2", "acre", "yd2"], unit_list!["m2", "ha"]),
            Kind::Volume => (unit_list!["gal", "fl oz", "qt", "pt", "cup", "tbsp", "tsp"], unit_list!["L", "mL"]),
            Kind::Time => (unit_list!["s", "min", "h"], unit_list!["s", "min", "h"]),
            Kind::Mass => (unit_list!["lb", "oz"], unit_list!["kg", "g"]),
            Kind::Pressure => (unit_list!["psi"], unit_list!["bar", "kPa"]),
            Kind::Flow => (unit_list!["gal/min", "fl oz/min"], unit_list!["L/min", "mL/min"]),
            Kind::AreaRate => (unit_list!["ft2/min", "1000 ft2/min", "acre/h"], unit_list!["m2/min", "ha/h"]),
            Kind::Speed => (unit_list!["mph", "ft/min", "ft/s"], unit_list!["km/h", "m/s", "m/min"]),
            Kind::VolumePerArea => (
                unit_list!["gal/1000 ft2", "gal/acre", "fl oz/1000 ft2", "fl oz/acre", "pt/acre", "qt/acre"],
                unit_list!["L/100 m2", "L/ha", "mL/100 m2", "mL/ha"],
            ),
            Kind::MassPerArea => (
                unit_list!["lb/1000 ft2", "oz/1000 ft2", "lb/acre", "oz/acre"],
                unit_list!["g/100 m2", "kg/100 m2", "kg/ha", "g/ha"],
            ),
            Kind::MassPerVolume => (unit_list!["lb/gal", "lb/100 gal", "oz/gal"], unit_list!["g/L", "kg/100 L"]),
            Kind::TimePerArea => {
                (unit_list!["s/1000 ft2", "min/1000 ft2", "h/acre"], unit_list!["s/100 m2", "min/100 m2", "h/ha"])
            }
            Kind::Share => (unit_list!["%", "fl oz/gal", "fl oz/100 gal"], unit_list!["%", "mL/L", "mL/100 L"]),
            Kind::Number => (&[], &[]),
            Kind::Amount => (unit_list!["gal", "qt", "pt", "fl oz", "lb", "oz"], unit_list!["L", "mL", "kg", "g"]),
            Kind::Strength => (
                unit_list![
                    "lb/gal",
                    "%",
                    "fl oz/100 gal",
                    "pt/100 gal",
                    "qt/100 gal",
                    "gal/100 gal",
                    "oz/100 gal",
                    "lb/100 gal",
                ],
                unit_list!["g/L", "%", "mL/100 L", "g/100 L", "kg/100 L"],
            ),
            // A form offers the units of all its members.
            Kind::Any => (&[], &[]),
            Kind::LabelRate => (
                unit_list![
                    "fl oz/1000 ft2",
                    "fl oz/acre",
                    "pt/acre",
                    "qt/acre",
                    "gal/acre",
                    "oz/1000 ft2",
                    "lb/1000 ft2",
                    "oz/acre",
                    "lb/acre",
                    "fl oz/100 gal",
                    "pt/100 gal",
                    "qt/100 gal",
                    "gal/100 gal",
                    "oz/100 gal",
                    "lb/100 gal",
                    "%",
                ],
                unit_list![
                    "mL/100 m2",
                    "L/ha",
                    "mL/ha",
                    "g/100 m2",
                    "kg/ha",
                    "g/ha",
                    "mL/100 L",
                    "g/100 L",
                    "kg/100 L",
                    "%"
                ],
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_offered_unit_is_known_and_of_its_kind() {
        for kind in Kind::ALL {
            let (us, metric) = kind.offered();
            for text in us.iter().chain(metric) {
                assert!(kind.takes(text), "{text:?} is not of kind {kind:?}");
                assert_eq!(Unit::parse(&text.plain()), Some(*text));
            }
        }
    }

    #[test]
    fn the_compiler_and_the_table_agree_on_size() {
        let rate: VolumePerArea = Volume::from_si(1.0) / Area::from_si(4.0);
        assert_eq!(rate.si(), 0.25);
        let flow: VolumeRate = Volume::from_si(1.0) / Time::from_si(2.0);
        let area_rate: AreaRate = Area::from_si(4.0) / Time::from_si(2.0);
        assert_eq!((flow / area_rate).si(), rate.si());
    }
}
