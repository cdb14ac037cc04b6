//! A worked problem as a person would write it down.

use super::named::shown_name;
use crate::commands::terminal::colours;
use anstyle::{AnsiColor, Style};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::read_to::usual;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::doors::wire;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::unit::unit;
use tankside_calc::uncertainty::{Cause, has_part};
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::words::uncertainty as words;
use tankside_calc::working::line;
use tankside_calc::working::record::Severity;

/// Whether an input was given, or is a default that the answer rests on.
fn counts(worked: &Worked, given: &RawInputs, name: &str) -> bool {
    given.text(name).is_some_and(|text| !text.trim().is_empty()) || has_part(worked, name)
}

/// The problem as a person would write it down.
pub(super) fn written(
    worked: &Worked,
    given: &RawInputs,
    wire: &wire::WorkedWire,
    factors: bool,
    phrases: &Phrases,
) -> String {
    let (dangers, cautions): (Vec<_>, Vec<_>) =
        wire.cautions.iter().partition(|caution| caution.severity == Severity::Danger.id());
    let mut out = format!("{}\n", phrases.get(&format!("{}.title", worked.calculator.id)));
    // A danger comes before every number that it concerns.
    if !dangers.is_empty() {
        out.push('\n');
        dangers.iter().for_each(|danger| out.push_str(&cautioned(danger, phrases)));
    }
    out.push_str(&heading("terminal.given", phrases));
    for (name, value) in wire.inputs.iter().filter(|(name, _)| counts(worked, given, name)) {
        let group = name.split('.').next().unwrap_or(name);
        let label = say::input_name(worked.calculator, name, worked.inputs.row_count_at(group), phrases);
        // A code stamped on a tip is no amount: 11003, not 11,003.
        let digits = |text: &&str| !text.is_empty() && text.bytes().all(|letter| letter.is_ascii_digit());
        out.push_str(&format!("  {label}: {}\n", given.text(name).filter(digits).unwrap_or(&value.text)));
    }
    out.push_str(&heading("terminal.steps", phrases));
    if factors {
        out.push_str(&format!("  {}\n", phrases.get("terminal.cancels")));
    }
    for (index, step) in worked.steps.iter().enumerate() {
        let title = say::step_label(worked, step, phrases);
        let formula = say::formula(worked, step, phrases);
        out.push_str(&format!("  {}. {title}\n       {formula}\n", index + 1));
        if factors {
            out.push_str(&format!("     = {}\n", wire.steps[index].factors));
        } else {
            let numbers = say::numbers(&line::numbers(step), phrases);
            out.push_str(&format!("     = {numbers}\n     = {}\n", say::step_value(step, phrases)));
        }
    }
    out.push_str(&heading("terminal.results", phrases));
    for found in worked.unasked() {
        let name = found.name();
        let Some((_, value)) = wire.results.iter().find(|(known, _)| **known == name) else { continue };
        let label = say::result_heading(worked, found, phrases);
        let also = value.measured.as_ref().map_or_else(String::new, |text| format!("  ({text})"));
        let name = shown_name(&name, worked.system);
        out.push_str(&format!("  {label}: {}{also}   [{name}]\n", value.text));
    }
    out.push_str(&how_sure(worked, wire, phrases));
    if !dangers.is_empty() {
        out.push('\n');
        dangers.iter().for_each(|danger| out.push_str(&cautioned(danger, phrases)));
    }
    if !cautions.is_empty() {
        out.push_str(&heading("terminal.cautions", phrases));
        cautions.iter().for_each(|caution| out.push_str(&cautioned(caution, phrases)));
    }
    out.push_str(&heading("site.law-short", phrases));
    out
}

/// A heading after a blank line.
pub(super) fn heading(key: &str, phrases: &Phrases) -> String {
    format!("\n{}\n", phrases.get(key))
}

/// A caution on a line of its own; a danger stands out by its frame, and by its color where color is allowed.
fn cautioned(caution: &wire::CautionWire, phrases: &Phrases) -> String {
    let said = phrases.fill_with(&format!("terminal.{}", caution.severity), &[("text", &caution.text)]);
    if caution.severity != Severity::Danger.id() {
        return format!("  {said}\n");
    }
    let look = if colours() { Style::new().bold().fg_color(Some(AnsiColor::Red.into())) } else { Style::new() };
    format!("{look}!! {said}{look:#}\n")
}

/// What ground counts as measured to, where a result rests on that and nobody said otherwise.
fn ground(worked: &Worked, phrases: &Phrases) -> String {
    let parts = worked.budgets.iter().flat_map(|budget| &budget.parts);
    let measured = parts.filter_map(|part| match &part.cause {
        Cause::Reading(flat) if !worked.inputs.says_read_to(flat) => worked.calculator.input(flat),
        _ => None,
    });
    let mut shares = measured.filter(|input| input.kind() == Some(Kind::Area)).filter_map(|input| {
        let read = usual(input, worked.system)?;
        (read.unit == unit!("%")).then(|| say::as_typed(&read, phrases))
    });
    let said = |share: String| format!("  {}\n", phrases.fill_with("terminal.ground", &[("share", &share)]));
    shares.next().map_or_else(String::new, said)
}

/// How sure the results are, what matters most, and what it would take to be surer.
fn how_sure(worked: &Worked, wire: &wire::WorkedWire, phrases: &Phrases) -> String {
    let mut out = String::new();
    for (budget, (name, sure)) in worked.budgets.iter().zip(&wire.uncertainty) {
        if out.is_empty() {
            out.push_str(&format!("\n{}\n", phrases.get("terminal.sure")));
            out.push_str(&ground(worked, phrases));
        }
        let label = worked.results.get(budget.result).map(|found| say::result_heading(worked, found, phrases));
        out.push_str(&format!(
            "  {}: {}   [{}]\n",
            label.unwrap_or_default(),
            sure.get("text").text().unwrap_or_default(),
            shown_name(name, worked.system)
        ));
        let lines: Vec<String> = words::lines(worked, budget, phrases)
            .iter()
            .map(|line| format!("{} {}", line.label, words::part_of(line.share, phrases)))
            .collect();
        out.push_str(&format!(
            "    {}\n    {}\n",
            say::listed_apart(&lines, phrases),
            sure.get("longer").get("text").text().unwrap_or_default()
        ));
    }
    out
}
