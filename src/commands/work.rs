//! `tankside work`: one problem, worked in the terminal.

use super::language::{self, NoPhrases};
use super::refused;
use crate::commands::terminal::{colours, fitted_err};
use crate::commands::{CommandEntry, MISUSED, Shelf, fitted, to_stderr, to_stdout};
use crate::course::without_knock_ons;
use crate::problem::{Offer, clean, offered};
use anstyle::{AnsiColor, Style};
use clap::{Arg, ArgAction, ArgMatches, Command};
use std::process::ExitCode;
use tankside_calc::calculation::declare::{Calculator, FormItem, Group, Holds, Input, Need};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::read_to::{PREFIX, usual};
use tankside_calc::calculation::worked::{Worked, work_inputs};
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::doors::wire::{self, ResultUnitError};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::text::figures::{RESULT_FIGURES, shown, without_noise};
use tankside_calc::text::json::{Value, map};
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::words::uncertainty as words;
use tankside_calc::working::line;
use tankside_calc::working::record::{Rounding, Severity, System};

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "work",
    shelf: Shelf::Crew,
    declare,
    run: |words| run(&wanted(words)),
    examples: &[
        ("tankside work", "the list of calculators"),
        ("tankside work catch-test", "what the catch test takes, with units and ranges"),
        ("tankside work catch-test catch='186 fl oz, 60 s' --factors", "the catch test worked, units canceled"),
    ],
};

fn declare(command: Command) -> Command {
    command
        .about("work one problem; without inputs, list the calculators, or what one of them takes")
        .arg(Arg::new("calculator").value_name("CALCULATOR").help("which calculator"))
        .arg(
            Arg::new("given").value_name("NAME=VALUE").num_args(0..).help("inputs, for example catch='96 fl oz, 30 s'"),
        )
        .arg(
            Arg::new("in")
                .long("in")
                .value_name("RESULT=UNIT")
                .action(ArgAction::Append)
                .help("show a result in this unit"),
        )
        .arg(
            Arg::new("language")
                .long("language")
                .value_name("LANGUAGE")
                .help("a language of the stock course, or of `phrases/LANGUAGE.yaml` in this folder"),
        )
        .arg(
            Arg::new("units")
                .long("units")
                .value_name("us|metric")
                .value_parser(["us", "metric"])
                .default_value("us")
                .help("which units are shown"),
        )
        .arg(
            Arg::new("factors")
                .long("factors")
                .action(ArgAction::SetTrue)
                .help("write each step as factors and mark the units that cancel"),
        )
        .arg(Arg::new("json").long("json").action(ArgAction::SetTrue).help("print one JSON object"))
}

fn wanted(words: &ArgMatches) -> WorkRequest {
    let all = |name: &str| words.get_many::<String>(name).into_iter().flatten().cloned().collect();
    WorkRequest {
        calculator: words.get_one::<String>("calculator").cloned(),
        given: all("given"),
        wanted: all("in"),
        system: words.get_one::<String>("units").and_then(|id| System::from_id(id)).unwrap_or_default(),
        factors: words.get_flag("factors"),
        json: words.get_flag("json"),
        language: words.get_one::<String>("language").cloned(),
    }
}

/// What the command line asks for.
#[derive(Debug, Default)]
pub struct WorkRequest {
    /// The language it is written in; the stock course's unless named.
    pub language: Option<String>,
    /// The calculator.
    pub calculator: Option<String>,
    /// `name=value` words.
    pub given: Vec<String>,
    /// `RESULT=UNIT` words.
    pub wanted: Vec<String>,
    /// Units shown.
    pub system: System,
    /// Whether steps are written as factors, with the units that cancel.
    pub factors: bool,
    /// Whether JSON is printed.
    pub json: bool,
}

