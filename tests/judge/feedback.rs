//! The working of a question ends in the answer, in its unit, and shows what it rests on and nothing else.

use crate::banks;
use tankside_calc::doors::question::score_json;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::working::traced::{Expr, Origin};

#[test]
fn the_working_of_every_question_ends_in_its_answer_in_its_unit() {
    let mut longest = (0, "");
    for question in banks::numbers() {
        for seed in 0..20.min(question.offered.count()) {
            let posed = question.draw(question.draw_at(seed)).expect("it was judged");
            let working = posed.working();
            let last = working.last().unwrap_or_else(|| panic!("{} has no working", question.id));
            assert_eq!(last.si.to_bits(), posed.si.to_bits(), "{} {seed}", question.id);
            assert_eq!(last.unit, posed.unit, "{} {seed}", question.id);
            assert_eq!(last.unit.dim(), posed.unit.dim());
            longest = longest.max((working.len(), question.id.as_str()));
            for (place, step) in working.iter().enumerate().take(working.len() - 1) {
                let used = working[place + 1..].iter().any(|later| rests_on(&later.expr, step.si));
                assert!(used, "{} {seed}: {} leads nowhere", question.id, step.id);
            }
        }
    }
    println!("the longest working: {longest:?}");
    assert!(longest.0 <= 12, "{longest:?}");
}

#[test]
fn the_working_uses_no_number_that_the_question_does_not_give() {
    let mut faults = std::collections::BTreeSet::new();
    for question in banks::numbers() {
        let posed = question.draw(question.draw_at(1)).expect("it was judged");
        let text = question.text_for(&posed, banks::phrases());
        for step in posed.working() {
            let mut names = Vec::new();
            inputs(&step.expr, &mut names);
            for name in names {
                let typed = posed.typed(&name).map(tankside_calc::quantity::written::as_typed).unwrap_or_default();
                let number = typed.split([' ', '\u{a0}']).next().unwrap_or_default().to_owned();
                // A row equal to the one before it is listed once, a square has one side, and 2 may be written "twice".
                let twice = number == "2" && text.contains("twice");
                let given = twice || posed.given.text(&name).is_some_and(|given| text.contains(given));
                if !given && !text.contains(&number) && !question.text.contains(&format!("{{{name}}}")) && number != "1"
                {
                    faults.insert(format!("{}: {name} is {typed}", question.id));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
}

/// The inputs that an expression is worked from.
fn inputs(expr: &Expr, names: &mut Vec<String>) {
    match expr {
        Expr::Leaf { origin: Origin::Input(name), .. } => names.push(name.to_string()),
        Expr::Leaf { .. } => {}
        Expr::Add(a, b) | Expr::Sub(a, b) | Expr::Mul(a, b) | Expr::Div(a, b) | Expr::Least(a, b) => {
            inputs(a, names);
            inputs(b, names);
        }
        Expr::Root(a) | Expr::Ceil(a) | Expr::Floor(a) => inputs(a, names),
    }
}

fn rests_on(expr: &Expr, value: f64) -> bool {
    match expr {
        Expr::Leaf { origin: Origin::Step(_), si, .. } => si.to_bits() == value.to_bits(),
        Expr::Leaf { .. } => false,
        Expr::Add(a, b) | Expr::Sub(a, b) | Expr::Mul(a, b) | Expr::Div(a, b) | Expr::Least(a, b) => {
            rests_on(a, value) || rests_on(b, value)
        }
        Expr::Root(a) | Expr::Ceil(a) | Expr::Floor(a) => rests_on(a, value),
    }
}

#[test]
fn where_nothing_known_fits_plain_words_name_the_first_steps_to_check() {
    // Each of several parts is a question of its own.
    for question in &banks::numbers().flat_map(|question| question.each()).collect::<Vec<_>>() {
        let draw = question.draw_at(3);
        let posed = question.draw(draw).expect("it was judged");
        let text = format!("{} {}", 987_654_321, posed.unit.shown());
        let answer = serde_json::to_string(&text).expect("a text");
        let told = score_json(&question.json().line(), draw, &answer, banks::phrases());
        let told: serde_json::Value = serde_json::from_str(&told).expect("JSON");
        let html = told["html"].as_str().unwrap_or_else(|| panic!("{}: {told}", question.id));
        assert_eq!(told["right"], false, "{}: {told}", question.id);
        if told["mistake"].is_null() {
            let steps = posed.working().len();
            let says = if steps == 1 {
                "what went wrong. You wrote 987654321"
            } else {
                "which step went wrong. You wrote 987654321"
            };
            assert!(html.contains(says), "{}: {html}", question.id);
            assert_eq!(html.contains("with the one step:"), steps == 1, "{}: {html}", question.id);
        }
        assert!(!html.contains(['{', '}']), "{}: {html}", question.id);
        assert!(!html.contains(" in in"), "{}: {html}", question.id);
    }
}

#[test]
fn a_unit_in_which_the_number_would_be_right_can_be_told_from_the_words_around_it() {
    let course = banks::numbers().find(|question| question.id == "known-area-course-for-a-spacing");
    let course = course.expect("it is in the stock");
    let posed = course.draw(course.draw_at(0)).expect("it was judged");
    let answer = format!("\"{:.1} ft\"", posed.si / Unit::of("in").size());
    let told = score_json(&course.json().line(), course.draw_at(0), &answer, banks::phrases());
    let told: serde_json::Value = serde_json::from_str(&told).expect("JSON");
    assert_eq!(told["mistake"], "another-unit", "{told}");
    assert!(told["html"].as_str().is_some_and(|html| html.contains("with the unit “in”")), "{told}");
}

#[test]
fn a_code_that_is_stamped_on_a_tip_is_written_as_it_is_stamped() {
    let question = banks::numbers().find(|question| question.id == "nozzle-wear-tip-code").expect("it is in the stock");
    let mut long = 0;
    for draw in 0..20 {
        let posed = question.draw(draw).expect("it was judged");
        let code = posed.given.text("tip-code").expect("it is given").to_owned();
        let text = question.text_for(&posed, banks::phrases());
        assert!(text.contains(&format!("stamped {code}.")), "{text}");
        long += usize::from(code.len() == 5);
    }
    assert!(long > 0, "none of 11003's length");
}
