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
    (Described::Questions, "    asks: catch-test/nozzle-output\n", "", "a number without a result"),
    (
        Described::Questions,
        "    asks: catch-test/nozzle-output\n",
        "    asks:\n",
        "a number with nothing for its result",
    ),
    (Described::Questions, "    options: [ { text: A, right: true }, { text: B } ]\n", "", "a choice without options"),
    (Described::Questions, "[ { text: A, right: true }, { text: B } ]", "[]", "a choice of nothing"),
    (Described::Questions, ", { text: B } ]", " ]", "a choice with one option"),
    (Described::Questions, ", right: true", "", "a choice without a right option"),
    (Described::Questions, ", right: true", ", right: false", "a choice in which none is right"),
    (Described::Questions, "{ text: B }", "{ text: B, right: true }", "two right options for one"),
    (Described::Questions, "{ text: B }", "{ text: B, right: \"true\" }", "a second right option in quotes"),
    (
        Described::Questions,
        "    kind: one\n    text: Why?\n    options: [ { text: A, right: true }",
        "    kind: several\n    text: Why?\n    options: [ { text: A }",
        "several without a right one",
    ),
    (Described::Questions, "    kind: one\n", "    kind: order\n", "a right option among those to be put in order"),
    (Described::Questions, "    kind: one\n", "    kind: number\n", "a number with options and no result"),
    (
        Described::Questions,
        "    draw-version: 1\n",
        "    options: [ { text: A }, { text: B } ]\n",
        "a number with options",
    ),
    (
        Described::Questions,
        "    text: Why?\n",
        "    text: Why?\n    asks: catch-test/nozzle-output\n",
        "a choice with a result",
    ),
    (Described::Questions, "    text: Why?\n", "    text: Why?\n    given: { tank: 5 gal }\n", "a choice with inputs"),
    (Described::Questions, "    text: Why?\n", "    text: Why?\n    answer-in: gal\n", "a choice with a unit"),
    (Described::Questions, "    text: Why?\n", "    text: Why?\n    tolerance: 2 %\n", "a choice with a tolerance"),
    (Described::Questions, "    draw-version: 1\n", "    parts: [ { text: First? } ]\n", "a part without its result"),
    (Described::Questions, "    draw-version: 1\n", "    tolerance: close\n", "a word for a tolerance"),
    (Described::Questions, "    draw-version: 1\n", "    tolerance: 0 %\n", "no tolerance at all"),
    (Described::Questions, "pass: 80 %", "pass: 180 %", "more than all to pass"),
    (Described::Questions, "pass: 80 %", "pass: 0 %", "nothing to pass"),
    (Described::Questions, "pass: 80 %", "pass: x", "a letter for a share"),
    (Described::Questions, "pass: 80 %", "pass: 80", "a share without its sign"),
    (Described::Questions, "pass: 80 %", "pass: \"0.8\"", "a share as a fraction of one"),
    (Described::Questions, "pass: 80 %", "pass: -5 %", "less than nothing to pass"),
    (Described::Questions, "id: why", "id:", "a question without a name"),
    (Described::Questions, "    kind: one\n", "", "a question without its kind"),
    (Described::Course, "items: 20", "pass: 170 %", "more than all to pass an exam"),
    (Described::Course, "items: 20", "pass: all", "a word for a share"),
    (Described::Course, "items: 20", "minutes: 100000", "an exam of months"),
    (Described::Course, "items: 20", "calculator: perhaps", "neither true nor false"),
    (Described::Course, "lessons: [lesson]\n", "", "a course without lessons"),
    (Described::Course, "company: Green Example", "company: ~", "nothing for the company"),
    (Described::Lesson, "minutes: 5", "minutes: -3", "a negative number"),
    (Described::Lesson, "minutes: 5", "minutes: 5.5", "half a minute"),
    (Described::Lesson, "title: Lesson", "title: { a: b }", "keys for a text"),
    (Described::Lesson, "draft: false", "draft: 1", "a number for true"),
    (Described::Cautions, "severity: notice", "severity:", "a caution without its severity"),
    (Described::Cautions, "    text: Never on the street.\n", "", "a caution without its text"),
    (Described::Glossary, "id: wash-pad", "id: Wash pad", "a name with a capital and a space"),
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
    (Described::Questions, "pass: 80 %", "pass: 80%"),
    (Described::Questions, "pass: 80 %", "pass: \"66 2/3 %\""),
    (Described::Questions, "pass: 80 %", "pass: 62.5 percent"),
    (Described::Questions, "pass: 80 %", "pass: 100 %"),
    (Described::Questions, "draw-version: 1", "tolerance: 2 %"),
    (Described::Questions, "draw-version: 1", "options: []"),
    (Described::Questions, "{ text: B }", "{ text: B, right: false }"),
    (
        Described::Questions,
        "    kind: one\n    text: Why?\n    options: [ { text: A, right: true }",
        "    kind: order\n    text: Why?\n    options: [ { text: A }",
    ),
    (Described::Questions, "    text: Why?\n", "    text: Why?\n    asks:\n    parts: []\n"),
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
