//! What is asked about in words rather than marked wrong: no unit, a bare oz, a sign left open, and one figure too few.

use crate::verdict;
use tankside::catalogue;
use tankside_calc::doors::question::score_json;
use tankside_calc::question::offered::Offered;
use tankside_calc::question::{Ask, Question};

pub(crate) fn question(asks: &str, text: &str, given: &[(&str, &str)], answer_in: &str) -> Question {
    Question {
        id: "a".to_owned(),
        kind: Ask::Number,
        topic: None,
        text: text.to_owned(),
        asks: asks.to_owned(),
        given: given.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect(),
        beside: Vec::new(),
        answer_in: answer_in.to_owned(),
        tolerance: String::new(),
        because: String::new(),
        parts: Vec::new(),
        options: Vec::new(),
        draw_version: 1,
        offered: Offered::default(),
    }
}

/// The verdict on each answer, and what is asked back.
fn said(question: &Question, answer: &str) -> (&'static str, String) {
    let phrases = catalogue::phrases("en").expect("readable").expect("there is English");
    let posed = question.draw(0).expect("it can be worked");
    let answered = serde_json::to_string(answer).expect("a text");
    let told = score_json(&question.json().line(), 0, &answered, &phrases);
    let told: serde_json::Value = serde_json::from_str(&told).expect("JSON");
    (verdict(&posed, answer), told["ask"].as_str().unwrap_or_default().to_owned())
}

/// 12 % less than the card: 1.5 gal/1000 ft2 on 10,000 ft2 is 15 gal, and 13.2 were used.
fn under() -> Question {
    let given = [("application-rate", "1.5 gal/1000 ft2"), ("area", "10000 ft2"), ("volume-used", "13.2 gal")];
    question("usage-check/departure", "How far off?", &given, "%")
}

#[test]
fn a_side_left_open_is_asked_about() {
    for (answer, verdict) in [
        ("12 %", "side?"),
        ("-12 %", "right"),
        ("12 % under", "right"),
        ("12 % low", "right"),
        ("12 % less", "right"),
        ("-12.4 %", "right"),
        ("+12 %", "over-for-under"),
        ("12 % over", "over-for-under"),
        ("25 %", "wrong"),
        ("about 12 % under", "right"),
    ] {
        assert_eq!(said(&under(), answer).0, verdict, "{answer}");
    }
    assert!(said(&under(), "12 %").1.starts_with("Over or under?"));
    // 13.2 of 15 gal is 88 %: the one as a percent of the other, and no side is open.
    assert_eq!(said(&under(), "88 %").0, "ratio-read-as-percent-off");
    // Half a point either way, however much it is off: 45 % over, and not 2 % of that.
    let far = Question {
        given: under().given.into_iter().map(|(name, text)| (name, text.replace("13.2 gal", "21.75 gal"))).collect(),
        ..under()
    };
    for (answer, verdict) in [("45 %", "right"), ("45.5 %", "right"), ("44.5 %", "right"), ("45.8 %", "wrong")] {
        assert_eq!(said(&far, answer).0, verdict, "{answer}");
    }
    // More than the card: a number without a sign is above zero.
    let over = Question { given: under().given.into_iter().map(more).collect(), ..under() };
    for (answer, verdict) in
        [("12 %", "right"), ("+12 %", "right"), ("12 % over", "right"), ("-12 %", "over-for-under")]
    {
        assert_eq!(said(&over, answer).0, verdict, "{answer}");
    }
}

fn more((name, text): (String, String)) -> (String, String) {
    (name, text.replace("13.2 gal", "16.8 gal"))
}

/// 150 gal/min is 2.7 gal in a minute: 172.8 fl oz in 30 s would be; here 81 fl oz in 15 s is 2.53.
fn gun() -> Question {
    let given = [("catch.1.volume", "81 fl oz"), ("catch.1.time", "15 s")];
    question("catch-test/nozzle-output", "What does the gun put out in a minute?", &given, "gal/min")
}

#[test]
fn a_number_without_its_unit_is_asked_about_in_words() {
    assert_eq!(said(&gun(), "2.53"), ("unit?", "2.53 what? Write it again with its unit.".to_owned()));
    assert_eq!(said(&gun(), "2.53 gallonz").0, "which unit?");
    assert_eq!(said(&gun(), "2.53 ft").0, "kind?");
    assert_eq!(said(&gun(), "lots").0, "number?");
    assert_eq!(said(&gun(), " ").0, "empty?");
}