/// Works a problem, or lists calculators or inputs.
pub fn run(wanted: &WorkRequest) -> ExitCode {
    let phrases = match language::phrases(wanted.language.as_deref()) {
        Ok(phrases) => phrases,
        Err(NoPhrases::Said(fault)) if wanted.json => return refuse_as_json(&fault),
        Err(NoPhrases::Said(fault)) => return refuse(&fault),
        Err(NoPhrases::Mistakes(drawn)) if wanted.json => return refuse_as_json(&drawn),
        Err(NoPhrases::Mistakes(drawn)) => {
            to_stderr(&drawn);
            return ExitCode::from(MISUSED);
        }
    };
    let refuse = |fault: &str| if wanted.json { refuse_as_json(fault) } else { refuse(fault) };
    let Some(id) = &wanted.calculator else {
        if wanted.json {
            return refuse(&phrases.fill_with("terminal.json-needs", &[("option", "--json")]));
        }
        to_stdout(&fitted(&calculators(&phrases)));
        return ExitCode::SUCCESS;
    };
    let Some(found) = calculator(id) else {
        let title = phrases.fill_with("terminal.no-calculator", &[("name", id)]);
        let names = CALCULATORS.iter().map(|calculator| calculator.id);
        return refuse(&with_names(title, offered(id, names), &phrases));
    };
    // Whoever asks for JSON gets JSON or an error, never the list of inputs.
    if wanted.given.is_empty() && !wanted.json {
        to_stdout(&fitted(&inputs(found, wanted, &phrases)));
        return ExitCode::SUCCESS;
    }
    match answer(found, wanted, &phrases) {
        Ok(text) => {
            to_stdout(&if wanted.json { text } else { fitted(&text) });
            ExitCode::SUCCESS
        }
        Err(fault) => refuse(&fault),
    }
}

/// What is wrong, and lines that are set in with what to write, as the language's phrases have them.
fn refuse(fault: &str) -> ExitCode {
    to_stderr(&fitted_err(&format!("{}\n", clean(fault).trim_end())));
    ExitCode::from(MISUSED)
}

/// A refusal with names to write instead, if there are any.
fn with_names(title: String, offer: Option<Offer>, phrases: &Phrases) -> String {
    match offer {
        Some(offer) => format!("{title}\n  {}", refused::names_instead(&offer, phrases)),
        None => title,
    }
}

/// The same for a program that reads it: `{"error": …}` on one line.
fn refuse_as_json(fault: &str) -> ExitCode {
    let error = Value::from(&*clean(fault));
    to_stderr(&format!("{}\n", map(vec![("error", error)]).line()));
    ExitCode::from(MISUSED)
}

fn answer(found: &'static Calculator, wanted: &WorkRequest, phrases: &Phrases) -> Result<String, String> {
    let given = wire::as_typed(found, read_given(found, &wanted.given, phrases)?, phrases);
    let units = read_wanted(found, &wanted.wanted, phrases)?;
    let worked = work(found, &given, wanted.system)
        .map_err(|faults| refused::message(found, wanted, &given, without_knock_ons(found, faults), phrases))?;
    let wire = wire::worked(&worked, &units, phrases).map_err(|fault| match fault {
        ResultUnitError::NoResult(name) if found.result(&name).is_some() => {
            let what = found.result(&name).map(|spec| say::result_label(found, spec, phrases)).unwrap_or_default();
            let spec = found.result(&name).map_or(name.as_str(), |spec| spec.name);
            let needs = phrases.find(&format!("{}.needs.{spec}", found.id)).map(|text| format!("\n  {text}"));
            let title = phrases.fill_with("terminal.result-missing", &[("name", &name), ("what", &what)]);
            let command = format!("tankside work {}{}", found.id, in_language(wanted));
            let see = phrases.fill_with("terminal.see-needs", &[("command", &command)]);
            format!("{title}{}\n  {see}", needs.unwrap_or_default())
        }
        ResultUnitError::NoResult(name) => {
            let names: Vec<String> = worked.results.iter().map(|found| found.name()).collect();
            let title = phrases.fill_with("terminal.no-result", &[("name", &name)]);
            with_names(title, offered(&name, names.iter().map(String::as_str)), phrases)
        }
        ResultUnitError::WrongKind(name, unit) => {
            phrases.fill_with("terminal.other-kind", &[("name", &name), ("unit", &unit.shown())])
        }
    })?;
    if wanted.json {
        return Ok(wire.json().pretty());
    }
    Ok(written(&worked, &given, &wire, wanted.factors, phrases))
}

