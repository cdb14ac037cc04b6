//! `tankside start`: a small course that publishes at once and explains itself.

mod ask;
mod files;

use std::fs::{self, OpenOptions};
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Arg, ArgAction, ArgMatches, Command, value_parser};
use tankside_calc::working::record::System;

use self::files::{Answers, files, stock_lessons};
use super::{CommandEntry, MISUSED, Shelf, pasted, style, to_stderr, to_stdout};
use crate::colour::{Colour, LEAST};
use crate::problem::{Problem, clean, code};
use crate::write::stop::{Making, end_if_requested, watch};

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "start",
    shelf: Shelf::Course,
    declare,
    run,
    examples: &[
        ("tankside start our-course", "asks a few questions, then writes a small course into our-course/"),
        (
            "tankside start our-course --company 'Example Lawns' --color '#2f5d34' --units metric",
            "the same in a script, without questions",
        ),
    ],
};

fn declare(command: Command) -> Command {
    let text = |name: &'static str, value: &'static str| Arg::new(name).long(name).value_name(value);
    command
        .about("write a small course of your own that publishes at once, into a folder that is new or empty")
        .arg(
            Arg::new("dir")
                .value_name("DIR")
                .required(true)
                .value_parser(value_parser!(PathBuf))
                .help("a folder that does not exist yet, or is empty; nothing is ever overwritten"),
        )
        .arg(text("company", "NAME").help("who gives the course"))
        .arg(text("title", "TEXT").help("title of the course"))
        .arg(text("contact", "TEXT").help("who learners should ask"))
        .arg(text("color", "COLOR").help("the company's color, such as '#1d4f7a': the band on top of each page"))
        .arg(text("units", "us|metric").value_parser(["us", "metric"]).help("which units pages show first"))
        .arg(text("lessons", "NAMES").help("lessons of the stock course, separated by commas, or `none`"))
        .arg(Arg::new("ask").long("no-questions").action(ArgAction::SetFalse).help("ask nothing, even on a terminal"))
}

fn run(words: &ArgMatches) -> ExitCode {
    let Some(folder) = words.get_one::<PathBuf>("dir") else { return ExitCode::from(MISUSED) };
    if let Err(problem) = free(folder) {
        to_stderr(&problem.draw(style()));
        return ExitCode::FAILURE;
    }
    let asks = words.get_flag("ask") && io::stdin().is_terminal() && io::stderr().is_terminal();
    let answers = match answers(words, folder, asks) {
        Ok(Some(answers)) => answers,
        Ok(None) => {
            to_stderr("\nNothing was written.\n");
            return ExitCode::FAILURE;
        }
        Err((what, write)) => return super::misread::refuse(&what, &[write]),
    };
    let files = files(&answers);
    match written(folder, &files) {
        Ok(()) => {
            tell(folder, &answers, &files);
            ExitCode::SUCCESS
        }
        Err(problem) => {
            to_stderr(&problem.draw(style()));
            ExitCode::FAILURE
        }
    }
}

/// Whether a course may be written there: no existing file is in the way.
fn free(folder: &Path) -> Result<(), Box<Problem>> {
    let name = folder.display().to_string();
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(fault) if fault.kind() == io::ErrorKind::NotFound && fs::symlink_metadata(folder).is_err() => return Ok(()),
        Err(fault) => {
            let title = format!("a course cannot be started here: {fault}");
            return Err(Problem::new(code::START_REFUSED, title, name)
                .help("name a folder that does not exist yet")
                .into());
        }
    };
    let there: Vec<String> =
        entries.flatten().map(|entry| entry.file_name().to_string_lossy().into_owned()).take(4).collect();
    if there.is_empty() {
        return Ok(());
    }
    let more = if there.len() > 3 { " and more" } else { "" };
    let names = there.iter().take(3).map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ");
    let title = format!("this folder already holds {names}{more}, and nothing is ever overwritten");
    Err(Problem::new(code::START_REFUSED, title, name)
        .help("name a folder that does not exist yet, or is empty")
        .into())
}

/// What is wrong with an answer, and what to write.
type Refused = (String, String);

