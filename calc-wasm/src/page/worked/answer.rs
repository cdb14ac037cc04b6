//! The answer of a worked example: result, cautions, how sure it is, drawing, steps, and what folds under one line.

use super::chain::chains;
use super::results::Results;
use super::{Options, Show, fold};
use crate::calculation::declare::{Calculator, Source};
use crate::calculation::worked::Worked;
use crate::fitted::{self, Extra};
use crate::page::drawing;
use crate::text::escape::{html, markup};
use crate::text::texts::joined;
use crate::words::factors::cancels;
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::working::line::{Line, numbers};
use crate::working::record::{Severity, Step, System};
use crate::working::toward::steps_under;

/// The whole answer element.
pub(super) fn answer(worked: &Worked, options: &Options, phrases: &Phrases) -> String {
    let mut out = String::with_capacity(16 * 1024);
    out.push_str("<div class=\"tk-answer\" data-part=\"answer\">\n");
    let results = Results::of(worked, options.large, phrases);
    let reading = options.show == Show::Sentence;
    if reading {
        results.sentence(&mut out);
    } else {
        results.put(&mut out);
    }
    cautions(&mut out, worked, phrases);
    if options.brief {
        out.push_str("</div>\n");
        return out;
    }
    if !reading {
        super::sure::sure(&mut out, worked, options, phrases);
    }
    let title = phrases.get(&[worked.calculator.id, ".drawing"].concat()).to_owned();
    out.push_str(&drawing::figure(&(worked.calculator.draw)(worked, worked.system), options.name, &title, phrases));
    let title = html(phrases.get("fragment.steps"));
    let words = options.show == Show::Everything;
    let leads = if options.show == Show::Steps { leading(worked, &results) } else { vec![true; worked.steps.len()] };
    // The steps that lead to what is in sight come first; their numbers go on through those that are folded.
    let first = leads.iter().filter(|leads| **leads).count();
    let of =
        |kind: bool| worked.steps.iter().zip(&leads).filter(move |(_, leads)| **leads == kind).map(|(step, _)| step);
    let ordered: Vec<&Step> = of(true).chain(of(false)).collect();
    let (leading, following) = ordered.split_at(first);
    let shown = if reading { Vec::new() } else { lines(leading.iter().copied()) };
    if !reading {
        list(&mut out, worked, &shown, 1, words, &title, phrases);
    }
    let more = |out: &mut String| {
        if reading {
            fold(out, options, "steps", false, &title, |out| {
                list(out, worked, &lines(ordered.iter().copied()), 1, words, &title, phrases);
            });
            super::sure::sure(out, worked, options, phrases);
        }
        out.push_str("<div class=\"tk-folds\">\n");
        let unseen = |step: &Step| cancels(&numbers(step));
        if some_cancel(&shown) || if reading { &ordered } else { following }.iter().any(|step| unseen(step)) {
            fold(out, options, "chain", false, &html(phrases.get("chain.title")), |out| {
                if fitted::has(Extra::Chain) {
                    chains(out, worked, &lines(ordered.iter().copied()), phrases);
                }
            });
        }
        results.rest(out, options, reading);
        if !following.is_empty() {
            let title = html(phrases.get("fragment.more-steps"));
            fold(out, options, "more-steps", false, &title, |out| {
                list(out, worked, &lines(following.iter().copied()), first + 1, words, &title, phrases);
            });
        }
        fold(out, options, "sources", false, &html(phrases.get("fragment.sources")), |out| {
            notes(out, worked.calculator, worked.system, phrases);
            out.push_str(&sources(worked.calculator, phrases));
        });
        out.push_str("</div>\n");
    };
    // In a lesson all of it folds under one line, so that it takes few Tab presses to get past it.
    if options.show == Show::Everything {
        more(&mut out);
    } else {
        fold(&mut out, options, "more", false, &html(phrases.get("fragment.more")), more);
    }
    out.push_str("</div>\n");
    out
}

/// What is shown in place of the answer while inputs are missing or cannot be read.
pub(super) fn waiting(calculator: &Calculator, errors: &[(String, String)], phrases: &Phrases) -> String {
    let wait = html(&own_or_usual(calculator, "waiting", phrases));
    let mut out =
        ["<div class=\"tk-answer\" data-part=\"answer\">\n<p class=\"tk-answer__wait\">", &wait, "</p>\n"].concat();
    out.push_str("<ul class=\"tk-answer__errors\">\n");
    for (_, text) in errors {
        markup!(&mut out, "<li>", html(text), "</li>\n");
    }
    out.push_str("</ul>\n</div>\n");
    out
}

/// Warnings and notices; a danger is shown with the result itself.
fn cautions(out: &mut String, worked: &Worked, phrases: &Phrases) {
    let mut open = false;
    for caution in worked.cautions.iter().filter(|caution| caution.severity != Severity::Danger) {
        if !open {
            out.push_str("<ul class=\"tk-cautions\">\n");
            open = true;
        }
        let severity = caution.severity.id();
        markup!(
            out,
            "<li class=\"tk-caution tk-caution--",
            severity,
            "\"><strong class=\"tk-caution__word\">",
            html(phrases.get(&["severity.", severity].concat())),
            "</strong> <span class=\"tk-caution__text\">",
            quantities(&say::caution(worked, caution, phrases)),
            "</span></li>\n"
        );
    }
    if open {
        out.push_str("</ul>\n");
    }
}

