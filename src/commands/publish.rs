//! `tankside publish`: a course folder into a site.

use crate::commands::desk::{course_folder, from_here};
use crate::commands::patience::{Doing, shown as shown_while};
use crate::commands::{CommandEntry, Shelf, style, to_stderr, to_stdout};
use crate::embedded::{CONTENT, DEMO};
use crate::load::{Disk, Files, Layered, Memory};
use crate::problem::{Problems, clean};
use crate::progress::Progress;
use crate::publish::{Published, publish_counted};
use crate::site::MOST_KEPT;
use crate::write::{Order, Whose, Written, closing, is_stopped, mend, stop};
use clap::{Arg, ArgAction, Command, value_parser};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Instant;

/// Where a site goes by default.
pub(super) const DEFAULT_TARGET: &str = "tankside-site";

/// The command.
pub const ENTRY: CommandEntry = CommandEntry {
    name: "publish",
    shelf: Shelf::Course,
    declare,
    run: |words| {
        run(&PublishRequest {
            course: words.get_one::<PathBuf>("course").cloned(),
            to: words.get_one::<PathBuf>("to").cloned(),
            replace_anyway: words.get_flag("replace-anyway"),
        })
    },
    examples: &[
        ("tankside publish our-course --to site", "the course in our-course/ becomes the site in site/"),
        ("tankside publish", "the course in this folder, or else the demo course, becomes tankside-site/"),
    ],
};

fn declare(command: Command) -> Command {
    command
        .about("make a site from a course; unless one is named, from the one in this folder, or else the demo")
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
                .help("the folder for the site; unless given, tankside-site, or a folder next to the course if this is its folder")
                .value_parser(value_parser!(PathBuf)),
        )
        .arg(
            Arg::new("replace-anyway")
                .long("replace-anyway")
                .action(ArgAction::SetTrue)
                .help("also replace another course's site, and pages that were changed by hand"),
        )
}

/// What the command line asks for.
#[derive(Debug)]
pub struct PublishRequest {
    /// The course folder; without one, this folder if it holds a course, else the demo course.
    pub course: Option<PathBuf>,
    /// The folder of the site; without one, `tankside-site` here, or a folder beside the course where this is the
    /// course.
    pub to: Option<PathBuf>,
    /// Replace a site of another course as well, and pages that were changed by hand.
    pub replace_anyway: bool,
}

/// Publishes and tells what was done.
pub fn run(wanted: &PublishRequest) -> ExitCode {
    stop::watch();
    let begun = Instant::now();
    let stock = Memory::of(&CONTENT);
    let folder = match course_folder(wanted.course.as_ref()) {
        Ok(folder) => folder,
        Err(problem) => {
            to_stderr(&format!("{}Nothing was published.\n", Problems::from(*problem).draw(style())));
            return ExitCode::FAILURE;
        }
    };
    let to = wanted.to.clone().unwrap_or_else(|| usual_target(folder));
    let order = Order { to, course: folder.map(Path::to_path_buf), replace_anyway: wanted.replace_anyway };
    match mend(&order.to) {
        // This comes first, so that the earlier site is back even if this course has mistakes.
        Ok(mended) => mended.iter().for_each(|mended| to_stderr(&format!("{}\n", shown(&mended.0)))),
        Err(problem) => return refused(&order, &Problems::from(*problem)),
    }
    let (own, demo): (Box<dyn Files>, bool) = match folder {
        Some(folder) => match Disk::open(folder) {
            Ok(disk) => (Box::new(disk), false),
            Err(problem) => return refused(&order, &Problems::from(*problem)),
        },
        None => (Box::new(Memory::of(&DEMO)), true),
    };
    let progress = Progress::default();
    let (published, mut problems) =
        shown_while(DOING, &progress, || publish_counted(&Layered(vec![own.as_ref(), &stock]), &order, &progress));
    from_here(&mut problems, folder, own.as_ref(), &stock);
    match published {
        Some(published) => {
            if !problems.is_empty() {
                to_stderr(&problems.draw(style()));
            }
            tell(&published, demo, begun.elapsed().as_secs_f64());
            // The program ends here, and the system frees all of it at once.
            std::mem::forget(published);
            ExitCode::SUCCESS
        }
        None => refused(&order, &problems),
    }
}

/// What a terminal shows while it takes long.
const DOING: Doing = Doing { first: "Reading the course", then: ("Writing the site", "files") };

