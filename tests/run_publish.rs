//! `tankside publish` from outside: mistakes are reported at their place and change nothing that was there before.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

#[path = "run_publish/folders.rs"]
mod folders;

use published::{Done, Room, original};
use std::fs;

/// A mistake in one file of the small course, and the problem that its author must be shown.
struct Mistake {
    name: &'static str,
    file: &'static str,
    text: String,
    /// The code of the error, and its file, line and column.
    told: &'static [(&'static str, &'static str)],
}

/// The file with one piece replaced.
fn changed(
    name: &'static str,
    file: &'static str,
    from: &str,
    to: &str,
    told: &'static [(&'static str, &'static str)],
) -> Mistake {
    let text = original(file);
    assert!(text.contains(from), "{name}: {file} holds no {from}");
    Mistake { name, file, text: text.replacen(from, to, 1), told }
}

fn course_mistakes() -> Vec<Mistake> {
    let file = "course.yaml";
    vec![
        changed("broken YAML", file, "title: Two lessons", "title: [Two", &[("yaml-syntax", "course.yaml:2:8")]),
        changed("an unknown key", file, "company:", "compny:", &[("unknown-key", "course.yaml:3:1")]),
        changed("a key twice", file, "contact:", "company:", &[("duplicate-key", "course.yaml:5:1")]),
        changed("a lesson that is missing", file, "second]", "third]", &[("lesson-missing", "course.yaml:6:18")]),
        changed("a lesson twice", file, "second]", "first]", &[("duplicate-id", "course.yaml:6:18")]),
        changed("no number", file, "title: Two lessons", "title: .nan", &[("not-a-number", "course.yaml:2:8")]),
        changed("a blank", file, "title: Two lessons", "title: ' '", &[("blank", "course.yaml:2:8")]),
        changed("no lesson", file, "[first, second]", "[]", &[("no-lessons", "course.yaml:6:10")]),
        changed("a language unknown", file, "id:", "language: xx\nid:", &[("language-unknown", "course.yaml")]),
        Mistake { name: "an empty file", file, text: String::new(), told: &[("missing-key", "course.yaml")] },
        Mistake { name: "deep nesting", file, text: "[".repeat(100_000), told: &[("too-deep", "course.yaml:1:")] },
        Mistake { name: "aliases of aliases", file, text: alias_bomb(), told: &[("anchor", "course.yaml:1:")] },
    ]
}

/// Nine levels of nine references each: some 400 million values to a reader that follows them.
fn alias_bomb() -> String {
    let mut text = String::from("a0: &a0 [x, x, x, x, x, x, x, x, x]\n");
    for level in 1..9 {
        let inside = vec![format!("*a{}", level - 1); 9].join(", ");
        text.push_str(&format!("a{level}: &a{level} [{inside}]\n"));
    }
    text
}

fn lesson_mistakes() -> Vec<Mistake> {
    let (first, second) = ("lessons/first.md", "lessons/second.md");
    let wrong_kind: &[_] = &[("input-unreadable", "lessons/first.md:17:17")];
    vec![
        changed(
            "a header never closed",
            first,
            "minutes: 3\n---\n",
            "minutes: 3\n",
            &[("header-open", "lessons/first.md:1:1")],
        ),
        changed("no header", first, "---\n", "", &[("header-missing", "lessons/first.md:1:1")]),
        changed("a unit of the wrong kind", first, "96 fl oz", "96 ft", wrong_kind),
        changed(
            "a number that cannot be",
            first,
            "96 fl oz",
            "9600 gal",
            &[("input-impossible", "lessons/first.md:17:17")],
        ),
        changed("no number in an example", first, "96 fl oz", ".nan", &[("not-a-number", "lessons/first.md:17:17")]),
        changed("an unknown input", first, "volume:", "volum:", &[("input-unknown", "lessons/first.md:17:")]),
        changed(
            "an unknown calculator",
            first,
            "catch-test",
            "catchtest",
            &[("calculator-unknown", "lessons/first.md:14:13")],
        ),
        changed(
            "a link to nowhere",
            first,
            "second.md#walk",
            "third.md",
            &[("link-to-nowhere", "lessons/first.md:9:")],
        ),
        changed("a place that is not there", first, "#walk", "#run", &[("heading-missing", "lessons/first.md:9:")]),
        changed(
            "a picture that is missing",
            first,
            "gun.svg",
            "nozzle.svg",
            &[("image-missing", "lessons/first.md:11:")],
        ),
        changed(
            "a result that is not there",
            first,
            "gun/nozzle-output",
            "gun/nozle-output",
            &[("figure-unknown", "lessons/first.md:20:")],
        ),
        changed("a bank that is missing", second, "small", "smal", &[("bank-missing", "lessons/second.md:10:14")]),
        changed("HTML", second, "Back", "<b onclick=\"ran()\">Back</b>", &[("raw-html", "lessons/second.md:8:1")]),
        changed(
            "a script for a link",
            second,
            "(first.md)",
            "(javascript:ran())",
            &[("link-scheme", "lessons/second.md:8:9")],
        ),
        changed(
            "attributes of a heading",
            second,
            "# Walk",
            "# Walk {onclick=\"ran()\"}",
            &[("heading-attribute", "lessons/second.md:6:1")],
        ),
        changed("a tag", second, "title: Second", "title: !!js/function ran", &[("tag", "lessons/second.md:2:8")]),
        changed(
            "an example twice",
            second,
            "```questions",
            &example_twice(),
            &[("duplicate-id", "lessons/second.md:")],
        ),
    ]
}

