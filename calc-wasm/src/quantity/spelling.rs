//! Units as people, labels and bulletins spell them: plurals, dots, words, superscripts, `per`, `M` for a thousand.

use crate::quantity::tokens::{Digits, Token, What};
use crate::quantity::unit::{Unit, unit};
use crate::quantity::units::{ATOMS, Atom, Dim, find};
use crate::text::texts::is_letter;

/// A unit that was spelled, and how many of it one of what was written is: 0.2 for the `fl oz/gal` of `fl oz/5 gal`.
#[derive(Clone, Debug)]
pub(crate) struct Spelled {
    /// The unit.
    pub(crate) unit: Unit,
    /// What a number before it is multiplied by.
    pub(crate) times: f64,
    /// Whether it begins with an `oz` that does not say which.
    pub(crate) bare_ounces: bool,
}

/// The unit that a text spells, and nothing besides.
#[inline(never)]
pub(crate) fn alone(text: &str) -> Option<Unit> {
    let tokens = crate::quantity::tokens::tokens(text).ok()?;
    // Of `1000 ft2` the number is the unit's own; of `fl oz/5 gal` it would have to go somewhere.
    let spelled = spelled(&tokens, 0, false)?;
    (spelled.times == 1.0).then_some(spelled.unit)
}

/// How often a text may be read otherwise: `m` as meter, minute or thousand.
pub(crate) const READINGS: usize = 3;

/// Trade names for compound units: spelling without dots, then the unit it stands for.
const SHORT_NAMES: &[(&str, &str, &str)] = &[
    ("mph", "mi", "h"),
    ("gpm", "gal", "min"),
    ("gph", "gal", "h"),
    ("gpa", "gal", "acre"),
    ("gpt", "gal", "1000 ft2"),
    ("lpm", "L", "min"),
    ("kph", "km", "h"),
    ("kmh", "km", "h"),
    ("kmph", "km", "h"),
    ("mps", "m", "s"),
    ("fps", "ft", "s"),
    ("fpm", "ft", "min"),
    ("ipm", "in", "min"),
];

/// Words beside a unit that do not change it: what the liquid is, what the ground is.
const BESIDE: &[&str] = &[
    "of",
    "the",
    "water",
    "product",
    "spray",
    "mix",
    "mixture",
    "solution",
    "carrier",
    "finished",
    "total",
    "lawn",
    "turf",
    "ground",
    "area",
    "material",
    "concentrate",
    "fertilizer",
    "seed",
    "granules",
    "exactly",
    "wide",
    "long",
    "deep",
    "linear",
    "apart",
    // `15 % off`.
    "off",
    // `1/128th of an acre`.
    "th",
];

/// Words that say which part of a product is meant; only an answer may have them, for an input they change the amount.
const SUBSTANCE: &[&str] = &["n", "ai", "ae", "active", "ingredient", "nitrogen", "actual", "acid", "equivalent"];

/// Whether a word is a length, so that a 2 or 3 after it is a power.
pub(crate) fn is_length(word: &str) -> bool {
    let length = Dim { length: 1, ..Dim::default() };
    word.starts_with(is_letter) && matched(&[word]).is_some_and(|(atom, _)| atom.dim == length)
}

