//! What a proofreader would mark in a course that can be published: one reading, all problems, nothing changed.
//!
//! Every rule is an entry of the registry of problems; the readers here only find the places.

mod amounts;
mod colliding;
mod courses;
mod heads;
mod lessons;
mod maxima;
mod numbers;
mod options;
mod prose;
mod questions;
mod report;

pub use report::{json, sarif};

use crate::course::limits::{self, LimitWords};
use crate::course::{Course, ReadyLesson};
use crate::parallel::{for_each, threads};
use crate::problem::Problem;
use crate::problem::{Problems, Rule, Severity, Source, code};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// Reads a whole course and marks what could be better in it.
///
/// Works on a course with errors too; what could not be read is skipped.
pub fn proof(course: &Course) -> Problems {
    let mut marks = Marks(Problems::new());
    courses::read(course, &mut marks);
    let words = LimitWords::of(&course.phrases);
    let texts: Vec<prose::Text> = course.lessons.iter().map(|lesson| prose::Text::of(lesson)).collect();
    for (lesson, text) in course.lessons.iter().zip(&texts) {
        lessons::read(course, lesson, text, &mut marks);
        numbers::read(lesson, text, &words, &mut marks);
    }
    lessons::compare(course, &texts, &mut marks);
    questions::read(course, &mut marks);
    marks.0.sort();
    marks.0
}

/// Of all that [`proof`] marks, what must not slip by when a course is published unread, by the stem of its lesson: a
/// maximum in a lesson's words that its example is above.
pub fn dangers(course: &Course) -> BTreeMap<String, Problems> {
    let words = LimitWords::of(&course.phrases);
    // Nearly all have let go of their texts, for nothing in them names a maximum.
    let read: Vec<&ReadyLesson> =
        course.lessons.iter().map(|lesson| &**lesson).filter(|lesson| may_be_over(lesson)).collect();
    let found = for_each(&read, threads(), |lesson| Some((lesson.stem.clone(), in_words(lesson, &words)?)));
    found.into_iter().collect()
}

/// The same for one lesson; `None` if there is nothing.
pub fn dangers_of(course: &Course, lesson: &ReadyLesson) -> Option<Problems> {
    in_words(lesson, &LimitWords::of(&course.phrases))
}

/// Whether there is a text, and an example that it could contradict.
fn may_be_over(lesson: &ReadyLesson) -> bool {
    !lesson.examples.is_empty() && !lesson.source.text.is_empty()
}

fn in_words(lesson: &ReadyLesson, words: &LimitWords) -> Option<Problems> {
    let body = lesson.source.text.get(lesson.body_start..).unwrap_or_default();
    if !may_be_over(lesson) || !limits::may_limit(body, words) {
        return None;
    }
    let mut marks = Marks(Problems::new());
    maxima::over_limits(lesson, &prose::Text::of(lesson), words, &mut marks);
    Some(marks.0).filter(|found| !found.is_empty())
}

/// What is missing, or too short, as far as could be read.
const ABSENT: &[&Rule] = &[
    code::CONTACT_MISSING,
    code::COURSE_SUMMARY_MISSING,
    code::LESSON_EMPTY,
    code::LESSON_WITHOUT_CAUTION,
    code::MINUTES_MISSING,
    code::MINUTES_SHORT,
];

/// The marks without those that only follow from an error: where a file could not be read whole, nothing is missing from
/// it, and a value that could not be read is not too small.
pub fn without_knock_ons(marks: Problems, errors: &Problems) -> Problems {
    let mut kept = Problems::new();
    // A lesson that could not be read, or is not listed under its name, may be the one that shows a picture; a picture
    // that is broken has been reported as that.
    let in_doubt = errors.iter().any(|error| {
        let lesson = error.file.starts_with("lessons/")
            && (error.severity == Severity::Error || error.code == code::LESSON_UNLISTED.code);
        let logo = error.code == code::IMAGE_MISSING.code && &*error.file == "course.yaml";
        lesson || logo || error.code == code::LESSON_MISSING.code || error.code == code::NAME_FORM.code
    });
    let unsure = |mark: &Problem| {
        mark.code == code::IMAGE_UNUSED.code && (in_doubt || errors.iter().any(|error| error.file == mark.file))
    };
    // What is known of the errors of a file: whether one of them hides text, and the lines they are on.
    let mut files: BTreeMap<&str, (bool, BTreeSet<usize>)> = BTreeMap::new();
    for error in errors.iter().filter(|error| error.severity == Severity::Error) {
        let (hides, lines) = files.entry(&error.file).or_default();
        *hides |= code::rule(error.code).is_some_and(Rule::hides_text);
        lines.extend(error.line_column().map(|(line, _)| line));
    }
    let follows = |mark: &Problem| {
        let on_line = |lines: &BTreeSet<usize>| mark.line_column().is_some_and(|(line, _)| lines.contains(&line));
        files.get(&*mark.file).is_some_and(|(hides, lines)| *hides || on_line(lines))
    };
    let no_language = errors.iter().any(|error| error.code == code::LANGUAGE_UNKNOWN.code);
    let other_language = |mark: &Problem| no_language && mark.code == code::UNTRANSLATED.code;
    kept.extend(marks.into_iter().filter(|mark| {
        !(unsure(mark) || other_language(mark) || ABSENT.iter().any(|rule| rule.code == mark.code) && follows(mark))
    }));
    kept
}

/// What has been marked so far.
struct Marks(Problems);

impl Marks {
    fn at(&mut self, rule: &'static Rule, source: &Source, place: Range<usize>, title: String, help: String) {
        self.0.push(Problem::new(rule, title, "").at(source, place).help(help));
    }

    fn file(&mut self, rule: &'static Rule, file: &str, title: String, help: String) {
        self.0.push(Problem::new(rule, title, file.to_owned()).help(help));
    }
}
