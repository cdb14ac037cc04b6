//! Mistakes in an author's own questions: what a learner is shown, and what is reported to the author.

use crate::{every, phrases, typed};
use std::collections::{BTreeMap, BTreeSet};
use tankside::course::ready_banks;
use tankside::load::Bank;
use tankside::problem::{Problems, Source, Style};
use tankside_calc::doors::question as wire;
use tankside_calc::mistakes;
use tankside_calc::question::Question;
use tankside_calc::question::score::Answer;

const GUN: &str = r#"id: own
title: Own
questions:
  - id: gun
    kind: number
    asks: catch-test/nozzle-output
    text: "From a {tank} tank you catch {catch.1.volume} in {catch.1.time}. What does the gun put out?"
    given:
      catch: [{ volume: 96 fl oz, time: 30 s }]
    beside: { tank: "one of 100, 200 gal" }
    answer-in: gal/min
"#;

/// A bank of an author's own, and what is reported about it.
fn own_bank(text: &str) -> (Vec<Question>, String) {
    let mut problems = Problems::new();
    let bank = Bank::read("own", Source::new("questions/own.yaml", text), &mut problems).expect("a bank");
    let ready = ready_banks(&BTreeMap::from([("own".to_owned(), bank)]), &mut problems);
    let questions = ready.into_values().flat_map(|bank| bank.questions.to_vec()).collect();
    (questions, if problems.is_empty() { String::new() } else { problems.draw(Style::Plain) })
}

fn scored(question: &Question, answer: &str) -> serde_json::Value {
    let answer = serde_json::to_string(answer).expect("a text");
    let told = wire::score_json(&question.json().line(), question.draw_at(1), &answer, phrases());
    serde_json::from_str(&told).expect("JSON")
}

#[test]
fn feedback_says_what_was_done_the_right_way_and_what_the_lawn_gets() {
    let (questions, told) = own_bank(GUN);
    assert_eq!(told, "");
    // 96 fl oz in 30 s is 1.5 gal/min; 96 / 100 in half a minute is 1.92, and the catch alone 0.75.
    let said = |answer: &str| scored(&questions[0], answer);
    let hundred = said("1.92 gal/min");
    assert_eq!(hundred["mistake"], "128-forgotten-divides-by-100");
    assert_eq!(hundred["right"], false);
    let html = hundred["html"].as_str().expect("HTML");
    for part in ["You took a gallon for 100", "A gallon is 128", "about 22", "too little product"] {
        assert!(html.contains(part), "{part} in {html}");
    }
    let half = said("0.75 gal/min");
    assert_eq!(half["mistake"], "partial-minute-catch-called-gpm");
    assert!(half["html"].as_str().expect("HTML").contains("times the product you meant"), "{half}");
    let unit = said("192 gal/min");
    assert_eq!(unit["mistake"], "another-unit");
    assert!(unit["html"].as_str().expect("HTML").contains("fl\u{a0}oz/min"), "{unit}");
    // A unit that the trade does not use for it is as wrong as its partner.
    let hourly = said("1.5 gal/h");
    assert_eq!(hourly["mistake"], "another-unit");
    assert!(hourly["html"].as_str().expect("HTML").contains("with the unit “gal/min”"), "{hourly}");
    let none = said("1.1 gal/min");
    assert_eq!(none["mistake"], serde_json::Value::Null);
    assert!(none["html"].as_str().expect("HTML").contains("tell what went wrong"), "{none}");
    for right in ["1.5 gal/min", "192 fl oz/min"] {
        let right = said(right);
        assert_eq!((&right["right"], &right["mistake"]), (&true.into(), &serde_json::Value::Null));
        assert!(!right["html"].as_str().expect("HTML").contains("tk-feedback__slip"), "{right}");
    }
    assert_eq!(said("1.5")["mistake"], serde_json::Value::Null);
}

