//! The sizes a card lists: lawns, and the round volumes at which a tank is read.

use crate::quantity::order::above;

/// Lawns, in 1000 ft² or in 100 m²: the sizes that crews meet, closer together where most lawns are.
pub static LAWNS: [f64; 12] = [1.0, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 30.0, 50.0, 75.0, 100.0];
/// The one that operators are compared by: 5000 ft² or 500 m².
pub const COMPARED: usize = 3;
/// Lawns that even the smallest tank's card lists.
const LEAST_LAWNS: usize = 6;
/// Steps between marks that a person adds up without paper, in gal or L.
const STEPS: [f64; 13] = [0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0, 50.0, 100.0, 250.0, 500.0, 1000.0];
/// Marks of a card, the full tank not counted.
pub const MOST_MARKS: usize = 10;

/// Lawns to list for a tank that treats `tank`, up to the first that takes a tank or more; in the unit of `tank`.
pub fn lawns(tank: f64) -> &'static [f64] {
    let below = LAWNS.iter().take_while(|lawn| above(tank, **lawn)).count();
    &LAWNS[..(below + 1).clamp(LEAST_LAWNS, LAWNS.len())]
}

/// Round volumes below a full tank, the largest first.
pub fn round_marks(tank: f64) -> Vec<f64> {
    let most = MOST_MARKS as f64;
    let step = STEPS.into_iter().find(|step| !above(tank, step * most)).unwrap_or(tank / most);
    let mut marks = Vec::new();
    for count in (1..=MOST_MARKS).rev() {
        let mark = count as f64 * step;
        if above(tank, mark) {
            marks.push(mark);
        }
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lawns_go_up_to_the_first_that_takes_a_tank() {
        assert_eq!(lawns(99.3).last(), Some(&100.0));
        assert_eq!(lawns(100.0).last(), Some(&100.0));
        assert_eq!(lawns(37.0).last(), Some(&50.0));
        assert_eq!(lawns(2.0), [1.0, 2.0, 3.0, 5.0, 7.5, 10.0]);
        assert_eq!(lawns(5000.0).len(), 12);
        assert_eq!(LAWNS[COMPARED], 5.0);
    }

    #[test]
    fn marks_are_round_and_few() {
        assert_eq!(round_marks(200.0), [175.0, 150.0, 125.0, 100.0, 75.0, 50.0, 25.0]);
        assert_eq!(round_marks(150.0), [125.0, 100.0, 75.0, 50.0, 25.0]);
        assert_eq!(round_marks(100.0), [90.0, 80.0, 70.0, 60.0, 50.0, 40.0, 30.0, 20.0, 10.0]);
        assert_eq!(round_marks(4.0), [3.5, 3.0, 2.5, 2.0, 1.5, 1.0, 0.5]);
        assert_eq!(round_marks(10_000.0).first(), Some(&9000.0));
        assert!(round_marks(0.05).iter().all(|mark| *mark < 0.05));
    }
}
