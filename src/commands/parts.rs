//! `tankside parts`: the parts of a page that a course may replace, and what each is given.

use std::process::ExitCode;

use clap::{Arg, ArgMatches, Command};

use super::{CommandEntry, Shelf, misread, to_stdout};
use crate::problem::{nearest, quoted};
use crate::site::{template_note, templates};

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "parts",
    shelf: Shelf::Course,
    declare,
    run,
    examples: &[
        ("tankside parts", "every part of a page, with what it is for"),
        ("tankside parts parts/foot.html", "the stock part, which begins with what it is given"),
        (
            "tankside parts parts/foot.html > our-course/templates/parts/foot.html",
            "a copy to change; the course's own part takes the place of the stock one",
        ),
    ],
};

fn declare(command: Command) -> Command {
    command
        .about("list the parts of a page that a course may replace, or print one with what it is given")
        .arg(Arg::new("part").value_name("PART").help("the part to print"))
}

fn run(words: &ArgMatches) -> ExitCode {
    let all: Vec<(String, &str)> = {
        let mut all: Vec<_> = templates().collect();
        all.sort();
        all
    };
    let Some(wanted) = words.get_one::<String>("part") else {
        let mut out =
            String::from("To replace a part, put a file of the same name in the course's templates/ folder.\n\n");
        for (name, text) in &all {
            let about = template_note(text).lines().next().unwrap_or_default().trim();
            out.push_str(&format!("  {name:<36} {about}\n"));
        }
        to_stdout(&out);
        return ExitCode::SUCCESS;
    };
    let plain = wanted.trim_start_matches("templates/");
    match all.iter().find(|(name, _)| name == plain) {
        Some((_, text)) => {
            to_stdout(&format!("{}\n", text.trim_end()));
            ExitCode::SUCCESS
        }
        None => misread::refuse(&format!("there is no part `{wanted}`"), &[part_meant(plain, &all)]),
    }
}

/// The parts that a word means: without its folder or its ending, or mistyped.
fn part_meant(typed: &str, all: &[(String, &str)]) -> String {
    let names = || all.iter().map(|(name, _)| name.as_str());
    let bare = |name: &str| name.rsplit('/').next().unwrap_or(name).trim_end_matches(".html").to_lowercase();
    let typed = bare(typed);
    let mut meant: Vec<String> = names().filter(|name| bare(name) == typed).map(str::to_owned).collect();
    if meant.is_empty() {
        let bares: Vec<String> = names().map(bare).collect();
        let near = nearest(&typed, bares.iter().map(String::as_str)).map(str::to_owned);
        meant.extend(names().filter(|name| near.as_ref() == Some(&bare(name))).map(str::to_owned));
    }
    match meant.as_slice() {
        [] => "tankside parts lists them".to_owned(),
        meant => format!("write {}", quoted(meant, " or ")),
    }
}
