//! Learning over the wire: one request in JSON, one reply. Anything that cannot be read is answered as if it were
//! empty.

use super::{LONGEST_KEPT, message};
use crate::learning::exam::{Blueprint, Item, PlacedItem, compose};
use crate::learning::plan::{DaysOff, Load, PlannedDay, plan};
use crate::learning::schedule::{Event, Standing, standing};
use crate::learning::seed_of;
use crate::learning::session::{DrillItem, again, finds, session};
use crate::text::fixed_hash::{self, seal};
use crate::text::json::{Value, map};

/// The most questions to choose from, and the most digests tracked: five times the stock, because comparisons grow with
/// the square.
const MOST_QUESTIONS: usize = 5_000;
/// The most slots of a sitting that are read; a miss adds one.
const MOST_SLOTS: usize = 1_000;
/// The most topics of an exam.
const MOST_TOPICS: usize = 100;

/// A request of the learner's pages, by its `do`:
///
/// - `standing`: `answers` (digest, day, draw, right, unaided, over, choice, find each; `over` is "shown" where the slip
///   can be shown in a worked example, `find` says that it is such an example that was answered), `today`, `exam` (a day or null) →
///   `items`: by digest `row`, `learned`, `kept`, `missed`, `right`, `due`.
/// - `session`: the same and `kinds` (digest, formula, topic, whether it is a choice each), `length`, `seed` → `slots`,
///   and `finds`: the kinds whose own slip is to be found first.
/// - `again`: `slots`, `at`, `formulas` → `slots`.
/// - `plan`: as `standing` and `kinds`, `most` new kinds in a day, `questions` in a day, `off` (days of the week without
///   practice, 0 for Sunday) → `days` (day, missed, new, back, questions each), `fits` (kinds learned at the end),
///   `formulas` (how many of them, and of how many).
/// - `exam`: `pool` (topic's place or null, formula, number, typed each), `weights`, `items`, `typed`, `code` or `seed`
///   → `asked` (place in the pool, seed, typed each).
/// - `seal`: `text` → `seal`, what a file with that text ends with.
pub fn learning_json(request: &str) -> String {
    let request = match message(request, LONGEST_KEPT) {
        Ok(request) => request.unwrap_or(Value::Null),
        Err(error) => return error,
    };
    match request.get("do").text().unwrap_or_default() {
        "standing" => standings(&request),
        "session" => slots(&request),
        "again" => once_more(&request),
        "plan" => days(&request),
        "exam" => exam(&request),
        "seal" => map(vec![("seal", seal(request.get("text").text().unwrap_or_default().as_bytes()).into())]),
        _ => Value::Map(Vec::new()),
    }
    .line()
}

fn whole(value: &Value) -> i32 {
    match value {
        Value::Number(number) if (-1e6..1e9).contains(number) => *number as i32,
        _ => 0,
    }
}

fn truth(value: &Value) -> bool {
    *value == Value::Bool(true)
}

fn list<'a>(request: &'a Value, key: &str) -> &'a [Value] {
    request.get(key).list().unwrap_or_default()
}

fn member(row: &Value, place: usize) -> &Value {
    row.list().and_then(|row| row.get(place)).unwrap_or(&Value::Null)
}

fn number(number: impl Into<f64>) -> Value {
    Value::Number(number.into())
}

/// Answers by digest, in the order in which they were given.
fn events(request: &Value) -> Vec<(String, Vec<Event>)> {
    let mut by_digest: Vec<(String, Vec<Event>)> = Vec::new();
    for row in list(request, "answers") {
        let Some(digest) = member(row, 0).text() else { continue };
        let draw = member(row, 2).whole().and_then(|draw| u32::try_from(draw).ok()).unwrap_or(0);
        let (right, unaided) = (truth(member(row, 3)), truth(member(row, 4)));
        let shown = member(row, 5).text() == Some("shown");
        let (over, choice) = (shown || truth(member(row, 5)), truth(member(row, 6)));
        let find = shown || truth(member(row, 7));
        let event = Event { day: whole(member(row, 1)), draw, right, unaided, over, choice, find };
        // Kept in order of the digests: the library's sorting alone weighs more than all of this in a browser.
        match by_digest.binary_search_by(|(known, _)| known.as_str().cmp(digest)) {
            Ok(place) => by_digest[place].1.push(event),
            Err(place) if by_digest.len() < MOST_QUESTIONS => {
                by_digest.insert(place, (digest.to_owned(), vec![event]));
            }
            Err(_) => {}
        }
    }
    by_digest
}

fn exam_day(request: &Value) -> Option<i32> {
    matches!(request.get("exam"), Value::Number(_)).then(|| whole(request.get("exam")))
}

fn known(request: &Value) -> Vec<(String, Standing)> {
    let today = whole(request.get("today"));
    let by_digest = events(request).into_iter();
    by_digest.filter_map(|(digest, events)| Some((digest, standing(&events, today)?))).collect()
}

fn due(digest: &str, standing: &Standing, exam: Option<i32>) -> i32 {
    let place = || fixed_hash::of(digest.bytes()) as u32;
    exam.map_or(standing.due, |exam| standing.due_before(exam, place()))
}

fn standings(request: &Value) -> Value {
    let exam = exam_day(request);
    let shown = |(digest, standing): (String, Standing)| {
        let members = map(vec![
            ("row", number(standing.row)),
            ("learned", Value::Bool(standing.learned)),
            ("kept", Value::Bool(standing.retained())),
            ("missed", Value::Bool(standing.missed)),
            ("right", Value::Bool(standing.right_once)),
            ("due", number(due(&digest, &standing, exam))),
        ]);
        (digest, members)
    };
    map(vec![("items", Value::Map(known(request).into_iter().map(shown).collect()))])
}

