//! What a course brings besides lessons, questions and pictures: its own cautions, terms, phrases, attachments and
//! template parts.

use std::collections::{BTreeMap, BTreeSet};

use super::attachments::{Attachment, attachments};
use super::files::Files;
use super::settings::CourseFile;
use super::text::read_text;
use super::unread::rename;
use crate::catalogue::{CautionFile, GlossaryFile, StockCaution, Term, html_within, refused_addresses};
use crate::embedded::{TEMPLATES, is_text};
use crate::notation::is_name;
use crate::problem::{ASKED, Problem, Problems, Severity, Source, code, offer};
use crate::yaml::{Document, Filled, Node, Seen, check_name, not_blank};
use tankside_calc::words::notation::Notation;
use tankside_calc::words::phrases::NUMBER;

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
        templates: templates(files, problems),
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
fn own_text(files: &dyn Files, name: &str, problems: &mut Problems) -> Option<Source> {
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

/// The course's own files of words: the one in its language, `cautions/es.yaml`, and then `cautions.yaml` for the
/// entries that it lacks.
fn own_words(files: &dyn Files, name: &str, language: &str, problems: &mut Problems) -> Vec<Source> {
    let names = [format!("{name}/{language}.yaml"), format!("{name}.yaml")];
    names.iter().filter_map(|name| own_text(files, name, problems)).collect()
}

/// The course's own cautions, and the problem to report for each that no lesson shows.
fn cautions(files: &dyn Files, language: &str, problems: &mut Problems) -> (Vec<StockCaution>, Vec<(String, Problem)>) {
    let (mut all, mut unplaced): (Vec<StockCaution>, Vec<(String, Problem)>) = (Vec::new(), Vec::new());
    for source in own_words(files, "cautions", language, problems) {
        let mut more = cautions_of(&source, language, &mut unplaced, problems);
        more.retain(|one| all.iter().all(|other| other.id != one.id));
        all.append(&mut more);
    }
    (all, unplaced)
}

fn cautions_of(
    source: &Source,
    language: &str,
    unplaced: &mut Vec<(String, Problem)>,
    problems: &mut Problems,
) -> Vec<StockCaution> {
    let Some(document) = Document::of_file(source, problems) else { return Vec::new() };
    let Some(file) = document.filled::<CautionFile>(problems).and_then(Filled::whole) else { return Vec::new() };
    let stock = crate::catalogue::cautions(language).unwrap_or_default();
    let mut seen = Seen::default();
    for (index, caution) in file.cautions.iter().enumerate() {
        let path = |key: &str| format!("cautions[{index}].{key}");
        if check_name(&document, &path("id"), &caution.id, problems) {
            seen.add(&document, &path("id"), &caution.id, "caution", problems);
            if stock.contains_key(&caution.id) {
                // A caution whose words changed unseen would be a caution lost.
                let title = format!("the stock course has a caution `{}` already", caution.id);
                let help = "give yours a different name, and use that one in your lessons";
                problems.push(document.problem(code::DUPLICATE_ID, title, &path("id")).help(help));
            } else if unplaced.iter().all(|(other, _)| *other != caution.id) {
                let title = format!("no lesson shows the caution `{}`, so it is lost", caution.id);
                let help = format!("write a block `caution {}` into a lesson, or remove it from this file", caution.id);
                unplaced.push((
                    caution.id.clone(),
                    document.problem(code::CAUTION_UNPLACED, title, &path("id")).help(help),
                ));
            }
        }
        let levels = ["danger", "warning", "notice"];
        if !levels.contains(&caution.severity.as_str()) {
            let title = format!("`danger`, `warning` or `notice` is expected, and this is `{}`", caution.severity);
            let mut problem = document.problem(code::UNKNOWN_WORD, title, &path("severity"));
            let near = crate::problem::nearest(&caution.severity, levels);
            problem.help = Some(near.map_or_else(
                || {
                    "write `danger` for what kills or badly hurts, `warning` for what could hurt, else `notice`"
                        .to_owned()
                },
                |near| format!("write `{near}`"),
            ));
            problems.push(problem);
        }
        check_inline(&document, &path("text"), &caution.text, problems);
        if caution.sources.iter().all(|source| source.trim().is_empty()) {
            let title = format!("the caution `{}` does not say what it rests on", caution.id);
            let help = "write `sources: [title and publisher]`, or `sources: [\"our own rule\"]`";
            problems.push(document.problem(code::CAUTION_WITHOUT_SOURCE, title, &path("sources")).help(help));
        }
    }
    let mut cautions = file.cautions;
    cautions.retain(|caution| !stock.contains_key(&caution.id));
    cautions
}

fn terms(files: &dyn Files, language: &str, problems: &mut Problems) -> Vec<Term> {
    let mut all: Vec<Term> = Vec::new();
    for source in own_words(files, "glossary", language, problems) {
        let mut more = terms_of(&source, problems);
        more.retain(|one| all.iter().all(|other| other.id != one.id));
        all.append(&mut more);
    }
    all
}

fn terms_of(source: &Source, problems: &mut Problems) -> Vec<Term> {
    let Some(document) = Document::of_file(source, problems) else { return Vec::new() };
    let Some(file) = document.filled::<GlossaryFile>(problems).and_then(Filled::whole) else { return Vec::new() };
    let mut seen = Seen::default();
    for (index, term) in file.terms.iter().enumerate() {
        let path = |key: &str| format!("terms[{index}].{key}");
        if check_name(&document, &path("id"), &term.id, problems) {
            seen.add(&document, &path("id"), &term.id, "term", problems);
        }
        if term.id == "main" || term.id.starts_with("letter-") {
            let title = format!("the glossary page itself uses the name `{}`", term.id);
            problems.push(document.problem(code::NAME_TAKEN, title, &path("id")).help("choose another name"));
        }
        not_blank(&document, &path("term"), &term.term, problems);
        check_inline(&document, &path("text"), &term.text, problems);
        not_blank(&document, &path("source"), &term.source, problems);
    }
    file.terms
}

/// A text that says something, and links to nothing that is not allowed.
fn check_inline(document: &Document, path: &str, text: &str, problems: &mut Problems) {
    not_blank(document, path, text, problems);
    check_html(document, path, text, problems);
    for address in refused_addresses(text) {
        let title = format!("a link here starts with `https:`, `http:`, `mailto:` or `term:`, and this is `{address}`");
        problems
            .push(document.problem(code::LINK_SCHEME, title, path).help("write a web address in full, or `term:NAME`"));
    }
}

/// HTML would be left out in silence, and with it a link or a word between angle brackets.
pub(super) fn check_html(document: &Document, path: &str, text: &str, problems: &mut Problems) {
    let Some(tag) = html_within(text) else { return };
    let tag: String = tag.chars().take(60).collect();
    let help = match tag.to_ascii_lowercase() {
        link if link.starts_with("<a ") => "write a link as `[words](https://example.org/)`",
        _ => "write it as Markdown, `**words**` or `*words*`; a bare `<` is written `\\<` in double quotes",
    };
    let title = format!("HTML is not published, and this has `{tag}`");
    let place = document.place(path);
    let written = document.source().text.get(place.clone()).unwrap_or_default();
    let place = match written.find(&tag) {
        Some(at) => place.start + at..place.start + at + tag.len(),
        None => place,
    };
    problems.push(Problem::new(code::RAW_HTML, title, "").at(document.source(), place).help(help));
}

/// The phrases of a language over the stock ones: `key: text`.
pub fn own_phrases(files: &dyn Files, language: &str, problems: &mut Problems) -> Option<BTreeMap<String, String>> {
    let known = crate::catalogue::first_phrases();
    let mut own = None;
    for name in files.list("phrases") {
        let file = format!("phrases/{name}");
        let Some(source) = own_text(files, &file, problems) else { continue };
        let Some(document) = Document::of_file(&source, problems) else { continue };
        let read = phrases_of(&document, known, problems);
        if name.strip_suffix(".yaml") == Some(language) {
            own = Some(read);
        } else if !name
            .strip_suffix(".yaml")
            .is_some_and(|stem| is_language(stem) && !stem.eq_ignore_ascii_case(language))
        {
            let title = "phrases are in a file `LANGUAGE.yaml`, so this one is not read";
            let help = rename(files, "phrases/", &format!("{language}.yaml"));
            problems.push(Problem::new(code::PHRASES_FILE_NAME, title, file).help(help));
        }
    }
    own
}

/// Names each file of phrases in another language than the course's, unless the folder has more in that language: then
/// it is a course that is published in each in turn.
fn other_phrases(files: &dyn Files, language: &str, problems: &mut Problems) {
    for name in files.list("phrases") {
        let file = format!("phrases/{name}");
        let Some(other) = name.strip_suffix(".yaml").filter(|stem| is_language(stem)) else { continue };
        // Under another spelling of the course's own language it has been named.
        if other.eq_ignore_ascii_case(language) {
            continue;
        }
        let lines = |folder: &str| !files.list(&format!("{folder}/{other}")).is_empty();
        let words = |stem: &str| files.list(stem).contains(&format!("{other}.yaml"));
        let more = ["lessons", "questions"].into_iter().any(lines) || ["cautions", "glossary"].into_iter().any(words);
        if more || own_text(files, &file, &mut Problems::new()).is_none() {
            continue;
        }
        let title = format!("this course is in `{language}`, so no learner sees these phrases in `{other}`");
        let help = format!("write `language: {other}` in `course.yaml` if learners read that, else remove this file");
        problems.push(Problem::new(code::PHRASES_FILE_NAME, title, file).help(help));
    }
}

/// Whether a name is written as a language's is: `es`, `pt-BR`.
fn is_language(name: &str) -> bool {
    let first = name.split('-').next().unwrap_or_default();
    (2..=3).contains(&first.len()) && first.bytes().all(|byte| byte.is_ascii_alphabetic())
}

fn phrases_of(
    document: &Document,
    known: &tankside_calc::words::phrases::Phrases,
    problems: &mut Problems,
) -> BTreeMap<String, String> {
    let mut read = BTreeMap::new();
    let keys: Vec<&str> = known.iter().map(|(key, _)| key).collect();
    let mut unknown = 0;
    for entry in document.root().entries() {
        let at = |rule, title: String, node: Option<&Node>| {
            let place = node.map_or(entry.key_span.clone(), |node| node.span.clone());
            Problem::new(rule, title, "").at(document.source(), place)
        };
        let Some(stock) = known.whole(&entry.key) else {
            let mut problem = at(code::PHRASE_UNKNOWN, format!("there is no phrase `{}`", entry.key), None);
            unknown += 1;
            // Each costs a walk through all of the phrases.
            let near = if unknown <= ASKED { offer(&entry.key, keys.iter().copied()) } else { None };
            let near = near.filter(|help| help.starts_with("write"));
            problem.help = near.or_else(|| Some("`tankside phrases` prints every phrase with its name".to_owned()));
            problems.push(problem);
            continue;
        };
        let Some(text) = entry.node.text().filter(|text| !text.trim().is_empty()) else {
            let title = match entry.node.text() {
                Some(_) => format!("the phrase `{}` is blank, and text is expected", entry.key),
                None => format!("the phrase `{}` is {}, and text is expected", entry.key, entry.node.form()),
            };
            let help = "write the words, or remove the line";
            problems.push(at(code::WRONG_TYPE, title, Some(&entry.node)).help(help));
            continue;
        };
        if entry.key == NUMBER && Notation::of(text).is_none() {
            let title = format!("`{NUMBER}` shows how your language writes 12345.6, and this is `{text}`");
            let help = "write that number with your marks, for example `\"12.345,6\"` or `\"12 345,6\"`";
            problems.push(at(code::WRONG_TYPE, title, Some(&entry.node)).help(help));
            continue;
        }
        if let Some(strange) = places(text).into_iter().find(|place| !places(stock).contains(place)) {
            let title = format!("the phrase `{}` has no place `{{{strange}}}`", entry.key);
            let all: Vec<String> = places(stock).iter().map(|place| format!("`{{{place}}}`")).collect();
            let help = match all.as_slice() {
                [] => "write it without braces".to_owned(),
                all => format!("its places are {}", all.join(", ")),
            };
            problems.push(at(code::PLACE_UNKNOWN, title, Some(&entry.node)).help(help));
            continue;
        }
        if let Some(lost) = places(stock).into_iter().find(|place| !places(text).contains(place)) {
            let title =
                format!("the phrase `{}` leaves out `{{{lost}}}`, so what belongs there is not shown", entry.key);
            let problem =
                at(code::PLACE_LEFT_OUT, title, Some(&entry.node)).help(format!("the stock's words are `{stock}`"));
            problems.push(problem);
        }
        read.insert(entry.key.clone(), text.to_owned());
    }
    read
}

/// The places of a phrase; `{Name}` is the place `{name}`, as a label begins.
fn places(text: &str) -> Vec<String> {
    tankside_calc::words::phrases::places(text).into_iter().map(str::to_ascii_lowercase).collect()
}

/// The stock templates by name: `parts/foot.html`.
pub fn stock_parts() -> impl Iterator<Item = (String, &'static str)> {
    let folders = ["pages", "parts"].into_iter().filter_map(|folder| TEMPLATES.get_dir(folder));
    folders.flat_map(|folder| folder.files()).map(|file| {
        let name = file.path().display().to_string().replace('\\', "/");
        (name, file.contents_utf8().unwrap_or_default())
    })
}

fn templates(files: &dyn Files, problems: &mut Problems) -> BTreeMap<String, Source> {
    let mut own = BTreeMap::new();
    for name in files.list("templates") {
        let title = "parts go in `templates/pages/` or `templates/parts/`, so this file is not read";
        let place = ["parts", "pages"].iter().map(|folder| format!("{folder}/{name}"));
        let there = place.into_iter().find(|part| TEMPLATES.get_file(part).is_some());
        let help = there.map_or("tankside parts lists what can be replaced".to_owned(), |part| {
            format!("move it to `templates/{part}`")
        });
        problems.push(Problem::new(code::PART_UNKNOWN, title, format!("templates/{name}")).help(help));
    }
    let stock: Vec<String> = stock_parts().map(|(name, _)| name).collect();
    for folder in ["pages", "parts"] {
        for name in files.list(&format!("templates/{folder}")) {
            let (part, file) = (format!("{folder}/{name}"), format!("templates/{folder}/{name}"));
            if !stock.contains(&part) {
                let title = format!("there is no part `{part}` that this file could replace");
                let mut problem = Problem::new(code::PART_UNKNOWN, title, file);
                let near = crate::problem::nearest(&part, stock.iter().map(String::as_str));
                problem.help = Some(
                    near.map_or("tankside parts lists them".to_owned(), |near| format!("name it `templates/{near}`")),
                );
                problems.push(problem);
                continue;
            }
            match read_text(files, &file) {
                Ok(source) => {
                    own.insert(part, source);
                }
                Err(problem) => problems.push(problem),
            }
        }
    }
    super::parts::check(&own, problems);
    own
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Memory;

    #[test]
    fn own_words_are_taken_entry_by_entry_in_the_courses_language() {
        let caution = |id: &str, text: &str| {
            format!("  - {{ id: {id}, severity: notice, text: {text}, sources: [our own rule] }}\n")
        };
        let mut files = Memory::new();
        let plain = format!("cautions:\n{}{}", caution("gate", "Shut the gate."), caution("dog", "Ask about dogs."));
        files.add("cautions.yaml", plain.into_bytes());
        files.add("cautions/qaa.yaml", format!("cautions:\n{}", caution("gate", "SHUT IT.")).into_bytes());
        let mut problems = Problems::new();
        let (found, unplaced) = cautions(&files, "qaa", &mut problems);
        let texts: Vec<&str> = found.iter().map(|caution| caution.text.as_str()).collect();
        assert_eq!(texts, ["SHUT IT.", "Ask about dogs."]);
        assert_eq!(unplaced.iter().map(|(id, _)| id.as_str()).collect::<Vec<_>>(), ["gate", "dog"]);
        assert!(!problems.has_errors());
    }
}
