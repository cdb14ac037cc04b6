//! The calculators shelf by shelf, as the first page and the formula sheet list them.

use super::{Shown, title};
use serde::Serialize;
use std::collections::BTreeSet;
use tankside_calc::words::phrases::Phrases;

/// The shelves of the first page, in order; a shelf that a calculator names and that is missing here comes last.
const SHELVES: &[&str] = &["calibrate", "mix", "measure", "convert"];

/// A shelf of the first page.
#[derive(Serialize)]
pub(in crate::site) struct WorkShelf {
    id: String,
    name: String,
    rows: Vec<WorkRow>,
}

#[derive(Serialize)]
struct WorkRow {
    id: &'static str,
    href: String,
    title: String,
    summary: String,
}

/// The calculators by shelf.
pub(in crate::site) fn shelves(shown: &[Shown], phrases: &Phrases) -> Vec<WorkShelf> {
    let others: BTreeSet<&str> =
        shown.iter().map(|one| one.shelf.as_str()).filter(|shelf| !SHELVES.contains(shelf)).collect();
    let mut shelves = Vec::new();
    for shelf in SHELVES.iter().copied().chain(others) {
        let row = |one: &Shown| WorkRow {
            id: one.calculator.id,
            href: one.page(),
            title: title(one.calculator, phrases),
            summary: phrases.get(&format!("{}.summary", one.calculator.id)).to_owned(),
        };
        let rows: Vec<WorkRow> = shown.iter().filter(|one| one.shelf == shelf).map(row).collect();
        let key = format!("site.shelf-{shelf}");
        let name = phrases.find(&key).unwrap_or(phrases.get("site.shelf-other")).to_owned();
        if !rows.is_empty() {
            shelves.push(WorkShelf {
                id: if shelf.is_empty() { "other".to_owned() } else { shelf.to_owned() },
                name,
                rows,
            });
        }
    }
    shelves
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue;
    use crate::site::work::shown;
    use tankside_calc::working::record::System;

    #[test]
    fn every_calculator_is_on_a_shelf_that_has_a_name() {
        let phrases = catalogue::first_phrases().clone();
        for one in shown(System::Us).expect("every situation can be worked") {
            let id = one.calculator.id;
            // A calculator without a file of situations is listed under the others until somebody writes one.
            let stands = one.shelf.is_empty() || SHELVES.contains(&one.shelf.as_str());
            assert!(stands, "content/work/{id}.yaml names no shelf: {}", one.shelf);
        }
        for shelf in SHELVES {
            assert!(phrases.find(&format!("site.shelf-{shelf}")).is_some(), "{shelf}");
        }
    }
}
