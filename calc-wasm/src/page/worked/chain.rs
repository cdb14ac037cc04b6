//! The unit factors of a step, folded away under it: MathML for the eye, words for the ear.
//!
//! MathML Core has no strike of its own, so a unit that cancels is an `<s>` inside its `<mtext>`: struck through
//! without colour, on paper, and where no stylesheet arrives. Screen readers do not tell a strike, and differ in how
//! they read fractions; they are given the plain reading instead.

use crate::text::escape::html;
use crate::words::factors::{math, spoken};
use crate::words::phrases::Phrases;
use crate::working::line::Line;
use crate::working::record::Step;

/// The factors of a step whose `numbers` are these; nothing where no unit cancels.
pub(super) fn chain(step: &Step, numbers: &Line, phrases: &Phrases) -> String {
    let Some(math) = math(step, numbers) else { return String::new() };
    [
        "<details class=\"tk-chain\"><summary class=\"tk-chain__title\">",
        &html(phrases.get("chain.title")),
        "</summary><math class=\"tk-chain__line\" aria-hidden=\"true\">",
        &math,
        "</math><span class=\"tk-spoken\">",
        &html(&spoken(step, numbers, phrases)),
        "</span></details>",
    ]
    .concat()
}
