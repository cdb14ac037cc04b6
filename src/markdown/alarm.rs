//! Lines that were meant as a caution, questions or an example and are not read as one: `caution wash-pad` without a
//! fence, the blocks of other notations, a paragraph that begins with a word of alarm.

use super::fence::{CAUTION, QUESTIONS, WORKED, level_of};
use super::meant::alarm;
use super::silent::{SIGHT, rest_of_line};
use super::writer::{Manner, Writer};
use crate::problem::code;
use std::ops::Range;

/// Marks in front of a word that make it a block in other notations.
const BLOCK_MARKS: &[&str] = &["!!!", "???", "{%", "{{", "{:", "::", "%%", "++", "@", "<<"];
/// Words with which a sentence warns.
pub(super) const WARNS: &[&str] = &[
    "advertencia",
    "atención",
    "attention",
    "beware",
    "caution",
    "cuidado",
    "danger",
    "hazard",
    "peligro",
    "precaución",
    "warning",
];
/// How a caution is written.
const AS_A_BLOCK: &str = "write it as a block: `caution danger`, `caution warning` or `caution notice` after three \
                          backticks, the sentences below, and three backticks";

/// Whether a sign in front of a line cannot begin a sentence, a list, a heading or a row of a table.
fn is_odd(sign: char) -> bool {
    sign.is_ascii_punctuation()
        && !matches!(sign, '*' | '_' | '-' | '+' | '#' | '~' | '`' | '\'' | '"' | '(' | '[' | '|' | '\\' | '.' | ',')
}

/// Signs that warn.
const SIGNS: &[char] = &['\u{26a0}', '\u{2620}', '\u{1f6ab}', '\u{26d4}'];

/// The word of ours that a line begins with, and the name after it, if the line has no more than these.
fn ours(line: &str) -> Option<(&'static str, &str, bool)> {
    let line = line.trim_matches(|letter: char| !letter.is_alphanumeric());
    // Every line comes here: most begin with another letter.
    if !matches!(line.as_bytes().first(), Some(b'c' | b'C' | b'q' | b'Q' | b'w' | b'W')) {
        return None;
    }
    let end = line.find(|letter: char| !(letter.is_alphanumeric() || letter == '-'))?;
    let (first, rest) = line.split_at(end);
    let name = rest.trim_start_matches(|letter: char| !letter.is_alphanumeric());
    let gap = &rest[..rest.len() - name.len()];
    let small = first.to_ascii_lowercase();
    let word = [CAUTION, QUESTIONS, WORKED]
        .into_iter()
        .find(|word| small == *word || small.strip_suffix('s') == Some(word))?;
    crate::notation::is_name(name).then_some((word, name, gap == " " && first == word))
}

/// Whether the first letter is one that the words looked for begin with.
fn begins_a_word(line: &str) -> bool {
    let first = line.bytes().next().map(|letter| letter.to_ascii_lowercase());
    matches!(first, Some(b'a'..=b'd' | b'h' | b'i' | b'n' | b'p' | b'q' | b's' | b'w'))
}

/// The fewest letters of a word that is looked for at the very beginning of a line.
const SHORTEST: usize = 6;

/// Whether a line begins with a word of few letters and a space, after the signs of a list, of a heading, of emphasis or of
/// a table at most: such a line is never reported, unless words are struck through in it.
fn begins_shortly(line: &str) -> bool {
    let bytes = line.as_bytes();
    let blanks = bytes.iter().take_while(|byte| **byte == b' ').count();
    let signs =
        bytes[blanks..].iter().take_while(|byte| matches!(byte, b' ' | b'-' | b'#' | b'*' | b'_' | b'|')).count();
    let words = &bytes[blanks + signs..];
    let letters = words.iter().take(SHORTEST).take_while(|byte| byte.is_ascii_alphabetic()).count();
    // `-Fill` is perhaps an item of a list.
    let item = signs == 1 && bytes[blanks] != b'|';
    !item && (1..SHORTEST).contains(&letters) && words.get(letters) == Some(&b' ')
}

