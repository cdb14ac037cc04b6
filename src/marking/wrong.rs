//! Wrong answers in the words of a course: the question with the numbers of its draw, what was answered, what is right.

use super::paper::UNREADABLE;
use super::questions::{CourseQuestion, Questions};
use std::borrow::Cow;
use tankside_calc::question::parts::BETWEEN;
use tankside_calc::question::template::Posed;
use tankside_calc::question::{Ask, Question};
use tankside_calc::words::phrases::{Phrases, fill};
use tankside_calc::words::say;

/// The most letters that are shown of an answer: a page takes more, and nobody needs them to see what went wrong.
const SHOWN: usize = 120;

/// A wrong answer to a question at a draw.
#[derive(Debug)]
pub(super) struct Wrong<'q> {
    question: &'q Question,
    phrases: &'q Phrases,
    posed: Vec<Posed>,
    typed: String,
}

impl<'q> Wrong<'q> {
    /// A wrong answer as a record has it.
    pub(super) fn of(questions: &'q Questions, index: usize, draw: u32, typed: &str) -> Wrong<'q> {
        let CourseQuestion { question, .. } = questions.all[index];
        let posed = match question.kind {
            Ask::Number => question.draw_parts(draw).unwrap_or_default(),
            _ => Vec::new(),
        };
        Wrong { question, phrases: questions.phrases, posed, typed: given(question, typed).into_owned() }
    }

    /// What was asked; with a mark for each number where the draw cannot be worked.
    pub(super) fn asked(&self) -> String {
        match (self.question.kind, self.posed.last()) {
            (Ask::Number, Some(posed)) => self.question.text_for(posed, self.phrases),
            (Ask::Number, None) => fill(&self.question.text, |_| Some("…".to_owned())),
            _ => self.question.text.clone(),
        }
    }

    /// What is right.
    fn right(&self) -> String {
        match self.question.kind {
            Ask::Number => {
                let each = self.posed.iter().map(|posed| say::quantity(posed.si, &posed.unit, self.phrases));
                each.collect::<Vec<_>>().join(BETWEEN)
            }
            kind => {
                let options = self.question.options.iter();
                let right = options.filter(|option| kind == Ask::Order || option.right);
                right.map(|option| option.text.as_str()).collect::<Vec<_>>().join(between(kind))
            }
        }
    }

    /// A phrase about it, in the form that its kind of question has: `KEY-number` or `KEY-choice`.
    pub(super) fn told(&self, key: &str) -> String {
        let kind = if self.question.kind == Ask::Number { "number" } else { "choice" };
        self.phrases.fill_with(&format!("{key}-{kind}"), &[("typed", &self.typed), ("right", &self.right())])
    }

    /// What was answered and what is right.
    pub(super) fn both(&self) -> String {
        self.told(if self.typed.is_empty() { "desk.blank" } else { "desk.wrong" })
    }
}

/// A wrong answer of somebody in a cell of a table.
pub(super) fn in_cell(question: &Question, typed: &str, phrases: &Phrases) -> String {
    let given = given(question, typed);
    let typed = if given.is_empty() { phrases.get("desk.csv-blank") } else { &given };
    phrases.fill_with("desk.csv-wrong-one", &[("question", &question.id), ("typed", typed)])
}

/// An answer as people read it: of choices, the texts of the options.
fn given<'t>(question: &Question, typed: &'t str) -> Cow<'t, str> {
    let chosen = || -> Option<String> {
        let texts = typed.split(',').map(|number| question.options.get(number.trim().parse::<usize>().ok()?));
        let texts: Option<Vec<&str>> = texts.map(|option| Some(option?.text.as_str())).collect();
        Some(texts?.join(between(question.kind)))
    };
    let text = match question.kind {
        Ask::Number => Cow::from(typed),
        _ => chosen().map_or_else(|| typed.trim_start_matches(UNREADABLE).into(), Cow::from),
    };
    // One line, whatever a file holds.
    let line: Vec<&str> = text.split_whitespace().collect();
    let line = line.join(" ");
    match line.char_indices().nth(SHOWN) {
        Some((at, _)) if question.kind == Ask::Number => format!("{}…", line[..at].trim_end()).into(),
        _ => line.into(),
    }
}

/// What is between options that were chosen: of an order, the way from one to the next.
fn between(kind: Ask) -> &'static str {
    if kind == Ask::Order { " → " } else { BETWEEN }
}
