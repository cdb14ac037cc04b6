//! The commands, one file each. Only these and `main` print.

pub mod publish;
mod refused;
pub mod work;

use std::io::Write;

/// Writes to standard output. Whoever reads it may stop early, as `head` does: that is no fault of the command, and
/// there is nobody left to tell about any other.
pub(crate) fn to_stdout(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Writes to standard error, on a line of its own. Where even that cannot be written, as on a full disk, the exit code
/// still says what happened.
pub(crate) fn to_stderr(text: &str) {
    let mut err = std::io::stderr().lock();
    let _ = err.write_all(text.as_bytes()).and_then(|()| err.write_all(b"\n"));
}
