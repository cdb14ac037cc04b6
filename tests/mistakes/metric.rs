//! A problem in metric units is explained in metric units: no gallons, feet or pounds in what is said of a mistake.

use crate::apart::on_all_cores;
use crate::{every, phrases, typed};
use std::collections::BTreeSet;
use tankside_calc::doors::question::score_json;
use tankside_calc::mistakes;
use tankside_calc::question::Question;
use tankside_calc::question::score::Answer;

const SEEDS: u32 = 20;

/// Words and numbers of US units, as the sentences about mistakes have them.
const US: &[&str] = &[
    "gallon", "gal/", "quart", "pint", "ounce", "fl oz", "pound", " lb", "feet", "foot", " ft", "inch", "yard", "acre",
    "mph", "psi", "43.56", "5940",
];

/// What is said of the mistake that an answer shows, and which it is.
fn told(question: &Question, draw: u32, answer: &Answer) -> Option<(String, String)> {
    let Answer::Text(text) = answer else { return None };
    let told = score_json(&question.json().line(), draw, &serde_json::to_string(text).ok()?, phrases());
    let told: serde_json::Value = serde_json::from_str(&told).ok()?;
    let slip =
        told["html"].as_str()?.split("tk-feedback__slip\">").nth(1)?.split("</div>").next()?.replace('\u{a0}', " ");
    Some((told["mistake"].as_str()?.to_owned(), slip))
}

#[test]
fn a_mistake_in_a_metric_problem_is_told_without_us_units() {
    let all: Vec<Question> = every().iter().flat_map(Question::each).collect();
    let found = on_all_cores(&all, |question| {
        let (mut seen, mut faults) = (BTreeSet::new(), BTreeSet::new());
        for seed in 0..SEEDS.min(question.offered.count()) {
            let draw = question.draw_at(seed);
            let posed = question.draw(draw).expect("it was judged");
            let problem = posed.right_working();
            if !problem.is_metric(&posed.unit) {
                break;
            }
            for mistake in mistakes::all() {
                let Some(wrong) = mistake.leads_to(&problem, &posed.unit) else { continue };
                let Some((named, said)) = told(question, draw, &typed(wrong, &posed.unit)) else { continue };
                seen.insert((question.id.clone(), named.clone()));
                if US.iter().any(|word| said.contains(word)) {
                    faults.insert((named, said));
                }
            }
        }
        (seen, faults)
    });
    let (mut seen, mut faults) = (BTreeSet::new(), BTreeSet::new());
    for (one, other) in found {
        seen.extend(one);
        faults.extend(other);
    }
    println!("{} pairs of metric question and mistake", seen.len());
    assert!(seen.len() >= 40, "{seen:?}");
    assert!(faults.is_empty(), "{faults:#?}");
}
