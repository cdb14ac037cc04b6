//! The program at a terminal: questions asked and answered, lines that fit, colors where they are wanted.
#![cfg(unix)]

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;
mod terminal;

use published::Room;
use std::fs;
use tankside::commands::COMMANDS;
use terminal::{Screen, at_terminal};

fn start(room: &Room, words: &[&str], typed: &str) -> Screen {
    at_terminal(&room.path(""), &[&["start"], words].concat(), &[], 80, typed)
}

#[test]
fn start_asks_a_few_questions_and_writes_what_was_answered() {
    let room = Room::new("asked");
    let typed =
        "Example \"Turf\" Care: north\nThe first week\nAnn, in the shop\nmetric\nbefor-you-start\n2, around-the-lawn\n";
    let screen = start(&room, &["course"], typed);
    assert_eq!(screen.code, Some(0), "{}", screen.text);
    for asked in [
        "Who gives the course?",
        "What is the course called?",
        "Who should learners ask?",
        "Which units first, us or metric?",
        "There is no lesson `befor-you-start`.",
        "\n  next  tankside ",
    ] {
        assert!(screen.text.contains(asked), "no {asked} in\n{}", screen.text);
    }
    let settings = fs::read_to_string(room.path("course/course.yaml")).expect("it was written");
    for line in [
        "title: \"The first week\"\n",
        "company: \"Example \\\"Turf\\\" Care: north\"\n",
        "contact: \"Ann, in the shop\"\n",
        "units: metric ",
        "\n  - around-the-lawn ",
        "\n  - before-you-start ",
    ] {
        assert!(settings.contains(line), "no {line} in\n{settings}");
    }
    room.publish("course", "site");
}

#[test]
fn an_empty_line_takes_what_is_offered_and_an_option_is_not_asked_for() {
    let room = Room::new("offered");
    let screen = start(&room, &["course", "--company", "Example Lawns", "--units", "us"], "\n\n\n");
    assert_eq!(screen.code, Some(0), "{}", screen.text);
    assert!(!screen.text.contains("Who gives the course?") && !screen.text.contains("Which units"), "{}", screen.text);
    let settings = fs::read_to_string(room.path("course/course.yaml")).expect("it was written");
    assert!(
        settings.contains("title: \"First week\"") && settings.contains("company: \"Example Lawns\""),
        "{settings}"
    );
    room.publish("course", "site");
    // With that option nothing is asked, even at a terminal.
    let screen = start(&room, &["quiet", "--no-questions"], "");
    assert_eq!(screen.code, Some(0), "{}", screen.text);
    assert!(!screen.text.contains('?'), "{}", screen.text);
}

#[test]
fn whoever_stops_answering_has_nothing_written_and_nothing_is_overwritten() {
    let room = Room::new("given-up");
    // The end of input, as Ctrl-D types it.
    let screen = start(&room, &["course"], "Example Lawns\n");
    assert_eq!(screen.code, Some(1), "{}", screen.text);
    assert!(screen.text.contains("Nothing was written."), "{}", screen.text);
    assert_eq!(room.names(""), [""; 0]);
    // A folder that holds something is refused before anything is asked.
    room.write("mine/thesis.txt", "years of work");
    let before = room.digests("");
    for folder in ["mine", "mine/thesis.txt", "."] {
        let screen = start(&room, &[folder], "");
        assert_eq!(screen.code, Some(1), "{}", screen.text);
        assert!(
            screen.text.contains("error start-refused") || screen.text.contains("start-refused"),
            "{}",
            screen.text
        );
        assert!(!screen.text.contains("Who gives the course?"), "{}", screen.text);
        assert_eq!(room.digests(""), before, "{folder}");
    }
}

/// The text without colors.
fn plain(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('\u{1b}') {
        out.push_str(&rest[..at]);
        let end = rest[at..].find('m').map_or(rest.len(), |end| at + end + 1);
        rest = &rest[end..];
    }
    out + rest
}

