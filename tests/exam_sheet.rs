//! The formula sheet for an exam, formula by formula: what is printed, worked out as it is printed, gives what the
//! calculator gives. The reader of formulas below knows only signs and the names that a row lists.

use std::collections::BTreeMap;
use tankside::embedded::{CONTENT, text};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::quantity::system::System;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::work;

/// One formula of the sheet: its title, the part of what is printed that is worked out, the values of its names, the
/// calculator's inputs, and the result it must come to in a unit.
struct Row(
    &'static str,
    &'static str,
    &'static [(&'static str, f64)],
    &'static [(&'static str, &'static str)],
    &'static str,
    &'static str,
);

/// A constant of the sheet is a decimal or a share of an acre, rounded as candidates learn it: this much at most.
const ROUNDED: f64 = 0.001;

const ROWS: &[Row] = &[
    Row(
        "Nozzle output",
        "fl oz × 60 ÷ (s × 128)",
        &[("fl oz", 186.0), ("s", 61.0)],
        &[("catch.1.volume", "186 fl oz"), ("catch.1.time", "61 s")],
        "nozzle-output",
        "gal/min",
    ),
    Row(
        "Several catches",
        "all fl oz × 60 ÷ (all s × 128)",
        &[("all fl oz", 370.0), ("all s", 121.0)],
        &[
            ("catch.1.volume", "186 fl oz"),
            ("catch.1.time", "61 s"),
            ("catch.2.volume", "184 fl oz"),
            ("catch.2.time", "60 s"),
        ],
        "nozzle-output",
        "gal/min",
    ),
    Row(
        "Another pressure",
        "gal/min₁ × √(psi₂ ÷ psi₁)",
        &[("gal/min₁", 0.4), ("psi₁", 40.0), ("psi₂", 30.0)],
        &[("flow", "0.4 gal/min"), ("pressure", "40 psi"), ("new-pressure", "30 psi")],
        "new-flow",
        "gal/min",
    ),
    Row(
        "Pressure for a target output",
        "psi₁ × (gal/min₂ ÷ gal/min₁)²",
        &[("gal/min₁", 0.4), ("psi₁", 40.0), ("gal/min₂", 0.5)],
        &[("flow", "0.4 gal/min"), ("pressure", "40 psi"), ("wanted-flow", "0.5 gal/min")],
        "needed-pressure",
        "psi",
    ),
    Row(
        "Percent off",
        "(measured − target) ÷ target × 100",
        &[("measured", 0.3125), ("target", 0.3)],
        &[
            ("rated-flow", "0.3 gal/min"),
            ("catch-time", "60 s"),
            ("nozzle.1.volume", "40 fl oz"),
            ("nozzle.2.volume", "40 fl oz"),
        ],
        "mean-wear",
        "%",
    ),
    Row(
        "Speed",
        "ft × 60 ÷ (s × 88)",
        &[("ft", 200.0), ("s", 46.0)],
        &[("run.1.distance", "200 ft"), ("run.1.time", "46 s")],
        "speed",
        "mph",
    ),
    Row(
        "Seconds for a course",
        "ft × 60 ÷ (mph × 88)",
        &[("ft", 200.0), ("mph", 3.5)],
        &[("wanted-speed", "3.5 mph"), ("course.1.length", "200 ft")],
        "course-1-time",
        "s",
    ),
    Row(
        "Area covered",
        "ft walked × ft of pass spacing × 60 ÷ s",
        &[("ft walked", 480.0), ("ft of pass spacing", 4.5), ("s", 123.0)],
        &[("pass.1.length", "120 ft"), ("pass.1.spacing", "4.5 ft"), ("pass.1.passes", "4"), ("pass.1.time", "123 s")],
        "area-rate",
        "ft2/min",
    ),
    Row(
        "Lawn gun",
        "gal/min × 1000 ÷ (ft²/min)",
        &[("gal/min", 2.0), ("ft²/min", 1054.0)],
        &[
            ("timed.1.volume", "2 gal"),
            ("timed.1.catch-time", "60 s"),
            ("timed.1.area", "1054 ft2"),
            ("timed.1.area-time", "60 s"),
        ],
        "application-rate",
        "gal/1000 ft2",
    ),
    Row(
        "Measured lawn",
        "gal used × 1000 ÷ ft²",
        &[("gal used", 10.1), ("ft²", 5000.0)],
        &[("used.1.volume", "10.1 gal"), ("used.1.area", "5000 ft2")],
        "application-rate",
        "gal/1000 ft2",
    ),
    Row(
        "To an acre",
        "gal/1000 ft² × 43.56",
        &[("gal/1000 ft²", 2.02)],
        &[("used.1.volume", "10.1 gal"), ("used.1.area", "5000 ft2")],
        "rate-per-acre",
        "gal/acre",
    ),
    Row(
        "1/128 acre",
        "fl oz caught in the time for 340 ft²",
        &[("fl oz caught in the time for 340 ft²", 86.0)],
        &[("plot.1.area", "340 ft2"), ("plot.1.volume", "86 fl oz")],
        "rate-per-acre",
        "gal/acre",
    ),
    Row(
        "Boom, spacing in inches",
        "5940 × GPM ÷ (mph × in)",
        &[("GPM", 0.4), ("mph", 3.0), ("in", 20.0)],
        &[("nozzle-flow", "0.4 gal/min"), ("speed", "3 mph"), ("spacing", "20 in")],
        "rate",
        "gal/acre",
    ),
    Row(
        "Boom, spacing in feet",
        "495 × GPM ÷ (mph × ft)",
        &[("GPM", 0.4), ("mph", 3.0), ("ft", 1.5)],
        &[("nozzle-flow", "0.4 gal/min"), ("speed", "3 mph"), ("spacing", "1.5 ft")],
        "rate",
        "gal/acre",
    ),
    Row(
        "Nozzle flow needed",
        "GPA × mph × in ÷ 5940",
        &[("GPA", 20.0), ("mph", 3.5), ("in", 20.0)],
        &[("rate", "20 gal/acre"), ("speed", "3.5 mph"), ("spacing", "20 in")],
        "nozzle-flow",
        "gal/min",
    ),
    Row(
        "Another speed",
        "rate₁ × mph₁ ÷ mph₂",
        &[("rate₁", 39.6), ("mph₁", 3.0), ("mph₂", 4.0)],
        &[("nozzle-flow", "0.4 gal/min"), ("speed", "3 mph"), ("spacing", "20 in"), ("new-speed", "4 mph")],
        "new-rate",
        "gal/acre",
    ),
    Row(
        "Area a tank treats",
        "gal in the tank × 1000 ÷ (gal/1000 ft²)",
        &[("gal in the tank", 200.0), ("gal/1000 ft²", 2.2)],
        &[("tank", "200 gal"), ("application-rate", "2.2 gal/1000 ft2")],
        "area-per-tank",
        "ft2",
    ),
    Row(
        "Product by area",
        "label rate per 1000 ft² × ft² ÷ 1000",
        &[("label rate per 1000 ft²", 1.5), ("ft²", 12_000.0)],
        &[("application-rate", "2 gal/1000 ft2"), ("area", "12000 ft2"), ("product.1.rate", "1.5 fl oz/1000 ft2")],
        "product-1-amount",
        "fl oz",
    ),
    Row(
        "Product by volume",
        "label rate per 100 gal × gal ÷ 100",
        &[("label rate per 100 gal", 32.0), ("gal", 150.0)],
        &[("application-rate", "2 gal/1000 ft2"), ("tank", "150 gal"), ("product.1.rate", "32 fl oz/100 gal")],
        "product-1-amount",
        "fl oz",
    ),
    Row(
        "Percent by volume",
        "% × gal × 128 ÷ 100",
        &[("%", 0.5), ("gal", 3.0)],
        &[("mix", "3 gal"), ("wanted", "0.5 %")],
        "product-amount",
        "fl oz",
    ),
    Row(
        "Top-off",
        "tank − left",
        &[("tank", 200.0), ("left", 60.0)],
        &[("tank", "200 gal"), ("left", "60 gal"), ("application-rate", "2 gal/1000 ft2")],
        "mix-to-make",
        "gal",
    ),
    Row(
        "Weight of a liquid",
        "gal × lb/gal",
        &[("gal", 1.0), ("lb/gal", 9.6)],
        &[("ai-wanted", "2 lb/acre"), ("strength", "25 %"), ("density", "9.6 lb/gal")],
        "",
        "",
    ),
    Row(
        "Liquid to active ingredient",
        "lb active ÷ (lb active per gal)",
        &[("lb active", 1.5), ("lb active per gal", 4.0)],
        &[("ai-wanted", "1.5 lb/acre"), ("strength", "4 lb/gal")],
        "product-rate",
        "gal/acre",
    ),
    Row(
        "Dry to active ingredient",
        "lb active × 100 ÷ % active",
        &[("lb active", 1.5), ("% active", 75.0)],
        &[("ai-wanted", "1.5 lb/acre"), ("strength", "75 %")],
        "product-rate",
        "lb/acre",
    ),
    Row(
        "Spreader",
        "lb used × 1000 ÷ (ft long × ft of pass spacing)",
        &[("lb used", 2.4), ("ft long", 100.0), ("ft of pass spacing", 6.0)],
        &[("run.1.weight", "2.4 lb"), ("run.1.length", "100 ft"), ("run.1.spacing", "6 ft")],
        "rate",
        "lb/1000 ft2",
    ),
    Row(
        "Fertilizer for a nutrient",
        "lb of nutrient × 100 ÷ % of nutrient",
        &[("lb of nutrient", 0.75), ("% of nutrient", 24.0)],
        &[("nitrogen", "24 %"), ("target", "0.75 lb/1000 ft2"), ("area", "1000 ft2")],
        "product-for-area",
        "lb",
    ),
    Row(
        "Rectangle; triangle",
        "l × w",
        &[("l", 80.0), ("w", 60.0)],
        &[("rectangle.1.length", "80 ft"), ("rectangle.1.width", "60 ft")],
        "area",
        "ft2",
    ),
    Row(
        "Rectangle; triangle",
        "b × h ÷ 2",
        &[("b", 30.0), ("h", 26.0)],
        &[("triangle.1.base", "30 ft"), ("triangle.1.height", "26 ft")],
        "area",
        "ft2",
    ),
    Row(
        "Trapezoid",
        "(a + b) ÷ 2 × h",
        &[("a", 60.0), ("b", 40.0), ("h", 30.0)],
        &[("trapezoid.1.side-a", "60 ft"), ("trapezoid.1.side-b", "40 ft"), ("trapezoid.1.distance", "30 ft")],
        "area",
        "ft2",
    ),
    Row("Circle; ellipse", "3.14 × r²", &[("r", 12.0)], &[("circle.1.radius", "12 ft")], "area", "ft2"),
    Row(
        "Circle; ellipse",
        "0.785 × l × w",
        &[("l", 30.0), ("w", 20.0)],
        &[("ellipse.1.length", "30 ft"), ("ellipse.1.width", "20 ft")],
        "area",
        "ft2",
    ),
    Row(
        "Offsets",
        "spacing × sum of widths",
        &[("spacing", 10.0), ("sum of widths", 54.0)],
        &[
            ("offset.1.width", "12 ft"),
            ("offset.2.width", "20 ft"),
            ("offset.3.width", "22 ft"),
            ("offset-spacing", "10 ft"),
        ],
        "area",
        "ft2",
    ),
];

