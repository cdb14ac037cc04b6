//! The files to mark, in the order of their names.

use super::refusal::Refusal;
use super::store::{Place, Store};
use std::collections::{BTreeMap, HashSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Files that were found. A name takes its own letters only: there may be a hundred thousand.
#[derive(Debug, Default)]
pub struct RecordFiles {
    folders: Vec<PathBuf>,
    files: Vec<(u32, Place)>,
    names: Store,
    /// Files whose names are not Unicode.
    odd: BTreeMap<u32, PathBuf>,
    /// Paths that were named though another one leads to the same file or folder, or to the folder it is in.
    pub(super) twice: Vec<PathBuf>,
    /// Files in the folders that are neither records nor tables by their names, but for hidden ones: how many, and the
    /// first of them.
    pub others: (usize, Vec<PathBuf>),
}

/// The most files of other kinds that are named.
const OTHERS: usize = 5;

impl RecordFiles {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Whether it is empty.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// The path of a file, by its place in the order; empty beyond the last.
    pub fn path(&self, index: usize) -> PathBuf {
        let known = self.files.get(index).and_then(|(folder, name)| Some((self.folders.get(*folder as usize)?, name)));
        match self.odd.get(&(index as u32)) {
            Some(path) => path.clone(),
            None => known.map(|(folder, name)| folder.join(self.names.text(*name))).unwrap_or_default(),
        }
    }

    fn add(&mut self, path: &Path) {
        let (folder, name) = (path.parent().unwrap_or(Path::new("")), path.file_name().and_then(|name| name.to_str()));
        let Some(name) = name else {
            self.odd.insert(self.files.len() as u32, path.to_path_buf());
            return self.files.push(Default::default());
        };
        if self.folders.last().is_none_or(|last| last != folder) {
            self.folders.push(folder.to_path_buf());
        }
        let folder = self.folders.len().saturating_sub(1) as u32;
        let name = self.names.keep(name.as_bytes());
        self.files.push((folder, name));
    }
}

/// Finds the files under the paths named: records (`.json`) and answers from paper (`.csv`), in the order of their
/// names.
///
/// Folders are searched, but for `roster`, where the last roster is. What is not read though its name or its place asks
/// for it is reported with the reason: a link inside a folder (it may lead out of it, or round in a circle), a pipe or a
/// device (reading it might never end), a folder that cannot be opened.
pub fn files(paths: &[PathBuf], roster: &Path) -> (RecordFiles, Vec<(PathBuf, String)>) {
    let (mut found, mut faults) = (RecordFiles::default(), Vec::new());
    let roster = fs::canonicalize(roster).ok();
    let is_roster = |path: &Path| roster.is_some() && fs::canonicalize(path).ok() == roster;
    let mut named = Named::of(paths);
    for path in paths {
        if named.is_there_already(path) {
            found.twice.push(path.clone());
            continue;
        }
        if path.is_file() {
            found.add(path);
            continue;
        }
        let entries = walkdir::WalkDir::new(path).sort_by_file_name().into_iter();
        for entry in entries.filter_entry(|entry| !(entry.file_type().is_dir() && is_roster(entry.path()))) {
            match entry {
                Ok(entry) if entry.file_type().is_dir() => {}
                Ok(entry) if entry.file_type().is_file() && is_wanted(entry.path()) => found.add(entry.path()),
                Ok(entry) => match special(&entry) {
                    Some(why) => faults.push((entry.into_path(), Refusal::Unreadable(why.to_owned()).to_string())),
                    None if entry.file_name().as_encoded_bytes().starts_with(b".") => {}
                    None => {
                        found.others.0 += 1;
                        found.others.1.extend((found.others.1.len() < OTHERS).then(|| entry.into_path()));
                    }
                },
                Err(fault) => {
                    let place = fault.path().unwrap_or(path).to_path_buf();
                    let why = fault.io_error().map_or_else(|| fault.to_string(), ToString::to_string);
                    faults.push((place, Refusal::Unreadable(why).to_string()));
                }
            }
        }
    }
    (found, faults)
}

/// Why something in a folder is not read though its name, or for a link what it leads to, asks for it.
fn special(entry: &walkdir::DirEntry) -> Option<&'static str> {
    let path = entry.path();
    if entry.depth() == 0 {
        return Some("it is not a file: a pipe or a device");
    }
    if entry.file_type().is_symlink() {
        let leads = fs::metadata(path);
        let asked = is_wanted(path) || leads.as_ref().map_or(true, |to| to.is_dir());
        return asked.then_some(match leads {
            Ok(_) => {
                "it is a link, and links in a folder are not followed; put what it leads to in its place, or name it"
            }
            Err(_) => "it is a link that leads nowhere",
        });
    }
    (!entry.file_type().is_file() && is_wanted(path)).then_some("it is not a file: a pipe or a device")
}

/// The paths that were named, as the disk knows them.
struct Named {
    seen: HashSet<PathBuf>,
    folders: Vec<PathBuf>,
}

impl Named {
    fn of(paths: &[PathBuf]) -> Named {
        let folders = paths.iter().filter(|path| paths.len() > 1 && path.is_dir());
        Named { seen: HashSet::new(), folders: folders.filter_map(|path| fs::canonicalize(path).ok()).collect() }
    }

    /// Whether a path is read anyway.
    fn is_there_already(&mut self, path: &Path) -> bool {
        let Ok(real) = fs::canonicalize(path) else { return false };
        let within = self.folders.iter().any(|folder| real != *folder && real.starts_with(folder));
        let read = real.is_dir() || is_wanted(&real);
        within && read && !path.is_symlink() || !self.seen.insert(real)
    }
}

fn is_wanted(path: &Path) -> bool {
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    ending.eq_ignore_ascii_case("json") || is_paper(path)
}

/// Whether a file holds answers from paper.
pub(super) fn is_paper(path: &Path) -> bool {
    path.extension().and_then(|ending| ending.to_str()).is_some_and(|ending| ending.eq_ignore_ascii_case("csv"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_comes_back_as_it_was_found() {
        let mut found = RecordFiles::default();
        let paths = ["a.json", "crew/b.json", "crew/c.json", "/somewhere/ñ.csv", "crew/d.json", "./e.json"];
        paths.iter().for_each(|path| found.add(Path::new(path)));
        let back: Vec<PathBuf> = (0..found.len()).map(|index| found.path(index)).collect();
        assert_eq!(back, paths.iter().map(PathBuf::from).collect::<Vec<_>>());
        assert_eq!(found.folders.len(), 5, "a folder is named once for all the files in a row");
    }
}
