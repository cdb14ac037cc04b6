//! No noise of binary arithmetic is shown: not in a step, a result, a caution or a doubt, nor in the JSON.

use super::{Reach, taken};
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::doors::wire;
use tankside_calc::quantity::measured::by_hand;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::text::json::Value;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

/// The numbers in a text: digits with points and group commas.
fn numbers(text: &str) -> impl Iterator<Item = String> + '_ {
    let pieces = text.split(|letter: char| !(letter.is_ascii_digit() || letter == '.' || letter == ','));
    pieces.map(|piece| piece.replace(',', "")).filter(|piece| piece.bytes().any(|byte| byte.is_ascii_digit()))
}

/// Why a number is noise; `most` significant figures are no noise.
fn noise(number: &str, most: usize) -> Option<&'static str> {
    let digits: String = number.chars().filter(char::is_ascii_digit).collect();
    let figures = digits.trim_start_matches('0').trim_end_matches('0');
    let point = number.contains('.');
    match () {
        () if point && figures.contains("00000000") => Some("zeros before a last digit"),
        () if point && figures.contains("99999999") => Some("nines"),
        () if point && figures.len() > most => Some("more figures than anybody typed"),
        () if number.starts_with("0.0000000") => Some("next to nothing"),
        () => None,
    }
}

fn look(value: &Value, path: &str, found: &mut Vec<String>) {
    match value {
        Value::Map(members) => members.iter().for_each(|(key, value)| look(value, &format!("{path}.{key}"), found)),
        Value::List(items) => items.iter().for_each(|value| look(value, path, found)),
        Value::Text(text) => {
            assert!(!text.contains("e-") || !text.contains("10^-"), "{text}");
            found.extend(
                numbers(text).filter_map(|number| Some(format!("{path}: {text}: {number}: {}", noise(&number, 12)?))),
            );
        }
        Value::Number(_) => {
            // As it leaves: the digits that a reader of the JSON sees.
            let written = value.line();
            found.extend(numbers(&written).filter_map(|number| {
                noise(&number, 15).filter(|why| *why != "next to nothing").map(|why| format!("{path}: {number}: {why}"))
            }));
        }
        _ => {}
    }
}

#[test]
fn no_text_and_no_number_shows_the_noise_of_arithmetic_whatever_is_drawn() {
    let phrases = Phrases::default();
    let (mut found, mut looked) = (Vec::new(), 0);
    for calculator in CALCULATORS {
        for (reach, seed) in [(Reach::Plausible, 11), (Reach::Hard, 12)] {
            for worked in taken(calculator, reach, seed) {
                let wire = wire::worked(&worked, &[], &phrases).expect("nothing is wished for");
                let mut here = Vec::new();
                look(&wire.json(), calculator.id, &mut here);
                // What was typed is shown as it was typed; and a third of an hour to 12 figures makes sums of its own.
                let typed: Vec<String> = wire.inputs.iter().flat_map(|(_, value)| numbers(&value.text)).collect();
                if typed.iter().any(|number| number.trim_start_matches(['0', '.']).len() > 10) {
                    continue;
                }
                here.retain(|line| {
                    let number = line.rsplit(": ").nth(1).unwrap_or_default();
                    // A rate without limits of its own may really be next to nothing; a share of 1 to 10^6 may be nearly one.
                    let real = line.ends_with("next to nothing") && !line.contains(&format!("{number} %"))
                        || line.ends_with("nines") && (reach == Reach::Hard || line.contains("share:"));
                    !typed.iter().any(|typed| number == typed) && !real
                });
                looked += 1;
                found.extend(here);
            }
        }
    }
    assert!(looked > 400, "{looked}");
    assert!(found.is_empty(), "{} in {looked}:\n{}", found.len(), found[..found.len().min(25)].join("\n"));
}

#[test]
fn an_amount_by_hand_has_no_full_small_part_and_agrees_with_what_is_shown() {
    let gallon = Unit::of("gal").size();
    for steps in 1..20_000 {
        let si = f64::from(steps) * 0.013 * gallon / 8.0;
        for unit in ["gal", "fl oz", "qt"] {
            let Some(text) = by_hand(si, &Unit::of(unit), System::Us, false) else { continue };
            if let Some((_, small)) = text.split_once(" gal ") {
                let ounces: f64 = small.trim_end_matches(" fl oz").parse().expect("a number");
                assert!(ounces < 128.0, "{text}");
            }
        }
    }
}
