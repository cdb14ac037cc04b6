//! The formula sheet for an exam, formula by formula: what is printed, worked out as it is printed, gives what the
//! calculator gives.

mod formula;
mod metric;
mod rows;

use formula::worked_out;
use metric::METRIC;
use rows::{ROWS, Row};
use std::collections::BTreeMap;
use tankside::embedded::{CONTENT, text};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::quantity::system::System;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::work;

/// A constant of the sheet is a decimal or a share of an acre, rounded as candidates learn it: this much at most.
const ROUNDED: f64 = 0.001;

/// Title, formula, constant and calculator of every row of the sheet as it is embedded; of metric units only those that
/// read otherwise.
fn printed(system: System) -> Vec<(String, String, String, String)> {
    let sheet: serde_yaml::Value =
        serde_yaml::from_str(text(&CONTENT, "exam-sheet/en.yaml")).expect("the sheet is YAML");
    let rows = sheet["groups"]
        .as_sequence()
        .expect("groups")
        .iter()
        .flat_map(|group| group["rows"].as_sequence().expect("rows"));
    let of = |row: &serde_yaml::Value, name: &str| row[name].as_str().unwrap_or_default().to_owned();
    rows.filter_map(|row| {
        let own = if system == System::Us { row } else { row.get("metric")? };
        let title = if own.get("title").is_some() { own } else { row };
        Some((of(title, "title"), of(own, "formula"), of(own, "constant"), of(row, "of")))
    })
    .collect()
}

fn close(found: f64, right: f64, within: f64, what: &str) {
    assert!((found - right).abs() <= within * right.abs(), "{what}: {found} as printed, {right} as calculated");
}

#[test]
fn every_formula_of_the_exam_sheet_as_printed_gives_what_the_calculator_gives() {
    hold_against_calculators(ROWS, System::Us);
    hold_against_calculators(METRIC, System::Metric);
}

fn hold_against_calculators(rows: &[Row], system: System) {
    let printed = printed(system);
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for Row(title, formula, names, given, result, unit) in rows {
        let (_, whole, _, of) = printed.iter().find(|row| row.0 == *title).unwrap_or_else(|| panic!("no row {title}"));
        assert!(whole.contains(formula), "{title}: {whole} does not print {formula}");
        *seen.entry(title).or_default() += 1;
        let found = worked_out(formula, names).unwrap_or_else(|left| panic!("{title}: {left}"));
        let found_of = calculator(of).unwrap_or_else(|| panic!("{title}: no calculator {of}"));
        let worked = work(found_of, &RawInputs::from_pairs(given), system)
            .unwrap_or_else(|problems| panic!("{title}: {problems:?}"));
        let right = match *title {
            // At 25 % a gallon of 9.6 lb holds 2.4 lb: 2 lb/acre take 2 ÷ 2.4 gal; a liter of 1.15 kg likewise.
            "Weight of a liquid" => {
                let per_area = system.pick("gal/acre", "L/ha");
                let volume = worked.value_in("product-rate", per_area).expect("a rate");
                close(2.0 / (found * 0.25), volume, 1e-9, title);
                found
            }
            _ => worked.value_in(result, unit).unwrap_or_else(|| panic!("{title}: no {result} in {unit}")),
        };
        let exact = !["1/128 acre", "Circle; ellipse"].contains(title);
        close(found, right, if exact { 1e-9 } else { ROUNDED }, title);
    }
    for (title, formula, ..) in &printed {
        let ways = if title.contains(';') { 2 } else { 1 };
        assert_eq!(seen.get(title.as_str()), Some(&ways), "{title}: {formula} is not held against its calculator");
    }
}

#[test]
fn every_constant_of_the_exam_sheet_follows_from_the_definitions_of_the_units() {
    let size = |unit: &str| Unit::parse(unit).unwrap_or_else(|| panic!("no unit {unit}")).size();
    let per = |large: &str, small: &str| size(large) / size(small);
    let all = printed(System::Us).into_iter().chain(printed(System::Metric));
    let constants: Vec<String> = all.map(|row| row.2).filter(|text| !text.is_empty()).collect();
    let follows: &[(&str, &[(f64, f64)])] = &[
        ("128 fl oz = 1 gal", &[(128.0, per("gal", "fl oz"))]),
        ("88 ft/min = 1 mph", &[(88.0, per("mph", "ft/min"))]),
        ("1 acre = 43,560 ft²", &[(43_560.0, per("acre", "ft2"))]),
        ("43,560 ÷ 128 = 340.3 ft²", &[(340.3, per("acre", "ft2") / per("gal", "fl oz"))]),
        // gal/min over mph × in, in gal/acre: an acre in inches of width and miles an hour of minutes.
        (
            "GPA: gal/acre. GPM: gal/min of one nozzle. 5940 = 43,560 × 12 ÷ 88",
            &[(5940.0, per("acre", "ft2") * per("ft", "in") / per("mph", "ft/min")), (5940.0, 43_560.0 * 12.0 / 88.0)],
        ),
        ("495 = 43,560 ÷ 88", &[(495.0, per("acre", "ft2") / per("mph", "ft/min")), (495.0, 43_560.0 / 88.0)]),
        // Water at 60 °F; NIST Handbook 44, Appendix C: 8.33 to 8.34 lb/gal by temperature.
        ("water 8.34 lb/gal", &[(8.34, 0.99904 * per("gal", "mL") / per("lb", "g"))]),
        ("1000 mL = 1 L", &[(1000.0, per("L", "mL"))]),
        ("3.6 km/h = 1 m/s", &[(3.6, per("m/s", "km/h"))]),
        ("1 ha = 10,000 m²", &[(10_000.0, per("ha", "m2"))]),
        (
            "600 = 10,000 × 60 ÷ 1000",
            &[(600.0, per("ha", "m2") / per("km/h", "m/min")), (600.0, 10_000.0 * 60.0 / 1000.0)],
        ),
        ("L/min of one nozzle. 60,000 = 600 × 100", &[(60_000.0, 600.0 * per("m", "cm"))]),
        ("water 1 kg/L", &[(1.0, 0.99904)]),
        ("π = 3.14, π ÷ 4 = 0.785", &[(314.0 / 100.0, std::f64::consts::PI), (0.785, std::f64::consts::FRAC_PI_4)]),
    ];
    for constant in &constants {
        assert!(constant.parse::<f64>().is_err(), "{constant}: the formula has that number; say what it comes from");
        let (_, pairs) = follows
            .iter()
            .find(|(text, _)| text == constant)
            .unwrap_or_else(|| panic!("{constant} follows from nothing"));
        for (printed, defined) in *pairs {
            let rounded = ["340.3", "water", "3.14"].iter().any(|figure| constant.contains(figure));
            close(*printed, *defined, if rounded { ROUNDED } else { 1e-9 }, constant);
        }
    }
    assert!(follows.iter().all(|(text, _)| constants.iter().any(|constant| constant == text)), "{constants:?}");
}

#[test]
fn the_reader_of_formulas_knows_its_signs_and_nothing_else() {
    let value = |formula: &str| worked_out(formula, &[("a", 3.0), ("b c", 4.0)]);
    assert_eq!(value("a + b c × 2"), Ok(11.0));
    assert_eq!(value("(a + b c) × 2²"), Ok(28.0));
    assert_eq!(value("√(a × 3) − 1 ÷ 2 ÷ 2"), Ok(2.75));
    assert_eq!(value("1,000 × a"), Ok(3000.0));
    for bad in ["a × d", "a ×", "(a", "a b c", "* a"] {
        assert!(value(bad).is_err(), "{bad}");
    }
}
