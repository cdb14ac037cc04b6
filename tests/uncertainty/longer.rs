//! What to do for a surer result: longer runs, finer readings.

use crate::{close, worked};
use tankside_calc::calculation::worked::Worked;
use tankside_calc::uncertainty::{Longer, budgets};
use tankside_calc::words::uncertainty as words;
use tankside_calc::working::record::System;

#[test]
fn what_longer_runs_promise_they_keep() {
    // A 3 s catch of 9 fl oz; catching for as long as the answer says must come to the wanted 5 %, no less, no more.
    let short = worked("catch-test", &[("catch.1.volume", "9 fl oz"), ("catch.1.time", "3 s")], System::Us);
    let Longer::Times { factor, grown } = &short.budgets[0].longer else { panic!("{:?}", short.budgets[0].longer) };
    assert_eq!((grown.len(), grown[0].first.as_str(), grown[0].now), (1, "catch.1.time", 3.0));
    let (volume, time) = (format!("{} fl oz", 9.0 * factor), format!("{} s", grown[0].needed));
    let long = worked("catch-test", &[("catch.1.volume", &volume), ("catch.1.time", &time)], System::Us);
    assert!(close(long.budgets[0].relative(), 0.05, 1e-9), "{}", long.budgets[0].relative());
    let caution = |worked: &Worked| worked.cautions.iter().any(|caution| caution.id == "caution.uncertain");
    assert!(caution(&short) && !caution(&long));
}

#[test]
fn a_timed_run_says_how_long_to_catch_and_how_long_to_spray() {
    let pairs = [
        ("timed.1.volume", "30 fl oz"),
        ("timed.1.catch-time", "10 s"),
        ("timed.1.area", "300 ft2"),
        ("timed.1.area-time", "15 s"),
    ];
    let Longer::Times { factor, grown } =
        budgets(&worked("application-rate", &pairs, System::Us), 0.025)[0].longer.clone()
    else {
        panic!("longer runs")
    };
    let names: Vec<&str> = grown.iter().map(|grown| grown.first.as_str()).collect();
    assert_eq!(names, ["timed.1.catch-time", "timed.1.area-time"]);
    assert!(close(grown[1].needed, 15.0 * factor, 1e-12) && factor > 1.0);
}

#[test]
fn a_width_that_is_read_too_coarsely_is_named() {
    // 18 in read to 2 in: 2/sqrt(12) = 0.57735 in, doubled 6.415 %; no length of walking changes that.
    let pairs =
        [("pass.1.length", "300 ft"), ("pass.1.spacing", "1.5 ft"), ("pass.1.passes", "4"), ("pass.1.time", "300 s")];
    let walked = worked("swath-timing", &pairs, System::Us);
    let Longer::Never { fixed, alone, together } = &walked.budgets[0].longer else { panic!("never") };
    assert!(fixed.is("pass.1.spacing"));
    assert!(close(*alone, 0.064_150, 1e-4) && close(*together, *alone, 1e-12));
}

#[test]
fn readings_far_too_coarse_are_named_with_what_to_do_about_them() {
    let phrases = tankside::catalogue::phrases("en").expect("a readable catalogue").unwrap_or_default();
    let pairs = [("catch.1.volume", "6 fl oz"), ("catch.1.time", "1 s")];
    let catch = worked("catch-test", &pairs, System::Us);
    let Longer::Coarse { most } = &catch.budgets[0].longer else { panic!("{:?}", catch.budgets[0].longer) };
    assert!(most.is("catch.1.time"));
    let said = words::answer(&catch, &catch.budgets[0], &phrases);
    assert!(said.ends_with("Time a longer stretch."), "{said}");
}
