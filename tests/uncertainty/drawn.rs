//! Budgets against chance itself: every reading drawn at random, the whole calculation run again each time.

use crate::random::Random;
use crate::{close, read, worked};
use tankside_calc::calculation::worked::{Worked, work_inputs};
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::{Cause, REACTION_S};
use tankside_calc::working::record::{Rounding, System};

const DRAWS: usize = 20_000;

/// Propagation of distributions as in JCGM 101:2008: every reading anywhere within what it is read to, every hand
/// normal, the whole calculation run again each time. Nothing of the budget is used but the list of results.
fn spread(worked: &Worked, given: &[(&str, &str)], seed: u64) -> Vec<f64> {
    let calculator = worked.calculator;
    let names: Vec<String> = worked.budgets.iter().map(|budget| worked.results[budget.result].name()).collect();
    let mut sums = vec![(0.0, 0.0); names.len()];
    let mut random = Random::new(seed);
    let read: Vec<(String, f64, f64, bool)> = worked
        .inputs
        .quantities()
        // The distances are from the box at the center: where it is, nobody reads.
        .filter(|(name, _)| (calculator.id, *name) != ("spreader", "box.1.offset"))
        .filter_map(|(name, typed)| {
            let input = calculator.input(name)?;
            let ((us, us_unit), (metric, metric_unit)) = input.read_to?;
            // What is read to a share of itself is written with a percent sign.
            let of = |amount: f64, unit: Unit| {
                if unit == Unit::of("%") { amount / 100.0 * typed.si } else { amount * unit.size() }
            };
            let width = match typed.unit.is_us() {
                true => of(us, us_unit),
                false => of(metric, metric_unit),
            };
            given.iter().any(|(flat, _)| *flat == name).then(|| (name.to_owned(), typed.si, width, input.stopwatch))
        })
        .collect();
    for _ in 0..DRAWS {
        let mut inputs = worked.inputs.clone();
        for (name, si, width, hand) in &read {
            let off = width * (random.even() - 0.5) + if *hand { REACTION_S * random.normal() } else { 0.0 };
            inputs = inputs.with(name, si + off);
        }
        let drawn = work_inputs(calculator, inputs, worked.system, Rounding::None).expect("near the example");
        for (sum, (name, budget)) in sums.iter_mut().zip(names.iter().zip(&worked.budgets)) {
            let off = drawn.si_at(name).expect("the same results") - budget.value;
            *sum = (sum.0 + off, sum.1 + off * off);
        }
    }
    let count = DRAWS as f64;
    sums.iter().map(|(sum, squares)| ((squares - sum * sum / count) / (count - 1.0)).sqrt()).collect()
}

#[test]
fn budgets_agree_with_drawing_the_readings_at_random() {
    // A standard deviation from 20,000 draws is itself known to 1/sqrt(2 * 20,000) = 0.5 % (normal; less for
    // rectangles). Four of those are 2 %; what first-order propagation leaves out is of the order of the relative
    // uncertainty squared, under 0.1 % for all of these.
    let mut compared = 0;
    for calculator in CALCULATORS.iter().filter(|calculator| !calculator.uncertain.is_empty()) {
        for system in [System::Us, System::Metric] {
            let pairs = read(calculator, system);
            let worked = worked(calculator.id, pairs, system);
            assert!(!worked.budgets.is_empty(), "{} has readings", calculator.id);
            let drawn = spread(&worked, pairs, 7);
            for (budget, drawn) in worked.budgets.iter().zip(drawn) {
                let squares: f64 = budget
                    .parts
                    .iter()
                    .filter(|part| matches!(part.cause, Cause::Reading(_)))
                    .map(|part| part.contribution * part.contribution)
                    .sum();
                let name = worked.results[budget.result].name();
                let told = squares.sqrt();
                assert!(close(told, drawn, 0.02), "{} {} {name}: {told} {drawn}", calculator.id, system.id());
                compared += 1;
            }
        }
    }
    assert!(compared >= 12, "{compared} results compared");
}