/// The same of the rows that read otherwise in metric units.
const METRIC: &[Row] = &[
    Row(
        "Nozzle output",
        "mL × 60 ÷ (s × 1000)",
        &[("mL", 5500.0), ("s", 61.0)],
        &[("catch.1.volume", "5500 mL"), ("catch.1.time", "61 s")],
        "nozzle-output",
        "L/min",
    ),
    Row(
        "Several catches",
        "all mL × 60 ÷ (all s × 1000)",
        &[("all mL", 10_900.0), ("all s", 121.0)],
        &[
            ("catch.1.volume", "5500 mL"),
            ("catch.1.time", "61 s"),
            ("catch.2.volume", "5400 mL"),
            ("catch.2.time", "60 s"),
        ],
        "nozzle-output",
        "L/min",
    ),
    Row(
        "Another pressure",
        "L/min₁ × √(bar₂ ÷ bar₁)",
        &[("L/min₁", 1.5), ("bar₁", 3.0), ("bar₂", 2.0)],
        &[("flow", "1.5 L/min"), ("pressure", "3 bar"), ("new-pressure", "2 bar")],
        "new-flow",
        "L/min",
    ),
    Row(
        "Pressure for a target output",
        "bar₁ × (L/min₂ ÷ L/min₁)²",
        &[("L/min₁", 1.5), ("bar₁", 3.0), ("L/min₂", 1.9)],
        &[("flow", "1.5 L/min"), ("pressure", "3 bar"), ("wanted-flow", "1.9 L/min")],
        "needed-pressure",
        "bar",
    ),
    Row(
        "Speed",
        "m × 3.6 ÷ s",
        &[("m", 60.0), ("s", 46.0)],
        &[("run.1.distance", "60 m"), ("run.1.time", "46 s")],
        "speed",
        "km/h",
    ),
    Row(
        "Seconds for a course",
        "m × 3.6 ÷ (km/h)",
        &[("m", 60.0), ("km/h", 5.5)],
        &[("wanted-speed", "5.5 km/h"), ("course.1.length", "60 m")],
        "course-1-time",
        "s",
    ),
    Row(
        "Area covered",
        "m walked × m of pass spacing × 60 ÷ s",
        &[("m walked", 160.0), ("m of pass spacing", 1.4), ("s", 123.0)],
        &[("pass.1.length", "40 m"), ("pass.1.spacing", "1.4 m"), ("pass.1.passes", "4"), ("pass.1.time", "123 s")],
        "area-rate",
        "m2/min",
    ),
    Row(
        "Lawn gun",
        "L/min × 100 ÷ (m²/min)",
        &[("L/min", 7.6), ("m²/min", 98.0)],
        &[
            ("timed.1.volume", "7.6 L"),
            ("timed.1.catch-time", "60 s"),
            ("timed.1.area", "98 m2"),
            ("timed.1.area-time", "60 s"),
        ],
        "application-rate",
        "L/100 m2",
    ),
    Row(
        "Measured lawn",
        "L used × 100 ÷ m²",
        &[("L used", 38.0), ("m²", 465.0)],
        &[("used.1.volume", "38 L"), ("used.1.area", "465 m2")],
        "application-rate",
        "L/100 m2",
    ),
    Row(
        "To a hectare",
        "L/100 m² × 100",
        &[("L/100 m²", 8.0)],
        &[("used.1.volume", "40 L"), ("used.1.area", "500 m2")],
        "application-rate",
        "L/ha",
    ),
    Row(
        "Boom, spacing in centimeters",
        "60,000 × L/min ÷ (km/h × cm)",
        &[("L/min", 1.5), ("km/h", 5.0), ("cm", 50.0)],
        &[("nozzle-flow", "1.5 L/min"), ("speed", "5 km/h"), ("spacing", "50 cm")],
        "rate",
        "L/ha",
    ),
    Row(
        "Boom, spacing in meters",
        "600 × L/min ÷ (km/h × m)",
        &[("L/min", 1.5), ("km/h", 5.0), ("m", 0.5)],
        &[("nozzle-flow", "1.5 L/min"), ("speed", "5 km/h"), ("spacing", "0.5 m")],
        "rate",
        "L/ha",
    ),
    Row(
        "Nozzle flow needed",
        "L/ha × km/h × m ÷ 600",
        &[("L/ha", 200.0), ("km/h", 5.5), ("m", 0.5)],
        &[("rate", "200 L/ha"), ("speed", "5.5 km/h"), ("spacing", "0.5 m")],
        "nozzle-flow",
        "L/min",
    ),
    Row(
        "Another speed",
        "rate₁ × km/h₁ ÷ (km/h₂)",
        &[("rate₁", 360.0), ("km/h₁", 5.0), ("km/h₂", 6.0)],
        &[("nozzle-flow", "1.5 L/min"), ("speed", "5 km/h"), ("spacing", "50 cm"), ("new-speed", "6 km/h")],
        "new-rate",
        "L/ha",
    ),
    Row(
        "Area a tank treats",
        "L in the tank × 100 ÷ (L/100 m²)",
        &[("L in the tank", 750.0), ("L/100 m²", 9.0)],
        &[("tank", "750 L"), ("application-rate", "9 L/100 m2")],
        "area-per-tank",
        "m2",
    ),
    Row(
        "Product by area",
        "label rate per 100 m² × m² ÷ 100",
        &[("label rate per 100 m²", 45.0), ("m²", 1200.0)],
        &[("application-rate", "8 L/100 m2"), ("area", "1200 m2"), ("product.1.rate", "45 mL/100 m2")],
        "product-1-amount",
        "mL",
    ),
    Row(
        "Product by volume",
        "label rate per 100 L × L ÷ 100",
        &[("label rate per 100 L", 250.0), ("L", 600.0)],
        &[("application-rate", "8 L/100 m2"), ("tank", "600 L"), ("product.1.rate", "250 mL/100 L")],
        "product-1-amount",
        "mL",
    ),
    Row(
        "Percent by volume",
        "% × L × 1000 ÷ 100",
        &[("%", 0.5), ("L", 12.0)],
        &[("mix", "12 L"), ("wanted", "0.5 %")],
        "product-amount",
        "mL",
    ),
    Row(
        "Weight of a liquid",
        "L × kg/L",
        &[("L", 1.0), ("kg/L", 1.15)],
        &[("ai-wanted", "2 kg/ha"), ("strength", "25 %"), ("density", "1.15 kg/L")],
        "",
        "",
    ),
    Row(
        "Liquid to active ingredient",
        "g active ÷ (g active per L)",
        &[("g active", 1500.0), ("g active per L", 480.0)],
        &[("ai-wanted", "1500 g/ha"), ("strength", "480 g/L")],
        "product-rate",
        "L/ha",
    ),
    Row(
        "Dry to active ingredient",
        "kg active × 100 ÷ % active",
        &[("kg active", 1.5), ("% active", 75.0)],
        &[("ai-wanted", "1.5 kg/ha"), ("strength", "75 %")],
        "product-rate",
        "kg/ha",
    ),
    Row(
        "Spreader",
        "kg used × 100 ÷ (m long × m of pass spacing)",
        &[("kg used", 1.1), ("m long", 30.0), ("m of pass spacing", 1.8)],
        &[("run.1.weight", "1.1 kg"), ("run.1.length", "30 m"), ("run.1.spacing", "1.8 m")],
        "rate",
        "kg/100 m2",
    ),
    Row(
        "Fertilizer for a nutrient",
        "kg of nutrient × 100 ÷ % of nutrient",
        &[("kg of nutrient", 0.4), ("% of nutrient", 24.0)],
        &[("nitrogen", "24 %"), ("target", "0.4 kg/100 m2"), ("area", "100 m2")],
        "product-for-area",
        "kg",
    ),
];

