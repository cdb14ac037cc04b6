//! What is refused, and what a person can write instead.

use crate::{json, printed, refusal, refused_with};

#[test]
fn a_wrong_name_is_answered_with_the_near_one_or_with_all() {
    refused_with(&["catchtest"], &["no calculator called `catchtest`", "Write `catch-test`"]);
    refused_with(&["zzzzzz"], &["no calculator called `zzzzzz`", "`catch-test`", "`tank-mix`"]);
    refused_with(&["catch-test", "catch.1.volum=1 gal"], &["catch.1.volum", "catch.N.volume"]);
    refused_with(&["tank-mix", "tanks=200 gal"], &["no input called “tanks”", "Write `tank`"]);
    let good = ["catch-test", "catch=1 gal, 60 s"];
    refused_with(&[&good[..], &["--in", "nozle-output=gal/min"]].concat(), &["nozle-output", "Write `nozzle-output`"]);
    refused_with(&[&good[..], &["--in", "nozzle-output=ft"]].concat(), &["cannot be shown in ft"]);
    refused_with(&[&good[..], &["--in", "nozzle-output=furlong"]].concat(), &["`furlong` is not a unit"]);
    refused_with(&[&good[..], &["--in", "nozzle-output"]].concat(), &["--in nozzle-output='…'"]);
    refused_with(&["catch-test", "96 fl oz"], &["Write name=value", "catch.1.volume='186 fl oz'"]);
    refused_with(&[&good[..], &["--units", "imperial"]].concat(), &["us, metric"]);
}

#[test]
fn a_result_that_does_not_come_out_says_what_it_takes() {
    let run = ["ground-speed", "run=200 ft, 45 s", "--in", "mean-time=s"];
    refused_with(&run, &["`mean-time` (mean time of a run) does not come out", "A mean takes two runs or more"]);
    let reach = ["tank-mix", "application-rate=2 gal/1000 ft2", "area=5000 ft2", "--in", "area-per-tank=ft2"];
    refused_with(&reach, &["Needs the tank capacity"]);
}

#[test]
fn too_few_inputs_say_what_to_write_for_the_first_that_is_open() {
    let boom = ["boom-output", "nozzle-flow=0.4 gal/min", "speed=3 mph"];
    refused_with(&boom, &["give three of these four", "Write spacing='… in'", "spacing='… in'"]);
    refused_with(&["boom-output", "rate=40 gal/acre", "spacing=20 in"], &["Write speed='… mph'"]);
    refused_with(
        &["known-area", "plot=width 6 ft"],
        &["1/128 acre, or its length and its width", "Write plot.1.length='… ft'"],
    );
    // Everything that is missing has its place, not only the first.
    refused_with(&["boom-output", "nozzle-flow=0.4 gal/min"], &["spacing='… in' speed='… mph'"]);
    refused_with(&["usage-check", "area=5000 ft2"], &["application-rate='… gal/1000 ft2' volume-used='… gal'"]);
    refused_with(
        &["tank-mix", "application-rate=2 gal/1000 ft2"],
        &["give the tank or the area to treat", "tank='… gal'"],
    );
    refused_with(
        &["ground-speed", "run.1.time=45 s"],
        &["Without lengths, two or more times are averaged", "run.1.distance='… ft'"],
    );
}

