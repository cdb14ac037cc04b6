//! What `--help` prints: the purpose, how the command is written, what it takes, examples.

use anstyle::Style as Look;
use clap::{Arg, Command};

use super::terminal::{colours, width};
use super::{COMMANDS, CommandEntry, Shelf};
use crate::problem::{KEPT, filled, wrapped};

pub(super) const SHELVES: [(Shelf, &str); 3] =
    [(Shelf::Course, "Make a course"), (Shelf::Crew, "Work with numbers and people"), (Shelf::Program, "Set up")];

/// When there are colors.
pub(super) const COLORS: &str = "Colors appear only on a terminal; set NO_COLOR=1 or TERM=dumb to turn them off.";
/// The exit codes.
pub(super) const EXIT: [(&str, &str); 3] = [
    ("0", "done"),
    ("1", "the course has mistakes, or something could not be written"),
    ("2", "the command line was not understood"),
];

/// What holds for every command.
fn foot() -> String {
    let codes: Vec<String> = EXIT.iter().map(|(code, means)| format!("{code}: {means}.")).collect();
    format!("{COLORS} Exit code {}", codes.join(" "))
}

/// The list of commands.
pub fn overview() -> String {
    let bold = bold();
    let mut out = String::new();
    paragraph(
        &mut out,
        "tankside turns a folder of lessons and questions into a training site on sprayer calibration.",
    );
    for (shelf, heading) in SHELVES {
        out.push_str(&format!("\n{bold}{heading}{bold:#}\n"));
        for entry in COMMANDS.iter().filter(|entry| entry.shelf == shelf) {
            row(&mut out, entry.name, 13, &about(&declared(entry)));
        }
    }
    out.push_str(&format!("\n{bold}For example{bold:#}\n"));
    out.push_str(&example("tankside publish --help", "what `publish` takes, with examples"));
    out.push_str(&example("tankside publish", "the course in this folder, or the demo course, becomes a site"));
    out.push('\n');
    paragraph(&mut out, &foot());
    out
}

/// The help of one command.
pub fn of(entry: &CommandEntry) -> String {
    let (command, bold) = (declared(entry), bold());
    let mut out = String::new();
    paragraph(&mut out, &format!("{}: {}.", entry.name, about(&command)));
    out.push_str(&format!("\n{bold}Write{bold:#}\n{}\n\n", filled(&kept(&usage(entry)), width(), "  ", "      ")));
    let arguments: Vec<&Arg> = command.get_arguments().collect();
    let wide = arguments.iter().map(|arg| name(arg).chars().count()).max().unwrap_or(0).min(24) + 2;
    for argument in arguments {
        row(&mut out, &name(argument), wide, &does(argument));
    }
    out.push_str(&format!("\n{bold}For example{bold:#}\n"));
    out.push_str(&examples(entry));
    out.push('\n');
    paragraph(&mut out, &foot());
    out
}

/// What is in brackets stays on one line.
fn kept(usage: &str) -> String {
    let mut inside = false;
    let letters = usage.chars().map(|letter| {
        inside = letter == '[' || inside && letter != ']';
        if inside && letter == ' ' { KEPT } else { letter }
    });
    letters.collect()
}

/// The examples of a command, each with what it does.
pub fn examples(entry: &CommandEntry) -> String {
    entry.examples.iter().map(|(line, does)| example(line, does)).collect()
}

/// A line to paste, and below it what it does.
fn example(line: &str, does: &str) -> String {
    format!("{}\n{}\n", pasted(line, width()).join("\n"), filled(does, width(), "      ", "      "))
}

/// A command line in lines of a width, each but the last with the backslash at its end that lets a shell read on. An
/// option stays with its value, and what is in quotes stays whole.
fn pasted(line: &str, width: usize) -> Vec<String> {
    let quoted = |(at, piece): (usize, &str)| match at % 2 {
        1 => format!("'{}'", piece.replace(' ', &KEPT.to_string())),
        _ => piece.to_owned(),
    };
    let whole: String = line.split('\'').enumerate().map(quoted).collect();
    let mut words: Vec<String> = Vec::new();
    for word in whole.split(' ') {
        match words.last_mut() {
            Some(last) if !word.starts_with("--") && (last.starts_with("--") && !last.contains(' ') || last == ">") => {
                last.push_str(&format!(" {word}"));
            }
            _ => words.push(word.to_owned()),
        }
    }
    // Two columns at the end of a line belong to the backslash.
    let lines = wrapped(&words.join("\n").replace(' ', &KEPT.to_string()).replace('\n', " "), width - 2, "  ", "    ");
    let last = lines.len() - 1;
    let ended = |(at, line): (usize, String)| if at < last { format!("{line} \\") } else { line };
    lines.into_iter().enumerate().map(ended).collect()
}

