//! Every mistake as it is declared: its phrases, the places where it is made, and its worked examples.

use crate::phrases;
use std::collections::BTreeSet;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::mistakes::{self, ANOTHER_UNIT, OVER_LABEL, WRONG_SIDE, Wrong};
use tankside_calc::question::offered::Offered;
use tankside_calc::question::{Ask, Question};
use tankside_calc::words::phrases::places;
use tankside_calc::working::record::Rounding;

#[test]
fn every_mistake_has_its_phrases_and_its_places() {
    let mut seen = BTreeSet::new();
    for mistake in mistakes::all().chain([&ANOTHER_UNIT, &OVER_LABEL, &WRONG_SIDE]) {
        assert!(seen.insert(mistake.id), "{} twice", mistake.id);
        assert!(
            mistake.id.chars().all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-')
        );
        for part in ["did", "why", "lawn"] {
            let key = format!("mistake.{}.{part}", mistake.id);
            // A mistake that can err in both directions has a sentence about the lawn for each.
            let sided = [format!("{key}-over"), format!("{key}-under")].map(|key| phrases().find(&key));
            let text = match (phrases().find(&key), sided) {
                (Some(text), [None, None]) => text,
                (None, [Some(over), Some(under)]) => {
                    assert_eq!(places(over), places(under), "{key}");
                    over
                }
                _ => panic!("{key}: one sentence, or one for each side"),
            };
            let allowed: &[&str] = match part {
                "lawn" => &["dose"],
                "did" => &["unit"],
                _ => &[],
            };
            assert!(places(text).iter().all(|place| allowed.contains(place)), "{key}: {text}");
        }
        for place in mistake.places.iter().copied().flatten() {
            let calculator = calculator(place.calculator).unwrap_or_else(|| panic!("no {}", place.calculator));
            let known = calculator.results.iter().any(|spec| spec.name == place.result);
            assert!(known, "{}: {} has no {}", mistake.id, place.calculator, place.result);
        }
    }
    for key in [
        "none",
        "none-one",
        "none-short",
        "you-wrote",
        "dose.times",
        "dose.many",
        "dose.over",
        "dose.under",
        "dose.part",
        "dose.hardly",
    ] {
        assert!(phrases().find(&format!("mistake.{key}")).is_some(), "{key}");
    }
    let written = phrases().iter().filter_map(|(key, _)| key.strip_prefix("mistake.")?.strip_suffix(".did"));
    for id in written {
        assert!(seen.contains(id), "phrases of an unknown mistake {id}");
    }
}

/// One worked example of a mistake, as `tests/mistakes/examples.yaml` has it.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Example {
    mistake: String,
    asks: String,
    given: serde_yaml::Value,
    beside: Option<serde_yaml::Value>,
    answer_in: String,
    right: f64,
    wrong: f64,
    dose: Option<f64>,
    source: String,
    note: Option<String>,
}

fn flat(name: &str, value: &serde_yaml::Value, out: &mut Vec<(String, String)>) {
    let join = |part: &str| if name.is_empty() { part.to_owned() } else { format!("{name}.{part}") };
    match value {
        serde_yaml::Value::Mapping(map) => {
            map.iter().for_each(|(key, value)| flat(&join(key.as_str().expect("a text")), value, out));
        }
        serde_yaml::Value::Sequence(list) => {
            list.iter().enumerate().for_each(|(index, value)| flat(&join(&(index + 1).to_string()), value, out));
        }
        serde_yaml::Value::String(text) => out.push((name.to_owned(), text.clone())),
        serde_yaml::Value::Number(number) => out.push((name.to_owned(), number.to_string())),
        other => panic!("{name}: {other:?}"),
    }
}

#[test]
fn the_worked_examples_of_every_mistake_are_reproduced() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes/examples.yaml");
    let text = std::fs::read_to_string(path).expect("the examples");
    let examples: Vec<Example> = serde_yaml::from_str(&text).expect("the form of the examples");
    let mut seen = BTreeSet::new();
    for example in &examples {
        let id = example.mistake.as_str();
        let mistake = mistakes::all().find(|mistake| mistake.id == id).unwrap_or_else(|| panic!("no mistake {id}"));
        assert!(!example.source.is_empty() && example.note.as_deref() != Some(""), "{id}");
        let (mut given, mut beside) = (Vec::new(), Vec::new());
        flat("", &example.given, &mut given);
        example.beside.iter().for_each(|value| flat("", value, &mut beside));
        let question = Question {
            topic: None,
            id: id.to_owned(),
            kind: Ask::Number,
            text: String::new(),
            asks: example.asks.clone(),
            given,
            beside,
            answer_in: example.answer_in.clone(),
            tolerance: String::new(),
            because: String::new(),
            parts: Vec::new(),
            options: Vec::new(),
            draw_version: 1,
            offered: Offered::default(),
        };
        let posed = question.draw(0).unwrap_or_else(|fault| panic!("{id}: {fault:?}"));
        // Four figures, and conversion factors that handbooks print with three (9.35, 340 ft2).
        let close = |si: f64, number: f64| (si / posed.unit.size() / number - 1.0).abs() <= 1.5e-3;
        assert!(close(posed.si, example.right), "{id}: right is {}", posed.si / posed.unit.size());
        let problem = posed.right_working();
        let wrong = (mistake.wrong)(&Wrong::new(&problem, &posed.unit, Rounding::None));
        let wrong = wrong.unwrap_or_else(|| panic!("{id}: no room for it"));
        assert!(mistake.place(posed.calculator.id, &posed.result).is_some(), "{id} is not made here");
        assert!(close(wrong, example.wrong), "{id}: leads to {}", wrong / posed.unit.size());
        if let Some(dose) = example.dose {
            let told = mistake.dose(&problem, wrong, &posed.unit).unwrap_or_else(|| panic!("{id}: no dose"));
            assert!((told / dose - 1.0).abs() <= 3e-3, "{id}: the lawn gets {told} times what was meant");
        }
        seen.insert(id);
    }
    let open: Vec<&str> = mistakes::all().map(|mistake| mistake.id).filter(|id| !seen.contains(id)).collect();
    assert!(open.is_empty(), "no worked example of {open:?}");
}
