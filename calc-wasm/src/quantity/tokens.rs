//! A typed text cut into numbers, words and marks, in one pass and without copying it.

use crate::quantity::typed::Misread;
use crate::text::figures::read_decimal;
use crate::text::texts::{is_letter, is_letter_or_number};

/// A piece of a text, with its place in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Token<'t> {
    /// What it is.
    pub(crate) what: What<'t>,
    /// Its first byte.
    pub(crate) start: usize,
    /// The byte after its last.
    pub(crate) end: usize,
}

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum What<'t> {
    /// Digits with at most one point: `1,250.5`.
    Number(Digits),
    /// A fraction in one sign: `½`.
    Glyph(f64),
    /// Letters, a mark for a unit (`%`, `'`, `"`, `#`), as written.
    Word(&'t str),
    /// A square or a cube: the 2 of `ft2`, `ft²` and `ft^2`; below zero for one under the line, as in `ha⁻¹`.
    Power(i8),
    /// `/`
    Slash,
    /// `-` in any of its forms.
    Dash,
    /// `+`
    Plus,
    /// `:`
    Colon,
    /// `,`, `;` or `&` between two parts.
    And,
    /// `~` and its like.
    About,
    /// `=` and its like, which say nothing.
    Equals,
}

/// A number as it was typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Digits {
    /// Its value.
    pub(crate) value: f64,
    /// Places after the point.
    pub(crate) places: i32,
    /// Zeros at the end of a whole number: 2 of 1500.
    pub(crate) zeros: i32,
    /// Whether it has no point.
    pub(crate) whole: bool,
}

/// Cuts a text up.
///
/// # Errors
/// A comma that groups nothing, a second decimal point, and characters that no quantity has.
pub(crate) fn tokens(text: &str) -> Result<Vec<Token<'_>>, Misread> {
    let mut found: Vec<Token> = Vec::with_capacity(8);
    let mut at = 0;
    while let Some(letter) = text[at..].chars().next() {
        let (what, end) = match letter {
            _ if letter.is_whitespace() || matches!(letter, '(' | ')' | '·' | '\u{200b}') => {
                at += letter.len_utf8();
                continue;
            }
            // As amounts are shown: `43.56 × 1000 ft²`.
            '×' if text[at + 2..].trim_start().starts_with("100") => {
                at += 2;
                continue;
            }
            'x' if ["1000", "1,000", "100 m"].iter().any(|count| text[at + 1..].trim_start().starts_with(count)) => {
                at += 1;
                continue;
            }
            '0'..='9' => digits(text, at, found.last())?,
            '.' if text[at + 1..].starts_with(|next: char| next.is_ascii_digit()) => digits(text, at, None)?,
            // A full stop after a word or a number shortens or ends it.
            '.' | '!' | '?' | '…' if !found.is_empty() => {
                at += letter.len_utf8();
                continue;
            }
            '½' | '¼' | '¾' | '⅓' | '⅔' | '⅛' | '⅜' | '⅝' | '⅞' => {
                (What::Glyph(glyph(letter)), at + letter.len_utf8())
            }
            '²' => (What::Power(2), at + 2),
            '³' => (What::Power(3), at + 2),
            '⁻' => (What::Power(if text[at + 3..].starts_with('²') { -2 } else { -1 }), at + 5),
            '^' => power(text, at)?,
            '*' if text[at..].starts_with("**") => power(text, at + 1)?,
            '/' | '⁄' | '∕' => (What::Slash, at + letter.len_utf8()),
            '-' | '−' | '–' | '—' | '‐' | '‑' => {
                let end = at + letter.len_utf8();
                // `L ha-1`: nothing follows it, or it would be the next part of a compound.
                let joined = matches!(found.last(), Some(Token { what: What::Word(unit), end, .. })
                    if *end == at && unit.starts_with(is_letter));
                match text[end..].trim_end() {
                    "1" if joined => (What::Power(-1), end + 1),
                    "2" if joined => (What::Power(-2), end + 1),
                    _ => (What::Dash, end),
                }
            }
            '+' => (What::Plus, at + 1),
            ':' => (What::Colon, at + 1),
            ',' | ';' | '&' => (What::And, at + 1),
            '~' | '≈' | '∼' | '≅' => (What::About, at + letter.len_utf8()),
            '=' => (What::Equals, at + 1),
            '\'' if text[at..].starts_with("''") => (What::Word("\""), at + 2),
            '\'' | '′' | '’' | '‘' => (What::Word("'"), at + letter.len_utf8()),
            '"' | '″' | '”' | '“' => (What::Word("\""), at + letter.len_utf8()),
            '%' | '#' => (What::Word(&text[at..=at]), at + 1),
            _ if is_letter(letter) => {
                let (word, end) = word(text, at);
                // `gal's`, "it's".
                let of = ["'s", "’s"].iter().find(|of| text[end..].to_ascii_lowercase().starts_with(**of));
                let of = of.filter(|of| end - at > 1 && !text[end + of.len()..].starts_with(is_letter_or_number));
                (word, end + of.map_or(0, |of| of.len()))
            }
            _ => return Err(Misread::NotANumber),
        };
        found.push(Token { what, start: at, end });
        at = end;
    }
    Ok(found)
}

