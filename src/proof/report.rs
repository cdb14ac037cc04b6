//! The problems for programs: JSON of our own, and SARIF 2.1.0, the open standard of OASIS.

use crate::problem::{Problem, Problems, Severity, code, sentence};
use std::collections::BTreeSet;
use std::path::Path;
use tankside_calc::text::json::{Value, map};

/// One object a problem: severity, code, file, line, column, text, title, help.
pub fn json(problems: &Problems) -> String {
    let all: Vec<Value> = problems.iter().map(one).collect();
    let (errors, warnings) = problems.count();
    let whole = map(vec![("errors", number(errors)), ("warnings", number(warnings)), ("problems", Value::List(all))]);
    whole.pretty() + "\n"
}

fn number(count: usize) -> Value {
    Value::Number(count as f64)
}

fn one(problem: &Problem) -> Value {
    let mut members = vec![
        ("severity", Value::from(problem.severity.word())),
        ("code", Value::from(problem.code)),
        ("file", Value::from(&*problem.file)),
    ];
    if let Some((line, column)) = problem.line_column() {
        members.extend([("line", number(line)), ("column", number(column))]);
    }
    if let Some(text) = marked(problem) {
        members.push(("text", Value::from(text)));
    }
    members.push(("title", Value::from(sentence(&problem.title))));
    if let Some(help) = &problem.help {
        members.push(("help", Value::from(sentence(help))));
    }
    map(members)
}

/// The author's text that is marked.
fn marked(problem: &Problem) -> Option<&str> {
    problem.text.as_deref()?.get(problem.primary.as_ref()?.span.clone()).filter(|text| !text.is_empty())
}

/// What a relative address starts from, by the name that the standard's own examples give it.
const ROOT: &str = "%SRCROOT%";

/// The same as SARIF 2.1.0 (OASIS Standard, 27 March 2020). Where `here` is given, the files are named as they are found
/// from it (3.14.14, `originalUriBaseIds`).
pub fn sarif(problems: &Problems, here: Option<&Path>) -> String {
    let used: BTreeSet<&str> = problems.iter().map(|problem| problem.code).collect();
    let rules: Vec<Value> = code::rules()
        .filter(|rule| used.contains(rule.code))
        .map(|rule| {
            map(vec![
                ("id", rule.code.into()),
                ("shortDescription", map(vec![("text", rule.finds.into())])),
                ("fullDescription", map(vec![("text", format!("{} {}", rule.finds, rule.matters).into())])),
                ("help", map(vec![("text", rule.write.into())])),
                ("defaultConfiguration", map(vec![("level", level(rule.severity).into())])),
            ])
        })
        .collect();
    let driver = map(vec![
        ("name", "tankside".into()),
        ("version", env!("CARGO_PKG_VERSION").into()),
        ("rules", Value::List(rules)),
    ]);
    let mut run = vec![("tool", map(vec![("driver", driver)])), ("columnKind", "unicodeCodePoints".into())];
    if let Some(here) = here {
        let folder = format!("file://{}/", address(&here.display().to_string()).trim_end_matches('/'));
        run.push(("originalUriBaseIds", map(vec![(ROOT, map(vec![("uri", folder.into())]))])));
    }
    run.push(("results", Value::List(problems.iter().map(|problem| result(problem, here.is_some())).collect())));
    let run = map(run);
    let whole = map(vec![
        (
            "$schema",
            "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json".into(),
        ),
        ("version", "2.1.0".into()),
        ("runs", Value::List(vec![run])),
    ]);
    whole.pretty() + "\n"
}

fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
    }
}

fn result(problem: &Problem, based: bool) -> Value {
    let help = problem.help.as_ref().map_or_else(String::new, |help| format!(" {}", sentence(help)));
    let mut members = vec![
        ("ruleId", Value::from(problem.code)),
        ("level", level(problem.severity).into()),
        ("message", map(vec![("text", format!("{}{help}", sentence(&problem.title)).into())])),
    ];
    if !problem.file.is_empty() {
        let artifact = match problem.file.starts_with('/') {
            true => vec![("uri", format!("file://{}", address(&problem.file)).into())],
            false if based => vec![("uri", address(&problem.file).into()), ("uriBaseId", ROOT.into())],
            false => vec![("uri", address(&problem.file).into())],
        };
        let mut place = vec![("artifactLocation", map(artifact))];
        if let Some((line, column)) = problem.line_column() {
            let mut region = vec![("startLine", number(line)), ("startColumn", number(column))];
            if let Some((line, column)) = problem.end_line_column() {
                region.extend([("endLine", number(line)), ("endColumn", number(column))]);
            }
            if let Some(text) = marked(problem) {
                region.push(("snippet", map(vec![("text", text.into())])));
            }
            place.push(("region", map(region)));
        }
        members.push(("locations", Value::List(vec![map(vec![("physicalLocation", map(place))])])));
    }
    map(members)
}

/// A file name as a relative address: what is not allowed in one is percent-encoded.
fn address(file: &str) -> String {
    let mut out = String::new();
    crate::markdown::escape::address(&mut out, &file.replace('%', "%25"));
    out.replace("&amp;", "&").replace("&#39;", "'").replace(':', "%3A")
}