/// `tankside publish [COURSE] [--to DIR]`
pub(super) fn usage(entry: &CommandEntry) -> String {
    let mut out = format!("tankside {}", entry.name);
    let command = declared(entry);
    let (placed, named): (Vec<&Arg>, Vec<&Arg>) = command.get_arguments().partition(|arg| arg.is_positional());
    for arg in placed.into_iter().chain(named) {
        let more = if arg.get_num_args().is_some_and(|range| range.max_values() > 1) { " …" } else { "" };
        if arg.is_required_set() {
            out.push_str(&format!(" {}{more}", name(arg)));
        } else {
            out.push_str(&format!(" [{}{more}]", name(arg)));
        }
    }
    out
}

/// What a word of the command line does, and what holds without it.
pub(super) fn does(argument: &Arg) -> String {
    let mut text = argument.get_help().map(ToString::to_string).unwrap_or_default();
    let defaults: Vec<_> = argument.get_default_values().iter().map(|value| value.to_string_lossy()).collect();
    let defaults: Vec<_> = defaults.into_iter().filter(|value| !value.is_empty()).collect();
    if !defaults.is_empty() && argument.get_action().takes_values() {
        text.push_str(&format!("; {} unless given", defaults.join(" ")));
    }
    text
}

pub(super) fn declared(entry: &CommandEntry) -> Command {
    (entry.declare)(Command::new(entry.name))
}

pub(super) fn about(command: &Command) -> String {
    command.get_about().map(ToString::to_string).unwrap_or_default()
}

/// `COURSE`, `--to DIR` or `--json`.
pub(super) fn name(arg: &Arg) -> String {
    let value = arg.get_value_names().and_then(|names| names.first()).map(ToString::to_string);
    match (arg.get_long(), value) {
        (Some(long), Some(value)) if arg.get_action().takes_values() => format!("--{long} {value}"),
        (Some(long), _) if arg.get_action().takes_values() => format!("--{long} WORD"),
        (Some(long), _) => format!("--{long}"),
        (None, value) => value.unwrap_or_else(|| arg.get_id().to_string().to_uppercase()),
    }
}

fn row(out: &mut String, name: &str, wide: usize, text: &str) {
    let indent = " ".repeat(wide + 2);
    let first = format!("  {name:<wide$}");
    let first = if name.chars().count() >= wide { format!("  {name}\n{indent}") } else { first };
    let wrapped = filled(text, width(), &indent, &indent);
    out.push_str(&first);
    out.push_str(wrapped.strip_prefix(indent.as_str()).unwrap_or(&wrapped));
    out.push('\n');
}

fn paragraph(out: &mut String, text: &str) {
    out.push_str(&filled(text, width(), "", ""));
    out.push('\n');
}

fn bold() -> Look {
    if colours() { Look::new().bold() } else { Look::new() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_has_an_example_of_itself_and_says_what_each_word_is() {
        for entry in COMMANDS {
            let help = of(entry);
            assert!(!entry.examples.is_empty(), "{}", entry.name);
            for (line, does) in entry.examples {
                assert!(line.starts_with(&format!("tankside {}", entry.name)) && !does.is_empty(), "{line}");
            }
            for arg in declared(entry).get_arguments() {
                assert!(
                    arg.get_help().is_some_and(|help| help.to_string().len() > 5),
                    "{} {}",
                    entry.name,
                    arg.get_id()
                );
            }
            assert!(help.contains("For example\n  tankside ") && help.ends_with("understood.\n"), "{help}");
            assert!(help.contains("NO_COLOR") && help.contains("TERM=dumb"), "{help}");
        }
    }

    #[test]
    fn a_line_to_paste_is_broken_only_where_a_shell_reads_on() {
        for line in COMMANDS.iter().flat_map(|entry| entry.examples).map(|(line, _)| *line) {
            for width in [60, 80, 100] {
                let lines = pasted(line, width);
                let joined = lines.iter().map(|line| line.trim_start().trim_end_matches('\\')).collect::<String>();
                assert_eq!(joined, line, "{width}");
                assert!(lines.iter().all(|line| line.chars().count() <= width), "{width}: {lines:?}");
                assert!(lines.iter().all(|line| line.matches('\'').count() % 2 == 0), "{width}: {lines:?}");
            }
        }
    }

    #[test]
    fn every_example_is_taken_by_the_command_line() {
        for (line, _) in COMMANDS.iter().flat_map(|entry| entry.examples) {
            let words = line.split(" > ").next().unwrap_or_default();
            // Values in quotes hold spaces; for the command line they are one word like any other.
            let words = words
                .split('\'')
                .enumerate()
                .map(|(at, part)| if at % 2 == 1 { "x=y".to_owned() } else { part.to_owned() });
            let words: String = words.collect();
            let taken = super::super::command().try_get_matches_from(words.split_whitespace());
            assert!(taken.is_ok(), "{line}: {:?}", taken.err().map(|fault| fault.kind()));
        }
    }
}
