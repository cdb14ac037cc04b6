//! Pages wait for the disk in a line of their own: while the system makes one file, and has threads that make another
//! wait, the next pages are being made.

use super::out::Out;
use std::collections::VecDeque;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};

/// How many bytes may wait; whoever brings a page then writes it without the line. As much as two threads make while
/// the disk takes what it was asked for ([`super::ahead`]).
const MOST: usize = 6 * 1024 * 1024;

/// Writes files from a thread of its own, in the order in which they came.
#[derive(Debug)]
pub(super) struct Behind {
    line: Arc<Line>,
    thread: JoinHandle<()>,
}

#[derive(Debug, Default)]
struct Line {
    waiting: Mutex<Waiting>,
    came: Condvar,
}

#[derive(Debug, Default)]
struct Waiting {
    files: VecDeque<(String, Vec<u8>)>,
    bytes: usize,
    ended: bool,
}

impl Line {
    fn locked(&self) -> MutexGuard<'_, Waiting> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The next file, as soon as there is one; none when the line has ended.
    fn next(&self) -> Option<(String, Vec<u8>)> {
        let mut waiting = self.locked();
        loop {
            if let Some((name, bytes)) = waiting.files.pop_front() {
                waiting.bytes -= bytes.len();
                return Some((name, bytes));
            }
            if waiting.ended {
                return None;
            }
            waiting = self.came.wait(waiting).unwrap_or_else(PoisonError::into_inner);
        }
    }
}

impl Behind {
    /// Nothing where the system has no thread for it.
    pub(super) fn begin(out: Arc<Out>) -> Option<Behind> {
        let line = Arc::new(Line::default());
        let files = line.clone();
        let work = move || {
            while let Some((name, bytes)) = files.next() {
                // What goes wrong is noted where every thread looks before it brings another.
                let _ = out.guarded(|| out.put(&name, &bytes));
            }
        };
        let thread = thread::Builder::new().name("files".to_owned()).spawn(work).ok()?;
        Some(Behind { line, thread })
    }

    /// Takes a file into the line, or gives its bytes back if too much waits.
    pub(super) fn take(&self, name: &str, bytes: Vec<u8>) -> Result<(), Vec<u8>> {
        let mut waiting = self.line.locked();
        if waiting.bytes + bytes.len() > MOST {
            return Err(bytes);
        }
        waiting.bytes += bytes.len();
        waiting.files.push_back((name.to_owned(), bytes));
        drop(waiting);
        self.line.came.notify_one();
        Ok(())
    }

    /// Waits until all files of the line are written.
    pub(super) fn end(self) {
        self.line.locked().ended = true;
        self.line.came.notify_one();
        if let Err(panic) = self.thread.join() {
            std::panic::resume_unwind(panic);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn what_is_taken_is_written_and_what_is_too_much_is_given_back() {
        let folder = std::env::temp_dir().join(format!("tankside-behind-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("the system's folder for such things takes one");
        let out = Arc::new(Out::new(folder.clone(), folder.clone()));
        let behind = Behind::begin(out.clone()).expect("there is a thread for it");
        for number in 0..100 {
            behind.take(&format!("pages/{number}.html"), vec![b'x'; number]).expect("so little always has room");
        }
        assert_eq!(behind.take("large.html", vec![0; MOST + 1]).expect_err("it is more than may wait").len(), MOST + 1);
        behind.end();
        let size = |number: usize| fs::metadata(folder.join(format!("pages/{number}.html"))).expect("written").len();
        assert!((0..100).all(|number| size(number) == number as u64));
        assert!(!out.is_broken() && out.bytes() == (0..100).sum::<u64>());

        // A file that cannot be made is the reason, and none is made after it.
        let behind = Behind::begin(out.clone()).expect("as above");
        for name in ["pages/7.html", "pages/later.html"] {
            behind.take(name, Vec::new()).expect("as above");
        }
        behind.end();
        let problem = out.take_fault().expect("there is one of that name");
        assert!(problem.file.ends_with("7.html") && !folder.join("pages/later.html").exists(), "{problem:?}");
        fs::remove_dir_all(&folder).expect("it is ours");
    }
}
