//! Phrase catalogs, stock cautions, the glossary and further examples for calculators, from the stock content.

use crate::embedded::{CONTENT, as_json, file, phrase_records};
use crate::notation::{NAME_PATTERN, SAYS_SOMETHING};
use crate::yaml::or_default;
use pulldown_cmark::{CowStr, Event, Options, Parser, Tag, TagEnd};
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};
use tankside_calc::words::phrases::Phrases;

#[derive(Deserialize)]
struct LanguageFile {
    first: String,
}

/// The language of the stock course: used where none is named.
pub fn first_language() -> String {
    static FIRST: OnceLock<String> = OnceLock::new();
    let read = || {
        let read = serde_json::from_str(as_json("language").unwrap_or_default());
        // A test reads the file; without it the name of the only catalog serves.
        read.map_or_else(|_| languages().into_iter().next().unwrap_or_default(), |file: LanguageFile| file.first)
    };
    FIRST.get_or_init(read).clone()
}

/// The phrases of the stock course's language, which lacks none.
pub fn first_phrases() -> &'static Phrases {
    first_phrases_shared()
}

/// The same for a course that has no others, without a copy of all of them.
pub fn first_phrases_shared() -> &'static Arc<Phrases> {
    static FIRST: OnceLock<Arc<Phrases>> = OnceLock::new();
    FIRST.get_or_init(|| Arc::new(phrases(&first_language()).ok().flatten().unwrap_or_default()))
}

/// Reads what every course needs of the stock, so that it is there when it is asked for.
pub fn read_ahead() {
    let first = first_language();
    // What cannot be read is reported by whoever asks for it.
    let _ = (first_phrases(), limit_lists(), cautions(&first), glossary(&first));
}

/// Words of a language that make an amount the most there may be, parted by commas.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitList {
    /// In front of the amount.
    pub before: String,
    /// After it.
    pub after: String,
}

/// The words for a maximum in languages that have no catalog, by language. A test reads the file.
pub fn limit_lists() -> &'static BTreeMap<String, LimitList> {
    static LISTS: OnceLock<BTreeMap<String, LimitList>> = OnceLock::new();
    LISTS.get_or_init(|| serde_json::from_str(as_json("limits").unwrap_or_default()).unwrap_or_default())
}

/// The languages that have a catalog.
pub fn languages() -> Vec<String> {
    let folder = CONTENT.get_dir("phrases");
    let names = folder.map_or_else(Vec::new, |folder| folder.dirs().collect());
    names.iter().filter_map(|dir| Some(dir.path().file_name()?.to_str()?.to_owned())).collect()
}

/// The catalog of a language, if there is one.
///
/// # Errors
/// A catalog that cannot be read, with its file's name; only a developer sees it.
pub fn phrases(language: &str) -> Result<Option<Phrases>, String> {
    let Some(records) = phrase_records(language) else { return Ok(None) };
    let mut pairs = Vec::with_capacity(records.matches('\u{1e}').count());
    for record in records.split_terminator('\u{1e}') {
        pairs.push(record.split_once('\u{1f}').ok_or_else(|| format!("phrases/{language}: `{record}`"))?);
    }
    Ok(Some(Phrases::from_pairs(pairs)))
}

/// A stock caution, or one of a course's own `cautions.yaml`.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StockCaution {
    /// Its name.
    #[schemars(regex(pattern = NAME_PATTERN), length(max = 80))]
    pub id: String,
    /// `danger`, `warning` or `notice`.
    #[schemars(extend("enum" = ["danger", "warning", "notice"]))]
    pub severity: String,
    /// What it says, inline CommonMark.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub text: String,
    /// Where it applies, if not everywhere.
    pub jurisdiction: Option<String>,
    /// What it rests on.
    pub sources: Vec<String>,
}

/// `cautions.yaml`.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CautionFile {
    /// The cautions.
    pub cautions: Vec<StockCaution>,
}

/// Whether the stock has a file of that name in its first language; what other languages have translates these.
pub fn is_stock(folder: &str, name: &str) -> bool {
    file(&CONTENT, &format!("{folder}/{}/{name}", first_language())).is_some()
}

/// A stock file in the first language, which is read once, with what another language has of it over that; nothing
/// where it has none.
///
/// # Errors
/// As [`phrases`].
fn in_languages<T: serde::de::DeserializeOwned + Clone>(
    name: &str,
    language: &str,
    read_first: &OnceLock<Result<T, String>>,
) -> Result<(T, Option<T>), String> {
    let read = |language: &str| -> Result<Option<T>, String> {
        let Some(text) = as_json(&format!("{name}/{language}")) else { return Ok(None) };
        serde_json::from_str(text).map(Some).map_err(|fault| format!("{name}/{language}.yaml: {fault}"))
    };
    let first = first_language();
    let whole = || read(&first)?.ok_or_else(|| format!("{name}/{first}.yaml is missing"));
    let whole = read_first.get_or_init(whole).clone()?;
    Ok((whole, if language == first { None } else { read(language)? }))
}

