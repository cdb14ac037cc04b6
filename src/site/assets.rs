//! Files that every page shares.

use super::compact::compact_style;
use super::ready;
use super::scripts::{CARD, LEARNERS_PAGES, LEARNING, Parts, STYLE, scripts};
pub(super) use super::spoken::in_script;
use crate::embedded::{TEMPLATES, compact, core_packed, core_part_names, core_parts, core_script, core_unpacker, text};
use crate::load::Colours;
use std::borrow::Cow;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::fitted::EXTRAS;
use tankside_calc::words::phrases::Phrases;

/// Stylesheets, scripts, core with its parts, and phrases, by path in the site.
pub(super) fn assets(phrases: &Phrases, colours: &Colours) -> Vec<(String, Cow<'static, [u8]>)> {
    let mut assets: Vec<(String, Cow<'static, [u8]>)> = match ready::scripts(phrases) {
        Some(made) => made.into_iter().map(|(name, bytes)| (name, bytes.into())).collect(),
        None => made(phrases).into_iter().map(|(name, text)| (name, text.into_bytes().into())).collect(),
    };
    if let Some((_, look)) = assets.iter_mut().find(|(name, _)| name == "site.css") {
        look.to_mut().extend_from_slice(compact_style(&super::colours::sheet(colours)).as_bytes());
    }
    assets.into_iter().map(|(name, bytes)| (format!("assets/{name}"), bytes)).collect()
}

/// Scripts and styles in a course's words, by name.
fn made(phrases: &Phrases) -> Vec<(String, String)> {
    let parts = Parts {
        compact: &compact,
        entry: core_script(),
        unpacker: core_unpacker(),
        core: core_packed(),
        extra: core_parts().collect(),
    };
    scripts(&parts, phrases)
}

/// The paths of [`assets`], in their order, without the work of making them.
pub(super) fn asset_paths() -> Vec<String> {
    asset_names().into_iter().map(|name| format!("assets/{name}")).collect()
}

/// The same without their folder.
pub(super) fn asset_names() -> Vec<String> {
    let mut names =
        ["site", "learning", "cover", "card", "log", "reference"].map(|name| format!("{name}.css")).to_vec();
    let scripts = ["learn-store", "learn", "core", "site", "quiz", "card", "around", "search", "keep"];
    names.extend(scripts.map(|name| format!("{name}.js")));
    names.push("search.css".to_owned());
    names.extend(LEARNERS_PAGES.iter().map(|name| format!("{name}.js")));
    names.extend(core_part_names().map(|name| format!("core-{name}.js")));
    let mut mistakes: Vec<String> =
        CALCULATORS.iter().map(|calculator| format!("core-mistakes-{}.js", calculator.id)).collect();
    mistakes.sort_unstable();
    names.extend(mistakes);
    names
}

/// Parts of the core that pages name and that are missing: calculators that were never built for the browser.
pub(super) fn missing_parts() -> Vec<&'static str> {
    let built: Vec<&str> = core_part_names().collect();
    let named = CALCULATORS.iter().map(|calculator| calculator.id);
    let named = named.chain(["sheet", "practice", CARD, "learning", "log", "reading"]).chain(EXTRAS);
    named.filter(|name| !built.contains(name)).collect()
}

/// The parts of the look with a blank line between them, for a page that is one file.
pub(crate) fn stylesheet() -> String {
    joined(&[STYLE, LEARNING].concat())
}

fn joined(parts: &[&str]) -> String {
    let parts: Vec<&str> = parts.iter().map(|part| text(&TEMPLATES, &format!("style/{part}.css"))).collect();
    parts.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::first_phrases;
    use crate::site::scripts::{COVER, LOG, REFERENCE};
    use std::collections::BTreeSet;

    #[test]
    fn every_file_of_the_look_is_joined_once_and_whole() {
        let folder = TEMPLATES.get_dir("style").expect("the folder is in the tree");
        let files: BTreeSet<String> = folder.files().map(|file| file.path().display().to_string()).collect();
        let joined: BTreeSet<String> = STYLE
            .iter()
            .chain(LEARNING)
            .chain(&[COVER, CARD, LOG, REFERENCE])
            .map(|part| format!("style/{part}.css"))
            .collect();
        assert_eq!(files, joined);
        assert_eq!(joined.len(), STYLE.len() + LEARNING.len() + 4, "none twice");
        let sheet = stylesheet();
        let style = |parts: &[&str]| parts.iter().map(|part| compact(&format!("style/{part}.css"))).collect::<String>();
        assert_eq!(compact_style(&sheet), style(&[STYLE, LEARNING].concat()));
        for part in STYLE.iter().chain(LEARNING) {
            let part_text = text(&TEMPLATES, &format!("style/{part}.css"));
            assert!(part_text.starts_with("/*") && part_text.ends_with("}\n"), "{part} says what it is, and ends");
            assert_eq!(sheet.matches(part_text).count(), 1, "{part}");
        }
    }

    #[test]
    fn the_paths_are_those_of_the_assets() {
        let made = assets(first_phrases(), &Colours::default());
        let paths: Vec<&str> = made.iter().map(|(path, _)| path.as_str()).collect();
        assert_eq!(paths, asset_paths());
    }

    #[test]
    fn what_was_made_ready_is_what_is_made_of_the_same_words() {
        let ready = ready::scripts(first_phrases()).expect("the stock's own words");
        let own = first_phrases().clone();
        assert!(ready::scripts(&own).is_none(), "a course's words may differ");
        let made = made(&own);
        assert_eq!(ready.len(), made.len());
        for ((name, ready), (also, made)) in ready.iter().zip(&made) {
            assert!(name == also && *ready == made.as_bytes(), "{name}, {also}");
        }
    }

    #[test]
    fn the_card_loads_every_extra_part_from_the_start() {
        let script = text(&TEMPLATES, "fit.js");
        let (_, after) = script.split_once("card: [").expect("it lists what the card needs");
        let (listed, _) = after.split_once(']').expect("the list ends");
        assert_eq!(listed, EXTRAS.map(|name| format!("{name:?}")).join(", "));
    }

    #[test]
    fn every_calculator_has_its_part() {
        assert!(missing_parts().is_empty(), "run `cargo xtask wasm`: {:?}", missing_parts());
    }
}
