//! The glossary page: the terms by first letter, each with the lesson that first leads to it.

use super::pages::Link;
use super::unbroken::unbroken;
use crate::catalogue::Term;
use crate::course::ReadyLesson;
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The terms under one letter.
#[derive(Serialize)]
pub(super) struct Letter {
    letter: String,
    terms: Vec<TermRow>,
}

#[derive(Serialize)]
struct TermRow {
    id: String,
    term: String,
    also: String,
    text: String,
    source: String,
    lesson: Option<Link>,
}

/// The lesson in which each term is linked to first, in course order.
pub(super) fn first_met(lessons: &[Arc<ReadyLesson>]) -> BTreeMap<String, Link> {
    let mut met = BTreeMap::new();
    for lesson in lessons {
        for term in &lesson.body.outline.terms {
            if !met.contains_key(term) {
                let href = format!("lessons/{}.html", lesson.stem);
                met.insert(term.clone(), Link { href, title: lesson.header.title.clone() });
            }
        }
    }
    met
}

/// The page's contents; the terms come in alphabetical order.
pub(super) fn letters(terms: &[Term], met: &BTreeMap<String, Link>) -> Vec<Letter> {
    let mut letters: Vec<Letter> = Vec::new();
    for term in terms {
        let letter = first_letter(&term.term);
        let row = TermRow {
            id: term.id.clone(),
            term: term.term.clone(),
            also: term.also.join(", "),
            text: unbroken(&term.html()).into_owned(),
            source: term.source.clone(),
            lesson: met.get(&term.id).cloned(),
        };
        match letters.last_mut().filter(|last| last.letter == letter) {
            Some(last) => last.terms.push(row),
            None => letters.push(Letter { letter, terms: vec![row] }),
        }
    }
    letters
}

/// The letter under which a word is listed.
fn first_letter(word: &str) -> String {
    word.chars().take(1).flat_map(char::to_uppercase).collect()
}
