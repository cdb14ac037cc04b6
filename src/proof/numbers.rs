//! Typed numbers with a unit, compared with the example next to them; and ounces that do not say which kind.

use super::Marks;
use super::lessons::place_of;
use super::prose::{Block, BlockKind, Text};
use crate::course::limits::{self, Limit, LimitWords};
use crate::course::{Example, ReadyLesson};
use crate::problem::code;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::quantity::written::{as_typed, quantity};
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

/// Blocks that name a maximum which the example's rate of product is above, by their index: each is marked. A maximum
/// belongs to the example above it; if that has no such rate, to the one below it under the same heading.
pub(super) fn over_limits(lesson: &ReadyLesson, text: &Text, words: &LimitWords, marks: &mut Marks) -> Vec<usize> {
    let (mut above, mut beside) = (None, "next to it");
    let mut found = Vec::new();
    for (index, block) in text.blocks.iter().enumerate() {
        match &block.kind {
            BlockKind::Fence(word, name) if word == "worked-example" => {
                above = lesson.examples.get(name).map(|example| &**example);
                beside = "next to it";
            }
            BlockKind::Heading(_) => beside = "above",
            BlockKind::Paragraph | BlockKind::Fence(..) if says_sentences(block) => {
                let limits = limits::limits(&block.text, words);
                if limits.is_empty() {
                    continue;
                }
                let below = || example_below(lesson, &text.blocks[index + 1..]).map(|below| (below, "below"));
                let of =
                    above.map(|above| (above, beside)).filter(|(above, _)| has_rate(above, &limits)).or_else(below);
                let over = of.and_then(|(of, beside)| over_limit(of, beside, block, &limits));
                let Some((title, limit)) = over else { continue };
                let place = place_of(&lesson.source, block, &limit);
                let help =
                    "move the rate or the limit; give the limit to the example too, as the product's `label-max`";
                marks.at(code::EXAMPLE_DANGER, &lesson.source, place, title, help.to_owned());
                found.push(index);
            }
            _ => {}
        }
    }
    found
}

/// Whether a block is read as sentences: a paragraph, an item of a list, a caution of the lesson's own.
fn says_sentences(block: &Block) -> bool {
    match &block.kind {
        BlockKind::Paragraph => true,
        BlockKind::Fence(word, _) => word == "caution",
        _ => false,
    }
}

/// The next example of a lesson, if no heading comes before it.
fn example_below<'l>(lesson: &'l ReadyLesson, blocks: &[Block]) -> Option<&'l Example> {
    blocks.iter().take_while(|block| !matches!(block.kind, BlockKind::Heading(_))).find_map(|block| match &block.kind {
        BlockKind::Fence(word, name) if word == "worked-example" => lesson.examples.get(name).map(|found| &**found),
        _ => None,
    })
}

/// Whether an example has a rate of product that one of these could limit.
fn has_rate(example: &Example, limits: &[Limit]) -> bool {
    example.work().is_some_and(|worked| limits::rates(&worked).any(|(_, _, unit)| limits::may_bind(limits, &unit)))
}

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

/// A maximum in the words of a block that the example's rate of product is above: what to say, and the maximum.
fn over_limit(example: &Example, beside: &str, block: &Block, limits: &[Limit]) -> Option<(String, String)> {
    let worked = example.work()?;
    let (name, si, unit, limit) = limits::broken(&worked, limits)?;
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
    whole: &'t str,
    number: &'t str,
    value: Option<f64>,
    unit: &'t str,
    rest: &'t str,
}

impl Written<'_> {
    /// Whether it is so much for a time, an area or a volume.
    fn is_rate(&self) -> bool {
        Unit::parse(self.unit).is_some_and(|unit| unit.plain().contains('/'))
    }

    /// For ounces that do not say which, what follows them in the unit.
    fn bare_ounce(&self) -> Option<&str> {
        let tail = ["oz", "ounces", "ounce"].iter().find_map(|word| self.unit.strip_prefix(word))?;
        let weight = self.rest.trim_start().trim_start_matches(['(']);
        let said = ["weight", "by weight", "dry"].iter().any(|word| weight.starts_with(word));
        (!said && (tail.is_empty() || tail.starts_with(['/', ' '])) && !tail.contains("weight")).then_some(tail)
    }
}

/// The most words that a unit is spelled with, `fluid ounces per 1,000 square feet`, and the most bytes.
const WORDS_OF_UNIT: usize = 6;
const BYTES_OF_UNIT: usize = 60;

