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
    /// Whether it must be typed: a relation that is not in proportion is not offered as a choice, where the
    /// proportional answer would only be learned by reading it (Van Dooren and others 2007).
    pub typed: bool,
}

/// What the course sets.
#[derive(Clone, Debug)]
pub struct Blueprint {
    /// Share of each topic, in any unit.
    pub weights: Vec<u32>,
    /// How many questions.
    pub items: usize,
    /// How many of them, at least, are answered by typing a number with its unit.
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
pub fn compose(pool: &[Item], blueprint: &Blueprint, seed: u64) -> Vec<PlacedItem> {
    let mut chance = Chance::new(seed);
    let there: Vec<usize> = (0..blueprint.weights.len())
        .map(|topic| pool.iter().filter(|item| item.topic == Some(topic)).count())
        .collect();
    let mut chosen: Vec<usize> = Vec::new();
    for (topic, quota) in quotas(&blueprint.weights, &there, blueprint.items).into_iter().enumerate() {
        let mut of: Vec<usize> = (0..pool.len()).filter(|index| pool[*index].topic == Some(topic)).collect();
        chance.shuffle(&mut of);
        // The only question of its formula would otherwise come every time: half of the topic stays out.
        of.truncate(quota.max(of.len().div_ceil(2)));
        chosen.extend(varied(pool, of, quota));
    }
    let order = apart(pool, chosen, &mut chance);
    let typed = which_typed(pool, &order, blueprint.typed, &mut chance);
    let asked = order.into_iter().enumerate();
    asked.map(|(place, item)| PlacedItem { item, seed: chance.bits() as u32, typed: typed[place] }).collect()
}

/// `quota` of a topic's questions: each formula once before any comes twice, each question once before any comes again.
fn varied(pool: &[Item], of: Vec<usize>, quota: usize) -> Vec<usize> {
    let mut chosen: Vec<usize> = Vec::new();
    let mut seen: Vec<(&str, usize)> = Vec::new();
    let mut ranked: Vec<(usize, usize)> = Vec::new();
    for index in of {
        let formula = pool[index].formula.as_str();
        let turn = match seen.iter_mut().find(|(known, _)| *known == formula) {
            Some((_, times)) => {
                *times += 1;
                *times
            }
            None => {
                seen.push((formula, 0));
                0
            }
        };
        ranked.push((turn, index));
    }
    let turns = ranked.iter().map(|(turn, _)| turn + 1).max().unwrap_or(0);
    let by_turn = (0..turns).flat_map(|turn| ranked.iter().filter(move |(other, _)| *other == turn));
    let by_turn: Vec<usize> = by_turn.map(|(_, index)| *index).collect();
    while chosen.len() < quota && !by_turn.is_empty() {
        chosen.extend(by_turn.iter().copied().take(quota - chosen.len()));
    }
    chosen
}

/// An order in which neighbors differ in formula, as far as there is one: the most frequent formula first.
fn apart(pool: &[Item], mut left: Vec<usize>, chance: &mut Chance) -> Vec<usize> {
    chance.shuffle(&mut left);
    let mut order: Vec<usize> = Vec::new();
    while !left.is_empty() {
        let last = order.last().map(|index| pool[*index].formula.as_str());
        let often = |formula: &str| left.iter().filter(|index| pool[**index].formula == formula).count();
        let open = (0..left.len()).filter(|place| Some(pool[left[*place]].formula.as_str()) != last);
        let best = open.max_by_key(|place| (often(&pool[left[*place]].formula), std::cmp::Reverse(*place)));
        order.push(left.remove(best.unwrap_or(0)));
    }
    order
}

/// Which of the questions are typed: those that must be, and as many number questions more as are wanted.
fn which_typed(pool: &[Item], order: &[usize], wanted: usize, chance: &mut Chance) -> Vec<bool> {
    let mut typed: Vec<bool> = order.iter().map(|index| pool[*index].number && pool[*index].typed).collect();
    let mut open: Vec<usize> = (0..order.len()).filter(|place| pool[order[*place]].number && !typed[*place]).collect();
    chance.shuffle(&mut open);
    let have = typed.iter().filter(|typed| **typed).count();
    for place in open.into_iter().take(wanted.saturating_sub(have)) {
        typed[place] = true;
    }
    typed
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
            assert!(exam.iter().filter(|asked| asked.typed).count() >= 8);
            assert!(exam.iter().all(|asked| pool[asked.item].number || !asked.typed));
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
    fn a_small_pool_is_asked_more_than_once_and_an_empty_one_not_at_all() {
        let blueprint = Blueprint { weights: WEIGHTS.to_vec(), items: 25, typed: 8 };
        assert_eq!(compose(&pool()[..3], &blueprint, 1).len(), 25);
        assert!(compose(&[], &blueprint, 1).is_empty());
    }
}
