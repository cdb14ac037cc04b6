//! How far a value is from what it is compared with, and whether that is more than is allowed.

use crate::quantity::kind::{Measure, Ratio};
use crate::quantity::order::above;
use crate::quantity::usual;
use crate::working::record::{Recorder, Traced};
use std::ops::{Div, Sub};

/// Records how far `value` is from `base`, as a share of `base`: above zero where it is more.
///
/// The base is the wanted, rated or mean value, never the measured one.
pub fn departure<Q>(
    rec: &mut Recorder,
    id: &'static str,
    rows: &[usize],
    value: &Traced<Q>,
    base: &Traced<Q>,
) -> Traced<Ratio>
where
    Q: Measure + Sub<Q, Output = Q> + Div<Q, Output = Ratio>,
{
    rec.step(id, rows, &(&(value - base) / base), usual::PERCENT)
}

/// Whether a departure is larger than `tolerance`, in either direction; exactly the tolerance is still within it.
///
/// The wholes are compared, not the shares, because a departure is a difference of two numbers near one and has
/// their noise: 10.14 gal for 10 gal is 1.4 % more, and not a last binary digit above it.
pub fn outside(departure: &Traced<Ratio>, tolerance: &Traced<Ratio>) -> bool {
    above(1.0 + departure.si().abs(), 1.0 + tolerance.si())
}