fn answers(words: &ArgMatches, folder: &Path, asks: bool) -> Result<Option<Answers>, Refused> {
    let (mut input, mut out) = (io::stdin().lock(), io::stderr());
    let mut text = |name: &str, question: &str, offered: &str, check: Check| -> Result<Option<String>, Refused> {
        match words.get_one::<String>(name) {
            Some(given) => check(Some(name), given).map(Some),
            None if asks => Ok(ask::checked(&mut input, &mut out, question, offered, |typed| check(None, typed))),
            None => Ok(Some(offered.to_owned())),
        }
    };
    let Some(company) = text("company", "Who gives the course?", "Our company", shown)? else { return Ok(None) };
    let Some(title) = text("title", "What is the course called?", "First week", shown)? else { return Ok(None) };
    let Some(contact) = text("contact", "Who should learners ask?", "your trainer", shown)? else { return Ok(None) };
    let asked = "What color is the band on top of each page? A name, or six digits after `#`.";
    let Some(color) = text("color", asked, COLOR, color)? else { return Ok(None) };
    let Some(units) = text("units", "Which units first, us or metric?", "us", system)? else { return Ok(None) };
    let units = System::from_id(&units).unwrap_or(System::Us);
    let usual: Vec<String> = stock_lessons().into_iter().map(|(stem, _)| stem).take(USUAL).collect();
    let lessons = match words.get_one::<String>("lessons") {
        Some(given) => ask::chosen(given).map_err(|word| {
            let stock: Vec<String> = stock_lessons().into_iter().map(|(stem, _)| stem).collect();
            let names = stock.iter().map(String::as_str);
            let write = crate::problem::offer(&word, names).unwrap_or_default();
            (format!("there is no stock lesson `{word}`"), write)
        })?,
        None if asks => match ask::lessons(&mut input, &mut out, &usual) {
            Some(lessons) => lessons,
            None => return Ok(None),
        },
        None => usual,
    };
    Ok(Some(Answers { id: id_of(folder, &company), title, company, contact, color, units, lessons }))
}

/// Looks at an answer, which was typed after an option of this name, or when it was asked for.
type Check = fn(Option<&str>, &str) -> Result<String, Refused>;

/// A text that a page can show.
fn shown(option: Option<&str>, text: &str) -> Result<String, Refused> {
    if !text.trim().is_empty() && clean(text) == *text && !text.contains(['\n', '\t']) {
        return Ok(text.to_owned());
    }
    Err(match option {
        Some(name) => {
            let what = format!("`--{name}` has no text, or has characters that cannot be shown");
            (what, format!("write --{name} 'some words on one line'"))
        }
        None => ("that has characters that cannot be shown".to_owned(), "write some words on one line".to_owned()),
    })
}

/// The color of the band on top of each page unless another is named.
const COLOR: &str = "#1d4f7a";

/// A color that white or black text can be read on.
fn color(option: Option<&str>, text: &str) -> Result<String, Refused> {
    let text = text.trim();
    let write = |color: &str| match option {
        Some(name) => format!("write --{name} '{color}'"),
        None => format!("write `{color}`"),
    };
    let read = Colour::read(text).or_else(|| Colour::read(&format!("#{text}")));
    // Whoever is asked may answer with a name; in a script the color that was meant may be another.
    let named = Colour::meant(text).map(Colour::fit_as_band);
    let Some(color) = read.or(named.filter(|_| option.is_none())) else {
        let takes = option.map_or_else(|| "this takes".to_owned(), |name| format!("`--{name}` takes"));
        let what = format!("{takes} a color such as `{COLOR}`, and this is `{}`", clean(text));
        let meant = named.map(Colour::written);
        return Err((what, write(meant.as_deref().unwrap_or(COLOR))));
    };
    let contrast = color.contrast(color.ink());
    if contrast < LEAST {
        let what = format!(
            "no text is easy to read on this color: {contrast:.1} to 1 at most, and WCAG asks for {LEAST} to 1"
        );
        let darker = write(&color.readable_as_band().written());
        return Err((what, format!("{darker}, the same color, darker")));
    }
    Ok(color.written())
}

