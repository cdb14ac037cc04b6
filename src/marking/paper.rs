//! Quizzes on paper: which draw each copy has, and the answers that come back typed into a table.
//!
//! A sheet is named by its quiz and a number; quiz, number and copy give the draws, so that nothing else has to be
//! kept.

use super::record::{RecordedAnswer, Sitting, SittingKind};
use super::unread::column_letters;
use crate::course::{Course, ReadyBank};
use crate::problem::nearest;
use std::borrow::Cow;
use std::collections::HashMap;
use std::fmt;
use tankside_calc::question::{Ask, Question};

/// The longest cell, bytes.
const LONGEST_CELL: usize = 400;
/// The most copies of a sheet.
pub const MOST_COPIES: u32 = 500;
/// The columns before those of the questions.
pub const COLUMNS: [&str; 4] = ["quiz", "sheet", "copy", "name"];

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

/// A letter for a choice: A, B, …
pub fn letter(index: usize) -> char {
    char::from(b'A' + (index.min(25)) as u8)
}

/// What is wrong with a table of answers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PaperFault {
    /// Not a table.
    NotATable(String),
    /// Letters in another encoding than UTF-8: the line and the column, counted from 0, of the first.
    Encoding(u64, usize),
    /// A column is missing or has another name.
    Column(String),
    /// A row that cannot be used: its number in the file, and why.
    Row(u64, String),
}

impl fmt::Display for PaperFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PaperFault::NotATable(why) => write!(out, "cannot be read as CSV: {why}"),
            PaperFault::Encoding(line, column) => write!(
                out,
                "line {line}, column {}: there are letters that are not stored as UTF-8, so that a name would come out \
                 wrong; save the table in the spreadsheet as “CSV UTF-8”, and mark that file",
                column_letters(*column)
            ),
            PaperFault::Column(name) => write!(
                out,
                "the column “{name}” is missing; the first row is quiz,sheet,copy,name and then 1,2,3 for the questions"
            ),
            PaperFault::Row(line, why) => write!(out, "line {line}: {why}"),
        }
    }
}

/// One row of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AnswerRow {
    /// The quiz.
    pub quiz: String,
    /// The sheet's number.
    pub sheet: u32,
    /// The copy's number.
    pub copy: u32,
    /// Who answered.
    pub name: String,
    /// The answers in the order of the questions.
    pub answers: Vec<String>,
    /// The line in the file.
    pub line: u64,
}

impl AnswerRow {
    /// Whether it is a copy that was left over: nobody's, with nothing in it.
    fn is_unused(&self) -> bool {
        self.name.is_empty() && self.answers.iter().all(String::is_empty)
    }
}

/// Reads a table of answers: its rows, and what is wrong with those that cannot be used.
///
/// # Errors
/// Why the file is not a table of answers at all.
pub fn read(bytes: &[u8]) -> Result<(Vec<AnswerRow>, Vec<PaperFault>), PaperFault> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        return Err(PaperFault::Encoding(1, 0));
    }
    // A spreadsheet set to decimal commas writes semicolons.
    let first = bytes.split(|byte| *byte == b'\n').next().unwrap_or_default();
    let delimiter = if first.contains(&b';') && !first.contains(&b',') { b';' } else { b',' };
    let mut reader =
        csv::ReaderBuilder::new().delimiter(delimiter).flexible(true).trim(csv::Trim::All).from_reader(bytes);
    if let Err(fault) = std::str::from_utf8(bytes) {
        let (line, column) = cell_at(&bytes[..fault.valid_up_to()], delimiter);
        return Err(PaperFault::Encoding(line, column));
    }
    let fault = |fault: csv::Error| PaperFault::NotATable(fault.to_string());
    let head = reader.headers().map_err(fault)?.clone();
    for (index, name) in COLUMNS.iter().enumerate() {
        if head.get(index).is_none_or(|found| !found.eq_ignore_ascii_case(name)) {
            return Err(PaperFault::Column((*name).to_owned()));
        }
    }
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    let mut lines = Lines { bytes, at: 0, line: 1 };
    for record in reader.records() {
        let record = record.map_err(fault)?;
        if record.iter().all(str::is_empty) {
            continue;
        }
        match row(&record, lines.of(&record)) {
            Ok(row) => rows.push(row),
            Err(fault) => faults.push(fault),
        }
    }
    Ok((rows, faults))
}

/// The line and the column, counted from 0, that follow these bytes of a table.
fn cell_at(before: &[u8], delimiter: u8) -> (u64, usize) {
    let (mut line, mut column, mut quoted) = (1, 0, false);
    for byte in before {
        line += u64::from(*byte == b'\n');
        match byte {
            b'"' => quoted = !quoted,
            b'\n' if !quoted => column = 0,
            other if *other == delimiter && !quoted => column += 1,
            _ => {}
        }
    }
    (line, column)
}