/// Whether a line, by its beginning, can be shown without being looked at: most begin with a letter that none of the
/// words looked for begins with, or with a short word.
fn is_common(line: &str) -> bool {
    let plain = line.bytes().next().is_some_and(|first| first.is_ascii_alphabetic()) && !begins_a_word(line);
    plain || begins_shortly(line)
}

/// Which lines of a text were looked at.
#[derive(Debug)]
pub(super) struct LookedAt {
    /// Where the last of them ends.
    end: usize,
    /// Whether words may be struck through somewhere.
    struck: bool,
}

impl LookedAt {
    /// None of a text's lines.
    pub(super) fn none_of(text: &str) -> LookedAt {
        LookedAt { end: 0, struck: memchr::memchr(b'~', text.as_bytes()).is_some() }
    }
}

impl Writer<'_> {
    /// Looks once at the line of `at`, where plain text begins.
    pub(super) fn tell_line(&mut self, at: usize) {
        if at >= self.looked_at.end {
            self.tell_next_line(at);
        }
    }

    /// Looks at a line below those that were looked at.
    // Kept apart from the check before it, which every stretch of text makes and which has to be short.
    #[inline(never)]
    fn tell_next_line(&mut self, at: usize) {
        let text = self.text;
        let bytes = text.text.as_bytes();
        let passed = self.looked_at.end;
        let start = bytes[passed..at].iter().rposition(|byte| *byte == b'\n').map_or(passed, |end| passed + end + 1);
        self.looked_at.end = memchr::memchr(b'\n', &bytes[at..]).map_or(bytes.len(), |length| at + length);
        // Every line comes here, and few go on.
        if self.looked_at.struck || !is_common(&text.text[start..]) {
            self.tell_odd_line(start, at);
        }
    }

    /// Looks at the line that begins at `start`, if its first words, at `at`, are near enough.
    #[inline(never)]
    fn tell_odd_line(&mut self, start: usize, at: usize) {
        let text = self.text;
        let line = rest_of_line(&text.text, start);
        if at > start + line.len() || is_common(line) && !line.contains('~') {
            return;
        }
        let line = line.trim_end();
        let signs = &line[..line.find(char::is_alphanumeric).unwrap_or(line.len())];
        let words = &line[signs.len()..];
        let place = start + (signs.len() - signs.trim_start_matches(['>', ' ']).len())..start + line.len();
        let signs = signs.trim_start_matches(['>', ' ']);
        // A block between colons is looked at as a whole.
        if signs.starts_with(":::") {
            return;
        }
        if signs.contains(SIGNS) {
            return self.tell_plain_caution(place);
        }
        self.tell_other_notation(line, start);
        let odd = signs.contains(is_odd) && !signs.starts_with('[') && words.starts_with(char::is_alphabetic);
        // Every line comes here: most begin with another letter.
        if !begins_a_word(words) {
            if odd {
                self.tell_odd_block(signs, words, &place);
            }
            return;
        }
        let quoted = signs.contains(['`', '\'', '"', '\u{2018}', '\u{2019}', '\u{b4}', '\u{201c}', '\u{201d}', '\\']);
        if !quoted && self.tell_unfenced(line, place.clone()) {
            return;
        }
        if odd && self.tell_odd_block(signs, words, &place) {
            return;
        }
        let end = words.find(|letter: char| !letter.is_alphanumeric()).unwrap_or(words.len());
        let (first, rest) = words.split_at(end);
        if first.len() > 12 {
            return;
        }
        let marks = signs.trim_end();
        let other = BLOCK_MARKS.iter().any(|mark| marks.starts_with(mark)) || marks == ".." && rest.starts_with("::");
        let bold = signs.ends_with("**") || signs.ends_with("__");
        let plain = signs.chars().all(|sign| matches!(sign, '*' | '_' | ' ' | '\u{a1}'));
        // `:warning:`, which other programs turn into a sign.
        let sign = marks == ":" && rest.starts_with(':');
        let alone = rest.chars().all(|sign| !sign.is_alphanumeric()) && !rest.ends_with(['.', '?', ',']);
        let stops = alone || rest.starts_with([':', '!']) || bold && (rest.starts_with("**") || rest.starts_with("__"));
        if !(other || sign || plain && stops) {
            return;
        }
        let first = first.to_lowercase();
        if other && alarm(&first).is_some() {
            let words = words.trim_end_matches(['%', '}', ':', '>', ' ']).to_owned();
            let place = self.text.span(&place);
            self.tell_lost_caution(&words, "", place);
            return;
        }
        if sign && alarm(&first).is_some() {
            return self.tell_plain_caution(place);
        }
        if plain && stops && WARNS.contains(&first.as_str()) {
            self.tell_plain_caution(place);
        }
    }

    /// What other programs read and this one shows as it is: words struck through, boxes to tick, items of a list without
    /// their space.
    fn tell_other_notation(&mut self, line: &str, start: usize) {
        let struck = memchr::memchr(b'~', line.as_bytes())
            .and_then(|_| line.find("~~"))
            .filter(|at| line[at + 2..].contains("~~"));
        let words = line.trim_start_matches(['>', ' ']);
        let at = line.len() - words.len();
        let bare = words.trim_start_matches(|sign: char| sign.is_ascii_digit() || matches!(sign, '-' | '*' | '+'));
        let bare = bare.strip_prefix(['.', ')']).unwrap_or(bare).trim_start_matches(' ');
        let ticks = ["[ ]", "[x]", "[X]"].iter().any(|tick| bare.starts_with(tick)) && bare.len() < words.len();
        let (from, to, what) = match struck {
            Some(from) => (from, from + 2, "`~~` is shown as it is; words cannot be struck through"),
            None if ticks => {
                let from = line.len() - bare.len();
                (from, from + 3, "a box to tick is shown as brackets")
            }
            None => return self.tell_item_space(words, start + at),
        };
        let help = "take these signs out, and say it in words";
        self.tell(code::NOTATION_OTHER, what.to_owned(), start + from..start + to, help.to_owned());
    }

    /// Two lines `-Fill` and `-Walk`, or `1)Fill` and `2)Walk`, below each other.
    fn tell_item_space(&mut self, words: &str, at: usize) {
        let sign = |line: &str| {
            let line = line.trim_start_matches(['>', ' ']);
            let digits = line.len() - line.trim_start_matches(|letter: char| letter.is_ascii_digit()).len();
            let marks = if digits == 0 { &['-', '*', '+'][..] } else { &['.', ')'][..] };
            let after = line[digits..].strip_prefix(marks)?;
            after.starts_with(char::is_alphabetic).then_some(line.len() - after.len())
        };
        let Some(length) = sign(words) else { return };
        let raw: &str = &self.text.text;
        let before = raw[..at].trim_end_matches([' ', '>']);
        let above = before.strip_suffix('\n').and_then(|above| above.rsplit('\n').next());
        let below = raw[at + words.len()..].lines().nth(1);
        // The lines of one list are reported once, and one line alone may be anything.
        if above.is_some_and(|above| sign(above).is_some()) || below.and_then(sign).is_none() {
            return;
        }
        let title = format!(
            "a space is missing after `{}`, so these lines run together instead of making a list",
            &words[..length]
        );
        let help = format!("write `{} {}`, and the same in the lines below", &words[..length], &words[length..]);
        self.tell(code::LIST_SIGN, title, at..at + length, help);
    }

    /// A line with a sign in front that Markdown does not know and a word that warns: the block of some other notation,
    /// whichever it is. Marks that are known as such say more, and come later.
    fn tell_odd_block(&mut self, signs: &str, words: &str, place: &Range<usize>) -> bool {
        let first = words.split(|letter: char| !letter.is_alphanumeric()).next().unwrap_or_default().to_lowercase();
        let mark = signs.trim_end();
        let known = BLOCK_MARKS.iter().any(|known| mark.starts_with(known)) || mark == ":";
        if known && alarm(&first).is_some() {
            return false;
        }
        let near = &words[..words.floor_char_boundary(SIGHT)];
        let warns = |word: &str| WARNS.contains(&word.to_lowercase().as_str());
        if !near.split(|letter: char| !letter.is_alphanumeric()).any(warns) {
            return false;
        }
        if self.manner != Manner::Caution && self.heading.is_none() {
            let title = "this line begins like a block of some other notation and warns, and is shown as it is";
            self.tell(code::CAUTION_PLAIN, title.to_owned(), place.clone(), AS_A_BLOCK.to_owned());
        }
        true
    }

    /// `caution wash-pad` on a line of its own, without a fence or with marks that do not make one.
    fn tell_unfenced(&mut self, line: &str, place: Range<usize>) -> bool {
        let Some((word, name, exact)) = ours(line) else { return false };
        let known = match word {
            CAUTION => self.context.cautions.contains(name) || exact && level_of(name).is_some(),
            QUESTIONS => self.context.banks.contains(name),
            _ => exact,
        };
        if !known {
            return false;
        }
        if word == WORKED {
            let place = self.place(&place);
            self.examples.entry(name.to_owned()).or_insert(place);
        }
        let named = format!("{word} {name}");
        let title = format!("a block `{word}` is fenced by three backticks, and this line is not");
        let help = format!("write three backticks in front of `{named}`, and three on their own line below the block");
        self.tell(code::FENCE_SHORT, title, place, help);
        true
    }

    /// A block without words after its fence, or with others, whose first line is one of ours.
    pub(super) fn tell_block_within(&mut self, body: &str, place: Range<usize>) {
        let Some((word, name, true)) = body.lines().find(|line| !line.trim().is_empty()).and_then(ours) else { return };
        let known = match word {
            CAUTION => self.context.cautions.contains(name) || level_of(name).is_some(),
            QUESTIONS => self.context.banks.contains(name),
            _ => true,
        };
        if known {
            let title = format!("`{word} {name}` is inside this block, so it is shown as it is");
            let rule = if word == CAUTION { code::CAUTION_LOST } else { code::CONSTRUCT_UNKNOWN };
            let problem = self.problem(rule, title, place);
            self.problems.push(problem.help(format!("write `{word} {name}` right after the three backticks")));
        }
    }

    /// A paragraph that warns and is shown like any other.
    fn tell_plain_caution(&mut self, place: Range<usize>) {
        if self.manner == Manner::Caution || self.heading.is_some() {
            return;
        }
        let title = "this line begins like a caution, and is shown like any other sentence".to_owned();
        self.tell(code::CAUTION_PLAIN, title, place, AS_A_BLOCK.to_owned());
    }
}

