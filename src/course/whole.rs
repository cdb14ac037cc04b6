//! The course itself, and what was found wrong with it.

use super::banks::ReadyBank;
use super::examples::{ReadyLesson, system};
use crate::catalogue::{StockCaution, Term};
use crate::load::{Attachment, Bank, CourseFile};
use crate::markdown::Context;
use crate::problem::{Problem, Problems, Source};
use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::sync::Arc;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

/// A course in which everything that its files refer to was found: what [`crate::render`] makes pages of.
///
/// A copy costs little: what is large is shared.
#[derive(Clone, Debug)]
pub struct Course {
    /// `course.yaml`, with its text.
    pub source: Source,
    /// What `course.yaml` says.
    pub settings: CourseFile,
    /// The sentences of the course's language.
    pub phrases: Arc<Phrases>,
    /// The cautions by name, those of the course's own among them.
    pub cautions: Arc<BTreeMap<String, StockCaution>>,
    /// The glossary in alphabetical order.
    pub terms: Arc<Vec<Term>>,
    /// The lessons in the order of the course.
    pub lessons: Vec<Arc<ReadyLesson>>,
    /// Names of lessons that are still being written, and left out.
    pub drafts: BTreeSet<String>,
    /// Names of the course's own banks that only drafts place: they are left out with them.
    pub held_banks: BTreeSet<String>,
    /// Names of the cautions that drafts show.
    pub(super) held_cautions: BTreeSet<String>,
    /// The question banks by name.
    pub banks: Arc<BTreeMap<String, ReadyBank>>,
    /// The same banks as they are written.
    pub bank_files: Arc<BTreeMap<String, Bank>>,
    /// Names of the pictures, `images/gun.png`.
    pub images: Arc<BTreeSet<String>>,
    /// Files that a learner can download.
    pub attachments: Arc<Vec<Attachment>>,
    /// Template parts that replace stock ones.
    pub templates: Arc<BTreeMap<String, Source>>,
    /// Names of all listed lessons that have a file, whether or not it could be read.
    pub lesson_names: Arc<BTreeSet<String>>,
    /// Names of all question banks that have a file, whether or not it could be read.
    pub bank_names: Arc<BTreeSet<String>>,
    /// Names of what can be linked to: terms, cautions, attachments.
    pub(super) names: Arc<Names>,
}

impl Course {
    /// The units shown first.
    pub fn system(&self) -> System {
        system(self.settings.units)
    }

    /// Lets go of the lessons' texts, which no page is made from any more: a course of thousands takes a third less.
    /// Lessons that a copy of this course shares keep theirs.
    pub fn forget_texts(&mut self) {
        for lesson in self.lessons.iter_mut().filter_map(Arc::get_mut) {
            lesson.source.text = Arc::default();
            lesson.body_start = 0;
        }
    }

    /// The course's own banks that no lesson places: each gets its own page.
    pub fn banks_by_themselves(&self) -> impl Iterator<Item = &ReadyBank> {
        let placed = self.banks_placed();
        // A stock bank waits until a lesson places it.
        let stock = |id: &str| crate::catalogue::is_stock("questions", &format!("{id}.yaml"));
        self.banks.values().filter(move |bank| !placed.contains(bank.id.as_str()) && !stock(&bank.id))
    }

    /// Names of the banks that lessons place.
    pub fn banks_placed(&self) -> BTreeSet<&str> {
        self.lessons.iter().flat_map(|lesson| lesson.banks()).collect()
    }

    /// What a lesson may refer to.
    pub(super) fn context(&self) -> Context<'_> {
        Context {
            lessons: &self.lesson_names,
            known_lessons: &self.names.lessons,
            drafts: &self.drafts,
            banks: &self.bank_names,
            cautions: &self.names.cautions,
            own_cautions: &self.names.own_cautions,
            terms: &self.names.terms,
            other_words: &self.names.other_words,
            images: &self.images,
            attachments: &self.names.attachments,
            to_root: "../",
        }
    }
}

/// Names that a lesson may refer to.
#[derive(Debug)]
pub(super) struct Names {
    /// Those of the course's `lesson_names`.
    pub(super) lessons: HashSet<String>,
    pub(super) cautions: BTreeSet<String>,
    /// The course's own among them.
    pub(super) own_cautions: BTreeSet<String>,
    pub(super) terms: BTreeSet<String>,
    /// Other words for a term, as names, with the name of the term.
    pub(super) other_words: BTreeMap<String, String>,
    pub(super) attachments: BTreeSet<String>,
    /// The problem to report for each of the course's own cautions that no lesson shows.
    pub(super) unplaced: Vec<(String, Problem)>,
}

/// Who the pages are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Readers {
    /// Learners: a lesson that is still being written is left out.
    Learners,
    /// The author, who sees drafts as well.
    Author,
}

/// A course, and everything that is wrong with its files.
#[derive(Clone, Debug)]
pub struct Resolved {
    pub(super) course: Course,
    /// Every problem of every file, errors and warnings, sorted by file and place.
    pub problems: Problems,
    /// The same, separated: those that belong to no lesson, and those of each lesson.
    pub(super) general: Arc<Problems>,
    pub(super) of_lessons: Vec<Arc<Problems>>,
}

impl Resolved {
    /// The course, unless an error rules out making pages of it.
    pub fn course(&self) -> Option<&Course> {
        (!self.problems.has_errors()).then_some(&self.course)
    }

    /// The same, for whoever makes pages of it and reads nothing again.
    pub fn into_course(self) -> Option<Course> {
        (!self.problems.has_errors()).then_some(self.course)
    }

    /// The course as far as it could be made out, whatever is wrong with it: for whoever looks for more problems.
    pub fn draft(&self) -> &Course {
        &self.course
    }
}
