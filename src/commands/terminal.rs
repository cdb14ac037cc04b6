//! What the terminal can show, and writing to it.
//!
//! Colours are used only where a person looks: not in a pipe, not where `NO_COLOR` is set, not where `TERM` is `dumb`.

use std::io::{IsTerminal, Write};

use anstream::{AutoStream, ColorChoice};

use crate::problem::Style;

/// Columns of text that is not printed to a terminal.
const USUAL: usize = 80;
/// Columns beyond which lines are hard to read.
const WIDEST: usize = 100;

/// How problems are drawn on standard error.
pub(crate) fn style() -> Style {
    let stream = std::io::stderr();
    if !stream.is_terminal() {
        return Style::Plain;
    }
    Style::Terminal { colours: AutoStream::choice(&stream) != ColorChoice::Never && !dumb(), width: width() }
}

/// Whether standard output may carry colours.
pub(crate) fn colours() -> bool {
    AutoStream::choice(&std::io::stdout()) != ColorChoice::Never && !dumb()
}

/// Whether the terminal says that it can show text and nothing else; then nothing else is sent, wherever it runs.
fn dumb() -> bool {
    std::env::var_os("TERM").is_some_and(|name| name == "dumb")
}

/// Columns to wrap at.
pub(crate) fn width() -> usize {
    let terminal = terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    let named = || std::env::var("COLUMNS").ok().and_then(|text| text.trim().parse().ok());
    terminal.or_else(named).filter(|width| *width > 0).unwrap_or(USUAL).min(WIDEST)
}

/// Writes to standard output. Whoever reads it may stop early, as `head` does: that is no fault of the command, and
/// there is nobody left to tell about any other.
pub(crate) fn to_stdout(text: &str) {
    let mut out = anstream::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Writes to standard error.
pub(crate) fn to_stderr(text: &str) {
    let mut out = anstream::stderr().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}
