//! One made-up learner: what is remembered, which slips are made, and what is assumed about both.

use tankside_calc::question::chance::Chance;

/// Kinds of problem, and their formulas.
pub(super) const KINDS: usize = 12;
pub(super) const FORMULAS: usize = 6;

/// A forgetting curve, m = λ (1 + βt)^−ψ, t in days.
#[derive(Clone, Copy)]
pub(super) struct Curve {
    lambda: f64,
    beta: f64,
    /// ψ where a memory is fresh.
    psi: f64,
}

/// What is taken for granted about everybody.
#[derive(Clone, Copy)]
pub(super) struct Assumed {
    pub(super) curve: Curve,
    /// How much one success after full forgetting slows the forgetting.
    pub(super) slower: f64,
    /// Chance to choose the right formula without having practiced the choice.
    pub(super) guessed: f64,
    /// How likely a slip is after it was named, as a share of before.
    pub(super) named: f64,
    /// The same after it was found in a worked example.
    pub(super) found: f64,
}

/// Ebbinghaus' savings (1885; 58, 44, 36, 34, 28, 25 and 21 % after 19, 63 and 525 minutes and 1, 2, 6 and 31 days, from
/// memory), to which this form was fitted here by least squares: 56, 48, 36, 32, 29, 25 and 20 %.
const EBBINGHAUS: Curve = Curve { lambda: 1.0, beta: 6600.0, psi: 0.13 };
/// Nobody's measurement: work that is understood, not syllables; 83 % after a day, 25 % after a month.
pub(super) const UNDERSTOOD: Curve = Curve { lambda: 0.98, beta: 0.36, psi: 0.55 };
/// What is assumed unless something else is said.
pub(super) const BASE: Assumed =
    Assumed { curve: EBBINGHAUS, slower: 0.45, guessed: 0.35, named: 0.5, found: 2.0 / 3.0 };

/// A memory: for how long it was not used, and how slowly it fades.
#[derive(Clone, Copy)]
struct Memory {
    known: bool,
    last: i32,
    psi: f64,
}

impl Memory {
    fn new(assumed: &Assumed) -> Memory {
        Memory { known: false, last: 0, psi: assumed.curve.psi }
    }

    fn recall(&self, day: i32, assumed: &Assumed) -> f64 {
        let Curve { lambda, beta, .. } = assumed.curve;
        if self.known { lambda * (1.0 + beta * f64::from(day - self.last)).powf(-self.psi) } else { 0.0 }
    }

    /// A success, or the working read after a miss.
    fn met(&mut self, day: i32, success: bool, assumed: &Assumed) {
        if success {
            let effort = 1.0 - self.recall(day, assumed);
            // Even an easy success on the same day helps a little.
            self.psi *= 1.0 - assumed.slower * effort.max(0.12);
        }
        self.known = true;
        self.last = day;
    }
}

/// A personal slip: how likely it is when its formula is used, and whether it over-applies.
#[derive(Clone, Copy)]
pub(super) struct Slip {
    formula: usize,
    pub(super) likely: f64,
    pub(super) over: bool,
    /// Problems of its formula until it was first named.
    pub(super) found: Option<usize>,
    met: usize,
    /// How often it was found in a worked example since it was last made.
    finds: u32,
}

#[derive(Clone)]
pub(super) struct Learner {
    assumed: Assumed,
    chance: Chance,
    working: Vec<Memory>,
    choosing: Vec<Memory>,
    pub(super) slips: Vec<Slip>,
}

impl Learner {
    pub(super) fn new(seed: u64, assumed: &Assumed) -> Learner {
        let mut chance = Chance::new(seed);
        let slip = |chance: &mut Chance| Slip {
            formula: chance.below(FORMULAS),
            likely: 0.5 + unit(chance) * 0.45,
            over: unit(chance) < 0.5,
            found: None,
            met: 0,
            finds: 0,
        };
        let slips = (0..1 + chance.below(4)).map(|_| slip(&mut chance)).collect();
        let memories = vec![Memory::new(assumed); KINDS];
        Learner { assumed: *assumed, chance, working: memories.clone(), choosing: memories, slips }
    }

    /// Somebody who knows every formula, and makes the slips all the same.
    pub(super) fn who_knows_all(seed: u64) -> Learner {
        let mut learner = Learner::new(seed, &BASE);
        for memory in learner.working.iter_mut().chain(&mut learner.choosing) {
            *memory = Memory { known: true, last: 0, psi: 0.0 };
        }
        learner
    }

    /// Whether a problem is solved; `chosen` if the formula is known from the context.
    pub(super) fn solves(&mut self, kind: usize, day: i32, chosen: bool, learns: bool) -> bool {
        self.tries(kind, day, chosen, learns).0
    }

    /// Whether a problem is solved, and whether a slip that over-applies was made.
    pub(super) fn tries(&mut self, kind: usize, day: i32, chosen: bool, learns: bool) -> (bool, bool) {
        let formula = kind % FORMULAS;
        let picks =
            chosen || unit(&mut self.chance) < self.choosing[kind].recall(day, &self.assumed).max(self.assumed.guessed);
        let works = unit(&mut self.chance) < self.working[kind].recall(day, &self.assumed);
        let (mut slipped, mut over) = (false, false);
        for slip in self.slips.iter_mut().filter(|slip| slip.formula == formula) {
            slip.met += usize::from(learns);
            if !(picks && works && unit(&mut self.chance) < slip.likely) {
                continue;
            }
            slipped = true;
            over |= slip.over;
            if learns {
                // Its name and what it does on the lawn are shown at once.
                slip.found.get_or_insert(slip.met);
                slip.likely *= self.assumed.named;
                slip.finds = 0;
            }
        }
        let right = picks && works && !slipped;
        if learns {
            self.working[kind].met(day, works, &self.assumed);
            if !chosen {
                self.choosing[kind].met(day, picks, &self.assumed);
            }
        }
        (right, over)
    }
}

impl Learner {
    /// Whether the learner finds a slip of their own in a worked example: of those made with this formula that
    /// over-apply, the one found least often.
    pub(super) fn finds(&mut self, kind: usize, day: i32) -> bool {
        let found = unit(&mut self.chance) < self.working[kind].recall(day, &self.assumed);
        let own = |slip: &&mut Slip| slip.formula == kind % FORMULAS && slip.over && slip.found.is_some();
        if let Some(slip) = self.slips.iter_mut().filter(own).min_by_key(|slip| slip.finds)
            && found
        {
            slip.finds += 1;
            slip.likely *= self.assumed.found;
        }
        found
    }
}

fn unit(chance: &mut Chance) -> f64 {
    (chance.bits() >> 11) as f64 / (1_u64 << 53) as f64
}

impl Learner {
    /// How often the worst slip that over-applies strikes where its formula is used.
    pub(super) fn left(&self) -> f64 {
        self.slips.iter().filter(|slip| slip.over).map(|slip| slip.likely).fold(0.0, f64::max)
    }

    /// A check of twenty mixed problems, as the roster asks for it: nine in ten right, and no slip that over-applies.
    pub(super) fn passes(&mut self, day: i32) -> bool {
        let mut right = 0;
        let mut over = false;
        for turn in 0..20 {
            let (solved, slipped) = self.tries(turn % KINDS, day, false, false);
            right += u32::from(solved);
            over |= slipped;
        }
        right >= 18 && !over
    }
}
