//! A mock exam by its blueprint: a number of questions on each topic, drawn by a seed, no two neighbors with the same
//! formula.

use crate::question::chance::Chance;

/// What can be asked in an exam.
#[derive(Clone, Debug)]
pub struct Item {
    /// Place of its topic among the weights; `None` where it has none, and is not asked.
    pub topic: Option<usize>,
    /// What decides its formula.
    pub formula: String,
    /// Whether the answer is a number.
    pub number: bool,
    /// Whether it must be typed, because its mistakes leave too few options or because options would teach the wrong
    /// thing ([`crate::question::options::choosable`]).
    pub typed: bool,
}

/// What the course sets.
#[derive(Clone, Debug)]
pub struct Blueprint {
    /// Share of each topic, in any unit.
    pub weights: Vec<u32>,
    /// How many questions.
    pub items: usize,
    /// How many of them are answered by typing a number with its unit; more only where a topic has too few choices.
    pub typed: usize,
}

/// One question of an exam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlacedItem {
    /// Place in the pool.
    pub item: usize,
    /// The seed of its numbers.
    pub seed: u32,
    /// Whether it is typed rather than chosen.
    pub typed: bool,
}

/// How many questions of each topic: by weight, the largest remainders rounded up; a topic with nothing to ask gives
/// its share to the others.
pub fn quotas(weights: &[u32], there: &[usize], items: usize) -> Vec<usize> {
    let weight = |topic: usize| if there[topic] == 0 { 0 } else { u64::from(weights[topic]) };
    let total: u64 = (0..weights.len()).map(weight).sum();
    if total == 0 {
        return vec![0; weights.len()];
    }
    let shares: Vec<(usize, u64)> = (0..weights.len()).map(|topic| (topic, weight(topic) * items as u64)).collect();
    let mut quotas: Vec<usize> = shares.iter().map(|(_, share)| (share / total) as usize).collect();
    let mut rest: Vec<u64> = shares.iter().map(|(_, share)| share % total).collect();
    while quotas.iter().sum::<usize>() < items {
        let largest = rest.iter().copied().max().unwrap_or(0);
        let Some(topic) = rest.iter().position(|remainder| *remainder == largest) else { break };
        quotas[topic] += 1;
        rest[topic] = 0;
    }
    quotas
}

/// Composes an exam. The same pool, blueprint and seed give the same exam on every machine.
///
/// Most questions are choices, as exams are: which of the places are typed is drawn first, and those that must be typed
/// take turns at these places alone.
pub fn compose(pool: &[Item], blueprint: &Blueprint, seed: u64) -> Vec<PlacedItem> {
    let mut chance = Chance::new(seed);
    let there: Vec<usize> = (0..blueprint.weights.len())
        .map(|topic| pool.iter().filter(|item| item.topic == Some(topic)).count())
        .collect();
    let quotas = quotas(&blueprint.weights, &there, blueprint.items);
    let mut places: Vec<usize> = (0..quotas.len()).flat_map(|topic| (0..quotas[topic]).map(move |_| topic)).collect();
    chance.shuffle(&mut places);
    let typed = typed_places(pool, &places, blueprint.typed);
    let mut chosen: Vec<(usize, bool)> = Vec::new();
    for (topic, quota) in quotas.into_iter().enumerate() {
        let mine = places.iter().zip(&typed).filter(|(of, _)| **of == topic);
        let by_hand = mine.filter(|(_, typed)| **typed).count();
        let mut of = |typed: bool, count: usize| -> Vec<usize> {
            let mut of: Vec<usize> = (0..pool.len())
                .filter(|index| pool[*index].topic == Some(topic) && by_typing(&pool[*index]) == typed)
                .collect();
            chance.shuffle(&mut of);
            // The only question of its formula would otherwise come every time: half of them stay out.
            of.truncate(count.max(of.len().div_ceil(2)));
            of
        };
        let counts = [by_hand, quota - by_hand];
        varied(pool, [of(true, counts[0]), of(false, counts[1])], counts, &mut chosen);
    }
    let order = apart(pool, chosen, &mut chance);
    order.into_iter().map(|(item, typed)| PlacedItem { item, seed: chance.bits() as u32, typed }).collect()
}

