//! What of the core a page loads: nothing, the core alone, or parts of it as well.

use crate::course::{ReadyBank, ReadyLesson};
use crate::markdown::{Body, Caution, Part};
use std::collections::{BTreeMap, BTreeSet};
use tankside_calc::registry::IN_CORE;

/// The parts a page loads beside the core; `None` where it computes nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Needs(pub(super) Option<BTreeSet<&'static str>>);

/// Calculators that are not in the core.
const MORE: &str = "more";
/// Questions, known mistakes and marking.
const PRACTICE: &str = "practice";
/// The calibration card.
const CARD: &str = "card";

impl Needs {
    /// Of a page that computes nothing.
    pub(super) fn nothing() -> Needs {
        Needs(None)
    }

    /// Of the page of a calculator.
    pub(super) fn calculator(id: &str) -> Needs {
        let mut needs = Needs::nothing();
        needs.works(id);
        needs
    }

    /// Of the page of a bank.
    pub(super) fn bank(bank: &ReadyBank) -> Needs {
        let mut needs = Needs::nothing();
        needs.asks(bank);
        needs
    }

    /// Of the page of the calibration card.
    pub(super) fn card() -> Needs {
        Needs(Some(BTreeSet::from([CARD])))
    }

    /// Of a lesson: of its examples and of the banks it places.
    pub(super) fn lesson(lesson: &ReadyLesson, banks: &BTreeMap<String, ReadyBank>) -> Needs {
        let mut needs = Needs::nothing();
        for example in lesson.examples.values() {
            needs.works(example.calculator.id);
        }
        needs.placed(&lesson.body, banks);
        needs
    }

    fn placed(&mut self, body: &Body, banks: &BTreeMap<String, ReadyBank>) {
        for hole in &body.holes {
            match &hole.part {
                Part::Questions(placed) => {
                    if let Some(bank) = banks.get(&placed.bank) {
                        self.asks(bank);
                    }
                }
                Part::Caution(Caution::Own { body, .. }) => self.placed(body, banks),
                _ => {}
            }
        }
    }

    fn works(&mut self, calculator: &str) {
        let parts = self.0.get_or_insert_default();
        if !IN_CORE.contains(&calculator) {
            parts.insert(MORE);
        }
    }

    fn asks(&mut self, bank: &ReadyBank) {
        self.0.get_or_insert_default().insert(PRACTICE);
        for question in &bank.questions {
            if let Some((calculator, _)) = question.asks.split_once('/') {
                self.works(calculator);
            }
        }
    }
}
