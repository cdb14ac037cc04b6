//! A folder of its own for a test: courses written into it, published from it, and looked at afterward.

pub(crate) mod tags;

use std::collections::BTreeMap;
use std::fs;
use std::hash::{DefaultHasher, Hasher};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A folder that is gone when the test ends.
#[derive(Debug)]
pub(crate) struct Room(PathBuf);

/// What a call did.
#[derive(Debug)]
pub(crate) struct Done {
    pub(crate) code: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Done {
    pub(crate) fn of(output: Output, words: &[&str]) -> Done {
        let done = Done {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).expect("UTF-8"),
            err: String::from_utf8(output.stderr).expect("UTF-8"),
        };
        assert!(!done.err.contains("panicked"), "{words:?}: {}", done.err);
        done
    }
}

impl Room {
    pub(crate) fn new(name: &str) -> Room {
        Room::below(Path::new(env!("CARGO_TARGET_TMPDIR")), name)
    }

    /// The same where every user can get to it.
    pub(crate) fn for_all_users(name: &str) -> Room {
        Room::below(&std::env::temp_dir(), &format!("tankside-{name}"))
    }

    fn below(parent: &Path, name: &str) -> Room {
        let folder = parent.join(format!("{name}-{}", std::process::id()));
        // A test that was stopped may have left its own behind.
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).expect("a temporary folder can be written");
        Room(folder.canonicalize().expect("it was just made"))
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    /// Writes a file, its folders as well.
    pub(crate) fn write(&self, name: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().expect("a file is in a folder")).expect("a folder can be made");
        fs::write(path, bytes).expect("a file can be written");
    }

    /// Writes a small course without a mistake into `folder`.
    pub(crate) fn course(&self, folder: &str) {
        for (name, text) in COURSE {
            self.write(&format!("{folder}/{name}"), text);
        }
    }

    /// Runs the program in the room.
    pub(crate) fn run(&self, words: &[&str]) -> Done {
        self.run_in("", words, &[])
    }

    pub(crate) fn run_in(&self, folder: &str, words: &[&str], vars: &[(&str, &str)]) -> Done {
        let output = Command::new(env!("CARGO_BIN_EXE_tankside"))
            .args(words)
            .envs(vars.iter().copied())
            .current_dir(self.path(folder))
            .output()
            .expect("the program runs");
        Done::of(output, words)
    }

    /// Publishes a course that must be without a mistake.
    pub(crate) fn publish(&self, course: &str, to: &str) {
        let done = self.run(&["publish", course, "--to", to]);
        assert_eq!((done.code, done.err.as_str()), (Some(0), ""), "{course}");
    }

    /// Every file below a folder with the digest of its bytes; folders too, so that an empty one counts.
    pub(crate) fn digests(&self, folder: &str) -> BTreeMap<String, String> {
        let root = self.path(folder);
        let mut all = BTreeMap::new();
        for entry in walkdir::WalkDir::new(&root) {
            let entry = entry.expect("a readable entry");
            let name = entry.path().strip_prefix(&root).expect("it is below").to_string_lossy().replace('\\', "/");
            let digest = if entry.file_type().is_file() {
                let bytes = fs::read(entry.path()).expect("a readable file");
                let mut hasher = DefaultHasher::new();
                hasher.write(&bytes);
                format!("{} bytes, {:016x}", bytes.len(), hasher.finish())
            } else {
                "folder".to_owned()
            };
            all.insert(name, digest);
        }
        all
    }

    /// The names in a folder.
    pub(crate) fn names(&self, folder: &str) -> Vec<String> {
        let entries = fs::read_dir(self.path(folder)).expect("a readable folder");
        let mut names: Vec<String> =
            entries.map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    /// The pages of a site, by path.
    pub(crate) fn pages(&self, site: &str) -> BTreeMap<String, String> {
        let names = self.digests(site).into_keys().filter(|name| name.ends_with(".html"));
        names.map(|name| (name.clone(), fs::read_to_string(self.path(site).join(&name)).expect("UTF-8"))).collect()
    }
}

impl Drop for Room {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// A course of two lessons, a bank and a picture that has no mistake.
pub(crate) const COURSE: &[(&str, &str)] = &[
    (
        "course.yaml",
        "id: two-lessons\ntitle: Two lessons\ncompany: Example Lawns\nsummary: A small course.\ncontact: The trainer\nlessons: [first, second]\n",
    ),
    (
        "lessons/first.md",
        "---\ntitle: First\nsummary: The first lesson.\nminutes: 3\n---\n\n# Catch\n\nSee [the second](second.md#walk).\n\n![a gun](../images/gun.svg)\n\n```worked-example gun\ncalculator: catch-test\ngiven:\n  catch:\n    - { volume: 96 fl oz, time: 30 s }\n```\n\nIt puts out [output](figure:gun/nozzle-output).\n",
    ),
    (
        "lessons/second.md",
        "---\ntitle: Second\nsummary: The second lesson.\n---\n\n# Walk\n\nBack to [the first](first.md).\n\n```questions small\n```\n",
    ),
    (
        "questions/small.yaml",
        "id: small\ntitle: Small check\nquestions:\n  - id: a\n    kind: one\n    text: Which?\n    options:\n      - { text: This, right: true, because: it is }\n      - { text: That }\n",
    ),
    (
        "images/gun.svg",
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"><circle cx=\"4\" cy=\"4\" r=\"4\"/></svg>\n",
    ),
];

/// The text of one of its files.
pub(crate) fn original(file: &str) -> &'static str {
    COURSE.iter().find(|(name, _)| *name == file).map_or("", |(_, text)| text)
}