#[cfg(test)]
mod tests {
    use super::super::meant::ALARMS;
    use super::*;

    #[test]
    fn every_word_that_is_looked_for_gets_past_its_first_letter() {
        for word in WARNS.iter().chain(ALARMS).chain(&[CAUTION, QUESTIONS, WORKED]) {
            assert!(begins_a_word(word) && begins_a_word(&word.to_uppercase()), "{word}");
        }
        for word in WARNS.iter().chain(&[CAUTION, QUESTIONS, WORKED]) {
            assert!(!begins_shortly(&format!("{word} is")), "{word}");
        }
        for line in ["A worn nozzle", "- **each pass** is", "| Lawn | 3 |", "  * The tank", "## Part 3"] {
            assert!(begins_shortly(line), "{line}");
        }
        for line in
            ["A", "#Part 3", "-Fill it", "*Fill it", "!A day", "- [ ] do it", "A\u{301} day", "> A day", "1 day"]
        {
            assert!(!begins_shortly(line), "{line}");
        }
    }

    #[test]
    fn a_line_that_is_a_block_without_its_fence_is_seen() {
        for (line, expected) in [
            ("caution wash-pad", Some((CAUTION, "wash-pad", true))),
            ("> **Caution: wash-pad**", Some((CAUTION, "wash-pad", false))),
            ("{cautions wash-pad}", Some((CAUTION, "wash-pad", false))),
            ("- questions first-week", Some((QUESTIONS, "first-week", true))),
            ("worked-example gun", Some((WORKED, "gun", true))),
            ("caution is advised here", None),
            ("Questions", None),
            ("", None),
        ] {
            assert_eq!(ours(line), expected, "{line}");
        }
    }
}
