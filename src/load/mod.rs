//! Files into the course as its author wrote it, with the place of everything.
//!
//! Nothing here decides what a value means; it decides whether the file can be read and has the right form.
//! Loading goes on after a problem, so that one run reports them all.

mod bank;
mod bytes;
mod check;
mod course;
mod embedded;
mod files;
mod lesson;
mod node;
mod place;
mod syntax;
mod text;
mod tree;
mod typed;
mod wording;
mod yaml;

pub use bank::{Bank, BankFile, Choice, Kind, Question, Topic};
pub(crate) use check::is_name;
pub use course::{Course, CourseFile, Units, load};
pub use embedded::Embedded;
pub use files::{Disk, Files, Layered, Memory, ReadError};
pub use lesson::{Lesson, LessonHeader};
pub use node::{Entry, Node, Value};
pub use text::{IMAGE_LIMIT, TEXT_LIMIT, read_image, read_text};
pub use yaml::Document;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::{Problems, Style};

    /// A generator of our own, so that a find can be repeated (Knuth's MMIX constants, TAOCP 2, 3.3.4).
    struct Draw(u64);

    impl Draw {
        fn below(&mut self, limit: usize) -> usize {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            usize::try_from(self.0 >> 33).unwrap_or(0) % limit
        }
    }

    const COURSE: &str = "id: demo\ntitle: Demo\ncompany: Green\nlessons: [one]\n";
    const LESSON: &str = "---\ntitle: A ft²\nsummary: B\n---\n# H {#x}\n\na[^n] [p](one.md#x) ![g](../images/g.png) `c`\n\n[^n]: Note\n\n- ```worked-example w\n  calculator: catch-test\n  given: { catch: [ { volume: 1 gal } ] }\n  ```\n\n| a | b |\n|---|:-:|\n| [x](figure:w/r?in=L) | <b> |\n\n```caution danger\nNo *way*.\n```\n";
    const BANK: &str = "id: bank\ntitle: B\nquestions:\n  - id: a\n    kind: one\n    text: Why ²?\n    options:\n      - { text: A, right: true }\n      - text: |\n          B\n  - {id: n, kind: number, asks: a/b, text: \"x\", given: {v: 1 gal}}\n";
    const SCRAPS: [&str; 22] = [
        "[", "]", "{", "}", ":", "- ", "\n", "\t", "\"", "'", "&a ", "*a", "!t ", "|", "---\n", "²", "\r", "<", "```",
        "[^n]", "\u{202e}", "# ",
    ];

    fn damaged(text: &str, draw: &mut Draw) -> String {
        let mut text = text.to_owned();
        for _ in 0..=draw.below(4) {
            let mut at = draw.below(text.len() + 1);
            while !text.is_char_boundary(at) {
                at -= 1;
            }
            match draw.below(3) {
                0 => text.insert_str(at, SCRAPS[draw.below(SCRAPS.len())]),
                1 => text.truncate(at),
                _ => {
                    let end = text[at..].char_indices().nth(draw.below(6)).map_or(text.len(), |(next, _)| at + next);
                    text.replace_range(at..end, "");
                }
            }
        }
        text
    }

    #[test]
    fn no_damage_to_a_course_makes_the_reader_panic_or_lose_its_place() {
        let mut draw = Draw(1);
        for _ in 0..3_000 {
            let mut files = Memory::new();
            files.add("course.yaml", damaged(COURSE, &mut draw).into_bytes());
            files.add("lessons/one.md", damaged(LESSON, &mut draw).into_bytes());
            files.add("questions/bank.yaml", damaged(BANK, &mut draw).into_bytes());
            let (course, mut problems): (_, Problems) = load(&files, 1);
            if let Some(course) = course {
                let none = std::collections::BTreeSet::new();
                let context = crate::markdown::Context {
                    lessons: &course.lesson_names,
                    banks: &course.bank_names,
                    cautions: &none,
                    terms: &none,
                    images: &course.images,
                    to_root: "../",
                };
                for lesson in &course.lessons {
                    let body = crate::markdown::render(lesson, &context, &mut problems);
                    assert!(!body.html.contains("<b>"));
                    body.fill(&mut String::new(), |_, _| {});
                }
            }
            for problem in &problems.draw(Style::Plain).into_bytes() {
                assert!(*problem >= b' ' || *problem == b'\n', "no control character is drawn");
            }
        }
    }
}
