//! An answer in the words of a language, as the core reads it: "half a gallon" is `1/2 gallon`, "two and a half
//! gallons" is `2 and 1/2 gallons`.

use super::phrases::Phrases;
use crate::quantity::unit::Unit;

/// The phrase that lists words an answer may have: `half = 1/2; a = 1; three quarters = 3/4`. What stands for a number
/// is read where a number may be, all else wherever it is.
const WORDS: &str = "score.words";

impl Phrases {
    /// An answer that somebody typed in this language, as the core reads it: its notation, its words for small numbers,
    /// and the names that it has for units.
    pub fn answered(&self, text: &str) -> String {
        let text = self.typed(text);
        if !text.contains(char::is_alphabetic) {
            return text;
        }
        let table = self.find(WORDS).unwrap_or_default();
        let words = table.split(';').filter_map(|entry| entry.split_once('='));
        let mut entries: Vec<Reworded> = words.map(|(words, core)| (split(words), core.trim())).collect();
        // A language that has a word for gallons that the core does not know has words for all units.
        if self.find("unit.gal.many").is_some_and(|name| Unit::parse(name).is_none()) {
            entries.extend(self.iter().filter_map(|(key, name)| {
                let key = key.strip_prefix("unit.")?;
                let symbol = key.strip_suffix(".one").or_else(|| key.strip_suffix(".many"))?;
                (!name.contains(char::is_numeric)).then(|| (split(name), symbol))
            }));
        }
        // The answers to several parts are one text.
        let parts: Vec<String> = text.split(';').map(|part| in_digits(part, &entries)).collect();
        parts.join(";")
    }
}

/// Words, and what the core reads in their place.
type Reworded<'p> = (Vec<String>, &'p str);

/// The words of a text, in small letters.
fn split(text: &str) -> Vec<String> {
    text.split([' ', '-']).filter(|word| !word.is_empty()).map(str::to_lowercase).collect()
}

/// What was taken last.
#[derive(PartialEq)]
enum Last {
    Other,
    /// A word for one, or an article.
    One,
    /// A word for a part of one: "half".
    Share,
}

fn in_digits(text: &str, entries: &[Reworded]) -> String {
    let (mut out, mut at) = (String::with_capacity(text.len() + 8), 0);
    // Whether a number may begin here; where the last one ended; where what joins the next to it begins.
    let (mut open, mut last, mut ended, mut joined) = (true, Last::Other, None, None);
    while let Some(first) = text[at..].chars().next() {
        let letters = letters(&text[at..]);
        if letters == 0 {
            match first {
                '0'..='9' => (open, last, ended, joined) = (false, Last::Other, Some(out.len() + 1), None),
                ',' | '+' | '&' => open = true,
                _ => {}
            }
            out.push(first);
            at += first.len_utf8();
            continue;
        }
        let found = entries.iter().filter_map(|(words, core)| Some((taken(&text[at..], words)?, *core)));
        let found = found.filter(|(_, core)| open || last != Last::Other || !counts(core));
        let (length, core) = found.max_by_key(|(length, _)| *length).unwrap_or((letters, &text[at..at + letters]));
        at += length;
        if !counts(core) {
            if ["and", "plus"].iter().any(|word| core.eq_ignore_ascii_case(word)) {
                (open, joined) = (true, Some(out.len()));
            }
            // "half of a gallon" goes on.
            if !(last == Last::Share && core.eq_ignore_ascii_case("of")) {
                last = Last::Other;
            }
            out.push_str(core);
            continue;
        }
        match last {
            // "half a gallon", "a quarter of an acre": the article counts nothing.
            Last::Share if core == "1" => continue,
            // "a half", "one quarter".
            Last::One if core.contains('/') => out.truncate(out.trim_end().len() - 1),
            _ if open => {}
            _ => {
                out.push_str(&text[at - length..at]);
                last = Last::Other;
                continue;
            }
        }
        out.push_str(core);
        last = match core {
            "1" => Last::One,
            _ if core.contains('/') => Last::Share,
            _ => Last::Other,
        };
        open = false;
        if joined.is_none() {
            ended = Some(out.len());
        }
    }
    // "a gallon and a half": a part at the end, after the unit, belongs to the number.
    if let (Last::Share, Some(joined), Some(ended)) = (last, joined, ended)
        && out.get(ended..joined).is_some_and(|unit| unit.contains(char::is_alphabetic))
    {
        let share = out.split_off(joined);
        out.truncate(out.trim_end().len());
        out.insert_str(ended, &format!(" {}", share.trim()));
    }
    out
}

fn letters(text: &str) -> usize {
    text.len() - text.trim_start_matches(char::is_alphabetic).len()
}

/// Whether what the core reads is a number.
fn counts(core: &str) -> bool {
    core.starts_with(|first: char| first.is_ascii_digit())
}

/// How many bytes of a text these words are, whatever the size of their letters.
fn taken(text: &str, words: &[String]) -> Option<usize> {
    let mut at = 0;
    for (index, word) in words.iter().enumerate() {
        if index > 0 {
            let gap = text[at..].len() - text[at..].trim_start_matches([' ', '-']).len();
            at += (gap > 0).then_some(gap)?;
        }
        let letters = letters(&text[at..]);
        (text[at..at + letters].to_lowercase() == *word).then_some(())?;
        at += letters;
    }
    (at > 0).then_some(at)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ENGLISH: &str = "half = 1/2; quarter = 1/4; three quarters = 3/4; a = 1; an = 1; one = 1; two = 2; six = 6";
    const SPANISH: &str = "medio = 1/2; media = 1/2; un = 1; una = 1; dos = 2; y = and; por = per; de = of";

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
        ] {
            assert_eq!(spanish.answered(typed), read, "{typed}");
        }
    }
}
