//! `tankside work` from outside: what it prints, what it refuses, and with which words.

use serde_json::{Map, Value};
use std::process::{Command, Output, Stdio};
use tankside_calc::declare::{Calculator, Entry, Input};
use tankside_calc::given::Given;
use tankside_calc::record::System;
use tankside_calc::registry::CALCULATORS;
use tankside_calc::unit::Unit;
use tankside_calc::worked::work;

fn tankside(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_tankside")).arg("work").args(words).output().expect("the program runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("what is printed is UTF-8")
}

/// What a call that is taken prints.
fn printed(words: &[&str]) -> String {
    let output = tankside(words);
    assert_eq!(output.status.code(), Some(0), "{words:?}: {}", text(&output.stderr));
    assert!(output.stderr.is_empty(), "{words:?}: {}", text(&output.stderr));
    text(&output.stdout)
}

/// What a call that is refused says; nothing is printed to standard output, and the exit code is 2.
fn refusal(words: &[&str]) -> String {
    let output = tankside(words);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{words:?}: {said}");
    assert!(output.stdout.is_empty(), "{words:?}");
    assert!(said.starts_with("error: "), "{words:?}: {said}");
    said
}

fn refused_with(words: &[&str], parts: &[&str]) {
    let said = refusal(words);
    for part in parts {
        assert!(said.contains(part), "{words:?}: no `{part}` in\n{said}");
    }
}

fn json(words: &[&str]) -> Value {
    let text = printed(&[words, &["--json"]].concat());
    serde_json::from_str(&text).unwrap_or_else(|fault| panic!("{words:?}: {fault}\n{text}"))
}

fn inputs_of(calculator: &'static Calculator) -> Vec<(String, &'static Input)> {
    let mut all = Vec::new();
    for entry in calculator.inputs {
        match entry {
            Entry::One(input) => all.push((input.name.to_owned(), input)),
            Entry::Many(group) => {
                all.extend(group.fields.iter().map(|field| (format!("{}.N.{}", group.name, field.name), field)));
            }
        }
    }
    all
}

fn words_of(pairs: &[(&str, &str)]) -> Vec<String> {
    pairs.iter().map(|(name, value)| format!("{name}={value}")).collect()
}

#[test]
fn alone_it_lists_every_calculator_with_what_it_is_for() {
    let list = printed(&[]);
    for calculator in CALCULATORS {
        let line = list.lines().find(|line| line.trim_start().starts_with(&format!("{} ", calculator.id)));
        assert!(line.is_some_and(|line| line.len() > 40), "{} in\n{list}", calculator.id);
    }
}

#[test]
fn a_calculator_alone_lists_its_inputs_with_units_and_ranges_and_an_example_that_works() {
    for calculator in CALCULATORS {
        for system in [System::Us, System::Metric] {
            let list = printed(&[calculator.id, "--units", system.id()]);
            for (name, input) in inputs_of(calculator) {
                let line = list.lines().find(|line| line.trim_start().starts_with(&format!("{name} ")));
                let line = line.unwrap_or_else(|| panic!("{} {name} in\n{list}", calculator.id));
                let unit = Unit::of(input.unit(system)).shown();
                assert!(line.contains(&unit), "{} {name} names no {unit}: {line}", calculator.id);
                if let Some(bounds) = input.bounds {
                    assert!(line.contains(&format!("{} to {}", bounds.hard.0, bounds.hard.1)), "{line}");
                }
            }
            for spec in calculator.results {
                assert!(list.contains(spec.name), "{} {}", calculator.id, spec.name);
            }
            let words = words_of(system.pick(calculator.example, calculator.example_metric));
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let worked = printed(&[&[calculator.id, "--units", system.id()], words.as_slice()].concat());
            assert!(worked.contains("\nSteps\n") && worked.contains("\nResults\n"), "{worked}");
            assert!(worked.contains("The label is the law"), "{worked}");
        }
    }
}

