//! Inputs that were read against a calculator's declaration, and what a formula gets of them.

pub use crate::calculation::check::{InputFault, InputProblem};
use crate::calculation::declare::{Bounds, Fault, Input};
pub use crate::calculation::raw::RawInputs;
use crate::quantity::kind::{Kind, Measure};
use crate::quantity::typed::Typed;
use crate::working::record::{Expr, Origin, Traced};
use crate::working::traced::leaf;
use std::sync::Arc;

/// The most inputs of a problem: the largest calculator has half as many with every row and every reading filled in.
pub const MOST_INPUTS: usize = 2_000;

/// The flat name of a field in a row: `catch.2.volume`.
pub(crate) fn flat_name(group: &str, row: usize, field: &str) -> String {
    let mut flat = String::with_capacity(group.len() + field.len() + 5);
    flat.push_str(group);
    flat.push('.');
    for size in [100, 10, 1] {
        if row >= size {
            flat.push(char::from(b'0' + (row / size % 10) as u8));
        }
    }
    flat.push('.');
    flat.push_str(field);
    flat
}

/// A value that passed.
#[derive(Clone, Debug)]
pub(crate) enum InputValue {
    Quantity(Typed),
    Word(String),
}

/// An input that passed: its flat name, its declaration and its row, found once.
#[derive(Clone, Debug)]
pub(super) struct Taken {
    pub(super) name: Arc<str>,
    pub(super) input: &'static Input,
    /// The group it is in and its row there; no name and 0 for a single input.
    pub(super) group: &'static str,
    pub(super) row: usize,
    pub(super) value: InputValue,
}

impl Taken {
    fn typed(&self) -> Option<&Typed> {
        match &self.value {
            InputValue::Quantity(typed) => Some(typed),
            InputValue::Word(_) => None,
        }
    }

    fn word(&self) -> Option<&str> {
        match &self.value {
            InputValue::Word(word) => Some(word),
            InputValue::Quantity(_) => None,
        }
    }

    /// Its value and where it comes from, for a formula.
    fn leaf(&self) -> Option<(f64, Arc<Expr>)> {
        let typed = self.typed()?;
        Some((typed.si, leaf(Origin::Input(self.name.clone()), typed.si, typed.unit)))
    }
}

/// Inputs that passed every check of the declaration.
#[derive(Clone, Debug, Default)]
pub struct Inputs {
    /// In the order of the declaration.
    pub(super) values: Vec<Taken>,
    pub(super) rows: Vec<(&'static str, usize)>,
    /// How finely fields were read, where that is given: field and size, or share of the reading.
    pub(crate) read_to: Vec<(String, Typed)>,
    /// Inputs outside their plausible range.
    pub(crate) implausible: Vec<(Arc<str>, Bounds)>,
}

impl Inputs {
    fn taken(&self, name: &str) -> Option<&Taken> {
        self.values.iter().find(|taken| &*taken.name == name)
    }

    /// The quantity given for a flat name, or its default.
    pub(crate) fn get_at<Q: Measure>(&self, name: &str) -> Option<Traced<Q>> {
        let (si, expr) = self.taken(name)?.leaf()?;
        Some(Traced { value: Q::from_si(si), expr })
    }

    /// The same; a fault names what is missing.
    pub(crate) fn need_at<Q: Measure>(&self, name: &str) -> Result<Traced<Q>, Fault> {
        self.get_at(name).ok_or_else(|| Fault::new("problem.missing", name))
    }

    /// The word or name given for a flat name.
    pub fn word_at(&self, name: &str) -> Option<&str> {
        self.taken(name)?.word()
    }

    /// How the quantity given for a flat name was typed.
    pub fn typed_at(&self, name: &str) -> Option<&Typed> {
        self.taken(name)?.typed()
    }

    /// The rows given of a group known only at run time; none for an unknown name.
    pub fn rows_at(&self, group: &str) -> impl Iterator<Item = Row<'_>> {
        let known = self.rows.iter().find(|(name, _)| *name == group);
        let (name, rows) = known.map_or(("", 0), |(name, rows)| (*name, *rows));
        (1..=rows).map(move |number| Row { inputs: self, group: name, number })
    }

