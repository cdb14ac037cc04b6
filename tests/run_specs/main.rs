//! The course syntax by example: every `tests/specs/*.md` is rules in prose, each with an input and what comes of it.
//!
//! A fence of four backticks is `lesson` (a body, put below a usual header), `file NAME` (a whole file of the course),
//! `bytes NAME` (the same in hexadecimal, `… N` for as many zeros), `html` (what the lesson becomes), `problems` (what
//! is found when the files are read), `resolved` (when the course is resolved) or `proof` (what a proofreader finds
//! beyond).
//! `UPDATE_SPECS=1` rewrites the outputs.

mod advice;
mod codes;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use tankside::embedded::CONTENT;
use tankside::load::{Layered, Manuscript, Memory, load};
use tankside::markdown::{self, Body, Caution, Context, FigureOf, Insert, Text};
use tankside::problem::{Problems, Style};
use tankside::resolve;
use tankside::yaml::Node;

const FENCE: &str = "````";

/// A fence of a spec, with its lines in the file.
#[derive(Debug)]
struct Fence {
    info: String,
    text: String,
    first_line: usize,
    end_line: usize,
}

fn fences(text: &str, file: &Path) -> Vec<Fence> {
    let mut fences = Vec::new();
    let mut open: Option<Fence> = None;
    for (number, line) in text.split_inclusive('\n').enumerate() {
        match (&mut open, line.strip_prefix(FENCE)) {
            (None, Some(info)) => {
                let info = info.trim().to_owned();
                open = Some(Fence { info, text: String::new(), first_line: number + 1, end_line: 0 });
            }
            (Some(fence), Some(_)) => {
                fence.end_line = number;
                fences.extend(open.take());
            }
            (Some(fence), None) => fence.text.push_str(line),
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "{}: a fence is never closed", file.display());
    fences
}

/// The files of a course, by name.
type Written = BTreeMap<String, Vec<u8>>;

/// The course around every example: two lessons, a bank, a picture.
const USUAL: [(&str, &[u8]); 5] = [
    ("course.yaml", b"id: demo\ntitle: Demo\ncompany: Green Example\nlessons: [lesson, pace]\n"),
    ("lessons/lesson.md", b"---\ntitle: Lesson\nsummary: About.\n---\n"),
    ("lessons/pace.md", b"---\ntitle: Pace\nsummary: About pace.\n---\n# Walk the line\n"),
    ("images/gun.png", include_bytes!("../pictures/pixel.png")),
    (
        "questions/first-week.yaml",
        b"id: first-week\ntitle: First week\nquestions:\n  - { id: a, kind: one, text: Which?, options: [{ text: A, right: true }, { text: B }] }\n",
    ),
];

/// One example: inputs, then outputs.
struct Outputs {
    html: String,
    problems: String,
    resolved: String,
    proof: String,
}

/// Bytes written in hexadecimal; `… N` stands for N zeros.
fn bytes(text: &str) -> Vec<u8> {
    let mut out = Vec::new();
    let mut words = text.split_whitespace();
    while let Some(word) = words.next() {
        match word {
            "…" => {
                let count: usize = words.next().and_then(|count| count.parse().ok()).expect("a number of zeros");
                out.resize(out.len() + count, 0_u8);
            }
            _ => out.push(u8::from_str_radix(word, 16).expect("two hexadecimal digits")),
        }
    }
    out
}

/// The usual course with what an example puts into it.
fn written(inputs: &[&Fence]) -> Written {
    let mut files: Written = USUAL.iter().map(|(name, bytes)| ((*name).to_owned(), bytes.to_vec())).collect();
    for input in inputs {
        let (name, bytes) = match input.info.split_once(' ') {
            Some(("bytes", name)) => (name, bytes(&input.text)),
            Some(("file", name)) => (name, input.text.clone().into_bytes()),
            _ => {
                ("lessons/lesson.md", format!("---\ntitle: Lesson\nsummary: About.\n---\n{}", input.text).into_bytes())
            }
        };
        files.insert(name.to_owned(), bytes);
    }
    files
}

fn memory(written: &Written) -> Memory {
    let mut files = Memory::new();
    for (name, bytes) in written {
        files.add(name.clone(), bytes.clone());
    }
    files
}

fn outcome(inputs: &[&Fence]) -> Outputs {
    let files = memory(&written(inputs));
    let (course, mut problems) = load(&files, 1);
    let bodies = bodies(&course, &mut problems);
    let outlines =
        course.lessons.iter().zip(&bodies).map(|(lesson, body)| (lesson.stem.as_str(), &lesson.source, &body.outline));
    let mut found = vec![tankside::problem::Problems::new(); bodies.len()];
    markdown::check_links(outlines.clone(), outlines, &mut found);
    found.into_iter().for_each(|found| problems.extend(found));
    let lesson = course.lessons.iter().position(|lesson| lesson.stem == "lesson");
    let html = lesson.map_or_else(String::new, |index| shown(&bodies[index]));
    let drawn = |problems: &Problems| if problems.is_empty() { String::new() } else { problems.draw(Style::Plain) };
    let stock = Memory::of(&CONTENT);
    let course = resolve(&Layered(vec![&files, &stock]));
    let (resolved, proof) = (&course.problems, tankside::proof::proof(course.draft()));
    Outputs { html, problems: drawn(&problems), resolved: drawn(resolved), proof: drawn(&proof) }
}

fn bodies(course: &Manuscript, problems: &mut Problems) -> Vec<Body> {
    let cautions = BTreeSet::from(["clean-water".to_owned(), "label-is-law".to_owned()]);
    let terms = BTreeSet::from(["adjuvant", "pass-spacing", "wetted-width"].map(str::to_owned));
    let other_words = [("sticker".to_owned(), "adjuvant".to_owned())].into();
    let (none, attachments) = (BTreeSet::new(), BTreeSet::from(["attachments/label.pdf".to_owned()]));
    let known_lessons = course.lesson_names.iter().cloned().collect();
    let context = Context {
        lessons: &course.lesson_names,
        known_lessons: &known_lessons,
        banks: &course.bank_names,
        cautions: &cautions,
        own_cautions: &none,
        terms: &terms,
        other_words: &other_words,
        drafts: &none,
        attachments: &attachments,
        images: &course.images,
        to_root: "../",
    };
    let text = |lesson: &tankside::load::Lesson| (lesson.stem.clone(), lesson.source.clone(), lesson.body_start);
    let texts = course.lessons.iter().map(text);
    let bodies = texts
        .map(|(stem, source, start)| markdown::render(Text { stem: &stem, source: &source, start }, &context, problems))
        .collect();
    problems.find_near(|among| context.names(among));
    bodies
}

/// The body with each insert named in double braces.
fn shown(body: &Body) -> String {
    let mut out = String::new();
    body.fill(&mut out, |insert, out| {
        let written = match insert {
            Insert::WorkedExample(example) => {
                let given = example.given.as_ref().map(given).unwrap_or_default();
                let units = example.units.map(|units| format!(" in {units:?}")).unwrap_or_default();
                let title = example.title.as_ref().map(|title| format!(" titled {title:?}")).unwrap_or_default();
                let show = example.show.map(|show| format!(" showing {show:?}")).unwrap_or_default();
                let first =
                    example.first.iter().flatten().map(|first| first.name.as_str()).collect::<Vec<_>>().join(", ");
                let first = if first.is_empty() { first } else { format!(" with {first} first") };
                let large =
                    example.large.as_ref().map_or_else(String::new, |large| format!(" and {} large", large.name));
                let (name, id) = (&example.name, &example.calculator);
                writeln!(out, "{{{{worked-example {name}: {id}{units}{title}{show}{first}{large}{given}}}}}")
            }
            Insert::Caution(Caution::Stock { id, .. }) => writeln!(out, "{{{{caution {id}}}}}"),
            Insert::Caution(Caution::Own { level, body, .. }) => {
                write!(out, "{{{{caution {level:?}:\n{}}}}}\n", shown(body))
            }
            Insert::Questions(questions) => {
                let ask = questions.ask.map(|ask| format!(", {ask} of them")).unwrap_or_default();
                let pass = questions.pass.as_ref().map(|pass| format!(", pass {pass}")).unwrap_or_default();
                let also: String = (questions.banks().skip(1))
                    .map(|(bank, ask)| {
                        format!(", and {} of {bank}", ask.map_or("all".to_owned(), |ask| ask.to_string()))
                    })
                    .collect();
                writeln!(out, "{{{{questions {}{ask}{also}{pass}}}}}", questions.bank)
            }
            Insert::Figure(figure) => {
                let (FigureOf::Result(name) | FigureOf::Input(name)) = &figure.of;
                let kind = if matches!(figure.of, FigureOf::Input(_)) { "input" } else { "result" };
                let lesson = figure.lesson.as_ref().map(|lesson| format!("{lesson}.")).unwrap_or_default();
                let unit = figure.unit.as_ref().map(|unit| format!(" in {unit}")).unwrap_or_default();
                write!(out, "{{{{{kind} {name} of {lesson}{}{unit}}}}}", figure.example)
            }
            Insert::Phrase(phrase) => write!(out, "{{{{phrase {} {}}}}}", phrase.key, phrase.number),
        };
        written.expect("writing to a string does not fail");
    });
    out
}

fn given(node: &Node) -> String {
    let pairs = node.flat().into_iter().map(|(name, node)| format!("; {name} = {}", node.text().unwrap_or_default()));
    pairs.collect()
}

fn spec_files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/specs");
    let entries = fs::read_dir(folder).expect("the folder of the specs is in the tree");
    let mut files: Vec<PathBuf> = entries
        .map(|entry| entry.expect("a readable entry").path())
        .filter(|path| path.extension().is_some_and(|suffix| suffix == "md"))
        .collect();
    files.sort();
    files
}

