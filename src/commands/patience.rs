//! Long work at a terminal: one line shows the progress, and is gone when the work is done.
//!
//! Only where a person looks: nothing is written into a pipe or a file, and nothing to a terminal that cannot go back
//! to the start of a line.

use std::io::{IsTerminal, Write};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::{Duration, Instant};

use super::terminal::{dumb, width};
use crate::progress::Progress;

/// Work that is done sooner is not worth a line.
const FIRST: Duration = Duration::from_millis(800);
/// Between two lines.
const AGAIN: Duration = Duration::from_millis(200);

/// Both, or what `TANKSIDE_PROGRESS_MS` says, for tests: the milliseconds before the first line.
fn waits() -> (Duration, Duration) {
    let named = std::env::var("TANKSIDE_PROGRESS_MS").ok().and_then(|text| text.trim().parse().ok());
    named.map_or((FIRST, AGAIN), |first: u64| {
        let first = Duration::from_millis(first);
        (first, first.clamp(Duration::from_millis(1), AGAIN))
    })
}

/// What is being done, before and while it can be counted.
#[derive(Clone, Copy, Debug)]
pub(super) struct Doing {
    /// `Reading the course`.
    pub(super) first: &'static str,
    /// `Writing the site`, with what is counted: `files`.
    pub(super) then: (&'static str, &'static str),
}

/// Does the work, and shows the progress if somebody waits at a terminal.
pub(super) fn shown<R>(doing: Doing, progress: &Progress, work: impl FnOnce() -> R) -> R {
    let mut out = std::io::stderr();
    if !out.is_terminal() || dumb() {
        return work();
    }
    let (end, ended) = channel::<()>();
    thread::scope(|scope| {
        scope.spawn(move || watch(&mut out, doing, progress, waits(), &ended));
        let done = work();
        // The line is taken away before anything else is written: the scope waits for its thread.
        drop(end);
        done
    })
}

fn watch(out: &mut impl Write, doing: Doing, progress: &Progress, wait: (Duration, Duration), ended: &Receiver<()>) {
    let begun = Instant::now();
    let (mut wait, again) = wait;
    let mut wide = 0;
    while let Err(RecvTimeoutError::Timeout) = ended.recv_timeout(wait) {
        wait = again;
        let line: String = line(doing, progress, begun.elapsed()).chars().take(width().saturating_sub(1)).collect();
        let letters = line.chars().count();
        // Nothing is lost if it cannot be shown.
        let _ = write!(out, "\r{line}{}", " ".repeat(usize::saturating_sub(wide, letters))).and_then(|()| out.flush());
        wide = letters;
    }
    if wide > 0 {
        let _ = write!(out, "\r{}\r", " ".repeat(wide)).and_then(|()| out.flush());
    }
}

fn line(doing: Doing, progress: &Progress, since: Duration) -> String {
    match progress.counted() {
        Some((done, all)) => format!("{}: {done} of {all} {}", doing.then.0, doing.then.1),
        None => format!("{}, {} s so far", doing.first, since.as_secs()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc::Sender;

    const DOING: Doing = Doing { first: "Reading the course", then: ("Writing the site", "files") };

    /// Says what was written to it, each time.
    struct Sending(Sender<String>);

    impl Write for Sending {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            let _ = self.0.send(String::from_utf8_lossy(bytes).into_owned());
            Ok(bytes.len())
        }

        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_line_says_how_far_it_is_and_is_gone_in_the_end() {
        let progress = Progress::default();
        let ((say, said), (end, ended)) = (channel(), channel());
        let mut screen = String::new();
        thread::scope(|scope| {
            let progress = &progress;
            let short = (Duration::ZERO, Duration::from_millis(1));
            scope.spawn(move || watch(&mut Sending(say), DOING, progress, short, &ended));
            let until = |screen: &mut String, words: &str| {
                while !screen.contains(words) {
                    screen.push_str(&said.recv().expect("it is still watched"));
                }
            };
            until(&mut screen, "\rReading the course, 0 s so far");
            progress.expect(300);
            (0..200).for_each(|_| progress.step());
            until(&mut screen, "\rWriting the site: 200 of 300 files");
            drop(end);
            screen.extend(said.iter());
        });
        let last = screen.trim_end_matches('\r').rsplit('\r').next().unwrap_or_default();
        assert!(screen.ends_with('\r') && last.len() > 20 && last.chars().all(|c| c == ' '), "{last:?}");
        assert!(!screen.contains(['\n', '\u{1b}']), "{screen:?}");
    }

    #[test]
    fn work_that_is_done_at_once_writes_nothing() {
        let ((say, said), (end, ended)) = (channel(), channel::<()>());
        drop(end);
        watch(&mut Sending(say), DOING, &Progress::default(), (FIRST, AGAIN), &ended);
        assert_eq!(said.iter().count(), 0);
        // The tests have no terminal.
        assert_eq!(shown(DOING, &Progress::default(), || 7), 7);
    }
}
