//! Tables of answers that were typed from paper, as CSV (RFC 4180): their rows, and what is wrong with others.

use super::cells::{Lines, before_head, cell_at, line_ends, open_quote};
use super::paper::MOST_COPIES;
use super::paper_fault::PaperFault;
use super::unread::column_letters;
use std::sync::Arc;

/// The most questions of a quiz that a table has columns for.
const MOST_QUESTIONS: usize = 1_000;
/// The longest cell, bytes.
const LONGEST_CELL: usize = 400;
/// The columns before those of the questions.
pub const COLUMNS: [&str; 5] = ["quiz", "sheet", "copy", "stamp", "name"];

/// A column that may follow them: the day of the quiz.
pub const DATE: &str = "date";

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
    /// The column of each answer, counted from 0.
    pub columns: Arc<[Option<usize>]>,
    /// Whether cells are apart by semicolons, as a spreadsheet set to decimal commas writes them.
    pub semicolons: bool,
    /// The line in the file.
    pub line: u64,
}

impl AnswerRow {
    /// Whether it is a copy that was left over: nobody's, with nothing in it.
    pub(super) fn is_unused(&self) -> bool {
        self.name.is_empty() && self.answers.iter().all(String::is_empty)
    }
}

/// Where the columns of a table are.
struct Columns {
    fixed: [usize; COLUMNS.len()],
    date: Option<usize>,
    answers: Arc<[Option<usize>]>,
    /// Whether a column has a name, so that what is in it has a meaning.
    named: Vec<bool>,
    semicolons: bool,
}

impl Columns {
    /// By their names, in whatever order: a spreadsheet moves them.
    fn of(head: &csv::StringRecord, semicolons: bool) -> Result<Columns, PaperFault> {
        let place = |name: &str| head.iter().position(|found| found.eq_ignore_ascii_case(name));
        let mut fixed = [0; COLUMNS.len()];
        for (into, name) in fixed.iter_mut().zip(COLUMNS) {
            *into = place(name).ok_or_else(|| PaperFault::Column(name.to_owned()))?;
        }
        let mut answers = Vec::new();
        for (column, name) in head.iter().enumerate() {
            let Some(number) = name.parse::<usize>().ok().filter(|number| (1..=MOST_QUESTIONS).contains(number)) else {
                continue;
            };
            answers.resize(answers.len().max(number), None);
            if answers[number - 1].replace(column).is_some() {
                return Err(PaperFault::Twice(name.to_owned()));
            }
        }
        let named = head.iter().map(|name| !name.is_empty()).collect();
        Ok(Columns { fixed, date: place(DATE), answers: answers.into(), named, semicolons })
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
    // Workbooks are archives.
    if bytes.starts_with(b"PK\x03\x04") {
        let why = "it is a spreadsheet's own file; save it in the spreadsheet as “CSV UTF-8”, and mark that file";
        return Err(PaperFault::NotATable(why.to_owned()));
    }
    let (blank, delimiter) = before_head(bytes);
    let (passed, bytes) = bytes.split_at(blank);
    let above = line_ends(passed);
    if bytes.is_empty() {
        return Err(PaperFault::NotATable("there is nothing in it".to_owned()));
    }
    let mut reader =
        csv::ReaderBuilder::new().delimiter(delimiter).flexible(true).trim(csv::Trim::All).from_reader(bytes);
    if let Err(fault) = std::str::from_utf8(bytes) {
        let (line, column) = cell_at(&bytes[..fault.valid_up_to()], delimiter);
        return Err(PaperFault::Encoding(above + line, column));
    }
    let fault = |fault: csv::Error| PaperFault::NotATable(fault.to_string());
    let columns = Columns::of(reader.headers().map_err(fault)?, delimiter == b';')?;
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    let mut lines = Lines { bytes, at: 0, line: above + 1 };
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
            faults.push(PaperFault::Row(above + line, why));
            break;
        }
        match row(&record, lines.of(&record), &columns) {
            Ok(row) => rows.push(row),
            Err(fault) => faults.push(fault),
        }
    }
    Ok((rows, faults))
}

fn row(record: &csv::StringRecord, line: u64, columns: &Columns) -> Result<AnswerRow, PaperFault> {
    let at = |column: usize| record.get(column).unwrap_or_default();
    let fault = |why: String| PaperFault::Row(line, why);
    if let Some(column) = record.iter().position(|cell| cell.len() > LONGEST_CELL) {
        let column = column_letters(column);
        return Err(fault(format!("column {column} is longer than any answer; type only what is on the sheet")));
    }
    let named = |column: usize| columns.named.get(column).copied().unwrap_or(false);
    if let Some(column) = (0..record.len()).find(|column| !named(*column) && !at(*column).is_empty()) {
        let (place, typed) = (column_letters(column), at(column));
        return Err(fault(format!(
            "column {place} has no number of a question above it, but “{typed}” in it; put an answer with a comma, such as \
             \"93,750 ft2\", in quotation marks"
        )));
    }
    let number = |index: usize, what: &str| -> Result<u32, PaperFault> {
        let typed = at(columns.fixed[index]);
        let whole = [".0", ",0"].iter().find_map(|end| typed.strip_suffix(end)).unwrap_or(typed);
        whole.parse().map_err(|_| {
            fault(match typed {
                "" => format!("the {what} number is missing; it is at the top of the page"),
                typed => {
                    format!("“{typed}” is not a {what} number; write the number at the top of the page, such as 3")
                }
            })
        })
    };
    let copy = number(2, "copy")?;
    if !(1..=MOST_COPIES).contains(&copy) {
        return Err(fault(format!("there is no copy {copy}; copies are 1 to {MOST_COPIES}. Look at the page")));
    }
    let answers = columns.answers.iter().map(|column| column.map_or("", |column| unquoted(at(column))).to_owned());
    let mut answers: Vec<String> = answers.collect();
    // Columns that a spreadsheet added at the end are no answers.
    answers.truncate(answers.len() - answers.iter().rev().take_while(|answer| answer.is_empty()).count());
    Ok(AnswerRow {
        quiz: at(columns.fixed[0]).to_owned(),
        sheet: number(1, "sheet")?,
        copy,
        stamp: at(columns.fixed[3]).to_owned(),
        // A name in a cell of two lines is one name.
        name: at(columns.fixed[4]).split_whitespace().collect::<Vec<_>>().join(" "),
        date: columns.date.map_or("", at).to_owned(),
        answers,
        columns: Arc::clone(&columns.answers),
        semicolons: columns.semicolons,
        line,
    })
}

