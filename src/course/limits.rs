//! A label's maximum that is written only in words, compared with the rates of product that are worked beside it.

use std::collections::BTreeSet;
use std::ops::Range;

use crate::catalogue::{LimitList, limit_lists};
use tankside_calc::calculation::label::MAX;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::order::above;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::Outcome;

/// The phrase that lists such words in front of an amount.
pub(super) const BEFORE: &str = "desk.limit-before";
/// The phrase that lists those after it.
pub(super) const AFTER: &str = "desk.limit-after";

/// How far in front of its amount such a word is looked for.
const REACH: usize = 60;

/// The words that make an amount the most there may be, in front of it and after it, in small letters.
#[derive(Clone, Debug)]
pub(crate) struct LimitWords {
    before: Vec<String>,
    after: Vec<String>,
    beginnings: Beginnings,
}

/// Some words by how they begin, so that nearly every place of a text where none of them begins is passed: there are
/// dozens of words, and a text is not gone through once for each.
#[derive(Clone, Debug)]
struct Beginnings {
    /// What each byte is: [`FIRST`] if one of them begins with it, [`LETTER`] if a word may go on with it.
    bytes: [u8; 256],
    by_first_byte: Vec<Vec<String>>,
    /// A bit for the first three bytes of each; several may share one.
    bits: [u64; 64],
    /// Words too short for that.
    short: bool,
}

const FIRST: u8 = 1;
// The next bit: shifted down, it hides `FIRST` in the byte that follows.
const LETTER: u8 = FIRST << 1;

impl Beginnings {
    fn of<'w>(words: impl Iterator<Item = &'w String>) -> Beginnings {
        let by_first_byte = vec![Vec::new(); 256];
        let letter = |byte: usize| if (byte as u8).is_ascii_alphanumeric() { LETTER } else { 0 };
        let bytes = std::array::from_fn(letter);
        let mut beginnings = Beginnings { bytes, by_first_byte, bits: [0; 64], short: false };
        for word in words {
            match word.as_bytes() {
                [one, two, three, ..] => {
                    let (word, bit) = Beginnings::place([*one, *two, *three]);
                    beginnings.bits[word] |= bit;
                }
                _ => beginnings.short = true,
            }
            if let Some(first) = word.bytes().next() {
                beginnings.bytes[usize::from(first)] |= FIRST;
                beginnings.by_first_byte[usize::from(first)].push(word.clone());
            }
        }
        beginnings
    }

    /// The word and the bit of three bytes.
    fn place([one, two, three]: [u8; 3]) -> (usize, u64) {
        let hash = u32::from_le_bytes([one, two, three, 0]).wrapping_mul(0x9e37_79b1) >> 20;
        (hash as usize >> 6, 1 << (hash & 63))
    }

    /// Whether one of the words may begin with these bytes.
    fn may_begin(&self, bytes: &[u8]) -> bool {
        let [one, two, three, ..] = *bytes else { return self.short };
        let (word, bit) = Beginnings::place([one, two, three]);
        self.short || self.bits[word] & bit != 0
    }

    /// Whether one of the words is at a place of a text, as a whole word.
    fn is_at(&self, text: &str, at: usize) -> bool {
        let bytes = &text.as_bytes()[at..];
        let here = |word: &String| bytes.starts_with(word.as_bytes()) && stands_alone(text, at, word);
        self.by_first_byte[usize::from(bytes[0])].iter().any(here)
    }
}

impl LimitWords {
    /// Those of a language, of the stock's first one and of the languages listed, in which a course may have texts as
    /// well.
    pub(crate) fn of(phrases: &Phrases) -> LimitWords {
        let all = |key: &str, listed: fn(&LimitList) -> &str| -> Vec<String> {
            let lists = [phrases, crate::catalogue::first_phrases()].into_iter().filter_map(|own| own.find(key));
            let words = lists.chain(limit_lists().values().map(listed)).flat_map(|list| list.split(','));
            let words: BTreeSet<String> = words.map(|word| word.trim().to_lowercase()).collect();
            words.into_iter().filter(|word| !word.is_empty()).collect()
        };
        let (before, after) = (all(BEFORE, |list| &list.before), all(AFTER, |list| &list.after));
        let beginnings = Beginnings::of(before.iter().chain(&after));
        LimitWords { before, after, beginnings }
    }

