//! What a course brings besides lessons, questions and pictures: its own cautions, terms, phrases, attachments and
//! template parts.

use std::collections::{BTreeMap, BTreeSet};

use super::attachments::{Attachment, attachments};
use super::files::Files;
use super::parts::own_parts;
use super::phrases::{other_phrases, own_phrases};
use super::settings::CourseFile;
use super::text::read_text;
use super::words::{cautions, terms};
use crate::catalogue::{StockCaution, Term};
use crate::embedded::is_text;
use crate::notation::is_name;
use crate::problem::{Problem, Problems, Severity, Source};

/// What a course brings besides lessons, questions and pictures.
#[derive(Debug, Default)]
pub struct Own {
    /// Its cautions.
    pub cautions: Vec<StockCaution>,
    /// The problem to report for each of its cautions that no lesson shows, by name.
    pub unplaced_cautions: Vec<(String, Problem)>,
    /// Its terms.
    pub terms: Vec<Term>,
    /// Its phrases, over the stock ones; `None` if it has no file for the course's language.
    pub phrases: Option<BTreeMap<String, String>>,
    /// Its attachments: those with a title first, in the order of `course.yaml`.
    pub attachments: Vec<Attachment>,
    /// Names of cautions in a file that could not be read: that they are missing would say nothing new.
    pub unread_cautions: BTreeSet<String>,
    /// The same of terms.
    pub unread_terms: BTreeSet<String>,
    /// Template parts that replace stock ones, by the stock part's name: `parts/foot.html`.
    pub templates: BTreeMap<String, Source>,
}

/// Reads all of it.
pub(super) fn load_own(files: &dyn Files, settings: &CourseFile, problems: &mut Problems) -> Own {
    let (cautions, unplaced_cautions) = cautions(files, &settings.language, problems);
    other_phrases(files, &settings.language, problems);
    let mut own = Own {
        unread_cautions: BTreeSet::new(),
        unread_terms: BTreeSet::new(),
        cautions,
        unplaced_cautions,
        terms: terms(files, &settings.language, problems),
        phrases: own_phrases(files, &settings.language, problems),
        attachments: attachments(files, settings, problems),
        templates: own_parts(files, problems),
    };
    // Entries that could not be read, or are left out of their file, are there all the same.
    let faulty = |stem: &str| {
        let in_file = |problem: &Problem| problem.severity == Severity::Error && problem.file.starts_with(stem);
        problems.iter().any(in_file)
    };
    if own.cautions.is_empty() || faulty("cautions") {
        own.unread_cautions.extend(named(files, "cautions", &settings.language));
    }
    if own.terms.is_empty() || faulty("glossary") {
        own.unread_terms.extend(named(files, "glossary", &settings.language));
    }
    own
}

/// The names in a file of cautions or terms that could not be read, or that has another ending.
fn named(files: &dyn Files, stem: &str, language: &str) -> Vec<String> {
    let names = [format!("{stem}/{language}.yaml"), format!("{stem}.yaml"), format!("{stem}.yml")];
    // The stock's own files can be read, and their names are known.
    let sources = names.iter().filter_map(|name| own_text(files, name, &mut Problems::new()));
    let id = |line: &str| {
        let name = line.trim_start_matches([' ', '-']).trim_start_matches("{ ").strip_prefix("id:")?;
        let name = name.trim_start().split([' ', ',', '#', '}']).next()?.trim_matches(['"', '\'']);
        (!name.is_empty()).then(|| name.to_owned())
    };
    // Entries under their names, in place of a list.
    let key = |line: &str| {
        let name = line.trim_end().strip_suffix(':').filter(|name| is_name(name))?;
        (!["cautions", "terms"].contains(&name)).then(|| name.to_owned())
    };
    let name = |line: &str| id(line).or_else(|| key(line));
    sources.flat_map(|source| source.text.lines().filter_map(name).collect::<Vec<_>>()).collect()
}

/// One of the course's own optional text files; the stock's file of the same name is a separate one.
pub(super) fn own_text(files: &dyn Files, name: &str, problems: &mut Problems) -> Option<Source> {
    // A link that leads out of the course is there, and is not read.
    let (folder, file) = name.rsplit_once('/').unwrap_or(("", name));
    if !files.has(name) && !files.list(folder).iter().any(|other| other == file) {
        return None;
    }
    match read_text(files, name) {
        Ok(source) => (!is_text(name, &source.text)).then_some(source),
        Err(problem) => {
            problems.push(problem);
            None
        }
    }
}
