//! The card's figures: against hand arithmetic, against published examples, in either system of units.

use crate::{changed, plain, shown, worked};
use tankside_calc::calculation::switch::switched;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::card::{CARD, work_card};
use tankside_calc::quantity::unit::Unit;
use tankside_calc::working::record::{Severity, System};

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
    // By hand (JCGM 100:2008, equation 10, resolution as a rectangle): 10 gal read to 0.1 gal and 5000 ft2 read to 2 %
    // are sqrt(0.01^2 + 0.02^2)/sqrt(12) = 0.645497 %, of 2 gal/1000 ft2 and k = 2 that is 0.0258199.
    let given = plain(&[("used.1.volume", "10 gal"), ("used.1.area", "5000 ft2")]);
    let [budget] = worked(&given).budgets.try_into().expect("one budget");
    let expanded = budget.expanded() / Unit::of("gal/1000 ft2").size();
    assert!((expanded - 0.025_819_9).abs() < 1e-7, "{expanded}");
    let face = shown(&given, System::Us).answer;
    assert!(face.contains(">±\u{a0}0.03<"), "{face}");
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
fn switching_units_gives_a_card_of_about_the_same_size_in_round_numbers() {
    let given = changed(&[]);
    let metric = switched(&CARD, &given, System::Metric);
    let (before, after) = (worked(&given), work_card(&metric, System::Metric).expect("the same card"));
    for name in ["application-rate", "tank-area", "product-1-fill-1", "product-2-fill-2", "product-3-fill-4"] {
        let (one, other) = (before.si_at(name).expect(name), after.si_at(name).expect(name));
        // Two or three inputs, each within 2.5 % of what it was.
        assert!((one - other).abs() <= 0.06 * one, "{name}: {one} {other}");
    }
    assert_eq!(metric.text("tank"), Some("760 L"), "200 gal are 757 L");
}
