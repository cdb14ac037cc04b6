//! The head of a lesson against its text: title, summary, and the minutes that it takes.

use super::Marks;
use super::lessons::key_line;
use super::prose::Text;
use crate::course::{Course, ReadyLesson};
use crate::markdown::Insert;
use crate::problem::code;

/// Words that a learner reads in a minute, with time to look at numbers.
const WORDS_A_MINUTE: f64 = 180.0;
/// Minutes that an example and a question take.
const EXAMPLE_MINUTES: f64 = 1.0;
const QUESTION_MINUTES: f64 = 0.75;
/// Minutes after which hardly anybody reads on; our own judgment, from lessons of a few minutes on a phone.
const LONGEST: f64 = 30.0;

/// How much of everything a lesson has, as far as it takes time.
struct LessonCounts {
    words: usize,
    examples: usize,
    asked: usize,
}

impl LessonCounts {
    fn of(course: &Course, lesson: &ReadyLesson, text: &Text) -> LessonCounts {
        let asked = |(bank, ask): (&str, Option<u32>)| {
            let there = course.banks.get(bank).map_or(0, |bank| bank.questions.len());
            ask.map_or(there, |ask| there.min(ask as usize))
        };
        let asked = lesson.body.holes.iter().map(|hole| match &hole.insert {
            Insert::Questions(placed) => placed.banks().map(asked).sum(),
            _ => 0,
        });
        LessonCounts { words: text.words(), examples: text.fences("worked-example").count(), asked: asked.sum() }
    }

    /// Minutes that it takes.
    fn takes(&self) -> f64 {
        self.words as f64 / WORDS_A_MINUTE
            + self.examples as f64 * EXAMPLE_MINUTES
            + self.asked as f64 * QUESTION_MINUTES
    }

    /// What it was counted from, for a title.
    fn counted(&self) -> String {
        format!("(words: {}, examples: {}, questions: {})", self.words, self.examples, self.asked)
    }
}

/// Marks a title or a summary that is too long, a lesson without anything in it, and minutes that are not those that it
/// takes.
pub(super) fn header(course: &Course, lesson: &ReadyLesson, text: &Text, marks: &mut Marks) {
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
    let counts = LessonCounts::of(course, lesson, text);
    // A block that cannot be worked or asked yet is there all the same.
    let begun = ["worked-example", "questions"].into_iter().any(|block| text.fences(block).next().is_some());
    if counts.words < 20 && !begun {
        let words = if counts.words == 1 { "1 word".to_owned() } else { format!("{} words", counts.words) };
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
    minutes(lesson, &counts, marks);
}

/// The minutes that the head of a lesson says against those that it takes.
fn minutes(lesson: &ReadyLesson, counts: &LessonCounts, marks: &mut Marks) {
    let (source, header) = (&lesson.source, &lesson.header);
    let line = |key: &str| key_line(source, key);
    let (takes, counted) = (counts.takes(), counts.counted());
    let minutes = takes.ceil().max(1.0) as u32;
    if takes > LONGEST {
        let title = format!("this lesson takes about {minutes} min, more than a learner reads at once {counted}");
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
            let title = format!("this lesson says {said} min and takes about {minutes} min {counted}");
            marks.at(
                code::MINUTES_SHORT,
                source,
                line("minutes"),
                title,
                format!("write `minutes: {minutes}`, or split the lesson in two"),
            );
        }
        Some(said) if f64::from(said) >= takes * 2.0 + 5.0 => {
            let title = format!("this lesson says {said} min and takes about {minutes} min {counted}");
            let help = format!("write `minutes: {minutes}`; what is practiced outside belongs in the summary");
            marks.at(code::MINUTES_LONG, source, line("minutes"), title, help);
        }
        Some(_) => {}
    }
}
