//! Every YAML file of ours against its schema: the stock, the demo, a course just started, the specs.

use super::{described, errors, refusals};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tankside::load::{Described, Memory};
use tankside::notation::is_name;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The files of a folder by their path in it.
fn files(folder: &Path) -> BTreeMap<String, String> {
    let entries = walkdir::WalkDir::new(folder).into_iter().map(|entry| entry.expect("a readable entry"));
    let texts = entries.filter(|entry| entry.file_type().is_file()).filter_map(|entry| {
        let name = entry.path().strip_prefix(folder).expect("it is below").to_string_lossy().replace('\\', "/");
        Some((name, fs::read_to_string(entry.path()).ok()?))
    });
    texts.collect()
}

/// How many files of the folder have a schema; all of them are valid.
fn all_valid(folder: &Path) -> usize {
    let mut count = 0;
    for (name, text) in files(folder) {
        let Some(described) = described(&name) else { continue };
        count += 1;
        let refused = refusals(described, &text).unwrap_or_else(|| panic!("{name}: not YAML"));
        assert_eq!(refused, [""; 0], "{}/{name}", folder.display());
    }
    count
}

/// A course that the command has just written, removed at the end.
struct Started(PathBuf);

impl Started {
    fn new(name: &str) -> Started {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("schemas-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        let done =
            Command::new(env!("CARGO_BIN_EXE_tankside")).arg("start").arg(&folder).arg("--no-questions").output();
        assert!(done.expect("the program runs").status.success());
        Started(folder)
    }
}

impl Drop for Started {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

#[test]
fn the_stock_the_demo_and_a_course_just_started_are_valid() {
    assert!(all_valid(&root().join("content")) > 25);
    assert!(all_valid(&root().join("site-demo")) > 8);
    let started = Started::new("valid");
    assert_eq!(all_valid(&started.0), 5);
}

#[test]
fn a_course_just_started_brings_its_schemas_and_names_them_in_its_files() {
    let started = Started::new("named");
    for described in Described::ALL {
        let text = fs::read_to_string(started.0.join(format!("schema/{}.json", described.name()))).expect("a schema");
        assert_eq!(text, described.text());
    }
    for (name, text) in files(&started.0) {
        let Some(described) = described(&name) else { continue };
        let named = text.lines().find_map(|line| line.strip_prefix("# yaml-language-server: $schema="));
        let named = named.unwrap_or_else(|| panic!("{name} names no schema"));
        let place = started.0.join(&name).parent().expect("a folder").join(named);
        let whole = fs::read_to_string(&place).unwrap_or_else(|fault| panic!("{name}: {named}: {fault}"));
        assert_eq!(whole, described.text(), "{name}");
    }
}

#[test]
fn a_schema_marks_nothing_in_the_specs_that_our_reader_takes() {
    let (mut count, mut valid, mut wrong) = (0, 0, Vec::new());
    for (spec, text) in files(&root().join("tests/specs")) {
        for (name, file) in fences(&text) {
            // A file without a usable name is not read.
            let stem = name.rsplit(['/']).next().and_then(|file| file.split('.').next()).unwrap_or_default();
            // Nor is one in a folder within a folder.
            let nested = name.matches('/').count() > 1;
            let Some(kind) = described(&name).filter(|_| is_name(stem) && !nested) else { continue };
            count += 1;
            let Some(refused) = refusals(kind, &file) else { continue };
            if refused.is_empty() {
                valid += 1;
                continue;
            }
            let mut course = Memory::new();
            let usual = "id: demo\ntitle: Demo\ncompany: Green Example\nlessons: [lesson, pace]\n";
            course.add("course.yaml", usual.as_bytes());
            for lesson in ["lessons/lesson.md", "lessons/pace.md"] {
                course.add(lesson, b"---\ntitle: Lesson\nsummary: About.\n---\n".as_slice());
            }
            course.add(name.clone(), file.clone().into_bytes());
            if !errors(&course).iter().any(|problem| *problem.file == *name) {
                wrong.push(format!("{spec}: {name}: our reader takes it, and the schema says {}", refused.join("; ")));
            }
        }
    }
    assert!(count >= 50 && valid >= 20, "{valid} of {count}");
    assert_eq!(wrong, [""; 0]);
}

/// The files that a spec writes: their names and texts.
fn fences(text: &str) -> Vec<(String, String)> {
    let mut all = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find("\n````file ") {
        rest = &rest[at + "\n````file ".len()..];
        let (name, after) = rest.split_once('\n').expect("a fence has a first line");
        let file = after.split("````").next().unwrap_or_default();
        all.push((name.trim().to_owned(), file.to_owned()));
    }
    all
}
