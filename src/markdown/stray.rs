//! More of what Markdown takes for plain text: fences of the wrong marks, blocks swallowed by the one above, numbers and
//! terms without their brackets, rows without their bars.

use std::ops::Range;

use super::fence::{CAUTION, QUESTIONS, WORKED};
use super::silent::{SIGHT, cells, rest_of_line};
use super::writer::Writer;
use crate::notation::is_name;
use crate::problem::code;

/// Whether a line opens one of our blocks once its marks are taken off: its words, `caution clean-water`.
fn opens_ours<'l>(line: &'l str, marks: &[char]) -> Option<&'l str> {
    let words = line.trim_start_matches(['>', ' ']).trim_start_matches(marks).trim();
    let mut parts = words.split_whitespace();
    let first = parts.next()?;
    (matches!(first, WORKED | CAUTION | QUESTIONS) && parts.next().is_some_and(is_name) && parts.next().is_none())
        .then_some(words)
}

impl Writer<'_> {
    /// A block that goes on over the opening line of another: its own closing fence is missing or too short.
    pub(super) fn tell_swallowed(&mut self, range: &Range<usize>) -> bool {
        let raw = &self.text.text[range.clone()];
        let Some(first) = raw.lines().next() else { return false };
        // Four marks around an example of three are written on purpose.
        let plain = first.trim_start();
        if !(plain.starts_with("```") || plain.starts_with("~~~"))
            || plain.starts_with("````")
            || plain.starts_with("~~~~")
        {
            return false;
        }
        let marks = &plain[..3];
        let swallows = |line: &str| {
            let line = line.trim_start_matches(['>', ' ']);
            line.starts_with(marks) && opens_ours(line, &['`', '~']).is_some()
        };
        let Some(other) = raw.lines().skip(1).find(|line| swallows(line)) else { return false };
        let named = opens_ours(other, &['`', '~']).unwrap_or_default().to_owned();
        let place = self.place(&(range.start..range.start + first.len()));
        let title = format!("this block is not closed before `{named}` begins, so it swallows that block");
        let problem = self.problem(code::FENCE_OPEN, title, place);
        self.problems.push(problem.help("write the same fence on its own line below the block"));
        true
    }

    /// Four spaces in front of a fence make all of it a piece of code.
    pub(super) fn tell_indented_fence(&mut self, text: &str, range: &Range<usize>) {
        let fenced = |line: &&str| line.starts_with("```") || line.starts_with("~~~");
        let Some(named) = text
            .lines()
            .map(str::trim)
            .filter(fenced)
            .find_map(|line| opens_ours(line, &['`', '~']).map(str::to_owned))
        else {
            return;
        };
        let title = format!("four or more spaces in front of `{named}` make it a piece of code");
        let place = self.place(range);
        let first_line = place.start..place.start + self.source.text[place.clone()].lines().next().map_or(0, str::len);
        let problem = self.problem(code::FENCE_INDENTED, title, first_line);
        self.problems.push(problem.help("begin its lines at the left margin"));
    }

    /// Two backticks, or three apostrophes, in front of one of our blocks; `at` is the first letter of its line.
    pub(super) fn tell_stray_fence(&mut self, at: usize) {
        let line = rest_of_line(&self.text.text, at).trim_end();
        let Some(named) = opens_ours(line, &['`', '\'', '"', '\u{2018}', '\u{2019}', '\u{b4}', '\u{201c}', '\u{201d}'])
        else {
            return;
        };
        let mut words = named.split_whitespace();
        let (word, name) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
        if word == WORKED {
            let place = self.place(&(at..at + line.len()));
            self.examples.entry(name.to_owned()).or_insert(place);
        }
        let (title, help) = (
            format!("a block `{word}` is fenced by three backticks, and this one is not"),
            format!("write three backticks in front of `{named}`, and three on their own line below the block"),
        );
        self.tell(code::FENCE_SHORT, title, at..at + line.len(), help);
    }

    /// `figure:gun/output` and `term:pooled` that are in no link.
    pub(super) fn tell_bare_address(&mut self, at: usize) {
        let raw = &self.text.text;
        let before = raw[..at].chars().next_back();
        if before.is_some_and(|letter| letter.is_alphanumeric() || matches!(letter, '(' | '{' | '[' | '`' | '/')) {
            return;
        }
        let address: &str =
            rest_of_line(raw, at).split(|c: char| c.is_whitespace() || c == ')' || c == ',').next().unwrap_or("");
        let address = address.trim_end_matches(['.', ';', ':', '!', '?', '"', '\u{201d}', '*']);
        let Some((kind, name)) = address.split_once(':') else { return };
        let named = name.starts_with(|c: char| c.is_ascii_lowercase());
        if !named || (kind == "figure" && !name.contains('/')) {
            return;
        }
        let what = if kind == "figure" { "a computed number" } else { "a trade term" };
        let title = format!("{what} is written as a link, and this one would be shown as it is");
        let (end, help) = (at + address.len(), format!("write `[words]({address})`"));
        self.tell(code::LINK_BARE, title, at..end, help);
    }

    /// Two lines `a | b` below each other that make no table; `at` is the first bar of a line that does not begin with it.
    pub(super) fn tell_bars(&mut self, at: usize) {
        let raw = &self.text.text;
        let from = raw.floor_char_boundary(at.saturating_sub(SIGHT));
        let Some(start) = raw[from..at].rfind('\n').map(|end| from + end + 1).or((from == 0).then_some(0)) else {
            return;
        };
        let line = rest_of_line(raw, start);
        let next = match raw[start + line.len()..].strip_prefix("\r\n").or(raw[start + line.len()..].strip_prefix('\n'))
        {
            Some(rest) => rest_of_line(raw, raw.len() - rest.len()),
            None => "",
        };
        let row = |line: &str| line.contains(" | ") && !line.trim_start().starts_with('|');
        if raw[start..at].contains('|') || !row(line) || !row(next) || cells(line) != cells(next) {
            return;
        }
        let place = start..start + line.trim_end().len();
        if self.rows_told.is_some_and(|last| last <= start && raw[last..start].matches('\n').count() <= 1) {
            self.rows_told = Some(place.end);
            return;
        }
        self.rows_told = Some(place.end);
        let rule = format!("|{}", "---|".repeat(cells(line)));
        let title = "these lines look like rows of a table, but are not part of one".to_owned();
        let help = format!("write `{rule}` below the head of the table, with as many cells as the head");
        self.tell(code::TABLE_ROW, title, place, help);
    }
}
