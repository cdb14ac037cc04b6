//! What can be asked of a whole course: every question with its topic, and the lesson that teaches it.

use super::assets::in_script;
use super::quoted::quoted;
use super::teaching::{About, Places, Teaching};
use crate::course::ahead::{Ahead, metric_throughout};
use crate::course::offered::may_be_chosen;
use crate::course::{Course, ReadyBank, placed, topic_of};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use tankside_calc::quantity::system::System;
use tankside_calc::question::Question;
use tankside_calc::question::topic::Topic;
use tankside_calc::text::fixed_hash;
use tankside_calc::text::json::Value;

/// Room for what a row of the script has beside a question that is written already.
const ROW: usize = 32;

/// A question that is asked of the whole course.
#[derive(Clone, Copy)]
struct PoolQuestion<'c> {
    bank: &'c ReadyBank,
    index: usize,
}

impl<'c> PoolQuestion<'c> {
    fn ahead(&self) -> Option<&'c Ahead<'static>> {
        self.bank.questions.ahead(self.index)
    }

    /// The question itself, where nothing is known ahead of time.
    fn question(&self) -> &'c Question {
        &self.bank.questions[self.index]
    }

    fn digest(&self) -> &'c str {
        &self.bank.digests[self.index]
    }

    fn about(&self) -> About<'c> {
        self.ahead().map_or_else(|| About::of(self.question()), |ahead| About { asks: ahead.asks, topic: ahead.topic })
    }

    fn is_metric(&self) -> bool {
        self.ahead().map_or_else(
            // Several pages ask, and a draw of each question answers.
            || self.bank.metric.get_or_init(|| self.bank.questions.iter().map(metric_throughout).collect())[self.index],
            |ahead| ahead.metric,
        )
    }

    fn may_be_chosen(&self) -> bool {
        self.ahead().map_or_else(|| may_be_chosen(self.question(), self.digest()), |ahead| ahead.chosen)
    }

    /// As a script carries it, with its topic.
    fn script(&self) -> Cow<'static, str> {
        match self.ahead() {
            Some(ahead) => ahead.script.into(),
            None => {
                let question = self.question();
                in_script(&Question { topic: Some(topic_of(question)), ..question.clone() }.json().line()).into()
            }
        }
    }
}

/// Every question that is asked of the whole course. In a course in US units those of the stock that are metric
/// throughout are not: what a lesson or the company asks stays. (In metric the stock is too small to choose from.)
fn asked(course: &Course) -> impl Iterator<Item = PoolQuestion<'_>> {
    let placed = course.banks_placed();
    let own: BTreeSet<&str> = course.banks_by_themselves().map(|bank| bank.id.as_str()).collect();
    let us = course.system() == System::Us;
    course.banks.values().flat_map(move |bank| {
        let stays = !us || placed.contains(bank.id.as_str()) || own.contains(bank.id.as_str());
        let all = (0..bank.digests.len()).map(move |index| PoolQuestion { bank, index });
        all.filter(move |one| stays || !one.is_metric())
    })
}

/// Whether something is asked that no lesson of the course teaches.
pub(super) fn goes_beyond(course: &Course) -> bool {
    let teaching = Teaching::of(course);
    asked(course).any(|one| teaching.lesson(one.bank, one.about()).is_none())
}

/// The script that gives every question of the course to the pages that ask them: the places of its bank and of the
/// lesson that teaches it, the question, and whether an exam may ask it as a choice.
pub(super) fn script(course: &Course) -> String {
    let teaching = Teaching::of(course);
    let mut places = Places::new(&teaching, "");
    let banks: Vec<&str> = course.banks.keys().map(String::as_str).collect();
    let place: BTreeMap<&str, usize> = banks.iter().enumerate().map(|(index, bank)| (*bank, index)).collect();
    // The stock's questions are written already; the rest of the script is little beside them.
    let written: usize = asked(course).map(|one| ROW + one.ahead().map_or(ROW, |ahead| ahead.script.len())).sum();
    let mut questions = String::with_capacity(written);
    for one in asked(course) {
        let lesson = places.number(one.bank, one.about()).line();
        let (bank, chosen) = (place[one.bank.id.as_str()], u8::from(one.may_be_chosen()));
        questions.push_str(if questions.is_empty() { "[" } else { ",[" });
        questions.push_str(&format!("{bank},{lesson},"));
        questions.push_str(&one.script());
        questions.push_str(&format!(",{chosen}]"));
    }
    let banks = Value::List(banks.into_iter().map(Value::from).collect()).line();
    let (banks, lessons) = (in_script(&banks), in_script(&places.list().line()));
    let parts = [
        "const TANKSIDE_QUESTIONS = {\"banks\":",
        &banks,
        ",\"lessons\":",
        &lessons,
        ",\"questions\":[",
        &questions,
        "]};\n",
    ];
    parts.concat()
}

