//! Questions over the wire: JSON in, JSON out.

use crate::doors::wire::error;
use crate::mistakes::OVER;
use crate::page::question as render;
use crate::question::score::{Answer, Verdict, judge, notes};
use crate::question::template::TemplateFault;
use crate::question::{Ask, Question};
use crate::text::json::{Value, map};
use crate::words::phrases::Phrases;
use crate::words::say;

const NO_QUESTION: &str = "this is no question";

/// A question with the numbers of a draw: `{"html": …}`.
pub fn pose_json(question: &str, draw: u32, phrases: &Phrases) -> String {
    let Some(question) = Question::read(question) else { return error(NO_QUESTION) };
    match pose(&question, draw, phrases) {
        Ok(html) => map(vec![("html", html.into())]).line(),
        Err(fault) => error(fault.id()),
    }
}

/// A question with the numbers of a draw, as HTML.
///
/// # Errors
/// What is wrong with its template, for developers; published questions were checked.
pub fn pose(question: &Question, draw: u32, phrases: &Phrases) -> Result<String, TemplateFault> {
    let posed = match question.kind {
        Ask::Number => Some(question.draw(draw)?),
        _ => None,
    };
    Ok(render::posed(question, posed.as_ref(), draw, phrases))
}

/// Answer and working of a question at a draw, as HTML, for a printed key.
///
/// # Errors
/// As [`pose`].
pub fn key(question: &Question, draw: u32, phrases: &Phrases) -> Result<String, TemplateFault> {
    let posed = match question.kind {
        Ask::Number => Some(question.draw(draw)?),
        _ => None,
    };
    Ok(render::feedback(question, posed.as_ref(), None, phrases))
}

/// A number question with choices made from the usual mistakes: `{"html": …}`.
pub fn choices_json(question: &str, draw: u32, seed: u32, phrases: &Phrases) -> String {
    let Some(question) = Question::read(question).filter(|question| question.kind == Ask::Number) else {
        return error(NO_QUESTION);
    };
    match question.draw(draw) {
        Ok(posed) => {
            let choices = crate::question::options::choices(&posed, seed);
            let html = render::posed_with_choices(&question, &posed, &choices, draw, phrases);
            map(vec![("html", html.into()), ("choices", Value::Number(choices.len() as f64))]).line()
        }
        Err(fault) => error(fault.id()),
    }
}

/// The draw that a seed leads to: one that is offered; for anything that is not a question, the seed itself.
pub fn draw_at(question: &str, seed: u32) -> u32 {
    Question::read(question).map_or(seed, |question| question.draw_at(seed))
}

/// The verdict on an answer: `{"right": true|false|null, "ask": …, "html": …, "accepted": …, "mistake": …, "over": …}`.
pub fn score_json(question: &str, draw: u32, answer: &str, phrases: &Phrases) -> String {
    let Some(question) = Question::read(question) else { return error(NO_QUESTION) };
    let Some(answer) = read_answer(answer, question.kind, phrases) else {
        return error("an answer is a text, an option's number, or a list of them");
    };
    let (verdict, posed) = match judge(&question, draw, &answer) {
        Ok(marked) => marked,
        Err(fault) => return error(fault.id()),
    };
    let accepted = posed.as_ref().map_or(Value::Null, |posed| say::quantity(posed.si, &posed.unit, phrases).into());
    let notes = posed.as_ref().map_or_else(Vec::new, |posed| notes(posed, &answer));
    match &verdict {
        Verdict::Ask(query) => map(vec![
            ("right", Value::Null),
            ("ask", render::query(query, posed.as_ref(), phrases).into()),
            // Shown only where the learner ends the quiz with the question still open.
            ("html", render::feedback(&question, posed.as_ref(), None, phrases).into()),
            ("accepted", Value::Null),
            ("mistake", Value::Null),
            ("over", Value::Bool(false)),
        ]),
        Verdict::Right | Verdict::Coarse | Verdict::Wrong(_) => map(vec![
            ("right", Value::Bool(verdict.is_right())),
            ("ask", Value::Null),
            ("html", render::feedback_on(&question, posed.as_ref(), Some(&verdict), &notes, phrases).into()),
            ("accepted", accepted),
            ("mistake", shown_by(&verdict)),
            ("over", Value::Bool(puts_on_too_much(&verdict))),
        ]),
    }
    .line()
}

/// The id of the mistake that a wrong answer shows.
fn shown_by(verdict: &Verdict) -> Value {
    match verdict {
        Verdict::Wrong(Some(recognised)) => recognised.mistake.id.into(),
        _ => Value::Null,
    }
}

/// Whether a wrong answer would put down at least 10 % too much.
fn puts_on_too_much(verdict: &Verdict) -> bool {
    matches!(verdict, Verdict::Wrong(Some(recognised)) if recognised.dose.is_some_and(|dose| dose >= OVER))
}

fn read_answer(answer: &str, kind: Ask, phrases: &Phrases) -> Option<Answer> {
    match (kind, Value::read(answer)?) {
        (_, Value::Null) => Some(Answer::Nothing),
        (Ask::Number, Value::Text(text)) => Some(Answer::Text(phrases.typed(&text))),
        (Ask::One, value) => value.whole().map(Answer::One),
        (Ask::Several | Ask::Order, Value::List(items)) => {
            items.iter().map(Value::whole).collect::<Option<Vec<_>>>().map(Answer::Many)
        }
        _ => None,
    }
}
