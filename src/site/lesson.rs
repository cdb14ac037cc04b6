//! A lesson's body with its holes filled.

use super::pages::Pages;
use super::quiz;
use crate::catalogue::StockCaution;
use crate::course::{Example, ReadyBank, ReadyLesson, figure};
use crate::load::Lesson;
use crate::markdown::{Body, Caution, Figure, Level, Part, Questions};
use crate::problem::{Problem, Problems};
use std::collections::BTreeMap;
use tankside_calc::escape::{html, quantities};
use tankside_calc::fragment::{Options, section};
use tankside_calc::phrases::Phrases;

/// What the lessons of a course draw on.
pub(super) struct Shelf<'a> {
    pub(super) phrases: &'a Phrases,
    pub(super) cautions: &'a BTreeMap<String, StockCaution>,
    pub(super) banks: &'a BTreeMap<String, ReadyBank>,
    pub(super) lessons: &'a BTreeMap<String, &'a ReadyLesson>,
    pub(super) pages: &'a Pages,
}

/// Fills one lesson's body.
pub(super) fn filled(lesson: &Lesson, ready: &ReadyLesson, shelf: &Shelf, problems: &mut Problems) -> String {
    let mut out = String::with_capacity(ready.body.html.len() * 2);
    fill(lesson, ready, &ready.body, shelf, problems, &mut out);
    out
}

/// Whether a body holds anything that the core must answer for in the browser.
pub(super) fn needs_core(body: &Body) -> bool {
    body.holes.iter().any(|hole| matches!(hole.part, Part::WorkedExample(_) | Part::Questions(_)))
}

fn fill(lesson: &Lesson, ready: &ReadyLesson, body: &Body, shelf: &Shelf, problems: &mut Problems, out: &mut String) {
    let mut titled = false;
    body.fill(out, |part, out| match part {
        Part::WorkedExample(written) => {
            if let Some(example) = ready.examples.get(&written.name) {
                titled = titled || out.contains("<h2");
                out.push_str(&worked(example, if titled { 3 } else { 2 }, shelf.phrases));
            }
        }
        Part::Caution(Caution::Stock { id, .. }) => {
            if let Some(caution) = shelf.cautions.get(id) {
                stock(caution, shelf.phrases, out);
            }
        }
        Part::Caution(Caution::Own { level, body, .. }) => {
            let level = match level {
                Level::Danger => "danger",
                Level::Warning => "warning",
                Level::Notice => "notice",
            };
            open_caution(level, shelf.phrases, out);
            let mut inner = String::new();
            fill(lesson, ready, body, shelf, problems, &mut inner);
            out.push_str(&inner);
            out.push_str("</div></aside>\n");
        }
        Part::Questions(questions) => bank(lesson, questions, shelf, problems, out),
        Part::Figure(written) => number(lesson, ready, written, shelf, problems, out),
        Part::Phrase(phrase) => {
            out.push_str(&html(shelf.phrases.get(phrase.key)));
            if phrase.number > 0 {
                out.push(' ');
                out.push_str(&phrase.number.to_string());
            }
        }
    });
}

fn worked(example: &Example, level: u8, phrases: &Phrases) -> String {
    let options = Options { name: &example.name, title: &example.title, system: example.system, level };
    section(example.calculator, &example.given, &options, phrases)
}

fn open_caution(level: &str, phrases: &Phrases, out: &mut String) {
    let word = html(phrases.get(&format!("severity.{level}")));
    out.push_str(&format!(
        "<aside class=\"tk-caution tk-caution--{level}\" role=\"note\"><strong class=\"tk-caution__word\">{word}</strong> <div class=\"tk-caution__text\">"
    ));
}

fn stock(caution: &StockCaution, phrases: &Phrases, out: &mut String) {
    open_caution(&caution.severity, phrases, out);
    out.push_str(&format!("<p>{}</p></div></aside>\n", caution.html()));
}

fn bank(lesson: &Lesson, written: &Questions, shelf: &Shelf, problems: &mut Problems, out: &mut String) {
    let Some(ready) = shelf.banks.get(&written.bank) else { return };
    let pass = written.pass.as_deref().map(crate::course::read_pass);
    if pass == Some(None) {
        let title = "a share from above 0 to 100 % is expected for `pass`";
        let problem = Problem::error("pass-not-a-share", title, "").at(&lesson.source, written.place.clone());
        problems.push(problem.help("write `pass: 80 %`"));
    }
    let ask = written.ask.map(|ask| ask as usize);
    let there = ready.questions.len();
    if let Some(ask) = ask.filter(|ask| *ask > there) {
        let title = format!("{ask} questions are to be asked, and the bank `{}` has {there}", written.bank);
        let problem = Problem::error("asks-too-many", title, "").at(&lesson.source, written.ask_place.clone());
        problems.push(problem.help(format!("write `ask: {there}` or less, or leave the line out to ask them all")));
    }
    if ready.broken {
        return;
    }
    match quiz::part(ready, ask, pass.flatten(), shelf.phrases).and_then(|part| shelf.pages.quiz_part(&part)) {
        Ok(html) => out.push_str(&html),
        Err(fault) => {
            problems.push(Problem::error("questions-unusable", fault, "").at(&lesson.source, written.place.clone()))
        }
    }
}

fn number(
    lesson: &Lesson,
    ready: &ReadyLesson,
    written: &Figure,
    shelf: &Shelf,
    problems: &mut Problems,
    out: &mut String,
) {
    let home = match &written.lesson {
        None => Some(ready),
        Some(stem) => shelf.lessons.get(stem).copied(),
    };
    let found = home.and_then(|home| home.examples.get(&written.example));
    let made = match found {
        Some(example) => figure(written, example, shelf.phrases),
        None => {
            let known =
                home.map_or_else(Vec::new, |home| home.body.examples().map(|example| example.name.as_str()).collect());
            if known.contains(&written.example.as_str()) {
                return; // the example itself has a problem, which has been told
            }
            let problem = Problem::error(
                "figure-unknown",
                format!("there is no worked example called `{}`", written.example),
                "",
            );
            let offered = crate::problem::offer(&written.example, known.iter().copied());
            Err(problem.help(offered.unwrap_or_else(|| format!("the examples here are: {}", known.join(", ")))))
        }
    };
    match made {
        Ok(text) => out.push_str(&format!("<span class=\"tk-number\">{}</span>", quantities(&text))),
        Err(problem) => problems.push(problem.at(&lesson.source, written.place.clone())),
    }
}
