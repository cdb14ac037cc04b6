//! From files of records to a pile of answers that can be counted: every file is read once, and what counting needs of
//! it is kept in a few bytes, so that the same sitting in several files counts once, and a hundred thousand records fit.
//!
//! Beyond [`HELD`], a record is read a second time when it is counted.

use super::answers::{Answers, MarkedAnswers};
use super::contribution::{Contribution, ReadFile, bytes, read, record_of};
use super::copies::{At, Copies, Repeat, Shared};
use super::files::RecordFiles;
use super::packed::Packer;
use super::people::People;
use super::questions::Questions;
use super::refusal::Refusal;
use super::sittings::{Counts, Sittings};
use super::store::{Place, Store};
use super::unread::{self, UnreadCell};
use crate::course::Course;
use crate::parallel::{in_parallel, threads};
use jiff::Timestamp;
use std::hash::RandomState;
use std::path::PathBuf;

/// The most that sittings may take, bytes: those of more than 200,000 records of 20 answers.
const HELD: usize = 32 * 1024 * 1024;
/// Files that are read before what they hold is put on the pile, in the order of their names.
const ROUND: usize = 1024;
/// The most records without a seal that are named.
const NAMED: usize = 6;

/// What all the files hold, ready to be counted.
#[derive(Debug)]
pub struct Pile<'c> {
    pub(super) questions: &'c Questions<'c>,
    pub(super) course: &'c Course,
    pub(super) found: &'c RecordFiles,
    pub(super) now: Timestamp,
    pub(super) people: People,
    pub(super) answers: MarkedAnswers<'c>,
    pub(super) units: Vec<Unit>,
    pub(super) held: Store,
    /// How each sitting counts.
    pub(super) counts: Vec<Counts>,
    /// Keys of the checks with the same questions that several sat, in order.
    pub(super) shared: Vec<u64>,
    /// Files that are not counted, and why.
    pub(super) refused: Vec<(PathBuf, String)>,
    /// Tables of answers from paper that are counted.
    pub(super) tables: usize,
    /// What else there is to say about the paper.
    pub(super) paper: PaperTold,
    /// Records without a seal: how many, and the first of them.
    pub(super) unsealed: (usize, Vec<u32>),
    /// Files that hold the same sitting with as many answers, but others: the one that counts first.
    pub(super) differing: Vec<(u32, u32)>,
}

/// What there is to say about tables of answers that are counted.
#[derive(Debug, Default)]
pub(super) struct PaperTold {
    /// Cells that cannot be marked as they are written, the first of them, and how many more there are.
    pub(super) unread: Vec<UnreadCell>,
    pub(super) unread_more: usize,
    /// Rows that are there twice: each of them, and where it was first.
    pub(super) twice: Vec<At>,
    /// Copies under several names.
    pub(super) shared: Vec<Shared>,
    /// Tables whose rows are all in another one.
    pub(super) repeated: Vec<u32>,
}

/// A record, or a row of a table: some sittings of one person.
#[derive(Debug)]
pub(super) struct Unit {
    /// Whose it is.
    pub(super) person: u32,
    /// The file, and whether it is a table.
    pub(super) file: u32,
    pub(super) is_row: bool,
    /// Its first sitting; the others follow, up to the first of the next unit.
    pub(super) first: u32,
    /// What it holds; nothing where it has to be read again.
    pub(super) held: Option<Place>,
}

/// Reads all files and marks every answer in them; a file that cannot be counted does not stop the others.
pub fn gather<'c>(
    found: &'c RecordFiles,
    questions: &'c Questions<'c>,
    course: &'c Course,
    now: Timestamp,
) -> Pile<'c> {
    gather_within(HELD, Answers::new(questions), found, course, now)
}

pub(super) fn gather_within<'c>(
    held_most: usize,
    answers: Answers<'c>,
    found: &'c RecordFiles,
    course: &'c Course,
    now: Timestamp,
) -> Pile<'c> {
    let (threads, hasher) = (threads(), RandomState::new());
    let mut gathering = Gathering { held_most, ..Gathering::default() };
    let indexes: Vec<u32> = (0..found.len() as u32).collect();
    for round in indexes.chunks(ROUND) {
        let given = in_parallel(round, threads, |file| {
            let path = found.path(*file as usize);
            read(*file, &path, course, now, &answers, &hasher).unwrap_or_else(ReadFile::Refused)
        });
        for (file, given) in round.iter().zip(given) {
            gathering.file(*file, given, found);
        }
    }
    drop(indexes);
    gathering.pile(answers, found, course, now)
}

/// A pile while files are put on it, in the order of their names.
#[derive(Default)]
struct Gathering {
    people: People,
    units: Vec<Unit>,
    held: Store,
    /// Bytes that sittings of records take, and how many they may.
    taken: usize,
    held_most: usize,
    sittings: Sittings,
    refused: Vec<(PathBuf, String)>,
    tables: usize,
    unsealed: (usize, Vec<u32>),
    copies: Copies,
    paper: PaperTold,
}

