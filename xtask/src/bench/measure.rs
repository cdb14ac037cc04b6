//! Time and peak memory of one run of a program.
//!
//! The system reports the peak memory of all the children a process has waited for together.
//! So each run is started by a separate process, this program again, which has no other child.

use crate::run::{self, Failure};
use std::ffi::OsStr;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// The hidden chore by which this program starts itself.
pub(crate) const CHORE: &str = "measured";
const REPORT: &str = "measured: ";

/// What one run took; the memory is known if the system reports it.
#[derive(Clone, Copy)]
pub(crate) struct Run {
    pub(crate) time: Duration,
    pub(crate) peak_bytes: Option<u64>,
}

/// The fastest of several runs, and the highest memory among them.
pub(crate) fn best_of(runs: usize, mut one: impl FnMut(usize) -> Result<Run, Failure>) -> Result<Run, Failure> {
    let mut best: Option<Run> = None;
    for turn in 0..runs {
        let run = one(turn)?;
        best = Some(best.map_or(run, |best| Run {
            time: best.time.min(run.time),
            peak_bytes: best.peak_bytes.max(run.peak_bytes),
        }));
    }
    best.ok_or_else(|| Failure::new("nothing was measured"))
}

/// Runs a program once and measures it.
pub(crate) fn once<S: AsRef<OsStr>>(program: &std::path::Path, arguments: &[S]) -> Result<Run, Failure> {
    let this = std::env::current_exe().map_err(run::about(program))?;
    let mut command = Command::new(this);
    command.arg(CHORE).arg(program).args(arguments);
    let printed = run::output(&mut command)?;
    printed
        .lines()
        .find_map(|line| read_report(line.strip_prefix(REPORT)?))
        .ok_or_else(|| Failure::new(format!("{} gave no measurement", program.display())))
}

fn read_report(report: &str) -> Option<Run> {
    let (nanoseconds, peak) = report.split_once(' ')?;
    Some(Run { time: Duration::from_nanos(nanoseconds.parse().ok()?), peak_bytes: peak.parse().ok() })
}

/// The inner process: runs the program it is given and prints what that took.
pub(crate) fn inner(arguments: &[&str]) -> Result<(), Failure> {
    let Some((program, arguments)) = arguments.split_first() else {
        return Err(Failure::new("which program is to be measured?"));
    };
    let begun = Instant::now();
    run::check(Command::new(program).args(arguments).stdout(Stdio::null()))?;
    let time = begun.elapsed();
    let peak = peak_bytes_of_children();
    let peak = peak.map_or_else(|| "unknown".to_owned(), |bytes| bytes.to_string());
    println!("{REPORT}{} {peak}", time.as_nanos());
    Ok(())
}

#[cfg(unix)]
fn peak_bytes_of_children() -> Option<u64> {
    use nix::sys::resource::{UsageWho, getrusage};
    let usage = getrusage(UsageWho::RUSAGE_CHILDREN).ok()?;
    let peak = u64::try_from(usage.max_rss()).ok()?;
    // Apple's systems count bytes here, the others kibibytes.
    Some(if cfg!(target_vendor = "apple") { peak } else { peak * 1024 })
}

#[cfg(not(unix))]
fn peak_bytes_of_children() -> Option<u64> {
    None
}
