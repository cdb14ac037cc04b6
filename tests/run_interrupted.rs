//! `publish` killed, stopped, or failed by the system at a chosen step: the target is the earlier site or the new one,
//! whole; the next run mends what was left.
//!
//! The steps are chosen with `strace`, which makes a system call fail, or kills at it: no test here depends on time.
#![cfg(target_os = "linux")]

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::{Done, Room};
use std::collections::BTreeMap;
use std::fs;
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::Command;

type Site = BTreeMap<String, String>;

/// A room with a course, its site published, and the course changed: the two sites that may be seen after that.
struct Case {
    room: Room,
    /// A copy of the earlier site, in a room of its own.
    kept: Room,
    old: Site,
    new: Site,
    /// `strace` counts the calls of each thread by itself, so most cases have one thread.
    threads: &'static str,
}

/// What an interrupted run did.
struct Meddled {
    done: Done,
    signal: Option<i32>,
}

/// Copies a folder with all that is in it.
fn copy(from: &Path, to: &Path) {
    fs::create_dir(to).expect("a folder can be made");
    for entry in fs::read_dir(from).expect("a folder") {
        let entry = entry.expect("an entry");
        let place = to.join(entry.file_name());
        if entry.file_type().expect("a kind").is_dir() {
            copy(&entry.path(), &place);
        } else {
            fs::copy(entry.path(), place).expect("a file can be copied");
        }
    }
}

impl Case {
    fn new(name: &str) -> Case {
        let room = Room::new(name);
        room.course("course");
        room.publish("course", "site");
        room.write("site/CNAME", "training.example.org\n");
        room.write("site/lessons/notes.txt", "mine");
        let old = room.digests("site");
        let kept = Room::new(&format!("{name}-kept"));
        copy(&room.path("site"), &kept.path("site"));
        let changed = published::original("lessons/second.md").replace("Back to", "Now back to");
        room.write("course/lessons/second.md", changed);
        // What the new site looks like, with the trainer's own files in it.
        room.publish("course", "wanted");
        room.write("wanted/CNAME", "training.example.org\n");
        room.write("wanted/lessons/notes.txt", "mine");
        let new = room.digests("wanted");
        fs::remove_dir_all(room.path("wanted")).expect("it is there");
        assert_ne!(old, new);
        Case { room, kept, old, new, threads: "1" }
    }

    /// Publishes under `strace`: the calls it looks at, and what it does to which.
    fn meddle(&self, trace: &str, inject: &[&str]) -> Meddled {
        self.meddle_at(&[], trace, inject)
    }

    /// The same, for calls that concern these files alone; for all calls where none is named.
    fn meddle_at(&self, paths: &[PathBuf], trace: &str, inject: &[&str]) -> Meddled {
        let mut strace = Command::new("strace");
        strace.args(["-f", "-qq", "-o", "/dev/null", "-e", &format!("trace={trace}")]);
        for inject in inject {
            strace.args(["-e", &format!("inject={inject}")]);
        }
        for path in paths {
            strace.arg("-P").arg(path);
        }
        let output = strace
            .arg(env!("CARGO_BIN_EXE_tankside"))
            .args(["publish", "course", "--to", "site"])
            .current_dir(self.room.path(""))
            .env("TANKSIDE_THREADS", self.threads)
            .output()
            .expect("these tests need the program strace: apt-get install strace");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
        let (code, signal) = (output.status.code(), output.status.signal());
        let done = Done { code, out: text(output.stdout), err: text(output.stderr) };
        assert!(!done.err.contains("panicked"), "{}", done.err);
        Meddled { done, signal }
    }

    /// Puts the earlier site back, so that the next case starts from the same state.
    fn again(&self) {
        fs::remove_dir_all(self.room.path("site")).expect("it is there");
        copy(&self.kept.path("site"), &self.room.path("site"));
        assert_eq!(self.room.digests("site"), self.old);
    }

    /// The site is the earlier or the new one, whole.
    fn whole(&self, about: &str) {
        let site = self.room.digests("site");
        assert!(site == self.old || site == self.new, "{about}: {:?}", site.keys());
    }

    /// The next run mends, publishes, and leaves nothing beside the site.
    fn mends(&self, about: &str) -> Done {
        let done = self.room.run(&["publish", "course", "--to", "site"]);
        assert_eq!(done.code, Some(0), "{about}: {}", done.err);
        assert_eq!(self.room.digests("site"), self.new, "{about}");
        assert_eq!(self.room.names(""), ["course", "site"], "{about}");
        done
    }
}

