//! From a course's files to a site on disk, whole or not at all.

use super::assets::assets;
use super::card;
use super::lesson::{Shelf, filled};
use super::needs::Needs;
use super::pages::{LessonPart, Link, Pages, QuizRow, Row};
use super::quiz;
use super::standing::standing;
use super::work::{self, Shown};
use crate::catalogue::{self, Term};
use crate::course::{ReadyBank, ReadyLesson, ready, ready_banks, system};
use crate::load::{Course, Files, Lesson, load, read_image};
use crate::markdown::{Context, Part, check_links, render};
use crate::problem::{Problem, Problems};
use crate::write::{Staging, Written, in_parallel, threads};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use tankside_calc::words::phrases::Phrases;

/// What was published.
#[derive(Debug)]
pub struct Published {
    /// The course's title.
    pub title: String,
    /// Lessons written.
    pub lessons: usize,
    /// Question banks that can be taken.
    pub banks: usize,
    /// What stands on the disk.
    pub written: Written,
}

/// Publishes a course; `None` where its problems forbid it. Problems come with both.
pub fn publish(files: &dyn Files, to: &Path) -> (Option<Published>, Problems) {
    let (course, mut problems) = load(files, threads());
    let Some(course) = course else { return (None, problems) };
    let Some(phrases) = language(&course, &mut problems) else { return (None, problems) };
    let cautions = match catalogue::cautions() {
        Ok(cautions) => cautions,
        Err(fault) => return stopped(problems, Problem::error("stock-unreadable", fault, "content")),
    };
    let system = system(course.settings.units);
    let (terms, shown) = match catalogue::glossary().and_then(|terms| Ok((terms, work::shown(system)?))) {
        Ok(stock) => stock,
        Err(fault) => return stopped(problems, Problem::error("stock-unreadable", fault, "content")),
    };
    let banks = ready_banks(&course.banks, &phrases, &mut problems);
    let names = Names {
        cautions: cautions.keys().cloned().collect(),
        terms: terms.iter().map(|term| term.id.clone()).collect(),
    };
    let lessons = ready_lessons(&course, &names, &phrases, &mut problems);
    let pages = match Pages::new(&course.settings, &phrases) {
        Ok(pages) => pages,
        Err(fault) => return stopped(problems, Problem::error("template-unreadable", fault, "templates")),
    };
    let by_stem = course.lessons.iter().map(|lesson| lesson.stem.clone()).zip(&lessons).collect();
    let shelf = Shelf {
        phrases: &phrases,
        cautions: &cautions,
        banks: &banks,
        lessons: &by_stem,
        pages: &pages,
        names: &course.lesson_names,
    };
    let staging = match Staging::begin(to) {
        Ok(staging) => staging,
        Err(problem) => return stopped(problems, *problem),
    };
    let may_write = !problems.has_errors();
    let numbered: Vec<usize> = (0..lessons.len()).collect();
    let told = in_parallel(&numbered, threads(), |index| {
        let mut problems = Problems::new();
        lesson_page(&course, &lessons, *index, &shelf, may_write.then_some(&staging), &mut problems);
        problems
    });
    told.into_iter().for_each(|found| problems.extend(found));
    if problems.has_errors() {
        return (None, problems);
    }
    let quizzes = own_pages(&lessons, &banks);
    let rest = || -> Result<Written, Problem> {
        write_rest(files, &course, &shelf, &quizzes, &shown, &staging)?;
        write_standing(&course, &lessons, &shown, &terms, &shelf, &staging).map_err(|problem| *problem)?;
        staging.finish().map_err(|problem| *problem)
    };
    match rest() {
        Ok(written) => {
            let published = Published {
                title: course.settings.title.clone(),
                lessons: lessons.len(),
                banks: banks_used(&lessons, &quizzes),
                written,
            };
            (Some(published), problems)
        }
        Err(problem) => stopped(problems, problem),
    }
}

fn stopped(mut problems: Problems, problem: Problem) -> (Option<Published>, Problems) {
    problems.push(problem);
    (None, problems)
}

fn language(course: &Course, problems: &mut Problems) -> Option<Phrases> {
    match catalogue::phrases(&course.settings.language) {
        Ok(Some(phrases)) => Some(phrases),
        Ok(None) => {
            let title = format!("there are no phrases for the language `{}`", course.settings.language);
            let mut sorted = catalogue::languages();
            sorted.sort();
            problems.push(
                Problem::error("language-unknown", title, "course.yaml")
                    .help(format!("write one of: {}", sorted.join(", "))),
            );
            None
        }
        Err(fault) => {
            problems.push(Problem::error("stock-unreadable", fault, "content"));
            None
        }
    }
}

/// Names of the stock content that a lesson may refer to.
struct Names {
    cautions: BTreeSet<String>,
    terms: BTreeSet<String>,
}

fn ready_lessons(course: &Course, names: &Names, phrases: &Phrases, problems: &mut Problems) -> Vec<ReadyLesson> {
    let context = Context {
        lessons: &course.lesson_names,
        banks: &course.bank_names,
        cautions: &names.cautions,
        terms: &names.terms,
        images: &course.images,
        to_root: "../",
    };
    let made = in_parallel(&course.lessons, threads(), |lesson| {
        let mut problems = Problems::new();
        let body = render(lesson, &context, &mut problems);
        (ready(lesson, body, course.settings.units, phrases, &mut problems), problems)
    });
    let mut lessons = Vec::with_capacity(made.len());
    for (lesson, found) in made {
        problems.extend(found);
        lessons.push(lesson);
    }
    let outlines = course
        .lessons
        .iter()
        .zip(&lessons)
        .map(|(lesson, ready)| (lesson.stem.as_str(), &lesson.source, &ready.body.outline));
    check_links(outlines, problems);
    lessons
}

