//! The phrases that come with the core and with each of its parts: those of every page that computes, and those of one
//! part.

use std::collections::BTreeMap;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::calculators::{application_rate, tank_mix};
use tankside_calc::mistakes;
use tankside_calc::words::phrases::Phrases;

/// The phrases that every page that computes needs.
pub(crate) const CORE: &str = "core";
/// What the card borrows: its rate is worked out by the application rate calculator.
const BORROWED: &[(&str, &str)] = &[("card", application_rate::CALCULATOR.id), ("card", tank_mix::CALCULATOR.id)];

/// The phrases of the core and of each part, by its name, as lines of key and text; separate from the parts are the
/// words of a calculator's known mistakes.
pub(crate) fn by_part(phrases: &Phrases) -> BTreeMap<String, String> {
    let mut files: BTreeMap<String, String> =
        CALCULATORS.iter().map(|calculator| (format!("mistakes-{}", calculator.id), String::new())).collect();
    // Phrases whose keys begin alike follow each other and go into the same files.
    let (mut alike, mut into) = (String::new(), Vec::new());
    for line in phrases.to_lines().split_inclusive('\n') {
        let key = line.split('\t').next().unwrap_or_default();
        if is_for_pages_only(key) {
            continue;
        }
        let words = beginning(key);
        if alike != words {
            (alike, into) = (words.to_owned(), files_of(words));
        }
        for file in &into {
            match files.get_mut(file) {
                Some(lines) => lines.push_str(line),
                None => drop(files.insert(file.clone(), line.to_owned())),
            }
        }
    }
    files
}

/// Whether only pages say it as they are published, and never a script: what a calculator is for.
fn is_for_pages_only(key: &str) -> bool {
    let of = key.strip_suffix(".summary");
    of.is_some_and(|of| CALCULATORS.iter().any(|calculator| calculator.id == of))
}

/// As much of a key as decides its files: the first word, and of a few the second as well.
fn beginning(key: &str) -> &str {
    let two = ["mistake.", "uncertainty.", "chain."].iter().any(|first| key.starts_with(first));
    let words = if two { 2 } else { 1 };
    key.match_indices('.').nth(words - 1).map_or(key, |(end, _)| &key[..end])
}

/// The files that contain a phrase; none for one that only templates write.
fn files_of(key: &str) -> Vec<String> {
    let mut words = key.split('.');
    let (first, second) = (words.next().unwrap_or(key), words.next().unwrap_or_default());
    let mut files = match first {
        "site" | "desk" | "learn" | "search" | "kept" | "terminal" => return Vec::new(),
        "score" | "practice" => vec!["practice".to_owned()],
        // What the line says that unfolds and what a name takes, the fields for it in the form, and all the rest.
        "uncertainty" if matches!(second, "short" | "short-fine" | "short-of" | "as-given" | "of") => {
            vec!["sheet".to_owned()]
        }
        "uncertainty" if second.starts_with("form") => vec!["form".to_owned()],
        "uncertainty" => vec!["doubt".to_owned()],
        // A heading, folded or not.
        "chain" if second == "title" => vec![CORE.to_owned()],
        "chain" | "unit" => vec!["chain".to_owned()],
        "problem" => vec!["problems".to_owned()],
        "kind" => vec!["problems".to_owned(), "practice".to_owned()],
        "hint" => vec!["form".to_owned()],
        "mistake" => match mistakes::all().find(|mistake| mistake.id == second) {
            Some(mistake) => mistaken(mistake).map(|id| format!("mistakes-{id}")).collect(),
            None => vec!["practice".to_owned()],
        },
        "card" | "reading" => vec![first.to_owned()],
        id if CALCULATORS.iter().any(|calculator| calculator.id == id) => vec![id.to_owned()],
        _ => vec![CORE.to_owned()],
    };
    files.extend(BORROWED.iter().filter(|(_, from)| *from == first).map(|(to, _)| (*to).to_owned()));
    files
}

/// Calculators in whose results a mistake is made.
fn mistaken(mistake: &mistakes::Mistake) -> impl Iterator<Item = &'static str> {
    let made = |id: &str| mistake.places.iter().copied().flatten().any(|place| place.calculator == id);
    CALCULATORS.iter().map(|calculator| calculator.id).filter(move |id| made(id))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn english() -> Phrases {
        crate::catalogue::first_phrases().clone()
    }

    #[test]
    fn every_phrase_of_the_core_is_in_some_script() {
        for (key, _) in english().iter().filter(|(key, _)| {
            !["site.", "desk.", "learn.", "search.", "kept.", "terminal."].iter().any(|room| key.starts_with(room))
                && !is_for_pages_only(key)
        }) {
            let placed = !files_of(key).is_empty();
            // A mistake that applies nowhere is never mentioned.
            let nowhere = key.starts_with("mistake.") && !placed;
            assert!(placed || nowhere, "{key}");
        }
    }

    #[test]
    fn a_phrase_is_in_the_files_of_its_own_key() {
        let (phrases, parts) = (english(), by_part(&english()));
        let mut put: BTreeMap<String, usize> = BTreeMap::new();
        for line in phrases.to_lines().split_inclusive('\n') {
            let key = line.split('\t').next().expect("a key");
            for file in files_of(key).into_iter().filter(|_| !is_for_pages_only(key)) {
                assert!(parts[&file].contains(line), "{file}: {line}");
                *put.entry(file).or_default() += 1;
            }
        }
        assert!(parts.iter().all(|(file, lines)| lines.lines().count() == put.get(file).copied().unwrap_or_default()));
    }

    #[test]
    fn a_calculators_own_phrases_are_not_on_every_page() {
        let parts = by_part(&english());
        assert!(parts[CORE].len() < 16_000, "{}", parts[CORE].len());
        for calculator in CALCULATORS {
            assert!(parts.contains_key(calculator.id), "{}", calculator.id);
        }
    }
}
