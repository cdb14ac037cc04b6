//! Words on the command line that are not understood: what is wrong with them, and what to write.

use std::ffi::OsString;
use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::terminal::fitted_err;
use super::{COMMANDS, CommandEntry, MISUSED, help, language, to_stderr, to_stdout, work};
use crate::marking::paper::MOST_COPIES;
use crate::problem::{capital, clean, nearest, sentence};
use tankside_calc::words::phrases::Phrases;

/// Names that people may try for a command, and the command that does it here.
const BROUGHT_ALONG: &[(&str, &str)] = &[
    ("build", "publish"),
    ("check", "proof"),
    ("create", "start"),
    ("help", "--help"),
    ("init", "start"),
    ("lint", "proof"),
    ("make", "publish"),
    ("new", "start"),
    ("serve", "preview"),
    ("test", "proof"),
    ("validate", "proof"),
    ("version", "--version"),
    ("watch", "preview"),
];

/// Prints help if it was requested, otherwise says what to write.
pub(super) fn answer(fault: &clap::Error, words: &[OsString]) -> ExitCode {
    match fault.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => {
            to_stdout(&fault.render().to_string());
            ExitCode::SUCCESS
        }
        ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            to_stderr(&fault.render().to_string());
            ExitCode::from(MISUSED)
        }
        _ => {
            let words: Vec<String> = words.iter().skip(1).map(|word| word.to_string_lossy().into_owned()).collect();
            let (what, write) = explained(fault, &words);
            // Whoever asks for JSON gets it, whatever else is wrong with the words.
            if words.iter().any(|word| word == "--json") && words.iter().any(|word| word == work::ENTRY.name) {
                return work::refuse_as_json(&told(&what, &write));
            }
            refuse(&what, &write)
        }
    }
}

/// Says what is not understood, and lines of what to write; a line to paste is left as it is.
pub(super) fn refuse(what: &str, write: &[String]) -> ExitCode {
    to_stderr(&fitted_err(&format!("{}\n", told(what, write))));
    ExitCode::from(MISUSED)
}

/// The same as a text.
fn told(what: &str, write: &[String]) -> String {
    let mut out = sentence(&clean(what));
    for line in write.iter().flat_map(|line| line.lines()) {
        out.push_str(&format!("\n  {}", capital(&clean(line))));
    }
    out
}

/// The phrases of the language that the words ask for; the stock's if they ask for none, or for one without phrases.
fn asked_for(words: &[String]) -> Phrases {
    // By hand: the library stops at the first word it cannot read, and the language may be named after it.
    let mut after = words.iter().skip_while(|word| !word.starts_with("--language"));
    let named = match after.next().and_then(|word| word.strip_prefix("--language=")) {
        Some(named) => Some(named),
        None => after.next().map(String::as_str),
    };
    language::phrases(named).or_else(|_| language::phrases(None)).unwrap_or_else(|_| Phrases::default())
}

fn explained(fault: &clap::Error, words: &[String]) -> (String, Vec<String>) {
    let context = |kind| match fault.get(kind) {
        Some(ContextValue::String(text)) => text.clone(),
        Some(ContextValue::Strings(texts)) => texts.join(", "),
        _ => String::new(),
    };
    let entry = words.iter().find_map(|word| COMMANDS.iter().find(|entry| entry.name == word));
    // `--to <DIR>` as the library names it.
    let about = context(ContextKind::InvalidArg).replace(['<', '>', '[', ']'], "").replace("...", "");
    let value = context(ContextKind::InvalidValue);
    let phrases = asked_for(words);
    let write = |example: &str| phrases.fill_with("terminal.write", &[("example", example)]);
    match fault.kind() {
        ErrorKind::InvalidSubcommand => unknown_command(&context(ContextKind::InvalidSubcommand)),
        ErrorKind::MissingSubcommand => {
            ("a command is missing".into(), vec!["write tankside --help for the list".into()])
        }
        ErrorKind::UnknownArgument => unknown_word(&about, entry, words, &phrases),
        ErrorKind::InvalidValue if value.is_empty() => {
            (phrases.fill_with("terminal.needs-value", &[("option", first(&about))]), vec![write(&about)])
        }
        ErrorKind::InvalidValue => {
            let valid = context(ContextKind::ValidValue);
            let near = nearest(&value, valid.split(", "));
            let write = match near {
                Some(near) => write(&format!("`{near}`")),
                None => phrases.fill_with("terminal.write-one-of", &[("words", &valid)]),
            };
            let places = [("word", &*value), ("option", first(&about))];
            (phrases.fill_with("terminal.not-a-word", &places), vec![write])
        }
        ErrorKind::ArgumentConflict => (format!("`{}` is given twice", first(&about)), vec!["give it once".into()]),
        ErrorKind::MissingRequiredArgument => (format!("{about} is missing"), written(entry)),
        ErrorKind::ValueValidation if about.starts_with("--port") => {
            (format!("`{value}` is not a port number"), vec!["write a number from 1024 to 65535".into()])
        }
        ErrorKind::ValueValidation if about.starts_with("--listen") => {
            let write = "write numbers with dots, for example --listen 0.0.0.0 for all of this machine's networks";
            (format!("`{value}` is not a network address"), vec![write.into()])
        }
        ErrorKind::ValueValidation if about.starts_with("--copies") => {
            let write = format!("write a whole number from 1 to {MOST_COPIES}");
            (format!("`{value}` is not a number of copies"), vec![write])
        }
        ErrorKind::ValueValidation if about.starts_with("--seed") => {
            let write = format!("write a whole number from 0 to {}", u32::MAX);
            (format!("`{value}` is not the number of a sheet"), vec![write])
        }
        ErrorKind::ValueValidation => (format!("`{value}` cannot be used for {}", first(&about)), written(entry)),
        ErrorKind::InvalidUtf8 => ("a word is not readable as UTF-8 text".into(), written(entry)),
        _ => ("these words do not go together".into(), written(entry)),
    }
}

