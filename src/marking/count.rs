//! Counts a pile person by person, in the order in which the roster lists them. Of a person only a row of the table is
//! kept, and of most not even that: rows are handed on as they are made.

use super::crew::{Crew, ON_PAGE};
use super::gather::Pile;
use super::items::Item;
use super::packed::PackedSitting;
use super::person::Person;
use super::rows::{PersonRow, Rows};
use super::score::Marker;
use super::sittings::Counts;
use super::standing::{READY, Standing};
use super::store::Unpack;
use super::tally::TopicSum;
use crate::parallel::{in_parallel, threads};
use std::io::{self, Write};
use std::ops::Range;

/// People in one group, and groups in one round, after which rows are written. Floating-point sums depend on how they
/// are split, so the groups are the same however many threads there are.
const TOGETHER: usize = 16;
const ROUND: usize = 64;

/// What some people add.
#[derive(Default)]
struct Subtotal {
    rows: Vec<PersonRow>,
    table: Vec<u8>,
    sums: Crew,
    /// Files that add nothing new.
    repeated: Vec<u32>,
}

impl Pile<'_> {
    /// Counts everybody. The rows of the spreadsheet go to `table` as they are made, its head first.
    ///
    /// # Errors
    /// What `table` says when it cannot be written.
    pub fn count(&self, rows: &Rows, table: &mut dyn Write) -> io::Result<Crew> {
        let (people, units) = self.in_order();
        let ranges: Vec<Range<usize>> =
            (0..people.len()).step_by(TOGETHER).map(|from| from..people.len().min(from + TOGETHER)).collect();
        let (unread, unread_more) = (self.paper.unread.clone(), self.paper.unread_more);
        let (refused, look) = (self.refused.clone(), self.to_look_at());
        let mut crew = Crew { counted: self.tables, refused, unread, unread_more, look, ..Crew::default() };
        let mut repeated = self.paper.repeated.clone();
        table.write_all(&rows.head())?;
        for round in ranges.chunks(ROUND) {
            let parts = in_parallel(round, threads(), |range| self.part(&people[range.clone()], &units, rows));
            for part in parts {
                table.write_all(&part.table)?;
                repeated.extend(&part.repeated);
                crew.add(part.rows, part.sums);
            }
        }
        crew.refused.sort_by(|(path, why), (other, because)| {
            (path, line_of(why), why).cmp(&(other, line_of(because), because))
        });
        repeated.sort_unstable();
        crew.repeated = repeated.len() + self.found.twice.len();
        let files = self.found.twice.iter().cloned().chain(repeated.iter().map(|file| self.found.path(*file as usize)));
        crew.repeated_files = files.take(ON_PAGE).collect();
        Ok(crew)
    }

    /// People by name, and the units of each one after another, in the same order.
    fn in_order(&self) -> (Vec<Owner>, Vec<u32>) {
        let mut has_some = vec![false; self.people.len()];
        self.units.iter().for_each(|unit| has_some[unit.person as usize] = true);
        let mut order: Vec<u32> = (0..self.people.len() as u32).filter(|person| has_some[*person as usize]).collect();
        order.sort_by(|one, other| self.people.order(*one, *other));
        let mut ranks = vec![0; self.people.len()];
        order.iter().enumerate().for_each(|(rank, person)| ranks[*person as usize] = rank as u32);
        let mut units: Vec<u32> = (0..self.units.len() as u32).collect();
        let rank = |unit: u32| ranks[self.units[unit as usize].person as usize];
        units.sort_unstable_by_key(|unit| (rank(*unit), *unit));
        let mut from = 0;
        let owners = order.into_iter().enumerate().map(|(place, person)| {
            let first = from;
            from += units[first..].iter().take_while(|unit| rank(**unit) as usize == place).count();
            Owner { person, first: first as u32, end: from as u32 }
        });
        let owners = owners.collect();
        (owners, units)
    }

    fn part(&self, owners: &[Owner], units: &[u32], rows: &Rows) -> Subtotal {
        let mut part = Subtotal::default();
        part.sums.items = vec![Item::default(); self.questions.all.len()];
        let mut marker = Marker::new(self.questions);
        for owner in owners {
            let mut person = Person { name: self.people.name(owner.person).to_owned(), ..Person::default() };
            let mut counted = false;
            for unit in &units[owner.first as usize..owner.end as usize] {
                counted |= self.unit(*unit, &mut person, &mut part, &mut marker);
            }
            // All that was known of somebody may have been in a file that is gone by now.
            if counted {
                let standing = Standing::of(&person);
                let row = rows.row(&person, &standing);
                part.sums.slips_of(&person, &row.name);
                part.sums.odd_of(&person, &row.name);
                for (topic, share) in &person.topics {
                    let below = usize::from(share.share().is_some_and(|share| share < READY));
                    part.sums.topics.entry(*topic).or_default().merge(TopicSum { share: *share, below });
                }
                part.rows.push(row);
            }
        }
        part.table = rows.table(&part.rows);
        part
    }

    /// Counts a record, or a row of a table; whether it counts.
    fn unit(&self, number: u32, person: &mut Person, part: &mut Subtotal, marker: &mut Marker) -> bool {
        let sums = &mut part.sums;
        let Some(unit) = self.units.get(number as usize) else { return false };
        let end = self.units.get(number as usize + 1).map_or(self.counts.len(), |next| next.first as usize);
        let sittings = unit.first as usize..end;
        let counts = &self.counts[sittings.clone()];
        if !counts.is_empty() && counts.iter().all(|counts| *counts == Counts::NOT) {
            part.repeated.push(unit.file);
            return false;
        }
        let read;
        let packed = match unit.held {
            Some(place) => self.held.get(place),
            None => match self.again(unit, sittings.len()) {
                Ok(packed) => {
                    read = packed;
                    read.as_slice()
                }
                Err(why) => {
                    sums.refused.push((self.found.path(unit.file as usize), why));
                    return false;
                }
            },
        };
        sums.counted += usize::from(!unit.is_row);
        let mut from = Unpack(packed);
        for counts in counts {
            let sitting = PackedSitting::next(&mut from);
            self.sitting(sitting, &mut from, (*counts, unit.is_row), person, sums, marker);
        }
        true
    }
}

