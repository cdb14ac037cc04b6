//! Where a site goes: nothing that tankside did not write is ever removed, and failures are reported truthfully.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::{Done, Room};
use std::fs;

/// A picture of one gray dot.
const PNG: &[u8] = include_bytes!("pictures/pixel.png");
/// The file that lists what was written.
const LIST: &str = "tankside-site.txt";

/// A refusal by its code, after which everything in the room is as it was.
fn refused(room: &Room, words: &[&str], code: &str) -> Done {
    let before = room.digests("");
    let done = room.run(words);
    assert_eq!(done.code, Some(1), "{words:?}: {} {}", done.out, done.err);
    assert!(done.err.contains(code), "{words:?}: no {code} in\n{}", done.err);
    assert!(done.err.contains("Nothing was published"), "{words:?}: {}", done.err);
    assert_eq!(room.digests(""), before, "{words:?}");
    done
}

#[test]
fn a_course_and_a_target_that_hold_each_other_are_refused() {
    let room = Room::new("hold");
    room.course("course");
    room.publish("course", "outer");
    // The course lies in the folder that would be replaced.
    room.course("outer/course");
    refused(&room, &["publish", "outer/course", "--to", "outer"], "target-and-course");
    refused(&room, &["publish", "outer/course", "--to", "outer", "--replace-anyway"], "target-and-course");
    // A course folder that was published into by hand, as its own target and as its target's folder.
    fs::copy(room.path("outer").join(LIST), room.path("course").join(LIST)).expect("a file can be copied");
    for target in ["course", "course/", "course/.", "course/site", "course/lessons/new", ".", "course/../course"] {
        refused(&room, &["publish", "course", "--to", target], "target-and-course");
    }
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(room.path("course"), room.path("link")).expect("a link can be made");
        refused(&room, &["publish", "course", "--to", "link"], "target-and-course");
        refused(&room, &["publish", "course", "--to", "link/site"], "target-and-course");
        refused(&room, &["publish", "link", "--to", "course"], "target-and-course");
        std::os::unix::fs::symlink(room.path("outer"), room.path("way")).expect("a link can be made");
        refused(&room, &["publish", "way/course", "--to", "outer"], "target-and-course");
    }
}

#[test]
fn files_of_the_trainers_own_stay_and_are_named() {
    let room = Room::new("own-files");
    room.course("course");
    room.publish("course", "site");
    let own = [
        ("site/.git/HEAD", "ref: refs/heads/main\n"),
        ("site/.git/objects/00/aa", "an object"),
        ("site/CNAME", "training.example.org\n"),
        ("site/notes.docx", "mine"),
        ("site/lessons/notes.txt", "mine too"),
        ("site/thesis.txt", "years of work"),
    ];
    for (name, text) in own {
        room.write(name, text);
    }
    fs::create_dir(room.path("site/empty")).expect("a folder can be made");
    let before = room.digests("site");
    for turn in 0..2 {
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert_eq!((done.code, done.err.as_str()), (Some(0), ""), "{turn}");
        for named in [".git/ (2 files)", "CNAME", "notes.docx", "lessons/notes.txt", "thesis.txt", "empty/"] {
            assert!(done.out.contains(named), "{turn}: no {named} in\n{}", done.out);
        }
        assert_eq!(room.digests("site"), before, "{turn}");
        assert_eq!(room.names(""), ["course", "site"], "{turn}: nothing is left beside it");
    }
    // A page that the course no longer has goes; what is beside it stays.
    room.write("course/course.yaml", published::original("course.yaml").replace("[first, second]", "[second]"));
    room.write("course/lessons/second.md", "---\ntitle: Second\nsummary: S.\n---\n\nAlone.\n");
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert_eq!(done.code, Some(0), "{}", done.err);
    assert!(!room.path("site/lessons/first.html").exists());
    for (name, text) in own {
        assert_eq!(fs::read_to_string(room.path(name)).expect("it was kept"), text, "{name}");
    }
}

