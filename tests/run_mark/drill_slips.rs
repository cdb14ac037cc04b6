//! A slip that puts down too much and was made in the drill keeps somebody out of the field until it is cleared there.

use super::{Folder, answer, demo, record, right_answer, tankside, text};
use serde_json::{Value, json};
use tankside_calc::learning::schedule::{TO_CLEAR, TO_FIND};
use tankside_calc::mistakes::too_much;
use tankside_calc::question::score::{Answer, Verdict, dose, number};
use tankside_calc::question::steps::slipped;
use tankside_calc::question::template::Posed;
use tankside_calc::question::{Ask, Question};
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;

/// A question with an answer that shows a mistake that over-applies and can be shown in a worked example.
fn slip(questions: &[Question]) -> (usize, u32, String, &'static str) {
    for (index, question) in questions.iter().enumerate() {
        if question.kind != Ask::Number || !question.parts.is_empty() {
            continue;
        }
        let draw = question.draw_at(3);
        let posed = question.draw(draw).expect("offered");
        for mistake in tankside_calc::mistakes::all() {
            let Some(wrong) = mistake.leads_to(&posed.right_working(), &posed.unit) else { continue };
            let typed = tankside_calc::quantity::written::quantity(wrong, &posed.unit);
            let verdict = number(&posed, &Answer::Text(typed.clone()));
            let over = dose(&posed, &Answer::Text(typed.clone()), &verdict).is_some_and(too_much);
            if let Verdict::Wrong(Some(shown)) = &verdict
                && over
                && slipped(&posed, 0, Some(shown.mistake.id)).is_some()
            {
                return (index, draw, typed, shown.mistake.id);
            }
        }
    }
    panic!("no question of these has such a slip");
}

/// An example in which the slip is found, or is not.
fn find(
    question: &Question,
    posed: &Posed,
    draw: u32,
    seed: u32,
    (mistake, found): (&str, bool),
    phrases: &Phrases,
) -> Value {
    let slip = slipped(posed, seed, Some(mistake)).expect("it can be shown");
    let figure = say::step_value(&posed.working()[slip.step], phrases);
    let mut one = answer(question, draw, &format!("{}; {figure}", if found { slip.step } else { slip.step + 1 }));
    one["part"] = json!(format!("slip-{seed}-{mistake}"));
    one
}

fn sitting(id: &str, kind: &str, day: u32, answers: &[Value]) -> Value {
    json!({
        "id": id, "kind": kind, "name": kind, "code": "", "begun": format!("2026-04-{day:02}T08:00:00Z"),
        "ended": format!("2026-04-{day:02}T08:30:00Z"), "answers": answers
    })
}

#[test]
fn a_slip_made_in_the_drill_is_cleared_there_by_right_answers_and_by_finding_it() {
    let folder = Folder::new("drill-slips");
    let resolved = demo();
    let course = resolved.course().expect("the demo resolves");
    let questions = &course.banks["first-week"].questions;
    let (index, draw, typed, mistake) = slip(questions);
    let question = &questions[index];
    let posed = question.draw(draw).expect("offered");
    let check: Vec<Value> = (questions.iter())
        .map(|question| answer(question, question.draw_at(3), &right_answer(question, question.draw_at(3))))
        .collect();
    let made = [answer(question, draw, &typed)];
    let rights: Vec<Value> = (1..=TO_CLEAR)
        .map(|turn| question.draw_at(turn * 37))
        .map(|draw| answer(question, draw, &right_answer(question, draw)))
        .collect();
    let finds = |found: bool| -> Vec<Value> {
        (0..TO_FIND).map(|seed| find(question, &posed, draw, seed, (mistake, found), &course.phrases)).collect()
    };
    let cleared = [rights.clone(), finds(true)].concat();
    let missed = [rights.clone(), finds(false)].concat();
    type Sittings<'s> = &'s [(&'s str, &'s [Value])];
    let people: [(&str, Sittings, &str); 6] = [
        ("Check alone", &[], "yes"),
        ("Drill open", &[("drill", &made)], "no"),
        ("Only right answers", &[("drill", &made), ("drill", &rights)], "no"),
        ("Looked for in vain", &[("drill", &made), ("drill", &missed)], "no"),
        ("Cleared", &[("drill", &made), ("drill", &cleared)], "yes"),
        ("In practice", &[("practice", &made)], "yes"),
    ];
    for (place, (name, sittings, _)) in people.iter().enumerate() {
        let mut whole = record(name, &format!("p{place}"), &format!("check{place}"), check.clone());
        // The order in the file is not that of the days.
        for (turn, (kind, answers)) in sittings.iter().enumerate().rev() {
            let one = sitting(&format!("s{place}{turn}"), kind, turn as u32 + 1, answers);
            whole["sittings"].as_array_mut().expect("a list").push(one);
        }
        if *name == "Check alone" {
            // A check on the day before, with the slip.
            let mut before = record(name, "", "check", [&made[..], &check].concat())["sittings"][0].clone();
            before["begun"] = json!("2026-04-30T08:00:00Z");
            before["ended"] = json!("2026-04-30T08:30:00Z");
            whole["sittings"].as_array_mut().expect("a list").push(before);
        }
        folder.write(&format!("{place}.json"), whole.to_string().as_bytes());
    }
    let output = tankside(&folder.0, &["mark", "."]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let table = folder.read("tankside-roster/roster.csv");
    for (name, _, ready) in people {
        assert!(table.contains(&format!("\r\n{name},{ready},")), "{name}: {table}");
    }
    let page = folder.read("tankside-roster/roster.html");
    for (name, alone) in [("Check alone", true), ("Cleared", false), ("In practice", true)] {
        let said = page
            .contains(&format!("<li><strong>{name}</strong> <span class=\"tk-desk__open\">By the check alone.</span>"));
        assert_eq!(said, alone, "whether {name} has a drill behind them");
    }
    assert_eq!(page.matches("there is no drill in the records").count(), 1, "what that means");
    assert_eq!(table.matches("In an earlier check, one answer would have put down").count(), 1, "{table}");
    assert_eq!(table.matches("A slip made in the drill, in one kind of problem").count(), 3, "{table}");
}
