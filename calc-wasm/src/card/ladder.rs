//! The sizes a card lists: lawns, and the round volumes at which a tank is read.

/// Lawns, in 1000 ft² or in 100 m²: the sizes that crews meet, closer together where most lawns are.
const LAWNS: [f64; 12] = [1.0, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 30.0, 50.0, 75.0, 100.0];
/// Row of the lawn by which operators are compared: 5000 ft² or 500 m².
pub(super) const COMPARED_LAWN: usize = 4;
/// Lawns that even the smallest tank's card lists.
const LEAST_LAWNS: usize = 6;
/// Steps between marks that a person adds up without paper, in gal or L.
const STEPS: [f64; 13] = [0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0, 50.0, 100.0, 250.0, 500.0, 1000.0];
/// Marks of a card, the full tank not counted.
const MOST_MARKS: f64 = 10.0;

/// Lawns to list for a tank that treats `tank`, up to the first that takes a tank or more; in the unit of `tank`.
pub(super) fn lawns(tank: f64) -> impl Iterator<Item = f64> {
    let below = LAWNS.iter().take_while(move |lawn| **lawn < tank * (1.0 - 1e-9)).count();
    LAWNS.into_iter().take((below + 1).max(LEAST_LAWNS))
}

/// Round volumes below a full tank, the largest first.
pub(super) fn round_marks(tank: f64) -> Vec<f64> {
    let step = STEPS.into_iter().find(|step| tank <= step * MOST_MARKS * (1.0 + 1e-9));
    let step = step.unwrap_or(tank / MOST_MARKS);
    let marks = (1..=10).rev().map(|count| f64::from(count) * step);
    marks.filter(|mark| *mark < tank * (1.0 - 1e-9)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lawns_go_up_to_the_first_that_takes_a_tank() {
        assert_eq!(lawns(99.3).last(), Some(100.0));
        assert_eq!(lawns(100.0).last(), Some(100.0));
        assert_eq!(lawns(37.0).last(), Some(50.0));
        assert_eq!(lawns(2.0).collect::<Vec<_>>(), [1.0, 2.0, 3.0, 5.0, 7.5, 10.0]);
        assert_eq!(lawns(5000.0).count(), 12);
        assert_eq!(LAWNS[COMPARED_LAWN - 1], 5.0);
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
