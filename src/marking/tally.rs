//! Counts that add up: of a person, of a question, of a whole check, of a slip.

use super::odd::OwnOdd;
use std::collections::BTreeMap;
use tankside_calc::learning::schedule::{Event, standing};
use tankside_calc::question::topic::Topic;

/// Right and all answers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Share {
    /// Right ones.
    pub right: u32,
    /// All of them.
    pub of: u32,
}

impl Share {
    /// Counts one more.
    pub fn add(&mut self, right: bool) {
        self.right += u32::from(right);
        self.of += 1;
    }

    /// Adds another count, or the points of a question of several parts.
    pub fn merge(&mut self, other: Share) {
        self.right += other.right;
        self.of += other.of;
    }

    /// The share, 0 to 1; `None` where nothing was counted.
    pub fn share(self) -> Option<f64> {
        (self.of > 0).then(|| f64::from(self.right) / f64::from(self.of))
    }
}

/// A slip that somebody made: how often, and whether it would once put down too much.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Slips {
    /// How often.
    pub times: u32,
    /// Whether an answer with it would put down too much by [`super::standing::OVER`] or more.
    pub over: bool,
}

impl Slips {
    /// Counts one more.
    pub fn add(&mut self, over: bool) {
        self.times += 1;
        self.over |= over;
    }
}

/// A topic over everybody.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TopicSum {
    /// First answers.
    pub share: Share,
    /// People with fewer right than [`super::standing::READY`].
    pub below: usize,
}

impl TopicSum {
    /// Adds a person, or another sum.
    pub fn merge(&mut self, other: TopicSum) {
        self.share.merge(other.share);
        self.below += other.below;
    }
}

/// How many of those who made a slip are named.
pub const NAMED: usize = 6;

/// A slip that people made.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Made {
    /// How many people.
    pub people: usize,
    /// How often in all.
    pub times: u32,
    /// Whether it would once put down too much.
    pub over: bool,
    /// The first of them, by name.
    pub first: Vec<String>,
}

impl Made {
    /// Adds the next people in the order of the roster.
    pub fn merge(&mut self, other: Made) {
        self.people += other.people;
        self.times += other.times;
        self.over |= other.over;
        self.first.extend(other.first);
        self.first.truncate(NAMED);
    }
}

/// A wrong answer in a sitting that counts.
#[derive(Clone, Debug, PartialEq)]
pub struct Missed {
    /// The question, by its place in the course.
    pub index: usize,
    /// The draw that was asked; of a choice, any.
    pub draw: u32,
    /// What was answered, as a record has it.
    pub typed: String,
    /// The mistake that it shows.
    pub slip: Option<&'static str>,
    /// Whether it would put down too much by [`super::standing::OVER`] or more.
    pub over: bool,
}

/// One sitting that counts, marked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sat {
    /// When it ended, as text; it sorts as time does.
    pub ended: String,
    /// Its id: the later of two that ended together is the one with the larger id, so that the order of files does not
    /// matter.
    pub id: String,
    /// The check or exam.
    pub name: String,
    /// Answers.
    pub share: Share,
    /// Answers that would put down too much by [`super::standing::OVER`] or more.
    pub over: u32,
    /// Wrong answers that do not tell how much they would put down.
    pub untold: u32,
    /// Answers on paper that cannot be marked as they are written.
    pub unread: u32,
    /// The exam code.
    pub code: String,
    /// What was answered wrong, in the order in which it was asked.
    pub missed: Vec<Missed>,
}

impl Sat {
    /// Whether it is known when it ended; of paper only what was typed is.
    pub fn is_dated(&self) -> bool {
        self.ended.starts_with(|first: char| first.is_ascii_digit())
    }

    /// Whether it speaks more against its person than another; of two alike, the one with the larger id.
    fn is_worse_than(&self, other: &Sat) -> bool {
        let troubles = |sat: &Sat| (sat.over, sat.unread);
        let share = |sat: &Sat| sat.share.share().unwrap_or_default();
        troubles(self)
            .cmp(&troubles(other))
            .then_with(|| share(other).total_cmp(&share(self)))
            .then_with(|| self.id.cmp(&other.id))
            .is_gt()
    }
}

/// What one person did.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Person {
    /// The name in the newest of their records.
    pub name: String,
    /// Sittings of every kind.
    pub sittings: u32,
    /// First answers, all together.
    pub first: Share,
    /// Steps of worked examples that were filled in, and slips that were looked for.
    pub steps: Share,
    /// First readings of instruments.
    pub read: Share,
    /// First answers by topic.
    pub topics: BTreeMap<Topic, Share>,
    /// Slips by name.
    pub slips: BTreeMap<&'static str, Slips>,
    /// Wrong first answers that show no known mistake, by question.
    pub odd: BTreeMap<usize, OwnOdd>,
    /// The newest sitting that counts and is long enough to be mixed.
    pub newest: Option<Sat>,
    /// The worst of those on paper without a day.
    pub undated: Option<Sat>,
    /// Answers of all such sittings that would put down too much.
    pub over: u32,
    /// First answers of the drill.
    pub drilled: u32,
    /// The longest sitting that counts, for those who have none long enough.
    pub longest: u32,
    /// First answers and own slips looked for, by question: what the drill's schedule needs to know.
    pub(super) worked: Vec<WorkedOn>,
}

