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
    "hex",
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

/// The picture in DEVELOPERS.md: how a course becomes a site, then the rooms in order.
fn picture() -> (String, Vec<String>) {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let picture = text.split("```text\n").nth(1).and_then(|rest| rest.split("```").next()).expect("a picture");
    let (way, orders) = picture.split_once("src, lower to higher:\n").expect("the order of the rooms");
    let chain = orders.split("\n\n").next().unwrap_or_default();
    (way.to_owned(), chain.split('→').map(|room| room.trim().to_owned()).collect())
}

#[test]
fn the_picture_of_the_house_is_drawn_from_the_tree() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let (way, chain) = picture();
    assert_eq!(chain, ORDER);

    let word = |c: char| !(c.is_alphanumeric() || matches!(c, '_' | '-' | '/' | ':'));
    let mut lowest = 0;
    let mut drawn = BTreeSet::new();
    for line in way.lines() {
        let words: Vec<&str> = line.split(word).filter(|word| !word.is_empty()).collect();
        for folder in words.iter().filter(|word| word.len() > 1).filter_map(|word| word.strip_suffix('/')) {
            assert!(root.join(folder).is_dir(), "the picture has a folder `{folder}/`, and the tree has none");
        }
        // `course::resolve` is a function that a room offers.
        for (room, function) in words.iter().filter_map(|word| word.split_once("::")) {
            let offered = sources().into_iter().filter(|(other, ..)| other == room);
            let starts = ["(", "<"].map(|next| format!("pub fn {function}{next}"));
            let mut found = offered.filter(|(_, _, text)| starts.iter().any(|start| text.contains(start)));
            assert!(found.next().is_some(), "the picture has `{room}::{function}`, and the room has none");
        }
        // "a course folder" and "every problem" are what is read and made, not rooms.
        let is_room = |word: &&&str| word.contains("::") || !["course", "problem"].contains(*word);
        let rooms = words.iter().filter(is_room).map(|word| word.split(':').next().unwrap_or_default());
        let here: Vec<usize> = rooms.filter_map(|room| ORDER.iter().position(|other| *other == room)).collect();
        drawn.extend(here.iter().map(|room| ORDER[*room]));
        if let (Some(first), Some(last)) = (here.iter().min(), here.iter().max()) {
            assert!(*first >= lowest, "`{}` is drawn below a room that may use it", ORDER[*first]);
            lowest = *last;
        }
    }
    for room in ["yaml", "load", "markdown", "course", "proof", "site", "write", "preview", "marking"] {
        assert!(drawn.contains(room), "`{room}` is not in the picture");
    }
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
