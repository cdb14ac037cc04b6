//! The slips that a crew made: what they are called, why they are wrong, and which lesson teaches it right.

use super::questions::{LessonRef, Questions};
use super::roster::{Lesson, Roster};
use super::rows::{BAR, names, tenths};
use super::tally::Made;
use serde::Serialize;
use tankside_calc::mistakes::all;
use tankside_calc::working::record::System;

/// A slip as the page lists it.
#[derive(Debug, Serialize)]
pub(super) struct SlipRow {
    name: String,
    why: String,
    people: usize,
    times: u32,
    bar: f64,
    who: String,
    lesson: Option<Lesson>,
    over: bool,
}

/// What a mistake is called: what the page says to whoever makes it.
pub(super) fn slip_name(questions: &Questions, id: &str) -> String {
    // Where the page's words depend on the answer, the roster has words of its own.
    let own = questions.phrases.find(&format!("desk.slip-{id}"));
    own.map_or_else(|| said(questions, id, "did"), str::to_owned)
}

/// A sentence about a mistake: in a metric course the metric one, where there are two.
fn said(questions: &Questions, id: &str, part: &str) -> String {
    let (key, phrases) = (format!("mistake.{id}.{part}"), questions.phrases);
    let metric = (questions.system == System::Metric).then(|| phrases.find(&format!("{key}-metric"))).flatten();
    metric.unwrap_or_else(|| phrases.get(&key)).to_owned()
}

impl<'r> Roster<'r> {
    /// Slips, the most common ones first.
    pub(super) fn slips(&self) -> Vec<(&'static str, &'r Made)> {
        let mut slips: Vec<_> = self.crew.slips.iter().map(|(id, made)| (*id, made)).collect();
        slips.sort_by(|one, other| (other.1.people, other.1.times, one.0).cmp(&(one.1.people, one.1.times, other.0)));
        slips
    }

    /// The lesson on the first calculator in whose working a mistake is made, or where none teaches it that calculator's
    /// own page.
    pub(super) fn lesson_of(&self, id: &str) -> Option<LessonRef> {
        let mistake = all().find(|mistake| mistake.id == id)?;
        let mut places = mistake.places.iter().flat_map(|places| places.iter()).map(|place| place.calculator);
        let lesson = places.clone().find_map(|calculator| self.questions.lesson_on(calculator)).cloned();
        lesson.or_else(|| {
            let id = places.next()?;
            let title = self.phrases.get(&format!("{id}.title")).to_owned();
            Some(LessonRef { title, href: format!("work/{id}.html") })
        })
    }

    /// Slips as the page lists them.
    pub(super) fn slip_rows(&self, site: &str) -> Vec<SlipRow> {
        let slips = self.slips();
        let most = slips.first().map_or(1, |(_, made)| made.people) as f64;
        let row = |(id, made): (&'static str, &Made)| SlipRow {
            name: slip_name(self.questions, id),
            why: said(self.questions, id, "why"),
            people: made.people,
            times: made.times,
            bar: tenths(made.people as f64 / most * BAR),
            who: names(made, self.phrases),
            lesson: self.lesson_of(id).map(|lesson| Roster::linked(lesson, site)),
            over: made.over,
        };
        slips.into_iter().map(row).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::embedded::{CONTENT, DEMO};
    use crate::load::{Layered, Memory};

    #[test]
    fn a_metric_course_reads_of_its_own_units() {
        let resolved = crate::resolve(&Layered(vec![&Memory::of(&DEMO), &Memory::of(&CONTENT)]));
        let mut questions = Questions::of(resolved.course().expect("the demo resolves"));
        let both = |questions: &Questions| {
            [slip_name(questions, "rate-upside-down"), said(questions, "rate-upside-down", "why")].concat()
        };
        let us = both(&questions);
        assert!(us.contains("gallon") && us.contains("square feet"), "{us}");
        questions.system = System::Metric;
        let metric = both(&questions).to_lowercase();
        assert!(metric.contains("liter") && !metric.contains("gallon") && !metric.contains("feet"), "{metric}");
        // What is alike in both is said in both.
        assert_eq!(
            said(&questions, "last-bag-left-off", "why"),
            questions.phrases.get("mistake.last-bag-left-off.why")
        );
    }
}
