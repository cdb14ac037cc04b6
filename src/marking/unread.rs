//! Answers from paper that cannot be marked as they are written: nobody can be asked back, so each is named with its
//! cell and why.

use super::paper::letter;
use super::questions::Questions;
use super::recorded::RecordedAnswer;
use super::score::Marker;
use super::table::AnswerRow;
use std::path::{Path, PathBuf};
use tankside_calc::question::parts::judge as judge_parts;
use tankside_calc::question::score::{Answer, Query, Verdict, number};
use tankside_calc::question::{Ask, Question};
use tankside_calc::words::phrases::Phrases;

/// The most that are kept; the others are counted.
pub(super) const KEPT: usize = 500;

/// A cell of a table of answers that cannot be marked as it is written.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct UnreadCell {
    /// The table.
    pub file: PathBuf,
    /// The line in the file.
    pub line: u64,
    /// Its column by number, counted from 0.
    pub column: usize,
    /// The question, counted from 1.
    pub question: usize,
    /// Whose answer it is.
    pub name: String,
    /// What was typed.
    pub typed: String,
    /// Why it cannot be marked.
    pub why: String,
}

impl UnreadCell {
    /// Where it is and what is in it, in one sentence.
    pub fn told(&self, file: &str, phrases: &Phrases) -> String {
        let (line, question) = (self.line.to_string(), self.question.to_string());
        let column = column_letters(self.column);
        phrases.fill_with(
            "desk.unread-cell",
            &[
                ("file", file),
                ("line", &line),
                ("column", &column),
                ("question", &question),
                ("name", &self.name),
                ("typed", &self.typed),
                ("why", &self.why),
            ],
        )
    }
}

/// The cells of a row that cannot be marked as they are written.
pub(super) fn unread(
    row: &AnswerRow,
    answers: &[RecordedAnswer],
    file: &Path,
    questions: &Questions,
    marker: &mut Marker,
) -> Vec<UnreadCell> {
    let mut found = Vec::new();
    for (place, (typed, answer)) in row.answers.iter().zip(answers).enumerate() {
        let Some(index) = questions.find(&answer.question, &answer.digest).filter(|_| !typed.is_empty()) else {
            continue;
        };
        if marker.mark(index, answer.draw, &answer.answer).unread {
            let question = questions.all[index].question;
            let taken = if question.kind == Ask::Number { &answer.answer } else { typed.as_str() };
            let why = why(question, answer.draw, taken, questions.phrases);
            let (file, name, typed) = (file.to_path_buf(), row.name.clone(), typed.clone());
            let (column, question) = (row.columns.get(place).copied().flatten().unwrap_or(place), place + 1);
            found.push(UnreadCell { file, line: row.line, column, question, name, typed, why });
        }
    }
    found
}

fn why(question: &Question, draw: u32, typed: &str, phrases: &Phrases) -> String {
    if question.kind != Ask::Number {
        let last = letter(question.options.len().saturating_sub(1)).to_string();
        let key = if question.kind == Ask::One { "desk.unread-letter" } else { "desk.unread-letters" };
        return phrases.fill_with(key, &[("last", &last)]);
    }
    let typed = phrases.answered(typed);
    let Ok(posed) = question.draw_parts(draw) else { return String::new() };
    if let [posed] = posed.as_slice() {
        return match number(posed, &Answer::Text(typed)) {
            Verdict::Ask(query) => of_query(&query, phrases),
            _ => String::new(),
        };
    }
    let marks = judge_parts(&posed, &typed);
    marks.ask().map_or_else(String::new, |(part, query)| {
        let part = (part + 1).to_string();
        phrases.fill_with("desk.unread-part", &[("part", &part), ("why", &of_query(query, phrases))])
    })
}

fn of_query(query: &Query, phrases: &Phrases) -> String {
    let key = match query {
        Query::Empty => "desk.unread-empty",
        Query::Unit(..) => "desk.unread-unit",
        Query::UnitUnknown(_) => "desk.unread-unit-unknown",
        Query::Kind(..) => "desk.unread-kind",
        Query::Number => "desk.unread-number",
        Query::Comma(pointed) => {
            let places = [("answer", &*phrases.number(pointed.clone())), ("mark", &*phrases.grouping())];
            return phrases.fill_with("desk.unread-comma", &places);
        }
        Query::Point(whole) => {
            let places = [("answer", &*phrases.number(whole.clone())), ("mark", &*phrases.decimal())];
            return phrases.fill_with("desk.unread-point", &places);
        }
        Query::Ounces => "desk.unread-ounces",
        Query::Side => "desk.unread-side",
        Query::Figure(_) => "desk.unread-figure",
    };
    phrases.get(key).to_owned()
}

/// A column as a spreadsheet names it: A, B, …, Z, AA, AB, …
pub fn column_letters(column: usize) -> String {
    let mut letters = Vec::new();
    let mut left = column + 1;
    while left > 0 {
        letters.push(char::from(b'A' + ((left - 1) % 26) as u8));
        left = (left - 1) / 26;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_named_as_a_spreadsheet_names_them() {
        let names = [0, 25, 26, 51, 52, 701, 702].map(column_letters);
        assert_eq!(names, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }
}
