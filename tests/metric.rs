//! Somebody who works in metric units meets no US unit on any calculator: not in its form, its working, a result, a
//! default, a limit or a warning.

#[path = "us_units/mod.rs"]
mod us_units;

use tankside_calc::calculation::declare::{Calculator, FormItem, Input, Need};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::switch::switched;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::page::worked::{Options, Show, fragment};
use tankside_calc::quantity::system::System;
use tankside_calc::quantity::typed;
use tankside_calc::text::figures::{RESULT_FIGURES, to_figures};
use tankside_calc::uncertainty::work;
use tankside_calc::words::say;
use us_units::US;

/// Where a US unit stays, and why.
const STAYS: &[(&str, &str, &str)] = &[
    (
        "nozzle-wear",
        "In a code such as 8004",
        "tips carry this code all over the world; its unit is a tenth of a gal/min",
    ),
    ("nozzle-wear", "tenths of a gallon per minute", "the same code, read in the working"),
    ("nozzle-wear", "a tenth of a gallon per minute", "the same code, read in the working"),
    ("nozzle-wear", "0.1 gal/min", "the same code, read in the working"),
    ("nozzle-wear", "gal", "the same, where the units cancel"),
    ("nozzle-wear", "0.1 gallons per minute", "the same, where the units cancel"),
    ("dilution", "8.34 lb of water in a gallon", "the title of a published source"),
    ("unit-conversion", "an acre is 43.56 times 1000 ft²", "this calculator is for going from one system to the other"),
    ("unit-conversion", "A fluid ounce measures liquid", "this calculator is for going from one system to the other"),
];

/// Lines of text in a page's markup; units that a list offers to choose from are left out.
fn lines(markup: &str) -> Vec<String> {
    let mut out = String::new();
    for piece in markup.split('<') {
        let Some((tag, text)) = piece.split_once('>') else { continue };
        let inline = ["b", "strong", "em", "i", "sub", "sup", "wbr", "tspan", "span"].iter().any(|name| {
            let tag = tag.trim_start_matches('/');
            tag == *name || tag.starts_with(&format!("{name} "))
        });
        if !inline {
            out.push('\n');
        }
        if !tag.starts_with("option") {
            out.push_str(text);
        }
    }
    out.replace('\u{a0}', " ").lines().map(str::trim).filter(|line| !line.is_empty()).map(str::to_owned).collect()
}

/// The US units in a line, as words of their own.
fn us_units_in(line: &str) -> Vec<&str> {
    let word = |letter: char| letter.is_alphanumeric() || matches!(letter, '²' | '°' | '-' | '₂');
    line.split(|letter| !word(letter)).filter(|word| US.contains(word)).collect()
}

/// What a page says of these inputs in metric units.
fn said(calculator: &'static Calculator, given: &RawInputs) -> Vec<String> {
    let phrases = tankside::catalogue::phrases("en").ok().flatten().expect("the stock has English");
    let fragment = fragment(calculator, given, &plain(), &phrases);
    let errors = fragment.notes.errors.into_iter().map(|(_, text)| text);
    lines(&[fragment.form, fragment.answer].join("\n")).into_iter().chain(errors).collect()
}

fn metric_alone(calculator: &'static Calculator, given: &RawInputs) -> usize {
    let said = said(calculator, given);
    for line in &said {
        let stays = STAYS.iter().any(|(id, part, _)| {
            let within = part.len() > "gal".len() && line.contains(part);
            [calculator.id, "*"].contains(id) && (within || line == part)
        });
        assert!(
            stays || us_units_in(line).is_empty(),
            "{}: {:?} in `{line}`, of {given:?}",
            calculator.id,
            us_units_in(line)
        );
    }
    said.len()
}

#[test]
fn an_empty_field_asks_for_units_of_the_readers_own() {
    let mut seen = 0;
    for calculator in CALCULATORS {
        for (flat, input) in inputs(calculator) {
            if !matches!(input.need, Need::Required) {
                continue;
            }
            let mut given = RawInputs::from_pairs(calculator.example_metric);
            given.0.retain(|(name, _)| *name != flat);
            seen += metric_alone(calculator, &given);
            // A number that has lost its unit.
            given.0.push((flat, "7".to_owned()));
            seen += metric_alone(calculator, &given);
        }
    }
    assert!(seen > 500, "{seen} lines");
}

#[test]
fn no_example_or_situation_shows_a_us_unit() {
    let mut seen = 0;
    for calculator in CALCULATORS {
        seen += metric_alone(calculator, &RawInputs::from_pairs(calculator.example_metric));
        let situations = tankside::catalogue::situations(calculator.id).expect("a readable file");
        for situation in situations.into_iter().flat_map(|all| all.situations) {
            let given = RawInputs(situation.into_iter().collect());
            // A label's own rate in US units, where the situation is about it, has been switched with the rest.
            seen += metric_alone(calculator, &switched(calculator, &given, System::Metric));
        }
    }
    assert!(seen > 5000, "{seen} lines");
}

/// Flat names of inputs, rows as the first row.
fn inputs(calculator: &'static Calculator) -> Vec<(String, &'static Input)> {
    let of = |item: &'static FormItem| -> Vec<(String, &'static Input)> {
        match item {
            FormItem::One(input) => vec![(input.name.to_owned(), input)],
            FormItem::Many(group) => {
                group.fields.iter().map(|field| (format!("{}.1.{}", group.name, field.name), field)).collect()
            }
        }
    };
    calculator.inputs.iter().flat_map(of).collect()
}

