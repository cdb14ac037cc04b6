//! Works every score out again, by the core that scored it in the browser.

use super::odd::Like;
use super::questions::Questions;
use super::tally::Share;
use std::cell::OnceCell;
use std::collections::HashMap;
use tankside_calc::mistakes::too_much;
use tankside_calc::quantity::reply::{self, Fit};
use tankside_calc::question::parts::{Marks, judge as judge_parts};
use tankside_calc::question::score::{Answer, Query, Verdict, choice, dose, number};
use tankside_calc::question::steps::{judge_part, slipped};
use tankside_calc::question::template::Posed;
use tankside_calc::question::{Ask, Question};
use tankside_calc::words::phrases::Phrases;

/// The most problems that a [`Marker`] keeps worked: a hostile pile of records must not fill the memory.
const KEPT: usize = 500;

/// An answer, marked.
#[derive(Clone, Debug, PartialEq)]
pub struct Marked {
    /// Whether it is right; of several parts, whether every one is.
    pub right: bool,
    /// The mistake that it shows, by its name.
    pub slip: Option<&'static str>,
    /// Product on the lawn as a share of what was meant, where it is wrong and what was asked decides that.
    pub dose: Option<f64>,
    /// Whether it is wrong, and nothing says how much product it would put down.
    pub untold: bool,
    /// Whether that mistake puts down too much and can be shown in a worked example.
    pub shown: bool,
    /// Whether there is an answer that cannot be marked as it is written.
    pub unread: bool,
    /// What it is like, where it is wrong and shows no known mistake.
    pub like: Like,
    /// Points earned, of those that the question is worth: one a part.
    pub points: Share,
}

impl Marked {
    /// Nothing earned, and nothing known.
    fn wrong(question: &Question) -> Marked {
        let points = Share { right: 0, of: question.points() as u32 };
        let like = Like::BLANK;
        Marked { right: false, slip: None, dose: None, untold: false, shown: false, unread: false, like, points }
    }

    /// An answer that cannot be marked as it is written.
    fn unread(question: &Question) -> Marked {
        Marked { unread: true, like: Like::UNREAD, ..Marked::wrong(question) }
    }
}

/// A question at one draw: worked once, when the first answer to it is marked.
#[derive(Debug)]
pub(super) struct Drawn<'q> {
    question: &'q Question,
    draw: u32,
    phrases: &'q Phrases,
    posed: OnceCell<Option<Posed>>,
    parts: OnceCell<Option<Vec<Posed>>>,
}

impl<'q> Drawn<'q> {
    /// A question at a draw; the phrases have the notation in which numbers are answered.
    pub(super) fn new(question: &'q Question, draw: u32, phrases: &'q Phrases) -> Drawn<'q> {
        Drawn { question, draw, phrases, posed: OnceCell::new(), parts: OnceCell::new() }
    }

    /// Marks an answer to the whole of it.
    pub(super) fn mark(&self, answer: &str) -> Marked {
        if self.question.kind != Ask::Number {
            return chosen(self.question, answer);
        }
        let typed = self.phrases.answered(answer);
        let marked = if self.question.parts.is_empty() {
            self.posed().map(|posed| {
                let answer = Answer::Text(typed);
                let verdict = number(posed, &answer);
                let dose = dose(posed, &answer, &verdict);
                let like = if let Verdict::Wrong(None) = verdict { times(posed, &answer) } else { Like::OTHER };
                let marked = of_verdict(verdict, dose, like);
                let slip = marked.slip.filter(|_| dose.is_some_and(too_much));
                Marked { shown: slip.is_some_and(|slip| slipped(posed, 0, Some(slip)).is_some()), ..marked }
            })
        } else {
            let parts = self.parts.get_or_init(|| self.question.draw_parts(self.draw).ok());
            let left_out = typed.chars().all(|letter| letter == ';' || letter.is_whitespace());
            parts.as_ref().map(|posed| of_parts(&judge_parts(posed, &typed), left_out))
        };
        marked.unwrap_or_else(|| Marked::wrong(self.question))
    }

    /// Whether an answer to a part of its working is right.
    pub(super) fn part(&self, part: &str, answer: &str) -> bool {
        let answer = self.phrases.answered(answer);
        self.posed().and_then(|posed| judge_part(posed, part, &answer)).unwrap_or(false)
    }

    fn posed(&self) -> Option<&Posed> {
        let drawn = || (self.question.kind == Ask::Number).then(|| self.question.draw(self.draw).ok()).flatten();
        self.posed.get_or_init(drawn).as_ref()
    }
}

