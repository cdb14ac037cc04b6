//! `course.yaml`: the settings of a course, and the lessons that it lists.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Deserialize;

use super::exam::{ExamFile, check_exam};
use super::face::{Colours, Titled, check_face};
use super::files::Files;
use super::listed::{LessonList, check_list};
use super::text::read_text;
use crate::catalogue::first_language;
use crate::notation::{NAME_PATTERN, SAYS_SOMETHING, Units, curved};
use crate::problem::{Problems, Source, code};
use crate::yaml::{Document, check_name, not_blank, or_default};

/// `course.yaml` as typed.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CourseFile {
    /// Names what a browser stores for this course.
    #[schemars(regex(pattern = NAME_PATTERN), length(max = 80))]
    pub id: String,
    /// Title of the course.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub title: String,
    /// Who gives the course.
    #[schemars(regex(pattern = SAYS_SOMETHING))]
    pub company: String,
    /// Language of the phrases: a code such as `en` or `es`.
    #[schemars(regex(pattern = "^[A-Za-z0-9]{2,8}(-[A-Za-z0-9]{2,8})*$"))]
    #[serde(default = "first_language", deserialize_with = "or_first")]
    pub language: String,
    /// Units shown first.
    #[serde(default, deserialize_with = "or_default")]
    pub units: Units,
    /// Whom to ask.
    pub contact: Option<String>,
    /// A few sentences for the first page.
    pub summary: Option<String>,
    /// The company's logo, `images/logo.svg`.
    pub logo: Option<String>,
    /// The company's colors.
    #[serde(default, deserialize_with = "or_default")]
    pub colours: Colours,
    /// The same, in American spelling.
    pub colors: Option<Colours>,
    /// The company's own line for the foot of every page, inline CommonMark.
    pub footer: Option<String>,
    /// Titles of files in `attachments/`, in the order in which they are listed.
    #[serde(default, deserialize_with = "or_default")]
    pub attachments: Vec<Titled>,
    /// Names of the lesson files without `.md`, in order.
    #[schemars(length(min = 1), inner(regex(pattern = NAME_PATTERN)))]
    pub lessons: Vec<String>,
    /// Whether browsers keep the course for use without a signal.
    #[serde(default = "yes", deserialize_with = "or_true")]
    pub offline: bool,
    /// What is different from the usual mock exam.
    #[serde(default, deserialize_with = "or_default")]
    pub exam: ExamFile,
}

fn or_first<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<String, D::Error> {
    Ok(Option::deserialize(deserializer)?.unwrap_or_else(first_language))
}

fn yes() -> bool {
    true
}

fn or_true<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<bool, D::Error> {
    Ok(Option::deserialize(deserializer)?.unwrap_or_else(yes))
}

impl CourseFile {
    /// The company's colors, however they are spelled.
    pub fn face(&self) -> &Colours {
        self.colors.as_ref().unwrap_or(&self.colours)
    }

    /// Stand-ins for settings that cannot be read, so that the lessons are still checked.
    fn stand_in() -> Self {
        Self {
            id: "course".to_owned(),
            title: String::new(),
            company: String::new(),
            language: first_language(),
            units: Units::default(),
            contact: None,
            summary: None,
            logo: None,
            colours: Colours::default(),
            colors: None,
            footer: None,
            attachments: Vec::new(),
            lessons: Vec::new(),
            offline: true,
            exam: ExamFile::default(),
        }
    }
}

/// The settings, and the lessons that they list, if they do; `there` finds the files of lessons in a language.
pub(super) fn load_settings(
    files: &dyn Files,
    there: impl FnOnce(&str) -> BTreeMap<String, String>,
    images: &BTreeSet<String>,
    problems: &mut Problems,
) -> (Source, CourseFile, Option<LessonList>) {
    let source = match read_text(files, "course.yaml") {
        Ok(source) => source,
        Err(problem) => {
            let there = files.list("");
            let near = ["course.yml", "course.yaml", "course.yaml.txt", "course.yml.txt"];
            let other = there.iter().find(|name| near.contains(&name.to_lowercase().as_str()));
            // One that is there and cannot be read says itself what to do.
            let missing = problem.code == code::FILE_MISSING.code;
            problems.push(match other.filter(|other| *other != "course.yaml") {
                Some(other) if missing => problem.help(format!("rename `{other}` to `course.yaml`")),
                None if missing && other.is_none() => {
                    problem.help("write a file `course.yaml` with `id`, `title`, `company` and `lessons`")
                }
                _ => *problem,
            });
            return (Source::new("course.yaml", ""), CourseFile::stand_in(), None);
        }
    };
    let read = Document::of_file(&source, problems)
        .and_then(|document| Some((document.filled::<CourseFile>(problems)?, document)));
    let Some((filled, document)) = read else { return (source, CourseFile::stand_in(), None) };
    let sound = |key: &str| document.get(key).is_some_and(|node| !node.is_empty() && filled.is_sound(&node.span));
    check_settings(&document, &filled.value, sound, problems);
    check_face(files, &document, &filled.value, images, problems);
    if sound("exam") {
        check_exam(&document, &filled.value.exam, problems);
    }
    let listed = (sound("lessons") && !document.is_cut_in("lessons"))
        .then(|| check_list(files, there(&filled.value.language), &document, &filled.value, problems));
    (source, as_shown(filled.value), listed)
}

/// The settings with the texts that learners see as they see them.
fn as_shown(settings: CourseFile) -> CourseFile {
    let titled = |one: Titled| Titled { title: curved(one.title), ..one };
    CourseFile {
        title: curved(settings.title),
        company: curved(settings.company),
        contact: settings.contact.map(curved),
        summary: settings.summary.map(curved),
        attachments: settings.attachments.into_iter().map(titled).collect(),
        ..settings
    }
}

fn check_settings(document: &Document, settings: &CourseFile, sound: impl Fn(&str) -> bool, problems: &mut Problems) {
    if sound("id") {
        check_name(document, "id", &settings.id, problems);
    }
    for (key, text) in [("title", &settings.title), ("company", &settings.company)] {
        if sound(key) {
            not_blank(document, key, text, problems);
        }
    }
    let language = &settings.language;
    let shape = |part: &str| (2..=8).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_alphanumeric());
    if sound("language") && !language.split('-').all(shape) {
        let title = format!("a language such as `en` is expected, and this is `{language}`");
        problems.push(document.problem(code::LANGUAGE_FORM, title, "language").help("write `language: en`"));
    }
    if sound("lessons") && settings.lessons.is_empty() {
        problems.push(
            document
                .problem(code::NO_LESSONS, "this course lists no lessons", "lessons")
                .help("below this key, write one line for each lesson: a hyphen and its name"),
        );
    }
}
