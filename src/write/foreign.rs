//! Files in a site's folder that are not ours: carried over into the new site, and never removed.

use super::error::{failed, named};
use super::manifest::{MARKER, Manifest, digest_of};
use super::survey::slashed;
use crate::problem::{Problem, code};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Gives every unknown file of `from` a hard link in `to`, so that both sites have it until one of them goes.
pub(super) fn carry(unknown: &[PathBuf], from: &Path, to: &Path) -> Result<(), Box<Problem>> {
    let mut in_the_way = Vec::new();
    for path in unknown {
        let place = to.join(path);
        if fs::symlink_metadata(&place).is_ok() || is_below_a_file(to, path) {
            in_the_way.push(path.display().to_string());
            continue;
        }
        let made = match place.parent() {
            Some(folder) => fs::create_dir_all(folder),
            None => Ok(()),
        };
        let carried = made.and_then(|()| second_name(&from.join(path), &place));
        carried.map_err(|error| failed(&from.join(path), "carrying this file over into the new site", &error))?;
    }
    if in_the_way.is_empty() {
        return Ok(());
    }
    let title = format!("files that are not ours are where pages of the new site go: {}", named(&in_the_way));
    let problem = Problem::new(code::TARGET_FILE_IN_THE_WAY, title, from.display().to_string());
    Err(problem.help("move them away, or rename the lesson or the picture, then publish again").into())
}

fn is_below_a_file(root: &Path, path: &Path) -> bool {
    let above = path.ancestors().skip(1).take_while(|above| *above != Path::new(""));
    above.into_iter().any(|above| fs::symlink_metadata(root.join(above)).is_ok_and(|about| !about.is_dir()))
}

fn second_name(from: &Path, to: &Path) -> io::Result<()> {
    let about = fs::symlink_metadata(from)?;
    if about.is_dir() {
        fs::create_dir(to)?;
        for entry in fs::read_dir(from)? {
            let entry = entry?;
            second_name(&entry.path(), &to.join(entry.file_name()))?;
        }
        return fs::set_permissions(to, about.permissions());
    }
    match fs::hard_link(from, to) {
        // Not every file system has hard links, and not every file may get one.
        Err(_) if about.is_file() => {
            fs::copy(from, to)?;
            let times = about.modified().map(|time| fs::FileTimes::new().set_modified(time));
            if let (Ok(times), Ok(file)) = (times, fs::File::options().write(true).open(to)) {
                let _ = file.set_times(times);
            }
            Ok(())
        }
        #[cfg(unix)]
        Err(_) if about.is_symlink() => std::os::unix::fs::symlink(fs::read_link(from)?, to),
        other => other,
    }
}

/// How many files a path includes.
pub(super) fn count(path: &Path) -> usize {
    let entries = walkdir::WalkDir::new(path).into_iter().filter_map(Result::ok);
    entries.filter(|entry| !entry.file_type().is_dir()).count()
}

/// Removes a site that has been replaced: the files its manifest lists, and those that `now` holds as well. Returns
/// what is left, by its path in the site.
pub(super) fn clear(site: &Path, now: &Path) -> Vec<PathBuf> {
    let manifest = Manifest::read(site).ok();
    let mut left = Vec::new();
    clear_folder(site, Path::new(""), manifest.as_ref(), now, &mut left);
    if left.is_empty() {
        // The list goes last, so that an interrupted removal can be resumed.
        if manifest.is_some() {
            let _ = fs::remove_file(site.join(MARKER));
        }
        let _ = fs::remove_dir(site);
    }
    left
}

fn clear_folder(site: &Path, folder: &Path, manifest: Option<&Manifest>, now: &Path, left: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(site.join(folder)) else {
        if fs::symlink_metadata(site.join(folder)).is_ok() {
            left.push(folder.to_path_buf());
        }
        return;
    };
    for entry in entries.filter_map(Result::ok) {
        let path = folder.join(entry.file_name());
        let whole = site.join(&path);
        if entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            clear_folder(site, &path, manifest, now, left);
            // An empty folder of somebody else's is in the new site as well.
            let _ = fs::remove_dir(&whole);
            continue;
        }
        if path == Path::new(MARKER) && manifest.is_some() {
            continue;
        }
        let listed = manifest.zip(slashed(&path)).is_some_and(|(manifest, name)| manifest.files.contains_key(&name));
        let removed = (listed || same(&whole, &now.join(&path))) && fs::remove_file(&whole).is_ok();
        if !removed {
            left.push(path);
        }
    }
}

/// Whether two paths are one file, or two with the same bytes.
fn same(one: &Path, other: &Path) -> bool {
    let (Ok(about), Ok(about_other)) = (fs::symlink_metadata(one), fs::symlink_metadata(other)) else { return false };
    if one_file(&about, &about_other) {
        return true;
    }
    if about.is_symlink() && about_other.is_symlink() {
        return fs::read_link(one).ok() == fs::read_link(other).ok();
    }
    let equal = || digest_of(one).ok().is_some_and(|digest| digest_of(other).ok() == Some(digest));
    about.is_file() && about_other.is_file() && about.len() == about_other.len() && equal()
}

#[cfg(unix)]
fn one_file(one: &fs::Metadata, other: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (one.dev(), one.ino()) == (other.dev(), other.ino())
}

#[cfg(not(unix))]
fn one_file(_one: &fs::Metadata, _other: &fs::Metadata) -> bool {
    false
}

/// Moves what is left of a replaced site into the new one where its place is free; returns what had to stay.
pub(super) fn bring_home(left: Vec<PathBuf>, from: &Path, to: &Path) -> Vec<PathBuf> {
    let moved = |path: &PathBuf| {
        let place = to.join(path);
        if fs::symlink_metadata(&place).is_ok() {
            return false;
        }
        let made = place.parent().is_none_or(|folder| fs::create_dir_all(folder).is_ok());
        made && fs::rename(from.join(path), place).is_ok()
    };
    left.into_iter().filter(|path| !moved(path)).collect()
}
