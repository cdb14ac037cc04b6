//! Quizzes on paper: which draw each copy has, and the answers that come back typed into a table.
//!
//! A sheet is named by its quiz and a number; quiz, number and copy give the draws, so that nothing else has to be
//! kept. A stamp on every copy shows whether they belong together.

use super::record::{RecordedAnswer, Sitting, SittingKind};
use super::table::{AnswerRow, PaperFault, read};
use crate::course::{Course, ReadyBank};
use crate::problem::nearest;
use std::borrow::Cow;
use std::collections::HashMap;
use tankside_calc::question::{Ask, Question};
use tankside_calc::text::fixed_hash;

/// The most copies of a sheet.
pub const MOST_COPIES: u32 = 500;
/// The letters of a stamp: no vowel, so that a spreadsheet takes no stamp for a word, and none that is read as a digit.
const STAMP: &[u8] = b"BCDFGHJKMNPQRSTVWXZ";
/// How many of them a stamp has.
const STAMP_LENGTH: u32 = 4;

/// The draw of each question on a copy.
pub fn draws(bank: &ReadyBank, sheet: u32, copy: u32) -> Vec<u32> {
    bank.questions.iter().enumerate().map(|(index, question)| draw(question, sheet, copy, index)).collect()
}

/// One of the draws that are offered, so that people sitting next to each other have different numbers: copies take the
/// offered draws in turn, from a place that the sheet's number decides.
fn draw(question: &Question, sheet: u32, copy: u32, index: usize) -> u32 {
    let from = sheet.wrapping_mul(2_654_435_761).wrapping_add((index as u32).wrapping_mul(40_503));
    question.draw_at((from % 9973).wrapping_add(copy))
}

/// The digest of each question of a quiz.
pub fn digests(bank: &ReadyBank) -> Vec<String> {
    bank.questions.iter().map(Question::digest).collect()
}

/// Four letters that one copy of one sheet has: others for another copy, and others when a question of the quiz has
/// changed in what is asked or in its numbers. They show a copy that was never made, a number that was mistyped, and a
/// course that has changed since the copies were printed.
pub fn stamp(quiz: &str, digests: &[String], sheet: u32, copy: u32) -> String {
    let texts = digests.iter().flat_map(|digest| digest.bytes());
    let numbers = [sheet, copy].into_iter().flat_map(u32::to_be_bytes);
    let hash = fixed_hash::of(quiz.bytes().chain([0]).chain(texts).chain(numbers));
    // The last bytes reach the low bits only; one step of MurmurHash3's finalizer (A. Appleby, public domain) spreads
    // them, so that neighbors do not look alike.
    let hash = (hash ^ (hash >> 33)).wrapping_mul(0xff51_afd7_ed55_8ccd);
    let hash = (hash ^ (hash >> 33)) as usize;
    (0..STAMP_LENGTH).map(|place| char::from(STAMP[hash / STAMP.len().pow(place) % STAMP.len()])).collect()
}

/// A letter for a choice: A, B, …
pub fn letter(index: usize) -> char {
    char::from(b'A' + (index.min(25)) as u8)
}

/// Gives the sittings of a table one after another, the row and the answers to the draws that were on that copy, and
/// returns what is wrong with the rows that cannot be used; the other rows still count. A copy that nobody answered is
/// passed over.
///
/// # Errors
/// A table that cannot be read.
pub fn sittings(
    bytes: &[u8],
    course: &Course,
    mut take: impl FnMut(&AnswerRow, &Sitting),
) -> Result<Vec<PaperFault>, PaperFault> {
    let (rows, mut faults) = read(bytes)?;
    let mut digests: HashMap<&str, Vec<String>> = HashMap::new();
    for row in rows.iter().filter(|row| !row.is_unused()) {
        match bank_of(row, course) {
            Ok(bank) => {
                let digests = digests.entry(&row.quiz);
                let digests = digests.or_insert_with(|| self::digests(bank));
                match stamped(row, digests) {
                    Ok(()) => take(row, &sitting(row, bank, digests)),
                    Err(why) => faults.push(PaperFault::Row(row.line, why)),
                }
            }
            Err(fault) => faults.push(fault),
        }
    }
    Ok(faults)
}

