//! `tankside sheet`: a quiz on paper, each copy with its own numbers.

use super::desk::{look, of_demo, with_course, write_all};
use super::patience::{Doing, shown as shown_while};
use super::{CommandEntry, MISUSED, Shelf, misread, pasted, style, to_stderr, to_stdout};
use crate::course::Course;
use crate::marking::paper::MOST_COPIES;
use crate::marking::sheet::{is_filled, sheet};
use crate::problem::{clean, offer};
use crate::progress::Progress;
use clap::{Arg, ArgMatches, Command, value_parser};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Where a sheet goes by default.
const DEFAULT_TARGET: &str = "tankside-sheet";

/// The table to type answers into.
const ANSWERS: &str = "answers.csv";

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "sheet",
    shelf: Shelf::Crew,
    declare,
    run,
    examples: &[
        (
            "tankside sheet first-week --copies 12",
            "twelve copies of the demo's check, their key, and a table to type the answers into",
        ),
        (
            "tankside sheet check --copies 30 --seed 7 --course our-course --to friday",
            "the same numbers every time it is run with 7",
        ),
    ],
};

fn declare(command: Command) -> Command {
    command
        .about("print a quiz: copies with different numbers, and a key with the steps")
        .arg(
            Arg::new("quiz")
                .value_name("QUIZ")
                .required(true)
                .help("the name of the question bank: questions/NAME.yaml"),
        )
        .arg(
            Arg::new("copies")
                .long("copies")
                .value_name("N")
                .default_value("1")
                .value_parser(value_parser!(u32).range(1..=i64::from(MOST_COPIES)))
                .help("how many copies, each with its own numbers"),
        )
        .arg(
            Arg::new("seed")
                .long("seed")
                .value_name("S")
                .default_value("1")
                .value_parser(value_parser!(u32))
                .help("the sheet's number: the same number gives the same sheet"),
        )
        .arg(
            Arg::new("course")
                .long("course")
                .value_name("COURSE")
                .value_parser(value_parser!(PathBuf))
                .help("the course; unless given, the one in this folder, else the demo course"),
        )
        .arg(
            Arg::new("to")
                .long("to")
                .value_name("DIR")
                .default_value(DEFAULT_TARGET)
                .value_parser(value_parser!(PathBuf))
                .help("the folder for the sheet"),
        )
}

fn run(words: &ArgMatches) -> ExitCode {
    let (Some(quiz), Some(copies), Some(seed), Some(to)) = (
        words.get_one::<String>("quiz"),
        words.get_one::<u32>("copies"),
        words.get_one::<u32>("seed"),
        words.get_one::<PathBuf>("to"),
    ) else {
        return ExitCode::from(MISUSED);
    };
    let named = words.get_one("course");
    with_course(named, |course| make((named, course), quiz, *copies, *seed, to)).unwrap_or(ExitCode::FAILURE)
}

/// What is said of it at a terminal while it takes long.
const DOING: Doing = Doing { first: "Making the copies", then: ("Making the copies and the key", "pages") };

fn make((named, course): (Option<&PathBuf>, &Course), quiz: &str, copies: u32, seed: u32, to: &Path) -> ExitCode {
    let Some(bank) = course.banks.get(quiz) else {
        let mut help = Vec::from_iter(offer(quiz, course.banks.keys().map(String::as_str)));
        help.extend(of_demo(named));
        return misread::refuse(&format!("the course has no quiz called `{}`", clean(quiz)), &help);
    };
    let answers = to.join(ANSWERS);
    if fs::read(&answers).is_ok_and(|bytes| is_filled(&bytes)) {
        let title =
            format!("{} holds answers that somebody typed, and would be lost", clean(&answers.display().to_string()));
        return misread::refuse(&title, &["name another folder with `--to`, or move that file".to_owned()]);
    }
    let progress = Progress::default();
    let files = match shown_while(DOING, &progress, || sheet(course, bank, seed, copies, &progress)) {
        Ok(files) => files,
        Err(fault) => {
            to_stderr(&format!("The sheet cannot be made: {fault}\n"));
            return ExitCode::FAILURE;
        }
    };
    let look = look(course);
    let written: [(&str, &[u8]); 4] = [
        ("sheet.html", files.copies.as_bytes()),
        ("key.html", files.key.as_bytes()),
        ("sheet.css", look.as_bytes()),
        (ANSWERS, &files.answers),
    ];
    if let Err(problem) = write_all(to, &written) {
        to_stderr(&problem.draw(style()));
        return ExitCode::FAILURE;
    }
    let plural = if copies == 1 { "copy" } else { "copies" };
    let mut out = format!("Made {copies} {plural} of “{}”, sheet {seed}.\n", bank.title);
    out += &format!("  print   {}\n", to.join("sheet.html").display());
    out += &format!("  key     {}\n", to.join("key.html").display());
    let of = named.map_or_else(String::new, |course| format!(" --course {}", pasted(course)));
    out += &format!("  answers type them into {}, then: tankside mark {}{of}\n", answers.display(), pasted(&answers));
    to_stdout(&clean(&out));
    ExitCode::SUCCESS
}
