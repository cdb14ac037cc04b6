//! Results: how one is declared, and what came out.

use crate::quantity::kind::Kind;
use crate::quantity::kinds::{OfKind, Share};
use crate::quantity::unit::{Unit, Units};
use crate::quantity::usual;
use crate::quantity::written::{quantity, with_unit};
use crate::text::figures::{STEP_FIGURES, decimals, shown, to_figures, to_places, without_noise};
use crate::text::texts;
use crate::working::traced::Expr;
use std::marker::PhantomData;
use std::sync::Arc;

/// One result. In its name `N` and `M` stand for row numbers.
#[derive(Debug)]
pub struct ResultSpec {
    /// Kebab-case name.
    pub name: &'static str,
    /// What it is.
    pub kind: Kind,
    /// The units it is shown in.
    pub units: &'static Units,
    /// Whether a page shows it large.
    pub main: bool,
    /// Whether it is an amount that a person measures out, shown also as gal + fl oz or lb + oz.
    pub measured: bool,
    /// Whether it is in a sum with others of its kind, so that all are shown to the same decimal place.
    pub adds: bool,
    /// Whether it is shown to four figures, as a step is: 43.56, not 43.6.
    pub fine: bool,
    /// Whether it is shown to four figures however large it is: 34,480 ft², not 34,483, because no tank is read more
    /// finely.
    pub coarse: bool,
    /// Whether it is a percentage that says how far something is off, or by how much it changes: below zero is under.
    pub percent_off: bool,
    /// Whether it answers a question of US practice alone, so that nobody who works in metric units is shown it unasked.
    pub us_only: bool,
}

impl ResultSpec {
    /// `si` as it is shown in `unit`, still in SI: rounded to four figures where it is coarse.
    pub fn rounded(&self, si: f64, unit: &Unit) -> f64 {
        if self.coarse { to_figures(si / unit.size(), STEP_FIGURES) * unit.size() } else { si }
    }
}

/// A result that is a `D` and has as many row numbers in its name as `ROWS` says.
#[derive(Debug)]
pub struct ResultOf<D, const ROWS: usize = 0> {
    /// What pages, questions and checks read of it.
    pub spec: ResultSpec,
    kind: PhantomData<fn() -> D>,
}

/// The kind of a result that is words, not a quantity: a phrase.
#[derive(Debug)]
pub enum Verdict {}

impl<D: OfKind, const ROWS: usize> ResultOf<D, ROWS> {
    /// A result that is shown in `units`; in its name `N` and `M` stand for row numbers.
    pub const fn new(name: &'static str, units: &'static Units) -> Self {
        ResultOf::of(name, D::KIND, units)
    }
}

impl<const ROWS: usize> ResultOf<Share, ROWS> {
    /// A percentage by which something is off or changes: below zero is under.
    pub const fn percent_off(mut self) -> Self {
        self.spec.percent_off = true;
        self
    }
}

impl<const ROWS: usize> ResultOf<Verdict, ROWS> {
    /// A verdict in words.
    pub const fn verdict(name: &'static str) -> Self {
        ResultOf::of(name, Kind::Share, usual::PERCENT)
    }
}

impl<D, const ROWS: usize> ResultOf<D, ROWS> {
    const fn of(name: &'static str, kind: Kind, units: &'static Units) -> Self {
        assert!(row_numbers(name) == ROWS, "its name has other row numbers than its type says");
        let spec = ResultSpec {
            name,
            kind,
            units,
            main: false,
            measured: false,
            adds: false,
            fine: false,
            coarse: false,
            percent_off: false,
            us_only: false,
        };
        ResultOf { spec, kind: PhantomData }
    }

    /// Shown large.
    pub const fn main(mut self) -> Self {
        self.spec.main = true;
        self
    }

    /// Shown to the same decimal place as the others in its unit that add up with it.
    pub const fn adds(mut self) -> Self {
        self.spec.adds = true;
        self
    }

    /// Shown to four figures.
    pub const fn fine(mut self) -> Self {
        self.spec.fine = true;
        self
    }

    /// Not shown where the units are metric, unless it is asked for by its name.
    pub const fn us_only(mut self) -> Self {
        self.spec.us_only = true;
        self
    }

    /// Shown to four figures however large it is.
    pub const fn coarse(mut self) -> Self {
        self.spec.coarse = true;
        self
    }

    /// Also shown as a person measures it.
    pub const fn measured(mut self) -> Self {
        self.spec.measured = true;
        self
    }

    /// Its name as it is declared.
    pub const fn name(&self) -> &'static str {
        self.spec.name
    }

    /// Its flat name, where names are data.
    #[inline(always)]
    pub fn flat(&self, rows: [usize; ROWS]) -> String {
        flat_name(self.spec.name, &rows)
    }
}

/// The row numbers in a name: words that are `N` or `M`.
const fn row_numbers(name: &str) -> usize {
    let name = name.as_bytes();
    let (mut at, mut count) = (0, 0);
    while at < name.len() {
        let word = (at == 0 || name[at - 1] == b'-') && (at + 1 == name.len() || name[at + 1] == b'-');
        if word && matches!(name[at], b'N' | b'M') {
            count += 1;
        }
        at += 1;
    }
    count
}

