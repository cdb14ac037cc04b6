//! The one place where two values are compared.

use std::cmp::Ordering;

/// How near two values are the same, as a share of the larger.
///
/// A value may have come through text of eight figures: out of another unit, a link, a kept card. So it is known to
/// half a part in 10^8, and a product of several such values to some parts in 10^8; the arithmetic of a working, some
/// fifty operations that are each right to a part in 10^16, adds nothing to that. Nobody in the trade measures finer
/// than a part in 10^5. A part in 10^7 is above the one and far below the other.
pub const SLACK: f64 = 1e-7;

/// What is left of a difference is noise below this share of what was taken from each other: two decimals that are
/// written the same leave about a part in 10^16, and what is typed is at least 100 times coarser than this.
const NOTHING: f64 = 1e-13;

/// How `a` and `b` compare; equal where they are the same but for [`SLACK`].
pub fn order(a: f64, b: f64) -> Ordering {
    order_of(a, b, a.abs().max(b.abs()))
}

/// The same for what is left over after subtracting from values as large as `scale`.
pub fn order_of(a: f64, b: f64, scale: f64) -> Ordering {
    if (a - b).abs() <= SLACK * scale { Ordering::Equal } else { a.total_cmp(&b) }
}

/// Whether `a` is more than `b`.
pub fn above(a: f64, b: f64) -> bool {
    order(a, b) == Ordering::Greater
}

/// Whether `value` is at most `allowed` away from `target`; exactly that far is within it.
pub fn within(value: f64, target: f64, allowed: f64) -> bool {
    order_of((value - target).abs(), allowed, value.abs().max(target.abs())).is_le()
}

/// `a − b`, and nothing where they differ only by the noise of binary arithmetic.
pub fn less(a: f64, b: f64) -> f64 {
    let left = a - b;
    if left.abs() <= NOTHING * a.abs().max(b.abs()) { 0.0 } else { left }
}

/// `value` up to the next whole number.
pub fn whole_above(value: f64) -> f64 {
    let near = value.round();
    if order(value, near) == Ordering::Equal { near } else { value.ceil() }
}

/// `value` down to a whole number.
pub fn whole_below(value: f64) -> f64 {
    let near = value.round();
    if order(value, near) == Ordering::Equal { near } else { value.floor() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_border_has_two_sides_and_a_middle_that_is_neither() {
        for size in [1e-9, 0.3, 1.0, 43_560.0, 1e9] {
            assert_eq!(order(size * (1.0 + 1e-8), size), Ordering::Equal);
            assert_eq!(order(size * (1.0 - 1e-8), size), Ordering::Equal);
            assert_eq!(order(size * (1.0 + 1e-6), size), Ordering::Greater);
            assert_eq!(order(size * (1.0 - 1e-6), size), Ordering::Less);
            assert_eq!(order(-size * (1.0 + 1e-6), -size), Ordering::Less);
        }
        assert_eq!(order(0.0, 0.0), Ordering::Equal);
        assert_eq!(order(1e-300, 0.0), Ordering::Greater);
        assert_eq!(order(-1e-300, 0.0), Ordering::Less);
    }

    #[test]
    fn what_is_allowed_is_within_and_a_hair_more_is_not() {
        for (target, share) in [(10.0, 0.014), (-0.05, 0.02), (43_560.0, 0.005)] {
            let allowed = share * f64::abs(target);
            for side in [-1.0, 1.0] {
                assert!(within(target + side * allowed, target, allowed));
                assert!(within(target + side * allowed * (1.0 - 1e-4), target, allowed));
                assert!(!within(target + side * allowed * (1.0 + 1e-4), target, allowed));
            }
        }
    }

    #[test]
    fn whole_things_are_counted_and_noise_makes_none_of_its_own() {
        assert_eq!((whole_above(3.0 + 1e-12), whole_above(3.0 - 1e-12), whole_above(3.000_1)), (3.0, 3.0, 4.0));
        assert_eq!((whole_below(3.0 - 1e-12), whole_below(3.0 + 1e-12), whole_below(2.999_9)), (3.0, 3.0, 2.0));
        assert_eq!((whole_above(0.0), whole_below(0.4), whole_above(1e-12)), (0.0, 0.0, 1.0));
    }

    #[test]
    fn a_day_that_went_perfectly_leaves_nothing() {
        assert_eq!(less(0.1 + 0.2, 0.3), 0.0);
        assert!(less(1.0 + 1e-12, 1.0) > 0.0);
        assert_eq!(less(5.0, 3.0), 2.0);
    }
}
