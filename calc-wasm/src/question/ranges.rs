//! What a template writes for an input: a range, a list, or a fixed amount.

use crate::quantity::order::whole_below;
use crate::quantity::typed;
use crate::text::figures::{exact, read_decimal};
use crate::text::texts::parted;

/// Most values a range may hold.
pub const MOST_VALUES: usize = 10_000;

/// What a template writes for one input: the values to draw from.
#[derive(Clone, Debug, PartialEq)]
pub enum RangeSpec {
    /// Always this text.
    Fixed(String),
    /// One of these numbers, with a unit after it.
    OneOf(Vec<f64>, String),
    /// One of these texts, each a quantity in two units: `1 min 15 s`.
    Texts(Vec<String>),
}

impl RangeSpec {
    /// How many values there are to draw from; at least 1.
    pub fn count(&self) -> u64 {
        match self {
            RangeSpec::Fixed(_) => 1,
            RangeSpec::OneOf(numbers, _) => numbers.len() as u64,
            RangeSpec::Texts(texts) => texts.len() as u64,
        }
    }

    /// The value at a place, as it is typed.
    pub fn at(&self, place: usize) -> String {
        match self {
            RangeSpec::Fixed(text) => text.clone(),
            RangeSpec::Texts(texts) => texts[place].clone(),
            RangeSpec::OneOf(numbers, unit) => {
                format!("{} {unit}", exact(numbers[place]).replace(',', "").replace('−', "-")).trim().to_owned()
            }
        }
    }
}

/// Reads `90 to 200 by 2 fl oz`, `one of 20, 30, 45 s`, or a fixed text.
pub fn value(text: &str) -> Option<RangeSpec> {
    let text = text.trim();
    if let Some(list) = text.strip_prefix("one of ") {
        let mut texts = Vec::new();
        let mut left = list;
        while let Some((text, rest)) = parted(left, ", ") {
            texts.push(text.trim().to_owned());
            left = rest;
        }
        texts.push(left.trim().to_owned());
        if texts.iter().all(|text| typed::is_compound(text)) {
            return Some(RangeSpec::Texts(texts));
        }
        let (last, rest) = list.rsplit_once(',').map_or((list, ""), |(rest, last)| (last, rest));
        let (number, unit) = number_and_unit(last)?;
        let mut numbers: Vec<f64> = Vec::new();
        for piece in rest.split(',').filter(|piece| !piece.trim().is_empty()) {
            numbers.push(finite(piece)?);
        }
        numbers.push(number);
        return Some(RangeSpec::OneOf(numbers, unit.to_owned()));
    }
    let Some((low, rest)) = parted(text, " to ") else { return Some(RangeSpec::Fixed(text.to_owned())) };
    // "refill to the mark" is a name, not a range.
    let Some(low) = finite(low) else { return Some(RangeSpec::Fixed(text.to_owned())) };
    let (high, rest) = parted(rest, " by ")?;
    let high = finite(high)?;
    let (step, unit) = number_and_unit(rest)?;
    let count = whole_below((high - low) / step);
    if step <= 0.0 || high < low || count >= MOST_VALUES as f64 {
        return None;
    }
    let numbers = (0..=count as usize).map(|index| crate::text::figures::without_noise(low + step * index as f64));
    Some(RangeSpec::OneOf(numbers.collect(), unit.to_owned()))
}

fn finite(text: &str) -> Option<f64> {
    let text = text.trim();
    match text.strip_prefix('-') {
        Some(size) => read_decimal(size).map(|size| -size),
        None => read_decimal(text),
    }
}

pub(super) fn number_and_unit(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = text.find(|letter: char| !(letter.is_ascii_digit() || letter == '.')).unwrap_or(text.len());
    Some((finite(&text[..end])?, text[end..].trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_lists_and_fixed_texts_are_read() {
        assert_eq!(value("refill to the mark"), Some(RangeSpec::Fixed("refill to the mark".to_owned())));
        assert_eq!(value("60 s"), Some(RangeSpec::Fixed("60 s".to_owned())));
        assert_eq!(
            value("90 to 96 by 2 fl oz"),
            Some(RangeSpec::OneOf(vec![90.0, 92.0, 94.0, 96.0], "fl oz".to_owned()))
        );
        assert_eq!(
            value("1 to 1.3 by 0.1 gal/1000 ft2"),
            Some(RangeSpec::OneOf(vec![1.0, 1.1, 1.2, 1.3], "gal/1000 ft2".to_owned()))
        );
        assert_eq!(value("one of 20, 30, 45 s"), Some(RangeSpec::OneOf(vec![20.0, 30.0, 45.0], "s".to_owned())));
        assert_eq!(
            value("one of 1 min 15 s, 1:20"),
            Some(RangeSpec::Texts(vec!["1 min 15 s".to_owned(), "1:20".to_owned()]))
        );
        for text in ["5 to 3 by 1 s", "1 to 2 by 0 s", "1 to 2 s", "one of a, b s", "1 to 1e12 by 1 s"] {
            assert_eq!(value(text), None, "{text}");
        }
    }
}
