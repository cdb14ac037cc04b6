//! What Markdown silently takes for plain text although more was meant: a short fence, a space in an address,
//! braces, a broken row of a table.

use std::ops::Range;

use super::fence::{CAUTION, QUESTIONS, WORKED};
use super::raw::is_bullet;
use super::writer::Writer;
use crate::problem::{Rule, code, nearest};

/// How far from a sign its line is looked at, in bytes: nobody writes further, and looking at all of a line of a million
/// signs at each of them would freeze.
pub(super) const SIGHT: usize = 2_000;

/// First bytes of the signs that are looked at in plain text. Of `figure:` and `term:` it is the colon, which is rarer
/// than their first letters.
const SIGNS: [bool; 256] = {
    let mut signs = [false; 256];
    // The last two are the first bytes of `´`, of the curly quotes and of bullets.
    let looked_at = b"[]{#*|:`'\"\xc2\xe2";
    let mut at = 0;
    while at < looked_at.len() {
        signs[looked_at[at] as usize] = true;
        at += 1;
    }
    signs
};

/// How many bytes are asked at a time whether one of them may be a sign.
const AT_ONCE: usize = 16;

/// Whether there may be a sign among some bytes; every letter of a course is asked, so this must be quick.
fn may_have_sign(bytes: &[u8]) -> bool {
    // All of them side by side in the processor: `[`, `{`, `]`, `|` are neighbors if their case is ignored.
    let odd = |byte: u8| {
        let bracket = (byte | 0x20).wrapping_sub(b'{') <= 2;
        let quote = (byte == b'"') | (byte == b'#') | (byte == b'\'') | (byte == b'`');
        bracket | quote | (byte == b'*') | (byte == b':') | (byte >= 0x80)
    };
    let any = |part: &[u8; AT_ONCE]| part.iter().fold(false, |found, byte| found | odd(*byte));
    match bytes.last_chunk::<AT_ONCE>() {
        None => bytes.iter().any(|byte| SIGNS[usize::from(*byte)]),
        Some(last) => any(last) || bytes.as_chunks::<AT_ONCE>().0.iter().any(any),
    }
}

/// Whether a text begins with a mark that is taken for a backtick.
fn quotes(text: &str) -> bool {
    text.starts_with(|letter| matches!(letter, '`' | '\'' | '"' | '\u{2018}'..='\u{201d}' | '\u{b4}'))
}

/// The rest of a line, as far as it is looked at.
pub(super) fn rest_of_line(text: &str, at: usize) -> &str {
    let seen = &text[at..text.floor_char_boundary(at + SIGHT)];
    match memchr::memchr(b'\n', seen.as_bytes()) {
        Some(end) => seen[..end].strip_suffix('\r').unwrap_or(&seen[..end]),
        None => seen,
    }
}

