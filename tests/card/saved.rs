//! Cards that are kept: side by side, changed, deleted, carried in a file, and safe from whatever a file holds.

use crate::{changed, phrases, shown};
use serde_json::Value;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::doors::cards::cards_json;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

type Pairs = Vec<(String, String)>;

fn cards(request: &[(&str, &str)]) -> Value {
    let request = serde_json::to_string(request).expect("texts");
    serde_json::from_str(&cards_json(&request, &phrases())).expect("an object")
}

fn text<'a>(reply: &'a Value, name: &str) -> &'a str {
    reply[name].as_str().unwrap_or_default()
}

fn now(units: &str, given: &RawInputs) -> String {
    let pairs: Pairs = std::iter::once(("units".to_owned(), units.to_owned())).chain(given.0.clone()).collect();
    serde_json::to_string(&pairs).expect("texts")
}

fn kept(operators: &[&str]) -> String {
    operators.iter().fold(String::new(), |store, operator| {
        let reply =
            cards(&[("do", "keep"), ("store", &store), ("now", &now("us", &changed(&[("operator", operator)])))]);
        assert_eq!(text(&reply, "said"), format!("{operator}’s card is saved."));
        text(&reply, "store").to_owned()
    })
}

#[test]
fn everything_typed_is_escaped() {
    let markup = "<img src=x onerror=\"run()\">'&";
    let mut changes = Vec::new();
    for name in ["operator", "rig", "gun", "tip", "product.1.name", "timed.1.method", "used.1.method"] {
        changes.push((name, markup));
    }
    let fragment = shown(&changed(&changes), System::Us);
    let kept = cards(&[("do", "keep"), ("now", &now("us", &changed(&changes)))]);
    for html in [&fragment.form, &fragment.answer, text(&kept, "html")] {
        assert!(html.contains("&lt;img") && !html.contains("<img"), "{html}");
    }
    let reread = cards(&[("do", "print"), ("store", text(&kept, "store"))]);
    assert!(text(&reread, "html").contains("&lt;img") && !text(&reread, "html").contains("<img"));
}

#[test]
fn cards_are_kept_side_by_side_and_found_again() {
    let store = kept(&["Ada", "Bo"]);
    let reply = cards(&[("do", "show"), ("store", &store), ("units", "us")]);
    assert_eq!((text(&reply, "count"), text(&reply, "store")), ("2", store.as_str()));
    let table = text(&reply, "html");
    for text in
        ["Ada", "Bo", "2.01", "10.1\u{a0}gal", "99,310\u{a0}ft²", "Apr 14, 2026", "July 13, 2026", "5000\u{a0}ft²"]
    {
        assert!(table.contains(text), "{text} is in the table");
    }
    let metric = cards(&[("do", "show"), ("store", &store), ("units", "metric")]);
    assert!(text(&metric, "html").contains("L/100\u{a0}m²") && text(&metric, "html").contains("500\u{a0}m²"));
    assert_eq!(text(&metric, "store"), store, "showing other units keeps what was typed");
}

#[test]
fn a_card_is_changed_in_its_place_and_deleted_by_its_row() {
    let store = kept(&["Ada", "Bo", "Cy"]);
    let open = cards(&[("do", "open"), ("store", &store), ("shown", &store), ("row", "1")]);
    assert!(text(&open, "opened").contains("\"Bo\"") && text(&open, "html").contains("data-row=\"1\" aria-current"));
    let renamed = now("us", &changed(&[("operator", "Bea")]));
    let reply = cards(&[("do", "keep"), ("store", &store), ("opened", text(&open, "opened")), ("now", &renamed)]);
    assert_eq!(text(&reply, "count"), "3");
    let store = text(&reply, "store").to_owned();
    assert!(store.find("Ada") < store.find("Bea") && store.find("Bea") < store.find("Cy") && !store.contains("Bo"));
    let apart = cards(&[
        ("do", "keep-new"),
        ("store", &store),
        ("opened", text(&reply, "opened")),
        ("now", &now("us", &changed(&[("operator", "Di")]))),
    ]);
    assert_eq!(text(&apart, "count"), "4", "kept as another card");
    let again = cards(&[("do", "keep"), ("store", &store), ("now", &renamed)]);
    assert_eq!((text(&again, "count"), text(&again, "said")), ("3", "Bea’s card is already saved, exactly like this."));
    let dropped = cards(&[("do", "drop"), ("store", &store), ("shown", &store), ("row", "0")]);
    assert_eq!((text(&dropped, "count"), text(&dropped, "said")), ("2", "Ada’s card is deleted."));
    let stale = cards(&[("do", "drop"), ("store", text(&dropped, "store")), ("shown", &store), ("row", "0")]);
    assert_eq!((text(&stale, "count"), text(&stale, "refused")), ("2", "yes"), "another window changed the rows");
}

