//! What records say about a crew, added up in the order in which the roster lists people.

use super::items::{Item, Same};
use super::odd::Odd;
use super::person::Person;
use super::rows::PersonRow;
use super::tally::{Made, TopicSum};
use super::unread::UnreadCell;
use std::collections::BTreeMap;
use std::path::PathBuf;
use tankside_calc::question::topic::Topic;

/// The most people that a page lists; the spreadsheet has them all.
pub(super) const ON_PAGE: usize = 500;

/// What all the records say together.
#[derive(Debug, Default)]
pub struct Crew {
    /// How many people there are.
    pub people: usize,
    /// How many of them are ready.
    pub ready: usize,
    /// The first people by name, as many as a page lists.
    pub(super) rows: Vec<PersonRow>,
    /// The first who are ready.
    pub(super) are_ready: Vec<PersonRow>,
    /// The first who are not.
    pub(super) not_yet: Vec<PersonRow>,
    /// How many are ready though a wrong answer of theirs does not say how much product it would put down.
    pub untold: usize,
    /// How many are ready by a check alone, with no drill in their records.
    pub alone: usize,
    /// Slips by name.
    pub slips: BTreeMap<&'static str, Made>,
    /// Wrong answers that show no known mistake, by the place of their question in the course.
    pub odd: BTreeMap<usize, Odd>,
    /// What was answered on each topic.
    pub topics: BTreeMap<Topic, TopicSum>,
    /// What was answered to each question, by its place in the course.
    pub items: Vec<Item>,
    /// Sittings of the same questions, by check and questions; of those that more than one person sat.
    pub same: BTreeMap<u64, Same>,
    /// Files that were counted.
    pub counted: usize,
    /// Answers that were marked.
    pub answers: u64,
    /// Answers to questions that have since changed or gone.
    pub changed: u64,
    /// Files that are not counted, and why; in the order of their names.
    pub refused: Vec<(PathBuf, String)>,
    /// Files whose contents are all in other files as well: how many, and the first of them by name.
    pub repeated: usize,
    pub repeated_files: Vec<PathBuf>,
    /// Cells of tables that cannot be marked as they are written, and how many more there are.
    pub unread: Vec<UnreadCell>,
    pub unread_more: usize,
    /// What to look at in tables that count: the table, and what was found.
    pub look: Vec<(PathBuf, String)>,
}

impl Crew {
    /// Adds the slips of somebody, by the name that the roster shows.
    pub(super) fn slips_of(&mut self, person: &Person, name: &str) {
        for (slip, times) in &person.slips {
            let one = Made { people: 1, times: times.times, over: times.over, first: vec![name.to_owned()] };
            self.slips.entry(slip).or_default().merge(one);
        }
    }

    /// Adds the wrong answers of somebody that show no known mistake.
    pub(super) fn odd_of(&mut self, person: &Person, name: &str) {
        for (index, own) in &person.odd {
            self.odd.entry(*index).or_default().merge(Odd::of(own, name));
        }
    }

    /// Adds the next people in the order of the roster.
    pub(super) fn add(&mut self, rows: Vec<PersonRow>, sums: Crew) {
        self.people += rows.len();
        for row in rows {
            self.ready += usize::from(row.ready);
            self.untold += usize::from(row.ready && row.untold);
            self.alone += usize::from(row.ready && row.alone);
            let list = if row.ready { &mut self.are_ready } else { &mut self.not_yet };
            if list.len() < ON_PAGE {
                list.push(row.clone());
            }
            if self.rows.len() < ON_PAGE {
                self.rows.push(row);
            }
        }
        for (slip, made) in sums.slips {
            self.slips.entry(slip).or_default().merge(made);
        }
        for (index, odd) in sums.odd {
            self.odd.entry(index).or_default().merge(odd);
        }
        for (topic, sum) in sums.topics {
            self.topics.entry(topic).or_default().merge(sum);
        }
        self.items.resize(self.items.len().max(sums.items.len()), Item::default());
        self.items.iter_mut().zip(&sums.items).for_each(|(item, more)| item.merge(more));
        for (asked, same) in sums.same {
            self.same.entry(asked).or_default().merge(same);
        }
        self.counted += sums.counted;
        self.answers += sums.answers;
        self.changed += sums.changed;
        self.refused.extend(sums.refused);
    }
}