fn first(about: &str) -> &str {
    about.split_whitespace().next().unwrap_or(about)
}

/// How a command is written, and where to read more.
fn written(entry: Option<&CommandEntry>) -> Vec<String> {
    match entry {
        Some(entry) => vec![format!("write {}", help::usage(entry)), more(entry.name)],
        None => vec!["tankside --help lists the commands".into()],
    }
}

fn more(name: &str) -> String {
    format!("tankside {name} --help says more")
}

fn unknown_command(word: &str) -> (String, Vec<String>) {
    let what = format!("there is no command `{word}`");
    let known = |name: &str| name.starts_with('-') || COMMANDS.iter().any(|entry| entry.name == name);
    let brought = BROUGHT_ALONG.iter().find(|(other, name)| *other == word && known(name)).map(|(_, name)| *name);
    let write = match brought.or_else(|| nearest(word, COMMANDS.iter().map(|entry| entry.name))) {
        Some(name) => format!("write tankside {name}"),
        None => "tankside --help lists the commands".to_owned(),
    };
    (what, vec![write])
}

/// An unknown option, or a word too many.
fn unknown_word(
    word: &str,
    entry: Option<&CommandEntry>,
    words: &[String],
    phrases: &Phrases,
) -> (String, Vec<String>) {
    let Some(entry) = entry else {
        return (format!("`{word}` is not known here"), vec!["tankside --help lists the commands".into()]);
    };
    if !word.starts_with('-') {
        let what = format!("`{word}` is one word too many for `tankside {}`", entry.name);
        let course = words.iter().skip_while(|word| *word != entry.name).nth(1).filter(|other| *other != word);
        if entry.name == "publish"
            && let Some(course) = course
        {
            return (
                what,
                vec![format!("write `--to {word}` for the site's folder: tankside publish {course} --to {word}")],
            );
        }
        return (what, written(Some(entry)));
    }
    let command = format!("tankside {}", entry.name);
    let what = phrases.fill_with("terminal.no-option", &[("command", &command), ("option", word)]);
    let example = |example: &str| phrases.fill_with("terminal.write", &[("example", example)]);
    let write = match word.trim_start_matches('-') {
        "check" | "dry-run" if COMMANDS.iter().any(|entry| entry.name == "proof") => {
            "write `tankside proof` to look for mistakes without publishing".to_owned()
        }
        "o" | "out" | "output" | "d" | "dest" | "dir" if entry.name == "publish" => example("`--to DIR`"),
        other => {
            let declared = (entry.declare)(clap::Command::new(entry.name));
            let longs: Vec<String> =
                declared.get_arguments().filter_map(|arg| arg.get_long()).map(str::to_owned).collect();
            match nearest(other, longs.iter().map(String::as_str)) {
                Some(near) => example(&format!("`--{near}`")),
                None => example(&help::usage(entry)),
            }
        }
    };
    let more = phrases.fill_with("terminal.says-more", &[("command", &format!("{command} --help"))]);
    (what, vec![write, more])
}
