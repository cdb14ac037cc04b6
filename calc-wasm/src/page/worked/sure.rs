//! How sure the results are: one line, and folded under it what it would take to be surer and the whole budget.

use super::{Options, Show, doubt, fold};
use crate::calculation::worked::Worked;
use crate::fitted::{self, Extra};
use crate::text::escape::{markup, quantities};
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::words::uncertainty as words;
use crate::working::record::WorkedResult;

/// The whole part, one line that unfolds; nothing where no result has a budget.
pub(crate) fn sure(out: &mut String, worked: &Worked, options: &Options, phrases: &Phrases) {
    let mut budgets = worked.budgets.iter().filter_map(|budget| Some((budget, words::unit_of(worked, budget)?)));
    let Some((budget, unit)) = budgets.next() else { return as_given(out, worked, options, phrases) };
    let mut line = words::short(budget, unit, phrases);
    // Beside another result, the large one, it says which result it is about.
    if let Some(about) = worked.results.get(budget.result).filter(|about| !large(worked, options, about)) {
        let name = say::result_heading(worked, about, phrases);
        line = phrases.fill("uncertainty.short-of", |place| match place {
            "result" => Some(name.clone()),
            "line" => Some(line.clone()),
            _ => None,
        });
    }
    let title = quantities(&line);
    fold(out, options, "sure", false, &title, |out| {
        if fitted::has(Extra::Doubt) {
            doubt::body(out, worked, options, phrases);
        }
    });
}

/// Whether a result is the one shown large.
fn large(worked: &Worked, options: &Options, about: &WorkedResult) -> bool {
    let first = worked.result(options.large).or_else(|| worked.unasked().find(|found| found.spec.main));
    // Where columns are compared, none is.
    worked.calculator.compare.is_none() && first.is_none_or(|first| std::ptr::eq(first, about))
}

/// On a calculator's own page it says that nothing was read, so that nobody looks for an uncertainty.
fn as_given(out: &mut String, worked: &Worked, options: &Options, phrases: &Phrases) {
    let rests = worked.results.iter().any(|found| worked.calculator.uncertain.contains(&found.spec.name));
    if rests && options.show == Show::Everything {
        markup!(out, "<p class=\"tk-sure__text\">", quantities(phrases.get("uncertainty.as-given")), "</p>\n");
    }
}
