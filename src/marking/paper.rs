//! Quizzes on paper: which draw each copy has, and the answers that come back typed into a table.
//!
//! A sheet is named by its quiz and a number; quiz, number and copy give the draws, so that nothing else has to be
//! kept. A stamp on every copy shows whether they belong together.

use super::paper_fault::PaperFault;
use super::recorded::{RecordedAnswer, Sitting, SittingKind};
use super::table::{AnswerRow, read};
use crate::course::{Course, ReadyBank};
use crate::problem::nearest;
use jiff::Timestamp;
use jiff::civil::Date;
use std::borrow::Cow;
use std::collections::HashMap;
use tankside_calc::question::{Ask, Question};
use tankside_calc::text::fixed_hash;
use tankside_calc::working::record::System;

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
    bank.digests.clone()
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
    now: Timestamp,
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
                    Ok(()) => match handed_in(&row.date, course.system(), now) {
                        Ok(ended) => take(row, &sitting(row, bank, digests, course, ended)),
                        Err(why) => faults.push(PaperFault::Row(row.line, why)),
                    },
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
        let (last, questions) = (row.answers.len(), bank.questions.len());
        let why = format!(
            "there is an answer to question {last}, and the quiz has {questions}; look at the name of the quiz, and at the page"
        );
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

/// What a sitting on paper says of its end where nobody wrote the day.
const UNDATED: &str = "paper";

/// When a copy was handed in, at the end of the day typed. A spreadsheet may have turned the day into its own form.
fn handed_in(typed: &str, system: System, now: Timestamp) -> Result<String, String> {
    if typed.is_empty() {
        return Ok(UNDATED.to_owned());
    }
    let day = day(typed, system)
        .ok_or_else(|| format!("“{typed}” is not a date; write it as 2026-04-14, or leave it empty"))?;
    let today: Option<Date> = now.to_string().get(..10).and_then(|today| today.parse().ok());
    // A day may have begun elsewhere.
    if today.and_then(|today| today.tomorrow().ok()).is_some_and(|tomorrow| day > tomorrow) {
        return Err(format!("dated in the future ({day}); write the day of the quiz, or leave it empty"));
    }
    Ok(format!("{day}T23:59:59Z"))
}

/// `2026-04-14`; `4/14/2026` as US spreadsheets write it; `14.4.2026` and elsewhere `14/4/2026`.
fn day(typed: &str, system: System) -> Option<Date> {
    let dotted = typed.contains('.');
    let parts: Vec<i16> = typed.split(['-', '/', '.']).map(|part| part.trim().parse().ok()).collect::<Option<_>>()?;
    let [a, b, c] = parts[..] else { return None };
    let (year, month, day) = if a > 31 {
        (a, b, c)
    } else if system == System::Us && !dotted && a <= 12 {
        (c, a, b)
    } else {
        (c, b, a)
    };
    let year = if (0..100).contains(&year) { 2000 + year } else { year };
    Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()
}

fn sitting<'r>(
    row: &'r AnswerRow,
    bank: &'r ReadyBank,
    digests: &'r [String],
    course: &Course,
    ended: String,
) -> Sitting<'r> {
    // A decimal comma is the only thing that a comma can be which groups nothing.
    let commas = row.semicolons && course.phrases.grouping() == ",";
    let draws = draws(bank, row.sheet, row.copy);
    let answers =
        bank.questions.iter().zip(digests).zip(draws).enumerate().map(|(index, ((question, digest), draw))| {
            let typed = row.answers.get(index).map_or("", String::as_str);
            RecordedAnswer {
                part: "".into(),
                question: question.id.as_str().into(),
                digest: digest.as_str().into(),
                draw,
                answer: if commas { pointed(question, draw, typed) } else { as_recorded(question, draw, typed) },
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
        ended: ended.into(),
        id: format!("{}-{}-{}", row.quiz, row.sheet, row.copy).into(),
    }
}

/// Letters of a choice as a record holds them: numbers of the options in the order in which the author wrote them. A
/// cell that holds anything but letters of this question, each once, is kept as it is after a mark, and is not read.
fn as_recorded<'r>(question: &Question, draw: u32, typed: &'r str) -> Cow<'r, str> {
    if question.kind == Ask::Number || typed.is_empty() {
        return typed.into();
    }
    let chosen = chosen(&question.dealt(draw), typed);
    chosen.map_or_else(|| format!("{UNREADABLE}{typed}").into(), |chosen| chosen.join(",").into())
}

