//! A thousand made-up learners: the drill's own schedule and mixing against blocked practice of the same length.
//!
//! What a learner remembers falls by the power law of Wickelgren (1974), in the form m = λ (1 + βt)^−ψ that Wixted and
//! Carpenter (2007, Psychological Science 18:133–134) fitted to Ebbinghaus' data. Everything else about a learner is
//! assumed, and said here: a success after some forgetting slows the forgetting, the more so the less likely it was; a
//! learner who is told which formula comes next does not practice choosing one; a slip of one's own goes on until it is
//! named, and each naming makes it half as likely. The figures show direction, not promise.

use tankside_calc::learning::schedule::{Event, Standing};
use tankside_calc::learning::session::{Kind, again, session};
use tankside_calc::question::chance::Chance;

const LEARNERS: u64 = 1_000;
/// Kinds of problem, and formulas behind them.
const KINDS: usize = 12;
const FORMULAS: usize = 6;
/// Days on which a learner sits down, and problems each time: the days of the schedule.
const DAYS: &[i32] = &[0, 1, 2, 3, 7, 9, 16, 23, 30, 35];
const LENGTH: usize = 18;
/// The day of the delayed test: 35 days after the last sitting.
const TEST_DAY: i32 = 70;
/// λ and β of Wixted and Carpenter's fit, days; ψ where a memory is fresh.
const LAMBDA: f64 = 0.98;
const BETA: f64 = 0.36;
const PSI: f64 = 0.55;
/// How much one success after full forgetting slows the forgetting.
const SLOWER: f64 = 0.45;
/// Chance to choose the right formula without having practiced the choice.
const GUESSED: f64 = 0.35;
/// Above this a slip that over-applies counts as still there.
const STILL_THERE: f64 = 0.2;

/// A memory: for how long it was not used, and how slowly it fades.
#[derive(Clone, Copy)]
struct Memory {
    known: bool,
    last: i32,
    psi: f64,
}

impl Memory {
    fn new() -> Memory {
        Memory { known: false, last: 0, psi: PSI }
    }

    fn recall(&self, day: i32) -> f64 {
        if self.known { LAMBDA * (1.0 + BETA * f64::from(day - self.last)).powf(-self.psi) } else { 0.0 }
    }

    /// A success, or the working read after a miss.
    fn met(&mut self, day: i32, success: bool) {
        if success {
            let effort = 1.0 - self.recall(day);
            // Even an easy success on the same day helps a little.
            self.psi *= 1.0 - SLOWER * effort.max(0.12);
        }
        self.known = true;
        self.last = day;
    }
}

/// A slip of one's own: how likely it is where its formula is used, and whether it over-applies.
#[derive(Clone, Copy)]
struct Slip {
    formula: usize,
    likely: f64,
    over: bool,
    /// Problems of its formula until it was first named.
    found: Option<usize>,
    met: usize,
}

struct Learner {
    chance: Chance,
    working: Vec<Memory>,
    choosing: Vec<Memory>,
    slips: Vec<Slip>,
}

impl Learner {
    fn new(seed: u64) -> Learner {
        let mut chance = Chance::new(seed);
        let slip = |chance: &mut Chance| Slip {
            formula: chance.below(FORMULAS),
            likely: 0.5 + unit(chance) * 0.45,
            over: unit(chance) < 0.5,
            found: None,
            met: 0,
        };
        let slips = (0..1 + chance.below(4)).map(|_| slip(&mut chance)).collect();
        Learner { chance, working: vec![Memory::new(); KINDS], choosing: vec![Memory::new(); KINDS], slips }
    }

    /// Whether a problem is solved; `chosen` where the formula is known from what stands around it.
    fn solves(&mut self, kind: usize, day: i32, chosen: bool, learns: bool) -> bool {
        let formula = kind % FORMULAS;
        let picks = chosen || unit(&mut self.chance) < self.choosing[kind].recall(day).max(GUESSED);
        let works = unit(&mut self.chance) < self.working[kind].recall(day);
        let mut slipped = false;
        for slip in self.slips.iter_mut().filter(|slip| slip.formula == formula) {
            if !learns {
                slipped |= unit(&mut self.chance) < slip.likely;
                continue;
            }
            slip.met += 1;
            if picks && works && unit(&mut self.chance) < slip.likely {
                slipped = true;
                // Its name and what it does on the lawn are told at once.
                slip.found.get_or_insert(slip.met);
                slip.likely /= 2.0;
            }
        }
        let right = picks && works && !slipped;
        if learns {
            self.working[kind].met(day, works);
            if !chosen {
                self.choosing[kind].met(day, picks);
            }
        }
        right
    }
}

fn unit(chance: &mut Chance) -> f64 {
    (chance.bits() >> 11) as f64 / (1_u64 << 53) as f64
}

/// What came of one way of practice.
#[derive(Debug, Default)]
pub(crate) struct Outcome {
    /// Share of the problems solved 35 days after the last sitting.
    pub(crate) kept: f64,
    /// The same a day after it.
    pub(crate) next_day: f64,
    /// Mean number of problems of a slip's formula until the slip was named; of those that were.
    pub(crate) found_after: f64,
    /// Share of slips that were named.
    pub(crate) found: f64,
    /// Learners who had not learned every kind by the last sitting.
    pub(crate) stuck: u64,
    /// Learners released to the field with a slip that over-applies by 10 % or more.
    pub(crate) let_through: u64,
    /// Learners released.
    pub(crate) released: u64,
}

