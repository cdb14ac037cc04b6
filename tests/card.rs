//! The calibration card from outside: its figures against hand arithmetic and published examples, what it refuses, the
//! words it shares with the stock content, and what is kept of it.

use serde_json::Value;
use std::collections::BTreeSet;
use tankside::catalogue;
use tankside_calc::card::{CARD, cards_json, work_card};
use tankside_calc::declare::{Entry, Holds};
use tankside_calc::fragment::{Fragment, Options, fragment};
use tankside_calc::given::{Given, switched};
use tankside_calc::phrases::{Phrases, places};
use tankside_calc::record::{Outcome, Severity, System};
use tankside_calc::unit::Unit;
use tankside_calc::worked::Worked;

type Pairs = Vec<(String, String)>;

fn phrases() -> Phrases {
    catalogue::phrases("en").expect("readable phrases").expect("English")
}

/// The example with some inputs written otherwise; an empty text leaves one out.
fn changed(changes: &[(&str, &str)]) -> Given {
    let mut pairs = Given::from_pairs(CARD.example).0;
    for (name, text) in changes {
        pairs.retain(|(other, _)| other != name);
        pairs.push(((*name).to_owned(), (*text).to_owned()));
    }
    Given(pairs)
}

/// A card of one run and one tank, and nothing else.
fn plain(more: &[(&str, &str)]) -> Given {
    let own = [("operator", "Ada"), ("date", "2026-04-14"), ("tank", "200 gal")];
    let pairs = own.iter().filter(|(name, _)| more.iter().all(|(other, _)| other != name)).chain(more);
    Given::from_pairs(&pairs.copied().collect::<Vec<_>>())
}

