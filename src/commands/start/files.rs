//! The files of a new course, with the answers put in.

use crate::catalogue::first_language;
use crate::embedded::CONTENT;
use crate::load::{Described, Lesson, Memory, read_text};
use crate::problem::Problems;
use tankside_calc::working::record::System;

/// What a new course is made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Answers {
    pub(super) id: String,
    pub(super) title: String,
    pub(super) company: String,
    pub(super) contact: String,
    /// The color of the band on top of each page: `#1d4f7a`.
    pub(super) color: String,
    pub(super) units: System,
    /// Stock lessons that the course begins with.
    pub(super) lessons: Vec<String>,
}

/// The trainer's own lesson of every new course.
const OWN_LESSON: &str = "our-sprayer";

/// The stock lessons with their titles.
pub(super) fn stock_lessons() -> Vec<(String, String)> {
    let stock = Memory::of(&CONTENT);
    let folder = CONTENT.get_dir(format!("lessons/{}", first_language()));
    let files = folder.into_iter().flat_map(|folder| folder.files());
    let stems = files.filter_map(|file| file.path().file_stem()?.to_str().map(str::to_owned));
    let titled = stems.filter_map(|stem| {
        let source = read_text(&stock, &format!("lessons/{}/{stem}.md", first_language())).ok()?;
        let lesson = Lesson::read(&stem, source, &mut Problems::new())?;
        Some((stem, lesson.header.title))
    });
    titled.collect()
}

/// Every file of the course: its name and its text.
pub(super) fn files(answers: &Answers) -> Vec<(String, Vec<u8>)> {
    let Some(folder) = CONTENT.get_dir("start") else { return Vec::new() };
    let mut files = Vec::new();
    let mut folders = vec![folder];
    while let Some(folder) = folders.pop() {
        folders.extend(folder.dirs());
        for file in folder.files() {
            let path = file.path().strip_prefix("start").unwrap_or(file.path());
            let name = path.display().to_string().replace('\\', "/");
            let bytes = match file.contents_utf8() {
                Some(text) => filled(text, answers).into_bytes(),
                None => file.contents().to_vec(),
            };
            files.push((name, bytes));
        }
    }
    // For editors, which then mark a slip and offer keys while it is typed.
    let schemas = Described::ALL.into_iter();
    files.extend(schemas.map(|one| (format!("schema/{}.json", one.name()), one.text().into_bytes())));
    files.sort();
    files
}

fn filled(text: &str, answers: &Answers) -> String {
    let metric = answers.units == System::Metric;
    let pick = |us: &'static str, other: &'static str| if metric { other } else { us }.to_owned();
    let places = [
        ("@id@", answers.id.clone()),
        ("@title@", quoted(&answers.title)),
        ("@company@", quoted(&answers.company)),
        ("@contact@", quoted(&answers.contact)),
        ("@band@", answers.color.clone()),
        ("@units@", answers.units.id().to_owned()),
        ("@lessons@", list(&answers.lessons)),
        ("@catch_1@", pick("126 fl oz", "3.7 L")),
        ("@catch_2@", pick("128 fl oz", "3.8 L")),
        ("@range@", pick("60 to 120 by 2 fl oz", "2 to 4 by 0.1 L")),
        ("@answer_in@", pick("gal/min", "L/min")),
    ];
    // One pass, so that what somebody typed is never taken for a place.
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('@') {
        out.push_str(&rest[..at]);
        rest = &rest[at..];
        match places.iter().find(|(place, _)| rest.starts_with(place)) {
            Some((place, value)) => {
                out.push_str(value);
                rest = &rest[place.len()..];
            }
            None => {
                out.push('@');
                rest = &rest[1..];
            }
        }
    }
    out.push_str(rest);
    out
}

/// The chosen stock lessons, the trainer's own one, and the others as comments.
fn list(chosen: &[String]) -> String {
    let stock = stock_lessons();
    let title = |stem: &str| stock.iter().find(|(own, _)| own == stem).map_or("", |(_, title)| title.as_str());
    let mut lines: Vec<String> = chosen.iter().map(|stem| format!("  - {stem:<24} # stock: {}", title(stem))).collect();
    lines.push(format!("  - {OWN_LESSON:<24} # your own: lessons/{OWN_LESSON}.md"));
    let others = stock.iter().filter(|(stem, _)| !chosen.contains(stem));
    lines.extend(others.map(|(stem, title)| format!("  # - {stem:<22} # stock: {title}")));
    lines.join("\n")
}

/// A text as YAML takes it, whatever is in it.
pub(super) fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_with_colons_quotes_and_at_signs_is_still_one_text() {
        let text = "A: \"B\" # c \\ @title@ ‑ ²";
        let read: String = serde_yaml::from_str(&quoted(text)).expect("YAML");
        assert_eq!(read, text);
    }
}