/// The value of a formula as printed; `Err` with whatever in it is neither a sign, a number nor a name.
fn worked_out(formula: &str, names: &[(&str, f64)]) -> Result<f64, String> {
    let mut names = names.to_vec();
    names.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
    let mut tokens: Vec<Token> = Vec::new();
    let mut rest = formula.trim_start();
    while let Some(sign) = rest.chars().next() {
        if let Some((name, value)) = names.iter().find(|(name, _)| rest.starts_with(name)) {
            tokens.push(Token::Number(*value));
            rest = &rest[name.len()..];
        } else if sign.is_ascii_digit() {
            let end = rest.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(rest.len());
            let number = rest[..end].replace(',', "").parse().map_err(|_| rest.to_owned())?;
            tokens.push(Token::Number(number));
            rest = &rest[end..];
        } else if "+−×÷√()²".contains(sign) {
            tokens.push(Token::Sign(sign));
            rest = &rest[sign.len_utf8()..];
        } else {
            return Err(rest.to_owned());
        }
        rest = rest.trim_start();
    }
    let mut at = 0;
    let value = sum(&tokens, &mut at);
    value.filter(|_| at == tokens.len()).ok_or_else(|| format!("{formula}, from sign {at}"))
}

#[derive(Clone, Copy)]
enum Token {
    Number(f64),
    Sign(char),
}