/// A limit is round in the unit that it is said in: 1, 1.5, 2, 3 to 9 times a power of ten.
fn is_round(value: f64) -> bool {
    let digits: String = format!("{value:.6e}").chars().take_while(|letter| *letter != 'e').collect();
    let digits = digits.trim_end_matches('0').trim_end_matches('.');
    value == 0.0 || digits.len() == 1 || digits == "1.5"
}

#[test]
fn limits_are_round_and_what_breaks_them_is_answered_in_metric_units() {
    let (mut round, mut past) = (0, 0);
    for calculator in CALCULATORS {
        for (flat, input) in inputs(calculator) {
            let (Some(limits), Some(declared)) = (input.limits(System::Metric), input.bounds) else { continue };
            let other = limits.unit != declared.unit;
            for (limit, declared_limit) in [
                (limits.hard.0, declared.hard.0),
                (limits.hard.1, declared.hard.1),
                (limits.plausible.0, declared.plausible.0),
                (limits.plausible.1, declared.plausible.1),
            ] {
                assert!(!other || is_round(limit), "{} {flat}: {limit} {}", calculator.id, limits.unit.plain());
                // A person's number, but near the declared one: no limit is halved or doubled.
                let ratio = limit * limits.unit.size() / (declared_limit * declared.unit.size());
                assert!(declared_limit == 0.0 || (0.6..1.6).contains(&ratio), "{} {flat}: {ratio}", calculator.id);
                round += usize::from(other);
            }
            // What is allowed in US units is allowed here, but for the 2 % of a unit rounded.
            let size = limits.unit.size() / declared.unit.size();
            for (own, us) in [(limits.hard, declared.hard), (limits.plausible, declared.plausible)] {
                let wide = own.0 * size <= us.0 + 0.02 * us.0.abs() + 1e-9 && own.1 * size >= us.1 * 0.98 - 1e-9;
                assert!(wide, "{} {flat}: {own:?} is narrower than {us:?}", calculator.id);
            }
            for value in [limits.plausible.1 * 1.01, limits.hard.1 * 1.01, limits.plausible.0 * 0.99, -1.0] {
                let mut given = RawInputs::from_pairs(calculator.example_metric);
                let text = format!("{value} {}", limits.unit.plain());
                match given.0.iter_mut().find(|(name, _)| *name == flat) {
                    Some((_, old)) => *old = text,
                    None => given.0.push((flat.clone(), text)),
                }
                metric_alone(calculator, &given);
                past += 1;
            }
        }
    }
    assert!(round > 200 && past > 400, "{round} limits, {past} inputs past one");
}

#[test]
fn what_is_left_out_counts_as_it_is_shown() {
    let mut seen = 0;
    for calculator in CALCULATORS {
        for (flat, input) in inputs(calculator) {
            let Some(default) = input.kind().and_then(|kind| match input.need {
                Need::Default(text) => typed::read(text, kind, None).ok(),
                _ => None,
            }) else {
                continue;
            };
            let unit = input.unit(System::Metric);
            let shown = say::default_in(&default, &unit);
            // 2.76 bar for 40 psi: the value that is worked with, to the three figures of a result.
            assert_eq!(shown, to_figures(default.si / unit.size(), RESULT_FIGURES), "{} {flat}", calculator.id);
            seen += 1;
        }
    }
    assert!(seen > 10, "{seen} defaults");
    let form = said_form("nozzle-wear", &[("rated-flow", "1.6 L/min")]);
    assert!(form.contains("value=\"2.76\""), "{form}");
}

#[test]
fn what_only_us_practice_asks_for_is_there_by_its_name() {
    let given = RawInputs::from_pairs(&[("rectangle.1.length", "100 m"), ("rectangle.1.width", "40 m")]);
    let calculator = CALCULATORS.iter().find(|one| one.id == "lawn-area").expect("a calculator");
    let worked = work(calculator, &given, System::Metric).expect("a lawn");
    // By hand: 4000 m² are 0.988 acre and 43.06 times 1000 ft².
    let value = |name: &str, unit: &str| worked.value_in(name, unit).expect("a result");
    assert!((value("acres", "acre") - 0.98842).abs() < 1e-4 && (value("thousands", "") - 43.0556).abs() < 1e-3);
    let unasked: Vec<String> = worked.unasked().map(|found| found.name()).collect();
    assert!(!unasked.iter().any(|name| ["acres", "thousands"].contains(&&**name)), "{unasked:?}");
    assert!(unasked.iter().any(|name| name == "hectares"), "{unasked:?}");
}

fn said_form(id: &str, given: &[(&str, &str)]) -> String {
    let calculator = CALCULATORS.iter().find(|one| one.id == id).expect("a calculator");
    let phrases = tankside::catalogue::phrases("en").ok().flatten().expect("the stock has English");
    fragment(calculator, &RawInputs::from_pairs(given), &plain(), &phrases).form
}

fn plain() -> Options<'static> {
    Options {
        name: "a",
        title: "",
        system: System::Metric,
        level: 2,
        show: Show::Everything,
        first: None,
        large: "",
        unfolded: None,
        formed: false,
        brief: false,
    }
}