/// The same from a table of a spreadsheet that is set to decimal commas, in a course that writes decimal points: `2,06`
/// is 2.06, and 93,750 stays as it is printed.
fn pointed<'r>(question: &Question, draw: u32, typed: &'r str) -> Cow<'r, str> {
    if question.kind != Ask::Number {
        return as_recorded(question, draw, typed);
    }
    let numbers = typed.split_inclusive(|letter: char| !letter.is_ascii_digit() && !",.".contains(letter));
    let one = |number: &'r str| -> Cow<'r, str> {
        let digits = number.trim_end_matches(|letter: char| !letter.is_ascii_digit());
        match digits.split_once(',') {
            Some((_, after)) if after.len() != 3 && after.bytes().all(|byte| byte.is_ascii_digit()) => {
                number.replacen(',', ".", 1).into()
            }
            _ => number.into(),
        }
    };
    numbers.map(one).collect::<Vec<_>>().concat().into()
}

/// Stands in front of what was typed for a choice where no letters could be read.
pub(super) const UNREADABLE: char = '?';

fn chosen(order: &[usize], typed: &str) -> Option<Vec<String>> {
    let mut chosen: Vec<String> = Vec::new();
    for letter in typed.chars().filter(|letter| !letter.is_whitespace() && !",;.:/+&()[]-–>→\"'“”".contains(*letter))
    {
        let place = usize::from(u8::try_from(letter.to_ascii_uppercase()).ok()?.checked_sub(b'A')?);
        let option = order.get(place)?.to_string();
        if chosen.contains(&option) {
            return None;
        }
        chosen.push(option);
    }
    (!chosen.is_empty()).then_some(chosen)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::embedded::{CONTENT, DEMO};
    use crate::load::{Layered, Memory};

    #[test]
    fn a_decimal_comma_that_groups_nothing_is_a_point_and_a_grouping_comma_stays() {
        let resolved = crate::resolve(&Layered(vec![&Memory::of(&DEMO), &Memory::of(&CONTENT)]));
        let bank = &resolved.course().expect("the demo resolves").banks["first-week"];
        let of = |kind: Ask| bank.questions.iter().find(|question| question.kind == kind).expect("one");
        for (typed, read) in [
            ("2,06 gal/min", "2.06 gal/min"),
            ("93,750 ft2", "93,750 ft2"),
            ("1,25 gal 3,5 fl oz", "1.25 gal 3.5 fl oz"),
            ("2,5/1,25 gal", "2.5/1.25 gal"),
            ("0,5", "0.5"),
            ("1,250,5 ft", "1,250,5 ft"),
            (",5 gal", ".5 gal"),
            ("two, or so", "two, or so"),
            ("", ""),
        ] {
            assert_eq!(pointed(of(Ask::Number), 0, typed), read, "{typed}");
        }
        assert_eq!(pointed(of(Ask::One), 0, "A").parse::<usize>(), Ok(of(Ask::One).dealt(0)[0]));
    }

    #[test]
    fn a_day_is_read_as_people_and_spreadsheets_write_it() {
        let now: Timestamp = "2026-06-01T12:00:00Z".parse().expect("a time");
        let read = |typed: &str, system: System| handed_in(typed, system, now);
        for (typed, system) in [
            ("2026-04-14", System::Us),
            ("4/14/2026", System::Us),
            ("4/14/26", System::Us),
            ("14/4/2026", System::Us),
            ("14.4.2026", System::Us),
            ("14/4/2026", System::Metric),
        ] {
            assert_eq!(read(typed, system), Ok("2026-04-14T23:59:59Z".to_owned()), "{typed}");
        }
        assert_eq!(read("4/5/2026", System::Us), Ok("2026-04-05T23:59:59Z".to_owned()));
        assert_eq!(read("4/5/2026", System::Metric), Ok("2026-05-04T23:59:59Z".to_owned()));
        assert_eq!(read("", System::Us), Ok(UNDATED.to_owned()));
        assert_eq!(
            read("2026-07-01", System::Us),
            Err("dated in the future (2026-07-01); write the day of the quiz, or leave it empty".to_owned())
        );
        for typed in ["Monday", "2026-13-01", "31/2/2026", "4/14", "1/2/3/4", "-1/2/2026"] {
            assert!(read(typed, System::Us).is_err_and(|why| why.contains("2026-04-14")), "{typed}");
        }
    }
}