fn take(tokens: &[Token], at: &mut usize, wanted: char) -> bool {
    let there = matches!(tokens.get(*at), Some(Token::Sign(sign)) if *sign == wanted);
    *at += usize::from(there);
    there
}

fn sum(tokens: &[Token], at: &mut usize) -> Option<f64> {
    let mut value = product(tokens, at)?;
    loop {
        if take(tokens, at, '+') {
            value += product(tokens, at)?;
        } else if take(tokens, at, '−') {
            value -= product(tokens, at)?;
        } else {
            return Some(value);
        }
    }
}

fn product(tokens: &[Token], at: &mut usize) -> Option<f64> {
    let mut value = power(tokens, at)?;
    loop {
        if take(tokens, at, '×') {
            value *= power(tokens, at)?;
        } else if take(tokens, at, '÷') {
            value /= power(tokens, at)?;
        } else {
            return Some(value);
        }
    }
}

fn power(tokens: &[Token], at: &mut usize) -> Option<f64> {
    if take(tokens, at, '√') {
        return power(tokens, at).map(f64::sqrt);
    }
    let value = if take(tokens, at, '(') {
        let inner = sum(tokens, at)?;
        if !take(tokens, at, ')') {
            return None;
        }
        inner
    } else {
        let Some(Token::Number(number)) = tokens.get(*at) else { return None };
        *at += 1;
        *number
    };
    Some(if take(tokens, at, '²') { value * value } else { value })
}

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
