//! A site is written into a fresh folder beside its target and put in place by renaming.
//!
//! Until the last rename the earlier site stands untouched; a folder that is not one of ours is never replaced.

use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicU32, AtomicU64, Ordering};

use crate::problem::Problem;

/// The file by which a published site is known again.
pub const MARKER: &str = "tankside-site.txt";

const MARKER_TEXT: &str = "This folder was written by tankside. The next publishing replaces it as a whole,\n\
                           so keep nothing of your own in it.\n";

/// What was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// The folder of the site.
    pub folder: PathBuf,
    /// How many files, the marker among them.
    pub files: u64,
    /// How many bytes.
    pub bytes: u64,
}

/// A site that is being written. Dropped before [`Staging::finish`], it leaves nothing behind.
#[derive(Debug)]
pub struct Staging {
    target: PathBuf,
    folder: PathBuf,
    /// Folders above the target that were made for it, the nearest first.
    new_parents: Vec<PathBuf>,
    /// Folders made so far, each known by its path within the site.
    made: Mutex<Vec<PathBuf>>,
    files: AtomicU64,
    bytes: AtomicU64,
    done: bool,
}

impl Staging {
    /// Starts a site for `target`. A target that holds anything but an earlier site is refused.
    pub fn begin(target: &Path) -> Result<Self, Box<Problem>> {
        let target = settled(target).map_err(|error| refused(target, "finding the folder", &error))?;
        check_target(&target)?;
        let parent = target.parent().unwrap_or(Path::new("/")).to_path_buf();
        let new_parents = parent.ancestors().take_while(|folder| !folder.exists()).map(Path::to_path_buf).collect();
        fs::create_dir_all(&parent).map_err(|error| refused(&parent, "making the folder", &error))?;
        let folder = fresh_sibling(&target, "new").map_err(|error| refused(&parent, "making a folder here", &error))?;
        Ok(Self {
            target,
            folder,
            new_parents,
            made: Mutex::new(Vec::new()),
            files: AtomicU64::new(0),
            bytes: AtomicU64::new(0),
            done: false,
        })
    }

    /// Writes one file; many threads may do so at once.
    pub fn write(&self, name: &str, bytes: &[u8]) -> Result<(), Box<Problem>> {
        let relative = Path::new(name);
        let path = self.folder.join(relative);
        let inside = !name.is_empty() && relative.components().all(|part| matches!(part, Component::Normal(_)));
        if !inside {
            let error = io::Error::new(io::ErrorKind::InvalidInput, "the name leads out of the site");
            return Err(refused(relative, "writing the file", &error));
        }
        if let Some(folder) = relative.parent().filter(|folder| *folder != Path::new("")) {
            self.make(folder)?;
        }
        // Two files of one name would make the site depend on the order of the threads.
        let mut file = fs::File::create_new(&path)
            .map_err(|error| refused(&self.target.join(relative), "writing the file", &error))?;
        io::Write::write_all(&mut file, bytes)
            .map_err(|error| refused(&self.target.join(relative), "writing the file", &error))?;
        self.files.fetch_add(1, Ordering::Relaxed);
        self.bytes.fetch_add(bytes.len() as u64, Ordering::Relaxed);
        Ok(())
    }

    fn make(&self, folder: &Path) -> Result<(), Box<Problem>> {
        // A poisoned lock only means that another thread stopped; the list is whole.
        let mut made = self.made.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        if made.iter().any(|known| known == folder) {
            return Ok(());
        }
        fs::create_dir_all(self.folder.join(folder))
            .map_err(|error| refused(&self.target.join(folder), "making the folder", &error))?;
        made.push(folder.to_path_buf());
        Ok(())
    }

    /// Puts the site in its place; the earlier one goes only when the new one stands.
    pub fn finish(mut self) -> Result<Written, Box<Problem>> {
        self.write(MARKER, MARKER_TEXT.as_bytes())?;
        // Somebody may have put files into the target while the site was being written.
        check_target(&self.target)?;
        let failed = |error: &io::Error| refused(&self.target, "putting the new site in its place", error);
        if self.target.exists() {
            let old = fresh_sibling(&self.target, "old").map_err(|error| failed(&error))?;
            fs::rename(&self.target, &old).map_err(|error| {
                // The empty folder was only there to hold the name.
                let _ = fs::remove_dir(&old);
                failed(&error)
            })?;
            if let Err(error) = fs::rename(&self.folder, &self.target) {
                // The earlier site goes back to where it was.
                let _ = fs::rename(&old, &self.target);
                return Err(failed(&error));
            }
            self.done = true;
            // The new site stands; what is left of the old one is only clutter.
            let _ = fs::remove_dir_all(&old);
        } else {
            fs::rename(&self.folder, &self.target).map_err(|error| failed(&error))?;
            self.done = true;
        }
        Ok(Written {
            folder: self.target.clone(),
            files: self.files.load(Ordering::Relaxed),
            bytes: self.bytes.load(Ordering::Relaxed),
        })
    }
}

impl Drop for Staging {
    fn drop(&mut self) {
        if !self.done {
            let _ = fs::remove_dir_all(&self.folder);
            // Only empty folders go, so nobody else's files can.
            self.new_parents.iter().take_while(|folder| fs::remove_dir(folder).is_ok()).for_each(drop);
        }
    }
}