#[test]
fn what_is_printed_fits_the_terminal_and_loses_no_word() {
    let room = Room::new("fits");
    room.course("course");
    room.write("course/lessons/second.md", "---\ntitle: Second\nsummary: S.\n---\n\n[a](gone.md)\n");
    for words in [
        &["work"][..],
        &["work", "lawn-area"],
        &["work", "catch-test", "catch=186 fl oz, 60 s", "catch=190 fl oz, 60 s", "catch=40 fl oz, 14 s"],
        &[
            "work",
            "tank-mix",
            "tank=100 gal",
            "application-rate=2 gal/1000 ft2",
            "product=name Weed control of a long name, rate 1.5 fl oz/1000 ft2, label-max 1.2 fl oz/1000 ft2",
        ],
        &["proof", "course"],
        &["proof", "--explain", "caution-lost"],
        &["proof", "--explain", "all"],
        &["--help"],
        &["publish", "--help"],
    ] {
        // Where nobody looks, a sentence is a line.
        let piped = room.run(words);
        let piped: Vec<&str> = piped.out.split_whitespace().collect();
        for columns in [44, 60, 100] {
            let screen = at_terminal(&room.path(""), words, &[], columns, "");
            let text = plain(&screen.text);
            for line in text.lines() {
                let to_paste = line.trim_start().starts_with("tankside ");
                // The author's own line is shown with its number, and cut by its own rule.
                let quoted = line.starts_with("    ") && line.contains('»');
                let fits = line.chars().count() <= usize::from(columns);
                assert!(fits || to_paste || quoted, "{words:?} at {columns}: {line}");
            }
            if words[0] == "work" || words.contains(&"all") {
                assert_eq!(text.split_whitespace().collect::<Vec<_>>(), piped, "{words:?} at {columns}");
            }
        }
    }
}

#[test]
fn colors_are_for_a_terminal_that_wants_them() {
    let room = Room::new("coloured");
    room.course("course");
    room.write("course/lessons/second.md", "---\ntitle: Second\nsummary: S.\n---\n\n[a](gone.md)\n");
    for words in [&["publish", "course", "--to", "site"][..], &["proof", "course"], &["publish", "--help"]] {
        let with = |vars: &[(&str, &str)]| at_terminal(&room.path(""), words, vars, 80, "").text;
        let coloured = with(&[]);
        assert!(coloured.contains('\u{1b}'), "{words:?}: {coloured}");
        for vars in [&[("NO_COLOR", "1")][..], &[("TERM", "dumb")]] {
            let bare = with(vars);
            assert!(!bare.contains('\u{1b}'), "{words:?} {vars:?}: {bare}");
            assert_eq!(bare, plain(&coloured), "{words:?} {vars:?}: nothing but the colours is missing");
        }
    }
    // It is said in the help of every command.
    for entry in COMMANDS {
        let help = room.run(&[entry.name, "--help"]).out.replace('\n', " ");
        assert!(help.contains("NO_COLOR=1 or TERM=dumb"), "{}", entry.name);
    }
}

#[test]
fn what_is_printed_into_a_file_is_not_wrapped_though_there_is_a_terminal() {
    let room = Room::new("into-a-file");
    room.course("course");
    room.write("course/lessons/second.md", "---\ntitle: Second\nsummary: S.\n---\n\n[a](gone.md)\n");
    let piped = room.run(&["proof", "course"]).out;
    assert!(piped.lines().any(|line| line.chars().count() > 44), "{piped}");
    // Standard error is the terminal, standard output a file.
    let program = env!("CARGO_BIN_EXE_tankside");
    let screen = terminal::shell_at_terminal(&room.path(""), &format!("'{program}' proof course > marked.txt"), 44);
    assert_eq!((screen.code, screen.text.as_str()), (Some(1), ""), "{screen:?}");
    assert_eq!(fs::read_to_string(room.path("marked.txt")).expect("it was written"), piped);
}
