//! The parts of a typed quantity: `1 gal 58 fl oz` has two, `7'6"` too, `-15 %` one with a sign for the whole.

use crate::quantity::spelling::same;
use crate::quantity::tokens::{Digits, Token, What, tokens};
use crate::quantity::typed::{LONGEST, Misread};

/// Whether a number says more or less than what it is compared with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Side {
    /// It does not say: `15 %`.
    #[default]
    Open,
    /// `+15 %`, `15 % over`, `15 % too high`.
    Over,
    /// `-15 %`, `15 % under`, `15 % low`, `2 gal short`.
    Under,
}

/// A number with the unit after it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct NumberWithUnit<'k, 't> {
    /// The number, not negative.
    pub(crate) number: f64,
    /// One in its last digit typed; 0 for a fraction, which is exact.
    pub(crate) place: f64,
    /// The same without zeros that end a whole number: 100 for 1500.
    pub(crate) coarse: f64,
    /// What spells the unit; may be empty.
    pub(crate) unit: &'k [Token<'t>],
}

/// A whole text taken apart.
#[derive(Debug)]
pub(crate) struct Whole<'k, 't> {
    /// Its parts, the largest unit first.
    pub(crate) parts: Vec<NumberWithUnit<'k, 't>>,
    /// Whether a minus sign comes before the whole.
    pub(crate) minus: bool,
    /// What its sign or its words say.
    pub(crate) side: Side,
    /// The word that says it; `None` for a sign.
    pub(crate) side_word: Option<&'t str>,
}

/// Cuts a text of at most [`LONGEST`] bytes up.
pub(crate) fn cut(text: &str) -> Result<Vec<Token<'_>>, Misread> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Misread::Empty);
    }
    if text.len() > LONGEST {
        return Err(Misread::TooLong);
    }
    tokens(text)
}

const ABOUT: &[&str] = &["about", "approx", "approximately", "around", "roughly", "ca", "circa", "nearly", "almost"];
const OVER: &[&str] = &[
    "over",
    "above",
    "more",
    "high",
    "higher",
    "heavy",
    "up",
    "plus",
    "extra",
    "larger",
    "faster",
    "much",
    "many",
    "increase",
    "increased",
    "rise",
    "gain",
];
const UNDER: &[&str] = &[
    "under",
    "below",
    "less",
    "low",
    "lower",
    "light",
    "short",
    "down",
    "minus",
    "negative",
    "fewer",
    "smaller",
    "slower",
    "missing",
    "little",
    "few",
    "drop",
    "dropped",
    "decrease",
    "decreased",
    "reduction",
    "reduced",
    "loss",
];
const IDLE: &[&str] = &[
    "by", "too", "it", "is", "its", "was", "the", "a", "an", "of", "answer", "equals", "i", "get", "just", "only",
    "exactly",
];

/// Takes the tokens of a text apart.
///
/// # Errors
/// No number, or marks where none can be.
pub(crate) fn whole<'k, 't>(tokens: &'k [Token<'t>]) -> Result<Whole<'k, 't>, Misread> {
    let mut whole = Whole { parts: Vec::new(), minus: false, side: Side::Open, side_word: None };
    let mut at = 0;
    // What comes before the number.
    loop {
        match tokens.get(at).map(|token| &token.what) {
            Some(What::About | What::Equals) => {}
            // "Answer: 2.5 gal".
            Some(What::Colon) if at > 0 => {}
            Some(What::Dash) if !whole.minus && whole.side == Side::Open => {
                (whole.minus, whole.side) = (true, Side::Under)
            }
            Some(What::Plus) if whole.side == Side::Open => whole.side = Side::Over,
            Some(What::Word(word)) => whole.word(word, tokens.get(at + 1))?,
            Some(What::Number(_) | What::Glyph(_)) => break,
            _ => return Err(Misread::NotANumber),
        }
        at += 1;
    }
    while at < tokens.len() {
        let ((number, place, coarse), after) = number(tokens, at)?;
        let (end, next) = unit_end(tokens, after)?;
        whole.parts.push(NumberWithUnit { number, place, coarse, unit: &tokens[after..end] });
        if whole.parts.len() > 4 {
            return Err(Misread::MixedParts);
        }
        at = next;
    }
    whole.words_after()?;
    Ok(whole)
}