/// Whether a question can only be typed.
fn by_typing(item: &Item) -> bool {
    item.number && item.typed
}

/// Which places are typed, `wanted` of them: first those of a topic with too few choices, of which half may come in one
/// exam, for else the same ones would come every time; then others in their drawn order.
fn typed_places(pool: &[Item], places: &[usize], wanted: usize) -> Vec<bool> {
    let of = |topic: usize| pool.iter().filter(move |item| item.topic == Some(topic));
    let mut typed: Vec<bool> = Vec::new();
    for (place, topic) in places.iter().enumerate() {
        let open = of(*topic).filter(|item| !by_typing(item)).count();
        let before = places[..place].iter().filter(|other| *other == topic).count();
        typed.push(before >= open.div_ceil(2) && of(*topic).any(by_typing));
    }
    let mut left = wanted.saturating_sub(typed.iter().filter(|typed| **typed).count());
    for (place, topic) in places.iter().enumerate() {
        if left > 0 && !typed[place] && of(*topic).any(|item| item.number) {
            typed[place] = true;
            left -= 1;
        }
    }
    typed
}

/// `counts` of a topic's questions, of those that are typed and of those that are chosen: each formula once before any
/// comes twice, each question once before any comes again. Where nothing must be typed a number is typed all the same.
fn varied(pool: &[Item], of: [Vec<usize>; 2], counts: [usize; 2], chosen: &mut Vec<(usize, bool)>) {
    let [by_hand, open] = of;
    let start = chosen.len();
    for (typed, count) in [(true, counts[0]), (false, counts[1])] {
        for _ in 0..count {
            let so_far = &chosen[start..];
            // How often a question has come, whether it is of the other kind, and how often its formula has come.
            let often = |other: bool, index: usize| {
                let again = so_far.iter().filter(|(known, _)| *known == index).count();
                let same = so_far.iter().filter(|(known, _)| pool[*known].formula == pool[index].formula).count();
                (again, other, same)
            };
            let (own, others) = if typed { (&by_hand, &open) } else { (&open, &by_hand) };
            let others = others.iter().filter(|index| !typed || pool[**index].number);
            let all = own.iter().map(|index| (false, *index)).chain(others.map(|index| (true, *index)));
            let Some((_, best)) = all.min_by_key(|(other, index)| often(*other, *index)) else { continue };
            let typed = typed || by_typing(&pool[best]);
            chosen.push((best, typed));
        }
    }
}

