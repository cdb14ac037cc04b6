//! Every answer that occurs, once: the same draw of the same question is worked once, and the same answer to it marked
//! once, however many people gave it.
//!
//! While records are read, each answer gets a number within its question. Then all are marked, draw by draw, and whoever
//! counts looks the verdicts up by their numbers.

use super::odd::Like;
use super::questions::Questions;
use super::score::{Drawn, Marked, Marker};
use super::store::Unpack;
use super::tally::Share;
use crate::parallel::in_parallel;
use hashbrown::HashTable;
use std::hash::{BuildHasher, RandomState};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use tankside_calc::mistakes::too_much;
use tankside_calc::question::{Ask, Question};

/// The most that answers may take, bytes: half a year's different answers of a hundred thousand people are a third of
/// it. Of a pile beyond that, hostile ones among them, what does not fit is marked when it is counted.
const MOST: usize = 48 * 1024 * 1024;

/// What one answer takes, besides its text: its entry, its verdict and its place in the table.
const EACH: usize = size_of::<Entry>() + size_of::<PackedMark>() + 8;

/// An answer as whoever counts needs it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Mark {
    /// Whether it is right; of several parts, whether every one is.
    pub(super) right: bool,
    /// The mistake that it shows.
    pub(super) slip: Option<&'static str>,
    /// Whether it would put down too much.
    pub(super) over: bool,
    /// Of an answer that would put down too much, whether its mistake can be shown in a worked example; of a part of a
    /// working, whether it is such an example, with a mistake of the learner's own to find.
    pub(super) find: bool,
    /// Whether it is wrong, and nothing says how much it would put down.
    pub(super) untold: bool,
    /// Whether it cannot be marked as it is written.
    pub(super) unread: bool,
    /// What it is like, where it is wrong and shows no known mistake.
    pub(super) like: Like,
    /// Points earned.
    pub(super) points: Share,
}

impl Mark {
    fn of(marked: &Marked) -> Mark {
        let over = marked.dose.is_some_and(too_much);
        let &Marked { right, slip, untold, shown, unread, like, points, .. } = marked;
        Mark { right, slip, over, find: shown, untold, unread, like, points }
    }
}

/// An answer of a question that occurs.
#[derive(Debug)]
struct Entry {
    draw: u32,
    /// Where its part and its text begin, with their lengths in front.
    at: u32,
}

/// A verdict: the mistake by its place among those of the question, counted from 1.
#[derive(Clone, Copy, Debug)]
struct PackedMark {
    slip: u16,
    like: Like,
    flags: u8,
    points: (u8, u8),
}

impl PackedMark {
    const RIGHT: u8 = 1;
    const OVER: u8 = 2;
    const UNTOLD: u8 = 4;
    const UNREAD: u8 = 8;
    const FIND: u8 = 16;

    fn of(mark: &Mark, slip: u16) -> PackedMark {
        let flag = |is: bool, flag: u8| if is { flag } else { 0 };
        let flags = flag(mark.right, PackedMark::RIGHT)
            | flag(mark.over, PackedMark::OVER)
            | flag(mark.untold, PackedMark::UNTOLD)
            | flag(mark.unread, PackedMark::UNREAD)
            | flag(mark.find, PackedMark::FIND);
        PackedMark { slip, like: mark.like, flags, points: (mark.points.right as u8, mark.points.of as u8) }
    }

    fn mark(self, slip: Option<&'static str>) -> Mark {
        let is = |flag: u8| self.flags & flag != 0;
        let points = Share { right: u32::from(self.points.0), of: u32::from(self.points.1) };
        let (right, over, find) = (is(PackedMark::RIGHT), is(PackedMark::OVER), is(PackedMark::FIND));
        let (untold, unread, like) = (is(PackedMark::UNTOLD), is(PackedMark::UNREAD), self.like);
        Mark { right, slip, over, find, untold, unread, like, points }
    }
}

/// The answers to one question.
#[derive(Debug, Default)]
struct Sheet {
    table: HashTable<u32>,
    entries: Vec<Entry>,
    texts: Vec<u8>,
    marks: Vec<PackedMark>,
    slips: Vec<&'static str>,
}

