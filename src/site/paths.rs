//! The files of a site: their paths, and how each is made.

use super::assets::asset_paths;
use super::work::Shown;
use super::{offline, search};
use crate::course::Course;
use crate::markdown::page_names;

/// How the file at a path is made.
#[derive(Clone, Copy, Debug)]
pub(super) enum Maker {
    Home,
    Card,
    Drill,
    Log,
    Steps,
    Reading,
    Exam,
    Progress,
    NotFound,
    Formulas,
    Units,
    Glossary,
    Search,
    /// By its place among the lessons.
    Lesson(usize),
    /// By its place among the calculators.
    Work(usize),
    Check,
    Manifest,
    /// As pixels, by its side length; as a drawing if that is nothing.
    Icon(Option<u32>),
    /// The worker that removes what an earlier version of the course kept.
    Leave,
    Asset(usize),
    Questions,
    Image,
    Attachment,
}

/// Every path of the site of a course, in an order that never changes.
pub(super) fn paths(course: &Course, shown: &[Shown]) -> Vec<(String, Maker)> {
    let assets = asset_paths();
    let mut paths = vec![
        (page_names::HOME.to_owned(), Maker::Home),
        (page_names::CARD.to_owned(), Maker::Card),
        (page_names::DRILL.to_owned(), Maker::Drill),
        (page_names::EXAM.to_owned(), Maker::Exam),
        (page_names::LOG.to_owned(), Maker::Log),
        (page_names::STEPS.to_owned(), Maker::Steps),
        (page_names::READING.to_owned(), Maker::Reading),
        (page_names::PROGRESS.to_owned(), Maker::Progress),
        (page_names::NOT_FOUND.to_owned(), Maker::NotFound),
        (page_names::FORMULAS.to_owned(), Maker::Formulas),
        (page_names::UNITS.to_owned(), Maker::Units),
        (page_names::GLOSSARY.to_owned(), Maker::Glossary),
        (search::PATH.to_owned(), Maker::Search),
    ];
    let lessons = course.lessons.iter().enumerate();
    paths.extend(lessons.map(|(index, lesson)| (format!("lessons/{}.html", lesson.stem), Maker::Lesson(index))));
    paths.extend(course.banks_by_themselves().map(|bank| (format!("checks/{}.html", bank.id), Maker::Check)));
    paths.extend(shown.iter().enumerate().map(|(index, one)| (one.page(), Maker::Work(index))));
    paths.extend(assets.into_iter().enumerate().map(|(index, path)| (path, Maker::Asset(index))));
    paths.push(("assets/questions.js".to_owned(), Maker::Questions));
    paths.extend(course.images.iter().map(|image| (image.clone(), Maker::Image)));
    paths.extend(course.attachments.iter().map(|attachment| (attachment.name.clone(), Maker::Attachment)));
    paths.push((offline::MANIFEST.to_owned(), Maker::Manifest));
    paths.push((offline::ICON.to_owned(), Maker::Icon(None)));
    paths.extend(offline::ICONS.iter().map(|(side, path)| ((*path).to_owned(), Maker::Icon(Some(*side)))));
    if !course.settings.offline {
        paths.push((offline::WORKER.to_owned(), Maker::Leave));
    }
    paths
}
