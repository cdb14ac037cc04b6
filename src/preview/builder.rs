//! From changed files to the next version of the course; the last good one is kept until the next is good.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::time::{Duration, Instant};

use super::version::{CourseFiles, Way, start};
use crate::course::{Course, Readers, Resolved, resolve_again, resolve_for};
use crate::load::Disk;
use crate::markdown::page_names;
use crate::problem::{Problem, Problems};
use crate::proof::{dangers, dangers_of};

/// How many changed lessons are resolved one by one; if more change, the whole course is read.
const BY_THEMSELVES: usize = 20;

/// The course as it is shown, and as it was last read.
#[derive(Debug)]
pub struct Builder {
    resolved: Option<Resolved>,
    /// What is wrong now.
    problems: Problems,
    /// What is dangerous in the words of a lesson, by its stem; most have nothing.
    dangers: BTreeMap<String, Problems>,
    way: Option<Way>,
    title: String,
    /// Counts the changes of what many pages share: settings, phrases, pictures, parts.
    look: u64,
}

/// What reading a course again after a change led to.
#[derive(Debug)]
pub struct Reload {
    /// The files that changed; empty if the whole course was read.
    pub changed: BTreeSet<String>,
    /// Whether the whole course was read.
    pub whole: bool,
    /// Errors and warnings.
    pub count: (usize, usize),
    /// How long it took until pages could be requested.
    pub took: Duration,
}

impl Builder {
    /// Reads a course for the first time; one that is broken has problems and no pages.
    pub fn new(course: &Path) -> (Self, Reload) {
        let mut builder = Self {
            resolved: None,
            problems: Problems::new(),
            dangers: BTreeMap::new(),
            way: None,
            title: String::new(),
            look: 0,
        };
        let reload = builder.whole(course);
        (builder, reload)
    }

    /// What is wrong now.
    pub fn problems(&self) -> &Problems {
        &self.problems
    }

    /// The title of the course that is shown.
    pub fn title(&self) -> &str {
        &self.title
    }

    pub(super) fn way(&self) -> Option<Way> {
        self.way.clone()
    }

    pub(super) fn look(&self) -> u64 {
        self.look
    }

    /// Reads the whole course.
    pub fn whole(&mut self, course: &Path) -> Reload {
        let begun = Instant::now();
        self.look += 1;
        match Disk::open(course) {
            Ok(disk) => {
                let files = CourseFiles::new(disk);
                let resolved = resolve_for(&files, Readers::Author);
                let first = resolved.draft().lessons.first().map(|lesson| format!("lessons/{}.html", lesson.stem));
                let trial =
                    [page_names::HOME.to_owned(), page_names::FORMULAS.to_owned()].into_iter().chain(first).collect();
                self.dangers = dangers(resolved.draft());
                self.take(resolved, files, trial);
            }
            Err(problem) => {
                self.resolved = None;
                self.problems = Problems::from(*problem);
            }
        }
        self.reload(BTreeSet::new(), true, begun)
    }

    /// Takes up changed files: a few lessons by themselves, everything else with the whole course.
    pub fn changed(&mut self, course: &Path, changed: &BTreeSet<String>) -> Reload {
        let begun = Instant::now();
        let lessons: Option<Vec<&str>> =
            changed.iter().map(|name| name.strip_prefix("lessons/")?.strip_suffix(".md")).collect();
        let again = lessons.filter(|lessons| lessons.len() <= BY_THEMSELVES).and_then(|lessons| {
            let files = CourseFiles::new(Disk::open(course).ok()?);
            let mut resolved = self.resolved.take()?;
            for stem in &lessons {
                resolved = resolve_again(&resolved, &files, stem, Readers::Author)?;
            }
            let trial = lessons.iter().map(|stem| format!("lessons/{stem}.html")).collect();
            Some((resolved, files, trial))
        });
        match again {
            Some((resolved, files, trial)) => {
                self.dangers_again(resolved.draft(), changed);
                self.take(resolved, files, trial);
                self.reload(changed.clone(), false, begun)
            }
            None => {
                let reload = self.whole(course);
                Reload { changed: changed.clone(), took: begun.elapsed(), ..reload }
            }
        }
    }

    /// Looks for dangers in the words of the lessons that changed; the others have theirs.
    fn dangers_again(&mut self, course: &Course, changed: &BTreeSet<String>) {
        for lesson in course.lessons.iter().filter(|lesson| changed.contains(&*lesson.source.name)) {
            self.dangers.remove(&lesson.stem);
            self.dangers.extend(dangers_of(course, lesson).map(|found| (lesson.stem.clone(), found)));
        }
    }

    /// Shows a version if it is good, and keeps the previous one if it is not.
    fn take(&mut self, resolved: Resolved, files: CourseFiles, trial: Vec<String>) {
        self.problems = resolved.problems.clone();
        if let Some(course) = resolved.course() {
            self.problems.extend(self.dangers.values().cloned().flatten());
            let mut course = course.clone();
            // A preview shows what is saved now; a browser that kept the course would show an older state.
            course.settings.offline = false;
            let title = course.settings.title.clone();
            match start(course, files, trial) {
                Ok(way) => {
                    self.title = title;
                    self.way = Some(way);
                }
                Err(problem) => self.problems.push(Problem::from(problem)),
            }
        }
        self.problems.sort();
        self.resolved = Some(resolved);
    }

    fn reload(&self, changed: BTreeSet<String>, whole: bool, begun: Instant) -> Reload {
        Reload { changed, whole, count: self.problems.count(), took: begun.elapsed() }
    }

    /// A page as a browser would get it, for measuring, if it exists.
    pub fn page(&self, path: &str) -> Option<Vec<u8>> {
        let (reply, made) = tokio::sync::oneshot::channel();
        self.way.as_ref()?.send(super::version::Ask { path: path.to_owned(), reply }).ok()?;
        made.blocking_recv().ok()??.ok()
    }
}
