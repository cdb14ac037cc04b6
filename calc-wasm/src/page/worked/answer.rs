//! The answer of a worked example: cautions, results, drawing, steps, source.

use super::Options;
use super::chain::chain;
use crate::page::drawing;
use crate::problem::declare::{Calculator, Source};
use crate::problem::worked::Worked;
use crate::text::escape::{html, quantities};
use crate::text::texts::joined;
use crate::words::phrases::{Phrases, capital};
use crate::words::say;
use crate::working::line;
use crate::working::record::{Outcome, Step, WorkedResult};

/// The whole answer element.
pub(super) fn answer(worked: &Worked, options: &Options, phrases: &Phrases) -> String {
    let mut out = String::from("<div class=\"tk-answer\" data-part=\"answer\">\n");
    out.push_str(&cautions(worked, phrases));
    out.push_str(&results(worked, phrases));
    let below = options.level.clamp(2, 4) + 1;
    out.push_str(&super::sure::sure(worked, options, below, phrases));
    let title = phrases.get(&format!("{}.drawing", worked.calculator.id)).to_owned();
    out.push_str(&drawing::figure(&(worked.calculator.draw)(worked, worked.system), options.name, &title, phrases));
    out.push_str(&format!("<h{below} class=\"tk-answer__title\">{}</h{below}>\n", html(phrases.get("fragment.steps"))));
    out.push_str(&steps(worked, phrases));
    out.push_str(&notes(worked.calculator, phrases));
    out.push_str(&sources(worked.calculator, phrases));
    out.push_str("</div>\n");
    out
}

/// What stands in place of the answer while inputs are missing or cannot be read.
pub(super) fn waiting(calculator: &Calculator, errors: &[(String, String)], phrases: &Phrases) -> String {
    let mut out = format!(
        "<div class=\"tk-answer\" data-part=\"answer\">\n<p class=\"tk-answer__wait\">{}</p>\n<ul class=\"tk-answer__errors\">\n",
        html(&own_or_usual(calculator, "waiting", phrases))
    );
    for (_, text) in errors {
        out.push_str(&format!("<li>{}</li>\n", html(text)));
    }
    out.push_str("</ul>\n");
    out.push_str(&sources(calculator, phrases));
    out.push_str("</div>\n");
    out
}

fn cautions(worked: &Worked, phrases: &Phrases) -> String {
    if worked.cautions.is_empty() {
        return String::new();
    }
    let mut out = String::from("<ul class=\"tk-cautions\">\n");
    for caution in &worked.cautions {
        let severity = caution.severity.id();
        out.push_str(&format!(
            "<li class=\"tk-caution tk-caution--{severity}\"><strong class=\"tk-caution__word\">{}</strong> <span class=\"tk-caution__text\">{}</span></li>\n",
            html(phrases.get(&format!("severity.{severity}"))),
            quantities(&capital(&say::caution(worked, caution, phrases)))
        ));
    }
    out.push_str("</ul>\n");
    out
}

fn results(worked: &Worked, phrases: &Phrases) -> String {
    let compared = |found: &WorkedResult| worked.calculator.compare.is_some() && !found.rows.is_empty();
    let (columns, listed): (Vec<&WorkedResult>, Vec<&WorkedResult>) =
        worked.found.iter().partition(|found| compared(found));
    let mut out = String::new();
    if !listed.is_empty() {
        out.push_str("<dl class=\"tk-results\">\n");
        let main = listed.iter().filter(|found| found.spec.main);
        for found in main.chain(listed.iter().filter(|found| !found.spec.main)) {
            out.push_str(&result(worked, found, phrases));
        }
        out.push_str("</dl>\n");
    }
    if !columns.is_empty() {
        out.push_str(&side_by_side(worked, &columns, phrases));
    }
    out
}

