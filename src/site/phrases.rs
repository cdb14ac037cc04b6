//! The phrases that pages load: what every page that computes says, and beside it what each part of the core says.

use super::assets::in_script;
use std::collections::BTreeMap;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::mistakes;
use tankside_calc::text::json::Value;
use tankside_calc::words::phrases::Phrases;

/// The phrases of every page.
const EVERY: &str = "";
/// What the card borrows: its rate is worked as the application rate's calculator works it.
const BORROWED: &[(&str, &str)] = &[("card", "application-rate"), ("card", "tank-mix")];

/// Scripts by path in the site: `assets/phrases.js`, and `assets/phrases-tank-mix.js` beside `core-tank-mix.js`.
pub(super) fn scripts(phrases: &Phrases) -> Vec<(String, Vec<u8>)> {
    let mut files: BTreeMap<String, Vec<(String, String)>> = BTreeMap::from([(EVERY.to_owned(), Vec::new())]);
    // A part that says nothing of its own has its script all the same: pages name one for each part that they load.
    files.extend(crate::embedded::core_parts().map(|(name, _)| (name.to_owned(), Vec::new())));
    files.extend(CALCULATORS.iter().map(|calculator| (format!("mistakes-{}", calculator.id), Vec::new())));
    for (key, text) in phrases.iter() {
        for file in files_of(key) {
            files.entry(file).or_default().push((key.to_owned(), text.to_owned()));
        }
    }
    files.into_iter().map(|(name, pairs)| script(&name, pairs)).collect()
}

fn script(name: &str, pairs: Vec<(String, String)>) -> (String, Vec<u8>) {
    let lines = in_script(&Value::from(Phrases::from_pairs(pairs).to_lines()).line());
    if name == EVERY {
        ("assets/phrases.js".to_owned(), format!("const TANKSIDE_PHRASES = [{lines}];\n").into_bytes())
    } else {
        (format!("assets/phrases-{name}.js"), format!("TANKSIDE_PHRASES.push({lines});\n").into_bytes())
    }
}

/// The files that hold a phrase; none for one that only templates write.
fn files_of(key: &str) -> Vec<String> {
    let mut words = key.split('.');
    let (first, second) = (words.next().unwrap_or(key), words.next().unwrap_or_default());
    let mut files = match first {
        "site" | "desk" | "learn" => return Vec::new(),
        "score" => vec!["practice".to_owned()],
        "uncertainty" => vec!["sheet".to_owned()],
        "mistake" => match mistakes::all().find(|mistake| mistake.id == second) {
            Some(mistake) => mistaken(mistake).map(|id| format!("mistakes-{id}")).collect(),
            None => vec!["practice".to_owned()],
        },
        "card" | "reading" => vec![first.to_owned()],
        id if CALCULATORS.iter().any(|calculator| calculator.id == id) => vec![id.to_owned()],
        _ => vec![EVERY.to_owned()],
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
        crate::catalogue::phrases("en").expect("a readable catalogue").expect("there is English")
    }

    #[test]
    fn every_phrase_of_the_core_is_in_some_script() {
        for (key, _) in english()
            .iter()
            .filter(|(key, _)| !key.starts_with("site.") && !key.starts_with("desk.") && !key.starts_with("learn."))
        {
            let placed = !files_of(key).is_empty();
            // A mistake that is made nowhere is never told.
            let nowhere = key.starts_with("mistake.") && !placed;
            assert!(placed || nowhere, "{key}");
        }
    }

    #[test]
    fn a_calculators_own_phrases_are_not_on_every_page() {
        let scripts = scripts(&english());
        let every = scripts.iter().find(|(path, _)| path == "assets/phrases.js").map(|(_, bytes)| bytes.len());
        assert!(every.is_some_and(|size| size < 16_000), "{every:?}");
        for calculator in CALCULATORS {
            let path = format!("assets/phrases-{}.js", calculator.id);
            assert!(scripts.iter().any(|(other, _)| *other == path), "{path}");
        }
    }
}
