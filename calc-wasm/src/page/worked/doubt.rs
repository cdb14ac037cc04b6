//! How sure the results are, in full: each with its uncertainty, what it would take to be surer, and the whole budget.

use super::Options;
use super::answer::source_list;
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::worked::Worked;
use crate::page::drawing;
use crate::quantity::unit::Unit;
use crate::text::escape::{html, markup};
use crate::text::figures::shown;
use crate::text::texts::joined;
use crate::uncertainty::{Budget, COVERAGE, REACTION_S, SOURCES};
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::words::uncertainty::{self as words, Line};
use crate::working::record::{Arg, WorkedResult};

/// What unfolds under the line that says how sure a result is.
#[inline(never)]
pub(super) fn body(out: &mut String, worked: &Worked, options: &Options, phrases: &Phrases) {
    let sure: Vec<Sure> = worked.budgets.iter().filter_map(|budget| Sure::of(worked, budget, phrases)).collect();
    let mut said = String::new();
    for one in &sure {
        markup!(
            out,
            "<p class=\"tk-sure__line\" data-sure=\"",
            &one.found.name(),
            "\"><span class=\"tk-sure__name\">",
            html(&one.name),
            "</span> <span class=\"tk-sure__value\">",
            quantities(&words::result(one.budget, one.unit, phrases)),
            "</span></p>\n"
        );
        // Results that rest on the same readings have the same answer, which is then given once, under the first.
        let answer = [words::answer(worked, one.budget, phrases), words::most(&one.lines, phrases)];
        let answer = joined(&answer, " ");
        if answer != said {
            paragraph(out, "answer", &answer);
        }
        said = answer;
    }
    let Some(first) = sure.first() else { return };
    paragraph(out, "text", &words::explained(first.budget, first.unit, &first.name, phrases));
    let name = [options.name, "-sure"].concat();
    out.push_str(&drawing::figure(&chart(&first.lines, phrases), &name, phrases.get("uncertainty.chart"), phrases));
    for one in &sure {
        table(out, one, phrases);
    }
    paragraph(out, "note", phrases.get("uncertainty.read-to"));
    for note in words::notes(&worked.budgets) {
        paragraph(out, "note", phrases.get(note));
    }
    let reaction = [&crate::text::figures::exact(REACTION_S), " s"].concat();
    let reaction = phrases.number(reaction);
    let method = phrases.fill("uncertainty.method", |place| (place == "reaction").then(|| reaction.clone()));
    markup!(out, "<p class=\"tk-source\">", quantities(&method), " ", &source_list(SOURCES), "</p>\n");
}

/// A budget with what is shown of it more than once.
struct Sure<'a> {
    budget: &'a Budget,
    found: &'a WorkedResult,
    unit: &'a Unit,
    /// The result's name, as a line begins.
    name: String,
    lines: Vec<Line>,
}

impl<'a> Sure<'a> {
    fn of(worked: &'a Worked, budget: &'a Budget, phrases: &Phrases) -> Option<Sure<'a>> {
        let found = worked.results.get(budget.result)?;
        let unit = words::unit_of(worked, budget)?;
        let name = say::result_heading(worked, found, phrases);
        Some(Sure { budget, found, unit, name, lines: words::lines(worked, budget, phrases) })
    }
}

fn paragraph(out: &mut String, class: &str, text: &str) {
    markup!(out, "<p class=\"tk-sure__", class, "\">", quantities(text), "</p>\n");
}

/// The budget as a table; its unit appears once, in the head, to keep the columns narrow enough for a phone.
fn table(out: &mut String, one: &Sure, phrases: &Phrases) {
    let (budget, unit) = (one.budget, one.unit);
    let caption = phrases.fill("uncertainty.table", |place| (place == "result").then(|| one.name.clone()));
    let caption = html(&caption);
    markup!(
        out,
        "<div class=\"tk-table tk-sure__table\" role=\"group\" tabindex=\"0\" aria-label=\"",
        &caption,
        "\"><table>\n<caption class=\"tk-sure__caption\">",
        &caption,
        "</caption>\n<thead><tr><th scope=\"col\">",
        html(phrases.get("uncertainty.column.what")),
        "</th>"
    );
    let shown = |place: &str| (place == "unit").then(|| unit.shown());
    for text in [
        phrases.get("uncertainty.column.standard"),
        &phrases.fill("uncertainty.column.contribution", shown),
        phrases.get("uncertainty.column.share"),
    ] {
        markup!(out, "<th scope=\"col\" class=\"tk-cell--end\">", html(text), "</th>");
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for line in &one.lines {
        let share = words::part_of(line.share, phrases);
        let share = share.trim_end_matches([' ', '%']);
        row(out, [&line.label, &line.standard, &line.contribution, share]);
    }
    out.push_str("</tbody>\n<tfoot>\n");
    let k = |place: &str| (place == "k").then(|| phrases.number(crate::text::figures::exact(COVERAGE)));
    let number = |si: f64| phrases.number(words::two_figures(si / unit.size()));
    row(out, [phrases.get("uncertainty.row.together"), "", &number(budget.standard), "100"]);
    row(out, [&phrases.fill("uncertainty.row.expanded", k), "", &number(budget.expanded()), ""]);
    out.push_str("</tfoot></table></div>\n");
}

fn row(out: &mut String, cells: [&str; 4]) {
    let [name, cells @ ..] = cells;
    markup!(out, "<tr><th scope=\"row\">", html(name), "</th>");
    for cell in cells {
        markup!(out, "<td class=\"tk-cell--end\">", html(cell), "</td>");
    }
    out.push_str("</tr>\n");
}

/// A bar for each line, the whole uncertainty being the full width.
fn chart(lines: &[Line], phrases: &Phrases) -> Drawing {
    const ROW: f64 = 42.0;
    const WIDE: f64 = 290.0;
    let mut drawing = Drawing::new(ROW * lines.len() as f64 + 6.0);
    let mut shares: Vec<String> = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        let top = ROW * index as f64;
        // In the core's notation: the drawing writes it in the language's.
        let share = [&shown(line.share * 100.0, 1), " %"].concat();
        drawing.label(Set::Start, 8.0, top + 18.0, Label::Plain(line.label.clone()));
        // Beside the bar: a long name has its line to itself.
        drawing.label(Set::End, 352.0, top + 36.0, Label::Plain(share.clone()));
        drawing.rect("paper", 8.0, top + 25.0, WIDE, 12.0);
        drawing.rect("mark", 8.0, top + 25.0, WIDE * line.share, 12.0);
        shares.push([&line.name, " ", &share].concat());
    }
    drawing.say("uncertainty.chart.text", vec![("shares", Arg::Text(say::listed_apart(&shares, phrases)))]);
    drawing
}
