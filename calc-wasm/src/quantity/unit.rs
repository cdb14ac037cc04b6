//! A unit of measure: a product of table rows, such as `gal/1000 ft2`.

use crate::fitted::{self, Extra};
use crate::quantity::system::System;
use crate::quantity::units::{ATOMS, Atom, Dim, atom, find, index_of};

/// Parts that a unit may have. What people type has three at most; a product on the way to a step, such as
/// mi/h × in × gal/acre, has five before anything cancels.
const MOST_PARTS: usize = 8;

/// A unit of measure, as a product of rows of the units table with exponents of 1 and −1.
///
/// Size and dimension are worked out as it is put together, so that nothing is looked up while working. A unit of the
/// core's own code is written [`unit!`](crate::unit!)`("gal/1000 ft2")` and does not compile where it does not exist.
#[derive(Clone, Copy)]
pub struct Unit {
    /// Places in [`ATOMS`] with their exponents, in written order; an exponent of 0 ends them.
    parts: [(u8, i8); MOST_PARTS],
    dim: Dim,
    size: f64,
}

/// The unit that a text literal writes, found when the core is compiled: one that does not exist does not compile.
///
/// ```
/// use tankside_calc::quantity::unit::unit;
/// assert_eq!(unit!("gal/1000 ft2").shown(), "gal/1000 ft²");
/// ```
///
/// ```compile_fail
/// use tankside_calc::quantity::unit::unit;
/// let _ = unit!("gal/furlong");
/// ```
#[macro_export]
macro_rules! unit {
    ($text:literal) => {
        const { $crate::quantity::unit::Unit::of($text) }
    };
}

/// The unit of US practice and the one of metric practice, found when the core is compiled.
#[macro_export]
macro_rules! units {
    ($us:literal, $metric:literal) => {
        const { &$crate::quantity::unit::Units::of($us, $metric) }
    };
}

/// Units found when the core is compiled, as a slice.
#[macro_export]
macro_rules! unit_list {
    ($($text:literal),* $(,)?) => {
        const { &[$($crate::quantity::unit::Unit::of($text)),*] }
    };
}

pub use {unit, unit_list, units};

/// A unit in US and one in metric practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Units {
    /// In US practice.
    pub us: Unit,
    /// In metric practice.
    pub metric: Unit,
}

impl Units {
    /// The two units written so; see [`Unit::of`].
    pub const fn of(us: &str, metric: &str) -> Units {
        Units { us: Unit::of(us), metric: Unit::of(metric) }
    }

    /// The one of `system`.
    pub fn pick(&self, system: System) -> Unit {
        system.pick(self.us, self.metric)
    }
}

impl Default for Unit {
    fn default() -> Unit {
        Unit::none()
    }
}

impl PartialEq for Unit {
    fn eq(&self, other: &Unit) -> bool {
        // Most differ in what they begin with, and a form compares hundreds.
        self.parts[0] == other.parts[0] && self.parts == other.parts
    }
}

impl std::fmt::Debug for Unit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Unit({})", self.plain())
    }
}

impl Unit {
    /// No unit: a bare number.
    pub const fn none() -> Unit {
        Unit { parts: [(0, 0); MOST_PARTS], dim: Dim::NONE, size: 1.0 }
    }

    /// The unit written `text` by symbols of the table; empty for none. For units written in code, by way of
    /// [`unit!`](crate::unit!); what people type is read by [`Unit::parse`].
    ///
    /// # Panics
    /// Where there is no such unit: in a constant, that does not compile.
    pub const fn of(text: &str) -> Unit {
        match Unit::written(text) {
            Some(unit) => unit,
            None => panic!("there is no such unit in the table"),
        }
    }

    /// The unit written `text` by symbols of the table, to the letter; `None` for any other spelling.
    pub(crate) const fn written(text: &str) -> Option<Unit> {
        let bytes = text.as_bytes();
        let (mut unit, mut start, mut end) = (Unit::none(), 0, 0);
        if bytes.is_empty() {
            return Some(unit);
        }
        if matches!(bytes, b"mph") {
            return Unit::written("mi/h");
        }
        while end <= bytes.len() {
            if end == bytes.len() || bytes[end] == b'/' {
                let Some(index) = index_of(bytes, start, end) else { return None };
                unit = unit.and(index, if start == 0 { 1 } else { -1 });
                start = end + 1;
            }
            end += 1;
        }
        Some(unit)
    }

