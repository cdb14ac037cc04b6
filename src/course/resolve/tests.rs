//! Damaged courses, and problems that follow from others.

use super::*;
use crate::load::Memory;
use crate::problem::Style;

/// Our own generator, so that a finding can be repeated (Knuth's MMIX constants, TAOCP 2, 3.3.4).
struct Random(u64);

impl Random {
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

fn damaged(text: &str, random: &mut Random) -> String {
    let mut text = text.to_owned();
    for _ in 0..=random.below(4) {
        let mut at = random.below(text.len() + 1);
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        match random.below(3) {
            0 => text.insert_str(at, SCRAPS[random.below(SCRAPS.len())]),
            1 => text.truncate(at),
            _ => {
                let end = text[at..].char_indices().nth(random.below(6)).map_or(text.len(), |(next, _)| at + next);
                text.replace_range(at..end, "");
            }
        }
    }
    text
}

#[test]
fn no_damage_to_a_course_makes_the_reader_panic_or_lose_its_place() {
    let mut random = Random(1);
    for _ in 0..400 {
        let mut files = Memory::new();
        files.add("course.yaml", damaged(COURSE, &mut random).into_bytes());
        files.add("lessons/one.md", damaged(LESSON, &mut random).into_bytes());
        files.add("questions/bank.yaml", damaged(BANK, &mut random).into_bytes());
        let resolved = resolve(&files);
        for lesson in &resolved.draft().lessons {
            assert!(!lesson.html().expect("it is whole").contains("<b>"));
            lesson.body.fill_in(&lesson.html().expect("it is whole"), &mut String::new(), |_, _| {});
        }
        for problem in &resolved.problems.draw(Style::Plain).into_bytes() {
            assert!(*problem >= b' ' || *problem == b'\n', "no control character is drawn");
        }
        let for_pages = resolve_for_pages(&files).problems;
        assert_eq!(for_pages.draw(Style::Plain), resolved.problems.draw(Style::Plain));
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
fn what_a_lesson_under_a_wrong_name_would_show_is_not_called_lost() {
    let settings = "id: c\ntitle: T\ncompany: C\nlessons: [öne]\n";
    let cautions = "cautions:\n  - { id: pail, severity: notice, text: Rinse it., sources: [our own rule] }\n";
    let lesson = "---\ntitle: L\nsummary: S\n---\n\nWalk.\n\n```caution pail\n```\n";
    let all = told(&[("course.yaml", settings), ("cautions.yaml", cautions), ("lessons/one.md", lesson)]);
    let codes: Vec<&str> = all.iter().map(|(code, _)| *code).collect();
    assert!(codes.contains(&"name-form") && !codes.contains(&"caution-unplaced"), "{all:?}");
}

#[test]
fn an_error_in_the_settings_hides_no_problem_of_a_lesson_or_a_question() {
    let lesson = "---\ntitle: L\n---\n\nIt is [x](figure:gun/nozzle-output).\n\n```worked-example w\ncalculator: catch-test\ngiven: { catch: [ { volume: 1 gal } ] }\n```\n";
    let bank = "id: own\ntitle: T\nquestions:\n  - id: a\n    kind: number\n    text: What?\n    asks: catch-test/output\n    given: { catch: [ { volume: 1 gal, time: 60 s } ] }\n";
    let below = [
        ("missing-key", "lessons/l.md".to_owned()),
        ("figure-unknown", "lessons/l.md".to_owned()),
        ("input-missing", "lessons/l.md".to_owned()),
        ("bank-unplaced", "questions/own.yaml".to_owned()),
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

/// A course of lessons, by their names and what is in them, with a bank.
fn course_of(lessons: &[(&str, &str)]) -> Memory {
    let mut files = Memory::new();
    let names: Vec<&str> = lessons.iter().map(|(name, _)| *name).collect();
    let settings = format!("id: c\ntitle: T\ncompany: C\nlessons: [{}]\n", names.join(", "));
    files.add("course.yaml", settings.into_bytes());
    let bank = "id: why\ntitle: B\nquestions:\n  - id: a\n    kind: one\n    text: Why?\n    options:\n      - { text: A, right: true }\n      - { text: B }\n";
    files.add("questions/why.yaml", bank.as_bytes());
    for (name, body) in lessons {
        let text = format!("---\ntitle: L\nsummary: S\n---\n\n{body}\n");
        files.add(format!("lessons/{name}.md"), text.into_bytes());
    }
    files
}

const CATCH: &str =
    "```worked-example w\ncalculator: catch-test\ngiven: { catch: [ { volume: 1 gal, time: 60 s } ] }\n```";

#[test]
fn a_lesson_lets_go_of_its_text_where_nobody_reads_it_again() {
    let limited = format!("{CATCH}\n\nPut down at most what the label says.");
    let lessons = [
        ("plain", "Walk *on*, at most [so far](catch.md).\n\n# Pace"),
        ("catch", CATCH),
        ("leads", "See [it](plain.md#pace), [x](figure:catch.w/nozzle-output).\n\n```questions why\n```"),
        ("limited", &limited),
        ("open", "The end of **it."),
    ];
    let (whole, for_pages) = (resolve(&course_of(&lessons)), resolve_for_pages(&course_of(&lessons)));
    assert_eq!(for_pages.problems.draw(Style::Plain), whole.problems.draw(Style::Plain));
    let kept = for_pages.course.lessons.iter().filter(|lesson| !lesson.source.text.is_empty());
    assert_eq!(kept.map(|lesson| lesson.stem.as_str()).collect::<Vec<_>>(), ["limited", "open"]);
    for (lesson, other) in for_pages.course.lessons.iter().zip(&whole.course.lessons) {
        assert!(!other.source.text.is_empty());
        assert_eq!(lesson.html(), other.html(), "{}", lesson.stem);
    }
}

#[test]
fn a_problem_that_is_found_after_the_texts_were_let_go_of_shows_its_text() {
    let caution = "```caution danger\nIt is [x](figure:catch.w/nothing).\n```";
    for (body, code) in [
        ("See [it](catch.md#lace).", "heading-missing"),
        ("It is [x](figure:catch.w/nothing).", "figure-unknown"),
        ("It is [x](figure:cach.w/nozzle-output).", "figure-unknown"),
        (caution, "figure-unknown"),
        ("```questions why\nask: 4000\n```", "asks-too-many"),
    ] {
        let lessons = [("plain", "Walk on."), ("catch", CATCH), ("leads", body)];
        let (whole, for_pages) = (resolve(&course_of(&lessons)), resolve_for_pages(&course_of(&lessons)));
        let problem =
            whole.problems.iter().find(|problem| problem.code == code && &*problem.file == "lessons/leads.md");
        assert!(problem.is_some_and(|problem| problem.text.is_some()), "{code}");
        assert_eq!(for_pages.problems.draw(Style::Plain), whole.problems.draw(Style::Plain));
    }
}
