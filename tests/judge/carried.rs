//! Questions of several parts: a part worked correctly from an earlier wrong figure earns its point and says so.

use tankside::catalogue;
use tankside_calc::doors::question::{key, pose, score_json};
use tankside_calc::question::offered::Offered;
use tankside_calc::question::parts::{MOST, Marks, QuestionPart, judge};
use tankside_calc::question::template::TemplateFault;
use tankside_calc::question::{Ask, Question};

/// One lawn is left, and some mix in the tank: mix for the lawn, mix to make on top, product for it.
fn last_lawn(given: [&str; 4], units: [&str; 3]) -> Question {
    let names = ["application-rate", "area", "left", "product.1.rate"];
    let part = |text: &str, result: &str, unit: &str| QuestionPart {
        text: text.to_owned(),
        asks: format!("tank-mix/{result}"),
        answer_in: unit.to_owned(),
    };
    Question {
        id: "lawn".to_owned(),
        kind: Ask::Number,
        topic: None,
        text: "A lawn of {area} is left, and {left} of mix. How much product do you add?".to_owned(),
        asks: "tank-mix/product-1-amount".to_owned(),
        given: names.iter().zip(given).map(|(name, text)| ((*name).to_owned(), text.to_owned())).collect(),
        beside: Vec::new(),
        answer_in: units[2].to_owned(),
        tolerance: String::new(),
        because: String::new(),
        parts: vec![
            part("How much mix does the lawn of {area} take?", "mix-needed", units[0]),
            part("How much mix do you make?", "mix-to-make", units[1]),
        ],
        options: Vec::new(),
        draw_version: 1,
        offered: Offered::default(),
    }
}

/// 12,000 ft² at 1.6 gal/1000 ft² take 19.2 gal; 6 gal are left, so 13.2 gal are made, with 9.9 fl oz.
fn us() -> Question {
    last_lawn(["1.6 gal/1000 ft2", "12000 ft2", "6 gal", "1.2 fl oz/1000 ft2"], ["gal", "gal", "fl oz"])
}

/// 1,200 m² at 6 L/100 m² take 72 L; 12 L are left, so 60 L are made, with 300 mL.
fn metric() -> Question {
    last_lawn(["6 L/100 m2", "1200 m2", "12 L", "30 mL/100 m2"], ["L", "L", "mL"])
}

fn marks(question: &Question, answer: &str) -> Marks {
    judge(&question.draw_parts(0).expect("it can be worked"), answer)
}

/// Of each part: `+` right, `-` wrong, `3>1` right from the figure of part 3 with the slip in part 1, `?` not marked.
fn signs(question: &Question, answer: &str) -> String {
    let marks = marks(question, answer);
    let sign = |part: &tankside_calc::question::parts::PartVerdict| match &part.carried {
        Some(carried) => format!("{}>{}", carried.from.0 + 1, carried.slip + 1),
        None if part.verdict.is_right() => "+".to_owned(),
        None if matches!(part.verdict, tankside_calc::question::score::Verdict::Ask(_)) => "?".to_owned(),
        None => "-".to_owned(),
    };
    marks.parts.iter().map(sign).collect::<Vec<_>>().join(" ")
}

#[test]
fn a_part_worked_correctly_from_an_earlier_wrong_figure_earns_its_point() {
    let rows = [
        // Correct throughout.
        (us(), "19.2 gal; 13.2 gal; 9.9 fl oz", "+ + +", 3),
        (metric(), "72 L; 60 L; 300 mL", "+ + +", 3),
        // A slip in the first, and right from there on: 24 - 6 = 18, 18 / 1.6 * 1.2 = 13.5; 48 - 12 = 36, 180 mL.
        (us(), "24 gal; 18 gal; 13.5 fl oz", "- 1>1 2>1", 2),
        (metric(), "48 L; 36 L; 180 mL", "- 1>1 2>1", 2),
        // Another slip in the second: 10.4 / 1.6 * 1.2 = 7.8; 51 / 6 * 30 = 255.
        (us(), "24 gal; 10.4 gal; 7.8 fl oz", "- - 2>2", 1),
        (metric(), "48 L; 51 L; 255 mL", "- - 2>2", 1),
        // A slip in the last as well.
        (us(), "24 gal; 18 gal; 3 fl oz", "- 1>1 -", 1),
        // Right again of itself after a slip.
        (us(), "24 gal; 13.2 gal; 9.9 fl oz", "- + +", 2),
        // Left blank: nothing is carried from it, and the others count.
        (us(), "; 13.2 gal; 9.9 fl oz", "? + +", 2),
        (us(), "24 gal; ; 13.5 fl oz", "- ? 1>1", 1),
        (us(), "19.2 gal", "+ ? ?", 1),
        // In other units, and rounded to the third figure.
        (us(), "24 gal; 72 qt; 27 tbsp", "- 1>1 2>1", 2),
        (metric(), "47.3 L; 35.3 L; 177 mL", "- 1>1 2>1", 2),
        // A number that no problem can be worked on with.
        (us(), "0 gal; 18 gal; 13.5 fl oz", "- - 2>2", 1),
        (us(), "99999999999 gal; 18 gal; 13.5 fl oz", "- - 2>2", 1),
    ];
    for (question, answer, wanted, points) in rows {
        assert_eq!(signs(&question, answer), wanted, "{answer}");
        assert_eq!(marks(&question, answer).earned(), points, "{answer}");
        assert_eq!(marks(&question, answer).right(), points == 3, "{answer}");
    }
}

