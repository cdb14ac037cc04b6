//! The finished site takes the place of the earlier one.
//!
//! Where the file system can, both folders change places at once. Where it cannot, the earlier one is renamed away and
//! the new one into its place; where the target itself cannot be renamed, its entries are, one by one. What is about to
//! happen is written down first, so that the next run can repair what an interruption left.

#[cfg(target_os = "linux")]
use super::ahead::sync;
use super::error::{failed, half_way, moved};
use super::foreign;
use super::manifest::{MARKER, Manifest, digest_of};
use super::room::{INSIDE, Room, Way};
use crate::hex::hex;
use crate::problem::Problem;
use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// How far a run had gotten; the first word of the file `state` in its room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum State {
    /// Both folders change places at once.
    Exchange,
    /// The earlier one moves to `old`, then the new one to the target.
    Rename,
    /// The entries move, each first out and then in.
    Entries,
}

const STATES: [(State, &str); 3] =
    [(State::Exchange, "exchange"), (State::Rename, "rename"), (State::Entries, "entries")];

impl State {
    fn write(self, room: &Room) -> io::Result<()> {
        let word = STATES.iter().find(|(state, _)| *state == self).map_or("", |(_, word)| word);
        let list = digest_of(&room.new_site().join(MARKER))?;
        let list = hex(&list);
        let mut file = File::create(room.state())?;
        file.write_all(format!("{word} {list}\n").as_bytes())?;
        file.sync_all()?;
        settle(&room.folder);
        Ok(())
    }

    /// What a run wrote down, and the digest of the manifest of its new site.
    pub(super) fn read(room: &Room) -> Option<(State, String)> {
        let text = fs::read_to_string(room.state()).ok()?;
        let (word, list) = text.trim_end().split_once(' ')?;
        let (state, _) = STATES.iter().find(|(_, known)| *known == word)?;
        Some((*state, list.to_owned()))
    }
}