fn lesson_page(
    course: &Course,
    lessons: &[ReadyLesson],
    index: usize,
    shelf: &Shelf,
    staging: Option<&Staging>,
    problems: &mut Problems,
) {
    let (lesson, ready) = (&course.lessons[index], &lessons[index]);
    let body = filled(lesson, ready, shelf, problems);
    let Some(staging) = staging else { return };
    let link = |lesson: &Lesson| Link { href: format!("{}.html", lesson.stem), title: lesson.header.title.clone() };
    let part = LessonPart {
        title: lesson.header.title.clone(),
        summary: lesson.header.summary.clone(),
        minutes: lesson.header.minutes,
        position: index + 1,
        total: lessons.len(),
        segments: vec![body],
        previous: index.checked_sub(1).map(|before| link(&course.lessons[before])),
        next: course.lessons.get(index + 1).map(link),
    };
    let name = format!("lessons/{}.html", lesson.stem);
    let page = shelf.pages.lesson(&part, Needs::lesson(ready, shelf.banks));
    let page = page.map_err(|fault| Problem::error("template-unusable", fault, name.clone()));
    if let Err(problem) = page.and_then(|page| staging.write(&name, page.as_bytes()).map_err(|problem| *problem)) {
        problems.push(problem);
    }
}

/// Banks that no lesson holds get a page of their own.
fn own_pages<'b>(lessons: &[ReadyLesson], banks: &'b BTreeMap<String, ReadyBank>) -> Vec<&'b ReadyBank> {
    let placed = placed_banks(lessons);
    // A stock bank waits until a lesson places it.
    let stock = |id: &str| crate::embedded::CONTENT.get_file(format!("questions/{id}.yaml")).is_some();
    banks.values().filter(|bank| !placed.contains(bank.id.as_str()) && !stock(&bank.id)).collect()
}

fn placed_banks(lessons: &[ReadyLesson]) -> BTreeSet<&str> {
    let holes = lessons.iter().flat_map(|lesson| &lesson.body.holes);
    holes
        .filter_map(|hole| match &hole.part {
            Part::Questions(questions) => Some(questions.bank.as_str()),
            _ => None,
        })
        .collect()
}

fn banks_used(lessons: &[ReadyLesson], own: &[&ReadyBank]) -> usize {
    placed_banks(lessons).len() + own.len()
}

fn write_rest(
    files: &dyn Files,
    course: &Course,
    shelf: &Shelf,
    quizzes: &[&ReadyBank],
    shown: &[Shown],
    staging: &Staging,
) -> Result<(), Problem> {
    let broken = |fault: String| Problem::error("template-unusable", fault, "templates");
    let write = |name: &str, bytes: &[u8]| staging.write(name, bytes).map_err(|problem| *problem);
    let mut rows = Vec::new();
    for bank in quizzes {
        let part = quiz::part(bank, None, None, shelf.phrases).map_err(broken)?;
        write(
            &format!("checks/{}.html", bank.id),
            shelf.pages.quiz(&part, Needs::bank(bank)).map_err(broken)?.as_bytes(),
        )?;
        let rule = shelf.phrases.fill("site.quiz-rule", |place| match place {
            "ask" => Some(part.ask.to_string()),
            "need" => Some(part.need.to_string()),
            "pass" => Some(part.pass_text.clone()),
            _ => None,
        });
        rows.push(QuizRow { href: format!("checks/{}.html", bank.id), title: bank.title.clone(), rule });
    }
    let contents: Vec<Row> = course
        .lessons
        .iter()
        .enumerate()
        .map(|(index, lesson)| Row {
            href: format!("lessons/{}.html", lesson.stem),
            title: lesson.header.title.clone(),
            summary: lesson.header.summary.clone(),
            minutes: lesson.header.minutes,
            position: index + 1,
        })
        .collect();
    let shelves = work::shelves(shown, shelf.phrases);
    let home = shelf.pages.home(&course.settings, &contents, &rows, &shelves).map_err(broken)?;
    write("index.html", home.as_bytes())?;
    let part = card::part(system(course.settings.units), shelf.phrases);
    let (title, summary) = (shelf.phrases.get("card.title"), shelf.phrases.get("card.summary"));
    let page = shelf.pages.card(&part, title, summary).map_err(broken)?;
    write("card.html", page.as_bytes())?;
    let lost = shelf.pages.not_found(shelf.phrases.get("site.not-found")).map_err(broken)?;
    write("not-found.html", lost.as_bytes())?;
    for (name, bytes) in assets(shelf.phrases) {
        write(&name, &bytes)?;
    }
    for image in &course.images {
        write(image, &read_image(files, image).map_err(|problem| *problem)?)?;
    }
    Ok(())
}

fn write_standing(
    course: &Course,
    lessons: &[ReadyLesson],
    shown: &[Shown],
    terms: &[Term],
    shelf: &Shelf,
    staging: &Staging,
) -> Result<(), Box<Problem>> {
    let pages = standing(course, lessons, shown, terms, shelf)
        .map_err(|fault| Problem::error("template-unusable", fault, "templates"))?;
    pages.iter().try_for_each(|(name, page)| staging.write(name, page.as_bytes()))
}
