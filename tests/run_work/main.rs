//! `tankside work` from outside: what it prints, what it refuses, and with which words.

mod any_text;
mod followed;
mod lists;
mod prints;
mod refuses;
#[path = "../us_units/mod.rs"]
mod us_units;

use serde_json::Value;
use std::process::{Command, Output};
use tankside_calc::calculation::declare::{Calculator, FormItem, Input};

fn tankside(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_tankside")).arg("work").args(words).output().expect("the program runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("what is printed is UTF-8")
}

/// What an accepted call prints.
fn printed(words: &[&str]) -> String {
    let output = tankside(words);
    assert_eq!(output.status.code(), Some(0), "{words:?}: {}", text(&output.stderr));
    assert!(output.stderr.is_empty(), "{words:?}: {}", text(&output.stderr));
    text(&output.stdout)
}

/// What a refused call says; nothing is printed to standard output, and the exit code is 2.
fn refusal(words: &[&str]) -> String {
    let output = tankside(words);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{words:?}: {said}");
    assert!(output.stdout.is_empty(), "{words:?}");
    assert!(said.ends_with('\n') && !said.contains("\n\n\n"), "{words:?}: {said}");
    said
}

fn refused_with(words: &[&str], parts: &[&str]) {
    let said = refusal(words);
    for part in parts {
        assert!(said.contains(part), "{words:?}: no `{part}` in\n{said}");
    }
}

fn json(words: &[&str]) -> Value {
    let text = printed(&[words, &["--json"]].concat());
    serde_json::from_str(&text).unwrap_or_else(|fault| panic!("{words:?}: {fault}\n{text}"))
}

fn inputs_of(calculator: &'static Calculator) -> Vec<(String, &'static Input)> {
    let mut all = Vec::new();
    for item in calculator.inputs {
        match item {
            FormItem::One(input) => all.push((input.name.to_owned(), input)),
            FormItem::Many(group) => {
                all.extend(group.fields.iter().map(|field| (format!("{}.N.{}", group.name, field.name), field)));
            }
        }
    }
    all
}

fn words_of(pairs: &[(&str, &str)]) -> Vec<String> {
    pairs.iter().map(|(name, value)| format!("{name}={value}")).collect()
}
