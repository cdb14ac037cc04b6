//! Lessons: their length, their sentences, their headings, links, pictures, tables and cautions.

use super::Marks;
use super::heads::header;
use super::prose::{Block, BlockKind, Text, grade, notes_to_self, sentences};
use crate::course::{Course, ReadyLesson};
use crate::problem::{Source, code};
use std::collections::BTreeMap;
use std::ops::Range;

/// How many school years above the rest of the course a lesson must be to be marked.
const FAR_ABOVE: f64 = 3.0;

pub(super) fn read(course: &Course, lesson: &ReadyLesson, text: &Text, marks: &mut Marks) {
    let source = &lesson.source;
    header(course, lesson, text, marks);
    let mut headings: BTreeMap<String, Range<usize>> = BTreeMap::new();
    let mut since = 0;
    for block in &text.blocks {
        match &block.kind {
            BlockKind::Paragraph => {
                sentences_of(source, block, marks);
                let before = since;
                since += block.text.split_whitespace().count();
                if before <= 400 && since > 400 {
                    let title = "there are more than 400 words here without a heading".to_owned();
                    marks.at(
                        code::HEADINGS_FEW,
                        source,
                        first_line(source, block),
                        title,
                        "write a heading, `# …`, above this paragraph or an earlier one".to_owned(),
                    );
                }
            }
            BlockKind::Heading(_) => {
                since = 0;
                let words = block.text.trim().to_lowercase();
                if headings.is_empty() && words == lesson.header.title.trim().to_lowercase() {
                    let title =
                        "this heading repeats the title of the lesson, which is above it on the page".to_owned();
                    let help = "remove the heading".to_owned();
                    marks.at(code::HEADING_IS_TITLE, source, block.place.clone(), title, help);
                }
                if headings.insert(words, block.place.clone()).is_some() {
                    let title = format!("the heading “{}” is in this lesson twice", block.text.trim());
                    marks.at(
                        code::HEADING_TWICE,
                        source,
                        block.place.clone(),
                        title,
                        "say in each what sets it apart".to_owned(),
                    );
                }
            }
            BlockKind::HeadCell if block.text.trim().is_empty() => {
                let title = "a cell in the head of this table is empty".to_owned();
                marks.at(
                    code::TABLE_HEAD_BLANK,
                    source,
                    first_line(source, block),
                    title,
                    "write what the column holds".to_owned(),
                );
            }
            BlockKind::Image(address) => image(source, block, address, marks),
            BlockKind::Link(address) => link(source, block, address, marks),
            _ => {}
        }
    }
    cautions(source, text, marks);
}

/// Cautions that do not say what they rest on, and an example without any.
fn cautions(source: &Source, text: &Text, marks: &mut Marks) {
    for caution in text.fences("caution") {
        let own = matches!(&caution.kind, BlockKind::Fence(_, name) if matches!(name.as_str(), "danger" | "warning" | "notice"));
        let sourced = caution.text.to_lowercase();
        // One that is blank, or has more words after its fence, is an error and has been reported.
        let opening = &source.text[first_line(source, caution)];
        let own = own && !sourced.trim().is_empty() && opening.split_whitespace().count() == 2;
        if own && !["source:", "sources:", "](http", "fuente:"].iter().any(|word| sourced.contains(word)) {
            let title = "this caution does not say what it rests on".to_owned();
            let help = "end it with a line `Source: …`, or `Source: common practice`".to_owned();
            marks.at(code::CAUTION_WITHOUT_SOURCE, source, first_line(source, caution), title, help);
        }
    }
    if let (Some(example), None) = (text.fences("worked-example").next(), text.fences("caution").next()) {
        let title = "this lesson has a worked example and no caution".to_owned();
        let help = "add a block `caution NAME` where the work begins; `caution clean-water` for practice with water"
            .to_owned();
        marks.at(code::LESSON_WITHOUT_CAUTION, source, first_line(source, example), title, help);
    }
}

fn sentences_of(source: &Source, block: &Block, marks: &mut Marks) {
    let count = block.text.split_whitespace().count();
    if count > 120 {
        let title = format!("this paragraph has {count} words");
        marks.at(
            code::PARAGRAPH_LONG,
            source,
            first_line(source, block),
            title,
            "split it in two, or make it a list".to_owned(),
        );
    }
    for sentence in sentences(&block.text) {
        let words: Vec<&str> = sentence.split_whitespace().collect();
        if words.len() > 35 {
            let title = format!("this sentence has {} words", words.len());
            marks.at(
                code::SENTENCE_LONG,
                source,
                place_of(source, block, &words[..3].join(" ")),
                title,
                "split it in two".to_owned(),
            );
        }
        for pair in words.windows(2) {
            let letters = pair[0].chars().all(char::is_alphabetic) && pair[0].len() > 1;
            if letters && pair[0].to_lowercase() == pair[1].to_lowercase() && !["that", "had"].contains(&pair[0]) {
                let title = format!("the word “{}” appears twice in a row", pair[1]);
                let both = format!("{} {}", pair[0], pair[1]);
                marks.at(code::WORD_TWICE, source, place_of(source, block, &both), title, "remove one".to_owned());
            }
        }
    }
    for (at, note) in notes_to_self(&block.text) {
        let title = format!("`{note}` is a note to yourself, and learners will read it");
        let help = "write what is missing, or move the note into a comment".to_owned();
        let place =
            if block.text[..at].contains(note) { first_line(source, block) } else { place_of(source, block, note) };
        marks.at(code::NOTE_TO_SELF, source, place, title, help);
    }
}

