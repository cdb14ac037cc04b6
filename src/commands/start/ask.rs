//! The few questions that are asked on a terminal.

use std::io::{BufRead, Write};

use super::files::stock_lessons;
use crate::problem::{clean, nearest, sentence};

/// Asks for a line; an empty one takes what is offered. `None` at the end of the input.
pub(super) fn line(input: &mut dyn BufRead, out: &mut dyn Write, question: &str, offered: &str) -> Option<String> {
    // Whoever cannot read the question can still answer it.
    let _ = write!(out, "{question}\n  [{}] ", clean(offered));
    let _ = out.flush();
    let mut answer = String::new();
    let read = input.read_line(&mut answer).ok()?;
    let answer = answer.trim();
    match (read, answer) {
        (0, _) => None,
        (_, "") => Some(offered.to_owned()),
        (_, answer) => Some(answer.to_owned()),
    }
}

/// Asks until the answer can be used; it says what is wrong with one, and keeps those before it.
pub(super) fn checked(
    input: &mut dyn BufRead,
    out: &mut dyn Write,
    question: &str,
    offered: &str,
    check: impl Fn(&str) -> Result<String, (String, String)>,
) -> Option<String> {
    loop {
        match check(&line(input, out, question, offered)?) {
            Ok(answer) => return Some(answer),
            Err((what, write)) => {
                let _ = writeln!(out, "{}\n  {}\n", sentence(&what), sentence(&write));
            }
        }
    }
}

/// Asks which stock lessons the course has: by number or by name.
pub(super) fn lessons(input: &mut dyn BufRead, out: &mut dyn Write, offered: &[String]) -> Option<Vec<String>> {
    let stock = stock_lessons();
    let mut question = String::from("Which lessons of the stock course? Numbers or names, with commas, or `none`.\n");
    for (index, (stem, title)) in stock.iter().enumerate() {
        question.push_str(&format!("  {:>2}  {stem:<24} {title}\n", index + 1));
    }
    loop {
        let typed = line(input, out, question.trim_end(), &offered.join(", "))?;
        match chosen(&typed) {
            Ok(lessons) => return Some(lessons),
            Err(word) => {
                let near = nearest(&word, stock.iter().map(|(stem, _)| stem.as_str()));
                let write = near.map_or("a number or a name from the list".to_owned(), |near| format!("`{near}`"));
                let _ = writeln!(out, "There is no lesson `{}`.\n  Write {write}.\n", clean(&word));
            }
        }
    }
}

/// The lessons that a list of numbers and names chooses.
///
/// # Errors
/// The word that chooses none.
pub(super) fn chosen(typed: &str) -> Result<Vec<String>, String> {
    let stock = stock_lessons();
    let mut lessons: Vec<String> = Vec::new();
    for word in typed.split([',', ' ']).map(str::trim).filter(|word| !word.is_empty() && *word != "none") {
        let by_number = word.parse::<usize>().ok().and_then(|number| stock.get(number.wrapping_sub(1)));
        let found = by_number.or_else(|| stock.iter().find(|(stem, _)| stem == word));
        let (stem, _) = found.ok_or_else(|| word.to_owned())?;
        if !lessons.contains(stem) {
            lessons.push(stem.clone());
        }
    }
    Ok(lessons)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lessons_are_chosen_by_number_or_name_and_a_slip_is_asked_again() {
        let mut out = Vec::new();
        let place = stock_lessons().iter().position(|(stem, _)| stem == "before-you-start").expect("a stock lesson");
        let answers = format!("befor-you-start\n{}, before-you-start\n", place + 1);
        let mut typed = answers.as_bytes();
        assert_eq!(lessons(&mut typed, &mut out, &[]), Some(vec!["before-you-start".to_owned()]));
        let said = String::from_utf8(out).expect("UTF-8");
        assert!(said.contains("There is no lesson `befor-you-start`."), "{said}");
        assert_eq!(chosen("none"), Ok(Vec::new()));
        assert_eq!(chosen("0"), Err("0".to_owned()));
        assert_eq!(lessons(&mut "".as_bytes(), &mut Vec::new(), &[]), None);
    }

    #[test]
    fn an_empty_line_takes_what_is_offered() {
        let mut out = Vec::new();
        assert_eq!(line(&mut "\n".as_bytes(), &mut out, "Who?", "Us").as_deref(), Some("Us"));
        assert_eq!(line(&mut " A & B \r\n".as_bytes(), &mut out, "Who?", "Us").as_deref(), Some("A & B"));
        assert_eq!(line(&mut "".as_bytes(), &mut out, "Who?", "Us"), None);
    }
}
