//! A course's own phrases, compared with the stock's: each key, its places and the notation of its numbers.

use std::collections::BTreeMap;

use super::files::Files;
use super::own::own_text;
use super::unread::rename;
use crate::problem::{ASKED, Problem, Problems, code, offer};
use crate::yaml::{Document, Node};
use tankside_calc::words::notation::Notation;
use tankside_calc::words::phrases::{NUMBER, Phrases};

/// The phrases of a language over the stock ones: `key: text`.
pub fn own_phrases(files: &dyn Files, language: &str, problems: &mut Problems) -> Option<BTreeMap<String, String>> {
    let known = crate::catalogue::first_phrases();
    let mut own = None;
    for name in files.list("phrases") {
        let file = format!("phrases/{name}");
        let Some(source) = own_text(files, &file, problems) else { continue };
        let Some(document) = Document::of_file(&source, problems) else { continue };
        let read = phrases_of(&document, known, problems);
        if name.strip_suffix(".yaml") == Some(language) {
            own = Some(read);
        } else if !name
            .strip_suffix(".yaml")
            .is_some_and(|stem| is_language(stem) && !stem.eq_ignore_ascii_case(language))
        {
            let title = "phrases are in a file `LANGUAGE.yaml`, so this one is not read";
            let help = rename(files, "phrases/", &format!("{language}.yaml"));
            problems.push(Problem::new(code::PHRASES_FILE_NAME, title, file).help(help));
        }
    }
    own
}

/// Names each file of phrases in another language than the course's, unless the folder has more in that language: then
/// it is a course that is published in each in turn.
pub(super) fn other_phrases(files: &dyn Files, language: &str, problems: &mut Problems) {
    for name in files.list("phrases") {
        let file = format!("phrases/{name}");
        let Some(other) = name.strip_suffix(".yaml").filter(|stem| is_language(stem)) else { continue };
        // Under another spelling of the course's own language it has been named.
        if other.eq_ignore_ascii_case(language) {
            continue;
        }
        let lines = |folder: &str| !files.list(&format!("{folder}/{other}")).is_empty();
        let words = |stem: &str| files.list(stem).contains(&format!("{other}.yaml"));
        let more = ["lessons", "questions"].into_iter().any(lines) || ["cautions", "glossary"].into_iter().any(words);
        if more || own_text(files, &file, &mut Problems::new()).is_none() {
            continue;
        }
        let title = format!("this course is in `{language}`, so no learner sees these phrases in `{other}`");
        let help = format!("write `language: {other}` in `course.yaml` if learners read that, else remove this file");
        problems.push(Problem::new(code::PHRASES_FILE_NAME, title, file).help(help));
    }
}

/// Whether a name is written as a language's is: `es`, `pt-BR`.
fn is_language(name: &str) -> bool {
    let first = name.split('-').next().unwrap_or_default();
    (2..=3).contains(&first.len()) && first.bytes().all(|byte| byte.is_ascii_alphabetic())
}

fn phrases_of(document: &Document, known: &Phrases, problems: &mut Problems) -> BTreeMap<String, String> {
    let mut read = BTreeMap::new();
    let keys: Vec<&str> = known.iter().map(|(key, _)| key).collect();
    let mut unknown = 0;
    for entry in document.root().entries() {
        let at = |rule, title: String, node: Option<&Node>| {
            let place = node.map_or(entry.key_span.clone(), |node| node.span.clone());
            Problem::new(rule, title, "").at(document.source(), place)
        };
        let Some(stock) = known.whole(&entry.key) else {
            let mut problem = at(code::PHRASE_UNKNOWN, format!("there is no phrase `{}`", entry.key), None);
            unknown += 1;
            // Each costs a walk through all of the phrases.
            let near = if unknown <= ASKED { offer(&entry.key, keys.iter().copied()) } else { None };
            let near = near.filter(|help| help.starts_with("write"));
            problem.help = near.or_else(|| Some("`tankside phrases` prints every phrase with its name".to_owned()));
            problems.push(problem);
            continue;
        };
        let Some(text) = entry.node.text().filter(|text| !text.trim().is_empty()) else {
            let title = match entry.node.text() {
                Some(_) => format!("the phrase `{}` is blank, and text is expected", entry.key),
                None => format!("the phrase `{}` is {}, and text is expected", entry.key, entry.node.form()),
            };
            let help = "write the words, or remove the line";
            problems.push(at(code::WRONG_TYPE, title, Some(&entry.node)).help(help));
            continue;
        };
        if entry.key == NUMBER && Notation::of(text).is_none() {
            let title = format!("`{NUMBER}` shows how your language writes 12345.6, and this is `{text}`");
            let help = "write that number with your marks, for example `\"12.345,6\"` or `\"12 345,6\"`";
            problems.push(at(code::WRONG_TYPE, title, Some(&entry.node)).help(help));
            continue;
        }
        if let Some(strange) = places(text).into_iter().find(|place| !places(stock).contains(place)) {
            let title = format!("the phrase `{}` has no place `{{{strange}}}`", entry.key);
            let all: Vec<String> = places(stock).iter().map(|place| format!("`{{{place}}}`")).collect();
            let help = match all.as_slice() {
                [] => "write it without braces".to_owned(),
                all => format!("its places are {}", all.join(", ")),
            };
            problems.push(at(code::PLACE_UNKNOWN, title, Some(&entry.node)).help(help));
            continue;
        }
        if let Some(lost) = places(stock).into_iter().find(|place| !places(text).contains(place)) {
            let title =
                format!("the phrase `{}` leaves out `{{{lost}}}`, so what belongs there is not shown", entry.key);
            let problem =
                at(code::PLACE_LEFT_OUT, title, Some(&entry.node)).help(format!("the stock's words are `{stock}`"));
            problems.push(problem);
        }
        read.insert(entry.key.clone(), text.to_owned());
    }
    read
}

/// The places of a phrase; `{Name}` is the place `{name}`, as a label begins.
fn places(text: &str) -> Vec<String> {
    tankside_calc::words::phrases::places(text).into_iter().map(str::to_ascii_lowercase).collect()
}
