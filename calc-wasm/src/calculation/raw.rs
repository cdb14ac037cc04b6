//! Inputs as they were given: flat names and texts, and rows that are given as one text.

use crate::calculation::declare::{Calculator, Holds, Input, row_number};
use crate::quantity::kind::Kind;
use crate::quantity::typed;

/// Inputs as given: flat name and text, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RawInputs(pub Vec<(String, String)>);

impl RawInputs {
    /// From pairs of names and texts.
    pub fn from_pairs(pairs: &[(&str, &str)]) -> RawInputs {
        RawInputs(pairs.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect())
    }

    /// Opens rows given as one text: `catch.2` = `97 fl oz, 30 s` or `time 30 s, volume 97 fl oz` becomes a pair a
    /// field.
    ///
    /// Parts without a name go to the fields in the declared order: each to the first free one that it can be a value
    /// of, so that `17 ft, 20 ft` is no area and a rate is never a name. A comma separates, but not inside a number
    /// such as `1,000 ft2`. What is no short row stays as it is.
    pub fn opened(self, calculator: &Calculator) -> RawInputs {
        let mut pairs = Vec::new();
        for (name, text) in self.0 {
            let words: Vec<&str> = name.split('.').collect();
            let group = match words.as_slice() {
                [group, row] if row_number(row).is_some() => calculator.group(group),
                _ => None,
            };
            let Some(group) = group else {
                pairs.push((name, text));
                continue;
            };
            let parts = pieces(&text);
            let (mut free, mut later): (Vec<&Input>, _) = (group.fields.iter().collect(), group.fields);
            for (index, piece) in parts.iter().copied().enumerate() {
                let named = group.fields.iter().find_map(|field| {
                    let rest = piece.strip_prefix(field.name)?;
                    rest.starts_with(' ').then(|| (field.name, rest.trim()))
                });
                let (field, value) = named.unwrap_or_else(|| (meant_for(piece, &parts[index..], &free, later), piece));
                free.retain(|other| other.name != field);
                if let Some(at) = group.fields.iter().position(|other| other.name == field) {
                    later = &group.fields[at..];
                }
                pairs.push(([&name, ".", field].concat(), value.to_owned()));
            }
        }
        RawInputs(pairs)
    }

    /// The text given for a flat name.
    pub fn text(&self, name: &str) -> Option<&str> {
        self.0.iter().rev().find(|(given, _)| given == name).map(|(_, text)| text.as_str())
    }

    /// Rows given of a group: the highest row number.
    pub fn rows(&self, group: &str) -> usize {
        self.0.iter().filter_map(|(name, _)| row_of(name, group)).max().unwrap_or(0)
    }
}

/// The field that a part without a name is for; empty where none is left. One that cannot be read is for one of the
/// `later` fields, those after the part before it, where there is one.
fn meant_for(piece: &str, rest: &[&str], free: &[&Input], later: &[Input]) -> &'static str {
    let fits = |field: &&&Input| match field.holds {
        Holds::Quantity(kind) => typed::read(piece, kind, None).is_ok(),
        // A bare number belongs to the next value.
        Holds::Count => false,
        Holds::Choice(words) => words.iter().any(|word| word.eq_ignore_ascii_case(piece)),
        Holds::Unit => false,
        // A name comes first where values for the fields after it follow; what begins as a number is seldom one.
        Holds::Name => false,
    };
    let named = free.first().filter(|field| matches!(field.holds, Holds::Name));
    let number = piece.starts_with(|letter: char| letter.is_ascii_digit() || ".-−+~".contains(letter));
    let bare = typed::read(piece, Kind::Number, None).is_ok();
    match (free.iter().filter(|_| !bare).find(fits), named) {
        (Some(field), _) => field.name,
        (None, Some(name)) if !number || rest.len() >= free.len() => name.name,
        // Mistyped: it counts as the next value.
        (None, _) => {
            let value = |field: &&&Input| !matches!(field.holds, Holds::Name);
            let next = |field: &&&Input| value(field) && (bare || later.iter().any(|one| one.name == field.name));
            free.iter().find(next).or_else(|| free.iter().find(value)).map_or("", |field| field.name)
        }
    }
}

/// The parts of a row: a comma with nothing but figures from the last space up to it and one after it is in a number.
/// A semicolon separates too, and so does the x of `80 ft x 60 ft`.
fn pieces(text: &str) -> Vec<&str> {
    let (mut found, mut start) = (Vec::new(), 0);
    for (at, mark) in text.match_indices([',', ';', 'x', '×']) {
        if mark == ";" || times(text, at, mark) {
            found.push(text[start..at].trim());
            start = at + mark.len();
            continue;
        }
        if mark != "," {
            continue;
        }
        let figure = |byte: u8| byte.is_ascii_digit() || matches!(byte, b',' | b'.');
        let before = text[start..at].bytes().rev().take_while(|byte| *byte != b' ');
        let inside =
            at > start && before.clone().all(figure) && text[at + 1..].starts_with(|c: char| c.is_ascii_digit());
        if !inside {
            found.push(text[start..at].trim());
            start = at + 1;
        }
    }
    if found.is_empty() || !text[start..].trim().is_empty() {
        found.push(text[start..].trim());
    }
    found
}

/// Whether an x stands by itself between two sizes.
fn times(text: &str, at: usize, mark: &str) -> bool {
    let number = |text: &str| text.starts_with(|letter: char| letter.is_ascii_digit() || letter == '.');
    let after = text[at + mark.len()..].strip_prefix(' ');
    mark != "," && number(text) && text[..at].ends_with(' ') && after.is_some_and(number)
}

fn row_of(name: &str, group: &str) -> Option<usize> {
    let rest = name.strip_prefix(group)?.strip_prefix('.')?;
    row_number(&rest[..rest.bytes().position(|byte| byte == b'.').unwrap_or(rest.len())])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_is_parted_at_its_commas_and_a_number_is_not() {
        for (text, parts) in [
            ("186 fl oz, 60 s", &["186 fl oz", "60 s"][..]),
            ("186fl oz,60s", &["186fl oz", "60s"]),
            ("5,000 ft2,1:15", &["5,000 ft2", "1:15"]),
            ("1,250.5 ft2", &["1,250.5 ft2"]),
            ("20 ft,1,000 ft,missed", &["20 ft", "1,000 ft", "missed"]),
            ("1,45 gal,60 s", &["1,45 gal", "60 s"]),
            ("5000ft2,60s", &["5000ft2", "60s"]),
            ("1 gal 58 fl oz,", &["1 gal 58 fl oz"]),
            ("1 min 15 s", &["1 min 15 s"]),
            ("", &[""]),
        ] {
            assert_eq!(pieces(text), parts, "{text}");
        }
    }
}
