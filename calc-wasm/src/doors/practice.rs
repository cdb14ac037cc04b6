//! Steps of a worked example over the wire: left blank, answered one by one, or with a slip to find.

use super::{LONGEST, message};
use crate::doors::error;
use crate::page::steps as render;
use crate::quantity::reply::{Fit, read};
use crate::quantity::unit::Unit;
use crate::question::steps::{Slipped, StepVerdict, judge_step, slipped};
use crate::question::template::Posed;
use crate::question::{Ask, Question};
use crate::text::json::{Value, map};
use crate::words::phrases::Phrases;

/// A request for a problem's steps, by its `do`; `question` is a question's JSON as text, `draw` its draw.
///
/// - `entered`: `answer` as it was typed and `unit` as it was picked beside it → `text`: the answer, with that unit where
///   it has none of its own; needs no question.
/// - `faded`: `blanks`, `seed` → `html`, `steps` (how many there are).
/// - `step`: `step`, `answer` → `right` (true, false or null), `ask`.
/// - `slip`: `seed`, `mistake` where it has to be that one → `html`, empty where it cannot be shown in one step.
/// - `slip-answer`: `seed`, `mistake`, `step` marked, `answer` → `marked` and `right` (whether step and figure are right), `ask`,
///   `html` with the mistake in words.
pub fn practice_json(request: &str, phrases: &Phrases) -> String {
    let request = match message(request, 2 * LONGEST) {
        Ok(request) => request.unwrap_or(Value::Null),
        Err(error) => return error,
    };
    let (answer, doing) =
        (request.get("answer").text().unwrap_or_default(), request.get("do").text().unwrap_or_default());
    if doing == "entered" {
        return map(vec![("text", entered(answer, request.get("unit").text().unwrap_or_default(), phrases).into())])
            .line();
    }
    let question = request.get("question").text().and_then(Question::read);
    let Some(question) = question.filter(|question| question.kind == Ask::Number) else {
        return error("this is no question that is worked in steps");
    };
    let number = |key: &str| request.get(key).whole().unwrap_or(0);
    let (draw, seed) = (number("draw") as u32, number("seed") as u32);
    let posed = match question.draw(draw) {
        Ok(posed) => posed,
        Err(fault) => return error(fault.id()),
    };
    let slip = || slipped(&posed, seed, request.get("mistake").text());
    let answer = &phrases.answered(answer);
    match doing {
        "faded" => map(vec![
            ("html", render::faded(&question, &posed, number("blanks"), seed, phrases).into()),
            ("steps", Value::Number(posed.working().len() as f64)),
        ]),
        "step" => verdict(&posed, number("step"), answer, phrases),
        "slip" => {
            let html = slip().map_or_else(String::new, |slip| render::slip(&question, &posed, &slip, phrases));
            map(vec![("html", html.into())])
        }
        "slip-answer" => slip_answer(&posed, slip(), request.get("step").whole(), answer, phrases),
        _ => return error("there is no such request"),
    }
    .line()
}

/// An answer with the unit that was picked for it; one that was typed wins.
fn entered(answer: &str, picked: &str, phrases: &Phrases) -> String {
    let bare = |unit: Unit| read(&phrases.answered(answer), &unit).is_ok_and(|reply| reply.fit == Fit::Missing);
    if Unit::parse(picked).is_some_and(bare) { [answer, " ", picked].concat() } else { answer.to_owned() }
}

fn verdict(posed: &Posed, step: usize, answer: &str, phrases: &Phrases) -> Value {
    let working = posed.working();
    let unit = working.get(step).map_or(Unit::none(), |step| step.unit);
    let (right, ask) = match judge_step(&working, step, answer) {
        StepVerdict::Right => (Value::Bool(true), Value::Null),
        StepVerdict::Wrong => (Value::Bool(false), Value::Null),
        StepVerdict::Ask(query) => (Value::Null, render::ask(&query, unit, phrases).into()),
    };
    map(vec![("right", right), ("ask", ask)])
}

fn slip_answer(posed: &Posed, slip: Option<Slipped>, marked: Option<usize>, answer: &str, phrases: &Phrases) -> Value {
    let Some(slip) = slip else { return map(vec![]) };
    let Value::Map(mut members) = verdict(posed, slip.step, answer, phrases) else { return Value::Null };
    members.push(("marked".to_owned(), Value::Bool(marked == Some(slip.step))));
    members.push(("html".to_owned(), render::slip_explained(posed, &slip, phrases).into()));
    Value::Map(members)
}
