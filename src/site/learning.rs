//! The pages for learners: drill, mock exam, progress.

use super::assets::in_script;
use super::fault::Fault;
use super::pages::Pages;
use super::pool::{self, course_digest};
use crate::course::Course;
use serde::Serialize;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::question::topic::Topic;
use tankside_calc::reading::Thing;
use tankside_calc::text::figures::exact;
use tankside_calc::text::json::{Value, map};
use tankside_calc::working::record::System;

#[derive(Serialize)]
struct TopicRow {
    id: &'static str,
    name: String,
}

/// A kind of calculation.
#[derive(Serialize)]
struct KindRow {
    id: &'static str,
    title: String,
}

/// What the exam's template is given.
#[derive(Serialize)]
struct ExamPart {
    items: u32,
    pass_text: String,
    minutes: u32,
    typed: u32,
    reference_sheet: bool,
    calculator: bool,
    /// Whether it asks what no lesson of the course teaches.
    beyond: bool,
    systems: [&'static str; 2],
    json: String,
}

/// The drill.
///
/// # Errors
/// A template that cannot be rendered.
pub(super) fn drill(course: &Course, pages: &Pages) -> Result<String, Fault> {
    let phrases = &course.phrases;
    let name = |topic: &Topic| phrases.get(&format!("learn.topic-{}", topic.id())).to_owned();
    let topics: Vec<TopicRow> = Topic::ALL.iter().map(|topic| TopicRow { id: topic.id(), name: name(topic) }).collect();
    let pool = pool::index(course);
    pages.learner("drill", phrases, |page| {
        page.insert("topics", &topics);
        page.insert("pool", &pool);
    })
}

/// How numbers of the day's log are written in the units of the course.
#[derive(Serialize)]
struct UsualPart {
    rate: String,
    gauge: String,
    area: &'static str,
    volume: &'static str,
}

/// The day's log.
///
/// # Errors
/// A template that cannot be rendered.
pub(super) fn log(course: &Course, pages: &Pages) -> Result<String, Fault> {
    let number = |text: &str| course.phrases.number(text.to_owned());
    let usual = match course.system() {
        System::Us => {
            UsualPart { rate: number("2 gal/1000 ft²"), gauge: number("0.5 gal"), area: "ft²", volume: "gal" }
        }
        System::Metric => UsualPart { rate: number("8 L/100 m²"), gauge: number("2 L"), area: "m²", volume: "L" },
    };
    pages.learner("log", &course.phrases, |page| page.insert("usual", &usual))
}

/// Practice step by step.
///
/// # Errors
/// A template that cannot be rendered.
pub(super) fn steps(course: &Course, pages: &Pages) -> Result<String, Fault> {
    let title = |id: &str| course.phrases.get(&format!("{id}.title")).to_owned();
    let asked = pool::worked_with(course);
    let kinds = CALCULATORS.iter().filter(|calculator| asked.contains(calculator.id));
    let kinds: Vec<KindRow> =
        kinds.map(|calculator| KindRow { id: calculator.id, title: title(calculator.id) }).collect();
    pages.learner("steps", &course.phrases, |page| page.insert("kinds", &kinds))
}

/// Reading practice.
///
/// # Errors
/// A template that cannot be rendered.
pub(super) fn reading(course: &Course, pages: &Pages) -> Result<String, Fault> {
    let title = |thing: &Thing| course.phrases.get(&format!("learn.reading-{}", thing.id())).to_owned();
    let things: Vec<KindRow> = Thing::ALL.iter().map(|thing| KindRow { id: thing.id(), title: title(thing) }).collect();
    pages.learner("reading", &course.phrases, |page| {
        page.insert("things", &things);
        page.insert("units", course.system().id());
    })
}

/// The mock exam, as the course sets it.
///
/// # Errors
/// A template that cannot be rendered.
pub(super) fn exam(course: &Course, pages: &Pages) -> Result<String, Fault> {
    let phrases = &course.phrases;
    let set = &course.settings.exam;
    let weights = Topic::ALL.iter().map(|topic| {
        let weight = set.weight(topic.id()).unwrap_or_else(|| topic.weight_percent());
        Value::List(vec![topic.id().into(), Value::Number(f64::from(weight))])
    });
    let names = Topic::ALL
        .iter()
        .map(|topic| (topic.id().to_owned(), phrases.get(&format!("learn.topic-{}", topic.id())).into()));
    let pass = set.pass_share();
    let json = map(vec![
        ("items", Value::Number(f64::from(set.items()))),
        ("pass", Value::Number(pass)),
        ("minutes", Value::Number(f64::from(set.minutes()))),
        ("typed", Value::Number(f64::from(set.typed()))),
        ("weights", Value::List(weights.collect())),
        ("names", Value::Map(names.collect())),
    ]);
    let part = ExamPart {
        items: set.items(),
        pass_text: phrases.number(format!("{} %", exact(pass * 100.0))),
        minutes: set.minutes(),
        typed: set.typed(),
        reference_sheet: set.reference_sheet.unwrap_or(false),
        calculator: set.calculator.unwrap_or(true),
        beyond: pool::goes_beyond(course),
        systems: course.system().and_other().map(System::id),
        json: in_script(&json.line()),
    };
    pages.learner("exam", phrases, |page| page.insert("exam", &part))
}

/// Who learns here, the record, the certificate, progress as a file.
///
/// # Errors
/// A template that cannot be rendered.
pub(super) fn progress(course: &Course, pages: &Pages) -> Result<String, Fault> {
    let banks = course.banks.values().map(|bank| (bank.id.clone(), bank.title.as_str().into()));
    let titles = CALCULATORS.iter().map(|calculator| {
        let title = super::work::title(calculator, &course.phrases);
        (calculator.id.to_owned(), title.into())
    });
    let json = map(vec![
        ("title", course.settings.title.as_str().into()),
        ("company", course.settings.company.as_str().into()),
        ("digest", course_digest(course).into()),
        ("banks", Value::Map(banks.collect())),
        ("calculators", Value::Map(titles.collect())),
    ]);
    let json = in_script(&json.line());
    pages.learner("progress", &course.phrases, |page| page.insert("progress", &json))
}
