//! A mistake is reported to its author once, at its place, with what to write instead.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::Room;
use tankside::problem::sentence;

const LESSON: &str = "lessons/first.md";
const BANK: &str = "questions/week.yaml";

/// A lesson with an example and the bank below.
const FIRST: &str = "---\ntitle: First\nsummary: The first lesson.\n---\n\n```worked-example gun\ncalculator: catch-test\ngiven:\n  catch:\n    - { volume: 96 fl oz, time: 30 s }\n    - { volume: 97 fl oz, time: 30 s }\n```\n\nIt puts out [output](figure:gun/nozzle-output).\n\n```questions week\nask: 2\n```\n";

/// A bank of two questions for a number.
const WEEK: &str = "id: week\ntitle: A week\nquestions:\n  - id: gun\n    kind: number\n    asks: catch-test/nozzle-output\n    text: You catch {catch.1.volume} in {catch.1.time}. What is the output?\n    given:\n      catch: [ { volume: 90 to 200 by 2 fl oz, time: 30 s } ]\n    answer-in: gal/min\n  - id: pace\n    kind: number\n    asks: catch-test/nozzle-output\n    text: You catch {catch.1.volume} in {catch.1.time}. What is the output?\n    given:\n      catch: [ { volume: \"one of 96, 98 fl oz\", time: 30 s } ]\n";

/// The problems of the course above with pieces of its files replaced: `(file, from, to)`.
fn told(changes: &[(&str, &str, &str)]) -> String {
    let mut files = vec![
        ("course.yaml", "id: small\ntitle: Small\ncompany: Example Lawns\nlessons: [first, second]\n".to_owned()),
        (LESSON, FIRST.to_owned()),
        ("lessons/second.md", "---\ntitle: Second\nsummary: The second lesson.\n---\n\nWords.\n".to_owned()),
        (BANK, WEEK.to_owned()),
    ];
    for (file, from, to) in changes {
        let known = files.iter_mut().find(|(name, _)| name == file);
        let (_, text) = known.unwrap_or_else(|| panic!("there is no {file}"));
        assert!(text.contains(from), "{file} holds no {from}");
        *text = text.replacen(from, to, 1);
    }
    let room = Room::new(&format!("messages-{:?}", std::thread::current().id()).replace(['(', ')'], ""));
    for (name, text) in &files {
        room.write(&format!("course/{name}"), text);
    }
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert_eq!(done.code, Some(if done.err.is_empty() { 0 } else { 1 }), "{}", done.err);
    done.err
}

/// Asserts that exactly these errors are reported, in the order of the files: each with its code, place and help.
#[track_caller]
fn assert_told(changes: &[(&str, &str, &str)], expected: &[(&str, &str, &str)]) {
    let said = told(changes);
    // Sentence, place, the author's lines, what to write, the code.
    let found: Vec<(String, String, String)> = said
        .split("\n\n")
        .filter_map(|block| {
            let lines: Vec<&str> = block.lines().collect();
            let (code, lines) = lines.split_last()?;
            let help = lines.last().filter(|line| line.starts_with("  ") && !line.starts_with("   "));
            let code = code.strip_prefix("  error ")?.to_owned();
            Some((code, lines.get(1)?.trim().to_owned(), help.map_or("", |line| line.trim()).to_owned()))
        })
        .collect();
    let expected: Vec<_> =
        expected.iter().map(|(code, place, help)| ((*code).to_owned(), (*place).to_owned(), sentence(help))).collect();
    assert_eq!(found, expected, "{said}");
}

#[test]
fn the_course_of_these_tests_has_no_mistake() {
    assert_eq!(told(&[]), "");
}

#[test]
fn a_mistake_in_a_bank_is_reported_at_the_bank_and_not_again_at_its_lesson() {
    assert_told(
        &[(BANK, "catch-test/nozzle-output", "catchtest/nozzle-output")],
        &[("calculator-unknown", "course/questions/week.yaml:6:11", "write `catch-test`")],
    );
    assert_told(
        &[(BANK, "    asks: catch-test/nozzle-output\n", "")],
        &[("asks-nothing", "course/questions/week.yaml:5:5", "add a line such as `asks: catch-test/nozzle-output`")],
    );
    assert_told(
        &[(BANK, "kind: number", "kind: nummer")],
        &[("unknown-word", "course/questions/week.yaml:5:11", "write `number`")],
    );
}