#[test]
fn one_comma_may_be_a_point_and_several_are_no_number() {
    assert!(said(&gun(), "1,5 gal").1.starts_with("Is “,” the decimal mark? Then write 1.5 gal."));
    // Three places after a comma look like thousands; what would be right is asked about, what would not be is not.
    assert!(said(&gun(), "2,531 gal/min").1.starts_with("Is “,” the decimal mark? Then write 2.531 gal/min."));
    assert_eq!(said(&gun(), "2,999 gal/min").0, "wrong");
    assert!(said(&gun(), "0,042 gal/s").1.starts_with("Is “,” the decimal mark? Then write 0.042 gal/s."));
    // Points that group thousands before a comma; one that would be right if it did.
    assert!(said(&gun(), "1.350,5 gal/min").1.starts_with("Is “,” the decimal mark? Then write 1350.5 gal/min."));
    assert_eq!(said(&gun(), "1,350.5.2 gal/min").0, "number?");
    let given = [("rectangle.1.length", "55 ft"), ("rectangle.1.width", "30 ft")];
    let lawn = question("lawn-area/area", "How large is it?", &given, "ft2");
    assert!(said(&lawn, "1.650 ft²").1.starts_with("Does “.” group thousands? Then write 1650 ft²."));
    for (answer, verdict) in
        [("1650 ft²", "right"), ("1.65 ft²", "wrong"), ("1.651 ft2", "grouped?"), ("1.200 ft²", "wrong")]
    {
        assert_eq!(said(&lawn, answer).0, verdict, "{answer}");
    }
    // What is suggested can be read.
    assert_eq!(said(&gun(), "1,2,3 gal").1, "That has no number we can read. Write it like this: 12.5 gal/min.");
}

#[test]
fn a_unit_after_a_number_that_has_none_is_asked_about_in_words() {
    let given = [("year-max", "5 fl oz/1000 ft2"), ("label-rate", "1.2 fl oz/1000 ft2")];
    let visits = question("active-ingredient/visits", "How many visits?", &given, "");
    for (answer, verdict) in [
        ("4 visits", "right"),
        ("4 visits.", "right"),
        ("4", "right"),
        ("about 4 visits", "right"),
        ("3 visits", "wrong"),
        ("4 bags", "which unit?"),
        ("4 gal", "kind?"),
    ] {
        assert_eq!(said(&visits, answer).0, verdict, "{answer}");
    }
    let phrases = catalogue::phrases("en").expect("readable").expect("there is English");
    let told = score_json(&visits.json().line(), 0, "\"3 visits\"", &phrases);
    assert!(told.replace('\u{a0}', " ").contains("You wrote 3 visits"), "{told}");
    assert_eq!(said(&visits, "4 visitz"), ("which unit?", "Write the number by itself, without a unit.".to_owned()));
}

/// 15 m by 12 m is 180 m², 1.8 are, 0.0445 acre; 3.4 L/ha is 34 mL on an are.
#[test]
fn an_a_that_may_be_an_are_is_asked_about_where_the_answer_is_metric() {
    let given = [("rectangle.1.length", "15 m"), ("rectangle.1.width", "12 m")];
    let lawn = question("lawn-area/area", "How large is it?", &given, "m2");
    let given = [("amount", "3.4 L/ha"), ("to", "mL/100 m2")];
    let rate = question("unit-conversion/converted", "What is that on 100 m²?", &given, "mL/100 m2");
    for (question, answer, verdict) in [
        (&lawn, "180 m2", "right"),
        (&lawn, "1.8 a", "which unit?"),
        (&lawn, "1.8 A", "which unit?"),
        (&lawn, "0.0445 acre", "right"),
        (&lawn, "0.0445 ac", "right"),
        (&rate, "34 mL/a", "which unit?"),
        (&rate, "0.364 gal/A", "right"),
    ] {
        assert_eq!(said(question, answer).0, verdict, "{answer}");
    }
}

#[test]
fn what_the_question_names_need_not_be_said_again() {
    assert_eq!(said(&gun(), "2.53 gal").0, "right");
    assert_eq!(said(&gun(), "324 fl oz").0, "right");
    let silent = Question { text: "What does the gun put out?".to_owned(), ..gun() };
    assert_eq!(said(&silent, "2.53 gal").0, "kind?");
}

#[test]
fn a_bare_ounce_that_could_be_either_is_asked_about_and_one_that_cannot_carries_a_note() {
    let given = [("amount", "48 fl oz/acre"), ("to", "fl oz/1000 ft2")];
    let rate = question("unit-conversion/converted", "How much is that on 1000 ft²?", &given, "fl oz/1000 ft2");
    let phrases = catalogue::phrases("en").expect("readable").expect("there is English");
    for answer in ["1.10 oz/1000 ft2", "1.10 oz"] {
        let told = score_json(&rate.json().line(), 0, &format!("{answer:?}"), &phrases);
        let told: serde_json::Value = serde_json::from_str(&told).expect("JSON");
        let noted = told["html"].as_str().is_some_and(|html| html.contains("read as fluid ounces"));
        let asked = told["ask"].as_str().is_some_and(|ask| ask.contains("volume or weight"));
        assert!(noted && told["right"] == true || asked, "{answer}: {told}");
    }
}

