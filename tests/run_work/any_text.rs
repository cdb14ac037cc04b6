//! No text whatever, in any place, makes the command or a calculator panic.

use crate::{inputs_of, tankside};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::System;

/// Texts that nobody means, or that somebody does on purpose.
const ODD: &[&str] = &[
    "",
    " ",
    "\t",
    "\n",
    "=",
    "==",
    "%",
    "%%",
    "-",
    "--",
    "−",
    "+",
    ".",
    ",",
    "/",
    "//",
    ":",
    "::",
    ";",
    "'",
    "\"",
    "`",
    "\\",
    "|",
    "&",
    "&amp;",
    "<",
    ">",
    "<b>",
    "<script>alert(1)</script>",
    "$HOME",
    "$(ls)",
    "{}",
    "{{7*7}}",
    "[]",
    "()",
    "null",
    "true",
    "None",
    "undefined",
    "NaN",
    "nan ft",
    "NaN gal",
    "inf",
    "-inf gal",
    "Infinity s",
    "1e309",
    "1e309 gal",
    "1e5 gal",
    "-1e309 s",
    "0x10 gal",
    "1_000 gal",
    "1/0 gal",
    "0/0 gal",
    "1//2",
    "1//2 gal",
    "1/2/3 gal",
    "1 1/ gal",
    "1 /2 gal",
    "½",
    "½½ gal",
    "1½ gal",
    "3⅓ gal",
    "⅐ gal",
    "-5 gal",
    "- 5 gal",
    "--5 gal",
    "+5 gal",
    "5-5 gal",
    "5..5 gal",
    ".5. gal",
    "5.5.5 gal",
    "1,45 gal",
    "1,000,00 gal",
    ",5 gal",
    "5, gal",
    "5,gal",
    "1.000,5 gal",
    "5 gal 5",
    "5 5 gal",
    "5 gal gal",
    "gal 5",
    "gal",
    "5gal",
    "5 GAL",
    "5 gAl",
    "5 gal.",
    "5 gal ,",
    "5 gal/",
    "5 gal//acre",
    "5 gal/0 ft2",
    "5 gal/1000",
    "5 gal/acre/acre/acre/acre",
    "5 /acre",
    "5 per acre",
    "5 per",
    "per",
    "5 gal per per acre",
    "1 gal 2 gal",
    "1 fl oz 2 gal",
    "1 gal 1 qt 1 pt 1 cup 1 fl oz 1 tbsp",
    "1 gal 58 fl oz 3",
    "5 oz",
    "5 oz.",
    "5 oz oz",
    "5 lb 5 oz 5 oz",
    "1:15",
    "1:5",
    "1:60",
    "1:75",
    ":15",
    "1:",
    "1:15:30",
    "-1:15",
    "99999999999:15",
    "1:15.5",
    "1:15.",
    "1:15 min",
    "1:nan",
    "4294967296:00",
    "0:00",
    "0 gal",
    "-0 gal",
    "0.0000000000000000000001 gal",
    "99999999999999999999 gal",
    "5 ft²",
    "5 ft^2",
    "5 ft**2",
    "5 ft3",
    "5 sq sq ft",
    "5 °C",
    "5 µL",
    "5 ㎖",
    "5 ℓ",
    "５ gal",
    "٥ gal",
    "५ gal",
    "五 gal",
    "5\u{a0}gal",
    "5\u{202f}gal",
    "5\u{2009}gal",
    "5\u{200b}gal",
    "5\u{feff}gal",
    "\u{feff}5 gal",
    "5\u{2044}2 gal",
    "5\u{ad} gal",
    "5 g\u{301}al",
    "\u{202e}lag 5",
    "\u{2066}5 gal\u{2069}",
    "جالون 5",
    "5 גלון",
    "5 加仑",
    "5 ガロン",
    "🪣",
    "5 🪣",
    "🧑🏽‍🌾 5 gal",
    "e\u{301}",
    "ﷺ",
    "Ω",
    "ß gal",
    "İ gal",
    "ŉ",
    "\u{1}",
    "\u{7f}",
    "5\u{8}gal",
    "\u{1b}[31m5 gal",
    "5\r\ngal",
    "5\ngal",
    "5\tgal",
    "\u{85}",
    "\u{2028}",
    "\u{e000}",
    "\u{10ffff}",
    "../../etc/passwd",
    "C:\\",
    "http://example.com/5",
    "a=b",
    "a=b&c=d",
    "5 gal&x=1",
    "'; DROP TABLE",
    "\" onload=\"x",
    "{field}",
    "{0}",
    "%s%n",
    "%25",
    "5%",
    "500 %",
    "-5 %",
    "5 % %",
    "5 %/acre",
    "1000 ft2",
    "5 1000 ft2",
    "5 100 gal",
    "100 100 gal",
    "5 100",
    "5 k ft2",
    "1 mph",
    "5 mi/h/h",
    "5 in2",
    "9 9 9 9 9 9 9 9",
    "5 gal, 30 s",
    "5 gal,30 s",
    "volume",
    "volume 5 gal",
    "time 30 s",
    "volume volume 5 gal",
    ", , ,",
    "5 gal, , 30 s",
];

