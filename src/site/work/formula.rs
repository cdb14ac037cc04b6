//! The formulas of a calculator: every distinct step that was recorded when its example and situations were worked.
//!
//! Nothing is written twice here: a formula is the recording of an example without its numbers.

use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::text::escape::html;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::{Expr, Origin, Step};

/// A step under its name, with every way it was worked: a pooled catch and a single one, for example.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct FormulaRow {
    pub(crate) title: String,
    pub(crate) ways: Vec<String>,
}

/// The formulas in words, in the order in which the steps were first worked.
pub(crate) fn formulas(all: &[Worked], phrases: &Phrases) -> Vec<FormulaRow> {
    let (mut seen, mut ids) = (BTreeSet::new(), Vec::new());
    let mut rows: Vec<FormulaRow> = Vec::new();
    for worked in all {
        for step in &worked.steps {
            if !seen.insert((step.id, shape(&step.expr, &worked.steps))) || is_a_name(step) {
                continue;
            }
            let words = signs_marked(&say::formula(worked, step, phrases));
            match ids.iter().position(|id| *id == step.id) {
                // A catch and the sum of catches may go by the same name.
                Some(at) if rows[at].ways.contains(&words) => {}
                Some(at) => rows[at].ways.push(words),
                None => {
                    ids.push(step.id);
                    rows.push(FormulaRow { title: say::step_label(worked, step, phrases), ways: vec![words] });
                }
            }
        }
    }
    rows
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
