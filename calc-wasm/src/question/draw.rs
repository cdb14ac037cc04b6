//! Draws: from a number to a candidate of a template, the same on every machine, forever.
//!
//! The candidates of a template are every combination of what its ranges hold. A draw is a number into them, in an
//! order that the template's own text and the draw's version fix, and nothing else does: no list of mistakes, no usual
//! range, no limit of a calculator. Whether a draw is fit to be asked is judged when a course is published; see
//! [`super::offered`].

use crate::text::fixed_hash;
use rand_pcg::Pcg32;
use rand_pcg::rand_core::Rng;

/// The version of the order itself, for every template. A change to how numbers are drawn raises it.
const ORDER_VERSION: u32 = 1;

/// Calculators whose right answers were corrected after questions on them had been published, and how often.
///
/// A correction that moves a right answer must not keep the digest of the question, or records that hold the digest
/// would be marked by an answer that nobody saw.
const CORRECTED: &[(&str, u32)] = &[];

/// The version of a draw: of the order, of the calculator's answers, and of the question, each of which only grows.
pub(super) fn version(calculator: &str, own: u32) -> u32 {
    let corrected = CORRECTED.iter().find(|(id, _)| *id == calculator).map_or(0, |(_, times)| *times);
    ORDER_VERSION.saturating_add(corrected).saturating_add(own.saturating_sub(1))
}

/// A hash that is fixed forever, over pieces, each with its length in front,
/// so that `ab` + `c` is not `a` + `bc`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fixed(u64);

impl Fixed {
    pub(super) fn new() -> Fixed {
        Fixed(fixed_hash::START)
    }

    fn byte(&mut self, byte: u8) {
        self.0 = fixed_hash::with(self.0, byte);
    }

    pub(super) fn number(&mut self, number: u32) {
        number.to_le_bytes().into_iter().for_each(|byte| self.byte(byte));
    }

    pub(super) fn text(&mut self, text: &str) {
        self.number(text.len() as u32);
        text.bytes().for_each(|byte| self.byte(byte));
    }

    pub(super) fn pairs(&mut self, pairs: &[(String, String)]) {
        self.number(pairs.len() as u32);
        for (name, text) in pairs {
            self.text(name);
            self.text(text);
        }
    }

    pub(super) fn value(self) -> u64 {
        mixed(self.0)
    }
}

