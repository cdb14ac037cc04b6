//! A lesson's body with its holes filled.

use super::pages::Pages;
use super::quiz;
use crate::catalogue::StockCaution;
use crate::course::{Example, ReadyBank, ReadyLesson, figure};
use crate::load::Lesson;
use crate::markdown::{Body, Caution, Figure, FigureOf, Level, Part, Questions, Show};
use crate::problem::{Problem, Problems, offer};
use std::collections::{BTreeMap, BTreeSet};
use tankside_calc::page::worked::{self as page, Options, section};
use tankside_calc::text::escape::{html, quantities};
use tankside_calc::words::phrases::Phrases;

/// What the lessons of a course draw on.
pub(super) struct Shelf<'a> {
    pub(super) phrases: &'a Phrases,
    pub(super) cautions: &'a BTreeMap<String, StockCaution>,
    pub(super) banks: &'a BTreeMap<String, ReadyBank>,
    pub(super) lessons: &'a BTreeMap<String, &'a ReadyLesson>,
    pub(super) pages: &'a Pages,
    /// Names of all lessons of the course, whether or not they could be read.
    pub(super) names: &'a BTreeSet<String>,
}

/// Fills one lesson's body.
pub(super) fn filled(lesson: &Lesson, ready: &ReadyLesson, shelf: &Shelf, problems: &mut Problems) -> String {
    let mut out = String::with_capacity(ready.body.html.len() * 2);
    fill(lesson, ready, &ready.body, shelf, problems, &mut out);
    out
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
    let options = Options {
        name: &example.name,
        title: &example.title,
        system: example.system,
        level,
        show: match example.show {
            Show::Sentence => page::Show::Sentence,
            Show::Steps => page::Show::Steps,
            Show::Everything => page::Show::Everything,
        },
        first: Some(&example.first),
        unfolded: None,
    };
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
    let made = match home.and_then(|home| home.examples.get(&written.example)) {
        Some(example) => figure(written, example, shelf.phrases),
        None => match unknown_example(lesson, home, written, shelf) {
            Some(problem) => Err(problem),
            None => return,
        },
    };
    match made {
        Ok(text) => out.push_str(&format!("<span class=\"tk-number\">{}</span>", quantities(&text))),
        Err(problem) => problems.push(problem.at(&lesson.source, written.place.clone())),
    }
}

/// What is told of a number whose example is not there; nothing where that follows from what has been told.
fn unknown_example(lesson: &Lesson, home: Option<&ReadyLesson>, written: &Figure, shelf: &Shelf) -> Option<Problem> {
    let name = written.example.as_str();
    let error = |title: String| Problem::error("figure-unknown", title, "");
    let Some(home) = home else {
        let stem = written.lesson.as_deref().unwrap_or_default();
        // A lesson that is there and not on the shelf could not be read.
        if shelf.names.contains(stem) {
            return None;
        }
        let mut problem = error(format!("there is no lesson `{stem}.md` in this course"));
        problem.help = offer(stem, shelf.names.iter().map(String::as_str));
        return Some(problem);
    };
    // The block stands there and has a problem of its own.
    if home.body.outline.examples.contains(name) {
        return None;
    }
    let elsewhere = shelf.lessons.iter().filter(|(_, other)| other.body.outline.examples.contains(name));
    let elsewhere: Vec<&str> = elsewhere.map(|(stem, _)| stem.as_str()).collect();
    if let Some(first) = elsewhere.first() {
        let mut of = match &written.of {
            FigureOf::Result(result) => result.clone(),
            FigureOf::Input(input) => format!("input/{input}"),
        };
        if let Some(unit) = &written.unit {
            of.push_str(&format!("?in={}", unit.replace(' ', "_")));
        }
        let sought = written.lesson.as_deref().unwrap_or(&lesson.stem);
        let title = format!("the worked example `{name}` stands in the lesson `{first}`, not in `{sought}`");
        let written = elsewhere.iter().map(|stem| match *stem {
            // The lesson that was named is another one, and the example is here.
            stem if stem == lesson.stem => format!("`figure:{name}/{of}`"),
            stem => format!("`figure:{stem}.{name}/{of}`"),
        });
        return Some(error(title).help(format!("write {}", written.collect::<Vec<_>>().join(" or "))));
    }
    let help = offer(name, home.body.outline.examples.iter().map(String::as_str));
    let help = help.unwrap_or_else(|| "write a block `worked-example` with that name into the lesson".to_owned());
    Some(error(format!("there is no worked example called `{name}`")).help(help))
}
