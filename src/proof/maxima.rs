//! Maxima that a lesson names, against the rate of product in its example.

use super::Marks;
use super::lessons::place_of;
use super::prose::{Block, BlockKind, Text};
use crate::course::limits::{self, Limit, LimitWords};
use crate::course::{Example, ReadyLesson};
use crate::problem::code;
use tankside_calc::quantity::written::quantity;

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

/// A maximum in the words of a block that the example's rate of product is above: what to say, and the maximum.
fn over_limit(example: &Example, beside: &str, block: &Block, limits: &[Limit]) -> Option<(String, String)> {
    let worked = example.work()?;
    let (name, si, unit, limit) = limits::broken(&worked, limits)?;
    let limit = &block.text[limit.place.clone()];
    let rate = quantity(si, &unit);
    let title = format!("the text allows at most {limit}, and `{name}` in the example {beside} is {rate}");
    Some((title, limit.to_owned()))
}