/// The stock cautions by name, in a language as far as it has them.
///
/// # Errors
/// As [`phrases`].
pub fn cautions(language: &str) -> Result<BTreeMap<String, StockCaution>, String> {
    static FIRST: OnceLock<Result<CautionFile, String>> = OnceLock::new();
    let (first, over) = in_languages("cautions", language, &FIRST)?;
    let all = first.cautions.into_iter().chain(over.into_iter().flat_map(|over| over.cautions));
    Ok(all.map(|caution| (caution.id.clone(), caution)).collect())
}

impl StockCaution {
    /// What it says, as inline HTML.
    pub fn html(&self) -> String {
        inline(&self.text)
    }
}

/// A term of the glossary.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// Its name in addresses.
    #[schemars(regex(pattern = NAME_PATTERN), length(max = 80))]
    pub id: String,
    /// The word as a sentence uses it.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub term: String,
    /// Other words for the same thing.
    #[serde(default, deserialize_with = "or_default")]
    pub also: Vec<String>,
    /// What it means, inline CommonMark; `term:ID` leads to another entry.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub text: String,
    /// What it rests on.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub source: String,
}

/// `glossary.yaml`.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GlossaryFile {
    /// The terms.
    pub terms: Vec<Term>,
}

/// The glossary in alphabetical order, in a language as far as it has the terms.
///
/// # Errors
/// As [`phrases`].
pub fn glossary(language: &str) -> Result<Vec<Term>, String> {
    static FIRST: OnceLock<Result<GlossaryFile, String>> = OnceLock::new();
    let (first, over) = in_languages("glossary", language, &FIRST)?;
    let mut terms = over.map_or_else(Vec::new, |over| over.terms);
    let missing = first.terms.into_iter().filter(|term| terms.iter().all(|other| other.id != term.id));
    let missing: Vec<Term> = missing.collect();
    terms.extend(missing);
    Ok(in_order(terms))
}

/// Which of the stock's lists a language does not have whole, each with how many entries are missing.
pub fn untranslated(language: &str) -> Vec<(&'static str, usize)> {
    fn lacking<T: serde::de::DeserializeOwned + Clone>(
        name: &str,
        language: &str,
        ids: impl Fn(T) -> Vec<String>,
    ) -> usize {
        in_languages::<T>(name, language, &OnceLock::new()).map_or(0, |(first, over)| {
            let there = over.map(&ids).unwrap_or_default();
            ids(first).iter().filter(|id| !there.contains(id)).count()
        })
    }
    let cautions = |file: CautionFile| file.cautions.into_iter().map(|one| one.id).collect();
    let terms = |file: GlossaryFile| file.terms.into_iter().map(|one| one.id).collect();
    let all =
        [("cautions", lacking("cautions", language, cautions)), ("glossary", lacking("glossary", language, terms))];
    all.into_iter().filter(|(_, count)| *count > 0).collect()
}

/// The sheet of formulas for an exam as JSON, in a language if it has one.
pub fn exam_sheet(language: &str) -> &'static str {
    let sheet = |language: &str| as_json(&format!("exam-sheet/{language}"));
    sheet(language).or_else(|| sheet(&first_language())).unwrap_or_default()
}

/// Terms in alphabetical order.
pub fn in_order(mut terms: Vec<Term>) -> Vec<Term> {
    terms.sort_by_cached_key(|term| term.term.to_lowercase());
    terms
}

impl Term {
    /// What it means, as inline HTML.
    pub fn html(&self) -> String {
        inline(&self.text)
    }
}

/// What the pages know about a calculator beyond its declaration.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Situations {
    /// The shelf on which the first page shows it.
    pub shelf: String,
    /// Inputs by flat name, each a problem that shows formulas or raises cautions that its example does not.
    #[serde(default)]
    pub situations: Vec<BTreeMap<String, String>>,
}

/// What `content/work/ID.yaml` says about a calculator; nothing if there is no such file.
///
/// # Errors
/// As [`phrases`].
pub fn situations(calculator: &str) -> Result<Option<Situations>, String> {
    let Some(text) = as_json(&format!("work/{calculator}")) else { return Ok(None) };
    serde_json::from_str(text).map(Some).map_err(|fault| format!("work/{calculator}.yaml: {fault}"))
}

/// Addresses in an inline text that are never let through: those that are neither web, nor mail, nor telephone, nor a term.
pub fn refused_addresses(text: &str) -> Vec<String> {
    let links = Parser::new_ext(text, Options::empty()).filter_map(|event| match event {
        Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => Some(dest_url.into_string()),
        _ => None,
    });
    links.filter(|address| !passes(address)).collect()
}

