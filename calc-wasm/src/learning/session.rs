//! A sitting of the drill: which kinds of problem, how often, and in which order, so that no two neighbours need the
//! same formula.
//!
//! Mixed practice beats blocked because the learner has to pick the method (Rohrer, Dedrick and Stershic 2015).

use super::schedule::{Standing, TO_LEARN};
use crate::question::chance::Chance;

/// A kind of problem that can be asked.
#[derive(Clone, Debug)]
pub struct Kind {
    /// What decides its formula: two with the same must not stand side by side.
    pub formula: String,
    /// How far the learner is with it; `None` where it was never asked.
    pub standing: Option<Standing>,
    /// The day on which it comes back, an exam ahead taken into account; meaningless where it was never asked.
    pub due: i32,
}

/// How pressing a kind of problem is: missed first, then overdue, then begun, then new; what is not due comes last.
fn rank(kind: &Kind, today: i32) -> (u8, i32) {
    match &kind.standing {
        Some(standing) if standing.missed => (0, standing.last),
        Some(standing) if standing.learned && kind.due <= today => (1, kind.due),
        Some(standing) if !standing.learned => (2, standing.last),
        None => (3, 0),
        Some(_) => (4, kind.due),
    }
}

/// How often a kind is asked in one sitting: until it can be learned, or once where it only comes back.
fn wanted(kind: &Kind) -> u32 {
    match &kind.standing {
        Some(standing) if standing.learned => 1,
        Some(standing) => (TO_LEARN - standing.row).max(1),
        None => TO_LEARN,
    }
}

/// The places in `kinds` to ask one after the other, at most `length`; fewer where the same formula would follow itself.
pub fn session(kinds: &[Kind], length: usize, today: i32, seed: u64) -> Vec<usize> {
    let mut chance = Chance::new(seed);
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    chance.shuffle(&mut order);
    in_order(&mut order, &|index| rank(&kinds[index], today));
    // What is not due is only asked where there is nothing better to do.
    let pressing = order.iter().filter(|index| rank(&kinds[**index], today).0 < 4).count();
    if pressing > 0 {
        order.truncate(pressing);
    }
    let mut left: Vec<(usize, u32)> = Vec::new();
    let mut slots = 0;
    for index in order {
        if slots >= length {
            break;
        }
        let times = wanted(&kinds[index]).min((length - slots) as u32);
        slots += times as usize;
        left.push((index, times));
    }
    mixed(kinds, left, length, &mut chance)
}

/// Puts places in the order of what they are ranked by; equals stay as they were. A few hundred kinds need no more, and
/// the library's sorting is heavy in a browser.
fn in_order(order: &mut [usize], rank: &dyn Fn(usize) -> (u8, i32)) {
    for end in 1..order.len() {
        let mut at = end;
        while at > 0 && rank(order[at]) < rank(order[at - 1]) {
            order.swap(at, at - 1);
            at -= 1;
        }
    }
}

/// Spreads what is left so that neighbours differ: always the formula with most still to come that is not the last one.
fn mixed(kinds: &[Kind], mut left: Vec<(usize, u32)>, length: usize, chance: &mut Chance) -> Vec<usize> {
    let mut slots: Vec<usize> = Vec::new();
    while slots.len() < length {
        let last = slots.last().map(|index| kinds[*index].formula.as_str());
        let weight = |formula: &str| -> u32 {
            left.iter().filter(|(index, _)| kinds[*index].formula == formula).map(|(_, times)| times).sum()
        };
        let open = left.iter().enumerate();
        let open = open.filter(|(_, (index, times))| *times > 0 && Some(kinds[*index].formula.as_str()) != last);
        let weights: Vec<(usize, u32)> =
            open.map(|(place, (index, _))| (place, weight(&kinds[*index].formula))).collect();
        let Some(most) = weights.iter().map(|(_, weight)| *weight).max() else { break };
        let best: Vec<usize> =
            weights.into_iter().filter(|(_, weight)| *weight == most).map(|(place, _)| place).collect();
        let place = best[chance.below(best.len())];
        left[place].1 -= 1;
        slots.push(left[place].0);
    }
    slots
}

/// Asks a kind once more that was missed at `at`: two places on, or as soon after as its formula stands beside no
/// other of its own; at the very end where there is no such place, and not at all where even that would not do.
pub fn again(slots: &mut Vec<usize>, at: usize, formula: &dyn Fn(usize) -> String) {
    let Some(kind) = slots.get(at).copied() else { return };
    let own = formula(kind);
    let apart = |place: usize| {
        let before = place.checked_sub(1).and_then(|before| slots.get(before));
        let differs = |other: Option<&usize>| other.is_none_or(|other| formula(*other) != own);
        differs(before) && differs(slots.get(place))
    };
    if let Some(place) =
        (at + 3..=slots.len()).chain(at + 2..at + 3).find(|place| *place <= slots.len() && apart(*place))
    {
        slots.insert(place, kind);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::learning::schedule::{Event, standing};

    fn kind(formula: &str, events: &[Event], today: i32) -> Kind {
        let standing = standing(events, today);
        let due = standing.as_ref().map_or(0, |standing| standing.due);
        Kind { formula: formula.to_owned(), standing, due }
    }

    fn neighbours_differ(kinds: &[Kind], slots: &[usize]) -> bool {
        slots.windows(2).all(|pair| kinds[pair[0]].formula != kinds[pair[1]].formula)
    }

    #[test]
    fn no_two_neighbours_need_the_same_formula_whatever_the_seed_and_the_pool() {
        for seed in 0..500 {
            let mut chance = Chance::new(seed);
            let kinds: Vec<Kind> =
                (0..1 + chance.below(30)).map(|_| kind(&format!("f{}", chance.below(6)), &[], 0)).collect();
            let length = 1 + chance.below(24);
            let mut slots = session(&kinds, length, 0, seed);
            assert!(!slots.is_empty() && slots.len() <= length);
            assert!(neighbours_differ(&kinds, &slots), "seed {seed}");
            for _ in 0..3 {
                let at = chance.below(slots.len());
                again(&mut slots, at, &|index| kinds[index].formula.clone());
                assert!(neighbours_differ(&kinds, &slots), "seed {seed} after a miss");
            }
        }
    }

    #[test]
    fn what_was_missed_comes_before_what_is_due_and_that_before_what_is_new() {
        let right = |draw| Event { day: 0, draw, right: true, unaided: true };
        let learned = [right(1), right(2), right(3)];
        let missed = [Event { day: 0, draw: 1, right: false, unaided: true }];
        let kinds = [kind("a", &[], 1), kind("b", &learned, 1), kind("c", &missed, 1), kind("d", &[], 1)];
        let slots = session(&kinds, 4, 1, 5);
        assert!(slots.contains(&2) && slots.contains(&1), "{slots:?}");
        assert!(!slots.contains(&0) && !slots.contains(&3) || slots.len() > 4, "{slots:?}");
        let nothing_due = [kind("b", &learned, 0)];
        assert_eq!(session(&nothing_due, 5, 0, 1), [0], "somebody who wants to go on may");
    }
}
