//! Phrase catalogues: sentences by id, with named places. The core holds none of its own.

/// A catalogue of one language, in order of key.
#[derive(Clone, Debug, Default)]
pub struct Phrases(Vec<(String, String)>);

impl Phrases {
    /// From lines of `key<TAB>text`, as a published site carries them.
    pub fn from_lines(lines: &str) -> Phrases {
        let pairs = lines.lines().filter_map(|line| line.split_once('\t'));
        Phrases::from_pairs(pairs.map(|(key, text)| (key.to_owned(), text.to_owned())))
    }

    /// From pairs of key and text.
    pub fn from_pairs(pairs: impl IntoIterator<Item = (String, String)>) -> Phrases {
        let mut sorted: Vec<(String, String)> = Vec::new();
        for pair in pairs {
            // A published catalogue is in order already, so nearly every pair goes to the end.
            if sorted.last().is_none_or(|last| last.0 < pair.0) {
                sorted.push(pair);
                continue;
            }
            match sorted.binary_search_by(|held| held.0.cmp(&pair.0)) {
                Ok(place) => sorted[place] = pair,
                Err(place) => sorted.insert(place, pair),
            }
        }
        Phrases(sorted)
    }

    /// As lines of `key<TAB>text`, sorted by key.
    pub fn to_lines(&self) -> String {
        let mut lines = String::new();
        for (key, text) in &self.0 {
            lines.push_str(key);
            lines.push('\t');
            lines.push_str(&text.replace(['\n', '\t', '\r'], " "));
            lines.push('\n');
        }
        lines
    }

    /// The phrase with this key.
    pub fn find(&self, key: &str) -> Option<&str> {
        let place = self.0.binary_search_by(|(held, _)| held.as_str().cmp(key)).ok()?;
        Some(&self.0[place].1)
    }

    /// The phrase with this key, or the key itself, so that a gap shows where it is.
    pub fn get<'a>(&'a self, key: &'a str) -> &'a str {
        self.find(key).unwrap_or(key)
    }

    /// Every key and phrase, sorted by key.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(key, text)| (key.as_str(), text.as_str()))
    }

    /// The phrase with each `{name}` replaced; a name that `value` does not know is left standing.
    pub fn fill(&self, key: &str, value: impl Fn(&str) -> Option<String>) -> String {
        filled(self.get(key), &value)
    }
}

/// `text` with each `{name}` replaced by what `value` gives for it.
pub fn fill(text: &str, value: impl Fn(&str) -> Option<String>) -> String {
    filled(text, &value)
}

// One copy for every kind of value: there are dozens.
fn filled(text: &str, value: &dyn Fn(&str) -> Option<String>) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some(start) = rest.find('{') {
        let (before, after) = rest.split_at(start);
        out.push_str(before);
        let Some(end) = after.find('}') else {
            rest = after;
            break;
        };
        match value(&after[1..end]) {
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

/// `text` with its first letter large, as a label or a sentence begins.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else { return String::new() };
    // The letters of western Europe have their large form 32 places before the small one; the tables for all the
    // world's letters would weigh more than a calculator. Other catalogues write large what is to be large.
    let large = match first {
        'à'..='þ' if first != '÷' => char::from_u32(u32::from(first) - 32).unwrap_or(first),
        _ => first.to_ascii_uppercase(),
    };
    let mut out = String::with_capacity(text.len());
    out.push(large);
    out.push_str(letters.as_str());
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn named_places_are_filled_and_unknown_ones_left_standing() {
        let phrases = Phrases::from_lines("a\tcaught {volume} in {time}\nb\tplain\n");
        let value = |name: &str| (name == "volume").then(|| "96 fl oz".to_owned());
        assert_eq!(phrases.fill("a", value), "caught 96 fl oz in {time}");
        assert_eq!(phrases.get("missing"), "missing");
        assert_eq!(Phrases::from_lines(&phrases.to_lines()).get("b"), "plain");
        assert_eq!(places("{a} and {b} {"), ["a", "b"]);
        assert_eq!(capital("área"), "Área");
        assert_eq!(capital("÷"), "÷");
        assert_eq!(Phrases::from_lines("b\t1\na\t2\nb\t3\n").to_lines(), "a\t2\nb\t3\n");
    }

    #[test]
    fn a_phrase_that_ends_in_a_carriage_return_goes_through_a_page_unchanged_by_it() {
        let own = Phrases::from_pairs([("a".to_owned(), "text\r".to_owned()), ("b".to_owned(), "c\r\n".to_owned())]);
        assert_eq!(own.to_lines(), "a\ttext \nb\tc  \n");
        assert_eq!(Phrases::from_lines(&own.to_lines()).to_lines(), own.to_lines());
    }
}
