//! Where a learner reads up what a question asks: the lesson that teaches it, or where none does the calculator's own
//! page or the glossary, so that there is always something to read.

use crate::course::{Course, ReadyBank, ReadyLesson, lessons_by_calculator, practiced, topic_of, topic_of_calculator};
use crate::markdown::page_names;
use std::collections::BTreeMap;
use std::sync::Arc;
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::question::Question;
use tankside_calc::question::topic::Topic;
use tankside_calc::text::json::Value;

/// A place to read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Place {
    /// A lesson, by its place in the course.
    Lesson(usize),
    /// A calculator's own page, by its place in the registry.
    Worked(usize),
    /// The glossary.
    Words,
}

/// Which lessons teach what; looked up in one walk through the lessons; there may be thousands.
pub(super) struct Teaching<'c> {
    course: &'c Course,
    by_bank: BTreeMap<&'c str, usize>,
    by_calculator: BTreeMap<&'static str, usize>,
    /// By topic of a choice: a lesson that asks such choices, else one that works with a calculator of the topic.
    by_topic: BTreeMap<Topic, usize>,
}

impl<'c> Teaching<'c> {
    /// The teaching of a course.
    pub(super) fn of(course: &'c Course) -> Self {
        let (mut by_bank, mut by_topic) = (BTreeMap::new(), BTreeMap::new());
        for (place, lesson) in course.lessons.iter().enumerate() {
            for bank in practiced(lesson) {
                by_bank.entry(bank).or_insert(place);
                let choices = course.banks.get(bank).into_iter().flat_map(|bank| &bank.questions);
                for question in choices.filter(|question| question.asks.is_empty()) {
                    by_topic.entry(topic_of(question)).or_insert(place);
                }
            }
        }
        let by_calculator = lessons_by_calculator(course);
        for (id, place) in &by_calculator {
            if let Some(topic) = topic_of_calculator(id) {
                by_topic.entry(topic).or_insert(*place);
            }
        }
        Self { course, by_bank, by_calculator, by_topic }
    }

    /// The place of the lesson that teaches a question: the one that practices its bank, else the one that
    /// teaches its calculator, or of a choice its topic.
    pub(super) fn lesson(&self, bank: &ReadyBank, about: About) -> Option<usize> {
        let own = self.by_bank.get(bank.id.as_str());
        let of = || match about.calculator() {
            "" => self.by_topic.get(&about.topic),
            id => self.by_calculator.get(id),
        };
        own.or_else(of).copied()
    }

    /// Where to read what a question asks.
    pub(super) fn place(&self, bank: &ReadyBank, about: About) -> Place {
        let asked = about.calculator();
        // A choice is worked with no calculator: what belongs to its topic comes nearest.
        let near = |calculator: &&Calculator| match asked {
            "" => topic_of_calculator(calculator.id) == Some(about.topic),
            asked => calculator.id == asked,
        };
        let worked = || CALCULATORS.iter().position(near).map_or(Place::Words, Place::Worked);
        self.lesson(bank, about).map_or_else(worked, Place::Lesson)
    }
}

/// What a question is about.
#[derive(Clone, Copy, Debug)]
pub(super) struct About<'q> {
    /// The calculator and the result that it asks for; empty for a choice.
    pub(super) asks: &'q str,
    pub(super) topic: Topic,
}

impl<'q> About<'q> {
    pub(super) fn of(question: &'q Question) -> Self {
        Self { asks: &question.asks, topic: topic_of(question) }
    }

    fn calculator(&self) -> &'q str {
        self.asks.split_once('/').map_or("", |(id, _)| id)
    }
}

/// The places that a page links to, each once.
pub(super) struct Places<'t, 'c> {
    teaching: &'t Teaching<'c>,
    root: &'static str,
    known: BTreeMap<Place, usize>,
    rows: Vec<Value>,
}

impl<'t, 'c> Places<'t, 'c> {
    /// None yet; `root` leads from the page to the top of the site.
    pub(super) fn new(teaching: &'t Teaching<'c>, root: &'static str) -> Self {
        Self { teaching, root, known: BTreeMap::new(), rows: Vec::new() }
    }

    /// The number of the place in which a question is taught.
    pub(super) fn number(&mut self, bank: &ReadyBank, about: About) -> Value {
        let place = self.teaching.place(bank, about);
        let number = match self.known.get(&place) {
            Some(number) => *number,
            None => {
                self.known.insert(place, self.rows.len());
                self.rows.push(self.row(place));
                self.rows.len() - 1
            }
        };
        Value::Number(number as f64)
    }

    /// Its address and title, and 1 where it is no lesson.
    fn row(&self, place: Place) -> Value {
        let phrases = &self.teaching.course.phrases;
        let lesson = |place: usize| -> &Arc<ReadyLesson> { &self.teaching.course.lessons[place] };
        let (page, title, beyond) = match place {
            Place::Lesson(place) => (format!("lessons/{}.html", lesson(place).stem), &*lesson(place).header.title, 0.0),
            Place::Worked(place) => {
                let id = CALCULATORS[place].id;
                let key = format!("{id}.title");
                let title = phrases.find(&key).unwrap_or(id);
                return row(format!("{}work/{id}.html", self.root), title, 1.0);
            }
            Place::Words => (page_names::GLOSSARY.to_owned(), phrases.get("site.glossary"), 1.0),
        };
        row(format!("{}{page}", self.root), title, beyond)
    }

    /// All of them, in order of their numbers.
    pub(super) fn list(self) -> Value {
        Value::List(self.rows)
    }
}

fn row(href: String, title: &str, beyond: f64) -> Value {
    Value::List(vec![href.into(), title.into(), Value::Number(beyond)])
}