    /// Reads a unit as people write it: `gal/1000 ft2`, `fl oz per 1,000 sq ft`, `mph`, `GPA`.
    ///
    /// A bare `oz` is read as weight here; whoever knows which kind is meant decides otherwise first.
    /// `None` when a part is not known.
    pub fn parse(text: &str) -> Option<Unit> {
        if text.len() > crate::quantity::typed::LONGEST {
            return None;
        }
        let text = text.trim();
        if text.is_empty() {
            return None;
        }
        if let Some(row) = find(text) {
            return Some(Unit::none().with(row, 1));
        }
        // Pounds on a square inch are a pressure.
        if let Some(unit) = Unit::written(text).filter(|unit| *unit != unit!("lb/in2")) {
            return Some(unit);
        }
        if fitted::has(Extra::Typing) { crate::quantity::spelling::alone(text) } else { None }
    }

    /// This unit with one more part; a ninth, which no formula of the trade has, is left out.
    const fn and(mut self, index: u8, exponent: i8) -> Unit {
        let mut at = 0;
        while at < MOST_PARTS && self.parts[at].1 != 0 {
            at += 1;
        }
        debug_assert!(at < MOST_PARTS, "a unit of so many parts");
        if at < MOST_PARTS {
            let row = &ATOMS[index as usize];
            self.parts[at] = (index, exponent);
            self.size = if exponent > 0 { self.size * row.value } else { self.size / row.value };
            self.dim = self.dim.plus(row.dim, exponent);
        }
        self
    }

    /// This unit with one more part.
    pub(crate) fn with(self, part: &'static Atom, exponent: i8) -> Unit {
        self.and(part.index(), exponent)
    }

    /// The unit of these parts, in order; one whose exponent is 0 is left out.
    fn of_parts(parts: &[(u8, i8); MOST_PARTS]) -> Unit {
        let mut unit = Unit::none();
        for (index, exponent) in parts {
            if *exponent != 0 {
                unit = unit.and(*index, *exponent);
            }
        }
        unit
    }

    fn places(&self) -> impl Iterator<Item = (u8, i8)> + Clone + use<> {
        self.parts.into_iter().take_while(|(_, exponent)| *exponent != 0)
    }

    /// Its parts above the line, and all of its parts below it; for an answer that leaves out "per 1000 ft²".
    pub(crate) fn halves(&self) -> (Unit, Unit) {
        let side =
            |above: bool| Unit::of_parts(&self.parts.map(|part| if (part.1 > 0) == above { part } else { (0, 0) }));
        (side(true), side(false))
    }

    /// With its first part, an ounce by weight, taken for a fluid ounce.
    pub(crate) fn as_liquid(&self) -> Option<Unit> {
        self.first()?;
        let mut parts = self.parts;
        parts[0].0 = const { unit!("fl oz") }.parts[0].0;
        Some(Unit::of_parts(&parts))
    }

    /// This unit times another, or over it (`sign` −1); what cancels to the letter is left out.
    pub(crate) fn times(self, other: &Unit, sign: i8) -> Unit {
        let mut product = self;
        for (index, exponent) in other.places() {
            let exponent = exponent * sign;
            let opposite = product.places().position(|(own, raised)| own == index && raised == -exponent);
            product = match opposite {
                Some(place) => {
                    let mut parts = product.parts;
                    parts[place] = (0, 0);
                    Unit::of_parts(&parts)
                }
                None => product.and(index, exponent),
            };
        }
        product
    }

    /// The unit whose square this is, where it is the square of a length.
    pub(crate) fn root(&self) -> Unit {
        let mut root = Unit::none();
        for (part, exponent) in self.parts() {
            let Some(side) = part.side else { return Unit::none() };
            root = root.with(atom(side), exponent);
        }
        root
    }

    /// This unit with each part replaced by the row that `other` names for its symbol; `None` where one has no other.
    pub fn over(&self, other: impl Fn(&'static Atom) -> Option<&'static Atom>) -> Option<Unit> {
        self.parts().try_fold(Unit::none(), |unit, (part, exponent)| Some(unit.with(other(part)?, exponent)))
    }

    /// The rows and their exponents, in written order.
    pub fn parts(&self) -> impl Iterator<Item = (&'static Atom, i8)> + Clone + use<> {
        self.places().map(|(index, exponent)| (&ATOMS[usize::from(index)], exponent))
    }

    /// The row that it begins with.
    pub fn first(&self) -> Option<&'static Atom> {
        (!self.is_none()).then(|| &ATOMS[usize::from(self.parts[0].0)])
    }