#[test]
fn a_card_that_is_not_whole_is_not_kept() {
    let store = kept(&["Ada"]);
    for changes in [[("operator", "")], [("tank", "")], [("date", "2026-02-30")], [("timed.1.volume", "lots")]] {
        let reply = cards(&[("do", "keep"), ("store", &store), ("now", &now("us", &changed(&changes)))]);
        assert_eq!((text(&reply, "refused"), text(&reply, "store")), ("yes", store.as_str()), "{changes:?}");
    }
}

#[test]
fn the_invented_example_is_not_kept() {
    let reply = cards(&[("do", "keep"), ("now", &now("us", &changed(&[])))]);
    assert_eq!((text(&reply, "refused"), text(&reply, "count")), ("yes", "0"));
    let longest = "名".repeat(60);
    assert_eq!(text(&cards(&[("do", "read"), ("file", &kept(&[&longest]))]), "count"), "1", "60 letters of any script");
}

#[test]
fn a_calibration_that_ran_out_says_so() {
    let store = kept(&["Ada"]);
    let on = |day: &str| {
        let shown = [("do", "open"), ("store", store.as_str()), ("shown", &store), ("row", "0"), ("today", day)];
        let reply = cards(&shown);
        (text(&reply, "due").contains("July 13, 2026"), text(&reply, "html").contains("tk-cards__late"))
    };
    assert_eq!(on("2026-07-13"), (false, false), "good for that day");
    assert_eq!(on("2026-07-14"), (true, true));
    assert_eq!(on(""), (false, false), "nothing is said where the day is not known");
}

#[test]
fn a_file_brings_back_what_was_exported_and_adds_to_what_is_kept() {
    let (here, there) = (kept(&["Ada", "Bo"]), kept(&["Bo", "Cy"]));
    let back = cards(&[("do", "read"), ("file", &here)]);
    assert_eq!(text(&back, "store"), here, "round trip");
    let merged = cards(&[("do", "read"), ("store", &here), ("file", &there)]);
    assert_eq!((text(&merged, "count"), text(&merged, "said")), ("3", "Added: 1 new, 1 already saved."));
    let twice = cards(&[("do", "read"), ("store", text(&merged, "store")), ("file", &there)]);
    assert_eq!(text(&twice, "store"), text(&merged, "store"));
    // A file may have gone through an editor that writes it otherwise.
    let spaced = serde_json::to_string_pretty(&serde_json::from_str::<Value>(&there).expect("JSON")).expect("JSON");
    assert_eq!(text(&cards(&[("do", "read"), ("file", &spaced)]), "count"), "2");
}

