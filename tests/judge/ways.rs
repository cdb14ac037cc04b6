//! No correct working is marked wrong: every accepted way, on every template, at 200 seeds.

use crate::{banks, typed, verdict};
use std::collections::BTreeMap;
use tankside_calc::calculation::worked::work_inputs;
use tankside_calc::mistakes::is_percent_off;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::Question;
use tankside_calc::question::score::{Answer, Note, Verdict, judge, notes};
use tankside_calc::question::template::Posed;
use tankside_calc::working::record::{Outcome, Rounding};

const SEEDS: u32 = 200;

/// Whether a percentage off is requested, of which half a point is allowed.
fn in_percent(posed: &Posed) -> bool {
    posed.unit.plain() == "%"
}

/// How far an answer may be off: a share of it, and of a percentage from a tenth on, or by which something is off, half
/// a point.
fn within(posed: &Posed) -> f64 {
    let share = posed.tolerance * posed.si.abs();
    let points = is_percent_off(posed.calculator, &posed.result) || in_percent(posed) && posed.si.abs() >= 0.1;
    0.999 * if points { 0.005 } else { share }
}

/// The right answers that a learner may arrive at, each with the way.
fn ways(posed: &Posed) -> Vec<(&'static str, String)> {
    let unit = &posed.unit;
    let mut ways = vec![
        ("to three figures", typed(posed.si, unit, 3)),
        ("to four figures", typed(posed.si, unit, 4)),
        ("in full", typed(posed.si, unit, 12)),
        ("in words", format!("about {}", typed(posed.si, unit, 3))),
        ("just within", typed(posed.si + within(posed), unit, 12)),
        ("just within below", typed(posed.si - within(posed), unit, 12)),
    ];
    let (us, metric) = Kind::of(unit).expect("a kind").offered();
    let others = posed.worked.system.pick(us, metric).iter();
    ways.extend(others.map(|other| ("in another unit", typed(posed.si, other, 3))));
    let rounded = |rounding| {
        let worked = work_inputs(posed.calculator, posed.worked.inputs.clone(), posed.worked.system, rounding).ok()?;
        match &worked.result(&posed.result)?.outcome {
            Outcome::Quantity(si, _) => Some(typed(*si, unit, 3)),
            Outcome::Verdict(_) => None,
        }
    };
    let one = (0..posed.worked.steps.len()).map(|step| Rounding::Only(step, 3));
    ways.extend(one.filter_map(rounded).map(|text| ("one step rounded to three figures", text)));
    ways.extend(rounded(Rounding::Every(3)).map(|text| ("every step rounded to three figures", text)));
    if in_percent(posed) && posed.si.abs() > 0.02 {
        let whole = (posed.si * 100.0).round();
        ways.push(("in whole percent", format!("{whole} %")));
    }
    ways
}

/// Every question that is marked: of one of several parts, each part.
fn marked() -> impl Iterator<Item = Question> {
    banks::numbers().flat_map(Question::each)
}

/// Figures of a number as it is written, without the zeros at its ends.
fn figures(text: &str) -> usize {
    let number = text.trim_start_matches("about ").split(' ').next().unwrap_or_default();
    let digits: String = number.chars().filter(char::is_ascii_digit).collect();
    digits.trim_matches('0').len()
}

#[test]
fn every_accepted_way_is_right_on_every_template_at_two_hundred_seeds() {
    let (mut tried, mut failed) = (0, Vec::new());
    for question in marked() {
        let template = question.template().expect("it was judged");
        // Seeds beyond the last draw offered begin again.
        for seed in 0..SEEDS.min(question.offered.count()) {
            let posed = template.draw(question.draw_at(seed)).expect("it was judged");
            for (way, text) in ways(&posed) {
                tried += 1;
                let verdict = verdict(&posed, &text);
                // Whoever wrote two figures may be asked for one more.
                let may_ask = verdict == "figure?" && figures(&text) <= 2;
                if verdict != "right" && verdict != "coarse" && !may_ask {
                    failed.push(format!("{} {seed}, {way}: {text} is {verdict}", question.id));
                }
            }
        }
    }
    println!("{tried} right answers, {} of them not accepted", failed.len());
    assert!(failed.is_empty(), "{} of {tried}: {:#?}", failed.len(), &failed[..failed.len().min(40)]);
}

