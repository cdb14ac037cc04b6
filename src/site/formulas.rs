//! The formula sheet: every distinct step that the calculators recorded, in words, with the published sources.
//!
//! Nothing is written twice here: a formula is the recording of an example without its numbers.

use super::work::{Shown, SourceRow, sources, title};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::text::escape::html;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::{Expr, Origin, Step, System};

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
pub(super) struct FormulaPart {
    id: &'static str,
    title: String,
    href: String,
    steps: Vec<FormulaRow>,
    sources: Vec<SourceRow>,
}

impl FormulaPart {
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

/// A step under its name, with every way it was worked: a pooled catch and a single one, for example.
#[derive(Debug, Serialize)]
struct FormulaRow {
    #[serde(skip)]
    id: &'static str,
    title: String,
    ways: Vec<String>,
}

/// The sheet, in the order of the registry. The page of formulas shows it and the search covers it: it is made once.
pub(super) fn sheet<'s>(shown: &'s [Shown], phrases: &Phrases) -> Vec<&'s FormulaPart> {
    shown.iter().map(|one| one.formulas.get_or_init(|| part(one, phrases))).collect()
}

fn part(shown: &Shown, phrases: &Phrases) -> FormulaPart {
    let mut seen = BTreeSet::new();
    let mut steps: Vec<FormulaRow> = Vec::new();
    for worked in &shown.worked {
        for step in &worked.steps {
            if !seen.insert((step.id, shape(&step.expr, &worked.steps))) || is_a_name(step) {
                continue;
            }
            let words = signs_marked(&say::formula(worked, step, phrases));
            match steps.iter_mut().find(|row| row.id == step.id) {
                // A catch and the sum of catches may go by the same name.
                Some(row) if row.ways.contains(&words) => {}
                Some(row) => row.ways.push(words),
                None => steps.push(FormulaRow {
                    id: step.id,
                    title: say::step_label(worked, step, phrases),
                    ways: vec![words],
                }),
            }
        }
    }
    FormulaPart {
        id: shown.calculator.id,
        title: title(shown.calculator, phrases),
        href: shown.page(),
        steps,
        sources: sources(shown.calculator),
    }
}

/// The formula as HTML, each sign between spaces marked: “fills at volume 1 − 1” must not read as a name and a range.
fn signs_marked(formula: &str) -> String {
    let mut out = html(formula);
    for sign in ["+", "−", "×", "÷"] {
        out = out.replace(&format!(" {sign} "), &format!(" <b class=\"tk-formula__sign\">{sign}</b> "));
    }
    out
}

/// Whether a step only gives what it starts from another name or unit: no formula to learn. A conversion is nothing else.
fn is_a_name(step: &Step) -> bool {
    let name = matches!(&*step.expr, Expr::Leaf { origin: Origin::Input(_) | Origin::Step(_), .. });
    name && !step.id.starts_with("unit-conversion.")
}

/// What makes a formula the same as another: its operations and operands, whatever the row; a sum of
/// three catches is the same as a sum of two.
fn shape(expr: &Expr, steps: &[Step]) -> String {
    let pair = |sign: &str, a: &Expr, b: &Expr| format!("({}{sign}{})", shape(a, steps), shape(b, steps));
    match expr {
        Expr::Leaf { origin, .. } => match origin {
            Origin::Input(flat) => {
                let words = flat.split('.').filter(|word| word.parse::<usize>().is_err());
                words.collect::<Vec<_>>().join(".")
            }
            Origin::Step(index) => steps.get(*index).map_or_else(String::new, |step| step.id.to_owned()),
            Origin::Constant(key) => (*key).to_owned(),
            Origin::Number => "1".to_owned(),
        },
        Expr::Add(a, b) => {
            let (left, right) = (shape(a, steps), shape(b, steps));
            let sum = format!("{right}…");
            if left == right || left == sum { sum } else { format!("({left}+{right})") }
        }
        Expr::Sub(a, b) => pair("-", a, b),
        Expr::Mul(a, b) => pair("*", a, b),
        Expr::Div(a, b) => pair("/", a, b),
        Expr::Least(a, b) => pair("<", a, b),
        Expr::Root(a) => format!("root({})", shape(a, steps)),
        Expr::Ceil(a) => format!("up({})", shape(a, steps)),
        Expr::Floor(a) => format!("down({})", shape(a, steps)),
    }
}
