//! The table of units: every row of the core's own table with its exact size, and the constants of the trade as they
//! follow from it.

use super::work::SourceRow;
use serde::Serialize;
use tankside_calc::quantity::exact::Exact;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::quantity::units::{ATOMS, Atom, atom};
use tankside_calc::text::figures::shown;
use tankside_calc::words::phrases::Phrases;

/// What the definitions rest on.
pub(super) const AUTHORITY: &[SourceRow] = &[
    SourceRow {
        title: "SP 811, Guide for the Use of the International System of Units, appendix B",
        publisher: "NIST, 2008",
        url: "https://www.nist.gov/pml/special-publication-811/nist-guide-si-appendix-b-conversion-factors/nist-guide-si-appendix-b8",
    },
    SourceRow {
        title: "Handbook 44, appendix C, General Tables of Units of Measurement",
        publisher: "NIST (archived copy)",
        url: "https://www.webharvest.gov/peth04/20041031170158/http://ts.nist.gov/ts/htdocs/230/235/appxc/appxc.htm",
    },
];

/// Units that measure the same thing.
#[derive(Serialize)]
pub(super) struct Measured {
    id: &'static str,
    name: String,
    rows: Vec<UnitRow>,
}

#[derive(Serialize)]
struct UnitRow {
    symbol: &'static str,
    names: String,
    definition: &'static str,
    size: String,
}

/// A constant of the trade.
#[derive(Serialize)]
pub(super) struct Constant {
    value: String,
    exact: String,
    what: String,
    formula: String,
}

/// Every unit, by what it measures, in the order of the core's table.
pub(super) fn table(phrases: &Phrases) -> Vec<Measured> {
    let mut table: Vec<(Option<Kind>, Measured)> = Vec::new();
    for row in &ATOMS {
        let kind = Kind::of(&Unit::of(row.symbol));
        let unit = UnitRow {
            symbol: row.shown,
            names: row.spellings().join(", "),
            definition: row.definition(),
            size: phrases.number(in_si(row, kind)),
        };
        match table.iter_mut().find(|(other, _)| *other == kind) {
            Some((_, group)) => group.rows.push(unit),
            None => {
                let id = kind.map_or("kind.other", Kind::id).trim_start_matches("kind.");
                let name = phrases.get(&format!("site.measured-{id}")).to_owned();
                table.push((kind, Measured { id, name, rows: vec![unit] }));
            }
        }
    }
    table.into_iter().map(|(_, group)| group).collect()
}

/// The exact size in a coherent SI unit; volumes in cm³, which people know as the milliliter.
fn in_si(row: &Atom, kind: Option<Kind>) -> String {
    let (size, unit) = match kind {
        Some(Kind::Length) => (row.size, "m"),
        Some(Kind::Area) => (row.size, "m²"),
        Some(Kind::Volume) => (row.size.of(1_000_000), "cm³"),
        Some(Kind::Time) => (row.size, "s"),
        Some(Kind::Mass) => (row.size, "kg"),
        Some(Kind::Pressure) => (row.size, "Pa"),
        _ => (row.size, ""),
    };
    format!("{} {unit}", exactly(size)).trim_end().to_owned()
}

/// A fraction as a decimal where it ends, else as it is.
fn exactly(size: Exact) -> String {
    decimal(size).unwrap_or_else(|| format!("{} / {}", grouped(size.top.into()), grouped(size.bottom.into())))
}