/// People and units: where those of somebody begin and end.
struct Owner {
    person: u32,
    first: u32,
    end: u32,
}

/// The line that a reason begins with, so that line 3 comes before line 10.
fn line_of(why: &str) -> Option<u64> {
    why.strip_prefix("line ")?.split_once(':')?.0.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::embedded::{CONTENT, DEMO};
    use crate::load::{Layered, Memory};
    use crate::marking::answers::Answers;
    use crate::marking::files::files;
    use crate::marking::gather::{gather, gather_within};
    use crate::marking::questions::Questions;
    use std::fs;
    use std::path::Path;

    /// Records of 30 people who answer a check with numbers that are right for some; one is there twice, one is cut.
    fn records(folder: &Path, questions: &Questions, course: &str) {
        for person in 0..30 {
            let answers: Vec<String> = (0..12)
                .map(|place| {
                    let known = &questions.all[(person % 3 + place * 5) % questions.all.len()];
                    let typed = ["0", "2 gal", "1,0", "40 gal/acre", "8.5 oz"][(person + place) % 5];
                    let (id, digest, draw) = (&known.question.id, &known.digest, known.question.draw_at(place as u32));
                    format!(
                        "{{\"question\":\"{id}\",\"digest\":\"{digest}\",\"draw\":{draw},\"answer\":\"{typed}\",\"try\":{}}}",
                        1 + person % 7 / 6
                    )
                })
                .collect();
            let record = format!(
                "{{\"format\":\"tankside-training-record\",\"version\":1,\"course\":{{\"id\":\"{course}\"}},\
                 \"learner\":{{\"id\":\"{person}\",\"name\":\"P {}\"}},\"sittings\":[{{\"id\":\"s\",\"kind\":\"check\",\
                 \"name\":\"mixed\",\"ended\":\"2026-05-04T08:30:00Z\",\"answers\":[{}]}}]}}",
                person % 11,
                answers.join(",")
            );
            fs::write(folder.join(format!("{person}.json")), &record).expect("a record");
            if person == 4 {
                fs::write(folder.join("copy.json"), &record).expect("a record");
                fs::write(folder.join("cut.json"), &record[..90]).expect("a record");
            }
        }
    }

    #[test]
    fn a_pile_beyond_what_is_kept_counts_the_same() {
        let resolved = crate::resolve(&Layered(vec![&Memory::of(&DEMO), &Memory::of(&CONTENT)]));
        let course = resolved.course().expect("the demo resolves");
        let questions = Questions::of(course);
        let folder = std::env::temp_dir().join(format!("tankside-pile-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("a folder for the test");
        records(&folder, &questions, &course.settings.id);
        let found = files(std::slice::from_ref(&folder), &folder.join("roster")).0;
        let now = "2026-06-01T12:00:00Z".parse().expect("a time");
        let rows = Rows::new(&questions);
        let counted = |pile: Pile| {
            let mut table = Vec::new();
            let crew = pile.count(&rows, &mut table).expect("memory can be written");
            (crew, String::from_utf8(table).expect("text"))
        };
        let (whole, table) = counted(gather(&found, &questions, course, now));
        assert_eq!((whole.people, whole.counted, whole.answers, whole.repeated), (30, 30, 360, 1));
        assert_eq!(whole.refused.len(), 1);
        assert!(table.lines().count() == 31 && !whole.same.is_empty() && whole.items.iter().any(|item| item.n > 0.0));
        for (held, kept) in [(0, usize::MAX), (usize::MAX, 0), (0, 0), (900, 900)] {
            let answers = Answers::within(kept, &questions);
            let (crew, rows) = counted(gather_within(held, answers, &found, course, now));
            assert_eq!(rows, table, "{held} {kept}");
            assert_eq!((&crew.items, &crew.same, &crew.slips), (&whole.items, &whole.same, &whole.slips));
            assert_eq!((&crew.odd, crew.rows.len()), (&whole.odd, whole.rows.len()));
            assert_eq!(crew.refused, whole.refused);
        }
        fs::remove_dir_all(&folder).expect("the test's folder goes");
    }
}
