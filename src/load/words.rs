//! A course's own cautions and terms, entry by entry.

use super::files::Files;
use super::own::own_text;
use crate::catalogue::{CautionFile, GlossaryFile, StockCaution, Term, html_within, refused_addresses};
use crate::problem::{Problem, Problems, Source, code};
use crate::yaml::{Document, Filled, Seen, check_name, not_blank};

/// The course's own files of words: the one in its language, `cautions/es.yaml`, and then `cautions.yaml` for the
/// entries that it lacks.
fn own_words(files: &dyn Files, name: &str, language: &str, problems: &mut Problems) -> Vec<Source> {
    let names = [format!("{name}/{language}.yaml"), format!("{name}.yaml")];
    names.iter().filter_map(|name| own_text(files, name, problems)).collect()
}

/// The course's own cautions, and the problem to report for each that no lesson shows.
pub(super) fn cautions(
    files: &dyn Files,
    language: &str,
    problems: &mut Problems,
) -> (Vec<StockCaution>, Vec<(String, Problem)>) {
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

/// The course's own terms.
pub(super) fn terms(files: &dyn Files, language: &str, problems: &mut Problems) -> Vec<Term> {
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
