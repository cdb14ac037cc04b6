//! `tankside proof` from outside: its text, JSON and SARIF forms, and what it explains.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::{Done, Room, original};
use serde_json::Value;
use std::fs;
use std::path::Path;
use tankside::problem::code;

/// The course of the tests with mistakes in several files, among them one whose name is no plain address.
fn faulty(room: &Room) {
    room.course("course");
    room.write("course/lessons/first.md", original("lessons/first.md").replace("second.md#walk", "secnd.md"));
    room.write("course/lessons/notes & more: 50 %.docx", "x");
    room.write("course/questions/small.yaml", original("questions/small.yaml").replace("right: true", "rigt: true"));
    room.write("course/lessons/second.md", original("lessons/second.md").replace("# Walk", "# Walk ° ft² <b>"));
}

fn proof(room: &Room, words: &[&str]) -> Done {
    room.run(&[&["proof"], words].concat())
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|fault| panic!("{fault}: {text}"))
}

#[test]
fn every_problem_is_reported_at_once_and_nothing_is_written() {
    let room = Room::new("proof-text");
    faulty(&room);
    let before = room.digests("");
    let done = proof(&room, &["course"]);
    assert_eq!((done.code, done.err.as_str()), (Some(1), ""));
    for (code, place) in [
        ("error link-to-nowhere", "  course/lessons/first.md:9:5\n"),
        ("error unknown-key", "  course/questions/small.yaml:8:23\n"),
        ("error raw-html", "  course/lessons/second.md:6:14\n"),
        ("warning file-not-read", "  course/lessons/notes & more: 50 %.docx\n"),
        ("warning minutes-missing", "  course/lessons/second.md:2:1\n"),
    ] {
        let found = done.out.split("\n\n").any(|block| block.contains(place) && block.contains(&format!("\n  {code}")));
        assert!(found, "{code} {place} in\n{}", done.out);
    }
    // The author's own text is marked, a near name is offered.
    assert!(
        done.out.contains("»[the second](secnd.md)«") && done.out.contains("\n  Write `second.md`.\n"),
        "{}",
        done.out
    );
    let last = done.out.lines().last().unwrap_or_default();
    assert!(last.contains(" errors, ") && last.ends_with(" warnings"), "{last}");
    assert_eq!(room.digests(""), before);
    assert_eq!(proof(&room, &["nowhere"]).code, Some(1));
}

#[test]
fn a_lesson_that_nobody_reads_to_its_end_is_marked_whatever_its_header_says() {
    let room = Room::new("proof-long");
    room.course("course");
    let long = |paragraphs: usize| {
        let text = "\n\n# Walk\n\nWalk the lawn and count your steps with care.".repeat(paragraphs);
        original("lessons/second.md").replacen("title:", "minutes: 90\ntitle:", 1) + &text.replacen("# Walk", "# Go", 1)
    };
    room.write("course/lessons/second.md", long(300));
    assert!(!proof(&room, &["course"]).out.contains("lesson-long"), "15 minutes are not too many");
    room.write("course/lessons/second.md", long(700));
    let done = proof(&room, &["course"]);
    let block = done.out.split("\n\n").find(|block| block.contains("warning lesson-long")).unwrap_or_default();
    assert!(block.contains("course/lessons/second.md:3:1") && block.contains("words: 7005"), "{}", done.out);
}

#[test]
fn a_course_with_nothing_to_mark_says_so_in_every_form() {
    let room = Room::new("proof-clean");
    // Without a course here it is the demo's, which has nothing to mark.
    let done = proof(&room, &[]);
    assert_eq!((done.code, done.out.as_str()), (Some(0), "No mistakes in the demo course.\n"));
    assert!(done.err.contains("about the demo course"), "{}", done.err);
    let read = json(&proof(&room, &["--format", "json"]).out);
    assert_eq!((&read["errors"], &read["warnings"], &read["problems"]), (&0.into(), &0.into(), &Value::Array(vec![])));
    let sarif = json(&proof(&room, &["--format", "sarif"]).out);
    assert_eq!(sarif["runs"][0]["results"], Value::Array(vec![]));
}

