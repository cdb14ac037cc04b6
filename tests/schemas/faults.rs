//! A table of faults: our reader and a general-purpose validator refuse each of them, and take the text without it.

use super::{errors, refusals};
use tankside::load::{Described, Memory};

const COURSE: &str = "id: demo\ntitle: Demo\ncompany: Green Example\nlanguage: en\nunits: us\nlogo: images/gun.png\ncolours: { band: \"#163a2b\" }\nattachments: [ { file: label.pdf, title: The label } ]\nlessons: [lesson]\nexam: { items: 20, weights: { units: 3 } }\n";
const LESSON: &str =
    "---\ntitle: Lesson\nsummary: About.\nminutes: 5\ndraft: false\n---\n\nWords.\n\n```caution wash-pad\n```\n";
const BANK: &str = "id: week\ntitle: A week\npass: 80 %\nquestions:\n  - id: gun\n    kind: number\n    topic: output\n    asks: catch-test/nozzle-output\n    text: \"You catch {catch.1.volume} in 30 s. What is the output?\"\n    given: { catch: [ { volume: 90 to 200 by 2 fl oz, time: 30 s } ] }\n    draw-version: 1\n  - id: why\n    kind: one\n    text: Why?\n    options: [ { text: A, right: true }, { text: B } ]\n";
const CAUTIONS: &str =
    "cautions:\n  - id: wash-pad\n    severity: notice\n    text: Never on the street.\n    sources: [our own rule]\n";
const GLOSSARY: &str = "terms:\n  - id: wash-pad\n    term: wash pad\n    also: [pad]\n    text: Where we wash.\n    source: our own word\n";

/// What is replaced in a good file, and what is wrong then.
const FAULTS: &[(Described, &str, &str, &str)] = &[
    (Described::Course, "company:", "compny:", "a mistyped key"),
    (Described::Course, "title: Demo\n", "", "a key that is missing"),
    (Described::Course, "title: Demo", "title:", "a key without its value"),
    (Described::Course, "title: Demo", "title: \" \"", "a blank"),
    (Described::Course, "title: Demo", "title: [Demo]", "a list for a text"),
    (Described::Course, "id: demo", "id: My Demo", "a name with capitals and a space"),
    (Described::Course, "units: us", "units: imperial", "an unknown word"),
    (Described::Course, "language: en", "language: english!", "no code of a language"),
    (Described::Course, "[lesson]", "[]", "an empty list"),
    (Described::Course, "[lesson]", "lesson", "a text for a list"),
    (Described::Course, "[lesson]", "[lesson, Other One]", "a lesson that cannot be listed"),
    (Described::Course, "\"#163a2b\"", "green", "a colour by its name"),
    (Described::Course, "{ band:", "{ bnad:", "a mistyped key of a colour"),
    (Described::Course, ", title: The label", "", "an attachment without a title"),
    (Described::Course, "items: 20", "items: many", "a word for a number"),
    (Described::Course, "items: 20", "items: -3", "a negative number"),
    (Described::Course, "items: 20", "items: 2.5", "half a question"),
    (Described::Course, "units: 3", "unit: 3", "a mistyped topic"),
    (Described::Course, "items: 20", "items: 0", "no question at all"),
    (Described::Course, "items: 20", "items: 101", "more questions than an exam has"),
    (Described::Lesson, "summary: About.", "sumary: About.", "a mistyped key"),
    (Described::Lesson, "summary: About.\n", "", "a key that is missing"),
    (Described::Lesson, "title: Lesson", "title: ''", "a blank"),
    (Described::Lesson, "minutes: 5", "minutes: about 5", "a word for a number"),
    (Described::Lesson, "minutes: 5", "minutes: [5]", "a list for a number"),
    (Described::Lesson, "draft: false", "draft: maybe", "neither true nor false"),
    (Described::Questions, "title: A week\n", "", "a key that is missing"),
    (Described::Questions, "id: week", "id: A Week", "a name with capitals and a space"),
    (Described::Questions, "    kind: number\n", "    kind: multiple\n", "an unknown word"),
    (Described::Questions, "topic: output", "topic: ouput", "a mistyped topic"),
    (Described::Questions, "catch-test/nozzle-output", "catchtest/nozzle-output", "a mistyped calculator"),
    (Described::Questions, "asks: catch-test/nozzle-output", "asks: nozzle-output", "a result without its calculator"),
    (Described::Questions, "text: Why?", "text: \"  \"", "a blank"),
    (Described::Questions, "    text: Why?\n", "", "a question without its words"),
    (Described::Questions, "right: true", "right: yes", "a word for true"),
    (Described::Questions, "{ text: B }", "{ txt: B }", "a mistyped key of an option"),
    (Described::Questions, "[ { text: A, right: true }, { text: B } ]", "A or B", "a text for a list"),
    (Described::Questions, "draw-version: 1", "draw-version: 0", "a version below the first"),
    (Described::Cautions, "severity: notice", "severity: dangerous", "an unknown word"),
    (Described::Cautions, "    sources: [our own rule]\n", "", "a key that is missing"),
    (Described::Cautions, "[our own rule]", "our own rule", "a text for a list"),
    (Described::Cautions, "id: wash-pad", "id: Wash Pad", "a name with capitals and a space"),
    (Described::Cautions, "cautions:", "caution:", "a mistyped key"),
    (Described::Cautions, "Never on the street.", "", "a caution without words"),
    (Described::Glossary, "    source: our own word\n", "", "a key that is missing"),
    (Described::Glossary, "term: wash pad", "terms: wash pad", "a mistyped key"),
    (Described::Glossary, "also: [pad]", "also: pad", "a text for a list"),
    (Described::Glossary, "text: Where we wash.", "text: ' '", "a blank"),
];

