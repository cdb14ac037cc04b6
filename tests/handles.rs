//! Calculators, the card and the known mistakes ask for inputs and results by handle, never by a name in quotes; and
//! every handle of an input is in the form of its calculator.

use std::fs;
use std::path::{Path, PathBuf};

/// Folders of the core whose code asks by handle.
const ROOMS: [&str; 3] = ["calculators", "mistakes", "card"];

/// Calls that take a handle.
const CALLS: [&str; 22] = [
    "expr_of",
    "get",
    "kind",
    "longer",
    "need",
    "need_as",
    "need_in",
    "of",
    "repeats",
    "result",
    "result_in",
    "row_count",
    "rows",
    "settle",
    "settle_in",
    "shown",
    "si",
    "typed",
    "unit",
    "verdict",
    "with",
    "word",
];

fn sources() -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("calc-wasm/src");
    let mut all = Vec::new();
    let mut folders: Vec<PathBuf> = ROOMS.iter().map(|room| root.join(room)).collect();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("a room of the core") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let text = fs::read_to_string(&path).expect("a source");
                all.push((path, text));
            }
        }
    }
    all
}

/// The code of a source without comments and tests, its lines joined as one.
fn code(text: &str) -> String {
    let lines = text.lines().map(str::trim).take_while(|line| *line != "#[cfg(test)]");
    lines.filter(|line| !line.starts_with("//")).collect::<Vec<_>>().join(" ").replace("( ", "(")
}

/// Calls that are given a name as text: a literal, or one put together.
fn by_text(text: &str) -> Vec<String> {
    let code = code(text);
    let mut found = Vec::new();
    let calls = CALLS.map(|call| format!(".{call}(")).into_iter();
    for call in calls.chain(["AnyQuantity::of(", "AnyQuantity::need("].map(str::to_owned)) {
        for (at, _) in code.match_indices(&call) {
            let arguments = &code[at + call.len()..];
            let arguments =
                ["inputs, ", "rec, ", "&"].iter().fold(arguments, |rest, lead| rest.strip_prefix(lead).unwrap_or(rest));
            if arguments.starts_with('"') || arguments.starts_with("format!(") {
                found.push(format!("{call}{}", arguments.chars().take(30).collect::<String>()));
            }
        }
    }
    // An error about an input that is named in quotes would not follow it.
    for (at, _) in code.match_indices("Fault::new(\"") {
        let rest = &code[at..];
        if rest.split_once("\", ").is_some_and(|(_, about)| about.starts_with('"')) {
            found.push(rest.chars().take(60).collect());
        }
    }
    found
}

#[test]
fn no_name_in_quotes_is_asked_for() {
    let sources = sources();
    assert!(sources.len() > 30, "only {} sources were read", sources.len());
    for (path, text) in sources {
        let found = by_text(&text);
        assert!(found.is_empty(), "{}: ask by handle instead of\n{}", path.display(), found.join("\n"));
    }
}

#[test]
fn a_name_in_quotes_is_seen() {
    let text = "fn run() {\n    inputs.need(\"tank\")?;\n    // inputs.need(\"tank\")\n    worked.si(&format!(\"run-{n}\"));\n    \
                AnyQuantity::of(inputs, \"density\")?;\n    inputs.need(&TANK)?;\n    \
                return Err(Fault::new(\"tank-mix.nothing\", \"tank\"));\n}\n#[cfg(test)]\ninputs.need(\"tank\")";
    let found = by_text(text);
    assert_eq!(found.len(), 4, "{found:?}");
}

/// Handles of inputs that a source declares and puts into no form.
fn unlisted(text: &str) -> Vec<&str> {
    let code = code(text);
    let lists: Vec<&str> = code.split("fields![").skip(1).filter_map(|rest| rest.split(']').next()).collect();
    let listed = |name: &str| {
        let item = format!("{name}.item()");
        code.contains(&item) || lists.iter().any(|list| list.split(',').any(|field| field.trim() == name))
    };
    let declared = text.lines().filter_map(|line| {
        let (name, kind) = line.trim_start_matches("pub(crate) ").strip_prefix("const ")?.split_once(": ")?;
        kind.starts_with("InputOf<").then_some(name)
    });
    declared.filter(|name| !listed(name)).collect()
}

#[test]
fn every_input_that_is_declared_is_in_the_form() {
    for (path, text) in sources() {
        if path.ends_with("calculators/shared.rs") || path.ends_with("mistakes/beside.rs") {
            continue;
        }
        let unlisted = unlisted(&text);
        assert!(unlisted.is_empty(), "{}: in no form: {}", path.display(), unlisted.join(", "));
    }
    assert_eq!(unlisted("const A: InputOf<kinds::Area> = x;\nconst B: InputOf<kinds::Area> = x;\nA.item()"), ["B"]);
}
