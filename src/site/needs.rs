//! Which scripts a page names in its head. The core and its parts are in none: `templates/fit.js` loads them when a
//! form is first touched or a question first asked.

use crate::course::{ReadyBank, ReadyLesson};
use crate::markdown::{Body, Caution, Insert};
use std::collections::BTreeMap;

/// What a page's scripts are for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Needs {
    /// A form that can be worked, or questions.
    pub(super) computes: bool,
    /// Questions, or what was answered.
    pub(super) asks: bool,
}

impl Needs {
    /// For a page that is only read.
    pub(super) const NOTHING: Needs = Needs { computes: false, asks: false };
    /// For a page with a form: a calculator's, the calibration card's.
    pub(super) const FORM: Needs = Needs { computes: true, asks: false };
    /// For a page that asks questions or shows what was answered.
    pub(super) const QUESTIONS: Needs = Needs { computes: true, asks: true };

    /// For a lesson: for its examples and the banks it places.
    pub(super) fn lesson(lesson: &ReadyLesson, banks: &BTreeMap<String, ReadyBank>) -> Needs {
        let asks = asks(&lesson.body, banks);
        Needs { computes: asks || !lesson.examples.is_empty(), asks }
    }
}

fn asks(body: &Body, banks: &BTreeMap<String, ReadyBank>) -> bool {
    body.holes.iter().any(|hole| match &hole.insert {
        Insert::Questions(placed) => placed.banks().any(|(bank, _)| banks.contains_key(bank)),
        Insert::Caution(Caution::Own { body, .. }) => asks(body, banks),
        _ => false,
    })
}
