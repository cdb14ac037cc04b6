//! Reading practice over the wire: what is drawn, and what a reading comes to.

use super::{LONGEST, message};
use crate::doors::error;
use crate::page::reading as render;
use crate::page::steps::ask;
use crate::quantity::typed::Typed;
use crate::reading::{Read, Reading, Thing, next};
use crate::text::json::{Value, map};
use crate::words::phrases::Phrases;
use crate::working::record::System;

/// A request of the reading practice: `thing` (its word), `units` (`us` or `metric`), `seed`, and its `do`:
///
/// - `show` → `html`: the drawing with a field.
/// - `read`: `answer` → `right` (true, false or null), `ask`, `html` (which mark was missed, and never the reading
///   itself), `told` (the reading, for after a second miss), `question` (what is worked out next, as a question's JSON,
///   with what was read where it was right and with the right reading where it was not).
pub fn reading_json(request: &str, phrases: &Phrases) -> String {
    let request = match message(request, LONGEST) {
        Ok(request) => request.unwrap_or(Value::Null),
        Err(error) => return error,
    };
    let Some(thing) = request.get("thing").text().and_then(Thing::of) else { return error("there is no such thing") };
    let system = if request.get("units").text() == Some("metric") { System::Metric } else { System::Us };
    let reading = Reading::drawn(thing, system, request.get("seed").whole().unwrap_or(0) as u32);
    if request.get("do").text() != Some("read") {
        return map(vec![("html", render::posed(&reading, phrases).into())]).line();
    }
    let unit = reading.unit();
    let right = Typed { si: reading.nearest() * unit.size(), unit };
    let (verdict, asked, html, read) = match reading
        .judge(&phrases.answered(request.get("answer").text().unwrap_or_default()))
    {
        Read::Right(typed) => (Value::Bool(true), Value::Null, render::right(&reading, phrases), typed),
        Read::Missed(missed) => (Value::Bool(false), Value::Null, render::missed(&reading, &missed, phrases), right),
        Read::Ask(query) => (Value::Null, ask(&query, unit, phrases).into(), String::new(), right),
    };
    let key = format!("reading.{}-next", thing.id());
    let question = next(&reading, &read, phrases.get(&key));
    map(vec![
        ("right", verdict),
        ("ask", asked),
        ("html", html.into()),
        ("told", render::solution(&reading, phrases).into()),
        ("question", question.json()),
    ])
    .line()
}