/// Syncs the names in a folder to disk.
fn settle(folder: &Path) {
    #[cfg(unix)]
    {
        // A file system that cannot do this has no names to lose.
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
    #[cfg(not(unix))]
    let _ = folder;
}

/// Syncs everything below a folder to disk: a rename that survives a power failure must not leave empty files.
#[cfg(target_os = "linux")]
pub(super) fn onto_disk(folder: &Path, _names: &mut dyn Iterator<Item = &String>) -> io::Result<()> {
    sync(folder)
}

#[cfg(not(target_os = "linux"))]
pub(super) fn onto_disk(folder: &Path, names: &mut dyn Iterator<Item = &String>) -> io::Result<()> {
    let mut folders = BTreeSet::from([folder.to_path_buf()]);
    for name in names {
        let path = folder.join(name);
        File::open(&path)?.sync_all()?;
        folders.extend(path.parent().map(Path::to_path_buf));
    }
    folders.iter().for_each(|folder| settle(folder));
    Ok(())
}

/// Puts the new site into its place. Afterwards the earlier one, if there was one, is in the working folder; returns
/// where.
pub(super) fn swap(room: &Room, target: &Path) -> Result<Option<PathBuf>, Box<Problem>> {
    let write_error = |error: &io::Error| failed(target, "putting the new site in its place", error);
    if room.way == Way::Inside {
        State::Entries.write(room).map_err(|error| write_error(&error))?;
        entries(room, target).map_err(|error| {
            let begun = fs::read_dir(room.old_site()).is_ok_and(|mut moved| moved.next().is_some());
            if begun { half_way(target, &error) } else { write_error(&error) }
        })?;
        settle(target);
        return Ok(Some(room.old_site()));
    }
    let parent = target.parent().unwrap_or(target);
    let empty = fs::read_dir(target).is_ok_and(|mut entries| entries.next().is_none());
    if empty || !target.exists() {
        // An empty folder gives way to the renamed one.
        fs::rename(room.new_site(), target).map_err(|error| write_error(&error))?;
        settle(parent);
        return Ok(None);
    }
    if let Ok(about) = fs::metadata(target) {
        // The site's permissions stay as they were.
        let _ = fs::set_permissions(room.new_site(), about.permissions());
    }
    State::Exchange.write(room).map_err(|error| write_error(&error))?;
    let lies = match exchange(&room.new_site(), target) {
        Ok(()) => room.new_site(),
        Err(error) if cannot(&error) => {
            State::Rename.write(room).map_err(|error| write_error(&error))?;
            rename_twice(room, target)?;
            room.old_site()
        }
        Err(error) => return Err(write_error(&error)),
    };
    settle(parent);
    settle(&room.folder);
    Ok(Some(lies))
}

#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
fn exchange(new: &Path, target: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, new, CWD, target, RenameFlags::EXCHANGE)?)
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
fn exchange(_new: &Path, _target: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// Whether the system says that it cannot exchange two folders at all, not just these two.
fn cannot(error: &io::Error) -> bool {
    // Some sandboxes and network file systems answer "not permitted" to a call that they do not know.
    let known = [io::ErrorKind::Unsupported, io::ErrorKind::InvalidInput, io::ErrorKind::PermissionDenied];
    known.contains(&error.kind())
}

fn rename_twice(room: &Room, target: &Path) -> Result<(), Box<Problem>> {
    let write_error = |error: &io::Error| failed(target, "putting the new site in its place", error);
    fs::rename(target, room.old_site()).map_err(|error| write_error(&error))?;
    let Err(error) = fs::rename(room.new_site(), target) else { return Ok(()) };
    match fs::rename(room.old_site(), target) {
        Ok(()) => Err(write_error(&error)),
        Err(_) => Err(moved(target, &room.old_site(), &error)),
    }
}

/// Moves the entries of the new site in, and those of the earlier one out before each; goes on where a run was
/// interrupted.
pub(super) fn entries(room: &Room, target: &Path) -> io::Result<()> {
    let (new, old) = (room.new_site(), room.old_site());
    match fs::create_dir(&old) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => return Err(error),
        _ => {}
    }
    // The list of the earlier site is the last of it to move, so it is in one of the two places.
    let earlier = Manifest::read(&old).or_else(|_| Manifest::read(target)).ok();
    let mut gone: BTreeSet<String> = tops(earlier.iter().flat_map(|earlier| earlier.files.keys()));
    let mut names: Vec<_> = fs::read_dir(&new)?.filter_map(Result::ok).map(|entry| entry.file_name()).collect();
    names.sort_by_key(|name| name == MARKER);
    for name in names {
        let place = target.join(&name);
        if fs::symlink_metadata(&place).is_ok() {
            fs::rename(&place, old.join(&name))?;
        }
        fs::rename(new.join(&name), &place)?;
    }
    // What only the earlier site had; what the new one has is in its place by now.
    let now = Manifest::read(target).map(|now| tops(now.files.keys())).unwrap_or_default();
    gone.retain(|name| !now.contains(name));
    for name in gone {
        if fs::symlink_metadata(target.join(&name)).is_ok() {
            fs::rename(target.join(&name), old.join(&name))?;
        }
    }
    Ok(())
}

fn tops<'n>(names: impl Iterator<Item = &'n String>) -> BTreeSet<String> {
    names.filter_map(|name| name.split('/').next()).filter(|top| *top != INSIDE).map(str::to_owned).collect()
}

/// Removes the earlier site from the working folder; returns what in it is not ours and had to stay there.
pub(super) fn clear(lies: &Path, target: &Path) -> Vec<PathBuf> {
    let left = foreign::clear(lies, target);
    if left.is_empty() {
        return left;
    }
    // Somebody put files into the earlier site while the new one was being put in its place.
    let stay = foreign::bring_home(left, lies, target);
    if stay.is_empty() { foreign::clear(lies, target) } else { stay }
}