/// The unit at the start of a text, as it is written: `gal/min`, `gallons per minute`.
fn unit_at(text: &str) -> Option<&str> {
    let near = &text[..text.floor_char_boundary(BYTES_OF_UNIT)];
    let ends = |c: char| c.is_whitespace() || matches!(c, ')' | ';' | ':' | '!' | '?' | '…' | '—');
    let stops = near.char_indices().filter(|(_, c)| ends(*c)).map(|(at, _)| at);
    let whole = (text.len() < BYTES_OF_UNIT).then_some(text.len());
    let stops: Vec<usize> = stops.take(WORDS_OF_UNIT).chain(whole).collect();
    let read = |end: usize| {
        let words = text[..end].trim_end_matches(['.', ',', ')', ';', ':']);
        // `2.1 gal/min in a list`; but `12 sq in`.
        let squared = |before: &str| ["sq", "cu", "square", "cubic"].iter().any(|power| before.ends_with(power));
        let preposition = words.contains(" in ") || words.strip_suffix(" in").is_some_and(|before| !squared(before));
        (words.starts_with(char::is_alphabetic) && !preposition && Unit::parse(words).is_some()).then_some(words)
    };
    let mut words = stops.iter().rev().find_map(|end| read(*end))?;
    // Of `oz of product` the words after the unit do not belong to it: with any other unit they change nothing either.
    let adds_nothing = |word: &str| Unit::parse(&format!("gal {word}")).is_some_and(|unit| unit.plain() == "gal");
    while let Some((before, _)) = words.rsplit_once(char::is_whitespace).filter(|(_, last)| adds_nothing(last)) {
        // What closes the sentence was between the two.
        words = before.trim_end().trim_end_matches(['.', ',', ')', ';', ':']);
    }
    let rest = &text[words.len()..];
    // `3 in the tank` are no inches, `2 a day` no ares.
    let preposition = matches!(words, "in" | "a") && rest.trim_start().starts_with(char::is_alphabetic);
    (!preposition && !rest.starts_with('-')).then_some(words)
}

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
        let after = &text[start + number.len()..];
        let after = after.strip_prefix([' ', '\u{a0}']).unwrap_or(after);
        if let Some(unit) = own.then(|| unit_at(after)).flatten() {
            // Of `1 gal 58 fl oz` neither part is the amount, and of `2 gallons a minute` not the volume.
            let rest = &after[unit.len()..];
            let next = rest.trim_start();
            let more = next.starts_with(|c: char| c.is_ascii_digit())
                || ["a ", "an ", "each ", "every "].iter().any(|word| next.starts_with(word));
            let value = if more { None } else { number.replace(',', "").parse().ok() };
            let end = text.len() - rest.len();
            out.push(Written { whole: &text[start..end], number, value, unit, rest });
            at = end;
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
        // An empty tank is not every other amount.
        let shown = Shown { name: String::new(), si: 0.0, text: String::new() };
        assert!(shown.is(0.0, 1.0) && !shown.is(140.0, 10.0) && shown.off(140.0) > NEAR);
        let shown = Shown { name: String::new(), si: 1234.0, text: String::new() };
        for (number, same) in [("1,200", true), ("1,230", true), ("1,240", false), ("1,300", false)] {
            assert_eq!(shown.is(number.replace(',', "").parse().unwrap(), last_place(number)), same, "{number}");
        }
    }

    #[test]
    fn numbers_with_units_are_found_and_others_are_not() {
        let found = |text| quantities(text).iter().map(|one| one.whole).collect::<Vec<_>>();
        assert_eq!(found("Catch 96 fl oz in 30 s, at 1.5 gal/1000 ft²."), ["96 fl oz", "30 s", "1.5 gal/1000 ft²"]);
        assert_eq!(found("In 2014, 3 in the shop took 613 turns for 5 people, 2 a day."), [""; 0]);
        // As people write them, without what follows.
        assert_eq!(
            found("It gave 2.1 gallons per minute, 2.1 GPM; 2.1gal/min or 30 seconds (1.5 gal per 1,000 sq ft)."),
            ["2.1 gallons per minute", "2.1 GPM", "2.1gal/min", "30 seconds", "1.5 gal per 1,000 sq ft"]
        );
        assert_eq!(found("It was 1.96 gal/1000 ft2. The rate is more."), ["1.96 gal/1000 ft2"]);
        assert_eq!(found("Add 12 oz of product, 3 inches deep."), ["12 oz", "3 inches"]);
        assert_eq!(found("It is 2.1 gal/min in a list, or 12 sq in of steel."), ["2.1 gal/min", "12 sq in"]);
        let hostile = "1a".repeat(100_000);
        assert_eq!(found(&hostile), [""; 0]);
    }

    #[test]
    fn an_ounce_says_which_it_is() {
        let bare = |text| quantities(text).first().and_then(Written::bare_ounce).map(str::to_owned);
        for (text, tail) in [
            ("12 oz of it", Some("")),
            ("12 ounces of it", Some("")),
            ("1.5 oz/1000 ft2", Some("/1000 ft2")),
            ("1.5 oz per 1,000 sq ft", Some(" per 1,000 sq ft")),
            ("12 fl oz", None),
            ("12 oz (weight)", None),
            ("12 ounces by weight", None),
            ("12 fluid ounces", None),
        ] {
            assert_eq!(bare(text).as_deref(), tail, "{text}");
        }
    }
}
