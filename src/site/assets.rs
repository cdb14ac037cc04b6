//! Files that every page shares.

use super::compact::compact_style;
use crate::embedded::{TEMPLATES, compact, core_packed, core_part_names, core_parts, core_script, core_unpacker, text};
use crate::load::Colours;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::fitted::EXTRAS;
use tankside_calc::text::json::Value;
use tankside_calc::words::phrases::{NUMBER, Phrases};

/// The files of `templates/style/`, in the order in which they are joined into the one published stylesheet: later
/// rules win over earlier ones, so the order is part of the look.
const STYLE: &[&str] =
    &["colours-and-sizes", "frame", "page", "prose", "caution", "worked-example", "answer", "asks", "turn", "foot"];

/// The look of lessons, of questions and of what learners do, on lessons and learners' pages; a calculator's page does
/// without it.
const LEARNING: &[&str] = &["lesson", "quiz", "learning"];
/// The look of the formula sheet, of units and of the glossary.
const REFERENCE: &str = "reference";
/// The look of the first page, of the calibration card and of the day's log, each on one page only.
const COVER: &str = "cover";
const CARD: &str = "card";
const LOG: &str = "log";

/// The scripts that every page has, in the order in which they are joined.
const SITE: &[&str] = &["fit.js", "page.js", "bar.js", "worked.js", "site.js"];
/// The scripts in `templates/learn/` that every page which asks questions needs, in the order in which they are joined.
const ASKING: &[&str] = &["question", "round", "paper", "marked", "resume"];
/// The scripts of single pages for learners.
const LEARNERS_PAGES: &[&str] = &["home", "drill", "exam", "finds", "log", "pocket", "progress", "reading", "steps"];

fn script(name: &str) -> &'static str {
    compact(&format!("learn/{name}.js"))
}

/// A script in `templates/around/`: what every page has whatever is on it.
fn around_script(name: &str) -> &'static str {
    compact(&format!("around/{name}.js"))
}

/// The sentences that the learner's scripts put on a page, by name.
fn learner_words(phrases: &Phrases) -> String {
    let words = phrases.iter().filter_map(|(key, text)| Some((key.strip_prefix("learn.")?.to_owned(), text.into())));
    let words = words.chain([("number".to_owned(), phrases.get(NUMBER).into())]);
    format!("const TANKSIDE_WORDS = {};\n", in_script(&Value::Map(words.collect()).line()))
}

/// Stylesheets, scripts, core with its parts, and phrases, by path in the site.
pub(super) fn assets(phrases: &Phrases, colours: &Colours) -> Vec<(String, Vec<u8>)> {
    let mut said = super::phrases::by_part(phrases);
    let mut part = |name: &str, packed: &str| brought(name, packed, said.remove(name).unwrap_or_default());
    let core = part(super::phrases::CORE, core_packed());
    let unpack = format!("const TANKSIDE_UNPACK=\"{}\";\n", core_unpacker()) + compact("unpack.js");
    let parts: Vec<(&str, String)> = core_parts().map(|(name, packed)| (name, part(name, packed))).collect();
    let store = learner_words(phrases) + script("shelf") + script("store");
    let asking: String = ASKING.iter().map(|name| script(name)).collect();
    let named = |name: &str, text: String| (format!("assets/{name}"), text.into_bytes());
    let mut assets = vec![
        named("site.css", style(STYLE) + &compact_style(&super::colours::sheet(colours))),
        named("learning.css", style(LEARNING)),
        named("cover.css", style(&[COVER])),
        named("card.css", style(&[CARD])),
        named("log.css", style(&[LOG])),
        named("reference.css", style(&[REFERENCE])),
        named("learn-store.js", store),
        named("learn.js", asking),
        named("core.js", unpack + core_script() + &core),
    ];
    let site: String = SITE.iter().map(|name| compact(name)).collect();
    assets.push(named("site.js", site));
    for name in ["quiz", "card"] {
        assets.push(named(&format!("{name}.js"), compact(&format!("{name}.js")).to_owned()));
    }
    let around = super::offline::words(phrases) + around_script("around");
    let found: String = ["find", "search"].map(around_script).concat();
    let search = super::search::words(phrases) + &found;
    assets.push(named("around.js", around));
    assets.push(named("search.js", search));
    assets.push(named("keep.js", around_script("keep").to_owned()));
    assets.push(named("search.css", compact("around/search.css").to_owned()));
    for name in LEARNERS_PAGES {
        assets.push(named(&format!("{name}.js"), script(name).to_owned()));
    }
    assets.extend(parts.into_iter().map(|(name, script)| named(&format!("core-{name}.js"), script)));
    // What is left belongs to no part: the words of mistakes.
    assets.extend(said.into_iter().map(|(name, lines)| named(&format!("core-{name}.js"), brought(&name, "", lines))));
    assets
}

/// The script by which the core or a part of it registers itself: its packed module and what it says.
fn brought(name: &str, packed: &str, phrases: impl Into<Value>) -> String {
    format!("brought(\"{name}\",\"{packed}\",{});\n", in_script(&phrases.into().line()))
}

/// The paths of [`assets`], in their order, without the work of making them.
pub(super) fn asset_paths() -> Vec<String> {
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
    names.into_iter().map(|name| format!("assets/{name}")).collect()
}

/// Parts of the core that pages name and that are missing: calculators that were never built for the browser.
pub(super) fn missing_parts() -> Vec<&'static str> {
    let built: Vec<&str> = core_part_names().collect();
    let named = CALCULATORS.iter().map(|calculator| calculator.id);
    let named = named.chain(["sheet", "practice", CARD, "learning", "log", "reading"]).chain(EXTRAS);
    named.filter(|name| !built.contains(name)).collect()
}

/// Parts of the look, compact: each is whole by itself.
fn style(parts: &[&str]) -> String {
    parts.iter().map(|part| compact(&format!("style/{part}.css"))).collect()
}

/// The parts of the look with a blank line between them, for a page that is one file.
pub(crate) fn stylesheet() -> String {
    joined(&[STYLE, LEARNING].concat())
}

fn joined(parts: &[&str]) -> String {
    let parts: Vec<&str> = parts.iter().map(|part| text(&TEMPLATES, &format!("style/{part}.css"))).collect();
    parts.join("\n")
}

/// JSON as it may be written inside a script: `<` never appears.
pub(super) fn in_script(json: &str) -> String {
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028")
}

#[cfg(test)]
mod tests {
    use super::*;
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
        assert_eq!(compact_style(&sheet), style(&[STYLE, LEARNING].concat()));
        for part in STYLE.iter().chain(LEARNING) {
            let part_text = text(&TEMPLATES, &format!("style/{part}.css"));
            assert!(part_text.starts_with("/*") && part_text.ends_with("}\n"), "{part} says what it is, and ends");
            assert_eq!(sheet.matches(part_text).count(), 1, "{part}");
        }
    }

    #[test]
    fn the_paths_are_those_of_the_assets() {
        let phrases = crate::catalogue::phrases("en").expect("a readable catalogue").expect("there is English");
        let made = assets(&phrases, &Colours::default());
        let paths: Vec<&str> = made.iter().map(|(path, _)| path.as_str()).collect();
        assert_eq!(paths, asset_paths());
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
