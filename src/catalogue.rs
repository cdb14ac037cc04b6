//! Phrase catalogues, stock cautions, the glossary and more situations of calculators, from the stock content.

use crate::embedded::CONTENT;
use pulldown_cmark::{CowStr, Event, Options, Parser, Tag, TagEnd};
use serde::Deserialize;
use std::collections::BTreeMap;
use tankside_calc::words::phrases::Phrases;

/// The languages that have a catalogue.
pub fn languages() -> Vec<String> {
    let folder = CONTENT.get_dir("phrases");
    let names = folder.map_or_else(Vec::new, |folder| folder.dirs().collect());
    names.iter().filter_map(|dir| Some(dir.path().file_name()?.to_str()?.to_owned())).collect()
}

/// The catalogue of a language; `None` where there is none.
///
/// # Errors
/// A catalogue that cannot be read, with its file's name; only a developer sees it.
pub fn phrases(language: &str) -> Result<Option<Phrases>, String> {
    let Some(folder) = CONTENT.get_dir(format!("phrases/{language}")) else { return Ok(None) };
    let mut pairs = Vec::new();
    for file in folder.files() {
        let name = file.path().display().to_string();
        let text = file.contents_utf8().ok_or_else(|| format!("{name} is not UTF-8"))?;
        let read: BTreeMap<String, String> = serde_yaml::from_str(text).map_err(|fault| format!("{name}: {fault}"))?;
        pairs.extend(read);
    }
    Ok(Some(Phrases::from_pairs(pairs)))
}

/// A stock caution.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StockCaution {
    /// Its name.
    pub id: String,
    /// `danger`, `warning` or `notice`.
    pub severity: String,
    /// What it says, inline CommonMark.
    pub text: String,
    /// Where it applies, if not everywhere.
    #[serde(default)]
    pub jurisdiction: Option<String>,
    /// What it rests on.
    pub sources: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CautionFile {
    cautions: Vec<StockCaution>,
}

/// The stock cautions by name.
///
/// # Errors
/// As [`phrases`].
pub fn cautions() -> Result<BTreeMap<String, StockCaution>, String> {
    let text = crate::embedded::text(&CONTENT, "cautions.yaml");
    let file: CautionFile = serde_yaml::from_str(text).map_err(|fault| format!("cautions.yaml: {fault}"))?;
    Ok(file.cautions.into_iter().map(|caution| (caution.id.clone(), caution)).collect())
}

impl StockCaution {
    /// What it says, as inline HTML.
    pub fn html(&self) -> String {
        inline(&self.text)
    }
}

/// A term of the glossary.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// Its name in addresses.
    pub id: String,
    /// The word as a sentence has it.
    pub term: String,
    /// Other words for the same thing.
    #[serde(default)]
    pub also: Vec<String>,
    /// What it means, inline CommonMark; `term:ID` leads to another entry.
    pub text: String,
    /// What it rests on.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GlossaryFile {
    terms: Vec<Term>,
}

/// The glossary in alphabetical order.
///
/// # Errors
/// As [`phrases`].
pub fn glossary() -> Result<Vec<Term>, String> {
    let text = crate::embedded::text(&CONTENT, "glossary.yaml");
    let file: GlossaryFile = serde_yaml::from_str(text).map_err(|fault| format!("glossary.yaml: {fault}"))?;
    let mut terms = file.terms;
    terms.sort_by_cached_key(|term| term.term.to_lowercase());
    Ok(terms)
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
    /// Inputs by flat name, each a problem that shows formulas or raises cautions which its example does not.
    #[serde(default)]
    pub situations: Vec<serde_yaml::Mapping>,
}

/// What `content/work/ID.yaml` says of a calculator; nothing where there is no such file.
///
/// # Errors
/// As [`phrases`].
pub fn situations(calculator: &str) -> Result<Option<Situations>, String> {
    let name = format!("work/{calculator}.yaml");
    let Some(text) = CONTENT.get_file(&name).and_then(|file| file.contents_utf8()) else { return Ok(None) };
    serde_yaml::from_str(text).map(Some).map_err(|fault| format!("{name}: {fault}"))
}

/// Inline CommonMark as HTML; no HTML of its own passes.
fn inline(text: &str) -> String {
    let events = Parser::new_ext(text, Options::empty()).filter_map(|event| match event {
        Event::Start(Tag::Paragraph) | Event::End(TagEnd::Paragraph) | Event::Html(_) | Event::InlineHtml(_) => None,
        Event::Start(Tag::Link { link_type, dest_url, title, id }) => {
            let dest_url = match dest_url.strip_prefix("term:") {
                Some(term) => CowStr::from(format!("#{term}")),
                None => dest_url,
            };
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
        let terms = glossary().expect("the glossary can be read");
        let mut seen = BTreeSet::new();
        for term in &terms {
            assert!(crate::notation::is_name(&term.id), "{}", term.id);
            assert!(seen.insert(term.id.as_str()), "{} stands twice", term.id);
            assert!(term.text.trim().ends_with('.') && !term.source.trim().is_empty(), "{}", term.id);
            assert_ne!(term.id, "main", "the page itself has that identifier");
        }
        let mut words = BTreeSet::new();
        for term in &terms {
            assert!(words.insert(term.term.to_lowercase()), "{} stands twice", term.term);
        }
    }

    #[test]
    fn a_term_leads_only_to_terms_that_there_are() {
        let terms = glossary().expect("the glossary can be read");
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
    }
}
