//! Amounts as sentences have them: a number and the unit after it, as they are written.

use tankside_calc::quantity::unit::Unit;

/// What the last figure of a number counts: 0.01 in `1.98`, 100 in `1,200`.
pub(super) fn last_place(number: &str) -> f64 {
    let number = number.replace(',', "");
    match number.split_once('.') {
        Some((_, places)) => 0.1_f64.powi(places.len() as i32),
        None => 10_f64.powi((number.len() - number.trim_end_matches('0').len()) as i32),
    }
}

/// A number and its unit as they are written.
pub(super) struct Written<'t> {
    pub(super) whole: &'t str,
    pub(super) number: &'t str,
    pub(super) value: Option<f64>,
    pub(super) unit: &'t str,
    pub(super) rest: &'t str,
}

impl Written<'_> {
    /// Whether it is so much for a time, an area or a volume.
    pub(super) fn is_rate(&self) -> bool {
        Unit::parse(self.unit).is_some_and(|unit| unit.plain().contains('/'))
    }

    /// For ounces that do not say which, what follows them in the unit.
    pub(super) fn bare_ounce(&self) -> Option<&str> {
        let tail = ["oz", "ounces", "ounce"].iter().find_map(|word| self.unit.strip_prefix(word))?;
        let weight = self.rest.trim_start().trim_start_matches(['(']);
        let said = ["weight", "by weight", "dry"].iter().any(|word| weight.starts_with(word));
        (!said && (tail.is_empty() || tail.starts_with(['/', ' '])) && !tail.contains("weight")).then_some(tail)
    }
}

/// The most words that a unit is spelled with, `fluid ounces per 1,000 square feet`, and the most bytes.
const WORDS_OF_UNIT: usize = 6;
const BYTES_OF_UNIT: usize = 60;

/// The unit at the start of a text, as it is written: `gal/min`, `gallons per minute`.
fn unit_at(text: &str) -> Option<&str> {
    let near = &text[..text.floor_char_boundary(BYTES_OF_UNIT)];
    let ends = |c: char| c.is_whitespace() || matches!(c, ')' | ';' | ':' | '!' | '?' | '…' | '—');
    let stops = near.char_indices().filter(|(_, c)| ends(*c)).map(|(at, _)| at);
    let whole = (text.len() < BYTES_OF_UNIT).then_some(text.len());
    let stops: Vec<usize> = stops.take(WORDS_OF_UNIT).chain(whole).collect();
    let read = |end: usize| {
        let words = text[..end].trim_end_matches(['.', ',', ')', ';', ':']);
        // `2.1 gal/min in a list`; but `12 sq in`.
        let squared = |before: &str| ["sq", "cu", "square", "cubic"].iter().any(|power| before.ends_with(power));
        let preposition = words.contains(" in ") || words.strip_suffix(" in").is_some_and(|before| !squared(before));
        (words.starts_with(char::is_alphabetic) && !preposition && Unit::parse(words).is_some()).then_some(words)
    };
    let mut words = stops.iter().rev().find_map(|end| read(*end))?;
    // Of `oz of product` the words after the unit do not belong to it: with any other unit they change nothing either.
    let adds_nothing = |word: &str| Unit::parse(&format!("gal {word}")).is_some_and(|unit| unit.plain() == "gal");
    while let Some((before, _)) = words.rsplit_once(char::is_whitespace).filter(|(_, last)| adds_nothing(last)) {
        // What closes the sentence was between the two.
        words = before.trim_end().trim_end_matches(['.', ',', ')', ';', ':']);
    }
    let rest = &text[words.len()..];
    // `3 in the tank` are no inches, `2 a day` no ares.
    let preposition = matches!(words, "in" | "a") && rest.trim_start().starts_with(char::is_alphabetic);
    (!preposition && !rest.starts_with('-')).then_some(words)
}

/// The numbers with units in a text, in their order.
pub(super) fn quantities(text: &str) -> Vec<Written<'_>> {
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(start) = text[at..].find(|c: char| c.is_ascii_digit()).map(|found| at + found) {
        let end = text[start..]
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
            .map_or(text.len(), |length| start + length);
        let number = text[start..end].trim_end_matches(['.', ',']);
        at = end.max(start + 1);
        let own = text[..start]
            .chars()
            .next_back()
            .is_none_or(|c| !(c.is_alphanumeric() || matches!(c, '/' | '-' | '.' | '–')));
        let after = &text[start + number.len()..];
        let after = after.strip_prefix([' ', '\u{a0}']).unwrap_or(after);
        if let Some(unit) = own.then(|| unit_at(after)).flatten() {
            // Of `1 gal 58 fl oz` neither part is the amount, and of `2 gallons a minute` not the volume.
            let rest = &after[unit.len()..];
            let next = rest.trim_start();
            let more = next.starts_with(|c: char| c.is_ascii_digit())
                || ["a ", "an ", "each ", "every "].iter().any(|word| next.starts_with(word));
            let value = if more { None } else { number.replace(',', "").parse().ok() };
            let end = text.len() - rest.len();
            out.push(Written { whole: &text[start..end], number, value, unit, rest });
            at = end;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_with_units_are_found_and_others_are_not() {
        let found = |text| quantities(text).iter().map(|one| one.whole).collect::<Vec<_>>();
        assert_eq!(found("Catch 96 fl oz in 30 s, at 1.5 gal/1000 ft²."), ["96 fl oz", "30 s", "1.5 gal/1000 ft²"]);
        assert_eq!(found("In 2014, 3 in the shop took 613 turns for 5 people, 2 a day."), [""; 0]);
        // As people write them, without what follows.
        assert_eq!(
            found("It gave 2.1 gallons per minute, 2.1 GPM; 2.1gal/min or 30 seconds (1.5 gal per 1,000 sq ft)."),
            ["2.1 gallons per minute", "2.1 GPM", "2.1gal/min", "30 seconds", "1.5 gal per 1,000 sq ft"]
        );
        assert_eq!(found("It was 1.96 gal/1000 ft2. The rate is more."), ["1.96 gal/1000 ft2"]);
        assert_eq!(found("Add 12 oz of product, 3 inches deep."), ["12 oz", "3 inches"]);
        assert_eq!(found("It is 2.1 gal/min in a list, or 12 sq in of steel."), ["2.1 gal/min", "12 sq in"]);
        let hostile = "1a".repeat(100_000);
        assert_eq!(found(&hostile), [""; 0]);
    }

    #[test]
    fn an_ounce_says_which_it_is() {
        let bare = |text| quantities(text).first().and_then(Written::bare_ounce).map(str::to_owned);
        for (text, tail) in [
            ("12 oz of it", Some("")),
            ("12 ounces of it", Some("")),
            ("1.5 oz/1000 ft2", Some("/1000 ft2")),
            ("1.5 oz per 1,000 sq ft", Some(" per 1,000 sq ft")),
            ("12 fl oz", None),
            ("12 oz (weight)", None),
            ("12 ounces by weight", None),
            ("12 fluid ounces", None),
        ] {
            assert_eq!(bare(text).as_deref(), tail, "{text}");
        }
    }
}
