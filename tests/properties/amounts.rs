//! Amounts keep their size: from one unit to another and back, as they are shown and read again, and when a whole
//! problem is switched to the other system of units.

use crate::drawn::{Draw, Reach, every_unit, units, written};
use crate::taken;
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::problem::given::RawInputs;
use tankside_calc::problem::switch::switched;
use tankside_calc::problem::worked::Worked;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::{read, unit_text};
use tankside_calc::quantity::units::Dim;
use tankside_calc::quantity::written::as_typed;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::{Outcome, System};

#[test]
fn an_amount_in_one_unit_and_back_in_another_is_itself_to_a_part_in_10_to_the_12() {
    let mut draw = Draw::new(1);
    let all = every_unit();
    let mut pairs = 0;
    for from in &all {
        for to in all.iter().filter(|to| to.dim() == from.dim()) {
            let amount = draw.between(1e-6, 1e9);
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
    let mut draw = Draw::new(2);
    for kind in Kind::ALL {
        for unit in units(*kind) {
            for _ in 0..20 {
                let number = draw.between(1e-4, 1e7);
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

/// The largest number of a dimension that a problem has in it: what a difference of two can be wrong against.
fn scale(worked: &Worked, dim: Dim) -> f64 {
    let steps = worked.steps.iter().filter(|step| step.unit.dim() == dim).map(|step| step.si.abs());
    let inputs = worked.inputs.quantities().filter(|(_, typed)| typed.unit.dim() == dim);
    steps.chain(inputs.map(|(_, typed)| typed.si.abs())).fold(1.0, f64::max)
}

#[test]
fn units_switched_to_and_fro_give_the_same_results() {
    for calculator in CALCULATORS {
        for before in taken(calculator, Reach::Plausible, 7) {
            let given = given_of(&before);
            let there = switched(calculator, &given, System::Metric);
            let back = switched(calculator, &there, System::Us);
            for (system, given) in [(System::Metric, &there), (System::Us, &back)] {
                let after = work(calculator, given, system)
                    .unwrap_or_else(|faults| panic!("{}: {given:?}: {faults:?}", calculator.id));
                for found in &before.found {
                    let name = found.name();
                    let (Some(one), Some(other)) = (before.si(&name), after.si(&name)) else { continue };
                    let Outcome::Quantity(_, unit) = &found.outcome else { continue };
                    // Each of a few inputs is carried to 8 figures, twice.
                    let near = 2e-6 * scale(&before, unit.dim());
                    assert!((one - other).abs() <= near, "{} {name}: {one}, then {other}; {given:?}", calculator.id);
                }
            }
        }
    }
}

/// The inputs of a problem as they were typed.
fn given_of(worked: &Worked) -> RawInputs {
    let pairs = worked.inputs.names().filter_map(|name| {
        let text = match (worked.inputs.typed(name), worked.inputs.word(name)) {
            (Some(typed), _) => {
                written(typed.value(), &typed.unit, worked.calculator.input(name)?.kind().unwrap_or(Kind::Number))
            }
            (None, word) => word?.to_owned(),
        };
        Some((name.to_owned(), text))
    });
    RawInputs(pairs.collect())
}

#[test]
fn whole_tanks_stay_whole_when_the_units_are_switched() {
    // 3 × 200 gal at 2 gal/1000 ft² treat 300,000 ft²; by hand. Carried to 8 figures in metric units, it must still be 3.
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
            for (system, given) in
                [(System::Us, given.clone()), (System::Metric, switched(calculator, &given, System::Metric))]
            {
                let worked = work(calculator, &given, system).expect("it is taken");
                assert_eq!(worked.si("volume-1-refills"), Some(f64::from(tanks - 1)), "{given:?}");
            }
        }
    }
}
