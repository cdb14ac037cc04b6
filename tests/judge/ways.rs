//! No correct working is marked wrong: every accepted way, on every template, at 200 seeds.

use crate::{banks, typed, verdict};
use std::collections::BTreeMap;
use tankside_calc::calculation::worked::work_inputs;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::template::Posed;
use tankside_calc::working::record::{Outcome, Rounding};

const SEEDS: u32 = 200;

/// Whether a percentage off is requested, of which half a point is allowed.
fn in_percent(posed: &Posed) -> bool {
    posed.unit.plain() == "%"
}

/// How far an answer may be off: a share of it, and of a percentage from a tenth on half a point.
fn within(posed: &Posed) -> f64 {
    let share = posed.tolerance * posed.si.abs();
    0.999 * if in_percent(posed) && posed.si.abs() >= 0.1 { 0.005 } else { share }
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

/// Figures of a number as it is written, without the zeros at its ends.
fn figures(text: &str) -> usize {
    let number = text.trim_start_matches("about ").split(' ').next().unwrap_or_default();
    let digits: String = number.chars().filter(char::is_ascii_digit).collect();
    digits.trim_matches('0').len()
}

#[test]
fn every_accepted_way_is_right_on_every_template_at_two_hundred_seeds() {
    let (mut tried, mut failed) = (0, Vec::new());
    for question in banks::numbers() {
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
    for question in banks::numbers() {
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
    use tankside_calc::question::score::{Answer, Note, Verdict, judge, notes};
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
