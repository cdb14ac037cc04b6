//! A site in the making: pages go in one by one, from any number of threads, and all of it takes its place at the end.

mod finish;

use super::ahead::Ahead;
use super::error::{failed, is_stop};
use super::growing::Growing;
use super::manifest::{Digest256, MARKER, digest};
use super::mend;
use super::order::{Order, Whose};
use super::room::{self, Room, Way};
use super::stop::Making;
use super::survey::{apart, resolved_target, survey};
use crate::problem::Problem;
use std::collections::{BTreeMap, HashSet};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Component, Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// What was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// The folder of the site.
    pub folder: PathBuf,
    /// How many files, the manifest among them.
    pub files: u64,
    /// How many bytes.
    pub bytes: u64,
    /// Files in the folder that are not ours and were kept, by their path in the site; a folder ends in `/` and stands
    /// for all that is in it. Each with the number of files in it.
    pub foreign: Vec<(String, usize)>,
    /// Whose site was there before, where it was not this course's by its id, its title and where it comes from.
    pub replaced: Option<Whose>,
    /// Where files lie that had to be left in the working folder.
    pub left: Option<PathBuf>,
}

/// A page that could not be written; [`Staging::finish`] says why.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Broken;

/// A file of a site as it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenFile {
    /// Its path in the site.
    pub path: String,
    /// The SHA-256 of its bytes.
    pub digest: Digest256,
    /// How many bytes.
    pub size: u64,
}

/// A site that is being written. Dropped before [`Staging::finish`], it removes what it wrote.
#[derive(Debug)]
pub struct Staging {
    order: Order,
    whose: Whose,
    target: PathBuf,
    folder: PathBuf,
    /// Taken when the site is finished or given up.
    room: Option<Room>,
    /// Folders above the target that were made for it, the nearest first.
    new_parents: Vec<PathBuf>,
    /// Folders made so far, each known by its path within the site.
    made: Mutex<HashSet<String>>,
    files: Mutex<Vec<WrittenFile>>,
    /// Files that come in pieces and have more to come, by their names.
    open: Mutex<BTreeMap<String, Growing>>,
    bytes: AtomicU64,
    ahead: Ahead,
    broken: AtomicBool,
    fault: Mutex<Option<Box<Problem>>>,
    making: Making,
}

/// A poisoned lock only means that another thread stopped; what it guards is whole.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Checks whether a site can go where it is supposed to, whoever it belongs to; changes nothing.
pub fn look(order: &Order) -> Result<(), Box<Problem>> {
    let target = resolved_target(&order.to)?;
    if let Some(course) = &order.course {
        apart(course, &target)?;
    }
    survey(&target).map(drop)
}

impl Staging {
    /// Starts a site. A target is refused if it contains anything but an earlier site of the same course, if it
    /// contains the course or is inside it, or if somebody is publishing into it.
    pub fn begin(order: &Order, whose: Whose) -> Result<Self, Box<Problem>> {
        let target = resolved_target(&order.to)?;
        if let Some(course) = &order.course {
            apart(course, &target)?;
        }
        survey(&target)?.allows(&target, order, &whose)?;
        let making = Making::begin();
        let parent = target.parent().unwrap_or(Path::new("/")).to_path_buf();
        let new_parents: Vec<PathBuf> =
            parent.ancestors().take_while(|folder| !folder.exists()).map(Path::to_path_buf).collect();
        let made = if parent.is_dir() { Ok(()) } else { fs::create_dir_all(&parent) };
        let taken =
            made.map_err(|error| failed(&parent, "making the folder", &error)).and_then(|()| room::take(&target));
        let room = match taken {
            Ok(room) => room,
            Err(problem) => {
                unmake(&new_parents);
                return Err(problem);
            }
        };
        let folder = room.new_site();
        let site = Self {
            order: order.clone(),
            whose,
            target,
            folder,
            room: Some(room),
            new_parents,
            made: Mutex::new(HashSet::new()),
            files: Mutex::new(Vec::new()),
            open: Mutex::new(BTreeMap::new()),
            bytes: AtomicU64::new(0),
            ahead: Ahead::default(),
            broken: AtomicBool::new(false),
            fault: Mutex::new(None),
            making,
        };
        if let Some(room) = &site.room {
            // A run may have ended between the repair at the start and now.
            mend::tidy(room, &site.target)?;
        }
        fs::create_dir(&site.folder).map_err(|error| failed(&site.folder, "making a folder here", &error))?;
        Ok(site)
    }

