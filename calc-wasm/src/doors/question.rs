//! Questions over the wire: JSON in, JSON out.

use crate::doors::wire::error;
use crate::page::question as render;
use crate::question::score::{Answer, Verdict, mark};
use crate::question::template::TemplateFault;
use crate::question::{Ask, Question};
use crate::text::json::{Value, map};
use crate::words::phrases::Phrases;
use crate::words::say;

const NO_QUESTION: &str = "this is no question";

/// A question posed at a seed: `{"html": …}`.
pub fn pose_json(question: &str, seed: u32, phrases: &Phrases) -> String {
    let Some(question) = Question::read(question) else { return error(NO_QUESTION) };
    match pose(&question, seed, phrases) {
        Ok(html) => map(vec![("html", html.into())]).line(),
        Err(fault) => error(fault.id()),
    }
}

/// A question posed at a seed, as HTML.
///
/// # Errors
/// What is wrong with its template, for developers; published questions were checked.
pub fn pose(question: &Question, seed: u32, phrases: &Phrases) -> Result<String, TemplateFault> {
    let posed = match question.kind {
        Ask::Number => Some(question.pose(seed)?),
        _ => None,
    };
    Ok(render::posed(question, posed.as_ref(), seed, phrases))
}

/// Answer and working of a question at a seed, as HTML, for a printed key.
///
/// # Errors
/// As [`pose`].
pub fn key(question: &Question, seed: u32, phrases: &Phrases) -> Result<String, TemplateFault> {
    let posed = match question.kind {
        Ask::Number => Some(question.pose(seed)?),
        _ => None,
    };
    Ok(render::feedback(question, posed.as_ref(), None, phrases))
}

/// The verdict on an answer: `{"right": true|false|null, "ask": …, "html": …, "accepted": …, "mistake": …}`.
pub fn score_json(question: &str, seed: u32, answer: &str, phrases: &Phrases) -> String {
    let Some(question) = Question::read(question) else { return error(NO_QUESTION) };
    let Some(answer) = read_answer(answer, question.kind) else {
        return error("an answer is a text, an option's number, or a list of them");
    };
    let (verdict, posed) = match mark(&question, seed, &answer) {
        Ok(marked) => marked,
        Err(fault) => return error(fault.id()),
    };
    let accepted = posed.as_ref().map_or(Value::Null, |posed| say::quantity(posed.si, &posed.unit).into());
    match &verdict {
        Verdict::Ask(query) => map(vec![
            ("right", Value::Null),
            ("ask", render::query(query, posed.as_ref(), phrases).into()),
            // Shown only where the learner ends the quiz with the question still open.
            ("html", render::feedback(&question, posed.as_ref(), None, phrases).into()),
            ("accepted", Value::Null),
            ("mistake", Value::Null),
        ]),
        Verdict::Right | Verdict::Wrong(_) => map(vec![
            ("right", Value::Bool(matches!(verdict, Verdict::Right))),
            ("ask", Value::Null),
            ("html", render::feedback(&question, posed.as_ref(), Some(&verdict), phrases).into()),
            ("accepted", accepted),
            ("mistake", shown_by(&verdict)),
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

fn read_answer(answer: &str, kind: Ask) -> Option<Answer> {
    match (kind, Value::read(answer)?) {
        (_, Value::Null) => Some(Answer::Nothing),
        (Ask::Number, Value::Text(text)) => Some(Answer::Text(text)),
        (Ask::One, value) => value.whole().map(Answer::One),
        (Ask::Several | Ask::Order, Value::List(items)) => {
            items.iter().map(Value::whole).collect::<Option<Vec<_>>>().map(Answer::Many)
        }
        _ => None,
    }
}