/// All of them, and some that are too long to write down.
fn odd_texts() -> Vec<String> {
    let mut all: Vec<String> = ODD.iter().map(|text| (*text).to_owned()).collect();
    let long = |text: &str, times| text.repeat(times);
    all.extend([long("9", 400), long("9", 70_000), long("½", 2000), long("5 gal ", 20), long("5 gal ", 9000)]);
    all.extend([
        long("🪣", 9000),
        long(" ", 90_000),
        long("/", 5000),
        long("5 ", 40),
        long(".", 81),
        long("e\u{301}", 5000),
    ]);
    all.push(format!("0.{}5 gal", "0".repeat(60)));
    all
}

#[test]
fn no_text_whatever_makes_the_command_panic() {
    let texts = odd_texts();
    assert!(texts.len() >= 200, "{} texts", texts.len());
    for (index, odd) in texts.iter().enumerate() {
        let value = format!("catch.1.volume={odd}");
        let words: Vec<&str> = match index % 4 {
            0 => vec!["catch-test", &value, "catch.1.time=30 s", "--json"],
            1 => vec!["catch-test", "catch=1 gal, 30 s", odd],
            2 => vec!["catch-test", "catch=1 gal, 30 s", "--in", odd],
            _ => vec![odd],
        };
        let output = tankside(&words);
        let said = String::from_utf8_lossy(&output.stderr);
        let code = output.status.code();
        // A text that begins with a hyphen is an option to every command, and it may be `--`.
        assert!(matches!(code, Some(0 | 2)), "{odd:?}: {code:?} {said}");
        assert!(!said.contains("panicked") && !said.contains("RUST_BACKTRACE"), "{odd:?}: {said}");
        assert_eq!(code == Some(2), !said.is_empty(), "{odd:?}: {said}");
    }
}

#[test]
fn no_text_whatever_makes_a_calculator_panic() {
    let mut texts = odd_texts();
    texts.extend(["\0".to_owned(), "5\0gal".to_owned(), "5 gal\0".to_owned()]);
    for calculator in CALCULATORS {
        for (name, _) in inputs_of(calculator) {
            let flat = name.replace(".N.", ".1.");
            for odd in &texts {
                let mut pairs = RawInputs::from_pairs(calculator.example).0;
                pairs.retain(|(other, _)| *other != flat);
                pairs.push((flat.clone(), odd.clone()));
                let given = RawInputs(pairs).opened(calculator);
                if let Ok(worked) = work(calculator, &given, System::Us) {
                    for found in &worked.results {
                        assert!(
                            worked.si_at(&found.name()).is_none_or(f64::is_finite),
                            "{} {flat}={odd}",
                            calculator.id
                        );
                    }
                }
            }
        }
    }
}
