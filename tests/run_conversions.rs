//! Every unit of a kind into every other: the chain of factors shown comes to the value, and there and back is the
//! same.

use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::unit_text;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::quantity::units::ATOMS;
use tankside_calc::uncertainty::work;
use tankside_calc::working::line;
use tankside_calc::working::record::System;

/// The units of a kind that a form offers, and every single unit of it that the core knows.
fn units(kind: Kind) -> Vec<Unit> {
    let (us, metric) = kind.offered();
    let mut units: Vec<Unit> = us.iter().chain(metric).copied().collect();
    units.extend(ATOMS.iter().map(|atom| Unit::of(atom.symbol)).filter(|unit| kind.takes(unit)));
    units
}

fn converted(amount: f64, from: &Unit, to: &Unit) -> (f64, f64, String) {
    let text = |unit: &Unit| unit_text(unit, Kind::Any);
    let given = RawInputs::from_pairs(&[("amount", &format!("{amount} {}", text(from))), ("to", &text(to))]);
    let conversion = calculator("unit-conversion").expect("a calculator");
    let worked = work(conversion, &given, System::Us).unwrap_or_else(|faults| panic!("{given:?}: {faults:?}"));
    let line = line::numbers(&worked.steps[0]);
    let value = worked.value_in("converted", &to.plain()).expect("a result");
    (value, line::evaluate(&line), line::signs(&line))
}

#[test]
fn the_factors_shown_come_to_the_value_for_every_pair_of_units_of_a_kind() {
    let mut pairs = 0;
    for kind in Kind::Any.members() {
        for from in units(*kind) {
            for to in units(*kind) {
                let (value, shown, text) = converted(3.0, &from, &to);
                assert!((value - shown).abs() <= 1e-12 * value, "{text} comes to {shown}, not {value}");
                let (back, ..) = converted(value, &to, &from);
                assert!((back - 3.0).abs() <= 1e-12, "3 {} to {} and back is {back}", from.plain(), to.plain());
                pairs += 1;
            }
        }
    }
    assert!(pairs > 1000);
}

#[test]
fn the_unit_wanted_must_be_of_the_amounts_kind() {
    let conversion = calculator("unit-conversion").expect("a calculator");
    for (amount, to) in [("1 gal", "lb"), ("1 oz weight", "fl oz"), ("3 ft", "ft2"), ("1 gal/acre", "lb/acre")] {
        let given = RawInputs::from_pairs(&[("amount", amount), ("to", to)]);
        assert!(work(conversion, &given, System::Us).is_err(), "{amount} to {to}");
    }
}

#[test]
fn bare_ounces_take_the_meaning_of_the_amount() {
    let conversion = calculator("unit-conversion").expect("a calculator");
    for (amount, unit, value) in [("1 gal", "fl oz", 128.0), ("1 lb", "oz", 16.0)] {
        let given = RawInputs::from_pairs(&[("amount", amount), ("to", "oz")]);
        let worked = work(conversion, &given, System::Us).expect("a conversion");
        assert_eq!(worked.value_in("converted", unit), Some(value));
    }
}
