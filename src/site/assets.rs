//! Files that every page shares.

use crate::embedded::{TEMPLATES, core_parts, core_script, core_wasm, text};
use crate::load::Colours;
use base64::Engine;
use tankside_calc::text::json::Value;
use tankside_calc::words::phrases::Phrases;

/// The files of `templates/style/`, in the order in which they are joined into the one published stylesheet: later rules
/// win over earlier ones, so the order is part of the look.
const STYLE: &[&str] = &[
    "colours-and-sizes",
    "frame",
    "home",
    "lesson",
    "caution",
    "worked-example",
    "answer",
    "reference",
    "turn",
    "quiz",
    "learning",
    "card",
    "foot",
];

/// The scripts in `templates/learn/` that every page which asks questions needs, in the order in which they are joined.
const ASKING: &[&str] = &["question", "round", "paper"];
/// The scripts of single pages for learners.
const LEARNERS_PAGES: &[&str] = &["home", "drill", "exam", "log", "pocket", "progress", "steps"];

fn script(name: &str) -> &'static str {
    text(&TEMPLATES, &format!("learn/{name}.js"))
}

/// The sentences that the learner's scripts put on a page, by name.
fn learner_words(phrases: &Phrases) -> String {
    let words = phrases.iter().filter_map(|(key, text)| Some((key.strip_prefix("learn.")?.to_owned(), text.into())));
    format!("const TANKSIDE_WORDS = {};\n", in_script(&Value::Map(words.collect()).line()))
}

/// Stylesheet, scripts, core with its parts, and phrases, by path in the site.
pub(super) fn assets(phrases: &Phrases, colours: &Colours) -> Vec<(String, Vec<u8>)> {
    let base64 = |bytes: &[u8]| base64::engine::general_purpose::STANDARD.encode(bytes);
    let core = format!("{}\nconst TANKSIDE_WASM = {{ core: \"{}\" }};\n", core_script(), base64(core_wasm()));
    // Words of the desk and of the learner's scripts are not the core's.
    let apart = |key: &str| ["site.", "desk.", "learn."].iter().any(|start| key.starts_with(start));
    let spoken = phrases.iter().filter(|(key, _)| !apart(key));
    let spoken = Phrases::from_pairs(spoken.map(|(key, text)| (key.to_owned(), text.to_owned())));
    let lines = in_script(&Value::from(spoken.to_lines()).line());
    let mut assets = vec![
        ("assets/site.css".to_owned(), (stylesheet() + &super::colours::sheet(colours)).into_bytes()),
        ("assets/site.js".to_owned(), text(&TEMPLATES, "site.js").as_bytes().to_vec()),
        ("assets/learn-store.js".to_owned(), format!("{}\n{}", learner_words(phrases), script("store")).into_bytes()),
        (
            "assets/learn.js".to_owned(),
            ASKING.iter().map(|name| script(name)).collect::<Vec<_>>().join("\n").into_bytes(),
        ),
        ("assets/quiz.js".to_owned(), text(&TEMPLATES, "quiz.js").as_bytes().to_vec()),
        ("assets/card.js".to_owned(), text(&TEMPLATES, "card.js").as_bytes().to_vec()),
        ("assets/core.js".to_owned(), core.into_bytes()),
        ("assets/phrases.js".to_owned(), format!("const TANKSIDE_PHRASES = {lines};\n").into_bytes()),
    ];
    for name in LEARNERS_PAGES {
        assets.push((format!("assets/{name}.js"), script(name).as_bytes().to_vec()));
    }
    for (name, bytes) in core_parts() {
        let script = format!("TANKSIDE_WASM[\"{name}\"] = \"{}\";\n", base64(bytes));
        assets.push((format!("assets/core-{name}.js"), script.into_bytes()));
    }
    assets
}

/// The parts of the look with a blank line between them: one file, so that a page waits for one.
pub(crate) fn stylesheet() -> String {
    let parts: Vec<&str> = STYLE.iter().map(|part| text(&TEMPLATES, &format!("style/{part}.css"))).collect();
    parts.join("\n")
}

/// JSON as it may stand inside a script: `<` never appears.
pub(super) fn in_script(json: &str) -> String {
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_file_of_the_look_is_joined_once_and_whole() {
        let folder = TEMPLATES.get_dir("style").expect("the folder is in the tree");
        let files: BTreeSet<String> = folder.files().map(|file| file.path().display().to_string()).collect();
        let joined: BTreeSet<String> = STYLE.iter().map(|part| format!("style/{part}.css")).collect();
        assert_eq!(files, joined);
        assert_eq!(joined.len(), STYLE.len(), "none twice");
        let sheet = stylesheet();
        for part in STYLE {
            let part_text = text(&TEMPLATES, &format!("style/{part}.css"));
            assert!(part_text.starts_with("/*") && part_text.ends_with("}\n"), "{part} says what it is, and ends");
            assert_eq!(sheet.matches(part_text).count(), 1, "{part}");
        }
    }
}
