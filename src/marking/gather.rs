//! From files of records to a pile of answers that can be counted: every file is read once, and what counting needs of
//! it is kept in a few bytes, so that the same sitting in several files counts once, and a hundred thousand records fit.
//!
//! Beyond [`HELD`], a record is read a second time when it is counted.

use super::answers::{Answers, MarkedAnswers};
use super::copies::{At, Copies, Repeat, RowKey, Shared};
use super::files::{RecordFiles, is_paper};
use super::packed::Packer;
use super::paper;
use super::people::People;
use super::questions::Questions;
use super::record::{self, LARGEST, Record, RecordedAnswer, Refusal, Sitting};
use super::score::Marker;
use super::store::{Place, Store};
use super::unread::{self, UnreadCell, unread};
use crate::course::Course;
use crate::parallel::{in_parallel, threads};
use jiff::Timestamp;
use std::cmp::Reverse;
use std::fs::{self, File};
use std::hash::{BuildHasher, RandomState};
use std::io::Read;
use std::path::{Path, PathBuf};

/// The most that sittings may take, bytes: those of more than 200,000 records of 20 answers.
const HELD: usize = 32 * 1024 * 1024;
/// Files that are read before what they hold is put on the pile, in the order of their names.
const ROUND: usize = 1024;
/// The most records without a seal that are named.
const NAMED: usize = 6;
/// The most pairs of files that differ about a sitting that are named.
const DIFFERING: usize = 100;

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

/// How a sitting counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Counts(u32);

impl Counts {
    /// Not at all: another copy of it does.
    pub(super) const NOT: Counts = Counts(0);
    /// For the person; nobody else had the same questions.
    const ALONE: Counts = Counts(1);

    /// Also among those who had the same questions, by the place of their key.
    fn shared(place: usize) -> Counts {
        Counts(place as u32 + 2)
    }

    /// The place of the key of those who had the same questions.
    pub(super) fn place(self) -> Option<usize> {
        self.0.checked_sub(2).map(|place| place as usize)
    }
}

/// What reading a file gives.
enum ReadFile {
    Refused(String),
    /// What counts of a record, and what is to be said about what does not.
    Record(Box<Contribution>, Option<String>),
    /// The rows of a table, and what is wrong with others.
    Table(Vec<Contribution>, Vec<String>),
}

struct Contribution {
    who: String,
    name: String,
    made: String,
    sittings: Vec<Sat>,
    packed: Vec<u8>,
    /// Whether it would show a change by hand.
    sealed: bool,
    /// Of a row, what it is compared by, its line, and what cannot be read in it.
    row: Option<(RowKey, u64, Vec<UnreadCell>)>,
}

/// A sitting as it is compared with its copies.
#[derive(Clone, Copy)]
struct Sat {
    /// Of the person and the sitting.
    key: u64,
    /// Of the check and its questions; nothing where it does not count.
    same: Option<u64>,
    answers: u32,
    /// Of its answers, so that two copies can be compared; the last bit says that the record is sealed.
    content: u32,
}

