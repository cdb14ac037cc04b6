//! An answer in the words of a language, as the core reads it: "half a gallon" is `1/2 gallon`, "two and a half
//! gallons" is `2 and 1/2 gallons`, "a hundred and twenty-five" is `125`.

use super::phrases::Phrases;
use crate::quantity::reply::read;
use crate::quantity::typed::Misread;
use crate::quantity::unit::Unit;
use crate::text::texts::{is_letter, joined, place_of};

/// The phrase that lists words an answer may have: `half = 1/2; a = 1; three quarters = 3/4; hundred = *100; point = .`.
/// What stands for a number is read where a number may be, all else wherever it is; `*100` multiplies what is before it,
/// and words that say nothing have nothing: `or so = `.
const WORDS: &str = "score.words";

impl Phrases {
    /// An answer that somebody typed in this language, as the core reads it: its notation, its words for small numbers,
    /// and the names that it has for units.
    pub fn answered(&self, text: &str) -> String {
        let text = self.typed(text);
        if !text.contains(is_letter) {
            return text;
        }
        let mut entries: Vec<Reworded> = Vec::with_capacity(64);
        let mut table = self.find(WORDS).unwrap_or_default();
        while !table.is_empty() {
            let end = place_of(table, b';').unwrap_or(table.len());
            if let Some(equals) = place_of(&table[..end], b'=') {
                entries.push((&table[..equals], table[equals + 1..end].trim()));
            }
            table = table.get(end + 1..).unwrap_or_default();
        }
        // A language that has a word for gallons that the core does not know has words for all units.
        if self.find("unit.gal.many").is_some_and(|name| Unit::parse(name).is_none()) {
            entries.extend(self.iter().filter_map(|(key, name)| {
                let key = key.strip_prefix("unit.")?;
                let symbol = key.strip_suffix(".one").or_else(|| key.strip_suffix(".many"))?;
                (!name.contains(char::is_numeric)).then_some((name, symbol))
            }));
        }
        // The answers to several parts are one text.
        let parts: Vec<String> = text.split(';').map(|part| worded(part, &entries)).collect();
        joined(&parts, ";")
    }
}

/// Words, and what the core reads in their place.
type Reworded<'p> = (&'p str, &'p str);

/// What was taken last.
#[derive(PartialEq)]
enum Last {
    Other,
    /// A word for one, or an article.
    One,
    /// A word for a part of one: "half".
    Share,
}

/// A text in digits; one whose only number is an article before something that is no unit ("a lot") as it was.
fn worded(text: &str, entries: &[Reworded]) -> String {
    let out = in_digits(text, entries);
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    let article = digits(text).is_empty() && digits(&out) == "1";
    if article && matches!(read(&out, &Unit::none()), Err(Misread::UnitUnknown(_))) {
        return text.to_owned();
    }
    // "2 gal, or so" ends in what came before the words that say nothing.
    out.trim_end_matches([',', ' ']).to_owned()
}

/// What the words that `text` begins with come to, "a hundred and twenty-five" or "two point five", and their length.
fn number(text: &str, entries: &[Reworded]) -> Option<(String, usize)> {
    let next = |at: usize| {
        let rest = after_gap(&text[at..]);
        let start = text.len() - rest.len();
        let word = start + letters(rest);
        let found = entries.iter().filter_map(|(words, core)| Some((start + taken(rest, words)?, *core)));
        found.max_by_key(|(end, _)| *end).or((word > start).then(|| (word, &text[start..word])))
    };
    let whole = |core: &str| core.parse::<u32>().ok().map(u64::from);
    let (mut thousands, mut below, mut end) = (0, None, 0);
    while let Some((mut after, mut core)) = next(end) {
        let joined = end > 0 && core.eq_ignore_ascii_case("and");
        if joined {
            (after, core) = next(after)?;
        }
        if core == "." && !joined {
            let mut number = (thousands + below.unwrap_or(0)).to_string() + ".";
            let figures = number.len();
            while let Some((past, figure)) = next(after).filter(|(_, core)| whole(core).is_some()) {
                number.push_str(figure);
                after = past;
            }
            return (number.len() > figures).then_some((number, after));
        }
        match (core.strip_prefix('*').and_then(whole).filter(|_| !joined), below) {
            (Some(factor), _) if factor >= 1000 => thousands += below.take().unwrap_or(1) * factor,
            (Some(factor), _) => below = Some(below.unwrap_or(1) * factor),
            _ => {
                // "two and a half", "one quarter" and "one twenty" go on as something else.
                let share = next(after).is_some_and(|(_, core)| core.as_bytes().contains(&b'/'));
                let Some(part) = whole(core).filter(|_| !share) else { break };
                match below {
                    None => below = Some(part),
                    Some(before) if part > 0 && part < room(before) => below = Some(before + part),
                    Some(_) => break,
                }
            }
        }
        end = after;
    }
    (end > 0).then(|| ((thousands + below.unwrap_or(0)).to_string(), end))
}