fn worked(given: &Given) -> Worked {
    work_card(given, System::Us).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn shown(given: &Given, system: System) -> Fragment {
    let phrases = phrases();
    fragment(&CARD, given, &Options { name: "card", title: "", system, level: 2 }, &phrases)
}

#[track_caller]
fn close(worked: &Worked, name: &str, unit: &str, expected: f64, within: f64) {
    let value = worked.value_in(name, unit).unwrap_or_else(|| panic!("no {name}"));
    assert!((value - expected).abs() <= within, "{name}: {value} {unit}, not {expected}");
}

#[test]
fn the_example_comes_to_what_hand_arithmetic_says() {
    // By hand: 186 fl oz/60 s * 82 s = 254.2 fl oz = 1.9859375 gal; 184/60 * 168 = 515.2 fl oz = 4.025 gal; with
    // 10.1 gal that is 16.1109375 gal on 8000 ft2, 2.0138671875 gal/1000 ft2.
    let card = worked(&changed(&[]));
    let (rate, exact) = (16.110_937_5 / 8.0, 1e-9);
    close(&card, "application-rate", "gal/1000 ft2", rate, exact);
    close(&card, "rate-per-acre", "gal/acre", rate * 43.56, 1e-6);
    for (row, lawn) in [1.0, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 30.0, 50.0, 75.0, 100.0].iter().enumerate() {
        close(&card, &format!("lawn-{}-volume", row + 1), "gal", lawn * rate, 1e-6);
    }
    close(&card, "tank-area", "1000 ft2", 200.0 / rate, 1e-6);
    for eighth in 1..=8 {
        let name = |what: &str| format!("mark-{}-{what}", 9 - eighth);
        close(&card, &name("volume"), "gal", f64::from(eighth) * 25.0, exact);
        close(&card, &name("area"), "1000 ft2", f64::from(eighth) * 25.0 / rate, 1e-6);
    }
    for (column, fill) in [200.0, 150.0, 100.0, 50.0].iter().enumerate() {
        let name = |product: usize| format!("product-{product}-fill-{}", column + 1);
        close(&card, &name(1), "fl oz", 1.5 * fill / rate, 1e-6);
        close(&card, &name(2), "oz", 2.0 * fill / rate, 1e-6);
        close(&card, &name(3), "fl oz", 0.0025 * fill * 128.0, 1e-6);
    }
}

#[test]
fn published_examples_come_out_as_they_were_printed() {
    // Mesa County, Colorado, "How to Calibrate a Handgun": 150 fl oz in 75 s on 1/128 acre in 75 s is 150 gal/acre, and
    // 25 gal treat 1/6 acre.
    let runs = [
        ("timed.1.volume", "150 fl oz"),
        ("timed.1.catch-time", "75 s"),
        ("timed.1.area", "0.0078125 acre"),
        ("timed.1.area-time", "75 s"),
    ];
    let card = worked(&plain(&[&runs[..], &[("tank", "25 gal")]].concat()));
    close(&card, "rate-per-acre", "gal/acre", 150.0, 1e-9);
    close(&card, "tank-area", "acre", 1.0 / 6.0, 1e-9);
    // Pesticide Environmental Stewardship, "Calculations for Mixing Pesticides": 2 lb/100 gal in 10 gal is 3.2 oz;
    // 2 pt/100 gal in 300 gal is 6 pt.
    let product = |tank, rate| plain(&[&runs[..], &[("tank", tank), ("product.1.rate", rate)]].concat());
    close(&worked(&product("10 gal", "2 lb/100 gal")), "product-1-fill-1", "oz", 3.2, 1e-9);
    close(&worked(&product("300 gal", "2 pt/100 gal")), "product-1-fill-1", "pt", 6.0, 1e-9);
    // The tank-mix calculator's own example: 200 gal at 2 gal/1000 ft2 treat 100,000 ft2 and take 150 fl oz at 1.5.
    let used = [("used.1.volume", "10 gal"), ("used.1.area", "5000 ft2"), ("product.1.rate", "1.5 fl oz/1000 ft2")];
    let card = worked(&plain(&used));
    close(&card, "tank-area", "ft2", 100_000.0, 1e-6);
    close(&card, "product-1-fill-1", "fl oz", 150.0, 1e-9);
    close(&card, "product-1-fill-3", "fl oz", 75.0, 1e-9);
}

#[test]
fn the_rate_carries_its_uncertainty() {
    // By hand (JCGM 100:2008, equation 10, resolution as a rectangle): 10 gal read to 1 fl oz and 5000 ft2 read to 10 ft2
    // are sqrt((1/1280)^2 + (10/5000)^2)/sqrt(12) = 0.061983 %, of 2 gal/1000 ft2 and k = 2 that is 0.0024793.
    let given = plain(&[("used.1.volume", "10 gal"), ("used.1.area", "5000 ft2")]);
    let [budget] = worked(&given).budgets.try_into().expect("one budget");
    let expanded = budget.expanded() / Unit::of("gal/1000 ft2").size();
    assert!((expanded - 0.002_479_3).abs() < 1e-7, "{expanded}");
    let face = shown(&given, System::Us).answer;
    assert!(face.contains(">±\u{a0}0.002<"), "{face}");
}

#[test]
fn metric_cards_list_metric_sizes() {
    // By hand: 20 L on 250 m2 is 8 L/100 m2, 800 L/ha; 800 L treat 10,000 m2; 50 mL/100 m2 on that is 5 L.
    let given = plain(&[
        ("used.1.volume", "20 L"),
        ("used.1.area", "250 m2"),
        ("tank", "800 L"),
        ("product.1.rate", "50 mL/100 m2"),
    ]);
    let card = work_card(&given, System::Metric).expect("a card");
    close(&card, "rate-per-ha", "L/ha", 800.0, 1e-9);
    close(&card, "lawn-4-volume", "L", 40.0, 1e-9);
    close(&card, "tank-area", "m2", 10_000.0, 1e-6);
    close(&card, "product-1-fill-1", "L", 5.0, 1e-9);
    let face = shown(&given, System::Metric).answer;
    for text in ["500\u{a0}m²", "40\u{a0}L", "10,000\u{a0}m²", "800\u{a0}L/ha", "5 L", "2.5 L"] {
        assert!(face.contains(text), "{text} is on the card");
    }
}

#[test]
fn a_tank_may_be_read_in_round_volumes() {
    let card = worked(&changed(&[("marks", "round"), ("tank", "300 gal")]));
    for (row, volume) in [300.0, 250.0, 200.0, 150.0, 100.0, 50.0].iter().enumerate() {
        close(&card, &format!("mark-{}-volume", row + 1), "gal", *volume, 1e-9);
    }
    assert!(card.result("mark-7-volume").is_none());
}

#[test]
fn above_the_label_maximum_is_a_danger_and_gets_no_amounts() {
    let card = worked(&changed(&[("product.1.rate", "1.9 fl oz/1000 ft2")]));
    let danger = card.cautions.first().expect("a caution");
    assert_eq!((danger.id, danger.severity), ("card.over-label-max", Severity::Danger));
    assert!(card.result("product-1-fill-1").is_none(), "no amount to measure");
    assert!(card.result("product-2-fill-1").is_some(), "the others keep theirs");
    let face = shown(&changed(&[("product.1.rate", "1.9 fl oz/1000 ft2")]), System::Us).answer;
    assert!(face.contains("tk-caution--danger") && face.contains("Above the label maximum"));
    let at_it = worked(&changed(&[("product.1.rate", "1.8 fl oz/1000 ft2")]));
    assert!(at_it.cautions.iter().all(|caution| caution.id != "card.over-label-max"), "the maximum itself is allowed");
    // 1 % of 2.0139 gal/1000 ft2 is 2.578 fl oz/1000 ft2: over through the measured rate.
    let through = changed(&[("product.3.rate", "1 %"), ("product.3.label-max", "2.5 fl oz/1000 ft2")]);
    assert!(worked(&through).result("product-3-fill-1").is_none());
}

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
        let named: Vec<&str> = fragment.errors.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(named, [about], "{changes:?}");
        assert!(fragment.errors.iter().all(|(_, text)| places(text).is_empty()), "{:?}", fragment.errors);
        assert!(!fragment.answer.contains("tk-card__operator"), "and there is no card");
    }
}

