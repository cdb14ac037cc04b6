//! Every border from both sides and on it, in both unit systems: exactly the tolerance, the label's maximum, the tank.

use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::{read, unit_text};
use tankside_calc::quantity::units::{Atom, find};
use tankside_calc::text::figures::exact;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::{Outcome, System};

/// Cautions and verdicts of a problem.
fn said(id: &str, given: &[(&str, String)], system: System) -> Vec<String> {
    let calculator = calculator(id).expect("it is in the registry");
    let given = RawInputs(given.iter().map(|(name, text)| ((*name).to_owned(), text.clone())).collect());
    let worked = work(calculator, &given, system).unwrap_or_else(|faults| panic!("{given:?}: {faults:?}"));
    let verdicts = worked.results.iter().filter_map(|found| match &found.outcome {
        Outcome::Verdict(key) => Some((*key).to_owned()),
        Outcome::Quantity(..) => None,
    });
    verdicts.chain(worked.cautions.iter().map(|caution| caution.id.to_owned())).collect()
}

/// The same inputs in the units of the other system, to the 12 figures in which a quantity is shown in full.
fn switched(id: &str, given: &[(&'static str, String)]) -> Vec<(&'static str, String)> {
    let other = |row: &'static Atom| {
        let symbol = match row.symbol {
            "gal" => "L",
            "fl oz" => "mL",
            "ft2" => "m2",
            "1000 ft2" => "100 m2",
            "acre" => "ha",
            "lb" => "kg",
            "oz" => "g",
            "ft" => "m",
            same => same,
        };
        find(symbol)
    };
    let one = |name: &str, text: &str| {
        let kind = calculator(id)?.input(name)?.kind()?;
        let typed = read(text, kind, None).ok()?;
        let unit = typed.unit.over(other)?;
        let shown = exact(typed.si / unit.size()).replace(',', "");
        (kind != Kind::Time && kind != Kind::Number).then(|| format!("{shown} {}", unit_text(&unit, kind)))
    };
    given.iter().map(|(name, text)| (*name, one(name, text).unwrap_or_else(|| text.clone()))).collect()
}

/// A hair: a hundredth of a percent of what is allowed, finer than anybody measures.
const HAIR: f64 = 1e-4;

/// Asserts that `id` is not raised on the border or a hair below it, and is raised a hair above it.
fn border(calculator: &str, id: &str, at: &dyn Fn(f64) -> Vec<(&'static str, String)>, why: &str) {
    for (share, above) in [(1.0, false), (1.0 - HAIR, false), (1.0 + HAIR, true)] {
        let given = at(share);
        for (given, system) in [(given.clone(), System::Us), (switched(calculator, &given), System::Metric)] {
            let said = said(calculator, &given, system);
            assert_eq!(said.iter().any(|other| other == id), above, "{why}, {share}: {given:?}: {said:?}");
        }
    }
}

fn of(amount: f64, unit: &str) -> String {
    format!("{} {unit}", exact(amount).replace(',', ""))
}

const TOLERANCES: [f64; 14] = [1.0, 1.4, 2.0, 2.5, 3.0, 3.3, 4.9, 5.0, 5.8, 7.0, 7.5, 9.9, 10.0, 14.9];

#[test]
fn exactly_the_tolerance_is_still_within_it() {
    for tolerance in TOLERANCES {
        for base in [1.0, 1.5, 2.0, 2.77, 7.0] {
            // 10,000 ft² at `base` gal/1000 ft².
            for (sign, id) in [(1.0, "usage-check.over"), (-1.0, "usage-check.under")] {
                let at = |share: f64| {
                    vec![
                        ("area", "10000 ft2".to_owned()),
                        ("application-rate", of(base, "gal/1000 ft2")),
                        ("volume-used", of(10.0 * base * (1.0 + sign * tolerance * share / 100.0), "gal")),
                        ("tolerance", of(tolerance, "%")),
                    ]
                };
                border("usage-check", id, &at, &format!("{base} gal at {tolerance} %"));
            }
        }
    }
}

/// Two values on either side of their mean, each `apart` percent away from it.
fn pair(mean: f64, apart: f64) -> [f64; 2] {
    [mean * (1.0 + apart / 100.0), mean * (1.0 - apart / 100.0)]
}

#[test]
fn two_runs_agree_and_nozzles_are_even_up_to_the_tolerance() {
    for tolerance in TOLERANCES {
        let runs = |share: f64| {
            let [one, other] = pair(12.0, tolerance * share);
            vec![
                ("used.1.volume", of(one, "gal")),
                ("used.1.area", "6000 ft2".to_owned()),
                ("used.2.volume", of(other, "gal")),
                ("used.2.area", "6000 ft2".to_owned()),
                ("tolerance", of(tolerance, "%")),
            ]
        };
        border("application-rate", "application-rate.disagree", &runs, &format!("runs at {tolerance} %"));
        let nozzles = |share: f64| {
            let [one, other] = pair(40.0, tolerance * share);
            vec![
                ("nozzle.1.volume", of(one, "fl oz")),
                ("nozzle.2.volume", of(other, "fl oz")),
                ("nozzle-time", "30 s".to_owned()),
                ("tolerance", of(tolerance, "%")),
            ]
        };
        border("catch-test", "catch-test.nozzle-low", &nozzles, &format!("nozzles at {tolerance} %"));
        let worn = |share: f64| {
            vec![
                ("rated-flow", "0.4 gal/min".to_owned()),
                ("catch-time", "60 s".to_owned()),
                ("nozzle.1.volume", of(51.2 * (1.0 + tolerance * share / 100.0), "fl oz")),
                ("wear-limit", of(tolerance, "%")),
            ]
        };
        border("nozzle-wear", "nozzle-wear.verdict.worn", &worn, &format!("a tip at {tolerance} %"));
    }
}

/// Rates and maxima as labels print them.
const MAXIMA: [f64; 8] = [0.1, 0.3, 1.1, 1.5, 1.8, 2.9, 3.3, 87.12];

#[test]
fn exactly_the_labels_maximum_is_no_danger_and_a_hair_more_is() {
    for most in MAXIMA {
        let dose = |share: f64| {
            vec![
                ("tank", "200 gal".to_owned()),
                ("application-rate", "1.7 gal/1000 ft2".to_owned()),
                ("product.1.rate", of(most * share, "fl oz/1000 ft2")),
                ("product.1.label-max", of(most * 43.56, "fl oz/acre")),
            ]
        };
        border("tank-mix", "tank-mix.over-label-max", &dose, &format!("{most} fl oz"));
        let used = |share: f64| {
            vec![
                ("area", "7000 ft2".to_owned()),
                ("application-rate", "1.3 gal/1000 ft2".to_owned()),
                ("volume-used", of(9.1 * 1.2 * share, "gal")),
                ("product.1.rate", of(most, "fl oz/1000 ft2")),
                ("product.1.label-max", of(most * 1.2, "fl oz/1000 ft2")),
            ]
        };
        border("usage-check", "usage-check.over-label-max", &used, &format!("{most} fl oz at 20 % more"));
        let nitrogen = |share: f64| {
            vec![
                ("nitrogen", "16 %".to_owned()),
                ("spread", of(most * share / 0.16, "lb/1000 ft2")),
                ("limit.1.rate", of(most, "lb/1000 ft2")),
                ("limit.1.nutrient", "nitrogen".to_owned()),
            ]
        };
        if most < 50.0 {
            border("nutrient", "nutrient.over-limit", &nitrogen, &format!("{most} lb"));
        }
    }
}

#[test]
fn exactly_the_least_water_is_enough_and_a_hair_less_is_not() {
    for least in [0.5, 0.7, 1.1, 2.3, 3.0] {
        let water = |share: f64| {
            vec![
                ("tank", "200 gal".to_owned()),
                ("application-rate", of(least / share, "gal/1000 ft2")),
                ("label-volume-min", of(least * 43.56, "gal/acre")),
            ]
        };
        border("tank-mix", "tank-mix.under-label-volume", &water, &format!("{least} gal"));
    }
}

#[test]
fn a_full_tank_is_one_tank_and_a_hair_more_is_two() {
    for (tank, tanks) in [(200.0, 3.0), (150.0, 7.0), (4.0, 1.0), (33.3, 9.0)] {
        for (share, wanted) in [(1.0, tanks), (1.0 - HAIR, tanks), (1.0 + HAIR, tanks + 1.0)] {
            let given = vec![
                ("volume.1.rate", "1.1 gal/1000 ft2".to_owned()),
                ("volume.2.rate", "2 gal/1000 ft2".to_owned()),
                ("tank", of(tank, "gal")),
                ("area", of(tank * tanks * share / 1.1 * 1000.0, "ft2")),
            ];
            for (given, system) in [(given.clone(), System::Us), (switched("carrier-volume", &given), System::Metric)] {
                let calculator = calculator("carrier-volume").expect("known");
                let raw = RawInputs(given.iter().map(|(name, text)| ((*name).to_owned(), text.clone())).collect());
                let worked = work(calculator, &raw, system).expect("it works");
                assert_eq!(worked.si_at("volume-1-refills"), Some(wanted - 1.0), "{given:?}");
            }
        }
    }
}

#[test]
fn the_published_borders_are_judged_alike() {
    // 10.14 gal for 10 gal is 1.4 % more, exactly; 0.058 of a lawn is 5.8 %.
    for (used, tolerance) in [("10.14 gal", "1.4 %"), ("10.58 gal", "5.8 %"), ("9.42 gal", "5.8 %")] {
        let given = [
            ("area", "10000 ft2"),
            ("application-rate", "1 gal/1000 ft2"),
            ("volume-used", used),
            ("tolerance", tolerance),
        ];
        let given: Vec<(&str, String)> = given.iter().map(|(name, text)| (*name, (*text).to_owned())).collect();
        let said = said("usage-check", &given, System::Us);
        assert!(said.contains(&"usage-check.verdict.within".to_owned()), "{used}: {said:?}");
    }
}
