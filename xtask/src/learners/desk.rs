//! A learner who sits down to practice: by the drill's own schedule and mixing, or in blocks.

use super::learner::{FORMULAS, KINDS, Learner};
use tankside_calc::learning::schedule::{Event, Standing};
use tankside_calc::learning::session::{DrillItem, again, finds, session};

/// Problems in a sitting.
pub(super) const LENGTH: usize = 18;

/// A learner at work: what was answered so far, by kind.
pub(super) struct Desk {
    pub(super) learner: Learner,
    standings: Vec<Option<Standing>>,
    mixed: bool,
    seed: u64,
    pub(super) examples: usize,
}

impl Desk {
    /// Before the first sitting: by the drill's own schedule, or in blocks.
    pub(super) fn new(learner: Learner, mixed: bool, seed: u64) -> Desk {
        Desk { learner, standings: vec![None; KINDS], mixed, seed, examples: 0 }
    }

    /// One sitting.
    pub(super) fn sit(&mut self, sitting: usize, day: i32) {
        let (first, mut slots) =
            if self.mixed { drilled(&self.standings, day, self.seed) } else { (Vec::new(), blocked(sitting)) };
        self.examples += first.len();
        let length = LENGTH - first.len();
        for kind in first {
            let right = self.learner.finds(kind, day);
            let event = Event { day, draw: 0, right, unaided: true, over: false, choice: false, find: true };
            self.standings[kind].iter_mut().for_each(|standing| standing.take(event, day));
        }
        let mut at = 0;
        while at < slots.len() && at < length {
            let kind = slots[at];
            let chosen = !self.mixed && at > 0 && slots[at - 1] == kind;
            let (right, over) = self.learner.tries(kind, day, chosen, true);
            let draw = (sitting * LENGTH + at) as u32;
            let event = Event { day, draw, right, unaided: true, over, choice: false, find: over };
            self.standings[kind].get_or_insert_with(|| Standing::new(day)).take(event, day);
            if self.mixed && !right {
                again(&mut slots, at, &|kind| (kind % FORMULAS).to_string());
            }
            at += 1;
        }
    }

    /// Whether every kind is learned.
    pub(super) fn learned(&self) -> bool {
        self.standings.iter().all(|standing| standing.as_ref().is_some_and(|one| one.learned))
    }

    /// Whether no slip that over-applies is left to clear in the drill.
    pub(super) fn cleared(&self) -> bool {
        self.standings.iter().flatten().all(Standing::cleared)
    }
}

/// A sitting of the drill, as its page asks for it: kinds whose own slip is to be found first, and the problems.
fn drilled(standings: &[Option<Standing>], day: i32, seed: u64) -> (Vec<usize>, Vec<usize>) {
    let kinds: Vec<DrillItem> = (standings.iter().enumerate())
        .map(|(kind, standing)| DrillItem {
            topic: String::new(),
            formula: (kind % FORMULAS).to_string(),
            choice: false,
            due: standing.as_ref().map_or(0, |standing| standing.due),
            standing: standing.clone(),
        })
        .collect();
    let first = finds(&kinds, LENGTH);
    let slots = session(&kinds, LENGTH - first.len(), day, seed ^ day as u64);
    (first, slots)
}

/// A sitting of blocks: three kinds, six problems of each, on to the next three next time.
fn blocked(sitting: usize) -> Vec<usize> {
    (0..LENGTH).map(|at| (sitting * 3 + at / 6) % KINDS).collect()
}