/// The first tag of HTML in an inline text, which is never let through.
pub fn html_within(text: &str) -> Option<String> {
    Parser::new_ext(text, Options::empty()).find_map(|event| match event {
        Event::Html(tag) | Event::InlineHtml(tag) if !tag.starts_with("<!--") => {
            Some(tag.lines().next()?.trim().to_owned())
        }
        _ => None,
    })
}

fn passes(address: &str) -> bool {
    let known = ["https://", "http://", "mailto:", "tel:+", "term:"];
    known.iter().any(|start| address.starts_with(start)) && !address.chars().any(char::is_control)
}

/// Inline CommonMark as HTML; no raw HTML passes, no picture, and no addresses but those of the web, of mail and of telephones.
pub fn inline(text: &str) -> String {
    let mut open = Vec::new();
    let events = Parser::new_ext(text, Options::ENABLE_SMART_PUNCTUATION).filter_map(|event| match event {
        Event::Start(Tag::Paragraph) | Event::End(TagEnd::Paragraph) | Event::Html(_) | Event::InlineHtml(_) => None,
        Event::Start(Tag::Image { .. }) | Event::End(TagEnd::Image) => None,
        Event::Start(Tag::Link { ref dest_url, .. }) if !passes(dest_url) => {
            open.push(false);
            None
        }
        Event::End(TagEnd::Link) => open.pop().unwrap_or(true).then_some(event),
        Event::Start(Tag::Link { link_type, dest_url, title, id }) => {
            let dest_url = match dest_url.strip_prefix("term:") {
                Some(term) => CowStr::from(format!("#{term}")),
                None => dest_url,
            };
            open.push(true);
            Some(Event::Start(Tag::Link { link_type, dest_url, title, id }))
        }
        other => Some(other),
    });
    let mut out = String::new();
    pulldown_cmark::html::push_html(&mut out, events);
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_term_has_a_name_of_its_own_a_meaning_and_a_source() {
        let terms = glossary(&first_language()).expect("the glossary can be read");
        let mut seen = BTreeSet::new();
        for term in &terms {
            assert!(crate::notation::is_name(&term.id), "{}", term.id);
            assert!(seen.insert(term.id.as_str()), "{} is there twice", term.id);
            assert!(term.text.trim().ends_with('.') && !term.source.trim().is_empty(), "{}", term.id);
            assert_ne!(term.id, "main", "the page itself has that identifier");
        }
        let mut words = BTreeSet::new();
        for term in &terms {
            assert!(words.insert(term.term.to_lowercase()), "{} is there twice", term.term);
        }
    }

    #[test]
    fn a_term_leads_only_to_terms_that_there_are() {
        let terms = glossary(&first_language()).expect("the glossary can be read");
        let ids: BTreeSet<&str> = terms.iter().map(|term| term.id.as_str()).collect();
        for term in &terms {
            for link in term.html().split("href=\"").skip(1) {
                let target = link.split('"').next().unwrap_or_default();
                let known = target.strip_prefix('#').is_some_and(|id| ids.contains(id) && id != term.id);
                assert!(known, "{}: {target}", term.id);
            }
        }
    }

    #[test]
    fn a_glossary_text_is_inline_and_lets_no_html_through() {
        assert_eq!(inline("a *b* <i>c</i> [d](term:e)"), "a <em>b</em> c <a href=\"#e\">d</a>");
        assert_eq!(inline("[a](javascript:x) [b](data:y) ![c](https://d.example/e)"), "a b c");
        assert_eq!(refused_addresses("[a](javascript:x) [b](https://c.example)"), ["javascript:x"]);
    }

    #[test]
    fn what_was_made_ready_says_what_the_files_say() {
        for folder in CONTENT.get_dir("phrases").expect("there are phrases").dirs() {
            let language = folder.path().file_name().and_then(|name| name.to_str()).expect("plain");
            let mut read = BTreeMap::new();
            for file in folder.files() {
                let text = file.contents_utf8().expect("UTF-8");
                read.extend(serde_yaml::from_str::<BTreeMap<String, String>>(text).expect("phrases"));
            }
            let ready = phrases(language).expect("readable").expect("it has a catalog");
            assert!(read.len() > 2_000, "{language}: {}", read.len());
            assert!(ready.iter().eq(read.iter().map(|(key, text)| (key.as_str(), text.as_str()))), "{language}");
        }
        for path in ["cautions/en", "exam-sheet/en", "glossary/en", "work/tank-mix", "language", "limits"] {
            let read: serde_json::Value =
                serde_yaml::from_str(crate::embedded::text(&CONTENT, &format!("{path}.yaml"))).expect("YAML");
            let ready: serde_json::Value = serde_json::from_str(as_json(path).expect("it is there")).expect("JSON");
            assert!(!read.is_null() && ready == read, "{path}");
        }
    }

    #[test]
    fn the_first_language_has_a_catalog() {
        assert!(languages().contains(&first_language()));
        assert!(first_phrases().find("site.lessons").is_some());
        assert!(limit_lists().contains_key("es"), "limits.yaml can be read");
    }
}
