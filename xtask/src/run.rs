//! Running other programs, and what went wrong with them in words.

use std::cell::RefCell;
use std::fmt;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Why a chore ended without its result: a sentence for the person who started it.
#[derive(Debug)]
pub(crate) struct Failure(String);

impl Failure {
    pub(crate) fn new(text: impl Into<String>) -> Self {
        Self(text.into())
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Turns an I/O error into a failure that names the file it concerns.
pub(crate) fn about(path: &Path) -> impl Fn(io::Error) -> Failure + '_ {
    move |why| Failure::new(format!("{}: {why}", path.display()))
}

thread_local! {
    /// Where this thread, and every program it starts, prints; the terminal unless another place was named.
    static PRINTED: RefCell<Option<File>> = const { RefCell::new(None) };
}

/// From now on all that this thread prints here, and what its programs print, goes into a file.
pub(crate) fn print_into(file: File) {
    PRINTED.with(|printed| *printed.borrow_mut() = Some(file));
}

fn printed() -> Option<File> {
    PRINTED.with(|printed| printed.borrow().as_ref().and_then(|file| file.try_clone().ok()))
}

/// Where output and errors go: both into the file of [`print_into`], or each to its own stream.
pub(crate) fn printers() -> (Box<dyn Write + Send>, Box<dyn Write + Send>) {
    match (printed(), printed()) {
        (Some(out), Some(err)) => (Box::new(out), Box::new(err)),
        _ => (Box::new(io::stdout()), Box::new(io::stderr())),
    }
}

/// Prints a line.
pub(crate) fn say(line: impl fmt::Display) {
    // A reader that went away, as with `| head`, ends the output, not the chore.
    let _ = writeln!(printers().0, "{line}");
}

/// Prints a line about something that is wrong.
pub(crate) fn say_wrong(line: impl fmt::Display) {
    let _ = writeln!(printers().1, "{line}");
}

/// The cargo that started this chore, so that every step has the same toolchain.
pub(crate) fn cargo() -> std::ffi::OsString {
    std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into())
}

/// Runs a program to its end; anything but success is a failure that shows the command.
pub(crate) fn check(command: &mut Command) -> Result<(), Failure> {
    if let (Some(out), Some(err)) = (printed(), printed()) {
        command.stdout(out).stderr(err);
    }
    let status = command.stdin(Stdio::null()).status().map_err(|why| not_started(command, &why))?;
    if status.success() {
        return Ok(());
    }
    Err(Failure::new(format!("{} ended with {status}", shown(command))))
}

/// Runs a program to its end and returns what it printed.
pub(crate) fn output(command: &mut Command) -> Result<String, Failure> {
    let err = printed().map_or_else(Stdio::inherit, Stdio::from);
    let output = command.stdin(Stdio::null()).stderr(err).output().map_err(|why| not_started(command, &why))?;
    if output.status.success() {
        return Ok(String::from_utf8_lossy(&output.stdout).into_owned());
    }
    Err(Failure::new(format!("{} ended with {}", shown(command), output.status)))
}

/// The command as it would be typed, near enough to read.
pub(crate) fn shown(command: &Command) -> String {
    let mut text = format!("`{}", command.get_program().to_string_lossy());
    for argument in command.get_args() {
        text.push(' ');
        text.push_str(&argument.to_string_lossy());
    }
    text.push('`');
    text
}

pub(crate) fn not_started(command: &Command, why: &io::Error) -> Failure {
    Failure::new(format!("{} could not be started: {why}", shown(command)))
}

/// A folder for this run only, removed when it is no longer needed.
pub(crate) struct TempDir(PathBuf);

impl TempDir {
    pub(crate) fn new(purpose: &str) -> Result<Self, Failure> {
        let place = std::env::temp_dir().join(format!("tankside-{purpose}-{}", std::process::id()));
        if place.exists() {
            fs::remove_dir_all(&place).map_err(about(&place))?;
        }
        fs::create_dir_all(&place).map_err(about(&place))?;
        Ok(Self(place))
    }

    pub(crate) fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for TempDir {
    fn drop(&mut self) {
        // A folder that cannot be removed is left to the system's own cleaning of temporary files.
        let _ = fs::remove_dir_all(&self.0);
    }
}
