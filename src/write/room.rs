//! The folder in which a site is made, one for each target: whoever holds its lock is publishing there.
//!
//! It is next to the target, under its name with a dot before and `.tankside` after, so that the finished site can take
//! the target's place in one rename. A target that cannot be renamed (a mounted disk, a folder in one that may not be
//! written) has it inside.

use super::error::failed;
use crate::hex::hex;
use crate::problem::{Problem, code};
use std::ffi::OsString;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// The name of the working folder inside a target.
pub(super) const INSIDE: &str = ".tankside-work";
/// What its lock file says, which identifies it as ours.
const LOCK_TEXT: &str =
    "tankside makes a site here. When no tankside is running, the next one mends or removes this.\n";
/// What else a working folder may contain.
const NAMES: [&str; 4] = ["lock", "new", "old", "state"];

/// Where the site is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// Next to the target: the folders change places.
    Beside,
    /// Inside the target: their entries change places, one after the other.
    Inside,
}

/// A working folder whose lock is ours.
#[derive(Debug)]
pub(super) struct Room {
    pub(super) folder: PathBuf,
    pub(super) way: Way,
    /// The system frees it when this process ends, however it ends.
    _lock: File,
}

/// Why the working folder cannot be used.
#[derive(Debug)]
pub(super) enum NoRoom {
    /// Another process publishes there.
    Busy,
    /// A folder of that name that is not ours.
    Foreign(PathBuf),
    System(io::Error),
}

impl Room {
    pub(super) fn new_site(&self) -> PathBuf {
        self.folder.join("new")
    }

    pub(super) fn old_site(&self) -> PathBuf {
        self.folder.join("old")
    }

    pub(super) fn state(&self) -> PathBuf {
        self.folder.join("state")
    }

    /// Takes the working folder at `folder`, making it if need be.
    pub(super) fn take(folder: &Path, way: Way) -> Result<Room, NoRoom> {
        for _ in 0..100 {
            match fs::create_dir(folder) {
                Ok(()) => {}
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
                    if !fs::symlink_metadata(folder).is_ok_and(|about| about.is_dir()) {
                        return Err(NoRoom::Foreign(folder.to_path_buf()));
                    }
                }
                Err(error) => return Err(NoRoom::System(error)),
            }
            let path = folder.join("lock");
            if !is_ours(folder) {
                return Err(NoRoom::Foreign(folder.to_path_buf()));
            }
            let mut lock = match OpenOptions::new().read(true).write(true).create(true).truncate(false).open(&path) {
                Ok(lock) => lock,
                // Another process has just finished and removed the folder.
                Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
                Err(error) => return Err(NoRoom::System(error)),
            };
            match lock.try_lock() {
                Err(TryLockError::WouldBlock) => return Err(NoRoom::Busy),
                // A file system without locks: then it is up to the user not to publish twice at once.
                Ok(()) | Err(TryLockError::Error(_)) => {}
            }
            if !same_file(&lock, &path) {
                continue;
            }
            let fresh = lock.metadata().is_ok_and(|about| about.len() == 0);
            let said = if fresh { lock.write_all(LOCK_TEXT.as_bytes()) } else { Ok(()) };
            let room = Room { folder: folder.to_path_buf(), way, _lock: lock };
            return match said {
                Ok(()) => Ok(room),
                Err(error) => {
                    room.leave();
                    Err(NoRoom::System(error))
                }
            };
        }
        Err(NoRoom::Busy)
    }

    /// Removes the room; whatever is still in `new` and `old` keeps it.
    pub(super) fn leave(self) {
        let _ = fs::remove_file(self.state());
        let _ = fs::remove_dir(self.new_site());
        let _ = fs::remove_dir(self.old_site());
        if !self.new_site().exists() && !self.old_site().exists() {
            // The lock goes last and while it is held, so that whoever waits for it finds that it is gone.
            let _ = fs::remove_file(self.folder.join("lock"));
            let _ = fs::remove_dir(&self.folder);
        }
    }
}

/// Whether a folder is a working folder, or a new one.
fn is_ours(folder: &Path) -> bool {
    let Ok(entries) = fs::read_dir(folder) else { return true };
    let names: Vec<OsString> = entries.filter_map(Result::ok).map(|entry| entry.file_name()).collect();
    let known = |name: &OsString| NAMES.iter().any(|known| name == known);
    let lock = fs::read(folder.join("lock")).unwrap_or_default();
    // Between making the lock and writing into it there is nothing else.
    let fresh = lock.is_empty() && names.iter().all(|name| name == "lock");
    fresh || (lock == LOCK_TEXT.as_bytes() && names.iter().all(known))
}

