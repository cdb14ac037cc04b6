//! Random numbers, the same on every machine.

use rand_pcg::Pcg32;
use rand_pcg::rand_core::{Rng, SeedableRng};

/// A generator of our own: the same draws on every machine.
pub(crate) struct Random(Pcg32);

impl Random {
    /// Begins with a seed.
    pub(crate) fn new(seed: u64) -> Random {
        Random(Pcg32::seed_from_u64(seed))
    }

    /// Even between 0 and 1, ends excluded.
    pub(crate) fn even(&mut self) -> f64 {
        (f64::from(self.0.next_u32()) + 0.5) / 4_294_967_296.0
    }

    /// Normal, mean 0, standard deviation 1 (Box and Muller, 1958).
    pub(crate) fn normal(&mut self) -> f64 {
        (-2.0 * self.even().ln()).sqrt() * (std::f64::consts::TAU * self.even()).cos()
    }
}
