//! The rooms of the generator: which may use which, read from the `use` lines of its sources. And the names of both
//! core and generator.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// The rooms from lower to higher; one may use those above it in this list, and itself.
const ORDER: &[&str] = &[
    "problem",
    "embedded",
    "drawing",
    "parallel",
    "progress",
    "notation",
    "colour",
    "yaml",
    "catalogue",
    "load",
    "markdown",
    "course",
    "proof",
    "site",
    "write",
    "publish",
    "preview",
    "marking",
    "commands",
];

/// Arrows that the order would allow but that must not exist: these rooms know nothing of each other.
const APART: &[(&str, &str)] = &[("markdown", "load"), ("write", "site"), ("write", "course"), ("write", "load")];

/// Every source file as the room it belongs to, its name, and its text.
fn sources() -> Vec<(String, String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let files =
        walkdir::WalkDir::new(&root).sort_by_file_name().into_iter().map(|entry| entry.expect("readable").into_path());
    files
        .filter(|path| path.extension().is_some_and(|ending| ending == "rs"))
        .map(|path| {
            let name = path.strip_prefix(&root).expect("it was found there").display().to_string().replace('\\', "/");
            let room = name.split('/').next().unwrap_or_default().trim_end_matches(".rs").to_owned();
            (room, name, fs::read_to_string(&path).expect("a source is UTF-8"))
        })
        .collect()
}

/// The rooms that a source names, in `use crate::{…}` and in the text.
fn named(text: &str) -> BTreeSet<String> {
    let code: String = text.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n");
    let mut rooms = BTreeSet::new();
    for rest in code.split("crate::").skip(1) {
        let first = |text: &str| text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
        match rest.strip_prefix('{') {
            Some(list) => {
                rooms.extend(list.split('}').next().unwrap_or_default().split(',').map(|part| first(part.trim())))
            }
            None => {
                rooms.insert(first(rest));
            }
        }
    }
    rooms.retain(|room| ORDER.contains(&room.as_str()));
    rooms
}

#[test]
fn every_room_of_the_generator_has_its_place_in_the_order() {
    let rooms: BTreeSet<String> = sources().into_iter().map(|(room, _, _)| room).collect();
    let placed: BTreeSet<String> = ORDER.iter().copied().chain(["lib", "main"]).map(str::to_owned).collect();
    assert_eq!(rooms, placed);
}

#[test]
fn every_arrow_between_the_rooms_of_the_generator_goes_one_way() {
    let level = |room: &str| ORDER.iter().position(|other| *other == room);
    let mut wrong = Vec::new();
    for (room, name, text) in sources() {
        let Some(own) = level(&room) else { continue };
        for other in named(&text) {
            let up = level(&other).is_some_and(|other| other > own);
            if up || APART.contains(&(room.as_str(), other.as_str())) {
                wrong.push(format!("src/{name} uses `{other}`, which `{room}` may not"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_arrows_are_seen_where_they_are_written() {
    let text = "// crate::site\nuse crate::load::{Files};\nuse crate::{problem::Problem, write};\nlet x = crate::embedded::CONTENT;\n";
    let all: Vec<String> = named(text).into_iter().collect();
    assert_eq!(all, ["embedded", "load", "problem", "write"]);
}

/// Participles that name nothing: a type or a module of this name does not say what it is.
const SAY_NOTHING: &[&str] = &["Known", "Found", "Held", "Told", "Said", "Given", "Kept", "Asked", "Wanted", "Settled"];

/// Words that would fit a dozen things: at most one type has such a name.
const ONE_MEANING: &[&str] = &["Part", "Draw", "Value", "Kind", "Entry", "Row", "Outcome", "Problem"];

/// The types and modules that a source declares.
fn declared(text: &str) -> Vec<&str> {
    let mut names = Vec::new();
    for line in text.lines() {
        let mut words = line.split_whitespace().skip_while(|word| word.starts_with("pub"));
        if words.next().is_some_and(|word| matches!(word, "struct" | "enum" | "trait" | "type" | "mod" | "union")) {
            let name = words.next().unwrap_or_default();
            names.extend(name.split(|c: char| !c.is_alphanumeric() && c != '_').next());
        }
    }
    names
}

#[test]
fn a_name_says_what_it_is_and_means_one_thing() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for folder in ["src", "calc-wasm/src"] {
        for entry in walkdir::WalkDir::new(root.join(folder)).sort_by_file_name() {
            let path = entry.expect("readable").into_path();
            if path.extension().is_some_and(|ending| ending == "rs") {
                for name in declared(&fs::read_to_string(&path).expect("a source is UTF-8")) {
                    places.entry(name.to_owned()).or_default().push(path.display().to_string());
                }
            }
        }
    }
    assert!(places.len() > 500, "only {} names were found: the reading of declarations is broken", places.len());
    for name in SAY_NOTHING {
        for name in [(*name).to_owned(), name.to_lowercase()] {
            assert_eq!(places.get(&name), None, "`{name}` says nothing");
        }
    }
    for name in ONE_MEANING {
        let all = places.get(*name).map_or(&[][..], Vec::as_slice);
        assert!(all.len() < 2, "`{name}` means more than one thing: {all:?}");
    }
}

#[test]
fn declarations_are_seen_where_they_are_written() {
    let text = "// struct No;\npub(crate) struct Part<'k> {\n    type Told = (u8, u8);\nmod kept;\nlet kind = 1;\n";
    assert_eq!(declared(text), ["Part", "Told", "kept"]);
}