impl Gathering {
    /// Puts on it what a file gave.
    fn file(&mut self, file: u32, given: ReadFile, found: &RecordFiles) {
        let path = || found.path(file as usize);
        match given {
            ReadFile::Refused(why) => self.refused.push((path(), why)),
            ReadFile::Record(part, ahead) => {
                self.refused.extend(ahead.map(|why| (path(), why)));
                self.unit(file, &part, false);
            }
            ReadFile::Table(rows, faults) => {
                let (any, whole) = (!rows.is_empty(), faults.is_empty());
                self.refused.extend(faults.into_iter().map(|fault| (path(), fault)));
                let rows = self.paper.new_rows(file, rows, &mut self.copies, found, &mut self.refused);
                match (any, rows.is_empty()) {
                    (true, true) if whole => self.paper.repeated.push(file),
                    (true, false) => self.tables += 1,
                    (any, _) => self.tables += usize::from(!any && whole),
                }
                rows.iter().for_each(|row| self.unit(file, row, true));
            }
        }
    }

    /// Puts on it a record, or a row of a table.
    fn unit(&mut self, file: u32, part: &Contribution, is_row: bool) {
        if !part.sealed {
            let (count, first) = &mut self.unsealed;
            *count += 1;
            first.extend((first.len() < NAMED).then_some(file));
        }
        let person = self.people.meet(&part.who, &part.name, &part.made);
        let first = self.sittings.len() as u32;
        part.sittings.iter().for_each(|sat| self.sittings.add(sat));
        // A row is found again only by reading its whole table.
        let is_held = is_row || self.taken + part.packed.len() <= self.held_most;
        self.taken += if is_held { part.packed.len() } else { 0 };
        let held = is_held.then(|| self.held.keep(&part.packed));
        self.units.push(Unit { person, file, is_row, first, held });
    }

    /// The pile, once everything is on it: people joined, sittings compared, answers marked.
    fn pile<'c>(self, answers: Answers<'c>, found: &'c RecordFiles, course: &'c Course, now: Timestamp) -> Pile<'c> {
        let Gathering { mut people, mut units, held, sittings, refused, tables, unsealed, copies, mut paper, .. } =
            self;
        let joined = people.join_by_name();
        for unit in units.iter_mut().filter(|_| !joined.is_empty()) {
            unit.person = joined.get(&unit.person).copied().unwrap_or(unit.person);
        }
        paper.shared = copies.shared();
        let (counts, shared, differing) = sittings.settle();
        let file = |sitting: u32| units[units.partition_point(|unit| unit.first <= sitting) - 1].file;
        let differing = differing.into_iter().map(|(kept, other)| (file(kept), file(other))).collect();
        let questions = answers.questions();
        let answers = answers.mark(threads(), units.iter().any(|unit| unit.held.is_none()));
        Pile {
            questions,
            course,
            found,
            now,
            people,
            answers,
            units,
            held,
            counts,
            shared,
            refused,
            tables,
            paper,
            unsealed,
            differing,
        }
    }
}

impl PaperTold {
    /// The rows of a table that were not there before; what is to be said about the others, and about what cannot be
    /// read, is noted.
    fn new_rows(
        &mut self,
        file: u32,
        rows: Vec<Contribution>,
        copies: &mut Copies,
        found: &RecordFiles,
        refused: &mut Vec<(PathBuf, String)>,
    ) -> Vec<Contribution> {
        let (mut fresh, mut twice) = (Vec::with_capacity(rows.len()), Vec::new());
        let all = rows.len();
        for mut part in rows {
            let Some((key, line, unread)) = part.row.take() else { continue };
            let at = At { file, line };
            match copies.take(&key, at) {
                Repeat::New => {
                    let room = unread::KEPT.saturating_sub(self.unread.len());
                    self.unread_more += unread.len().saturating_sub(room);
                    self.unread.extend(unread.into_iter().take(room));
                    fresh.push(part);
                }
                Repeat::Again => twice.push(at),
                Repeat::Differs(first) => {
                    let place = if first.file == file {
                        format!("line {}", first.line)
                    } else {
                        format!("{}, line {}", found.path(first.file as usize).display(), first.line)
                    };
                    let why = format!(
                        "line {line}: {} has other answers to this copy in {place}, and those count; delete the wrong row",
                        part.name
                    );
                    refused.push((found.path(file as usize), why));
                }
            }
        }
        // Of a table that is there twice as a whole, the file is named and not its rows.
        if twice.len() < all {
            self.twice.extend(twice);
        }
        fresh
    }
}

impl Pile<'_> {
    /// What a record holds, read again.
    ///
    /// # Errors
    /// Why it cannot be read any more.
    pub(super) fn again(&self, unit: &Unit, sittings: usize) -> Result<Vec<u8>, String> {
        let bytes = bytes(&self.found.path(unit.file as usize))?;
        let record = record_of(&bytes, self.course, self.now)?;
        if record.sittings.len() != sittings {
            return Err(Refusal::Unreadable("it was changed meanwhile".to_owned()).to_string());
        }
        let mut packer = Packer::default();
        for sitting in &record.sittings {
            packer.add(sitting, self.questions, &|index, draw, key| self.answers.number(index, draw, key));
        }
        Ok(packer.out)
    }
}