fn image(source: &Source, block: &Block, address: &str, marks: &mut Marks) {
    let words = block.text.trim();
    let plain = words.to_lowercase();
    let file = address.rsplit('/').next().unwrap_or_default().to_lowercase();
    let stem = file.split('.').next().unwrap_or_default();
    if ["image", "picture", "photo", "drawing", "diagram", "foto", "imagen"].contains(&plain.as_str())
        || plain == file
        || plain.replace(' ', "-") == stem
    {
        let title = format!("“{words}” does not say what this picture shows");
        marks.at(
            code::IMAGE_WORDS_POOR,
            source,
            first_line(source, block),
            title,
            "say what it shows, as you would on the phone".to_owned(),
        );
    }
    if words.chars().count() > 250 {
        let title = format!("the words for this picture have {} letters", words.chars().count());
        marks.at(
            code::IMAGE_WORDS_LONG,
            source,
            first_line(source, block),
            title,
            "say the main thing, and put the rest in the text".to_owned(),
        );
    }
}

fn link(source: &Source, block: &Block, address: &str, marks: &mut Marks) {
    let words = block.text.trim().trim_end_matches('.').to_lowercase();
    // In place of the words of a computed number the number is shown.
    if address.starts_with("figure:") {
        return;
    }
    if ["here", "click here", "this", "this page", "link", "more", "read more", "aquí", "haga clic aquí"]
        .contains(&words.as_str())
    {
        let title = format!("“{}” does not say where this link leads", block.text.trim());
        marks.at(code::LINK_WORDS_POOR, source, first_line(source, block), title, "write where it leads".to_owned());
    }
    if address.starts_with("http:") {
        let title = "this link is not encrypted".to_owned();
        let help = format!("write `https:{}`", address.trim_start_matches("http:"));
        marks.at(code::LINK_NOT_SECURE, source, first_line(source, block), title, help);
    }
}

/// What shows only when lessons are compared: reading level and titles.
pub(super) fn compare(course: &Course, texts: &[Text], marks: &mut Marks) {
    let grades: Vec<Option<f64>> = texts
        .iter()
        .map(|text| {
            let paragraphs: Vec<&str> = text.paragraphs().map(|block| block.text.as_str()).collect();
            grade(&paragraphs)
        })
        .collect();
    let mut sorted: Vec<f64> = grades.iter().copied().flatten().collect();
    sorted.sort_by(f64::total_cmp);
    let mut titles: BTreeMap<String, &str> = BTreeMap::new();
    for (lesson, grade) in course.lessons.iter().zip(grades) {
        let usual = sorted.get(sorted.len() / 2).copied().filter(|_| sorted.len() > 2);
        if let (Some(grade), Some(usual)) = (grade, usual)
            && grade > usual + FAR_ABOVE
        {
            // The measure is unbounded, and school years are not.
            let year = |grade: f64| match grade.round().clamp(1.0, 16.0) {
                16.0 => "16 or above".to_owned(),
                year => format!("{year}"),
            };
            let title = format!(
                "this lesson reads like a text for school year {}, and the others like one for {}",
                year(grade),
                year(usual)
            );
            let help = "write shorter sentences and plainer words".to_owned();
            marks.at(code::READING_LEVEL, &lesson.source, key_line(&lesson.source, "title"), title, help);
        }
        if let Some(first) = titles.insert(lesson.header.title.to_lowercase(), &lesson.stem) {
            let title = format!("the lesson `{first}` has the same title");
            marks.at(
                code::TITLE_TWICE,
                &lesson.source,
                key_line(&lesson.source, "title"),
                title,
                "write another title for one of the two".to_owned(),
            );
        }
    }
}

/// The line of a key in the header.
pub(super) fn key_line(source: &Source, key: &str) -> Range<usize> {
    let start = source.text.find(&format!("\n{key}:")).map_or(0, |at| at + 1);
    start..source.text[start..].find('\n').map_or(source.text.len(), |end| start + end)
}

/// The first line of a block.
pub(super) fn first_line(source: &Source, block: &Block) -> Range<usize> {
    let text = &source.text[block.place.clone()];
    block.place.start..block.place.start + text.find('\n').unwrap_or(text.len())
}

/// The place of some words within a block; its first line if there is markup between them.
pub(super) fn place_of(source: &Source, block: &Block, words: &str) -> Range<usize> {
    match source.text[block.place.clone()].find(words) {
        Some(at) => block.place.start + at..block.place.start + at + words.len(),
        None => first_line(source, block),
    }
}