    /// Whether the words of a language are listed; those of `es` serve `es-MX` as well.
    pub(super) fn listed(language: &str) -> bool {
        limit_lists().contains_key(language.split('-').next().unwrap_or(language))
    }
}

/// Where a text has a word as a whole: not the `max` of `maximal`.
fn has_word(text: &str, word: &str) -> Option<usize> {
    memchr::memmem::find_iter(text.as_bytes(), word).filter(|at| stands_alone(text, *at, word)).last()
}

/// Whether a word that a text has at a place is a whole word there.
fn stands_alone(text: &str, at: usize, word: &str) -> bool {
    let letter = |letter: Option<char>| letter.is_some_and(char::is_alphanumeric);
    !letter(text[..at].chars().next_back()) && !letter(text[at + word.len()..].chars().next())
}

/// An amount that a text calls a maximum.
#[derive(Debug)]
pub(crate) struct Limit {
    si: f64,
    unit: Unit,
    /// As it is written, and where.
    pub(crate) place: Range<usize>,
}

/// Whether a text may name a maximum at all: what has no such word need not be filled with numbers and searched.
pub(crate) fn may_limit(text: &str, words: &LimitWords) -> bool {
    let text = text.to_lowercase();
    let (bytes, begun) = (text.as_bytes(), &words.beginnings);
    let mut before = 0;
    for (at, byte) in bytes.iter().enumerate() {
        // Most bytes begin no word, and no word begins within a word.
        let here = begun.bytes[usize::from(*byte)];
        let begins = here & !before & FIRST != 0;
        before = here >> 1;
        if begins && begun.may_begin(&bytes[at..]) && begun.is_at(&text, at) {
            return true;
        }
    }
    false
}

/// The maxima of product per area that a text names. Spray per area, which is said in gallons or liters, is no product.
pub(crate) fn limits(text: &str, words: &LimitWords) -> Vec<Limit> {
    let mut found = Vec::new();
    // The end of the amount before: its own word limits it, and not the next one.
    let (mut at, mut last) = (0, 0);
    while let Some(start) = text[at..].find(|letter: char| letter.is_ascii_digit()).map(|next| at + next) {
        let digits = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',');
        let length = text[start..].find(|letter: char| !digits(letter)).unwrap_or(text.len() - start);
        let number = text[start..start + length].trim_end_matches(['.', ',']);
        let after = start + number.len();
        at = start + length;
        let Some((value, (unit, end))) = number.replace(',', "").parse::<f64>().ok().zip(unit_of(text, after)) else {
            continue;
        };
        at = at.max(end);
        let begin = std::mem::replace(&mut last, end);
        if product_per_area(&unit) && (said_before(&text[begin..start], words) || said_after(&text[end..], words)) {
            found.push(Limit { si: value * unit.size(), unit, place: start..end });
        }
    }
    found
}

/// Whether a unit is one of liquid or dry product per area.
fn product_per_area(unit: &Unit) -> bool {
    let spray = ["gal/", "L/"].iter().any(|spray| unit.plain().starts_with(spray));
    !spray && matches!(Kind::of(unit), Some(Kind::VolumePerArea | Kind::MassPerArea))
}