/// An answer as the drill's schedule takes it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct WorkedOn {
    /// The question.
    pub(super) index: usize,
    /// When its sitting began, seconds.
    pub(super) begun: u64,
    /// The answer.
    pub(super) event: Event,
}

impl Person {
    /// Kinds of problem in which the drill showed a slip that puts down too much, and which are not cleared since: by
    /// the drill's own schedule.
    pub fn owed(&self) -> u32 {
        if !self.worked.iter().any(|one| one.event.over) {
            return 0;
        }
        // Those of one sitting stay in their order.
        let mut worked: Vec<&WorkedOn> = self.worked.iter().collect();
        worked.sort_by_key(|one| (one.index, one.begun));
        let of = worked.chunk_by(|one, other| one.index == other.index);
        let cleared = |events: &&[&WorkedOn]| {
            let events: Vec<Event> = events.iter().map(|one| one.event).collect();
            standing(&events, i32::MAX).is_none_or(|standing| standing.cleared())
        };
        of.filter(|events| !cleared(events)).count() as u32
    }

    /// Keeps the newer of two sittings; of those on paper without a day, the worse.
    pub fn sat(&mut self, sat: Sat) {
        if sat.is_dated() {
            if self.newest.as_ref().is_none_or(|newest| (&newest.ended, &newest.id) < (&sat.ended, &sat.id)) {
                self.newest = Some(sat);
            }
        } else if self.undated.as_ref().is_none_or(|kept| sat.is_worse_than(kept)) {
            self.undated = Some(sat);
        }
    }

    /// The sitting that decides: the newest. One without a day may be older or newer, so then the worse of the two.
    pub fn decides(&self) -> Option<&Sat> {
        match (&self.newest, &self.undated) {
            (Some(newest), Some(undated)) if newest.is_worse_than(undated) => Some(newest),
            (newest, undated) => undated.as_ref().or(newest.as_ref()),
        }
    }
}

/// What a question's answers add up to, over everyone: sums, from which difficulty and discrimination follow.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Item {
    /// People who answered it in a sitting with other questions.
    pub n: f64,
    /// Right answers.
    pub right: f64,
    /// Sum of the share right of the rest of the sitting.
    pub rest: f64,
    /// Sum of its square.
    pub rest_squared: f64,
    /// Sum over right answers alone.
    pub rest_of_right: f64,
}

impl Item {
    /// One answer, with the share right of the other questions of that sitting.
    pub fn add(&mut self, right: bool, rest: f64) {
        self.n += 1.0;
        self.rest += rest;
        self.rest_squared += rest * rest;
        if right {
            self.right += 1.0;
            self.rest_of_right += rest;
        }
    }

    /// Adds another part.
    pub fn merge(&mut self, other: &Item) {
        self.n += other.n;
        self.right += other.right;
        self.rest += other.rest;
        self.rest_squared += other.rest_squared;
        self.rest_of_right += other.rest_of_right;
    }

    /// Share of right answers: the question's difficulty, as test theory calls it (a high one is an easy question).
    pub fn difficulty(&self) -> Option<f64> {
        (self.n > 0.0).then(|| self.right / self.n)
    }

    /// Point-biserial correlation of this question with the rest of the sitting, -1 to 1: whether those who do well
    /// elsewhere do well here. `None` where everybody answered alike, or all did equally well elsewhere.
    ///
    /// `r = (n Σxy - Σx Σy) / sqrt((n Σx² - (Σx)²)(n Σy² - (Σy)²))`, Pearson's r with x of 0 and 1; checked against a
    /// general-purpose statistics library in `tests/outside`.
    pub fn discrimination(&self) -> Option<f64> {
        let across = self.n * self.right - self.right * self.right;
        let along = self.n * self.rest_squared - self.rest * self.rest;
        // Rounding leaves a little where there is nothing: this many times the machine's epsilon still counts as
        // nothing.
        let nothing = 1e-12 * self.n * self.rest_squared;
        if across <= 0.0 || along <= nothing {
            return None;
        }
        Some((self.n * self.rest_of_right - self.right * self.rest) / (across.sqrt() * along.sqrt()))
    }
}

