//! The judge: three verdicts and one question back, on every template of the stock banks and of the demo course.

mod asked_back;
#[path = "../banks/mod.rs"]
mod banks;
mod carried;
mod feedback;
mod ways;

use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::score::{Answer, Query, Verdict, number};
use tankside_calc::question::template::Posed;
use tankside_calc::text::figures::{exact, to_figures};

/// A number as a learner types it, to so many figures, with its unit.
fn typed(si: f64, unit: &Unit, figures: usize) -> String {
    let number = exact(to_figures(si / unit.size(), figures)).replace('−', "-").replace(',', "");
    format!("{number} {}", unit.shown()).trim().to_owned()
}

/// The verdict in a word.
fn verdict(posed: &Posed, text: &str) -> &'static str {
    match number(posed, &Answer::Text(text.to_owned())) {
        Verdict::Right => "right",
        Verdict::Coarse => "coarse",
        Verdict::Wrong(Some(recognised)) => recognised.mistake.id,
        Verdict::Wrong(None) => "wrong",
        Verdict::Ask(Query::Figure(_)) => "figure?",
        Verdict::Ask(Query::Side) => "side?",
        Verdict::Ask(Query::Unit(..)) => "unit?",
        Verdict::Ask(Query::UnitUnknown(_)) => "which unit?",
        Verdict::Ask(Query::Kind(..)) => "kind?",
        Verdict::Ask(Query::Number) => "number?",
        Verdict::Ask(Query::Comma(_)) => "point?",
        Verdict::Ask(Query::Point(_)) => "grouped?",
        Verdict::Ask(Query::Ounces) => "ounces?",
        Verdict::Ask(Query::Empty) => "empty?",
    }
}
