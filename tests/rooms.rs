//! Rooms of the core: each uses only those before it. Read off the `use` lines, so that an arrow the wrong way fails
//! here.

use std::fs;
use std::path::{Path, PathBuf};

/// The core's rooms, lowest first.
const CORE: &[&str] = &[
    "fitted",
    "text",
    "quantity",
    "working",
    "calculation",
    "calculators",
    "uncertainty",
    "mistakes",
    "card",
    "words",
    "question",
    "reading",
    "learning",
    "page",
    "doors",
];

fn sources(folder: &Path, into: &mut Vec<PathBuf>) {
    let entries = fs::read_dir(folder).expect("a folder of sources");
    for entry in entries {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, into);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            into.push(path);
        }
    }
}

/// Every `crate::room` that a text names outside its comments, with the number of its line.
fn named(text: &str) -> Vec<(usize, String)> {
    let mut all = Vec::new();
    for (number, line) in text.lines().enumerate() {
        let code = line.split("//").next().unwrap_or_default();
        for after in code.split("crate::").skip(1) {
            let word: String = after.chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect();
            all.push((number + 1, word));
        }
        assert!(!code.contains("use crate::{"), "line {}: one room a line, so that arrows can be read", number + 1);
    }
    all
}

/// Arrows that lead from a room to a later one.
fn wrong(root: &Path, order: &[&str]) -> (usize, Vec<String>) {
    let mut files = Vec::new();
    sources(root, &mut files);
    let place = |room: &str| order.iter().position(|other| *other == room);
    let (mut arrows, mut wrong) = (0, Vec::new());
    for file in files {
        let inside = file.strip_prefix(root).expect("inside");
        let room = inside.components().next().expect("a room").as_os_str().to_string_lossy().into_owned();
        if inside.components().count() == 1 {
            continue;
        }
        let own = place(&room).unwrap_or_else(|| panic!("the room `{room}` has no place in the order"));
        for (line, other) in named(&fs::read_to_string(&file).expect("a source")) {
            let Some(other_place) = place(&other) else {
                panic!("{}:{line} names `crate::{other}`, which is no room", inside.display());
            };
            arrows += 1;
            if other_place > own {
                wrong.push(format!("{}:{line} uses {other}, which comes after {room}", inside.display()));
            }
        }
    }
    (arrows, wrong)
}

#[test]
fn each_room_of_the_core_uses_only_those_before_it() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("calc-wasm/src");
    let (arrows, wrong) = wrong(&root, CORE);
    assert!(arrows > 300, "only {arrows} arrows were found: the reading of `use` lines is broken");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_picture_of_the_house_has_the_rooms_of_the_core_in_order() {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let (_, chain) = text.split_once("calc-wasm/src, lower to higher:\n").expect("the picture has the core");
    let chain = chain.split("```").next().unwrap_or_default();
    assert_eq!(chain.split('→').map(str::trim).collect::<Vec<_>>(), CORE);
}

#[test]
fn an_arrow_the_wrong_way_is_found() {
    let found = named("use crate::words::say;\n// crate::page\nlet x = crate::quantity::unit::Unit::of(\"gal\");\n");
    assert_eq!(found, [(1, "words".to_owned()), (3, "quantity".to_owned())]);
}

/// Lines before a source's tests that look a unit up by a literal while the program runs.
fn looked_up_late(text: &str) -> Vec<usize> {
    let code = text.lines().take_while(|line| line.trim() != "#[cfg(test)]").enumerate();
    let late = code.filter(|(_, line)| {
        let code = line.split("//").next().unwrap_or_default();
        ["Unit::of(\"", "Units::of(\"", "Unit::parse(\""].iter().any(|call| code.contains(call))
    });
    late.map(|(number, _)| number + 1).collect()
}

#[test]
fn a_unit_of_the_programs_own_is_looked_up_when_it_is_compiled() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    sources(&root.join("calc-wasm/src"), &mut files);
    sources(&root.join("src"), &mut files);
    for file in files {
        let late = looked_up_late(&fs::read_to_string(&file).expect("a source"));
        assert!(late.is_empty(), "{}: write unit!(\"…\") in lines {late:?}", file.display());
    }
    assert_eq!(looked_up_late("let a = unit!(\"gal\");\nlet b = Unit::of(\"gal\");\n// Unit::of(\"gal\")\n"), [2]);
}
