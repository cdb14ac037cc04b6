//! What `mark` and `sheet` share: the course they work with, and files written beside one another.

use super::patience::{Doing, shown as shown_while};
use super::{style, to_stderr};
use crate::course::{Course, resolve};
use crate::embedded::{CONTENT, DEMO, TEMPLATES, text};
use crate::load::{Disk, Files, Layered, Memory};
use crate::problem::{Problem, Problems, code};
use crate::progress::Progress;
use crate::site::{colours, stylesheet};
use std::fs::{self, File};
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

/// How many folders deep within a course a command is known to be in it.
const DEEPEST: usize = 4;

/// The course folder: the one named; else this one, where it is one; nothing where it has nothing of a course, and then
/// the demo is meant.
///
/// # Errors
/// A folder within a course: what is published there by mistake would be the demo.
pub(super) fn course_folder(named: Option<&PathBuf>) -> Result<Option<&Path>, Box<Problem>> {
    if let Some(named) = named {
        return Ok(Some(named));
    }
    let here = Path::new(".");
    if here.join("course.yaml").is_file() {
        return Ok(Some(here));
    }
    let folder = std::env::current_dir().unwrap_or_default();
    let mut above = folder.ancestors().enumerate().skip(1).take(DEEPEST);
    if let Some((up, course)) = above.find(|(_, above)| above.join("course.yaml").is_file()) {
        let title = "this folder is inside a course folder";
        let help = match up {
            1 => "go up one folder (`cd ..`) and run the command again".to_owned(),
            up => format!("go up to that folder (`cd {}`) and run the command again", vec![".."; up].join("/")),
        };
        let within = folder.strip_prefix(course).unwrap_or(&folder).display().to_string();
        return Err(Box::new(Problem::new(code::COURSE_MISSING, title, within).help(help)));
    }
    // A course that lacks its first file is still a course, and the message says so.
    let traces = ["lessons", "questions", "course.yml", "Course.yaml", "cautions.yaml", "glossary.yaml"];
    Ok(traces.iter().any(|trace| here.join(trace).exists()).then_some(here))
}

/// Names the files of the problems as an editor opens them from this folder; those of the stock, which no author has,
/// keep their names.
pub(super) fn from_here(problems: &mut Problems, folder: Option<&Path>, own: &dyn Files, stock: &dyn Files) {
    if let Some(folder) = folder {
        let here = std::env::current_dir().unwrap_or_default();
        let folder = folder.strip_prefix(&here).unwrap_or(folder);
        problems.seen_from(folder, |name| own.has(name) || !stock.has(name));
    }
}

/// What to write where something is missing in the demo course and it was not asked for by name.
pub(super) fn of_demo(named: Option<&PathBuf>) -> Option<String> {
    let demo = matches!(course_folder(named), Ok(None));
    demo.then(|| "this is the demo course, since no course is in this folder; name yours with `--course`".to_owned())
}

/// Resolves the course named, else the one in this folder, else the demo course; `None` where it has mistakes, which
/// were printed.
pub(super) fn with_course<R>(named: Option<&PathBuf>, work: impl FnOnce(&Course) -> R) -> Option<R> {
    let stock = Memory::of(&CONTENT);
    let folder = match course_folder(named) {
        Ok(folder) => folder,
        Err(problem) => {
            to_stderr(&problem.draw(style()));
            return None;
        }
    };
    let own: Box<dyn Files> = match folder {
        Some(folder) => match Disk::open(folder) {
            Ok(disk) => Box::new(disk),
            Err(problem) => {
                to_stderr(&problem.draw(style()));
                return None;
            }
        },
        None => Box::new(Memory::of(&DEMO)),
    };
    let reading = Doing { first: "Reading the course", then: ("", "") };
    let resolved = shown_while(reading, &Progress::default(), || resolve(&Layered(vec![own.as_ref(), &stock])));
    match resolved.course() {
        Some(course) => Some(work(course)),
        None => {
            let mut problems = resolved.problems.clone();
            from_here(&mut problems, folder, own.as_ref(), &stock);
            to_stderr(&problems.draw(style()));
            None
        }
    }
}

/// Writes files into a folder, each whole or not at all; what is in the way under another name stays.
///
/// # Errors
/// What could not be written, by name.
pub(super) fn write_all(folder: &Path, files: &[(&str, &[u8])]) -> Result<(), Box<Problem>> {
    for (name, bytes) in files {
        let mut staged = Staged::create(folder, name)?;
        staged.write_all(bytes).map_err(|fault| unwritable(staged.place(), &fault))?;
        staged.finish()?;
    }
    Ok(())
}

/// A file cannot be written.
pub(super) fn unwritable(place: &Path, fault: &std::io::Error) -> Box<Problem> {
    let title = format!("this cannot be written: {fault}");
    let problem = Problem::new(code::DESK_UNWRITABLE, title, place.display().to_string());
    Box::new(problem.help("name another folder with `--to`"))
}

/// A file that is written under another name until it is whole; dropped before that, nothing of it is left.
#[derive(Debug)]
pub(super) struct Staged {
    place: PathBuf,
    beside: PathBuf,
    out: BufWriter<File>,
    finished: bool,
}

impl Staged {
    /// A new file in a folder, which is made if it is missing.
    ///
    /// # Errors
    /// What could not be written, by name.
    pub(super) fn create(folder: &Path, name: &str) -> Result<Staged, Box<Problem>> {
        fs::create_dir_all(folder).map_err(|fault| unwritable(folder, &fault))?;
        let (place, beside) = (folder.join(name), folder.join(format!(".{name}.new")));
        let out = File::create(&beside).map_err(|fault| unwritable(&place, &fault))?;
        Ok(Staged { place, beside, out: BufWriter::new(out), finished: false })
    }

    /// Where it will be.
    pub(super) fn place(&self) -> &Path {
        &self.place
    }

    /// Gives it its name.
    ///
    /// # Errors
    /// What could not be written, by name.
    pub(super) fn finish(mut self) -> Result<(), Box<Problem>> {
        let written = self.out.flush().and_then(|()| fs::rename(&self.beside, &self.place));
        self.finished = written.is_ok();
        written.map_err(|fault| unwritable(&self.place, &fault))
    }
}

impl Write for Staged {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.out.write(bytes)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        self.out.flush()
    }
}

impl Drop for Staged {
    fn drop(&mut self) {
        if !self.finished {
            // Nothing half-written is left; there may be nothing to remove.
            let _ = fs::remove_file(&self.beside);
        }
    }
}

/// The look of the site in the company's colors, and of the desk after it.
pub(super) fn look(course: &Course) -> String {
    let own = colours::sheet(course.settings.face());
    format!("{}{own}\n{}", stylesheet(), text(&TEMPLATES, "desk/desk.css"))
}
