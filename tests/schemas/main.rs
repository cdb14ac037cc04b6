//! JSON Schemas for editors: what our reader takes, a general-purpose validator takes too, and what it refuses is refused.

mod faults;
mod ours;

use jsonschema::Validator;
use serde_json::Value;
use tankside::embedded::CONTENT;
use tankside::load::{Described, Layered, Memory};
use tankside::problem::{Problem, Severity};
use tankside::resolve;

fn validator(described: Described) -> Validator {
    jsonschema::draft7::new(&described.schema()).unwrap_or_else(|fault| panic!("{}: {fault}", described.name()))
}

/// The YAML of a file: all of it, or the header of a lesson.
fn yaml(described: Described, text: &str) -> &str {
    match described {
        Described::Lesson => text.strip_prefix("---\n").and_then(|rest| rest.split("\n---").next()).unwrap_or_default(),
        _ => text,
    }
}

/// What a validator says of a file; `None` where it is not YAML for it either.
fn refusals(described: Described, text: &str) -> Option<Vec<String>> {
    let read: serde_yaml::Value = serde_yaml::from_str(yaml(described, text)).ok()?;
    let value: Value = serde_json::to_value(read).ok()?;
    Some(validator(described).iter_errors(&value).map(|fault| format!("{}: {fault}", fault.instance_path())).collect())
}

/// The kind of a file of a course.
fn described(name: &str) -> Option<Described> {
    match name.split_once('/') {
        None => match name {
            "course.yaml" => Some(Described::Course),
            "cautions.yaml" => Some(Described::Cautions),
            "glossary.yaml" => Some(Described::Glossary),
            _ => None,
        },
        Some(("lessons", file)) => file.ends_with(".md").then_some(Described::Lesson),
        Some(("questions", file)) => file.ends_with(".yaml").then_some(Described::Questions),
        _ => None,
    }
}

/// The errors of a course, over the stock.
fn errors(files: &Memory) -> Vec<Problem> {
    let stock = Memory::of(&CONTENT);
    let course = resolve(&Layered(vec![files, &stock]));
    course.problems.iter().filter(|problem| problem.severity == Severity::Error).cloned().collect()
}
