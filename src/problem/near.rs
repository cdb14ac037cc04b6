//! The name that was probably meant.

use std::fmt;

/// The candidate nearest to what was typed, if it is close enough to be a typing mistake.
pub fn nearest<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A long text is not a mistyped name, and the distance costs the product of both lengths.
    if typed.len() > 60 {
        return None;
    }
    // What was typed is not a suggestion, even if it is a name elsewhere.
    let written = typed;
    let typed = typed.to_lowercase();
    candidates
        .into_iter()
        .filter(|candidate| *candidate != written)
        .map(|candidate| (strsim::osa_distance(&typed, &candidate.to_lowercase()), candidate))
        .filter(|(distance, candidate)| *distance <= allowed(&typed, candidate))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// How many typing mistakes are forgiven: one in three characters, at most three.
fn allowed(typed: &str, candidate: &str) -> usize {
    (typed.chars().count().max(candidate.chars().count()) / 3).min(3)
}

/// The candidates that have a word beginning like the first word typed: `pooled` for `pooling`, `wind-uk` for `wind`.
///
/// A later word says little: `bucket-check` is nothing like `usage-check`.
pub fn alike<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    if typed.len() > 60 {
        return Vec::new();
    }
    let written = typed;
    let typed = typed.to_lowercase();
    let mut found: Vec<(usize, &str)> = Vec::new();
    for candidate in candidates {
        let first = typed.split('-').next().unwrap_or_default();
        let shared = candidate.split('-').map(|other| shared_start(first, &other.to_lowercase())).max().unwrap_or(0);
        if shared > 0 && candidate != written {
            found.push((shared, candidate));
        }
    }
    found.sort_by_key(|(shared, _)| std::cmp::Reverse(*shared));
    found.truncate(ALIKE);
    found.into_iter().map(|(_, candidate)| candidate).collect()
}

/// How many letters two words begin with in common: at least four and half of the longer word, else 0.
fn shared_start(one: &str, other: &str) -> usize {
    let shared = one.chars().zip(other.chars()).take_while(|(left, right)| left == right).count();
    let longer = one.chars().count().max(other.chars().count());
    if shared >= 4 && shared * 2 >= longer { shared } else { 0 }
}

/// The most similar names suggested together.
const ALIKE: usize = 6;
/// The most names listed in full when none is close.
const LISTED: usize = 32;

/// What is offered in place of a name that does not exist; as text, a help line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Offer {
    /// The name that was meant.
    Write(String),
    /// The field that was meant, and how it is called in row N.
    InRow(String, String),
    /// One of a few.
    Either(Vec<String>),
    /// Names there are, and how many more.
    Names(Vec<String>, usize),
}

impl fmt::Display for Offer {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Offer::Write(name) => write!(out, "write `{name}`"),
            Offer::InRow(name, row) => write!(out, "write `{name}` (in row N it is `{row}`)"),
            Offer::Either(names) => write!(out, "write {}", quoted(names, " or ")),
            Offer::Names(names, 0) if names.len() == 1 => write!(out, "there is {}", quoted(names, ", ")),
            Offer::Names(names, 0) => write!(out, "there are {}", quoted(names, ", ")),
            Offer::Names(names, more) => write!(out, "there are {} and {more} more", quoted(names, ", ")),
        }
    }
}

/// Names as they are written, with something between them.
pub fn quoted(names: &[String], between: &str) -> String {
    names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(between)
}

/// The nearest name if there is one, else similar ones, else all of them; `None` if there is nothing to offer.
pub fn offered<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str> + Clone) -> Option<Offer> {
    if let Some(near) = nearest(typed, candidates.clone()) {
        return Some(Offer::Write(near.to_owned()));
    }
    let owned = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect();
    match alike(typed, candidates.clone()).as_slice() {
        [] => {}
        [one] => return Some(Offer::Write((*one).to_owned())),
        several => return Some(Offer::Names(owned(several), 0)),
    }
    let names: Vec<&str> = candidates.into_iter().collect();
    let (listed, rest) = names.split_at(if names.len() > LISTED { LISTED / 2 } else { names.len() });
    (!listed.is_empty()).then(|| Offer::Names(owned(listed), rest.len()))
}

/// The same as a help line.
pub fn offer<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str> + Clone) -> Option<String> {
    offered(typed, candidates).map(|offer| offer.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_offered_and_another_word_is_not() {
        let names = ["title", "summary", "minutes"];
        assert_eq!(nearest("tilte", names), Some("title"));
        assert_eq!(nearest("Sumary", names), Some("summary"));
        assert_eq!(nearest("answer", names), None);
        assert_eq!(offer("tilte", names).as_deref(), Some("write `title`"));
        assert_eq!(offer("zzz", names).as_deref(), Some("there are `title`, `summary`, `minutes`"));
    }

    #[test]
    fn a_word_with_another_ending_is_offered() {
        let names = ["mean", "pooled", "wind-uk", "wind-us", "mixing-order"];
        assert_eq!(offer("pooling", names).as_deref(), Some("write `pooled`"));
        assert_eq!(offer("wind", names).as_deref(), Some("there are `wind-uk`, `wind-us`"));
        assert_eq!(offer("order-of-work", names).as_deref(), Some("write `mixing-order`"));
        assert_eq!(alike("mea", names), [""; 0]);
        assert_eq!(alike("bucket-check", ["usage-check"]), [""; 0]);
        assert_eq!(nearest("mean", names), None, "what was typed is no advice");
    }

    #[test]
    fn a_short_list_is_printed_whole_and_a_long_one_is_cut() {
        let names: Vec<String> = (0..33).map(|number| format!("name{number}")).collect();
        let offered = |count: usize| offer("zzz", names[..count].iter().map(String::as_str)).unwrap_or_default();
        assert!(offered(32).ends_with("`name31`"), "{}", offered(32));
        assert!(offered(33).ends_with("`name15` and 17 more"), "{}", offered(33));
    }
}