fn bank_of<'c>(row: &AnswerRow, course: &'c Course) -> Result<&'c ReadyBank, PaperFault> {
    let Some(bank) = course.banks.get(&row.quiz) else {
        let near = nearest(&row.quiz, course.banks.keys().map(|id| &**id));
        let write = near.map_or_else(String::new, |id| format!("; write “{id}”"));
        return Err(PaperFault::Row(row.line, format!("the course has no quiz “{}”{write}", row.quiz)));
    };
    if row.name.is_empty() {
        return Err(PaperFault::Row(row.line, "whose answers are these? Write a name".to_owned()));
    }
    if row.answers.iter().all(String::is_empty) {
        let why = format!("no answers are typed for {}", row.name);
        return Err(PaperFault::Row(row.line, why));
    }
    if row.answers.len() > bank.questions.len() {
        let why = format!("answers: {}, questions: {}", row.answers.len(), bank.questions.len());
        return Err(PaperFault::Row(row.line, why));
    }
    Ok(bank)
}

/// Whether a row has the stamp of its copy; else what to look at.
fn stamped(row: &AnswerRow, digests: &[String]) -> Result<(), String> {
    let AnswerRow { sheet, copy, stamp: typed, .. } = row;
    let is_of = |copy: u32| stamp(&row.quiz, digests, *sheet, copy).eq_ignore_ascii_case(typed);
    if is_of(*copy) {
        return Ok(());
    }
    if typed.is_empty() {
        return Err(format!("the stamp is missing; write the four letters beside “Copy {copy}” on the page"));
    }
    Err(match (1..=MOST_COPIES).find(|other| is_of(*other)) {
        Some(other) => format!("copy {copy} does not have the stamp {typed}, copy {other} does; look at the page"),
        None => format!(
            "copy {copy} of sheet {sheet} does not have the stamp {typed}; compare quiz, sheet, copy and stamp with the \
             page. If they agree, the questions have changed since it was printed, and it can be marked only with the \
             course as it was"
        ),
    })
}

fn sitting<'r>(row: &'r AnswerRow, bank: &'r ReadyBank, digests: &'r [String]) -> Sitting<'r> {
    let draws = draws(bank, row.sheet, row.copy);
    let answers =
        bank.questions.iter().zip(digests).zip(draws).enumerate().map(|(index, ((question, digest), draw))| {
            let typed = row.answers.get(index).map_or("", String::as_str);
            RecordedAnswer {
                part: "".into(),
                question: question.id.as_str().into(),
                digest: digest.as_str().into(),
                draw,
                answer: as_recorded(question, draw, typed),
                at: "".into(),
                attempt: 1,
            }
        });
    Sitting {
        answers: answers.collect(),
        kind: SittingKind::Paper,
        name: row.quiz.as_str().into(),
        code: row.sheet.to_string().into(),
        begun: "".into(),
        // Handed in, at a time that is not on it.
        ended: "paper".into(),
        id: format!("{}-{}-{}", row.quiz, row.sheet, row.copy).into(),
    }
}

/// Letters of a choice as a record holds them: numbers of the options in the order in which the author wrote them. A
/// cell that holds anything but letters of this question, each once, is kept as it is, and cannot be marked.
fn as_recorded<'r>(question: &Question, draw: u32, typed: &'r str) -> Cow<'r, str> {
    if question.kind == Ask::Number || typed.is_empty() {
        return typed.into();
    }
    chosen(&question.dealt(draw), typed).map_or(UNREADABLE.into(), |chosen| chosen.join(",").into())
}

/// Stands for a choice in a record where no letters could be read.
const UNREADABLE: &str = "?";

fn chosen(order: &[usize], typed: &str) -> Option<Vec<String>> {
    let mut chosen: Vec<String> = Vec::new();
    for letter in typed.chars().filter(|letter| !letter.is_whitespace() && !",;.:/+&()[]-–>→".contains(*letter)) {
        let place = usize::from(u8::try_from(letter.to_ascii_uppercase()).ok()?.checked_sub(b'A')?);
        let option = order.get(place)?.to_string();
        if chosen.contains(&option) {
            return None;
        }
        chosen.push(option);
    }
    (!chosen.is_empty()).then_some(chosen)
}
