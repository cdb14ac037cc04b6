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
