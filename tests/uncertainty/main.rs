//! Measurement uncertainty against what is published and against chance itself.

mod drawn;
mod longer;
mod random;
mod readings;
mod said;
mod scatter;

use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::{Cause, Longer, work};
use tankside_calc::working::record::System;

fn worked(id: &str, pairs: &[(&str, &str)], system: System) -> Worked {
    let calculator = calculator(id).expect("a calculator");
    work(calculator, &RawInputs::from_pairs(pairs), system).unwrap_or_else(|faults| panic!("{id}: {faults:?}"))
}

fn close(one: f64, other: f64, within: f64) -> bool {
    (one - other).abs() <= within * other.abs()
}

/// An example with something in it that was read. A mix of a wanted strength is made up; product on hand is measured.
fn read(calculator: &Calculator, system: System) -> &'static [(&'static str, &'static str)] {
    match calculator.id {
        "dilution" => system
            .pick(&[("product", "16 fl oz"), ("water-parts", "10")], &[("product", "500 mL"), ("water-parts", "10")]),
        _ => system.pick(calculator.example, calculator.example_metric),
    }
}

#[test]
fn one_catch_comes_out_as_worked_by_hand() {
    // Read to 1 fl oz: 1/sqrt(12) = 0.288675 fl oz, 0.155202 % of 186 fl oz. Read to 0.2 s and stopped by hand:
    // sqrt(0.2^2/12 + 0.1^2) = 0.115470 s, 0.192450 % of 60 s. Relative variances of a quotient add
    // (JCGM 100:2008, 5.1.6): sqrt(0.155202^2 + 0.192450^2) = 0.247234 %, doubled 0.494467 %.
    let catch = worked("catch-test", &[("catch.1.volume", "186 fl oz"), ("catch.1.time", "60 s")], System::Us);
    let [budget] = catch.budgets.as_slice() else { panic!("one budget") };
    assert!(close(budget.relative(), 0.004_944_67, 1e-5), "{}", budget.relative());
    let share = 0.192_450_f64.powi(2) / 0.247_234_f64.powi(2);
    assert!(budget.parts[0].cause.is("catch.1.time") && close(budget.parts[0].share, share, 1e-4));
    assert_eq!(budget.longer, Longer::Enough);
}

#[test]
fn shares_add_up_and_the_largest_comes_first() {
    for calculator in CALCULATORS {
        for (system, pairs) in [(System::Us, calculator.example), (System::Metric, calculator.example_metric)] {
            for budget in &worked(calculator.id, pairs, system).budgets {
                let sum: f64 = budget.parts.iter().map(|part| part.share).sum();
                assert!(close(sum, 1.0, 1e-12));
                assert!(budget.parts.windows(2).all(|two| two[0].share >= two[1].share));
            }
        }
    }
}

#[test]
fn a_result_whose_uncertainty_is_in_percent_is_no_percentage_itself() {
    // For a share near zero, two percentage points would read as an uncertainty of a hundred percent.
    for calculator in CALCULATORS {
        for name in calculator.uncertain {
            let spec = calculator.results.iter().find(|spec| spec.name == *name);
            let kind = spec.unwrap_or_else(|| panic!("{} has no result {name}", calculator.id)).kind;
            assert!(!matches!(kind, Kind::Share | Kind::Number), "{} {name}", calculator.id);
        }
    }
}

#[test]
fn the_smaller_of_two_and_whole_tanks_are_differentiated() {
    // With 30,000 ft² to treat the mix needed, 60 gal, is the level: the tank's size then decides nothing, and the
    // rate cancels in the area treated, which is the area that was asked for, here known to 10 ft².
    let pairs = [
        ("tank", "200 gal"),
        ("application-rate", "2 gal/1000 ft2"),
        ("area", "30000 ft2"),
        ("read-to.tank", "1 gal"),
        ("read-to.application-rate", "0.01 gal/1000 ft2"),
        ("read-to.area", "10 ft2"),
    ];
    let mixed = worked("tank-mix", &pairs, System::Us);
    let parts: Vec<&Cause> = mixed.budgets[0].parts.iter().map(|part| &part.cause).collect();
    assert_eq!(parts, [&Cause::Reading("area".to_owned())]);
    assert!(close(mixed.budgets[0].standard / Unit::of("ft2").size(), 10.0 / 12.0_f64.sqrt(), 1e-9));
}