/// Mixed by the drill's own schedule, or blocked: one kind after the other, as often in all.
pub(crate) fn practise(mixed: bool, learners: u64) -> Outcome {
    let mut all = Outcome::default();
    let (mut slips, mut found, mut found_sum) = (0_usize, 0_usize, 0_usize);
    for seed in 0..learners {
        let mut learner = Learner::new(seed ^ 0x6c65_6172_6e65_7273);
        let mut standings: Vec<Option<Standing>> = vec![None; KINDS];
        for (sitting, day) in DAYS.iter().copied().enumerate() {
            let mut slots = if mixed { drilled(&standings, day, seed) } else { blocked(sitting) };
            let mut at = 0;
            while at < slots.len() && at < LENGTH {
                let kind = slots[at];
                let chosen = !mixed && at > 0 && slots[at - 1] == kind;
                let right = learner.solves(kind, day, chosen, true);
                let event = Event { day, draw: (sitting * LENGTH + at) as u32, right, unaided: true };
                standings[kind].get_or_insert_with(|| Standing::new(day)).take(event, day);
                if mixed && !right {
                    again(&mut slots, at, &|kind| (kind % FORMULAS).to_string());
                }
                at += 1;
            }
        }
        all.stuck += u64::from(!standings.iter().all(|standing| standing.as_ref().is_some_and(|one| one.learned)));
        let last = DAYS[DAYS.len() - 1];
        all.next_day += tested(&mut learner, last + 1);
        // Field release: nine in ten of a mixed set right, and no slip that over-applies in it.
        let set: Vec<bool> = (0..20).map(|turn| learner.solves(turn % KINDS, last + 1, false, false)).collect();
        let right = set.iter().filter(|right| **right).count();
        let over_applied = learner.slips.clone().iter().any(|slip| {
            slip.over
                && (0..20)
                    .filter(|turn| turn % FORMULAS == slip.formula)
                    .any(|_| unit(&mut learner.chance) < slip.likely)
        });
        let learned = standings.iter().flatten().filter(|one| one.learned).count() == KINDS;
        if right >= 18 && !over_applied && learned {
            all.released += 1;
            all.let_through += u64::from(learner.slips.iter().any(|slip| slip.over && slip.likely > STILL_THERE));
        }
        all.kept += tested(&mut learner, TEST_DAY);
        slips += learner.slips.len();
        found += learner.slips.iter().filter(|slip| slip.found.is_some()).count();
        found_sum += learner.slips.iter().filter_map(|slip| slip.found).sum::<usize>();
    }
    let count = learners as f64;
    all.kept /= count;
    all.next_day /= count;
    all.found_after = found_sum as f64 / found.max(1) as f64;
    all.found = found as f64 / slips.max(1) as f64;
    all
}

/// A sitting of the drill, as its page asks for it.
fn drilled(standings: &[Option<Standing>], day: i32, seed: u64) -> Vec<usize> {
    let kinds: Vec<Kind> = (standings.iter().enumerate())
        .map(|(kind, standing)| Kind {
            formula: (kind % FORMULAS).to_string(),
            due: standing.as_ref().map_or(0, |standing| standing.due),
            standing: standing.clone(),
        })
        .collect();
    let mut slots = session(&kinds, LENGTH, day, seed ^ day as u64);
    // The same length as the blocks: what is not due fills up.
    while slots.len() < LENGTH {
        let next = (0..kinds.len()).map(|turn| (turn + slots.len()) % kinds.len());
        let last = slots.last().map(|kind| kind % FORMULAS);
        match next.into_iter().find(|kind| Some(kind % FORMULAS) != last) {
            Some(kind) => slots.push(kind),
            None => break,
        }
    }
    slots
}

/// A sitting of blocks: three kinds, six problems of each, on to the next three next time.
fn blocked(sitting: usize) -> Vec<usize> {
    (0..LENGTH).map(|at| (sitting * 3 + at / 6) % KINDS).collect()
}

/// The share of a mixed test, two of each kind, that is solved on a day; nothing is learned from it.
fn tested(learner: &mut Learner, day: i32) -> f64 {
    let right = (0..2 * KINDS).filter(|turn| learner.solves(turn % KINDS, day, false, false)).count();
    right as f64 / (2 * KINDS) as f64
}

/// Prints both ways side by side.
pub(crate) fn learners() {
    let (mixed, blocked) = (practise(true, LEARNERS), practise(false, LEARNERS));
    println!("{LEARNERS} made-up learners, {} sittings of {LENGTH} problems, {KINDS} kinds of problem", DAYS.len());
    println!("forgetting: power law of Wickelgren (1974), fitted by Wixted and Carpenter (2007)\n");
    println!("{:<52} {:>8} {:>8}", "", "drill", "blocked");
    let row = |name: &str, drill: String, blocked: String| println!("{name:<52} {drill:>8} {blocked:>8}");
    let percent = |share: f64| format!("{:.0} %", share * 100.0);
    row("solved the day after the last sitting", percent(mixed.next_day), percent(blocked.next_day));
    row("solved 35 days after the last sitting", percent(mixed.kept), percent(blocked.kept));
    row("slips that were named", percent(mixed.found), percent(blocked.found));
    let count = |number: f64| format!("{number:.1}");
    row("problems of its formula until a slip was named", count(mixed.found_after), count(blocked.found_after));
    row("learners with a kind not learned at the end", mixed.stuck.to_string(), blocked.stuck.to_string());
    row("learners released to the field", mixed.released.to_string(), blocked.released.to_string());
    row(
        "of those with a slip that over-applies by 10 %",
        mixed.let_through.to_string(),
        blocked.let_through.to_string(),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_drill_keeps_more_than_blocks_of_the_same_length_and_lets_nobody_through() {
        let (mixed, blocked) = (practise(true, 200), practise(false, 200));
        assert!(mixed.kept > blocked.kept + 0.05, "{mixed:?} {blocked:?}");
        assert!(mixed.found > 0.95, "{mixed:?}");
        assert_eq!(mixed.let_through, 0, "{mixed:?}");
    }
}