impl<'t> Whole<'_, 't> {
    /// A word before the number, or after its unit.
    fn word(&mut self, word: &'t str, next: Option<&Token>) -> Result<(), Misread> {
        let among = |words: &[&str]| words.iter().any(|known| same(known, word));
        if let Some(side) = side_of(word, next) {
            // "minus 15 % over" says two things.
            if self.side != Side::Open && self.side != side {
                return Err(Misread::NotANumber);
            }
            (self.side, self.side_word) = (side, Some(word));
        } else if !among(IDLE) && !among(ABOUT) {
            return Err(Misread::NotANumber);
        }
        Ok(())
    }

    /// Takes `under` and `too high` off the last unit.
    fn words_after(&mut self) -> Result<(), Misread> {
        let Some(last) = self.parts.last_mut() else { return Ok(()) };
        let unit = last.unit;
        let says = |at: usize| match unit[at].what {
            // `2 gal over 1000 ft2`
            What::Word(word) if same("over", word) && unit.get(at + 1).is_some_and(counted) => false,
            What::Word(word) => {
                side_of(word, unit.get(at + 1)).is_some()
                    || ["too", "by"].iter().any(|known| same(known, word)) && at > 0
                    || ABOUT.iter().any(|known| same(known, word))
            }
            _ => false,
        };
        let Some(from) = (0..unit.len()).find(|at| says(*at)) else { return Ok(()) };
        // `oz by weight` and `% by volume` are units.
        let by_what = matches!((&unit[from].what, unit.get(from + 1).map(|token| &token.what)), (What::Word(word), Some(What::Word(_))) if same("by", word));
        if by_what {
            return Ok(());
        }
        last.unit = &unit[..from];
        for at in from..unit.len() {
            let What::Word(word) = unit[at].what else { return Err(Misread::NotANumber) };
            // After the word that says it, what it is compared with may follow: "less than planned".
            match self.word(word, unit.get(at + 1)) {
                Err(_) if self.side_word.is_some() => break,
                done => done?,
            }
        }
        Ok(())
    }
}

fn counted(token: &Token) -> bool {
    matches!(token.what, What::Number(_))
}

fn side_of(word: &str, next: Option<&Token>) -> Option<Side> {
    let among = |words: &[&str]| words.iter().any(|known| same(known, word));
    let ton =
        matches!(next, Some(Token { what: What::Word(next), .. }) if next.to_ascii_lowercase().starts_with("ton"));
    match () {
        () if among(OVER) => Some(Side::Over),
        () if among(UNDER) && !ton => Some(Side::Under),
        () => None,
    }
}

/// Where the unit that begins at `from` ends, and where the next part begins.
fn unit_end(tokens: &[Token], from: usize) -> Result<(usize, usize), Misread> {
    let number = |at: usize| matches!(tokens.get(at), Some(Token { what: What::Number(_) | What::Glyph(_), .. }));
    let mut at = from;
    while at < tokens.len() {
        match &tokens[at].what {
            What::Number(digits) => {
                let counts = at == from && digits.whole && (digits.value == 1000.0 || digits.value == 100.0);
                let unit = matches!(tokens.get(at + 1), Some(Token { what: What::Word(_), .. }));
                if !(counts && unit || at > from && announces(&tokens[at - 1])) {
                    return Ok((at, at));
                }
            }
            What::Glyph(_) => return Ok((at, at)),
            What::And | What::Plus if number(at + 1) => return Ok((at, at + 1)),
            What::Word(word) if (same("and", word) || same("plus", word)) && number(at + 1) => return Ok((at, at + 1)),
            // As drawings write feet and inches: 7'-6".
            What::Dash if at > from && tokens[at - 1].what == What::Word("'") && number(at + 1) => {
                return Ok((at, at + 1));
            }
            // A sign belongs before the whole.
            What::Dash if number(at + 1) => return Err(Misread::MixedParts),
            What::And | What::Plus | What::Colon | What::About => return Err(Misread::NotANumber),
            _ => {}
        }
        at += 1;
    }
    Ok((at, at))
}

/// Whether a number after this token is a count of the unit, as in `per 1000 ft2`.
fn announces(token: &Token) -> bool {
    match &token.what {
        What::Slash => true,
        What::Word(word) => ["per", "each", "every", "a", "an", "to", "on", "for", "in", "over", "the"]
            .iter()
            .any(|known| same(known, word)),
        _ => false,
    }
}

type Number = ((f64, f64, f64), usize);