#[test]
fn every_mistake_has_a_whole_sentence_about_the_lawn() {
    let ((questions, _), mut silent) = (own_bank(GUN), BTreeSet::new());
    for question in every().iter().chain(&questions) {
        let posed = question.draw(question.draw_at(1)).unwrap_or_else(|fault| panic!("{}: {fault:?}", question.id));
        let problem = posed.right_working();
        for mistake in mistakes::all() {
            let Some(si) = mistake.leads_to(&problem, &posed.unit) else { continue };
            let said = scored(question, &text_of(&typed(si, &posed.unit)));
            let html = said["html"].as_str().unwrap_or_else(|| panic!("{}: {said}", question.id));
            assert!(!html.contains(['{', '}']), "{} {}: {html}", question.id, mistake.id);
            if said["mistake"] == *mistake.id && !html.contains("tk-feedback__lawn") {
                silent.insert(format!("{} of {}", mistake.id, question.asks));
            }
        }
    }
    assert!(silent.is_empty(), "{} say nothing about the lawn: {silent:#?}", silent.len());
}

fn text_of(answer: &Answer) -> String {
    match answer {
        Answer::Text(text) => text.clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn ranges_that_never_keep_two_mistakes_apart_are_reported_at_their_place() {
    let tank = r#"id: own
title: Own
questions:
  - id: tank
    kind: number
    asks: tank-mix/product-1-amount
    text: "{tank} at {application-rate} and {product.1.rate}"
    given:
      tank: one of 100, 200 gal
      application-rate: 1.01 to 1.02 by 0.01 gal/1000 ft2
      product: [{ rate: 1.5 fl oz/1000 ft2 }]
    answer-in: fl oz
"#;
    let (_, told) = own_bank(tank);
    assert!(told.contains("  error mistakes-inseparable\n") && told.contains("No draw from these ranges keeps the right answer and the mistake `gallons-taken-for-thousands` 3 % apart"), "{told}");
    assert!(told.contains("\n  questions/own.yaml:9:7"), "{told}");
    assert_eq!(own_bank(&tank.replace("1.01 to 1.02 by 0.01", "1.2 to 2 by 0.2")).1, "");
    // Numbers that the author fixed are the author's business.
    let fixed = tank.replace("one of 100, 200 gal", "100 gal").replace("1.01 to 1.02 by 0.01", "1.01");
    assert_eq!(own_bank(&fixed).1, "");
}

#[test]
fn what_is_given_beside_the_inputs_is_checked() {
    for (from, to, place) in [
        ("one of 100, 200 gal", "large", "questions/own.yaml:10:21"),
        ("tank: \"one of 100, 200 gal\"", "catch.1.time: 30 s", "questions/own.yaml:10:29"),
    ] {
        let (_, told) = own_bank(&GUN.replace("{tank}", "large").replace(from, to));
        assert!(told.contains("  error beside-unreadable\n"), "{told}");
        assert!(told.contains(place), "{told}");
    }
    let (_, told) = own_bank(&GUN.replace("{tank}", "{tanc}"));
    assert!(told.contains("  error place-unknown\n") && told.contains("Write `{tank}`."), "{told}");
    let choice = GUN.replace("kind: number", "kind: one");
    let mut problems = Problems::new();
    Bank::read("own", Source::new("questions/own.yaml", choice.as_str()), &mut problems);
    assert!(problems.draw(Style::Plain).contains("`beside` belongs to a question for a number"));
}

#[test]
fn an_answer_that_two_mistakes_lead_to_is_not_guessed_at() {
    // Taking the catch for the ground is a factor of 60 s over the spraying time here, a quart for a gallon one of 4.
    let rate = |time: &str| {
        let text = GUN
            .replace("catch-test/nozzle-output", "application-rate/application-rate")
            .replace(
                "From a {tank} tank you catch {catch.1.volume} in {catch.1.time}. What does the gun put out?",
                "Rate?",
            )
            .replace(
                "catch: [{ volume: 96 fl oz, time: 30 s }]",
                &format!("timed: [{{ volume: 96 fl oz, catch-time: 60 s, area: 1000 ft2, area-time: {time} }}]"),
            )
            .replace("    beside: { tank: \"one of 100, 200 gal\" }\n", "")
            .replace("gal/min", "gal/1000 ft2");
        let (questions, told) = own_bank(&text);
        assert_eq!(told, "");
        scored(&questions[0], "0.75 gal/1000 ft2")["mistake"].clone()
    };
    assert_eq!(rate("30 s"), "catch-time-not-scaled");
    assert_eq!(rate("15.06 s"), serde_json::Value::Null);
}