#[cfg(unix)]
#[test]
fn what_is_kept_keeps_its_links_its_rights_and_its_names() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    use std::os::unix::fs::{PermissionsExt, symlink};
    let room = Room::new("kept-odd");
    room.course("course");
    room.publish("course", "site");
    let name = OsStr::from_bytes(b"caf\xe9");
    fs::write(room.path("site").join(name), "not UTF-8").expect("a file can be written");
    symlink("nowhere", room.path("site/dangling")).expect("a link can be made");
    symlink("/", room.path("site/lessons/root")).expect("a link can be made");
    room.write("site/hooks/run", "#!/bin/sh\n");
    let mode = |path: &str, mode| {
        fs::set_permissions(room.path(path), fs::Permissions::from_mode(mode)).expect("it is ours");
    };
    mode("site/hooks/run", 0o755);
    mode("site/hooks", 0o700);
    mode("site", 0o750);
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert_eq!((done.code, done.err.as_str()), (Some(0), ""));
    assert_eq!(fs::read(room.path("site").join(name)).expect("kept"), b"not UTF-8");
    assert_eq!(fs::read_link(room.path("site/dangling")).expect("kept").as_os_str(), "nowhere");
    assert_eq!(fs::read_link(room.path("site/lessons/root")).expect("kept").as_os_str(), "/");
    for (path, mode) in [("site/hooks/run", 0o755), ("site/hooks", 0o700), ("site", 0o750)] {
        let now = fs::metadata(room.path(path)).expect("kept").permissions().mode() & 0o777;
        assert_eq!(now, mode, "{path}: {now:o}");
    }
}

#[test]
fn a_folder_whose_list_is_not_as_we_wrote_it_is_left_alone() {
    let room = Room::new("lists");
    room.course("course");
    room.publish("course", "site");
    let list = fs::read_to_string(room.path("site").join(LIST)).expect("a list");
    let earlier = "This folder was written by tankside. The next publishing replaces it as a whole,\nso keep nothing of your own in it.\n";
    for (name, text) in [
        ("empty", ""),
        ("notes", "my notes"),
        ("earlier", earlier),
        ("cut", &list[..list.len() - 10]),
        ("other course", &list.replace("course: two-lessons", "course: two-lesson")),
        (
            "one more",
            &list.replace(
                "\n\nwhole:",
                "\n0000000000000000000000000000000000000000000000000000000000000000  thesis.txt\n\nwhole:",
            ),
        ),
    ] {
        room.write("folder/thesis.txt", "years of work");
        room.write(&format!("folder/{LIST}"), text);
        let done = refused(&room, &["publish", "course", "--to", "folder"], "target-not-ours");
        assert!(done.err.contains("`--to`"), "{name}: what to do is said: {}", done.err);
        refused(&room, &["publish", "course", "--to", "folder", "--replace-anyway"], "target-not-ours");
    }
    // A folder of that name is not a list either.
    fs::create_dir_all(room.path("odd").join(LIST)).expect("a folder can be made");
    refused(&room, &["publish", "course", "--to", "odd"], "target-not-ours");
}

