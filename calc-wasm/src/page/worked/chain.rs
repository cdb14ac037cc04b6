//! The steps once more with their unit factors, folded away: MathML for the eye, words for the ear.
//!
//! MathML Core has no strike of its own, so a unit that cancels is an `<s>` inside its `<mtext>`: struck through
//! without color, on paper, and where no stylesheet arrives. Screen readers do not announce it, and differ in how
//! they read fractions; they are given the plain reading instead.

use crate::calculation::worked::Worked;
use crate::text::escape::markup;
use crate::words::factors::{math, spoken};
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::working::line::Line;
use crate::working::record::Step;

/// Every step in which a unit cancels: its formula in words, and its factors; `steps` are all of them, for their numbers.
#[inline(never)]
pub(super) fn chains(out: &mut String, worked: &Worked, steps: &[(&Step, Line)], phrases: &Phrases) {
    out.push_str("<ol class=\"tk-chains\">\n");
    for (index, (step, numbers)) in steps.iter().enumerate() {
        let Some(math) = math(step, numbers, phrases) else { continue };
        markup!(
            out,
            "<li class=\"tk-chain\" value=\"",
            &(index + 1).to_string(),
            "\"><span class=\"tk-chain__words\">",
            html(&say::step_label(worked, step, phrases)),
            " = ",
            html(&say::formula(worked, step, phrases)),
            "</span><math class=\"tk-chain__line\" aria-hidden=\"true\">",
            &math,
            "</math><span class=\"tk-spoken\">",
            html(&spoken(step, numbers, phrases)),
            "</span></li>\n"
        );
    }
    out.push_str("</ol>\n");
}
