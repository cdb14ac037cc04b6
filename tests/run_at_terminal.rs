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
    let typed = "Example \"Turf\" Care: north\nThe first week\nAnn, in the shop\nhunter\nforest green\nfurlongs\nMetric\nbefor-you-start\n2, around-the-lawn\n";
    let screen = start(&room, &["course"], typed);
    assert_eq!(screen.code, Some(0), "{}", screen.text);
    for asked in [
        "Who gives the course?",
        "What is the course called?",
        "Who should learners ask?",
        "What color is the band on top of each page?",
        "This takes a color such as `#1d4f7a`, and this is `hunter`.",
        "Write `#1d4f7a`.",
        "Which units first, us or metric?",
        // A wrong answer is asked for again, and those before it stay.
        "`furlongs` is not a system of units.",
        "Write `us` or `metric`.",
        "There is no lesson `befor-you-start`.",
        "Write `before-you-start`.",
        "\n  next  tankside ",
    ] {
        assert!(screen.text.contains(asked), "no {asked} in\n{}", screen.text);
    }
    let settings = fs::read_to_string(room.path("course/course.yaml")).expect("it was written");
    for line in [
        "title: \"The first week\"\n",
        "company: \"Example \\\"Turf\\\" Care: north\"\n",
        "contact: \"Ann, in the shop\"\n",
        "  band: \"#208420\" ",
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
    let screen = start(&room, &["course", "--company", "Example Lawns", "--units", "us"], "\n\n\n\n");
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

/// A line that was written over: progress is in what was sent, and not on the screen.
fn passing(screen: &Screen) -> Vec<&str> {
    let lines = screen
        .raw
        .split('\n')
        .flat_map(|line| line.trim_end_matches('\r').split('\r').rev().skip(1).collect::<Vec<_>>().into_iter().rev());
    lines.map(str::trim).filter(|line| !line.is_empty()).collect()
}

#[test]
fn long_work_shows_its_progress_at_a_terminal_and_leaves_none_of_it_there() {
    let room = Room::new("progress");
    room.course("course");
    let (pages, files) = ("Making the copies and the key: ", "Writing the site: ");
    let first = "Reading the course, 0 s so far";
    for (words, then) in [
        (&["sheet", "first-week", "--copies", "60", "--to", "paper"][..], pages),
        (&["publish", "course", "--to", "site"], files),
    ] {
        let at = |vars: &[(&str, &str)]| at_terminal(&room.path(""), words, vars, 80, "");
        // Shown from the first moment, so that what is seen does not depend on how fast the machine is.
        let seen = at(&[("TANKSIDE_PROGRESS_MS", "0"), ("NO_COLOR", "1")]);
        assert_eq!(seen.code, Some(0), "{}", seen.text);
        let shown = passing(&seen);
        assert!(shown.contains(&first), "{words:?}: {shown:?}");
        let counted = shown.iter().filter_map(|line| line.strip_prefix(then)?.split(' ').next()?.parse::<u32>().ok());
        let counted: Vec<u32> = counted.collect();
        assert!(!counted.is_empty() && counted.is_sorted(), "{words:?}: {shown:?}");
        assert!(!seen.raw.contains('\u{1b}') && !seen.text.contains("so far") && !seen.text.contains(then), "{seen:?}");
        // A terminal that shows text and nothing else gets that, and so does a pipe.
        let dumb = at(&[("TANKSIDE_PROGRESS_MS", "0"), ("TERM", "dumb")]);
        assert_eq!(passing(&dumb), [""; 0], "{words:?}");
        let piped = room.run_in("", words, &[("TANKSIDE_PROGRESS_MS", "0")]);
        assert_eq!((piped.code, piped.err.as_str()), (Some(0), ""), "{words:?}");
        let lasting = |text: &str| text.lines().filter(|line| !line.contains(" in 0") && !line.contains(" s.")).count();
        for text in [&seen.text, &dumb.text, &piped.out] {
            assert!(text.ends_with('\n') && lasting(text) == lasting(&piped.out), "{words:?}: {text}");
        }
    }
}

#[test]
fn whatever_is_said_ends_in_a_newline() {
    let room = Room::new("newlines");
    room.course("course");
    room.course("broken");
    room.write("broken/lessons/second.md", "---\ntitle: Second\nsummary: S.\n---\n\n[a](gone.md)\n");
    room.write("empty.json", "{");
    let mut calls: Vec<Vec<&str>> = [
        "--help",
        "--version",
        "",
        "nothing",
        "publish course --to site",
        "publish broken --to other",
        "publish nowhere",
        "publish course site",
        "publish --to",
        "proof course",
        "proof broken",
        "proof broken --format json",
        "proof broken --format sarif",
        "proof --explain all",
        "proof --explain caution-lost",
        "proof --explain nothing",
        "work",
        "work catch-test",
        "work catch-test catch=1",
        "work catch-test --json",
        "work nothing",
        "work --language xx",
        "work catch-test --in x=L",
        "parts",
        "parts parts/foot.html",
        "parts nothing",
        "phrases",
        "manual",
        "completions bash",
        "completions fish",
        "completions nothing",
        "mark nowhere",
        "mark empty.json",
        "sheet nothing",
        "sheet first-week --to paper",
        "sheet first-week --copies 0",
        "start",
        "start new --no-questions",
        "start course",
        "preview nowhere",
        "preview course --port x",
    ]
    .iter()
    .map(|line| line.split_whitespace().collect())
    .collect();
    calls.extend(COMMANDS.iter().map(|entry| vec![entry.name, "--help"]));
    for words in calls {
        let done = room.run(&words);
        assert!(!(done.out.is_empty() && done.err.is_empty()), "{words:?} says nothing");
        for (text, stream) in [(&done.out, "output"), (&done.err, "errors")] {
            assert!(text.is_empty() || text.ends_with('\n'), "{words:?}, {stream}: {text}");
            assert!(!text.ends_with("\n\n\n") && !text.contains('\r'), "{words:?}, {stream}: {text}");
        }
    }
}
