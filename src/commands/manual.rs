//! `tankside manual`: the manual page, in the markup that `man` reads.

use std::process::ExitCode;

use clap::{Arg, ArgMatches, Command};
use roff::{Roff, bold, roman};

use super::help::{COLORS, EXIT, SHELVES, about, declared, does, name, usage};
use super::{COMMANDS, CommandEntry, Shelf, to_stdout};
use crate::problem::sentence;

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "manual",
    shelf: Shelf::Program,
    declare,
    run,
    examples: &[
        ("tankside manual > tankside.1", "the manual page; read it with: man ./tankside.1"),
        ("tankside manual publish > tankside-publish.1", "the page of one command"),
    ],
};

fn declare(command: Command) -> Command {
    let names = COMMANDS.iter().map(|entry| entry.name).collect::<Vec<_>>();
    command
        .about("print the manual page, as `man` reads it")
        .arg(Arg::new("command").value_name("COMMAND").value_parser(names).help("only the page of this command"))
}

fn run(words: &ArgMatches) -> ExitCode {
    let wanted = words.get_one::<String>("command");
    let page = match wanted.and_then(|name| COMMANDS.iter().find(|entry| entry.name == *name)) {
        Some(entry) => of_one(entry),
        None => of_all(),
    };
    to_stdout(&plain(&page.render()));
    ExitCode::SUCCESS
}

/// Letters beyond ASCII as escapes, which are read whatever the locale says.
fn plain(page: &str) -> String {
    let letters = page.chars().map(|letter| match letter {
        letter if letter.is_ascii() => letter.to_string(),
        letter => format!("\\[u{:04X}]", u32::from(letter)),
    });
    letters.collect()
}

/// What every page begins with; `purpose` reads on after a dash.
fn begun(title: &str, purpose: &str) -> Roff {
    let mut page = Roff::new();
    page.control("TH", [title.to_uppercase().as_str(), "1", "", concat!("tankside ", env!("CARGO_PKG_VERSION"))]);
    // No command is broken in the middle of a word.
    page.control("nh", []);
    page.control("SH", ["NAME"]).text([roman(format!("{title} - {purpose}"))]);
    page
}

fn of_all() -> Roff {
    let mut page = begun("tankside", "turn lessons and questions into a training site on sprayer calibration");
    page.control("SH", ["HOW IT IS WRITTEN"]).text([bold("tankside COMMAND"), roman(" and what the command takes.")]);
    page.control("PP", []).text([bold("tankside COMMAND --help"), roman(" prints what it takes, with examples;")]);
    page.text([bold("tankside --version"), roman(" prints the version.")]);
    for (shelf, heading) in SHELVES {
        page.control("SH", [heading.to_uppercase().as_str()]);
        for entry in COMMANDS.iter().filter(|entry| entry.shelf == shelf) {
            page.control("SS", [entry.name]).text([roman(sentence(&about(&declared(entry))))]);
            taken(&mut page, entry);
        }
    }
    page.control("SH", ["EXAMPLES"]);
    for entry in COMMANDS {
        shown(&mut page, entry.examples.iter().take(1));
    }
    ended(page)
}

fn of_one(entry: &CommandEntry) -> Roff {
    let mut page = begun(&format!("tankside-{}", entry.name), &about(&declared(entry)));
    page.control("SH", ["HOW IT IS WRITTEN"]);
    taken(&mut page, entry);
    page.control("SH", ["EXAMPLES"]);
    shown(&mut page, entry.examples.iter());
    ended(page)
}

/// How a command is written, and each word of it.
fn taken(page: &mut Roff, entry: &CommandEntry) {
    page.control("PP", []).text([bold(usage(entry))]);
    for argument in declared(entry).get_arguments() {
        page.control("TP", []).text([bold(name(argument))]).text([roman(does(argument))]);
    }
}

fn shown<'e>(page: &mut Roff, examples: impl Iterator<Item = &'e (&'static str, &'static str)>) {
    for (line, does) in examples {
        page.control("TP", []).text([bold(*line)]).text([roman(*does)]);
    }
}

/// What holds for every command.
fn ended(mut page: Roff) -> Roff {
    page.control("SH", ["COLORS"]).text([roman(COLORS)]);
    page.control("SH", ["EXIT CODES"]);
    for (code, means) in EXIT {
        page.control("TP", []).text([bold(code)]).text([roman(means)]);
    }
    page
}
