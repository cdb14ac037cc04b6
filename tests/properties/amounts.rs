//! Amounts keep their size: from one unit to another and back, as they are shown and read again, and when a whole
//! problem is switched to the other system of units.

use crate::drawn::{Random, Reach, every_unit, units, written};
use crate::taken;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::switch::switched;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::{read, unit_text};
use tankside_calc::quantity::unit::Unit;
use tankside_calc::quantity::written::as_typed;
use tankside_calc::text::figures::to_figures;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::System;

#[test]
fn an_amount_in_one_unit_and_back_in_another_is_itself_to_a_part_in_10_to_the_12() {
    let mut random = Random::new(1);
    let all = every_unit();
    let mut pairs = 0;
    for from in &all {
        for to in all.iter().filter(|to| to.dim() == from.dim()) {
            let amount = random.between(1e-6, 1e9);
            let there = amount * from.size() / to.size();
            let back = there * to.size() / from.size();
            // Four multiplications, each good to a part in 10^15.
            assert!((back - amount).abs() <= 1e-12 * amount, "{amount} {} by {}", from.plain(), to.plain());
            pairs += 1;
        }
    }
    assert!(pairs > 1500, "{pairs} pairs");
}

#[test]
fn what_is_shown_of_an_amount_reads_back_as_that_amount() {
    let mut random = Random::new(2);
    for kind in Kind::ALL {
        for unit in units(*kind) {
            for _ in 0..20 {
                let number = random.between(1e-4, 1e7);
                let text = written(number, &unit, *kind);
                let typed = read(&text, *kind, None).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
                assert_eq!(typed.unit, unit, "{text}");
                let number_shown = as_typed(&typed).strip_suffix(&unit.shown()).map(str::to_owned);
                let number_shown = number_shown.unwrap_or_else(|| panic!("{text} is shown without its unit"));
                let shown = format!("{number_shown}{}", unit_text(&unit, *kind));
                let again = read(&shown, *kind, None).unwrap_or_else(|fault| panic!("{text}, {shown}: {fault:?}"));
                // Twelve figures are shown.
                assert!((again.si - typed.si).abs() <= 1e-11 * typed.si.abs(), "{text} is shown {shown}");
            }
        }
    }
}

#[test]
fn units_switched_to_and_fro_are_round_and_of_about_the_same_size() {
    for calculator in CALCULATORS {
        for before in taken(calculator, Reach::Plausible, 7) {
            let given = given_of(&before);
            let there = switched(calculator, &given, System::Metric);
            let back = switched(calculator, &there, System::Us);
            for ((from, to), system) in [((&given, &there), System::Metric), ((&there, &back), System::Us)] {
                for ((name, old), (_, new)) in from.0.iter().zip(&to.0) {
                    let Some(kind) = calculator.input(name).and_then(|input| input.kind()) else { continue };
                    if old == new {
                        continue;
                    }
                    let read = |text: &str| read(text, kind, None).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
                    let (one, other) = (read(old), read(new));
                    let at = format!("{} {name}: {old}, then {new}", calculator.id);
                    assert!((one.si - other.si).abs() <= 0.026 * one.si.abs(), "{at}");
                    assert!(other.unit.is_us() == (system == System::Us), "{at}");
                    let number = new.split(' ').next().expect("a number").replace('.', "");
                    assert!(number.trim_matches(['0', '-']).len() <= 3, "{at}");
                }
            }
        }
    }
}

/// The inputs of a problem as they were typed.
fn given_of(worked: &Worked) -> RawInputs {
    let pairs = worked.inputs.names().filter_map(|name| {
        let text = match (worked.inputs.typed_at(name), worked.inputs.word_at(name)) {
            (Some(typed), _) => {
                written(typed.value(), &typed.unit, worked.calculator.input(name)?.kind().unwrap_or(Kind::Number))
            }
            (None, word) => word?.to_owned(),
        };
        Some((name.to_owned(), text))
    });
    RawInputs(pairs.collect())
}

/// The same quantity in metric units, to 8 figures, as it may come through a link.
fn carried(text: &str) -> String {
    let typed = read(text, Kind::Any, None).expect("a quantity");
    let unit = match &*typed.unit.plain() {
        "gal" => Unit::of("L"),
        "ft2" => Unit::of("m2"),
        "gal/1000 ft2" => Unit::of("L/100 m2"),
        other => panic!("{other}"),
    };
    format!("{} {}", to_figures(typed.si / unit.size(), 8), unit.plain())
}

#[test]
fn whole_tanks_stay_whole_in_metric_units() {
    // 3 × 200 gal at 2 gal/1000 ft² treat 300,000 ft²; by hand. Carried to 8 figures in metric units, it must still be
    // 3.
    let calculator = calculator("carrier-volume").expect("a calculator");
    for tanks in 1..=40 {
        for tank in [50, 200, 300] {
            let area = format!("{} ft2", tanks * tank * 500);
            let tank = format!("{tank} gal");
            let pairs = [
                ("volume.1.rate", "2 gal/1000 ft2"),
                ("volume.2.rate", "1 gal/1000 ft2"),
                ("tank", &tank),
                ("area", &area),
            ];
            let given = RawInputs::from_pairs(&pairs);
            let carried = given.0.iter().map(|(name, text)| (name.clone(), carried(text)));
            for (system, given) in [(System::Us, given.clone()), (System::Metric, RawInputs(carried.collect()))] {
                let worked = work(calculator, &given, system).expect("it is taken");
                assert_eq!(worked.si_at("volume-1-refills"), Some(f64::from(tanks - 1)), "{given:?}");
            }
        }
    }
}

#[test]
fn a_unit_without_a_counterpart_is_left_as_it_is_where_the_form_measures_something_else() {
    let switched_to_metric = |id: &str, name: &str, text: &str| {
        let declared = calculator(id).expect("a calculator");
        let given = RawInputs(vec![(name.to_owned(), text.to_owned())]);
        switched(declared, &given, System::Metric).0.remove(0).1
    };
    // 200 ppm is 200 parts in a million everywhere, not 0.0002 g/L; a ton is no volume.
    for (id, name, text) in [
        ("dilution", "wanted", "200 ppm"),
        ("dilution", "wanted", "2 %"),
        ("active-ingredient", "package", "0.5 ton"),
        ("tank-mix", "product.1.rate", "1 ton/acre"),
    ] {
        assert_eq!(switched_to_metric(id, name, text), text, "{id} {name}");
    }
    assert_eq!(switched_to_metric("dilution", "mix", "200 gal"), "760 L");
}
