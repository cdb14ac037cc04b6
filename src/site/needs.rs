//! What of the core a page loads: nothing, the core alone, or parts of it as well.

use crate::course::{ReadyBank, ReadyLesson};
use crate::markdown::{Body, Caution, Part};
use std::collections::{BTreeMap, BTreeSet};
use tankside_calc::calculators::registry::calculator;

/// The parts a page loads beside the core; `None` where it computes nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Needs(pub(super) Option<BTreeSet<&'static str>>);

/// Form and answer of a worked example.
const SHEET: &str = "sheet";
/// Questions, known mistakes and marking.
const PRACTICE: &str = "practice";
/// Words of the mistakes that are known of a calculator; phrases only.
const MISTAKES: &str = "mistakes-";
/// The calibration card.
const CARD: &str = "card";
/// The day's log as a control chart.
const LOG: &str = "log";
/// Instruments to read.
const READING: &str = "reading";
/// What is learned, what comes back, what is asked next.
const LEARNING: &str = "learning";

impl Needs {
    /// The scripts of phrases beside those of every page, by name.
    pub(super) fn phrases(&self) -> Vec<String> {
        let parts: Vec<&str> = self.0.iter().flatten().copied().collect();
        let mut names: Vec<String> = parts.iter().map(|part| (*part).to_owned()).collect();
        if parts.contains(&PRACTICE) {
            let calculators = parts.iter().filter(|part| calculator(part).is_some());
            names.extend(calculators.map(|id| format!("{MISTAKES}{id}")));
        }
        names
    }

    /// Of a page that computes nothing.
    pub(super) fn nothing() -> Needs {
        Needs(None)
    }

    /// Of the page of a calculator.
    pub(super) fn calculator(id: &'static str) -> Needs {
        Needs(Some(BTreeSet::from([SHEET, id])))
    }

    /// Of the page of a bank.
    pub(super) fn bank(bank: &ReadyBank) -> Needs {
        let mut needs = Needs::nothing();
        needs.asks(bank);
        needs
    }

    /// Of a page that asks from every bank: calculators are loaded when a question needs them.
    pub(super) fn every_bank() -> Needs {
        Needs(Some(BTreeSet::from([PRACTICE, LEARNING])))
    }

    /// Of the reading practice: calculators are loaded when a reading is worked with.
    pub(super) fn reading() -> Needs {
        Needs(Some(BTreeSet::from([PRACTICE, READING])))
    }

    /// Of the day's log, which asks nothing but shows what is kept in the words of the pages that ask.
    pub(super) fn log() -> Needs {
        Needs(Some(BTreeSet::from([PRACTICE, LOG])))
    }

    /// Of the page of the calibration card.
    pub(super) fn card() -> Needs {
        Needs(Some(BTreeSet::from([SHEET, CARD])))
    }

    /// Of a lesson: of its examples and of the banks it places.
    pub(super) fn lesson(lesson: &ReadyLesson, banks: &BTreeMap<String, ReadyBank>) -> Needs {
        let mut needs = Needs::nothing();
        for example in lesson.examples.values() {
            needs.0.get_or_insert_default().extend([SHEET, example.calculator.id]);
        }
        needs.placed(&lesson.body, banks);
        needs
    }

    fn placed(&mut self, body: &Body, banks: &BTreeMap<String, ReadyBank>) {
        for hole in &body.holes {
            match &hole.part {
                Part::Questions(placed) => {
                    placed.banks().filter_map(|(bank, _)| banks.get(bank)).for_each(|bank| self.asks(bank));
                }
                Part::Caution(Caution::Own { body, .. }) => self.placed(body, banks),
                _ => {}
            }
        }
    }

    fn asks(&mut self, bank: &ReadyBank) {
        let parts = self.0.get_or_insert_default();
        // What follows from the answers is worked out after the last one: that part is loaded then.
        parts.insert(PRACTICE);
        let asked = bank.questions.iter().filter_map(|question| question.asks.split_once('/'));
        parts.extend(asked.filter_map(|(id, _)| Some(calculator(id)?.id)));
    }
}
