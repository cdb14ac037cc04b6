//! The kinds of quantity as types, so that a declaration says to the compiler what it measures.

use crate::quantity::kind::{self, Kind, Measure, Mixed};

/// A kind of quantity, as a type.
pub trait OfKind {
    /// The same kind, as a value.
    const KIND: Kind;
    /// What a formula works with.
    type Quantity: Measure;
}

/// A kind that a quantity of type `Q` may be of. A kind that includes several takes each of its members, and [`Mixed`],
/// which has its dimension from what was typed; a test over the registry checks every result against the unit it is
/// shown in.
pub trait Takes<Q: Measure>: OfKind {}

macro_rules! take {
    ($($kind:ident: $($quantity:ty),+;)+) => { $($(impl Takes<$quantity> for $kind {})+)+ };
}

take! {
    Length: kind::Length;
    Area: kind::Area;
    Volume: kind::Volume;
    Time: kind::Time;
    Mass: kind::Mass;
    Pressure: kind::Pressure;
    Flow: kind::VolumeRate;
    AreaRate: kind::AreaRate;
    Speed: kind::Velocity;
    VolumePerArea: kind::VolumePerArea;
    MassPerArea: kind::MassPerArea;
    MassPerVolume: kind::MassPerVolume;
    TimePerArea: kind::TimePerArea;
    Share: kind::Ratio;
    Number: kind::Ratio;
    Count: kind::Ratio;
    LabelRate: kind::VolumePerArea, kind::MassPerArea, kind::Ratio, kind::MassPerVolume, Mixed;
    Amount: kind::Volume, kind::Mass, Mixed;
    Strength: kind::MassPerVolume, kind::Ratio, Mixed;
    Any: Mixed;
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident as $kind:ident: $own:ty;)+) => {$(
        $(#[$doc])*
        #[derive(Debug)]
        pub enum $name {}

        impl OfKind for $name {
            const KIND: Kind = Kind::$kind;
            type Quantity = $own;
        }
    )+};
}

kinds! {
    /// A distance.
    Length as Length: kind::Length;
    /// A surface.
    Area as Area: kind::Area;
    /// Liquid.
    Volume as Volume: kind::Volume;
    /// A duration.
    Time as Time: kind::Time;
    /// A weight.
    Mass as Mass: kind::Mass;
    /// A pressure.
    Pressure as Pressure: kind::Pressure;
    /// Liquid per time.
    Flow as Flow: kind::VolumeRate;
    /// Surface per time.
    AreaRate as AreaRate: kind::AreaRate;
    /// Distance per time.
    Speed as Speed: kind::Velocity;
    /// Liquid per surface.
    VolumePerArea as VolumePerArea: kind::VolumePerArea;
    /// Weight per surface.
    MassPerArea as MassPerArea: kind::MassPerArea;
    /// Weight per liquid.
    MassPerVolume as MassPerVolume: kind::MassPerVolume;
    /// Time per surface.
    TimePerArea as TimePerArea: kind::TimePerArea;
    /// A share: percent, or liquid per liquid.
    Share as Share: kind::Ratio;
    /// A bare number.
    Number as Number: kind::Ratio;
    /// A whole number.
    Count as Number: kind::Ratio;
    /// Any rate a label prints: liquid or weight, per area or per liquid.
    LabelRate as LabelRate: Mixed;
    /// An amount of product: liquid or weight.
    Amount as Amount: Mixed;
    /// The strength of a product or a mix: a share, or weight per liquid.
    Strength as Strength: Mixed;
    /// Anything with a unit.
    Any as Any: Mixed;
}
