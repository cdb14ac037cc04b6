//! `tankside completions`: what a shell needs to complete half-typed commands.

use std::process::ExitCode;

use clap::{Arg, ArgMatches, Command, ValueHint, value_parser};
use clap_complete::Shell;

use super::{CommandEntry, Shelf, command, to_stdout};
use crate::catalogue::languages;
use crate::load::stock_parts;
use tankside_calc::calculators::registry::CALCULATORS;

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
        let script = String::from_utf8_lossy(&script);
        let script = if *shell == Shell::Fish { for_fish(&script) } else { script.into_owned() };
        to_stdout(&format!("{}\n", script.trim_end()));
    }
    ExitCode::SUCCESS
}

/// A script for fish in which files are offered only where a file or a folder is meant, and words where there are some.
fn for_fish(script: &str) -> String {
    let without_files = |line: &str| match line.strip_suffix(" -r") {
        Some(line) => format!("{line} -x\n"),
        None => format!("{line}\n"),
    };
    let mut script: String = script.lines().map(without_files).collect();
    for command in command().get_subcommands() {
        let paths = [ValueHint::AnyPath, ValueHint::DirPath, ValueHint::FilePath];
        if command.get_positionals().any(|positional| paths.contains(&positional.get_value_hint())) {
            continue;
        }
        let name = command.get_name();
        let first = command.get_positionals().next().map(Arg::get_possible_values).unwrap_or_default();
        let words: Vec<String> = match name {
            "work" => CALCULATORS.iter().map(|calculator| calculator.id.to_owned()).collect(),
            "parts" => stock_parts().map(|(part, _)| part).collect(),
            "phrases" => languages(),
            _ => first.iter().map(|word| word.get_name().to_owned()).collect(),
        };
        let words = if words.is_empty() { String::new() } else { format!(" -a \"{}\"", words.join(" ")) };
        script.push_str(&format!("complete -c tankside -n \"__fish_tankside_using_subcommand {name}\" -f{words}\n"));
    }
    script
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fish_offers_words_where_no_file_is_meant() {
        let mut script = Vec::new();
        clap_complete::generate(Shell::Fish, &mut command(), "tankside", &mut script);
        let script = for_fish(&String::from_utf8(script).expect("UTF-8"));
        let of = |name: &str| format!("-n \"__fish_tankside_using_subcommand {name}\" -f");
        assert!(
            script.contains(&format!("{} -a \"bash elvish fish powershell zsh\"\n", of("completions"))),
            "{script}"
        );
        assert!(script.contains(&format!("{} -a \"catch-test ", of("work"))), "{script}");
        assert!(script.contains(&format!("{}\n", of("sheet"))), "{script}");
        for with_files in ["publish", "proof", "preview", "start", "mark"] {
            assert!(!script.contains(&of(with_files)), "{with_files}");
        }
        assert!(!script.lines().any(|line| line.ends_with(" -r")), "{script}");
        assert!(script.lines().any(|line| line.ends_with("-r -F")), "{script}");
    }
}
