//! Folders that hold no course, and those into which no site can go.

use super::published::{Done, Room, original};
use super::refused;
use std::fs;
#[cfg(unix)]
use std::process::Command;

#[test]
fn a_course_path_that_leads_to_no_course_is_refused() {
    let room = Room::new("nowhere");
    room.course("course");
    room.publish("course", "site");
    let before = room.digests("site");
    fs::create_dir(room.path("empty")).expect("a folder can be made");
    room.write("empty-file", "");
    for (course, part) in [
        ("nowhere", "There is no such course folder"),
        ("course/course.yaml", "Write `course`, the folder that holds `course.yaml`"),
        ("empty-file/below", "There is no such course folder"),
        ("empty", "course.yaml"),
        ("course/lessons", "Write `course`, the folder that holds `course.yaml`"),
    ] {
        let done = room.run(&["publish", course, "--to", "site"]);
        refused(&done, course);
        assert!(done.err.contains(part), "{course}: {}", done.err);
        assert_eq!(room.digests("site"), before, "{course}");
    }
    for words in [&["publish", "course", "more"][..], &["publish", "--to"], &["publsh"], &["publish", "--two", "x"]] {
        let done = room.run(words);
        assert_eq!(done.code, Some(2), "{words:?}: {}", done.err);
        assert!(done.err.contains("\n  Write "), "{words:?}: {}", done.err);
    }
}

#[test]
fn a_target_that_is_no_site_of_ours_is_never_touched() {
    let room = Room::new("targets");
    room.course("course");
    room.write("a-file", "mine");
    room.write("pictures/holiday.jpg", "mine");
    room.write("looks-alike/index.html", "mine");
    let before = room.digests("");
    for target in
        ["a-file", "a-file/site", "pictures", "looks-alike", "course", "course/lessons", ".", "..", "nowhere/../site"]
    {
        let done = room.run(&["publish", "course", "--to", target]);
        refused(&done, target);
        assert!(done.err.contains("\n  "), "{target}: the error names the place: {}", done.err);
        assert_eq!(room.digests(""), before, "{target}");
    }
    // Folders made on the way to a target go again when nothing comes of it.
    room.write("wrong/course.yaml", "id: wrong");
    refused(&room.run(&["publish", "wrong", "--to", "new/folders/site"]), "a mistake");
    assert!(!room.path("new").exists());
    // An empty folder belongs to nobody.
    fs::create_dir(room.path("free")).expect("a folder can be made");
    room.publish("course", "free");
    room.publish("course", "new/folders/site");
    room.publish("course", "new/../beside");
    let site = room.digests("free");
    room.publish("course", "free");
    assert_eq!(room.digests("free"), site);
}

/// The program run as somebody whom rights keep out, which they do not with root.
#[cfg(unix)]
struct Rights {
    room: Room,
    root: bool,
}

/// The number of the user and group that own nothing on a Unix machine.
#[cfg(unix)]
const NOBODY: u32 = 65_534;

#[cfg(unix)]
impl Rights {
    fn new(name: &str) -> Rights {
        use std::os::unix::fs::MetadataExt;
        let room = Room::for_all_users(name);
        // Another process copies: a program that this one has open for writing could not be run.
        let copied = Command::new("cp").arg(env!("CARGO_BIN_EXE_tankside")).arg(room.path("program")).status();
        assert!(copied.expect("cp runs").success());
        let root = fs::metadata(room.path("")).expect("it was just made").uid() == 0;
        Rights { room, root }
    }

    fn run(&self, words: &[&str]) -> Done {
        use std::os::unix::process::CommandExt;
        let mut command = Command::new(self.room.path("program"));
        command.args(words).current_dir(self.room.path(""));
        if self.root {
            command.uid(NOBODY).gid(NOBODY);
        }
        Done::of(command.output().expect("the program runs"), words)
    }

    /// Makes a folder one that the program may write.
    fn give(&self, folder: &str) {
        if self.root {
            for entry in walkdir::WalkDir::new(self.room.path(folder)) {
                let entry = entry.expect("a readable entry");
                std::os::unix::fs::chown(entry.path(), Some(NOBODY), Some(NOBODY)).expect("root may give it away");
            }
        }
    }

    fn mode(&self, folder: &str, mode: u32) {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(self.room.path(folder), fs::Permissions::from_mode(mode)).expect("it is ours");
    }
}

#[cfg(unix)]
#[test]
fn a_site_that_may_be_written_is_published_in_a_folder_that_may_not_and_a_new_one_there_is_refused() {
    let rights = Rights::new("rights");
    let room = &rights.room;
    room.course("course");
    room.publish("course", "locked/site");
    room.write("locked/site/CNAME", "training.example.org\n");
    room.write("course/lessons/first.md", original("lessons/first.md").replace("title: First", "title: Changed"));
    rights.give("locked/site");
    rights.mode("locked", 0o555);
    let done = rights.run(&["publish", "course", "--to", "locked/site"]);
    assert_eq!(done.code, Some(0), "{}", done.err);
    let page = fs::read_to_string(room.path("locked/site/lessons/first.html")).expect("a page");
    assert!(page.contains("Changed"), "the earlier page is still there");
    assert!(room.names("locked/site").contains(&"CNAME".to_owned()), "{:?}", room.names("locked/site"));
    assert!(!room.names("locked/site").contains(&".tankside-work".to_owned()));
    let before = room.digests("locked");
    let done = rights.run(&["publish", "course", "--to", "locked/new"]);
    refused(&done, "read-only");
    assert!(done.err.contains("locked"), "{}", done.err);
    assert_eq!(room.digests("locked"), before);
    rights.mode("locked", 0o755);
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_not_even_root_may_write_is_reported() {
    let room = Room::new("read-only");
    room.course("course");
    let done = room.run(&["publish", "course", "--to", "/proc/site"]);
    refused(&done, "/proc");
    assert!(done.err.contains("\n  /proc"), "{}", done.err);
}
