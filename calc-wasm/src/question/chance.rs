//! Chance for pages: what is asked, and the order of choices. Not for a template's numbers, which have an order of
//! their own.

/// A seeded order of things: SplitMix64 (Steele, Lea and Flood 2014), the same on every machine.
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// The chance of a seed.
    pub fn new(seed: u64) -> Chance {
        Chance(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let value = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let value = (value ^ (value >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        value ^ (value >> 31)
    }

    /// A whole number below `count`; 0 where `count` is 0. The bias of 64 bits over a few hundred is beyond notice.
    pub fn below(&mut self, count: usize) -> usize {
        if count == 0 { 0 } else { (self.bits() % count as u64) as usize }
    }

    /// Puts a list in a drawn order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for index in (1..list.len()).rev() {
            let other = self.below(index + 1);
            list.swap(index, other);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chance_is_the_published_one_and_never_changes() {
        // The first output of SplitMix64 from state 0, as its reference implementation prints it.
        assert_eq!(Chance::new(0).bits(), 0xe220_a839_7b1d_cdaf);
        let mut list: Vec<usize> = (0..8).collect();
        Chance::new(7).shuffle(&mut list);
        let mut sorted = list.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, (0..8).collect::<Vec<_>>());
        assert_eq!(Chance::new(7).below(0), 0);
    }
}