impl Writer<'_> {
    /// A block whose fence below is missing takes everything to the end of the text.
    pub(super) fn tell_open_fence(&mut self, range: &Range<usize>) {
        let raw = &self.text.text[range.clone()];
        let mut lines = raw.lines().filter(|line| !line.trim().is_empty());
        let (first, last) = (lines.next().unwrap_or_default(), lines.next_back());
        let fence = first.trim_start().chars().take_while(|letter| matches!(letter, '`' | '~')).collect::<String>();
        let closed = last.is_some_and(|last| last.trim_start_matches(['>', ' ']).starts_with(&fence));
        if fence.is_empty() || closed || !self.text.text[range.end..].trim().is_empty() {
            return;
        }
        let place = self.place(&(range.start..range.start + first.len()));
        let problem =
            self.problem(code::FENCE_OPEN, "this block is not closed, so it takes the rest of the lesson", place);
        self.problems.push(problem.help("write the same fence on its own line below the block"));
    }

    /// A block that is fenced by one or two backticks is a piece of code within a sentence.
    pub(super) fn tell_short_fence(&mut self, text: &str, range: &Range<usize>) {
        let mut words = text.split_whitespace();
        let (first, name) = (words.next().unwrap_or_default(), words.next());
        let before = self.text.text[..range.start].trim_end_matches(|c: char| c.is_whitespace() && c != '\n');
        let alone = before.is_empty() || before.ends_with('\n');
        if !alone || name.is_none() || !matches!(first, WORKED | CAUTION | QUESTIONS) {
            return;
        }
        let first_line = self.text.text[range.clone()].lines().next().unwrap_or_default().len();
        let place = self.place(&(range.start..range.start + first_line));
        let title = format!("a block `{first}` is fenced by three backticks, and this one by fewer");
        let problem = self.problem(code::FENCE_SHORT, title, place);
        let named = format!("{first} {}", name.unwrap_or_default());
        if first == WORKED {
            let place = self.place(range);
            self.examples.entry(name.unwrap_or_default().to_owned()).or_insert(place);
        }
        self.problems.push(
            problem.help(format!(
                "write three backticks in front of `{named}`, and three on their own line below the block"
            )),
        );
    }

    /// A stretch of plain text that was meant as something else.
    pub(super) fn tell_plain_text(&mut self, range: &Range<usize>) {
        let text = self.text;
        let bytes = text.text.as_bytes();
        self.tell_line(range.start);
        if !may_have_sign(&bytes[range.clone()]) {
            return;
        }
        let sign = |from: usize| bytes[from..range.end].iter().position(|byte| SIGNS[usize::from(*byte)]);
        let mut from = range.start;
        while let Some(at) = sign(from).map(|next| from + next) {
            from = at + 1;
            match bytes[at] {
                b']' => self.tell_space_in_address(at),
                b'{' => self.tell_braces(at),
                b'[' => self.tell_bracket_missing(at),
                b'#' if self.is_first_in_line(at) => self.tell_heading_space(at),
                b'*' if bytes[at..].starts_with(b"**") => self.tell_open_strong(at),
                b'#' | b'*' => {}
                b'|' if self.is_first_in_line(at) => self.tell_row_outside(at),
                b'|' => self.tell_bars(at),
                b':' if bytes[range.start..at].ends_with(b"figure") => self.tell_bare_address(at - "figure".len()),
                b':' if bytes[range.start..at].ends_with(b"term") => self.tell_bare_address(at - "term".len()),
                b':' if bytes[at..].starts_with(b":::") && self.is_first_in_line(at) => self.tell_colons(at),
                b':' => {}
                _ if quotes(&text.text[at..]) && self.is_first_in_line(at) => self.tell_stray_fence(at),
                _ => {
                    let letter = text.text[at..].chars().next();
                    if let Some(bullet) = letter.filter(|letter| is_bullet(*letter) && self.is_first_in_line(at)) {
                        self.tell_bullet(at, bullet);
                    }
                }
            }
        }
    }

    fn is_first_in_line(&self, at: usize) -> bool {
        let before = self.text.text[..at].trim_end_matches(['>', ' ']);
        before.is_empty() || before.ends_with('\n')
    }

    /// `](../images/my bucket.png)` that stayed text.
    fn tell_space_in_address(&mut self, at: usize) {
        let raw = &self.text.text;
        if !raw[at + 1..].starts_with('(') || raw[..at].ends_with('\\') {
            return;
        }
        let line = rest_of_line(raw, at + 2);
        let Some(end) = line.find(')') else { return self.tell_open_address(at) };
        let address = &line[..end];
        if !address.trim().contains([' ', '\u{a0}']) || address.starts_with('<') {
            return;
        }
        let tight = address.trim().replace('\u{a0}', " ").replace(": ", ":").replace(" :", ":").replace(" /", "/");
        let tight = tight.replace("/ ", "/");
        let help = match (tight.starts_with("figure:"), tight.strip_prefix("term:")) {
            (true, _) if !tight.contains(' ') => format!("write `{tight}`, without the space"),
            (true, _) => format!("write `{}`, with `_` for the space", tight.replace(' ', "_")),
            (_, Some(term)) if !term.contains(' ') => format!("write `{tight}`, without the space"),
            (_, Some(term)) => {
                let whole = term.replace(' ', "-");
                let known = self.context.terms.iter().map(String::as_str);
                let near = if self.context.terms.contains(&whole) { None } else { nearest(&whole, known) };
                match near {
                    Some(near) => format!("write `term:{near}`"),
                    None => format!("write `term:{whole}`, with `-` for the space"),
                }
            }
            _ => match self.without_spaces(address.trim()) {
                Some(there) => format!("write `{there}`"),
                None => format!("put the address in angle brackets: `(<{}>)`", address.trim()),
            },
        };
        let title = "an address with a space in it is not read, so the brackets would be shown";
        self.tell(code::LINK_SPACE, title.to_owned(), at + 2..at + 2 + end, help);
    }

    /// The lesson or picture that an address with spaces means, if there is none of just that name.
    fn without_spaces(&self, address: &str) -> Option<String> {
        let hyphens = address.replace(' ', "-");
        let image = |name: &str| self.context.images.contains(name.trim_start_matches("../"));
        let lesson = hyphens.strip_suffix(".md").is_some_and(|stem| self.context.known_lessons.contains(stem));
        (lesson || image(&hyphens) && !image(address)).then_some(hyphens)
    }

    /// A line `| a | b |` that is not in a table.
    fn tell_row_outside(&mut self, at: usize) {
        let raw = &self.text.text;
        let line = rest_of_line(&self.text.text, at).trim_end();
        if line.len() < 3 || !line.ends_with('|') {
            return;
        }
        let place = at..at + line.len();
        // The rows of one table are reported once.
        if self.rows_told.is_some_and(|last| raw[last..at].matches('\n').count() <= 1) {
            self.rows_told = Some(place.end);
            return;
        }
        self.rows_told = Some(place.end);
        let cells = cells(line);
        let rule = format!("|{}", "---|".repeat(cells));
        let title = "this line looks like a row of a table, but is not part of one";
        let help = format!(
            "write `{rule}` below the head of the table, with as many cells as the head, and no blank line between"
        );
        self.tell(code::TABLE_ROW, title.to_owned(), place, help);
    }

    /// A block between colons.
    fn tell_colons(&mut self, at: usize) {
        let line = rest_of_line(&self.text.text, at);
        let words = line.trim_matches([':', ' ', '{', '}', '\r']).to_owned();
        let place = self.text.span(&(at..at + line.trim_end().len()));
        self.tell_meant(&words, "", place);
    }

    /// Rows with more or fewer cells than the head of their table.
    pub(super) fn tell_rows(&mut self, range: &Range<usize>) {
        let text = self.text;
        let mut start = range.start;
        let mut head = None;
        let barred = text.text[range.clone()].lines().next().is_some_and(|line| line.contains('|'));
        for (index, line) in text.text[range.clone()].split_inclusive('\n').enumerate() {
            let written = line.trim_end();
            let row = written.trim_start_matches(['>', ' ']);
            let at = start + written.len() - row.len();
            start += line.len();
            let found = cells(row);
            let Some(head) = head else {
                head = Some(found);
                continue;
            };
            if index == 1 || row.is_empty() {
                continue;
            }
            let place = at..at + row.len();
            if barred && !row.contains('|') {
                let title = "this line has no bars, and becomes a row of the table above it";
                let help = "put a blank line above it; or, if it is a row, write bars between its cells";
                self.tell(code::TABLE_ROW, title.to_owned(), place, help.to_owned());
                continue;
            }
            if found == head {
                continue;
            }
            if found > head {
                let title =
                    format!("this row has {found} cells and its table {head} columns, so the rest is not shown");
                let help = "write as many cells as the head has; a bar that belongs to a text is written `\\|`";
                self.tell(code::TABLE_ROW, title, place, help.to_owned());
            } else {
                let title = format!("this row has {found} of {head} cells");
                self.tell(
                    code::TABLE_ROW_SHORT,
                    title,
                    place,
                    "write the others, or ` | ` for an empty one".to_owned(),
                );
            }
        }
    }

    pub(super) fn tell(&mut self, rule: &'static Rule, title: String, place: Range<usize>, help: String) {
        let place = self.place(&place);
        let problem = self.problem(rule, title, place);
        self.problems.push(problem.help(help));
    }
}

