//! Typed numbers with a unit, compared with the example next to them; and ounces that do not say which kind.

use super::Marks;
use super::amounts::{Written, last_place, quantities};
use super::lessons::place_of;
use super::maxima::over_limits;
use super::prose::{BlockKind, Text};
use crate::course::limits::LimitWords;
use crate::course::{Example, ReadyLesson};
use crate::problem::code;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::quantity::written::as_typed;
use tankside_calc::working::record::Outcome;
use tankside_calc::working::result::amount;

/// How close a typed number must be to one of the example's to be meant as that, as a share. One that is further off is
/// as often about something else: another sprayer, a usual range, a lawn of another size.
const NEAR: f64 = 0.25;
/// The same under another heading than the example's. There a volume, an area or a time is often that of another lawn;
/// under the next heading a rate is the example's, as near as it is beside it, and further down it may be another's.
const NEAR_BELOW: f64 = 0.08;
/// How far a rounded number may be off: rounding to two figures.
const ROUNDED: f64 = 0.051;
/// How far off a number is however it was worked: 1 gal is 3.785 L or 3.8 L.
const SAME: f64 = 0.0005;

pub(super) fn read(lesson: &ReadyLesson, text: &Text, words: &LimitWords, marks: &mut Marks) {
    let over = over_limits(lesson, text, words, marks);
    let mut example: Option<&Example> = None;
    let mut headings = 0;
    for (index, block) in text.blocks.iter().enumerate() {
        match &block.kind {
            BlockKind::Fence(word, name) if word == "worked-example" => {
                example = lesson.examples.get(name).map(|example| &**example);
                headings = 0;
            }
            // What a lesson says further down is still about its example.
            BlockKind::Heading(_) => headings += 1,
            BlockKind::Paragraph => {
                let beside = if headings == 0 { "next to it" } else { "above" };
                if over.contains(&index) {
                    continue;
                }
                let below = match text.blocks.get(index + 1).map(|next| &next.kind) {
                    Some(BlockKind::Fence(word, name)) if word == "worked-example" => lesson.examples.get(name),
                    _ => None,
                };
                let below = below.map(|example| &**example);
                for written in quantities(&block.text) {
                    if let Some(tail) = written.bare_ounce() {
                        let title = format!("`{}` does not say which ounce", written.whole);
                        let place = place_of(&lesson.source, block, written.whole);
                        let help = format!("write `{0} fl oz{tail}` or `{0} oz (weight){tail}`", written.number);
                        marks.at(code::OUNCE_BARE, &lesson.source, place, title, help);
                    }
                    let near = match (headings, written.is_rate()) {
                        (0, _) | (1, true) => NEAR,
                        _ => NEAR_BELOW,
                    };
                    let above = example.and_then(|above| Some((above, beside, contradicted(above, &written, near)?)));
                    let found = above.or_else(|| {
                        below.and_then(|below| Some((below, "below", contradicted(below, &written, NEAR)?)))
                    });
                    let Some((of, beside, (name, shown))) = found else { continue };
                    let right = match beside {
                        "above" => lesson.examples.values().any(|other| agrees(other, &written)),
                        _ => example.into_iter().chain(below).any(|other| agrees(other, &written)),
                    };
                    if right {
                        continue;
                    }
                    let title = format!("the text says {}, and the example {beside} {shown}", written.whole);
                    let place = place_of(&lesson.source, block, written.whole);
                    let of = &of.name;
                    let help = format!("write `[{}](figure:{of}/{name})`, which follows the example", written.whole);
                    marks.at(code::NUMBER_CONTRADICTS, &lesson.source, place, title, help);
                }
            }
            _ => {}
        }
    }
}

/// A number of an example: its name, its value in SI units, and how it is shown.
struct Shown {
    name: String,
    si: f64,
    text: String,
}

impl Shown {
    /// How far a typed number is off, as a share; of nothing, only nothing is.
    fn off(&self, si: f64) -> f64 {
        if si == self.si { 0.0 } else { ((si - self.si) / self.si).abs() }
    }

    /// Whether a typed number is this one, rounded to the figures that were typed; `step` is what the last of them
    /// counts. 1.98 is 2, or 2.0, and not 1.9.
    fn is(&self, si: f64, step: f64) -> bool {
        let rounded = (si - self.si).abs() <= step * 0.501 && self.off(si) <= ROUNDED;
        rounded || self.off(si) <= SAME
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
        // An empty tank is not every other amount.
        let shown = Shown { name: String::new(), si: 0.0, text: String::new() };
        assert!(shown.is(0.0, 1.0) && !shown.is(140.0, 10.0) && shown.off(140.0) > NEAR);
        let shown = Shown { name: String::new(), si: 1234.0, text: String::new() };
        for (number, same) in [("1,200", true), ("1,230", true), ("1,240", false), ("1,300", false)] {
            assert_eq!(shown.is(number.replace(',', "").parse().unwrap(), last_place(number)), same, "{number}");
        }
    }
}