/// Sittings of the same questions.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Same {
    /// The check.
    pub name: String,
    /// How many took it.
    pub n: f64,
    /// Sum of their scores.
    pub scores: f64,
    /// Sum of the squares of their scores.
    pub squares: f64,
    /// Right answers to each question, in the order of their ids.
    pub right: Vec<f64>,
}

impl Same {
    /// One sitting: right or not, question by question in the order of their ids.
    pub fn add(&mut self, rights: &[bool]) {
        self.right.resize(rights.len(), 0.0);
        let score = rights.iter().filter(|right| **right).count() as f64;
        self.n += 1.0;
        self.scores += score;
        self.squares += score * score;
        for (sum, right) in self.right.iter_mut().zip(rights) {
            *sum += f64::from(u8::from(*right));
        }
    }

    /// Adds another part.
    pub fn merge(&mut self, other: Same) {
        if self.name.is_empty() {
            self.name = other.name;
        }
        self.right.resize(self.right.len().max(other.right.len()), 0.0);
        self.n += other.n;
        self.scores += other.scores;
        self.squares += other.squares;
        for (sum, more) in self.right.iter_mut().zip(&other.right) {
            *sum += more;
        }
    }

    /// Reliability by Kuder and Richardson's formula 20; `None` for one question, one person, or equal scores.
    ///
    /// `k / (k - 1) * (1 - Σ p q / σ²)`, σ² the variance of the scores over all who took it (Kuder and Richardson 1937,
    /// Psychometrika 2:151–160, from memory); checked against a general-purpose statistics library in `tests/outside`.
    pub fn reliability(&self) -> Option<f64> {
        let k = self.right.len() as f64;
        if k < 2.0 || self.n < 2.0 {
            return None;
        }
        let mean = self.scores / self.n;
        let variance = self.squares / self.n - mean * mean;
        if variance <= 1e-12 * (1.0 + mean * mean) {
            return None;
        }
        let apart: f64 = self.right.iter().map(|right| right / self.n * (1.0 - right / self.n)).sum();
        Some(k / (k - 1.0) * (1.0 - apart / variance))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_check_decides_and_one_without_a_day_only_against_its_person() {
        let sat = |ended: &str, over: u32, right: u32| Sat {
            ended: ended.to_owned(),
            over,
            share: Share { right, of: 10 },
            ..Sat::default()
        };
        let decides = |sats: &[&Sat]| {
            let mut person = Person::default();
            sats.iter().for_each(|sat| person.sat((*sat).clone()));
            person.decides().map(|sat| (sat.ended.clone(), sat.share.right))
        };
        let (bad, good) = (sat("2026-04-01T10:00:00Z", 1, 9), sat("2026-05-01T23:59:59Z", 0, 10));
        let (worse, fine) = (sat("paper", 0, 8), sat("paper", 0, 10));
        let of = |sat: &Sat| Some((sat.ended.clone(), sat.share.right));
        assert_eq!([decides(&[&bad, &good]), decides(&[&good, &bad])], [of(&good), of(&good)]);
        for order in [[&bad, &good, &worse], [&worse, &good, &bad], [&good, &worse, &bad]] {
            assert_eq!(decides(&order), of(&worse), "it may be the newest");
        }
        assert_eq!(decides(&[&bad, &fine]), of(&bad), "it may be the older one");
        assert_eq!([decides(&[&fine, &worse]), decides(&[&worse, &fine])], [of(&worse), of(&worse)]);
    }

    #[test]
    fn sums_in_parts_are_the_sums_of_the_whole() {
        let answers = [(true, 0.9), (false, 0.2), (true, 0.6), (false, 0.7), (true, 0.8)];
        let mut whole = Item::default();
        answers.iter().for_each(|(right, rest)| whole.add(*right, *rest));
        let (mut first, mut second) = (Item::default(), Item::default());
        answers[..2].iter().for_each(|(right, rest)| first.add(*right, *rest));
        answers[2..].iter().for_each(|(right, rest)| second.add(*right, *rest));
        first.merge(&second);
        assert_eq!(whole.difficulty(), first.difficulty());
        let (one, other) = (whole.discrimination().expect("varied"), first.discrimination().expect("varied"));
        assert!((one - other).abs() < 1e-12);
    }

    #[test]
    fn where_nothing_varies_nothing_is_claimed() {
        let mut item = Item::default();
        (0..5).for_each(|_| item.add(true, 0.5));
        assert_eq!(item.discrimination(), None);
        (0..5).for_each(|_| item.add(false, 0.5));
        assert_eq!(item.discrimination(), None, "all did equally well elsewhere");
        let mut same = Same::default();
        same.add(&[true, false]);
        assert_eq!(same.reliability(), None, "one person");
        same.add(&[false, true]);
        assert_eq!(same.reliability(), None, "equal scores");
    }
}
