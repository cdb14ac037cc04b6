//! A sitting of the drill: which kinds of problem, how often, and in which order, so that no two neighbors need the
//! same formula.
//!
//! Mixed practice beats blocked because the learner has to pick the method (Rohrer, Dedrick and Stershic 2015).

use super::schedule::{Standing, TO_LEARN};
use crate::question::chance::Chance;

/// A kind of problem that can be asked.
#[derive(Clone, Debug)]
pub struct DrillItem {
    /// What it is about: every topic gets its turn.
    pub topic: String,
    /// What decides its formula: two with the same must not come one after the other.
    pub formula: String,
    /// Whether it is a choice, which has no fresh numbers and is asked once in a sitting.
    pub choice: bool,
    /// How far the learner is with it; `None` where it was never asked.
    pub standing: Option<Standing>,
    /// The day on which it comes back, an exam ahead taken into account; meaningless where it was never asked.
    pub due: i32,
}

/// How pressing a kind of problem is; what is not due comes last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Pressing {
    Missed,
    Due,
    /// The first of its formula, to see whether the learner can do it.
    Probe,
    Begun,
    New,
    NewChoice,
    Later,
}

/// How pressing each kind is, and a number that orders those that are equally so. Of a formula that was never asked,
/// the first in `order` is a probe; the topics take turns. Choices come after numbers, but where a topic has nothing
/// else.
fn ranks(kinds: &[DrillItem], order: &[usize], today: i32) -> Vec<(Pressing, i32)> {
    let mut met: Vec<&str> = Vec::new();
    for kind in kinds.iter().filter(|kind| kind.standing.is_some()) {
        if !met.contains(&kind.formula.as_str()) {
            met.push(&kind.formula);
        }
    }
    let numbers = |topic: &str| kinds.iter().any(|kind| !kind.choice && kind.topic == topic);
    let mut probes: Vec<(&str, i32)> = Vec::new();
    let mut ranks = vec![(Pressing::Later, 0); kinds.len()];
    for index in order.iter().copied() {
        let kind = &kinds[index];
        ranks[index] = match &kind.standing {
            Some(standing) if standing.missed => (Pressing::Missed, standing.last),
            Some(standing) if standing.learned && kind.due <= today => (Pressing::Due, kind.due),
            Some(standing) if standing.learned => (Pressing::Later, kind.due),
            // A choice that was right today counts again tomorrow.
            Some(standing) if kind.choice && standing.due > today => (Pressing::Later, standing.due),
            Some(standing) => (Pressing::Begun, standing.last),
            None if kind.choice && numbers(&kind.topic) => (Pressing::NewChoice, 0),
            None if met.contains(&kind.formula.as_str()) => (Pressing::New, 0),
            None => {
                met.push(&kind.formula);
                let turn = match probes.iter_mut().find(|(topic, _)| *topic == kind.topic) {
                    Some((_, turns)) => {
                        *turns += 1;
                        *turns
                    }
                    None => {
                        probes.push((&kind.topic, 0));
                        0
                    }
                };
                (Pressing::Probe, turn)
            }
        };
    }
    ranks
}

/// How often a kind is asked in one sitting: until it can be learned, or once where it only comes back or is a choice.
pub(super) fn wanted(kind: &DrillItem) -> u32 {
    match &kind.standing {
        _ if kind.choice => 1,
        Some(standing) if standing.learned => 1,
        Some(standing) => (TO_LEARN - standing.row).max(standing.owed).max(1),
        None => TO_LEARN,
    }
}

