//! Phrase catalogs: sentences by id, with named places. The core holds none of its own.

use super::notation::Notation;
use crate::quantity::system::System;
use crate::text::fixed_hash;
use crate::text::texts::{parted, place_of};
use std::borrow::Cow;

/// The phrase whose text is the number 12345.6 as the language writes it.
pub const NUMBER: &str = "number.written";

/// A text of a catalog: the program's own is not copied.
type Text = Cow<'static, str>;

/// A catalog of one language, in order of key.
///
/// A name that is used both inside sentences and alone has two forms, `nozzle output | Nozzle output`; a phrase of one
/// form is the same in both places. So each catalog decides how its language begins a label.
#[derive(Clone, Debug, Default)]
pub struct Phrases {
    sorted: Vec<(Text, Text)>,
    /// Of each text where its second form's bar is, 0 where it has one form.
    bars: Vec<u32>,
    /// Where each key is in `sorted`, counted from 1, at the place of its hash or after it; a power of two of places, at
    /// most half of them taken. A worked example looks up hundreds of phrases.
    places: Vec<u32>,
    notation: Notation,
}

/// Which form of a name is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// As the middle of a sentence has it: `nozzle output`.
    Inside,
    /// As a label, a heading or a sentence begins: `Nozzle output`.
    Label,
}

impl Phrases {
    /// From lines of `key<TAB>text`, as a published site carries them.
    pub fn from_lines(lines: &str) -> Phrases {
        let pairs = lines.lines().filter_map(|line| line.split_once('\t'));
        Phrases::from_pairs(pairs.map(|(key, text)| (key.to_owned(), text.to_owned())))
    }

    /// From pairs of key and text.
    pub fn from_pairs<T: Into<Cow<'static, str>>>(pairs: impl IntoIterator<Item = (T, T)>) -> Phrases {
        let pairs = pairs.into_iter();
        let mut sorted: Vec<(Text, Text)> = Vec::with_capacity(pairs.size_hint().0);
        for (key, text) in pairs {
            let pair = (key.into(), text.into());
            // A published catalog is in order already, so nearly every pair goes to the end.
            if sorted.last().is_none_or(|last| last.0 < pair.0) {
                sorted.push(pair);
                continue;
            }
            match sorted.binary_search_by(|held| held.0.cmp(&pair.0)) {
                Ok(place) => sorted[place] = pair,
                Err(place) => sorted.insert(place, pair),
            }
        }
        let mut places = vec![0; (2 * sorted.len()).next_power_of_two()];
        for (index, (key, _)) in sorted.iter().enumerate() {
            let mut at = hash(key) & (places.len() - 1);
            while places[at] != 0 {
                at = (at + 1) & (places.len() - 1);
            }
            places[at] = index as u32 + 1;
        }
        let bars = sorted.iter().map(|(_, text)| bar(text) as u32).collect();
        let mut phrases = Phrases { sorted, bars, places, notation: Notation::default() };
        phrases.notation = phrases.find(NUMBER).and_then(Notation::of).unwrap_or_default();
        phrases
    }

    /// As lines of `key<TAB>text`, sorted by key.
    pub fn to_lines(&self) -> String {
        let mut lines = String::new();
        for (key, text) in &self.sorted {
            lines.push_str(key);
            lines.push('\t');
            lines.push_str(&text.replace(['\n', '\t', '\r'], " "));
            lines.push('\n');
        }
        lines
    }

    /// The text with this key, both forms in one.
    pub fn whole(&self, key: &str) -> Option<&str> {
        self.at(key).map(|(text, _)| text)
    }

    /// The text with this key, and where its bar is.
    fn at(&self, key: &str) -> Option<(&str, usize)> {
        let last = self.places.len().checked_sub(1)?;
        let mut at = hash(key);
        loop {
            let index = self.places[at & last].checked_sub(1)?;
            let (held, text) = self.sorted.get(index as usize)?;
            if held == key {
                return Some((text, *self.bars.get(index as usize)? as usize));
            }
            at = at.wrapping_add(1);
        }
    }

    /// The phrase with this key, as a sentence has it.
    pub fn find(&self, key: &str) -> Option<&str> {
        self.at(key).map(|(text, bar)| form_of(text, bar, Form::Inside))
    }

    /// The key of a phrase for somebody who works in these units: `KEY.metric`, where there is one.
    pub fn in_system(&self, key: &str, system: System) -> String {
        let metric = [key, ".metric"].concat();
        if system == System::Metric && self.whole(&metric).is_some() { metric } else { key.to_owned() }
    }

    /// The phrase with this key, or the key itself, so that a gap shows where it is.
    pub fn get<'a>(&'a self, key: &'a str) -> &'a str {
        self.form(key, Form::Inside)
    }

    /// The phrase with this key as it begins a label or a sentence, or the key itself.
    pub fn label<'a>(&'a self, key: &'a str) -> &'a str {
        self.form(key, Form::Label)
    }

    /// The phrase with this key in one of its forms, or the key itself.
    pub fn form<'a>(&'a self, key: &'a str, form: Form) -> &'a str {
        self.at(key).map_or(key, |(text, bar)| form_of(text, bar, form))
    }

    /// Every key and phrase, both forms in one text, sorted by key.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.sorted.iter().map(|(key, text)| (&**key, &**text))
    }

    /// The phrase with each `{name}` replaced; a name that `value` does not know is left as it is.
    pub fn fill(&self, key: &str, value: impl Fn(&str) -> Option<String>) -> String {
        filled(self.get(key), &|place, _| value(place))
    }

    /// The phrase with each `{name}` replaced by the text that `places` gives it.
    pub fn fill_with(&self, key: &str, places: &[(&str, &str)]) -> String {
        self.fill(key, |place| places.iter().find(|(name, _)| *name == place).map(|(_, text)| (*text).to_owned()))
    }

    /// The phrase in one of its forms, with each `{name}` replaced. A place that begins with a capital letter,
    /// `{Name}`, asks for the label form of the same value.
    pub fn fill_in(&self, key: &str, form: Form, value: impl Fn(&str, Form) -> Option<String>) -> String {
        filled(self.form(key, form), &value)
    }

    /// A number, or a text with numbers in it, in the language's own notation; `text` writes 12,345.6.
    pub fn number(&self, text: String) -> String {
        self.notation.written(text)
    }

    /// Whether the language writes numbers otherwise than the core.
    pub(crate) fn has_own_notation(&self) -> bool {
        self.notation.is_own()
    }

    /// The mark with which the language groups three digits; nothing where it groups by none.
    pub fn grouping(&self) -> String {
        self.number("1,234".to_owned()).trim_matches(|letter: char| letter.is_ascii_digit()).to_owned()
    }

    /// The mark between the ones and the tenths of a number, as this language writes it.
    pub fn decimal(&self) -> String {
        self.number("0.5".to_owned()).trim_matches(|letter: char| letter.is_ascii_digit()).to_owned()
    }

    /// What was typed in the language's own notation, as the core reads it.
    pub fn typed(&self, text: &str) -> String {
        self.notation.read(text)
    }
}

