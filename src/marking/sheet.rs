//! Printed quizzes: copies that each have their own numbers, and the key with its steps.

use super::paper::{digests, draws, letter, stamp};
use super::rows::safe;
use super::table::{self, COLUMNS, DATE};
use crate::course::{Course, ReadyBank};
use crate::embedded::{TEMPLATES, text};
use crate::progress::Progress;
use serde::Serialize;
use std::collections::BTreeMap;
use tankside_calc::doors::question::key;
use tankside_calc::page::parts::labels;
use tankside_calc::question::template::{Posed, TemplateFault};
use tankside_calc::question::{Ask, Question};
use tankside_calc::text::escape::quantities;
use tera::{Context, Tera};

#[derive(Serialize)]
struct Copy {
    head: String,
    questions: Vec<Printed>,
}

#[derive(Serialize)]
struct Printed {
    number: usize,
    text: String,
    choices: Vec<Choice>,
    /// In a key: the letters that are right.
    letters: String,
    parts: Vec<String>,
    hint: String,
    answer: String,
}

#[derive(Serialize)]
struct Choice {
    letter: char,
    text: String,
    /// In a key: whether its letter is part of the answer, and why or why not.
    right: bool,
    because: String,
}

/// The files of a sheet, by name.
#[derive(Debug)]
pub struct SheetFiles {
    /// Copies to hand out.
    pub copies: String,
    /// The key.
    pub key: String,
    /// A table to type answers into: one row per copy.
    pub answers: Vec<u8>,
}

/// Makes `count` copies of a bank's questions.
///
/// # Errors
/// A question that cannot be asked, or a template that cannot be used.
pub fn sheet(
    course: &Course,
    bank: &ReadyBank,
    number: u32,
    count: u32,
    progress: &Progress,
) -> Result<SheetFiles, String> {
    // Once for the copies and once for the key.
    progress.expect(2 * count as usize);
    let page = |with_key: bool| -> Result<String, String> {
        let copies: Result<Vec<Copy>, String> =
            (1..=count).map(|copy| one(course, bank, number, copy, with_key).inspect(|_| progress.step())).collect();
        render(course, bank, number, &copies?, with_key)
    };
    Ok(SheetFiles { copies: page(false)?, key: page(true)?, answers: table(bank, number, count) })
}

fn fill(course: &Course, key: &str, values: &[(&str, &str)]) -> String {
    course.phrases.fill_with(key, values)
}

fn one(course: &Course, bank: &ReadyBank, number: u32, copy: u32, with_key: bool) -> Result<Copy, String> {
    let mut questions = Vec::new();
    for (index, (question, draw)) in bank.questions.iter().zip(draws(bank, number, copy)).enumerate() {
        questions.push(
            printed(course, question, draw, index + 1, with_key)
                .map_err(|fault| format!("question `{}`: {}", question.id, fault.id()))?,
        );
    }
    let (stamp, copy) = (stamp(&bank.id, &digests(bank), number, copy), copy.to_string());
    Ok(Copy { head: fill(course, "desk.sheet-copy", &[("copy", &copy), ("stamp", &stamp)]), questions })
}