#[test]
fn more_examples_than_a_phone_can_load_are_refused_once() {
    let example = |number: usize| {
        format!(
            "```worked-example more-{number}\ncalculator: catch-test\ngiven: {{ catch: [ {{ volume: 96 fl oz, time: 30 s }} ] }}\n```\n\n"
        )
    };
    let many: String = (0..101).map(example).collect();
    let said = told(&[("lessons/second.md", "Words.", &many)]);
    assert_eq!(said.matches("error too-many-examples").count(), 1, "{said}");
    assert!(said.contains("```worked-example »more-100«\n  Start another lesson here.\n"), "{said}");
    let most: String = (0..100).map(example).collect();
    assert_eq!(told(&[("lessons/second.md", "Words.", &most)]), "");
}

#[test]
fn more_questions_than_the_bank_has_are_reported() {
    assert_told(
        &[(LESSON, "ask: 2", "ask: 300")],
        &[(
            "asks-too-many",
            "course/lessons/first.md:17:6",
            "write `ask: 2` or less, or leave the line out to ask them all",
        )],
    );
    // Reported alongside the bank's own mistake: the two are unrelated.
    assert_told(
        &[(LESSON, "ask: 2", "ask: 3"), (BANK, "answer-in: gal/min", "tolerance: none")],
        &[
            (
                "asks-too-many",
                "course/lessons/first.md:17:6",
                "write `ask: 2` or less, or leave the line out to ask them all",
            ),
            ("tolerance-not-a-share", "course/questions/week.yaml:10:16", "write `tolerance: 2 %`"),
        ],
    );
}

#[test]
fn a_slip_in_an_input_is_reported_once_with_the_row_that_was_written() {
    let second = (LESSON, "{ volume: 97", "{ volum: 97");
    let help = "write `volume`, which makes it `catch.2.volume`";
    assert_told(&[second], &[("input-unknown", "course/lessons/first.md:11:9", help)]);
    assert_told(
        &[(BANK, "time: 30 s", "tme: 30 s")],
        &[("input-unknown", "course/questions/week.yaml:9:48", "write `time`, which makes it `catch.1.time`")],
    );
    assert_told(
        &[(LESSON, "  catch:", "  cach:")],
        &[("input-unknown", "course/lessons/first.md:9:3", "write `catch`, which makes it `catch.1.volume`")],
    );
}

#[test]
fn an_input_that_is_to_come_first_is_one_of_the_calculator() {
    let first = |names: &'static str| (LESSON, "calculator: catch-test\n", names);
    assert_told(
        &[first("calculator: catch-test\nfirst: [catch, tolerence]\n")],
        &[("input-unknown", "course/lessons/first.md:8:16", "write `tolerance`")],
    );
    let all = "there are `catch`, `nozzle`, `nozzle-time`, `tolerance`";
    assert_told(
        &[first("calculator: catch-test\nfirst: [a bucket]\n")],
        &[("input-unknown", "course/lessons/first.md:8:9", all)],
    );
}

#[test]
fn a_result_that_is_to_be_large_is_one_that_the_inputs_give() {
    let large = |names: &'static str| (LESSON, "calculator: catch-test\n", names);
    assert_told(
        &[large("calculator: catch-test\nlarge: total-volum\n")],
        &[("result-unknown", "course/lessons/first.md:8:8", "write `total-volume`")],
    );
    let all = "there are `nozzle-output`, `total-volume`, `total-time`";
    assert_told(
        &[large("calculator: catch-test\nlarge: what a lot\n")],
        &[("result-unknown", "course/lessons/first.md:8:8", all)],
    );
}

#[test]
fn a_range_that_cannot_be_read_says_why_and_what_to_write() {
    let range = |text| [(BANK, "90 to 200 by 2 fl oz", text)];
    for (text, title, help) in [
        ("200 to 90 by 2 fl oz", "a range begins with its lower end, and 200 is above 90", "90 to 200 by 2 fl oz"),
        (
            "90 to 200 fl oz",
            "this range has no step, so it does not say which values are drawn",
            "90 to 200 by 2 fl oz",
        ),
        (
            "1 to 99999 by 1 fl oz",
            "at most 10,000 values are drawn from, and this range has 99,999",
            "1 to 99999 by 2000 fl oz",
        ),
        (
            "90-200 fl oz",
            "`90-200 fl oz` is not an amount; a range is written with `to` and `by`",
            "90 to 200 by 2 fl oz",
        ),
    ] {
        let said = told(&range(text));
        assert!(said.contains(&sentence(title)), "{said}");
        assert!(said.contains(&format!("\n  Write `{help}`.\n")), "{said}");
        assert!(
            said.contains("\n  course/questions/week.yaml:9:26\n") && said.contains("\nNothing was published; "),
            "{said}"
        );
    }
}