/// The places in `kinds` to ask one after the other: `length` of them wherever the kinds have two formulas or more and
/// enough of them are no choices, and one where they have a single formula, for it must not follow itself.
///
/// The most pressing kinds come, each as often as it needs; no formula takes more than every other place, so the rest
/// goes to what is less pressing, to what is not due yet, and in the end to the same kinds once more. Weak spots are
/// found by breadth: while there are formulas that were never asked, everything is asked once before anything is asked
/// again, and what was missed or is due takes half of the places at most.
pub fn session(kinds: &[DrillItem], length: usize, today: i32, seed: u64) -> Vec<usize> {
    let mut chance = Chance::new(seed);
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    chance.shuffle(&mut order);
    let ranks = ranks(kinds, &order, today);
    in_order(&mut order, &|index| ranks[index]);
    let probing = ranks.iter().any(|(pressing, _)| *pressing == Pressing::Probe);
    let half = length.div_ceil(2) as u32;
    let mut left: Vec<(usize, u32)> = order.iter().map(|index| (*index, 0)).collect();
    let mut slots = 0;
    let mut round = 0;
    loop {
        let before = slots;
        for place in 0..left.len() {
            let (index, already) = left[place];
            let kind = &kinds[index];
            let times = match round {
                0 if probing => 1,
                0 | 1 => wanted(kind).saturating_sub(already),
                _ if kind.choice => 0,
                _ => 1,
            };
            let pressing = ranks[index].0 < Pressing::Probe;
            let room = if probing && pressing && round == 0 { half.saturating_sub(slots as u32) } else { half };
            let room = room.min(half.saturating_sub(count_of(kinds, &left, &kind.formula)));
            let times = times.min(room).min((length - slots) as u32);
            left[place].1 += times;
            slots += times as usize;
        }
        round += 1;
        if slots == length || slots == before && round > 2 {
            break;
        }
    }
    // With a single formula there is nothing to put in between.
    if let Some(place) = left
        .iter()
        .position(|(index, times)| *times > 0 && count_of(kinds, &left, &kinds[*index].formula) as usize == slots)
    {
        return vec![left[place].0];
    }
    mixed(kinds, left, &mut chance)
}

/// How many places a formula has.
fn count_of(kinds: &[DrillItem], left: &[(usize, u32)], formula: &str) -> u32 {
    left.iter().filter(|(index, _)| kinds[*index].formula == formula).map(|(_, times)| times).sum()
}

/// Puts places in the order of what they are ranked by; equals stay as they were. A few hundred kinds need no more, and
/// the library's sorting is heavy in a browser.
fn in_order(order: &mut [usize], rank: &dyn Fn(usize) -> (Pressing, i32)) {
    for end in 1..order.len() {
        let mut at = end;
        while at > 0 && rank(order[at]) < rank(order[at - 1]) {
            order.swap(at, at - 1);
            at -= 1;
        }
    }
}

/// Spreads what is left so that neighbors differ: always the formula with most still to come that is not the last one.
/// No formula has more than every other place, so there always is one.
fn mixed(kinds: &[DrillItem], mut left: Vec<(usize, u32)>, chance: &mut Chance) -> Vec<usize> {
    let mut slots: Vec<usize> = Vec::new();
    left.retain(|(_, times)| *times > 0);
    while !left.is_empty() {
        let last = slots.last().map(|index| kinds[*index].formula.as_str());
        let open = left.iter().enumerate().filter(|(_, (index, _))| Some(kinds[*index].formula.as_str()) != last);
        let weights: Vec<(usize, u32)> =
            open.map(|(place, (index, _))| (place, count_of(kinds, &left, &kinds[*index].formula))).collect();
        let Some(most) = weights.iter().map(|(_, weight)| *weight).max() else { break };
        let best: Vec<usize> =
            weights.into_iter().filter(|(_, weight)| *weight == most).map(|(place, _)| place).collect();
        let place = best[chance.below(best.len())];
        left[place].1 -= 1;
        slots.push(left[place].0);
        left.retain(|(_, times)| *times > 0);
    }
    slots
}

/// How often one slip is to be found in a sitting: what is spread over days is kept longer.
const FINDS: u32 = 2;

/// The places in `kinds` whose own slip comes first in a sitting of `length`, in a worked example: a third of it at most.
pub fn finds(kinds: &[DrillItem], length: usize) -> Vec<usize> {
    let mut places = Vec::new();
    for turn in 0..FINDS {
        let owes = |index: &usize| kinds[*index].standing.as_ref().is_some_and(|standing| standing.finds > turn);
        places.extend((0..kinds.len()).filter(owes));
    }
    places.truncate(length / 3);
    places
}