/// The examples of a file: the inputs of each, then its outputs.
fn examples<'f>(fences: &'f [Fence], file: &Path) -> Vec<(Vec<&'f Fence>, Vec<&'f Fence>)> {
    let (mut all, mut at) = (Vec::new(), 0);
    while at < fences.len() {
        let inputs: Vec<&Fence> = fences[at..].iter().take_while(|fence| !is_output(fence)).collect();
        let outputs: Vec<&Fence> = fences[at + inputs.len()..].iter().take_while(|fence| is_output(fence)).collect();
        let line = fences[at].first_line;
        assert!(
            !inputs.is_empty() && !outputs.is_empty(),
            "{}:{line}: an example has inputs and then outputs",
            file.display()
        );
        at += inputs.len() + outputs.len();
        all.push((inputs, outputs));
    }
    all
}

/// Runs the examples of a file; gives back how many there are, how many are mistakes, and the differences.
fn run(file: &Path, update: bool, failures: &mut Vec<String>) -> (usize, usize) {
    let text = fs::read_to_string(file).expect("a spec is UTF-8");
    let fences = fences(&text, file);
    let mut replaced: Vec<(usize, usize, String)> = Vec::new();
    let (mut count, mut mistakes) = (0, 0);
    for (inputs, outputs) in examples(&fences, file) {
        let line = inputs[0].first_line;
        count += 1;
        let outcome = outcome(&inputs);
        if outputs.iter().any(|fence| fence.info != "html") {
            mistakes += 1;
        } else if !outcome.problems.is_empty() {
            failures.push(format!("{}:{line}: problems that are not expected:\n{}", file.display(), outcome.problems));
        }
        for output in outputs {
            let found = match output.info.as_str() {
                "html" => &outcome.html,
                "problems" => &outcome.problems,
                "proof" => &outcome.proof,
                _ => &outcome.resolved,
            };
            if *found != output.text && !update {
                let expected = &output.text;
                failures.push(format!(
                    "{}:{line}: expected {}\n{expected}\nfound\n{found}",
                    file.display(),
                    output.info
                ));
            }
            replaced.push((output.first_line, output.end_line, found.clone()));
        }
    }
    if update {
        let lines: Vec<&str> = text.split_inclusive('\n').collect();
        let (mut out, mut copied) = (String::new(), 0);
        for (first, end, found) in replaced {
            out.push_str(&lines[copied..first].concat());
            out.push_str(&found);
            copied = end;
        }
        out.push_str(&lines[copied..].concat());
        fs::write(file, out).expect("the specs can be written");
    }
    (count, mistakes)
}

fn is_output(fence: &Fence) -> bool {
    matches!(fence.info.as_str(), "html" | "problems" | "resolved" | "proof")
}

#[test]
fn every_example_of_the_specs_comes_out_as_written() {
    let update = std::env::var_os("UPDATE_SPECS").is_some_and(|value| value == "1");
    let mut failures = Vec::new();
    let (mut examples, mut mistakes) = (0, 0);
    for file in spec_files() {
        let (more, wrong) = run(&file, update, &mut failures);
        assert!(more > 0, "{}: no example", file.display());
        examples += more;
        mistakes += wrong;
    }
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
    assert!(mistakes * 3 >= examples, "only {mistakes} of {examples} examples are mistakes; a third is wanted");
}
