//! A page for each calculator, made from its declaration, and their list on the first page.

mod asks;
mod facts;
mod formula;
mod shelves;
mod shown;

pub(super) use facts::Facts;
pub(super) use formula::FormulaRow;
pub(super) use shelves::{WorkShelf, shelves};
pub(super) use shown::{Shown, shown};

use super::fault::Fault;
use super::pages::{Link, Pages};
use crate::course::ReadyLesson;
use crate::markdown::Insert;
use asks::InputGroup;
use facts::CautionRow;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::words::phrases::Phrases;

/// How many lessons a calculator's page names before it only counts the rest.
const LESSONS_NAMED: usize = 12;

#[derive(Serialize)]
pub(super) struct WorkPart<'s> {
    pub(super) id: &'static str,
    pub(super) title: String,
    pub(super) summary: String,
    worked: &'s str,
    groups: &'s [InputGroup],
    cautions: &'s [CautionRow],
    sources: Vec<SourceRow>,
    lessons: Vec<Link>,
    more: String,
}

#[derive(Debug, Serialize)]
pub(super) struct SourceRow {
    pub(super) title: &'static str,
    pub(super) publisher: &'static str,
    pub(super) url: &'static str,
}

/// The page of a calculator.
///
/// # Errors
/// A template that cannot be rendered, or a situation that cannot be worked; only a developer sees it.
pub(super) fn page(shown: &Shown, lessons: &Uses, phrases: &Phrases, pages: &Pages) -> Result<String, Fault> {
    let calculator = shown.calculator;
    let facts = shown.facts(phrases)?;
    let (used, count) = lessons.0.get(calculator.id).cloned().unwrap_or_default();
    let more = count.saturating_sub(LESSONS_NAMED);
    let part = WorkPart {
        id: calculator.id,
        title: title(calculator, phrases),
        summary: phrases.get(&format!("{}.summary", calculator.id)).to_owned(),
        worked: &facts.example,
        groups: &facts.groups,
        cautions: &facts.cautions,
        sources: sources(calculator),
        lessons: used,
        more: if more == 0 {
            String::new()
        } else {
            phrases.fill_with("site.work-more", &[("count", &more.to_string())])
        },
    };
    pages.work(&part)
}

/// A calculator's title.
pub(super) fn title(calculator: &Calculator, phrases: &Phrases) -> String {
    phrases.get(&format!("{}.title", calculator.id)).to_owned()
}

/// The published sources of a calculator's formula.
pub(super) fn sources(calculator: &Calculator) -> Vec<SourceRow> {
    let row = |source: &tankside_calc::calculation::declare::Source| SourceRow {
        title: source.title,
        publisher: source.publisher,
        url: source.url,
    };
    calculator.sources.iter().map(row).collect()
}

/// Which lessons work with a calculator: links to the first example of each, in course order, as many as are named; and
/// how many there are.
#[derive(Debug)]
pub(super) struct Uses(BTreeMap<String, (Vec<Link>, usize)>);

impl Uses {
    /// Goes through the lessons once.
    pub(super) fn of(lessons: &[Arc<ReadyLesson>]) -> Uses {
        let mut uses: BTreeMap<String, (Vec<Link>, usize)> = BTreeMap::new();
        for lesson in lessons {
            let mut here = BTreeSet::new();
            for hole in &lesson.body.holes {
                let Insert::WorkedExample(example) = &hole.insert else { continue };
                if here.insert(example.calculator.as_str()) {
                    let (links, count) = uses.entry(example.calculator.clone()).or_default();
                    *count += 1;
                    if links.len() < LESSONS_NAMED {
                        let href = format!("../lessons/{}.html#worked-{}", lesson.stem, example.name);
                        links.push(Link { href, title: lesson.header.title.clone() });
                    }
                }
            }
        }
        Uses(uses)
    }
}
