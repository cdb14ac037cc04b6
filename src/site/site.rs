//! Every file of a site by its path, each made when it is requested.

use super::assets::{assets, missing_parts};
use super::fault::Fault;
use super::lesson::Filling;
use super::needs::Needs;
use super::pages::{LessonPart, Link, Pages};
use super::paths::{Maker, paths};
use super::placed::Blocks;
use super::search::Sections;
use super::teaching::Teaching;
use super::work::{self, Shown, Uses};
use super::{card, home, icon, learning, offline, pool, quiz, ready, search, standing};
use crate::course::{Course, ReadyLesson};
use crate::load::{Files, read_attachment, read_image};
use crate::parallel::{for_each, threads, together};
use crate::problem::{Problem, Problems, code};
use std::borrow::Cow;
use std::collections::{BTreeSet, HashMap};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, OnceLock};

/// One file of a site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Page<'s> {
    /// Its path from the site's folder, with forward slashes: `lessons/catch-test.html`.
    pub path: &'s str,
    /// Its bytes.
    pub bytes: Cow<'s, [u8]>,
}

/// A file on its way out, or some of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outgoing<'s> {
    /// A whole file.
    Page(Page<'s>),
    /// The next bytes of a file that is made while others are; its pieces come in their order.
    Piece {
        /// The file's path.
        path: &'s str,
        /// Its next bytes.
        bytes: &'s [u8],
        /// Whether these are its last ones.
        last: bool,
    },
}

/// The site of a course: its paths are known at once, and a file is made when it is requested.
///
/// The same course gives the same paths in the same order and the same bytes. Nothing is written anywhere; pictures
/// are read when they are requested.
pub struct Site<'c> {
    course: &'c Course,
    files: &'c dyn Files,
    pages: Pages,
    shown: Vec<Shown>,
    uses: Uses,
    teaching: Teaching<'c>,
    blocks: Blocks,
    /// Made when the first of them is requested: a preview that shows a changed lesson does not need them.
    assets: OnceLock<Vec<(String, Cow<'static, [u8]>)>>,
    paths: Vec<(String, Maker)>,
    /// Made when a page is first asked for by its path.
    by_path: OnceLock<HashMap<String, usize>>,
}

/// Prepares the site of a course; `files` are those that the course was resolved from.
///
/// # Errors
/// A template or a stock file that cannot be read.
pub fn render<'c>(course: &'c Course, files: &'c dyn Files) -> Result<Site<'c>, Box<Problem>> {
    let (pages, (shown, uses, teaching)) = together(
        || Pages::new(course),
        || (work::shown(course.system()), Uses::of(&course.lessons), Teaching::of(course)),
    );
    let pages = pages.map_err(|fault| fault.at_page("templates"))?;
    let shown = shown.map_err(|fault| Problem::new(code::STOCK_UNREADABLE, fault, "content"))?;
    all_built(&missing_parts())?;
    let paths = paths(course, &shown);
    let blocks = Blocks::default();
    Ok(Site {
        course,
        files,
        pages,
        shown,
        uses,
        teaching,
        blocks,
        assets: OnceLock::new(),
        paths,
        by_path: OnceLock::new(),
    })
}

/// Refuses to publish pages whose part of the core was never built.
fn all_built(missing: &[&str]) -> Result<(), Box<Problem>> {
    let Some(part) = missing.first() else { return Ok(()) };
    let title = format!("the core for the browser has no part `{part}`, and its pages would not compute");
    let help = "run `cargo xtask wasm`, build the program again, and publish";
    Err(Problem::new(code::CORE_PART_MISSING, title, "calc-wasm/pkg").help(help).into())
}