fn glyph(letter: char) -> f64 {
    match letter {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        _ => 0.875,
    }
}

/// `^2`, `^3`, `^-1`: the mark is at `at`.
fn power(text: &str, at: usize) -> Result<(What<'static>, usize), Misread> {
    let rest = &text[at + 1..];
    let (sign, rest, past) = match rest.strip_prefix('-') {
        Some(rest) => (-1, rest, at + 3),
        None => (1, rest, at + 2),
    };
    match rest.as_bytes().first() {
        Some(digit @ b'1'..=b'3') => Ok((What::Power(sign * (digit - b'0') as i8), past)),
        _ => Err(Misread::NotANumber),
    }
}

/// Letters in a row; `m.p.h.` and `U.S.` are one word each.
fn word(text: &str, at: usize) -> (What<'_>, usize) {
    let letters = |from: usize| text[from..].chars().take_while(|letter| is_letter(*letter));
    let length = |from: usize| letters(from).map(char::len_utf8).sum::<usize>();
    let mut end = at + length(at);
    if letters(at).count() == 1 {
        let mut dotted = end;
        while text[dotted..].starts_with('.') && letters(dotted + 1).count() == 1 {
            dotted += 1 + length(dotted + 1);
        }
        // `S.F.` is one word, `a.` and `5 m.` are not.
        end = dotted;
    }
    (What::Word(&text[at..end]), end)
}

/// A number, or the power of the length just before it: the 2 of `ft2`.
fn digits<'t>(text: &str, at: usize, before: Option<&Token>) -> Result<(What<'t>, usize), Misread> {
    let bytes = text.as_bytes();
    if let Some(Token { what: What::Word(word), end, .. }) = before
        && *end == at
        && matches!(bytes[at], b'2' | b'3')
        && crate::quantity::spelling::is_length(word)
        && !goes_on(&text[at + 1..])
    {
        return Ok((What::Power((bytes[at] - b'0') as i8), at + 1));
    }
    let (mut end, mut point, mut groups) = (at, None, false);
    while let Some(byte) = bytes.get(end) {
        let followed = bytes.get(end + 1).is_some_and(u8::is_ascii_digit);
        match byte {
            b'0'..=b'9' => end += 1,
            b'.' if point.is_none() => {
                point = Some(end);
                end += 1;
            }
            b',' if followed => {
                groups = true;
                end += 1;
            }
            _ => match spaced_group(&text[end..]) {
                Some(space) if point.is_none() && end > at => end += space,
                _ => break,
            },
        }
    }
    // A second point is not the end of a sentence.
    if bytes.get(end) == Some(&b'.') && bytes.get(end + 1).is_some_and(u8::is_ascii_digit) {
        return Err(Misread::TwoPoints);
    }
    let written = &text[at..end];
    if groups && !commas_group(written) {
        return Err(Misread::Comma);
    }
    let plain: String = written.chars().filter(|letter| letter.is_ascii_digit() || *letter == '.').collect();
    let value = read_decimal(&plain).ok_or(Misread::NotANumber)?;
    let places = plain.split_once('.').map_or(0, |(_, places)| places.len() as i32);
    let whole = !plain.as_bytes().contains(&b'.');
    let zeros = if whole { (plain.len() - plain.trim_end_matches('0').len()) as i32 } else { 0 };
    Ok((What::Number(Digits { value, places, zeros, whole }), end))
}

/// Whether what follows a digit makes it more than a power: another digit, a unit of its own (`7ft2in`), a place after
/// the point.
fn goes_on(rest: &str) -> bool {
    let mut letters = rest.chars();
    match letters.next() {
        Some('.') => letters.next().is_some_and(|next| next.is_ascii_digit()),
        Some(next) => is_letter_or_number(next) || matches!(next, '\'' | '"' | '′' | '″' | '’' | '”'),
        None => false,
    }
}

/// A thin or narrow space that groups three digits: `12 500` set as in print; its length.
fn spaced_group(rest: &str) -> Option<usize> {
    let space = rest.chars().next().filter(|letter| matches!(letter, '\u{2009}' | '\u{202f}'))?.len_utf8();
    let group = rest[space..].bytes().take_while(u8::is_ascii_digit).count();
    (group == 3).then_some(space)
}

fn commas_group(written: &str) -> bool {
    let whole = written.split('.').next().unwrap_or(written);
    let mut groups = whole.split(',');
    // Nobody groups a number that begins with nothing: `0,333` has a comma for its point.
    let first = groups.next().is_some_and(|group| (1..=3).contains(&group.len()) && !group.starts_with('0'));
    first
        && groups.all(|group| group.len() == 3)
        && !written.split('.').skip(1).any(|part| part.as_bytes().contains(&b','))
}
