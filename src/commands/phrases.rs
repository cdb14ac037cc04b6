//! `tankside phrases`: every sentence that pages are written with, to be changed or translated by a course.

use std::process::ExitCode;

use clap::{Arg, ArgMatches, Command};

use super::{CommandEntry, Shelf, misread, to_stdout};
use crate::catalogue;
use crate::problem::offer;

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "phrases",
    shelf: Shelf::Course,
    declare,
    run,
    examples: &[
        ("tankside phrases", "every phrase of the stock course, as YAML"),
        (
            "tankside phrases > our-course/phrases/es.yaml",
            "a file to translate; words in braces are places for numbers and names, and stay",
        ),
    ],
};

fn declare(command: Command) -> Command {
    command.about("print every phrase that pages are written with, to change or translate").arg(
        Arg::new("language").value_name("LANGUAGE").help("a language of the stock course; its first one unless given"),
    )
}

fn run(words: &ArgMatches) -> ExitCode {
    let language = words.get_one::<String>("language").cloned().unwrap_or_else(catalogue::first_language);
    match catalogue::phrases(&language) {
        Ok(Some(phrases)) => {
            let lines = phrases.iter().map(|(key, text)| format!("{key}: {}\n", quoted(text)));
            to_stdout(&lines.collect::<String>());
            ExitCode::SUCCESS
        }
        _ => {
            let languages = catalogue::languages();
            let help = offer(&language, languages.iter().map(String::as_str));
            let what = format!("the stock course has no phrases in `{language}`");
            misread::refuse(&what, &help.into_iter().collect::<Vec<_>>())
        }
    }
}

/// A text as YAML takes it, whatever is in it.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\"").replace('\n', "\\n"))
}