/// A number: `1,250.5`, `3/4`, `1 1/2`, `2-1/2`, `1 and 1/2`, `2½`.
fn number(tokens: &[Token], at: usize) -> Result<Number, Misread> {
    if let Some((share, after)) = fraction(tokens, at)? {
        return Ok(((share, 0.0, 0.0), after));
    }
    let Some(Token { what: What::Number(digits), end, .. }) = tokens.get(at) else { return Err(Misread::NotANumber) };
    if digits.whole {
        let joined = match tokens.get(at + 1) {
            Some(Token { what: What::Dash, start, end: past }) => {
                let close = start == end && tokens.get(at + 2).is_some_and(|next| next.start == *past);
                if close { at + 2 } else { at + 1 }
            }
            Some(Token { what: What::Word(word), .. }) if same("and", word) => at + 2,
            _ => at + 1,
        };
        if let Some((share, after)) = fraction(tokens, joined)?
            && share < 1.0
        {
            return Ok(((digits.value + share, 0.0, 0.0), after));
        }
    }
    let Digits { value, places, zeros, .. } = *digits;
    let place = tens(-places);
    Ok(((value, place, place * tens(zeros)), at + 1))
}

fn tens(power: i32) -> f64 {
    let size = crate::text::figures::power_of_ten(power.unsigned_abs());
    if power < 0 { 1.0 / size } else { size }
}

fn fraction(tokens: &[Token], at: usize) -> Result<Option<(f64, usize)>, Misread> {
    let digits = |at: usize| match tokens.get(at) {
        Some(Token { what: What::Number(digits), start, end }) if digits.whole => Some((digits.value, *start, *end)),
        _ => None,
    };
    if let Some(Token { what: What::Glyph(share), .. }) = tokens.get(at) {
        return Ok(Some((*share, at + 1)));
    }
    let (Some((top, _, end)), Some((bottom, start, _))) = (digits(at), digits(at + 2)) else { return Ok(None) };
    let Some(Token { what: What::Slash, start: from, end: to }) = tokens.get(at + 1) else { return Ok(None) };
    match (*from == end && *to == start, bottom > 0.0) {
        (false, _) => Ok(None),
        (true, false) => Err(Misread::NotANumber),
        (true, true) => Ok(Some((top / bottom, at + 3))),
    }
}

/// `1:15` as a stopwatch shows it, `1:02:30` with hours, and the unit after it: seconds, and the last part.
///
/// The unit belongs to the whole: `1:15 h` is an hour and a quarter, `1:15 min` and `1:15 s` (which a form adds) are
/// 75 seconds. `None` where there is no colon after a number.
///
/// # Errors
/// A minute of more than 60 seconds, a unit that no watch shows.
pub(crate) fn watch(text: &str, tokens: &[Token]) -> Option<Result<(f64, f64), Misread>> {
    let first = tokens.iter().position(|token| !matches!(token.what, What::About | What::Equals))?;
    let tokens = &tokens[first..];
    let is_colon = |at: usize| matches!(tokens.get(at), Some(Token { what: What::Colon, .. }));
    is_colon(1).then(|| {
        let number = |at: usize| match tokens.get(at) {
            Some(Token { what: What::Number(digits), .. }) => Some(*digits),
            _ => None,
        };
        let text_of = |at: usize| tokens.get(at).map_or("", |token| text.get(token.start..token.end).unwrap_or(""));
        let sixty = |at: usize| {
            let two = text_of(at).split('.').next().unwrap_or("").len() == 2;
            number(at).filter(|digits| two && digits.value < 60.0).ok_or(Misread::NotANumber)
        };
        let large = number(0).filter(|digits| digits.whole).ok_or(Misread::NotANumber)?;
        let middle = sixty(2)?;
        let (small, after) = if is_colon(3) { (Some(sixty(4)?), 5) } else { (None, 3) };
        let unit = match &tokens[after..] {
            [] => "",
            [Token { what: What::Word(word), .. }] => word,
            rest => return Err(unknown(text, rest)),
        };
        let among = |words: &[&str]| words.iter().any(|known| same(known, unit));
        let hours = among(&["h", "hr", "hrs", "hour", "hours"]);
        if !unit.is_empty()
            && !hours
            && !among(&["s", "sec", "secs", "second", "seconds", "m", "min", "mins", "minute", "minutes"])
        {
            return Err(unknown(text, &tokens[after..]));
        }
        match small {
            Some(small) if middle.whole => Ok((large.value * 3600.0 + middle.value * 60.0 + small.value, small.value)),
            Some(_) => Err(Misread::NotANumber),
            None if hours => Ok((large.value * 3600.0 + middle.value * 60.0, middle.value)),
            None => Ok((large.value * 60.0 + middle.value, middle.value)),
        }
    })
}

/// A unit that is not known, as it was typed.
pub(crate) fn unknown(text: &str, tokens: &[Token]) -> Misread {
    let typed = match (tokens.first(), tokens.last()) {
        (Some(first), Some(last)) => text.get(first.start..last.end).unwrap_or(text),
        _ => text,
    };
    Misread::UnitUnknown(typed.to_owned())
}
