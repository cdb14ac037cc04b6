//! Known mistakes over the whole registry and all stock questions: each is found where it is made, and nowhere else.

mod apart;
#[path = "../banks/mod.rs"]
mod banks;
mod chance;
mod declared;
mod formulas;
mod landing;
mod lawn;
mod metric;
mod of_an_author;
mod right;
mod stock;
#[path = "../banks/surplus.rs"]
mod surplus;
mod table;

use banks::phrases;
use std::sync::OnceLock;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::score::Answer;
use tankside_calc::question::{Ask, Question};
use tankside_calc::text::figures::{exact, to_figures};

/// Every question of the stock banks, of whatever kind.
fn stock_questions() -> impl Iterator<Item = &'static Question> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/questions/en");
    let stock = banks::banks().iter().filter(move |(name, _)| folder.join(format!("{name}.yaml")).exists());
    stock.flat_map(|(_, bank)| &bank.questions)
}

/// Every number question of the stock banks.
fn stock() -> &'static [Question] {
    static STOCK: OnceLock<Vec<Question>> = OnceLock::new();
    STOCK.get_or_init(|| stock_questions().filter(|question| question.kind == Ask::Number).cloned().collect())
}

/// Every number question of the stock banks and of the demo course.
fn every() -> &'static [Question] {
    static EVERY: OnceLock<Vec<Question>> = OnceLock::new();
    EVERY.get_or_init(|| banks::numbers().cloned().collect())
}

/// What a learner types who arrives at `si` and rounds to three figures.
fn typed(si: f64, unit: &Unit) -> Answer {
    let number = exact(to_figures(si / unit.size(), 3)).replace('−', "-");
    Answer::Text(format!("{number} {}", unit.plain()))
}
