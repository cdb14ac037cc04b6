//! Answers as candidates type them: signs, words, fractions, units left out, an open ounce, figures.

use tankside_calc::quantity::reply::{Fit, Reply, read};
use tankside_calc::quantity::typed::{Misread, Side};
use tankside_calc::quantity::unit::Unit;

fn reply(text: &str, asked: &str) -> Reply {
    read(text, &Unit::of(asked)).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

fn value(text: &str, asked: &str) -> f64 {
    let si = reply(text, asked).si / Unit::of(asked).size();
    tankside_calc::text::figures::without_noise(si)
}

#[test]
fn a_sign_or_a_word_says_which_side_and_a_bare_number_leaves_it_open() {
    for text in [
        "-15 %",
        "−15 %",
        "—15 %",
        "- 15%",
        "minus 15 %",
        "negative 15 percent",
        "15 % under",
        "15% low",
        "15 % too low",
        "15 percent less",
        "15 % below",
        "15 % short",
        "under by 15 %",
        "low by 15%",
        "about 15 % under",
        "15 % lower",
        "15 % less than planned",
        "it is 15 % too low",
        "-15",
        "15 low",
    ] {
        let reply = reply(text, "%");
        assert_eq!((reply.side, value(text, "%")), (Side::Under, -15.0), "{text}");
    }
    for text in [
        "+15 %",
        "+ 15%",
        "plus 15 %",
        "15 % over",
        "15% high",
        "15 % too high",
        "15 percent more",
        "15 % above",
        "over by 15 %",
        "15 % too much",
        "~15 % over",
        "+15",
        "15 higher",
    ] {
        let reply = reply(text, "%");
        assert_eq!((reply.side, value(text, "%")), (Side::Over, 15.0), "{text}");
    }
    for text in ["15 %", "15%", "15 percent", "15", "about 15 %", "= 15 %", "15 % off"] {
        match read(text, &Unit::of("%")) {
            Ok(reply) => assert_eq!((reply.side, value(text, "%")), (Side::Open, 15.0), "{text}"),
            Err(fault) => assert_eq!((text, fault), ("15 % off", Misread::UnitUnknown("% off".to_owned()))),
        }
    }
    assert_eq!(reply("+11.2 %", "%").side, Side::Over);
    assert_eq!((value("2 gal short", "gal"), reply("2 gal short", "gal").side), (-2.0, Side::Under));
    assert_eq!((value("4.8 L too little", "L"), value("3 gal too many", "gal")), (-4.8, 3.0));
    // A word and a sign that contradict each other are not weighed.
    assert_eq!(read("-15 % over", &Unit::of("%")), Err(Misread::NotANumber));
}

#[test]
fn about_is_read() {
    for text in [
        "about 1.5 gal",
        "~1.5 gal",
        "≈ 1.5 gal",
        "approx. 1.5 gal",
        "approximately 1.5 gal",
        "roughly 1.5 gal",
        "around 1.5 gal",
        "ca. 1.5 gal",
        "it is about 1.5 gal",
    ] {
        match read(text, &Unit::of("gal")) {
            Ok(_) => assert_eq!(value(text, "gal"), 1.5, "{text}"),
            Err(fault) => panic!("{text}: {fault:?}"),
        }
    }
    for text in ["1.5 gal", "= 1.5 gal", "=1.5 gal", "1.5 gal."] {
        assert_eq!(value(text, "gal"), 1.5, "{text}");
    }
}

#[test]
fn fractions_and_quantities_in_two_units_are_exact() {
    for (text, unit, amount) in [
        ("2-1/2", "gal", 2.5),
        ("2-1/2 gal", "gal", 2.5),
        ("2 1/2 gal", "gal", 2.5),
        ("1 gal and 16 oz", "fl oz", 144.0),
        ("1 gal 16 fl oz", "fl oz", 144.0),
        ("7'6\"", "ft", 7.5),
        ("30\"", "ft", 2.5),
        ("30\"", "s", 30.0),
        ("3m47s", "s", 227.0),
        ("3'47\"", "s", 227.0),
        ("3:47", "s", 227.0),
    ] {
        assert_eq!(value(text, unit), amount, "{text}");
    }
    assert_eq!(reply("2-1/2 gal", "gal").figures(), (15, 15));
}

#[test]
fn a_unit_left_out_is_noted_and_read_as_the_one_asked_for() {
    let bare = reply("1.45", "gal/min");
    assert_eq!((bare.fit, bare.unit, bare.number), (Fit::Missing, Unit::none(), 1.45));
    assert_eq!(value("1.45", "gal/min"), 1.45);
    // "How many fluid ounces is that on 1000 ft²?"
    let short = reply("3 fl oz", "fl oz/1000 ft2");
    assert_eq!((short.fit, short.unit), (Fit::PerMissing, Unit::of("fl oz")));
    assert_eq!(value("3 fl oz", "fl oz/1000 ft2"), 3.0);
    assert_eq!(value("3 oz", "fl oz/1000 ft2"), 3.0);
    assert_eq!(value("6 tbsp", "fl oz/1000 ft2"), 3.0);
    assert_eq!(value("2 lb", "lb/acre"), 2.0);
    assert_eq!(reply("2 ft", "gal/acre").fit, Fit::Other);
    assert_eq!(reply("2 gal", "%").fit, Fit::Other);
    assert_eq!(reply("3 lb", "gal").unit, Unit::of("lb"));
}

#[test]
fn an_ounce_that_does_not_say_which_is_taken_with_a_note() {
    let reply = reply("80 oz", "gal");
    assert_eq!(reply.fit, Fit::FluidOunces);
    assert_eq!(value("80 oz", "fl oz"), 80.0);
    assert_eq!(self::reply("80 fl oz", "gal").fit, Fit::Own);
    assert_eq!(self::reply("80 oz", "lb").fit, Fit::Own);
    assert_eq!(self::reply("1.5 oz/M", "fl oz/1000 ft2").fit, Fit::FluidOunces);
}

#[test]
fn the_figures_that_were_typed_are_counted() {
    for (text, least, most) in [
        ("1.5 gal", 2, 2),
        ("1.50 gal", 3, 3),
        ("0.015 gal", 2, 2),
        ("1500 gal", 2, 4),
        ("1,512 gal", 4, 4),
        ("2 gal", 1, 1),
        ("10 gal", 1, 2),
        ("43.56 gal", 4, 4),
        ("1 gal 58 fl oz", 3, 3),
    ] {
        assert_eq!(reply(text, "gal").figures(), (least, most), "{text}");
    }
    let size = Unit::of("gal").size();
    assert!((reply("1.45 gal", "gal").place / size - 0.01).abs() < 1e-15);
}

#[test]
fn a_part_of_the_product_may_be_named_in_an_answer() {
    for text in
        ["0.9 lb N/1000 ft2", "0.9 lb of N per 1,000 sq ft", "0.9 lb nitrogen/M", "0.9 lb actual N per thousand"]
    {
        assert_eq!(value(text, "lb/1000 ft2"), 0.9, "{text}");
    }
    for text in ["0.5 lb ai/acre", "0.5 lb a.i./A", "0.5 lb ae/A", "0.5 lb active ingredient per acre"] {
        assert_eq!(value(text, "lb/acre"), 0.5, "{text}");
    }
}

#[test]
fn what_is_no_quantity_is_refused() {
    for text in [
        "",
        "lots",
        "10 to 12 gal",
        "10-12 gal",
        "1.2.3 gal",
        "gal",
        "1/0 gal",
        "5 furlongs",
        "1,45 gal",
        "47 gal ± 0.3",
        "1e3 gal",
        "NaN",
        "6 x 4",
        "1 gal -16 oz",
        "?",
        "I don't know",
    ] {
        assert!(read(text, &Unit::of("gal")).is_err(), "{text}: {:?}", read(text, &Unit::of("gal")));
    }
}

/// English as the stock's phrases have it: number words and all.
fn english() -> tankside_calc::words::phrases::Phrases {
    tankside::catalogue::phrases("en").expect("readable").expect("there is English")
}

#[test]
fn answers_are_read_as_people_write_them() {
    let (phrases, mut meant, mut count, mut wrong) = (english(), ("", 0.0), 0, Vec::new());
    for line in include_str!("answered.txt").lines().filter(|line| !line.is_empty() && !line.starts_with("# ")) {
        if let Some(head) = line.strip_prefix('[').and_then(|line| line.strip_suffix(']')) {
            let (number, unit) = head.split_once(' ').expect("number and unit");
            meant = (unit, number.parse().expect("a number"));
            continue;
        }
        count += 1;
        let (unit, amount) = (Unit::of(meant.0), meant.1);
        match read(&phrases.answered(line), &unit) {
            // A metric amount of three figures is as near as that.
            Ok(reply)
                if !matches!(reply.fit, Fit::Missing | Fit::Other)
                    && (reply.si / unit.size() - amount).abs() <= 0.002 * f64::abs(amount) => {}
            other => wrong.push(format!("{line}, meant {amount} {}: {other:?}", meant.0)),
        }
    }
    assert!(wrong.is_empty(), "{} of {count}: {wrong:#?}", wrong.len());
    println!("{count} answers read");
    assert!(count >= 330, "{count}");
}

#[test]
fn what_may_mean_two_things_is_asked_about() {
    let phrases = english();
    for (text, asked) in [
        ("one twenty", "gal"),
        ("2 or 3 gal", "gal"),
        ("2-3 gal", "gal"),
        ("between 20 and 25 lb", "lb"),
        ("2.5 G", "gal"),
        ("40 T", "fl oz"),
        ("120 t", "fl oz"),
        ("a lot", "gal"),
        ("2 gal or less", "gal"),
        ("1200 sq", "ft2"),
        ("1200 ft", "ft2"),
        ("2,5 gal", "gal"),
        ("7-6", "ft"),
        ("2 gal/64 oz", "gal"),
        ("2.5 gpm", "gal/1000 ft2"),
        ("40 gal acre", "gal/acre"),
        ("> 2.5 gal", "gal"),
        ("112 % of target", "%"),
        ("40 x 100 ft", "ft2"),
    ] {
        let reply = read(&phrases.answered(text), &Unit::of(asked));
        assert!(
            reply.as_ref().is_err() || reply.as_ref().is_ok_and(|reply| reply.fit == Fit::Other),
            "{text}: {reply:?}"
        );
    }
}
