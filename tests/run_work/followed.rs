//! What is offered for a value that cannot be read: what was given is kept, and what is offered works when it is followed.

use crate::{inputs_of, tankside, text, words_of};
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::working::record::System;

/// The words of a command in a refusal, quotes taken off.
fn followed(line: &str) -> Vec<String> {
    let (mut words, mut word, mut quoted) = (Vec::new(), String::new(), false);
    for letter in line.trim().trim_start_matches("tankside work ").chars() {
        match letter {
            '\'' => quoted = !quoted,
            ' ' if !quoted => words.push(std::mem::take(&mut word)),
            _ => word.push(letter),
        }
    }
    words.push(word);
    words
}

fn ran(words: &[String]) -> Result<(), String> {
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let done = tankside(&words);
    if done.status.success() { Ok(()) } else { Err(text(&done.stderr)) }
}

#[test]
fn what_is_offered_for_a_mistyped_value_keeps_it_and_works_when_it_is_followed() {
    let slips: [fn(&str, &str) -> String; 8] = [
        |number, unit| format!("{} {unit}", number.replace('.', ",")),
        |number, _| number.to_owned(),
        |number, unit| format!("{number} {}", if unit == "psi" { "gal" } else { "psi" }),
        |number, unit| format!("{number} {unit}/M2000"),
        |number, unit| format!("{number} {unit}x"),
        |number, _| format!("{number} T"),
        |number, _| format!("{number} oz/1000 ft2"),
        |_, unit| format!("0,75 {unit}"),
    ];
    let (mut count, mut offered, mut wrong) = (0, 0, Vec::new());
    for calculator in CALCULATORS {
        for (units, example) in [("us", calculator.example), ("metric", calculator.example_metric)] {
            let words = words_of(example);
            for (at, (name, value)) in example.iter().enumerate() {
                let Some((number, unit)) = value.split_once(' ') else { continue };
                if number.parse::<f64>().is_err() || Unit::parse(unit).is_none() {
                    continue;
                }
                count += 1;
                let typed = slips[count % slips.len()](number, unit);
                let mut given = vec![calculator.id.to_owned()];
                given.extend(words.iter().cloned());
                given[at + 1] = format!("{name}={typed}");
                given.extend(["--units".to_owned(), units.to_owned()]);
                let Err(said) = ran(&given) else { continue };
                let Some(command) = said.lines().find(|line| line.trim().starts_with("tankside work ")) else {
                    wrong.push(format!("{name}={typed}: no command\n{said}"));
                    continue;
                };
                let command = followed(command);
                let own = command.iter().position(|word| word.starts_with(&format!("{name}=")));
                let Some(own) = own else {
                    wrong.push(format!("{name}={typed}: left out\n{said}"));
                    continue;
                };
                let value = command[own].split_once('=').map_or("", |(_, value)| value);
                let listed = said.lines().find_map(|line| line.split_once("with a unit: "));
                let fillings: Vec<String> = match (value.contains('…'), listed) {
                    (false, _) => vec![value.to_owned()],
                    // A place for all of it: nothing that was given can be kept.
                    (true, _) if value.starts_with('…') => continue,
                    (true, Some((_, list))) => list.split(", ").map(|unit| value.replace('…', unit)).collect(),
                    (true, None) => vec![value.replace('…', "fl oz"), value.replace('…', "oz weight")],
                };
                if !value.contains(number) && !value.contains("0.75") {
                    wrong.push(format!("{name}={typed}: the number is lost in {value}\n{said}"));
                }
                // Of an amount of any kind no unit can be offered.
                if name == &"amount" && listed.is_none() && value.contains('…') {
                    continue;
                }
                for filling in fillings {
                    let mut command = command.clone();
                    command[own] = format!("{name}={filling}");
                    offered += 1;
                    if let Err(again) = ran(&command) {
                        wrong.push(format!("{name}={typed}, followed with {filling}: {again}"));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
    println!("{count} mistyped values, {offered} suggestions followed");
    assert!(count > 150 && offered > 200, "{count} mistyped values, {offered} suggestions followed");
}

#[test]
fn a_value_stays_in_the_completed_command_as_far_as_it_can_be_read() {
    for (words, kept) in [
        (&["tank-mix", "tank=0,75 gal", "application-rate=0.5 gal/1000 ft2"][..], "tank='0.75 gal'"),
        (&["tank-mix", "tank=200 lb", "application-rate=2 gal/1000 ft2"], "tank='200 …'"),
        (&["boom-output", "nozzle-flow=0.4 gal", "speed=3 mph", "spacing=20 in"], "nozzle-flow='0.4 …'"),
        (&["active-ingredient", "strength=4 lb/gal", "ai-wanted=1 lb/M2000"], "ai-wanted='1 …'"),
        (&["catch-test", "catch=1 gal 5, 60 s"], "catch.1.volume='1 gal 5 …'"),
        (&["active-ingredient", "strength=4 lb/gal", "ai-wanted=1 oz/acre"], "ai-wanted='1 oz weight/acre'"),
        (&["lawn-area", "rectangle=80 ft2x, 60 ft"], "rectangle.1.length='80 …'"),
    ] {
        let words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
        let said = ran(&words).expect_err("it cannot be read");
        assert!(said.lines().last().is_some_and(|line| line.contains(kept)), "{words:?}: {said}");
    }
}

/// The completed command of a refusal, as words, and where among them the input `name` is.
fn completed(said: &str, name: &str) -> Option<(Vec<String>, usize)> {
    let command = followed(said.lines().find(|line| line.trim().starts_with("tankside work "))?);
    let own = command.iter().position(|word| word.starts_with(&format!("{name}=")))?;
    Some((command, own))
}

#[test]
fn beyond_a_limit_the_rest_is_kept_and_the_value_is_a_place_that_takes_one_that_can_be() {
    let (mut refused, mut wrong) = (0, Vec::new());
    for calculator in CALCULATORS {
        for system in [System::Us, System::Metric] {
            let example = system.pick(calculator.example, calculator.example_metric);
            let words = words_of(example);
            let mut tried = |name: &str, own: Option<&str>, typed: String| {
                let mut given = vec![calculator.id.to_owned()];
                given.extend(words.iter().filter(|word| !word.starts_with(&format!("{name}="))).cloned());
                given.push(format!("{name}={typed}"));
                given.extend(["--units".to_owned(), system.id().to_owned()]);
                let Err(said) = ran(&given) else { return };
                refused += 1;
                let Some((mut command, at)) = completed(&said, name) else {
                    wrong.push(format!("{} {name}={typed}: no command\n{said}", calculator.id));
                    return;
                };
                for kept in words.iter().filter(|word| !word.starts_with(&format!("{name}="))) {
                    let (kept, value) = kept.split_once('=').expect("an input");
                    if !command.iter().any(|word| word.split_once('=').is_some_and(|(name, _)| name == kept)) {
                        wrong.push(format!("{} {name}={typed}: {kept}={value} is lost\n{said}", calculator.id));
                    }
                }
                if !command[at].contains('…') {
                    wrong.push(format!("{} {name}={typed}: no place\n{said}", calculator.id));
                    return;
                }
                let Some(own) = own else { return };
                command[at] = format!("{name}={own}");
                if let Err(again) = ran(&command) {
                    wrong.push(format!("{} {name}={typed}, followed with {own}: {again}", calculator.id));
                }
            };
            for (name, input) in inputs_of(calculator) {
                let flat = name.replace(".N.", ".1.");
                let own = example.iter().find(|(name, _)| *name == flat).map(|(_, value)| *value);
                let unit = input.unit(system).plain();
                let Some(kind) = input.kind() else { continue };
                if let Some(bounds) = input.limits(system) {
                    let limit = |limit: f64| format!("{limit} {}", bounds.unit.plain());
                    if system == System::Us {
                        tried(&flat, own, limit(bounds.hard.0 - 1.0));
                    }
                    tried(&flat, own, limit(bounds.hard.1 * 1.01 + 0.01));
                } else {
                    tried(&flat, own, format!("0 {unit}"));
                    if kind.takes(&Unit::parse("%").expect("a unit")) {
                        tried(&flat, own, "480 %".to_owned());
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {refused} wrong:\n{}", wrong.len(), wrong.join("\n"));
    assert!(refused > 300, "{refused}");
}

#[test]
fn a_value_that_the_others_make_impossible_is_a_place_and_of_two_that_exclude_each_other_either_is_kept() {
    for (words, lines) in [
        (
            &["tank-mix", "tank=100 gal", "fill=200 gal", "application-rate=2 gal/1000 ft2"][..],
            &["tank-mix tank='100 gal' fill='… gal' application-rate='2 gal/1000 ft2'"][..],
        ),
        (&["nutrient", "phosphate=60 %", "potash=60 %", "target=1 lb/1000 ft2"], &["phosphate='… %' potash='… %'"]),
        (&["nozzle-wear", "tip-code=8000", "catch-time=60 s", "nozzle=50 fl oz"], &["nozzle-wear tip-code='…'"]),
        (&["active-ingredient", "strength=4 lb/gal", "ai-wanted=1 fl oz/acre"], &["strength='4 lb/gal' ai-wanted='…'"]),
        (
            &["dilution", "mix=3 gal", "wanted=2 %", "water-parts=40"],
            &["mix='3 gal' water-parts='40'", "mix='3 gal' wanted='2 %'"],
        ),
        (
            &["lawn-area", "circle=40 ft, 20 ft"],
            &["lawn-area circle.1.radius='20 ft'", "lawn-area circle.1.diameter='40 ft'"],
        ),
        (
            &[
                "usage-check",
                "area=5000 ft2",
                "application-rate=2 gal/1000 ft2",
                "volume-used=10 gal",
                "tank-before=20 gal",
                "tank-after=10 gal",
            ],
            &["ft2' tank-before='20 gal' tank-after='10 gal'", "ft2' volume-used='10 gal'"],
        ),
        // A maximum of nothing is never left out.
        (
            &["tank-mix", "tank=9 gal", "application-rate=2 gal/M", "product=1 fl oz/M, 0 fl oz/M"],
            &["product.1.label-max='… fl oz/1000 ft2'"],
        ),
        // A length where only an area makes sense.
        (&["tank-mix", "tank=9 gal", "application-rate=2 gal/1000 ft"], &["application-rate='2 gal/1000 ft2'"]),
    ] {
        let words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
        let said = ran(&words).expect_err("it cannot be worked");
        let offered: Vec<&str> = said.lines().filter(|line| line.trim().starts_with("tankside work ")).collect();
        assert_eq!(offered.len(), lines.len(), "{words:?}: {said}");
        for (offered, line) in offered.iter().zip(lines) {
            assert!(offered.contains(line), "{words:?}: no {line} in\n{said}");
        }
    }
    let said =
        ran(&["tank-mix", "tank=9 gal", "application-rate=2 gal/1000 ft"].map(str::to_owned)).expect_err("a length");
    assert!(said.contains("this is gal/ft. Write a volume per area"), "{said}");
}
