//! A long course's files go onto the disk while later ones are still being made: what is left to wait for at the end is
//! the last of them.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicIsize, AtomicU64, Ordering};
use std::sync::mpsc::{SyncSender, TrySendError, sync_channel};
use std::sync::{Mutex, PoisonError};
use std::thread::{self, JoinHandle};

/// After how many bytes the disk is asked while there are few: a thousand lessons have three times as many, and little of
/// them should be left to wait for; asked more often, it keeps those waiting who make files. Smaller courses are on the
/// disk in one go.
const FIRST: u64 = 6 * 1024 * 1024;
/// After how many more it is asked again, once there are so many.
const STEP: u64 = 32 * 1024 * 1024;

/// The disk is asked once more when one file in so many is still to come, and works while these are made.
const LAST: usize = 16;

/// How often the disk has been asked when so many bytes are written.
fn asked(bytes: u64) -> u64 {
    bytes.min(STEP) / FIRST + (bytes / STEP).saturating_sub(1)
}

/// Writes ahead to the disk from a thread of its own, which begins with the first step.
#[derive(Debug, Default)]
pub(super) struct Ahead {
    bytes: AtomicU64,
    /// How many files are made before the disk is asked once more; below one where nothing is expected.
    until_last: AtomicIsize,
    worker: Mutex<Option<Worker>>,
}

#[derive(Debug)]
struct Worker {
    steps: SyncSender<()>,
    thread: JoinHandle<()>,
}

impl Ahead {
    /// So many bytes more were written to files of `folder`.
    pub(super) fn wrote(&self, folder: &Path, bytes: u64) {
        let before = self.bytes.fetch_add(bytes, Ordering::Relaxed);
        if asked(before) == asked(before + bytes) || cfg!(not(target_os = "linux")) {
            return;
        }
        let mut worker = self.worker.lock().unwrap_or_else(PoisonError::into_inner);
        if worker.is_none() {
            *worker = Worker::begin(folder.to_path_buf());
        }
        step(&mut worker);
    }

    /// So many files are to come.
    pub(super) fn expect(&self, files: usize) {
        self.until_last.store(isize::try_from(files - files / LAST).unwrap_or(isize::MAX), Ordering::Relaxed);
    }

    /// One file was made.
    pub(super) fn made_one(&self) {
        if self.until_last.fetch_sub(1, Ordering::Relaxed) == 1 {
            self.go_on();
        }
    }

    /// Where the disk was asked before, it is asked for what was written since.
    pub(super) fn go_on(&self) {
        step(&mut self.worker.lock().unwrap_or_else(PoisonError::into_inner));
    }

    /// Waits until it is at rest; it takes no more steps.
    pub(super) fn end(&self) {
        let worker = self.worker.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let Some(Worker { steps, thread }) = worker {
            drop(steps);
            // What it could not do is done, or reported, when all of the site is put onto the disk.
            let _ = thread.join();
        }
    }
}

fn step(worker: &mut Option<Worker>) {
    // Where it is still busy with the step before, it will find these files with the next one.
    if let Some(Err(TrySendError::Disconnected(()))) = worker.as_ref().map(|worker| worker.steps.try_send(())) {
        *worker = None;
    }
}

impl Drop for Ahead {
    fn drop(&mut self) {
        self.end();
    }
}

impl Worker {
    /// Nothing where the system has no thread for it: all of it is then done at the end.
    fn begin(folder: PathBuf) -> Option<Worker> {
        let (steps, waiting) = sync_channel(1);
        let work = move || waiting.iter().take_while(|()| sync(&folder).is_ok()).for_each(drop);
        let thread = thread::Builder::new().name("disk".to_owned()).spawn(work).ok()?;
        Some(Worker { steps, thread })
    }
}

#[cfg(target_os = "linux")]
pub(super) fn sync(folder: &Path) -> io::Result<()> {
    // One call for thousands of files, where a call for each would wait for the disk as often.
    Ok(rustix::fs::syncfs(File::open(folder)?)?)
}

#[cfg(not(target_os = "linux"))]
pub(super) fn sync(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_disk_is_asked_more_often_at_first() {
        let megabytes = |asked_at: &[u64]| asked_at.iter().map(|at| at * 1024 * 1024).collect::<Vec<_>>();
        let all = (1..=160).map(|at| at * 1024 * 1024).filter(|at| asked(at - 1) < asked(*at)).collect::<Vec<_>>();
        assert_eq!(all, megabytes(&[6, 12, 18, 24, 30, 64, 96, 128, 160]));
        assert_eq!((asked(0), asked(all[4]), asked(all[8])), (0, 5, 9));
    }

    #[test]
    fn the_disk_is_asked_when_one_file_in_so_many_is_still_to_come() {
        let ahead = Ahead::default();
        ahead.expect(5 * LAST);
        let left = || ahead.until_last.load(Ordering::Relaxed);
        (0..5 * LAST - 6).for_each(|_| ahead.made_one());
        assert_eq!(left(), 1, "five come after the next one");
        ahead.made_one();
        assert_eq!(left(), 0);
        // More files than were expected change nothing.
        (0..10).for_each(|_| ahead.made_one());
        assert!(left() < 0 && ahead.worker.lock().expect("no thread panicked").is_none(), "a small site needs none");
    }

    #[test]
    fn a_step_begins_the_work_and_a_folder_that_is_gone_ends_it_quietly() {
        let ahead = Ahead::default();
        ahead.wrote(&std::env::temp_dir(), FIRST - 1);
        ahead.go_on();
        assert!(ahead.worker.lock().expect("no thread panicked").is_none(), "a small site needs none");
        ahead.wrote(&std::env::temp_dir(), 2);
        ahead.go_on();
        assert_eq!(ahead.worker.lock().expect("as above").is_some(), cfg!(target_os = "linux"));
        ahead.end();
        assert!(ahead.worker.lock().expect("as above").is_none());
        let gone = std::env::temp_dir().join("tankside-no-such-folder");
        for _ in 0..4 {
            ahead.wrote(&gone, STEP);
        }
        ahead.end();
    }
}