fn example_twice() -> String {
    let example =
        "```worked-example gun\ncalculator: catch-test\ngiven: { catch: [{ volume: 1 gal, time: 30 s }] }\n```\n\n";
    format!("{example}{example}```questions")
}

fn other_mistakes() -> Vec<Mistake> {
    let file = "questions/small.yaml";
    vec![
        changed(
            "a drawing with a script",
            "images/gun.svg",
            "<circle",
            "<script>ran()</script><circle",
            &[("image-with-script", "images/gun.svg")],
        ),
        changed(
            "a drawing that listens",
            "images/gun.svg",
            "<circle",
            "<circle onload=\"ran()\"",
            &[("image-with-script", "images/gun.svg")],
        ),
        changed("no right answer", file, "right: true, ", "", &[("right-options", "questions/small.yaml:")]),
        changed("a kind unknown", file, "kind: one", "kind: most", &[("unknown-word", "questions/small.yaml:5:11")]),
        changed(
            "a bank with another name",
            file,
            "id: small",
            "id: large",
            &[("id-not-file-name", "questions/small.yaml:1:5")],
        ),
        changed(
            "two questions of one id",
            file,
            "  - id: a\n",
            "  - id: a\n    kind: one\n    text: What?\n    options: [{ text: X, right: true }, { text: Y }]\n  - id: a\n",
            &[("duplicate-id", "questions/small.yaml:8:9")],
        ),
    ]
}

#[test]
fn more_values_than_can_be_read_are_refused() {
    let room = Room::new("endless");
    room.course("course");
    room.publish("course", "site");
    room.write("course/course.yaml", "- a\n".repeat(110_000));
    let done = room.run(&["publish", "course", "--to", "site"]);
    refused(&done, "endless");
    assert!(done.err.contains("\n  error too-many-values\n"), "{}", done.err);
}

#[test]
fn a_mistake_is_reported_at_its_place_and_the_earlier_site_stays() {
    let room = Room::new("mistakes");
    room.course("course");
    room.publish("course", "site");
    let before = room.digests("site");
    let mut untold = Vec::new();
    for mistake in course_mistakes().into_iter().chain(lesson_mistakes()).chain(other_mistakes()) {
        room.write(&format!("course/{}", mistake.file), &mistake.text);
        let done = room.run(&["publish", "course", "--to", "site"]);
        refused(&done, mistake.name);
        for (code, place) in mistake.told {
            let error = format!("\n  error {code}\n");
            if !done.err.contains(&error) || !done.err.contains(&format!("\n  course/{place}")) {
                untold.push(format!("{}: no {error} at {place} in\n{}", mistake.name, done.err));
            }
        }
        assert!(done.err.contains("is untouched"), "{}: {}", mistake.name, done.err);
        assert_eq!(room.digests("site"), before, "{}", mistake.name);
        assert_eq!(room.names(""), ["course", "site"], "{}: nothing is left behind", mistake.name);
        room.write(&format!("course/{}", mistake.file), original(mistake.file));
    }
    assert!(untold.is_empty(), "{}", untold.join("\n"));
    room.publish("course", "site");
    assert_eq!(room.digests("site"), before, "mended, it is published as before");
}

