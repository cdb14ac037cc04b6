//! What a new calculator needs besides its own file: every place that is missing is named at once, by file.

use std::fs;
use std::path::Path;
use tankside_calc::calculators::registry::CALCULATORS;

/// Places of a calculator: the file, and what it must hold; `{id}` and `{module}` are filled in.
const PLACES: &[(&str, &str, &str)] = &[
    ("calc-wasm/src/calculators/{module}.rs", "/// assert", "a doctest in the doc comment of `CALCULATOR`"),
    ("calc-wasm/src/calculators/mod.rs", "pub mod {module};", "its line among the modules"),
    ("content/phrases/en/{id}.yaml", "{id}.title:", "its phrases"),
    ("content/questions/en/{id}.yaml", "asks: {id}/", "a stock bank with a question on it"),
    ("tests/cases/{id}.yaml", "source:", "published figures with their source"),
    ("tests/properties/laws.rs", "\"{id}\"", "how its results scale with its inputs, a row of `LAWS`"),
    ("calc-wasm/pkg/core-{id}.wasm", "", "its part of the WebAssembly; run `cargo xtask wasm`"),
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
    let all: Vec<String> = CALCULATORS.iter().flat_map(|calculator| missing(root, calculator.id)).collect();
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn what_a_new_one_lacks_is_named_all_at_once() {
    let lacks = missing(Path::new(env!("CARGO_MANIFEST_DIR")), "rope-length");
    assert_eq!(lacks.len(), PLACES.len(), "{}", lacks.join("\n"));
    assert!(lacks[3].contains("content/questions/en/rope-length.yaml lacks a stock bank"), "{}", lacks[3]);
}
