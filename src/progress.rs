//! The progress of long work, for whoever shows it.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Counted up by whoever works, from any number of threads; read by whoever shows it.
#[derive(Debug, Default)]
pub struct Progress {
    all: AtomicUsize,
    done: AtomicUsize,
}

impl Progress {
    /// Sets how much there is to do.
    pub fn expect(&self, all: usize) {
        self.all.store(all, Ordering::Relaxed);
    }

    /// One more is done.
    pub fn step(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
    }

    /// How much is done, and out of how much; `None` while that is not known.
    pub fn counted(&self) -> Option<(usize, usize)> {
        let all = self.all.load(Ordering::Relaxed);
        (all > 0).then(|| (self.done.load(Ordering::Relaxed).min(all), all))
    }
}