/// Results of compared rows: a column for each row, a line for each result.
fn side_by_side(worked: &Worked, found: &[&WorkedResult], phrases: &Phrases) -> String {
    let group = worked.calculator.compare.unwrap_or_default();
    let label = html(phrases.get("fragment.compare"));
    let mut out = format!(
        "<div class=\"tk-table\" role=\"group\" tabindex=\"0\" aria-label=\"{label}\"><table>\n<thead><tr><th scope=\"col\">{}</th>",
        html(phrases.get("fragment.compare-what"))
    );
    for row in worked.inputs.rows_of(group) {
        let lead = worked.calculator.group(group).and_then(|group| group.fields.first());
        let value = lead.and_then(|field| worked.inputs.typed(&row.name(field.name))).map(say::as_typed);
        let title = value.unwrap_or_else(|| row.number.to_string());
        out.push_str(&format!("<th scope=\"col\" class=\"tk-cell--end\">{}</th>", quantities(&title)));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    let mut lines: Vec<(&str, &[usize], Vec<&WorkedResult>)> = Vec::new();
    for item in found {
        let rest = item.rows.get(1..).unwrap_or_default();
        match lines.iter_mut().find(|(name, rows, _)| *name == item.spec.name && *rows == rest) {
            Some((_, _, cells)) => cells.push(item),
            None => lines.push((item.spec.name, rest, vec![item])),
        }
    }
    for (_, _, cells) in &lines {
        let name = html(&capital(&say::result_name(worked, cells[0], phrases)));
        out.push_str(&format!("<tr><th scope=\"row\">{name}</th>"));
        for cell in cells {
            let also = say::measured(cell, worked.system)
                .map_or_else(String::new, |text| format!("<br>{}", quantities(&text)));
            let value = quantities(&say::outcome(cell, phrases));
            out.push_str(&format!("<td class=\"tk-cell--end\" data-result=\"{}\">{value}{also}</td>", cell.name()));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody></table></div>\n");
    out
}

fn result(worked: &Worked, found: &WorkedResult, phrases: &Phrases) -> String {
    let class = if found.spec.main { "tk-result tk-result--main" } else { "tk-result" };
    let value = match &found.outcome {
        Outcome::Quantity(si, unit) => {
            let text = say::amount(found, *si, unit);
            let shown = unit.shown();
            let number = text.strip_suffix(&shown).unwrap_or(&text).trim();
            let unit = if shown.is_empty() {
                String::new()
            } else {
                format!(" <span class=\"tk-result__unit\">{}</span>", quantities(&shown))
            };
            format!("<span class=\"tk-result__number\">{}</span>{unit}", html(number))
        }
        Outcome::Verdict(key) => html(phrases.get(key)),
    };
    let also = say::measured(found, worked.system)
        .map_or_else(String::new, |text| format!("<dd class=\"tk-result__also\">{}</dd>", quantities(&text)));
    format!(
        "<div class=\"{class}\" data-result=\"{}\"><dt class=\"tk-result__name\">{}</dt><dd class=\"tk-result__value\">{value}</dd>{also}</div>\n",
        found.name(),
        html(&capital(&say::result_name(worked, found, phrases)))
    )
}

/// The steps as an ordered list.
pub fn steps(worked: &Worked, phrases: &Phrases) -> String {
    let mut out = String::from("<ol class=\"tk-steps\">\n");
    for step in &worked.steps {
        out.push_str(&one_step(worked, step, phrases));
    }
    out.push_str("</ol>\n");
    out
}

/// One step as a line of the working.
pub fn one_step(worked: &Worked, step: &Step, phrases: &Phrases) -> String {
    let numbers = line::numbers(step);
    format!(
        "<li class=\"tk-step\"><span class=\"tk-step__title\">{}</span> <span class=\"tk-step__words\">{}</span> <span class=\"tk-step__numbers\">{}</span> <span class=\"tk-step__result\">= {}</span>{}</li>\n",
        html(&capital(&say::step_title(worked, step, phrases))),
        html(&say::formula(worked, step, phrases)),
        quantities(&line::text(&numbers)),
        quantities(&say::step_value(step)),
        chain(step, &numbers, phrases)
    )
}

fn notes(calculator: &Calculator, phrases: &Phrases) -> String {
    let mut out = String::new();
    for number in 1..20 {
        let Some(text) = phrases.find(&format!("{}.practice.{number}", calculator.id)) else { break };
        out.push_str(&format!(
            "<p class=\"tk-practice\"><strong class=\"tk-practice__word\">{}</strong> {}</p>\n",
            html(phrases.get("fragment.practice")),
            html(text)
        ));
    }
    out
}

/// A phrase of the calculator's own where it has one, else the one that serves all.
pub(super) fn own_or_usual(calculator: &Calculator, what: &str, phrases: &Phrases) -> String {
    let own = phrases.find(&format!("{}.{what}", calculator.id));
    own.or_else(|| phrases.find(&format!("fragment.{what}"))).unwrap_or(what).to_owned()
}

/// Where the formula comes from.
pub(crate) fn sources(calculator: &Calculator, phrases: &Phrases) -> String {
    let listed = source_list(calculator.sources);
    format!("<p class=\"tk-source\">{} {listed}</p>\n", html(phrases.get("fragment.source")))
}

/// Sources with their addresses, on one line.
pub(super) fn source_list(sources: &[Source]) -> String {
    let listed: Vec<String> = sources
        .iter()
        .map(|source| {
            if source.url.is_empty() {
                html(source.title)
            } else {
                format!("<a href=\"{}\">{}</a>, {}", html(source.url), html(source.title), html(source.publisher))
            }
        })
        .collect();
    joined(&listed, "; ")
}