#[test]
fn json_holds_what_the_text_says() {
    let room = Room::new("proof-json");
    faulty(&room);
    let text = proof(&room, &["course"]).out;
    let done = proof(&room, &["course", "--format", "json"]);
    assert_eq!((done.code, done.err.as_str()), (Some(1), ""));
    let read = json(&done.out);
    let problems = read["problems"].as_array().expect("a list");
    let blocks: Vec<&str> = text.split("\n\n").collect();
    // After the last problem there is the line that counts them.
    assert_eq!(problems.len() + 1, blocks.len());
    let mut errors = 0;
    for (problem, block) in problems.iter().zip(blocks) {
        let word = |key: &str| problem[key].as_str().unwrap_or_default();
        let (title, rest) = block.split_once('\n').expect("lines");
        assert_eq!(word("title"), title);
        assert!(rest.ends_with(&format!("  {} {}", word("severity"), word("code"))), "{block}");
        let place = match problem.get("line") {
            Some(line) => format!("  {}:{line}:{}\n", word("file"), problem["column"]),
            None => format!("  {}\n", word("file")),
        };
        assert!(rest.starts_with(&place), "{place}: {block}");
        assert!(problem.get("help").is_none() || rest.contains(word("help")), "{block}");
        assert!(
            problem
                .get("text")
                .is_none_or(|text| rest.contains(text.as_str().unwrap_or_default().lines().next().unwrap_or_default()))
        );
        assert!(code::rule(word("code")).is_some_and(|rule| rule.severity.word() == word("severity")));
        errors += usize::from(word("severity") == "error");
    }
    assert_eq!(read["errors"], errors);
}

#[test]
fn sarif_is_what_its_own_schema_asks_for() {
    let schema =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/sarif-schema-2.1.0.json"));
    // One pattern of the schema, for a member that we do not write, lacks an opening bracket.
    let schema = schema.expect("the schema of the standard is in the tree").replace("-[a-zA-Z]{2}]?$", "-[a-zA-Z]{2}$");
    let schema = json(&schema);
    let validator = jsonschema::draft7::options().should_validate_formats(true).build(&schema).expect("a schema");
    let room = Room::new("proof-sarif");
    faulty(&room);
    room.course("broken");
    room.write("broken/course.yaml", "id: [\n");
    for words in [&["course"][..], &["broken"], &["nowhere"], &[]] {
        let done = proof(&room, &[words, &["--format", "sarif"]].concat());
        let read = json(&done.out);
        let faults: Vec<String> =
            validator.iter_errors(&read).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
        assert_eq!(faults, [""; 0], "{words:?}");
        assert_eq!(read["version"], "2.1.0");
    }
    // The schema does refuse what it should.
    assert!(!validator.is_valid(&json("{\"version\": \"2.1.0\", \"runs\": [{\"results\": []}]}")));
    let read = json(&proof(&room, &["course", "--format", "sarif"]).out);
    let run = &read["runs"][0];
    let rules: Vec<&str> = run["tool"]["driver"]["rules"]
        .as_array()
        .expect("rules")
        .iter()
        .filter_map(|rule| rule["id"].as_str())
        .collect();
    let results = run["results"].as_array().expect("results");
    assert!(results.len() > 4);
    for result in results {
        assert!(rules.contains(&result["ruleId"].as_str().unwrap_or_default()), "{result}");
        assert_eq!(
            result["level"],
            code::rule(result["ruleId"].as_str().unwrap_or_default()).expect("a rule").severity.word()
        );
    }
    let of = |rule: &str| results.iter().find(|result| result["ruleId"] == rule).expect(rule);
    let place = &of("link-to-nowhere")["locations"][0]["physicalLocation"];
    assert_eq!(place["artifactLocation"]["uri"], "course/lessons/first.md");
    assert_eq!(place["artifactLocation"]["uriBaseId"], "%SRCROOT%");
    let region = &place["region"];
    // By hand: the ninth line is “See [the second](secnd.md).”
    assert_eq!(
        (&region["startLine"], &region["startColumn"], &region["endLine"], &region["endColumn"]),
        (&9.into(), &5.into(), &9.into(), &27.into())
    );
    assert_eq!(region["snippet"]["text"], "[the second](secnd.md)");
    let odd = &of("file-not-read")["locations"][0]["physicalLocation"]["artifactLocation"]["uri"];
    assert_eq!(odd, "course/lessons/notes%20&%20more%3A%2050%20%25.docx");
}

