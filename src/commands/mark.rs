//! `tankside mark`: training records and answers from paper into a roster.

use super::desk::{Staged, look, of_demo, unwritable, with_course, write_all};
use super::patience::{Doing, shown as shown_while};
use super::publish;
use super::{CommandEntry, MISUSED, Shelf, misread, style, to_stderr, to_stdout};
use crate::course::Course;
use crate::markdown::escape::file;
use crate::marking::crew::Crew;
use crate::marking::files::{RecordFiles, files};
use crate::marking::gather::gather;
use crate::marking::questions::Questions;
use crate::marking::record::now;
use crate::marking::roster::Roster;
use crate::marking::rows::Rows;
use crate::problem::{Problem, clean, sentence};
use crate::progress::Progress;
use clap::{Arg, ArgMatches, Command, value_parser};
use std::path::{Component, Path, PathBuf};
use std::process::ExitCode;

/// Where a roster goes by default.
const DEFAULT_TARGET: &str = "tankside-roster";
/// The most files, rows or cells of a kind that are named in the terminal.
const NAMED: usize = 20;

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "mark",
    shelf: Shelf::Crew,
    declare,
    run,
    examples: &[
        (
            "tankside mark records --course our-course --to roster",
            "every record in records/ becomes roster/roster.html and roster/roster.csv",
        ),
        (
            "tankside mark ada.json sheet-7.csv",
            "one record and the answers from a sheet of paper, with the course in this folder",
        ),
    ],
};

fn declare(command: Command) -> Command {
    command
        .about("mark training records and answers from paper: who is ready, and what to teach again")
        .arg(
            Arg::new("records")
                .value_name("RECORDS")
                .required(true)
                .num_args(1..)
                .value_parser(value_parser!(PathBuf))
                .help("records (.json), tables of answers from paper (.csv), or folders of them"),
        )
        .arg(
            Arg::new("course")
                .long("course")
                .value_name("COURSE")
                .value_parser(value_parser!(PathBuf))
                .help("the course they belong to; unless given, the one in this folder, else the demo course"),
        )
        .arg(
            Arg::new("to")
                .long("to")
                .value_name("DIR")
                .default_value(DEFAULT_TARGET)
                .value_parser(value_parser!(PathBuf))
                .help("the folder for the roster"),
        )
        .arg(
            Arg::new("site")
                .long("site")
                .value_name("ADDRESS")
                .default_value("")
                .hide_default_value(true)
                .help("where the course is published, so that the roster links to its lessons; unless given, the site in tankside-site/ if it is this course's"),
        )
}

fn run(words: &ArgMatches) -> ExitCode {
    let paths: Vec<PathBuf> = words.get_many("records").into_iter().flatten().cloned().collect();
    if let Some(missing) = paths.iter().find(|path| !path.exists()) {
        let title = format!("there is nothing at {}", clean(&missing.display().to_string()));
        return misread::refuse(&title, &["name a file or a folder of records".to_owned()]);
    }
    let Some(to) = words.get_one::<PathBuf>("to") else { return ExitCode::from(MISUSED) };
    let (found, faults) = files(&paths, to);
    if found.is_empty() && faults.is_empty() {
        let title = "there is no record and no table of answers here".to_owned();
        let mut notes = vec!["name a file or a folder with .json or .csv files".to_owned()];
        notes.extend(left_alone(&found));
        return misread::refuse(&title, &notes);
    }
    let site = words.get_one::<String>("site").cloned().unwrap_or_default();
    let named = words.get_one("course");
    let marked = with_course(named, |course| write(&found, faults, (named, course), to, &site));
    marked.unwrap_or(ExitCode::FAILURE)
}

/// What a terminal shows while it takes long.
const DOING: Doing = Doing { first: "Marking", then: ("", "") };