/// Marks answers one by one, in any order.
#[derive(Debug)]
pub struct Marker<'c> {
    questions: &'c Questions<'c>,
    drawn: HashMap<(usize, u32), Drawn<'c>>,
}

impl<'c> Marker<'c> {
    /// A marker for the questions of a course.
    pub fn new(questions: &'c Questions<'c>) -> Marker<'c> {
        Marker { questions, drawn: HashMap::new() }
    }

    /// Marks an answer to the question with this index, at a draw.
    pub fn mark(&mut self, index: usize, draw: u32, answer: &str) -> Marked {
        self.drawn(index, draw).mark(answer)
    }

    /// Whether an answer to a part of a question's working is right.
    pub fn part(&mut self, index: usize, draw: u32, part: &str, answer: &str) -> bool {
        self.drawn(index, draw).part(part, answer)
    }

    /// The question with this index at a draw.
    pub(super) fn drawn(&mut self, index: usize, draw: u32) -> &Drawn<'c> {
        if self.drawn.len() >= KEPT {
            self.drawn.clear();
        }
        let (question, phrases) = (self.questions.all[index].question, self.questions.phrases);
        self.drawn.entry((index, draw)).or_insert_with(|| Drawn::new(question, draw, phrases))
    }
}

/// An answer of choices: their numbers, counted from 0 in the order in which they were written, with commas between.
fn chosen(question: &Question, answer: &str) -> Marked {
    let numbers: Option<Vec<usize>> = answer.split(',').map(|number| number.trim().parse().ok()).collect();
    let readable = |numbers: &Vec<usize>| match question.kind {
        Ask::One => numbers.len() == 1,
        _ => numbers.len() <= question.options.len(),
    };
    let Some(numbers) = numbers.filter(readable) else {
        return if answer.is_empty() { Marked::wrong(question) } else { Marked::unread(question) };
    };
    let answer = match (question.kind, numbers.as_slice()) {
        (Ask::One, [one]) => Answer::One(*one),
        _ => Answer::Many(numbers),
    };
    let like = if let Answer::One(one) = answer { Like::option(one) } else { Like::OTHER };
    of_verdict(choice(question, &answer), None, like)
}

/// How many times the right number an answer is.
fn times(posed: &Posed, answer: &Answer) -> Like {
    let Answer::Text(text) = answer else { return Like::OTHER };
    match reply::read(text.trim(), &posed.unit) {
        Ok(reply) if matches!(reply.fit, Fit::Own | Fit::FluidOunces | Fit::PerMissing) => {
            Like::times(reply.si / posed.si)
        }
        _ => Like::OTHER,
    }
}

fn of_verdict(verdict: Verdict, dose: Option<f64>, like: Like) -> Marked {
    let right = verdict.is_right();
    let points = Share { right: u32::from(right), of: 1 };
    let untold = matches!(verdict, Verdict::Wrong(_)) && dose.is_none();
    let unread = matches!(&verdict, Verdict::Ask(query) if *query != Query::Empty);
    // An answer that was asked back about and never settled earns nothing, and shows no mistake either.
    let like = match &verdict {
        Verdict::Ask(Query::Empty) => Like::BLANK,
        Verdict::Ask(_) => Like::UNREAD,
        _ => like,
    };
    let slip = if let Verdict::Wrong(Some(shown)) = verdict { Some(shown.mistake.id) } else { None };
    Marked { right, slip, dose, untold, shown: false, unread, like, points }
}

fn of_parts(marks: &Marks, left_out: bool) -> Marked {
    let points = Share { right: marks.earned() as u32, of: marks.parts.len() as u32 };
    let slip = marks.mistake().map(|shown| shown.mistake.id);
    let unread = marks.ask().is_some_and(|(_, query)| *query != Query::Empty);
    let like = match (left_out, unread) {
        (true, _) => Like::BLANK,
        (_, true) => Like::UNREAD,
        _ => Like::OTHER,
    };
    let (right, dose, untold) = (marks.right(), marks.dose(), marks.untold());
    Marked { right, slip, dose, untold, shown: false, unread, like, points }
}