/// The unit of product per area at a place of a text, and its end.
fn unit_of(text: &str, at: usize) -> Option<(Unit, usize)> {
    let rest = text[at..].strip_prefix([' ', '\u{a0}'])?;
    let from = text.len() - rest.len();
    let line = rest.lines().next()?;
    let ends = line.char_indices().filter(|(_, letter)| letter.is_whitespace()).map(|(end, _)| end);
    let ends: Vec<usize> = ends.take(4).chain([line.len()]).collect();
    ends.into_iter().rev().find_map(|end| {
        let words = line[..end].trim_end_matches(['.', ',', ';', ':', '!', '?', ')']);
        // In capitals it is the same amount: `FL OZ/1000 FT2`.
        let unit = Unit::parse(words).or_else(|| Unit::parse(&words.to_lowercase()))?;
        let rate = matches!(Kind::of(&unit), Some(Kind::VolumePerArea | Kind::MassPerArea));
        rate.then_some((unit, from + words.len()))
    })
}

/// Whether the sentence in front of an amount makes it a maximum.
fn said_before(before: &str, words: &LimitWords) -> bool {
    let from = before.floor_char_boundary(before.len().saturating_sub(REACH));
    let before = &before[from..];
    let sentence = before.rsplit([';', '?', '!']).next().unwrap_or(before);
    let sentence = sentence.rsplit(". ").next().unwrap_or(sentence);
    let (sentence, before) = (sentence.to_lowercase(), before.to_lowercase());
    // `max. 1.0` ends no sentence.
    let shortened = |word: &String| word.ends_with('.') && before.trim_end().ends_with(word.as_str());
    words.before.iter().any(|word| has_word(&sentence, word).is_some() || shortened(word))
}

fn said_after(rest: &str, words: &LimitWords) -> bool {
    let rest = rest.trim_start_matches([' ', ',', '(']).to_lowercase();
    words.after.iter().any(|word| {
        let after = rest.strip_prefix(word.as_str());
        let ends = |rest: &str| !rest.starts_with(|letter: char| letter.is_alphanumeric());
        // `1.5 fl oz, at most 1.0 fl oz` limits the second.
        after.is_some_and(|rest| ends(rest) && !rest.trim_start().starts_with(|letter: char| letter.is_ascii_digit()))
    })
}

/// The rates of product in a working, each with its name.
pub(crate) fn rates(worked: &Worked) -> impl Iterator<Item = (String, f64, Unit)> {
    let inputs = worked.inputs.names().filter_map(|name| {
        let product = worked.calculator.input(name)?.kind() == Some(Kind::LabelRate);
        let typed = worked.inputs.typed_at(name)?;
        let limit = name.rsplit('.').next() == Some(MAX.name());
        (product && !limit).then(|| (name.to_owned(), typed.si, typed.unit))
    });
    let results = worked.results.iter().filter_map(|found| match &found.outcome {
        Outcome::Quantity(si, unit) if product_per_area(unit) && Kind::of(unit) == Some(Kind::VolumePerArea) => {
            Some((found.name(), *si, *unit))
        }
        _ => None,
    });
    inputs.chain(results)
}

/// Whether one of the maxima is of the same kind as a rate.
pub(crate) fn may_bind(limits: &[Limit], unit: &Unit) -> bool {
    limits.iter().any(|limit| limit.unit.dim() == unit.dim())
}

