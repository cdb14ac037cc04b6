//! Asking for inputs by their handles. Each call is a thin wrapper over the one by name, so the types
//! cost nothing at run time.
//!
//! What does not compile: a name that nobody declared:
//!
//! ```compile_fail,E0308
//! # use tankside_calc::calculation::inputs::Inputs;
//! fn run(inputs: &Inputs) {
//!     inputs.typed("walked");
//! }
//! ```
//!
//! A quantity of another kind:
//!
//! ```compile_fail,E0308
//! # use tankside_calc::calculation::inputs::Inputs;
//! # use tankside_calc::calculation::handles::InputOf;
//! # use tankside_calc::quantity::{kind::Volume, kinds, usual};
//! # use tankside_calc::working::record::Traced;
//! const WALKED: InputOf<kinds::Length> = InputOf::quantity("walked", usual::SPAN);
//! fn run(inputs: &Inputs) -> Option<Traced<Volume>> {
//!     inputs.get(&WALKED)
//! }
//! ```
//!
//! A field of another group, and a field without its row:
//!
//! ```compile_fail,E0308
//! # use tankside_calc::quantity::{kinds, usual};
//! # use tankside_calc::calculation::inputs::Inputs;
//! # use tankside_calc::calculation::handles::{GroupOf, InputOf, fields};
//! # enum Lap {}
//! # enum Stop {}
//! const LAP: GroupOf<Lap> = GroupOf::new("lap", fields![TIME], 1, 12);
//! const TIME: InputOf<kinds::Time, Lap> = InputOf::quantity("time", usual::SECONDS);
//! const REST: InputOf<kinds::Time, Stop> = InputOf::quantity("rest", usual::SECONDS);
//! fn run(inputs: &Inputs) {
//!     inputs.rows(&LAP).for_each(|row| drop(row.get(&REST)));
//! }
//! ```
//!
//! ```compile_fail,E0308
//! # use tankside_calc::calculation::inputs::Inputs;
//! # use tankside_calc::calculation::handles::InputOf;
//! # use tankside_calc::quantity::{kinds, usual};
//! # enum Lap {}
//! const TIME: InputOf<kinds::Time, Lap> = InputOf::quantity("time", usual::SECONDS);
//! fn run(inputs: &Inputs) {
//!     inputs.get(&TIME);
//! }
//! ```

use crate::calculation::declare::Fault;
use crate::calculation::handles::{GroupOf, InputOf, Worded};
use crate::calculation::inputs::{Inputs, Row};
use crate::quantity::kind::{Kind, Measure};
use crate::quantity::kinds::{OfKind, Takes};
use crate::quantity::typed::Typed;
use crate::quantity::unit::Unit;
use crate::working::record::Traced;
use std::marker::PhantomData;

impl Inputs {
    /// The quantity of an input as it was given, or its default.
    #[inline(always)]
    pub fn get<D: OfKind>(&self, input: &InputOf<D>) -> Option<Traced<D::Quantity>> {
        self.get_at(input.name())
    }

    /// The same, where it must be there.
    ///
    /// # Errors
    /// Missing.
    #[inline(always)]
    pub fn need<D: OfKind>(&self, input: &InputOf<D>) -> Result<Traced<D::Quantity>, Fault> {
        self.need_at(input.name())
    }

    /// The quantity of an input of several kinds, as one of them; [`Inputs::kind`] says which it is.
    ///
    /// # Errors
    /// Missing.
    #[inline(always)]
    pub fn need_as<D: Takes<Q>, Q: Measure>(&self, input: &InputOf<D>) -> Result<Traced<Q>, Fault> {
        self.need_at(input.name())
    }

    /// How a quantity was typed.
    #[inline(always)]
    pub fn typed<D: OfKind>(&self, input: &InputOf<D>) -> Option<&Typed> {
        self.typed_at(input.name())
    }

