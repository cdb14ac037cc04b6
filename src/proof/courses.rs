//! The course as a whole: its settings, its pictures, its phrases.

use super::Marks;
use crate::catalogue;
use crate::course::Course;
use crate::problem::code;

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
        let logo = course.source.text.contains(name);
        if !logo && !course.lessons.iter().any(|lesson| shown(&lesson.source.text)) {
            let title = "no lesson shows this picture, but it is still published".to_owned();
            marks.file(code::IMAGE_UNUSED, image, title, "show it in a lesson, or remove the file".to_owned());
        }
    }
    let Ok(Some(all)) = catalogue::phrases("en") else { return };
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