/// What may follow a number in words is less than this: 100 after 300, 10 after 20.
fn room(number: u64) -> u64 {
    let mut place = 1;
    while number > 0 && number.is_multiple_of(place * 10) {
        place *= 10;
    }
    place
}

fn in_digits(text: &str, entries: &[Reworded]) -> String {
    let (mut out, mut at) = (String::with_capacity(text.len() + 8), 0);
    // Whether a number may begin here; where the last one ended; where what joins the next to it begins.
    let (mut open, mut last, mut ended, mut joined) = (true, Last::Other, None, None);
    // Whether a word came after the last number: "one minute fifteen seconds".
    let mut apart = false;
    while let Some(first) = text[at..].chars().next() {
        let letters = letters(&text[at..]);
        if letters == 0 {
            match first {
                '0'..='9' => {
                    (open, last, ended, joined, apart) = (false, Last::Other, Some(out.len() + 1), None, false);
                }
                ',' | '+' | '&' => open = true,
                _ => {}
            }
            out.push(first);
            at += first.len_utf8();
            continue;
        }
        let begins =
            |core: &str| entries.iter().any(|(words, own)| own == &core && taken(&text[at..], words).is_some());
        // "a minute" is no number, and nor is the article of "a 12 % drop".
        let in_words = if open || apart && !begins("1") { number(&text[at..], entries) } else { None };
        let article = text[at + letters..].trim_start().starts_with(|next: char| next.is_ascii_digit());
        let in_words = in_words.filter(|(digits, _)| digits != "1" || !article);
        let found = entries.iter().filter_map(|(words, core)| Some((taken(&text[at..], words)?, *core)));
        let found = found.filter(|(_, core)| {
            let other = core.starts_with(['*', '.']) || article && *core == "1";
            !other && (open || last != Last::Other || !counts(core))
        });
        let (length, core) = match &in_words {
            Some((digits, length)) => (*length, digits.as_str()),
            None => found.max_by_key(|(length, _)| *length).unwrap_or((letters, &text[at..at + letters])),
        };
        at += length;
        if !counts(core) {
            if ["and", "plus"].iter().any(|word| core.eq_ignore_ascii_case(word)) {
                (open, joined) = (true, Some(out.len()));
            }
            // "half of a gallon" goes on.
            if !(last == Last::Share && core.eq_ignore_ascii_case("of")) {
                last = Last::Other;
            }
            apart = true;
            out.push_str(core);
            continue;
        }
        match last {
            // "half a gallon", "a quarter of an acre": the article counts nothing.
            Last::Share if core == "1" => continue,
            // "a half", "one quarter".
            Last::One if core.as_bytes().contains(&b'/') => out.truncate(out.trim_end().len() - 1),
            _ if open || in_words.is_some() => {}
            _ => {
                out.push_str(&text[at - length..at]);
                last = Last::Other;
                continue;
            }
        }
        out.push_str(core);
        last = match core {
            "1" => Last::One,
            _ if core.as_bytes().contains(&b'/') => Last::Share,
            _ => Last::Other,
        };
        (open, apart) = (false, false);
        if joined.is_none() {
            ended = Some(out.len());
        }
    }
    // "a gallon and a half": a part at the end, after the unit, belongs to the number.
    if let (Last::Share, Some(joined), Some(ended)) = (last, joined, ended)
        && out.get(ended..joined).is_some_and(|unit| unit.contains(is_letter))
    {
        let share = out.split_off(joined);
        out.truncate(out.trim_end().len());
        out.insert_str(ended, &format!(" {}", share.trim()));
    }
    out
}

fn letters(text: &str) -> usize {
    text.len() - text.trim_start_matches(is_letter).len()
}

/// Whether what the core reads is a number.
fn counts(core: &str) -> bool {
    core.starts_with(|first: char| first.is_ascii_digit())
}

/// How many bytes of a text these words are, whatever the size of their letters.
fn taken(text: &str, words: &str) -> Option<usize> {
    let (mut at, mut left) = (0, after_gap(words));
    // All words of a catalog are compared with every word of a text, and nearly all differ in their first letter.
    let (one, other) = (left.as_bytes().first()?, text.as_bytes().first()?);
    if one.is_ascii() && other.is_ascii() && !one.eq_ignore_ascii_case(other) {
        return None;
    }
    while !left.is_empty() {
        if at > 0 {
            let rest = after_gap(&text[at..]);
            let gap = text.len() - at - rest.len();
            at += (gap > 0).then_some(gap)?;
        }
        let word = &left[..left.bytes().position(joins).unwrap_or(left.len())];
        let letters = letters(&text[at..]);
        alike(&text[at..at + letters], word).then_some(())?;
        (at, left) = (at + letters, after_gap(&left[word.len()..]));
    }
    (at > 0).then_some(at)
}

