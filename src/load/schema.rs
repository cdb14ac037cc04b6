//! JSON Schemas of the YAML files of a course, for editors: made from the types that the files are read into.
//!
//! Our reader takes every plain word for text, a number in quotes for a number, and nothing after a colon for a key
//! left out. The schema must say so too, or an editor would flag what is read without complaint.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde_json::{Map, Value, json};

use super::bank::{BankFile, Topic};
use super::lesson::LessonHeader;
use super::settings::CourseFile;
use crate::catalogue::{CautionFile, GlossaryFile};
use tankside_calc::calculators::registry::CALCULATORS;

/// A kind of file, and the name of its schema: `course` is `schema/course.json`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Described {
    /// `course.yaml`.
    Course,
    /// The header of a lesson.
    Lesson,
    /// A question bank.
    Questions,
    /// `cautions.yaml`.
    Cautions,
    /// `glossary.yaml`.
    Glossary,
}

impl Described {
    /// All of them.
    pub const ALL: [Described; 5] =
        [Described::Course, Described::Lesson, Described::Questions, Described::Cautions, Described::Glossary];

    /// The name of its schema.
    pub fn name(self) -> &'static str {
        match self {
            Described::Course => "course",
            Described::Lesson => "lesson",
            Described::Questions => "questions",
            Described::Cautions => "cautions",
            Described::Glossary => "glossary",
        }
    }

    /// Its schema, JSON Schema draft 7, which every editor reads.
    pub fn schema(self) -> Value {
        let (mut schema, title) = match self {
            Described::Course => (of::<CourseFile>(), "the settings of a course"),
            Described::Lesson => (of::<LessonHeader>(), "the header of a lesson"),
            Described::Questions => (of::<BankFile>(), "a question bank"),
            Described::Cautions => (of::<CautionFile>(), "cautions of a course's own"),
            Described::Glossary => (of::<GlossaryFile>(), "terms of a course's own"),
        };
        loosen(&mut schema);
        if self == Described::Questions {
            by_kind(&mut schema);
        }
        if let Value::Object(keys) = &mut schema {
            keys.insert("title".to_owned(), json!(format!("tankside: {title}")));
        }
        schema
    }

    /// The same as the text of a file.
    pub fn text(self) -> String {
        // Writing a value that came from types cannot fail.
        serde_json::to_string_pretty(&self.schema()).map_or_else(|_| String::new(), |text| text + "\n")
    }
}

fn of<T: JsonSchema>() -> Value {
    SchemaSettings::draft07().into_generator().into_root_schema_for::<T>().to_value()
}

/// Tells for each value what our reader accepts.
fn loosen(schema: &mut Value) {
    let Value::Object(keys) = schema else {
        if let Value::Array(all) = schema {
            all.iter_mut().for_each(loosen);
        }
        return;
    };
    let fixed = keys.contains_key("enum") || keys.contains_key("const");
    match types(keys).as_slice() {
        _ if fixed => {}
        [first, rest @ ..] if first == "string" => widen(keys, &["string", "number", "boolean"], rest),
        [first, rest @ ..] if first == "integer" => {
            keys.remove("format");
            keys.insert("pattern".to_owned(), json!("^[0-9]+$"));
            widen(keys, &["integer", "string"], rest);
        }
        [first, rest @ ..] if first == "boolean" => {
            let mut words = vec![json!(true), json!(false), json!("true"), json!("false")];
            words.extend(rest.iter().map(|_| Value::Null));
            keys.remove("type");
            keys.insert("enum".to_owned(), Value::Array(words));
        }
        _ => {}
    }
    let required: Vec<String> = keys
        .get("required")
        .and_then(Value::as_array)
        .map_or_else(Vec::new, |all| all.iter().filter_map(Value::as_str).map(str::to_owned).collect());
    for (key, value) in keys.iter_mut() {
        match (key.as_str(), value) {
            ("properties", Value::Object(properties)) => {
                for (name, property) in properties {
                    loosen(property);
                    if !required.contains(name) {
                        or_nothing(property);
                    }
                }
            }
            ("definitions", Value::Object(all)) => all.values_mut().for_each(loosen),
            ("items" | "additionalProperties" | "anyOf" | "oneOf" | "allOf", value) => loosen(value),
            _ => {}
        }
    }
}

fn types(keys: &Map<String, Value>) -> Vec<String> {
    match keys.get("type") {
        Some(Value::String(one)) => vec![one.clone()],
        Some(Value::Array(all)) => all.iter().filter_map(Value::as_str).map(str::to_owned).collect(),
        _ => Vec::new(),
    }
}

fn widen(keys: &mut Map<String, Value>, with: &[&str], rest: &[String]) {
    let all: Vec<Value> = with.iter().map(|one| json!(one)).chain(rest.iter().map(|one| json!(one))).collect();
    keys.insert("type".to_owned(), Value::Array(all));
}