/// Reads the unit that `tokens` spell, in the `reading`th way; `free` lets through words for a part of the product.
///
/// `None` where something in them is not known.
pub(crate) fn spelled(tokens: &[Token], reading: usize, free: bool) -> Option<Spelled> {
    let mut kept: Vec<&What> = tokens.iter().map(|token| &token.what).filter(|what| !beside(what, free)).collect();
    // `3/4 of a gallon`, `1/128th of an acre`.
    let part_of =
        tokens.iter().take_while(|token| beside(&token.what, free)).any(|token| token.what == What::Word("of"));
    if part_of && kept.len() > 1 && is_article(kept[0]) {
        kept.remove(0);
    }
    if let Some(unit) = plainly(&kept) {
        let bare_ounces = unit.first().is_some_and(|atom| atom.symbol == "oz");
        return Some(Spelled { unit, times: 1.0, bare_ounces });
    }
    let kept = without_by_volume(&kept);
    let mut spelled = Spelled { unit: Unit::none(), times: 1.0, bare_ounces: false };
    let (mut at, mut under) = (0, false);
    if let [What::Word(word)] = kept
        && let Some((above, below)) = short(word)
    {
        spelled.unit = Unit::none().with(above, 1).with(below, -1);
        return Some(spelled);
    }
    let (mut above, mut last) = (0, None);
    while at < kept.len() {
        if above > 0
            && !matches!(last, Some(Was::Per))
            && is_per(kept[at], kept.get(at + 1).copied(), at + 1 == kept.len())
        {
            (under, last) = (true, Some(Was::Per));
            at += 1;
            continue;
        }
        // "per each gallon", "to a gallon".
        if matches!(last, Some(Was::Per)) && at + 1 < kept.len() && is_article(kept[at]) {
            at += 1;
            continue;
        }
        let us = spelled.unit.first().is_none_or(|atom| atom.us);
        let term = term(&kept[at..], Place { under, reading, us })?;
        // Units side by side would be a product; the trade writes none but kilowatt hours.
        if matches!(last, Some(Was::Unit)) && term.power > 0 {
            return None;
        }
        let sign = if under || term.power < 0 { -1 } else { 1 };
        // `ft-2` alone is per something, and does not say what.
        if above == 0 && sign < 0 {
            return None;
        }
        spelled.bare_ounces |= above == 0 && term.bare_ounces;
        spelled.times = if sign > 0 { spelled.times * term.count } else { spelled.times / term.count };
        spelled.unit = spelled.unit.with(term.atom, sign);
        (above, last) = (above + 1, Some(Was::Unit));
        at += term.taken;
        if above > 3 {
            return None;
        }
    }
    if matches!(last, Some(Was::Per)) || above == 0 {
        return None;
    }
    Some(as_pressure(spelled))
}

/// One symbol as the tables write it, or one over another: nearly every text is that.
fn plainly(kept: &[&What]) -> Option<Unit> {
    let own = |what: &What| match what {
        // These letters have other readings.
        What::Word("m" | "M" | "g") => None,
        What::Word(word) => find(word),
        _ => None,
    };
    match kept {
        [one] => Some(Unit::none().with(own(one)?, 1)),
        [one, What::Slash, under] => Some(Unit::none().with(own(one)?, 1).with(own(under)?, -1)),
        _ => None,
    }
}

enum Was {
    Per,
    Unit,
}

/// Pounds on a square inch are a pressure.
fn as_pressure(mut spelled: Spelled) -> Spelled {
    if spelled.unit == unit!("lb/in2") {
        spelled.unit = unit!("psi");
    }
    spelled
}

fn short(word: &str) -> Option<(&'static Atom, &'static Atom)> {
    let names = SHORT_NAMES.iter().find(|(name, ..)| same(name, word))?;
    Some((find(names.1)?, find(names.2)?))
}

fn beside(what: &What, free: bool) -> bool {
    // A dash in `fl-oz` and `sq-ft` only joins.
    let What::Word(word) = what else { return matches!(what, What::Equals | What::Dash) };
    let among = |words: &[&str]| words.iter().any(|known| same(known, word));
    among(BESIDE) || free && among(SUBSTANCE)
}

