//! What can be asked of a whole course: every question with its topic, and the lesson that teaches it.

use super::assets::in_script;
use super::teaching::{Places, Teaching};
use crate::course::offered::may_be_chosen;
use crate::course::{Course, ReadyBank, ReadyLesson, placed, topic_of as topic};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use tankside_calc::quantity::system::System;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::topic::Topic;
use tankside_calc::question::{Ask, Question};
use tankside_calc::text::fixed_hash;
use tankside_calc::text::json::{Value, map};

/// Every question that is asked of the whole course, with its bank and its digest. In a course in US units those of the stock that are
/// metric throughout are not: what a lesson or the company asks stays. (In metric the stock is too small to choose
/// from.)
fn asked(course: &Course) -> impl Iterator<Item = (&ReadyBank, &Question, &str)> {
    let placed = course.banks_placed();
    let own: BTreeSet<&str> = course.banks_by_themselves().map(|bank| bank.id.as_str()).collect();
    let us = course.system() == System::Us;
    course.banks.values().flat_map(move |bank| {
        let chosen = placed.contains(bank.id.as_str()) || own.contains(bank.id.as_str());
        // Several pages ask, and a draw of each question answers.
        let metric = || bank.metric.get_or_init(|| bank.questions.iter().map(metric_throughout).collect());
        let left_out = if chosen || !us { &[][..] } else { metric() };
        let all = bank.questions.iter().zip(&bank.digests).enumerate();
        let all = all.filter(|(index, _)| !left_out.get(*index).copied().unwrap_or_default());
        all.map(move |(_, (one, digest))| (bank, one, digest.as_str()))
    })
}

/// Whether every amount of a number question, and its answer, is in metric units; what has none of either is not.
fn metric_throughout(question: &Question) -> bool {
    if question.kind != Ask::Number {
        return false;
    }
    let sided = |unit: &Unit| unit.dim().length != 0 || unit.dim().mass != 0 || unit.dim().volume != 0;
    // Most say in which unit they are answered, and need not be drawn.
    if Unit::parse(&question.answer_in).is_some_and(|unit| sided(&unit) && unit.is_us()) {
        return false;
    }
    question.draw(0).is_ok_and(|posed| posed.right_working().is_metric(&posed.unit))
}

/// Whether something is asked that no lesson of the course teaches.
pub(super) fn goes_beyond(course: &Course) -> bool {
    let teaching = Teaching::of(course);
    asked(course).any(|(bank, question, _)| teaching.lesson(bank, question).is_none())
}

/// The script that gives every question of the course to the pages that ask them: the places of its bank and of the
/// lesson that teaches it, the question, and whether an exam may ask it as a choice.
pub(super) fn script(course: &Course) -> String {
    let teaching = Teaching::of(course);
    let mut places = Places::new(&teaching, "");
    let mut questions = Vec::new();
    let banks: Vec<&ReadyBank> = course.banks.values().collect();
    let place: BTreeMap<&str, usize> =
        banks.iter().enumerate().map(|(index, bank)| (bank.id.as_str(), index)).collect();
    for (bank, question, digest) in asked(course) {
        let lesson = places.number(bank, question);
        let json = Question { topic: Some(topic(question)), ..question.clone() }.json();
        let bank = Value::Number(place[bank.id.as_str()] as f64);
        let chosen = if may_be_chosen(question, digest) { 1.0 } else { 0.0 };
        questions.push(Value::List(vec![bank, lesson, json, Value::Number(chosen)]));
    }
    let all = map(vec![
        ("banks", Value::List(banks.iter().map(|bank| bank.id.as_str().into()).collect())),
        ("lessons", places.list()),
        ("questions", Value::List(questions)),
    ]);
    format!("const TANKSIDE_QUESTIONS = {};\n", in_script(&all.line()))
}

/// What the drill page knows about each question before loading it: topic, whether a lesson teaches it, digest, and a
/// number for its formula, null for a choice.
pub(super) fn index(course: &Course) -> String {
    let teaching = Teaching::of(course);
    let mut formulas: BTreeMap<&str, usize> = BTreeMap::new();
    let rows = asked(course).map(|(bank, question, digest)| {
        let taught = if teaching.lesson(bank, question).is_some() { 1.0 } else { 0.0 };
        let next = formulas.len();
        let number = (question.kind == Ask::Number).then(|| *formulas.entry(&question.asks).or_insert(next));
        let formula = number.map_or(Value::Null, |number| Value::Number(number as f64));
        Value::List(vec![topic(question).id().into(), Value::Number(taught), digest.into(), formula])
    });
    in_script(&Value::List(rows.collect()).line())
}

/// The calculators that number questions of the course are worked with.
pub(super) fn worked_with(course: &Course) -> BTreeSet<&str> {
    asked(course).filter_map(|(_, question, _)| question.asks.split_once('/').map(|(id, _)| id)).collect()
}

/// What the first page needs to show progress: each lesson's questions, and each topic's, those that a lesson teaches
/// and the others, by digest.
pub(super) fn outline(course: &Course) -> String {
    let digests = |digests: Vec<&str>| {
        let unique: BTreeSet<&str> = digests.into_iter().collect();
        Value::List(unique.into_iter().map(Value::from).collect())
    };
    let lesson = |lesson: &Arc<ReadyLesson>| {
        let banks = placed(lesson).into_iter().filter_map(|bank| course.banks.get(bank));
        let unique: BTreeSet<&str> = banks.flat_map(|bank| &bank.digests).map(String::as_str).collect();
        map(vec![
            ("stem", lesson.stem.as_str().into()),
            ("title", lesson.header.title.as_str().into()),
            ("digests", Value::List(unique.into_iter().map(Value::from).collect())),
        ])
    };
    let teaching = Teaching::of(course);
    let mut topics: BTreeMap<Topic, [Vec<&str>; 2]> = BTreeMap::new();
    for (bank, question, digest) in asked(course) {
        let beyond = usize::from(teaching.lesson(bank, question).is_none());
        topics.entry(topic(question)).or_default()[beyond].push(digest);
    }
    let row = |(topic, of): (Topic, [Vec<&str>; 2])| {
        Value::List([topic.id().into()].into_iter().chain(of.map(digests)).collect())
    };
    let topics = topics.into_iter().map(row);
    in_script(
        &map(vec![
            ("lessons", Value::List(course.lessons.iter().map(lesson).collect())),
            ("topics", Value::List(topics.collect())),
        ])
        .line(),
    )
}

/// A digest of the course: its questions and lessons, so that a record says which version it belongs to.
pub(super) fn course_digest(course: &Course) -> String {
    let mut hash = fixed_hash::START;
    let mut take = |text: &str| hash = text.bytes().chain([0]).fold(hash, fixed_hash::with);
    for bank in course.banks.values() {
        take(&bank.id);
        bank.questions.iter().zip(&bank.digests).for_each(|(question, digest)| {
            take(&question.id);
            take(digest);
        });
    }
    course.lessons.iter().for_each(|lesson| take(&lesson.stem));
    format!("{hash:016x}")
}