#[test]
fn a_new_card_lists_what_is_missing_and_marks_nothing_as_wrong() {
    let empty = [("operator", ""), ("date", "2026-04-14"), ("timed.1.volume", ""), ("product.1.name", " ")];
    let fragment = shown(&Given::from_pairs(&empty), System::Us);
    assert!(fragment.errors.is_empty(), "{:?}", fragment.errors);
    assert!(fragment.answer.contains("Operator: nothing given") && fragment.answer.contains("Tank capacity: nothing"));
    assert!(fragment.answer.contains("give at least one run"));
    let no_run = shown(&plain(&[("timed.1.volume", "")]), System::Us);
    assert!(no_run.errors.is_empty(), "{:?}", no_run.errors);
    assert_eq!(no_run.answer.matches("give at least one run").count(), 1);
    // Rows added and left empty do not stand in the way.
    worked(&plain(&[
        ("used.1.volume", "10 gal"),
        ("used.1.area", "5000 ft2"),
        ("timed.1.volume", ""),
        ("product.1.rate", ""),
    ]));
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
fn only_the_invented_operator_is_marked_as_invented() {
    assert!(shown(&changed(&[]), System::Us).answer.contains("tk-card__example"));
    assert!(shown(&changed(&[("timed.1.volume", "180 fl oz")]), System::Us).answer.contains("tk-card__example"));
    assert!(!shown(&changed(&[("operator", "Ada")]), System::Us).answer.contains("tk-card__example"));
    let metric = Given::from_pairs(CARD.example_metric);
    assert!(shown(&metric, System::Metric).answer.contains("tk-card__example"));
}

#[test]
fn the_card_shares_its_words_with_the_stock_cautions_and_the_foot() {
    let (phrases, cautions) = (phrases(), catalogue::cautions().expect("readable cautions"));
    assert_eq!(phrases.get("card.again"), cautions["calibrate-again"].text);
    assert_eq!(phrases.get("card.law"), phrases.get("site.law-short"));
}

#[test]
fn every_name_and_message_has_its_phrase() {
    let phrases = phrases();
    let mut keys: BTreeSet<String> = ["title", "summary"].iter().map(|what| format!("card.{what}")).collect();
    for entry in CARD.inputs {
        match entry {
            Entry::One(input) => {
                keys.insert(format!("card.input.{}", input.name));
                if let Holds::Choice(words) = input.holds {
                    keys.extend(words.iter().map(|word| format!("card.word.{word}")));
                }
            }
            Entry::Many(group) => {
                keys.extend(["group", "add", "drop"].iter().map(|what| format!("card.{what}.{}", group.name)));
                keys.extend(group.fields.iter().map(|field| format!("card.input.{}.{}", group.name, field.name)));
            }
        }
    }
    keys.extend(CARD.results.iter().map(|spec| format!("card.result.{}", spec.name)));
    keys.extend((1..=12).map(|month| format!("card.month.{month}")));
    for entry in walkdir::WalkDir::new(concat!(env!("CARGO_MANIFEST_DIR"), "/calc-wasm/src/card")) {
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
        let given = Given::from_pairs(pairs);
        let card = work_card(&given, system).expect("the example works");
        assert!(card.cautions.is_empty(), "{:?}", card.cautions);
        for found in &card.found {
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

#[test]
fn switching_units_keeps_every_figure() {
    let given = changed(&[]);
    let metric = switched(&CARD, &given, System::Metric);
    let (before, after) = (worked(&given), work_card(&metric, System::Metric).expect("the same card"));
    for name in ["application-rate", "tank-area", "product-1-fill-1", "product-2-fill-2", "product-3-fill-4"] {
        let (one, other) = (before.si(name).expect(name), after.si(name).expect(name));
        assert!((one - other).abs() <= 1e-6 * one, "{name}: {one} {other}");
    }
}

// Kept cards.

fn cards(request: &[(&str, &str)]) -> Value {
    let request = serde_json::to_string(request).expect("texts");
    serde_json::from_str(&cards_json(&request, &phrases())).expect("an object")
}

fn text<'a>(reply: &'a Value, name: &str) -> &'a str {
    reply[name].as_str().unwrap_or_default()
}

fn now(units: &str, given: &Given) -> String {
    let pairs: Pairs = std::iter::once(("units".to_owned(), units.to_owned())).chain(given.0.clone()).collect();
    serde_json::to_string(&pairs).expect("texts")
}

fn kept(operators: &[&str]) -> String {
    operators.iter().fold(String::new(), |store, operator| {
        let reply =
            cards(&[("do", "keep"), ("store", &store), ("now", &now("us", &changed(&[("operator", operator)])))]);
        assert_eq!(text(&reply, "said"), format!("The card of {operator} is kept."));
        text(&reply, "store").to_owned()
    })
}

#[test]
fn cards_are_kept_side_by_side_and_found_again() {
    let store = kept(&["Ada", "Bo"]);
    let reply = cards(&[("do", "show"), ("store", &store), ("units", "us")]);
    assert_eq!((text(&reply, "count"), text(&reply, "store")), ("2", store.as_str()));
    let table = text(&reply, "html");
    for text in
        ["Ada", "Bo", "2.01", "10.1\u{a0}gal", "99,300\u{a0}ft²", "Apr 14, 2026", "July 13, 2026", "5000\u{a0}ft²"]
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
    assert_eq!((text(&again, "count"), text(&again, "said")), ("3", "The card of Bea is kept already, just as it is."));
    let dropped = cards(&[("do", "drop"), ("store", &store), ("shown", &store), ("row", "0")]);
    assert_eq!((text(&dropped, "count"), text(&dropped, "said")), ("2", "The card of Ada is deleted."));
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
    assert_eq!((text(&merged, "count"), text(&merged, "said")), ("3", "Read in: 1 new, 1 kept already."));
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
        (file("2", "[]"), "newer edition"),
        (file("1", "{}"), "damaged"),
        (file("1", "[[[\"operator\"]]]"), "damaged"),
        (file("1", "[[[\"operator\",5]]]"), "damaged"),
        (file("1", &long), "damaged"),
        (file("1", &many), "At most 200"),
        (file("1", "[]"), "holds no cards"),
        (file("1", "[[[\"units\",\"us\"],[\"operator\",\"Bo\"]]]"), "The card of Bo in that file cannot be worked"),
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
fn a_kept_card_that_can_no_longer_be_worked_stays_and_says_so() {
    let store = kept(&["Ada"]).replace("200 gal", "0 gal");
    let reply = cards(&[("do", "show"), ("store", &store), ("units", "us")]);
    assert_eq!(text(&reply, "store"), store);
    assert!(text(&reply, "html").contains("cannot be worked") && text(&reply, "html").contains("Ada"));
}
