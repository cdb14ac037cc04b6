//! Rows of answers from paper compared with each other: the same row twice counts once, two different rows of one copy
//! and one person cannot both be right, and one copy under several names is reported.

use super::table::AnswerRow;
use std::collections::HashMap;
use std::hash::{BuildHasher, RandomState};

/// The most names of one copy that are listed.
const NAMES: usize = 6;

/// What a row is beside those that came before it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Repeat {
    /// It counts.
    New,
    /// The same row was there before.
    Again,
    /// Other answers of the same person to the same copy were there before: the place of those.
    Differs(At),
}

/// A file, by number, and a line in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct At {
    pub(super) file: u32,
    pub(super) line: u64,
}

/// What is needed of a row to compare it.
#[derive(Clone, Debug)]
pub(super) struct RowKey {
    copy: u64,
    name: String,
    answers: u64,
    /// What it is called.
    label: (String, u32, u32),
}

/// One copy of a sheet: who answered it.
#[derive(Debug)]
struct Seen {
    label: (String, u32, u32),
    /// Everybody, by the name in small letters: their answers, and where they were first.
    known: HashMap<String, (u64, At)>,
    /// The first of them, as they are written.
    first: Vec<(String, At)>,
    /// Whether all gave the same answers.
    same: bool,
}

/// A copy that several people are said to have answered.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Shared {
    pub(super) quiz: String,
    pub(super) sheet: u32,
    pub(super) copy: u32,
    /// The first of them with the place of their row, and how many more there are.
    pub(super) people: Vec<(String, At)>,
    pub(super) more: usize,
    /// Whether all gave the same answers.
    pub(super) same: bool,
}

/// Every copy that was answered.
#[derive(Debug, Default)]
pub(super) struct Copies {
    seen: HashMap<u64, Seen>,
    /// Copies under several names, in the order in which that was found.
    shared: Vec<u64>,
}

impl RowKey {
    pub(super) fn of(row: &AnswerRow, hasher: &RandomState) -> RowKey {
        let given = row.answers.len() - row.answers.iter().rev().take_while(|answer| answer.is_empty()).count();
        let copy = hasher.hash_one((&row.quiz, row.sheet, row.copy));
        let label = (row.quiz.clone(), row.sheet, row.copy);
        RowKey { copy, name: row.name.clone(), answers: hasher.hash_one(&row.answers[..given]), label }
    }
}

impl Copies {
    /// Takes the next row.
    pub(super) fn take(&mut self, key: &RowKey, at: At) -> Repeat {
        let seen = self.seen.entry(key.copy).or_insert_with(|| Seen {
            label: key.label.clone(),
            known: HashMap::new(),
            first: Vec::new(),
            same: true,
        });
        let name = key.name.to_lowercase();
        if let Some((answers, first)) = seen.known.get(&name) {
            return if *answers == key.answers { Repeat::Again } else { Repeat::Differs(*first) };
        }
        if seen.known.len() == 1 {
            self.shared.push(key.copy);
        }
        seen.same &= seen.known.values().next().is_none_or(|(answers, _)| *answers == key.answers);
        seen.known.insert(name, (key.answers, at));
        if seen.first.len() < NAMES {
            seen.first.push((key.name.clone(), at));
        }
        Repeat::New
    }

    /// Copies under several names.
    pub(super) fn shared(&self) -> Vec<Shared> {
        let shared = self.shared.iter().filter_map(|copy| {
            let Seen { label: (quiz, sheet, copy), known, first, same } = self.seen.get(copy)?;
            let more = known.len() - first.len();
            Some(Shared { quiz: quiz.clone(), sheet: *sheet, copy: *copy, people: first.clone(), more, same: *same })
        });
        shared.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_is_new_or_there_again_or_another_answer_of_the_same_person() {
        let hasher = RandomState::new();
        let row = |copy: u32, name: &str, answer: &str| AnswerRow {
            quiz: "q".to_owned(),
            sheet: 7,
            copy,
            stamp: String::new(),
            name: name.to_owned(),
            date: String::new(),
            answers: vec![answer.to_owned(), String::new()],
            columns: [Some(5), Some(6)].into(),
            semicolons: false,
            line: 2,
        };
        let mut copies = Copies::default();
        let mut take = |row: AnswerRow, line: u64| copies.take(&RowKey::of(&row, &hasher), At { file: 0, line });
        assert_eq!(take(row(1, "Ada", "A"), 2), Repeat::New);
        assert_eq!(take(row(1, "ada", "A"), 3), Repeat::Again);
        assert_eq!(take(row(1, "Ada", "B"), 4), Repeat::Differs(At { file: 0, line: 2 }));
        assert_eq!(take(row(2, "Ada", "A"), 5), Repeat::New);
        assert_eq!(take(row(1, "Zed", "A"), 6), Repeat::New);
        let shared = copies.shared();
        assert_eq!((shared.len(), shared[0].copy, shared[0].same, shared[0].people.len()), (1, 1, true, 2));
    }
}