/// A key that may be left out may also have nothing after its colon.
fn or_nothing(property: &mut Value) {
    let Value::Object(keys) = property else { return };
    let mut all = types(keys);
    if let Some(Value::Array(words)) = keys.get_mut("enum")
        && !words.contains(&Value::Null)
    {
        words.push(Value::Null);
    }
    if !all.is_empty() {
        if !all.iter().any(|one| one == "null") {
            all.push("null".to_owned());
        }
        keys.insert("type".to_owned(), json!(all));
    } else if !keys.contains_key("enum") {
        // The description and the usual value stay outside, where an editor looks for them.
        let kept: Vec<(String, Value)> = ["description", "default"]
            .iter()
            .filter_map(|name| Some(((*name).to_owned(), keys.remove(*name)?)))
            .collect();
        let inner = Value::Object(std::mem::take(keys));
        keys.insert("anyOf".to_owned(), json!([inner, { "type": "null" }]));
        keys.extend(kept);
    }
}

/// How many options are distinguished by position.
const OPTIONS: usize = 12;

/// What a question needs and may not have, by its kind.
fn by_kind(schema: &mut Value) {
    let Some(question) = schema.pointer_mut("/definitions/Question").and_then(Value::as_object_mut) else { return };
    let when = |kind: &str, then: Value| json!({ "if": { "properties": { "kind": { "const": kind } }, "required": ["kind"] }, "then": then });
    let right = json!({ "required": ["right"], "properties": { "right": { "enum": [true, "true"] } } });
    let only = |at: usize| {
        let others = json!({ "not": right });
        let mut items = vec![others.clone(); at];
        items.push(right.clone());
        json!({ "minItems": at + 1, "items": items, "additionalItems": others })
    };
    let nothing = json!({ "type": "null" });
    let mut choices = Map::new();
    for key in ["asks", "given", "beside", "answer-in", "tolerance"] {
        choices.insert(key.to_owned(), nothing.clone());
    }
    choices.insert("parts".to_owned(), json!({ "anyOf": [nothing, { "maxItems": 0 }] }));
    let choice = |options: Value| {
        let mut properties = choices.clone();
        let mut two = json!({ "type": "array", "minItems": 2 });
        if let (Value::Object(two), Value::Object(options)) = (&mut two, options) {
            two.extend(options);
        }
        properties.insert("options".to_owned(), two);
        json!({ "required": ["options"], "properties": properties })
    };
    let number = json!({
        "required": ["asks"],
        "properties": {
            "asks": { "type": "string" },
            "options": { "anyOf": [{ "type": "null" }, { "maxItems": 0 }] }
        }
    });
    let rules = [
        when("number", number),
        when("one", choice(json!({ "anyOf": (0..OPTIONS).map(only).collect::<Vec<_>>() }))),
        when("several", choice(json!({ "contains": right }))),
        when("order", choice(json!({ "items": { "not": right } }))),
    ];
    question.insert("allOf".to_owned(), json!(rules));
}

/// A share of right answers: `80 %`; not a bare number, which could be one of 100 or of 1.
pub(super) fn share(_: &mut SchemaGenerator) -> Schema {
    let number = r"0*([0-9]{1,2}(\.[0-9]*)?|100(\.0*)?|([0-9]{1,2} +)?[0-9]+/[0-9]+)";
    let form = format!(r"^\s*\+?(?!0+(\.0*)?\s*[%p]){number}\s*(%|percent|pct)\s*$");
    json_schema!({ "pattern": form, "not": { "type": ["number", "boolean", "array", "object"] } })
}

/// Inputs of a problem: `name: value`, or a list of rows.
pub(super) fn inputs(_: &mut SchemaGenerator) -> Schema {
    json_schema!({ "type": "object" })
}

/// The result asked for: the names that exist, for an editor to offer; those with rows as patterns.
pub(super) fn asks(_: &mut SchemaGenerator) -> Schema {
    let results = CALCULATORS.iter().flat_map(|calculator| {
        let named = calculator.results.iter().filter(|spec| !spec.name.contains(['N', 'M']));
        named.map(|spec| format!("{}/{}", calculator.id, spec.name))
    });
    let results: Vec<String> = results.collect();
    let calculators: Vec<&str> = CALCULATORS.iter().map(|calculator| calculator.id).collect();
    let form = format!("^({})/[a-z0-9-]+$", calculators.join("|"));
    json_schema!({ "anyOf": [{ "enum": results }, { "type": "string", "pattern": form }] })
}

/// Weights by topic.
pub(super) fn weights(generator: &mut SchemaGenerator) -> Schema {
    let topics = Topic::json_schema(generator).to_value();
    let words = topics.get("enum").cloned().unwrap_or_default();
    json_schema!({
        "type": "object",
        "propertyNames": { "enum": words },
        "additionalProperties": { "type": "integer", "minimum": 0 }
    })
}
