//! Files as they are made in the folder of a new site, by whichever thread; the first that could not be made is the
//! reason why none is wanted any more.

use super::ahead::Ahead;
use super::error::failed;
use super::growing::Growing;
use super::manifest::{Digest256, MARKER};
use super::staged::WrittenFile;
use crate::problem::Problem;
use std::collections::{BTreeMap, HashSet};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Component, Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// A poisoned lock only means that another thread stopped; what it guards is whole.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Where the files go, and what became of them.
#[derive(Debug)]
pub(super) struct Out {
    /// The site's place, which messages name.
    target: PathBuf,
    /// Where it is made.
    folder: PathBuf,
    /// Folders made so far, each known by its path within the site.
    made: Mutex<HashSet<String>>,
    bytes: AtomicU64,
    files: Mutex<Vec<WrittenFile>>,
    /// Files that come in pieces and have more to come, by their names.
    open: Mutex<BTreeMap<String, Growing>>,
    pub(super) ahead: Ahead,
    broken: AtomicBool,
    fault: Mutex<Option<Box<Problem>>>,
}

impl Out {
    pub(super) fn new(target: PathBuf, folder: PathBuf) -> Self {
        Self {
            target,
            folder,
            made: Mutex::new(HashSet::new()),
            bytes: AtomicU64::new(0),
            files: Mutex::new(Vec::new()),
            open: Mutex::new(BTreeMap::new()),
            ahead: Ahead::default(),
            broken: AtomicBool::new(false),
            fault: Mutex::new(None),
        }
    }

    /// Whether a file could not be made.
    pub(super) fn is_broken(&self) -> bool {
        self.broken.load(Ordering::Relaxed)
    }

    /// Why the first file that could not be made could not be; once.
    pub(super) fn take_fault(&self) -> Option<Box<Problem>> {
        locked(&self.fault).take()
    }

    /// How many bytes were written.
    pub(super) fn bytes(&self) -> u64 {
        self.bytes.load(Ordering::Relaxed)
    }

    /// Does a piece of work, unless an earlier one failed; `None` if it or an earlier one did.
    pub(super) fn guarded<T>(&self, work: impl FnOnce() -> Result<T, Box<Problem>>) -> Option<T> {
        if self.is_broken() {
            return None;
        }
        let done = work().map_err(|problem| {
            self.broken.store(true, Ordering::Relaxed);
            // The first is the cause; a full disk would cause as many more as there are pages.
            locked(&self.fault).get_or_insert(problem);
        });
        done.ok()
    }

    /// Makes a file.
    pub(super) fn put(&self, name: &str, bytes: &[u8]) -> Result<(), Box<Problem>> {
        self.create(name)?.write_all(bytes).map_err(|error| self.unwritten(name, &error))?;
        self.wrote(bytes.len());
        self.ahead.made_one();
        Ok(())
    }

    /// Writes the next bytes of a file that comes in pieces; its first piece makes it, its last one puts it on the list.
    pub(super) fn append(&self, name: &str, bytes: &[u8], last: bool) -> Result<(), Box<Problem>> {
        let mut open = locked(&self.open);
        let mut growing = match open.remove(name) {
            Some(growing) => growing,
            None => Growing::begin(self.create(name)?),
        };
        growing.push(bytes).map_err(|error| self.unwritten(name, &error))?;
        self.wrote(bytes.len());
        match last {
            true => self.note(name, growing.size, growing.digest()),
            false => drop(open.insert(name.to_owned(), growing)),
        }
        Ok(())
    }

    /// Puts a file on the list.
    pub(super) fn note(&self, name: &str, size: u64, digest: Digest256) {
        locked(&self.files).push(WrittenFile { path: name.to_owned(), digest, size });
    }

    /// The list of files.
    pub(super) fn files(&self) -> MutexGuard<'_, Vec<WrittenFile>> {
        locked(&self.files)
    }

    /// Makes an empty file.
    fn create(&self, name: &str) -> Result<File, Box<Problem>> {
        let relative = Path::new(name);
        let inside = !name.is_empty() && relative.components().all(|part| matches!(part, Component::Normal(_)));
        if !inside || name == MARKER {
            let why = "this is not a name for a page of a site";
            return Err(self.unwritten(name, &io::Error::new(io::ErrorKind::InvalidInput, why)));
        }
        if let Some((folder, _)) = name.rsplit_once('/') {
            self.make(folder)?;
        }
        // Two files of one name would make the site depend on the order of the threads.
        File::create_new(self.folder.join(relative)).map_err(|error| self.unwritten(name, &error))
    }

    /// So many bytes more are in files.
    fn wrote(&self, bytes: usize) {
        self.bytes.fetch_add(bytes as u64, Ordering::Relaxed);
        self.ahead.wrote(&self.folder, bytes as u64);
    }

    fn unwritten(&self, name: &str, error: &io::Error) -> Box<Problem> {
        failed(&self.target.join(name), "writing the file", error)
    }

    fn make(&self, folder: &str) -> Result<(), Box<Problem>> {
        let mut made = locked(&self.made);
        if !made.contains(folder) {
            fs::create_dir_all(self.folder.join(folder))
                .map_err(|error| failed(&self.target.join(folder), "making the folder", &error))?;
            made.insert(folder.to_owned());
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::super::manifest::digest;
    use super::*;

    #[test]
    fn a_file_that_comes_in_pieces_has_them_in_their_order_and_is_on_the_list_once() {
        let folder = std::env::temp_dir().join(format!("tankside-pieces-{}", std::process::id()));
        let out = Out::new(folder.clone(), folder.clone());
        for number in 0..100 {
            out.put(&format!("pages/{number}.html"), b"x").expect("a file between two pieces");
            assert!(out.files().is_empty(), "it is not whole yet, and nobody has noted the others");
            out.append("pieces.js", &[number], number == 99).expect("the next piece");
        }
        let whole: Vec<u8> = (0..100).collect();
        assert_eq!(fs::read(folder.join("pieces.js")).expect("it was written"), whole);
        let listed = WrittenFile { path: "pieces.js".to_owned(), digest: digest(&whole), size: 100 };
        assert_eq!((&*out.files(), out.bytes()), (&vec![listed], 200));
        fs::remove_dir_all(&folder).expect("it is ours");
    }
}