/// An answer without quotation marks around the whole of it; none begins with an inch mark.
fn unquoted(cell: &str) -> &str {
    let inside = cell.strip_prefix(['"', '“', '”']).and_then(|cell| cell.strip_suffix(['"', '“', '”']));
    inside.map_or(cell, str::trim)
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
    fn a_table_is_read_as_hasty_typists_and_spreadsheets_leave_it() {
        let answers = |text: &str| {
            let (rows, faults) = read(text.as_bytes()).unwrap_or_else(|fault| panic!("{text:?}: {fault}"));
            assert_eq!(faults, [], "{text:?}");
            rows.into_iter().map(|row| (row.copy, row.name, row.date, row.answers, row.line)).collect::<Vec<_>>()
        };
        let read_as = |date: &str, line: u64| {
            vec![(3, "Ada".to_owned(), date.to_owned(), vec!["2.5 gal".to_owned(), "B".to_owned()], line)]
        };
        for (text, date, line) in [
            // Blank rows, a line that says what is between cells, tabs, other line ends.
            (",,,,,,\r\nquiz,sheet,copy,stamp,name,1,2\r\n,,,,,,\r\nq,7,3,B,Ada,2.5 gal,B\r\n,,\r\n", "", 4),
            ("sep=;\r\nquiz;sheet;copy;stamp;name;1;2\r\nq;7;3;B;Ada;2.5 gal;B\r\n", "", 3),
            ("quiz\tsheet\tcopy\tstamp\tname\t1\t2\nq\t7\t3\tB\tAda\t2.5 gal\tB\n", "", 2),
            ("quiz,sheet,copy,stamp,name,1,2\rq,7,3,B,Ada,2.5 gal,B\r", "", 2),
            // Columns moved, one added, empty ones at the end, numbers as a spreadsheet writes them.
            ("name,copy,2,date,quiz,notes,sheet,stamp,1\nAda,3,B,1/2/2026,q,late,7,B,2.5 gal\n", "1/2/2026", 2),
            ("quiz,sheet,copy,stamp,name,1,2,3,,\nq,7.0,\"3,0\",B,Ada,2.5 gal,B,,,\n", "", 2),
            // Quotation marks around the whole answer.
            ("quiz,sheet,copy,stamp,name,1,2\nq,7,3,B,Ada,\"\"\"2.5 gal\"\"\",“B”\n", "", 2),
        ] {
            assert_eq!(answers(text), read_as(date, line), "{text:?}");
        }
        assert_eq!(
            answers("quiz,sheet,copy,stamp,name,1\nq,7,3,B,Ada,\"7' 6\"\"\"\n")[0].3,
            ["7' 6\""],
            "an inch mark stays"
        );
    }

    #[test]
    fn every_fault_says_what_to_do() {
        let told = |text: &str| match read(text.as_bytes()) {
            Err(fault) => fault.to_string(),
            Ok((_, faults)) => faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"),
        };
        let row = |row: &str| told(&format!("quiz,sheet,copy,stamp,name,1,2\n{row}\n"));
        for (said, what) in [
            (row("q,7,501,B,Ada,2"), "line 2: there is no copy 501; copies are 1 to 500. Look at the page"),
            (
                row("q,7,copy 3,B,Ada,2"),
                "line 2: “copy 3” is not a copy number; write the number at the top of the page",
            ),
            (row("q,,3,B,Ada,2"), "line 2: the sheet number is missing; it is at the top of the page"),
            (
                row("q,7,3,B,Ada,93,750 ft2,B"),
                "line 2: column H has no number of a question above it, but “B” in it; put",
            ),
            (row(&format!("q,7,3,B,Ada,{}", "9".repeat(900))), "line 2: column F is longer than any answer; type only"),
            (told("quiz,sheet,copy,stamp,name,1,1\n"), "two columns are called “1”; delete one, or give it"),
            (told("PK\u{3}\u{4}…"), "save it in the spreadsheet as “CSV UTF-8”"),
            (told("\r\n,,\r\n"), "there is nothing in it"),
        ] {
            assert!(said.contains(what), "{said}");
        }
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
        assert_eq!(
            row("q,1,x,B,Ada,2"),
            [PaperFault::Row(
                2,
                "“x” is not a copy number; write the number at the top of the page, such as 3".to_owned()
            )]
        );
        assert_eq!(
            row("q,1,0,B,Ada,2"),
            [PaperFault::Row(2, "there is no copy 0; copies are 1 to 500. Look at the page".to_owned())]
        );
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