fn printed(
    course: &Course,
    question: &Question,
    draw: u32,
    number: usize,
    with_key: bool,
) -> Result<Printed, TemplateFault> {
    let phrases = &course.phrases;
    let posed: Option<Posed> = match question.kind {
        Ask::Number => Some(question.draw(draw)?),
        _ => None,
    };
    let asked = posed.as_ref().map_or_else(|| question.text.clone(), |posed| question.text_for(posed, phrases));
    let parts = match question.parts.as_slice() {
        [] => Vec::new(),
        _ => labels(question, &question.draw_parts(draw)?, phrases),
    };
    let parts = parts.iter().map(|label| quantities(label)).collect();
    let dealt = question.dealt(draw);
    let places: Vec<usize> = match question.kind {
        // A key has them in the order that is right.
        Ask::Order if with_key => in_order(&dealt),
        _ => (0..dealt.len()).collect(),
    };
    let choice = |place: usize| {
        let option = &question.options[dealt[place]];
        let (text, because) =
            (quantities(&option.text), if with_key { quantities(&option.because) } else { String::new() });
        Choice {
            letter: letter(place),
            text,
            right: with_key && (question.kind == Ask::Order || option.right),
            because,
        }
    };
    let choices: Vec<Choice> = places.into_iter().map(choice).collect();
    let hint = match question.kind {
        Ask::Order => phrases.get("desk.sheet-order").to_owned(),
        Ask::Several => phrases.get("desk.sheet-several").to_owned(),
        _ if question.points() > 1 => phrases.get("score.parts-rule").to_owned(),
        _ => String::new(),
    };
    let mut answer = String::new();
    if with_key {
        answer = match question.kind {
            Ask::Number => key(question, draw, phrases)?,
            _ => quantities(&question.because),
        };
    }
    let letters = if with_key { right_letters(question, draw) } else { String::new() };
    Ok(Printed { number, text: quantities(&asked), choices, letters, parts, hint, answer })
}

/// The places of dealt options in the order in which their author wrote them.
fn in_order(dealt: &[usize]) -> Vec<usize> {
    (0..dealt.len()).filter_map(|index| dealt.iter().position(|dealt| *dealt == index)).collect()
}

/// The letters that are right on this copy, in the order in which they are written.
pub fn right_letters(question: &Question, draw: u32) -> String {
    let dealt = question.dealt(draw);
    match question.kind {
        Ask::Number => String::new(),
        Ask::Order => in_order(&dealt).into_iter().map(letter).collect(),
        Ask::One | Ask::Several => {
            let right = dealt.iter().enumerate().filter(|(_, index)| question.options[**index].right);
            right.map(|(place, _)| letter(place)).collect()
        }
    }
}

fn render(course: &Course, bank: &ReadyBank, number: u32, copies: &[Copy], key: bool) -> Result<String, String> {
    let mut tera = Tera::default();
    tera.add_raw_templates(vec![("desk/sheet.html", text(&TEMPLATES, "desk/sheet.html"))])
        .map_err(|fault| fault.to_string())?;
    let words: BTreeMap<&str, &str> = course.phrases.iter().filter(|(key, _)| key.starts_with("desk.")).collect();
    let title = if key { "desk.key-title" } else { "desk.sheet-title" };
    let mut context = Context::new();
    context.insert("language", &course.settings.language);
    context.insert("company", &course.settings.company);
    context.insert("title", &fill(course, title, &[("quiz", &bank.title), ("sheet", &number.to_string())]));
    context.insert("about", &key.then(|| course.phrases.get("desk.key-about")));
    context.insert("words", &words);
    context.insert("copies", copies);
    context.insert("key", &key);
    tera.render("desk/sheet.html", &context).map_err(|fault| fault.to_string())
}

/// A table with a row for each copy, to type answers into.
fn table(bank: &ReadyBank, number: u32, count: u32) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let head = COLUMNS
        .iter()
        .chain([&DATE])
        .map(ToString::to_string)
        .chain((1..=bank.questions.len()).map(|index| index.to_string()));
    let mut written = writer.write_record(head);
    let digests = digests(bank);
    for copy in 1..=count {
        let stamp = stamp(&bank.id, &digests, number, copy);
        let row =
            [safe(&bank.id).into_owned(), number.to_string(), copy.to_string(), stamp, String::new(), String::new()];
        let empty = (0..bank.questions.len()).map(|_| String::new());
        written = written.and_then(|()| writer.write_record(row.into_iter().chain(empty)));
    }
    written.ok().and_then(|()| writer.into_inner().ok()).unwrap_or_default()
}

/// Whether a table, as it was found where another would be written, holds what somebody typed.
pub fn is_filled(bytes: &[u8]) -> bool {
    let read = table::read(bytes);
    !matches!(read, Ok((rows, faults)) if faults.is_empty() && rows.iter().all(table::AnswerRow::is_unused))
}