/// Without the `v/v` or `by volume` that labels put after a percentage.
fn without_by_volume<'k, 't>(kept: &'k [&'t What<'t>]) -> &'k [&'t What<'t>] {
    let is = |at: usize, name: &str| matches!(kept.get(at), Some(What::Word(word)) if same(name, word));
    let by_volume = is(0, "%") && kept.len() == 3 && (is(1, "by") && (is(2, "volume") || is(2, "vol")))
        || is(0, "%") && kept.len() == 4 && is(1, "v") && *kept[2] == What::Slash && is(3, "v")
        || is(0, "%") && kept.len() == 2 && is(1, "vv");
    if by_volume { &kept[..1] } else { kept }
}

/// Whether a word or mark comes between an amount and what it is per.
fn is_per(what: &What, next: Option<&What>, last: bool) -> bool {
    match what {
        What::Slash => true,
        What::Word(word) => {
            let among = |words: &[&str]| words.iter().any(|known| same(known, word));
            among(&["per", "each", "every", "for", "to", "on"]) && !last
                || among(&["a", "an"]) && !last && !matches!(next, Some(What::Slash))
                || same("over", word) && matches!(next, Some(What::Number(_)))
                || same("in", word) && next.is_some_and(|next| matches!(next, What::Number(_)) || is_article(next))
        }
        _ => false,
    }
}

fn is_article(what: &What) -> bool {
    matches!(what, What::Word(word) if ["a", "an", "each", "every", "one"].iter().any(|known| same(known, word)))
}

/// Where in a unit a term is.
#[derive(Clone, Copy)]
struct Place {
    under: bool,
    reading: usize,
    us: bool,
}

struct Term {
    atom: &'static Atom,
    count: f64,
    power: i8,
    taken: usize,
    bare_ounces: bool,
}

/// One factor of a unit: `gal`, `1000 sq ft`, `M`, `square feet`, `ft²`, `ha⁻¹`, `5 gal`.
fn term(kept: &[&What], place: Place) -> Option<Term> {
    let (count, mut taken) = count(kept, place);
    let words: Vec<&str> = kept[taken..].iter().map_while(|what| as_word(what)).take(4).collect();
    let Some(first) = words.first() else {
        // `gal per 1000`, `qt per hundred`: the trade leaves the unit out.
        let atom = find(if count == 1000.0 { "1000 ft2" } else { "100 gal" })?;
        let known = place.under && place.us && (count == 1000.0 || count == 100.0) && kept.len() == taken;
        return known.then_some(Term { atom, count: 1.0, power: 1, taken, bare_ounces: false });
    };
    let (mut atom, mut power) = (None, 1);
    let lead = ["sq", "square"].iter().any(|name| same(name, first));
    if lead && let Some((side, more)) = words.get(1..).filter(|rest| !rest.is_empty()).and_then(matched) {
        (atom, taken) = (Some(raised(side, 2)?), taken + 1 + more);
    }
    let lead = ["cu", "cubic"].iter().any(|name| same(name, first));
    if lead && let Some((side, more)) = words.get(1..).filter(|rest| !rest.is_empty()).and_then(matched) {
        (atom, taken) = (Some(raised(side, 3)?), taken + 1 + more);
    }
    let mut bare_ounces = false;
    if atom.is_none() {
        if let Some((symbol, _)) = other_reading(first, place) {
            (atom, taken) = (Some(find(symbol)?), taken + 1);
        } else {
            let (own, more) = matched(&words)?;
            bare_ounces = own.symbol == "oz" && more == 1;
            (atom, taken) = (Some(own), taken + more);
        }
    }
    let mut atom = atom?;
    match kept.get(taken) {
        Some(What::Power(raise @ (2 | 3))) => (atom, taken) = (raised(atom, *raise)?, taken + 1),
        Some(What::Power(-1)) => (power, taken) = (-1, taken + 1),
        Some(What::Power(-2)) => (atom, power, taken) = (raised(atom, 2)?, -1, taken + 1),
        // `ft sq`, `feet squared`.
        Some(What::Word(word)) if same("squared", word) || same("sq", word) => {
            (atom, taken) = (raised(atom, 2)?, taken + 1);
        }
        _ => {}
    }
    let counted =
        ATOMS.iter().find(|row| row.counts.is_some_and(|(many, base)| f64::from(many) == count && base == atom.symbol));
    let (atom, count) = counted.map_or((atom, count), |row| (row, 1.0));
    Some(Term { atom, count, power, taken, bare_ounces })
}

fn as_word<'t>(what: &What<'t>) -> Option<&'t str> {
    match what {
        What::Word(word) => Some(word),
        _ => None,
    }
}

