//! The questions of the stock banks and of the demo course, judged as they are when a course is published.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::OnceLock;
use tankside::course::{ReadyBank, ready_banks};
use tankside::load::Bank;
use tankside::problem::{Problems, Source, Style};
use tankside_calc::question::{Ask, Question};
use tankside_calc::words::phrases::Phrases;

#[allow(dead_code, reason = "each test file uses its own part")]
pub(crate) fn phrases() -> &'static Phrases {
    static PHRASES: OnceLock<Phrases> = OnceLock::new();
    PHRASES.get_or_init(|| tankside::catalogue::phrases("en").expect("readable").expect("there is English"))
}

/// Every bank of the stock course and of the demo course.
pub(crate) fn banks() -> &'static BTreeMap<String, ReadyBank> {
    static BANKS: OnceLock<BTreeMap<String, ReadyBank>> = OnceLock::new();
    BANKS.get_or_init(|| {
        let (mut problems, mut banks) = (Problems::new(), BTreeMap::new());
        for folder in ["content/questions/en", "site-demo/questions"] {
            let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
            for entry in std::fs::read_dir(folder).expect("a folder of questions") {
                let path = entry.expect("a file").path();
                let stem = path.file_stem().expect("a name").to_string_lossy().into_owned();
                let text = std::fs::read_to_string(&path).expect("text");
                let source = Source::new(format!("questions/{stem}.yaml"), text);
                let bank = Bank::read(&stem, source, &mut problems).expect("a readable bank");
                assert!(banks.insert(stem.clone(), bank).is_none(), "two banks are called {stem}");
            }
        }
        let ready = ready_banks(&banks, &mut problems);
        assert!(problems.is_empty(), "{}", problems.draw(Style::Plain));
        ready
    })
}

/// Every question, of whatever kind.
pub(crate) fn questions() -> impl Iterator<Item = &'static Question> {
    banks().values().flat_map(|bank| &bank.questions)
}

/// Every question that asks for a number.
pub(crate) fn numbers() -> impl Iterator<Item = &'static Question> {
    questions().filter(|question| question.kind == Ask::Number)
}
