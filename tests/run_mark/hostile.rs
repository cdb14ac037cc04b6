use super::{Folder, answer, demo, record, right_answer, sealed, tankside, text};
use std::process::Command;

#[test]
fn each_bad_file_is_named_with_its_reason_and_stops_none_of_the_others() {
    let folder = Folder::new("hostile");
    let resolved = demo();
    let course = resolved.course().expect("the demo resolves");
    let question = &course.banks["first-week"].questions[0];
    let draw = question.draw_at(0);
    let good = record("Ada", "a", "s", vec![answer(question, draw, &right_answer(question, draw))]);
    folder.write("good.json", good.to_string().as_bytes());
    let whole = good.to_string();
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("cut.json", whole.as_bytes()[..whole.len() / 2].to_vec(), "the file ends in the middle"),
        (
            "other.json",
            whole.replace(&course.settings.id, "some-course").into_bytes(),
            "from another course, “some-course”",
        ),
        ("future.json", whole.replace("2026-05-04", "2099-05-04").into_bytes(), "in the future"),
        ("newer.json", whole.replace("\"version\":1", "\"version\":2").into_bytes(), "newer tankside"),
        ("huge.json", vec![b' '; 5_000_000], "too large"),
        ("deep.json", vec![b'['; 200_000], "not"),
        ("binary.json", (0..=255).collect(), "not readable"),
        ("empty.json", Vec::new(), "ends in the middle"),
        ("list.json", b"[1, 2]".to_vec(), "not a training record"),
        (
            "progress.json",
            b"{\"format\":\"tankside-progress\",\"version\":1,\"people\":[]}".to_vec(),
            "this is a progress file, which carries progress to another phone, and not a training record; ask for the training",
        ),
        (
            "altered.json",
            whole.replacen('{', "{\"seal\":\"0000000000000000\",", 1).into_bytes(),
            "changed after it was made",
        ),
        (
            "long.json",
            whole.replace("\"Ada\"", &format!("\"{}\"", "x".repeat(5000))).into_bytes(),
            "longer than a page would write",
        ),
        ("table.csv", b"who,what\n".to_vec(), "the column “quiz” is missing"),
    ];
    for (name, bytes, _) in &cases {
        folder.write(name, bytes);
    }
    let output = tankside(&folder.0, &["mark", "."]);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "the good one counts: {said}");
    assert!(text(&output.stdout).contains("Marked 1 answer from 1 file."), "{}", text(&output.stdout));
    for (name, _, why) in &cases {
        let line =
            said.lines().find(|line| line.contains(name)).unwrap_or_else(|| panic!("{name} is not named:\n{said}"));
        assert!(line.contains(why), "{line}");
    }
    assert!(said.contains(&format!("Not counted, {} files or parts of files:", cases.len())), "{said}");
}

#[test]
fn of_a_record_with_a_sitting_from_the_future_the_others_count_and_it_is_named() {
    let folder = Folder::new("ahead");
    let resolved = demo();
    let question = &resolved.course().expect("the demo resolves").banks["first-week"].questions[0];
    let draw = question.draw_at(0);
    let right = right_answer(question, draw);
    let mut ada = record("Ada", "a", "past", vec![answer(question, draw, &right)]);
    let mut later = ada["sittings"][0].clone();
    later["id"] = "later".into();
    later["begun"] = "2099-05-04T08:00:00Z".into();
    later["ended"] = "2099-05-04T08:30:00Z".into();
    ada["sittings"].as_array_mut().expect("a list").insert(0, later);
    folder.write("ada.json", sealed(&ada).as_bytes());
    let output = tankside(&folder.0, &["mark", "."]);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{said}");
    assert!(text(&output.stdout).contains("Marked 1 answer from 1 file."), "{}", text(&output.stdout));
    let why = "1 of its 2 sittings is dated in the future (2099-05-04) and left out; the other one counts; check that phone's clock";
    assert!(said.contains(&format!("Not counted, 1 file or part of one:\n  ./ada.json: {why}\n")), "{said}");
    let page = folder.read("tankside-roster/roster.html");
    assert!(page.contains("1 of its 2 sittings is dated in the future (2099-05-04)"), "on the roster too");
}

