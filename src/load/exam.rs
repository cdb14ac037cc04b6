//! What a course sets for its mock exam.

use crate::problem::{Problems, code};
use crate::yaml::Document;
use serde::Deserialize;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::question::topic::Topic;

/// `exam:` of `course.yaml`; what is left out is the usual.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct ExamFile {
    /// How many questions.
    pub items: Option<u32>,
    /// Share of right answers to pass, as written: `70 %`.
    pub pass: Option<String>,
    /// Minutes; 0 for no clock.
    pub minutes: Option<u32>,
    /// How many answers are typed at least.
    pub typed: Option<u32>,
    /// Whether a sheet of constants is at hand.
    pub reference_sheet: Option<bool>,
    /// Whether a calculator of four functions is at hand.
    pub calculator: Option<bool>,
    /// Share of each topic; topics left out keep the usual one.
    pub weights: Option<Weights>,
}

/// Weights by the word of their topic.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[allow(missing_docs, reason = "described at the topics of the core")]
pub struct Weights {
    pub units: Option<u32>,
    pub area: Option<u32>,
    pub timing: Option<u32>,
    pub output: Option<u32>,
    pub rate: Option<u32>,
    pub tank: Option<u32>,
    pub adjust: Option<u32>,
    pub active: Option<u32>,
    pub carrier: Option<u32>,
    pub label: Option<u32>,
}

impl Weights {
    /// The weight of a topic, where one is set.
    fn of(&self, topic: Topic) -> Option<u32> {
        match topic {
            Topic::Units => self.units,
            Topic::Area => self.area,
            Topic::Timing => self.timing,
            Topic::Output => self.output,
            Topic::Rate => self.rate,
            Topic::Tank => self.tank,
            Topic::Adjust => self.adjust,
            Topic::Active => self.active,
            Topic::Carrier => self.carrier,
            Topic::Label => self.label,
        }
    }
}

/// Questions of an exam at most, and minutes.
const MOST_ITEMS: u32 = 100;
const MOST_MINUTES: u32 = 600;

/// Says what no exam can be.
pub(super) fn check_exam(document: &Document, exam: &ExamFile, problems: &mut Problems) {
    let mut out_of_range = |key: &str, number: Option<u32>, low: u32, high: u32| {
        if let Some(number) = number.filter(|number| !(low..=high).contains(number)) {
            let title = format!("a whole number from {low} to {high} is expected for `{key}`, and this is {number}");
            let problem = document.problem(code::EXAM_RANGE, title, &format!("exam.{key}"));
            problems.push(problem.help(format!("write `{key}: {}`", number.clamp(low, high))));
        }
    };
    out_of_range("items", exam.items, 1, MOST_ITEMS);
    out_of_range("typed", exam.typed, 0, exam.items());
    out_of_range("minutes", exam.minutes, 0, MOST_MINUTES);
    if exam.pass.is_some() && exam.pass_read().is_none() {
        let title = "a share from above 0 to 100 % is expected for `pass`";
        problems.push(document.problem(code::PASS_NOT_A_SHARE, title, "exam.pass").help("write `pass: 70 %`"));
    }
}

impl ExamFile {
    /// How many questions: 25 unless set.
    pub fn items(&self) -> u32 {
        self.items.unwrap_or(25).clamp(1, MOST_ITEMS)
    }

    /// Share of right answers to pass: 70 % unless set.
    pub fn pass_share(&self) -> f64 {
        self.pass_read().unwrap_or(0.7)
    }

    fn pass_read(&self) -> Option<f64> {
        let read = typed::read(self.pass.as_deref()?, Kind::Share, None).ok()?.si;
        (0.0 < read && read <= 1.0).then_some(read)
    }

    /// Minutes: 60 unless set; 0 for no clock.
    pub fn minutes(&self) -> u32 {
        self.minutes.unwrap_or(60).min(MOST_MINUTES)
    }

    /// How many answers are typed at least: about a third unless set.
    pub fn typed(&self) -> u32 {
        self.typed.unwrap_or(self.items() * 8 / 25).min(self.items())
    }

    /// The weight of a topic, where one is set.
    pub fn weight(&self, topic: Topic) -> Option<u32> {
        self.weights.as_ref()?.of(topic).map(|weight| weight.min(10_000))
    }
}