/// Spreads every bit over all the others: the finalizer of SplitMix64 (Steele, Lea and Flood 2014).
fn mixed(value: u64) -> u64 {
    let value = (value ^ (value >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let value = (value ^ (value >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    value ^ (value >> 31)
}

/// Most candidates that are kept distinct; the digits of larger ranges are drawn by hash, and no two draws meet anyway.
const MOST_CANDIDATES: u64 = 1 << 60;
/// Rounds of the network that puts candidates in order.
const ROUNDS: u64 = 6;

/// The candidates of a template in the order of its draws.
#[derive(Clone, Debug)]
pub(super) struct Order {
    key: u64,
    /// How many values each range holds.
    counts: Vec<u64>,
    /// How many of the ranges make up [`Order::candidates`]: all of them but in a template of huge ranges.
    counted: usize,
    candidates: u64,
}

impl Order {
    /// The order under `key` of every combination of ranges that hold `counts` values each, none of them 0.
    pub(super) fn new(key: u64, counts: Vec<u64>) -> Order {
        let (mut candidates, mut counted) = (1_u64, 0);
        for count in &counts {
            match candidates.checked_mul(*count).filter(|more| *more <= MOST_CANDIDATES) {
                Some(more) => candidates = more,
                None => break,
            }
            counted += 1;
        }
        Order { key, counts, counted, candidates }
    }

    /// How many candidates there are.
    pub(super) fn candidates(&self) -> u64 {
        self.candidates
    }

    /// Which value of each range a draw takes. Draws beyond the last candidate begin again.
    pub(super) fn places(&self, draw: u32) -> Vec<usize> {
        let mut candidate = self.candidate(u64::from(draw) % self.candidates);
        let place = |(index, count): (usize, &u64)| {
            if index >= self.counted {
                let salt = (index as u64 + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
                return (mixed(self.key ^ salt ^ u64::from(draw)) % count) as usize;
            }
            let place = candidate % count;
            candidate /= count;
            place as usize
        };
        self.counts.iter().enumerate().map(place).collect()
    }

    /// The candidate at a place of the order: a balanced Feistel network over the next even number of bits (Luby and
    /// Rackoff 1988), walked on until it lands among the candidates (Black and Rogaway 2002), which makes it a
    /// rearrangement of them.
    fn candidate(&self, place: u64) -> u64 {
        let bits = 64 - (self.candidates - 1).leading_zeros();
        let half = bits.div_ceil(2).max(1);
        let mask = (1_u64 << half) - 1;
        let mut at = place;
        loop {
            let (mut left, mut right) = (at >> half, at & mask);
            for round in 1..=ROUNDS {
                let salt = round.wrapping_mul(0x9e37_79b9_7f4a_7c15);
                (left, right) = (right, (left ^ mixed(self.key ^ mixed(right ^ salt))) & mask);
            }
            at = (left << half) | right;
            if at < self.candidates {
                return at;
            }
        }
    }
}

/// The numbers below `count` in the order in which the options of `question` are dealt at a draw.
pub(super) fn dealt(question: &str, draw: u32, count: usize) -> Vec<usize> {
    let stream = fixed_hash::of(question.bytes());
    let mut numbers = Pcg32::new(u64::from(draw), stream);
    let mut order: Vec<usize> = (0..count).collect();
    for index in (1..count).rev() {
        order.swap(index, below(&mut numbers, index as u32 + 1) as usize);
    }
    order
}

/// A whole number below `count`, every one equally likely (by rejection).
fn below(numbers: &mut Pcg32, count: u32) -> u32 {
    let ceiling = u32::MAX - u32::MAX % count;
    loop {
        let number = numbers.next_u32();
        if number < ceiling {
            return number % count;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn the_spreading_is_the_published_one() {
        // The first output of SplitMix64 from state 0, as its reference implementation prints it.
        assert_eq!(mixed(0x9e37_79b9_7f4a_7c15), 0xe220_a839_7b1d_cdaf);
    }

    #[test]
    fn an_order_is_a_rearrangement_of_its_candidates() {
        for counts in [vec![], vec![1], vec![2], vec![3], vec![5, 1, 2], vec![7, 11, 13], vec![64], vec![65, 63]] {
            let order = Order::new(42, counts.clone());
            let all: u64 = counts.iter().product();
            assert_eq!(order.candidates(), all);
            let seen: BTreeSet<Vec<usize>> = (0..all as u32).map(|draw| order.places(draw)).collect();
            assert_eq!(seen.len() as u64, all, "{counts:?}");
            for places in seen {
                assert!(places.iter().zip(&counts).all(|(place, count)| (*place as u64) < *count));
            }
            assert_eq!(order.places(0), order.places(all as u32), "draws beyond the last begin again");
        }
    }

    #[test]
    fn another_key_is_another_order() {
        let draws = |key| -> Vec<Vec<usize>> {
            let order = Order::new(key, vec![20, 20]);
            (0..40).map(|draw| order.places(draw)).collect()
        };
        let same = draws(1).iter().zip(&draws(2)).filter(|(one, other)| one == other).count();
        assert!(same <= 2, "{same}");
    }

    #[test]
    fn neighboring_draws_have_nothing_in_common_but_by_chance() {
        let (mut same, mut pairs) = (0, 0);
        for key in 0..500 {
            let order = Order::new(mixed(key), vec![4, 7, 3]);
            for draw in 0..83 {
                same += u32::from(order.places(draw)[0] == order.places(draw + 1)[0]);
                pairs += 1;
            }
        }
        // 20 of the 83 others have the same first value.
        let share = f64::from(same) / f64::from(pairs);
        assert!((share - 20.0 / 83.0).abs() < 0.01, "{share}");
    }

    #[test]
    fn huge_ranges_are_drawn_from_all_over() {
        let order = Order::new(7, vec![10_000; 8]);
        assert_eq!(order.candidates(), 10_000_u64.pow(4));
        for index in 0..8 {
            let seen: BTreeSet<usize> = (0..200).map(|draw| order.places(draw)[index]).collect();
            assert!(seen.len() > 180 && seen.iter().any(|place| *place > 9_000), "range {index}: {}", seen.len());
        }
    }

    #[test]
    fn an_order_and_a_deal_never_change() {
        // These are a promise to every record that holds a draw.
        let order = Order::new(42, vec![36, 4, 3]);
        let drawn: Vec<Vec<usize>> = (0..4).map(|draw| order.places(draw)).collect();
        assert_eq!(drawn, PINNED_PLACES);
        assert_eq!(dealt("gun-output", 7, 5), PINNED_DEAL);
        let mut places = dealt("x", 1, 9);
        places.sort_unstable();
        assert_eq!(places, (0..9).collect::<Vec<_>>(), "every place once");
    }

    const PINNED_PLACES: [[usize; 3]; 4] = [[3, 3, 1], [27, 0, 1], [20, 2, 0], [25, 2, 2]];
    const PINNED_DEAL: [usize; 5] = [2, 0, 3, 4, 1];
}
