//! Exact fractions for unit definitions.
//!
//! A factor written as a rounded decimal would print as 128 and multiply as 128.000 005; a fraction of whole
//! numbers cannot. All of it but [`Exact::ratio`] runs at compile time, where a number too large does not compile.

/// A positive fraction in lowest terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Exact {
    /// Numerator, above 0.
    pub top: u64,
    /// Denominator, above 0.
    pub bottom: u64,
}

const fn common_divisor(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

impl Exact {
    /// One.
    pub const ONE: Exact = Exact::new(1, 1);

    /// `top / bottom`, reduced.
    pub const fn new(top: u64, bottom: u64) -> Exact {
        let divisor = common_divisor(top, bottom);
        Exact { top: top / divisor, bottom: bottom / divisor }
    }

    /// Product of two fractions.
    pub const fn times(self, other: Exact) -> Exact {
        // Each is in lowest terms, so all that can be canceled is across; the products stay small.
        let (one, two) = (common_divisor(self.top, other.bottom), common_divisor(other.top, self.bottom));
        Exact { top: (self.top / one) * (other.top / two), bottom: (self.bottom / two) * (other.bottom / one) }
    }

    /// Quotient of two fractions.
    pub const fn over(self, other: Exact) -> Exact {
        self.times(Exact { top: other.bottom, bottom: other.top })
    }

    /// How often the smaller of two is in the larger, and whether `self` is the smaller: one rounding where both parts
    /// of the quotient are below 2^53, two elsewhere.
    pub(crate) fn ratio(self, other: Exact) -> (f64, bool) {
        let (one, two) = (common_divisor(self.top, other.top), common_divisor(self.bottom, other.bottom));
        let wide = |a: u64, b: u64| u128::from(a) * u128::from(b);
        let top = wide(self.top / one, other.bottom / two);
        let bottom = wide(self.bottom / two, other.top / one);
        if top >= bottom { (top as f64 / bottom as f64, false) } else { (bottom as f64 / top as f64, true) }
    }

    /// A whole multiple.
    pub const fn of(self, count: u64) -> Exact {
        self.times(Exact::new(count, 1))
    }

    /// One of `count` equal parts.
    pub const fn part(self, count: u64) -> Exact {
        self.times(Exact::new(1, count))
    }

    /// The square.
    pub const fn squared(self) -> Exact {
        self.times(self)
    }

    /// The cube.
    pub const fn cubed(self) -> Exact {
        self.times(self).times(self)
    }

    /// The nearest `f64`: one rounding where both parts are below 2^53, two elsewhere.
    pub const fn value(self) -> f64 {
        self.top as f64 / self.bottom as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_reduced_and_multiply_exactly() {
        assert_eq!(Exact::new(254, 10_000), Exact::new(127, 5_000));
        let inch = Exact::new(254, 10_000);
        assert_eq!(inch.cubed().of(231), Exact::new(3_785_411_784, 1_000_000_000_000));
        assert_eq!(inch.of(12), Exact::new(3048, 10_000));
        assert_eq!(inch.over(inch), Exact::ONE);
        assert_eq!((inch.ratio(inch.of(12)), inch.of(12).ratio(inch)), ((12.0, true), (12.0, false)));
        // Two units far apart: their quotient is wider than either.
        let (tiny, vast) = (Exact::new(1, 10_000_000_000_000), Exact::new(9_999_999_999_999, 7));
        assert_eq!(tiny.ratio(vast), (9_999_999_999_999e13 / 7.0, true));
    }
}