#[test]
fn hostile_texts_reach_neither_the_page_nor_the_terminal_as_code() {
    let folder = Folder::new("texts");
    let resolved = demo();
    let question = &resolved.course().expect("the demo resolves").banks["first-week"].questions[0];
    let name = "<img src=x onerror=alert(1)>\u{1b}[31m\u{202e}{{ 1/0 }}";
    let record = record(name, "a", "s", vec![answer(question, question.draw_at(0), "{% raw %}9e999 gal")]);
    folder.write("x.json", record.to_string().as_bytes());
    let output = tankside(&folder.0, &["mark", "x.json"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let page = folder.read("tankside-roster/roster.html");
    assert!(page.contains("&lt;img src=x onerror=alert(1)&gt;") && !page.contains("<img"), "escaped");
    let printed = text(&output.stdout) + &text(&output.stderr) + &page + &folder.read("tankside-roster/roster.csv");
    assert!(!printed.contains('\u{1b}') && !printed.contains('\u{202e}'), "{printed:?}");
}

#[test]
fn of_two_copies_of_a_sitting_that_differ_the_sealed_one_counts_and_both_are_named() {
    let folder = Folder::new("differ");
    let resolved = demo();
    let question = &resolved.course().expect("the demo resolves").banks["first-week"].questions[0];
    let draw = question.draw_at(0);
    let wrong = record("Ada", "a", "s", vec![answer(question, draw, "987654 gal")]);
    let right = record("Ada", "a", "s", vec![answer(question, draw, &right_answer(question, draw))]);
    folder.write("ada.json", right.to_string().as_bytes());
    folder.write("saved.json", sealed(&wrong).as_bytes());
    folder.write("saved-again.json", sealed(&wrong).as_bytes());
    let output = tankside(&folder.0, &["mark", "."]);
    let said = text(&output.stderr);
    assert!(folder.read("tankside-roster/roster.csv").contains(",1,0,1,0 %,"), "{said}");
    assert!(
        said.contains("./saved-again.json: ada.json has other answers to a sitting that is in this file too"),
        "{said}"
    );
    assert!(!said.contains("saved.json has other answers"), "{said}");
}

#[test]
fn nothing_to_mark_is_reported_with_what_to_write() {
    let folder = Folder::new("nothing");
    let output = tankside(&folder.0, &["mark", "nowhere"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("There is nothing at nowhere"), "{}", text(&output.stderr));
    let output = tankside(&folder.0, &["mark", "."]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("no record and no table"), "{}", text(&output.stderr));
    assert!(!folder.0.join("tankside-roster").exists(), "nothing was written");
}

#[cfg(unix)]
#[test]
fn links_pipes_and_files_of_other_kinds_in_a_folder_are_named_and_never_waited_for() {
    use std::os::unix::fs::symlink;
    let folder = Folder::new("special");
    let resolved = demo();
    let question = &resolved.course().expect("the demo resolves").banks["first-week"].questions[0];
    let good = record("Ada", "a", "s", vec![answer(question, question.draw_at(0), "2 gal")]).to_string();
    folder.write("good.json", good.as_bytes());
    folder.write("pasted.txt", good.as_bytes());
    folder.write(".hidden", b"");
    let elsewhere = Folder::new("special-elsewhere");
    elsewhere.write("linked.json", good.as_bytes());
    let at = |name: &str| folder.0.join(name);
    symlink(elsewhere.0.join("linked.json"), at("link.json")).expect("a link");
    symlink(&elsewhere.0, at("folder")).expect("a link to a folder");
    symlink("round.json", at("round.json")).expect("a link to itself");
    symlink("/dev/zero", at("zero.json")).expect("a link to a device");
    symlink("..", at("up")).expect("a link upward");
    symlink("nowhere", at("gone.csv")).expect("a link to nothing");
    let piped = Command::new("mkfifo").arg(at("pipe.json")).status().expect("mkfifo is there");
    assert!(piped.success());
    let _door = std::os::unix::net::UnixListener::bind(at("door.csv")).expect("a socket");
    let huge = std::fs::File::create(at("huge.json")).expect("a file");
    huge.set_len(2 << 30).expect("two gigabytes of nothing");
    let output = tankside(&folder.0, &["mark", "."]);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{said}");
    assert!(text(&output.stdout).contains("Marked 1 answer from 1 file."), "{}", text(&output.stdout));
    for (name, why) in [
        ("link.json", "links in a folder are not followed"),
        ("folder", "links in a folder are not followed"),
        ("up", "links in a folder are not followed"),
        ("zero.json", "links in a folder are not followed"),
        ("round.json", "leads nowhere"),
        ("gone.csv", "leads nowhere"),
        ("pipe.json", "a pipe or a device"),
        ("door.csv", "a pipe or a device"),
        ("huge.json", "too large for a training record (2147.5 MB"),
    ] {
        let line = said.lines().find(|line| line.trim_start().starts_with(&format!("./{name}:")));
        assert!(line.unwrap_or_else(|| panic!("{name} is not named:\n{said}")).contains(why), "{said}");
    }
    assert!(said.contains("Left alone, 1 file whose name ends neither in .json nor in .csv: ./pasted.txt"), "{said}");
    let output = tankside(&folder.0, &["mark", "pipe.json"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stderr).contains("pipe.json: cannot be read: it is not a file"), "{}", text(&output.stderr));
    // Named, it is read, whatever its ending.
    assert_eq!(tankside(&folder.0, &["mark", "pasted.txt", "link.json"]).status.code(), Some(0));
}
