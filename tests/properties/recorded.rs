//! A recording is what was computed, and whatever is entered inside the limits ends in a number or a sentence.

use crate::drawn::{Random, Reach, problem};
use crate::{EACH, taken};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::page::worked::{Options, fragment};
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::{Phrases, places};
use tankside_calc::words::say;
use tankside_calc::working::line;
use tankside_calc::working::record::{Expr, Outcome};

fn phrases() -> Phrases {
    tankside::catalogue::phrases("en").expect("a readable catalogue").expect("English")
}

#[test]
fn every_step_recorded_works_out_again_to_the_last_bit_and_the_numbers_shown_come_to_it() {
    for calculator in CALCULATORS {
        for reach in [Reach::Plausible, Reach::Hard] {
            for worked in taken(calculator, reach, 3) {
                for step in &worked.steps {
                    let again = step.expr.value();
                    assert_eq!(again.to_bits(), step.si.to_bits(), "{} {}", calculator.id, step.id);
                    let line = line::numbers(step);
                    let (shown, value) = (line::evaluate(&line), step.si / step.unit.size());
                    // A difference loses what its two sides have in common.
                    let scale = largest(&step.expr) / step.unit.size();
                    assert!(
                        (shown - value).abs() <= 1e-9 * value.abs() + 1e-12 * scale,
                        "{} {}: {} comes to {shown}, not {value}",
                        calculator.id,
                        step.id,
                        line::signs(&line)
                    );
                }
                for found in &worked.results {
                    if let (Outcome::Quantity(si, _), Some(expr)) = (&found.outcome, &found.expr) {
                        assert_eq!(expr.value().to_bits(), si.to_bits(), "{} {}", calculator.id, found.name());
                    }
                }
            }
        }
    }
}

/// The largest value that is added or subtracted on the way.
fn largest(expr: &Expr) -> f64 {
    match expr {
        Expr::Leaf { .. } => expr.value().abs(),
        Expr::Add(a, b) | Expr::Sub(a, b) | Expr::Least(a, b) => largest(a).max(largest(b)),
        Expr::Mul(a, b) => largest(a) * largest(b),
        Expr::Div(a, b) => largest(a) / b.value().abs(),
        Expr::Root(a) => largest(a).sqrt(),
        Expr::Ceil(a) | Expr::Floor(a) => largest(a) + 1.0,
    }
}

#[test]
fn inside_the_limits_and_on_their_borders_every_result_is_a_number_or_a_refusal_in_words() {
    let phrases = phrases();
    for calculator in CALCULATORS {
        for reach in [Reach::Hard, Reach::Borders] {
            let mut random = Random::new(4);
            for _ in 0..EACH * 3 {
                let (given, system) = problem(calculator, reach, &mut random);
                match work(calculator, &given, system) {
                    Ok(worked) => told(&worked, &given, &phrases),
                    Err(problems) => {
                        assert!(!problems.is_empty());
                        for problem in &problems {
                            let text = say::problem(calculator, problem, system, &phrases);
                            assert!(text.contains(' ') && places(&text).is_empty(), "{given:?}: {problem:?}: {text}");
                        }
                    }
                }
            }
        }
    }
}

fn told(worked: &Worked, given: &RawInputs, phrases: &Phrases) {
    let id = worked.calculator.id;
    for found in &worked.results {
        assert!(worked.calculator.result(&found.name()).is_some(), "{id}: {} is not declared", found.name());
        if let Outcome::Quantity(si, _) = &found.outcome {
            assert!(si.is_finite(), "{id} {}: {given:?}", found.name());
        }
    }
    for step in &worked.steps {
        assert!(step.si.is_finite(), "{id} {}: {given:?}", step.id);
    }
    let options = Options { name: "x", title: "X", system: worked.system, level: 3, ..Options::default() };
    let page = fragment(worked.calculator, given, &options, phrases);
    assert!(page.notes.errors.is_empty());
    // In a key's own frame a page asks for the beginning of the same answer, which ends where an element does.
    let brief = fragment(worked.calculator, given, &Options { brief: true, ..options }, phrases);
    let begins = brief.answer.strip_suffix("</div>\n").is_some_and(|begins| page.answer.starts_with(begins));
    assert!(begins && brief.answer.len() < page.answer.len(), "{id}: {}", brief.answer);
    assert_eq!(brief.spoken, page.spoken, "{id}");
    for odd in ["NaN", "inf\"", "inf ", "∞", ">—<"] {
        assert!(!page.answer.contains(odd), "{id}: {odd} on the page of {given:?}");
    }
    assert!(places(&page.spoken).is_empty(), "{id}: {}", page.spoken);
}
