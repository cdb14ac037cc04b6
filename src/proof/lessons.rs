//! Lessons: their length, their sentences, their headings, links, pictures, tables and cautions.

use super::Marks;
use super::prose::{Block, BlockKind, Text, grade, sentences};
use crate::course::{Course, ReadyLesson};
use crate::problem::{Source, code};
use std::collections::BTreeMap;
use std::ops::Range;

/// Words that a learner reads in a minute, with time to look at numbers.
const WORDS_A_MINUTE: f64 = 180.0;
/// Minutes that an example and a question take.
const EXAMPLE_MINUTES: f64 = 1.0;
const QUESTION_MINUTES: f64 = 0.75;
/// Minutes after which hardly anybody reads on; our own judgment, from lessons of a few minutes on a phone.
const LONGEST: f64 = 30.0;
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

fn header(course: &Course, lesson: &ReadyLesson, text: &Text, marks: &mut Marks) {
    let (source, header) = (&lesson.source, &lesson.header);
    let line = |key: &str| key_line(source, key);
    if header.title.chars().count() > 60 {
        let title = format!("this title has {} letters", header.title.chars().count());
        marks.at(code::TITLE_LONG, source, line("title"), title, "write it in 60 or fewer".to_owned());
    }
    if header.summary.chars().count() > 200 {
        let title = format!("this summary has {} letters", header.summary.chars().count());
        marks.at(
            code::SUMMARY_LONG,
            source,
            line("summary"),
            title,
            "say it in one or two sentences, 200 letters or fewer".to_owned(),
        );
    }
    let (examples, words) = (text.fences("worked-example").count(), text.words());
    let asked: usize = lesson
        .body
        .holes
        .iter()
        .map(|hole| match &hole.insert {
            crate::markdown::Insert::Questions(placed) => {
                let asked = |(bank, ask): (&str, Option<u32>)| {
                    let there = course.banks.get(bank).map_or(0, |bank| bank.questions.len());
                    ask.map_or(there, |ask| there.min(ask as usize))
                };
                placed.banks().map(asked).sum()
            }
            _ => 0,
        })
        .sum();
    // A block that cannot be worked or asked yet is there all the same.
    let begun = ["worked-example", "questions"].into_iter().any(|block| text.fences(block).next().is_some());
    if words < 20 && !begun {
        let words = if words == 1 { "1 word".to_owned() } else { format!("{words} words") };
        let title = format!("this lesson has {words}, no example and no questions");
        marks.at(
            code::LESSON_EMPTY,
            source,
            line("title"),
            title,
            "write the lesson, or take it out of the list".to_owned(),
        );
        return;
    }
    let takes = words as f64 / WORDS_A_MINUTE + examples as f64 * EXAMPLE_MINUTES + asked as f64 * QUESTION_MINUTES;
    let minutes = takes.ceil().max(1.0) as u32;
    if takes > LONGEST {
        let title = format!(
            "this lesson takes about {minutes} min, more than a learner reads at once (words: {words}, examples: {examples}, questions: {asked})"
        );
        let help = "split it in two, each with questions of its own at its end".to_owned();
        marks.at(code::LESSON_LONG, source, line("title"), title, help);
    }
    match header.minutes {
        None => {
            let title = "this lesson does not say how long it takes".to_owned();
            marks.at(
                code::MINUTES_MISSING,
                source,
                line("title"),
                title,
                format!("add a line `minutes: {minutes}` to its header"),
            );
        }
        // A minute or a fifth more is within the difference between readers.
        Some(said) if takes > f64::from(said) * 1.2 + 1.0 => {
            let title = format!(
                "this lesson says {said} min and takes about {minutes} min (words: {words}, examples: {examples}, questions: {asked})"
            );
            marks.at(
                code::MINUTES_SHORT,
                source,
                line("minutes"),
                title,
                format!("write `minutes: {minutes}`, or split the lesson in two"),
            );
        }
        Some(said) if f64::from(said) >= takes * 2.0 + 5.0 => {
            let title = format!(
                "this lesson says {said} min and takes about {minutes} min (words: {words}, examples: {examples}, questions: {asked})"
            );
            let help = format!("write `minutes: {minutes}`; what is practiced outside belongs in the summary");
            marks.at(code::MINUTES_LONG, source, line("minutes"), title, help);
        }
        Some(_) => {}
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
    for note in ["TODO", "FIXME", "TBD", "XXX", "Lorem ipsum"] {
        if let Some(at) = block.text.find(note).filter(|at| !block.text[..*at].ends_with(char::is_alphanumeric)) {
            let title =
                format!("`{}` is a note to yourself, and learners will read it", &block.text[at..at + note.len()]);
            let help = "write what is missing, or move the note into a comment".to_owned();
            marks.at(code::NOTE_TO_SELF, source, place_of(source, block, note), title, help);
        }
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
fn key_line(source: &Source, key: &str) -> Range<usize> {
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
