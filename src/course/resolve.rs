//! From a course's files to the course itself, with every problem of every file.

use super::banks::{ReadyBank, read_pass, ready_banks};
use super::examples::{ReadyLesson, ready};
use super::figures::show_figures;
use crate::catalogue::{self, StockCaution, Term};
use crate::load::{CourseFile, Files, Lesson, Manuscript, load};
use crate::markdown::{Context, Part, Questions, Text, check_links, render};
use crate::parallel::{in_parallel, threads};
use crate::problem::{Problem, Problems, Source, code};
use std::collections::{BTreeMap, BTreeSet};
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

/// A course in which everything that its files refer to was found: what [`crate::render`] makes pages of.
#[derive(Debug)]
pub struct Course {
    /// `course.yaml`, with its text.
    pub source: Source,
    /// What `course.yaml` says.
    pub settings: CourseFile,
    /// The sentences of the course's language.
    pub phrases: Phrases,
    /// The stock cautions by name.
    pub cautions: BTreeMap<String, StockCaution>,
    /// The glossary in alphabetical order.
    pub terms: Vec<Term>,
    /// The lessons in the order of the course.
    pub lessons: Vec<ReadyLesson>,
    /// The question banks by name.
    pub banks: BTreeMap<String, ReadyBank>,
    /// Names of the pictures, `images/gun.png`.
    pub images: BTreeSet<String>,
    /// Names of all listed lessons that have a file, whether or not it could be read.
    pub lesson_names: BTreeSet<String>,
    /// Names of all question banks that have a file, whether or not it could be read.
    pub bank_names: BTreeSet<String>,
}

impl Course {
    /// The units shown first.
    pub fn system(&self) -> System {
        super::examples::system(self.settings.units)
    }

    /// Banks that no lesson places, and that are the course's own: each gets a page of its own.
    pub fn banks_by_themselves(&self) -> impl Iterator<Item = &ReadyBank> {
        let placed = self.banks_placed();
        // A stock bank waits until a lesson places it.
        let stock = |id: &str| crate::embedded::CONTENT.get_file(format!("questions/{id}.yaml")).is_some();
        self.banks.values().filter(move |bank| !placed.contains(bank.id.as_str()) && !stock(&bank.id))
    }

    /// Names of the banks that lessons place.
    pub fn banks_placed(&self) -> BTreeSet<&str> {
        let holes = self.lessons.iter().flat_map(|lesson| &lesson.body.holes);
        let placed = holes.filter_map(|hole| match &hole.part {
            Part::Questions(questions) => Some(questions.bank.as_str()),
            _ => None,
        });
        placed.collect()
    }
}

/// A course, and everything that is wrong with its files.
#[derive(Debug)]
pub struct Resolved {
    course: Course,
    /// Every problem of every file, errors and warnings, sorted by file and place.
    pub problems: Problems,
}

impl Resolved {
    /// The course, where no error forbids to make pages of it.
    pub fn course(&self) -> Option<&Course> {
        (!self.problems.has_errors()).then_some(&self.course)
    }

    /// The course as far as it could be made out, whatever is wrong with it: for those who look for more problems.
    pub fn draft(&self) -> &Course {
        &self.course
    }
}

/// Reads a course and follows everything in it: examples are worked, questions posed, links and numbers looked up.
///
/// All problems of all files come out of one call. What cannot be read is replaced by a stand-in, so that it hides
/// nothing of what is wrong elsewhere. Reads through `files` and touches nothing else.
pub fn resolve(files: &dyn Files) -> Resolved {
    let (manuscript, mut problems) = load(files, threads());
    let phrases = language(&manuscript, &mut problems);
    let stock = |fault: String| Problem::new(code::STOCK_UNREADABLE, fault, "content");
    let cautions = catalogue::cautions().unwrap_or_else(|fault| {
        problems.push(stock(fault));
        BTreeMap::new()
    });
    let terms = catalogue::glossary().unwrap_or_else(|fault| {
        problems.push(stock(fault));
        Vec::new()
    });
    let banks = ready_banks(&manuscript.banks, &phrases, &mut problems);
    let names = Names {
        cautions: cautions.keys().cloned().collect(),
        terms: terms.iter().map(|term| term.id.clone()).collect(),
    };
    let mut lessons = ready_lessons(&manuscript, &names, &phrases, &mut problems);
    show_figures(&mut lessons, &manuscript.lesson_names, &phrases, &mut problems);
    for lesson in &lessons {
        for hole in &lesson.body.holes {
            if let Part::Questions(questions) = &hole.part {
                check_questions(&lesson.source, questions, &banks, &mut problems);
            }
        }
    }
    problems.sort();
    let Manuscript { source, settings, images, lesson_names, bank_names, .. } = manuscript;
    let course =
        Course { source, settings, phrases, cautions, terms, lessons, banks, images, lesson_names, bank_names };
    Resolved { course, problems }
}

