//! A stage that runs beside the others: many chores keep one processor busy and leave the next idle.
//!
//! What it prints is collected and printed whole once it is through, so that no two stages are mixed up.

use crate::run::{self, Failure};
use std::fs::{self, File};
use std::path::Path;
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

/// A stage under way.
pub(crate) struct Beside<T> {
    name: &'static str,
    thread: JoinHandle<(T, Duration)>,
    printed: run::TempDir,
}

/// A stage that is through: what it came to, how long it took, and all it printed.
pub(crate) struct Through<T> {
    pub(crate) came_to: T,
    pub(crate) time: Duration,
    pub(crate) printed: String,
}

const FILE: &str = "printed.txt";

impl<T: Send + 'static> Beside<T> {
    /// Starts a stage in a thread of its own; `short` names the folder that holds what it prints.
    pub(crate) fn start(
        name: &'static str,
        short: &str,
        stage: impl FnOnce() -> T + Send + 'static,
    ) -> Result<Self, Failure> {
        let printed = run::TempDir::new(short)?;
        let place = printed.path().join(FILE);
        let file = File::create(&place).map_err(run::about(&place))?;
        let begun = Instant::now();
        let thread = thread::spawn(move || {
            run::print_into(file);
            let came_to = stage();
            (came_to, begun.elapsed())
        });
        Ok(Self { name, thread, printed })
    }

    pub(crate) fn name(&self) -> &'static str {
        self.name
    }

    pub(crate) fn is_through(&self) -> bool {
        self.thread.is_finished()
    }

    /// Waits for the end.
    pub(crate) fn end(self) -> Result<Through<T>, Failure> {
        let joined = self.thread.join();
        let printed = text_of(&self.printed.path().join(FILE))?;
        let (came_to, time) = joined.map_err(|_| Failure::new(format!("{}: a panic\n{printed}", self.name)))?;
        Ok(Through { came_to, time, printed })
    }
}

fn text_of(place: &Path) -> Result<String, Failure> {
    let bytes = fs::read(place).map_err(run::about(place))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

#[cfg(test)]
mod tests {
    use super::Beside;
    use crate::run;
    use std::process::Command;

    #[test]
    fn what_a_stage_and_its_programs_print_is_collected_in_order() {
        let stage = || {
            run::say("before");
            let done = run::check(Command::new("sh").args(["-c", "echo out; echo err >&2"]));
            run::say("after");
            done.is_ok()
        };
        let beside = Beside::start("a stage", "test-beside", stage).expect("a folder for what it prints");
        let through = beside.end().expect("it ends");
        assert!(through.came_to);
        assert_eq!(through.printed, "before\nout\nerr\nafter\n");
    }

    #[test]
    fn a_panic_is_a_failure_that_shows_what_was_printed() {
        let stage = || {
            run::say("about to fall over");
            assert!(std::env::var_os("no such variable").is_some(), "on purpose");
        };
        let beside = Beside::start("a stage", "test-panic", stage).expect("a folder for what it prints");
        let failure = beside.end().err().expect("a failure").to_string();
        assert!(failure.contains("a stage: a panic") && failure.contains("about to fall over"), "{failure}");
    }
}
