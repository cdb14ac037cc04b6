//! An answer as a person typed it, read for whoever judges it: nothing is decided here.
//!
//! [`read`] says how an answer's unit compares with the one asked for, what its sign or its words say, and how finely
//! it was written.

use crate::quantity::compound::{cut, unknown, watch, whole};
use crate::quantity::kind::Kind;
use crate::quantity::typed::{Misread, Side, sum};
use crate::quantity::unit::{Unit, unit};

/// An answer as it was typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Reply {
    /// The quantity in SI base units of what was requested, see [`Fit`]; below zero only for a minus sign or a word
    /// such as "under".
    pub si: f64,
    /// The bare number: 15 of `-15 %`; of `1 gal 58 fl oz` the number in the last unit, 186.
    pub number: f64,
    /// The unit typed, if any; of a compound the last one.
    pub unit: Unit,
    /// How the unit compares with the one asked for.
    pub fit: Fit,
    /// What a sign or a word says; [`Side::Open`] for a bare `15 %`.
    pub side: Side,
    /// One in the last digit typed, SI, as [`Reply::si`]: 0.01 of 1.45. 0 for a fraction and a watch, which are exact.
    pub place: f64,
    /// The same where the zeros that end a whole number only hold its place: 100 for 1500.
    pub coarse: f64,
}

/// How the unit of an answer compares with the one asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// It measures what was requested.
    Own,
    /// It began with a bare `oz`, taken for fluid ounces because only a liquid can be meant; say that a label's oz may
    /// be weight.
    FluidOunces,
    /// A bare `oz` that could be either; [`Reply::si`] is the one asked for, to see whether that would be right.
    OuncesOpen,
    /// There is no unit; [`Reply::si`] takes the one asked for.
    Missing,
    /// It is the unit asked for without what is below its line: `3 fl oz` for `fl oz/1000 ft²`. [`Reply::si`] takes
    /// that as it was asked. For a question whose text names the area.
    PerMissing,
    /// It measures something else; [`Reply::si`] is of that.
    Other,
}

impl Reply {
    /// How many significant figures were typed, at least and at most: 2 and 4 for `1500`, 3 and 3 for `1.50`.
    ///
    /// A fraction and a time from a watch are exact: 15 and 15.
    pub fn figures(&self) -> (usize, usize) {
        (figures(self.si, self.coarse), figures(self.si, self.place))
    }
}

/// Figures of a value in which `place` is one unit of the last.
fn figures(si: f64, place: f64) -> usize {
    if place <= 0.0 {
        return 15;
    }
    let (mut ratio, mut count) = (crate::text::figures::without_noise((si / place).abs()), 1);
    while ratio >= 10.0 && count < 15 {
        ratio /= 10.0;
        count += 1;
    }
    count
}

/// Reads an answer where `asked` is the unit in which it is usually said.
///
/// Words such as `15 % under` or `2 gal short` are read, and `lb N/1000 ft2` is `lb/1000 ft2`.
///
/// # Errors
/// No number, or a unit that is not known; [`Misread::WrongKind`], [`Misread::UnitMissing`] and [`Misread::Ounces`]
/// never: they are a [`Fit`].
pub fn read(text: &str, asked: &Unit) -> Result<Reply, Misread> {
    let text = text.trim();
    let tokens = cut(text)?;
    let kind = Kind::of(asked).unwrap_or(Kind::Any);
    let (above, below) = asked.halves();
    // `1:15` for the seconds that 1000 ft² take.
    if Kind::of(&above) == Some(Kind::Time)
        && let Some(seconds) = watch(text, &tokens)
    {
        let (si, _) = seconds?;
        let unit = unit!("s");
        return Ok(Reply {
            si: si * below.size(),
            number: si,
            unit,
            fit: if below.is_none() { Fit::Own } else { Fit::PerMissing },
            side: Side::Open,
            place: 0.0,
            coarse: 0.0,
        });
    }
    let whole = whole(&tokens)?;
    let read = |kind: Kind, bare: Option<&Unit>| sum(text, &whole, kind, bare, true);
    let (sum, fit, per) = match read(kind, None) {
        Ok(sum) if sum.ounces => (sum, Fit::FluidOunces, 1.0),
        Ok(sum) => (sum, Fit::Own, 1.0),
        Err(Misread::UnitMissing) => (read(kind, Some(asked))?, Fit::Missing, 1.0),
        Err(Misread::WrongKind(unit)) => {
            let part = Kind::of(&above).filter(|_| !above.is_none() && !below.is_none());
            let short = part.and_then(|part| read(part, None).ok());
            match short {
                Some(sum) => (sum, Fit::PerMissing, below.size()),
                // Of another kind, whatever it is; only an `oz` is then still open.
                None => match read(Kind::of(&unit).unwrap_or(Kind::Any), None).or_else(|_| read(Kind::Any, None)) {
                    Ok(sum) => (sum, Fit::Other, 1.0),
                    Err(Misread::Ounces) => (read(Kind::Mass, None)?, Fit::Other, 1.0),
                    Err(Misread::WrongKind(_)) => return Err(unknown(text, &tokens)),
                    Err(other) => return Err(other),
                },
            }
        }
        Err(Misread::Ounces) => {
            let part = if asked.first().is_some_and(|atom| atom.dim.mass != 0) { Kind::Mass } else { Kind::Volume };
            (read(part, None)?, Fit::OuncesOpen, 1.0)
        }
        Err(other) => return Err(other),
    };
    let worded = whole.side == Side::Under && !whole.minus;
    let sign = if worded { -1.0 } else { 1.0 };
    Ok(Reply {
        si: sign * sum.si * per,
        number: crate::text::figures::without_noise(sum.si.abs() / sum.unit.size()),
        unit: if fit == Fit::Missing { Unit::none() } else { sum.unit },
        fit,
        side: whole.side,
        place: sum.place * per,
        coarse: sum.coarse * per,
    })
}
