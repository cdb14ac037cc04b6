//! What an accepted problem prints: the same for every way of writing it, in the units asked for, as text
//! and as JSON.

use crate::{json, printed, refused_with, words_of};
use serde_json::{Map, Value};
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::working::record::System;

#[test]
fn rows_are_taken_short_named_or_field_by_field() {
    let short = json(&["catch-test", "catch=96 fl oz, 30 s", "catch=1 gal 58 fl oz, 1:00"]);
    let named = json(&["catch-test", "catch=time 30 s, volume 96 fl oz", "catch=time 1:00, volume 1 gal 58 fl oz"]);
    let fields = json(&[
        "catch-test",
        "catch.1.volume=96 fl oz",
        "catch.1.time=30 s",
        "catch.2.time=1:00",
        "catch.2.volume=1 gal 58 fl oz",
    ]);
    let mixed = json(&["catch-test", "catch.1=96 fl oz, 30 s", "catch=1 gal 58 fl oz, 1:00"]);
    assert_eq!(short, named);
    assert_eq!(short, fields);
    assert_eq!(short, mixed);
    assert_eq!(short["results"]["total-volume"]["value"], 282);
}

#[test]
fn a_product_without_a_name_has_a_number_only_beside_another() {
    let tank = ["tank-mix", "tank=100 gal", "application-rate=2 gal/1000 ft2"];
    let (first, most) = ("product.1.rate=1.5 fl oz/1000 ft2", "product.1.label-max=1 fl oz/1000 ft2");
    let one = printed(&[&tank[..], &[first, most]].concat());
    assert!(one.contains("DANGER: Product: 1.5 fl oz/1000 ft² is above") && one.contains("Product to add"), "{one}");
    assert!(!one.to_lowercase().contains("product 1"), "{one}");
    let two = printed(&[&tank[..], &[first, most, "product.2.rate=1 fl oz/1000 ft2"]].concat());
    for part in ["DANGER: Product 1: 1.5 fl oz/1000 ft² is above", "Product 1 to add", "Product 2 to add"] {
        assert!(two.contains(part), "{two}");
    }
}

#[test]
fn json_is_one_object_of_exactly_the_promised_shape() {
    for calculator in CALCULATORS {
        for system in [System::Us, System::Metric] {
            let words = words_of(system.pick(calculator.example, calculator.example_metric));
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let answer = json(&[&[calculator.id, "--units", system.id()], words.as_slice()].concat());
            assert_eq!(keys(&answer), ["calculator", "cautions", "inputs", "results", "steps", "uncertainty"]);
            uncertainty(calculator, &answer["uncertainty"]);
            assert_eq!(answer["calculator"], calculator.id);
            for (name, value) in object(&answer["inputs"]).iter().chain(object(&answer["results"])) {
                measured(calculator, name, value);
            }
            for (name, _) in system.pick(calculator.example, calculator.example_metric) {
                assert!(answer["inputs"].get(*name).is_some(), "{} {name}", calculator.id);
            }
            let steps = answer["steps"].as_array().expect("a list of steps");
            assert!(!steps.is_empty(), "{}", calculator.id);
            for step in steps {
                assert_eq!(keys(step), ["factors", "id", "text", "unit", "value"]);
                assert!(step["value"].is_number() && step["unit"].is_string(), "{step}");
                assert!(step["id"].as_str().is_some_and(|id| id.starts_with(calculator.id)), "{step}");
                assert!(step["text"].as_str().is_some_and(|text| text.contains(" = ")), "{step}");
            }
            for caution in answer["cautions"].as_array().expect("a list of cautions") {
                assert_eq!(keys(caution), ["id", "severity", "text"]);
                assert!(["danger", "warning", "notice"].contains(&caution["severity"].as_str().unwrap_or_default()));
            }
        }
    }
    refused_with(&["--json"], &["{\"error\":\"", "name a calculator"]);
    refused_with(&["catch-test", "--json"], &["{\"error\":\"", "catch"]);
}

fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = object(value).keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

fn object(value: &Value) -> &Map<String, Value> {
    value.as_object().unwrap_or_else(|| panic!("an object, not {value}"))
}

