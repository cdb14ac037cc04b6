//! What a calculator's doc comment says of its inputs, against the declaration that the core goes by.
//!
//! A line of `# Inputs` reads: - `name` (units): what it is. Limits, usual range; how finely it is read; whether it may
//! be left out. Names that share all of that share a line. Everything but "what it is" follows from the declaration.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use tankside_calc::calculation::declare::{Calculator, FormItem, Group, Holds, Input, Need};
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::card::CARD;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::text::figures::exact;

/// A number as prose has it: 1000, but 10,000.
fn number(value: f64) -> String {
    let text = exact(value);
    if value.abs() < 10_000.0 { text.replace(',', "") } else { text }
}

/// `low to high unit`, or `low unit` without a second number.
fn measure(low: f64, high: Option<f64>, unit: &Unit) -> String {
    let high = high.map(|high| format!(" to {}", number(high))).unwrap_or_default();
    format!("{}{high} {}", number(low), unit.shown().replace('\u{a0}', " ")).trim_end().to_owned()
}

fn one_of(words: &[&str]) -> String {
    words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(" or ")
}

/// What is in parentheses after the name: the units, or what else the input holds.
fn units(input: &Input) -> String {
    match input.holds {
        Holds::Quantity(_) => {
            let mut units =
                [input.units.us, input.units.metric].map(|unit| unit.shown().replace('\u{a0}', " ")).to_vec();
            units.dedup();
            if units == [""] { "a number".to_owned() } else { units.join(" or ") }
        }
        Holds::Count => "a whole number".to_owned(),
        Holds::Choice(words) => one_of(words),
        Holds::Name => "a name".to_owned(),
        Holds::Unit => "a unit".to_owned(),
    }
}

/// The sentence at the end: limits, usual range, how finely it is read, whether it may be left out.
fn facts(input: &Input) -> String {
    let mut facts = Vec::new();
    if let Some(bounds) = input.bounds {
        let start = if bounds.positive { "above " } else { "" };
        let mut text = format!("{start}{}", measure(bounds.hard.0, Some(bounds.hard.1), &bounds.unit));
        if bounds.plausible != bounds.hard {
            text += &format!(", usually {}", measure(bounds.plausible.0, Some(bounds.plausible.1), &bounds.unit));
        }
        facts.push(text);
    } else if matches!(input.holds, Holds::Quantity(_)) {
        facts.push("no limits declared".to_owned());
    }
    if let Some((us, metric)) = &input.read_to {
        let mut both = [us, metric].map(|(amount, unit)| measure(*amount, None, unit)).to_vec();
        both.dedup();
        facts.push(format!("read to {}", both.join(" or ")));
    }
    facts.push(match (input.need, input.holds) {
        (Need::Required, _) => "required".to_owned(),
        (Need::Optional, _) => "optional".to_owned(),
        (Need::Default(word), Holds::Choice(_)) => format!("`{word}` if left out"),
        (Need::Default(text), _) => format!("{text} if left out"),
    });
    let text = facts.join("; ");
    let first = text.chars().next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    format!(" {first}{}.", &text[text.chars().next().map_or(0, char::len_utf8)..])
}

fn rows(group: &Group) -> String {
    format!("{} to {} rows", group.least, group.most)
}

/// Every input and group by name, with what is in parentheses and the sentence at the end.
fn declared(calculator: &Calculator) -> BTreeMap<String, (String, String)> {
    let mut all = BTreeMap::new();
    let mut put = |name: String, input: &Input| all.insert(name, (units(input), facts(input)));
    for entry in calculator.inputs {
        if let FormItem::One(input) = entry {
            put(input.name.to_owned(), input);
        } else if let FormItem::Many(group) = entry {
            group.fields.iter().for_each(|field| _ = put(format!("{}.{}", group.name, field.name), field));
        }
    }
    for entry in calculator.inputs {
        if let FormItem::Many(group) = entry {
            all.insert(group.name.to_owned(), (rows(group), String::new()));
        }
    }
    all
}

/// The lines of `# Inputs` in a source, each whole.
fn stated(source: &str) -> Vec<String> {
    let docs = source.lines().skip_while(|line| *line != "/// # Inputs").skip(1);
    let docs = docs.take_while(|line| line.starts_with("///") && !line.starts_with("/// # "));
    let mut lines: Vec<String> = Vec::new();
    for line in docs.map(|line| line.trim_start_matches('/')) {
        match (line.trim(), lines.last_mut()) {
            (text, _) if text.starts_with("- `") => lines.push(text.to_owned()),
            (text, Some(last)) if line.starts_with("   ") => *last += &format!(" {text}"),
            _ => {}
        }
    }
    lines
}

/// What is wrong with the lines of a calculator: an input without one, a name that is no input, anything that the
/// declaration says otherwise.
fn wrong(calculator: &Calculator, source: &str) -> Vec<String> {
    let mut declared = declared(calculator);
    let mut wrong = Vec::new();
    for line in stated(source) {
        let (names, rest) = line[2..].split_once(" (").unwrap_or((&line[2..], ""));
        for name in names.split(", ").map(|name| name.trim_matches('`')) {
            let Some((units, facts)) = declared.remove(name) else {
                wrong.push(format!("{}: `{name}` is no input, or has two lines", calculator.id));
                continue;
            };
            let says = rest.strip_prefix(&format!("{units}): ")).and_then(|rest| rest.strip_suffix(facts.as_str()));
            if !says.is_some_and(|says| says.len() > 3 && says.ends_with('.')) {
                wrong.push(format!("{}: write - `{name}` ({units}): what it is.{facts}", calculator.id));
            }
        }
    }
    let left = declared.into_iter();
    wrong.extend(left.map(|(name, (units, facts))| {
        format!("{}: there is no line - `{name}` ({units}): what it is.{facts}", calculator.id)
    }));
    wrong
}

fn source(calculator: &Calculator) -> String {
    let file = match calculator.id {
        "card" => "calc-wasm/src/card/mod.rs".to_owned(),
        id => format!("calc-wasm/src/calculators/{}.rs", id.replace('-', "_")),
    };
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).expect("a calculator has a file of its own")
}

#[test]
fn every_doc_comment_states_the_inputs_as_they_are_declared() {
    let all = CALCULATORS.iter().copied().chain([&CARD]);
    let wrong: Vec<String> = all.flat_map(|calculator| wrong(calculator, &source(calculator))).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_line_that_states_something_else_is_found() {
    let catch = CALCULATORS.iter().find(|calculator| calculator.id == "catch-test").expect("it is in the registry");
    let good = source(catch);
    for (from, to) in [
        ("Above 0 to 50 gal", "Above 0 to 60 gal"),
        ("usually 0.125 to 5 gal", "usually 0.25 to 5 gal"),
        ("read to 1 fl oz or 10 mL", "read to 1 fl oz or 20 mL"),
        ("(fl oz or L)", "(gal or L)"),
        ("10 % if left out", "5 % if left out"),
        ("`catch` (0 to 12 rows)", "`catch` (0 to 10 rows)"),
        ("`nozzle-time`", "`nozzle-times`"),
    ] {
        assert!(good.contains(from), "{from}");
        assert!(!wrong(catch, &good.replacen(from, to, 1)).is_empty(), "{to} is not found");
    }
}
