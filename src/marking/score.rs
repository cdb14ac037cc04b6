//! Works every score out again, by the core that scored it in the browser.

use super::questions::Questions;
use super::tally::Share;
use std::collections::HashMap;
use tankside_calc::question::parts::{Marks, judge as judge_parts};
use tankside_calc::question::score::{Answer, Verdict, choice, number};
use tankside_calc::question::steps::judge_part;
use tankside_calc::question::template::Posed;
use tankside_calc::question::{Ask, Question};

/// The most problems and verdicts kept: a crew's records meet the same ones again and again, and a hostile pile
/// of records must not fill the memory.
const KEPT: usize = 50_000;

/// An answer, marked.
#[derive(Clone, Debug, PartialEq)]
pub struct Marked {
    /// Whether it is right; of several parts, whether every one is.
    pub right: bool,
    /// The mistake that it shows, by its name.
    pub slip: Option<&'static str>,
    /// Product on the lawn as a share of what was meant, where the mistake says.
    pub dose: Option<f64>,
    /// Points earned, of those that the question is worth: one a part.
    pub points: Share,
}

impl Marked {
    /// Nothing earned, and nothing known.
    fn wrong(question: &Question) -> Marked {
        let points = Share { right: 0, of: question.points() as u32 };
        Marked { right: false, slip: None, dose: None, points }
    }
}

/// Marks answers; the same draw of the same question is worked once.
#[derive(Debug)]
pub struct Marker<'c> {
    questions: &'c Questions<'c>,
    posed: HashMap<(usize, u32), Option<Posed>>,
    marked: HashMap<(usize, u32, String), Marked>,
}

impl<'c> Marker<'c> {
    /// A marker for the questions of a course.
    pub fn new(questions: &'c Questions<'c>) -> Marker<'c> {
        Marker { questions, posed: HashMap::new(), marked: HashMap::new() }
    }

    /// Marks an answer to the question with this index, at a draw.
    pub fn mark(&mut self, index: usize, draw: u32, answer: &str) -> Marked {
        let key = (index, draw, answer.to_owned());
        if let Some(marked) = self.marked.get(&key) {
            return marked.clone();
        }
        let question = self.questions.all[index].question;
        let marked = match question.kind {
            Ask::Number => self.number(question, index, draw, answer),
            _ => chosen(question, answer),
        };
        if self.marked.len() >= KEPT {
            self.marked.clear();
        }
        self.marked.insert(key, marked.clone());
        marked
    }

    /// Whether an answer to a part of a question's working is right.
    pub fn part(&mut self, index: usize, draw: u32, part: &str, answer: &str) -> bool {
        let question = self.questions.all[index].question;
        let answer = self.questions.phrases.typed(answer);
        let posed = self.posed(question, index, draw);
        posed.and_then(|posed| judge_part(posed, part, &answer)).unwrap_or(false)
    }

    fn number(&mut self, question: &Question, index: usize, draw: u32, answer: &str) -> Marked {
        let typed = self.questions.phrases.typed(answer);
        if !question.parts.is_empty() {
            // Only the verdict is kept: each part is posed again, which few records need.
            let drawn = question.draw_parts(draw);
            return drawn.map_or(Marked::wrong(question), |posed| of_parts(&judge_parts(&posed, &typed)));
        }
        let answer = Answer::Text(typed);
        self.posed(question, index, draw).map_or(Marked::wrong(question), |posed| of_verdict(number(posed, &answer)))
    }

    fn posed(&mut self, question: &Question, index: usize, draw: u32) -> Option<&Posed> {
        if self.posed.len() >= KEPT / 10 {
            self.posed.clear();
        }
        let drawn = || (question.kind == Ask::Number).then(|| question.draw(draw).ok()).flatten();
        self.posed.entry((index, draw)).or_insert_with(drawn).as_ref()
    }
}

/// An answer of choices: their numbers, counted from 0 in the order in which they were written, with commas between.
fn chosen(question: &Question, answer: &str) -> Marked {
    let numbers: Option<Vec<usize>> = answer.split(',').map(|number| number.trim().parse().ok()).collect();
    let Some(numbers) = numbers.filter(|numbers| numbers.len() <= question.options.len()) else {
        return Marked::wrong(question);
    };
    let answer = match (question.kind, numbers.as_slice()) {
        (Ask::One, [one]) => Answer::One(*one),
        _ => Answer::Many(numbers),
    };
    of_verdict(choice(question, &answer))
}

fn of_verdict(verdict: Verdict) -> Marked {
    let right = verdict.is_right();
    let points = Share { right: u32::from(right), of: 1 };
    match verdict {
        Verdict::Wrong(Some(recognised)) => {
            Marked { right, slip: Some(recognised.mistake.id), dose: recognised.dose, points }
        }
        // An answer that was asked back about and never settled earns nothing, and shows no mistake either.
        _ => Marked { right, slip: None, dose: None, points },
    }
}

fn of_parts(marks: &Marks) -> Marked {
    let points = Share { right: marks.earned() as u32, of: marks.parts.len() as u32 };
    let slip = marks.mistake().map(|shown| shown.mistake.id);
    Marked { right: marks.right(), slip, dose: marks.dose(), points }
}
