//! The README's examples, put together as a reader would: a course that publishes without a word of complaint, and
//! commands that exist.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::Room;

const README: &str = include_str!("../README.md");

/// The fenced blocks of a kind, their indentation kept.
fn blocks(fence: &str, kind: &str) -> Vec<String> {
    let open = format!("\n{fence}{kind}\n");
    let mut rest = README;
    let mut all = Vec::new();
    while let Some(at) = rest.find(&open) {
        rest = &rest[at + open.len()..];
        let end = rest.find(&format!("\n{fence}\n")).expect("a block is closed");
        all.push(rest[..=end].to_owned());
        rest = &rest[end..];
    }
    all
}

/// A course made of every example: what follows the first line `# NAME` goes into that file.
fn course(room: &Room, folder: &str) {
    let mut files: Vec<(String, String)> = Vec::new();
    for block in blocks("```", "yaml") {
        let (name, text) = match block.strip_prefix("# ").and_then(|rest| rest.split_once('\n')) {
            Some((first, text)) => (first.split(';').next().unwrap_or(first).to_owned(), text.to_owned()),
            // A question by itself belongs to the bank above it.
            None => ("questions/check.yaml".to_owned(), block),
        };
        match files.iter_mut().find(|(other, _)| *other == name) {
            Some((_, whole)) => whole.push_str(&text),
            None => files.push((name, text)),
        }
    }
    let lessons = blocks("````", "markdown");
    let (first, others) = lessons.split_first().expect("there is a lesson");
    assert!(first.starts_with("---\n"), "{first}");
    let named = others.iter().find(|text| text.contains("caution wash-pad")).expect("a lesson with its own words");
    files.push(("lessons/catch-test.md".to_owned(), format!("{first}\n{named}")));
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    for name in ["course.yaml", "questions/check.yaml", "cautions.yaml", "glossary.yaml", "phrases/en.yaml"] {
        assert!(names.contains(&name), "the README shows no {name}");
    }
    for (name, text) in &files {
        room.write(&format!("{folder}/{name}"), text);
    }
    room.write(&format!("{folder}/images/logo.svg"), "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 2 1\"/>");
    room.write(&format!("{folder}/attachments/label.pdf"), "%PDF-1.4\n%%EOF\n");
}

#[test]
fn the_examples_together_are_a_course_that_publishes_as_they_say() {
    let room = Room::new("readme");
    course(&room, "our-course");
    let part = room.run(&["parts", "parts/law.html"]);
    room.write("our-course/templates/parts/law.html", part.out.replace("<aside ", "<aside id=\"ours\" "));
    let found = room.run(&["proof", "our-course"]);
    assert_eq!(found.code, Some(0), "{}{}", found.out, found.err);
    room.publish("our-course", "site");
    let pages = room.pages("site");
    let (home, lesson) = (&pages["index.html"], &pages["lessons/catch-test.html"]);
    for part in ["images/logo.svg", "The label of our weed control", "Ana Ruiz, in the shop", "tell the shop"] {
        assert!(home.contains(part), "the first page lacks {part}");
    }
    for part in ["never on the street", "glossary.html#blue-gun", "attachments/label.pdf", "The blue tip"] {
        assert!(lesson.contains(part), "the lesson lacks {part}");
    }
    assert!(pages["glossary.html"].contains("the blue one"));
    assert!(pages.values().any(|page| page.contains("<aside id=\"ours\"") && page.contains(">The label decides<")));
    assert!(home.contains(">Formulas<") && !home.contains("Formula sheet"));
}

#[test]
fn every_command_and_option_that_is_shown_exists_and_every_command_is_shown() {
    let room = Room::new("readme-commands");
    let lines = blocks("```", "sh").join("\n").replace("\\\n", " ");
    let mut shown = Vec::new();
    for line in lines.lines().filter_map(|line| line.split('#').next()?.trim().strip_prefix("tankside ")) {
        let mut words = line.split_whitespace();
        let command = words.next().unwrap_or_default().to_owned();
        let help = room.run(&[&command, "--help"]);
        assert_eq!(help.code, Some(0), "{line}");
        for option in words.filter(|word| word.starts_with("--")) {
            assert!(help.out.contains(option), "`tankside {command}` has no {option}");
        }
        shown.push(command);
    }
    let all = room.run(&["--help"]).out;
    let names = all.lines().filter_map(|line| line.strip_prefix("  ")?.split("  ").next());
    let names: Vec<&str> = names.filter(|name| !name.is_empty() && !name.contains(' ')).collect();
    assert!(names.len() >= 11, "{names:?}");
    for name in names {
        assert!(shown.iter().any(|one| one == name) || README.contains(&format!("`tankside {name}")), "no `{name}`");
    }
}
