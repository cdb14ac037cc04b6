//! What the terminal can show, and writing to it.
//!
//! Colors are used only where a person looks: not in a pipe, not where `NO_COLOR` is set, not where `TERM` is `dumb`.

use std::io::{IsTerminal, Write};
use std::path::Path;

use anstream::{AutoStream, ColorChoice};

use crate::problem::{KEPT, Style, filled};
use tankside_calc::text::escape::stays;

/// Columns of text that is not printed to a terminal.
const USUAL: usize = 80;
/// Columns beyond which lines are hard to read.
const WIDEST: usize = 100;

/// A text between the quotes of a shell.
pub(crate) fn quoted(text: &str) -> String {
    format!("'{}'", text.replace('\'', "'\\''"))
}

/// A path as a shell reads it in a command to paste.
pub(crate) fn pasted(path: &Path) -> String {
    let plain = path.display().to_string();
    let safe = |letter: char| letter.is_alphanumeric() || "/._-+,:@%~\\".contains(letter);
    if !plain.is_empty() && plain.chars().all(safe) { plain } else { quoted(&plain) }
}

/// How problems are drawn on standard error.
pub(crate) fn style() -> Style {
    let stream = std::io::stderr();
    drawn(stream.is_terminal(), AutoStream::choice(&stream))
}

/// How they are drawn on standard output.
pub(crate) fn style_out() -> Style {
    let stream = std::io::stdout();
    drawn(stream.is_terminal(), AutoStream::choice(&stream))
}

fn drawn(terminal: bool, choice: ColorChoice) -> Style {
    if !terminal {
        return Style::Plain;
    }
    Style::Terminal { colours: choice != ColorChoice::Never && !dumb(), width: width() }
}

/// Wraps lines that are wider than the terminal; what is printed into a pipe or a file stays a sentence a line. Lines
/// to paste are left whole, and what is wrapped hangs below the text of its row.
pub(crate) fn fitted(text: &str) -> String {
    if std::io::stdout().is_terminal() { fitted_to(text, width().max(NARROWEST)) } else { text.to_owned() }
}

/// The same for standard error.
pub(super) fn fitted_err(text: &str) -> String {
    if std::io::stderr().is_terminal() { fitted_to(text, width().max(NARROWEST)) } else { text.to_owned() }
}

/// Columns that are used even where the terminal says that it has fewer.
const NARROWEST: usize = 24;

fn fitted_to(text: &str, width: usize) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let bare = line.trim_end_matches('\n');
        let indent = bare.len() - bare.trim_start().len();
        if textwrap::core::display_width(bare) <= width || bare.trim_start().starts_with("tankside ") {
            out.push_str(line);
            continue;
        }
        // In a row of two columns the second one begins after the last gap of the name's column.
        let row = &bare[indent..];
        let gap = row.find("  ").map_or(0, |at| at + row[at..].len() - row[at..].trim_start().len());
        let column = textwrap::core::display_width(&bare[..indent + gap]);
        let hang = if gap > 0 && column * 5 <= width * 3 { column } else { indent + 2 };
        let first = &bare[..indent + gap];
        let hang_text = " ".repeat(hang);
        let start = if column * 5 <= width * 3 { first } else { &bare[..indent] };
        out.push_str(&filled(&kept_together(&bare[start.len()..]), width, start, &hang_text));
        if line.ends_with('\n') {
            out.push('\n');
        }
    }
    out
}

/// The text with each number and its unit kept on one line.
fn kept_together(text: &str) -> String {
    let letters = text.char_indices();
    letters.map(|(at, letter)| if letter == ' ' && stays(text, at) { KEPT } else { letter }).collect()
}

/// Whether standard output may carry colors.
pub(crate) fn colours() -> bool {
    AutoStream::choice(&std::io::stdout()) != ColorChoice::Never && !dumb()
}

/// Whether the terminal says that it can show text and nothing else; then nothing else is sent, wherever it runs.
pub(super) fn dumb() -> bool {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wide_line_hangs_below_its_text_and_a_line_to_paste_stays_whole() {
        let text = "Given\n  volume caught: 126 fl oz\n  catch-test         what comes out of one gun, or of many nozzles\n  tankside work catch-test catch='186 fl oz, 60 s'\n       (186 fl oz + 190 fl oz + 188 fl oz) / (60 s + 60 s + 60 s)\n";
        let fitted = fitted_to(text, 40);
        let expected = "Given\n  volume caught: 126 fl oz\n  catch-test         what comes out of\n                     one gun, or of many\n                     nozzles\n  tankside work catch-test catch='186 fl oz, 60 s'\n       (186 fl oz + 190 fl oz +\n         188 fl oz) / (60 s + 60 s +\n         60 s)\n";
        assert_eq!(fitted, expected);
        assert_eq!(fitted_to(text, 100), text);
        assert_eq!(fitted_to("", 40), "");
        let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        for width in 24..120 {
            assert_eq!(words(&fitted_to(text, width)), words(text), "{width}");
        }
    }
}
