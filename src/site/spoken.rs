//! What scripts say: a course's phrases as data inside them. For the stock's own phrases this is made when the program is
//! built (`build.rs`).

use tankside_calc::text::json::Value;
use tankside_calc::words::phrases::{NUMBER, Phrases};

/// Sets of synonyms for the search are phrases whose keys begin with this.
pub(crate) const SAME: &str = "search.same-";
/// What a learner would type to find a calculator or a page, in words that its title does not have: phrases whose keys
/// are this and its name.
pub(crate) const ASKED: &str = "search.asked-";
/// The phrase of the words of a question that say nothing about what is asked.
pub(crate) const SMALL: &str = "search.small";

/// JSON as it may be written inside a script: `<` never appears.
pub(crate) fn in_script(json: &str) -> String {
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028")
}

/// The script by which the core or a part of it registers itself: its packed module and what it says.
pub(crate) fn brought(name: &str, packed: &str, phrases: impl Into<Value>) -> String {
    format!("brought(\"{name}\",\"{packed}\",{});\n", in_script(&phrases.into().line()))
}

/// The sentences that the learner's scripts put on a page, by name.
pub(crate) fn learner_words(phrases: &Phrases) -> String {
    let words = phrases.iter().filter_map(|(key, text)| Some((key.strip_prefix("learn.")?.to_owned(), text.into())));
    let words = words.chain([("number".to_owned(), phrases.get(NUMBER).into())]);
    format!("const TANKSIDE_WORDS = {};\n", in_script(&Value::Map(words.collect()).line()))
}

/// The sentences of the script that every page has.
pub(crate) fn around_words(phrases: &Phrases) -> String {
    let own = |(key, text): (&str, &str)| {
        let name = key.strip_prefix("kept.").or_else(|| (key == "search.failed").then_some("search-failed"))?;
        Some((name.to_owned(), text.into()))
    };
    let words = phrases.iter().filter_map(own).filter(|(name, _)| !name.starts_with("missing")).collect();
    format!("const TANKSIDE_AROUND = {};\n", in_script(&Value::Map(words).line()))
}

/// The sentences that the search itself shows, for its script.
pub(crate) fn search_words(phrases: &Phrases) -> String {
    let own = |(key, text): (&str, &str)| {
        let name = key.strip_prefix("search.")?;
        let shown = ![SAME, ASKED, SMALL, "search.in-"].iter().any(|of_the_index| key.starts_with(of_the_index));
        shown.then(|| (name.to_owned(), text.into()))
    };
    format!("const TANKSIDE_SEARCH = {};\n", in_script(&Value::Map(phrases.iter().filter_map(own).collect()).line()))
}