    /// The word or name given.
    #[inline(always)]
    pub fn word<W: Worded>(&self, input: &InputOf<W>) -> Option<&str> {
        self.word_at(input.name())
    }

    /// What a quantity turned out to measure; a label rate may be of four kinds.
    #[inline(always)]
    pub fn kind<D: OfKind>(&self, input: &InputOf<D>) -> Option<Kind> {
        Kind::of(&self.typed(input)?.unit)
    }

    /// The rows given of a group.
    #[inline(always)]
    pub fn rows<R>(&self, group: &GroupOf<R>) -> impl Iterator<Item = RowOf<'_, R>> + use<'_, R> {
        let name = group.name();
        (1..=self.row_count_at(name)).map(move |number| RowOf::new(Row { inputs: self, group: name, number }))
    }

    /// How many rows were given of a group.
    #[inline(always)]
    pub fn row_count<R>(&self, group: &GroupOf<R>) -> usize {
        self.row_count_at(group.name())
    }
}

impl<R> GroupOf<R> {
    /// A row known only at run time, as a row of this group.
    #[inline(always)]
    pub(crate) fn row<'a>(&self, row: Row<'a>) -> RowOf<'a, R> {
        debug_assert_eq!(row.group, self.name());
        RowOf::new(row)
    }
}

/// One row of the group whose fields are marked by `R`.
#[derive(Debug)]
pub struct RowOf<'a, R> {
    row: Row<'a>,
    group: PhantomData<fn() -> R>,
}

impl<'a, R> RowOf<'a, R> {
    fn new(row: Row<'a>) -> Self {
        RowOf { row, group: PhantomData }
    }

    /// Row number, from 1.
    #[inline(always)]
    pub fn number(&self) -> usize {
        self.row.number
    }

    pub(crate) fn plain(&self) -> &Row<'a> {
        &self.row
    }

    pub(crate) fn inputs(&self) -> &'a Inputs {
        self.row.inputs
    }

    /// The flat name of a field in this row, for an error about it.
    #[inline(always)]
    pub fn name<D>(&self, field: &InputOf<D, R>) -> String {
        self.row.name(field.name())
    }

    /// The quantity of a field.
    #[inline(always)]
    pub fn get<D: OfKind>(&self, field: &InputOf<D, R>) -> Option<Traced<D::Quantity>> {
        self.row.get_at(field.name())
    }

    /// The quantity of a field that must be there.
    ///
    /// # Errors
    /// Missing.
    #[inline(always)]
    pub fn need<D: OfKind>(&self, field: &InputOf<D, R>) -> Result<Traced<D::Quantity>, Fault> {
        self.row.need_at(field.name())
    }

    /// The quantity of a field of several kinds, as one of them; [`RowOf::kind`] says which it is.
    ///
    /// # Errors
    /// Missing.
    #[inline(always)]
    pub fn need_as<D: Takes<Q>, Q: Measure>(&self, field: &InputOf<D, R>) -> Result<Traced<Q>, Fault> {
        self.row.need_at(field.name())
    }

    /// How a quantity was typed.
    #[inline(always)]
    pub fn typed<D: OfKind>(&self, field: &InputOf<D, R>) -> Option<&'a Typed> {
        self.row.typed_at(field.name())
    }

    /// The word or name in a field.
    #[inline(always)]
    pub fn word<W: Worded>(&self, field: &InputOf<W, R>) -> Option<&'a str> {
        self.row.word_at(field.name())
    }

    /// The unit in which a field was typed.
    #[inline(always)]
    pub fn unit<D: OfKind>(&self, field: &InputOf<D, R>) -> Option<&'a Unit> {
        Some(&self.typed(field)?.unit)
    }

    /// What the quantity of a field measures.
    #[inline(always)]
    pub fn kind<D: OfKind>(&self, field: &InputOf<D, R>) -> Option<Kind> {
        self.row.kind_at(field.name())
    }
}