#[test]
fn a_value_that_cannot_be_is_answered_with_what_to_write() {
    let with = |volume: &str, time: &str| {
        let words = [format!("catch.1.volume={volume}"), format!("catch.1.time={time}")];
        refusal(&["catch-test", &words[0], &words[1]])
    };
    for (volume, part, write) in [
        ("5 ft", "a distance", "5 …"),
        ("5", "unit", "5 …"),
        ("", "nothing entered", "… fl oz"),
        ("lots", "no number", "… fl oz"),
        ("1,45 gal", "write numbers as in 12,345.6", "1.45 gal"),
        ("2 gallonz", "“gallonz” is not a known unit", "2 …"),
        ("1 galon/2", "is not a known unit", "1 …"),
        ("1 gal 5 flox", "is not a known unit", "1 gal 5 …"),
        ("1 gal 5 ft", "a distance", "1 gal 5 …"),
        ("3 fl oz 1 gal", "the larger unit first", "1 gal 3 fl oz"),
        ("NaN gal", "no number", "… fl oz"),
        ("1/0 gal", "no number", "… gal"),
        ("12.5.3 gal", "only one decimal mark", "… gal"),
        ("1.350,5 fl oz", "write numbers as in 12,345.6", "1350.5 fl oz"),
    ] {
        let said = with(volume, "60 s");
        assert!(said.contains(part), "{volume}: {said}");
        assert!(
            said.to_lowercase().contains(&format!("write catch.1.volume='{write}'").to_lowercase()),
            "{volume}: {said}"
        );
        // No example's number is shown where the reader's own belongs.
        assert!(!said.contains("186"), "{volume}: {said}");
    }
    for (volume, place) in [("0 gal", "… gal"), ("-5 gal", "… gal"), ("51 gal", "… gal"), ("99999 L", "… L")] {
        let said = with(volume, "60 s");
        assert!(said.contains("above 0 fl oz and at most 6400 fl oz"), "{volume}: {said}");
        assert!(said.contains(&format!("You gave `{volume}`; write catch.1.volume='{place}'")), "{volume}: {said}");
        assert!(said.lines().last().is_some_and(|line| line.contains(&format!("catch.1.volume='{place}'"))), "{said}");
    }
    // Every problem is reported, not only the first.
    let said = with("5 ft", "5 ft");
    assert!(said.contains("catch.1.volume:") && said.contains("catch.1.time:"), "{said}");
}

#[test]
fn a_number_without_a_unit_is_offered_those_that_turn_into_the_unit_wanted() {
    for (to, units) in [
        ("gal/acre", "gal/1000 ft², fl oz/1000 ft², fl oz/acre, L/100 m²"),
        ("L/ha", "L/100 m²"),
        ("psi", "bar"),
        ("ft2", "acre"),
    ] {
        let to = format!("to={to}");
        let said = refusal(&["unit-conversion", "amount=800", &to]);
        let offered = said.lines().find_map(|line| line.split_once("write amount='800 …' with a unit: "));
        let (_, offered) = offered.unwrap_or_else(|| panic!("{to}: {said}"));
        assert!(offered.contains(units), "{to}: {said}");
    }
}

#[test]
fn a_bare_oz_is_asked_about_only_where_it_could_be_weight() {
    let oz = ["tank-mix", "tank=100 gal", "application-rate=2 gal/1000 ft2"];
    refused_with(&[&oz[..], &["product.1.rate=2 oz/1000 ft2"]].concat(), &["fl oz", "oz weight", "product.1.rate="]);
    let taken = json(&["catch-test", "catch=96 oz, 30 s"]);
    assert_eq!(taken["inputs"]["catch.1.volume"]["unit"], "fl oz");
}

