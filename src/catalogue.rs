//! Phrase catalogues and stock cautions, from the stock content.

use crate::embedded::CONTENT;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use serde::Deserialize;
use std::collections::BTreeMap;
use tankside_calc::phrases::Phrases;

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
        let events = Parser::new_ext(&self.text, Options::empty()).filter(|event| {
            !matches!(
                event,
                Event::Start(Tag::Paragraph) | Event::End(TagEnd::Paragraph) | Event::Html(_) | Event::InlineHtml(_)
            )
        });
        let mut out = String::new();
        pulldown_cmark::html::push_html(&mut out, events);
        out
    }
}