/// The id of a system of units, however it was written.
fn system(_: Option<&str>, text: &str) -> Result<String, Refused> {
    let id = text.trim().to_lowercase();
    match System::from_id(&id) {
        Some(_) => Ok(id),
        None => Err((format!("`{}` is not a system of units", clean(text)), "write `us` or `metric`".to_owned())),
    }
}

/// Stock lessons that a course has unless others are named.
const USUAL: usize = 3;

/// The course's name from the folder's, else from the company's.
fn id_of(folder: &Path, company: &str) -> String {
    let named = folder.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    [named.as_str(), company].into_iter().map(slug).find(|name| !name.is_empty()).unwrap_or_else(|| "our-course".into())
}

fn slug(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars().take(60) {
        if letter.is_ascii_alphanumeric() {
            out.push(letter.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    out.trim_end_matches('-').to_owned()
}

/// Writes every file or none; a file that has appeared meanwhile is left alone.
fn written(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), Box<Problem>> {
    let mut made: Vec<PathBuf> = Vec::new();
    // Ctrl-C from here on waits until all of it is there, or none of it.
    watch();
    let making = Making::begin();
    let write = |made: &mut Vec<PathBuf>| -> Result<(), (PathBuf, io::Error)> {
        for (name, bytes) in files {
            let path = folder.join(name);
            if making.is_stopped() {
                return Err((path, io::Error::from(io::ErrorKind::Interrupted)));
            }
            make_folders(path.parent().unwrap_or(folder), made).map_err(|fault| (path.clone(), fault))?;
            let file = OpenOptions::new().write(true).create_new(true).open(&path);
            let mut file = file.map_err(|fault| (path.clone(), fault))?;
            made.push(path.clone());
            file.write_all(bytes).and_then(|()| file.sync_all()).map_err(|fault| (path.clone(), fault))?;
        }
        Ok(())
    };
    let done = write(&mut made).map_err(|(path, fault)| {
        // Only what was just made goes away again, the last first.
        for path in made.iter().rev() {
            let _ = if path.is_dir() { fs::remove_dir(path) } else { fs::remove_file(path) };
        }
        let title = format!("this file cannot be written: {fault}; nothing was left behind");
        Problem::new(code::START_REFUSED, title, path.display().to_string())
            .help("name a folder that can be written, and that does not exist yet")
            .into()
    });
    drop(making);
    if done.is_err() {
        end_if_requested();
    }
    done
}

fn make_folders(folder: &Path, made: &mut Vec<PathBuf>) -> io::Result<()> {
    if folder.as_os_str().is_empty() || folder.is_dir() {
        return Ok(());
    }
    make_folders(folder.parent().unwrap_or(Path::new("")), made)?;
    fs::create_dir(folder)?;
    made.push(folder.to_path_buf());
    Ok(())
}

fn tell(folder: &Path, answers: &Answers, files: &[(String, Vec<u8>)]) {
    let place = folder.display().to_string();
    let mut told = format!("Started “{}” in {place}.\n", answers.title);
    for (name, _) in files {
        let about = match name.as_str() {
            "course.yaml" => "company, colors, contact, units, the lessons in order",
            "cautions.yaml" => "a caution of your own, with what it rests on",
            "glossary.yaml" => "a word of your own, for the glossary",
            "lessons/our-sprayer.md" => "a lesson of your own, with an example, a caution and a quiz",
            "questions/our-check.yaml" => "the questions of its quiz",
            _ => "",
        };
        told.push_str(format!("  {name:<28}{about}").trim_end());
        told.push('\n');
    }
    let place = pasted(folder);
    told.push_str(&format!(
        "Every file says in its comments what to change.\n  next  tankside preview {place}\n        tankside publish {place} --to site\n"
    ));
    to_stdout(&clean(&told));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_courses_name_comes_from_the_folder_and_else_from_the_company() {
        assert_eq!(id_of(Path::new("/x/Our Course 2"), "A"), "our-course-2");
        assert_eq!(id_of(Path::new(".."), "Hobnail & Plum"), "hobnail-plum");
        assert_eq!(id_of(Path::new(".."), "²"), "our-course");
    }
}