/// Asks a kind once more that was missed at `at`: two places on, or as soon after as its formula is next to no
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

    fn kind(formula: &str, events: &[Event], today: i32) -> DrillItem {
        let standing = standing(events, today);
        let due = standing.as_ref().map_or(0, |standing| standing.due);
        DrillItem { topic: String::new(), formula: formula.to_owned(), choice: false, standing, due }
    }

    fn neighbors_differ(kinds: &[DrillItem], slots: &[usize]) -> bool {
        slots.windows(2).all(|pair| kinds[pair[0]].formula != kinds[pair[1]].formula)
    }

    #[test]
    fn no_two_neighbors_need_the_same_formula_whatever_the_seed_and_the_pool() {
        for seed in 0..500 {
            let mut chance = Chance::new(seed);
            let kinds: Vec<DrillItem> =
                (0..1 + chance.below(30)).map(|_| kind(&format!("f{}", chance.below(6)), &[], 0)).collect();
            let length = 1 + chance.below(24);
            let mut slots = session(&kinds, length, 0, seed);
            let mixed = kinds.iter().any(|kind| kind.formula != kinds[0].formula);
            assert_eq!(slots.len(), if mixed { length } else { 1 }, "seed {seed}: as many as were asked for");
            assert!(neighbors_differ(&kinds, &slots), "seed {seed}");
            for _ in 0..3 {
                let at = chance.below(slots.len());
                again(&mut slots, at, &|index| kinds[index].formula.clone());
                assert!(neighbors_differ(&kinds, &slots), "seed {seed} after a miss");
            }
        }
    }

    #[test]
    fn what_was_missed_comes_before_what_is_due_and_that_before_what_is_new() {
        let right = |draw| Event { day: 0, draw, right: true, unaided: true, over: false, choice: false, find: false };
        let learned = [right(1), right(2), right(3)];
        let missed = [Event { day: 0, draw: 1, right: false, unaided: true, over: false, choice: false, find: false }];
        let kinds = [kind("a", &[], 1), kind("b", &learned, 1), kind("c", &missed, 1), kind("d", &[], 1)];
        let slots = session(&kinds, 4, 1, 5);
        let times = |kind: usize| slots.iter().filter(|slot| **slot == kind).count();
        assert_eq!([0, 1, 2, 3].map(times), [1; 4], "with formulas never asked, everything once: {slots:?}");
        let seen = [kinds[1].clone(), kinds[2].clone()];
        let slots = session(&seen, 4, 1, 5);
        let times = |kind: usize| slots.iter().filter(|slot| **slot == kind).count();
        assert_eq!((times(1), times(0)), (2, 2), "then what was missed as often as it needs: {slots:?}");
        let nothing_due = [kind("b", &learned, 0)];
        assert_eq!(session(&nothing_due, 5, 0, 1), [0], "somebody who wants to go on may");
    }

    #[test]
    fn own_slips_come_twice_in_a_sitting_and_take_a_third_of_it_at_most() {
        let over = Event { day: 0, draw: 1, right: false, unaided: true, over: true, choice: false, find: true };
        let found = Event { right: true, over: false, ..over };
        let kinds = [kind("a", &[over], 1), kind("b", &[], 1), kind("c", &[over, found, found, found], 1)];
        assert_eq!(finds(&kinds, 12), [0, 2, 0]);
        assert_eq!(finds(&kinds, 6), [0, 2]);
        assert!(finds(&kinds[1..2], 12).is_empty());
    }

    #[test]
    fn what_is_due_of_one_formula_is_parted_by_what_is_not_due_yet() {
        let right = |draw| Event { day: 0, draw, right: true, unaided: true, over: false, choice: false, find: false };
        let learned = [right(1), right(2), right(3)];
        let mut kinds: Vec<DrillItem> = (0..4).map(|_| kind("due", &learned, 1)).collect();
        kinds.extend((0..4).map(|_| DrillItem { due: 9, ..kind("later", &learned, 1) }));
        for seed in 0..50 {
            let slots = session(&kinds, 8, 1, seed);
            assert_eq!(slots.len(), 8);
            assert!(neighbors_differ(&kinds, &slots) && (0..4).all(|due| slots.contains(&due)), "{slots:?}");
        }
    }

    #[test]
    fn weak_spots_are_found_by_breadth_one_of_each_formula_before_any_repeats() {
        // Four topics of five formulas, three kinds of each; a choice for each of them, and a topic of choices alone.
        let mut kinds: Vec<DrillItem> = (0..60)
            .map(|index| DrillItem { topic: format!("t{}", index % 4), ..kind(&format!("f{}", index % 20), &[], 0) })
            .collect();
        let choice = |topic: usize, index: usize| DrillItem {
            topic: format!("t{topic}"),
            choice: true,
            ..kind(&format!("choice {index}"), &[], 0)
        };
        kinds.extend((0..20).map(|index| choice(index % 5, index)));
        for seed in 0..40 {
            let mut kinds = kinds.clone();
            let mut formulas: Vec<String> = Vec::new();
            for sitting in 0..2 {
                let slots = session(&kinds, 12, 0, seed + sitting);
                assert_eq!(slots.len(), 12);
                let topics: std::collections::BTreeSet<&str> =
                    slots.iter().map(|slot| kinds[*slot].topic.as_str()).collect();
                assert_eq!(topics.len(), 5, "every topic has its turn: {slots:?}");
                for slot in slots {
                    assert!(
                        !formulas.contains(&kinds[slot].formula),
                        "{} again in sitting {sitting}",
                        kinds[slot].formula
                    );
                    assert!(!kinds[slot].choice || kinds[slot].topic == "t4", "numbers before choices");
                    formulas.push(kinds[slot].formula.clone());
                    let right =
                        Event { day: 0, draw: 1, right: true, unaided: true, over: false, choice: false, find: false };
                    kinds[slot].standing = standing(&[right], 0);
                }
            }
            assert!(formulas.iter().filter(|formula| formula.starts_with('f')).count() >= 18, "{formulas:?}");
        }
    }

    #[test]
    fn what_was_missed_leaves_half_of_the_places_to_formulas_that_were_never_asked() {
        let missed = [Event { day: 0, draw: 1, right: false, unaided: true, over: false, choice: false, find: false }];
        let mut kinds: Vec<DrillItem> = (0..12).map(|index| kind(&format!("m{index}"), &missed, 0)).collect();
        kinds.extend((0..12).map(|index| kind(&format!("n{index}"), &[], 0)));
        let slots = session(&kinds, 12, 0, 3);
        assert_eq!(slots.iter().filter(|slot| **slot < 12).count(), 6, "{slots:?}");
    }

    #[test]
    fn a_choice_is_asked_once_in_a_sitting_unless_it_was_missed() {
        let choice = |index: usize| DrillItem { choice: true, ..kind(&format!("c{index}"), &[], 0) };
        let mut kinds: Vec<DrillItem> = (0..3).map(choice).collect();
        assert_eq!(session(&kinds, 12, 0, 1).len(), 3, "there is nothing else to ask");
        kinds.extend((0..2).map(|index| kind(&format!("f{index}"), &[], 0)));
        for seed in 0..50 {
            let mut slots = session(&kinds, 12, 0, seed);
            let times = |slots: &[usize], kind: usize| slots.iter().filter(|slot| **slot == kind).count();
            assert!((0..3).all(|kind| times(&slots, kind) == 1), "{slots:?}");
            let at = slots.iter().position(|slot| *slot == 1).unwrap();
            let last = at == slots.len() - 1;
            again(&mut slots, at, &|index| kinds[index].formula.clone());
            // After the very last question there is nothing to put in between.
            let wanted = if last { 1 } else { 2 };
            assert_eq!(times(&slots, 1), wanted, "a miss brings it back");
        }
        let right = |day| Event { day, draw: 1, right: true, unaided: true, over: false, choice: true, find: false };
        kinds[0] = DrillItem { choice: true, ..kind("c0", &[right(4)], 4) };
        let more = session(&kinds, 4, 4, 1);
        assert!(!more.contains(&0), "what was right today waits for another day: {more:?}");
        assert!(session(&kinds[..1], 4, 4, 1) == [0], "but whoever wants to go on may");
    }
}