    /// Writes one file; many threads may do so at once.
    ///
    /// # Errors
    /// The site is broken, by this page or by another: no further one is taken.
    pub fn write(&self, name: &str, bytes: &[u8]) -> Result<(), Broken> {
        self.guarded(|| self.put(name, bytes))
    }

    /// Whether a page could not be written, or the run was stopped.
    pub fn is_broken(&self) -> bool {
        self.broken.load(Ordering::Relaxed) || self.making.is_stopped()
    }

    /// Every file written so far, by path.
    pub fn written(&self) -> Vec<WrittenFile> {
        let mut files = locked(&self.files);
        files.sort_unstable_by(|one, other| one.path.cmp(&other.path));
        files.clone()
    }

    /// Writes the next bytes of a file that comes in pieces; its first piece makes it, and each waits for the one before.
    ///
    /// # Errors
    /// As for a whole file.
    pub fn append(&self, name: &str, bytes: &[u8], last: bool) -> Result<(), Broken> {
        self.guarded(|| {
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
        })
    }

    fn guarded(&self, work: impl FnOnce() -> Result<(), Box<Problem>>) -> Result<(), Broken> {
        if self.is_broken() {
            return Err(Broken);
        }
        work().map_err(|problem| {
            self.broken.store(true, Ordering::Relaxed);
            // The first is the cause; a full disk would cause as many more as there are pages.
            locked(&self.fault).get_or_insert(problem);
            Broken
        })
    }

    fn put(&self, name: &str, bytes: &[u8]) -> Result<(), Box<Problem>> {
        self.create(name)?.write_all(bytes).map_err(|error| self.unwritten(name, &error))?;
        self.wrote(bytes.len());
        self.note(name, bytes.len() as u64, digest(bytes));
        Ok(())
    }

    fn unwritten(&self, name: &str, error: &io::Error) -> Box<Problem> {
        failed(&self.target.join(name), "writing the file", error)
    }

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

    fn wrote(&self, bytes: usize) {
        self.bytes.fetch_add(bytes as u64, Ordering::Relaxed);
        self.ahead.wrote(&self.folder, bytes as u64);
    }

    fn note(&self, name: &str, size: u64, digest: Digest256) {
        locked(&self.files).push(WrittenFile { path: name.to_owned(), digest, size });
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

    /// Removes what was made, unless the earlier site is there.
    fn give_up(&mut self, room: Room) {
        self.ahead.end();
        let target_is_there = fs::symlink_metadata(&self.target).is_ok();
        let old_is_there = fs::read_dir(room.old_site()).is_ok_and(|mut entries| entries.next().is_some());
        if old_is_there && (room.way == Way::Inside || !target_is_there) {
            // The next run repairs it.
            return;
        }
        let _ = fs::remove_dir_all(room.new_site());
        room.leave();
        unmake(&self.new_parents);
    }
}

/// Removes folders that were made on the way to the target; only empty ones go, so nobody else's files can.
fn unmake(folders: &[PathBuf]) {
    folders.iter().take_while(|folder| fs::remove_dir(folder).is_ok()).for_each(drop);
}

impl Drop for Staging {
    fn drop(&mut self) {
        if let Some(room) = self.room.take() {
            self.give_up(room);
        }
    }
}

/// Whether a problem only says that the run was stopped.
pub fn is_stopped(problem: &Problem) -> bool {
    is_stop(problem)
}
