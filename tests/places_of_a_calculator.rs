//! What a new calculator needs besides its own file: every place that is missing is named at once, by file.

use std::fs;
use std::path::Path;
use tankside_calc::calculators::registry::CALCULATORS;

/// Places of a calculator: the file, and what it must hold; `{id}` and `{module}` are filled in.
const PLACES: &[(&str, &str, &str)] = &[
    ("calc-wasm/src/calculators/{module}.rs", "/// assert", "a doctest in the doc comment of `CALCULATOR`"),
    ("calc-wasm/src/calculators/mod.rs", "pub mod {module};", "its line among the modules"),
    ("calc-wasm/src/calculators/registry.rs", "all::{module}::CALCULATOR,", "its line in `CALCULATORS`"),
    ("content/phrases/en/{id}.yaml", "{id}.title:", "its phrases"),
    ("content/phrases/en/search.yaml", "search.asked-{id}:", "the words by which a learner finds it"),
    ("content/questions/en/{id}.yaml", "asks: {id}/", "a stock bank with a question on it"),
    ("tests/cases/{id}.yaml", "source:", "published figures with their source"),
    ("src/course/topics.rs", "{module}::CALCULATOR,", "the topic of its questions"),
    ("tests/mistakes/right.rs", "\"{id}\" =>", "its formula written a second time, for the questions on it"),
    ("tests/properties/laws.rs", "\"{id}\"", "how its results scale with its inputs, a row of `LAWS`"),
    ("calc-wasm/pkg/core-{id}.txt", "", "its part of the WebAssembly; run `cargo xtask wasm`"),
];

/// What is missing of a calculator in the tree under `root`.
fn missing(root: &Path, id: &str) -> Vec<String> {
    let fill = |text: &str| text.replace("{id}", id).replace("{module}", &id.replace('-', "_"));
    let mut missing = Vec::new();
    for (file, holds, what) in PLACES {
        let (file, holds) = (fill(file), fill(holds));
        let there = fs::read(root.join(&file))
            .is_ok_and(|bytes| holds.is_empty() || String::from_utf8_lossy(&bytes).contains(&holds));
        if !there {
            missing.push(format!("{id}: {file} lacks {what}"));
        }
    }
    missing
}

#[test]
fn every_calculator_has_all_its_places() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    // By the files that declare one, so that one which the registry lacks is found, too.
    let files = fs::read_dir(root.join("calc-wasm/src/calculators")).expect("the calculators' folder");
    let files = files.map(|entry| entry.expect("an entry").path());
    let declares = |path: &Path| {
        path.is_file() && fs::read_to_string(path).is_ok_and(|text| text.contains("pub static CALCULATOR: Calculator"))
    };
    let ids = files.filter(|path| declares(path)).filter_map(|path| path.file_stem()?.to_str().map(str::to_owned));
    let ids: Vec<String> = ids.map(|module| module.replace('_', "-")).collect();
    assert!(ids.len() >= CALCULATORS.len(), "only {} were found", ids.len());
    let mut all: Vec<String> = ids.iter().flat_map(|id| missing(root, id)).collect();
    all.sort();
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn what_a_new_one_lacks_is_named_all_at_once() {
    let lacks = missing(Path::new(env!("CARGO_MANIFEST_DIR")), "rope-length");
    assert_eq!(lacks.len(), PLACES.len(), "{}", lacks.join("\n"));
    assert!(lacks[5].contains("content/questions/en/rope-length.yaml lacks a stock bank"), "{}", lacks[5]);
}
