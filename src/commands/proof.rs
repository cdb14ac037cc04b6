//! `tankside proof`: what is wrong with a course and what could be better, without publishing.

use super::desk::{course_folder, from_here};
use super::patience::{Doing, shown as shown_while};
use super::terminal::fitted_err;
use super::{CommandEntry, MISUSED, Shelf, fitted, style, style_out, to_stderr, to_stdout};
use crate::course::Course;
use crate::embedded::{CONTENT, DEMO};
use crate::load::{Disk, Files, Layered, Memory};
use crate::problem::{Problem, Problems, alike, clean, clean_json, code, nearest, quoted};
use crate::progress::Progress;
use crate::proof;
use crate::site::render;
use clap::{Arg, ArgMatches, Command, value_parser};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "proof",
    shelf: Shelf::Course,
    declare,
    run,
    examples: &[
        ("tankside proof our-course", "every mistake in our-course/, and what could be better"),
        ("tankside proof --format sarif > proof.sarif", "the same for an editor or a code host, in the open standard"),
        ("tankside proof --explain caution-lost", "what a code means, why it matters, and what to write"),
    ],
};

fn declare(command: Command) -> Command {
    command
        .about("look for mistakes in a course, and for what could be better, without publishing")
        .arg(
            Arg::new("course")
                .value_name("COURSE")
                .help("the folder that holds course.yaml; without it this folder, or else the demo course")
                .value_parser(value_parser!(PathBuf)),
        )
        .arg(
            Arg::new("format")
                .long("format")
                .value_name("FORM")
                .value_parser(["text", "json", "sarif"])
                .default_value("text")
                .help("text for people, json or sarif for programs"),
        )
        .arg(
            Arg::new("explain")
                .long("explain")
                .value_name("CODE")
                .help("say what a code means, or list them with `all`"),
        )
}

fn run(words: &ArgMatches) -> ExitCode {
    if let Some(wanted) = words.get_one::<String>("explain") {
        return explain(wanted);
    }
    let stock = Memory::of(&CONTENT);
    let form = words.get_one::<String>("format").map_or("text", String::as_str);
    // A program that asked for a form gets it, whatever happened.
    let not_read = |problem: Box<Problem>| {
        let problems = Problems::from(*problem);
        match form {
            "text" => to_stderr(&problems.draw(style())),
            form => to_stdout(&for_program(form, &problems, None)),
        }
        ExitCode::FAILURE
    };
    let folder = match course_folder(words.get_one("course")) {
        Ok(folder) => folder,
        Err(problem) => return not_read(problem),
    };
    let own: Box<dyn Files> = match folder {
        Some(folder) => match Disk::open(folder) {
            Ok(disk) => Box::new(disk),
            Err(problem) => return not_read(problem),
        },
        None => {
            to_stderr(&fitted(NO_COURSE));
            Box::new(Memory::of(&DEMO))
        }
    };
    let mut problems = shown_while(DOING, &Progress::default(), || {
        let files = Layered(vec![own.as_ref(), &stock]);
        let resolved = crate::resolve(&files);
        let mut problems = resolved.problems.clone();
        problems.extend(resolved.course().map(|course| failing_parts(course, &files)).unwrap_or_default());
        problems.extend(proof::without_knock_ons(proof::proof(resolved.draft()), &resolved.problems));
        problems.sort();
        problems
    });
    from_here(&mut problems, folder, own.as_ref(), &stock);
    let text = match form {
        "text" if problems.is_empty() && folder.is_none() => "No mistakes in the demo course.\n".to_owned(),
        "text" if problems.is_empty() => "No mistakes.\n".to_owned(),
        "text" => problems.draw_each_kind(style_out(), EVERY_ONE),
        form => for_program(form, &problems, folder),
    };
    to_stdout(&text);
    if problems.has_errors() { ExitCode::FAILURE } else { ExitCode::SUCCESS }
}

/// The problems in the form that a program asked for; with a course, its places are relative to this folder.
fn for_program(form: &str, problems: &Problems, course: Option<&Path>) -> String {
    let here = course.and_then(|_| std::env::current_dir().ok());
    clean_json(&match form {
        "json" => proof::json(problems),
        _ => proof::sarif(problems, here.as_deref()),
    })
}

/// What fails while the pages are made with the course's own parts; without such parts nothing can fail.
fn failing_parts(course: &Course, files: &dyn Files) -> Problems {
    if course.templates.is_empty() {
        return Problems::new();
    }
    match render(course, files) {
        Ok(site) => site.for_each(|_| true),
        Err(problem) => Problems::from(*problem),
    }
}

/// Said where nothing in this folder is a course: what follows is about another one.
const NO_COURSE: &str = "There is no course in this folder; what follows is about the demo course.\n  Write tankside proof COURSE, with the folder of your course.\n";

/// Said where some of many that are alike are only counted.
const EVERY_ONE: &str = "`tankside proof --format json` lists every one.";

/// What a terminal shows while it takes long.
const DOING: Doing = Doing { first: "Reading the course", then: ("", "") };

/// The stock cautions by name, each with how it begins: no page of a site lists them.
fn stock_cautions() -> String {
    let all = crate::catalogue::cautions(&crate::catalogue::first_language()).unwrap_or_default();
    let line = |caution: &crate::catalogue::StockCaution| {
        let begins = caution.text.split_inclusive(". ").next().unwrap_or_default();
        format!("  {:<22} {:<8} {}\n", caution.id, caution.severity, begins.trim())
    };
    format!("\nThe stock cautions\n{}", all.values().map(line).collect::<String>())
}

fn explain(wanted: &str) -> ExitCode {
    if wanted == "all" {
        let lines = code::rules().map(|rule| format!("{:<26} {:<8} {}\n", rule.code, rule.severity.word(), rule.finds));
        to_stdout(&fitted(&lines.collect::<String>()));
        return ExitCode::SUCCESS;
    }
    match code::rule(wanted) {
        Some(rule) => {
            to_stdout(&fitted(&format!(
                "{}, {}\n\n  Finds    {}\n  Matters  {}\n  Write    {}\n",
                rule.code,
                match rule.severity {
                    crate::problem::Severity::Error => "an error: the course is not published",
                    crate::problem::Severity::Warning => "a warning: the course is published",
                },
                rule.finds,
                rule.matters,
                rule.write
            )));
            if rule.code == code::CAUTION_UNKNOWN.code {
                to_stdout(&fitted(&stock_cautions()));
            }
            ExitCode::SUCCESS
        }
        None => {
            let codes = || code::rules().map(|rule| rule.code);
            let near = nearest(wanted, codes()).map_or_else(|| alike(wanted, codes()), |near| vec![near]);
            let near: Vec<String> = near.into_iter().map(str::to_owned).collect();
            // The first few of two hundred say nothing.
            let help = if near.is_empty() { String::new() } else { format!("Write {}; ", quoted(&near, " or ")) };
            let wanted = clean(wanted);
            to_stderr(&fitted_err(&format!(
                "There is no code `{wanted}`.\n  {help}`tankside proof --explain all` lists them.\n"
            )));
            ExitCode::from(MISUSED)
        }
    }
}
