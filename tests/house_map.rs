//! The map of the house in DEVELOPERS.md: every folder of core, generator and chores with what it is for, as its own
//! documentation says, and every module in it.
//!
//! `UPDATE_MAP=1 cargo test --test house_map` writes the map again.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Where the map begins and ends.
const FENCES: (&str, &str) = ("<!-- map -->\n```text\n", "```\n<!-- end of the map -->\n");
const ROOTS: [&str; 4] = ["calc-wasm/src", "calc-wasm/unpack/src", "src", "xtask/src"];
/// The modules that speak for their folder.
const HEADS: [&str; 3] = ["mod", "lib", "main"];
/// The longest line of names.
const WIDTH: usize = 116;

/// The first sentence of a module's documentation.
fn purpose(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let lines = text.lines().map_while(|line| line.strip_prefix("//!")).map(str::trim);
    let about = lines.take_while(|line| !line.is_empty()).collect::<Vec<_>>().join(" ");
    let end = about.find(". ").unwrap_or(about.trim_end_matches(['.', ':']).len());
    about[..end].to_owned()
}

/// Folders with their modules, in the order of the tree.
fn folders(root: &Path) -> BTreeMap<String, Vec<PathBuf>> {
    let mut all: BTreeMap<String, Vec<PathBuf>> = BTreeMap::new();
    for top in ROOTS {
        for entry in walkdir::WalkDir::new(root.join(top)).sort_by_file_name() {
            let path = entry.expect("the tree can be read").into_path();
            if path.extension().is_some_and(|ending| ending == "rs") {
                let folder = path.parent().and_then(|folder| folder.strip_prefix(root).ok()).expect("under the root");
                all.entry(folder.display().to_string().replace('\\', "/")).or_default().push(path);
            }
        }
    }
    all
}

fn stem(path: &Path) -> String {
    path.file_stem().unwrap_or_default().display().to_string()
}

/// What a folder is for, as its head says: `mod.rs`, `lib.rs`, `main.rs`, or the file of its name beside it.
fn about(root: &Path, folder: &str, modules: &[PathBuf]) -> String {
    let own = HEADS.iter().find_map(|head| modules.iter().find(|path| stem(path) == *head).cloned());
    purpose(&own.unwrap_or_else(|| root.join(folder).with_extension("rs")))
}

fn map(root: &Path) -> String {
    let mut out = String::new();
    for (folder, modules) in folders(root) {
        out.push_str(&format!("{folder}/\n    {}\n", about(root, &folder, &modules)));
        let mut line = String::from("   ");
        for name in modules.iter().map(|path| stem(path)).filter(|name| !HEADS.contains(&name.as_str())) {
            if line.len() + 1 + name.len() > WIDTH {
                out.push_str(&line);
                out.push('\n');
                line = String::from("   ");
            }
            line.push(' ');
            line.push_str(&name);
        }
        if !line.trim().is_empty() {
            out.push_str(&line);
            out.push('\n');
        }
    }
    out
}

#[test]
fn every_module_is_on_the_map() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let place = root.join("DEVELOPERS.md");
    let text = fs::read_to_string(&place).expect("DEVELOPERS.md can be read");
    let (before, rest) = text.split_once(FENCES.0).expect("the map begins");
    let (drawn, after) = rest.split_once(FENCES.1).expect("the map ends");
    let map = map(root);
    if std::env::var_os("UPDATE_MAP").is_some() {
        fs::write(&place, [before, FENCES.0, &map, FENCES.1, after].concat()).expect("DEVELOPERS.md can be written");
        return;
    }
    let missing: Vec<&str> = map.lines().filter(|line| !drawn.lines().any(|one| one == *line)).collect();
    assert!(drawn == map, "run `UPDATE_MAP=1 cargo test --test house_map`; not in DEVELOPERS.md: {missing:#?}");
}

#[test]
fn every_folder_says_what_it_is_for() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for (folder, modules) in folders(root) {
        assert!(!about(root, &folder, &modules).is_empty(), "{folder} has no module that says what it is for");
    }
}