/// Spellings that our reader takes, odd as some are: a schema must not mark them.
const TAKEN: &[(Described, &str, &str)] = &[
    (Described::Course, "title: Demo", "title: 2027"),
    (Described::Course, "title: Demo", "title: true"),
    (Described::Course, "language: en\n", "language:\n"),
    (Described::Course, "units: us\n", "units: ~\n"),
    (Described::Course, "colours: { band: \"#163a2b\" }\n", "colors: { link: \"#7a2e12\" }\n"),
    (Described::Course, "exam: { items: 20, weights: { units: 3 } }", "exam:"),
    (Described::Course, "items: 20", "items: \"20\""),
    (Described::Course, "attachments: [ { file: label.pdf, title: The label } ]\n", "attachments:\n"),
    (Described::Lesson, "minutes: 5", "minutes: \"5\""),
    (Described::Lesson, "minutes: 5", "minutes:"),
    (Described::Lesson, "draft: false", "draft:"),
    (Described::Lesson, "draft: false", "draft: \"false\""),
    (Described::Questions, "pass: 80 %", "pass:"),
    (Described::Questions, "topic: output", "topic:"),
    (Described::Questions, "text: Why?", "text: 12"),
    (Described::Questions, "{ text: B }", "{ text: 3, because: 4 }"),
    (Described::Cautions, "sources: [our own rule]", "sources: [2027]"),
    (Described::Glossary, "also: [pad]", "also:"),
];

fn good(described: Described) -> (&'static str, &'static str) {
    match described {
        Described::Course => ("course.yaml", COURSE),
        Described::Lesson => ("lessons/lesson.md", LESSON),
        Described::Questions => ("questions/week.yaml", BANK),
        Described::Cautions => ("cautions.yaml", CAUTIONS),
        Described::Glossary => ("glossary.yaml", GLOSSARY),
    }
}

/// The errors that our reader finds in one file of a small course that is otherwise whole.
fn told(described: Described, text: &str) -> Vec<&'static str> {
    let mut files = Memory::new();
    files.add("images/gun.png", include_bytes!("../pictures/pixel.png").as_slice());
    files.add("attachments/label.pdf", b"%PDF-1.4\n".as_slice());
    for other in Described::ALL {
        let (name, usual) = good(other);
        files.add(name, if other == described { text.to_owned() } else { usual.to_owned() }.into_bytes());
    }
    let (name, _) = good(described);
    errors(&files).iter().filter(|problem| *problem.file == *name).map(|problem| problem.code).collect()
}

fn changed(described: Described, from: &str, to: &str) -> String {
    let (name, text) = good(described);
    assert!(text.contains(from), "{name} holds no {from}");
    text.replacen(from, to, 1)
}

#[test]
fn the_same_mistakes_are_refused_by_our_reader_and_by_a_validator() {
    for described in Described::ALL {
        let (name, text) = good(described);
        assert_eq!(told(described, text), [""; 0], "{name}");
        assert_eq!(refusals(described, text), Some(Vec::new()), "{name}");
    }
    let mut wrong = Vec::new();
    for (described, from, to, what) in FAULTS {
        let text = changed(*described, from, to);
        if told(*described, &text).is_empty() {
            wrong.push(format!("{}: our reader takes {what}: {to}", described.name()));
        }
        if refusals(*described, &text).is_some_and(|refused| refused.is_empty()) {
            wrong.push(format!("{}: the schema takes {what}: {to}", described.name()));
        }
    }
    assert_eq!(wrong, [""; 0]);
}

#[test]
fn what_our_reader_takes_no_schema_marks() {
    let mut wrong = Vec::new();
    for (described, from, to) in TAKEN {
        let text = changed(*described, from, to);
        let told = told(*described, &text);
        if !told.is_empty() {
            wrong.push(format!("{}: our reader refuses {to}: {told:?}", described.name()));
        }
        match refusals(*described, &text) {
            Some(refused) if refused.is_empty() => {}
            refused => wrong.push(format!("{}: the schema refuses {to}: {refused:?}", described.name())),
        }
    }
    assert_eq!(wrong, [""; 0]);
}
