//! Known mistakes over the whole registry and all stock questions: each is found where it is made, and nowhere else.

mod apart;
mod declared;
mod of_an_author;

use std::collections::BTreeMap;
use std::sync::OnceLock;
use tankside::course::ready_banks;
use tankside::load::Bank;
use tankside::problem::{Problems, Source, Style};
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::score::Answer;
use tankside_calc::question::{Ask, Question};
use tankside_calc::text::figures::{exact, to_figures};
use tankside_calc::words::phrases::Phrases;

fn phrases() -> &'static Phrases {
    static PHRASES: OnceLock<Phrases> = OnceLock::new();
    PHRASES.get_or_init(|| tankside::catalogue::phrases("en").expect("readable").expect("there is English"))
}

/// Every number question of the stock banks.
fn stock() -> &'static [Question] {
    static STOCK: OnceLock<Vec<Question>> = OnceLock::new();
    STOCK.get_or_init(|| {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/questions");
        let mut problems = Problems::new();
        let mut banks = BTreeMap::new();
        for entry in std::fs::read_dir(folder).expect("the folder of stock questions") {
            let path = entry.expect("a file").path();
            let stem = path.file_stem().expect("a name").to_string_lossy().into_owned();
            let source = Source::new(format!("questions/{stem}.yaml"), std::fs::read_to_string(&path).expect("text"));
            banks.insert(stem.clone(), Bank::read(&stem, source, &mut problems).expect("a readable bank"));
        }
        let ready = ready_banks(&banks, phrases(), &mut problems);
        assert!(problems.is_empty(), "{}", problems.draw(Style::Plain));
        let questions = ready.into_values().flat_map(|bank| bank.questions);
        questions.filter(|question| question.kind == Ask::Number).collect()
    })
}

/// What a learner types who arrives at `si` and rounds to three figures.
fn typed(si: f64, unit: &Unit) -> Answer {
    let number = exact(to_figures(si / unit.size(), 3)).replace('−', "-");
    Answer::Text(format!("{number} {}", unit.plain()))
}