/// The target with its links followed, so that a link to a site is kept and the site behind it replaced.
fn settled(target: &Path) -> io::Result<PathBuf> {
    match fs::canonicalize(target) {
        Ok(path) => Ok(path),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            let whole = std::path::absolute(target)?;
            match (whole.parent(), whole.file_name()) {
                (Some(parent), Some(name)) => Ok(settled(parent)?.join(name)),
                // `a/../b` cannot be settled while `a` is missing, and is more likely a slip than a wish.
                _ => Err(io::Error::new(
                    io::ErrorKind::InvalidInput,
                    "there is no folder in front of the `..` in its name",
                )),
            }
        }
        Err(error) => Err(error),
    }
}

fn check_target(target: &Path) -> Result<(), Box<Problem>> {
    let shown = target.display().to_string();
    let about = match fs::symlink_metadata(target) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(refused(target, "looking at the folder", &error)),
        Ok(about) => about,
    };
    if !about.is_dir() {
        let problem =
            Problem::error("target-not-a-folder", "a folder for the site is expected here, and this is a file", shown);
        return Err(problem.help("name another folder with `--to`").into());
    }
    let mut entries = fs::read_dir(target).map_err(|error| refused(target, "looking into the folder", &error))?;
    if entries.next().is_none() || target.join(MARKER).is_file() {
        return Ok(());
    }
    let title = format!("this folder holds files and no `{MARKER}`, so it is not a site of ours and is left alone");
    Err(Problem::error("target-not-ours", title, shown).help("name a new or an empty folder with `--to`").into())
}

/// A new folder beside the target, with a name that no other run uses.
fn fresh_sibling(target: &Path, what: &str) -> io::Result<PathBuf> {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let name = target.file_name().unwrap_or_default().to_string_lossy().into_owned();
    for _ in 0..1000 {
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let folder = target.with_file_name(format!(".{name}.{what}-{}-{count}", std::process::id()));
        match fs::create_dir(&folder) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
            Ok(()) => return Ok(folder),
        }
    }
    Err(io::Error::new(io::ErrorKind::AlreadyExists, "too many unfinished sites beside it"))
}

fn refused(path: &Path, doing: &str, error: &io::Error) -> Box<Problem> {
    Problem::error("target-unwritable", format!("{doing}: {error}"), path.display().to_string())
        .help("check that the folder can be written, or name another one with `--to`")
        .into()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(name: &str) -> PathBuf {
        let path = std::env::temp_dir().join(format!("tankside-write-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).expect("the temporary folder can be written");
        path
    }

    fn publish(target: &Path, files: &[(&str, &str)]) -> Result<Written, Box<Problem>> {
        let staging = Staging::begin(target)?;
        for (name, text) in files {
            staging.write(name, text.as_bytes())?;
        }
        staging.finish()
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<_> = fs::read_dir(folder)
            .expect("it exists")
            .map(|entry| entry.expect("readable").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_site_replaces_the_earlier_one_as_a_whole() {
        let room = room("whole");
        let target = room.join("deep/site");
        let written = publish(&target, &[("index.html", "1"), ("lessons/a.html", "a")]).expect("a new folder");
        assert_eq!(
            (written.files, fs::read_to_string(target.join("lessons/a.html")).expect("written")),
            (3, "a".into())
        );
        publish(&target, &[("index.html", "2")]).expect("our own folder");
        assert_eq!(names(&target), ["index.html", MARKER]);
        assert_eq!(names(&room.join("deep")), ["site"]);
        fs::remove_dir_all(room).expect("it was just made");
    }

    #[test]
    fn a_folder_of_somebody_elses_is_left_alone() {
        let room = room("foreign");
        fs::write(room.join("letter.txt"), "dear").expect("as above");
        assert_eq!(publish(&room, &[]).expect_err("not ours").code, "target-not-ours");
        assert_eq!(publish(&room.join("letter.txt"), &[]).expect_err("a file").code, "target-not-a-folder");
        assert_eq!(publish(&room.join("letter.txt/site"), &[]).expect_err("below a file").code, "target-unwritable");
        assert_eq!(names(&room), ["letter.txt"]);
        fs::create_dir(room.join("empty")).expect("as above");
        publish(&room.join("empty"), &[("index.html", "x")]).expect("an empty folder is free");
        fs::remove_dir_all(room).expect("it was just made");
    }

    #[test]
    fn a_site_that_is_not_finished_changes_nothing() {
        let room = room("unfinished");
        let target = room.join("site");
        publish(&target, &[("index.html", "1")]).expect("a new folder");
        let staging = Staging::begin(&target).expect("our own folder");
        staging.write("index.html", b"2").expect("a good name");
        assert!(staging.write("index.html", b"3").is_err(), "one file cannot be written twice");
        assert!(staging.write("../out.html", b"3").is_err(), "nothing is written outside");
        drop(staging);
        assert_eq!(fs::read_to_string(target.join("index.html")).expect("still there"), "1");
        assert_eq!(names(&room), ["site"]);
        fs::remove_dir_all(room).expect("it was just made");
    }
}