fn decimal(size: Exact) -> Option<String> {
    let (mut rest, mut places) = (size.bottom, 0);
    let (mut twos, mut fives) = (0_usize, 0_usize);
    while rest % 2 == 0 {
        rest /= 2;
        twos += 1;
    }
    while rest % 5 == 0 {
        rest /= 5;
        fives += 1;
    }
    let mut scaled = u128::from(size.top);
    for _ in 0..twos.max(fives) {
        scaled = scaled.checked_mul(10)?;
        places += 1;
    }
    if rest != 1 {
        return None;
    }
    let digits = format!("{:0>width$}", scaled / u128::from(size.bottom), width = places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    let whole = grouped(whole.parse().ok()?);
    Some(if part.is_empty() { whole } else { format!("{whole}.{part}") })
}

/// Commas every three places from 10,000 up, as everywhere on these pages.
fn grouped(whole: u128) -> String {
    let text = whole.to_string();
    if text.len() < 5 {
        return text;
    }
    let mut out = String::new();
    for (index, digit) in text.chars().enumerate() {
        if index > 0 && (text.len() - index).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// The constants that handbooks print, each from the units it stands for.
fn trade() -> Vec<(&'static str, Exact)> {
    let size = |symbol: &str| atom(symbol).size;
    let (acre, minute, mph) = (size("acre"), size("min"), size("mi").over(size("h")));
    // How many times the area that a spray one unit wide covers in a minute at one mile an hour goes into the area of
    // the rate.
    let from_flow = |area: Exact, width: &str| area.over(mph.times(minute).times(size(width)));
    let ounces = size("gal").over(size("fl oz"));
    vec![
        ("acre", acre.over(size("ft2"))),
        ("thousands", acre.over(size("1000 ft2"))),
        ("ounces", ounces),
        ("cubic-inches", size("gal").over(size("in3"))),
        ("dry-ounces", size("lb").over(size("oz"))),
        ("pace", mph.over(size("ft").over(minute))),
        ("acre-inches", from_flow(acre, "in")),
        ("acre-feet", from_flow(acre, "ft")),
        ("thousand-inches", from_flow(size("1000 ft2"), "in")),
        ("plot", acre.over(ounces).over(size("ft2"))),
        ("hectare-meters", size("ha").over(size("km").over(size("h")).times(minute).times(size("m")))),
    ]
}

/// The constants as the page shows them.
pub(super) fn constants(phrases: &Phrases) -> Vec<Constant> {
    let row = |(id, value): (&str, Exact)| {
        let exact = exactly(value);
        // Four figures are what handbooks print.
        let short = if exact.len() > 7 { shown(value.value(), 4) } else { exact.clone() };
        let exact = phrases.number(exact);
        let short = phrases.number(short);
        Constant {
            what: phrases.get(&format!("site.constant-{id}")).to_owned(),
            formula: phrases.fill_with(&format!("site.constant-{id}-use"), &[("value", &short)]),
            exact: if short == exact { String::new() } else { exact },
            value: short,
        }
    };
    trade().into_iter().map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_constants_of_the_trade_follow_from_the_units() {
        // Printed values: Measurements, Conversions, and Formulas, Pesticide Environmental Stewardship (43,560; 128;
        // 231; 43.56); Math for Pesticide Applicators, University of Nebraska-Lincoln (88); 60 Ways no. 55, University
        // of Illinois Extension (5940); Bulletin 817, Ohio State University Extension (1/128 acre). 495, 136.4 and 600
        // follow by arithmetic: 5940 / 12, 5940 / 43.56, 10,000 / (1000 / 60).
        let have: Vec<(&str, String)> = trade().into_iter().map(|(id, value)| (id, exactly(value))).collect();
        let want = [
            ("acre", "43,560"),
            ("thousands", "43.56"),
            ("ounces", "128"),
            ("cubic-inches", "231"),
            ("dry-ounces", "16"),
            ("pace", "88"),
            ("acre-inches", "5940"),
            ("acre-feet", "495"),
            ("thousand-inches", "1500 / 11"),
            ("plot", "340.3125"),
            ("hectare-meters", "600"),
        ];
        assert_eq!(have, want.map(|(id, text)| (id, text.to_owned())));
    }

    #[test]
    fn sizes_are_exact_and_written_out() {
        // NIST SP 811, appendix B, and Handbook 44, appendix C.
        let size = |symbol: &str| in_si(atom(symbol), Kind::of(&Unit::of(symbol)));
        for (symbol, text) in [
            ("ft", "0.3048 m"),
            ("mi", "1609.344 m"),
            ("acre", "4046.8564224 m²"),
            ("gal", "3785.411784 cm³"),
            ("fl oz", "29.5735295625 cm³"),
            ("imp gal", "4546.09 cm³"),
            ("lb", "0.45359237 kg"),
            ("h", "3600 s"),
            ("bar", "100,000 Pa"),
            ("%", "0.01"),
        ] {
            assert_eq!(size(symbol), text);
        }
        let (top, bottom) = (8_896_443_230_521.0, 1_290_320_000.0);
        assert_eq!(size("psi"), "8,896,443,230,521 / 1,290,320,000 Pa");
        // 6.894757 E+03 in appendix B.
        assert!((top / bottom - 6894.757_f64).abs() < 5e-4);
    }

    #[test]
    fn every_unit_is_in_the_table_once() {
        let phrases = crate::catalogue::first_phrases().clone();
        let table = table(&phrases);
        assert_eq!(table.iter().map(|group| group.rows.len()).sum::<usize>(), ATOMS.len());
        for group in &table {
            assert!(!group.name.starts_with("site."), "no phrase {}", group.name);
        }
        for constant in constants(&phrases) {
            assert!(!constant.what.starts_with("site.") && !constant.formula.contains('{'), "{}", constant.what);
        }
    }
}
