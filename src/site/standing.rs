//! The pages that every site has whatever its course: calculators, formula sheet, units, glossary.

use super::fault::Fault;
use super::pages::{Pages, Standing};
use super::work::Shown;
use super::{formulas, glossary, units, work};
use crate::course::Course;

/// The sheet of every formula.
pub(super) fn formula_page(shown: &[Shown], course: &Course, pages: &Pages) -> Result<String, Fault> {
    let phrases = &course.phrases;
    let (sheet, shelves) = (formulas::sheet(shown, phrases)?, work::shelves(shown, phrases));
    let (exam, published) = formulas::exam(&course.settings.language, course.system())?;
    pages.standing(Standing::Formulas, phrases, |page| {
        page.insert("exam", &exam);
        page.insert("published", &published);
        page.insert("shelves", &shelves);
        page.insert("parts", &sheet);
    })
}

/// Units and constants.
pub(super) fn units_page(course: &Course, pages: &Pages) -> Result<String, Fault> {
    let (table, constants) = (units::table(&course.phrases), units::constants(&course.phrases));
    pages.standing(Standing::Units, &course.phrases, |page| {
        page.insert("table", &table);
        page.insert("constants", &constants);
        page.insert("authority", units::AUTHORITY);
    })
}

/// Trade terms.
pub(super) fn glossary_page(course: &Course, pages: &Pages) -> Result<String, Fault> {
    let letters = glossary::letters(&course.terms, &glossary::first_met(&course.lessons));
    pages.standing(Standing::Glossary, &course.phrases, |page| page.insert("letters", &letters))
}
