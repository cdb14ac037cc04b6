//! `tankside completions`: what a shell needs to complete half-typed commands.

use std::process::ExitCode;

use clap::{Arg, ArgMatches, Command, value_parser};
use clap_complete::Shell;

use super::{CommandEntry, Shelf, command, to_stdout};

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "completions",
    shelf: Shelf::Program,
    declare,
    run,
    examples: &[(
        "tankside completions bash > ~/.local/share/bash-completion/completions/tankside",
        "from the next shell on, the Tab key completes commands and options",
    )],
};

fn declare(command: Command) -> Command {
    command.about("print what a shell needs to complete half-typed commands").arg(
        Arg::new("shell")
            .value_name("SHELL")
            .required(true)
            .value_parser(value_parser!(Shell))
            .help("bash, elvish, fish, powershell or zsh"),
    )
}

fn run(words: &ArgMatches) -> ExitCode {
    if let Some(shell) = words.get_one::<Shell>("shell") {
        let mut script = Vec::new();
        clap_complete::generate(*shell, &mut command(), "tankside", &mut script);
        to_stdout(&format!("{}\n", String::from_utf8_lossy(&script).trim_end()));
    }
    ExitCode::SUCCESS
}