/// 1.04 gal/1000 ft2: coarse to two figures, with nothing else near it.
#[test]
fn right_but_coarse_earns_its_points_and_says_how_many_figures_to_mix_with() {
    let given = [("used.1.volume", "10.4 gal"), ("used.1.area", "10000 ft2")];
    let rate = question("application-rate/application-rate", "What is your rate?", &given, "gal/1000 ft2");
    let phrases = catalogue::phrases("en").expect("readable").expect("there is English");
    let told = score_json(&rate.json().line(), 0, "\"1.0 gal/1000 ft2\"", &phrases);
    let told: serde_json::Value = serde_json::from_str(&told).expect("JSON");
    assert_eq!(told["right"], true, "{told}");
    assert!(told["html"].as_str().expect("HTML").contains("Use three significant figures when you mix:"), "{told}");
    for (answer, verdict) in
        [("1.04", "right"), ("1.06", "right"), ("1.0", "coarse"), ("1", "figure?"), ("1.1", "wrong")]
    {
        assert_eq!(said(&rate, &format!("{answer} gal/1000 ft2")).0, verdict, "{answer}");
    }
}

/// 1.25 gal/1000 ft2, halfway between two roundings: some round up, some to the even figure.
#[test]
fn a_value_halfway_is_coarse_either_way() {
    let given = [("used.1.volume", "12.5 gal"), ("used.1.area", "10000 ft2")];
    let rate = question("application-rate/application-rate", "What is your rate?", &given, "gal/1000 ft2");
    for (answer, verdict) in [("1.3", "coarse"), ("1.2", "coarse"), ("1.4", "wrong"), ("1.19", "wrong")] {
        assert_eq!(said(&rate, &format!("{answer} gal/1000 ft2")).0, verdict, "{answer}");
    }
}

/// Rounded up to two figures, the dose is above the most that the label allows.
#[test]
fn rounding_that_breaks_a_label_limit_does_not_earn_its_points() {
    let given = |most: &'static str| {
        let rate = ("product.1.rate", "1.48 fl oz/1000 ft2");
        [("tank", "10.6 gal"), ("application-rate", "1 gal/1000 ft2"), rate, ("product.1.label-max", most)]
    };
    let tank = |most| question("tank-mix/product-1-amount", "How much?", &given(most), "fl oz");
    // 15.688 fl oz; to two figures 16, 2 % more.
    assert_eq!(said(&tank("1.8 fl oz/1000 ft2"), "16 fl oz").0, "right");
    let narrow = |most| Question { tolerance: "1 %".to_owned(), ..tank(most) };
    assert_eq!(said(&narrow("1.8 fl oz/1000 ft2"), "16 fl oz").0, "coarse");
    assert_eq!(said(&narrow("1.5 fl oz/1000 ft2"), "16 fl oz").0, "rounded-over-label");
}

/// With the first catch alone 1.455, with both 1.5225: to two figures both are 1.5.
#[test]
fn a_coarse_answer_that_could_be_right_or_a_known_mistake_is_asked_for_one_figure_more() {
    let given = [
        ("catch.1.volume", "93.12 fl oz"),
        ("catch.1.time", "30 s"),
        ("catch.2.volume", "101.76 fl oz"),
        ("catch.2.time", "30 s"),
    ];
    let gun = question("catch-test/nozzle-output", "What does it put out in a minute?", &given, "gal/min");
    let (verdict, ask) = said(&gun, "1.5 gal/min");
    assert_eq!(verdict, "figure?");
    assert_eq!(ask, "One more figure, please: 1.5 gal/min could be two different things.");
    assert_eq!(said(&gun, "1.52 gal/min").0, "right");
    assert_eq!(said(&gun, "1.46 gal/min").0, "single-timing");
}

/// 64 fl oz in half a minute; what is no number in words is still asked about.
#[test]
fn plain_words_for_small_numbers_are_read() {
    let given = [("catch.1.volume", "64 fl oz"), ("catch.1.time", "30 s")];
    let gun = question("catch-test/nozzle-output", "What does the gun put out in a minute?", &given, "gal/min");
    let phrases = catalogue::phrases("en").expect("readable").expect("there is English");
    for (answer, right) in [
        ("a gallon", Some(true)),
        ("one gallon a minute", Some(true)),
        ("half a gallon in half a minute", None),
        ("half a gallon", Some(false)),
        ("a gallon and a half", Some(false)),
        ("four quarts", Some(true)),
        ("about a gallon per minute", Some(true)),
        ("a hundred and twenty-eight fluid ounces", Some(true)),
        ("one point zero gallons", Some(true)),
        ("twenty gallons", Some(false)),
        ("a lot", None),
    ] {
        let told = score_json(&gun.json().line(), 0, &format!("{answer:?}"), &phrases);
        let told: serde_json::Value = serde_json::from_str(&told).expect("JSON");
        assert_eq!(told["right"].as_bool(), right, "{answer}: {told}");
        assert_eq!(told["ask"].is_string(), right.is_none(), "{answer}: {told}");
    }
    let told = score_json(&gun.json().line(), 0, "\"a lot\"", &phrases);
    assert!(told.contains("no number we can read"), "{told}");
}