#[test]
fn a_site_of_another_course_is_not_replaced_unless_that_is_said() {
    let room = Room::new("other-course");
    room.course("course");
    room.publish("course", "work/tankside-site");
    let before = room.digests("work");
    // A bare call in a folder without a course publishes the demo, which nobody named.
    let done = room.run_in("work", &["publish"], &[]);
    assert_eq!(done.code, Some(1), "{}", done.out);
    assert!(done.err.contains("target-of-another-course") && done.err.contains("two-lessons"), "{}", done.err);
    assert_eq!(room.digests("work"), before);
    room.course("second");
    room.write("second/course.yaml", published::original("course.yaml").replace("id: two-lessons", "id: another"));
    let done = refused(&room, &["publish", "second", "--to", "work/tankside-site"], "target-of-another-course");
    assert!(done.err.contains("--replace-anyway"), "{}", done.err);
    let done = room.run(&["publish", "second", "--to", "work/tankside-site", "--replace-anyway"]);
    assert_eq!((done.code, done.err.as_str()), (Some(0), ""));
    assert!(done.out.contains("  over  the site of another course, “Two lessons”"), "{}", done.out);
    // The demo gives way to a course of one's own, and to itself.
    fs::create_dir(room.path("free")).expect("a folder can be made");
    for _ in 0..2 {
        assert_eq!(room.run_in("free", &["publish"], &[]).code, Some(0));
    }
    let done = room.run(&["publish", "course", "--to", "free/tankside-site"]);
    assert!(done.out.contains("  over  the site of the demo course, “First week on the hose”"), "{}", done.out);
    // A copy of a course with a title of its own and the same id.
    room.course("third");
    let copied = published::original("course.yaml").replace("title: Two lessons", "title: Spring");
    room.write("third/course.yaml", copied);
    let done = room.run(&["publish", "third", "--to", "free/tankside-site"]);
    assert!(done.out.contains("the site of “Two lessons”, which has the same id"), "{} {}", done.out, done.err);
    let done = room.run(&["publish", "third", "--to", "free/tankside-site"]);
    assert!(done.code == Some(0) && !done.out.contains("  over  "), "{}", done.out);
    // Though it has the demo's own id, a folder is not the demo.
    assert_eq!(room.run_in("free", &["publish"], &[]).code, Some(1));
}

#[test]
fn a_bare_command_in_the_wrong_folder_is_refused_and_publishes_no_demo() {
    let room = Room::new("wrong-folder");
    room.course("course");
    let within = ["lessons", "cautions", "notes", "lessons/es"];
    for folder in within {
        fs::create_dir_all(room.path(&format!("course/{folder}"))).expect("a folder can be made");
    }
    let before = room.digests("");
    for folder in within {
        let up = vec![".."; folder.split('/').count()].join("/");
        for words in [&["publish"][..], &["proof"], &["sheet", "small"]] {
            let done = room.run_in(&format!("course/{folder}"), words, &[]);
            assert_eq!(done.code, Some(1), "{words:?} in {folder}: {}", done.out);
            let says = ["is inside a course folder", &format!("\n  {folder}\n"), &format!("`cd {up}`")]
                .map(|words| done.err.contains(words));
            assert_eq!(says, [true; 3], "{words:?} in {folder}: {}", done.err);
            assert_eq!(room.digests(""), before, "{words:?} in {folder}");
        }
    }
    // Beside course.yaml it is the course, and without that file it is a course that lacks it, not the demo.
    for (trace, file) in
        [("lessons", "lessons/first.md"), ("questions", "questions/small.yaml"), ("own", "cautions.yaml")]
    {
        room.write(&format!("trace-{trace}/{file}"), "x");
        let before = room.digests("");
        let done = room.run_in(&format!("trace-{trace}"), &["publish"], &[]);
        assert!(done.code == Some(1) && done.err.contains("file-missing"), "{trace}: {}", done.err);
        assert!(done.err.contains("course.yaml") && done.err.contains("Nothing was published"), "{}", done.err);
        assert_eq!(room.digests(""), before, "{trace}");
    }
    for folder in ["cautions", "notes", "lessons/es"] {
        fs::remove_dir(room.path(&format!("course/{folder}"))).expect("it is empty");
    }
    let done = room.run_in("course", &["publish"], &[]);
    assert_eq!((done.code, done.err.as_str()), (Some(0), ""));
    assert!(room.pages("course-site")["index.html"].contains("Two lessons"));
}