/// A `name=value` word as a shell takes it.
pub(super) fn shell(name: &str, value: &str) -> String {
    format!("{name}='{}'", value.replace('\'', "'\\''"))
}

/// Bytes of all inputs together that are read: several times as many as a full day plan has.
const LONGEST_GIVEN: usize = 20_000;

/// Reads `catch.1.volume='96 fl oz'`, and `catch='96 fl oz, 30 s'` once a row.
fn read_given(found: &'static Calculator, words: &[String], phrases: &Phrases) -> Result<RawInputs, String> {
    let length: usize = words.iter().map(String::len).sum();
    if length > LONGEST_GIVEN {
        let (length, most) = (length.to_string(), LONGEST_GIVEN.to_string());
        let title = phrases.fill_with("terminal.too-long", &[("length", &length), ("most", &most)]);
        return Err(format!("{title}\n  {}", phrases.get("terminal.one-problem")));
    }
    let mut pairs: Vec<(String, String)> = Vec::new();
    for word in words {
        let Some((name, value)) = word.split_once('=') else {
            let title = phrases.fill_with("terminal.no-input", &[("word", word)]);
            let places = [("form", "name=value"), ("example", &*first_example(found, phrases))];
            return Err(format!("{title}\n  {}", phrases.fill_with("terminal.write-input", &places)));
        };
        let (name, value) = (name.trim(), value.trim());
        let flat = match found.group(name) {
            Some(group) => {
                let row = RawInputs(pairs.clone()).rows(group.name) + 1;
                format!("{name}.{row}")
            }
            None => name.to_owned(),
        };
        pairs.push((flat, value.to_owned()));
    }
    let given = RawInputs(pairs).opened(found);
    for (index, (name, text)) in given.0.iter().enumerate() {
        if given.0[..index].iter().any(|(other, _)| other == name) {
            return Err(phrases.fill_with("terminal.twice", &[("name", name)]));
        }
        if let Some((group, fields)) = overfull(found, name) {
            let title = phrases.fill_with("terminal.row-too-long", &[("text", text)]);
            let write = phrases.fill_with("terminal.write", &[("example", &format!("{group}='{fields}'"))]);
            return Err(format!("{title}\n  {write}"));
        }
    }
    Ok(given)
}

/// For a part of a row that no field is left for: the group and its fields in order.
fn overfull(found: &Calculator, flat: &str) -> Option<(&'static str, String)> {
    let group = found.group(flat.strip_suffix('.')?.split('.').next()?)?;
    Some((group.name, field_names(group)))
}

fn field_names(group: &Group) -> String {
    // A name may come first, but it need not be there.
    let fields = group.fields.iter().filter(|field| !matches!(field.holds, Holds::Name));
    fields.map(|field| field.name).collect::<Vec<_>>().join(", ")
}

fn first_example(found: &Calculator, phrases: &Phrases) -> String {
    found.example.first().map_or_else(String::new, |(name, value)| shell(name, &phrases.number((*value).to_owned())))
}

/// What a command to paste needs so that it answers in the same language.
fn in_language(wanted: &WorkRequest) -> String {
    wanted.language.as_ref().map_or_else(String::new, |language| format!(" --language {language}"))
}

fn read_wanted(
    found: &'static Calculator,
    words: &[String],
    phrases: &Phrases,
) -> Result<Vec<(String, Unit)>, String> {
    let mut units = Vec::new();
    for word in words {
        let Some((name, unit)) = word.split_once('=') else {
            let name = found.results.first().map_or("RESULT", |spec| spec.name);
            let title = phrases.fill_with("terminal.no-unit", &[("word", &format!("--in {word}"))]);
            let write = phrases.fill_with("terminal.write", &[("example", &format!("--in {name}='…'"))]);
            return Err(format!("{title}\n  {write}"));
        };
        let unit = Unit::parse(unit).ok_or_else(|| {
            phrases.fill_with("terminal.unknown-unit", &[("unit", unit), ("word", &format!("--in {word}"))])
        })?;
        units.push((name.trim().to_owned(), unit));
    }
    Ok(units)
}

