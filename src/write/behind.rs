//! Pages are queued for the disk: while the system makes one file, and has threads that make another wait, the next pages
//! are being made.

use super::out::Out;
use crate::problem::Problem;
use std::collections::VecDeque;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};

/// How many bytes may wait; whoever brings a page then writes it without the queue. Three and six times as much took as
/// long and more memory.
const MOST: usize = 2 * 1024 * 1024;

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

#[derive(Debug, Default)]
struct Waiting {
    jobs: VecDeque<Job>,
    bytes: usize,
    ended: bool,
}

/// What is to be written.
#[derive(Debug)]
pub(super) enum Job {
    /// A file, by its path in the site; it is on the list of files already.
    Whole(String, Vec<u8>),
    /// The next bytes of a file that comes in pieces, and whether they are its last.
    Piece(String, Vec<u8>, bool),
}

impl Job {
    fn len(&self) -> usize {
        match self {
            Job::Whole(_, bytes) | Job::Piece(_, bytes, _) => bytes.len(),
        }
    }

    pub(super) fn done(&self, out: &Out) -> Result<(), Box<Problem>> {
        match self {
            Job::Whole(name, bytes) => out.put(name, bytes),
            Job::Piece(name, bytes, last) => out.append(name, bytes, *last),
        }
    }
}

impl Queue {
    fn locked(&self) -> MutexGuard<'_, Waiting> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The next job, as soon as there is one; none when the queue has ended.
    fn next(&self) -> Option<Job> {
        let mut waiting = self.locked();
        loop {
            if let Some(job) = waiting.jobs.pop_front() {
                waiting.bytes -= job.len();
                return Some(job);
            }
            if waiting.ended {
                return None;
            }
            waiting = self.came.wait(waiting).unwrap_or_else(PoisonError::into_inner);
        }
    }

    /// The next whole file, if one waits: pieces keep their order with the thread that writes them.
    fn next_whole(&self) -> Option<Job> {
        let mut waiting = self.locked();
        let at = waiting.jobs.iter().position(|job| matches!(job, Job::Whole(..)))?;
        let job = waiting.jobs.remove(at)?;
        waiting.bytes -= job.len();
        Some(job)
    }
}

impl Behind {
    /// Nothing where the system has no thread for it.
    pub(super) fn begin(out: Arc<Out>) -> Option<Behind> {
        let queue = Arc::new(Queue::default());
        let (jobs, to) = (queue.clone(), out.clone());
        let work = move || {
            while let Some(job) = jobs.next() {
                // What goes wrong is noted where every thread looks before it brings another.
                let _ = to.guarded(|| job.done(&to));
            }
        };
        let thread = thread::Builder::new().name("files".to_owned()).spawn(work).ok()?;
        Some(Behind { queue, out, thread })
    }

    /// Takes a job into the queue. A whole file is given back if too much waits; pieces keep their order, and are never.
    pub(super) fn take(&self, job: Job) -> Result<(), Job> {
        let mut waiting = self.queue.locked();
        if matches!(job, Job::Whole(..)) && waiting.bytes + job.len() > MOST {
            return Err(job);
        }
        waiting.bytes += job.len();
        waiting.jobs.push_back(job);
        drop(waiting);
        self.queue.came.notify_one();
        Ok(())
    }

    /// Writes what is left of the queue, together with its thread.
    pub(super) fn end(self) {
        self.queue.locked().ended = true;
        self.queue.came.notify_one();
        while let Some(job) = self.queue.next_whole() {
            let _ = self.out.guarded(|| job.done(&self.out));
        }
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
    fn what_is_taken_is_written_in_its_order_and_what_is_too_much_is_given_back() {
        let folder = std::env::temp_dir().join(format!("tankside-behind-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("the system's folder for such things takes one");
        let out = Arc::new(Out::new(folder.clone(), folder.clone()));
        let behind = Behind::begin(out.clone()).expect("there is a thread for it");
        for number in 0..100 {
            let page = Job::Whole(format!("pages/{number}.html"), vec![b'x'; number]);
            behind.take(page).expect("so little always has room");
            let piece = Job::Piece("pieces.js".to_owned(), vec![number as u8], number == 99);
            behind.take(piece).expect("a piece is always taken");
        }
        let large = behind.take(Job::Whole("large.html".to_owned(), vec![0; MOST + 1]));
        assert_eq!(large.expect_err("it is more than may wait").len(), MOST + 1);
        behind.end();
        assert!(fs::read(folder.join("pieces.js")).expect("it was written").into_iter().eq(0..100));
        assert_eq!(out.files().iter().map(|file| (&*file.path, file.size)).collect::<Vec<_>>(), [("pieces.js", 100)]);
        let size = |number: usize| fs::metadata(folder.join(format!("pages/{number}.html"))).expect("written").len();
        assert!((0..100).all(|number| size(number) == number as u64));
        assert!(!out.is_broken() && out.bytes() == (0..100).sum::<u64>() + 100);

        // A file that cannot be made is the reason, and none is made after it.
        let behind = Behind::begin(out.clone()).expect("as above");
        behind.take(Job::Whole("pages/7.html".to_owned(), Vec::new())).expect("as above");
        behind.end();
        let behind = Behind::begin(out.clone()).expect("as above");
        behind.take(Job::Whole("pages/later.html".to_owned(), Vec::new())).expect("as above");
        behind.end();
        let problem = out.take_fault().expect("there is one of that name");
        assert!(problem.file.ends_with("7.html") && !folder.join("pages/later.html").exists(), "{problem:?}");
        fs::remove_dir_all(&folder).expect("it is ours");
    }
}
