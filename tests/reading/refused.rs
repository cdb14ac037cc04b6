//! Attacks on a quantity and slips of the keyboard: each is read as it is meant, or refused.

use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::{LONGEST, Misread, read, small_part};
use tankside_calc::quantity::unit::Unit;

fn value(text: &str, kind: Kind, unit: &str) -> Result<f64, Misread> {
    read(text, kind, None).map(|typed| tankside_calc::text::figures::without_noise(typed.si / Unit::of(unit).size()))
}

#[test]
fn a_sign_belongs_to_the_whole() {
    assert_eq!(value("-1 gal 200 fl oz", Kind::Volume, "fl oz"), Ok(-328.0));
    assert_eq!(value("-1 min 90 s", Kind::Time, "s"), Ok(-150.0));
    assert_eq!(value("−3 lb 4 oz", Kind::Mass, "oz"), Ok(-52.0));
    assert_eq!(value("-7'6\"", Kind::Length, "in"), Ok(-90.0));
    for text in ["1 gal -16 fl oz", "1 gal - 16 fl oz", "--1 gal", "-+1 gal", "1- gal", "1 gal-", "-", "- gal"] {
        match read(text, Kind::Volume, None) {
            Err(_) => {}
            Ok(typed) => assert!(text == "1- gal" || text == "1 gal-", "{text}: {typed:?}"),
        }
    }
}

#[test]
fn a_unit_belongs_to_the_whole_of_a_watch() {
    assert_eq!(value("1:15 h", Kind::Time, "s"), Ok(4500.0));
    assert_eq!(value("1:15 hours", Kind::Time, "min"), Ok(75.0));
    assert_eq!(value("1:15", Kind::Time, "s"), Ok(75.0));
    assert_eq!(value("1:15 s", Kind::Time, "s"), Ok(75.0));
    assert_eq!(value("1:15 min", Kind::Time, "s"), Ok(75.0));
    assert_eq!(value("1:15 shims", Kind::Time, "s"), Err(Misread::UnitUnknown("shims".to_owned())));
    for text in [
        "1:15 ft", "1:75", "1:5", "1:155", ":15", "1:", "1:15:", "1:2:3", "1.5:15", "-1:15", "1:15 s 3", "1:15:75",
        "1::15", "1:15 m h",
    ] {
        assert!(read(text, Kind::Time, None).is_err(), "{text}");
    }
    assert_eq!(small_part("1:15 shims"), None);
}

#[test]
fn a_word_about_more_or_less_is_no_input() {
    for text in ["15 % under", "15 % over", "2 gal short", "under by 2 gal"] {
        let kind = if text.contains('%') { Kind::Share } else { Kind::Volume };
        assert!(matches!(read(text, kind, None), Err(Misread::UnitUnknown(_))), "{text}");
    }
    // An amount of active ingredient is not an amount of product.
    for text in ["1 lb ai/acre", "1 lb a.i./A", "0.9 lb N/1000 ft2"] {
        assert!(matches!(read(text, Kind::LabelRate, None), Err(Misread::UnitUnknown(_))), "{text}");
    }
}

#[test]
fn a_text_longer_than_a_field_is_refused_and_reading_is_linear() {
    let long = format!("1 gal {}", "0".repeat(LONGEST));
    assert_eq!(read(&long, Kind::Volume, None), Err(Misread::TooLong));
    assert_eq!(Unit::parse(&"gal/".repeat(30)), None);
    for piece in ["gal+", "gal ", "1 gal ", "/", "1:", "-", "M", "sq ", "½", "per "] {
        for count in [1, 5, 20, 16_000] {
            let text = piece.repeat(count);
            let _ = (read(&text, Kind::Any, None), small_part(&text), Unit::parse(&text));
        }
    }
}

#[test]
fn a_letter_that_could_be_either_takes_the_kind_that_is_asked_for_and_no_other() {
    assert_eq!(value("2 gal/m", Kind::Flow, "gal/min"), Ok(2.0));
    assert_eq!(value("2 gal/M", Kind::VolumePerArea, "gal/1000 ft2"), Ok(2.0));
    assert_eq!(value("5 m", Kind::Length, "m"), Ok(5.0));
    assert_eq!(value("5 m", Kind::Time, "min"), Ok(5.0));
    assert!(read("5 m", Kind::Volume, None).is_err());
    // A metric rate is never for a thousand square feet unless it says so with a capital M.
    assert!(read("5 L/m", Kind::VolumePerArea, None).is_err());
    assert!(read("5 g/m", Kind::MassPerArea, None).is_err());
}