/// Every system call that changes a name on the disk.
const NAMES: &str = "rename,renameat,renameat2,unlink,unlinkat,rmdir,mkdir,link,linkat,syncfs,fsync";

#[test]
fn a_kill_at_any_step_of_the_exchange_leaves_a_whole_site_and_the_next_run_mends() {
    let case = Case::new("kill-exchange");
    let mut kills = 0;
    for step in steps() {
        let meddled = case.meddle(NAMES, &[&format!("{NAMES}:signal=SIGKILL:when={step}")]);
        case.whole(&format!("killed at step {step}"));
        if meddled.signal.is_none() {
            assert_eq!(meddled.done.code, Some(0), "{}", meddled.done.err);
            break;
        }
        kills += 1;
        case.mends(&format!("killed at step {step}"));
        case.again();
    }
    assert!(kills > 10, "{kills} kills");
}

/// Every step near the beginning, and then ever fewer, since what follows moves or removes one entry like another; with
/// `TANKSIDE_KILLS` all of them.
fn steps() -> Box<dyn Iterator<Item = usize>> {
    if asked("TANKSIDE_KILLS", 0) > 0 {
        return Box::new(1..);
    }
    Box::new((1..12).chain((12..40).step_by(6)).chain((40..400).step_by(47)))
}

/// Where the system cannot exchange two folders.
const NO_EXCHANGE: &str = "renameat2:error=EINVAL";

#[test]
fn a_kill_at_either_rename_loses_neither_site() {
    let case = Case::new("kill-rename");
    for (step, kept) in [(1, "old"), (2, "away")] {
        let kill = format!("rename:signal=SIGKILL:when={step}");
        let meddled = case.meddle("rename,renameat2", &[NO_EXCHANGE, &kill]);
        assert_eq!(meddled.signal, Some(9), "{}", meddled.done.err);
        if kept == "away" {
            // The one gap there is: the next run puts the site back before anything else, whatever the course.
            assert!(!case.room.path("site").exists());
            let lesson = fs::read(case.room.path("course/lessons/second.md")).expect("a lesson");
            case.room.write("course/lessons/second.md", "no header");
            let done = case.room.run(&["publish", "course", "--to", "site"]);
            assert_eq!(done.code, Some(1));
            assert!(done.err.contains("the site that was there is back"), "{}", done.err);
            assert_eq!(case.room.digests("site"), case.old);
            case.room.write("course/lessons/second.md", lesson);
        } else {
            case.whole("killed at the first renaming");
        }
        case.mends("after a kill at a renaming");
        case.again();
    }
}

#[test]
fn a_rename_that_fails_is_reported_truthfully() {
    let case = Case::new("fail-rename");
    // The first alone; the second, after which the site is put back; the second and all after it.
    for (when, code) in [("1", "target-unwritable"), ("2", "target-unwritable"), ("2+", "site-moved-away")] {
        let fail = format!("rename:error=EIO:when={when}");
        let meddled = case.meddle("rename,renameat2", &[NO_EXCHANGE, &fail]);
        assert_eq!(meddled.done.code, Some(1), "{when}");
        let said = &meddled.done.err;
        assert!(said.contains(code) && said.contains("Nothing was published"), "{when}: {said}");
        let there = case.room.path("site").exists();
        assert_eq!(there, said.contains("is untouched"), "{when}: the message is true: {said}");
        if there {
            assert_eq!(case.room.digests("site"), case.old, "{when}");
            assert_eq!(case.room.names(""), ["course", "site"], "{when}");
        } else {
            // It says where the earlier site lies, and there it is.
            assert!(said.contains("/.site.tankside/old"), "{said}");
            assert_eq!(case.room.digests(".site.tankside/old"), case.old);
            let done = case.mends(when);
            assert!(done.err.contains("the site that was there is back"), "{}", done.err);
        }
        if case.room.digests("site") != case.old {
            case.again();
        }
    }
    // The exchange itself fails for another reason than that it is not known.
    let meddled = case.meddle("renameat2", &["renameat2:error=EIO"]);
    assert_eq!(meddled.done.code, Some(1));
    assert!(meddled.done.err.contains("is untouched"), "{}", meddled.done.err);
    assert_eq!((case.room.digests("site"), case.room.names("").len()), (case.old.clone(), 2));
}

