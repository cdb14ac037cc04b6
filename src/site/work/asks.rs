//! What a calculator takes, input by input: what is usual, what is refused, how finely it is read.

use serde::{Deserialize, Serialize};
use tankside_calc::calculation::declare::{Bounds, Calculator, FormItem, Holds, Input, Need};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::text::escape::quantities;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::System;

#[derive(Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct InputGroup {
    name: String,
    rows: String,
    inputs: Vec<InputRow>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct InputRow {
    name: String,
    optional: bool,
    facts: Vec<Fact>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Fact {
    name: String,
    text: String,
    /// A sentence instead of a number.
    long: bool,
}

/// The inputs in the order of the form; those of a repeating group are under its name.
pub(crate) fn groups(calculator: &'static Calculator, system: System, phrases: &Phrases) -> Vec<InputGroup> {
    let mut groups: Vec<InputGroup> = Vec::new();
    let mut open = false;
    for item in calculator.inputs {
        match item {
            FormItem::One(input) => {
                if !open {
                    groups.push(InputGroup { name: String::new(), rows: String::new(), inputs: Vec::new() });
                    open = true;
                }
                let row = row(calculator, input, input.name, system, phrases);
                if let Some(group) = groups.last_mut() {
                    group.inputs.push(row);
                }
            }
            FormItem::Many(group) => {
                open = false;
                let limits = [("least", group.least.to_string()), ("most", group.most.to_string())];
                let limits = limits.each_ref().map(|(name, text)| (*name, text.as_str()));
                let key = if group.least == 0 { "site.work-rows-up-to" } else { "site.work-rows" };
                let field = |input: &'static Input| {
                    row(calculator, input, &format!("{}.1.{}", group.name, input.name), system, phrases)
                };
                groups.push(InputGroup {
                    name: phrases.label(&format!("{}.group.{}", calculator.id, group.name)).to_owned(),
                    rows: phrases.fill_with(key, &limits),
                    inputs: group.fields.iter().map(field).collect(),
                });
            }
        }
    }
    groups
}

fn row(
    calculator: &'static Calculator,
    input: &'static Input,
    flat: &str,
    system: System,
    phrases: &Phrases,
) -> InputRow {
    let mut facts = Vec::new();
    let mut add = |key: &str, text: String| {
        let long = text.len() > 36;
        facts.push(Fact { name: phrases.get(key).to_owned(), text: quantities(&text), long });
    };
    let range = |(low, high): (f64, f64), bounds: &Bounds| {
        let (low, high) = (limit(low, bounds, input, system, phrases), limit(high, bounds, input, system, phrases));
        // "15 to 120 s": the unit once, where both have the same.
        let unit = high.trim_start_matches(|letter: char| !letter.is_whitespace());
        let number = low.strip_suffix(unit).unwrap_or(&low);
        phrases.fill_with("range", &[("low", number), ("high", &high)])
    };
    match (input.holds, input.limits(system)) {
        (Holds::Choice(words), _) => {
            let words: Vec<String> = words.iter().map(|word| say::word(calculator, flat, word, phrases)).collect();
            add("site.work-choice", words.join(", "));
        }
        (Holds::Name, _) => add("site.work-takes", phrases.get("site.work-name").to_owned()),
        (Holds::Unit, _) => add("site.work-takes", phrases.get("site.work-unit").to_owned()),
        (Holds::Count, Some(bounds)) => add("site.work-whole", range(bounds.hard, &bounds)),
        (Holds::Quantity(_), Some(bounds)) => {
            add("site.work-usual", range(bounds.plausible, &bounds));
            let takes = if bounds.positive {
                let (least, most) = bounds.hard;
                let (low, high) =
                    (limit(least, &bounds, input, system, phrases), limit(most, &bounds, input, system, phrases));
                phrases.fill_with("site.work-above", &[("low", if least == 0.0 { "0" } else { &low }), ("high", &high)])
            } else {
                range(bounds.hard, &bounds)
            };
            add("site.work-takes", takes);
        }
        (Holds::Quantity(kind), None) => {
            add("site.work-takes", phrases.get(&phrases.in_system(kind.id(), system)).to_owned());
        }
        (Holds::Count, None) => {}
    }
    if let Some((us, metric)) = input.read_to {
        let (amount, unit) = system.pick(us, metric);
        add("site.work-read", say::quantity(amount * unit.size(), &unit, phrases));
    }
    match input.need {
        Need::Required | Need::Optional => {}
        Need::Default(text) => {
            let counts = match input.kind().and_then(|kind| typed::read(text, kind, None).ok()) {
                Some(typed) => {
                    let unit = input.unit(system);
                    say::quantity(say::default_in(&typed, &unit) * unit.size(), &unit, phrases)
                }
                None => say::word(calculator, flat, text, phrases),
            };
            add("site.work-left-out", phrases.fill_with("site.work-default", &[("amount", &counts)]));
        }
    }
    let name = phrases.label(&format!("{}.input.{}", calculator.id, declared(flat))).to_owned();
    InputRow { name, optional: matches!(input.need, Need::Optional), facts }
}

/// `catch.1.volume` is declared as `catch.volume`.
fn declared(flat: &str) -> String {
    flat.replacen(".1.", ".", 1)
}

/// A limit as a person would say it.
fn limit(amount: f64, bounds: &Bounds, input: &Input, system: System, phrases: &Phrases) -> String {
    say::limit(amount, bounds, input, input.kind().unwrap_or(Kind::Number), system, phrases)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_are_shown_as_they_are_read_in_the_field() {
        let phrases = crate::catalogue::first_phrases();
        let bounds = |flat: &str, id: &str| {
            let input =
                tankside_calc::calculators::registry::calculator(id).and_then(|one| one.input(flat)).expect("declared");
            (input, |system| input.limits(system).expect("a quantity has limits"))
        };
        // By hand: 1/8 gal is 16 fl oz, 5 gal is 18.9 L, for which a person would say 20 L, 36,000 s are 10 h.
        let (input, volume) = bounds("catch.volume", "catch-test");
        let usual = |system| {
            let (low, high) = volume(system).plausible;
            [low, high].map(|amount| limit(amount, &volume(system), input, system, phrases))
        };
        assert_eq!(usual(System::Us), ["16 fl oz", "5 gal"]);
        assert_eq!(usual(System::Metric), ["0.4 L", "20 L"]);
        let (input, time) = bounds("pass.time", "swath-timing");
        let time = time(System::Us);
        assert_eq!(limit(time.hard.1, &time, input, System::Us, phrases), "10 h");
        assert_eq!(limit(time.plausible.0, &time, input, System::Us, phrases), "15 s");
    }
}
