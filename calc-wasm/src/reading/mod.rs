//! Reading practice: instruments of the job with a level, a hand or an edge drawn by a seed, what somebody read off
//! them, and the problem that is then worked with that reading.
//!
//! A thing is read to the resolution that it allows: within half a mark. Numbers are at every few marks, so that a
//! mark has to be counted and its worth worked out, as on the job.

mod next;

pub use next::next;

use crate::quantity::kind::Kind;
use crate::quantity::order::{order, within};
use crate::quantity::typed::{self, Misread, Typed};
use crate::quantity::unit::{Unit, unit};
use crate::question::chance::Chance;
use crate::question::score::Query;
use crate::text::figures::without_noise;
use crate::working::record::System;

/// An instrument, or what is read like one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thing {
    /// A measuring jug with what was caught.
    Jug,
    /// The sight gauge of a tank.
    Gauge,
    /// A stopwatch with a dial of a minute.
    Watch,
    /// A tape across a wet patch.
    Tape,
    /// A pressure gauge.
    Pressure,
    /// The rates on a label.
    Label,
}

impl Thing {
    /// Every one, in the order in which pages list them.
    pub const ALL: &[Thing] = &[Thing::Jug, Thing::Gauge, Thing::Watch, Thing::Tape, Thing::Pressure, Thing::Label];

    /// Its word in requests and phrases.
    pub fn id(self) -> &'static str {
        match self {
            Thing::Jug => "jug",
            Thing::Gauge => "gauge",
            Thing::Watch => "watch",
            Thing::Tape => "tape",
            Thing::Pressure => "pressure",
            Thing::Label => "label",
        }
    }

    /// The one with this word.
    pub fn of(id: &str) -> Option<Thing> {
        Thing::ALL.iter().copied().find(|thing| thing.id() == id)
    }

    fn kind(self) -> Kind {
        match self {
            Thing::Jug | Thing::Gauge => Kind::Volume,
            Thing::Watch => Kind::Time,
            Thing::Tape => Kind::Length,
            Thing::Pressure => Kind::Pressure,
            Thing::Label => Kind::VolumePerArea,
        }
    }
}

/// Marks and numbers of a scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// What the first mark stands for, in `unit`.
    pub first: f64,
    /// From one mark to the next.
    pub mark: f64,
    /// Marks from one number to the next.
    pub each: u32,
    /// Number of marks after the first.
    pub count: u32,
    /// The unit that is written beside the numbers.
    pub unit: Unit,
}

impl Scale {
    /// The amount a number of marks after the first, in the scale's unit.
    pub fn at(&self, marks: f64) -> f64 {
        without_noise(self.first + self.mark * marks)
    }
}

/// Rates of a label: rows of light, usual and heavy weeds.
pub const ROWS: usize = 3;

/// A thing to read, as a seed drew it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What it is.
    pub thing: Thing,
    /// In which units it is marked.
    pub system: System,
    /// Its scale; of a label that of its rates, which nobody sees.
    pub scale: Scale,
    /// Whole marks after the first that it shows; of a label the row that applies.
    pub mark: u32,
    /// How far beside that mark, as a share of the distance to the next.
    pub beside: f64,
    /// Rates of a label.
    pub rates: [f64; ROWS],
    /// The seed.
    pub seed: u32,
}

/// What a reading that is not right shows.
#[derive(Clone, Debug, PartialEq)]
pub enum Missed {
    /// So many marks too high, or too low where it is below zero.
    Marks(i32),
    /// Every small mark was taken for this much, in the scale's unit.
    Worth(f64),
    /// Of a label: the rate of another row.
    Row(usize),
    /// Nowhere near.
    Far,
}

/// What a reading comes to.
#[derive(Debug, PartialEq)]
pub enum Read {
    /// Right to what the thing allows.
    Right(Typed),
    /// Not right.
    Missed(Missed),
    /// Something has to be asked first.
    Ask(Query),
}

/// The thing and the units that a training record means by a question and its digest: `reading/jug`, `reading-us`.
pub fn recorded(question: &str, digest: &str) -> Option<(Thing, System)> {
    let thing = question.strip_prefix("reading/").and_then(Thing::of)?;
    match digest {
        "reading-us" => Some((thing, System::Us)),
        "reading-metric" => Some((thing, System::Metric)),
        _ => None,
    }
}