#[test]
fn a_signal_ends_the_run_and_leaves_nothing() {
    let case = Case::new("signals");
    for signal in ["SIGINT", "SIGTERM"] {
        // While the first page is written, a later one, and the list of them all.
        for page in ["lessons/first.html", "units.html", "assets/site.css", "tankside-site.txt"] {
            let path = case.room.path(".site.tankside/new").join(page);
            let meddled = case.meddle_at(&[path], "openat", &[&format!("openat:signal={signal}")]);
            assert!(meddled.signal.is_some(), "{signal} {page}: {:?} {}", meddled.done.code, meddled.done.err);
            assert_eq!(case.room.digests("site"), case.old, "{signal} {page}");
            assert_eq!(case.room.names(""), ["course", "site"], "{signal} {page}: nothing is left");
            assert!(meddled.done.err.contains("Stopped."), "{signal} {page}: {}", meddled.done.err);
        }
    }
}

#[test]
fn a_full_disk_is_reported_once_and_changes_nothing() {
    let case = Case { threads: "4", ..Case::new("full") };
    // Enough lessons that several threads find the disk full.
    let stems: Vec<String> = (0..40).map(|number| format!("more-{number}")).collect();
    for stem in &stems {
        case.room.write(&format!("course/lessons/{stem}.md"), "---\ntitle: More\nsummary: S.\n---\n\nText.\n");
    }
    let listed = format!("[first, second, {}]", stems.join(", "));
    case.room.write("course/course.yaml", published::original("course.yaml").replace("[first, second]", &listed));
    // Each thread counts its own calls; what goes to the terminal is none of them.
    let pages: Vec<PathBuf> = case.old.keys().map(|page| case.room.path(".site.tankside/new").join(page)).collect();
    // Whichever thread makes it.
    let folder = [case.room.path(".site.tankside/new/lessons")];
    for (call, when, paths) in
        [("write", "1", &*pages), ("write", "3+", &*pages), ("mkdir", "1", &folder), ("syncfs", "1", &[])]
    {
        let meddled = case.meddle_at(paths, call, &[&format!("{call}:error=ENOSPC:when={when}")]);
        assert_eq!(meddled.done.code, Some(1), "{call} {when}");
        let said = &meddled.done.err;
        assert_eq!(said.matches("  error ").count(), 1, "{call} {when}: {said}");
        assert!(said.contains("There is no room left") && said.contains("is untouched"), "{call} {when}: {said}");
        assert_eq!(case.room.digests("site"), case.old, "{call} {when}");
        assert_eq!(case.room.names(""), ["course", "site"], "{call} {when}");
    }
}

/// No folder can be made beside the target, as in a folder that may not be written: the first that is made is the
/// working folder.
const LOCKED: &str = "mkdir:error=EACCES:when=1";

#[test]
fn a_target_that_cannot_be_renamed_is_filled_entry_by_entry_and_mended() {
    let case = Case::new("entries");
    let meddled = case.meddle("mkdir", &[LOCKED]);
    assert_eq!(meddled.done.code, Some(0), "{}", meddled.done.err);
    assert!(meddled.done.out.contains("CNAME, lessons/notes.txt"), "{}", meddled.done.out);
    assert_eq!(case.room.digests("site"), case.new);
    assert_eq!(case.room.names(""), ["course", "site"]);
    for step in steps() {
        case.again();
        let meddled = case.meddle("mkdir,rename", &[LOCKED, &format!("rename:signal=SIGKILL:when={step}")]);
        if meddled.signal.is_none() {
            assert_eq!(meddled.done.code, Some(0), "{}", meddled.done.err);
            assert!(step > 12, "{step}");
            break;
        }
        // It may be half of each; the trainer's own files are there, and the next run completes it.
        for own in ["CNAME", "lessons/notes.txt", ".tankside-work/old/lessons/notes.txt"] {
            let there = case.room.path("site").join(own).exists();
            assert!(there || own.contains("lessons/"), "{step}: {own}");
        }
        case.mends(&format!("killed at renaming {step}"));
    }
    // If one fails, the message says that the site is not whole.
    case.again();
    let meddled = case.meddle("mkdir,rename", &[LOCKED, "rename:error=EIO:when=7"]);
    assert_eq!(meddled.done.code, Some(1));
    assert!(meddled.done.err.contains("only partly in place"), "{}", meddled.done.err);
    assert!(!meddled.done.err.contains("untouched"), "{}", meddled.done.err);
    case.mends("failed half way");
    // If the first fails, nothing has changed.
    case.again();
    let meddled = case.meddle("mkdir,rename", &[LOCKED, "rename:error=EIO:when=1+"]);
    assert!(meddled.done.err.contains("is untouched"), "{}", meddled.done.err);
    assert_eq!((case.room.digests("site"), meddled.done.code), (case.old.clone(), Some(1)));
}

