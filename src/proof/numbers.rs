//! Typed numbers with a unit, compared with the example next to them; and ounces that do not say which kind.

use super::Marks;
use super::lessons::place_of;
use super::prose::{BlockKind, Text};
use crate::course::{Example, ReadyLesson};
use crate::problem::code;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::quantity::written::as_typed;
use tankside_calc::working::record::Outcome;
use tankside_calc::working::result::amount;

/// How close a typed number must be to one of the example's to be meant as that, as a share.
const NEAR: f64 = 0.25;
/// How far it may be off: rounding to two figures.
const ROUNDED: f64 = 0.051;

pub(super) fn read(lesson: &ReadyLesson, text: &Text, marks: &mut Marks) {
    let mut example: Option<&Example> = None;
    for block in &text.blocks {
        match &block.kind {
            BlockKind::Fence(word, name) if word == "worked-example" => {
                example = lesson.examples.get(name).map(|example| &**example)
            }
            BlockKind::Heading(_) => example = None,
            BlockKind::Paragraph => {
                for written in quantities(&block.text) {
                    if written.unit == "oz"
                        && !written.rest.trim_start().starts_with("(weight)")
                        && !written.rest.trim_start().starts_with("weight")
                    {
                        let title = format!("`{}` does not say which ounce", written.whole());
                        let place = place_of(&lesson.source, block, &written.whole());
                        let help = format!("write `{0} fl oz` or `{0} oz (weight)`", written.number);
                        marks.at(code::OUNCE_BARE, &lesson.source, place, title, help);
                    }
                    if let Some((name, shown)) = example.and_then(|example| contradicted(example, &written)) {
                        let title = format!("the text says {}, and the example next to it {shown}", written.whole());
                        let place = place_of(&lesson.source, block, &written.whole());
                        let of = example.map_or("", |example| example.name.as_str());
                        let help =
                            format!("write `[{}](figure:{of}/{name})`, which follows the example", written.whole());
                        marks.at(code::NUMBER_CONTRADICTS, &lesson.source, place, title, help);
                    }
                }
            }
            _ => {}
        }
    }
}

/// The number of the example that a typed one is near to and is not, with its name; nothing where it agrees with one.
fn contradicted(example: &Example, written: &Written) -> Option<(String, String)> {
    let unit = Unit::parse(written.unit)?;
    let si = written.value? * unit.size();
    let worked = example.work()?;
    let inputs = worked.inputs.names().filter_map(|name| {
        let typed = worked.inputs.typed_at(name)?;
        Some((format!("input/{name}"), typed.si, typed.unit, as_typed(typed)))
    });
    let results = worked.results.iter().filter_map(|found| match &found.outcome {
        Outcome::Quantity(si, unit) => Some((found.name(), *si, *unit, amount(found, *si, unit))),
        Outcome::Verdict(_) => None,
    });
    let same: Vec<_> = inputs.chain(results).filter(|(_, _, own, _)| own.dim() == unit.dim()).collect();
    let off = |other: f64| ((si - other) / other).abs();
    if same.iter().any(|(_, other, _, _)| *other == 0.0 || off(*other) <= ROUNDED) {
        return None;
    }
    let nearest =
        same.into_iter().filter(|(_, other, _, _)| off(*other) <= NEAR).min_by(|a, b| off(a.1).total_cmp(&off(b.1)))?;
    Some((nearest.0, nearest.3))
}

/// A number and its unit as they are written.
struct Written<'t> {
    number: &'t str,
    value: Option<f64>,
    unit: &'t str,
    rest: &'t str,
}

impl Written<'_> {
    fn whole(&self) -> String {
        format!("{} {}", self.number, self.unit)
    }
}

/// Units that are looked for after a number, longer ones first.
const UNITS: &[&str] = &[
    "gal/1000 ft²",
    "gal/1000 ft2",
    "fl oz/1000 ft²",
    "fl oz/1000 ft2",
    "lb/1000 ft²",
    "gal/min",
    "fl oz/min",
    "gal/acre",
    "L/min",
    "mL/min",
    "L/ha",
    "ft²",
    "ft2",
    "m²",
    "m2",
    "fl oz",
    "gal",
    "oz",
    "acres",
    "acre",
    "psi",
    "mph",
    "lb",
    "mL",
    "kg",
    "min",
    "ft",
    "in",
    "L",
    "m",
    "s",
];

fn quantities(text: &str) -> Vec<Written<'_>> {
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(start) = text[at..].find(|c: char| c.is_ascii_digit()).map(|found| at + found) {
        let end = text[start..]
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
            .map_or(text.len(), |length| start + length);
        let number = text[start..end].trim_end_matches(['.', ',']);
        at = end.max(start + 1);
        let own = text[..start]
            .chars()
            .next_back()
            .is_none_or(|c| !(c.is_alphanumeric() || matches!(c, '/' | '-' | '.' | '–')));
        let Some(after) = text[start + number.len()..].strip_prefix([' ', '\u{a0}']).filter(|_| own) else { continue };
        let unit = UNITS.iter().find(|unit| {
            after
                .strip_prefix(**unit)
                .is_some_and(|rest| !rest.starts_with(|c: char| c.is_alphanumeric() || matches!(c, '/' | '²' | '-')))
        });
        if let Some(unit) = unit {
            // Of `1 gal 58 fl oz` neither part is the amount.
            let rest = &after[unit.len()..];
            let more = rest.trim_start().starts_with(|c: char| c.is_ascii_digit());
            let value = if more { None } else { number.replace(',', "").parse().ok() };
            out.push(Written { number, value, unit, rest });
            at = start + number.len() + 1 + unit.len();
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_with_units_are_found_and_others_are_not() {
        let found = |text| quantities(text).iter().map(Written::whole).collect::<Vec<_>>();
        assert_eq!(found("Catch 96 fl oz in 30 s, at 1.5 gal/1000 ft²."), ["96 fl oz", "30 s", "1.5 gal/1000 ft²"]);
        assert_eq!(found("In 2014, 3 inches of A-613 for 5 people."), [""; 0]);
    }
}