/// Where a site goes by default: into this folder, unless that is part of the course.
fn usual_target(course: Option<&Path>) -> PathBuf {
    let here = std::env::current_dir().and_then(|here| here.canonicalize());
    let course = course.and_then(|course| course.canonicalize().ok());
    match (here, &course) {
        (Ok(here), Some(course)) if here.starts_with(course) && course.parent().is_some() => {
            let name = course.file_name().unwrap_or_default().to_owned();
            let mut site = name;
            site.push("-site");
            course.with_file_name(site)
        }
        _ => PathBuf::from(DEFAULT_TARGET),
    }
}

fn refused(order: &Order, problems: &Problems) -> ExitCode {
    if problems.iter().any(is_stopped) {
        to_stderr(&format!("Stopped. {}\n", shown(&closing(&order.to, problems.iter()))));
        stop::end_if_requested();
    } else {
        to_stderr(&problems.draw(style()));
        to_stderr(&format!("{}\n", shown(&closing(&order.to, problems.iter()))));
    }
    ExitCode::FAILURE
}

/// Names and titles made safe for a terminal: on one line, without control characters.
fn shown(text: &str) -> String {
    clean(text).replace(['\n', '\t'], "\u{fffd}")
}

fn tell(published: &Published, demo: bool, seconds: f64) {
    let Published { course, written, .. } = published;
    let what = if demo { "the demo course " } else { "" };
    let plural = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    let mut told = format!("Published {what}“{}” in {seconds:.2} s.\n", shown(&course.settings.title));
    told += &format!(
        "  wrote {} and {}: {} files, {:.1} MB\n",
        plural(course.lessons.len(), "lesson"),
        plural(published.banks, "check"),
        written.files,
        written.bytes as f64 / 1e6
    );
    if !course.drafts.is_empty() {
        let drafts: Vec<&str> = course.drafts.iter().map(String::as_str).collect();
        told += &format!("  left out, still a draft: {}\n", drafts.join(", "));
    }
    told += &format!("  into  {}\n", shown(&written.folder.display().to_string()));
    if let Some(there) = &written.replaced {
        told += &format!("  over  {}\n", over(there, &course.settings.id));
    }
    told += &format!(
        "  open  {} in a browser, with a double click or from any web server\n",
        shown(&written.folder.join("index.html").display().to_string())
    );
    if !published.need_signal.is_empty() {
        let mut names: Vec<String> = published.need_signal.iter().take(NAMED).map(|name| shown(name)).collect();
        if published.need_signal.len() > NAMED {
            names.push(format!("{} more", published.need_signal.len() - NAMED));
        }
        let most = MOST_KEPT / 1024 / 1024;
        told +=
            &format!("  need a signal, because a phone keeps at most {most} MiB of a course: {}\n", names.join(", "));
    }
    told += &foreign_files(written);
    if demo {
        told += "  next  tankside start our-course writes a small course of your own to change\n";
    }
    to_stdout(&told);
}

/// Whose site was in the folder, where it went by another name.
fn over(there: &Whose, id: &str) -> String {
    let named = match there.title.as_str() {
        "" => format!("`{}`", shown(&there.id)),
        title => format!("“{}”", shown(title)),
    };
    match there {
        Whose { demo: true, .. } => format!("the site of the demo course, {named}, which was in this folder"),
        _ if there.id == id => format!(
            "the site of {named}, which has the same id; if that is another course, give this one an `id` of its own and publish both again"
        ),
        _ => format!("the site of another course, {named}, which was in this folder"),
    }
}

/// How many files are listed by name before the rest are only counted.
const NAMED: usize = 8;

/// What was found in the folder besides our pages, and stayed.
fn foreign_files(written: &Written) -> String {
    let mut told = String::new();
    if !written.foreign.is_empty() {
        let name = |(name, files): &(String, usize)| match name.ends_with('/') {
            true => format!("{} ({files} {})", shown(name), if *files == 1 { "file" } else { "files" }),
            false => shown(name),
        };
        let mut names: Vec<String> = written.foreign.iter().take(NAMED).map(name).collect();
        if written.foreign.len() > NAMED {
            names.push(format!("{} more", written.foreign.len() - NAMED));
        }
        told += &format!("  kept  {}, which tankside did not write\n", names.join(", "));
    }
    if let Some(left) = &written.left {
        told += &format!(
            "  look  {} holds files that appeared while the site was being replaced; move them to where they belong\n",
            shown(&left.display().to_string())
        );
    }
    told
}