fn calculators(phrases: &Phrases) -> String {
    let mut out = format!("{}\n\n", phrases.get("terminal.calculators"));
    for calculator in CALCULATORS {
        out.push_str(&format!("  {:<18} {}\n", calculator.id, phrases.get(&format!("{}.summary", calculator.id))));
    }
    out
}

fn inputs(found: &'static Calculator, wanted: &WorkRequest, phrases: &Phrases) -> String {
    let system = wanted.system;
    let mut out = format!(
        "{}: {}\n\n{}\n",
        found.id,
        phrases.get(&format!("{}.summary", found.id)),
        phrases.get("terminal.inputs")
    );
    for item in found.inputs {
        match item {
            FormItem::One(input) => out.push_str(&input_line(found, input, input.name, system, phrases)),
            FormItem::Many(group) => {
                let times = phrases.fill_with("terminal.rows", &[("most", &group.most.to_string())]);
                out.push_str(&format!("  {}='{}'   {times}\n", group.name, field_names(group)));
                for field in group.fields {
                    let flat = format!("{}.N.{}", group.name, field.name);
                    out.push_str(&input_line(found, field, &flat, system, phrases));
                }
            }
        }
    }
    if !found.uncertain.is_empty() {
        out.push_str(&format!("  {:<26} {}\n", format!("{PREFIX}NAME"), phrases.get("site.work-read-to")));
    }
    out.push_str(&heading("terminal.results", phrases));
    for spec in found.results {
        // Somebody who works in liters has no use for the same figure in gallons.
        if system == System::Metric && only_us(&spec.units.pick(system)) {
            continue;
        }
        let unit = spec.units.pick(system).shown();
        out.push_str(
            &format!("  {:<26} {} ({unit})\n", spec.name, say::result_label(found, spec, phrases)).replace(" ()", ""),
        );
    }
    let example = system.pick(found.example, found.example_metric);
    let example = RawInputs(example.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect());
    // As it is typed in this language: 1,5 where a comma is the decimal mark.
    let example = wire::as_shown(found, example, phrases);
    let mut words: Vec<String> = example.0.iter().map(|(name, value)| shell(name, value)).collect();
    words.extend(wanted.language.iter().map(|language| format!("--language {language}")));
    out.push_str(&heading("terminal.example", phrases));
    out.push_str(&format!("  tankside work {} {}\n", found.id, words.join(" ")));
    out
}

fn input_line(found: &Calculator, input: &Input, flat: &str, system: System, phrases: &Phrases) -> String {
    let mut about: Vec<String> = vec![say::input_name(found, &flat.replace(".N.", ".1."), 1, phrases)];
    match input.holds {
        Holds::Choice(words) => about.push(phrases.fill_with("terminal.one-of", &[("words", &words.join(", "))])),
        Holds::Quantity(Kind::Number) => about.push(phrases.get("terminal.number").to_owned()),
        Holds::Quantity(_) => about.push(phrases.fill_with("terminal.in", &[("unit", &input.unit(system).shown())])),
        Holds::Count => about.push(phrases.get("terminal.whole-number").to_owned()),
        Holds::Name => about.push(phrases.get("terminal.name").to_owned()),
        Holds::Unit => about.push(phrases.get("terminal.unit").to_owned()),
    }
    if let Some(bounds) = input.bounds {
        let from = if bounds.positive { "terminal.above" } else { "terminal.from" };
        // In the unit named before, which is not always the one the limits are declared in.
        let unit = input.unit(system);
        let number = |amount: f64| {
            let si = say::rounded_limit(amount, &bounds, &unit);
            phrases.number(shown(without_noise(si / unit.size()), RESULT_FIGURES))
        };
        let range = |(low, high): (f64, f64)| {
            let high = format!("{} {}", number(high), unit.shown());
            phrases.fill_with("range", &[("low", &number(low)), ("high", high.trim_end())])
        };
        about.push(phrases.fill_with(from, &[("range", &range(bounds.hard))]));
        if bounds.plausible != bounds.hard {
            about.push(phrases.fill_with("terminal.usually", &[("range", &range(bounds.plausible))]));
        }
    }
    if let Some(read) = usual(input, system) {
        about.push(phrases.fill_with("terminal.read-to", &[("amount", &say::as_typed(&read, phrases))]));
    }
    match input.need {
        Need::Required => {}
        Need::Optional => about.push(phrases.get("terminal.optional").to_owned()),
        Need::Default(text) => about.push(
            phrases.fill_with("terminal.default", &[("value", &phrases.number(default_in(input, text, system)))]),
        ),
    }
    format!("  {flat:<26} {}\n", say::listed_apart(&about, phrases))
}