#[test]
fn what_is_missing_or_entered_twice_or_left_over_is_reported() {
    refused_with(&["catch-test", "catch.1.volume=1 gal"], &["catch.1.time", "Write catch.1.time='… s'"]);
    refused_with(&["catch-test", "tolerance=5 %"], &["at least one catch"]);
    refused_with(&["carrier-volume", "tank=200 gal", "area=1 acre", "volume=1 gal/1000 ft2"], &["volume:"]);
    for twice in [
        ["catch.1.volume=1 gal", "catch.1.time=60 s", "catch.1.time=61 s"],
        ["catch=1 gal, 60 s", "catch.1.time=61 s", "tolerance=5 %"],
        ["catch.1=1 gal, 60 s", "catch.1.time=61 s", "tolerance=5 %"],
        ["catch=1 gal, 60 s", "tolerance=5 %", "tolerance=6 %"],
    ] {
        refused_with(&[&["catch-test"][..], &twice].concat(), &["appears twice"]);
    }
    for (row, meant) in [("186 oz 60 s", "186 oz, 60 s"), ("1 gal 58 fl oz 1 min 5 s", "1 gal 58 fl oz, 1 min 5 s")] {
        let (word, write) = (format!("catch={row}"), format!("Write catch='{meant}'"));
        refused_with(&["catch-test", &word], &[&format!("`{row}` has no comma between its parts."), &write]);
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
fn no_other_machines_number_is_shown_where_the_readers_own_belongs() {
    // What is typed, what must be offered, and what never comes back: an example's or anybody else's number.
    for (words, offered, never) in [
        (&["catch-test", "catch=1 gal 14 fl oz, half a minute"][..], "catch.1.time='… s'", &["60 s", "186"][..]),
        (&["catch-test", "catch=142,30"], "catch.1.volume='… fl oz'", &["186", "60 s", "142.3"]),
        (&["catch-test", "catch=142 oz 30"], "catch.1.time='… s'", &["186", "60 s"]),
        (&["catch-test", "catch=about a gallon, 60 s"], "catch.1.volume='… fl oz'", &["186"]),
        (&["tank-mix", "tank=200 gal", "rate=2 gal/1000 ft2"], "application-rate", &["product.1.rate='2 gal", "1.5"]),
        (&["tank-mix", "tank=big", "application-rate=2 gal/M"], "tank='… gal'", &["200", "100 gal"]),
        (&["known-area", "plot=seventeen by twenty"], "plot.1.area='… ft2'", &["45000", "45,000", "18.5"]),
        (&["unit-conversion", "amount=1 lb/100gall", "to=oz/gal"], "amount='1 …'", &["87"]),
        (&["usage-check", "area=8000", "application-rate=2 gal/1000 ft2"], "area='8000 …'", &["8000 ft2'", "140"]),
        (&["swath-timing", "pass=100 ft, 5 ft, ten, 3m47"], "pass.1.time='3m47 …'", &["3 min 47 s", "227"]),
        (&["unit-conversion", "amount=1 galon", "to=fl oz"], "amount='1 …'", &["'1'", "gal'"]),
        (&["carrier-volume", "tank=200 gal", "area=5 akres"], "area='5 …'", &["5 acre'", "… ft2"]),
        (&["swath-timing", "pass=100 ft, 5 ft, 4 rounds, 2 min"], "passes='4' if", &["passes='4 …"]),
        (&["tank-mix", "tank=2OO gal", "application-rate=2 gal/M"], "tank='200 gal' if", &["tank='2 …"]),
        (&["known-area", "plot=1/128 acer, 40 fl oz"], "plot.1.area='1/128 acre'", &["area='1 …"]),
        (&["known-area", "plot=20 ft, 17 ft, 70 flz"], "plot.1.volume='70 …'", &["plot.1.area"]),
        (&["nozzle-wear", "rated-flow=0.4 gpm", "catch=64 fl oz"], "…='64 fl oz'", &["catch-time='… s' …"]),
        (&["usage-check", "area=5000 ft2", "used=5 %"], "…='5 %'", &["volume-used='5"]),
        (
            &["usage-check", "area=5000 ft2", "application-rate=2 gal/M", "tank-before=200 gal"],
            "tank-after='… gal'",
            &["volume-used='"],
        ),
        (&["dilution", "concentrate=480 %"], "cannot be more than 100 %", &["480 %'"]),
    ] {
        let said = refusal(words);
        assert!(said.contains(offered), "{words:?}: no {offered} in\n{said}");
        for number in never {
            assert!(!said.contains(number), "{words:?}: {number} in\n{said}");
        }
    }
}

#[test]
fn shares_end_at_the_whole_and_a_labels_maximum_is_above_zero() {
    let mix = ["tank-mix", "tank=100 gal", "application-rate=2 gal/1000 ft2"];
    let with = |words: &[&'static str]| refusal(&[&mix[..], words].concat());
    assert!(with(&["product.1.rate=480 %"]).contains("cannot be more than 100 %"));
    assert!(with(&["product.1.rate=1000000000000000 %"]).contains("cannot be more than 100 %"));
    assert!(with(&["product.1.rate=200 fl oz/gal"]).contains("cannot be more than 100 %"));
    for most in ["-5 fl oz/1000 ft2", "0 fl oz/1000 ft2"] {
        let words = ["product.1.rate=1 fl oz/1000 ft2".to_owned(), format!("product.1.label-max={most}")];
        let said = refusal(&[&mix[..], &[&words[0], &words[1]]].concat());
        assert!(said.contains("must be above 0"), "{said}");
    }
    // A sign and a unit belong to the whole.
    for volume in ["-1 gal 200 fl oz", "-1 min 90 s"] {
        assert!(
            refusal(&["catch-test", &format!("catch.1.volume={volume}"), "catch.1.time=60 s"])
                .contains("catch.1.volume")
        );
    }
    for time in ["-1 min 90 s", "1:15 h", "1:15 shims"] {
        let said = refusal(&["catch-test", "catch.1.volume=1 gal", &format!("catch.1.time={time}")]);
        assert!(said.contains("catch.1.time"), "{time}: {said}");
    }
}

#[test]
fn what_has_no_part_in_the_answer_is_named() {
    let notice =
        |words: &[&str]| printed(words).lines().filter(|line| line.contains("is not used in this answer")).count();
    let wish = ["active-ingredient", "strength=4 lb/gal"];
    assert_eq!(notice(&[&wish[..], &["ai-wanted=1 lb/acre", "mix=100 gal"]].concat()), 1);
    assert_eq!(notice(&[&wish[..], &["ai-wanted=1 lb/100 gal", "area=12000 ft2"]].concat()), 1);
    assert_eq!(notice(&[&wish[..], &["ai-wanted=1 lb/acre", "area=12000 ft2"]].concat()), 0);
    // A maximum that is respected and a tolerance that is met were used all the same.
    assert_eq!(notice(&[&wish[..], &["ai-wanted=1 lb/acre", "label-max=3 pt/acre"]].concat()), 0);
    let used =
        ["usage-check", "area=8000 ft2", "application-rate=2 gal/1000 ft2", "volume-used=16 gal", "tolerance=4 %"];
    assert_eq!(notice(&used), 0);
    // What has a default has no part either where nothing is held against it.
    let tolerance = "tolerance=5 %";
    assert_eq!(notice(&["catch-test", "catch=142 fl oz, 61 s", tolerance]), 1);
    let nozzles = ["catch-test", "nozzle=31 fl oz", "nozzle=31 fl oz", "nozzle-time=60 s", tolerance];
    assert_eq!(notice(&nozzles), 0);
    for (words, idle) in [
        (&["dilution", "mix=7 gal", "wanted=2 %", "density=9.1 lb/gal"][..], 1),
        (&["dilution", "mix=7 gal", "wanted=2 %", "concentrate=40 %", "by=weight", "density=9.1 lb/gal"], 0),
        (&["lawn-area", "rectangle=50 ft x 40 ft", "offset-effect=cut-out"], 1),
        (&["lawn-area", "rectangle=50 ft x 40 ft", "rectangle=9 ft, 4 ft, cut-out"], 0),
        (&["known-area", "plot=20 ft, 17 ft, 70 fl oz", "nozzles-cover=each"], 1),
        (&["spreader", "run=4 lb, 1000 ft2", "tolerance=2 %"], 1),
        (&["boom-output", "nozzle-flow=0.3 gal/min", "speed=3 mph", "spacing=20 in", "effective-share=70 %"], 1),
        // How finely something was read that was not given.
        (&["catch-test", "catch=142 fl oz, 61 s", "read-to.nozzle.volume=1 fl oz"], 1),
        (&["catch-test", "catch=142 fl oz, 61 s", "read-to.catch.volume=1 fl oz"], 0),
        (&["tank-mix", "tank=100 gal", "application-rate=1.5 gal/1000 ft2", "read-to.left=5 gal"], 1),
    ] {
        assert_eq!(notice(words), idle, "{words:?}");
    }
}

#[test]
fn words_that_are_not_understood_are_json_too_where_json_is_requested() {
    for words in [
        &["catch-test", "catch=142 fl oz, 61 s", "--nope", "--json"][..],
        &["catch-test", "--units", "imperial", "--json"],
        &["catch-test", "--in", "--json"],
        &["--json", "nothing-of-the-kind"],
        &["catch-test", "volume", "--json"],
    ] {
        let said = refusal(words);
        let told: serde_json::Value =
            serde_json::from_str(&said).unwrap_or_else(|fault| panic!("{words:?}: {fault}\n{said}"));
        assert!(told["error"].as_str().is_some_and(|error| error.len() > 20), "{words:?}: {said}");
    }
}

#[test]
fn a_row_in_short_takes_each_part_for_what_it_can_be() {
    let inputs = |words: &[&str]| json(words)["inputs"].clone();
    let used = inputs(&["application-rate", "used=2.1 gal, 1000 ft2", "used=Wednesday, 2 gal, 1000 ft2"]);
    assert_eq!(used["used.1.volume"]["text"], "2.1 gal");
    assert_eq!(used["used.1.area"]["text"], "1000 ft²");
    assert_eq!(used["used.2.method"]["text"], "Wednesday");
    let plot = inputs(&["known-area", "plot=20 ft, 17 ft"]);
    assert_eq!((&plot["plot.1.length"]["text"], &plot["plot.1.width"]["text"]), (&"20 ft".into(), &"17 ft".into()));
    let lawn =
        inputs(&["day-plan", "lawn=14 Alder Court, 62000 ft2", "application-rate=2 gal/1000 ft2", "tank=100 gal"]);
    assert_eq!(lawn["lawn.1.name"]["text"], "14 Alder Court");
    let catch = inputs(&["catch-test", "catch=60 s, 186 fl oz"]);
    assert_eq!(catch["catch.1.volume"]["text"], "186 fl oz");
    // As people write who use the comma for a point, and as they write a plot.
    let catch = inputs(&["catch-test", "catch=142 fl oz; 61 s"]);
    assert_eq!(catch["catch.1.time"]["text"], "61 s");
    for plot in ["plot=20 ft x 17 ft", "plot=20 ft × 17 ft"] {
        let plot = inputs(&["known-area", plot]);
        assert_eq!((&plot["plot.1.length"]["text"], &plot["plot.1.width"]["text"]), (&"20 ft".into(), &"17 ft".into()));
    }
}

#[test]
fn inputs_that_are_longer_than_any_problem_are_refused_before_they_are_read() {
    let many: Vec<String> = (1..=2000).map(|row| format!("catch.{row}.volume=186 fl oz")).collect();
    let words: Vec<&str> = std::iter::once("catch-test").chain(many.iter().map(String::as_str)).collect();
    let said = refusal(&words);
    assert!(said.starts_with("These inputs have ") && said.contains("at most 20000 are read"), "{said}");
    assert!(said.len() < 200, "{said}");
    // A full day's plan is far below the limit.
    let day: Vec<String> = (1..=20).map(|row| format!("lawn=Number {row} Alder Court, 5000 ft2")).collect();
    let mut words = vec!["day-plan", "application-rate=2 gal/1000 ft2", "tank=100 gal"];
    words.extend(day.iter().map(String::as_str));
    assert!(printed(&words).contains("Results"));
}
