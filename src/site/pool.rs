//! What can be asked of a whole course: every question with its topic, and the lesson that teaches it.

use super::assets::in_script;
use crate::course::{Course, ReadyBank, ReadyLesson};
use crate::markdown::{Body, Caution, Part};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use tankside_calc::question::Question;
use tankside_calc::question::topic::Topic;
use tankside_calc::text::fixed_hash;
use tankside_calc::text::json::{Value, map};

/// Names of the banks that a lesson places.
pub(super) fn placed(lesson: &ReadyLesson) -> BTreeSet<&str> {
    let mut banks = BTreeSet::new();
    within(&lesson.body, &mut banks);
    banks
}

fn within<'l>(body: &'l Body, banks: &mut BTreeSet<&'l str>) {
    for hole in &body.holes {
        match &hole.part {
            Part::Questions(placed) => {
                banks.insert(placed.bank.as_str());
            }
            Part::Caution(Caution::Own { body, .. }) => within(body, banks),
            _ => {}
        }
    }
}

/// The topic of a question: its author's, or that of the calculator it is worked with.
pub(super) fn topic(question: &Question) -> Topic {
    question.topic.unwrap_or_else(|| match question.asks.split_once('/').map_or("", |(id, _)| id) {
        "unit-conversion" => Topic::Units,
        "lawn-area" => Topic::Area,
        "swath-timing" | "ground-speed" => Topic::Timing,
        "catch-test" => Topic::Output,
        "application-rate" | "boom-output" | "known-area" | "usage-check" => Topic::Rate,
        "tank-mix" | "day-plan" => Topic::Tank,
        "pressure-flow" | "nozzle-wear" => Topic::Adjust,
        "active-ingredient" | "nutrient" | "spreader" | "dilution" => Topic::Active,
        "carrier-volume" => Topic::Carrier,
        _ => Topic::Label,
    })
}

/// The place of the lesson that teaches a question: the one that places its bank, else the first whose examples work
/// with its calculator.
fn taught(course: &Course, bank: &ReadyBank, question: &Question) -> Option<usize> {
    let calculator = question.asks.split_once('/').map_or("", |(id, _)| id);
    let places = |lesson: &Arc<ReadyLesson>| {
        // A check of the whole course teaches nothing by itself.
        placed(lesson).contains(bank.id.as_str()) && !lesson.examples.is_empty()
    };
    let uses = |lesson: &Arc<ReadyLesson>| lesson.examples.values().any(|example| example.calculator.id == calculator);
    course.lessons.iter().position(places).or_else(|| course.lessons.iter().position(uses))
}

/// The script that hands every question of the course to the pages that ask them.
pub(super) fn script(course: &Course) -> String {
    let mut questions = Vec::new();
    let banks: Vec<&ReadyBank> = course.banks.values().collect();
    for (index, bank) in banks.iter().enumerate() {
        for question in &bank.questions {
            let lesson = taught(course, bank, question).map_or(-1.0, |lesson| lesson as f64);
            let json = Question { topic: Some(topic(question)), ..question.clone() }.json();
            questions.push(Value::List(vec![Value::Number(index as f64), Value::Number(lesson), json]));
        }
    }
    let lesson = |lesson: &Arc<ReadyLesson>| {
        let href = format!("lessons/{}.html", lesson.stem);
        Value::List(vec![href.into(), lesson.header.title.as_str().into()])
    };
    let all = map(vec![
        ("banks", Value::List(banks.iter().map(|bank| bank.id.as_str().into()).collect())),
        ("lessons", Value::List(course.lessons.iter().map(lesson).collect())),
        ("questions", Value::List(questions)),
    ]);
    format!("const TANKSIDE_QUESTIONS = {};\n", in_script(&all.line()))
}

/// What the first page shows progress by: each lesson's questions, and each topic's, by digest.
pub(super) fn outline(course: &Course) -> String {
    let digests = |questions: Vec<&Question>| {
        let unique: BTreeSet<String> = questions.into_iter().map(Question::digest).collect();
        Value::List(unique.into_iter().map(Value::from).collect())
    };
    let lesson = |lesson: &Arc<ReadyLesson>| {
        let banks = placed(lesson).into_iter().filter_map(|bank| course.banks.get(bank));
        map(vec![
            ("stem", lesson.stem.as_str().into()),
            ("title", lesson.header.title.as_str().into()),
            ("digests", digests(banks.flat_map(|bank| &bank.questions).collect())),
        ])
    };
    let mut topics: BTreeMap<Topic, Vec<&Question>> = BTreeMap::new();
    for question in course.banks.values().flat_map(|bank| &bank.questions) {
        topics.entry(topic(question)).or_default().push(question);
    }
    let topics = topics.into_iter().map(|(topic, of)| Value::List(vec![topic.id().into(), digests(of)]));
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
        bank.questions.iter().for_each(|question| {
            take(&question.id);
            take(&question.digest());
        });
    }
    course.lessons.iter().for_each(|lesson| take(&lesson.stem));
    format!("{hash:016x}")
}
