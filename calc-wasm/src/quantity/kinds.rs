//! The kinds of quantity as types, so that a declaration says to the compiler what it measures.

use crate::quantity::kind::{self, Kind, Measure, Mixed};

/// A kind of quantity, as a type.
pub trait OfKind {
    /// The same kind, as a value.
    const KIND: Kind;
    /// What a formula works with.
    type Quantity: Measure;
}

/// A kind that a quantity of type `Q` may be of. For a kind that includes several, the compiler cannot know which it
/// will be; a test over the registry checks every result against the unit it is shown in.
pub trait Takes<Q: Measure>: OfKind {}

macro_rules! take {
    ($($own:ident),+; $($several:ident),+) => {
        $(impl Takes<<$own as OfKind>::Quantity> for $own {})+
        $(impl<Q: Measure> Takes<Q> for $several {})+
    };
}

take! {
    Length, Area, Volume, Time, Mass, Pressure, Flow, AreaRate, Speed, VolumePerArea, MassPerArea, MassPerVolume,
    TimePerArea, Share, Number, Count;
    LabelRate, Amount, Strength, Any
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
