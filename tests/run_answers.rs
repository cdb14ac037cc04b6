//! Answers to questions as learners type them: an ounce is the ounce of what is requested, as it is for an input.

use tankside_calc::question::offered::Offered;
use tankside_calc::question::score::{Answer, Query, Verdict, judge};
use tankside_calc::question::{Ask, Question};

fn question(asks: &str, given: &[(&str, &str)], answer_in: &str) -> Question {
    Question {
        id: "a".to_owned(),
        kind: Ask::Number,
        topic: None,
        text: "How much?".to_owned(),
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

fn marked(question: &Question, answer: &str) -> Verdict {
    judge(question, 0, &Answer::Text(answer.to_owned())).expect("a question that can be posed").0
}

const CATCHES: &[(&str, &str)] = &[("catch.1.volume", "186 fl oz"), ("catch.1.time", "60 s")];
const TANK: &[(&str, &str)] =
    &[("tank", "200 gal"), ("application-rate", "2 gal/1000 ft2"), ("product.1.rate", "1.5 fl oz/1000 ft2")];
const BAG: &[(&str, &str)] =
    &[("tank", "200 gal"), ("application-rate", "2 gal/1000 ft2"), ("product.1.rate", "1.5 oz weight/1000 ft2")];

#[test]
fn a_bare_ounce_is_fluid_where_a_volume_is_asked_for_and_weight_where_a_weight_is() {
    let (flow, volume) = ("catch-test/nozzle-output", "catch-test/total-volume");
    for (asks, given, unit, answer) in [
        (volume, CATCHES, "fl oz", "186 oz"),
        (volume, CATCHES, "gal", "186 oz"),
        (volume, CATCHES, "fl oz", "1 gal 58 oz."),
        (volume, CATCHES, "L", "186 ounces"),
        (flow, CATCHES, "gal/min", "186 oz/min"),
        (flow, CATCHES, "fl oz/min", "186 oz per min"),
        ("tank-mix/product-1-amount", TANK, "fl oz", "150 oz"),
        ("tank-mix/product-1-amount", BAG, "oz", "150 oz"),
        ("tank-mix/product-1-amount", BAG, "lb", "9 lb 6 oz"),
    ] {
        let verdict = marked(&question(asks, given, unit), answer);
        assert!(matches!(verdict, Verdict::Right), "{asks} in {unit}, {answer}: {verdict:?}");
    }
    let verdict = marked(&question(volume, CATCHES, "fl oz"), "186 oz weight");
    assert!(matches!(verdict, Verdict::Ask(Query::Kind(..))), "{verdict:?}");
}
