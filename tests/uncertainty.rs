//! Measurement uncertainty against what is published and against chance itself.

use rand_pcg::Pcg32;
use rand_pcg::rand_core::{Rng, SeedableRng};
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::worked::{Worked, work_inputs};
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::page::worked::{Options, fragment};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::work;
use tankside_calc::uncertainty::{Cause, Longer, REACTION_S, budgets, scatter};
use tankside_calc::words::phrases::places;
use tankside_calc::words::uncertainty as words;
use tankside_calc::working::record::{Rounding, System};

fn worked(id: &str, pairs: &[(&str, &str)], system: System) -> Worked {
    let calculator = calculator(id).expect("a calculator");
    work(calculator, &RawInputs::from_pairs(pairs), system).unwrap_or_else(|faults| panic!("{id}: {faults:?}"))
}

fn close(one: f64, other: f64, within: f64) -> bool {
    (one - other).abs() <= within * other.abs()
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

/// A generator of our own: the same draws on every machine.
struct Random(Pcg32);

impl Random {
    fn new(seed: u64) -> Random {
        Random(Pcg32::seed_from_u64(seed))
    }

    /// Even between 0 and 1, ends excluded.
    fn even(&mut self) -> f64 {
        (f64::from(self.0.next_u32()) + 0.5) / 4_294_967_296.0
    }

    /// Normal, mean 0, standard deviation 1 (Box and Muller, 1958).
    fn normal(&mut self) -> f64 {
        (-2.0 * self.even().ln()).sqrt() * (std::f64::consts::TAU * self.even()).cos()
    }
}

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

/// An example with something in it that was read. A mix of a wanted strength is made up; product on hand is measured.
fn read(calculator: &Calculator, system: System) -> &'static [(&'static str, &'static str)] {
    match calculator.id {
        "dilution" => system
            .pick(&[("product", "16 fl oz"), ("water-parts", "10")], &[("product", "500 mL"), ("water-parts", "10")]),
        _ => system.pick(calculator.example, calculator.example_metric),
    }
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
fn what_was_not_read_adds_nothing() {
    // The mix left, at its default of 0 gal, typed or not, is a statement and no reading; a label rate is printed, a
    // tank's size is marked on it, and a rate comes off a card.
    let pairs = [
        ("tank", "200 gal"),
        ("application-rate", "2 gal/1000 ft2"),
        ("product.1.rate", "1.5 fl oz/1000 ft2"),
        ("left", "0 gal"),
    ];
    assert!(worked("tank-mix", &pairs, System::Us).budgets.is_empty());
    assert!(worked("tank-mix", &pairs[..3], System::Us).budgets.is_empty());
    // 60 gal left are read off a gauge to 2 gal: 2/sqrt(12) = 0.57735 gal, of 140 gal to mix 0.41239 %.
    let left = worked("tank-mix", &[&pairs[..3], &[("left", "60 gal")]].concat(), System::Us);
    let [budget] = left.budgets.as_slice() else { panic!("the product alone: {:?}", left.budgets) };
    assert!(budget.parts.len() == 1 && budget.parts[0].cause.is("left"));
    assert!(close(budget.standard / budget.value, 0.004_123_9, 1e-4), "{}", budget.standard / budget.value);
}

#[test]
fn how_finely_it_was_read_is_for_its_reader_to_say() {
    let with = |read: &[(&'static str, &'static str)]| {
        let pairs = [
            ("catch.1.volume", "186 fl oz"),
            ("catch.1.time", "60 s"),
            ("catch.2.volume", "188 fl oz"),
            ("catch.2.time", "60 s"),
        ];
        worked("catch-test", &[&pairs, read].concat(), System::Us)
    };
    let own = |worked: &Worked, name: &str| {
        worked.budgets[0].parts.iter().find(|part| part.cause.is(name)).map_or(0.0, |part| part.standard)
    };
    let fl_oz = Unit::of("fl oz").size();
    // A jug marked every 4 fl oz: 4/sqrt(12) = 1.1547 fl oz, for every row, in whatever unit it is said.
    for text in ["4 fl oz", "4", "0.03125 gal"] {
        let coarse = with(&[("read-to.catch.volume", text)]);
        for name in ["catch.1.volume", "catch.2.volume"] {
            assert!(close(own(&coarse, name) / fl_oz, 1.154_70, 1e-5), "{text} {name}");
        }
    }
    // A share of the reading: 2 % of 186 and of 188.
    let shares = with(&[("read-to.catch.volume", "2 %")]);
    assert!(close(own(&shares, "catch.2.volume") / own(&shares, "catch.1.volume"), 188.0 / 186.0, 1e-12));
    // Given exactly: only the hand on the watch is left of the time, and nothing of the volume.
    let given = with(&[("read-to.catch.volume", "0"), ("read-to.catch.time", "0 s")]);
    assert_eq!(own(&given, "catch.1.volume"), 0.0);
    assert!(close(own(&given, "catch.1.time"), REACTION_S, 1e-12));
    // What counts as exact can still be declared a reading.
    let mix = [("tank", "200 gal"), ("application-rate", "2 gal/1000 ft2"), ("product.1.rate", "1.5 fl oz/1000 ft2")];
    let doubtful = worked("tank-mix", &[&mix[..], &[("read-to.tank", "5 gal")]].concat(), System::Us);
    assert!(doubtful.budgets.iter().all(|budget| budget.parts[0].cause.is("tank")) && doubtful.budgets.len() == 2);
}

#[test]
fn what_cannot_be_how_finely_it_was_read_is_refused() {
    let catch = calculator("catch-test").expect("it is there");
    let phrases = tankside::catalogue::phrases("en").expect("a readable catalogue").unwrap_or_default();
    for (name, text) in [
        ("read-to.catch.volume", "200 fl oz"),
        ("read-to.catch.volume", "-1 fl oz"),
        ("read-to.catch.volume", "1 ft"),
        ("read-to.catch.volume", "half"),
        ("read-to.catch.1.volume", "1 fl oz"),
        ("read-to.catch", "1 fl oz"),
        ("read-to.nothing", "1 fl oz"),
        ("read-to.", "1"),
    ] {
        let pairs = [("catch.1.volume", "186 fl oz"), ("catch.1.time", "60 s"), (name, text)];
        let faults = work(catch, &RawInputs::from_pairs(&pairs), System::Us).expect_err(text);
        assert_eq!((faults.len(), faults[0].about.as_str()), (1, name), "{text}: {faults:?}");
        let said = tankside_calc::words::say::problem(catch, &faults[0], System::Us, &phrases);
        assert!(places(&said).is_empty() && !said.contains("uncertainty."), "{said}");
    }
}

#[test]
fn no_doubt_is_finer_than_what_is_shown_and_no_advice_is_beyond_doing() {
    // "47 gal ± 0.0003", "between 1.4 and 1.4", "about 21 in all instead of 2", "8992 ft² in all", "read that more
    // finely".
    let phrases = tankside::catalogue::phrases("en").expect("a readable catalogue").unwrap_or_default();
    let mut shown = 0;
    for calculator in CALCULATORS {
        for (system, pairs) in [(System::Us, calculator.example), (System::Metric, calculator.example_metric)] {
            for scale in [1.0, 0.01, 30.0] {
                let mut worked = worked(calculator.id, pairs, system);
                // The same problem with every doubt so much smaller or larger.
                for budget in &mut worked.budgets {
                    budget.standard *= scale;
                }
                for budget in &worked.budgets {
                    let unit = words::unit_of(&worked, budget).expect("a quantity");
                    let line = words::result(budget, unit, &phrases);
                    let explained = words::explained(budget, unit, "It", &phrases);
                    let name = format!("{} {} × {scale}: {line} {explained}", calculator.id, system.id());
                    let Some((value, rest)) = line.split_once(" ± ") else {
                        assert!(!explained.contains("between"), "{name}");
                        continue;
                    };
                    let margin = rest.split(' ').next().expect("a number");
                    let decimals = |text: &str| text.split_once('.').map_or(0, |(_, part)| part.len());
                    assert_eq!(decimals(value), decimals(margin), "{name}");
                    let figures = margin.trim_start_matches(['0', '.']).replace(['.', ','], "");
                    assert!(matches!(figures.trim_end_matches('0').len(), 1 | 2), "{name}");
                    let (_, bounds) = explained.split_once("between ").expect("bounds");
                    let (low, high) = bounds.split_once(" and ").expect("two bounds");
                    assert_ne!(low, high.split(". The ±").next().expect("the end"), "{name}");
                    shown += 1;
                }
                for budget in &worked.budgets {
                    let advice = words::answer(&worked, budget, &phrases);
                    assert!(!advice.contains("{") && !advice.contains("more finely"), "{advice}");
                    match &budget.longer {
                        Longer::Times { factor, .. } => assert!(*factor <= 4.0, "{advice}"),
                        Longer::Repeats { now, needed } => assert!(*needed <= 6.max(now + 2), "{advice}"),
                        _ => {}
                    }
                }
            }
        }
    }
    assert!(shown >= 40, "{shown}");
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

#[test]
fn every_kind_of_reading_has_a_way_to_read_it_better() {
    let phrases = tankside::catalogue::phrases("en").expect("a readable catalogue").unwrap_or_default();
    for calculator in CALCULATORS.iter().filter(|calculator| !calculator.uncertain.is_empty()) {
        for item in calculator.inputs {
            let fields = match item {
                tankside_calc::calculation::declare::FormItem::One(input) => std::slice::from_ref(input),
                tankside_calc::calculation::declare::FormItem::Many(group) => group.fields,
            };
            for kind in fields.iter().filter(|input| input.read_to.is_some()).filter_map(|input| input.kind()) {
                let key = format!("uncertainty.finer.{}", kind.id().trim_start_matches("kind."));
                assert!(phrases.find(&key).is_some() || kind == Kind::MassPerVolume, "{} {key}", calculator.id);
            }
        }
    }
}

#[test]
fn a_reading_counts_as_it_was_typed_whatever_units_are_shown() {
    let pairs = [("catch.1.volume", "5.5 L"), ("catch.1.time", "60 s")];
    let (us, metric) = (worked("catch-test", &pairs, System::Us), worked("catch-test", &pairs, System::Metric));
    assert_eq!(us.budgets[0].standard.to_bits(), metric.budgets[0].standard.to_bits());
    // 10 mL, not 1 fl oz: 10/sqrt(12) = 2.88675 mL.
    let volume = us.budgets[0].parts.iter().find(|part| part.cause.is("catch.1.volume")).expect("a reading");
    assert!(close(volume.standard, 2.886_75e-6, 1e-5));
}

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

#[test]
fn a_page_says_how_sure_and_leaves_no_place_open() {
    let phrases = tankside::catalogue::phrases("en").expect("a readable catalogue").unwrap_or_default();
    let sixty: Vec<(String, String)> = (1..=60)
        .map(|row| (format!("nozzle.{row}.volume"), format!("{} fl oz", 19 + row % 3)))
        .chain([("nozzle-time".to_owned(), "30 s".to_owned())])
        .collect();
    let mut pages: Vec<(&'static Calculator, RawInputs)> =
        CALCULATORS.iter().map(|one| (*one, RawInputs::from_pairs(read(one, System::Us)))).collect();
    pages.push((calculator("catch-test").expect("it is there"), RawInputs(sixty)));
    for (calculator, given) in pages {
        let options = Options { name: "x", title: "x", system: System::Us, level: 2, ..Options::default() };
        let answer = fragment(calculator, &given, &options, &phrases).answer;
        assert_eq!(answer.contains("tk-sure__table"), !calculator.uncertain.is_empty(), "{}", calculator.id);
        assert!(places(&answer).is_empty(), "{}", calculator.id);
        assert!(!answer.contains("uncertainty."), "{}: a phrase is missing", calculator.id);
        // Readings of one kind share a line, so that even sixty nozzles make a short table.
        assert!(answer.matches("<tr><th scope=\"row\">").count() < 40, "{}", calculator.id);
    }
}