/// A value with unit and text; an amount may also be given as it is measured out, a verdict has its id and no number.
fn measured(calculator: &Calculator, name: &str, value: &Value) {
    let about = format!("{} {name}: {value}", calculator.id);
    let known = ["measured", "text", "unit", "value", "verdict"];
    assert!(keys(value).iter().all(|key| known.contains(key)), "{about}");
    let unit = value["unit"].as_str().unwrap_or_else(|| panic!("{about}"));
    assert!(value["text"].as_str().is_some_and(|text| !text.is_empty()), "{about}");
    match value.get("value") {
        Some(Value::Number(number)) => {
            assert!(number.as_f64().is_some_and(f64::is_finite), "{about}");
            assert!(unit.is_empty() || Unit::parse(unit).is_some(), "{about}");
        }
        Some(Value::Null) => assert!(unit.is_empty(), "{about}"),
        _ => panic!("{about}"),
    }
}

/// How uncertain a result is, and what each reading adds to it: the shares are those of one whole.
fn uncertainty(calculator: &Calculator, all: &Value) {
    for (name, one) in object(all) {
        assert!(calculator.result(name).is_some(), "{} {name}", calculator.id);
        let numbers = ["value", "standard", "expanded", "relative_standard", "relative", "k"];
        assert!(
            numbers.iter().all(|key| one[key].as_f64().is_some_and(f64::is_finite)),
            "{} {name}: {one}",
            calculator.id
        );
        assert!(one["text"].as_str().is_some_and(|text| text.contains('±')), "{one}");
        let readings = one["readings"].as_array().expect("a list of readings");
        // Repeats that differ have their share beside the readings.
        let causes = readings.iter().chain(one.get("scatter"));
        let shares: f64 = causes.map(|cause| cause["share"].as_f64().unwrap_or(f64::NAN)).sum();
        assert!(readings.is_empty() || (shares - 1.0).abs() < 1e-9, "{} {name}: {shares}", calculator.id);
        for reading in readings {
            let own = ["contribution", "name", "sensitivity", "share", "standard", "unit", "value"];
            assert_eq!(keys(reading), own);
        }
    }
}

#[test]
fn results_are_unrounded_and_in_the_unit_asked_for() {
    let words = ["catch-test", "catch=100 fl oz, 70 s"];
    let own = json(&words);
    let value = |answer: &Value, name: &str| answer["results"][name]["value"].as_f64().expect("a number");
    // 100 / 128 x 60 / 70 gal/min, and times 3.785411784 below, to the 14 digits that a working is sure of.
    assert!((value(&own, "nozzle-output") - 0.669_642_857_142_857).abs() < 1e-14);
    assert_eq!(own["results"]["nozzle-output"]["text"], "0.67 gal/min");
    let asked = json(&[&words[..], &["--in", "nozzle-output=L/min", "--in", "total-volume=cup"]].concat());
    assert_eq!(asked["results"]["nozzle-output"]["unit"], "L/min");
    assert!((value(&asked, "nozzle-output") - 2.534_873_962_5).abs() < 1e-13);
    assert_eq!(value(&asked, "total-volume").to_bits(), 12.5_f64.to_bits());
    assert_eq!(own["results"]["total-time"], asked["results"]["total-time"]);
    // The last wish counts, and units may be written as people do.
    let last =
        json(&[&words[..], &["--in", "nozzle-output=L/min", "--in", "nozzle-output=gallons per minute"]].concat());
    assert_eq!(last["results"]["nozzle-output"]["unit"], "gal/min");
}

#[test]
fn metric_units_change_what_is_shown_and_not_what_is_true() {
    let words = ["catch-test", "catch=5.5 L, 60 s", "--units", "metric"];
    let answer = json(&words);
    assert_eq!(answer["results"]["nozzle-output"]["unit"], "L/min");
    assert!(printed(&words).contains("5.5 L/min"));
    let us = json(&["catch-test", "catch=5.5 L, 60 s", "--in", "nozzle-output=L/min"]);
    assert_eq!(us["results"]["nozzle-output"]["value"], answer["results"]["nozzle-output"]["value"]);
}

#[test]
fn a_danger_comes_before_the_dose_and_is_colored_only_where_color_is_allowed() {
    let words = [
        "work",
        "tank-mix",
        "tank=200 gal",
        "application-rate=2 gal/1000 ft2",
        "product.1.name=Weed control",
        "product.1.rate=9 fl oz/1000 ft2",
        "product.1.label-max=1.8 fl oz/1000 ft2",
    ];
    let run = |force: bool| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_tankside"));
        command.args(words).env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").env("TERM", "xterm");
        if force {
            command.env("CLICOLOR_FORCE", "1");
        }
        crate::text(&command.output().expect("the program runs").stdout)
    };
    let plain = run(false);
    let (danger, dose) = (plain.find("!! DANGER: Weed control"), plain.find("Weed control to add"));
    assert!(danger.is_some() && danger < dose, "{plain}");
    assert!(plain.contains("Do not mix this.") && !plain.contains('\u{1b}'), "{plain}");
    // By hand: 200 gal at 2 gal/1000 ft² are 100 times 1000 ft², and 9 fl oz on each are 900 fl oz.
    assert!(plain.contains("900 fl oz"), "{plain}");
    let coloured = run(true);
    assert!(coloured.contains("\u{1b}["), "{coloured}");
}

