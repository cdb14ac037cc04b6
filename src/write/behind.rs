//! Pages are queued for the disk: while the system makes one file, and has threads that make another wait, the next pages
//! are being made.

use super::out::Out;
use std::collections::VecDeque;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};

/// How many bytes may wait; whoever brings a page then writes it without the queue. Four and twelve times as much took
/// as long and more memory.
const MOST: usize = 512 * 1024;

/// Writes files from a thread of its own in the order in which they came, the last of them together with whoever waits.
#[derive(Debug)]
pub(super) struct Behind {
    queue: Arc<Queue>,
    out: Arc<Out>,
    thread: JoinHandle<()>,
}

#[derive(Debug, Default)]
struct Queue {
    waiting: Mutex<Waiting>,
    came: Condvar,
}

/// Files by their paths in the site, each with its bytes; they are on the list of files already.
#[derive(Debug, Default)]
struct Waiting {
    files: VecDeque<(String, Vec<u8>)>,
    bytes: usize,
    ended: bool,
}

impl Queue {
    fn locked(&self) -> MutexGuard<'_, Waiting> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The next file, as soon as there is one; none when the queue has ended.
    fn next(&self) -> Option<(String, Vec<u8>)> {
        let mut waiting = self.locked();
        loop {
            if let Some(file) = waiting.files.pop_front() {
                waiting.bytes -= file.1.len();
                return Some(file);
            }
            if waiting.ended {
                return None;
            }
            waiting = self.came.wait(waiting).unwrap_or_else(PoisonError::into_inner);
        }
    }

    /// Writes what comes until the queue has ended.
    fn empty_into(&self, out: &Out) {
        while let Some((name, bytes)) = self.next() {
            // What goes wrong is noted where every thread looks before it brings another.
            let _ = out.guarded(|| out.put(&name, &bytes));
        }
    }
}

impl Behind {
    /// Nothing where the system has no thread for it.
    pub(super) fn begin(out: Arc<Out>) -> Option<Behind> {
        let queue = Arc::new(Queue::default());
        let (files, to) = (queue.clone(), out.clone());
        let thread = thread::Builder::new().name("files".to_owned()).spawn(move || files.empty_into(&to)).ok()?;
        Some(Behind { queue, out, thread })
    }

    /// Takes a file into the queue, or gives it back if too much waits.
    pub(super) fn take(&self, name: String, bytes: Vec<u8>) -> Result<(), (String, Vec<u8>)> {
        let mut waiting = self.queue.locked();
        if waiting.bytes + bytes.len() > MOST {
            return Err((name, bytes));
        }
        waiting.bytes += bytes.len();
        waiting.files.push_back((name, bytes));
        drop(waiting);
        self.queue.came.notify_one();
        Ok(())
    }

    /// Writes what is left of the queue, together with its thread.
    pub(super) fn end(self) {
        self.queue.locked().ended = true;
        self.queue.came.notify_one();
        self.queue.empty_into(&self.out);
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
            behind.take(format!("pages/{number}.html"), vec![b'x'; number]).expect("so little always has room");
        }
        let large = behind.take("large.html".to_owned(), vec![0; MOST + 1]);
        assert_eq!(large.expect_err("it is more than may wait").1.len(), MOST + 1);
        behind.end();
        let size = |number: usize| fs::metadata(folder.join(format!("pages/{number}.html"))).expect("written").len();
        assert!((0..100).all(|number| size(number) == number as u64));
        assert!(!out.is_broken() && out.bytes() == (0..100).sum::<u64>());

        // A file that cannot be made is the reason, and none is made after it.
        let behind = Behind::begin(out.clone()).expect("as above");
        behind.take("pages/7.html".to_owned(), Vec::new()).expect("as above");
        behind.end();
        let behind = Behind::begin(out.clone()).expect("as above");
        behind.take("pages/later.html".to_owned(), Vec::new()).expect("as above");
        behind.end();
        let problem = out.take_fault().expect("there is one of that name");
        assert!(problem.file.ends_with("7.html") && !folder.join("pages/later.html").exists(), "{problem:?}");
        fs::remove_dir_all(&folder).expect("it is ours");
    }
}
