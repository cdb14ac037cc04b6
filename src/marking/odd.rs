//! Wrong answers in which no known mistake shows: what they were like, so that those of several people are found
//! together.

use super::tally::Made;
use std::collections::BTreeMap;

/// How much one kind is wider than another, as a factor: figures that differ by less are about the same.
const WIDTH: f64 = 1.02;
/// The farthest kind on either side; beyond it all are one.
const FARTHEST: f64 = 1_000.0;

/// What a wrong answer is like. Numbers are compared by what they are of the right one, since everybody has other
/// numbers; the option of a choice by its place among those its author wrote.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Like(i16);

impl Like {
    /// None of the others: several choices, an order, a number that compares with nothing.
    pub const OTHER: Like = Like(i16::MIN);
    /// Nothing was answered.
    pub const BLANK: Like = Like(i16::MIN + 1);
    /// It cannot be marked as it is written.
    pub const UNREAD: Like = Like(i16::MIN + 2);

    /// A number that is so many times the right one.
    pub fn times(share: f64) -> Like {
        if !(share.is_finite() && share > 0.0) {
            return Like::OTHER;
        }
        Like((share.ln() / WIDTH.ln()).round().clamp(-FARTHEST, FARTHEST) as i16)
    }

    /// The option of a choice.
    pub fn option(index: usize) -> Like {
        Like(index.min(1_000) as i16)
    }

    /// Whether it is a figure or an option, and can be given by several people.
    pub fn is_figure(self) -> bool {
        self > Like::UNREAD
    }

    /// Of a number, about how many times the right one it is.
    pub fn share(self) -> Option<f64> {
        self.is_figure().then(|| WIDTH.powi(i32::from(self.0)))
    }

    /// How far two numbers are apart.
    fn apart(self, other: Like) -> Option<u16> {
        (self.is_figure() && other.is_figure()).then(|| self.0.abs_diff(other.0))
    }
}

/// One wrong answer, as an example.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Example {
    /// The draw that was asked.
    pub draw: u32,
    /// What was answered, as a record has it.
    pub typed: String,
}

/// The wrong answers of one person, or of several, to one question.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Odd {
    /// Everybody.
    pub all: Made,
    /// Those who gave about the same, with the first of their answers.
    pub like: BTreeMap<Like, (Made, Example)>,
}

/// The wrong answers of one person to one question.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OwnOdd {
    like: BTreeMap<Like, (u32, Example)>,
}

impl OwnOdd {
    /// Counts one more. A number near one that this person has given already counts with it, so that nobody is counted
    /// twice where near ones are put together.
    pub fn add(&mut self, like: Like, numeric: bool, draw: u32, typed: &str) {
        let near = |known: &&Like| numeric && known.apart(like).is_some_and(|apart| apart <= 2);
        let like = self.like.keys().find(near).copied().unwrap_or(like);
        let (times, _) = self.like.entry(like).or_insert_with(|| (0, Example { draw, typed: typed.to_owned() }));
        *times += 1;
    }

    /// Whether any of it is a mistake, and not only left out or unreadable.
    pub fn is_mistaken(&self) -> bool {
        self.like.keys().any(|like| *like != Like::BLANK && *like != Like::UNREAD)
    }
}

impl Odd {
    /// Those of one person.
    pub fn of(own: &OwnOdd, name: &str) -> Odd {
        let made = |times: u32| Made { people: 1, times, over: false, first: vec![name.to_owned()] };
        let like = own.like.iter().map(|(like, (times, example))| (*like, (made(*times), example.clone())));
        Odd { all: made(own.like.values().map(|(times, _)| times).sum()), like: like.collect() }
    }

    /// Adds the next people in the order of the roster.
    pub fn merge(&mut self, other: Odd) {
        self.all.merge(other.all);
        for (like, (made, example)) in other.like {
            match self.like.entry(like) {
                std::collections::btree_map::Entry::Vacant(free) => _ = free.insert((made, example)),
                std::collections::btree_map::Entry::Occupied(mut known) => known.get_mut().0.merge(made),
            }
        }
    }

    /// What was answered, the most common first. Numbers beside each other are put together: what is about the same
    /// may fall to either side of a border.
    pub fn groups(&self, numeric: bool) -> Vec<(Like, Made, &Example)> {
        let mut order: Vec<(&Like, &(Made, Example))> = self.like.iter().collect();
        order.sort_by_key(|(like, (made, _))| (std::cmp::Reverse((made.people, made.times)), **like));
        let mut groups: Vec<(Like, Made, &Example)> = Vec::new();
        for (like, (made, example)) in order {
            let near =
                |held: &&mut (Like, Made, &Example)| numeric && held.0.apart(*like).is_some_and(|apart| apart <= 1);
            match groups.iter_mut().find(near) {
                Some((_, held, _)) => held.merge(made.clone()),
                None => groups.push((*like, made.clone(), example)),
            }
        }
        groups.sort_by_key(|(like, made, _)| (std::cmp::Reverse((made.people, made.times)), *like));
        groups
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn odd(people: &[(&str, &[f64])]) -> Odd {
        let mut all = Odd::default();
        for (name, given) in people {
            let mut own = OwnOdd::default();
            given.iter().for_each(|share| own.add(Like::times(*share), true, 7, &format!("{share} gal")));
            all.merge(Odd::of(&own, name));
        }
        all
    }

    #[test]
    fn about_the_same_figure_is_one_group_wherever_its_border_is() {
        for share in (0..200).map(|step| 0.3 * 1.013_f64.powi(step)) {
            let all = odd(&[("Ada", &[share]), ("Bo", &[share * 1.008]), ("Cy", &[share * 1.5])]);
            let groups = all.groups(true);
            assert_eq!(groups.iter().map(|(_, made, _)| made.people).collect::<Vec<_>>(), [2, 1], "{share}");
            assert_eq!((groups[0].1.first.join(" "), all.all.people), ("Ada Bo".to_owned(), 3));
        }
    }

    #[test]
    fn nobody_is_counted_twice_for_figures_near_each_other() {
        let all = odd(&[("Ada", &[2.0, 2.02, 2.05]), ("Bo", &[2.03])]);
        assert_eq!(all.groups(true).iter().map(|(_, made, _)| (made.people, made.times)).collect::<Vec<_>>(), [(2, 4)]);
    }

    #[test]
    fn options_beside_each_other_are_not_the_same() {
        let mut all = Odd::default();
        for (name, option) in [("Ada", 1), ("Bo", 2), ("Cy", 2)] {
            let mut own = OwnOdd::default();
            own.add(Like::option(option), false, 0, &option.to_string());
            all.merge(Odd::of(&own, name));
        }
        let groups = all.groups(false);
        assert_eq!(groups.iter().map(|(_, made, _)| made.people).collect::<Vec<_>>(), [2, 1]);
    }

    #[test]
    fn what_compares_with_nothing_is_of_no_size() {
        for share in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(Like::times(share), Like::OTHER);
        }
        assert!(Like::times(1e300).is_figure() && Like::times(1e-300).is_figure() && !Like::BLANK.is_figure());
    }
}