#[test]
fn the_right_value_to_two_figures_is_right_or_coarse_or_asked_for_one_more() {
    let mut tally: BTreeMap<&'static str, u32> = BTreeMap::new();
    for question in marked() {
        let template = question.template().expect("it was judged");
        for seed in 0..SEEDS.min(question.offered.count()) {
            let posed = template.draw(question.draw_at(seed)).expect("it was judged");
            let text = typed(posed.si, &posed.unit, 2);
            let verdict = verdict(&posed, &text);
            let limit = posed.worked.inputs.names().any(|name| name.contains("label-"));
            let taken = ["right", "coarse", "figure?"].contains(&verdict) || limit && verdict == "rounded-over-label";
            assert!(taken, "{} {seed}: {text} is {verdict}", question.id);
            *tally.entry(verdict).or_default() += 1;
        }
    }
    println!("the right value to two figures: {tally:?}");
    let all: u32 = tally.values().sum();
    assert!(tally["right"] + tally.get("coarse").unwrap_or(&0) >= all * 8 / 10, "mostly taken at once: {tally:?}");
}

/// Factors as handbooks print them, in workings written apart from the core: 1 fl oz is 30 mL, 1 lb is 454 g.
#[test]
fn the_trades_rounded_factors_are_accepted_and_named() {
    let millilitres: Vec<_> = banks::numbers()
        .filter(|question| question.answer_in == "mL" && question.given.iter().any(|(_, text)| text.contains("fl oz")))
        .collect();
    assert!(!millilitres.is_empty(), "a question crosses fluid ounces and millilitres");
    for question in millilitres {
        for seed in 0..SEEDS.min(question.offered.count()) {
            let draw = question.draw_at(seed);
            let posed = question.draw(draw).expect("it was judged");
            let ounces = posed.si / Unit::of("fl oz").size();
            let answer = Answer::Text(format!("{} mL", ounces * 30.0));
            let (verdict, _) = judge(question, draw, &answer).expect("it was judged");
            assert!(matches!(verdict, Verdict::Right), "{} {seed}: {answer:?} is {verdict:?}", question.id);
            let said = notes(&posed, &answer);
            assert!(matches!(said[..], [Note::Trade(factor), Note::Wrote(_)] if factor.count == 30.0), "{said:?}");
            let plain = typed(posed.si, &posed.unit, 4);
            assert_eq!(notes(&posed, &Answer::Text(plain.clone())), [Note::Wrote(plain)]);
        }
    }
}

/// Steps rounded to three figures and a trade factor move an answer by less than this share, and a percentage by less
/// than these points.
const FAR: f64 = 0.055;
const FAR_POINTS: f64 = 0.015;

#[test]
fn what_is_further_off_than_any_accepted_way_is_not_right() {
    let (mut tried, mut taken) = (0, Vec::new());
    for question in marked() {
        let template = question.template().expect("it was judged");
        for seed in 0..SEEDS.min(question.offered.count()) {
            let posed = template.draw(question.draw_at(seed)).expect("it was judged");
            let far = if in_percent(&posed) { FAR_POINTS } else { FAR * posed.si.abs() };
            for si in [posed.si - far, posed.si + far] {
                let text = typed(si, &posed.unit, 5);
                tried += 1;
                if ["right", "coarse"].contains(&verdict(&posed, &text)) {
                    taken.push(format!("{} {seed}: {text} for {}", question.id, posed.si / posed.unit.size()));
                }
            }
        }
    }
    assert!(tried > 10_000, "{tried}");
    assert!(taken.is_empty(), "{} of {tried}: {:#?}", taken.len(), &taken[..taken.len().min(20)]);
}

