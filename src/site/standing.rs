//! The pages that every site has whatever its course: calculators, formula sheet, units, glossary. Each is made once.

use super::lesson::Shelf;
use super::pages::Standing;
use super::work::{Shown, Uses};
use super::{formulas, glossary, units, work};
use crate::catalogue::Term;
use crate::course::{ReadyLesson, system};
use crate::load::Course;

/// The standing pages as path and HTML.
///
/// # Errors
/// A template that cannot be rendered; only a developer sees it.
pub(super) fn standing(
    course: &Course,
    lessons: &[ReadyLesson],
    shown: &[Shown],
    terms: &[Term],
    shelf: &Shelf,
) -> Result<Vec<(String, String)>, String> {
    let system = system(course.settings.units);
    let (phrases, pages) = (shelf.phrases, shelf.pages);
    let both = || course.lessons.iter().zip(lessons);
    let uses = Uses::of(both());
    let mut made = Vec::new();
    for one in shown {
        made.push((one.page(), work::page(one, &uses, system, phrases, pages)?));
    }
    let sheet = formulas::sheet(shown, phrases);
    let shelves = work::shelves(shown, phrases);
    made.push(pages.standing(Standing::Formulas, phrases, |page| {
        page.insert("shelves", &shelves);
        page.insert("parts", &sheet);
    })?);
    let (table, constants) = (units::table(phrases), units::constants(phrases));
    made.push(pages.standing(Standing::Units, phrases, |page| {
        page.insert("table", &table);
        page.insert("constants", &constants);
        page.insert("authority", units::AUTHORITY);
    })?);
    let letters = glossary::letters(terms, &glossary::first_met(both()));
    made.push(pages.standing(Standing::Glossary, phrases, |page| page.insert("letters", &letters))?);
    Ok(made)
}