/// Whether two words are the same but for the size of their letters.
fn alike(one: &str, other: &str) -> bool {
    if one.is_ascii() && other.is_ascii() {
        return one.eq_ignore_ascii_case(other);
    }
    one.to_lowercase() == other.to_lowercase()
}

/// What is between two words.
fn joins(byte: u8) -> bool {
    matches!(byte, b' ' | b'-')
}

/// A text from its first word on.
fn after_gap(text: &str) -> &str {
    &text[text.bytes().position(|byte| !joins(byte)).unwrap_or(text.len())..]
}

#[cfg(test)]
mod tests {
    use super::*;

    const ENGLISH: &str = "half = 1/2; quarter = 1/4; three quarters = 3/4; a = 1; an = 1; one = 1; two = 2; six = 6; \
                           five = 5; ten = 10; twenty = 20; fifteen = 15; hundred = *100; thousand = *1000; zero = 0; point = .";
    const SPANISH: &str = "medio = 1/2; media = 1/2; un = 1; una = 1; dos = 2; cinco = 5; treinta = 30; cien = 100; \
                           ciento = 100; mil = *1000; coma = .; y = and; por = per; de = of";

    fn phrases(words: &str, units: &[(&str, &str)]) -> Phrases {
        let pair = |key: &str, text: &str| (key.to_owned(), text.to_owned());
        Phrases::from_pairs([pair(WORDS, words)].into_iter().chain(units.iter().map(|(key, text)| pair(key, text))))
    }

    #[test]
    fn small_numbers_in_words_are_read() {
        let english = phrases(ENGLISH, &[("unit.gal.many", "gallons")]);
        for (typed, read) in [
            ("half a minute", "1/2  minute"),
            ("Half a minute", "1/2  minute"),
            ("two gallons", "2 gallons"),
            ("a half gallon", "1/2 gallon"),
            ("a quarter of an acre", "1/4 of  acre"),
            ("three-quarters of a gallon", "3/4 of  gallon"),
            ("two and a half gallons", "2 and 1/2 gallons"),
            ("2 and a half gallons", "2 and 1/2 gallons"),
            ("a gallon and a half", "1 and 1/2 gallon"),
            ("2 gallons and a half", "2 and 1/2 gallons"),
            ("one gallon and six ounces", "1 gallon and 6 ounces"),
            ("about a gallon", "about 1 gallon"),
            // What is no number stays.
            ("2.77 gal a minute", "2.77 gal a minute"),
            ("two gallons a minute", "2 gallons a minute"),
            ("15 % under", "15 % under"),
            ("2 gal per half acre", "2 gal per half acre"),
            ("lots", "lots"),
            ("", ""),
            ("half a gallon; two", "1/2  gallon; 2"),
            ("two half", "2 half"),
            ("twenty", "20"),
            ("twenty-five percent", "25 percent"),
            ("Twenty Five", "25"),
            ("a hundred", "100"),
            ("a hundred and twenty-five fluid ounces", "125 fluid ounces"),
            ("two hundred fifteen", "215"),
            ("fifteen hundred square feet", "1500 square feet"),
            ("twenty-five thousand six hundred and two", "25602"),
            ("a thousand", "1000"),
            ("two point five gallons", "2.5 gallons"),
            ("point two five", "0.25"),
            ("zero point six", "0.6"),
            ("two gallons per thousand", "2 gallons per 1000"),
            ("one gallon and twenty-five ounces", "1 gallon and 25 ounces"),
            ("twenty and a half", "20 and 1/2"),
            ("one and three quarters", "1 and 3/4"),
            ("a hundred and a half", "100 and 1/2"),
            ("one minute fifteen seconds", "1 minute 15 seconds"),
            ("two gallons per ten minutes", "2 gallons per 10 minutes"),
            ("a 12 % drop", "a 12 % drop"),
            // What people say in two ways is not guessed.
            ("one twenty", "one twenty"),
            ("two point", "2 point"),
            // An article before what is no unit counts nothing.
            ("a lot", "a lot"),
            ("one pound of nitrogen", "1 pound of nitrogen"),
        ] {
            assert_eq!(english.answered(typed), read, "{typed}");
        }
    }

    #[test]
    fn a_language_has_words_and_names_of_units_of_its_own() {
        let units = [("unit.gal.one", "galón"), ("unit.gal.many", "galones"), ("unit.ft2.many", "pies cuadrados")];
        let spanish = phrases(SPANISH, &units);
        for (typed, read) in [
            ("dos galones", "2 gal"),
            ("medio galón", "1/2 gal"),
            ("un galón y medio", "1 and 1/2 gal"),
            ("2 galones por acre", "2 gal per acre"),
            ("500 pies cuadrados", "500 ft2"),
            ("once galones", "once gal"),
            ("treinta y cinco", "35"),
            ("ciento treinta y dos galones", "132 gal"),
            ("dos mil pies cuadrados", "2000 ft2"),
            ("dos coma cinco", "2.5"),
        ] {
            assert_eq!(spanish.answered(typed), read, "{typed}");
        }
    }
}
