//! What a course sets for its mock exam.

use serde::Deserialize;
use std::collections::BTreeMap;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;

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
    /// Share of each topic, by its word; topics left out keep the usual one.
    pub weights: Option<BTreeMap<String, u32>>,
}

impl ExamFile {
    /// How many questions: 25 unless set.
    pub fn items(&self) -> u32 {
        self.items.unwrap_or(25).clamp(1, 100)
    }

    /// Share of right answers to pass: 70 % unless set.
    pub fn pass_share(&self) -> f64 {
        let read = |text: &str| typed::read(text, Kind::Share, None).ok().map(|typed| typed.si);
        self.pass.as_deref().and_then(read).filter(|share| 0.0 < *share && *share <= 1.0).unwrap_or(0.7)
    }

    /// Minutes: 60 unless set; 0 for no clock.
    pub fn minutes(&self) -> u32 {
        self.minutes.unwrap_or(60).min(600)
    }

    /// How many answers are typed at least: about a third unless set.
    pub fn typed(&self) -> u32 {
        self.typed.unwrap_or(self.items() * 8 / 25).min(self.items())
    }

    /// The weight of a topic, where one is set.
    pub fn weight(&self, topic: &str) -> Option<u32> {
        self.weights.as_ref()?.get(topic).map(|weight| (*weight).min(10_000))
    }
}