/// All answers that occur, by question.
#[derive(Debug)]
pub(super) struct Answers<'c> {
    questions: &'c Questions<'c>,
    sheets: Vec<Mutex<Sheet>>,
    hasher: RandomState,
    taken: AtomicUsize,
    most: usize,
}

/// The answers, marked.
#[derive(Debug)]
pub(super) struct MarkedAnswers<'c> {
    questions: &'c Questions<'c>,
    sheets: Vec<Sheet>,
    hasher: RandomState,
}

/// The draw of an answer: a choice is the same at every draw.
pub(super) fn draw_of(question: &Question, draw: u32) -> u32 {
    if question.kind == Ask::Number { draw } else { 0 }
}

impl<'c> Answers<'c> {
    /// No answers yet.
    pub(super) fn new(questions: &'c Questions<'c>) -> Answers<'c> {
        Answers::within(MOST, questions)
    }

    /// No answers yet, and room for so many bytes.
    pub(super) fn within(most: usize, questions: &'c Questions<'c>) -> Answers<'c> {
        let sheets = questions.all.iter().map(|_| Mutex::default()).collect();
        Answers { questions, sheets, hasher: RandomState::new(), taken: AtomicUsize::new(0), most }
    }

    /// The questions that are answered.
    pub(super) fn questions(&self) -> &'c Questions<'c> {
        self.questions
    }

    /// The number of an answer among those to its question; `None` if it is new and there is no more room. The key is
    /// its part and its text with their lengths in front.
    pub(super) fn number(&self, index: usize, draw: u32, key: &[u8]) -> Option<u32> {
        let draw = draw_of(self.questions.all[index].question, draw);
        let hash = self.hasher.hash_one((draw, key));
        // Nothing is left half done by a panic in here.
        let mut sheet = self.sheets[index].lock().unwrap_or_else(PoisonError::into_inner);
        let sheet = &mut *sheet;
        if let Some(known) = sheet.find(hash, draw, key) {
            return Some(known);
        }
        if self.taken.fetch_add(EACH + key.len(), Ordering::Relaxed) > self.most {
            return None;
        }
        let (number, at) = (u32::try_from(sheet.entries.len()).ok()?, u32::try_from(sheet.texts.len()).ok()?);
        sheet.entries.push(Entry { draw, at });
        sheet.texts.extend_from_slice(key);
        let (entries, texts, hasher) = (&sheet.entries, &sheet.texts, &self.hasher);
        sheet.table.insert_unique(hash, number, |known| hash_of(hasher, entries, texts, *known));
        Some(number)
    }

    /// Marks them all, each draw of a question worked once. Unless they will be looked for again, only the verdicts are
    /// kept, and the texts of wrong answers.
    pub(super) fn mark(self, threads: usize, again: bool) -> MarkedAnswers<'c> {
        let Answers { questions, sheets, hasher, .. } = self;
        let indexes: Vec<usize> = (0..sheets.len()).collect();
        in_parallel(&indexes, threads, |index| {
            let mut sheet = sheets[*index].lock().unwrap_or_else(PoisonError::into_inner);
            sheet.mark(questions.all[*index].question, questions);
            if !again {
                sheet.keep_wrong();
            }
        });
        let sheets = sheets.into_iter().map(|sheet| sheet.into_inner().unwrap_or_else(PoisonError::into_inner));
        MarkedAnswers { questions, sheets: sheets.collect(), hasher }
    }
}

fn hash_of(hasher: &RandomState, entries: &[Entry], texts: &[u8], number: u32) -> u64 {
    let Some(entry) = entries.get(number as usize) else { return 0 };
    let rest = texts.get(entry.at as usize..).unwrap_or_default();
    let mut after = Unpack(rest);
    after.bytes();
    after.bytes();
    hasher.hash_one((entry.draw, &rest[..rest.len() - after.0.len()]))
}

impl Sheet {
    fn find(&self, hash: u64, draw: u32, key: &[u8]) -> Option<u32> {
        let same = |number: &u32| {
            self.entries.get(*number as usize).is_some_and(|entry| {
                // A key says how long it is, so that what begins with it is it.
                entry.draw == draw && self.texts.get(entry.at as usize..).is_some_and(|rest| rest.starts_with(key))
            })
        };
        self.table.find(hash, same).copied()
    }