fn kinds(request: &Value) -> Vec<DrillItem> {
    let (known, exam) = (known(request), exam_day(request));
    let kind = |row: &Value| {
        let digest = member(row, 0).text().unwrap_or_default();
        let place = known.binary_search_by(|(other, _)| other.as_str().cmp(digest)).ok();
        let standing = place.map(|place| known[place].1.clone());
        let due = standing.as_ref().map_or(0, |standing| due(digest, standing, exam));
        let text = |place: usize| member(row, place).text().unwrap_or_default().to_owned();
        DrillItem { topic: text(2), formula: text(1), choice: truth(member(row, 3)), standing, due }
    };
    list(request, "kinds").iter().take(MOST_QUESTIONS).map(kind).collect()
}

fn places(slots: &[usize]) -> Value {
    Value::List(slots.iter().map(|slot| number(*slot as f64)).collect())
}

fn slots(request: &Value) -> Value {
    let length = request.get("length").whole().unwrap_or(12).clamp(1, 200);
    let (today, seed) = (whole(request.get("today")), request.get("seed").whole().unwrap_or(0) as u64);
    let kinds = kinds(request);
    let finds = finds(&kinds, length);
    let slots = session(&kinds, length - finds.len(), today, seed);
    map(vec![("slots", places(&slots)), ("finds", places(&finds))])
}

fn once_more(request: &Value) -> Value {
    let mut slots: Vec<usize> = list(request, "slots").iter().take(MOST_SLOTS).filter_map(Value::whole).collect();
    let formulas = list(request, "formulas");
    let formula = |slot: usize| formulas.get(slot).and_then(Value::text).unwrap_or_default().to_owned();
    again(&mut slots, request.get("at").whole().unwrap_or(usize::MAX - 3), &formula);
    map(vec![("slots", places(&slots))])
}

fn days(request: &Value) -> Value {
    let count = |key: &str, usual: usize| request.get(key).whole().unwrap_or(usual).clamp(1, 1_000) as u32;
    let off = DaysOff::of(list(request, "off").iter().take(7).filter_map(Value::whole));
    let load = Load { new: count("most", 4), questions: count("questions", 24), off };
    let plan = plan(&kinds(request), whole(request.get("today")), exam_day(request), load);
    let row = |day: &PlannedDay| {
        let counts = [day.missed, day.new, day.back, day.questions].map(number);
        Value::List([number(day.day)].into_iter().chain(counts).collect())
    };
    map(vec![
        ("days", Value::List(plan.days.iter().map(row).collect())),
        ("fits", number(plan.fits)),
        ("formulas", Value::List(vec![number(plan.formulas.0), number(plan.formulas.1)])),
    ])
}

fn exam(request: &Value) -> Value {
    let item = |row: &Value| Item {
        topic: member(row, 0).whole(),
        formula: member(row, 1).text().unwrap_or_default().to_owned(),
        number: truth(member(row, 2)),
        typed: truth(member(row, 3)),
    };
    let pool: Vec<Item> = list(request, "pool").iter().take(MOST_QUESTIONS).map(item).collect();
    let weight = |value: &Value| value.whole().map_or(0, |weight| weight.min(10_000) as u32);
    let blueprint = Blueprint {
        weights: list(request, "weights").iter().take(MOST_TOPICS).map(weight).collect(),
        items: request.get("items").whole().unwrap_or(25).clamp(1, 200),
        typed: request.get("typed").whole().unwrap_or(0),
    };
    let code = request.get("code").text().unwrap_or_default();
    let seed = if code.is_empty() { request.get("seed").whole().unwrap_or(0) as u64 } else { seed_of(code) };
    let row =
        |asked: &PlacedItem| Value::List(vec![number(asked.item as f64), number(asked.seed), Value::Bool(asked.typed)]);
    map(vec![("asked", Value::List(compose(&pool, &blueprint, seed).iter().map(row).collect()))])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_read_is_answered_as_if_it_were_empty() {
        for request in ["", "{", "null", "[]", r#"{"do":"fly"}"#] {
            assert_eq!(learning_json(request), "{}");
        }
        assert_eq!(learning_json(r#"{"do":"standing","answers":[1,[2],["a"]]}"#).matches("due").count(), 1);
        assert_eq!(learning_json(r#"{"do":"session"}"#), r#"{"slots":[],"finds":[]}"#);
        assert_eq!(learning_json(r#"{"do":"again","slots":[1,2],"at":9}"#), r#"{"slots":[1,2]}"#);
        assert_eq!(learning_json(r#"{"do":"exam","items":1000}"#), r#"{"asked":[]}"#);
        assert_eq!(learning_json(r#"{"do":"plan"}"#), r#"{"days":[],"fits":0,"formulas":[0,0]}"#);
    }

    #[test]
    fn three_right_are_learned_and_come_back_tomorrow() {
        let request = r#"{"do":"standing","today":7,"answers":[["a",7,1,true,true],["b",7,1,false,true],["a",7,2,true,true],["a",7,3,true,true]]}"#;
        let reply = Value::read(&learning_json(request)).unwrap();
        let a = reply.get("items").get("a");
        assert_eq!((a.get("learned"), a.get("due")), (&Value::Bool(true), &Value::Number(8.0)));
        assert_eq!(reply.get("items").get("b").get("missed"), &Value::Bool(true));
    }
}