impl Reading {
    /// The thing as a seed draws it.
    pub fn drawn(thing: Thing, system: System, seed: u32) -> Reading {
        let mut chance = Chance::new(u64::from(seed) ^ 0x7265_6164);
        let us = system == System::Us;
        let scale = |first: f64, mark: f64, each: u32, count: u32, unit: Unit| Scale { first, mark, each, count, unit };
        let start = chance.below(4) as f64;
        let scale = match (thing, us) {
            (Thing::Jug, true) => scale(0.0, 2.0, 4, 32, unit!("fl oz")),
            (Thing::Jug, false) => scale(0.0, 50.0, 4, 40, unit!("mL")),
            (Thing::Gauge, true) => scale(0.0, 1.0, 5, 30, unit!("gal")),
            (Thing::Gauge, false) => scale(0.0, 5.0, 4, 24, unit!("L")),
            (Thing::Watch, _) => scale(0.0, 1.0, 5, 60, unit!("s")),
            (Thing::Tape, true) => scale(12.0 * (3.0 + start), 1.0, 12, 24, unit!("in")),
            (Thing::Tape, false) => scale(100.0 + 50.0 * start, 2.0, 5, 25, unit!("cm")),
            (Thing::Pressure, true) => scale(0.0, 2.0, 10, 50, unit!("psi")),
            (Thing::Pressure, false) => scale(0.0, 0.2, 5, 35, unit!("bar")),
            (Thing::Label, true) => scale(0.0, 0.1, 10, 40, unit!("fl oz/1000 ft2")),
            (Thing::Label, false) => scale(0.0, 1.0, 10, 200, unit!("mL/100 m2")),
        };
        // Neither at the ends nor at a number, where there would be nothing to count.
        let (low, high) = if thing == Thing::Tape { (3, scale.count - 3) } else { (scale.count / 4, scale.count - 3) };
        let mut mark = low + chance.below((high - low) as usize) as u32;
        if mark.is_multiple_of(scale.each) {
            mark += 1;
        }
        let beside = [0.0, 0.0, 0.25, -0.25][chance.below(4)];
        let beside = if matches!(thing, Thing::Watch | Thing::Label) { 0.0 } else { beside };
        let mut rates = [0.0; ROWS];
        if thing == Thing::Label {
            let step = if us { 0.1 } else { 3.0 };
            let lowest = if us { 0.5 } else { 15.0 } + step * chance.below(5) as f64;
            for (row, rate) in rates.iter_mut().enumerate() {
                *rate = without_noise(lowest + step * (3 * row + chance.below(2)) as f64);
            }
            mark = chance.below(ROWS) as u32;
        }
        Reading { thing, system, scale, mark, beside, rates, seed }
    }

    /// What it shows, in the scale's unit.
    pub fn level(&self) -> f64 {
        match self.thing {
            Thing::Label => self.rates[self.mark as usize % ROWS],
            _ => self.scale.at(f64::from(self.mark) + self.beside),
        }
    }

    /// What is read off it: the nearest mark, in the scale's unit.
    pub fn nearest(&self) -> f64 {
        match self.thing {
            Thing::Label => self.level(),
            _ => self.scale.at(f64::from(self.mark)),
        }
    }

    /// Marks after the number below.
    pub fn above(&self) -> u32 {
        self.mark % self.scale.each
    }

    /// The number below, in the scale's unit.
    pub fn number_below(&self) -> f64 {
        self.scale.at(f64::from(self.mark - self.above()))
    }

    /// The unit of the scale.
    pub fn unit(&self) -> Unit {
        self.scale.unit
    }

    /// What somebody read, as typed.
    pub fn judge(&self, text: &str) -> Read {
        let text = text.trim();
        if text.is_empty() {
            return Read::Ask(Query::Empty);
        }
        let kind = self.thing.kind();
        let typed = match typed::read(text, kind, None) {
            Ok(typed) => typed,
            Err(Misread::UnitMissing) => return Read::Ask(Query::Unit(text.to_owned(), kind)),
            Err(Misread::UnitUnknown(_)) => return Read::Ask(Query::UnitUnknown(kind)),
            Err(Misread::Ounces) => return Read::Ask(Query::Ounces),
            Err(Misread::WrongKind(unit)) => return Read::Ask(Query::Kind(Kind::of(&unit), kind)),
            Err(Misread::Comma) => return Read::Ask(Query::comma(text)),
            Err(_) => return Read::Ask(Query::Number),
        };
        let value = without_noise(typed.si / self.unit().size());
        if self.thing == Thing::Label {
            let same = |rate: f64| order(value, rate).is_eq();
            if same(self.level()) {
                return Read::Right(typed);
            }
            let row = self.rates.iter().position(|rate| same(*rate));
            return Read::Missed(row.map_or(Missed::Far, Missed::Row));
        }
        let mark = self.scale.mark;
        if within(value, self.level(), 0.5 * mark) {
            return Read::Right(typed);
        }
        Read::Missed(self.missed(value))
    }

    fn missed(&self, value: f64) -> Missed {
        let (mark, above) = (self.scale.mark, f64::from(self.above()));
        // A tenth of the way to the next number, or one of the unit, is what a small mark is most often taken for.
        let habit = [1.0, f64::from(self.scale.each) * mark / 10.0];
        let taken = |worth: f64| order(value, self.number_below() + worth * above).is_eq();
        let worth = habit.into_iter().find(|worth| order(*worth, mark).is_ne() && taken(*worth));
        let marks = (value - self.nearest()) / mark;
        let whole = if marks < 0.0 { (marks - 0.5) as i32 } else { (marks + 0.5) as i32 };
        match worth {
            // One mark away is more likely counted wrongly than valued wrongly.
            Some(worth) if whole.abs() != 1 => Missed::Worth(worth),
            _ if whole != 0 && whole.unsigned_abs() < self.scale.each => Missed::Marks(whole),
            _ if whole == 0 => Missed::Marks(if marks < 0.0 { -1 } else { 1 }),
            _ => Missed::Far,
        }
    }
}

#[cfg(test)]
mod tests;