/// Conversions with the factors that handbooks print, in plain numbers, where the author allows 1 %: `amount`, the unit
/// asked for, the number a learner arrives at, and the factor that is named where it is not the exact one.
const ROUNDED: &[(&str, &str, f64, Option<f64>)] = &[
    ("12 fl oz", "mL", 12.0 * 30.0, Some(30.0)),
    ("355 mL", "fl oz", 355.0 / 30.0, Some(30.0)),
    ("12 fl oz", "mL", 12.0 * 29.6, None),
    ("24 tsp", "mL", 24.0 * 5.0, Some(5.0)),
    ("30 gal", "L", 30.0 * 3.785, None),
    ("30 gal", "L", 30.0 * 3.8, None),
    ("150 L", "gal", 150.0 / 3.785, None),
    ("8 oz (weight)", "g", 8.0 * 28.0, Some(28.0)),
    ("420 g", "oz (weight)", 420.0 / 28.0, Some(28.0)),
    ("3 lb", "g", 3.0 * 454.0, None),
    ("15 in", "cm", 15.0 * 2.54, None),
    ("40 cm", "in", 40.0 / 2.54, None),
    ("3 acre", "ha", 3.0 * 0.4, Some(0.4)),
    ("3 acre", "ha", 3.0 * 0.405, None),
    ("2.5 acre", "1000 ft2", 2.5 * 43.56, None),
    ("65 gal/acre", "gal/1000 ft2", 65.0 / 43.56, None),
    ("1.5 gal/1000 ft2", "gal/acre", 1.5 * 43.56, None),
    ("25 imp gal", "gal", 25.0 * 1.2, None),
];

#[test]
fn a_rounded_factor_is_accepted_where_it_alone_is_more_than_the_author_allows() {
    for (amount, to, number, named) in ROUNDED {
        let question = crate::asked_back::question(
            "unit-conversion/converted",
            "How much is that?",
            &[("amount", amount), ("to", to)],
            to,
        );
        let question = Question { tolerance: "1 %".to_owned(), ..question };
        let posed = question.draw(0).expect("it can be worked");
        let answer = format!("{} {to}", tankside_calc::text::figures::exact(*number).replace(',', ""));
        assert_eq!(verdict(&posed, &answer), "right", "{amount} is {answer}");
        let said = notes(&posed, &Answer::Text(answer.clone())).into_iter().find_map(|note| match note {
            Note::Trade(factor) => Some(factor.count),
            _ => None,
        });
        assert_eq!(said, *named, "{amount} is {answer}");
        // As far off to the other side, there is no factor that explains it.
        if named.is_some() {
            let right = posed.si / posed.unit.size();
            let other = format!("{} {to}", 2.0 * right - number);
            assert_ne!(verdict(&posed, &other), "right", "{amount} is {other}");
        }
    }
}

/// A gallon of water weighs 8.34 lb, and 43.56 thousands of square feet are an acre: whole problems worked with them.
#[test]
fn the_exact_figures_of_the_trade_are_right_in_whole_problems() {
    let wanted = [("mix", "30 gal"), ("wanted", "0.5 %"), ("by", "weight"), ("concentrate", "75 %")];
    let powder = crate::asked_back::question("dilution/product-amount", "How much?", &wanted, "lb");
    let tank = [("tank", "25 gal"), ("application-rate", "1.5 gal/1000 ft2"), ("product.1.rate", "48 fl oz/acre")];
    let liquid = crate::asked_back::question("tank-mix/product-1-amount", "How much?", &tank, "fl oz");
    for (question, number) in [
        (powder, 30.0 * 8.34 * 0.005 / 0.75),
        (liquid.clone(), 25.0 / 1.5 * 48.0 / 43.56),
        (Question { answer_in: "mL".to_owned(), ..liquid }, 25.0 / 1.5 * 48.0 / 43.56 * 30.0),
    ] {
        let question = Question { tolerance: "1 %".to_owned(), ..question };
        let posed = question.draw(0).expect("it can be worked");
        let answer = format!("{number} {}", question.answer_in);
        assert_eq!(verdict(&posed, &answer), "right", "{answer}");
    }
}