fn hash(key: &str) -> usize {
    let (bytes, mut hash, mut at) = (key.as_bytes(), fixed_hash::START, 0);
    while at < bytes.len() {
        hash = fixed_hash::with(hash, bytes[at]);
        at += 1;
    }
    hash as usize
}

/// Where the bar between the two forms of a text is: it has a space on each side; 0 where there is none.
fn bar(text: &str) -> usize {
    parted(text, " | ").map_or(0, |(inside, _)| inside.len() + 1)
}

/// One form of a phrase's text, whose bar is at this place.
fn form_of(text: &str, bar: usize, form: Form) -> &str {
    let own = match form {
        _ if bar == 0 => Some(text),
        Form::Inside => text.get(..bar - 1),
        Form::Label => text.get(bar + 2..),
    };
    own.unwrap_or(text)
}

/// `text` with each `{name}` replaced by what `value` gives for it.
pub fn fill(text: &str, value: impl Fn(&str) -> Option<String>) -> String {
    filled(text, &|place, _| value(place))
}

/// `text` with each `{name}` replaced; a `{Name}` asks for the label form of the same value.
pub fn fill_in(text: &str, value: impl Fn(&str, Form) -> Option<String>) -> String {
    filled(text, &value)
}

// One copy for every kind of value: there are dozens.
fn filled(text: &str, value: &dyn Fn(&str, Form) -> Option<String>) -> String {
    let mut out = String::with_capacity(text.len() + 48);
    let mut rest = text;
    while let Some(start) = place_of(rest, b'{') {
        let (before, after) = rest.split_at(start);
        out.push_str(before);
        let Some(end) = place_of(after, b'}') else {
            rest = after;
            break;
        };
        let place = &after[1..end];
        let found = if place.starts_with(|first: char| first.is_ascii_uppercase()) {
            value(&place.to_ascii_lowercase(), Form::Label)
        } else {
            value(place, Form::Inside)
        };
        match found {
            Some(text) => out.push_str(&text),
            None => out.push_str(&after[..=end]),
        }
        rest = &after[end + 1..];
    }
    out.push_str(rest);
    out
}

/// The names in braces in `text`, in order.
pub fn places(text: &str) -> Vec<&str> {
    let pieces = text.split('{').skip(1);
    pieces.filter_map(|piece| piece.split_once('}').map(|(name, _)| name)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn named_places_are_filled_and_unknown_ones_are_left() {
        let phrases = Phrases::from_lines("a\tcaught {volume} in {time}\nb\tplain\n");
        let value = |name: &str| (name == "volume").then(|| "96 fl oz".to_owned());
        assert_eq!(phrases.fill("a", value), "caught 96 fl oz in {time}");
        assert_eq!(phrases.get("missing"), "missing");
        assert_eq!(Phrases::from_lines(&phrases.to_lines()).get("b"), "plain");
        assert_eq!(places("{a} and {b} {"), ["a", "b"]);
        let forms = Phrases::from_lines("n\trate | Rate\ns\t{Name}: {name} it is\n");
        assert_eq!((forms.get("n"), forms.label("n"), forms.label("m")), ("rate", "Rate", "m"));
        let name = |place: &str, form| (place == "name").then(|| forms.form("n", form).to_owned());
        assert_eq!(forms.fill_in("s", Form::Inside, name), "Rate: rate it is");
        assert_eq!(Phrases::from_lines("b\t1\na\t2\nb\t3\n").to_lines(), "a\t2\nb\t3\n");
    }

    #[test]
    fn a_phrase_that_ends_in_a_carriage_return_goes_through_a_page_unchanged_by_it() {
        let own = Phrases::from_pairs([("a".to_owned(), "text\r".to_owned()), ("b".to_owned(), "c\r\n".to_owned())]);
        assert_eq!(own.to_lines(), "a\ttext \nb\tc  \n");
        assert_eq!(Phrases::from_lines(&own.to_lines()).to_lines(), own.to_lines());
    }
}
