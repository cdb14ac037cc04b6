//! Repeats that differ: how far, and how many more are worth taking.

use crate::random::Random;
use crate::{close, worked};
use tankside_calc::calculators::registry::calculator;
use tankside_calc::uncertainty::{Cause, Longer, budgets, scatter};
use tankside_calc::working::record::System;

#[test]
fn scatter_of_equal_repeats_is_the_standard_deviation_of_the_mean() {
    // JCGM 100:2008, 4.4.3, table 1: twenty readings of a temperature: s = 1.49 °C, s/sqrt(20) = 0.33 °C.
    let readings = [
        96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95, 101.11,
        101.20, 101.57, 101.84, 102.36, 102.72,
    ];
    let pairs: Vec<(f64, f64)> = readings.iter().map(|reading| (reading * 60.0, 60.0)).collect();
    assert_eq!((scatter(&pairs) * 100.0).round(), 33.0);
    assert_eq!(scatter(&pairs[..1]), 0.0);
}

#[test]
fn scatter_of_unequal_repeats_lets_a_long_one_count_for_more() {
    // By hand: 10 over 10 and 40 over 30 make 50 over 40, 1.25. Apart: (10 - 12.5)/40 and (40 - 37.5)/40, both
    // 0.0625; sqrt(2/1 * 2 * 0.0625^2) = 0.125.
    assert!(close(scatter(&[(10.0, 10.0), (40.0, 30.0)]), 0.125, 1e-12));
}

#[test]
fn scatter_from_drawn_repeats_finds_the_spread_they_were_drawn_with() {
    // Runs of unequal length whose amounts spread with the root of the length, as sums of many small parts do; then
    // the pooled ratio spreads with sigma / sqrt(total length), a textbook variance of a sum. The estimator squared
    // is nearly unbiased; over 4000 draws of 8 runs its mean is known to sqrt(2/7/4000) = 0.85 %, four of which are
    // 3.4 %, and the linearised ratio adds a bias of the order 1/n of the spread of the lengths, a few percent.
    let lengths = [30.0, 45.0, 60.0, 60.0, 75.0, 90.0, 40.0, 50.0];
    let total: f64 = lengths.iter().sum();
    let mut random = Random::new(11);
    let mean: f64 = (0..4000)
        .map(|_| {
            let pairs: Vec<(f64, f64)> =
                lengths.iter().map(|length| (3.0 * length + 0.2 * length.sqrt() * random.normal(), *length)).collect();
            scatter(&pairs).powi(2)
        })
        .sum::<f64>()
        / 4000.0;
    assert!(close(mean, 0.2 * 0.2 / total, 0.07), "{mean} {}", 0.2 * 0.2 / total);
}

#[test]
fn repeats_that_differ_ask_for_more_repeats() {
    // 186 and 190 fl oz in 60 s each: s/sqrt(2) is 2 fl oz of 188, doubled 2.13 %.
    let catch = worked("catch-test", calculator("catch-test").expect("it is there").example, System::Us);
    let budget = &catch.budgets[0];
    assert!(matches!(budget.parts[0].cause, Cause::Scatter(2)));
    assert!(close(budget.parts[0].contribution / budget.value, 2.0 / 188.0, 1e-9));
    assert_eq!(budget.longer, Longer::Enough);
    // The tolerance is the asker's: for 2 % two are not enough.
    assert_eq!(budgets(&catch, 0.02)[0].longer, Longer::Repeats { now: 2, needed: 3 });
}

#[test]
fn rows_beside_patches_are_no_repeats() {
    let pass = [
        ("pass.1.length", "100 ft"),
        ("pass.1.spacing", "5 ft"),
        ("pass.1.time", "40 s"),
        ("pass.2.length", "100 ft"),
        ("pass.2.spacing", "5 ft"),
        ("pass.2.time", "44 s"),
    ];
    let scattered = |pairs: &[(&str, &str)]| {
        let walked = worked("swath-timing", pairs, System::Us);
        walked.budgets[0].parts.iter().any(|part| matches!(part.cause, Cause::Scatter(_)))
    };
    assert!(scattered(&pass));
    let patch = [("patch.1.length", "10 ft"), ("patch.1.width", "5 ft"), ("patch.1.effect", "subtract")];
    assert!(!scattered(&[&pass[..], &patch[..]].concat()));
}

#[test]
fn repeats_that_differ_wildly_are_not_to_be_repeated_twenty_times() {
    let walk = |second: &'static str| {
        let pairs = [
            ("run.1.distance", "200 ft"),
            ("run.1.time", "45 s"),
            ("run.2.distance", "200 ft"),
            ("run.2.time", second),
        ];
        worked("ground-speed", &pairs, System::Us).budgets[0].longer.clone()
    };
    assert_eq!(walk("60 s"), Longer::Unsteady { now: 2 });
    assert!(matches!(walk("48 s"), Longer::Repeats { now: 2, needed: 3..=6 }), "{:?}", walk("48 s"));
}
