//! The course as a whole: its settings, its pictures, its phrases.

use super::Marks;
use crate::catalogue;
use crate::course::Course;
use crate::embedded::is_text;
use crate::problem::code;
use std::collections::{BTreeMap, BTreeSet};

/// Names that are given before the rest is only counted.
const NAMED: usize = 3;

/// What the course shows of the stock that is not in its language: learners read that in the first one.
fn untranslated(course: &Course, marks: &mut Marks) {
    let language = &course.settings.language;
    let first = catalogue::first_language();
    if *language == first {
        return;
    }
    let mut files: Vec<String> = Vec::new();
    let begin = |folder: &str| format!("{folder}/{first}/");
    let lessons = course.lessons.iter().map(|lesson| &*lesson.source.name);
    files.extend(lessons.filter(|name| name.starts_with(&begin("lessons"))).map(str::to_owned));
    let placed = course.banks_placed();
    let banks = course.bank_files.iter().filter(|(id, _)| placed.contains(id.as_str()));
    let banks = banks.map(|(_, bank)| &*bank.source.name);
    files.extend(banks.filter(|name| name.starts_with(&begin("questions"))).map(str::to_owned));
    for (what, count) in catalogue::untranslated(language) {
        files.push(format!("{count} of {what}/{first}.yaml"));
    }
    if files.is_empty() {
        return;
    }
    let (named, rest) = files.split_at(files.len().min(NAMED));
    let more = if rest.is_empty() { String::new() } else { format!(" and {} more", rest.len()) };
    let title = format!("not translated into `{language}`, so shown in `{first}`: {}{more}", named.join(", "));
    let help = format!("translate each under its name into a folder of the language, for example lessons/{language}/");
    marks.file(code::UNTRANSLATED, "course.yaml", title, help);
}

/// Quizzes that go by one title.
fn quizzes(course: &Course, marks: &mut Marks) {
    let placed = course.banks_placed();
    let alone: BTreeSet<&str> = course.banks_by_themselves().map(|bank| bank.id.as_str()).collect();
    let shown = |id: &&String| placed.contains(id.as_str()) || alone.contains(id.as_str());
    // The course's own come last, so that one of theirs is marked and not the stock's, which no author has.
    let mut banks: Vec<&String> = course.bank_files.keys().filter(shown).collect();
    let own =
        |id: &String| course.bank_files.get(id).is_some_and(|bank| !is_text(&bank.source.name, &bank.source.text));
    banks.sort_by_key(|id| own(id));
    let mut titles: BTreeMap<String, &str> = BTreeMap::new();
    for (id, bank) in banks.into_iter().filter_map(|id| Some((id, course.bank_files.get(id)?))) {
        if let Some(first) = titles.insert(bank.file.title.trim().to_lowercase(), id)
            && own(id)
        {
            let place = bank.root.get("title").map_or(0..0, |title| title.span.clone());
            let title = format!("the quiz `{first}` has the same title");
            let help = "write another title for one of the two".to_owned();
            marks.at(code::TITLE_TWICE, &bank.source, place, title, help);
        }
    }
}

pub(super) fn read(course: &Course, marks: &mut Marks) {
    let settings = &course.settings;
    let file = "course.yaml";
    if settings.contact.as_deref().is_none_or(|contact| contact.trim().is_empty()) {
        let help = "add a line `contact: …` with a name and where to find them";
        marks.file(code::CONTACT_MISSING, file, "this course does not say whom to ask".to_owned(), help.to_owned());
    }
    if settings.summary.as_deref().is_none_or(|summary| summary.trim().is_empty()) {
        let help = "add a line `summary: …` with one or two sentences for the first page";
        marks.file(code::COURSE_SUMMARY_MISSING, file, "this course has no summary".to_owned(), help.to_owned());
    }
    for image in course.images.iter() {
        let name = image.trim_start_matches("images/");
        let shown = |text: &str| text.contains(name) || text.contains(&name.replace(' ', "%20"));
        // A logo under a name with other capitals has been reported as that.
        let logo = course.source.text.to_lowercase().contains(&name.to_lowercase());
        if !logo && !course.lessons.iter().any(|lesson| shown(&lesson.source.text)) {
            let title = "no lesson shows this picture, but it is still published".to_owned();
            marks.file(code::IMAGE_UNUSED, image, title, "show it in a lesson, or remove the file".to_owned());
        }
    }
    quizzes(course, marks);
    untranslated(course, marks);
    let all = catalogue::first_phrases();
    let missing: Vec<&str> = all.iter().map(|(key, _)| key).filter(|key| course.phrases.find(key).is_none()).collect();
    if let Some(first) = missing.first() {
        let title = format!(
            "the language `{}` lacks {} phrases, the first of them `{first}`",
            settings.language,
            missing.len()
        );
        let help = format!("add them to `phrases/{}.yaml`", settings.language);
        marks.file(code::PHRASE_MISSING, file, title, help);
    }
}