/// Lines counted up to a place in a table. The reader's own count is one short after a carriage return.
struct Lines<'a> {
    bytes: &'a [u8],
    at: usize,
    line: u64,
}

impl Lines<'_> {
    /// The line that a record begins in; records come in order.
    fn of(&mut self, record: &csv::StringRecord) -> u64 {
        let start = record.position().map_or(0, |place| usize::try_from(place.byte()).unwrap_or(usize::MAX));
        let start = start.clamp(self.at, self.bytes.len());
        let blank = self.bytes[start..].iter().take_while(|byte| byte.is_ascii_whitespace()).count();
        let passed = &self.bytes[self.at..start + blank];
        self.line += passed.iter().filter(|byte| **byte == b'\n').count() as u64;
        self.at = start + blank;
        self.line
    }
}

fn row(record: &csv::StringRecord, line: u64) -> Result<AnswerRow, PaperFault> {
    let cell = |index: usize| record.get(index).unwrap_or_default();
    if record.iter().any(|cell| cell.len() > LONGEST_CELL) {
        return Err(PaperFault::Row(line, "a cell is longer than any answer".to_owned()));
    }
    let number = |index: usize, what: &str| {
        cell(index).parse().map_err(|_| PaperFault::Row(line, format!("“{}” is no {what}", cell(index))))
    };
    let copy: u32 = number(2, "number of a copy")?;
    if !(1..=MOST_COPIES).contains(&copy) {
        return Err(PaperFault::Row(line, format!("there is no copy {copy}")));
    }
    Ok(AnswerRow {
        quiz: cell(0).to_owned(),
        sheet: number(1, "number of a sheet")?,
        copy,
        // A name in a cell of two lines is one name.
        name: cell(3).split_whitespace().collect::<Vec<_>>().join(" "),
        answers: record.iter().skip(COLUMNS.len()).map(str::to_owned).collect(),
        line,
    })
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
                let digests = digests.or_insert_with(|| bank.questions.iter().map(Question::digest).collect());
                take(row, &sitting(row, bank, digests));
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_is_read_with_commas_or_semicolons_and_with_a_mark_in_front() {
        let one =
            read(b"\xef\xbb\xbfquiz,sheet,copy,name,1,2\r\nfirst,7,3,Ada,\"2.5 gal\",B\r\n\r\n").expect("a table").0;
        let other = read(b"Quiz;Sheet;Copy;Name;1;2\nfirst;7;3;Ada;2.5 gal;B\n").expect("a table").0;
        let same = |rows: &[AnswerRow]| rows.iter().map(|row| (row.copy, row.answers.clone())).collect::<Vec<_>>();
        assert_eq!(same(&one), same(&other));
        assert_eq!((one[0].copy, one[0].answers.as_slice()), (3, &["2.5 gal".to_owned(), "B".to_owned()][..]));
    }

    #[test]
    fn what_is_wrong_with_a_table_is_reported_by_line() {
        assert_eq!(read(b"name,1,2\n"), Err(PaperFault::Column("quiz".to_owned())));
        let two_lines =
            read(b"quiz,sheet,copy,name,1\nq,1,1,\"Ada\r\n of the north\",2\nq,1,2,Bo,3\n").expect("a table").0;
        assert_eq!((two_lines[0].name.as_str(), two_lines[1].line), ("Ada of the north", 4));
        // A row that cannot be used does not affect the next one.
        let row = |text: &str| {
            let (rows, faults) =
                read(format!("quiz,sheet,copy,name,1\n{text}\nq,1,1,Bo,3\n").as_bytes()).expect("a table");
            assert_eq!(rows.iter().map(|row| row.name.as_str()).collect::<Vec<_>>(), ["Bo"]);
            faults
        };
        assert_eq!(row("q,1,x,Ada,2"), [PaperFault::Row(2, "“x” is no number of a copy".to_owned())]);
        assert_eq!(row("q,1,0,Ada,2"), [PaperFault::Row(2, "there is no copy 0".to_owned())]);
        assert!(matches!(row(&format!("q,1,1,Ada,{}", "9".repeat(900)))[..], [PaperFault::Row(2, _)]));
        let coded = |bytes: &[u8]| read(bytes).map(|_| ());
        assert_eq!(
            coded(b"quiz,sheet,copy,name,1\nq,1,1,Bo,2\nq,1,2,\"Di, a\",\xb2\n"),
            Err(PaperFault::Encoding(3, 4))
        );
        assert_eq!(coded(b"quiz,sheet,copy,name\nq,1,1,Pe\xf1a\n"), Err(PaperFault::Encoding(2, 3)));
        assert_eq!(coded(b"\xff\xfeq\0u\0"), Err(PaperFault::Encoding(1, 0)), "UTF-16");
    }
}
