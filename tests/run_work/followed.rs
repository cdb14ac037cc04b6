//! What is offered for a value that cannot be read: what was given is kept, and what is offered works when it is followed.

use crate::{tankside, text, words_of};
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::quantity::unit::Unit;

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