#[cfg(unix)]
fn same_file(open: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let (Ok(open), Ok(there)) = (open.metadata(), fs::symlink_metadata(path)) else { return false };
    (open.dev(), open.ino()) == (there.dev(), there.ino())
}

#[cfg(not(unix))]
fn same_file(_open: &File, path: &Path) -> bool {
    path.exists()
}

/// The working folder next to a target.
pub(super) fn beside(target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default();
    let mut hidden = OsString::from(".");
    if name.len() > 200 {
        // A name has at most 255 bytes on most systems.
        let digest = super::manifest::digest(name.as_encoded_bytes());
        hidden.push(hex(&digest[..12]));
    } else {
        hidden.push(name);
    }
    hidden.push(".tankside");
    target.with_file_name(hidden)
}

/// The working folder inside a target.
pub(super) fn inside(target: &Path) -> PathBuf {
    target.join(INSIDE)
}

/// Takes the working folder of a target: next to it if possible, otherwise inside.
pub(super) fn take(target: &Path) -> Result<Room, Box<Problem>> {
    let parent = target.parent().unwrap_or(target);
    let there = target.is_dir();
    if there && is_mounted(target) {
        return Room::take(&inside(target), Way::Inside).map_err(|error| no_room(target, target, &error));
    }
    match Room::take(&beside(target), Way::Beside) {
        Err(NoRoom::System(error)) if there && may_not_write(&error) => {
            Room::take(&inside(target), Way::Inside).map_err(|error| no_room(target, target, &error))
        }
        other => other.map_err(|error| no_room(target, parent, &error)),
    }
}

fn may_not_write(error: &io::Error) -> bool {
    matches!(error.kind(), io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem)
}

/// Why the working folder cannot be had, for the trainer.
pub(super) fn no_room(target: &Path, folder: &Path, error: &NoRoom) -> Box<Problem> {
    match error {
        NoRoom::Busy => {
            let title = "another tankside is publishing into this folder right now";
            let problem = Problem::new(code::TARGET_BUSY, title, target.display().to_string());
            problem.help("wait until it finishes, then publish again").into()
        }
        NoRoom::Foreign(path) => {
            let title = "the site is made in a folder of this name, and there already is one that is not ours";
            let problem = Problem::new(code::TARGET_UNWRITABLE, title, path.display().to_string());
            problem.help("rename that folder, or publish to another one with `--to`").into()
        }
        NoRoom::System(error) => failed(folder, "making a folder here", error),
    }
}

/// Whether something is mounted at the folder, which then cannot be renamed.
#[cfg(target_os = "linux")]
fn is_mounted(folder: &Path) -> bool {
    use rustix::fs::{AtFlags, CWD, StatxAttributes, StatxFlags, statx};
    let asked = statx(CWD, folder, AtFlags::empty(), StatxFlags::BASIC_STATS);
    match asked {
        Ok(about) if about.stx_attributes_mask.contains(StatxAttributes::MOUNT_ROOT) => {
            about.stx_attributes.contains(StatxAttributes::MOUNT_ROOT)
        }
        _ => other_device(folder),
    }
}

#[cfg(all(unix, not(target_os = "linux")))]
fn is_mounted(folder: &Path) -> bool {
    other_device(folder)
}

#[cfg(not(unix))]
fn is_mounted(folder: &Path) -> bool {
    folder.parent().is_none()
}

/// Whether a folder is on a different device than the one above it, or is the topmost.
#[cfg(unix)]
fn other_device(folder: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let device = |path: &Path| fs::metadata(path).map(|about| about.dev()).ok();
    folder.parent().is_none_or(|parent| device(parent) != device(folder))
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;

    #[test]
    fn what_is_mounted_has_its_working_folder_inside() {
        // Every Linux machine has its processes mounted here; a folder just made is no mount.
        assert!(is_mounted(Path::new("/proc")) && is_mounted(Path::new("/")));
        let target = std::env::temp_dir().join(format!("tankside-mounted-{}", std::process::id()));
        fs::create_dir_all(&target).expect("a temporary folder can be made");
        let mounted = is_mounted(&target);
        let way = take(&target).map(|room| {
            let way = room.way;
            room.leave();
            way
        });
        fs::remove_dir(&target).expect("nothing is left in it");
        assert!(!mounted && matches!(way, Ok(Way::Beside)));
    }
}