#[test]
fn what_is_asked_and_its_unit_are_offered() {
    let asks = |text| [(BANK, "asks: catch-test/nozzle-output", text)];
    let place = "course/questions/week.yaml:6:11";
    let whole = "write `catch-test/nozzle-output`";
    assert_told(&asks("asks: nozzle-output"), &[("calculator-unknown", place, whole)]);
    assert_told(&asks("asks: catch-test/nozle-output"), &[("result-unknown", place, whole)]);
    assert_told(
        &[(BANK, "answer-in: gal/min", "answer-in: acre")],
        &[(
            "unit-wrong-kind",
            "course/questions/week.yaml:10:16",
            "write one of `gal/min`, `fl oz/min`, `L/min`, `mL/min`, or another unit of that kind",
        )],
    );
}

#[test]
fn what_follows_from_a_block_or_a_lesson_that_could_not_be_read_is_not_reported() {
    let tab = "put spaces in place of the tab";
    // In a header, in an example whose number is shown, and in a header that is never closed.
    assert_told(&[(LESSON, "summary: The", "\tsummary: The")], &[("yaml-syntax", "course/lessons/first.md:3:1", tab)]);
    assert_told(
        &[(LESSON, "summary: The", "summary:\tThe")],
        &[("odd-space", "course/lessons/first.md:3:1", "delete it and type a plain space in its place")],
    );
    assert_told(
        &[(LESSON, "    - { volume: 96", "\t- { volume: 96")],
        &[("yaml-syntax", "course/lessons/first.md:10:1", tab)],
    );
    assert_told(
        &[
            (LESSON, "lesson.\n---\n", "lesson.\n"),
            ("lessons/second.md", "Words", "[x](figure:first.gun/nozzle-output)"),
        ],
        &[("header-open", "course/lessons/first.md:1:1", "write a second `---` line below the last key of the header")],
    );
}

#[test]
fn a_number_of_another_lesson_is_offered_with_that_lesson() {
    let figure = |address| [("lessons/second.md", "Words", address)];
    let place = "course/lessons/second.md:6:1";
    let whole = "write `figure:first.gun/nozzle-output?in=L/min`";
    assert_told(&figure("[x](figure:gun/nozzle-output?in=L/min)"), &[("figure-unknown", place, whole)]);
    assert_told(
        &figure("[x](figure:second.gun/input/catch.1.volume)"),
        &[("figure-unknown", place, "write `figure:first.gun/input/catch.1.volume`")],
    );
    assert_told(&figure("[x](figure:frist.gun/nozzle-output)"), &[("figure-unknown", place, "write `first`")]);
    assert_told(&figure("[x](figure:first.gn/nozzle-output)"), &[("figure-unknown", place, "write `gun`")]);
    assert_told(
        &[
            ("lessons/second.md", "Words", "[x](figure:first.gun/nozzle-output)"),
            (LESSON, "figure:gun", "figure:second.gun"),
        ],
        &[("figure-unknown", "course/lessons/first.md:14:13", "write `figure:gun/nozzle-output`")],
    );
}

#[test]
fn names_of_the_stock_course_are_offered_where_there_is_no_list_to_look_at() {
    let told_of = |text| told(&[("lessons/second.md", "Words.", text)]);
    for (text, help) in [
        ("[x](term:pooling)", "write `term:pooled`"),
        ("```caution wind\n```", "there are `wind-au`, `wind-uk`, `wind-us`"),
        ("```questions catch-tests\n```", "write `catch-test`"),
    ] {
        let said = told_of(text);
        assert!(said.contains(&format!("\n  {}\n", sentence(help))), "{said}");
    }
    // Nothing near: the page that lists the terms, every bank, a dozen cautions.
    assert!(told_of("[x](term:zzz)").contains("`glossary.html`"));
    let (banks, cautions) = (told_of("```questions zzz\n```"), told_of("```caution zzz\n```"));
    for calculator in tankside_calc::calculators::registry::CALCULATORS {
        assert!(banks.contains(&format!("`{}`", calculator.id)), "{banks}");
    }
    assert!(banks.contains("`safety-first`") && banks.contains("`week`"), "{banks}");
    // The three levels, nine of the stock's, and how many more there are.
    let stock = tankside::catalogue::cautions("en").expect("a readable list");
    for caution in ["danger", "warning", "notice"].into_iter().chain(stock.keys().take(9).map(String::as_str)) {
        assert!(cautions.contains(&format!("`{caution}`")), "{caution}: {cautions}");
    }
    let rest = format!("and {} more; `tankside proof --explain caution-unknown` lists them.", stock.len() - 9);
    assert!(cautions.contains(&rest), "{cautions}");
}