/// The first rate of product in a working that is above every maximum of a text, as its name and value, with the
/// largest of the maxima.
pub(crate) fn broken<'l>(worked: &Worked, limits: &'l [Limit]) -> Option<(String, f64, Unit, &'l Limit)> {
    rates(worked).find_map(|(name, si, unit)| {
        let same = limits.iter().filter(|limit| limit.unit.dim() == unit.dim());
        let most = same.max_by(|a, b| a.si.total_cmp(&b.si))?;
        above(si, most.si).then_some((name, si, unit, most))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_amount_that_a_text_calls_a_maximum_is_found_and_no_other() {
        for (text, found) in [
            ("The label allows at most 1.0 fl oz/1000 ft2.", vec!["1.0 fl oz/1000 ft2"]),
            ("Max. 1.0 fl oz/1000 ft²; you use 1.5 fl oz/1000 ft².", vec!["1.0 fl oz/1000 ft²"]),
            ("Label: 1.0 fl oz/1000 ft2 maximum. Mix it.", vec!["1.0 fl oz/1000 ft2"]),
            ("It is 1.5 fl oz/1000 ft2, at most 1.0 fl oz/1000 ft2.", vec!["1.0 fl oz/1000 ft2"]),
            ("At most 1.0 fl oz/1000 ft2 in summer.", vec!["1.0 fl oz/1000 ft2"]),
            ("Never more than 3 pt/acre (see the label)", vec!["3 pt/acre"]),
            ("AT MOST 1.5 FL OZ/1000 FT2, usually 1.0 fl oz/1000 ft2.", vec!["1.5 FL OZ/1000 FT2"]),
            ("MAX: 1.0 Fl Oz/1000 Ft2", vec!["1.0 Fl Oz/1000 Ft2"]),
            ("At most 1.5 fl oz/1000 ft2, usually 1.0 fl oz/1000 ft2.", vec!["1.5 fl oz/1000 ft2"]),
            ("A maximal dose is 1.0 fl oz/1000 ft2.", vec![]),
            ("Como máximo 30 mL/100 m2.", vec!["30 mL/100 m2"]),
            ("La etiqueta permite 30 mL/100 m2 como MÁXIMO.", vec!["30 mL/100 m2"]),
            ("Höchstens 30 mL/100 m2.", vec![]),
            ("The label allows at most two visits. Use 1.5 fl oz/1000 ft2.", vec![]),
            ("Spray at most 2 gal/1000 ft2.", vec![]),
            ("The rate is 1.5 fl oz/1000 ft2.", vec![]),
            ("At most 30 s, and 12 fl oz.", vec![]),
        ] {
            let limits = limits(text, &LimitWords::of(crate::catalogue::first_phrases()));
            let texts: Vec<&str> = limits.iter().map(|limit| &text[limit.place.clone()]).collect();
            assert_eq!(texts, found, "{text}");
        }
    }

    #[test]
    fn a_word_that_may_limit_is_found_wherever_it_is() {
        let words = LimitWords::of(crate::catalogue::first_phrases());
        let all = || words.before.iter().chain(&words.after);
        for word in all() {
            for text in [word.clone(), format!("é {word}, é"), format!("x\n{}.", word.to_uppercase())] {
                assert!(may_limit(&text, &words), "{text}");
            }
            let within = format!("é{word}é");
            assert_eq!(may_limit(&within, &words), all().any(|other| has_word(&within, other).is_some()), "{within}");
        }
        for text in ["", "a", "ab", "é", "Walk at a steady pace."] {
            assert!(!may_limit(text, &words), "{text}");
        }
        // Short words have no three bytes to be passed by.
        let phrases = Phrases::from_pairs([(BEFORE.to_owned(), "≤, <".to_owned())]);
        let short = LimitWords::of(&phrases);
        assert!(["≤", "a <", "< 3 oz", "<"].iter().all(|text| may_limit(text, &short)) && !may_limit("a", &short));
    }

    #[test]
    fn the_words_come_with_the_language() {
        let own = [(BEFORE, "höchstens, nicht mehr als"), (AFTER, "oder weniger")];
        let german = LimitWords::of(&Phrases::from_pairs(own.map(|(key, text)| (key.to_owned(), text.to_owned()))));
        for text in [
            "HÖCHSTENS 30 mL/100 m2.",
            "Nicht mehr als 30 mL/100 m2",
            "30 mL/100 m2 oder weniger.",
            "No más de 30 mL/100 m2.",
        ] {
            assert!(may_limit(text, &german), "{text}");
            let limits = limits(text, &german);
            assert_eq!(
                limits.iter().map(|limit| &text[limit.place.clone()]).collect::<Vec<_>>(),
                ["30 mL/100 m2"],
                "{text}"
            );
        }
    }
}
