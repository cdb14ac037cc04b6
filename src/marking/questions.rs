//! The questions of a course as marking needs them: found by id, with the lesson that teaches each.

use super::tally::Share;
use crate::course::{Course, lessons_by_calculator, topic_of};
use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap};
use tankside_calc::question::topic::Topic;
use tankside_calc::question::{Ask, Question};
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

/// A lesson to go back to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LessonRef {
    /// Its title.
    pub title: String,
    /// Its page in the site.
    pub href: String,
}

/// One question of the course.
#[derive(Debug)]
pub struct CourseQuestion<'c> {
    /// The question.
    pub question: &'c Question,
    /// Its digest now.
    pub digest: String,
    /// Its topic: its author's, or that of the calculator it is worked with.
    pub topic: Topic,
    /// The lesson that teaches it, if one does.
    pub lesson: Option<LessonRef>,
}

impl CourseQuestion<'_> {
    /// Whether one number answers it.
    pub fn is_one_number(&self) -> bool {
        self.question.kind == Ask::Number && self.question.parts.is_empty()
    }
}

/// All questions of a course.
#[derive(Debug)]
pub struct Questions<'c> {
    /// In the order of banks and questions.
    pub all: Vec<CourseQuestion<'c>>,
    /// The course's phrases, in whose notation numbers are answered.
    pub phrases: &'c Phrases,
    /// The units that it is written in.
    pub system: System,
    by_id: HashMap<&'c str, usize>,
    by_digest: HashMap<String, usize>,
    lessons: BTreeMap<&'c str, LessonRef>,
}

impl<'c> Questions<'c> {
    /// The questions of a course.
    pub fn of(course: &'c Course) -> Questions<'c> {
        let lesson = |(calculator, place): (&'static str, usize)| {
            let lesson = &course.lessons[place];
            let href = format!("lessons/{}.html", lesson.stem);
            (calculator, LessonRef { title: lesson.header.title.clone(), href })
        };
        let lessons: BTreeMap<&str, LessonRef> = lessons_by_calculator(course).into_iter().map(lesson).collect();
        let all: Vec<CourseQuestion> = course
            .banks
            .values()
            .flat_map(|bank| &bank.questions)
            .map(|question| {
                let calculator = question.calculator_id();
                let lesson = lessons.get(calculator).cloned();
                CourseQuestion { question, digest: question.digest(), topic: topic_of(question), lesson }
            })
            .collect();
        let by_id = all.iter().enumerate().map(|(index, known)| (known.question.id.as_str(), index)).collect();
        let by_digest = all.iter().enumerate().map(|(index, known)| (known.digest.clone(), index)).collect();
        Questions { all, phrases: &course.phrases, system: course.system(), by_id, by_digest, lessons }
    }

    /// The question that a record means: by its id if the digest agrees, or by the digest alone where it was renamed or
    /// moved to another bank; `None` if the course no longer has such a question.
    pub fn find(&self, id: &str, digest: &str) -> Option<usize> {
        let id = if id.contains('/') { Cow::from(id.replacen('/', "-", 1)) } else { Cow::from(id) };
        let by_id = self.by_id.get(&*id).copied();
        match by_id {
            Some(index) if digest.is_empty() || self.all[index].digest == digest => Some(index),
            _ => self.by_digest.get(digest).copied(),
        }
    }

    /// The lesson that works with a calculator.
    pub fn lesson_on(&self, calculator: &str) -> Option<&LessonRef> {
        self.lessons.get(calculator)
    }

    /// Shares by topic, in the order of the topics.
    pub fn topics(&self) -> BTreeMap<Topic, Share> {
        self.all.iter().map(|known| (known.topic, Share::default())).collect()
    }
}
