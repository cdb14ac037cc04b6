//! Lessons that are still being written, and what is left out with them.

use super::whole::Course;
use crate::load::Lesson;
use crate::markdown::{Caution, Insert, Text, render};
use crate::problem::Problems;
use std::collections::BTreeSet;
use std::sync::Arc;

impl Course {
    /// Leaves out lessons that are still being written: they are known as drafts, and nothing may link to them.
    pub(super) fn leave_out(&mut self, drafts: &[Lesson]) {
        self.drafts = drafts.iter().map(|lesson| lesson.stem.clone()).collect();
        // Nobody else has the names yet.
        if let (Some(lessons), Some(names)) = (Arc::get_mut(&mut self.lesson_names), Arc::get_mut(&mut self.names)) {
            lessons.retain(|stem| !self.drafts.contains(stem));
            names.lessons.retain(|stem| !self.drafts.contains(stem));
        }
    }
}

/// Takes the course's own banks out that only drafts place, and remembers the cautions that drafts show.
pub(super) fn hold_back(drafts: &[Lesson], course: &mut Course) {
    let (mut placed, mut shown) = (BTreeSet::new(), BTreeSet::new());
    for draft in drafts {
        let text = Text { stem: &draft.stem, source: &draft.source, start: draft.body_start };
        // What is wrong with a draft is reported once it is no longer a draft.
        let body = render(text, &course.context(), &mut Problems::new());
        for hole in &body.holes {
            match &hole.insert {
                Insert::Questions(questions) => placed.extend(questions.banks().map(|(bank, _)| bank.to_owned())),
                Insert::Caution(Caution::Stock { id, .. }) => _ = shown.insert(id.clone()),
                _ => {}
            }
        }
    }
    course.held_cautions = shown;
    let own: BTreeSet<String> = course.banks_by_themselves().map(|bank| bank.id.clone()).collect();
    course.held_banks = placed.intersection(&own).cloned().collect();
    // Nobody else has the banks yet.
    if let Some(banks) = Arc::get_mut(&mut course.banks) {
        banks.retain(|name, _| !course.held_banks.contains(name));
    }
}
