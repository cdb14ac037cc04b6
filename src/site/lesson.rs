//! A lesson's body with its holes filled.

use super::fault::Fault;
use super::pages::Pages;
use super::placed::Blocks;
use super::quiz;
use super::teaching::Teaching;
use super::unbroken::unbroken;
use crate::catalogue::StockCaution;
use crate::course::{Course, Example, ReadyLesson, read_pass};
use crate::markdown::{Body, Caution, Insert, Level, Questions, Show};
use std::cell::Cell;
use tankside_calc::page::worked::{self as page, Options, section};
use tankside_calc::text::escape::{html, quantities};
use tankside_calc::words::phrases::Phrases;

/// The most room that a thread keeps for the body of its next lesson.
const MOST_ROOM: usize = 512 * 1024;

thread_local! {
    /// Where bodies are written, one after the other: memory that is new to the processor for each would cost more
    /// than a small body.
    static ROOM: Cell<String> = const { Cell::new(String::new()) };
}

/// What a lesson is filled from.
pub(super) struct Filling<'a> {
    pub(super) course: &'a Course,
    pub(super) pages: &'a Pages,
    pub(super) teaching: &'a Teaching<'a>,
    pub(super) blocks: &'a Blocks,
}

impl Filling<'_> {
    /// What `take` makes of one lesson's body, which is made from its HTML without the holes.
    ///
    /// # Errors
    /// A template or a question that cannot be rendered, or what `take` fails with.
    pub(super) fn body<R>(
        &self,
        lesson: &ReadyLesson,
        markup: &str,
        take: impl FnOnce(&str) -> Result<R, Fault>,
    ) -> Result<R, Fault> {
        if lesson.body.holes.is_empty() {
            return take(markup);
        }
        let mut out = ROOM.take();
        out.clear();
        let mut told = Vec::new();
        let filled = self.fill(lesson, &lesson.body, markup, &mut out, &mut told);
        rest_on(&told, &self.course.phrases, &mut out);
        let taken = filled.and_then(|()| take(&out));
        if out.capacity() <= MOST_ROOM {
            ROOM.set(out);
        }
        taken
    }

    /// `told` are the cautions that it shows, each once.
    fn fill<'a>(
        &'a self,
        lesson: &ReadyLesson,
        body: &Body,
        markup: &str,
        out: &mut String,
        told: &mut Vec<&'a StockCaution>,
    ) -> Result<(), Fault> {
        let phrases = &self.course.phrases;
        let (mut titled, mut fault) = (false, None);
        body.fill_in(markup, out, |insert, out| match insert {
            Insert::WorkedExample(written) => {
                if let Some(example) = lesson.examples.get(&written.name) {
                    titled = titled || out.contains("<h2");
                    out.push_str(&worked(example, if titled { 3 } else { 2 }, phrases));
                }
            }
            Insert::Caution(Caution::Stock { id, .. }) => {
                if let Some(caution) = self.course.cautions.get(id) {
                    stock(caution, phrases, out);
                    if told.iter().all(|other| !std::ptr::eq(*other, caution)) {
                        told.push(caution);
                    }
                }
            }
            Insert::Caution(Caution::Own { level, body, .. }) => {
                let level = match level {
                    Level::Danger => "danger",
                    Level::Warning => "warning",
                    Level::Notice => "notice",
                };
                open_caution(level, phrases, out);
                let mut inner = String::new();
                fault = self.fill(lesson, body, &body.html, &mut inner, told).err().or(fault.take());
                out.push_str(&unbroken(&inner));
                out.push_str("</div></aside>\n");
            }
            Insert::Questions(questions) => fault = self.bank(lesson, questions, out).err().or(fault.take()),
            Insert::Figure(figure) => {
                out.push_str(&format!("<span class=\"tk-number\">{}</span>", quantities(&figure.shown)));
            }
            Insert::Phrase(phrase) => {
                let number = |place: &str| (place == "number").then(|| phrase.number.to_string());
                out.push_str(&html(&phrases.fill(phrase.key, number)));
            }
        });
        fault.map_or(Ok(()), Err)
    }

    fn bank(&self, lesson: &ReadyLesson, written: &Questions, out: &mut String) -> Result<(), Fault> {
        let Some(bank) = self.course.banks.get(&written.bank) else { return Ok(()) };
        let (ask, pass) = (written.ask.map(|ask| ask as usize), written.pass.as_deref().and_then(read_pass));
        let others = written.banks().skip(1);
        let also: Vec<_> = others
            .filter_map(|(bank, ask)| Some((self.course.banks.get(bank)?, ask.map(|ask| ask as usize))))
            .collect();
        // A check that counts in a lesson without an example teaches nothing: each question names the lesson that does.
        let teaching = (written.counts && lesson.examples.is_empty()).then_some(self.teaching);
        let block = self.blocks.block(written, teaching.is_some(), || {
            let part = quiz::part(bank, ask, pass, written.counts, &also, teaching, &self.course.phrases)?;
            self.pages.quiz_part(&part)
        })?;
        out.push_str(&block);
        Ok(())
    }
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
        large: &example.large,
        unfolded: None,
        formed: false,
        brief: false,
    };
    section(example.calculator, &example.given, &options, phrases)
}

fn open_caution(level: &str, phrases: &Phrases, out: &mut String) {
    let word = html(phrases.get(&format!("severity.{level}")));
    out.push_str(&format!(
        "<aside class=\"tk-caution tk-caution--{level}\" role=\"note\"><strong class=\"tk-caution__word\">{word}</strong> <div class=\"tk-caution__text\">"
    ));
}

/// A stock caution or one of the course's own: what it says, and in small type where it applies.
fn stock(caution: &StockCaution, phrases: &Phrases, out: &mut String) {
    open_caution(&caution.severity, phrases, out);
    out.push_str(&format!("<p>{}</p></div>", unbroken(&caution.html())));
    let place = caution.jurisdiction.as_deref().map(str::trim).filter(|place| !place.is_empty());
    if let Some(place) = place {
        let said = phrases.fill_with("site.caution-where", &[("place", place)]);
        out.push_str(&format!("<p class=\"tk-caution__small\">{}</p>", quantities(&said)));
    }
    out.push_str("</aside>\n");
}

/// What the cautions of a lesson rest on: one fold at its end, so that none is long on a phone or costs a key to pass.
fn rest_on(cautions: &[&StockCaution], phrases: &Phrases, out: &mut String) {
    let mut rows = String::new();
    for caution in cautions {
        let sources: Vec<&str> =
            caution.sources.iter().map(|source| source.trim()).filter(|source| !source.is_empty()).collect();
        if !sources.is_empty() {
            let (said, sources) = (caution.html(), quantities(&sources.join("; ")));
            rows.push_str(&format!("<li>{} <cite>{sources}</cite></li>\n", unbroken(&said)));
        }
    }
    if !rows.is_empty() {
        let title = html(phrases.get("site.caution-sources"));
        out.push_str(&format!(
            "<details class=\"tk-fold tk-rest-on\"><summary class=\"tk-fold__title\">{title}</summary>\n<ul>\n{rows}</ul></details>\n"
        ));
    }
}
