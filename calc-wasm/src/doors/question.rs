//! Questions over the wire: JSON in, JSON out.

use super::{LONGEST, TOO_LONG, message};
use crate::doors::error;
use crate::mistakes::too_much;
use crate::page::{parts, question as render};
use crate::question::parts::judge as judge_parts;
use crate::question::score::{Answer, Query, Verdict, dose, judge, notes};
use crate::question::steps::slipped;
use crate::question::template::{Posed, TemplateFault};
use crate::question::{Ask, Question};
use crate::text::json::{Value, map};
use crate::words::phrases::Phrases;
use crate::words::say;

const NO_QUESTION: &str = "this is not a question";

/// Reads the question that a page hands over; `Err` says why not.
fn question_of(text: &str) -> Result<Question, String> {
    message(text, LONGEST)?.as_ref().and_then(Question::of).ok_or_else(|| error(NO_QUESTION))
}

/// A question with the numbers of a draw: `{"html": …}`.
pub fn pose_json(question: &str, draw: u32, phrases: &Phrases) -> String {
    let question = match question_of(question) {
        Ok(question) => question,
        Err(error) => return error,
    };
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
    if !question.parts.is_empty() {
        return Ok(parts::posed(question, &question.draw_parts(draw)?, draw, phrases));
    }
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
    if !question.parts.is_empty() {
        return Ok(parts::feedback(question, &question.draw_parts(draw)?, None, phrases));
    }
    let posed = match question.kind {
        Ask::Number => Some(question.draw(draw)?),
        _ => None,
    };
    Ok(render::feedback(question, posed.as_ref(), None, phrases))
}

/// A number question with choices made from the usual mistakes: `{"html": …}`.
pub fn choices_json(question: &str, draw: u32, seed: u32, phrases: &Phrases) -> String {
    let question = match question_of(question) {
        Ok(question) if question.kind == Ask::Number => question,
        Ok(_) => return error(NO_QUESTION),
        Err(error) => return error,
    };
    // The figures on the way are what a question of several parts is about, so that it is always typed.
    if !question.parts.is_empty() {
        let typed = pose(&question, draw, phrases);
        return typed.map_or_else(
            |fault| error(fault.id()),
            |html| map(vec![("html", html.into()), ("choices", Value::Number(0.0))]).line(),
        );
    }
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
    question_of(question).map_or(seed, |question| question.draw_at(seed))
}

/// The verdict on an answer: `{"right": true|false|null, "ask": …, "html": …, "accepted": …, "mistake": …, "over": …}`;
/// of several parts also `"points": [earned, all]`, and `"part"`, counted from 0, where one is asked about.
pub fn score_json(question: &str, draw: u32, answer: &str, phrases: &Phrases) -> String {
    let question = match question_of(question) {
        Ok(question) => question,
        Err(error) => return error,
    };
    if answer.len() > LONGEST {
        return error(TOO_LONG);
    }
    let Some(answer) = read_answer(answer, question.kind, phrases) else {
        return error("an answer is a text, an option's number, or a list of them");
    };
    if !question.parts.is_empty() {
        return match question.draw_parts(draw) {
            Ok(posed) => score_parts(&question, &posed, &answer, phrases).line(),
            Err(fault) => error(fault.id()),
        };
    }
    let (verdict, posed) = match judge(&question, draw, &answer) {
        Ok(marked) => marked,
        Err(fault) => return error(fault.id()),
    };
    let accepted = posed.as_ref().map_or(Value::Null, |posed| say::quantity(posed.si, &posed.unit, phrases).into());
    let notes = posed.as_ref().map_or_else(Vec::new, |posed| notes(posed, &answer));
    let dose = posed.as_ref().and_then(|posed| dose(posed, &answer, &verdict));
    match &verdict {
        Verdict::Ask(query) => map(vec![
            ("right", Value::Null),
            ("ask", render::query(query, posed.as_ref().map(|posed| posed.unit), phrases).into()),
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
            ("over", over(&verdict, posed.as_ref(), dose.is_some_and(too_much))),
        ]),
    }
    .line()
}

fn score_parts(question: &Question, posed: &[Posed], answer: &Answer, phrases: &Phrases) -> Value {
    let text = if let Answer::Text(text) = answer { text } else { "" };
    let marks = judge_parts(posed, text);
    let about = marks.ask().filter(|(_, query)| **query != Query::Empty).map(|(index, _)| index);
    let ask = marks.ask().map(|(index, query)| parts::query(index, query, &posed[index], phrases));
    let count = |count: usize| Value::Number(count as f64);
    let accepted = posed.last().map_or(Value::Null, |last| say::quantity(last.si, &last.unit, phrases).into());
    let mut members = vec![
        ("right", if ask.is_some() { Value::Null } else { Value::Bool(marks.right()) }),
        ("accepted", if ask.is_some() { Value::Null } else { accepted }),
        ("ask", ask.map_or(Value::Null, Value::from)),
        ("html", parts::feedback(question, posed, Some(&marks), phrases).into()),
        ("mistake", marks.mistake().map_or(Value::Null, |shown| shown.mistake.id.into())),
        ("over", Value::Bool(marks.dose().is_some_and(too_much))),
        ("points", Value::List(vec![count(marks.earned()), count(posed.len())])),
    ];
    members.extend(about.map(|index| ("part", count(index))));
    map(members)
}

/// The id of the mistake that a wrong answer shows.
fn shown_by(verdict: &Verdict) -> Value {
    match verdict {
        Verdict::Wrong(Some(recognised)) => recognised.mistake.id.into(),
        _ => Value::Null,
    }
}

/// Whether an answer puts down too much: `"shown"` where its mistake can be shown in a worked example as well.
fn over(verdict: &Verdict, posed: Option<&Posed>, over: bool) -> Value {
    match (verdict, posed) {
        (Verdict::Wrong(Some(shown)), Some(posed)) if over && slipped(posed, 0, Some(shown.mistake.id)).is_some() => {
            "shown".into()
        }
        _ => Value::Bool(over),
    }
}

fn read_answer(answer: &str, kind: Ask, phrases: &Phrases) -> Option<Answer> {
    match (kind, Value::read(answer)?) {
        (_, Value::Null) => Some(Answer::Nothing),
        (Ask::Number, Value::Text(text)) => Some(Answer::Text(phrases.answered(&text))),
        (Ask::One, value) => value.whole().map(Answer::One),
        (Ask::Several | Ask::Order, Value::List(items)) => {
            items.iter().map(Value::whole).collect::<Option<Vec<_>>>().map(Answer::Many)
        }
        _ => None,
    }
}