#[test]
fn a_code_that_is_stamped_on_a_tip_is_printed_as_it_is_stamped() {
    let words = ["nozzle-wear", "tip-code=11003", "test-pressure=30 psi", "catch-time=60 s", "nozzle=40 fl oz"];
    assert!(printed(&words).contains("  code on the tip: 11003\n"));
}

#[test]
fn what_counts_where_nothing_was_given_is_listed_if_the_answer_rests_on_it() {
    for (words, listed, line) in [
        (&["tank-mix", "tank=100 gal", "application-rate=2 gal/1000 ft2"][..], false, "mix already in the tank"),
        (
            &["tank-mix", "tank=100 gal", "application-rate=2 gal/1000 ft2", "left=20 gal"],
            true,
            "mix already in the tank",
        ),
        (&["application-rate", "used=5 gal, 2500 ft2"], false, "agreement tolerance"),
        (&["application-rate", "used=5 gal, 2500 ft2", "used=5 gal, 2500 ft2"], true, "agreement tolerance"),
        (&["dilution", "mix=7 gal", "wanted=2 %"], false, "density of the mix"),
        (&["dilution", "mix=7 gal", "wanted=2 %", "by=weight"], true, "density of the mix"),
        (&["nozzle-wear", "rated-flow=0.4 gal/min", "catch-time=60 s", "nozzle=50 fl oz"], false, "tip is rated at"),
        (
            &["nozzle-wear", "rated-flow=0.4 gal/min", "catch-time=60 s", "nozzle=50 fl oz", "test-pressure=30 psi"],
            true,
            "tip is rated at",
        ),
        (&["nutrient", "nitrogen=46 %", "target=1 lb/1000 ft2"], false, "share of potash"),
        (
            &["boom-output", "nozzle-flow=0.3 gal/min", "speed=3 mph", "spacing=20 in"],
            false,
            "share of the wetted width",
        ),
    ] {
        let said = printed(words);
        let given = said.split("\nSteps\n").next().unwrap_or_default();
        assert_eq!(given.contains(line), listed, "{words:?}: {line} in\n{given}");
    }
}

#[test]
fn tips_are_counted_off_as_a_technician_says_them() {
    let tips = |volumes: &[&str]| {
        let nozzles: Vec<String> = volumes.iter().map(|volume| format!("nozzle={volume} fl oz")).collect();
        let given = ["nozzle-wear", "rated-flow=0.4 gal/min", "catch-time=60 s"];
        printed(&given.into_iter().chain(nozzles.iter().map(String::as_str)).collect::<Vec<_>>())
    };
    for (volumes, said) in [
        (&["50", "51", "60"][..], "above a new tip (nozzle 3)."),
        (&["50", "60", "61"], "above a new tip (nozzles 2 and 3)."),
        (&["60", "50", "61", "62"], "above a new tip (nozzles 1, 3 and 4)."),
    ] {
        assert!(tips(volumes).contains(said), "{said} in {}", tips(volumes));
    }
}

#[test]
fn what_ground_counts_as_measured_to_is_said_where_a_result_rests_on_it() {
    let sure = |words: &[&str]| printed(words).split("How sure is this?\n").nth(1).unwrap_or_default().to_owned();
    let said = "  Ground counts as measured to 2 %; common practice.\n";
    let used = ["application-rate", "used=5 gal, 2500 ft2"];
    assert!(sure(&used).starts_with(said), "{}", sure(&used));
    for (words, own) in [
        // Whoever measured it says how finely.
        (&["application-rate", "used=5 gal, 2500 ft2", "read-to.used.area=50 ft2"][..], "Application rate:"),
        (&["catch-test", "catch=142 fl oz, 61 s"], "Nozzle output"),
        // A plot is taped off.
        (&["known-area", "plot=340 ft2, 70 fl oz"], "Application rate"),
    ] {
        let sure = sure(words);
        assert!(!sure.contains("Ground counts") && sure.contains(own), "{words:?}: {sure}");
    }
    // On a page it is among the notes under the table.
    let phrases = tankside::catalogue::phrases("en").expect("a readable catalogue").expect("English");
    let note = phrases.get("uncertainty.read-to");
    assert!(note.contains("common practice") && note.contains("ground") && note.contains("2 %"), "{note}");
}