/// The sentences of the course's language; of English where there are none, so that the lessons are checked.
fn language(manuscript: &Manuscript, problems: &mut Problems) -> Phrases {
    match catalogue::phrases(&manuscript.settings.language) {
        Ok(Some(phrases)) => return phrases,
        Ok(None) => {
            let title = format!("there are no phrases for the language `{}`", manuscript.settings.language);
            let mut sorted = catalogue::languages();
            sorted.sort();
            let help = format!("write one of: {}", sorted.join(", "));
            problems.push(Problem::new(code::LANGUAGE_UNKNOWN, title, "course.yaml").help(help));
        }
        Err(fault) => problems.push(Problem::new(code::STOCK_UNREADABLE, fault, "content")),
    }
    catalogue::phrases("en").ok().flatten().unwrap_or_default()
}

/// Names of the stock content that a lesson may refer to.
struct Names {
    cautions: BTreeSet<String>,
    terms: BTreeSet<String>,
}

fn ready_lessons(
    manuscript: &Manuscript,
    names: &Names,
    phrases: &Phrases,
    problems: &mut Problems,
) -> Vec<ReadyLesson> {
    let context = Context {
        lessons: &manuscript.lesson_names,
        banks: &manuscript.bank_names,
        cautions: &names.cautions,
        terms: &names.terms,
        images: &manuscript.images,
        to_root: "../",
    };
    let made = in_parallel(&manuscript.lessons, threads(), |lesson: &Lesson| {
        let mut problems = Problems::new();
        let text = Text { stem: &lesson.stem, source: &lesson.source, start: lesson.body_start };
        let body = render(text, &context, &mut problems);
        (ready(lesson, body, manuscript.settings.units, phrases, &mut problems), problems)
    });
    let mut lessons = Vec::with_capacity(made.len());
    for (lesson, found) in made {
        problems.extend(found);
        lessons.push(lesson);
    }
    let outlines = lessons.iter().map(|lesson| (lesson.stem.as_str(), &lesson.source, &lesson.body.outline));
    check_links(outlines, problems);
    lessons
}

/// Checks what a lesson asks of a bank.
fn check_questions(source: &Source, written: &Questions, banks: &BTreeMap<String, ReadyBank>, problems: &mut Problems) {
    let Some(bank) = banks.get(&written.bank) else { return };
    if written.pass.as_deref().is_some_and(|pass| read_pass(pass).is_none()) {
        let title = "a share from above 0 to 100 % is expected for `pass`";
        let problem = Problem::new(code::PASS_NOT_A_SHARE, title, "").at(source, written.place.clone());
        problems.push(problem.help("write `pass: 80 %`"));
    }
    let there = bank.questions.len();
    if let Some(ask) = written.ask.filter(|ask| *ask as usize > there) {
        let title = format!("{ask} questions are to be asked, and the bank `{}` has {there}", written.bank);
        let problem = Problem::new(code::ASKS_TOO_MANY, title, "").at(source, written.ask_place.clone());
        problems.push(problem.help(format!("write `ask: {there}` or less, or leave the line out to ask them all")));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Memory;
    use crate::problem::Style;

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
        for _ in 0..400 {
            let mut files = Memory::new();
            files.add("course.yaml", damaged(COURSE, &mut draw).into_bytes());
            files.add("lessons/one.md", damaged(LESSON, &mut draw).into_bytes());
            files.add("questions/bank.yaml", damaged(BANK, &mut draw).into_bytes());
            let resolved = resolve(&files);
            for lesson in &resolved.draft().lessons {
                assert!(!lesson.body.html.contains("<b>"));
                lesson.body.fill(&mut String::new(), |_, _| {});
            }
            for problem in &resolved.problems.draw(Style::Plain).into_bytes() {
                assert!(*problem >= b' ' || *problem == b'\n', "no control character is drawn");
            }
        }
    }

    fn told(files: &[(&'static str, &'static str)]) -> Vec<(&'static str, String)> {
        let mut memory = Memory::new();
        for (name, text) in files {
            memory.add(*name, text.as_bytes());
        }
        let resolved = resolve(&memory);
        resolved.problems.iter().map(|problem| (problem.code, problem.file.to_string())).collect()
    }

    #[test]
    fn an_error_in_the_settings_hides_no_problem_of_a_lesson_or_a_question() {
        let lesson = "---\ntitle: L\n---\n\nIt is [x](figure:gun/nozzle-output).\n\n```worked-example w\ncalculator: catch-test\ngiven: { catch: [ { volume: 1 gal } ] }\n```\n";
        let bank = "id: own\ntitle: T\nquestions:\n  - id: a\n    kind: number\n    text: What?\n    asks: catch-test/output\n    given: { catch: [ { volume: 1 gal, time: 60 s } ] }\n";
        let below = [
            ("missing-key", "lessons/l.md".to_owned()),
            ("figure-unknown", "lessons/l.md".to_owned()),
            ("input-missing", "lessons/l.md".to_owned()),
            ("result-unknown", "questions/own.yaml".to_owned()),
        ];
        for (settings, codes) in
            [("id: [x\n", &["yaml-syntax"][..]), ("id: c\ntitle: T\ncompany: C\nlessons: all\n", &["wrong-type"])]
        {
            let all = told(&[("course.yaml", settings), ("lessons/l.md", lesson), ("questions/own.yaml", bank)]);
            let mut expected: Vec<_> = codes.iter().map(|code| (*code, "course.yaml".to_owned())).collect();
            expected.extend(below.clone());
            assert_eq!(all, expected, "{settings}");
        }
    }
}