/// A number that is requested by name, or a small one: the ordinary tests make a few kills, a long run is made by hand.
fn asked(name: &str, usual: usize) -> usize {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

#[test]
fn kills_at_any_moment_leave_one_whole_site_and_no_strays() {
    let (kills, lessons) = (asked("TANKSIDE_KILLS", 12), asked("TANKSIDE_KILL_LESSONS", 40));
    let room = Room::new("kills");
    let stems: Vec<String> = (0..lessons).map(|number| format!("lesson-{number}")).collect();
    for course in ["a", "b"] {
        room.course(course);
        for stem in &stems {
            let text = format!("---\ntitle: {stem} of {course}\nsummary: S.\n---\n\n{}\n", "Some words. ".repeat(200));
            room.write(&format!("{course}/lessons/{stem}.md"), text);
        }
        let listed = format!("[first, second, {}]", stems.join(", "));
        room.write(
            &format!("{course}/course.yaml"),
            published::original("course.yaml").replace("[first, second]", &listed),
        );
    }
    let begun = std::time::Instant::now();
    room.publish("a", "site");
    let once = begun.elapsed();
    let sites = [room.digests("site"), {
        room.publish("b", "site");
        room.digests("site")
    }];
    assert_ne!(sites[0], sites[1]);
    let mut draw: u64 = 1;
    let mut ended = 0;
    for kill in 0..kills {
        // Knuth's MMIX constants (TAOCP 2, 3.3.4). When the kill comes is drawn; what must hold does not depend on it.
        draw = draw.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let share = (draw >> 33) as f64 / f64::from(u32::MAX >> 1);
        let mut run = Command::new(env!("CARGO_BIN_EXE_tankside"))
            .args(["publish", ["a", "b"][kill % 2], "--to", "site"])
            .current_dir(room.path(""))
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .expect("the program runs");
        std::thread::sleep(once.mul_f64(share * 1.1));
        let _ = run.kill();
        ended += usize::from(run.wait().expect("it ends").signal().is_none());
        let now = room.digests("site");
        assert!(sites.contains(&now), "kill {kill} of {kills}, after {share:.3} of a run");
        let strays = room.names("").into_iter().filter(|name| name.starts_with('.')).count();
        assert!(strays <= 1, "kill {kill}: {:?}", room.names(""));
    }
    let done = room.run(&["publish", "a", "--to", "site"]);
    assert_eq!(done.code, Some(0), "{}", done.err);
    assert_eq!(room.digests("site"), sites[0]);
    assert_eq!(room.names(""), ["a", "b", "site"], "{ended} of {kills} were not killed");
}

#[test]
fn start_that_is_stopped_or_fails_in_the_middle_leaves_all_of_it_or_none() {
    let room = Room::new("start-stopped");
    let whole = {
        assert_eq!(room.run(&["start", "whole"]).code, Some(0));
        room.names("whole")
    };
    let mut left_none = 0;
    for (at, what) in (1..=9).flat_map(|at| ["signal=INT", "signal=TERM", "error=ENOSPC"].map(|what| (at, what))) {
        let folder = format!("course-{at}");
        let output = Command::new("strace")
            .args([
                "-f",
                "-qq",
                "-o",
                "/dev/null",
                "-e",
                "trace=fsync",
                "-e",
                &format!("inject=fsync:{what}:when={at}"),
            ])
            .args([env!("CARGO_BIN_EXE_tankside"), "start", &folder])
            .current_dir(room.path(""))
            .output()
            .expect("these tests need the program strace: apt-get install strace");
        let there = room.path(&folder).exists();
        if there {
            assert_eq!(room.names(&folder), whole, "{what} at {at}: {output:?}");
            fs::remove_dir_all(room.path(&folder)).expect("it is there");
        } else {
            left_none += 1;
        }
        assert!(!(what.starts_with("error") && there), "a file that was not written: {output:?}");
    }
    assert!(left_none >= 9, "only {left_none} were stopped");
}
