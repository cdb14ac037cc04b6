//! Which lesson teaches a calculation: shared by the pages, which link to it, and by the roster.

use super::{Course, ReadyLesson};
use crate::markdown::{Body, Caution, Insert};
use std::collections::{BTreeMap, BTreeSet};

/// Names of the banks that a lesson places.
pub(crate) fn placed(lesson: &ReadyLesson) -> BTreeSet<&str> {
    let mut banks = BTreeSet::new();
    within(&lesson.body, false, &mut banks);
    banks
}

/// Names of the banks that a lesson teaches: a check that counts, in a lesson without an example, only asks.
pub(crate) fn practiced(lesson: &ReadyLesson) -> BTreeSet<&str> {
    let mut banks = BTreeSet::new();
    within(&lesson.body, lesson.examples.is_empty(), &mut banks);
    banks
}

fn within<'l>(body: &'l Body, practice: bool, banks: &mut BTreeSet<&'l str>) {
    for hole in &body.holes {
        match &hole.insert {
            Insert::Questions(placed) if !(practice && placed.counts) => {
                banks.extend(placed.banks().map(|(bank, _)| bank));
            }
            Insert::Caution(Caution::Own { body, .. }) => within(body, practice, banks),
            _ => {}
        }
    }
}

/// By calculator, the place of the lesson that teaches it: the first that works with it and asks about it as well, else
/// the first that works with it. An introduction that shows everything once teaches little of it.
pub(crate) fn lessons_by_calculator(course: &Course) -> BTreeMap<&'static str, usize> {
    let (mut shown, mut asked) = (BTreeMap::new(), BTreeMap::new());
    for (place, lesson) in course.lessons.iter().enumerate().filter(|(_, lesson)| !lesson.examples.is_empty()) {
        let banks = placed(lesson);
        let questions: Vec<&str> = banks
            .iter()
            .filter_map(|bank| course.banks.get(*bank))
            .flat_map(|bank| &bank.questions)
            .filter_map(|question| Some(question.asks.split_once('/')?.0))
            .collect();
        for example in lesson.examples.values() {
            let id = example.calculator.id;
            shown.entry(id).or_insert(place);
            if questions.contains(&id) {
                asked.entry(id).or_insert(place);
            }
        }
    }
    shown.extend(asked);
    shown
}
