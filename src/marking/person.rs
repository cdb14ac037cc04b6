//! What one person did, added up from their sittings.

use super::odd::OwnOdd;
use super::tally::{Share, Slips};
use std::collections::BTreeMap;
use tankside_calc::learning::schedule::{Event, standing};
use tankside_calc::question::topic::Topic;

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
}
