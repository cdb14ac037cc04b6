//! Marks a training record of the demo course answer by answer, for the test that a browser's scores are the same:
//!
//! `marked_records RECORD` prints a line for each answer, as JSON: whether it is right, the mistake by its name,
//! whether that puts down too much, and the text that belongs to it.

use serde_json::{Value, json};
use std::io::{BufWriter, Error, Result, Write};
use tankside::embedded::{CONTENT, DEMO};
use tankside::load::{Layered, Memory};
use tankside::marking::questions::Questions;
use tankside::marking::record::{now, read};
use tankside::marking::recorded::RecordedAnswer;
use tankside::marking::score::Marker;
use tankside_calc::doors::practice::practice_json;
use tankside_calc::doors::question::score_json;
use tankside_calc::doors::reading::reading_json;
use tankside_calc::question::{Ask, Question};
use tankside_calc::reading::{Read, Reading, recorded};
use tankside_calc::words::phrases::Phrases;

fn main() -> Result<()> {
    let Some(place) = std::env::args().nth(1) else { return Err(Error::other("marked_records RECORD")) };
    let bytes = std::fs::read(place)?;
    let record = read(&bytes, now()).map_err(|refusal| Error::other(refusal.to_string()))?;
    let resolved = tankside::resolve(&Layered(vec![&Memory::of(&DEMO), &Memory::of(&CONTENT)]));
    let course = resolved.course().ok_or_else(|| Error::other("the demo course does not resolve"))?;
    let questions = Questions::of(course);
    let mut marker = Marker::new(&questions);
    let mut out = BufWriter::new(std::io::stdout().lock());
    for answer in record.sittings.iter().flat_map(|sitting| &sitting.answers) {
        let line = match questions.find(&answer.question, &answer.digest) {
            None if recorded(&answer.question, &answer.digest).is_some() => read_off(answer, &course.phrases),
            None => json!({ "unknown": answer.question }),
            Some(index) => {
                let question = questions.all[index].question;
                if answer.part.is_empty() {
                    let marked = marker.mark(index, answer.draw, &answer.answer);
                    let over = marked.dose.is_some_and(tankside_calc::mistakes::too_much);
                    let over = if marked.shown { json!("shown") } else { json!(over) };
                    let text = score_json(
                        &question.json().line(),
                        answer.draw,
                        &as_given(question, &answer.answer),
                        &course.phrases,
                    );
                    json!({ "right": marked.right, "mistake": marked.slip, "over": over, "points": [marked.points.right, marked.points.of], "text": text })
                } else {
                    let right = marker.part(index, answer.draw, &answer.part, &answer.answer);
                    json!({ "right": right, "text": part_text(question, answer, &course.phrases) })
                }
            }
        };
        writeln!(out, "{line}")?;
    }
    out.flush()
}

/// A reading of an instrument, which is in no bank.
fn read_off(answer: &RecordedAnswer, phrases: &Phrases) -> Value {
    let Some((thing, system)) = recorded(&answer.question, &answer.digest) else { return Value::Null };
    let verdict = Reading::drawn(thing, system, answer.draw).judge(&phrases.answered(&answer.answer));
    let request = json!({
        "units": system.id(), "do": "read", "thing": thing.id(), "seed": answer.draw, "answer": answer.answer,
    });
    json!({ "right": matches!(verdict, Read::Right(_)), "text": reading_json(&request.to_string(), phrases) })
}

/// The answer as a page hands it to the core.
fn as_given(question: &Question, text: &str) -> String {
    let numbers = || text.split(',').filter_map(|number| number.parse::<u64>().ok()).collect::<Vec<_>>();
    match question.kind {
        _ if text.is_empty() => Value::Null,
        Ask::Number => json!(text),
        Ask::One => json!(numbers().first()),
        Ask::Several | Ask::Order => json!(numbers()),
    }
    .to_string()
}

/// What the page says about a slip that was looked for; for steps it says right or wrong.
fn part_text(question: &Question, answer: &RecordedAnswer, phrases: &Phrases) -> Value {
    let Some(rest) = answer.part.strip_prefix("slip-") else { return Value::Null };
    let (seed, mistake) = rest.split_once('-').map_or((rest, None), |(seed, mistake)| (seed, Some(mistake)));
    let Ok(seed) = seed.parse::<u32>() else { return Value::Null };
    let (step, figure) = answer.answer.split_once("; ").unwrap_or((&answer.answer, ""));
    let request = json!({
        "do": "slip-answer", "question": question.json().line(), "draw": answer.draw, "seed": seed,
        "mistake": mistake, "step": step.parse::<u64>().ok(), "answer": figure,
    });
    json!(practice_json(&request.to_string(), phrases))
}
