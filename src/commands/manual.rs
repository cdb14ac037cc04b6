//! `tankside manual`: the manual page, in the markup that `man` reads.

use std::process::ExitCode;

use clap::{Arg, ArgMatches, Command};
use clap_mangen::Man;

use super::{COMMANDS, CommandEntry, Shelf, command, help, to_stdout};

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
    let whole = command();
    let wanted = words.get_one::<String>("command");
    let described = match wanted.and_then(|name| COMMANDS.iter().find(|entry| entry.name == *name)) {
        Some(entry) => {
            let found = whole.find_subcommand(entry.name).cloned().unwrap_or_default();
            found.display_name(format!("tankside-{}", entry.name)).override_usage(help::usage(entry))
        }
        None => whole,
    };
    let mut page = Vec::new();
    // Writing to memory does not fail.
    let _ = Man::new(described).render(&mut page);
    to_stdout(&String::from_utf8_lossy(&page).replace(".SH EXTRA\n", ".SH EXAMPLES\n"));
    ExitCode::SUCCESS
}
