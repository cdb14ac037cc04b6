//! What a course sets for its mock exam.

use crate::notation::percent_meant;
use crate::problem::{Problem, Problems, code, offer};
use crate::yaml::{Document, Node};
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::question::topic::Topic;

/// `exam:` of `course.yaml`; what is left out has its usual value.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct ExamFile {
    /// How many questions.
    #[schemars(range(min = 1, max = MOST_ITEMS))]
    pub items: Option<u32>,
    /// Share of right answers to pass, as written: `70 %`.
    #[schemars(default, schema_with = "super::schema::share")]
    pub pass: Option<String>,
    /// Minutes; 0 for no clock.
    #[schemars(range(max = MOST_MINUTES))]
    pub minutes: Option<u32>,
    /// The least number of answers that are typed.
    pub typed: Option<u32>,
    /// Whether a sheet of constants is available.
    pub reference_sheet: Option<bool>,
    /// Whether a four-function calculator is available.
    pub calculator: Option<bool>,
    /// Share of each topic, by its word; topics left out keep the usual one.
    #[schemars(default, schema_with = "super::schema::weights")]
    pub weights: Option<BTreeMap<String, u32>>,
}

/// Checks what a course sets for its exam: nothing in it is silently ignored.
pub(super) fn check_exam(document: &Document, exam: &ExamFile, problems: &mut Problems) {
    let topics = || Topic::ALL.iter().map(|topic| topic.id());
    for entry in document.root().get("exam").and_then(|exam| exam.get("weights")).map_or(&[][..], Node::entries) {
        if !topics().any(|topic| topic == entry.key) {
            let title = format!("there is no topic `{}`", entry.key);
            let mut problem = Problem::new(code::UNKNOWN_KEY, title, "").at(document.source(), entry.key_span.clone());
            problem.help = offer(&entry.key, topics());
            problems.push(problem);
        }
    }
    let nothing = exam.weights.as_ref().is_some_and(|set| topics().all(|topic| set.get(topic) == Some(&0)));
    if nothing {
        let title = "every topic has the weight 0, so an exam would ask nothing";
        let help = "give at least one topic a number above 0, or leave it out for its usual share";
        problems.push(document.problem(code::WRONG_VALUE, title, "exam.weights").help(help));
    }
    check_typed(document, exam, problems);
    if let Some(pass) = &exam.pass
        && share(pass).is_none()
    {
        let title = format!("a percentage above 0 and up to 100 % is expected, and this is `{pass}`");
        problems.push(
            document
                .problem(code::PASS_NOT_A_SHARE, title, "exam.pass")
                .help(format!("write `pass: {}`", percent_meant(pass, "70 %"))),
        );
    }
    for (key, written, least, most) in
        [("items", exam.items, 1, MOST_ITEMS), ("minutes", exam.minutes, 0, MOST_MINUTES)]
    {
        if let Some(number) = written.filter(|number| !(least..=most).contains(number)) {
            let title = format!("a number from {least} to {most} is expected, and this is {number}");
            let help = format!("write `{key}: {}`, or another number within", number.clamp(least, most));
            problems.push(document.problem(code::WRONG_VALUE, title, &format!("exam.{key}")).help(help));
        }
    }
}

/// Of an exam with fewer questions than answers to type, neither number could be kept.
fn check_typed(document: &Document, exam: &ExamFile, problems: &mut Problems) {
    let items = exam.items();
    if let Some(typed) = exam.typed.filter(|typed| *typed > items) {
        let title = format!("{typed} answers are to be typed, and the exam has {items} questions");
        let help = format!("write `typed: {items}`, or a smaller number");
        problems.push(document.problem(code::WRONG_VALUE, title, "exam.typed").help(help));
    }
}

/// Most questions of an exam.
const MOST_ITEMS: u32 = 100;
/// Most minutes of one.
const MOST_MINUTES: u32 = 600;

/// A share above 0, up to 1.
fn share(text: &str) -> Option<f64> {
    let read = typed::read(text, Kind::Share, None).ok().map(|typed| typed.si);
    read.filter(|share| 0.0 < *share && *share <= 1.0)
}

impl ExamFile {
    /// How many questions: 25 unless set.
    pub fn items(&self) -> u32 {
        self.items.unwrap_or(25).clamp(1, MOST_ITEMS)
    }

    /// Share of right answers to pass: 70 % unless set.
    pub fn pass_share(&self) -> f64 {
        self.pass.as_deref().and_then(share).unwrap_or(0.7)
    }

    /// Minutes: 60 unless set; 0 for no clock.
    pub fn minutes(&self) -> u32 {
        self.minutes.unwrap_or(60).min(MOST_MINUTES)
    }

    /// The least number of answers that are typed: about a third unless set.
    pub fn typed(&self) -> u32 {
        self.typed.unwrap_or(self.items() * 8 / 25).min(self.items())
    }

    /// The weight of a topic, where one is set.
    pub fn weight(&self, topic: &str) -> Option<u32> {
        self.weights.as_ref()?.get(topic).map(|weight| (*weight).min(10_000))
    }
}
