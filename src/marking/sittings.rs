//! Sittings compared with each other: which copy of one counts, and which checks several people sat with the same
//! questions.

use std::cmp::Reverse;

/// The most pairs of files that differ about a sitting that are named.
const DIFFERING: usize = 100;

/// How a sitting counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Counts(u32);

impl Counts {
    /// Not at all: another copy of it does.
    pub(super) const NOT: Counts = Counts(0);
    /// For the person; nobody else had the same questions.
    const ALONE: Counts = Counts(1);

    /// Also among those who had the same questions, by the place of their key.
    fn shared(place: usize) -> Counts {
        Counts(place as u32 + 2)
    }

    /// The place of the key of those who had the same questions.
    pub(super) fn place(self) -> Option<usize> {
        self.0.checked_sub(2).map(|place| place as usize)
    }
}

/// A sitting as it is compared with its copies.
#[derive(Clone, Copy)]
pub(super) struct Sat {
    /// Of the person and the sitting.
    pub(super) key: u64,
    /// Of the check and its questions; nothing where it does not count.
    pub(super) same: Option<u64>,
    pub(super) answers: u32,
    /// Of its answers, so that two copies can be compared; the last bit says that the record is sealed.
    pub(super) content: u32,
}

/// Every sitting, by number, until it is known which count.
#[derive(Default)]
pub(super) struct Sittings {
    keys: Vec<u64>,
    /// Of the check and its questions; 0 where it does not count.
    same: Vec<u64>,
    /// Answers, and the unit.
    answers: Vec<u32>,
    content: Vec<u32>,
}

impl Sittings {
    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.keys.len()
    }

    pub(super) fn add(&mut self, sat: &Sat) {
        self.keys.push(sat.key);
        self.same.push(sat.same.unwrap_or(0));
        self.answers.push(sat.answers);
        self.content.push(sat.content);
    }

    /// How each sitting counts, the keys of the checks with the same questions that several sat, and sittings of which a
    /// copy is as long but not the same, the one that counts first.
    pub(super) fn settle(self) -> (Vec<Counts>, Vec<u64>, Vec<(u32, u32)>) {
        let Sittings { keys, same, answers, content } = self;
        let mut order: Vec<u32> = (0..keys.len() as u32).collect();
        // Of two copies the fuller one counts; of equal ones one with a seal, and then the first by name.
        let unsealed = |place: u32| content[place as usize] & 1 == 0;
        let rank = |place: u32| (keys[place as usize], Reverse(answers[place as usize]), unsealed(place), place);
        order.sort_unstable_by_key(|place| rank(*place));
        let mut counts = vec![Counts::NOT; keys.len()];
        let (mut last, mut differing) = (None, Vec::new());
        for place in &order {
            let (at, key) = (*place as usize, keys[*place as usize]);
            match last {
                Some((kept, of)) if of == key => {
                    let differs =
                        answers[at] == answers[kept as usize] && content[at] >> 1 != content[kept as usize] >> 1;
                    differing.extend((differs && differing.len() < DIFFERING).then_some((kept, *place)));
                }
                _ => {
                    last = Some((*place, key));
                    counts[at] = Counts::ALONE;
                }
            }
        }
        let counted = |place: &u32| same[*place as usize] != 0 && counts[*place as usize] != Counts::NOT;
        let mut keys: Vec<u64> = order.into_iter().filter(counted).map(|place| same[place as usize]).collect();
        keys.sort_unstable();
        let mut shared: Vec<u64> = keys.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| pair[0]).collect();
        shared.dedup();
        for (counts, same) in counts.iter_mut().zip(same).filter(|(counts, _)| **counts != Counts::NOT) {
            if let Ok(place) = shared.binary_search(&same) {
                *counts = Counts::shared(place);
            }
        }
        (counts, shared, differing)
    }
}
