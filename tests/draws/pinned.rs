//! Ten draws of every question, with numbers and right answer, against `tests/draws/pinned/BANK.txt`.
//!
//! A row that moves fails the test: somebody may have been asked it. Where it is moved on purpose, raise the
//! question's `draw-version` (or `CORRECTED` in the core's `question/draw.rs`, where a calculator was put right), and
//! run with `NEW_DRAWS=1`, which rewrites the table and refuses a row that moved without a new version. The table
//! of a bank that nobody has ever been asked from may be deleted and written again.

use crate::banks;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use tankside_calc::question::{Ask, Question};
use tankside_calc::text::figures::exact;

const DRAWS: u32 = 10;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/draws/pinned")
}

/// What is pinned of a question: a first line with id and version, and a line for each draw.
fn rows(question: &Question) -> String {
    let mut text = format!("{} version {}", question.id, question.version());
    // The digest of a choice holds its words, which may be mended.
    if question.kind == Ask::Number {
        let _ = write!(text, " digest {}", question.digest());
    }
    text.push('\n');
    for draw in 0..DRAWS {
        let row = if question.kind == Ask::Number { number(question, draw) } else { choice(question, draw) };
        let _ = writeln!(text, "  {draw}: {row}");
    }
    text
}

/// The inputs in their order, and the right answer with its tolerance.
fn number(question: &Question, draw: u32) -> String {
    let template = question.template().unwrap_or_else(|fault| panic!("{}: {fault:?}", question.id));
    let (given, beside) = template.numbers(draw);
    let pairs = given.0.iter().chain(&beside.0).map(|(name, text)| format!("{name} {text}"));
    let numbers = pairs.collect::<Vec<_>>().join(", ");
    let answer = match template.draw(draw) {
        Ok(posed) => {
            let value = exact(posed.si / posed.unit.size());
            format!("{value} {} within {} %", posed.unit.plain(), exact(posed.tolerance * 100.0))
        }
        Err(fault) => fault.id().to_owned(),
    };
    format!("{numbers} = {answer}")
}

/// The options as they are dealt, the right ones marked; lines to be put in order carry their place.
fn choice(question: &Question, draw: u32) -> String {
    let dealt = question.dealt(draw).into_iter().map(|index| {
        let right = question.kind != Ask::Order && question.options[index].right;
        format!("{index}{}", if right { "*" } else { "" })
    });
    dealt.collect::<Vec<_>>().join(" ")
}

/// The rows of a table by question, each with its version.
fn by_question(text: &str) -> BTreeMap<String, (u32, String)> {
    let mut found: BTreeMap<String, (u32, String)> = BTreeMap::new();
    let mut last = String::new();
    for line in text.lines() {
        if !line.starts_with(' ') {
            let words: Vec<&str> = line.split(' ').collect();
            last = words[0].to_owned();
            let version = words[2].parse().unwrap_or_else(|_| panic!("a version in {line}"));
            found.insert(last.clone(), (version, String::new()));
        }
        let (_, rows) = found.get_mut(&last).unwrap_or_else(|| panic!("rows of no question: {line}"));
        rows.push_str(line);
        rows.push('\n');
    }
    found
}

#[test]
fn ten_draws_of_every_question_are_where_they_were() {
    let rewrite = std::env::var_os("NEW_DRAWS").is_some();
    let (mut moved, mut not_pinned) = (Vec::new(), Vec::new());
    for (name, bank) in banks::banks() {
        let path = folder().join(format!("{name}.txt"));
        let old = by_question(&std::fs::read_to_string(&path).unwrap_or_default());
        let mut table = String::new();
        for question in &bank.questions {
            let rows = rows(question);
            match old.get(&question.id) {
                Some((_, pinned)) if *pinned == rows => {}
                Some((version, _)) if rewrite && question.version() > *version => {}
                Some((_, pinned)) => moved.push(format!("{pinned}is now\n{rows}")),
                None if rewrite => {}
                None => not_pinned.push(question.id.clone()),
            }
            table.push_str(&rows);
        }
        let gone = old.keys().filter(|id| !bank.questions.iter().any(|question| question.id == **id));
        if rewrite {
            if moved.is_empty() {
                std::fs::create_dir_all(folder()).expect("the folder of tables");
                std::fs::write(&path, &table).expect("the table can be written");
            }
        } else {
            not_pinned.extend(gone.cloned());
        }
    }
    assert!(
        moved.is_empty(),
        "moved without a new version; see the head of tests/draws/pinned.rs:\n{}",
        moved.join("\n")
    );
    assert!(not_pinned.is_empty(), "new or gone; run with NEW_DRAWS=1: {not_pinned:?}");
}

#[test]
fn every_table_belongs_to_a_bank() {
    for entry in std::fs::read_dir(folder()).expect("the tables") {
        let path = entry.expect("a file").path();
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        assert!(banks::banks().contains_key(&name), "there is no bank {name} any more");
    }
}

#[test]
fn a_digest_names_what_decides_numbers_answer_and_tolerance_and_nothing_else() {
    let question = banks::numbers().find(|question| question.id == "catch-test-gun-output").expect("the gun");
    let same = [
        Question { id: "other".to_owned(), ..question.clone() },
        Question { text: "Otherwise worded.".to_owned(), ..question.clone() },
        Question { because: "So.".to_owned(), ..question.clone() },
        Question { offered: Default::default(), ..question.clone() },
    ];
    for other in &same {
        assert_eq!(other.digest(), question.digest(), "{other:?}");
        assert_eq!(number(other, 3), number(question, 3));
    }
    let mut range = question.clone();
    range.given[0].1 = range.given[0].1.replace("by 1", "by 2");
    let mut beside = question.clone();
    beside.beside.clear();
    let differing = [
        range,
        beside,
        Question { tolerance: "3 %".to_owned(), ..question.clone() },
        Question { answer_in: "fl oz/min".to_owned(), ..question.clone() },
        Question { draw_version: 2, ..question.clone() },
    ];
    for other in &differing {
        assert_ne!(other.digest(), question.digest(), "{other:?}");
    }
    let mut digests: Vec<String> = banks::questions().map(Question::digest).collect();
    let all = digests.len();
    digests.sort_unstable();
    digests.dedup();
    // Two questions may differ in their words alone.
    assert!(digests.len() * 10 >= all * 9, "{} digests of {all} questions", digests.len());
}