    /// Forgets how answers are found, and the texts of right ones: the roster shows what was wrong.
    fn keep_wrong(&mut self) {
        self.table = HashTable::default();
        let texts = std::mem::take(&mut self.texts);
        for (entry, mark) in self.entries.iter_mut().zip(&self.marks) {
            let rest = texts.get(entry.at as usize..).unwrap_or_default();
            entry.at = self.texts.len() as u32;
            if mark.flags & PackedMark::RIGHT == 0 {
                let mut after = Unpack(rest);
                after.bytes();
                after.bytes();
                self.texts.extend_from_slice(&rest[..rest.len() - after.0.len()]);
            }
        }
        self.texts.shrink_to_fit();
    }

    /// Marks every answer, those to the same draw one after another.
    fn mark(&mut self, question: &Question, questions: &Questions) {
        let mut order: Vec<u32> = (0..self.entries.len() as u32).collect();
        order.sort_unstable_by_key(|number| (self.entries[*number as usize].draw, *number));
        let nothing = PackedMark { flags: 0, slip: 0, like: Like::OTHER, points: (0, 0) };
        self.marks = vec![nothing; order.len()];
        let mut drawn: Option<(u32, Drawn)> = None;
        for number in order {
            let entry = &self.entries[number as usize];
            let drawn = match &mut drawn {
                Some((draw, drawn)) if *draw == entry.draw => drawn,
                other => {
                    let fresh = Drawn::new(question, entry.draw, questions.phrases);
                    &mut other.insert((entry.draw, fresh)).1
                }
            };
            let mut text = Unpack(self.texts.get(entry.at as usize..).unwrap_or_default());
            let mark = mark_of(drawn, text.text(), text.text());
            let slip = mark.slip.map_or(0, |slip| {
                let known = self.slips.iter().position(|known| *known == slip);
                1 + known.unwrap_or_else(|| {
                    self.slips.push(slip);
                    self.slips.len() - 1
                })
            });
            self.marks[number as usize] = PackedMark::of(&mark, slip as u16);
        }
    }
}

/// A part of a question's working is right or wrong, and earns nothing.
fn mark_of(drawn: &Drawn, part: &str, answer: &str) -> Mark {
    if part.is_empty() {
        return Mark::of(&drawn.mark(answer));
    }
    let right = drawn.part(part, answer);
    let find = part.strip_prefix("slip-").is_some_and(|rest| rest.contains('-'));
    let (like, points) = (Like::OTHER, Share::default());
    Mark { right, slip: None, over: false, find, untold: false, unread: false, like, points }
}

impl MarkedAnswers<'_> {
    /// The number of an answer, if it has one.
    pub(super) fn number(&self, index: usize, draw: u32, key: &[u8]) -> Option<u32> {
        let draw = draw_of(self.questions.all[index].question, draw);
        self.sheets[index].find(self.hasher.hash_one((draw, key)), draw, key)
    }

    /// The verdict on an answer, by its question and number.
    pub(super) fn get(&self, index: usize, number: u32) -> Mark {
        let sheet = &self.sheets[index];
        let packed = sheet.marks[number as usize];
        let slip = usize::from(packed.slip).checked_sub(1).and_then(|place| sheet.slips.get(place)).copied();
        packed.mark(slip)
    }

    /// The draw of a wrong answer, and its text, by its question and number.
    pub(super) fn wrong(&self, index: usize, number: u32) -> (u32, &str) {
        let sheet = &self.sheets[index];
        let Some(entry) = sheet.entries.get(number as usize) else { return (0, "") };
        let mut rest = Unpack(sheet.texts.get(entry.at as usize..).unwrap_or_default());
        rest.bytes();
        (entry.draw, rest.text())
    }

    /// The verdict on an answer that has no number.
    pub(super) fn now(marker: &mut Marker, index: usize, draw: u32, part: &str, answer: &str) -> Mark {
        mark_of(marker.drawn(index, draw), part, answer)
    }
}
