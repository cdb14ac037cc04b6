//! How sure the results are: a line each, what it would take to be surer, and behind it the whole budget.

use super::Options;
use super::answer::source_list;
use crate::drawing::{Drawing, Label, Set};
use crate::escape::{html, quantities};
use crate::phrases::{Phrases, capital};
use crate::record::Arg;
use crate::say;
use crate::uncertainty::words::{self, Line};
use crate::uncertainty::{Budget, COVERAGE, REACTION_S, SOURCES};
use crate::unit::Unit;
use crate::worked::Worked;

/// The whole part; empty where no result has a budget. `level` is that of its heading.
pub(crate) fn sure(worked: &Worked, options: &Options, level: u8, phrases: &Phrases) -> String {
    if worked.budgets.is_empty() {
        return String::new();
    }
    let name = html(options.name);
    let mut out = format!(
        "<section class=\"tk-sure\" aria-labelledby=\"{name}-sure-title\">\n<h{level} class=\"tk-sure__title\" id=\"{name}-sure-title\">{}</h{level}>\n",
        html(phrases.get("uncertainty.title"))
    );
    for (index, budget) in worked.budgets.iter().enumerate() {
        one(&mut out, worked, budget, &format!("{}-sure-{}", options.name, index + 1), phrases);
    }
    out.push_str("</section>\n");
    out
}

fn one(out: &mut String, worked: &Worked, budget: &Budget, name: &str, phrases: &Phrases) {
    let (Some(found), Some(unit)) = (worked.found.get(budget.found), words::unit_of(worked, budget)) else { return };
    let result = say::result_name(worked, found, phrases);
    let lines = words::lines(worked, budget, phrases);
    let paragraph = |out: &mut String, class: &str, text: &str| {
        out.push_str(&format!("<p class=\"tk-sure__{class}\">{}</p>\n", quantities(text)));
    };
    out.push_str(&format!("<div class=\"tk-sure__one\" data-sure=\"{}\">\n", found.name()));
    out.push_str(&format!(
        "<p class=\"tk-sure__line\"><span class=\"tk-sure__name\">{}</span> <span class=\"tk-sure__value\">{}</span></p>\n",
        html(&capital(&result)),
        quantities(&words::result(budget, unit, phrases))
    ));
    let most = lines.first().map_or_else(String::new, |line| {
        phrases.fill("uncertainty.most", |place| match place {
            "cause" => Some(line.name.clone()),
            "share" => Some(words::part_of(line.share)),
            _ => None,
        })
    });
    paragraph(out, "answer", &format!("{} {most}", words::answer(worked, budget, phrases)));
    let more = phrases.fill("uncertainty.more", |place| (place == "result").then(|| result.clone()));
    out.push_str(&format!(
        "<details class=\"tk-sure__more\"><summary class=\"tk-sure__open\">{}</summary>\n",
        html(&more)
    ));
    let edge = |sign: f64| say::quantity(budget.value + sign * budget.expanded(), unit);
    let explain = phrases.fill("uncertainty.explain", |place| match place {
        "low" => Some(edge(-1.0)),
        "high" => Some(edge(1.0)),
        _ => None,
    });
    paragraph(out, "text", &explain);
    table(out, budget, unit, &lines, phrases);
    out.push_str(&chart(&lines).figure(name, phrases.get("uncertainty.chart"), phrases));
    for note in words::notes(budget) {
        paragraph(out, "note", phrases.get(note));
    }
    let reaction = format!("{} s", crate::figures::exact(REACTION_S));
    let method = phrases.fill("uncertainty.method", |place| (place == "reaction").then(|| reaction.clone()));
    out.push_str(&format!("<p class=\"tk-source\">{} {}</p>\n", quantities(&method), source_list(SOURCES)));
    out.push_str("</details>\n</div>\n");
}

fn table(out: &mut String, budget: &Budget, unit: &Unit, lines: &[Line], phrases: &Phrases) {
    out.push_str(&format!(
        "<div class=\"tk-table tk-sure__table\" role=\"group\" tabindex=\"0\" aria-label=\"{}\"><table>\n<thead><tr>",
        html(phrases.get("uncertainty.table"))
    ));
    for (index, key) in ["what", "standard", "contribution", "share"].into_iter().enumerate() {
        let class = if index == 0 { "" } else { " class=\"tk-cell--end\"" };
        let text = html(phrases.get(&format!("uncertainty.column.{key}")));
        out.push_str(&format!("<th scope=\"col\"{class}>{text}</th>"));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for line in lines {
        row(out, [&capital(&line.name), &line.standard, &line.contribution, &words::part_of(line.share)]);
    }
    out.push_str("</tbody>\n<tfoot>\n");
    let k = |place: &str| (place == "k").then(|| crate::figures::exact(COVERAGE));
    row(out, [phrases.get("uncertainty.row.together"), "", &words::doubt(budget.standard, unit), "100 %"]);
    row(out, [&phrases.fill("uncertainty.row.expanded", k), "", &words::doubt(budget.expanded(), unit), ""]);
    out.push_str("</tfoot></table></div>\n");
}

fn row(out: &mut String, cells: [&str; 4]) {
    let [name, cells @ ..] = cells;
    out.push_str(&format!("<tr><th scope=\"row\">{}</th>", html(name)));
    for cell in cells {
        out.push_str(&format!("<td class=\"tk-cell--end\">{}</td>", quantities(cell)));
    }
    out.push_str("</tr>\n");
}

/// A bar for each line, all of the doubt being the full width.
fn chart(lines: &[Line]) -> Drawing {
    const ROW: f64 = 42.0;
    let mut drawing = Drawing::new(ROW * lines.len() as f64 + 6.0);
    let mut shares: Vec<String> = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        let top = ROW * index as f64;
        let share = words::part_of(line.share);
        drawing.label(Set::Start, 8.0, top + 18.0, Label::Plain(capital(&line.name)));
        drawing.label(Set::End, 352.0, top + 18.0, Label::Plain(share.clone()));
        drawing.rect("paper", 8.0, top + 25.0, 344.0, 12.0);
        drawing.rect("mark", 8.0, top + 25.0, 344.0 * line.share, 12.0);
        shares.push(format!("{} {share}", line.name));
    }
    drawing.say("uncertainty.chart.text", vec![("shares", Arg::Text(shares.join("; ")))]);
    drawing
}
