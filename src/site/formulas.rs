//! The formula sheet: every distinct step that the calculators recorded, in words, with the published sources.
//!
//! Nothing is written twice here: a formula is the recording of an example without its numbers.

use super::work::{FormulaRow, Shown, SourceRow, sources, title};
use serde::{Deserialize, Serialize};
use tankside_calc::calculators::registry::calculator;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

/// The sheet for an exam: formulas as a candidate writes them, by what they are for.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ExamSheet {
    groups: Vec<ExamGroup>,
}

#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ExamGroup {
    name: String,
    rows: Vec<ExamRow>,
}

#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct ExamRow {
    title: String,
    formula: String,
    /// The constant that is in it, as it is learned.
    #[serde(default)]
    constant: String,
    /// The calculator that works it, and whose sources publish it.
    of: String,
    /// What takes its place in metric units; a row without it reads the same in both systems.
    #[serde(default, skip_serializing)]
    metric: Option<MetricRow>,
    /// Whether only US units have it.
    #[serde(default, rename = "us-only", skip_serializing)]
    us_only: bool,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct MetricRow {
    /// Where the name says a unit.
    title: Option<String>,
    formula: String,
    #[serde(default)]
    constant: String,
}

/// The sheet in one system of units.
#[derive(Serialize)]
pub(super) struct ExamIn {
    system: &'static str,
    groups: Vec<ExamGroup>,
}

impl ExamSheet {
    fn into_system(mut self, system: System) -> ExamIn {
        if system == System::Metric {
            for group in &mut self.groups {
                group.rows.retain(|row| !row.us_only);
                for row in &mut group.rows {
                    let Some(metric) = row.metric.take() else { continue };
                    row.title = metric.title.unwrap_or_else(|| std::mem::take(&mut row.title));
                    (row.formula, row.constant) = (metric.formula, metric.constant);
                }
            }
        }
        ExamIn { system: system.id(), groups: self.groups }
    }
}

/// The sheet for an exam in both systems of units, that of the course first, with the first published source of every
/// calculator that it names.
///
/// # Errors
/// A file of the stock content that cannot be read; only a developer sees it.
pub(super) fn exam(language: &str, first: System) -> Result<([ExamIn; 2], Vec<SourceRow>), String> {
    let text = crate::catalogue::exam_sheet(language);
    let sheet: ExamSheet = serde_json::from_str(text).map_err(|fault| format!("exam-sheet: {fault}"))?;
    let mut listed: Vec<SourceRow> = Vec::new();
    for row in sheet.groups.iter().flat_map(|group| &group.rows) {
        let found = calculator(&row.of).ok_or_else(|| format!("exam-sheet: no calculator `{}`", row.of))?;
        for source in sources(found).into_iter().take(1) {
            if listed.iter().all(|other| other.title != source.title) {
                listed.push(source);
            }
        }
    }
    let sheets = first.and_other().map(|system| ExamSheet { groups: sheet.groups.clone() }.into_system(system));
    Ok((sheets, listed))
}

/// The formulas of one calculator.
#[derive(Debug, Serialize)]
pub(super) struct FormulaPart<'s> {
    id: &'static str,
    title: String,
    href: String,
    steps: &'s [FormulaRow],
    sources: Vec<SourceRow>,
}

impl FormulaPart<'_> {
    /// Its calculator's name in addresses.
    pub(super) fn id(&self) -> &'static str {
        self.id
    }

    /// Its calculator's title.
    pub(super) fn title(&self) -> &str {
        &self.title
    }

    /// Every step with its ways, as HTML.
    pub(super) fn in_words(&self) -> impl Iterator<Item = (&str, &[String])> {
        self.steps.iter().map(|step| (step.title.as_str(), step.ways.as_slice()))
    }
}

/// The sheet, in the order of the registry.
///
/// # Errors
/// A situation that cannot be worked; only a developer sees it.
pub(super) fn sheet<'s>(shown: &'s [Shown], phrases: &Phrases) -> Result<Vec<FormulaPart<'s>>, String> {
    shown.iter().map(|one| part(one, phrases)).collect()
}

fn part<'s>(shown: &'s Shown, phrases: &Phrases) -> Result<FormulaPart<'s>, String> {
    Ok(FormulaPart {
        id: shown.calculator.id,
        title: title(shown.calculator, phrases),
        href: shown.page(),
        steps: &shown.facts(phrases)?.formulas,
        sources: sources(shown.calculator),
    })
}