/// The steps as an ordered list, each with its formula in words; folded under them, how the units cancel.
pub fn steps(worked: &Worked, phrases: &Phrases) -> String {
    some_steps(worked, &worked.steps, phrases)
}

/// The same of some of the steps.
pub fn some_steps(worked: &Worked, steps: &[Step], phrases: &Phrases) -> String {
    let mut out = String::new();
    let steps = &lines(steps);
    list(&mut out, worked, steps, 1, true, &html(phrases.get("fragment.steps")), phrases);
    if some_cancel(steps) {
        fold(&mut out, &Options::default(), "chain", false, &html(phrases.get("chain.title")), |out| {
            if fitted::has(Extra::Chain) {
                chains(out, worked, steps, phrases);
            }
        });
    }
    out
}

/// Steps with their numbers, which more than one part of an answer writes out.
fn lines<'s>(steps: impl IntoIterator<Item = &'s Step>) -> Vec<(&'s Step, Line)> {
    steps.into_iter().map(|step| (step, numbers(step))).collect()
}

/// Whether there is anything to show of units that cancel.
fn some_cancel(steps: &[(&Step, Line)]) -> bool {
    steps.iter().any(|(_, numbers)| cancels(numbers))
}

/// Of each step whether a result in sight rests on it; all where there is none, or none rests on any.
fn leading(worked: &Worked, results: &Results) -> Vec<bool> {
    let mut leads = vec![false; worked.steps.len()];
    for expr in results.main.iter().filter_map(|found| found.expr.as_ref()) {
        leads.iter_mut().zip(steps_under(expr, &worked.steps)).for_each(|(leads, under)| *leads |= under);
    }
    if leads.contains(&true) { leads } else { vec![true; leads.len()] }
}

/// Steps whose first has the number `first`.
fn list(
    out: &mut String,
    worked: &Worked,
    steps: &[(&Step, Line)],
    first: usize,
    words: bool,
    label: &str,
    phrases: &Phrases,
) {
    let start = if first == 1 { String::new() } else { ["\" start=\"", &first.to_string()].concat() };
    markup!(out, "<ol class=\"tk-steps", &start, "\" aria-label=\"", label, "\">\n");
    for (step, numbers) in steps {
        one_step(out, worked, step, numbers, words, phrases);
    }
    out.push_str("</ol>\n");
}

/// One step as a line of the working, its formula in words too.
pub fn step_line(worked: &Worked, step: &Step, phrases: &Phrases) -> String {
    let mut out = String::new();
    one_step(&mut out, worked, step, &numbers(step), true, phrases);
    out
}

fn one_step(out: &mut String, worked: &Worked, step: &Step, numbers: &Line, words: bool, phrases: &Phrases) {
    markup!(
        out,
        "<li class=\"tk-step\"><span class=\"tk-step__title\">",
        html(&say::step_label(worked, step, phrases)),
        "</span> "
    );
    if words {
        markup!(out, "<span class=\"tk-step__words\">", html(&say::formula(worked, step, phrases)), "</span> ");
    }
    markup!(
        out,
        "<span class=\"tk-step__numbers\">",
        quantities(&say::numbers(numbers, phrases)),
        "</span> <span class=\"tk-step__result\">= ",
        quantities(&say::step_value(step, phrases)),
        "</span></li>\n"
    );
}

fn notes(out: &mut String, calculator: &Calculator, system: System, phrases: &Phrases) {
    for number in 1..20 {
        let key = [calculator.id, ".practice.", &number.to_string()].concat();
        let Some(text) = phrases.find(&phrases.in_system(&key, system)) else { break };
        markup!(
            out,
            "<p class=\"tk-practice\"><strong class=\"tk-practice__word\">",
            html(phrases.get("fragment.practice")),
            "</strong> ",
            html(text),
            "</p>\n"
        );
    }
}

/// A phrase of the calculator's own where it has one, else the one that serves all.
pub(super) fn own_or_usual(calculator: &Calculator, what: &str, phrases: &Phrases) -> String {
    let own = phrases.find(&[calculator.id, ".", what].concat());
    own.or_else(|| phrases.find(&["fragment.", what].concat())).unwrap_or(what).to_owned()
}

/// Where the formula comes from.
pub(crate) fn sources(calculator: &Calculator, phrases: &Phrases) -> String {
    let listed = source_list(calculator.sources);
    ["<p class=\"tk-source\">", &html(phrases.get("fragment.source")), " ", &listed, "</p>\n"].concat()
}

/// Sources with their addresses, on one line.
pub(super) fn source_list(sources: &[Source]) -> String {
    let listed: Vec<String> = sources
        .iter()
        .map(|source| {
            if source.url.is_empty() {
                html(source.title)
            } else {
                ["<a href=\"", &html(source.url), "\">", &html(source.title), "</a>, ", &html(source.publisher)]
                    .concat()
            }
        })
        .collect();
    joined(&listed, "; ")
}
