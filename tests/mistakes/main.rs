//! Known mistakes over the whole registry and all stock questions: each is found where it is made, and nowhere else.

mod apart;
#[path = "../banks/mod.rs"]
mod banks;
mod declared;
mod of_an_author;

use banks::phrases;
use std::sync::OnceLock;
use tankside_calc::figures::{exact, to_figures};
use tankside_calc::question::Question;
use tankside_calc::question::score::Answer;
use tankside_calc::unit::Unit;

/// Every number question of the stock banks and of the demo course.
fn stock() -> &'static [Question] {
    static STOCK: OnceLock<Vec<Question>> = OnceLock::new();
    STOCK.get_or_init(|| banks::numbers().cloned().collect())
}

/// What a learner types who arrives at `si` and rounds to three figures.
fn typed(si: f64, unit: &Unit) -> Answer {
    let number = exact(to_figures(si / unit.size(), 3)).replace('−', "-");
    Answer::Text(format!("{number} {}", unit.plain()))
}
