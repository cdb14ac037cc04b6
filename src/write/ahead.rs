//! A long course's files go onto the disk while later ones are still being made: what is left to wait for at the end is
//! the last of them.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{SyncSender, TrySendError, sync_channel};
use std::sync::{Mutex, PoisonError};
use std::thread::{self, JoinHandle};

/// After how many bytes the disk is asked again. Most courses have fewer, and are on the disk in one go.
const STEP: u64 = 32 * 1024 * 1024;

/// Writes ahead to the disk from a thread of its own, which begins with the first step.
#[derive(Debug, Default)]
pub(super) struct Ahead {
    bytes: AtomicU64,
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
        if before / STEP == (before + bytes) / STEP || cfg!(not(target_os = "linux")) {
            return;
        }
        let mut worker = self.worker.lock().unwrap_or_else(PoisonError::into_inner);
        if worker.is_none() {
            *worker = Worker::begin(folder.to_path_buf());
        }
        // Where it is still busy with the step before, it will find these files with the next one.
        if let Some(Err(TrySendError::Disconnected(()))) = worker.as_ref().map(|worker| worker.steps.try_send(())) {
            *worker = None;
        }
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
    fn a_step_begins_the_work_and_a_folder_that_is_gone_ends_it_quietly() {
        let ahead = Ahead::default();
        ahead.wrote(&std::env::temp_dir(), STEP - 1);
        assert!(ahead.worker.lock().expect("no thread panicked").is_none(), "a small site needs none");
        ahead.wrote(&std::env::temp_dir(), 2);
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