/// A result's value.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// A quantity: SI value and the unit it is shown in.
    Quantity(f64, Unit),
    /// A verdict in words, by phrase key.
    Verdict(&'static str),
}

/// One result.
#[derive(Clone, Debug)]
pub struct WorkedResult {
    /// Its declaration.
    pub spec: &'static ResultSpec,
    /// Row numbers it belongs to.
    pub rows: Vec<usize>,
    /// What came out.
    pub outcome: Outcome,
    /// How a quantity was computed: for uncertainty, and for seeing what a wrong working leads to.
    pub expr: Option<Arc<Expr>>,
    /// A name that the user gave, which it belongs to: a method, a product.
    pub named: Option<String>,
    /// Decimal places of one that adds up with others; see [`align`].
    pub places: Option<i32>,
}

impl WorkedResult {
    /// The flat name: the declared one with each `N` replaced by its row number.
    pub fn name(&self) -> String {
        flat_name(self.spec.name, &self.rows)
    }

    /// Its value in SI base units and the unit it is shown in, where it is a quantity.
    pub fn quantity(&self) -> Option<(f64, Unit)> {
        match self.outcome {
            Outcome::Quantity(si, unit) => Some((si, unit)),
            Outcome::Verdict(_) => None,
        }
    }

    /// Whether this is its flat name.
    pub fn is(&self, flat: &str) -> bool {
        is_flat_name(self.spec.name, &self.rows, flat)
    }
}

/// `volume-N-product-M` with rows 1 and 2 is `volume-1-product-2`.
pub fn flat_name(pattern: &str, rows: &[usize]) -> String {
    if rows.is_empty() {
        return pattern.to_owned();
    }
    let (mut name, mut rows) = (String::with_capacity(pattern.len() + 4), rows.iter());
    for (index, word) in pattern.split('-').enumerate() {
        if index > 0 {
            name.push('-');
        }
        match word {
            "N" | "M" => name.push_str(&rows.next().map_or_else(|| word.to_owned(), ToString::to_string)),
            _ => name.push_str(word),
        }
    }
    name
}

/// Whether `flat` is the [`flat_name`] of a pattern with these rows, which is asked of many results, so it builds no text.
pub(crate) fn is_flat_name(pattern: &str, rows: &[usize], flat: &str) -> bool {
    if rows.is_empty() {
        return pattern == flat;
    }
    let mut rows = rows.iter();
    texts::word_by_word(pattern, flat, &mut |word, own| rows.next().map_or(own == word, |row| is_number(own, *row)))
}

/// Whether a word is this number as it is written.
fn is_number(word: &str, number: usize) -> bool {
    let plain = word.bytes().all(|letter| letter.is_ascii_digit()) && (word.len() == 1 || !word.starts_with('0'));
    plain && word.parse() == Ok(number)
}

/// Gives results that add up, in each unit, the decimal places that three figures of the finest of them take.
pub(crate) fn align(results: &mut [WorkedResult]) {
    let mut finest: Vec<(Unit, i32)> = Vec::new();
    for found in results.iter().filter(|found| found.spec.adds) {
        let Outcome::Quantity(si, unit) = &found.outcome else { continue };
        let places = decimals(without_noise(si / unit.size()));
        match finest.iter_mut().find(|(other, _)| other == unit) {
            Some((_, finest)) => *finest = places.max(*finest),
            None => finest.push((*unit, places)),
        }
    }
    for found in results.iter_mut().filter(|found| found.spec.adds) {
        let Outcome::Quantity(_, unit) = &found.outcome else { continue };
        found.places = finest.iter().find(|(other, _)| other == unit).map(|(_, finest)| *finest);
    }
}

/// A result's amount as text: to three figures, whole units kept unless its calculator says otherwise, to four where it
/// says so, or to the places of those that it adds up with.
pub fn amount(found: &WorkedResult, si: f64, unit: &Unit) -> String {
    match found.places {
        Some(places) => with_unit(&to_places(without_noise(si / unit.size()), places), unit),
        None if found.spec.fine => with_unit(&shown(without_noise(si / unit.size()), STEP_FIGURES), unit),
        None if found.spec.coarse => quantity(found.spec.rounded(si, unit), unit),
        None => quantity(si, unit),
    }
}

#[cfg(test)]
mod tests {
    use super::{flat_name, is_flat_name};

    #[test]
    fn a_flat_name_is_recognised_without_being_built() {
        let patterns: [(&str, &[usize]); 5] = [
            ("volume-N-product-M", &[1, 12]),
            ("volume-N-mix", &[10]),
            ("volume-N", &[3]),
            ("mix", &[]),
            ("N-way", &[7]),
        ];
        let names = ["volume-01-mix", "volume-+10-mix", "volume--mix", "volume-N", "mix-1", "", "volume-1-product-1"];
        let built: Vec<String> = patterns.iter().map(|(pattern, rows)| flat_name(pattern, rows)).collect();
        for (pattern, rows) in patterns {
            for name in names.into_iter().chain(built.iter().map(String::as_str)) {
                assert_eq!(is_flat_name(pattern, rows, name), flat_name(pattern, rows) == name, "{pattern} {name}");
            }
        }
    }
}
