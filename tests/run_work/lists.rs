//! What is listed for somebody who asks what there is.

use crate::us_units::US;
use crate::{inputs_of, json, printed, text, words_of};
use std::process::{Command, Stdio};
use tankside::embedded::CONTENT;
use tankside::load::{Layered, Memory};
use tankside::problem::Style;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::text::figures::{RESULT_FIGURES, shown, without_noise};
use tankside_calc::working::record::System;

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
            // In metric units a name that says a US unit is listed with the metric one.
            let listed = |name: &str| match system {
                System::Us => name.to_owned(),
                System::Metric => {
                    name.replace("gallon", "liter").replace("acre", "hectare").replace("1000-ft2", "100-m2")
                }
            };
            for (name, input) in inputs_of(calculator) {
                let name = listed(&name);
                let line = list.lines().find(|line| line.trim_start().starts_with(&format!("{name} ")));
                let line = line.unwrap_or_else(|| panic!("{} {name} in\n{list}", calculator.id));
                let unit = input.unit(system).shown();
                assert!(line.contains(&unit), "{} {name} names no {unit}: {line}", calculator.id);
                if let Some(bounds) = input.limits(system) {
                    // In the unit that the line names, to three figures as every amount.
                    let size = bounds.unit.size() / input.unit(system).size();
                    let number = |amount: f64| shown(without_noise(amount * size), RESULT_FIGURES);
                    let range = format!("{} to {} {unit}", number(bounds.hard.0), number(bounds.hard.1));
                    assert!(line.contains(range.trim_end()), "no {range}: {line}");
                }
            }
            for spec in calculator.results.iter().filter(|spec| system == System::Us || !spec.us_only) {
                assert!(list.contains(&listed(spec.name)), "{} {}", calculator.id, spec.name);
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
fn every_calculator_prints_a_block_that_a_lesson_takes() {
    let mut lessons = Memory::new();
    let mut names = Vec::new();
    for calculator in CALCULATORS {
        for system in [System::Us, System::Metric] {
            let block = printed(&[calculator.id, "--block", "--units", system.id()]);
            let words = words_of(system.pick(calculator.example, calculator.example_metric));
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let same = printed(&[&[calculator.id, "--block", "--units", system.id()], words.as_slice()].concat());
            assert_eq!(same, block, "the example given is the example printed");
            let name = format!("{}-{}", calculator.id, system.id());
            let text = format!("---\ntitle: {name}\nsummary: Its block.\n---\n\n{block}");
            lessons.add(format!("lessons/{name}.md"), text.into_bytes());
            names.push(name);
        }
    }
    let settings = format!("id: blocks\ntitle: Blocks\ncompany: Green Example\nlessons: [{}]\n", names.join(", "));
    lessons.add("course.yaml", settings.into_bytes());
    let stock = Memory::of(&CONTENT);
    let resolved = tankside::resolve(&Layered(vec![&lessons, &stock]));
    assert!(resolved.course().is_some(), "{}", resolved.problems.draw(Style::Plain));
    let read = printed(&["catch-test", "catch=96 fl oz, 1:30", "read-to.catch.volume=2 fl oz", "--block"]);
    assert!(
        read.contains("  catch:\n    - {") && read.contains("  read-to:\n    catch:\n      volume: 2 fl oz\n"),
        "{read}"
    );
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

#[test]
fn the_metric_listing_has_no_us_units_in_it() {
    for calculator in CALCULATORS {
        let listed = printed(&[calculator.id, "--units", "metric"]);
        let words = words_of(calculator.example_metric);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let worked = printed(&[&[calculator.id, "--units", "metric"], &words[..]].concat());
        for printed in [&listed, &worked] {
            for word in printed.split(|letter: char| !letter.is_alphanumeric() && letter != '²') {
                assert!(!US.contains(&word) && !word.contains("gallon"), "{}: `{word}` in\n{printed}", calculator.id);
            }
        }
    }
    // Both names are taken, and a script gets the one that is the same in every system.
    let words = ["dilution", "mix=12 L", "wanted=0.5 %", "--units", "metric", "--in"];
    assert!(printed(&[&words[..], &["per-liter=mL/L"]].concat()).contains("5 mL/L   [per-liter]"));
    assert!(printed(&[&words[..], &["per-gallon=mL/L"]].concat()).contains("5 mL/L   [per-liter]"));
    assert!(json(&words[..5])["results"].as_object().is_some_and(|results| results.contains_key("per-gallon")));
    let plots = ["known-area", "plot=20 m, 5 m, 8.1 L", "plots-per-hectare=100", "--units", "metric"];
    assert_eq!(printed(&plots), printed(&[plots[0], plots[1], "plots-per-acre=100", "--units", "metric"]));
}
