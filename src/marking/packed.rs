//! A sitting in a few bytes: what counting needs of it, with its answers by number.

use super::questions::Questions;
use super::recorded::{Sitting, SittingKind};
use super::store::{Unpack, put, put_text};
use super::tally::Share;
use jiff::Timestamp;
use std::fmt::Write;
use tankside_calc::reading::{Read, Reading, recorded};
use tankside_calc::text::fixed_hash;

/// Flags of a sitting.
const COUNTS: u64 = 1;
const DRILL: u64 = 2;
/// Flags of an answer, in front of its number.
const FIRST: u64 = 1;
const PART: u64 = 2;
const WRITTEN_OUT: u64 = 4;
const FLAGS: u32 = 3;

/// The number of an answer, from its question, its draw, and its part and text with their lengths in front.
pub(super) type Numbers<'n> = dyn Fn(usize, u32, &[u8]) -> Option<u32> + 'n;

/// Packs sittings one after another.
#[derive(Debug, Default)]
pub(super) struct Packer {
    /// Everything packed so far.
    pub(super) out: Vec<u8>,
    answers: Vec<u8>,
    key: Vec<u8>,
    asked: Vec<usize>,
    which: String,
}

impl Packer {
    /// Adds a sitting. `number` gives the number of an answer; an answer without one is written out.
    ///
    /// Returns a key of the questions that were asked, where the sitting counts: the same for all who sat the same
    /// check with the same questions.
    pub(super) fn add(&mut self, sitting: &Sitting, questions: &Questions, number: &Numbers) -> Option<u64> {
        self.answers.clear();
        self.asked.clear();
        let (mut changed, mut count, mut read) = (0, 0, Share::default());
        for answer in &sitting.answers {
            // An instrument is in no bank: its seed alone draws it.
            if let Some((thing, system)) = recorded(&answer.question, &answer.digest) {
                if answer.attempt == 1 {
                    let reading = Reading::drawn(thing, system, answer.draw);
                    let verdict = reading.judge(&questions.phrases.answered(&answer.answer));
                    read.add(matches!(verdict, Read::Right(_)));
                }
                continue;
            }
            let Some(index) = questions.find(&answer.question, &answer.digest) else {
                changed += 1;
                continue;
            };
            count += 1;
            let (is_first, is_part) = (answer.attempt == 1, !answer.part.is_empty());
            if is_first && !is_part {
                self.asked.push(index);
            }
            let flags = if is_first { FIRST } else { 0 } | if is_part { PART } else { 0 };
            self.key.clear();
            put_text(&mut self.key, &answer.part);
            put_text(&mut self.key, &answer.answer);
            put(&mut self.answers, index as u64);
            match number(index, answer.draw, &self.key) {
                Some(number) => put(&mut self.answers, u64::from(number) << FLAGS | flags),
                None => {
                    put(&mut self.answers, u64::from(answer.draw) << FLAGS | flags | WRITTEN_OUT);
                    self.answers.extend_from_slice(&self.key);
                }
            }
        }
        let counts = sitting.kind.counts() && !sitting.ended.is_empty();
        let drill = sitting.kind == SittingKind::Drill;
        put(&mut self.out, if counts { COUNTS } else { 0 } | if drill { DRILL } else { 0 });
        // No page writes a time before 1970.
        let begun = sitting.begun.parse().map_or(0, |begun: Timestamp| begun.as_second().max(0) as u64);
        let [right, of] = [read.right, read.of].map(u64::from);
        [begun, changed, count, right, of].iter().for_each(|number| put(&mut self.out, *number));
        // Its name and time are wanted only where it counts.
        if counts {
            put_text(&mut self.out, &sitting.name);
            put_text(&mut self.out, &sitting.id);
            put_text(&mut self.out, &sitting.ended);
            put_text(&mut self.out, &sitting.code);
        }
        self.out.extend_from_slice(&self.answers);
        counts.then(|| self.same(&sitting.name))
    }

    fn same(&mut self, name: &str) -> u64 {
        self.asked.sort_unstable();
        self.asked.dedup();
        self.which.clear();
        for index in &self.asked {
            // Writing into a text does not fail.
            let _ = write!(self.which, " {index}");
        }
        fixed_hash::of([name, "\u{0}", &self.which].iter().flat_map(|piece| piece.bytes()))
    }
}

/// A sitting that was packed; its answers follow in what it was taken from.
#[derive(Clone, Copy, Debug)]
pub(super) struct PackedSitting<'a> {
    /// Whether it counts toward who is ready.
    pub(super) counts: bool,
    /// Whether it is one of the drill.
    pub(super) drill: bool,
    /// When it began, seconds; 0 where that is not known.
    pub(super) begun: u64,
    /// Answers to questions that have changed or gone.
    pub(super) changed: u64,
    /// Answers that follow.
    pub(super) answers: u64,
    /// First readings of instruments.
    pub(super) read: Share,
    /// Its check or exam; empty where it does not count.
    pub(super) name: &'a str,
    /// Its id; empty where it does not count.
    pub(super) id: &'a str,
    /// When it was handed in; empty where it does not count.
    pub(super) ended: &'a str,
    /// The exam code; empty where it does not count.
    pub(super) code: &'a str,
}

/// An answer that was packed.
#[derive(Clone, Copy, Debug)]
pub(super) struct PackedAnswer<'a> {
    /// The question.
    pub(super) index: usize,
    /// Whether it is the first try.
    pub(super) first: bool,
    /// Whether it answers a part of the question's working.
    pub(super) part: bool,
    /// The answer.
    pub(super) given: GivenAnswer<'a>,
}

/// An answer by its number, or written out.
#[derive(Clone, Copy, Debug)]
pub(super) enum GivenAnswer<'a> {
    Numbered(u32),
    /// Draw, part and text.
    Written(u32, &'a str, &'a str),
}

impl<'a> PackedSitting<'a> {
    /// The next sitting.
    pub(super) fn next(from: &mut Unpack<'a>) -> PackedSitting<'a> {
        let (flags, begun) = (from.number(), from.number());
        let (changed, answers) = (from.number(), from.number());
        let read = Share { right: from.number() as u32, of: from.number() as u32 };
        let (counts, drill) = (flags & COUNTS != 0, flags & DRILL != 0);
        let mut text = || if counts { from.text() } else { "" };
        let (name, id, ended, code) = (text(), text(), text(), text());
        PackedSitting { counts, drill, begun, changed, answers, read, name, id, ended, code }
    }
}

impl<'a> PackedAnswer<'a> {
    /// The next answer of a sitting.
    pub(super) fn next(from: &mut Unpack<'a>) -> PackedAnswer<'a> {
        let (index, head) = (from.number() as usize, from.number());
        let number = (head >> FLAGS) as u32;
        let given = match head & WRITTEN_OUT {
            0 => GivenAnswer::Numbered(number),
            _ => GivenAnswer::Written(number, from.text(), from.text()),
        };
        PackedAnswer { index, first: head & FIRST != 0, part: head & PART != 0, given }
    }
}