#[test]
fn a_file_that_is_no_file_of_cards_changes_nothing() {
    let store = kept(&["Ada"]);
    let file = |version: &str, cards: &str| {
        format!("{{\"format\":\"tankside-cards\",\"version\":{version},\"cards\":{cards}}}")
    };
    let many = format!("[{}]", vec![now("us", &changed(&[])); 201].join(","));
    let long = format!("[[[\"units\",\"us\"],[\"operator\",\"{}\"]]]", "x".repeat(500));
    let deep = file("1", &"[".repeat(100_000));
    for (text_in, said) in [
        (String::new(), "damaged"),
        ("not json".to_owned(), "damaged"),
        (store[..store.len() / 2].to_owned(), "damaged"),
        (deep, "damaged"),
        ("[]".to_owned(), "not a file of calibration cards"),
        ("null".to_owned(), "not a file of calibration cards"),
        ("{\"cards\":[]}".to_owned(), "not a file of calibration cards"),
        (store.replace("tankside-cards", "other"), "not a file of calibration cards"),
        (file("2", "[]"), "newer version"),
        (file("1", "{}"), "damaged"),
        (file("1", "[[[\"operator\"]]]"), "damaged"),
        (file("1", "[[[\"operator\",5]]]"), "damaged"),
        (file("1", &long), "damaged"),
        (file("1", &many), "at most 200"),
        (file("1", "[]"), "has no cards"),
        (file("1", "[[[\"units\",\"us\"],[\"operator\",\"Bo\"]]]"), "Bo’s card in that file cannot be worked out"),
        (file("1", &format!("[{}]", now("us", &changed(&[("shoe-size", "9")])))), "cannot be worked"),
        (file("1", &format!("[{}]", now("furlongs", &changed(&[])))), "damaged"),
    ] {
        let reply = cards(&[("do", "read"), ("store", &store), ("file", &text_in)]);
        assert!(text(&reply, "said").contains(said), "{said}: {} for {:.80}", text(&reply, "said"), text_in);
        assert_eq!(text(&reply, "store"), store, "what was kept is as it was");
    }
}

#[test]
fn a_kept_text_that_cannot_be_read_is_told_apart() {
    let reply = cards(&[("do", "show"), ("store", "{broken")]);
    assert_eq!((text(&reply, "unread"), text(&reply, "count")), ("yes", "0"));
    assert_eq!(text(&cards(&[("do", "show"), ("store", "")]), "unread"), "");
    assert_eq!(cards_json("nonsense", &phrases()), cards_json("[]", &phrases()));
}

#[test]
fn a_card_is_kept_in_no_languages_notation_and_opens_in_every_one() {
    let pairs = phrases().iter().map(|(key, text)| (key.to_owned(), text.to_owned())).collect::<Pairs>();
    let comma = [("number.written".to_owned(), "12.345,6".to_owned())];
    let comma = Phrases::from_pairs(pairs.into_iter().chain(comma));
    let there = |request: &[(&str, &str)]| -> Value {
        let request = serde_json::to_string(request).expect("texts");
        serde_json::from_str(&cards_json(&request, &comma)).expect("an object")
    };
    let point = now("us", &changed(&[("operator", "Ada 1.5"), ("tank", "1,000.5 gal"), ("used.1.volume", "10.1 gal")]));
    let typed = now("us", &changed(&[("operator", "Ada 1.5"), ("tank", "1.000,5 gal"), ("used.1.volume", "10,1 gal")]));
    let typed = typed.replace("0.25 %", "0,25 %").replace("1.5 fl oz", "1,5 fl oz").replace("1.8 fl oz", "1,8 fl oz");
    let kept_there = there(&[("do", "keep"), ("now", &typed)]);
    let kept_here = cards(&[("do", "keep"), ("now", &point)]);
    assert_eq!(text(&kept_there, "said"), "Ada 1.5’s card is saved.", "a name is no number");
    assert_eq!(text(&kept_there, "store"), text(&kept_here, "store"));
    assert_eq!(text(&kept_there, "shown"), typed, "the form shows what was typed");
    let opened_there = there(&[
        ("do", "open"),
        ("row", "0"),
        ("store", text(&kept_here, "store")),
        ("shown", text(&kept_here, "store")),
    ]);
    assert_eq!((text(&opened_there, "shown"), text(&opened_there, "opened")), (typed.as_str(), point.as_str()));
    assert!(text(&opened_there, "html").contains("2,01"), "{}", text(&opened_there, "html"));
}

#[test]
fn a_kept_card_that_can_no_longer_be_worked_stays_and_says_so() {
    let store = kept(&["Ada"]).replace("200 gal", "0 gal");
    let reply = cards(&[("do", "show"), ("store", &store), ("units", "us")]);
    assert_eq!(text(&reply, "store"), store);
    assert!(text(&reply, "html").contains("cannot be worked") && text(&reply, "html").contains("Ada"));
}
