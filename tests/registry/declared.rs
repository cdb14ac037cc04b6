//! What a declaration says of each input, as people see it: how finely it is read, and its usual range.

use crate::{inputs, phrases};
use std::collections::BTreeSet;
use tankside_calc::calculation::read_to;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::words::say;
use tankside_calc::working::record::System;

/// Inputs that nobody reads off a scale where the problem is worked, with the reason why they count as given.
const GIVEN: &[(&str, &[&str])] = &[
    (
        "printed on a label, a bag, a tip or a tank",
        &[
            "rated-flow",
            "rated-pressure",
            "tank",
            "bag",
            "package",
            "rate",
            "label-max",
            "label-volume-min",
            "label-rate",
            "ai-wanted",
            "year-max",
            "strength",
            "other-strength",
            "concentrate",
            "density",
            "nitrogen",
            "phosphate",
            "potash",
            "other-share",
            "area-rate",
            "nutrient.product",
        ],
    ),
    (
        "chosen",
        &[
            "tolerance",
            "wear-limit",
            "set-limit",
            "effective-share",
            "target",
            "wanted",
            "wanted-speed",
            "wanted-flow",
            "speed-change",
            "carrier",
            "other-carrier",
            "mix",
            "per-plant",
            "unit-conversion.amount",
        ],
    ),
    ("worked out before, with an uncertainty of its own", &["application-rate", "spread", "put-on"]),
];

#[test]
fn every_input_has_a_reading_of_its_own_or_a_reason_why_it_counts_as_given() {
    let mut reasons: BTreeSet<&str> = BTreeSet::new();
    for calculator in CALCULATORS {
        for (name, input) in inputs(calculator) {
            // What has no unit is counted, or is a setting.
            let Some(kind) = input.kind().filter(|kind| *kind != Kind::Number) else { continue };
            let field = name.rsplit('.').next().unwrap_or(&name);
            let whole = format!("{}.{name}", calculator.id);
            let reason = GIVEN.iter().find(|(_, names)| names.contains(&field) || names.contains(&whole.as_str()));
            assert!(
                reason.is_some() != input.read_to.is_some(),
                "{whole}: reads to {:?}, and is {:?}",
                input.read_to,
                reason.map(|(reason, _)| reason)
            );
            reasons.extend(reason.map(|(reason, _)| reason));
            // Whoever read it may say how finely, wherever a result has an uncertainty.
            let flat = format!("read-to.{name}");
            let (.., own) = read_to::target(calculator, &flat).unwrap_or_else(|| panic!("{whole} takes no {flat}"));
            assert_eq!(own, kind, "{whole}");
            assert!(input.read_to.is_none() || !calculator.uncertain.is_empty(), "{whole}");
        }
    }
    assert_eq!(reasons.len(), GIVEN.len());
}

#[test]
fn a_usual_range_reads_as_a_person_says_it() {
    let phrases = phrases();
    // Units of one scale, of which the small end is said in the smaller and the large end in the larger.
    let scales: &[&[&str]] = &[
        &["s", "min", "h"],
        &["in", "ft", "mi"],
        &["mm", "cm", "m", "km"],
        &["fl oz", "gal"],
        &["mL", "L"],
        &["oz (weight)", "lb"],
        &["g", "kg", "t"],
        &["ft²", "acre"],
        &["m²", "ha"],
    ];
    let mut count = 0;
    for calculator in CALCULATORS {
        for (name, input) in inputs(calculator) {
            for system in [System::Us, System::Metric] {
                let (Some(bounds), Some(kind)) = (input.limits(system), input.kind()) else { continue };
                let range = say::usual_range(&bounds, input, kind, system, &phrases);
                let whole = format!("{} {name} {}: {range}", calculator.id, system.id());
                let ends: Vec<(&str, &str)> =
                    range.split(" to ").map(|end| end.split_once(' ').unwrap_or((end, ""))).collect();
                let [(low, low_unit), (high, high_unit)] = ends[..] else { panic!("{whole}") };
                for number in [low, high] {
                    let digits = number.chars().filter(char::is_ascii_digit).count();
                    assert_eq!(number.contains(','), digits > 4 && !number.contains('.'), "{whole}");
                }
                let one_scale = scales.iter().any(|scale| scale.contains(&low_unit) && scale.contains(&high_unit));
                assert!(low_unit.is_empty() || low_unit == high_unit || one_scale, "{whole}");
                count += 1;
            }
        }
    }
    assert!(count > 150, "{count}");
}

#[test]
fn numbers_of_four_digits_are_written_in_one_way() {
    for (key, text) in phrases().iter() {
        let parts: Vec<&str> = text.split(|letter: char| !letter.is_ascii_digit() && letter != ',').collect();
        let four = |part: &&&str| {
            part.split_once(',').is_some_and(|(thousands, rest)| thousands.len() == 1 && rest.len() == 3)
        };
        assert_eq!(parts.iter().find(four), None, "{key}: {text}");
    }
}
