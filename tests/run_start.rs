//! `tankside start`: a course that publishes at once, whatever the answers were; and nobody's files are touched.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::Room;
use std::fs;

#[test]
fn a_started_course_publishes_at_once_without_a_word_of_complaint() {
    let room = Room::new("start");
    for (folder, words) in [
        ("plain", &[][..]),
        ("metric", &["--units", "metric", "--lessons", "none", "--color", "2F5D34"]),
        (
            "named",
            &["--company", "A: \"B\" # & Co. @title@ \\ ²", "--title", "Let's go: #1", "--contact", "<Ann>, 'ann'"],
        ),
        ("new/folders/in a row", &["--no-questions", "--lessons", "before-you-start"]),
    ] {
        let done = room.run(&[&["start", folder], words].concat());
        assert_eq!((done.code, done.err.as_str()), (Some(0), ""), "{folder}");
        assert!(done.out.contains("\n  next  tankside ") && done.out.ends_with('\n'), "{}", done.out);
        room.publish(folder, &format!("{folder}-site"));
    }
    let home = fs::read_to_string(room.path("named-site/index.html")).expect("the first page");
    assert!(home.contains("A: &quot;B&quot; # &amp; Co. @title@ \\ ²"), "{home}");
    assert!(room.pages("plain-site").contains_key("lessons/before-you-start.html"));
    assert!(!room.pages("metric-site").contains_key("lessons/before-you-start.html"));
    assert!(room.pages("metric-site")["lessons/our-sprayer.html"].contains("3.7"));
    let settings = fs::read_to_string(room.path("metric/course.yaml")).expect("it was just written");
    assert!(settings.contains("band: \"#2f5d34\""), "{settings}");
    // A sample of each kind of file that a course may have words in: the editor's help is there for it too.
    for file in ["course.yaml", "cautions.yaml", "glossary.yaml", "questions/our-check.yaml", "lessons/our-sprayer.md"]
    {
        assert!(room.path(&format!("plain/{file}")).is_file(), "{file}");
    }
    assert!(room.pages("plain-site")["glossary.html"].contains("wash pad"));
    assert!(room.pages("plain-site")["lessons/our-sprayer.html"].contains("glossary.html#wash-pad"));
}

#[test]
fn nothing_that_is_there_is_overwritten() {
    let room = Room::new("start-over");
    room.course("course");
    room.write("a-file", "mine");
    fs::create_dir(room.path("empty")).expect("a folder can be made");
    let before = room.digests("");
    for folder in ["course", ".", "a-file", "a-file/below", "course/lessons"] {
        let done = room.run(&["start", folder, "--company", "X"]);
        assert_eq!(done.code, Some(1), "{folder}: {}", done.err);
        assert!(done.err.contains("error start-refused"), "{folder}: {}", done.err);
        assert_eq!(room.digests(""), before, "{folder}");
    }
    assert_eq!(room.run(&["start", "empty"]).code, Some(0));
    assert_eq!(room.run(&["start", "empty"]).code, Some(1), "a second time it holds a course");
    // What the help says is what is done.
    let help = room.run(&["start", "--help"]).out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(help.contains("into a folder that is new or empty"), "{help}");
    assert!(help.contains("does not exist yet, or is empty; nothing is ever overwritten"), "{help}");
    assert!(!help.contains("existing files"), "{help}");
}

#[test]
fn answers_that_cannot_be_are_refused_before_anything_is_written() {
    let room = Room::new("start-slips");
    for (words, what, write) in [
        (&["--company", " "][..], "`--company` has no text", "Write --company"),
        (&["--title", "a\u{1b}[2J"], "`--title` has no text", "Write --title"),
        (&["--contact", "a\nb: c"], "`--contact` has no text", "Write --contact"),
        (&["--lessons", "befor-you-start"], "There is no stock lesson `befor-you-start`", "Write `before-you-start`"),
        (&["--color", "navy"], "`--color` takes a color such as `#1d4f7a`, and this is `navy`", "Write --color"),
        (&["--units", "imperial"], "`imperial` is not one of the words", "us, metric"),
    ] {
        let done = room.run(&[&["start", "course"], words].concat());
        assert_eq!(done.code, Some(2), "{words:?}: {}", done.err);
        assert!(done.err.contains(what) && done.err.contains(write), "{words:?}: {}", done.err);
        assert_eq!(room.names(""), [""; 0], "{words:?}");
    }
}
