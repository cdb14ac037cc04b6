//! The words of a course: stock phrases, cautions and terms, with the course's own.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::limits::{self, LimitWords};
use crate::catalogue::{self, StockCaution, Term};
use crate::load::Own;
use crate::notation::as_name;
use crate::problem::{Problem, Problems, Source, code};
use tankside_calc::words::phrases::Phrases;

/// The most phrases named when some are missing.
const NAMED: usize = 3;

/// The phrases of the course's language; without any, the stock's, so that the lessons are still checked.
pub(super) fn phrases(source: &Source, language: &str, own: &Own, problems: &mut Problems) -> Arc<Phrases> {
    let first = catalogue::first_phrases_shared();
    if language == catalogue::first_language() && own.phrases.is_none() {
        return Arc::clone(first);
    }
    let stock = readable(catalogue::phrases(language), problems);
    let pairs = |phrases: &Phrases| -> BTreeMap<String, String> {
        phrases.iter().map(|(key, text)| (key.to_owned(), text.to_owned())).collect()
    };
    let mut all = match (&stock, &own.phrases) {
        (Some(stock), _) => pairs(stock),
        (None, Some(own)) => {
            missing(language, first, own, problems);
            pairs(first)
        }
        (None, None) => {
            unknown(source, language, problems);
            return Arc::clone(first);
        }
    };
    all.extend(own.phrases.clone().into_iter().flatten());
    Arc::new(Phrases::from_pairs(all))
}

fn unknown(source: &Source, language: &str, problems: &mut Problems) {
    let title = format!("there are no phrases for the language `{language}`");
    let mut sorted = catalogue::languages();
    sorted.sort();
    let sorted: Vec<String> = sorted.iter().map(|code| format!("`{code}`")).collect();
    let help = format!("write one of: {}; or write all the phrases in phrases/{language}.yaml", sorted.join(", "));
    let mut problem = Problem::new(code::LANGUAGE_UNKNOWN, title, "course.yaml").help(help);
    let written = source.text.find("\nlanguage:").map(|at| at + "\nlanguage:".len());
    let value = written.and_then(|at| Some(at + source.text[at..].find(language)?));
    if let Some(at) = value {
        problem = problem.at(source, at..at + language.len());
    }
    problems.push(problem);
}

fn missing(language: &str, first: &Phrases, own: &BTreeMap<String, String>, problems: &mut Problems) {
    if !LimitWords::listed(language) && !own.contains_key(limits::BEFORE) {
        let title = format!(
            "no words for a maximum are known in `{language}`, so a text like “at most 1 fl oz/1000 ft²” in that language is not compared with the rates beside it"
        );
        let help = format!(
            "write such words, parted by commas, into phrases/{language}.yaml: `{}: …` for those in front of an amount, `{}: …` for those after it",
            limits::BEFORE,
            limits::AFTER
        );
        problems.push(Problem::new(code::LIMIT_WORDS_MISSING, title, format!("phrases/{language}.yaml")).help(help));
    }
    let missing: Vec<&str> = first.iter().map(|(key, _)| key).filter(|key| !own.contains_key(*key)).collect();
    if missing.is_empty() {
        return;
    }
    let file = format!("phrases/{language}.yaml");
    let (named, rest) = missing.split_at(missing.len().min(NAMED));
    let named = named.iter().map(|key| format!("`{key}`")).collect::<Vec<_>>().join(", ");
    let more = if rest.is_empty() { String::new() } else { format!(" and {} more", rest.len()) };
    let title = format!("this language lacks the phrases {named}{more}");
    problems
        .push(Problem::new(code::PHRASE_MISSING, title, file).help("tankside phrases prints every phrase there is"));
}

/// The stock cautions and the course's own.
pub(super) fn cautions(language: &str, own: &Own, problems: &mut Problems) -> BTreeMap<String, StockCaution> {
    let mut all = readable(catalogue::cautions(language), problems);
    all.extend(own.cautions.iter().map(|caution| (caution.id.clone(), caution.clone())));
    all
}

/// The glossary in alphabetical order; a course's own term replaces the stock one of the same name.
pub(super) fn terms(language: &str, own: &Own, problems: &mut Problems) -> Vec<Term> {
    let mut all = readable(catalogue::glossary(language), problems);
    all.retain(|stock| own.terms.iter().all(|term| term.id != stock.id));
    all.extend(own.terms.iter().cloned());
    catalogue::in_order(all)
}

/// What a term is called besides its name, each written as a name, with the name of the term.
pub(super) fn other_words(terms: &[Term]) -> BTreeMap<String, String> {
    let words = |term: &Term| {
        let all = term.also.iter().chain([&term.term]).map(|word| as_name(word));
        all.map(|word| (word, term.id.clone())).collect::<Vec<_>>()
    };
    terms.iter().flat_map(words).collect()
}

/// The stock content; if it cannot be read, nothing, and the fault is reported.
fn readable<T: Default>(read: Result<T, String>, problems: &mut Problems) -> T {
    read.unwrap_or_else(|fault| {
        problems.push(Problem::new(code::STOCK_UNREADABLE, fault, "content"));
        T::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stock_content_that_cannot_be_read_is_reported_and_the_rest_goes_on() {
        let mut problems = Problems::new();
        let read = serde_yaml::from_str::<Vec<String>>("- a\n- [").map_err(|fault| format!("glossary.yaml: {fault}"));
        assert_eq!(readable(read, &mut problems), Vec::<String>::new());
        let problem = problems.iter().next().expect("it is reported");
        assert_eq!(problem.code, "stock-unreadable");
        assert!(problem.title.starts_with("glossary.yaml: "), "{}", problem.title);
        assert_eq!(readable(Ok(vec![1]), &mut problems), [1]);
        assert_eq!(problems.len(), 1);
    }
}