/// Every sitting, by number, until it is known which count.
#[derive(Default)]
struct Sittings {
    keys: Vec<u64>,
    /// Of the check and its questions; 0 where it does not count.
    same: Vec<u64>,
    /// Answers, and the unit.
    answers: Vec<u32>,
    content: Vec<u32>,
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
    let (threads, questions, hasher) = (threads(), answers.questions(), RandomState::new());
    let (mut people, mut units, mut held, mut sittings) =
        (People::default(), Vec::new(), Store::default(), Sittings::default());
    let (mut refused, mut tables, mut taken) = (Vec::new(), 0, 0);
    let mut unsealed = (0, Vec::new());
    let (mut copies, mut paper) = (Copies::default(), PaperTold::default());
    let indexes: Vec<u32> = (0..found.len() as u32).collect();
    for round in indexes.chunks(ROUND) {
        let given = in_parallel(round, threads, |file| {
            let path = found.path(*file as usize);
            read(*file, &path, course, now, &answers, &hasher).unwrap_or_else(ReadFile::Refused)
        });
        for (file, given) in round.iter().zip(given) {
            let path = || found.path(*file as usize);
            let (parts, is_row) = match given {
                ReadFile::Refused(why) => {
                    refused.push((path(), why));
                    continue;
                }
                ReadFile::Record(part, ahead) => {
                    refused.extend(ahead.map(|why| (path(), why)));
                    (vec![*part], false)
                }
                ReadFile::Table(rows, faults) => {
                    let (any, whole) = (!rows.is_empty(), faults.is_empty());
                    refused.extend(faults.into_iter().map(|fault| (path(), fault)));
                    let rows = paper.new_rows(*file, rows, &mut copies, found, &mut refused);
                    match (any, rows.is_empty()) {
                        (true, true) if whole => paper.repeated.push(*file),
                        (true, false) => tables += 1,
                        (any, _) => tables += usize::from(!any && whole),
                    }
                    (rows, true)
                }
            };
            for part in parts {
                if !part.sealed {
                    unsealed.0 += 1;
                    unsealed.1.extend((unsealed.1.len() < NAMED).then_some(*file));
                }
                let person = people.meet(&part.who, &part.name, &part.made);
                let first = sittings.keys.len() as u32;
                part.sittings.iter().for_each(|sat| sittings.add(sat));
                // A row is found again only by reading its whole table.
                let is_held = is_row || taken + part.packed.len() <= held_most;
                taken += if is_held { part.packed.len() } else { 0 };
                let held = is_held.then(|| held.keep(&part.packed));
                units.push(Unit { person, file: *file, is_row, first, held });
            }
        }
    }
    drop(indexes);
    let joined = people.join_by_name();
    for unit in units.iter_mut().filter(|_| !joined.is_empty()) {
        unit.person = joined.get(&unit.person).copied().unwrap_or(unit.person);
    }
    paper.shared = copies.shared();
    let (counts, shared, differing) = sittings.settle();
    let file = |sitting: u32| units[units.partition_point(|unit| unit.first <= sitting) - 1].file;
    let differing = differing.into_iter().map(|(kept, other)| (file(kept), file(other))).collect();
    let answers = answers.mark(threads, units.iter().any(|unit| unit.held.is_none()));
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

impl Sittings {
    fn add(&mut self, sat: &Sat) {
        self.keys.push(sat.key);
        self.same.push(sat.same.unwrap_or(0));
        self.answers.push(sat.answers);
        self.content.push(sat.content);
    }

    /// How each sitting counts, the keys of the checks with the same questions that several sat, and sittings of which a
    /// copy is as long but not the same, the one that counts first.
    fn settle(self) -> (Vec<Counts>, Vec<u64>, Vec<(u32, u32)>) {
        let Sittings { keys, same, answers, content } = self;
        let mut order: Vec<u32> = (0..keys.len() as u32).collect();
        // Of two copies the fuller one counts; of equal ones one with a seal, and then the first by name.
        let unsealed = |place: u32| content[place as usize] & 1 == 0;
        let rank = |place: u32| (keys[place as usize], Reverse(answers[place as usize]), unsealed(place), place);
        order.sort_unstable_by_key(|place| rank(*place));
        let mut counts = vec![Counts::NOT; keys.len()];
        let (mut last, mut differing) = (None, Vec::new());
        for place in &order {
            let (at, key) = (*place as usize, keys[*place as usize]);
            match last {
                Some((kept, of)) if of == key => {
                    let differs =
                        answers[at] == answers[kept as usize] && content[at] >> 1 != content[kept as usize] >> 1;
                    differing.extend((differs && differing.len() < DIFFERING).then_some((kept, *place)));
                }
                _ => {
                    last = Some((*place, key));
                    counts[at] = Counts::ALONE;
                }
            }
        }
        let counted = |place: &u32| same[*place as usize] != 0 && counts[*place as usize] != Counts::NOT;
        let mut keys: Vec<u64> = order.into_iter().filter(counted).map(|place| same[place as usize]).collect();
        keys.sort_unstable();
        let mut shared: Vec<u64> = keys.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| pair[0]).collect();
        shared.dedup();
        for (counts, same) in counts.iter_mut().zip(same).filter(|(counts, _)| **counts != Counts::NOT) {
            if let Ok(place) = shared.binary_search(&same) {
                *counts = Counts::shared(place);
            }
        }
        (counts, shared, differing)
    }
}