impl Site<'_> {
    /// The paths of all files, in an order that never changes.
    pub fn paths(&self) -> impl ExactSizeIterator<Item = &str> {
        self.paths.iter().map(|(path, _)| path.as_str())
    }

    /// The file of a path; nothing if the site has none.
    ///
    /// # Errors
    /// A template that fails, or a picture that can no longer be read.
    pub fn page(&self, path: &str) -> Option<Result<Page<'_>, Box<Problem>>> {
        let place = |(index, (path, _)): (usize, &(String, Maker))| (path.clone(), index);
        let by_path = self.by_path.get_or_init(|| self.paths.iter().enumerate().map(place).collect());
        by_path.get(path).map(|index| self.make(*index, None))
    }

    /// All files one after the other, each made when the iterator arrives at it.
    pub fn pages(&self) -> impl ExactSizeIterator<Item = Result<Page<'_>, Box<Problem>>> {
        (0..self.paths.len()).map(|index| self.make(index, None))
    }

    /// Makes all files on several threads and hands each to `take` as soon as it is made; no file is kept. The index of
    /// the search grows with the lessons' pages, and comes in pieces. Once `take` returns false, no more are made; nor
    /// once a part of the course has turned out to be endless, for it would be so on every page.
    ///
    /// Returns what could not be made, in the order of the paths.
    pub fn for_each(&self, take: impl Fn(Outgoing<'_>) -> bool + Sync) -> Problems {
        let is_search = |index: &usize| matches!(self.paths[*index].1, Maker::Search);
        let mut numbered: Vec<usize> = (0..self.paths.len()).filter(|index| !is_search(index)).collect();
        // One of the others may take as long as a hundred lessons: they come first, so that none is still being made at
        // the end.
        numbered.sort_by_key(|index| matches!(self.paths[*index].1, Maker::Lesson(_)));
        let wanted = AtomicBool::new(true);
        // Earlier pages are still made, so that what is reported does not depend on which thread came first.
        let endless = AtomicUsize::new(usize::MAX);
        let made = |index: usize, page: Result<Page<'_>, Box<Problem>>| {
            let taken = page.map(|page| take(Outgoing::Page(page)));
            match &taken {
                Ok(false) => wanted.store(false, Ordering::Relaxed),
                Err(problem) if problem.code == code::PART_ENDLESS.code => {
                    endless.fetch_min(index, Ordering::Relaxed);
                }
                _ => {}
            }
            taken.err().map(|problem| (index, problem))
        };
        // Each lesson brings what can be found in it along with its page.
        let around: OnceLock<search::Around> = OnceLock::new();
        let around = || around.get_or_init(|| search::Around::of(self.course, &self.shown));
        let begun = AtomicBool::new(false);
        let piece = |text: &str, last: bool| {
            let give = |text: &str, last| take(Outgoing::Piece { path: search::PATH, bytes: text.as_bytes(), last });
            let first = begun.swap(true, Ordering::Relaxed) || give(&around().head, false);
            wanted.fetch_and(first && give(text, last), Ordering::Relaxed);
        };
        let rows = |rows: &str| piece(rows, false);
        let sections = search::Sections::new(&rows, search::share(self.course));
        let one = |index: &usize| {
            if !wanted.load(Ordering::Relaxed) || *index > endless.load(Ordering::Relaxed) {
                return None;
            }
            made(*index, self.make(*index, Some(&sections)))
        };
        let failed = std::thread::scope(|scope| {
            // They are made together: whoever came to the second of them would wait for the one that came to the first.
            if threads() > 1 {
                scope.spawn(|| {
                    self.assets();
                    around();
                });
            }
            let mut failed = for_each(&numbered, threads(), one);
            failed.sort_by_key(|(index, _)| *index);
            failed
        });
        if failed.is_empty() && wanted.load(Ordering::Relaxed) {
            let rest = sections.end();
            let after_lessons = begun.load(Ordering::Relaxed) || !rest.is_empty();
            piece(&(rest + &around().end(after_lessons)), true);
        }
        let end = endless.load(Ordering::Relaxed);
        let mut problems = Problems::new();
        // A mistake in a part is met on every page that has it, and is one mistake.
        let mut told = BTreeSet::new();
        for (_, problem) in failed.into_iter().filter(|(index, _)| *index <= end) {
            let start = problem.primary.as_ref().map(|mark| mark.span.start);
            if told.insert((problem.code, problem.file.to_string(), start, problem.title.clone())) {
                problems.push(problem);
            }
        }
        problems
    }

    /// Makes one file. A lesson brings what can be found in it to `sections`, if they are gathered.
    fn make(&self, index: usize, sections: Option<&Sections<'_>>) -> Result<Page<'_>, Box<Problem>> {
        let (path, maker) = &self.paths[index];
        let page = match maker {
            Maker::Asset(index) => {
                return Ok(Page { path, bytes: Cow::Borrowed(&self.assets()[*index].1) });
            }
            Maker::Questions => Ok(pool::script(self.course)),
            Maker::Image => return Ok(Page { path, bytes: read_image(self.files, path)? }),
            Maker::Attachment => return Ok(Page { path, bytes: read_attachment(self.files, path)? }),
            Maker::Icon(Some(side)) => {
                let icon = icon::pixels(offline::band(self.course), *side).map_err(|fault| fault.to_string());
                let bytes = icon.map_err(|fault| Fault::from(fault).at_page(path))?;
                return Ok(Page { path, bytes: Cow::Owned(bytes) });
            }
            Maker::Icon(None) => Ok(icon::drawn(offline::band(self.course))),
            Maker::Manifest => Ok(offline::manifest(self.course)),
            Maker::Leave => Ok(offline::leaving()),
            Maker::Home => home::page(self.course, &self.shown, &self.pages),
            Maker::Card => self.card(),
            Maker::Drill => learning::drill(self.course, &self.pages),
            Maker::Log => learning::log(self.course, &self.pages),
            Maker::Steps => learning::steps(self.course, &self.pages),
            Maker::Reading => learning::reading(self.course, &self.pages),
            Maker::Exam => learning::exam(self.course, &self.pages),
            Maker::Progress => learning::progress(self.course, &self.pages),
            Maker::NotFound => self.pages.not_found(self.course.phrases.get("site.not-found")),
            Maker::Formulas => standing::formula_page(&self.shown, self.course, &self.pages),
            Maker::Units => standing::units_page(self.course, &self.pages),
            Maker::Glossary => standing::glossary_page(self.course, &self.pages),
            Maker::Search => Ok(search::script(self.course, &self.shown)),
            Maker::Lesson(index) => self.lesson(*index, sections),
            Maker::Check => self.check(path),
            Maker::Work(index) => work::page(&self.shown[*index], &self.uses, &self.course.phrases, &self.pages),
        };
        match page {
            Ok(page) => Ok(Page { path, bytes: Cow::Owned(page.into_bytes()) }),
            Err(fault) => Err(fault.at_page(path)),
        }
    }

    fn assets(&self) -> &[(String, Cow<'static, [u8]>)] {
        self.assets.get_or_init(|| assets(&self.course.phrases, self.course.settings.face()))
    }

    fn card(&self) -> Result<String, Fault> {
        let phrases = &self.course.phrases;
        let system = self.course.system();
        let part = ready::card(system, phrases).unwrap_or_else(|| card::part(system, phrases));
        self.pages.card(&part, phrases.get("card.title"), phrases.get("card.summary"))
    }

    fn check(&self, path: &str) -> Result<String, Fault> {
        let id = path.trim_start_matches("checks/").trim_end_matches(".html");
        let Some(bank) = self.course.banks.get(id) else { return Err(format!("there is no bank {id}").into()) };
        let part = quiz::part(bank, None, None, true, &[], Some(&self.teaching), &self.course.phrases)?;
        self.pages.quiz(&part, Needs::QUESTIONS)
    }

    fn lesson(&self, index: usize, sections: Option<&Sections<'_>>) -> Result<String, Fault> {
        let lessons = &self.course.lessons;
        let lesson = &lessons[index];
        let Site { course, pages, teaching, blocks, .. } = self;
        let link = |lesson: &Arc<ReadyLesson>| Link {
            href: format!("{}.html", lesson.stem),
            title: lesson.header.title.clone(),
        };
        let part = LessonPart {
            title: lesson.header.title.clone(),
            summary: lesson.header.summary.clone(),
            minutes: lesson.header.minutes,
            draft: lesson.header.draft,
            position: index + 1,
            total: lessons.len(),
            segments: Vec::new(),
            previous: index.checked_sub(1).map(|before| link(&lessons[before])),
            next: lessons.get(index + 1).map(link),
        };
        let page = lesson.with_html(|markup| {
            Filling { course, pages, teaching, blocks }.body(lesson, markup, |body| {
                if let Some(sections) = sections {
                    search::bring(course, lesson, index, markup, Some(body), sections);
                }
                pages.lesson(part, body, Needs::lesson(lesson, &course.banks))
            })
        });
        page.ok_or_else(|| format!("the text of {} was damaged in memory", lesson.stem))?
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_calculator_that_was_never_built_stops_the_publishing_with_the_command_to_run() {
        let problem = all_built(&["spreader", "card"]).expect_err("two parts are missing");
        assert_eq!(problem.code, "core-part-missing");
        assert!(problem.title.contains("`spreader`"), "{}", problem.title);
        assert!(problem.help.as_deref().is_some_and(|help| help.contains("cargo xtask wasm")));
        assert!(all_built(&[]).is_ok());
    }

    #[test]
    fn the_search_in_pieces_is_the_search_as_a_whole() {
        let demo = crate::load::Memory::of(&crate::embedded::DEMO);
        let stock = crate::load::Memory::of(&crate::embedded::CONTENT);
        let files = crate::load::Layered(vec![&demo, &stock]);
        let resolved = crate::course::resolve(&files);
        let site = render(resolved.course().expect("the demo is whole"), &files).expect("so are the templates");
        let (pieces, ended) = (std::sync::Mutex::new(Vec::new()), AtomicUsize::new(0));
        let failed = site.for_each(|out| {
            if let Outgoing::Piece { path, bytes, last } = out {
                assert_eq!((path, ended.fetch_add(usize::from(last), Ordering::Relaxed)), (search::PATH, 0));
                pieces.lock().expect("no thread panicked").extend_from_slice(bytes);
            }
            true
        });
        let whole = site.page(search::PATH).expect("every site has it").expect("it can be made");
        assert!(failed.is_empty() && ended.into_inner() == 1);
        assert!(pieces.into_inner().expect("as above") == *whole.bytes);
    }
}
