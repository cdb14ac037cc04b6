//! How finely something was read: by default, as somebody says, and what cannot be.

use crate::{close, worked};
use tankside_calc::calculation::declare::FormItem;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::{REACTION_S, work};
use tankside_calc::words::phrases::places;
use tankside_calc::working::record::System;

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
fn every_kind_of_reading_has_a_way_to_read_it_better() {
    let phrases = tankside::catalogue::phrases("en").expect("a readable catalogue").unwrap_or_default();
    for calculator in CALCULATORS.iter().filter(|calculator| !calculator.uncertain.is_empty()) {
        for item in calculator.inputs {
            let fields = match item {
                FormItem::One(input) => std::slice::from_ref(input),
                FormItem::Many(group) => group.fields,
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