#[test]
fn a_code_is_explained_and_a_mistyped_one_offered() {
    let room = Room::new("proof-explain");
    let done = proof(&room, &["--explain", "caution-lost"]);
    let rule = code::CAUTION_LOST;
    let expected = format!(
        "caution-lost, an error: the course is not published\n\n  Finds    {}\n  Matters  {}\n  Write    {}\n",
        rule.finds, rule.matters, rule.write
    );
    assert_eq!((done.code, done.out), (Some(0), expected));
    assert!(
        proof(&room, &["--explain", "word-twice"]).out.starts_with("word-twice, a warning: the course is published\n")
    );
    let all = proof(&room, &["--explain", "all"]).out;
    assert_eq!(all.lines().count(), code::rules().count());
    for rule in code::rules() {
        assert!(all.lines().any(|line| line.starts_with(rule.code) && line.ends_with(rule.finds)), "{}", rule.code);
    }
    let slip = proof(&room, &["--explain", "caution-lots"]);
    assert_eq!((slip.code, slip.out.as_str()), (Some(2), ""));
    assert!(slip.err.starts_with("There is no code `caution-lots`.\n  Write `caution-lost`; "), "{}", slip.err);
    assert_eq!(proof(&room, &["--format", "xml"]).code, Some(2));
    // No page lists the stock cautions, so this is where an author finds them all.
    let lost = room.run(&["proof", "--explain", "caution-unknown"]).out;
    let stock = tankside::catalogue::cautions("en").expect("the stock can be read");
    assert!(stock.len() > 40 && stock.keys().all(|id| lost.contains(&format!("\n  {id} "))), "{lost}");
}

#[test]
fn what_a_trainer_should_know_of_has_a_rule_and_a_case() {
    // What it is, its code, the spec with its case (or the test, where a spec cannot hold one).
    const WANTED: &[(&str, &str, &str)] = &[
        (
            "a number beside a unit that contradicts the example next to it",
            "number-contradicts",
            "tests/specs/proof.md",
        ),
        ("an example that raises a danger", "example-danger", "tests/specs/silent.md"),
        ("an example outside its usual range", "example-unusual", "tests/specs/silent.md"),
        ("a range that cannot be worked", "range-implausible", "tests/specs/resolved.md"),
        ("a range that is one-sided", "range-one-sided", "tests/specs/proof.md"),
        ("options too close together", "options-alike", "tests/specs/proof.md"),
        ("the right option always the longest", "right-always-longest", "tests/specs/proof.md"),
        ("a question whose mistakes collide", "mistakes-inseparable", "tests/mistakes/of_an_author.rs"),
        ("a lesson with a calculator and no caution", "lesson-without-caution", "tests/specs/proof.md"),
        ("a caution without a source", "caution-without-source", "tests/specs/proof.md"),
        ("a picture without a text", "image-without-words", "tests/specs/pictures.md"),
        ("a pair of colors under the contrast", "color-contrast", "tests/specs/face.md"),
        ("a phrase missing in a language", "phrase-missing", "tests/run_own.rs"),
        ("a dead link", "link-to-nowhere", "tests/specs/links.md"),
        ("a reading level far above the rest", "reading-level", "tests/specs/proof.md"),
        ("a lesson longer than it says", "minutes-short", "tests/specs/resolved.md"),
    ];
    for (what, code, case) in WANTED {
        assert!(code::rule(code).is_some(), "{what}: {code}");
        let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(case)).expect("a case");
        assert!(text.contains(code), "{what}: no {code} in {case}");
    }
    assert!(code::rules().filter(|rule| rule.severity.word() == "warning").count() >= 40);
}

/// A lesson of so many words, examples and questions that says it takes so many minutes.
fn lesson(words: usize, examples: usize, questions: usize, minutes: u32) -> String {
    let mut text = format!("---\ntitle: Second\nsummary: The second lesson.\nminutes: {minutes}\n---\n");
    for at in 0..words {
        text += if at % 100 == 0 { "\n\nWalk" } else { " walk" };
        text += if at % 10 == 9 { "." } else { "" };
        // Not the same word twice in a row.
        text = if at % 2 == 1 { text.replace("walk walk", "walk on").replace("Walk walk", "Walk on") } else { text };
    }
    text += "\n";
    for at in 0..examples {
        text += &format!(
            "\n```worked-example own-{at}\ncalculator: catch-test\ngiven: {{ catch: [ {{ volume: 96 fl oz, time: 30 s }} ] }}\n```\n"
        );
    }
    if questions > 0 {
        text += "\n```questions small\n```\n";
    }
    text
}