/// Cells of a row; a bar after a backslash does not end one.
pub(super) fn cells(row: &str) -> usize {
    let row = row.trim();
    let row = row.strip_prefix('|').unwrap_or(row);
    let (mut bars, mut escaped, mut ended) = (0, false, false);
    for byte in row.bytes() {
        ended = byte == b'|' && !escaped;
        bars += usize::from(ended);
        escaped = byte == b'\\' && !escaped;
    }
    if ended { bars } else { bars + 1 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sign_is_seen_wherever_it_is() {
        let plain = b"A worn nozzle limits, 12.5 gal; (what) reaches~ the turf? 100% + 1 = ok <b> /&!";
        for sign in (0..=255).filter(|sign| SIGNS[usize::from(*sign)]) {
            for length in 1..plain.len() {
                assert!(!may_have_sign(&plain[..length]));
                for at in 0..length {
                    let mut bytes = plain[..length].to_vec();
                    bytes[at] = sign;
                    assert!(may_have_sign(&bytes), "{sign} at {at} of {length}");
                }
            }
        }
    }

    #[test]
    fn cells_are_counted_as_a_reader_sees_them() {
        for (row, count) in [("| a | b |", 2), ("a | b", 2), ("| a \\| b |", 1), ("| a | |", 2), ("|a", 1)] {
            assert_eq!(cells(row), count, "{row}");
        }
    }
}