/// An order in which neighbors differ in formula, as far as there is one: the most frequent formula first.
fn apart(pool: &[Item], mut left: Vec<(usize, bool)>, chance: &mut Chance) -> Vec<(usize, bool)> {
    chance.shuffle(&mut left);
    let mut order: Vec<(usize, bool)> = Vec::new();
    while !left.is_empty() {
        let last = order.last().map(|(index, _)| pool[*index].formula.as_str());
        let often = |formula: &str| left.iter().filter(|(index, _)| pool[*index].formula == formula).count();
        let open = (0..left.len()).filter(|place| Some(pool[left[*place].0].formula.as_str()) != last);
        let best = open.max_by_key(|place| (often(&pool[left[*place].0].formula), std::cmp::Reverse(*place)));
        order.push(left.remove(best.unwrap_or(0)));
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    const WEIGHTS: [u32; 10] = [14, 12, 12, 12, 14, 14, 8, 7, 4, 3];

    fn pool() -> Vec<Item> {
        let item = |index: usize| Item {
            topic: Some(index % 10),
            formula: format!("t{}f{}", index % 10, (index / 10) % 3),
            number: index % 10 != 9,
            typed: index.is_multiple_of(17),
        };
        (0..200).map(item).collect()
    }

    #[test]
    fn the_blueprint_of_25_is_that_of_the_scope() {
        let quotas = quotas(&WEIGHTS, &[20; 10], 25);
        assert_eq!(quotas.iter().sum::<usize>(), 25);
        let scope = [(3, 4), (3, 3), (3, 3), (3, 3), (3, 4), (3, 4), (2, 2), (1, 2), (1, 1), (0, 1)];
        for (quota, (least, most)) in quotas.iter().zip(scope) {
            assert!((least..=most).contains(quota), "{quotas:?}");
        }
        let without = super::quotas(&WEIGHTS, &[20, 0, 20, 20, 20, 20, 20, 20, 20, 0], 25);
        assert_eq!(without.iter().sum::<usize>(), 25, "a topic with nothing to ask gives its share away");
        assert_eq!(super::quotas(&WEIGHTS, &[0; 10], 25), vec![0; 10]);
    }

    #[test]
    fn an_exam_is_whole_mixed_and_the_same_for_the_same_seed() {
        let pool = pool();
        let blueprint = Blueprint { weights: WEIGHTS.to_vec(), items: 25, typed: 8 };
        for seed in 0..300 {
            let exam = compose(&pool, &blueprint, seed);
            assert_eq!(exam.len(), 25);
            assert!(exam.windows(2).all(|pair| pool[pair[0].item].formula != pool[pair[1].item].formula));
            assert_eq!(exam.iter().filter(|asked| asked.typed).count(), 8, "the others are choices");
            assert!(exam.iter().all(|asked| pool[asked.item].number || !asked.typed));
            assert!(exam.iter().all(|asked| asked.typed || !by_typing(&pool[asked.item])));
            assert_eq!(exam, compose(&pool, &blueprint, seed));
        }
        assert_ne!(compose(&pool, &blueprint, 1), compose(&pool, &blueprint, 2));
    }

    #[test]
    fn no_question_is_in_every_exam_where_its_topic_has_others() {
        // One topic of a lone formula beside many of another, as small topics are.
        let item = |index: usize| Item {
            topic: Some(index % 2),
            formula: if index < 2 { format!("alone {index}") } else { "shared".to_owned() },
            number: true,
            typed: false,
        };
        let pool: Vec<Item> = (0..16).map(item).collect();
        let blueprint = Blueprint { weights: vec![1, 1], items: 6, typed: 0 };
        let mut times = vec![0; pool.len()];
        for seed in 0..400 {
            compose(&pool, &blueprint, seed).iter().for_each(|asked| times[asked.item] += 1);
        }
        assert!(times.iter().all(|times| (60..280).contains(times)), "{times:?}");
    }

    #[test]
    fn a_topic_that_can_only_be_typed_or_only_chosen_is_asked_all_the_same() {
        let item = |topic: usize, number: bool, typed: bool| Item {
            topic: Some(topic),
            formula: format!("{topic} {number} {typed}"),
            number,
            typed,
        };
        let typed_alone = [item(0, true, true), item(0, true, true), item(1, false, false)];
        for seed in 0..40 {
            let blueprint = Blueprint { weights: vec![1, 1], items: 10, typed: 2 };
            let exam = compose(&typed_alone, &blueprint, seed);
            assert_eq!((exam.len(), exam.iter().filter(|asked| asked.typed).count()), (10, 5));
            let chosen_alone = [item(0, true, false), item(1, false, false)];
            let exam = compose(&chosen_alone, &blueprint, seed);
            assert_eq!(exam.iter().filter(|asked| asked.typed).count(), 2, "a number that could be chosen is typed");
        }
    }

    #[test]
    fn a_small_pool_is_asked_more_than_once_and_an_empty_one_not_at_all() {
        let blueprint = Blueprint { weights: WEIGHTS.to_vec(), items: 25, typed: 8 };
        assert_eq!(compose(&pool()[..3], &blueprint, 1).len(), 25);
        assert!(compose(&[], &blueprint, 1).is_empty());
    }
}
