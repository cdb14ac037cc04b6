//! The messages when a site cannot be written.

use crate::problem::{Problem, Rule, code};
use std::io;
use std::path::Path;

/// The code of the one problem after which the earlier site is not in its place.
const MOVED: &Rule = code::SITE_MOVED_AWAY;
/// The code of a run that was stopped by the person at the keyboard, or by the system.
const STOPPED: &Rule = code::STOPPED;

/// Something that could not be done at `path`.
pub(super) fn failed(path: &Path, doing: &str, error: &io::Error) -> Box<Problem> {
    let help = match error.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "there is no room left on this disk: free some, or name a folder on another disk with `--to`"
        }
        io::ErrorKind::ReadOnlyFilesystem => "this disk can only be read: name a folder on another one with `--to`",
        _ => "check that the folder can be written, or name another one with `--to`",
    };
    Problem::new(code::TARGET_UNWRITABLE, format!("{doing}: {error}"), path.display().to_string()).help(help).into()
}

/// How many files are listed by name before the rest are only counted.
const NAMED: usize = 10;

/// Names for a message, each on a line of its own, the first ten of them.
pub(super) fn named<S: AsRef<str>>(names: &[S]) -> String {
    let mut text: Vec<String> = names.iter().take(NAMED).map(|name| format!("`{}`", name.as_ref())).collect();
    if names.len() > NAMED {
        text.push(format!("{} more", names.len() - NAMED));
    }
    text.join(", ")
}

/// The earlier site could not be put back: where it lies.
pub(super) fn moved(target: &Path, lies: &Path, error: &io::Error) -> Box<Problem> {
    let title = format!(
        "the new site could not be put in its place ({error}), and neither could the earlier one be put back: it is complete, and is at {}",
        lies.display()
    );
    Problem::new(MOVED, title, target.display().to_string())
        .help("publish again, which restores it first; or move that folder back by hand")
        .into()
}

/// A target that had to be filled entry by entry, and was left halfway.
pub(super) fn half_way(target: &Path, error: &io::Error) -> Box<Problem> {
    let title = format!("the new site is only partly in place: {error}");
    Problem::new(MOVED, title, target.display().to_string())
        .help("publish again, which completes it; no file is lost")
        .into()
}

/// A run that was stopped.
pub(super) fn stopped(target: &Path) -> Box<Problem> {
    Problem::new(STOPPED, "stopped before the site was complete", target.display().to_string()).into()
}

/// The last line after publishing failed, which must be true of what is on the disk.
pub fn closing<'p>(target: &Path, problems: impl Iterator<Item = &'p Problem>) -> String {
    if problems.into_iter().any(|problem| problem.code == MOVED.code) {
        return format!("Nothing was published, and {} is not as it was; see above.", target.display());
    }
    match std::fs::symlink_metadata(target) {
        Ok(_) => format!("Nothing was published; what was at {} before is untouched.", target.display()),
        Err(_) => format!("Nothing was published; {} was not made.", target.display()),
    }
}

/// Whether the run ended because it was stopped.
pub(super) fn is_stop(problem: &Problem) -> bool {
    problem.code == STOPPED.code
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whoever_stops_a_publishing_is_told_what_is_there() {
        let target = std::env::temp_dir();
        let problem = stopped(&target);
        assert!(is_stop(&problem) && problem.code == "stopped");
        let said = |target: &Path| closing(target, std::iter::once(&*problem));
        assert!(said(&target).ends_with("before is untouched."), "{}", said(&target));
        let nowhere = target.join("no-site-was-ever-here");
        assert!(said(&nowhere).ends_with("was not made."), "{}", said(&nowhere));
        let lost = moved(&target, Path::new("old"), &io::Error::from(io::ErrorKind::Other));
        assert!(closing(&target, std::iter::once(&*lost)).contains("is not as it was"));
    }
}