fn write(
    found: &RecordFiles,
    faults: Vec<(PathBuf, String)>,
    (named, course): (Option<&PathBuf>, &Course),
    to: &Path,
    site: &str,
) -> ExitCode {
    let questions = Questions::of(course);
    match shown_while(DOING, &Progress::default(), || written(found, faults, course, &questions, (to, site))) {
        Ok(crew) => {
            tell(&crew, &Roster::new(&crew, &questions), to);
            tell_troubles(&crew, found, &questions);
            if crew.counted > 0 && crew.people == 0 {
                to_stderr(
                    "No answers are typed into these tables yet. Each copy has its row; type name and answers.\n",
                );
            }
            // Nothing counts where the files are of another course, and it may be this one that was not meant.
            if let Some(demo) = of_demo(named).filter(|_| crew.counted == 0) {
                to_stderr(&format!("{}\n", sentence(&demo)));
            }
            if crew.counted == 0 { ExitCode::FAILURE } else { ExitCode::SUCCESS }
        }
        Err(fault) => {
            to_stderr(&fault);
            ExitCode::FAILURE
        }
    }
}

/// Marks the files and writes the roster; else what to say.
fn written(
    found: &RecordFiles,
    faults: Vec<(PathBuf, String)>,
    course: &Course,
    questions: &Questions,
    (to, site): (&Path, &str),
) -> Result<Crew, String> {
    let drawn = |problem: Box<Problem>| problem.draw(style());
    let now = now();
    let pile = gather(found, questions, course, now);
    // Rows are written as they are made: all of them together would take more memory than the records.
    let mut table = Staged::create(to, "roster.csv").map_err(drawn)?;
    let counted = pile.count(&Rows::new(questions), &mut table);
    let mut crew = counted.map_err(|fault| drawn(unwritable(table.place(), &fault)))?;
    // The page is made when the records are no longer needed.
    drop(pile);
    crew.refused.extend(faults);
    let here = if site.is_empty() { site_here(course, to) } else { None };
    let page = Roster::new(&crew, questions).page(course, here.as_deref().unwrap_or(site), &now.to_string());
    let page = page.map_err(|fault| format!("The roster cannot be written: {fault}\n"))?;
    write_all(to, &[("roster.html", page.as_bytes()), ("roster.css", look(course).as_bytes())]).map_err(drawn)?;
    table.finish().map_err(drawn)?;
    Ok(crew)
}

/// The way from the roster to the site that `publish` leaves in this folder, if it is one of this course.
fn site_here(course: &Course, to: &Path) -> Option<String> {
    let (to, site) = (std::path::absolute(to).ok()?, std::path::absolute(publish::DEFAULT_TARGET).ok()?);
    let pages = course.lessons.iter().map(|lesson| site.join("lessons").join(format!("{}.html", lesson.stem)));
    if course.lessons.is_empty() || !pages.into_iter().all(|page| page.is_file()) {
        return None;
    }
    let (to, site): (Vec<Component>, Vec<Component>) = (to.components().collect(), site.components().collect());
    if to.contains(&Component::ParentDir) {
        return None;
    }
    let same = to.iter().zip(&site).take_while(|(one, other)| one == other).count();
    let mut way = vec!["..".to_owned(); to.len() - same];
    for folder in &site[same..] {
        let mut name = String::new();
        file(&mut name, folder.as_os_str().to_str()?);
        way.push(name);
    }
    Some(way.join("/"))
}

fn count(number: usize, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}