#[test]
fn a_page_changed_by_hand_is_not_lost() {
    let room = Room::new("by-hand");
    room.course("course");
    room.publish("course", "site");
    let page = "site/lessons/first.html";
    let text = fs::read_to_string(room.path(page)).expect("a page");
    room.write(page, text.replace("See", "Look at"));
    let done = refused(&room, &["publish", "course", "--to", "site"], "site-changed");
    assert!(done.err.contains("`lessons/first.html`"), "{}", done.err);
    let done = room.run(&["publish", "course", "--to", "site", "--replace-anyway"]);
    assert_eq!((done.code, done.err.as_str()), (Some(0), ""));
    // One that is gone is made again.
    fs::remove_file(room.path(page)).expect("it is there");
    room.publish("course", "site");
    assert_eq!(fs::read_to_string(room.path(page)).expect("a page"), text);
}

#[test]
fn a_file_where_a_new_page_goes_is_named_and_stays() {
    let room = Room::new("in-the-way");
    room.course("course");
    room.publish("course", "site");
    let more = published::original("course.yaml").replace("second]", "second, third]");
    room.write("course/course.yaml", more);
    room.write("course/lessons/third.md", "---\ntitle: Third\nsummary: S.\n---\n\nText.\n");
    room.write("site/lessons/third.html", "mine");
    let done = refused(&room, &["publish", "course", "--to", "site"], "target-file-in-the-way");
    assert!(done.err.contains("`lessons/third.html`"), "{}", done.err);
    refused(&room, &["publish", "course", "--to", "site", "--replace-anyway"], "target-file-in-the-way");
    fs::remove_file(room.path("site/lessons/third.html")).expect("it is there");
    room.publish("course", "site");
    // A file of one's own where the new site has a folder.
    room.publish("course", "plain");
    fs::remove_dir_all(room.path("plain/lessons")).expect("it is there");
    room.write("plain/lessons", "mine");
    refused(&room, &["publish", "course", "--to", "plain"], "target-file-in-the-way");
}

#[cfg(unix)]
#[test]
fn a_link_is_followed_or_called_a_link() {
    use std::os::unix::fs::symlink;
    let room = Room::new("links-to");
    room.course("course");
    symlink("not-there", room.path("dangling")).expect("a link can be made");
    for target in ["dangling", "dangling/site"] {
        let done = refused(&room, &["publish", "course", "--to", target], "This is a link");
        assert!(done.err.contains("not-there"), "{}", done.err);
    }
    symlink("loop", room.path("loop")).expect("a link can be made");
    refused(&room, &["publish", "course", "--to", "loop"], "target-unwritable");
    fs::create_dir(room.path("real")).expect("a folder can be made");
    symlink("real", room.path("current")).expect("a link can be made");
    room.publish("course", "current");
    room.publish("course", "current");
    assert_eq!(fs::read_link(room.path("current")).expect("still a link").as_os_str(), "real");
    assert!(room.path("real/index.html").exists());
}

#[test]
fn whoever_publishes_there_already_is_waited_for_in_plain_words() {
    let room = Room::new("busy");
    room.course("course");
    room.publish("course", "site");
    let before = room.digests("site");
    fs::create_dir(room.path(".site.tankside")).expect("a folder can be made");
    let lock = fs::File::create(room.path(".site.tankside/lock")).expect("a file can be made");
    lock.lock().expect("a file can be locked");
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert_eq!(done.code, Some(1), "{}", done.out);
    assert!(done.err.contains("Another tankside is publishing into this folder"), "{}", done.err);
    assert!(done.err.contains("error target-busy"), "{}", done.err);
    assert!(done.err.contains("is untouched") && !done.err.contains("os error"), "{}", done.err);
    assert_eq!(room.digests("site"), before);
    // Another target in the same folder has a lock of its own.
    room.publish("course", "beside");
    drop(lock);
    room.publish("course", "site");
    assert_eq!(room.names(""), ["beside", "course", "site"]);
}

