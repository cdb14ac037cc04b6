//! Signs of Markdown that stay as they are on the page: half a link, a heading without its space, bullets of a word
//! processor, asterisks and quotes without their partner.

use std::ops::Range;

use super::silent::rest_of_line;
use super::writer::Writer;
use crate::problem::code;

/// Whether a text is the address of something in a course, or of a web page.
fn is_address(text: &str) -> bool {
    const STARTS: [&str; 9] =
        ["figure:", "term:", "http:", "https:", "mailto:", "../", "images/", "attachments/", "lessons/"];
    !text.contains(char::is_whitespace)
        && (STARTS.iter().any(|start| text.starts_with(start)) || text.split('#').next().unwrap_or("").ends_with(".md"))
}

/// How far from its bracket half a link is looked at, bytes: enough for any words and address, little for a line of
/// brackets.
const HALF_A_LINK: usize = 300;

fn half_a_link(text: &str, at: usize) -> &str {
    let line = rest_of_line(text, at);
    &line[..line.floor_char_boundary(HALF_A_LINK)]
}

/// Signs that a word processor puts in front of the items of a list.
const BULLETS: [char; 6] = ['•', '●', '◦', '‣', '▪', '·'];

impl Writer<'_> {
    /// `[words](address` whose bracket is never closed; `at` is the `]`.
    pub(super) fn tell_open_address(&mut self, at: usize) {
        let line = half_a_link(&self.text.text, at + 2);
        let address = line.split(char::is_whitespace).next().unwrap_or_default();
        let address = address.trim_end_matches(['.', ',', ';', ':', '!', '?', '*']);
        if !is_address(address) {
            return;
        }
        let title = "the bracket around this address is not closed, so the link would be shown as it is";
        let (span, help) = (at + 1..at + 2 + address.len(), format!("write `({address})`"));
        self.tell(code::LINK_OPEN, title.to_owned(), span, help);
    }

    /// `[words(address)`; `at` is the `[`.
    pub(super) fn tell_bracket_missing(&mut self, at: usize) {
        let raw = &self.text.text;
        if raw[..at].ends_with('\\') {
            return;
        }
        let line = half_a_link(raw, at + 1);
        let Some((words, rest)) = line.split_once('(') else { return };
        let Some((address, _)) = rest.split_once(')') else { return };
        if words.contains([']', '[']) || words.trim().is_empty() || !is_address(address) {
            return;
        }
        let title = "the bracket around these words is not closed, so the link would be shown as it is";
        let span = at..at + words.len() + address.len() + 3;
        let help = format!("write `[{}]({address})`", words.trim_end());
        self.tell(code::LINK_OPEN, title.to_owned(), span, help);
    }

    /// `#Words` at the start of a line; `at` is the first `#`.
    pub(super) fn tell_heading_space(&mut self, at: usize) {
        let line = rest_of_line(&self.text.text, at).trim_end();
        let words = line.trim_start_matches('#');
        let signs = line.len() - words.len();
        if signs > 6 || !words.starts_with(char::is_alphabetic) {
            return;
        }
        let title = "a heading has a space after its `#`, and this line would be shown as it is";
        let help = format!("write `{} {words}`, or `\\{line}` if the sign is meant", "#".repeat(signs));
        self.tell(code::HEADING_SPACE, title.to_owned(), at..at + line.len(), help);
    }

    /// `**` that begins or ends nothing.
    pub(super) fn tell_open_strong(&mut self, at: usize) {
        let raw = &self.text.text;
        let (before, after) = (&raw[..at], &raw[at + 2..]);
        let apart = |letter: Option<char>| letter.is_none_or(char::is_whitespace);
        let between = apart(before.chars().next_back()) && apart(after.chars().next());
        if between || before.ends_with(['*', '\\']) || after.starts_with('*') {
            return;
        }
        let title = "these asterisks have no partner, so they would be shown as they are";
        let help = "write two asterisks on both sides of the words, or `\\*\\*` if asterisks are meant";
        self.tell(code::EMPHASIS_OPEN, title.to_owned(), at..at + 2, help.to_owned());
    }

    /// A line that begins with a bullet.
    pub(super) fn tell_bullet(&mut self, at: usize, bullet: char) {
        let before = self.text.text[..at].trim_end_matches([' ', '>']);
        let above = before.strip_suffix('\n').and_then(|above| above.lines().next_back()).unwrap_or_default();
        // The lines of one list are reported once.
        if above.trim_start_matches([' ', '>']).starts_with(BULLETS) {
            return;
        }
        let title = format!("a line that begins with `{bullet}` is not a list item, so such lines run together");
        let help = "begin each of these lines with a hyphen and a space".to_owned();
        self.tell(code::LIST_SIGN, title, at..at + bullet.len_utf8(), help);
    }

    /// A paragraph with more opening than closing quotation marks, or the other way round.
    pub(super) fn tell_open_quote(&mut self, range: &Range<usize>) {
        let raw = &self.text.text[range.clone()];
        // Both begin with this byte.
        if memchr::memchr("\u{201c}".as_bytes()[0], raw.as_bytes()).is_none() {
            return;
        }
        let count = |mark: char| raw.matches(mark).count();
        let (open, close) = (count('\u{201c}'), count('\u{201d}'));
        // German closes with the sign that opens in English.
        if open == close || raw.contains('\u{201e}') {
            return;
        }
        let at = if open > close { raw.rfind('\u{201c}') } else { raw.find('\u{201d}') };
        let Some(at) = at.map(|at| range.start + at) else { return };
        let title = "this quotation mark has no partner in its paragraph".to_owned();
        let help = "write the other one where the words begin or end, or take this one out".to_owned();
        self.tell(code::QUOTE_OPEN, title, at..at + '\u{201c}'.len_utf8(), help);
    }
}

pub(super) fn is_bullet(letter: char) -> bool {
    BULLETS.contains(&letter)
}
