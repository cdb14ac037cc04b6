//! `tankside publish`: a course folder into a site.

use crate::commands::{CommandEntry, Shelf, style, to_stderr, to_stdout};
use crate::embedded::{CONTENT, DEMO};
use crate::load::{Disk, Files, Layered, Memory};
use crate::problem::clean;
use crate::publish::{Published, publish};
use clap::{Arg, Command, value_parser};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Instant;

/// Where a site goes unless told otherwise.
pub const DEFAULT_TARGET: &str = "tankside-site";

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "publish",
    shelf: Shelf::Course,
    declare,
    run: |words| {
        run(&PublishRequest {
            course: words.get_one::<PathBuf>("course").cloned(),
            to: words.get_one::<PathBuf>("to").cloned().unwrap_or_else(|| PathBuf::from(DEFAULT_TARGET)),
        })
    },
    examples: &[
        ("tankside publish our-course --to site", "the course in our-course/ becomes the site in site/"),
        ("tankside publish", "the course in this folder, or else the demo course, becomes tankside-site/"),
    ],
};

fn declare(command: Command) -> Command {
    command
        .about("make the site of a course; without a course, of the one in this folder or of the demo")
        .arg(
            Arg::new("course")
                .value_name("COURSE")
                .help("the folder that holds course.yaml")
                .value_parser(value_parser!(PathBuf)),
        )
        .arg(
            Arg::new("to")
                .long("to")
                .value_name("DIR")
                .help("the folder of the site")
                .default_value(DEFAULT_TARGET)
                .value_parser(value_parser!(PathBuf)),
        )
}

/// What was asked for.
#[derive(Debug)]
pub struct PublishRequest {
    /// The course folder; without one, this folder if it holds a course, else the demo course.
    pub course: Option<PathBuf>,
    /// The folder of the site.
    pub to: PathBuf,
}

/// Publishes and tells what was done.
pub fn run(wanted: &PublishRequest) -> ExitCode {
    let begun = Instant::now();
    let stock = Memory::of(&CONTENT);
    let here = Path::new(".");
    let folder = match &wanted.course {
        Some(folder) => Some(folder.as_path()),
        None => here.join("course.yaml").is_file().then_some(here),
    };
    let (own, demo): (Box<dyn Files>, bool) = match folder {
        Some(folder) => match Disk::open(folder) {
            Ok(disk) => (Box::new(disk), false),
            Err(problem) => {
                to_stderr(&problem.draw(style()));
                return ExitCode::FAILURE;
            }
        },
        None => (Box::new(Memory::of(&DEMO)), true),
    };
    let (published, problems) = publish(&Layered(vec![own.as_ref(), &stock]), &wanted.to);
    if !problems.is_empty() {
        to_stderr(&problems.draw(style()));
    }
    match published {
        Some(published) => {
            tell(&published, demo, begun.elapsed().as_secs_f64());
            ExitCode::SUCCESS
        }
        None => {
            to_stderr(&format!(
                "Nothing was published; what was at {} before is untouched.\n",
                clean(&wanted.to.display().to_string())
            ));
            ExitCode::FAILURE
        }
    }
}

fn tell(published: &Published, demo: bool, seconds: f64) {
    let written = &published.written;
    let what = if demo { "the demo course " } else { "" };
    let plural = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    let mut told = format!("Published {what}“{}” in {seconds:.2} s.\n", published.title);
    told += &format!(
        "  wrote {} and {}: {} files, {:.1} MB\n",
        plural(published.lessons, "lesson"),
        plural(published.banks, "check"),
        written.files,
        written.bytes as f64 / 1e6
    );
    if !published.drafts.is_empty() {
        told += &format!("  left out, still a draft: {}\n", published.drafts.join(", "));
    }
    told += &format!("  into  {}\n", written.folder.display());
    told += &format!(
        "  open  {} in a browser, by double click or from any web server\n",
        written.folder.join("index.html").display()
    );
    if demo {
        told +=
            "  next  put a course.yaml and lessons/ into a folder of your own, then: tankside publish THAT-FOLDER\n";
    }
    to_stdout(&clean(&told));
}
