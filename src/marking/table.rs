//! Tables of answers that were typed from paper, as CSV (RFC 4180): their rows, and what is wrong with others.

use super::paper::MOST_COPIES;
use super::unread::column_letters;
use std::fmt;

/// The longest cell, bytes.
const LONGEST_CELL: usize = 400;
/// The columns before those of the questions.
pub const COLUMNS: [&str; 5] = ["quiz", "sheet", "copy", "stamp", "name"];

/// A column that may follow them: the day of the quiz.
pub const DATE: &str = "date";

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
                "the column “{name}” is missing; the first row is {} and then 1,2,3 for the questions, as in the \
                 answers.csv that `tankside sheet` writes",
                COLUMNS.join(",")
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
    /// The letters printed beside the copy's number.
    pub stamp: String,
    /// Who answered.
    pub name: String,
    /// The day, as typed; empty where none is.
    pub date: String,
    /// The answers in the order of the questions.
    pub answers: Vec<String>,
    /// The column of the first answer, counted from 0.
    pub first: usize,
    /// The line in the file.
    pub line: u64,
}

impl AnswerRow {
    /// Whether it is a copy that was left over: nobody's, with nothing in it.
    pub(super) fn is_unused(&self) -> bool {
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
    let dated = head.get(COLUMNS.len()).is_some_and(|found| found.eq_ignore_ascii_case(DATE));
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    let mut lines = Lines { bytes, at: 0, line: 1 };
    let open = open_quote(bytes, delimiter);
    let mut record = csv::StringRecord::new();
    while reader.read_record(&mut record).map_err(fault)? {
        if record.iter().all(str::is_empty) {
            continue;
        }
        if open.is_some_and(|open| reader.position().byte() > open as u64) {
            let (line, column) = cell_at(&bytes[..open.unwrap_or_default()], delimiter);
            let why = format!(
                "a quotation mark opens in column {} and is never closed, so all rows from here on are one cell; delete it",
                column_letters(column)
            );
            faults.push(PaperFault::Row(line, why));
            break;
        }
        match row(&record, lines.of(&record), dated) {
            Ok(row) => rows.push(row),
            Err(fault) => faults.push(fault),
        }
    }
    Ok((rows, faults))
}

/// The place of a quotation mark that opens a cell and is never closed: everything after it is that cell.
fn open_quote(bytes: &[u8], delimiter: u8) -> Option<usize> {
    let (mut begins, mut open) = (true, None);
    let mut places = bytes.iter().enumerate().peekable();
    while let Some((place, byte)) = places.next() {
        if open.is_some() {
            // A mark that is doubled is one in the text.
            if *byte == b'"' && places.next_if(|(_, next)| **next == b'"').is_none() {
                open = None;
            }
        } else if begins && *byte == b'"' {
            open = Some(place);
        }
        begins = open.is_none() && (*byte == delimiter || *byte == b'\n' || *byte == b'\r');
    }
    open
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

fn row(record: &csv::StringRecord, line: u64, dated: bool) -> Result<AnswerRow, PaperFault> {
    let cell = |index: usize| record.get(index).unwrap_or_default();
    if record.iter().any(|cell| cell.len() > LONGEST_CELL) {
        return Err(PaperFault::Row(line, "a cell is longer than any answer".to_owned()));
    }
    let number = |index: usize, what: &str| {
        cell(index).parse().map_err(|_| PaperFault::Row(line, format!("“{}” is not a {what}", cell(index))))
    };
    let copy: u32 = number(2, "copy number")?;
    if !(1..=MOST_COPIES).contains(&copy) {
        return Err(PaperFault::Row(line, format!("there is no copy {copy}")));
    }
    let first = COLUMNS.len() + usize::from(dated);
    Ok(AnswerRow {
        quiz: cell(0).to_owned(),
        sheet: number(1, "sheet number")?,
        copy,
        stamp: cell(3).to_owned(),
        // A name in a cell of two lines is one name.
        name: cell(4).split_whitespace().collect::<Vec<_>>().join(" "),
        date: if dated { cell(COLUMNS.len()).to_owned() } else { String::new() },
        answers: record.iter().skip(first).map(str::to_owned).collect(),
        first,
        line,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_is_read_with_commas_or_semicolons_and_with_a_mark_in_front() {
        let one = read(b"\xef\xbb\xbfquiz,sheet,copy,stamp,name,1,2\r\nfirst,7,3,BCDF,Ada,\"2.5 gal\",B\r\n\r\n")
            .expect("a table")
            .0;
        let other = read(b"Quiz;Sheet;Copy;Stamp;Name;1;2\nfirst;7;3;BCDF;Ada;2.5 gal;B\n").expect("a table").0;
        let same = |rows: &[AnswerRow]| rows.iter().map(|row| (row.copy, row.answers.clone())).collect::<Vec<_>>();
        assert_eq!(same(&one), same(&other));
        assert_eq!((one[0].copy, one[0].answers.as_slice()), (3, &["2.5 gal".to_owned(), "B".to_owned()][..]));
    }

    #[test]
    fn what_is_wrong_with_a_table_is_reported_by_line() {
        assert_eq!(read(b"name,1,2\n"), Err(PaperFault::Column("quiz".to_owned())));
        let two_lines = read(b"quiz,sheet,copy,stamp,name,1\nq,1,1,B,\"Ada\r\n of the north\",2\nq,1,2,C,Bo,3\n")
            .expect("a table")
            .0;
        assert_eq!((two_lines[0].name.as_str(), two_lines[1].line), ("Ada of the north", 4));
        // A row that cannot be used does not affect the next one.
        let row = |text: &str| {
            let (rows, faults) =
                read(format!("quiz,sheet,copy,stamp,name,1\n{text}\nq,1,1,B,Bo,3\n").as_bytes()).expect("a table");
            assert_eq!(rows.iter().map(|row| row.name.as_str()).collect::<Vec<_>>(), ["Bo"]);
            faults
        };
        assert_eq!(row("q,1,x,B,Ada,2"), [PaperFault::Row(2, "“x” is not a copy number".to_owned())]);
        assert_eq!(row("q,1,0,B,Ada,2"), [PaperFault::Row(2, "there is no copy 0".to_owned())]);
        assert!(matches!(row(&format!("q,1,1,B,Ada,{}", "9".repeat(900)))[..], [PaperFault::Row(2, _)]));
        // A mark that is never closed takes the rows after it with it, and says so; marks within a cell are text.
        let (rows, faults) =
            read(b"quiz,sheet,copy,stamp,name,1\nq,1,1,B,Bo,5\" 2\"\"\nq,1,2,C,\"Di\",\"3\nq,1,3,D,Ed,4\n")
                .expect("a table");
        assert_eq!(rows.iter().map(|row| row.name.as_str()).collect::<Vec<_>>(), ["Bo"]);
        assert!(matches!(&faults[..], [PaperFault::Row(3, why)] if why.contains("opens in column F")), "{faults:?}");
        let coded = |bytes: &[u8]| read(bytes).map(|_| ());
        assert_eq!(
            coded(b"quiz,sheet,copy,stamp,name,1\nq,1,1,B,Bo,2\nq,1,2,C,\"Di, a\",\xb2\n"),
            Err(PaperFault::Encoding(3, 5))
        );
        assert_eq!(coded(b"quiz,sheet,copy,stamp,name\nq,1,1,B,Pe\xf1a\n"), Err(PaperFault::Encoding(2, 4)));
        assert_eq!(coded(b"\xff\xfeq\0u\0"), Err(PaperFault::Encoding(1, 0)), "UTF-16");
    }
}