fn refused(done: &Done, name: &str) {
    assert_eq!(done.code, Some(1), "{name}: {} {}", done.out, done.err);
    assert!(done.out.is_empty(), "{name}: {}", done.out);
    assert!(done.err.contains("\n  error "), "{name}: {}", done.err);
}

#[test]
fn a_file_that_cannot_be_read_is_named_and_the_earlier_site_stays() {
    let room = Room::new("unreadable");
    room.course("course");
    room.publish("course", "site");
    let before = room.digests("site");
    let lesson = |body: &[u8]| [b"---\ntitle: First\nsummary: A.\n---\n".as_slice(), body].concat();
    for (name, bytes, code, place) in [
        ("not UTF-8", lesson(b"caf\xe9\n"), "not-utf-8", "lessons/first.md:5:4"),
        ("UTF-16", b"\xff\xfe-\0-\0-\0".to_vec(), "not-utf-8", "lessons/first.md"),
        ("NUL", lesson(b"a\0b\n"), "nul", "lessons/first.md:5:2"),
        ("empty", Vec::new(), "header-missing", "lessons/first.md"),
    ] {
        room.write("course/lessons/first.md", &bytes);
        let done = room.run(&["publish", "course", "--to", "site"]);
        refused(&done, name);
        assert!(done.err.contains(&format!("\n  error {code}\n")), "{name}: {}", done.err);
        assert!(done.err.contains(place), "{name}: no {place} in\n{}", done.err);
        assert_eq!(room.digests("site"), before, "{name}");
    }
    // A sparse file of 50 MB: its size alone is enough to refuse it.
    let file = fs::File::create(room.path("course/lessons/first.md")).expect("a file can be made");
    file.set_len(50_000_000).expect("a file can be long");
    let done = room.run(&["publish", "course", "--to", "site"]);
    refused(&done, "50 MB");
    assert!(done.err.contains("\n  error file-too-large\n") && done.err.contains("lessons/first.md"), "{}", done.err);
    fs::remove_file(room.path("course/lessons/first.md")).expect("it is there");
    let done = room.run(&["publish", "course", "--to", "site"]);
    refused(&done, "a missing lesson");
    assert!(done.err.contains("\n  course/course.yaml:6:11"), "{}", done.err);
    assert_eq!(room.digests("site"), before);
}

#[test]
fn deep_and_endless_markdown_is_published_or_refused_and_never_a_crash() {
    let room = Room::new("deep");
    room.course("course");
    room.publish("course", "site");
    let before = room.digests("site");
    for (name, body) in [
        ("quotes", ">".repeat(20_000)),
        ("quotes with words", format!("{} x\n", "> ".repeat(5_000))),
        ("lists", (0..2_000).map(|level| format!("{}- x\n", "  ".repeat(level % 300))).collect()),
        ("brackets", "[".repeat(100_000)),
        ("links", "[a](".repeat(20_000)),
        ("stars", "*a **b ".repeat(20_000)),
        ("pictures", "![".repeat(50_000)),
        ("ticks", "` `` ``` ".repeat(10_000)),
        ("tables", format!("|{}\n|{}\n", "a|".repeat(5_000), "-|".repeat(5_000))),
        ("notes", "[^a]".repeat(10_000)),
        ("headings", (0..3_000).map(|_| "## a\n".to_owned()).collect()),
        ("entities", "&amp;&#x41;&nope;".repeat(10_000)),
        ("fences", "```questions small\n```\n".repeat(500)),
        ("an open fence", "````questions small\n```\n".to_owned()),
    ] {
        room.write("course/lessons/first.md", format!("---\ntitle: First\nsummary: A.\n---\n\n{body}\n"));
        let done = room.run(&["publish", "course", "--to", "other"]);
        assert!(matches!(done.code, Some(0 | 1)), "{name}: {:?} {}", done.code, done.err);
        assert_eq!(done.code == Some(1), done.err.contains("\n  error "), "{name}: {}", done.err);
        let left = if done.code == Some(0) { &["course", "other", "site"][..] } else { &["course", "site"] };
        assert_eq!(room.names(""), left, "{name}");
        let _ = fs::remove_dir_all(room.path("other"));
    }
    assert_eq!(room.digests("site"), before);
}
