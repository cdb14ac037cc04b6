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

/// What one run took; processor time and memory are known if the system reports them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Run {
    pub(crate) time: Duration,
    /// Of all threads together, the system's share included.
    pub(crate) processor: Option<Duration>,
    pub(crate) peak_bytes: Option<u64>,
}

impl Run {
    /// How many times as long it took as `other`.
    pub(super) fn time_against(self, other: Run) -> f64 {
        self.time.as_secs_f64() / other.time.as_secs_f64()
    }

    /// The faster of two runs, with the least processor time and the highest memory of either.
    pub(crate) fn or_better(self, other: Run) -> Run {
        Run {
            time: self.time.min(other.time),
            processor: self.processor.min(other.processor),
            peak_bytes: self.peak_bytes.max(other.peak_bytes),
        }
    }
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
    let mut fields = report.split(' ');
    let mut next = || fields.next()?.parse::<u64>().ok();
    let (time, processor, peak_bytes) = (next()?, next(), next());
    Some(Run { time: Duration::from_nanos(time), processor: processor.map(Duration::from_micros), peak_bytes })
}

/// The inner process: runs the program it is given and prints what that took.
pub(crate) fn inner(arguments: &[&str]) -> Result<(), Failure> {
    let Some((program, arguments)) = arguments.split_first() else {
        return Err(Failure::new("which program is to be measured?"));
    };
    let begun = Instant::now();
    run::check(Command::new(program).args(arguments).stdout(Stdio::null()))?;
    let time = begun.elapsed();
    match usage_of_children() {
        Some((microseconds, peak)) => println!("{REPORT}{} {microseconds} {peak}", time.as_nanos()),
        None => println!("{REPORT}{}", time.as_nanos()),
    }
    Ok(())
}

#[cfg(unix)]
fn usage_of_children() -> Option<(u64, u64)> {
    use nix::sys::resource::{UsageWho, getrusage};
    let usage = getrusage(UsageWho::RUSAGE_CHILDREN).ok()?;
    let microseconds = |time: nix::sys::time::TimeVal| time.tv_sec() as u64 * 1_000_000 + time.tv_usec() as u64;
    let processor = microseconds(usage.user_time()) + microseconds(usage.system_time());
    let peak = u64::try_from(usage.max_rss()).ok()?;
    // Apple's systems count bytes here, the others kibibytes.
    Some((processor, if cfg!(target_vendor = "apple") { peak } else { peak * 1024 }))
}

#[cfg(not(unix))]
fn usage_of_children() -> Option<(u64, u64)> {
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_report_is_read_with_what_the_system_knows_and_without() {
        let run = |time, processor: Option<u64>, peak_bytes| Run {
            time: Duration::from_nanos(time),
            processor: processor.map(Duration::from_micros),
            peak_bytes,
        };
        let (one, other) = (run(1_000, Some(7), Some(4096)), run(900, Some(8), Some(2048)));
        assert_eq!(read_report("1000 7 4096"), Some(one));
        assert_eq!(read_report("5"), Some(run(5, None, None)));
        assert_eq!(read_report("soon"), None);
        assert_eq!(one.or_better(other), run(900, Some(7), Some(4096)));
    }
}
