//! Questions over the wire: JSON in, JSON out.

use super::render;
use super::score::{Answer, Verdict, mark};
use super::{Ask, Question};
use crate::phrases::Phrases;
use crate::say;
use crate::wire::json;
use serde::Serialize;

#[derive(Serialize)]
struct PosedWire {
    html: String,
}

#[derive(Serialize)]
struct ScoreWire {
    right: Option<bool>,
    ask: Option<String>,
    html: String,
    /// The accepted value of a number question, rounded, with its unit.
    accepted: Option<String>,
}

#[derive(Serialize)]
struct ErrorWire {
    error: String,
}

fn error(text: String) -> String {
    json(&ErrorWire { error: text })
}

/// A question posed at a seed: `{"html": …}`.
pub fn pose_json(question: &str, seed: u32, phrases: &Phrases) -> String {
    let question: Question = match serde_json::from_str(question) {
        Ok(question) => question,
        Err(fault) => return error(fault.to_string()),
    };
    match pose(&question, seed, phrases) {
        Ok(html) => json(&PosedWire { html }),
        Err(fault) => error(fault),
    }
}

/// A question posed at a seed, as HTML.
///
/// # Errors
/// What is wrong with its template, for developers; published questions were checked.
pub fn pose(question: &Question, seed: u32, phrases: &Phrases) -> Result<String, String> {
    let posed = match question.kind {
        Ask::Number => Some(question.pose(seed).map_err(|fault| format!("{fault:?}"))?),
        _ => None,
    };
    Ok(render::posed(question, posed.as_ref(), seed, phrases))
}

/// Answer and working of a question at a seed, as HTML, for a printed key.
///
/// # Errors
/// As [`pose`].
pub fn key(question: &Question, seed: u32, phrases: &Phrases) -> Result<String, String> {
    let posed = match question.kind {
        Ask::Number => Some(question.pose(seed).map_err(|fault| format!("{fault:?}"))?),
        _ => None,
    };
    Ok(render::feedback(question, posed.as_ref(), None, phrases))
}

/// The verdict on an answer: `{"right": true|false|null, "ask": …, "html": …, "accepted": …}`.
pub fn score_json(question: &str, seed: u32, answer: &str, phrases: &Phrases) -> String {
    let question: Question = match serde_json::from_str(question) {
        Ok(question) => question,
        Err(fault) => return error(fault.to_string()),
    };
    let answer = match read_answer(answer, question.kind) {
        Ok(answer) => answer,
        Err(fault) => return error(fault),
    };
    let (verdict, posed) = match mark(&question, seed, &answer) {
        Ok(marked) => marked,
        Err(fault) => return error(format!("{fault:?}")),
    };
    let accepted = posed.as_ref().map(|posed| say::quantity(posed.si, &posed.unit));
    json(&match &verdict {
        Verdict::Ask(query) => ScoreWire {
            right: None,
            ask: Some(render::query(query, posed.as_ref(), phrases)),
            html: String::new(),
            accepted: None,
        },
        Verdict::Right | Verdict::Wrong => ScoreWire {
            right: Some(matches!(verdict, Verdict::Right)),
            ask: None,
            html: render::feedback(&question, posed.as_ref(), Some(&verdict), phrases),
            accepted,
        },
    })
}

fn read_answer(answer: &str, kind: Ask) -> Result<Answer, String> {
    let value: serde_json::Value = serde_json::from_str(answer).map_err(|fault| fault.to_string())?;
    let index = |value: &serde_json::Value| value.as_u64().and_then(|number| usize::try_from(number).ok());
    let read = match (kind, &value) {
        (_, serde_json::Value::Null) => Some(Answer::Nothing),
        (Ask::Number, serde_json::Value::String(text)) => Some(Answer::Text(text.clone())),
        (Ask::One, value) => index(value).map(Answer::One),
        (_, serde_json::Value::Array(items)) => items.iter().map(index).collect::<Option<Vec<_>>>().map(Answer::Many),
        _ => None,
    };
    read.ok_or_else(|| "an answer is a text, an option's number, or a list of them".to_owned())
}
