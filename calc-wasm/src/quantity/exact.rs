//! Exact fractions for unit definitions.
//!
//! A factor written as a rounded decimal would print as 128 and multiply as 128.000 005; a fraction of whole
//! numbers cannot. Everything here runs at compile time.

/// A positive fraction in lowest terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Exact {
    /// Numerator, above 0.
    pub top: i128,
    /// Denominator, above 0.
    pub bottom: i128,
}

const fn common_divisor(mut a: i128, mut b: i128) -> i128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

impl Exact {
    /// One.
    pub const ONE: Exact = Exact::new(1, 1);

    /// `top / bottom`, reduced.
    pub const fn new(top: i128, bottom: i128) -> Exact {
        let divisor = common_divisor(top, bottom);
        Exact { top: top / divisor, bottom: bottom / divisor }
    }

    /// Product of two fractions.
    pub const fn times(self, other: Exact) -> Exact {
        Exact::new(self.top * other.top, self.bottom * other.bottom)
    }

    /// Quotient of two fractions.
    pub const fn over(self, other: Exact) -> Exact {
        Exact::new(self.top * other.bottom, self.bottom * other.top)
    }

    /// A whole multiple.
    pub const fn of(self, count: i128) -> Exact {
        self.times(Exact::new(count, 1))
    }

    /// One of `count` equal parts.
    pub const fn part(self, count: i128) -> Exact {
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
    }
}
