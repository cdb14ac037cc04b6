//! Typed numbers with a unit, compared with the example next to them; and ounces that do not say which kind.

use super::Marks;
use super::lessons::place_of;
use super::prose::{Block, BlockKind, Text};
use crate::course::{Example, ReadyLesson, limits};
use crate::problem::code;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::quantity::written::{as_typed, quantity};
use tankside_calc::working::record::Outcome;
use tankside_calc::working::result::amount;

/// How close a typed number must be to one of the example's to be meant as that, as a share.
const NEAR: f64 = 0.25;
/// The same under another heading than the example's. There a volume, an area or a time is often that of another lawn;
/// a rate is the example's, as near as it is beside it.
const NEAR_BELOW: f64 = 0.08;
/// How far a rounded number may be off: rounding to two figures.
const ROUNDED: f64 = 0.051;
/// How far off a number is however it was worked: 1 gal is 3.785 L or 3.8 L.
const SAME: f64 = 0.0005;

pub(super) fn read(lesson: &ReadyLesson, text: &Text, marks: &mut Marks) {
    let mut example: Option<&Example> = None;
    let mut beside = "next to it";
    for block in &text.blocks {
        match &block.kind {
            BlockKind::Fence(word, name) if word == "worked-example" => {
                example = lesson.examples.get(name).map(|example| &**example);
                beside = "next to it";
            }
            // What a lesson says further down is still about its example.
            BlockKind::Heading(_) => beside = "above",
            BlockKind::Paragraph => {
                let over = example.and_then(|example| over_limit(example, beside, block));
                if let Some((title, limit)) = over {
                    let place = place_of(&lesson.source, block, &limit);
                    let help =
                        "move the rate or the limit; give the limit to the example too, as the product's maximum";
                    marks.at(code::EXAMPLE_DANGER, &lesson.source, place, title, help.to_owned());
                    continue;
                }
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
                    let agrees = || lesson.examples.values().any(|other| agrees(other, &written));
                    let near = if beside == "next to it" || written.unit.contains('/') { NEAR } else { NEAR_BELOW };
                    let contradicted = example.and_then(|example| contradicted(example, &written, near));
                    if let Some((name, shown)) = contradicted.filter(|_| beside == "next to it" || !agrees()) {
                        let title = format!("the text says {}, and the example {beside} {shown}", written.whole());
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

/// A maximum in the words of a block that the example's rate of product is above: what to say, and the maximum.
fn over_limit(example: &Example, beside: &str, block: &Block) -> Option<(String, String)> {
    let limits = limits::limits(&block.text);
    if limits.is_empty() {
        return None;
    }
    let worked = example.work()?;
    let (name, si, unit, limit) = limits::broken(&worked, &limits)?;
    let limit = &block.text[limit.place.clone()];
    let rate = quantity(si, &unit);
    let title = format!("the text allows at most {limit}, and `{name}` in the example {beside} is {rate}");
    Some((title, limit.to_owned()))
}

/// A number of an example: its name, its value in SI units, and how it is shown.
struct Shown {
    name: String,
    si: f64,
    text: String,
}

impl Shown {
    /// How far a typed number is off, as a share.
    fn off(&self, si: f64) -> f64 {
        ((si - self.si) / self.si).abs()
    }

    /// Whether a typed number is this one, rounded to the figures that were typed; `step` is what the last of them
    /// counts. 1.98 is 2, or 2.0, and not 1.9.
    fn is(&self, si: f64, step: f64) -> bool {
        let rounded = (si - self.si).abs() <= step * 0.501 && self.off(si) <= ROUNDED;
        self.si == 0.0 || rounded || self.off(si) <= SAME
    }
}

/// A typed number in SI units with what its last figure counts, and the numbers of an example that measure the same.
fn alike(example: &Example, written: &Written) -> Option<(f64, f64, Vec<Shown>)> {
    let unit = Unit::parse(written.unit)?;
    let worked = example.work()?;
    let inputs = worked.inputs.names().filter_map(|name| {
        let typed = worked.inputs.typed_at(name)?;
        let shown = Shown { name: format!("input/{name}"), si: typed.si, text: as_typed(typed) };
        Some((typed.unit, shown))
    });
    let results = worked.results.iter().filter_map(|found| match &found.outcome {
        Outcome::Quantity(si, unit) => {
            Some((*unit, Shown { name: found.name(), si: *si, text: amount(found, *si, unit) }))
        }
        Outcome::Verdict(_) => None,
    });
    let same = inputs.chain(results).filter(|(own, _)| own.dim() == unit.dim()).map(|(_, shown)| shown);
    Some((written.value? * unit.size(), last_place(written.number) * unit.size(), same.collect()))
}

/// The number of the example that a typed one is near to and is not, with its name; nothing where it agrees with one.
fn contradicted(example: &Example, written: &Written, near: f64) -> Option<(String, String)> {
    let (si, step, same) = alike(example, written)?;
    if same.iter().any(|shown| shown.is(si, step)) {
        return None;
    }
    let near = same.into_iter().filter(|shown| shown.off(si) <= near);
    let nearest = near.min_by(|a, b| a.off(si).total_cmp(&b.off(si)))?;
    Some((nearest.name, nearest.text))
}

/// Whether a typed number is one of the example's.
fn agrees(example: &Example, written: &Written) -> bool {
    alike(example, written).is_some_and(|(si, step, same)| same.iter().any(|shown| shown.is(si, step)))
}

/// What the last figure of a number counts: 0.01 in `1.98`, 100 in `1,200`.
fn last_place(number: &str) -> f64 {
    let number = number.replace(',', "");
    match number.split_once('.') {
        Some((_, places)) => 0.1_f64.powi(places.len() as i32),
        None => 10_f64.powi((number.len() - number.trim_end_matches('0').len()) as i32),
    }
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
    fn a_rounded_number_is_the_examples_and_a_cut_one_is_not() {
        let shown = Shown { name: String::new(), si: 1.98, text: String::new() };
        for (number, same) in
            [("1.98", true), ("2", true), ("2.0", true), ("1.9", false), ("1.97", false), ("1.980", true)]
        {
            assert_eq!(shown.is(number.parse().unwrap(), last_place(number)), same, "{number}");
        }
        let shown = Shown { name: String::new(), si: 1234.0, text: String::new() };
        for (number, same) in [("1,200", true), ("1,230", true), ("1,240", false), ("1,300", false)] {
            assert_eq!(shown.is(number.replace(',', "").parse().unwrap(), last_place(number)), same, "{number}");
        }
    }

    #[test]
    fn numbers_with_units_are_found_and_others_are_not() {
        let found = |text| quantities(text).iter().map(Written::whole).collect::<Vec<_>>();
        assert_eq!(found("Catch 96 fl oz in 30 s, at 1.5 gal/1000 ft²."), ["96 fl oz", "30 s", "1.5 gal/1000 ft²"]);
        assert_eq!(found("In 2014, 3 inches of A-613 for 5 people."), [""; 0]);
    }
}