/// What the drill page knows about each question before loading it: topic, whether a lesson teaches it, digest, and a
/// number for its formula, null for a choice.
pub(super) fn index(course: &Course) -> String {
    let teaching = Teaching::of(course);
    let mut formulas: BTreeMap<&str, usize> = BTreeMap::new();
    let rows = asked(course).map(|one| {
        let about = one.about();
        let taught = if teaching.lesson(one.bank, about).is_some() { 1.0 } else { 0.0 };
        let next = formulas.len();
        let number = (!about.asks.is_empty()).then(|| *formulas.entry(about.asks).or_insert(next));
        let formula = number.map_or(Value::Null, |number| Value::Number(number as f64));
        Value::List(vec![about.topic.id().into(), Value::Number(taught), one.digest().into(), formula])
    });
    in_script(&Value::List(rows.collect()).line())
}

/// The calculators that number questions of the course are worked with.
pub(super) fn worked_with(course: &Course) -> BTreeSet<&str> {
    asked(course).filter_map(|one| one.about().asks.split_once('/').map(|(id, _)| id)).collect()
}

/// What the first page needs to show progress: each lesson's questions, and each topic's, those that a lesson teaches
/// and the others, by digest.
pub(super) fn outline(course: &Course) -> String {
    let digests = |digests: Vec<&str>| {
        let unique: BTreeSet<&str> = digests.into_iter().collect();
        Value::List(unique.into_iter().map(Value::from).collect())
    };
    // A long course has thousands of these: they are written one by one.
    let mut lessons = String::with_capacity(course.lessons.len() * 96);
    for lesson in &course.lessons {
        let banks = placed(lesson).into_iter().filter_map(|bank| course.banks.get(bank));
        let asked: Vec<&str> = banks.flat_map(|bank| &bank.digests).map(String::as_str).collect();
        lessons.push_str(if lessons.is_empty() { "{\"stem\":" } else { ",{\"stem\":" });
        quoted(&lesson.stem, &mut lessons);
        lessons.push_str(",\"title\":");
        quoted(&lesson.header.title, &mut lessons);
        lessons.push_str(",\"digests\":");
        lessons.push_str(&digests(asked).line());
        lessons.push('}');
    }
    let teaching = Teaching::of(course);
    let mut topics: BTreeMap<Topic, [Vec<&str>; 2]> = BTreeMap::new();
    for one in asked(course) {
        let beyond = usize::from(teaching.lesson(one.bank, one.about()).is_none());
        topics.entry(one.about().topic).or_default()[beyond].push(one.digest());
    }
    let row = |(topic, of): (Topic, [Vec<&str>; 2])| {
        Value::List([topic.id().into()].into_iter().chain(of.map(digests)).collect())
    };
    let topics = topics.into_iter().map(row);
    let topics = in_script(&Value::List(topics.collect()).line());
    ["{\"lessons\":[", &lessons, "],\"topics\":", &topics, "}"].concat()
}

/// A digest of the course: its questions and lessons, so that a record says which version it belongs to.
pub(super) fn course_digest(course: &Course) -> String {
    let mut hash = fixed_hash::START;
    let mut take = |text: &str| hash = text.bytes().chain([0]).fold(hash, fixed_hash::with);
    for bank in course.banks.values() {
        take(&bank.id);
        for (index, digest) in bank.digests.iter().enumerate() {
            take(bank.questions.ahead(index).map_or_else(|| bank.questions[index].id.as_str(), |ahead| ahead.id));
            take(digest);
        }
    }
    course.lessons.iter().for_each(|lesson| take(&lesson.stem));
    format!("{hash:016x}")
}