/// Whether a unit is of no use to somebody who works in metric units; time and percent are both systems'.
fn only_us(unit: &Unit) -> bool {
    let both = |symbol: &str| ["s", "min", "h", "%"].contains(&symbol);
    unit.is_us() && !unit.parts().all(|(part, _)| both(part.symbol))
}

/// A default in the units listed: `0 L` in metric for `0 gal`.
fn default_in(input: &Input, text: &str, system: System) -> String {
    let pairs = input.kind().and_then(|kind| typed::read(text, kind, None).ok());
    let Some(typed) = pairs.filter(|typed| typed.unit.is_us() == (system == System::Metric)) else {
        return text.to_owned();
    };
    let unit = input.unit(system);
    if unit.dim() == typed.unit.dim() && !unit.is_none() {
        tankside_calc::quantity::written::quantity(typed.si, &unit)
    } else {
        text.to_owned()
    }
}

/// Whether an input was given, or is a default that the working rests on: without it something else would come out.
fn counts(worked: &Worked, given: &RawInputs, name: &str) -> bool {
    if given.text(name).is_some_and(|text| !text.trim().is_empty()) {
        return true;
    }
    let inputs = worked.inputs.without(name);
    match work_inputs(worked.calculator, inputs, worked.system, Rounding::None) {
        Ok(without) => {
            let found = |worked: &Worked| worked.results.iter().map(|found| found.outcome.clone()).collect::<Vec<_>>();
            let raised = |worked: &Worked| worked.cautions.iter().map(|caution| caution.id).collect::<Vec<_>>();
            found(&without) != found(worked) || raised(&without) != raised(worked)
        }
        Err(_) => true,
    }
}

/// The problem as a person would write it down.
fn written(worked: &Worked, given: &RawInputs, wire: &wire::WorkedWire, factors: bool, phrases: &Phrases) -> String {
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
        out.push_str(&format!("  {label}: {}\n", value.text));
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
    for (found, (name, value)) in worked.results.iter().zip(&wire.results) {
        let label = say::result_heading(worked, found, phrases);
        let also = value.measured.as_ref().map_or_else(String::new, |text| format!("  ({text})"));
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
fn heading(key: &str, phrases: &Phrases) -> String {
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

/// How sure the results are, what matters most, and what it would take to be surer.
fn how_sure(worked: &Worked, wire: &wire::WorkedWire, phrases: &Phrases) -> String {
    let mut out = String::new();
    for (budget, (name, sure)) in worked.budgets.iter().zip(&wire.uncertainty) {
        if out.is_empty() {
            out.push_str(&format!("\n{}\n", phrases.get("uncertainty.sure")));
        }
        let label = worked.results.get(budget.result).map(|found| say::result_heading(worked, found, phrases));
        out.push_str(&format!(
            "  {}: {}   [{name}]\n",
            label.unwrap_or_default(),
            sure.get("text").text().unwrap_or_default()
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