#[test]
fn the_slip_is_where_the_figure_came_from_and_not_in_a_part_that_was_right() {
    let mut question = us();
    question.parts.push(QuestionPart {
        text: "How much ground does that treat?".to_owned(),
        asks: "tank-mix/new-mix-area".to_owned(),
        answer_in: "ft2".to_owned(),
    });
    // 18 gal from the wrong 24 treat 11,250 ft², at 1.2 fl oz/1000 ft² 13.5 fl oz; 13.2 gal would be right.
    assert_eq!(signs(&question, "24 gal; 13.2 gal; 11250 ft2; 13.5 fl oz"), "- + 1>1 3>1");
}

fn told(question: &Question, answer: &str) -> serde_json::Value {
    let phrases = catalogue::phrases("en").expect("readable").expect("there is English");
    let answer = serde_json::to_string(answer).expect("a text");
    serde_json::from_str(&score_json(&question.json().line(), 0, &answer, &phrases)).expect("JSON")
}

#[test]
fn it_is_said_in_plain_words() {
    let said = told(&us(), "24 gal; 18 gal; 13.5 fl oz");
    let html = said["html"].as_str().expect("a text").replace('\u{a0}', " ");
    for words in [
        "Right from your 24 gal; the slip was in part 1. This part earns its point.",
        "Right from your 18 gal; the slip was in part 1. This part earns its point.",
        "2 of 3 points",
    ] {
        assert!(html.contains(words), "{words}\n{html}");
    }
    assert_eq!((&said["right"], &said["points"]), (&false.into(), &serde_json::json!([2, 3])));
    assert_eq!(said["ask"], serde_json::Value::Null);
}

#[test]
fn what_must_be_asked_is_asked_about_its_part() {
    let said = told(&us(), "24 gal; 18; 13.5 fl oz");
    assert_eq!(said["ask"], "Part 2: 18 what? Write it again with its unit.");
    assert_eq!((&said["right"], &said["part"]), (&serde_json::Value::Null, &1.into()));
    // What the other parts earn counts where it is never answered.
    assert_eq!(said["points"], serde_json::json!([1, 3]));
    assert_eq!(told(&us(), "; ;")["ask"], "Not answered yet.");
    assert_eq!(told(&us(), "19.2 gal; ; 9.9 fl oz")["right"], false);
}

#[test]
fn a_page_shows_a_field_for_each_part_and_the_key_each_answer() {
    let phrases = catalogue::phrases("en").expect("readable").expect("there is English");
    let posed = pose(&us(), 0, &phrases).expect("posed");
    assert_eq!(posed.matches("data-piece=").count(), 3);
    assert!(posed.contains("How much mix does the lawn of"), "{posed}");
    let key = key(&us(), 0, &phrases).expect("a key");
    assert_eq!(key.matches("tk-feedback__accepted").count(), 3);
}

#[test]
fn parts_decide_the_digest_and_are_carried_by_the_page() {
    let whole = us();
    let read = Question::read(&whole.json().line()).expect("a question");
    assert_eq!(read, whole);
    let other = Question { parts: Vec::new(), ..us() };
    assert_ne!(other.digest(), whole.digest());
    assert_eq!((whole.points(), other.points()), (3, 1));
}

#[test]
fn a_part_that_leads_nowhere_is_refused() {
    let part = |asks: &str| QuestionPart { text: "What?".to_owned(), asks: asks.to_owned(), answer_in: String::new() };
    let fault = |parts: Vec<QuestionPart>| Question { parts, ..us() }.judged(1).expect_err("refused");
    let at = |index, fault| TemplateFault::Part(index, Box::new(fault));
    assert_eq!(
        fault(vec![part("tank-mix/mix-needed"), part("tank-mix/product-1-total")]),
        at(1, TemplateFault::NotOnTheWay("product-1-total".to_owned()))
    );
    assert_eq!(fault(vec![part("tank-mix/nothing")]), at(0, TemplateFault::UnknownResult("nothing".to_owned())));
    assert_eq!(
        fault(vec![part("catch-test/nozzle-output")]),
        at(0, TemplateFault::PartElsewhere("catch-test".to_owned()))
    );
    assert_eq!(fault(vec![part("tank-mix/mix-needed"); MOST]), at(MOST - 1, TemplateFault::TooManyParts));
    assert!(us().judged(1).is_ok());
}