#[test]
fn a_wrong_name_is_answered_with_the_near_one_or_with_all() {
    refused_with(&["catchtest"], &["no calculator called `catchtest`", "write `catch-test`"]);
    refused_with(&["zzzzzz"], &["no calculator called `zzzzzz`", "`catch-test`", "`tank-mix`"]);
    refused_with(&["catch-test", "catch.1.volum=1 gal"], &["catch.1.volum", "catch.N.volume"]);
    refused_with(&["tank-mix", "tanks=200 gal"], &["no input called “tanks”", "write `tank`"]);
    let good = ["catch-test", "catch=1 gal, 60 s"];
    refused_with(&[&good[..], &["--in", "nozle-output=gal/min"]].concat(), &["nozle-output", "write `nozzle-output`"]);
    refused_with(&[&good[..], &["--in", "nozzle-output=ft"]].concat(), &["cannot be shown in ft"]);
    refused_with(&[&good[..], &["--in", "nozzle-output=furlong"]].concat(), &["`furlong` is not a unit"]);
    refused_with(&[&good[..], &["--in", "nozzle-output"]].concat(), &["--in nozzle-output='UNIT'"]);
    refused_with(&["catch-test", "96 fl oz"], &["write name=value", "catch.1.volume='186 fl oz'"]);
    refused_with(&[&good[..], &["--units", "imperial"]].concat(), &["us, metric"]);
}

#[test]
fn a_value_that_cannot_be_is_answered_with_what_to_write() {
    let with = |volume: &str, time: &str| {
        let words = [format!("catch.1.volume={volume}"), format!("catch.1.time={time}")];
        refusal(&["catch-test", &words[0], &words[1]])
    };
    for (volume, part) in [
        ("5 ft", "a distance"),
        ("5", "unit"),
        ("", "nothing given"),
        ("lots", "186 fl oz"),
        ("1,45 gal", "comma"),
        ("2 gallonz", "“gallonz” is not a unit"),
        ("1 gal 5 ft", "186 fl oz"),
        ("NaN gal", "186 fl oz"),
        ("1/0 gal", "186 fl oz"),
    ] {
        let said = with(volume, "60 s");
        assert!(said.contains(part) && said.contains("write catch.1.volume='186 fl oz'"), "{volume}: {said}");
    }
    for volume in ["0 gal", "-5 gal", "51 gal", "99999 L"] {
        let said = with(volume, "60 s");
        assert!(said.contains("above 0 gal and at most 50 gal"), "{volume}: {said}");
    }
    // Each problem is told, not only the first.
    let said = with("5 ft", "5 ft");
    assert!(said.contains("catch.1.volume:") && said.contains("catch.1.time:"), "{said}");
}

#[test]
fn a_bare_oz_is_asked_about_only_where_it_could_be_weight() {
    let oz = ["tank-mix", "tank=100 gal", "application-rate=2 gal/1000 ft2"];
    refused_with(&[&oz[..], &["product.1.rate=2 oz/1000 ft2"]].concat(), &["fl oz", "oz weight", "product.1.rate="]);
    let taken = json(&["catch-test", "catch=96 oz, 30 s"]);
    assert_eq!(taken["inputs"]["catch.1.volume"]["unit"], "fl oz");
}

#[test]
fn what_is_missing_or_given_twice_or_left_over_is_told() {
    refused_with(&["catch-test", "catch.1.volume=1 gal"], &["catch.1.time", "write catch.1.time='60 s'"]);
    refused_with(&["catch-test", "tolerance=5 %"], &["at least one catch"]);
    refused_with(&["carrier-volume", "tank=200 gal", "area=1 acre", "volume=1 gal/1000 ft2"], &["volume:"]);
    for twice in [
        ["catch.1.volume=1 gal", "catch.1.time=60 s", "catch.1.time=61 s"],
        ["catch=1 gal, 60 s", "catch.1.time=61 s", "tolerance=5 %"],
        ["catch.1=1 gal, 60 s", "catch.1.time=61 s", "tolerance=5 %"],
        ["catch=1 gal, 60 s", "tolerance=5 %", "tolerance=6 %"],
    ] {
        refused_with(&[&["catch-test"][..], &twice].concat(), &["is given twice"]);
    }
    refused_with(&["catch-test", "catch=1 gal, 60 s, 33"], &["`33` is one part too many", "catch='volume, time'"]);
    for row in ["0", "01", "+1", "-1", "1000", "1e0", "9999999999999999999999"] {
        let words = [format!("catch.{row}.volume=1 gal"), format!("catch.{row}.time=60 s")];
        let said = refusal(&["catch-test", &words[0], &words[1], "catch.1.volume=1 gal", "catch.1.time=60 s"]);
        assert!(said.contains(&format!("catch.{row}.volume")), "{said}");
    }
    let many: Vec<String> = (0..13).map(|_| "catch=1 gal, 60 s".to_owned()).collect();
    let words: Vec<&str> = std::iter::once("catch-test").chain(many.iter().map(String::as_str)).collect();
    refused_with(&words, &["at most 12"]);
}

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
    refused_with(&["--json"], &["name a calculator"]);
    refused_with(&["catch-test", "--json"], &["catch"]);
}

fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = object(value).keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

fn object(value: &Value) -> &Map<String, Value> {
    value.as_object().unwrap_or_else(|| panic!("an object, not {value}"))
}

/// A value with unit and text; an amount may be told as it is measured out, a verdict has its id and no number.
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
    // 100 / 128 x 60 / 70 gal/min, and times 3.785411784 below, to the 15 digits that the core carries.
    assert!((value(&own, "nozzle-output") - 0.669_642_857_142_857).abs() < 1e-15);
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
fn a_reader_that_stops_early_is_no_fault() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_tankside"))
        .args(["work", "tank-mix"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("it ends");
    assert!(output.stderr.is_empty(), "{}", text(&output.stderr));
    assert_eq!(output.status.code(), Some(0));
}

/// Texts that nobody means, or that somebody does on purpose.
fn odd_texts() -> Vec<String> {
    let plain = [
        "",
        " ",
        "\t",
        "\n",
        "=",
        "==",
        "%",
        "%%",
        "-",
        "--",
        "−",
        "+",
        ".",
        ",",
        "/",
        "//",
        ":",
        "::",
        ";",
        "'",
        "\"",
        "`",
        "\\",
        "|",
        "&",
        "&amp;",
        "<",
        ">",
        "<b>",
        "<script>alert(1)</script>",
        "$HOME",
        "$(ls)",
        "{}",
        "{{7*7}}",
        "[]",
        "()",
        "null",
        "true",
        "None",
        "undefined",
        "NaN",
        "nan ft",
        "NaN gal",
        "inf",
        "-inf gal",
        "Infinity s",
        "1e309",
        "1e309 gal",
        "1e5 gal",
        "-1e309 s",
        "0x10 gal",
        "1_000 gal",
        "1/0 gal",
        "0/0 gal",
        "1//2",
        "1//2 gal",
        "1/2/3 gal",
        "1 1/ gal",
        "1 /2 gal",
        "½",
        "½½ gal",
        "1½ gal",
        "3⅓ gal",
        "⅐ gal",
        "-5 gal",
        "- 5 gal",
        "--5 gal",
        "+5 gal",
        "5-5 gal",
        "5..5 gal",
        ".5. gal",
        "5.5.5 gal",
        "1,45 gal",
        "1,000,00 gal",
        ",5 gal",
        "5, gal",
        "5,gal",
        "1.000,5 gal",
        "5 gal 5",
        "5 5 gal",
        "5 gal gal",
        "gal 5",
        "gal",
        "5gal",
        "5 GAL",
        "5 gAl",
        "5 gal.",
        "5 gal ,",
        "5 gal/",
        "5 gal//acre",
        "5 gal/0 ft2",
        "5 gal/1000",
        "5 gal/acre/acre/acre/acre",
        "5 /acre",
        "5 per acre",
        "5 per",
        "per",
        "5 gal per per acre",
        "1 gal 2 gal",
        "1 fl oz 2 gal",
        "1 gal 1 qt 1 pt 1 cup 1 fl oz 1 tbsp",
        "1 gal 58 fl oz 3",
        "5 oz",
        "5 oz.",
        "5 oz oz",
        "5 lb 5 oz 5 oz",
        "1:15",
        "1:5",
        "1:60",
        "1:75",
        ":15",
        "1:",
        "1:15:30",
        "-1:15",
        "99999999999:15",
        "1:15.5",
        "1:15.",
        "1:15 min",
        "1:nan",
        "4294967296:00",
        "0:00",
        "0 gal",
        "-0 gal",
        "0.0000000000000000000001 gal",
        "99999999999999999999 gal",
        "5 ft²",
        "5 ft^2",
        "5 ft**2",
        "5 ft3",
        "5 sq sq ft",
        "5 °C",
        "5 µL",
        "5 ㎖",
        "5 ℓ",
        "５ gal",
        "٥ gal",
        "५ gal",
        "五 gal",
        "5\u{a0}gal",
        "5\u{202f}gal",
        "5\u{2009}gal",
        "5\u{200b}gal",
        "5\u{feff}gal",
        "\u{feff}5 gal",
        "5\u{2044}2 gal",
        "5\u{ad} gal",
        "5 g\u{301}al",
        "\u{202e}lag 5",
        "\u{2066}5 gal\u{2069}",
        "جالون 5",
        "5 גלון",
        "5 加仑",
        "5 ガロン",
        "🪣",
        "5 🪣",
        "🧑🏽‍🌾 5 gal",
        "e\u{301}",
        "ﷺ",
        "Ω",
        "ß gal",
        "İ gal",
        "ŉ",
        "\u{1}",
        "\u{7f}",
        "5\u{8}gal",
        "\u{1b}[31m5 gal",
        "5\r\ngal",
        "5\ngal",
        "5\tgal",
        "\u{85}",
        "\u{2028}",
        "\u{e000}",
        "\u{10ffff}",
        "../../etc/passwd",
        "C:\\",
        "http://example.com/5",
        "a=b",
        "a=b&c=d",
        "5 gal&x=1",
        "'; DROP TABLE",
        "\" onload=\"x",
        "{field}",
        "{0}",
        "%s%n",
        "%25",
        "5%",
        "500 %",
        "-5 %",
        "5 % %",
        "5 %/acre",
        "1000 ft2",
        "5 1000 ft2",
        "5 100 gal",
        "100 100 gal",
        "5 100",
        "5 k ft2",
        "1 mph",
        "5 mi/h/h",
        "5 in2",
        "9 9 9 9 9 9 9 9",
        "5 gal, 30 s",
        "5 gal,30 s",
        "volume",
        "volume 5 gal",
        "time 30 s",
        "volume volume 5 gal",
        ", , ,",
        "5 gal, , 30 s",
    ];
    let mut all: Vec<String> = plain.iter().map(|text| (*text).to_owned()).collect();
    let long = |text: &str, times| text.repeat(times);
    all.extend([long("9", 400), long("9", 70_000), long("½", 2000), long("5 gal ", 20), long("5 gal ", 9000)]);
    all.extend([
        long("🪣", 9000),
        long(" ", 90_000),
        long("/", 5000),
        long("5 ", 40),
        long(".", 81),
        long("e\u{301}", 5000),
    ]);
    all.push(format!("0.{}5 gal", "0".repeat(60)));
    all
}

#[test]
fn no_text_whatever_makes_the_command_panic() {
    let texts = odd_texts();
    assert!(texts.len() >= 200, "{} texts", texts.len());
    for (index, odd) in texts.iter().enumerate() {
        let value = format!("catch.1.volume={odd}");
        let words: Vec<&str> = match index % 4 {
            0 => vec!["catch-test", &value, "catch.1.time=30 s", "--json"],
            1 => vec!["catch-test", "catch=1 gal, 30 s", odd],
            2 => vec!["catch-test", "catch=1 gal, 30 s", "--in", odd],
            _ => vec![odd],
        };
        let output = tankside(&words);
        let said = String::from_utf8_lossy(&output.stderr);
        let code = output.status.code();
        // A text that begins with a hyphen is an option to every command, and it may be `--`.
        assert!(matches!(code, Some(0 | 2)), "{odd:?}: {code:?} {said}");
        assert!(!said.contains("panicked") && !said.contains("RUST_BACKTRACE"), "{odd:?}: {said}");
        assert_eq!(code == Some(2), !said.is_empty(), "{odd:?}: {said}");
    }
}

#[test]
fn no_text_whatever_makes_a_calculator_panic() {
    let mut texts = odd_texts();
    texts.extend(["\0".to_owned(), "5\0gal".to_owned(), "5 gal\0".to_owned()]);
    for calculator in CALCULATORS {
        for (name, _) in inputs_of(calculator) {
            let flat = name.replace(".N.", ".1.");
            for odd in &texts {
                let mut pairs = Given::from_pairs(calculator.example).0;
                pairs.retain(|(other, _)| *other != flat);
                pairs.push((flat.clone(), odd.clone()));
                let given = Given(pairs).opened(calculator);
                if let Ok(worked) = work(calculator, &given, System::Us) {
                    for found in &worked.found {
                        assert!(worked.si(&found.name()).is_none_or(f64::is_finite), "{} {flat}={odd}", calculator.id);
                    }
                }
            }
        }
    }
}
