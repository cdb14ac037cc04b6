//! What the card says: what it refuses, what it leaves out, whose words it uses.

use crate::{changed, phrases, plain, shown, worked};
use std::collections::BTreeSet;
use tankside::catalogue;
use tankside_calc::calculation::declare::{FormItem, Holds};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::card::{CARD, work_card};
use tankside_calc::words::phrases::places;
use tankside_calc::working::record::{Outcome, System};

#[test]
fn what_cannot_be_is_refused_beside_its_field() {
    for (changes, about) in [
        (vec![("date", "2026-02-29")], "date"),
        (vec![("date", "04/14/2026")], "date"),
        (vec![("days", "0")], "days"),
        (vec![("days", "1.5")], "days"),
        (vec![("tank", "0 gal")], "tank"),
        (vec![("timed.1.area", "a lawn")], "timed.1.area"),
        (vec![("product.1.rate", "90 %"), ("product.1.label-max", ""), ("product.2.rate", "20 %")], "product"),
        (vec![("product.1.label-max", "3 lb/acre")], "product.1.label-max"),
    ] {
        let fragment = shown(&changed(&changes), System::Us);
        let named: Vec<&str> = fragment.notes.errors.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(named, [about], "{changes:?}");
        assert!(fragment.notes.errors.iter().all(|(_, text)| places(text).is_empty()), "{:?}", fragment.notes.errors);
        assert!(!fragment.answer.contains("tk-card__operator"), "and there is no card");
    }
}

#[test]
fn a_new_card_lists_what_is_missing_and_marks_nothing_as_wrong() {
    let empty = [("operator", ""), ("date", "2026-04-14"), ("timed.1.volume", ""), ("product.1.name", " ")];
    let fragment = shown(&RawInputs::from_pairs(&empty), System::Us);
    assert!(fragment.notes.errors.is_empty(), "{:?}", fragment.notes.errors);
    assert!(
        fragment.answer.contains("Operator: nothing entered") && fragment.answer.contains("Tank capacity: nothing")
    );
    assert!(fragment.answer.contains("enter at least one run"));
    let no_run = shown(&plain(&[("timed.1.volume", "")]), System::Us);
    assert!(no_run.notes.errors.is_empty(), "{:?}", no_run.notes.errors);
    assert_eq!(no_run.answer.matches("enter at least one run").count(), 1);
    // Rows that were added and left empty do no harm.
    worked(&plain(&[
        ("used.1.volume", "10 gal"),
        ("used.1.area", "5000 ft2"),
        ("timed.1.volume", ""),
        ("product.1.rate", ""),
    ]));
}

#[test]
fn only_the_invented_operator_is_marked_as_invented() {
    assert!(shown(&changed(&[]), System::Us).answer.contains("tk-card__example"));
    assert!(shown(&changed(&[("timed.1.volume", "180 fl oz")]), System::Us).answer.contains("tk-card__example"));
    assert!(!shown(&changed(&[("operator", "Ada")]), System::Us).answer.contains("tk-card__example"));
    let metric = RawInputs::from_pairs(CARD.example_metric);
    assert!(shown(&metric, System::Metric).answer.contains("tk-card__example"));
}

#[test]
fn the_card_shares_its_words_with_the_stock_cautions_and_the_foot() {
    let (phrases, cautions) = (phrases(), catalogue::cautions("en").expect("readable cautions"));
    assert_eq!(phrases.get("card.again"), cautions["calibrate-again"].text);
    assert_eq!(phrases.get("card.law"), phrases.get("site.law-short"));
}

#[test]
fn every_name_and_message_has_its_phrase() {
    let phrases = phrases();
    let mut keys: BTreeSet<String> = ["title", "summary"].iter().map(|what| format!("card.{what}")).collect();
    for item in CARD.inputs {
        match item {
            FormItem::One(input) => {
                keys.insert(format!("card.input.{}", input.name));
                if let Holds::Choice(words) = input.holds {
                    keys.extend(words.iter().map(|word| format!("card.word.{word}")));
                }
            }
            FormItem::Many(group) => {
                keys.extend(["group", "add", "drop"].iter().map(|what| format!("card.{what}.{}", group.name)));
                keys.extend(group.fields.iter().map(|field| format!("card.input.{}.{}", group.name, field.name)));
            }
        }
    }
    keys.extend(CARD.results.iter().map(|spec| format!("card.result.{}", spec.name)));
    keys.extend((1..=12).map(|month| format!("card.month.{month}")));
    let places = ["/calc-wasm/src/card", "/calc-wasm/src/page/card", "/calc-wasm/src/doors/cards.rs"];
    let entries = places.iter().flat_map(|place| walkdir::WalkDir::new(env!("CARGO_MANIFEST_DIR").to_owned() + place));
    for entry in entries {
        let entry = entry.expect("a readable folder");
        if entry.file_type().is_file() {
            let source = std::fs::read_to_string(entry.path()).expect("a readable file");
            let code: String = source.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
            let literals = code.split('"').skip(1).step_by(2).filter(|piece| piece.starts_with("card."));
            keys.extend(literals.filter(|piece| !piece.contains('{')).map(ToOwned::to_owned));
        }
    }
    let missing: Vec<&String> = keys.iter().filter(|key| phrases.find(key).is_none()).collect();
    assert!(missing.is_empty(), "no phrase for {missing:?}");
}

#[test]
fn both_examples_are_whole_and_declared() {
    for (system, pairs) in [(System::Us, CARD.example), (System::Metric, CARD.example_metric)] {
        let given = RawInputs::from_pairs(pairs);
        let card = work_card(&given, system).expect("the example works");
        assert!(card.cautions.is_empty(), "{:?}", card.cautions);
        for found in &card.results {
            assert!(CARD.result(&found.name()).is_some(), "{}", found.name());
            if let (Outcome::Quantity(si, _), Some(expr)) = (&found.outcome, &found.expr) {
                assert_eq!(expr.value().to_bits(), si.to_bits(), "{} is what its working comes to", found.name());
            }
        }
        let fragment = shown(&given, system);
        let visible: String = fragment.answer.split('<').filter_map(|piece| Some(piece.split_once('>')?.1)).collect();
        assert!(places(&visible).is_empty() && !visible.contains("card."), "{visible}");
        assert!(fragment.spoken.contains(system.pick("gal/1000 ft²", "L/100 m²")), "{}", fragment.spoken);
    }
}