fn read(
    file: u32,
    path: &Path,
    course: &Course,
    now: Timestamp,
    answers: &Answers,
    hasher: &RandomState,
) -> Result<ReadFile, String> {
    let bytes = bytes(path)?;
    let number = |index: usize, draw: u32, key: &[u8]| answers.number(index, draw, key);
    if is_paper(path) {
        let mut rows = Vec::new();
        let mut marker = Marker::new(answers.questions());
        let faults = paper::sittings(&bytes, course, now, |row, sitting| {
            let mut packer = Packer::default();
            let same = packer.add(sitting, answers.questions(), &number);
            // Which rows are there twice was settled by what is written in them.
            let key = hasher.hash_one((file, rows.len()));
            let sittings = vec![Sat { key, same, answers: sitting.answers.len() as u32, content: 1 }];
            let unread = unread(row, &sitting.answers, path, answers.questions(), &mut marker);
            let row_key = Some((RowKey::of(row, hasher), row.line, unread));
            let (who, name) = (format!("name {}", row.name), row.name.clone());
            let (made, packed) = (String::new(), packer.out);
            rows.push(Contribution { who, name, made, sittings, packed, sealed: true, row: row_key });
        });
        let faults = faults.map_err(|fault| fault.to_string())?;
        return Ok(ReadFile::Table(rows, faults.iter().map(ToString::to_string).collect()));
    }
    let record = record_of(&bytes, course, now)?;
    let who = who(&record, file);
    let mut packer = Packer::default();
    let sealed = record::is_sealed(&bytes);
    let sittings = record.sittings.iter().map(|sitting| Sat {
        key: hasher.hash_one((&who, &*sitting.id)),
        same: packer.add(sitting, answers.questions(), &number),
        answers: sitting.answers.len() as u32,
        content: content(sitting, hasher) & !1 | u32::from(sealed),
    });
    let sittings = sittings.collect();
    let (name, made) = (record.learner.name.trim().to_owned(), record.made.clone().into_owned());
    let part = Contribution { who, name, made, sittings, packed: packer.out, sealed, row: None };
    Ok(ReadFile::Record(Box::new(part), record.ahead.map(|ahead| ahead.to_string())))
}

/// What was answered in a sitting, so that two copies of it can be compared.
fn content(sitting: &Sitting, hasher: &RandomState) -> u32 {
    let of = |answer: &RecordedAnswer| hasher.hash_one((&answer.question, answer.draw, answer.attempt, &answer.answer));
    // A sum, since two tabs may have written the same answers in another order.
    sitting.answers.iter().map(of).fold(0, u64::wrapping_add) as u32
}

fn record_of<'b>(bytes: &'b [u8], course: &Course, now: Timestamp) -> Result<Record<'b>, String> {
    let record = record::read(bytes, now).map_err(|refusal| refusal.to_string())?;
    if record.course.id != course.settings.id {
        return Err(Refusal::OtherCourse(record.course.id.into_owned()).to_string());
    }
    Ok(record)
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

fn bytes(file: &Path) -> Result<Vec<u8>, String> {
    let unreadable = |fault: std::io::Error| Refusal::Unreadable(fault.to_string()).to_string();
    let about = fs::metadata(file).map_err(unreadable)?;
    if !about.is_file() {
        return Err(Refusal::Unreadable("it is not a file".to_owned()).to_string());
    }
    if about.len() > LARGEST {
        return Err(Refusal::TooLarge(about.len()).to_string());
    }
    let mut bytes = Vec::with_capacity(about.len() as usize + 1);
    // A file may grow while it is read; no more than the limit is taken in any case.
    File::open(file).and_then(|open| open.take(LARGEST + 1).read_to_end(&mut bytes)).map_err(unreadable)?;
    Ok(bytes)
}

/// Whose record it is: the random id of a profile, else the name, else somebody known only from this file.
fn who(record: &Record, index: u32) -> String {
    match (record.learner.id.trim(), record.learner.name.trim()) {
        ("", "") => format!("file {index}"),
        ("", name) => format!("name {name}"),
        (id, _) => format!("id {id}"),
    }
}
