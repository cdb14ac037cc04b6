//! What came out: one result large, further ones smaller, the rest folded; and a danger in place of the large one.

use super::{Options, fold};
use crate::calculation::worked::Worked;
use crate::text::escape::{html, markup, quantities};
use crate::text::texts::{joined, parted};
use crate::words::phrases::{Phrases, fill_in};
use crate::words::say;
use crate::working::record::{Caution, Outcome, Severity, WorkedResult};

/// Lines of a comparison that are in sight.
const COMPARED: usize = 3;
/// Results shown in a sentence.
const IN_A_SENTENCE: usize = 2;

/// The results sorted by how they are shown.
pub(super) struct Results<'a> {
    worked: &'a Worked,
    phrases: &'a Phrases,
    /// In sight, the large one first.
    pub(super) main: Vec<&'a WorkedResult>,
    /// Folded.
    more: Vec<&'a WorkedResult>,
    /// Of rows that are compared: a line each.
    compared: Vec<Vec<&'a WorkedResult>>,
}

impl<'a> Results<'a> {
    /// `large` is the name of the result that comes first, if the page says so.
    pub(super) fn of(worked: &'a Worked, large: &str, phrases: &'a Phrases) -> Results<'a> {
        let columns = |found: &&WorkedResult| worked.calculator.compare.is_some() && !found.rows.is_empty();
        let (side, listed): (Vec<&WorkedResult>, Vec<&WorkedResult>) = worked.unasked().partition(columns);
        let chosen = worked.result(large);
        let other = |found: &&WorkedResult| chosen.is_none_or(|chosen| !std::ptr::eq(chosen, *found));
        let (mut main, mut more): (Vec<&WorkedResult>, Vec<&WorkedResult>) =
            listed.into_iter().filter(other).partition(|found| found.spec.main);
        if let Some(chosen) = chosen {
            main.insert(0, chosen);
        } else if main.is_empty() && side.is_empty() && !more.is_empty() {
            main.push(more.remove(0));
        }
        let mut compared: Vec<Vec<&WorkedResult>> = Vec::new();
        for item in side {
            let rest = item.rows.get(1..);
            let same =
                |line: &&mut Vec<&WorkedResult>| line[0].spec.name == item.spec.name && line[0].rows.get(1..) == rest;
            match compared.iter_mut().find(same) {
                Some(line) => line.push(item),
                None => compared.push(vec![item]),
            }
        }
        Results { worked, phrases, main, more, compared }
    }

    /// What is in sight.
    pub(super) fn put(&self, out: &mut String) {
        let worked = self.worked;
        let dangers: Vec<&Caution> = worked.cautions.iter().filter(|one| one.severity == Severity::Danger).collect();
        if !dangers.is_empty() {
            markup!(
                out,
                "<div class=\"tk-stop\" role=\"group\" aria-label=\"",
                html(self.phrases.get("severity.danger")),
                "\"><p class=\"tk-stop__word\">",
                html(self.phrases.get("severity.danger")),
                "</p>\n"
            );
            for danger in &dangers {
                let text = quantities(&say::caution(worked, danger, self.phrases));
                markup!(out, "<p class=\"tk-stop__text\">", &text, "</p>\n");
            }
        }
        if !self.main.is_empty() {
            out.push_str("<dl class=\"tk-results\">\n");
            for (index, found) in self.main.iter().enumerate() {
                self.result(
                    out,
                    found,
                    if index == 0 { " tk-result--main tk-result--large" } else { " tk-result--main" },
                );
            }
            out.push_str("</dl>\n");
        }
        if !dangers.is_empty() {
            out.push_str("</div>\n");
        }
        if !self.compared.is_empty() {
            self.side_by_side(out, &self.compared[..COMPARED.min(self.compared.len())], "fragment.compare");
        }
    }

    /// The main results in a sentence each, with the dangers before them.
    pub(super) fn sentence(&self, out: &mut String) {
        if self.main.is_empty() || self.worked.cautions.iter().any(|one| one.severity == Severity::Danger) {
            return self.put(out);
        }
        let said: Vec<String> = self
            .main
            .iter()
            .take(IN_A_SENTENCE)
            .map(|found| {
                let value = [
                    "<strong data-result=\"",
                    &found.name(),
                    "\">",
                    &quantities(&say::outcome(found, self.phrases)),
                    "</strong>",
                ]
                .concat();
                // The value is markup, so the phrase is escaped before its places are filled.
                // A verdict is said in its own words: "What to do: good", which no "is" joins.
                let key = match found.outcome {
                    Outcome::Quantity(..) => "fragment.sentence",
                    Outcome::Verdict(_) => "fragment.sentence-verdict",
                };
                fill_in(&html(self.phrases.get(key)), |place, form| match place {
                    "name" => Some(html(&say::result_in(self.worked, found, form, self.phrases))),
                    "value" => Some(value.clone()),
                    _ => None,
                })
            })
            .collect();
        markup!(out, "<p class=\"tk-answer__sentence\">", &joined(&said, " "), "</p>\n");
    }

    /// What is folded: all results that are not in sight.
    pub(super) fn rest(&self, out: &mut String, options: &Options, in_a_sentence: bool) {
        let compared = &self.compared[COMPARED.min(self.compared.len())..];
        let told = self.main.len().min(if in_a_sentence { IN_A_SENTENCE } else { usize::MAX });
        let main = if self.worked.cautions.iter().any(|one| one.severity == Severity::Danger) {
            &[]
        } else {
            &self.main[told..]
        };
        if self.more.is_empty() && compared.is_empty() && main.is_empty() {
            return;
        }
        let title = html(self.phrases.get("fragment.more-results"));
        fold(out, options, "results", options.show == super::Show::Everything, &title, |out| {
            let listed: Vec<&WorkedResult> = main.iter().chain(&self.more).copied().collect();
            // What was found for one nozzle, or one run, is a row of its own.
            for row in listed.chunk_by(|a, b| a.rows.first() == b.rows.first()) {
                let own = row.len() > 1 && !row[0].rows.is_empty();
                out.push_str(if own {
                    "<dl class=\"tk-results tk-results--row\">\n"
                } else {
                    "<dl class=\"tk-results\">\n"
                });
                for found in row {
                    self.result(out, found, "");
                }
                out.push_str("</dl>\n");
            }
            if !compared.is_empty() {
                self.side_by_side(out, compared, "fragment.more-results");
            }
        });
    }

    /// Results of compared rows: a column for each row, a line for each result.
    fn side_by_side(&self, out: &mut String, lines: &[Vec<&WorkedResult>], label: &str) {
        let (worked, phrases) = (self.worked, self.phrases);
        let group = worked.calculator.compare.unwrap_or_default();
        markup!(
            out,
            "<div class=\"tk-table tk-compare\" role=\"group\" tabindex=\"0\" aria-label=\"",
            html(phrases.get(label)),
            "\"><table>\n<thead><tr><th scope=\"col\">",
            html(phrases.get("fragment.compare-what")),
            "</th>"
        );
        for row in worked.inputs.rows_at(group) {
            let lead = worked.calculator.group(group).and_then(|group| group.fields.first());
            let value = lead
                .and_then(|field| worked.inputs.typed_at(&row.name(field.name)))
                .map(|typed| say::as_typed(typed, phrases));
            let title = value.unwrap_or_else(|| row.number.to_string());
            markup!(out, "<th scope=\"col\" class=\"tk-cell--end\">", quantities(&title), "</th>");
        }
        out.push_str("</tr></thead>\n<tbody>\n");
        for cells in lines {
            let name = html(&say::line_label(worked, cells[0], phrases));
            markup!(out, "<tr><th scope=\"row\">", &name, "</th>");
            for cell in cells {
                let also = say::measured(cell, worked.system, phrases)
                    .map_or_else(String::new, |text| ["<br>", &quantities(&text)].concat());
                let value = quantities(&say::outcome(cell, phrases));
                markup!(out, "<td class=\"tk-cell--end\" data-result=\"", &cell.name(), "\">", &value, &also, "</td>");
            }
            out.push_str("</tr>\n");
        }
        out.push_str("</tbody></table></div>\n");
    }

    fn result(&self, out: &mut String, found: &WorkedResult, class: &str) {
        let (worked, phrases) = (self.worked, self.phrases);
        let name = html(&say::result_heading(worked, found, phrases));
        markup!(
            out,
            "<div class=\"tk-result",
            class,
            "\" data-result=\"",
            &found.name(),
            "\"><dt class=\"tk-result__name\">",
            &name,
            "</dt><dd class=\"tk-result__value\">"
        );
        match &found.outcome {
            Outcome::Quantity(si, unit) => {
                let text = say::amount(found, *si, unit, phrases);
                let shown = unit.shown();
                let number = if shown.is_empty() {
                    text.as_str()
                } else {
                    parted(&text, &shown).map_or(text.as_str(), |(number, _)| number)
                };
                markup!(out, "<span class=\"tk-result__number\">", html(number.trim()), "</span>");
                if !shown.is_empty() {
                    markup!(out, " <span class=\"tk-result__unit\">", quantities(&shown), "</span>");
                }
            }
            Outcome::Verdict(key) => out.push_str(&html(phrases.get(key))),
        }
        out.push_str("</dd>");
        if let Some(text) = say::measured(found, worked.system, phrases) {
            markup!(out, "<dd class=\"tk-result__also\">", quantities(&text), "</dd>");
        }
        out.push_str("</div>\n");
    }
}
