//! A page for each calculator, made from its declaration, and their list on the first page.

mod asks;
mod shelves;
mod shown;

pub(super) use shelves::{WorkShelf, shelves};
pub(super) use shown::{Shown, shown};

use super::fault::Fault;
use super::pages::{Link, Pages};
use crate::course::ReadyLesson;
use crate::markdown::Insert;
use asks::{InputGroup, groups};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::page::worked::{Options, Show, opened, section};
use tankside_calc::text::escape::quantities;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::{Severity, System};

/// How many lessons a calculator's page names before it only counts the rest.
const LESSONS_NAMED: usize = 12;

#[derive(Serialize)]
pub(super) struct WorkPart {
    pub(super) id: &'static str,
    pub(super) title: String,
    pub(super) summary: String,
    worked: String,
    groups: Vec<InputGroup>,
    cautions: Vec<CautionRow>,
    sources: Vec<SourceRow>,
    lessons: Vec<Link>,
    more: String,
}

#[derive(Serialize)]
struct CautionRow {
    severity: &'static str,
    word: String,
    text: String,
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
/// A template that cannot be rendered; only a developer sees it.
pub(super) fn page(
    shown: &Shown,
    lessons: &Uses,
    system: System,
    phrases: &Phrases,
    pages: &Pages,
) -> Result<String, Fault> {
    let calculator = shown.calculator;
    let first = opened(calculator, &shown.example);
    let options = Options {
        name: calculator.id,
        title: phrases.get("site.work-sheet"),
        system,
        level: 2,
        show: Show::Everything,
        first: Some(&first),
        large: "",
        unfolded: None,
        formed: false,
        brief: false,
    };
    let (used, count) = lessons.0.get(calculator.id).cloned().unwrap_or_default();
    let more = count.saturating_sub(LESSONS_NAMED);
    let part = WorkPart {
        id: calculator.id,
        title: title(calculator, phrases),
        summary: phrases.get(&format!("{}.summary", calculator.id)).to_owned(),
        worked: section(calculator, &shown.example, &options, phrases),
        groups: groups(calculator, system, phrases),
        cautions: cautions(&shown.worked, phrases),
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

/// The calculator's own cautions, each as it read when it was first raised, the most serious first.
fn cautions(worked: &[Worked], phrases: &Phrases) -> Vec<CautionRow> {
    let mut seen = BTreeSet::new();
    let mut rows: Vec<(Severity, CautionRow)> = Vec::new();
    for one in worked {
        for caution in one.cautions.iter().filter(|caution| caution.id.starts_with(one.calculator.id)) {
            // One nozzle or several: the same warning.
            if seen.insert(caution.id.trim_end_matches("-one")) {
                let severity = caution.severity.id();
                let word = phrases.get(&format!("severity.{severity}")).to_owned();
                let text = quantities(&say::caution(one, caution, phrases));
                rows.push((caution.severity, CautionRow { severity, word, text }));
            }
        }
    }
    rows.sort_by_key(|(severity, _)| std::cmp::Reverse(*severity));
    rows.into_iter().map(|(_, row)| row).collect()
}
