//! The formula of a step in words.

use super::names::{input_name, step_title};
use crate::calculation::worked::Worked;
use crate::quantity::unit::Unit;
use crate::quantity::written;
use crate::text::figures::without_noise;
use crate::words::phrases::Phrases;
use crate::working::record::{Expr, Origin, Step};
use std::sync::Arc;

/// The formula of a step in words: `volume caught ÷ catch time`.
pub fn formula(worked: &Worked, step: &Step, phrases: &Phrases) -> String {
    expression(worked, &step.expr, phrases, 0)
}

fn expression(worked: &Worked, expr: &Arc<Expr>, phrases: &Phrases, outer: u8) -> String {
    let join = |a: &Arc<Expr>, sign: &str, b: &Arc<Expr>, rank: u8, right: u8| {
        let (a, b) = (expression(worked, a, phrases, rank), expression(worked, b, phrases, right));
        let (open, close) = if outer > rank { ("(", ")") } else { ("", "") };
        [open, &a, " ", sign, " ", &b, close].concat()
    };
    match &**expr {
        Expr::Leaf { origin, si, unit } => leaf(worked, origin, *si, unit, phrases),
        Expr::Add(a, b) => join(a, "+", b, 1, 1),
        Expr::Sub(a, b) => join(a, "−", b, 1, 2),
        Expr::Mul(a, b) => join(a, "×", b, 3, 3),
        Expr::Div(a, b) => join(a, "÷", b, 3, 4),
        Expr::Root(a) => ["√(", &expression(worked, a, phrases, 0), ")"].concat(),
        Expr::Ceil(a) => wrapped("formula.up", expression(worked, a, phrases, 0), phrases),
        Expr::Floor(a) => wrapped("formula.down", expression(worked, a, phrases, 0), phrases),
        Expr::Least(a, b) => phrases.fill("formula.least", |place| match place {
            "a" => Some(expression(worked, a, phrases, 0)),
            "b" => Some(expression(worked, b, phrases, 0)),
            _ => None,
        }),
    }
}

fn wrapped(key: &str, inner: String, phrases: &Phrases) -> String {
    phrases.fill(key, |place| (place == "a").then(|| inner.clone()))
}

fn leaf(worked: &Worked, origin: &Origin, si: f64, unit: &Unit, phrases: &Phrases) -> String {
    match origin {
        Origin::Input(flat) => {
            let group = flat.split('.').next().unwrap_or(flat);
            input_name(worked.calculator, flat, worked.inputs.row_count_at(group), phrases)
        }
        Origin::Step(index) => {
            worked.steps.get(*index).map_or_else(String::new, |step| step_title(worked, step, phrases))
        }
        Origin::Constant(key) => phrases.get(key).to_owned(),
        Origin::Number => phrases.number(written::exactly(without_noise(si / unit.size()), unit)),
    }
}
