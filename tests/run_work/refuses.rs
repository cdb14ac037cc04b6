//! What is refused, and what a person can write instead.

use crate::{json, refusal, refused_with};

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
    refused_with(&[&good[..], &["--in", "nozzle-output"]].concat(), &["--in nozzle-output='UNIT'"]);
    refused_with(&["catch-test", "96 fl oz"], &["Write name=value", "catch.1.volume='186 fl oz'"]);
    refused_with(&[&good[..], &["--units", "imperial"]].concat(), &["us, metric"]);
}

#[test]
fn a_value_that_cannot_be_is_answered_with_what_to_write() {
    let with = |volume: &str, time: &str| {
        let words = [format!("catch.1.volume={volume}"), format!("catch.1.time={time}")];
        refusal(&["catch-test", &words[0], &words[1]])
    };
    for (volume, part, write) in [
        ("5 ft", "a distance", "186 fl oz"),
        ("5", "unit", "5 fl oz"),
        ("", "nothing given", "186 fl oz"),
        ("lots", "186 fl oz", "186 fl oz"),
        ("1,45 gal", "comma", "1.45 gal"),
        ("2 gallonz", "“gallonz” is not a unit", "186 fl oz"),
        ("1 gal 5 ft", "186 fl oz", "186 fl oz"),
        ("NaN gal", "186 fl oz", "186 fl oz"),
        ("1/0 gal", "186 fl oz", "186 fl oz"),
    ] {
        let said = with(volume, "60 s");
        assert!(said.contains(part), "{volume}: {said}");
        assert!(said.contains(&format!("Write catch.1.volume='{write}'")), "{volume}: {said}");
    }
    for volume in ["0 gal", "-5 gal", "51 gal", "99999 L"] {
        let said = with(volume, "60 s");
        assert!(said.contains("above 0 fl oz and at most 6400 fl oz"), "{volume}: {said}");
    }
    // Each problem is told, not only the first.
    let said = with("5 ft", "5 ft");
    assert!(said.contains("catch.1.volume:") && said.contains("catch.1.time:"), "{said}");
}

#[test]
fn a_bare_oz_is_asked_about_only_where_it_could_be_weight() {
    let oz = ["tank-mix", "tank=100 gal", "application-rate=2 gal/1000 ft2"];
    refused_with(&[&oz[..], &["product.1.rate=2 oz/1000 ft2"]].concat(), &["fl oz", "oz weight", "product.1.rate="]);
    let taken = json(&["catch-test", "catch=96 oz, 30 s"]);
    assert_eq!(taken["inputs"]["catch.1.volume"]["unit"], "fl oz");
}

#[test]
fn what_is_missing_or_given_twice_or_left_over_is_told() {
    refused_with(&["catch-test", "catch.1.volume=1 gal"], &["catch.1.time", "Write catch.1.time='60 s'"]);
    refused_with(&["catch-test", "tolerance=5 %"], &["at least one catch"]);
    refused_with(&["carrier-volume", "tank=200 gal", "area=1 acre", "volume=1 gal/1000 ft2"], &["volume:"]);
    for twice in [
        ["catch.1.volume=1 gal", "catch.1.time=60 s", "catch.1.time=61 s"],
        ["catch=1 gal, 60 s", "catch.1.time=61 s", "tolerance=5 %"],
        ["catch.1=1 gal, 60 s", "catch.1.time=61 s", "tolerance=5 %"],
        ["catch=1 gal, 60 s", "tolerance=5 %", "tolerance=6 %"],
    ] {
        refused_with(&[&["catch-test"][..], &twice].concat(), &["is given twice"]);
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