    /// How often the row that `part` begins with is among its parts, below the line counted negative.
    pub fn exponent(&self, part: Unit) -> i32 {
        let same = self.places().filter(|(index, _)| *index == part.parts[0].0);
        same.map(|(_, exponent)| i32::from(exponent)).sum()
    }

    /// Whether the row that `part` begins with is among its parts.
    pub fn has(&self, part: Unit) -> bool {
        self.places().any(|(index, _)| index == part.parts[0].0)
    }

    /// Size of one of this unit in SI base units.
    pub const fn size(&self) -> f64 {
        self.size
    }

    /// What it measures.
    pub const fn dim(&self) -> Dim {
        self.dim
    }

    /// Whether it has no parts.
    pub const fn is_none(&self) -> bool {
        self.parts[0].1 == 0
    }

    /// Whether every part is in US customary use (time and percent count for both systems).
    pub fn is_us(&self) -> bool {
        self.parts().all(|(part, _)| part.us)
    }

    /// As it is typed: `gal/1000 ft2`.
    pub fn plain(&self) -> String {
        let mut text = String::with_capacity(16);
        self.put_plain(&mut text);
        text
    }

    /// As it is shown: `gal/1000 ft²`.
    pub fn shown(&self) -> String {
        let mut text = String::with_capacity(16);
        self.put_shown(&mut text);
        text
    }

    /// Puts it at the end of a text, as it is typed.
    pub(crate) fn put_plain(&self, out: &mut String) {
        self.put(out, false);
    }

    /// Puts it at the end of a text, as it is shown.
    pub(crate) fn put_shown(&self, out: &mut String) {
        self.put(out, true);
    }

    fn put(&self, out: &mut String, shown: bool) {
        if *self == const { unit!("mi/h") } {
            return out.push_str("mph");
        }
        for (index, (place, exponent)) in self.parts.iter().enumerate() {
            match exponent {
                0 => return,
                ..0 => out.push('/'),
                _ if index > 0 => out.push('·'),
                _ => {}
            }
            let row = &ATOMS[usize::from(*place)];
            // Below a US unit a `g` is read as gallons.
            let gallons =
                *exponent < 0 && row.symbol == "g" && (index == 0 || self.first().is_some_and(|atom| atom.us));
            out.push_str(if gallons {
                "gram"
            } else if shown {
                row.shown
            } else {
                row.symbol
            });
        }
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
    fn every_row_below_another_reads_back() {
        for above in &ATOMS {
            for below in ATOMS.iter().filter(|row| *row != above) {
                let unit = Unit::none().with(above, 1).with(below, -1);
                for text in [unit.plain(), unit.shown()] {
                    // Pounds on a square inch are a pressure.
                    let read = if text.starts_with("lb/in") { unit!("psi") } else { unit };
                    assert!(matches!(Unit::parse(&text), Some(own) if own == unit || own == read), "{text}");
                    assert_eq!(
                        Unit::parse(&text),
                        crate::quantity::spelling::alone(&text),
                        "{text}, to the letter or not"
                    );
                }
            }
        }
        assert_eq!(Unit::parse("lb/gm").map(|unit| unit.plain()).as_deref(), Some("lb/gram"));
        assert_eq!(Unit::parse("mg/gm").map(|unit| unit.plain()).as_deref(), Some("mg/g"));
    }

    #[test]
    fn no_symbol_has_a_letter_to_escape() {
        for row in &ATOMS {
            for symbol in [row.symbol, row.shown] {
                assert_eq!(crate::text::escape::html(symbol), symbol);
            }
        }
    }

    #[test]
    fn every_row_reads_back_from_its_own_symbol() {
        for row in &ATOMS {
            for text in std::iter::once(&row.symbol).chain(row.spellings()).chain(std::iter::once(&row.shown)) {
                let unit = Unit::parse(text).unwrap_or_else(|| panic!("{text} is not read"));
                assert_eq!(unit.parts().collect::<Vec<_>>(), [(row, 1)], "{text}");
            }
        }
    }

    #[test]
    fn sizes_follow_the_definitions() {
        assert_eq!(unit!("gal").size(), 0.003_785_411_784);
        assert_eq!(unit!("mph").size(), 0.44704);
        assert_eq!(unit!("ft2/min").dim(), unit!("acre/h").dim());
        assert_ne!(unit!("gal/acre").dim(), unit!("ft").dim());
    }
}
