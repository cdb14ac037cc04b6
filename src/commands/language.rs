//! The language a command writes in: one of the stock course's, or that of a phrase file in this folder.

use std::collections::BTreeMap;
use std::path::Path;

use crate::catalogue;
use crate::load::{Disk, own_phrases};
use crate::problem::{Problems, Severity, offer};
use tankside_calc::words::phrases::Phrases;

/// The phrases of a language, or of the stock course's if none is named. This folder's phrases override the stock ones.
///
/// # Errors
/// That there are none, and what to write.
pub(super) fn phrases(language: Option<&str>) -> Result<Phrases, String> {
    let Some(language) = language else { return Ok(catalogue::first_phrases().clone()) };
    let file = format!("phrases/{language}.yaml");
    let own = if Path::new(&file).is_file() { here(language, &file)? } else { None };
    let stock = catalogue::phrases(language)?;
    if let Some(own) = own {
        let under = stock.as_ref().unwrap_or(catalogue::first_phrases());
        let all = under.iter().map(|(key, text)| (key.to_owned(), text.to_owned()));
        return Ok(Phrases::from_pairs(all.chain(own)));
    }
    stock.ok_or_else(|| {
        let languages = catalogue::languages();
        let help = offer(language, languages.iter().map(String::as_str)).unwrap_or_default();
        format!(
            "there are no phrases for the language `{language}`\n  {help}; or translate what `tankside phrases` prints, and save it as phrases/{language}.yaml in this folder"
        )
    })
}

/// The phrases of the file in this folder.
fn here(language: &str, file: &str) -> Result<Option<BTreeMap<String, String>>, String> {
    let broken = || format!("`{file}` has mistakes\n  to see them, write tankside proof");
    let disk =
        Disk::open(Path::new(".")).map_err(|_| format!("this folder cannot be read, so neither can `{file}`"))?;
    let mut problems = Problems::default();
    let own = own_phrases(&disk, language, &mut problems);
    if problems.iter().any(|problem| *problem.file == *file && problem.severity == Severity::Error) {
        Err(broken())
    } else {
        Ok(own)
    }
}