fn tell(crew: &Crew, roster: &Roster, to: &Path) {
    let mut out = format!("{} of {} ready for the field.\n", crew.ready, crew.people);
    if crew.untold > 0 {
        let many = count(crew.untold, "of them has a wrong answer", "of them have wrong answers");
        out.push_str(&format!(
            "{many} that {} not tell the dose; the roster says whose.\n",
            if crew.untold == 1 { "does" } else { "do" }
        ));
    }
    if crew.alone > 0 {
        let many = count(crew.alone, "of them has", "of them have");
        out.push_str(&format!("{many} no drill in the records and count as ready by the check alone.\n"));
    }
    let teach = roster.to_teach();
    if !teach.is_empty() {
        out.push_str("Teach again, in the words that the learner reads:\n");
        for (slip, people, lesson) in teach {
            let lesson = lesson.map_or_else(String::new, |lesson| {
                if lesson.href.starts_with("lessons/") {
                    format!(" (lesson “{}”)", lesson.title)
                } else {
                    format!(" (worked example “{}”)", lesson.title)
                }
            });
            out.push_str(&format!("  “{slip}” {}{lesson}\n", count(people, "person.", "people.")));
        }
    }
    let together = roster.together();
    if together > 0 {
        let questions = count(together, "question", "questions");
        out.push_str(&format!(
            "To {questions} several people gave about the same wrong figure, and no known mistake fits; the roster says who.\n"
        ));
    }
    let weak = roster.weak_topics();
    if !weak.is_empty() {
        out.push_str("Weakest topics:\n");
    }
    for topic in weak {
        let lesson = topic.lesson.map_or_else(String::new, |lesson| format!(" (lesson “{}”)", lesson.title));
        out.push_str(&format!("  {}: {}{lesson}\n", topic.name, topic.told));
    }
    out.push_str(&format!(
        "Marked {} from {}.\n",
        count(crew.answers as usize, "answer", "answers"),
        count(crew.counted, "file", "files")
    ));
    if crew.changed > 0 {
        let many = count(crew.changed as usize, "answer belongs", "answers belong");
        out.push_str(&format!("{many} to questions that have changed since; not counted.\n"));
    }
    out.push_str(&format!("  open  {}\n", to.join("roster.html").display()));
    to_stdout(&clean(&out));
}

/// The files in the folders whose names do not say that they are to be marked: a record that was pasted into a text file
/// would be missed in silence.
fn left_alone(found: &RecordFiles) -> Option<String> {
    let (many, first) = &found.others;
    let mut names: Vec<String> = first.iter().map(|path| path.display().to_string()).collect();
    if *many > names.len() {
        names.push(format!("and {} more", many - names.len()));
    }
    let files = count(*many, "file whose name ends", "files whose names end");
    (*many > 0).then(|| format!("Left alone, {files} neither in .json nor in .csv: {}", names.join(", ")))
}

/// What has to be looked at before the roster is used: what could not be read, or does not count.
fn tell_troubles(crew: &Crew, found: &RecordFiles, questions: &Questions) {
    let named = |paths: &[(PathBuf, String)]| {
        paths.iter().take(NAMED).map(|(path, why)| format!("{}: {why}", path.display())).collect::<Vec<_>>()
    };
    let unread = crew.unread.iter().take(NAMED);
    let unread: Vec<String> =
        unread.map(|cell| cell.told(&cell.file.display().to_string(), questions.phrases)).collect();
    let all_unread = crew.unread.len() + crew.unread_more;
    let repeated: Vec<String> = crew.repeated_files.iter().take(NAMED).map(|path| path.display().to_string()).collect();
    let lists = [
        (
            format!("Not read, {}; ask, or look at the sheet, and mark again:", count(all_unread, "answer", "answers")),
            unread,
            all_unread,
        ),
        ("Look at:".to_owned(), named(&crew.look), crew.look.len()),
        (
            format!(
                "Counted once, {} whose contents another file holds as well:",
                count(crew.repeated, "file", "files")
            ),
            repeated,
            crew.repeated,
        ),
        (
            format!("Not counted, {}:", count(crew.refused.len(), "file or part of one", "files or parts of files")),
            named(&crew.refused),
            crew.refused.len(),
        ),
    ];
    let mut told = String::new();
    for (head, lines, all) in lists.iter().filter(|(_, lines, _)| !lines.is_empty()) {
        told.push_str(&format!("{head}\n"));
        lines.iter().for_each(|line| told.push_str(&format!("  {line}\n")));
        if *all > lines.len() {
            told.push_str(&format!("  and {} more; roster.html lists them\n", all - lines.len()));
        }
    }
    if let Some(left) = left_alone(found) {
        told.push_str(&format!("{left}\n"));
    }
    if !told.is_empty() {
        to_stderr(&clean(&told));
    }
}
