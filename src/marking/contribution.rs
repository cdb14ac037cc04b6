//! One file read: what a record or a table of answers from paper brings to the pile, or why it is not counted.

use super::answers::Answers;
use super::copies::RowKey;
use super::files::is_paper;
use super::packed::Packer;
use super::paper;
use super::record::{self, LARGEST};
use super::recorded::{Record, RecordedAnswer, Sitting};
use super::refusal::Refusal;
use super::score::Marker;
use super::sittings::Sat;
use super::unread::{UnreadCell, unread};
use crate::course::Course;
use jiff::Timestamp;
use std::fs::{self, File};
use std::hash::{BuildHasher, RandomState};
use std::io::Read;
use std::path::Path;

/// What reading a file gives.
pub(super) enum ReadFile {
    Refused(String),
    /// What counts of a record, and what is to be said about what does not.
    Record(Box<Contribution>, Option<String>),
    /// The rows of a table, and what is wrong with others.
    Table(Vec<Contribution>, Vec<String>),
}

/// A record, or a row of a table.
pub(super) struct Contribution {
    pub(super) who: String,
    pub(super) name: String,
    pub(super) made: String,
    pub(super) sittings: Vec<Sat>,
    pub(super) packed: Vec<u8>,
    /// Whether it would show a change by hand.
    pub(super) sealed: bool,
    /// Of a row, what it is compared by, its line, and what cannot be read in it.
    pub(super) row: Option<(RowKey, u64, Vec<UnreadCell>)>,
}

/// Reads a file.
///
/// # Errors
/// Why it is not counted.
pub(super) fn read(
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

pub(super) fn record_of<'b>(bytes: &'b [u8], course: &Course, now: Timestamp) -> Result<Record<'b>, String> {
    let record = record::read(bytes, now).map_err(|refusal| refusal.to_string())?;
    if record.course.id != course.settings.id {
        return Err(Refusal::OtherCourse(record.course.id.into_owned()).to_string());
    }
    Ok(record)
}

pub(super) fn bytes(file: &Path) -> Result<Vec<u8>, String> {
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
