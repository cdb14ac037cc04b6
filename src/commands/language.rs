//! The language a command writes in: one of the stock course's, or that of a phrase file in this folder.

use std::collections::BTreeMap;
use std::path::Path;

use super::style;
use crate::catalogue;
use crate::load::{Disk, own_phrases};
use crate::problem::{Problems, Severity, capital, offer};
use tankside_calc::words::phrases::Phrases;

/// The phrases of a language, or of the stock course's if none is named. This folder's phrases override the stock ones.
///
/// # Errors
/// Says that the language has no phrases and what to write, or what is wrong with them.
pub(super) fn phrases(language: Option<&str>) -> Result<Phrases, NoPhrases> {
    let Some(language) = language else { return Ok(catalogue::first_phrases().clone()) };
    if !is_code(language) {
        return Err(NoPhrases::Said(format!(
            "`{language}` is not a code of a language.\n  Write two letters or more, for example --language es"
        )));
    }
    let file = format!("phrases/{language}.yaml");
    let own = if Path::new(&file).is_file() { here(language, &file)? } else { None };
    let stock = catalogue::phrases(language).map_err(NoPhrases::Said)?;
    if let Some(own) = own {
        let under = stock.as_ref().unwrap_or(catalogue::first_phrases());
        let all = under.iter().map(|(key, text)| (key.to_owned(), text.to_owned()));
        return Ok(Phrases::from_pairs(all.chain(own)));
    }
    stock.ok_or_else(|| {
        let languages = catalogue::languages();
        let help = offer(language, languages.iter().map(String::as_str)).unwrap_or_default();
        NoPhrases::Said(format!(
            "There are no phrases for the language `{language}`.\n  {}; or translate what `tankside phrases` prints, and save it as phrases/{language}.yaml in this folder",
            capital(&help)
        ))
    })
}

/// Why there are no phrases.
pub(super) enum NoPhrases {
    /// What is wrong, and below it what to write.
    Said(String),
    /// The mistakes of a file, as they are drawn.
    Mistakes(String),
}

/// Whether a word is written as a language's code is: `es`, `pt-BR`.
fn is_code(language: &str) -> bool {
    let shape = |part: &str| (2..=8).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_alphanumeric());
    language.split('-').all(shape)
}

/// The phrases of the file in this folder.
fn here(language: &str, file: &str) -> Result<Option<BTreeMap<String, String>>, NoPhrases> {
    let unread = |_| NoPhrases::Said(format!("This folder cannot be read, so neither can `{file}`."));
    let disk = Disk::open(Path::new(".")).map_err(unread)?;
    let mut problems = Problems::default();
    let own = own_phrases(&disk, language, &mut problems);
    // The folder need not be a course, so its other files are not looked at.
    let mut of_file = Problems::new();
    of_file.extend(problems.into_iter().filter(|problem| *problem.file == *file));
    if of_file.iter().any(|problem| problem.severity == Severity::Error) {
        Err(NoPhrases::Mistakes(of_file.draw(style())))
    } else {
        Ok(own)
    }
}