#[test]
fn minutes_are_held_against_words_examples_and_questions_from_both_sides() {
    let room = Room::new("proof-minutes");
    // By hand: 180 words, one example, or four thirds of a question a minute; a fifth and a minute more are let pass.
    for (words, examples, questions, takes, within, short) in [
        (900, 0, 0, 5, 4, 3),  // 5 min: 4 * 1.2 + 1 = 5.8, 3 * 1.2 + 1 = 4.6
        (1260, 0, 0, 7, 5, 4), // 7 min: 5 * 1.2 + 1 = 7 exactly, 4 * 1.2 + 1 = 5.8
        (1261, 0, 0, 8, 6, 5), // a word more is too long for 5
        (180, 6, 0, 7, 5, 4),  // 1 + 6
        (180, 0, 8, 7, 5, 4),  // 1 + 8 * 0.75
        (360, 2, 4, 7, 5, 4),  // 2 + 2 + 3
    ] {
        let bank: String = (0..questions)
            .map(|at| format!("  - {{ id: q{at}, kind: one, text: Which {at}?, options: [ {{ text: A, right: true }}, {{ text: B, because: No. }}, {{ text: C, because: No. }} ] }}\n"))
            .collect();
        for (said, marked) in [(within, false), (short, true), (within + 20, false)] {
            room.course("course");
            room.write("course/lessons/second.md", lesson(words, examples, questions, said));
            if questions > 0 {
                room.write("course/questions/small.yaml", format!("id: small\ntitle: Small check\nquestions:\n{bank}"));
            }
            let done = proof(&room, &["course", "--format", "json"]);
            let read = json(&done.out);
            let all = read["problems"].as_array().expect("a list");
            let found: Vec<&Value> = all.iter().filter(|one| one["code"] == "minutes-short").collect();
            assert_eq!(found.len(), usize::from(marked), "{words} {examples} {questions} in {said} min: {}", done.out);
            for problem in found {
                assert_eq!((&problem["file"], &problem["line"]), (&"course/lessons/second.md".into(), &4.into()));
                let title = problem["title"].as_str().expect("text");
                let counts = format!("(words: {words}, examples: {examples}, questions: {questions})");
                assert!(title.contains(&format!("says {said} min and takes about {takes} min {counts}")), "{title}");
                assert!(problem["help"].to_string().contains(&format!("`minutes: {takes}`")), "{problem}");
            }
        }
    }
}

#[test]
fn every_place_opens_from_where_the_command_was_run() {
    let room = Room::new("proof-places");
    faulty(&room);
    let whole = room.path("course").display().to_string();
    for named in ["course", "./course", whole.as_str()] {
        let read = json(&proof(&room, &[named, "--format", "json"]).out);
        let problems = read["problems"].as_array().expect("a list");
        for problem in problems.iter().filter(|problem| problem.get("text").is_some()) {
            let file = problem["file"].as_str().expect("a name");
            let text = fs::read_to_string(room.path(file)).unwrap_or_else(|fault| panic!("{file}: {fault}"));
            let line = problem["line"].as_u64().expect("a number") as usize;
            let marked = problem["text"].as_str().and_then(|text| text.lines().next()).expect("a text");
            let column = problem["column"].as_u64().expect("a number") as usize;
            let there: String = text.lines().nth(line - 1).unwrap_or_default().chars().skip(column - 1).collect();
            assert!(there.starts_with(marked), "{problem}: {there}");
        }
        assert!(problems.len() > 4, "{read}");
    }
    // What a relative address starts from is named, as the standard has it (3.14.14).
    let run = &json(&proof(&room, &["course", "--format", "sarif"]).out)["runs"][0];
    let base = run["originalUriBaseIds"]["%SRCROOT%"]["uri"].as_str().expect("an address").to_owned();
    let uri = run["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"].to_string();
    assert!(base.starts_with("file:///") && base.ends_with('/') && uri.starts_with("\"course/"), "{base} {uri}");
    // The same from within the course, where nothing comes before the name.
    let within = json(&room.run_in("course", &["proof", "--format", "json"], &[]).out);
    assert!(within["problems"].as_array().is_some_and(|all| all.iter().any(|one| one["file"] == "lessons/first.md")));
}

#[test]
fn a_folder_that_is_not_there_is_reported_in_the_form_asked_for() {
    let room = Room::new("proof-missing");
    let read = json(&proof(&room, &["nowhere", "--format", "json"]).out);
    assert_eq!((&read["errors"], &read["problems"][0]["code"]), (&1.into(), &"course-missing".into()));
    let done = proof(&room, &["nowhere", "--format", "sarif"]);
    assert_eq!((done.code, done.err.as_str()), (Some(1), ""));
    assert_eq!(json(&done.out)["runs"][0]["results"][0]["ruleId"], "course-missing");
    let done = proof(&room, &["nowhere"]);
    assert!(done.out.is_empty() && done.err.contains("\n  error course-missing\n"), "{}", done.err);
}

#[test]
fn where_there_is_no_course_it_says_whose_mistakes_it_shows() {
    let room = Room::new("proof-nowhere");
    for form in ["text", "json", "sarif"] {
        let done = proof(&room, &["--format", form]);
        assert_eq!(done.code, Some(0), "{form}: {}", done.out);
        assert!(
            done.err.starts_with("There is no course in this folder; what follows is about the demo course.\n"),
            "{}",
            done.err
        );
    }
}
