//! A unit of measure: a product of table rows, such as `gal/1000 ft2`.

use crate::quantity::units::{Atom, Dim, atom};

/// A unit of measure, as a product of rows of the units table with whole exponents.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Unit {
    parts: Vec<(&'static Atom, i8)>,
}

impl Unit {
    /// No unit: a bare number.
    pub fn none() -> Unit {
        Unit::default()
    }

    /// The unit written `text`, as the core's own tables write it.
    ///
    /// Unknown text gives no unit; a registry test holds every text in the tables against [`Unit::parse`].
    pub fn of(text: &str) -> Unit {
        // Asked for at every step of every calculation, so a text made of symbols to the letter is not taken apart.
        let mut unit = Unit::none();
        for (index, piece) in text.split('/').enumerate() {
            match crate::quantity::units::find(piece) {
                Some(found) => unit.push(found, if index == 0 { 1 } else { -1 }),
                None => return Unit::parse(text).unwrap_or_default(),
            }
        }
        unit
    }

    /// Reads a unit as people write it: `gal/1000 ft2`, `fl oz per 1,000 sq ft`, `mph`, `GPA`.
    ///
    /// A bare `oz` is read as weight here; whoever knows which kind is asked for decides otherwise first.
    /// `None` when a part is not known.
    pub fn parse(text: &str) -> Option<Unit> {
        if text.len() > crate::quantity::typed::LONGEST {
            return None;
        }
        let tokens = crate::quantity::tokens::tokens(text).ok()?;
        // Of `1000 ft2` the number is the unit's own; of `fl oz/5 gal` it would have to go somewhere.
        let spelled = crate::quantity::spelling::spelled(&tokens, 0, false)?;
        (spelled.times == 1.0).then_some(spelled.unit)
    }

    /// This unit with one more part.
    pub(crate) fn with(mut self, part: &'static Atom, exponent: i8) -> Unit {
        self.push(part, exponent);
        self
    }

    /// Its parts above the line, and all of its parts below it; for an answer that leaves out "per 1000 ft²".
    pub(crate) fn halves(&self) -> (Unit, Unit) {
        let side = |above: bool| {
            let parts = self.parts.iter().filter(|(_, exponent)| (*exponent > 0) == above);
            Unit { parts: parts.copied().collect() }
        };
        (side(true), side(false))
    }

    /// With its first part, an ounce by weight, taken for a fluid ounce.
    pub(crate) fn as_liquid(&self) -> Option<Unit> {
        let mut parts = self.parts.clone();
        let (first, _) = parts.first_mut()?;
        *first = crate::quantity::units::find("fl oz")?;
        Some(Unit { parts })
    }

    fn push(&mut self, found: &'static Atom, exponent: i8) {
        self.parts.push((found, exponent));
    }

    /// This unit times another, or over it (`sign` −1); what cancels to the letter is left out.
    pub(crate) fn times(mut self, other: &Unit, sign: i8) -> Unit {
        for (found, exponent) in &other.parts {
            let exponent = exponent * sign;
            match self.parts.iter().position(|(own, raised)| own == found && *raised == -exponent) {
                Some(place) => drop(self.parts.remove(place)),
                None => self.push(found, exponent),
            }
        }
        self
    }

    /// The unit whose square this is, where it is the square of a length.
    pub(crate) fn root(&self) -> Unit {
        let sides = self.parts.iter().map(|(part, exponent)| Some((atom(part.side?), *exponent)));
        sides.collect::<Option<Vec<_>>>().map_or_else(Unit::none, |parts| Unit { parts })
    }

    /// This unit with each part replaced by the row that `other` names for its symbol; `None` where one has no other.
    pub fn over(&self, other: impl Fn(&'static str) -> Option<&'static str>) -> Option<Unit> {
        let part = |(part, exponent): &(&'static Atom, i8)| {
            Some((crate::quantity::units::find(other(part.symbol)?)?, *exponent))
        };
        self.parts.iter().map(part).collect::<Option<_>>().map(|parts| Unit { parts })
    }

    /// The rows and their exponents, in written order.
    pub fn parts(&self) -> &[(&'static Atom, i8)] {
        &self.parts
    }

    /// Size of one of this unit in SI base units.
    pub fn size(&self) -> f64 {
        self.parts.iter().fold(1.0, |size, (part, exponent)| {
            let one = part.size.value();
            if *exponent > 0 { size * one.powi(i32::from(*exponent)) } else { size / one.powi(-i32::from(*exponent)) }
        })
    }

    /// What it measures.
    pub fn dim(&self) -> Dim {
        self.parts.iter().fold(Dim::default(), |dim, (part, exponent)| dim.plus(part.dim, *exponent))
    }

    /// Whether it has no parts.
    pub fn is_none(&self) -> bool {
        self.parts.is_empty()
    }

    /// Whether every part is in US customary use (time and percent count for both systems).
    pub fn is_us(&self) -> bool {
        self.parts.iter().all(|(part, _)| part.us)
    }

    /// As it is typed: `gal/1000 ft2`.
    pub fn plain(&self) -> String {
        self.written(|part| part.symbol)
    }

    /// As it is shown: `gal/1000 ft²`.
    pub fn shown(&self) -> String {
        self.written(|part| part.shown)
    }

    fn written(&self, name: impl Fn(&'static Atom) -> &'static str) -> String {
        if self.is_miles_per_hour() {
            return "mph".to_owned();
        }
        let mut text = String::new();
        for (part, exponent) in &self.parts {
            if *exponent < 0 {
                text.push('/');
            } else if !text.is_empty() {
                text.push('·');
            }
            text.push_str(name(part));
        }
        text
    }

    fn is_miles_per_hour(&self) -> bool {
        self.parts == [(atom("mi"), 1), (atom("h"), -1)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::units::ATOMS;

    #[test]
    fn units_are_read_as_people_write_them() {
        for (text, plain) in [
            ("gal/1000 ft2", "gal/1000 ft2"),
            ("gal per 1,000 sq ft", "gal/1000 ft2"),
            ("GAL / 1000 ft²", "gal/1000 ft2"),
            ("GPA", "gal/acre"),
            ("mph", "mph"),
            ("fl oz/100 gal", "fl oz/100 gal"),
            ("ml/100 m²", "mL/100 m2"),
            ("l/ha", "L/ha"),
            ("square feet", "ft2"),
            ("percent", "%"),
        ] {
            assert_eq!(Unit::parse(text).map(|unit| unit.plain()), Some(plain.to_owned()), "{text}");
        }
        for text in ["", "furlong", "gal/", "/acre", "gal/furlong"] {
            assert_eq!(Unit::parse(text), None, "{text}");
        }
    }

    #[test]
    fn every_row_reads_back_from_its_own_symbol() {
        for row in ATOMS {
            for text in std::iter::once(&row.symbol).chain(row.spellings).chain(std::iter::once(&row.shown)) {
                let unit = Unit::parse(text).unwrap_or_else(|| panic!("{text} is not read"));
                assert_eq!(unit.parts(), [(row, 1)], "{text}");
            }
        }
    }

    #[test]
    fn sizes_follow_the_definitions() {
        assert_eq!(Unit::of("gal").size(), 0.003_785_411_784);
        assert_eq!(Unit::of("mph").size(), 0.44704);
        assert_eq!(Unit::of("ft2/min").dim(), Unit::of("acre/h").dim());
        assert_ne!(Unit::of("gal/acre").dim(), Unit::of("ft").dim());
    }
}
