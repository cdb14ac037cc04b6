//! What there is to work with: the calculators, and what one of them takes.

use super::arguments::field_names;
use super::named::shown_name;
use super::written::heading;
use super::{WorkRequest, shell};
use tankside_calc::calculation::declare::{Calculator, FormItem, Holds, Input, Need};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::read_to::{PREFIX, usual};
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::doors::notation::as_shown;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::text::figures::{RESULT_FIGURES, shown, without_noise};
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::System;

/// Every calculator with what it is for.
pub(super) fn calculators(phrases: &Phrases) -> String {
    let mut out = format!("{}\n\n", phrases.get("terminal.calculators"));
    for calculator in CALCULATORS {
        out.push_str(&format!("  {:<18} {}\n", calculator.id, phrases.get(&format!("{}.summary", calculator.id))));
    }
    out
}

/// What a calculator takes, what comes out of it, and an example.
pub(super) fn inputs(found: &'static Calculator, wanted: &WorkRequest, phrases: &Phrases) -> String {
    let system = wanted.system;
    let mut out = format!(
        "{}: {}\n\n{}\n",
        found.id,
        phrases.get(&format!("{}.summary", found.id)),
        phrases.get("terminal.inputs")
    );
    for item in found.inputs {
        match item {
            FormItem::One(input) => out.push_str(&input_line(found, input, input.name, system, phrases)),
            FormItem::Many(group) => {
                let times = phrases.fill_with("terminal.rows", &[("most", &group.most.to_string())]);
                out.push_str(&format!("  {}='{}'   {times}\n", group.name, field_names(group)));
                for field in group.fields {
                    let flat = format!("{}.N.{}", group.name, field.name);
                    out.push_str(&input_line(found, field, &flat, system, phrases));
                }
            }
        }
    }
    if !found.uncertain.is_empty() {
        out.push_str(&format!("  {:<26} {}\n", format!("{PREFIX}NAME"), phrases.get("site.work-read-to")));
    }
    out.push_str(&heading("terminal.results", phrases));
    for spec in found.results {
        if system == System::Metric && spec.us_only {
            continue;
        }
        let unit = spec.units.pick(system).shown();
        out.push_str(
            &format!("  {:<26} {} ({unit})\n", shown_name(spec.name, system), say::result_label(found, spec, phrases))
                .replace(" ()", ""),
        );
    }
    let example = system.pick(found.example, found.example_metric);
    let example = RawInputs(example.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect());
    // As it is typed in this language: 1,5 where a comma is the decimal mark.
    let example = as_shown(found, example, phrases);
    let mut words: Vec<String> = example.0.iter().map(|(name, value)| shell(name, value)).collect();
    words.extend(wanted.language.iter().map(|language| format!("--language {language}")));
    out.push_str(&heading("terminal.example", phrases));
    out.push_str(&format!("  tankside work {} {}\n", found.id, words.join(" ")));
    out
}

fn input_line(found: &Calculator, input: &Input, flat: &str, system: System, phrases: &Phrases) -> String {
    let mut about: Vec<String> = vec![say::input_name(found, &flat.replace(".N.", ".1."), 1, phrases)];
    match input.holds {
        Holds::Choice(words) => about.push(phrases.fill_with("terminal.one-of", &[("words", &words.join(", "))])),
        Holds::Quantity(Kind::Number) => about.push(phrases.get("terminal.number").to_owned()),
        Holds::Quantity(_) => about.push(phrases.fill_with("terminal.in", &[("unit", &input.unit(system).shown())])),
        Holds::Count => about.push(phrases.get("terminal.whole-number").to_owned()),
        Holds::Name => about.push(phrases.get("terminal.name").to_owned()),
        Holds::Unit => about.push(phrases.get("terminal.unit").to_owned()),
    }
    if let Some(bounds) = input.limits(system) {
        let from = if bounds.positive { "terminal.above" } else { "terminal.from" };
        // In the unit named before, which is not always the one the limits are declared in.
        let unit = input.unit(system);
        let number = |amount: f64| {
            phrases.number(shown(without_noise(amount * bounds.unit.size() / unit.size()), RESULT_FIGURES))
        };
        let range = |(low, high): (f64, f64)| {
            let high = format!("{} {}", number(high), unit.shown());
            phrases.fill_with("range", &[("low", &number(low)), ("high", high.trim_end())])
        };
        about.push(phrases.fill_with(from, &[("range", &range(bounds.hard))]));
        if bounds.plausible != bounds.hard {
            about.push(phrases.fill_with("terminal.usually", &[("range", &range(bounds.plausible))]));
        }
    }
    if let Some(read) = usual(input, system) {
        about.push(phrases.fill_with("terminal.read-to", &[("amount", &say::as_typed(&read, phrases))]));
    }
    match input.need {
        Need::Required => {}
        Need::Optional => about.push(phrases.get("terminal.optional").to_owned()),
        Need::Default(text) => about.push(
            phrases.fill_with("terminal.default", &[("value", &phrases.number(default_in(input, text, system)))]),
        ),
    }
    format!("  {:<26} {}\n", shown_name(flat, system), say::listed_apart(&about, phrases))
}

/// A default in the units listed: `0 L` in metric for `0 gal`.
fn default_in(input: &Input, text: &str, system: System) -> String {
    let pairs = input.kind().and_then(|kind| typed::read(text, kind, None).ok());
    let Some(typed) = pairs.filter(|typed| typed.unit.is_us() == (system == System::Metric)) else {
        return text.to_owned();
    };
    let unit = input.unit(system);
    if unit.dim() == typed.unit.dim() && !unit.is_none() {
        tankside_calc::quantity::written::quantity(say::default_in(&typed, &unit) * unit.size(), &unit)
    } else {
        text.to_owned()
    }
}