#[test]
fn many_publishers_at_once_leave_one_whole_site_and_nothing_else() {
    let room = Room::new("at-once");
    room.course("course");
    room.publish("course", "alone");
    std::thread::scope(|scope| {
        let one = || room.run(&["publish", "course", "--to", "site"]);
        let runs: Vec<_> = (0..6).map(|_| scope.spawn(one)).collect();
        let done: Vec<Done> = runs.into_iter().map(|run| run.join().expect("no panic")).collect();
        assert!(done.iter().any(|done| done.code == Some(0)));
        for done in done.iter().filter(|done| done.code != Some(0)) {
            assert!(done.err.contains("Another tankside is publishing"), "{}", done.err);
        }
    });
    assert_eq!(room.digests("site"), room.digests("alone"));
    assert_eq!(room.names(""), ["alone", "course", "site"]);
}

#[test]
fn a_working_folder_that_is_somebody_elses_is_not_touched() {
    let room = Room::new("foreign-room");
    room.course("course");
    room.write(".site.tankside/new/thesis.txt", "years of work");
    refused(&room, &["publish", "course", "--to", "site"], "one that is not ours");
    room.write(".site.tankside/lock", "my own lock");
    refused(&room, &["publish", "course", "--to", "site"], "one that is not ours");
}

#[test]
fn what_an_interrupted_run_left_of_somebody_elses_is_named_and_not_removed() {
    let room = Room::new("leftovers");
    room.course("course");
    room.publish("course", "site");
    // As a run leaves it that was killed after both folders had changed places: the earlier site lies in the room.
    for (name, what) in room.digests("site").iter().filter(|(_, what)| *what != "folder") {
        assert!(!what.is_empty());
        room.write(&format!(".site.tankside/new/{name}"), fs::read(room.path("site").join(name)).expect("a page"));
    }
    let lock = "tankside makes a site here. When no tankside is running, the next one mends or removes this.\n";
    room.write(".site.tankside/lock", lock);
    room.write(".site.tankside/state", format!("exchange {}\n", "0".repeat(64)));
    room.write(".site.tankside/new/notes.txt", "the trainer's notes of before");
    room.write("site/notes.txt", "the trainer's notes of today");
    let before = room.digests("site");
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert_eq!(done.code, Some(1), "{}", done.out);
    assert!(done.err.contains("error target-leftovers") && done.err.contains("notes.txt"), "{}", done.err);
    assert_eq!(room.digests("site"), before);
    let kept = fs::read_to_string(room.path(".site.tankside/new/notes.txt")).expect("it is there");
    assert_eq!(kept, "the trainer's notes of before");
    fs::remove_file(room.path(".site.tankside/new/notes.txt")).expect("it is there");
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert_eq!((done.code, room.names("")), (Some(0), vec!["course".to_owned(), "site".to_owned()]), "{}", done.err);
}

#[test]
fn a_file_where_the_folder_of_the_site_should_be_stays() {
    let room = Room::new("file-as-target");
    room.course("course");
    room.write("thesis.txt", "years of work");
    refused(&room, &["publish", "course", "--to", "thesis.txt"], "target-not-a-folder");
    refused(&room, &["publish", "course", "--to", "thesis.txt", "--replace-anyway"], "target-not-a-folder");
}

#[test]
fn a_site_can_be_checked_by_its_list_with_another_tool() {
    let room = Room::new("list");
    room.course("course");
    room.write("course/images/a b.png", PNG);
    room.publish("course", "site");
    let check = std::process::Command::new("sha256sum")
        .args(["--check", "--quiet", LIST])
        .current_dir(room.path("site"))
        .output()
        .expect("sha256sum is in every Linux");
    assert!(check.status.success(), "{}", String::from_utf8_lossy(&check.stderr));
    let list = fs::read_to_string(room.path("site").join(LIST)).expect("a list");
    let listed = list.lines().filter(|line| line.contains("  ") && line.len() > 66).count();
    let files = room.digests("site").into_iter().filter(|(name, what)| what != "folder" && name != LIST).count();
    assert_eq!(listed, files, "every file is in it");
}
