//! The command line as a whole: help, slips in its words, completions, the manual page, colors.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::{Done, Room};
use tankside::commands::COMMANDS;

/// What was printed and said ends in a newline, and holds no escape sequence.
#[track_caller]
fn tidy(done: &Done, words: &[&str]) {
    for text in [&done.out, &done.err] {
        assert!(text.is_empty() || text.ends_with('\n') && !text.ends_with("\n\n"), "{words:?}: {text:?}");
        assert!(!text.contains('\u{1b}'), "{words:?}: {text:?}");
    }
}

#[test]
fn a_slip_in_the_words_is_answered_with_what_to_write() {
    let room = Room::new("words");
    for (words, what, write) in [
        (&["publish", "course", "site"][..], "`site` is one word too many", "tankside publish course --to site"),
        (&["publish", "--to"], "`--to` needs a value after it", "Write --to DIR"),
        (&["publish", "--two", "x"], "has no option `--two`", "Write `--to`"),
        (&["publish", "--output", "x"], "has no option `--output`", "Write `--to DIR`"),
        (&["publsh"], "There is no command `publsh`", "Write tankside publish"),
        (&["build"], "There is no command `build`", "Write tankside publish"),
        (&["help"], "There is no command `help`", "Write tankside --help"),
        (&["zzz"], "There is no command `zzz`", "tankside --help lists the commands"),
        (&["--loud"], "`--loud` is not known here", "tankside --help"),
        (&["work", "--units", "mertic"], "`mertic` is not one of the words for --units", "Write `metric`"),
        (&["work", "--units", "us", "--units", "us"], "`--units` is given twice", "Give it once"),
        (&["completions"], "SHELL is missing", "Write tankside completions SHELL"),
        (&["manual", "publsh"], "`publsh` is not one of", "Write `publish`"),
        (&["parts", "law"], "There is no part `law`", "Write `parts/law.html`"),
        (&["parts", "parts/lesson"], "There is no part `parts/lesson`", "Write `pages/lesson.html`"),
        (&["parts", "fot"], "There is no part `fot`", "Write `parts/foot.html`"),
        (&["parts", "zzz"], "There is no part `zzz`", "tankside parts lists them"),
        (
            &["work", "catch\u{1b}test\u{202e}"],
            "no calculator called `catch\u{fffd}test\u{fffd}`",
            "Write `catch-test`",
        ),
        (&["publish", "a", "--to", "b", "--to", "c\u{1b}[2J"], "`--to` is given twice", "Give it once"),
    ] {
        let done = room.run(words);
        assert_eq!(done.code, Some(2), "{words:?}: {}", done.err);
        assert!(done.err.contains(what) && done.err.contains(write), "{words:?}: {}", done.err);
        assert!(done.out.is_empty() && !done.err.contains("Usage") && !done.err.contains("error:"), "{}", done.err);
        tidy(&done, words);
    }
    assert_eq!(room.names(""), [""; 0]);
}

#[test]
fn every_command_answers_help_with_an_example_at_any_width() {
    let room = Room::new("help");
    let overview = room.run(&["--help"]);
    for entry in COMMANDS {
        assert!(overview.out.contains(&format!("\n  {} ", entry.name)), "{}", overview.out);
        for flag in ["--help", "-h"] {
            for width in ["40", "60", "100"] {
                let done = room.run_in("", &[entry.name, flag], &[("COLUMNS", width)]);
                assert_eq!((done.code, done.err.as_str()), (Some(0), ""), "{}", entry.name);
                assert!(done.out.contains(&format!("For example\n  tankside {}", entry.name)), "{}", done.out);
                tidy(&done, &[entry.name]);
                // What is in brackets and a path stay whole, which may take more than 40.
                let long = done.out.lines().filter(|line| width != "40" || !line.starts_with("    "));
                let most = width.parse().expect("a number");
                let long: Vec<&str> = long.filter(|line| line.chars().count() > most).collect();
                assert_eq!(long, [""; 0], "at {width}");
            }
        }
    }
    let bare = room.run(&[]);
    assert_eq!((bare.code, bare.err), (Some(2), overview.out));
    assert!(room.run(&["--version"]).out.starts_with("tankside "));
}

#[test]
fn colors_are_left_out_where_they_are_not_wanted() {
    let room = Room::new("colours");
    let forced = ("CLICOLOR_FORCE", "1");
    let help = |vars: &[(&str, &str)]| room.run_in("", &["publish", "--help"], vars).out;
    assert!(help(&[forced, ("TERM", "xterm")]).contains('\u{1b}'));
    for vars in [&[][..], &[forced, ("NO_COLOR", "1")], &[forced, ("TERM", "dumb")], &[("TERM", "xterm")]] {
        assert!(!help(vars).contains('\u{1b}'), "{vars:?}");
    }
}

#[test]
fn completions_and_the_manual_page_name_every_command_and_option() {
    let room = Room::new("completions");
    let page = room.run(&["manual"]).out;
    assert!(page.starts_with(".ie") || page.starts_with(".TH"), "{page}");
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let done = room.run(&["completions", shell]);
        assert_eq!((done.code, done.err.as_str()), (Some(0), ""), "{shell}");
        tidy(&done, &[shell]);
        for entry in COMMANDS {
            assert!(done.out.contains(entry.name), "{shell} {}", entry.name);
        }
        assert!(done.out.contains("factors") && done.out.contains("units"), "{shell}");
    }
    for entry in COMMANDS {
        assert!(page.contains(&entry.name.replace('-', "\\-")), "{} in {page}", entry.name);
        let own = room.run(&["manual", entry.name]).out;
        assert!(own.contains(".SH EXAMPLES\n") && own.contains(".SH COLORS\n"), "{own}");
        // In the program's own words, and not in those of the library that reads the command line.
        for page in [&own, &page] {
            let plain = page.replace('\\', "");
            assert!(plain.contains("NO_COLOR=1 or TERM=dumb"), "{page}");
            for (line, _) in entry.examples.iter().take(1) {
                assert!(plain.contains(line), "{line} in {page}");
            }
            for theirs in ["SUBCOMMANDS", "SYNOPSIS", "Possible values", "[default", "EXTRA", "<subcommand"] {
                assert!(!page.contains(theirs), "{theirs} in {page}");
            }
        }
    }
}