/// How many of the unit are counted, and how many tokens say so.
fn count(kept: &[&What], place: Place) -> (f64, usize) {
    let word = |at: usize, name: &str| matches!(kept.get(at), Some(What::Word(word)) if same(name, word));
    let thousand = |at: usize| word(at, "k") || word(at, "thousand") || matches!(kept.get(at), Some(What::Word("M")));
    let followed = |at: usize| matches!(kept.get(at), Some(What::Word(_)));
    match kept.first() {
        Some(What::Number(Digits { value, whole: true, .. })) if *value > 0.0 => {
            let one = *value == 1.0 || *value == 100.0 || *value == 1000.0;
            if *value == 1.0 && thousand(1) {
                return (1000.0, 2);
            }
            // Of five gallons only where something is mixed into them.
            if one || place.under { (*value, 1) } else { (1.0, 0) }
        }
        // `M` by itself is left to the readings.
        Some(What::Word("M")) if !followed(1) => (1.0, 0),
        Some(What::Word(_)) if thousand(0) && (followed(1) || place.under) => (1000.0, 1),
        Some(What::Word(_)) if word(0, "hundred") => (100.0, 1),
        _ => (1.0, 0),
    }
}

/// What a single letter or mark may stand for besides its own row, by the reading that is tried.
fn other_reading(word: &str, place: Place) -> Option<(&'static str, ())> {
    let symbols: [&'static str; READINGS] = match word {
        "M" if place.under => ["1000 ft2", "min", "m"],
        "M" => ["m", "min", "1000 ft2"],
        // A metric rate is per meter or per minute, never per thousand square feet.
        "m" if place.under && place.us => ["m", "min", "1000 ft2"],
        "m" => ["m", "min", "m"],
        // `3 oz/g`: nobody weighs out ounces for a gram.
        "g" | "G" if place.under && place.us => ["gal", "g", "gal"],
        "'" => ["ft", "min", "ft"],
        "\"" => ["in", "s", "in"],
        "k" | "K" => ["1000 ft2"; READINGS],
        "#" => ["lb"; READINGS],
        _ => return None,
    };
    symbols.get(place.reading).map(|symbol| (*symbol, ()))
}

/// The row of a square or a cube of a length.
fn raised(side: &'static Atom, power: i8) -> Option<&'static Atom> {
    match power {
        2 => ATOMS.iter().find(|row| row.side == Some(side.symbol)),
        _ => match side.symbol {
            "in" => find("in3"),
            "ft" => find("ft3"),
            "m" => find("m3"),
            "cm" => find("mL"),
            _ => None,
        },
    }
}

/// The row that the most of these words spell, and how many they are.
fn matched(words: &[&str]) -> Option<(&'static Atom, usize)> {
    if let [word] = words
        && let Some(row) = find(word)
    {
        return Some((row, 1));
    }
    // Hundreds of spellings are compared with every word, and nearly all differ in their first letter.
    let first = |text: &str| text.as_bytes().first().map(u8::to_ascii_lowercase);
    let letter = first(words.first()?);
    let dotted = letter == Some(b'.');
    let mut best: Option<(&'static Atom, usize)> = None;
    for row in &ATOMS {
        for spelling in std::iter::once(&row.symbol).chain(row.spellings()) {
            if (dotted || first(spelling) == letter)
                && let Some(taken) = spells(spelling, words)
                && best.is_none_or(|(_, most)| taken > most)
            {
                best = Some((row, taken));
            }
        }
    }
    best
}

/// How many of the words a spelling is, with or without an s at the end of its last.
fn spells(spelling: &str, words: &[&str]) -> Option<usize> {
    let mut taken = 0;
    let mut left = spelling;
    loop {
        let (one, rest) = left.split_once(' ').unwrap_or((left, ""));
        let word = words.get(taken)?;
        taken += 1;
        let ended = rest.is_empty() && one.len() > 1 && plural(one, word);
        if !(same(one, word) || ended) {
            return None;
        }
        if rest.is_empty() {
            return Some(taken);
        }
        left = rest;
    }
}

fn plural(one: &str, word: &str) -> bool {
    word.len() == one.len() + 1 && word.ends_with(['s', 'S']) && same(one, &word[..one.len()])
}

/// Whether a word is a known one, whatever the size of its letters and with or without the dots of an abbreviation.
pub(crate) fn same(known: &str, word: &str) -> bool {
    if known.len() == word.len() {
        return known.eq_ignore_ascii_case(word);
    }
    word.as_bytes().contains(&b'.')
        && known.chars().eq(word.chars().filter(|letter| *letter != '.').map(|letter| letter.to_ascii_lowercase()))
}
