//! The commands, one file each. Only these and `main` print.

pub mod completions;
mod desk;
pub mod help;
mod language;
pub mod manual;
pub mod mark;
mod misread;
pub mod parts;
mod patience;
pub mod phrases;
pub mod preview;
pub mod proof;
pub mod publish;
mod refused;
pub mod sheet;
pub mod start;
mod terminal;
pub mod work;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{Arg, ArgAction, ArgMatches, Command};

pub(crate) use terminal::{fitted, pasted, quoted, style, style_out, to_stderr, to_stdout};

/// Exit code for a command line that is not understood.
pub const MISUSED: u8 = 2;

/// Under which heading a command is listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shelf {
    /// Writing and publishing.
    Course,
    /// Numbers and records of people.
    Crew,
    /// The program itself.
    Program,
}

/// One command: what it takes, what it does, and how to write it.
#[derive(Debug)]
pub struct CommandEntry {
    /// Its name.
    pub name: &'static str,
    /// Its heading in the list of commands.
    pub shelf: Shelf,
    /// Adds what it is about and what it takes.
    pub declare: fn(Command) -> Command,
    /// Runs it.
    pub run: fn(&ArgMatches) -> ExitCode,
    /// Command lines with what each does; at least one.
    pub examples: &'static [(&'static str, &'static str)],
}

/// Every command, in the order of the list.
pub const COMMANDS: &[CommandEntry] = &[
    start::ENTRY,
    proof::ENTRY,
    preview::ENTRY,
    publish::ENTRY,
    parts::ENTRY,
    phrases::ENTRY,
    work::ENTRY,
    sheet::ENTRY,
    mark::ENTRY,
    completions::ENTRY,
    manual::ENTRY,
];

/// The whole command line, with its help.
pub fn command() -> Command {
    let with_help = |entry: &CommandEntry, declared: Command| {
        declared.after_help(help::examples(entry)).override_help(help::of(entry))
    };
    declared(with_help).override_help(help::overview())
}

/// The whole command line; `finished` is what is left to do for each command.
fn declared(finished: impl Fn(&CommandEntry, Command) -> Command) -> Command {
    let mut all = Command::new("tankside")
        .about("turn a folder of lessons and questions into a training site on sprayer calibration")
        .version(env!("CARGO_PKG_VERSION"))
        .subcommand_required(true)
        .arg_required_else_help(true)
        .disable_help_subcommand(true)
        .disable_help_flag(true)
        .disable_version_flag(true)
        .arg(help_flag())
        .arg(Arg::new("version").long("version").short('V').action(ArgAction::Version).help("print the version"));
    for entry in COMMANDS {
        let declared = (entry.declare)(Command::new(entry.name).disable_help_flag(true).arg(help_flag()));
        all = all.subcommand(finished(entry, declared));
    }
    all
}

fn help_flag() -> Arg {
    Arg::new("help").long("help").short('h').action(ArgAction::Help).help("print this help").display_order(1000)
}

/// Takes the words of a command line and does what they ask for.
pub fn run(words: impl IntoIterator<Item = OsString>) -> ExitCode {
    let words: Vec<OsString> = words.into_iter().collect();
    // The help of all commands takes a millisecond to write, and few ask for it.
    let understood = declared(|_, command| command).try_get_matches_from(&words);
    let matches = match understood.or_else(|_| command().try_get_matches_from(&words)) {
        Ok(matches) => matches,
        Err(fault) => return misread::answer(&fault, &words),
    };
    let chosen = matches.subcommand().and_then(|(name, words)| {
        let entry = COMMANDS.iter().find(|entry| entry.name == name)?;
        Some((entry, words))
    });
    match chosen {
        Some((entry, words)) => (entry.run)(words),
        // `subcommand_required` leaves no other.
        None => ExitCode::from(MISUSED),
    }
}