    /// How many rows were given of a group known only at run time; none for an unknown name.
    pub fn row_count_at(&self, group: &str) -> usize {
        self.rows.iter().find(|(name, _)| *name == group).map_or(0, |(_, rows)| *rows)
    }

    /// Every flat name that holds something, in the order of the declaration.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.values.iter().map(|taken| &*taken.name)
    }

    /// Every flat name that holds a quantity, in the order of the declaration.
    pub fn quantities(&self) -> impl Iterator<Item = (&str, &Typed)> {
        self.declared().map(|(name, _, typed)| (name, typed))
    }

    /// The same, each with its declaration.
    pub(crate) fn declared(&self) -> impl Iterator<Item = (&str, &'static Input, &Typed)> {
        self.values.iter().filter_map(|taken| Some((&*taken.name, taken.input, taken.typed()?)))
    }

    /// Every flat name that holds something, with its declaration.
    pub(crate) fn chosen(&self) -> impl Iterator<Item = (&str, &'static Input)> {
        self.values.iter().map(|taken| (&*taken.name, taken.input))
    }

    /// The same inputs with another word chosen.
    pub(crate) fn with_word(&self, name: &str, word: &str) -> Inputs {
        let mut changed = self.clone();
        let taken = changed.values.iter_mut().find(|taken| &*taken.name == name);
        if let Some(Taken { value: InputValue::Word(own), .. }) = taken {
            word.clone_into(own);
        }
        changed
    }

    /// The same inputs with one quantity changed to `si`; for questions of "what if" and for uncertainty.
    pub fn with(&self, name: &str, si: f64) -> Inputs {
        let mut changed = self.clone();
        changed.set(name, si);
        changed
    }

    /// The same inputs with one left out; for what rests on a default.
    pub fn without(&self, name: &str) -> Inputs {
        let mut left = self.clone();
        left.values.retain(|taken| &*taken.name != name);
        left
    }

    /// Puts a quantity that was given to `si`; nothing happens where it was not given.
    pub fn set(&mut self, name: &str, si: f64) {
        let taken = self.values.iter_mut().find(|taken| &*taken.name == name);
        if let Some(Taken { value: InputValue::Quantity(typed), .. }) = taken {
            typed.si = si;
        }
    }

    /// Drops the rows of a group after the first `most`.
    pub fn keep_rows(&mut self, group: &str, most: usize) {
        if let Some((_, rows)) = self.rows.iter_mut().find(|(name, _)| *name == group) {
            *rows = (*rows).min(most);
        }
    }
}

/// One row of a group known only at run time; see [`RowOf`](crate::calculation::asking::RowOf).
#[derive(Clone, Copy, Debug)]
pub struct Row<'a> {
    pub(crate) inputs: &'a Inputs,
    pub(crate) group: &'static str,
    /// Row number, from 1.
    pub number: usize,
}

impl<'a> Row<'a> {
    /// The flat name of a field in this row.
    pub fn name(&self, field: &str) -> String {
        flat_name(self.group, self.number, field)
    }

    fn taken(&self, field: &str) -> Option<&'a Taken> {
        let mut values = self.inputs.values.iter();
        values.find(|taken| taken.row == self.number && taken.input.name == field && taken.group == self.group)
    }

    pub(crate) fn get_at<Q: Measure>(&self, field: &str) -> Option<Traced<Q>> {
        let (si, expr) = self.taken(field)?.leaf()?;
        Some(Traced { value: Q::from_si(si), expr })
    }

    pub(crate) fn need_at<Q: Measure>(&self, field: &str) -> Result<Traced<Q>, Fault> {
        self.get_at(field).ok_or_else(|| Fault::new("problem.missing", self.name(field)))
    }

    /// How a field was typed, where it is a quantity.
    pub fn typed_at(&self, field: &str) -> Option<&'a Typed> {
        self.taken(field)?.typed()
    }

    /// The word or name in a field.
    pub fn word_at(&self, field: &str) -> Option<&'a str> {
        self.taken(field)?.word()
    }

    pub(crate) fn kind_at(&self, field: &str) -> Option<Kind> {
        Kind::of(&self.typed_at(field)?.unit)
    }
}
