//! `tankside work`: one problem, worked in the terminal.

mod arguments;
mod block;
mod listed;
mod named;
mod written;

use super::language::{self, NoPhrases};
use super::refused;
use super::terminal::fitted_err;
use crate::commands::{CommandEntry, MISUSED, Shelf, fitted, quoted, to_stderr, to_stdout};
use crate::course::without_knock_ons;
use crate::problem::{Offer, clean, offered};
use arguments::{read_given, read_wanted};
use block::block;
use clap::{Arg, ArgAction, ArgMatches, Command};
use listed::{calculators, inputs};
use named::shown_name;
use std::process::ExitCode;
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::read_to::{PREFIX, field_of};
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::doors::notation::as_typed;
use tankside_calc::doors::wire::{self, ResultUnitError};
use tankside_calc::text::json::{Value, map};
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::System;
use tankside_calc::working::record::{self, Caution, Severity};
use written::written;

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
        ("tankside work catch-test --block", "the block of a lesson that works it, to paste"),
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
        .arg(
            Arg::new("block")
                .long("block")
                .action(ArgAction::SetTrue)
                .conflicts_with_all(["json", "factors", "in"])
                .help("print the block of a lesson that works these inputs, or the calculator's own example"),
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
        block: words.get_flag("block"),
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
    /// Whether the block of a lesson is printed in place of the working.
    pub block: bool,
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
    if wanted.given.is_empty() && wanted.block {
        let example = RawInputs::from_pairs(wanted.system.pick(found.example, found.example_metric));
        to_stdout(&block(found.id, &example, wanted.system));
        return ExitCode::SUCCESS;
    }
    if wanted.given.is_empty() && !wanted.json {
        to_stdout(&fitted(&inputs(found, wanted, &phrases)));
        return ExitCode::SUCCESS;
    }
    match answer(found, wanted, &phrases) {
        Ok(text) => {
            to_stdout(&if wanted.json || wanted.block { text } else { fitted(&text) });
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
pub(super) fn refuse_as_json(fault: &str) -> ExitCode {
    let error = Value::from(&*clean(fault));
    to_stderr(&format!("{}\n", map(vec![("error", error)]).line()));
    ExitCode::from(MISUSED)
}

fn answer(found: &'static Calculator, wanted: &WorkRequest, phrases: &Phrases) -> Result<String, String> {
    let given = as_typed(found, read_given(found, &wanted.given, phrases)?, phrases);
    let units = read_wanted(found, &wanted.wanted, phrases)?;
    let mut worked = work(found, &given, wanted.system)
        .map_err(|faults| refused::message(found, wanted, &given, without_knock_ons(found, faults), phrases))?;
    worked.cautions.extend(readings_of_nothing(&given).map(|name| Caution {
        id: "caution.no-part",
        severity: Severity::Notice,
        args: vec![("input", record::Arg::Name(name))],
    }));
    let wire = wire::worked(&worked, &units, phrases).map_err(|fault| match fault {
        ResultUnitError::NoResult(name) if found.result(&name).is_some() => {
            let what = found.result(&name).map(|spec| say::result_label(found, spec, phrases)).unwrap_or_default();
            let spec = found.result(&name).map_or(name.as_str(), |spec| spec.name);
            let needs = phrases.find(&format!("{}.needs.{spec}", found.id)).map(|text| format!("\n  {text}"));
            let title = phrases.fill_with("terminal.result-missing", &[("name", &name), ("what", &what)]);
            let language = wanted.language.as_ref().map_or_else(String::new, |code| format!(" --language {code}"));
            let command = format!("tankside work {}{language}", found.id);
            let see = phrases.fill_with("terminal.see-needs", &[("command", &command)]);
            format!("{title}{}\n  {see}", needs.unwrap_or_default())
        }
        ResultUnitError::NoResult(name) => {
            let names: Vec<String> =
                worked.results.iter().map(|found| shown_name(&found.name(), wanted.system)).collect();
            let title = phrases.fill_with("terminal.no-result", &[("name", &name)]);
            with_names(title, offered(&name, names.iter().map(String::as_str)), phrases)
        }
        ResultUnitError::WrongKind(name, unit) => {
            phrases.fill_with("terminal.other-kind", &[("name", &name), ("unit", &unit.shown())])
        }
    })?;
    if wanted.block {
        return Ok(block(found.id, &given, wanted.system));
    }
    if wanted.json {
        return Ok(wire.json().pretty());
    }
    Ok(written(&worked, &given, &wire, wanted.factors, phrases))
}

/// Names such as `read-to.left` where nothing was given that could be read so.
fn readings_of_nothing(given: &RawInputs) -> impl Iterator<Item = String> {
    let some = |text: &str| !text.trim().is_empty();
    let read = move |field: &str| given.0.iter().any(|(name, text)| field_of(name) == field && some(text));
    let named = given.0.iter().filter(move |(_, text)| some(text)).filter_map(|(name, _)| name.strip_prefix(PREFIX));
    named.filter(move |field| !read(field)).map(|field| format!("{PREFIX}{field}"))
}

/// A `name=value` word as a shell takes it.
pub(super) fn shell(name: &str, value: &str) -> String {
    format!("{name}={}", quoted(value))
}
