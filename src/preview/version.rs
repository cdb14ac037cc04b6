//! One version of a course: a thread that makes its pages when they are requested, and ends with it.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use tokio::sync::oneshot;

use crate::course::Course;
use crate::load::{Disk, Files, Layered, Memory, ReadError, Unlisted};
use crate::problem::Problem;
use crate::site::render;

/// A course folder over the stock.
pub(super) struct CourseFiles {
    disk: Disk,
    stock: Memory,
}

impl CourseFiles {
    pub(super) fn new(disk: Disk) -> Self {
        Self { disk, stock: Memory::of(&crate::embedded::CONTENT) }
    }

    fn layered(&self) -> Layered<'_> {
        Layered(vec![&self.disk, &self.stock])
    }
}

impl Files for CourseFiles {
    fn read(&self, name: &str, limit: u64) -> Result<Cow<'static, [u8]>, ReadError> {
        self.layered().read(name, limit)
    }

    fn list(&self, folder: &str) -> Vec<String> {
        self.layered().list(folder)
    }

    fn folders(&self, folder: &str) -> Vec<String> {
        self.layered().folders(folder)
    }

    fn in_language(&self, folder: &str, language: &str) -> BTreeMap<String, String> {
        self.layered().in_language(folder, language)
    }

    fn has(&self, name: &str) -> bool {
        self.layered().has(name)
    }

    fn unlisted(&self, folder: &str) -> Vec<Unlisted> {
        self.layered().unlisted(folder)
    }
}

/// A page that was requested, if it exists.
pub(super) type Made = Option<Result<Vec<u8>, Box<Problem>>>;

/// A question for a page.
pub(super) struct Ask {
    pub(super) path: String,
    pub(super) reply: oneshot::Sender<Made>,
}

/// The way to a version's thread; the thread ends when nobody holds it any more.
pub(super) type Way = Sender<Ask>;

/// Starts the thread of a version, once its templates and the pages in `trial` could be made.
///
/// # Errors
/// Why they cannot be made.
pub(super) fn start(course: Course, files: CourseFiles, trial: Vec<String>) -> Result<Way, Box<Problem>> {
    let (way, asked) = channel::<Ask>();
    let (tried, ready) = channel();
    thread::spawn(move || serve(&course, &files, &trial, &tried, &asked));
    let failed = || Box::new(Problem::new(crate::problem::code::TEMPLATE_UNUSABLE, "a page could not be made", ""));
    ready.recv().map_err(|_| failed())?.map(|()| way)
}

fn serve(
    course: &Course,
    files: &CourseFiles,
    trial: &[String],
    tried: &Sender<Result<(), Box<Problem>>>,
    asked: &Receiver<Ask>,
) {
    let site = match render(course, files) {
        Ok(site) => site,
        Err(problem) => {
            let _ = tried.send(Err(problem));
            return;
        }
    };
    let failed = trial.iter().find_map(|path| site.page(path).and_then(Result::err));
    if tried.send(failed.map_or(Ok(()), Err)).is_err() {
        return;
    }
    while let Ok(ask) = asked.recv() {
        let made = site.page(&ask.path).map(|page| page.map(|page| page.bytes.into_owned()));
        // Whoever asked may be gone.
        let _ = ask.reply.send(made);
    }
}
