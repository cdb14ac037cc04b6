//! A site in the making: pages go in one by one, from any number of threads, and all of it takes its place at the end.

mod finish;

use super::behind::Behind;
use super::error::{failed, is_stop};
use super::manifest::{Digest256, digest};
use super::mend;
use super::order::{Order, Whose};
use super::out::Out;
use super::room::{self, Room, Way};
use super::stop::Making;
use super::survey::{apart, resolved_target, survey};
use crate::parallel::threads;
use crate::problem::Problem;
use std::borrow::Cow;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

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
    out: Arc<Out>,
    /// Begins with the first page, where there is more than one thread, and ends when all that was brought is written.
    behind: OnceLock<Option<Behind>>,
    making: Making,
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
            out: Arc::new(Out::new(target.clone(), folder.clone())),
            target,
            folder,
            room: Some(room),
            new_parents,
            behind: OnceLock::new(),
            making,
        };
        if let Some(room) = &site.room {
            // A run may have ended between the repair at the start and now.
            mend::tidy(room, &site.target)?;
        }
        fs::create_dir(&site.folder).map_err(|error| failed(&site.folder, "making a folder here", &error))?;
        Ok(site)
    }

    /// Says how many files are to come: the disk is asked once more shortly before the last.
    pub fn expect(&self, files: usize) {
        self.out.ahead.expect(files);
    }

    /// Writes one file; many threads may do so at once. Bytes that are given away may still be on their way to the disk
    /// when this returns.
    ///
    /// # Errors
    /// The site is broken, by this page or by another: no further one is taken.
    pub fn write<'b>(&self, name: &str, bytes: impl Into<Cow<'b, [u8]>>) -> Result<(), Broken> {
        let bytes = bytes.into();
        self.guarded(|| {
            self.out.note(name, bytes.len() as u64, digest(&bytes));
            match (bytes, self.behind()) {
                // What there is no room for is written at once.
                (Cow::Owned(bytes), Some(behind)) => {
                    behind.take(name.to_owned(), bytes).or_else(|(name, bytes)| self.out.put(&name, &bytes))
                }
                (bytes, _) => self.out.put(name, &bytes),
            }
        })
    }

    /// Whether a page could not be written, or the run was stopped.
    pub fn is_broken(&self) -> bool {
        self.out.is_broken() || self.making.is_stopped()
    }

    fn behind(&self) -> Option<&Behind> {
        let begin = || if threads() > 1 { Behind::begin(self.out.clone()) } else { None };
        self.behind.get_or_init(begin).as_ref()
    }

    /// Waits until every page is written.
    fn settle(&mut self) {
        if let Some(behind) = self.behind.take().flatten() {
            behind.end();
            self.out.ahead.go_on();
        }
    }

    /// Every file of the site so far, by path; some may still be on their way.
    pub fn written(&self) -> Vec<WrittenFile> {
        let mut files = self.out.files();
        files.sort_unstable_by(|one, other| one.path.cmp(&other.path));
        files.clone()
    }

    /// Writes the next bytes of a file that comes in pieces; its first piece makes it, and each waits for the one before.
    ///
    /// # Errors
    /// As for a whole file.
    pub fn append(&self, name: &str, bytes: &[u8], last: bool) -> Result<(), Broken> {
        self.guarded(|| self.out.append(name, bytes, last))
    }

    fn guarded(&self, work: impl FnOnce() -> Result<(), Box<Problem>>) -> Result<(), Broken> {
        if self.making.is_stopped() {
            return Err(Broken);
        }
        self.out.guarded(work).ok_or(Broken)
    }

    /// Removes what was made, unless the earlier site is there.
    fn give_up(&mut self, room: Room) {
        self.settle();
        self.out.ahead.end();
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
