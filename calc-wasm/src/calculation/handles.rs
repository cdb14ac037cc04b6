//! Handles: the declaration of an input, a group of rows or a result, with what it measures and where it belongs in its
//! type. A calculation asks by handle, so that a name that does not exist, a quantity of another kind, a field of
//! another group and a row too few do not compile. Where a name is data (a template's result, a link, what a page
//! sends) it is looked up by its flat name instead.
//!
//! ```
//! use tankside_calc::calculation::inputs::Inputs;
//! use tankside_calc::calculation::handles::{GroupOf, InputOf, ResultOf, fields};
//! use tankside_calc::quantity::kinds;
//! use tankside_calc::quantity::usual;
//! use tankside_calc::working::record::Recorder;
//!
//! enum Lap {}
//! const LAP: GroupOf<Lap> = GroupOf::new("lap", fields![TIME], 1, 12);
//! const TIME: InputOf<kinds::Time, Lap> = InputOf::quantity("time", usual::SECONDS);
//! const WALKED: InputOf<kinds::Length> = InputOf::quantity("walked", usual::SPAN);
//! static PACE: ResultOf<kinds::Speed, 1> = ResultOf::new("lap-N-pace", usual::PACE);
//!
//! fn run(inputs: &Inputs, rec: &mut Recorder) -> Option<()> {
//!     let walked = inputs.get(&WALKED)?;
//!     for row in inputs.rows(&LAP) {
//!         let pace = &walked / &row.get(&TIME)?;
//!         rec.result(&PACE, [row.number()], &pace);
//!     }
//!     Some(())
//! }
//! assert!(run(&Inputs::default(), &mut Recorder::default()).is_none());
//! ```
//!
//! A group that declares a field of another:
//!
//! ```compile_fail,E0308
//! # use tankside_calc::quantity::{kinds, usual};
//! # use tankside_calc::calculation::handles::{GroupOf, InputOf, fields};
//! # enum Lap {}
//! # enum Stop {}
//! const REST: InputOf<kinds::Time, Stop> = InputOf::quantity("rest", usual::SECONDS);
//! const LAP: GroupOf<Lap> = GroupOf::new("lap", fields![REST], 1, 12);
//! ```
//!
//! A result of another kind:
//!
//! ```compile_fail,E0277
//! # use tankside_calc::calculation::handles::ResultOf;
//! # use tankside_calc::quantity::{kind::Volume, kinds, usual};
//! # use tankside_calc::working::record::{Recorder, Traced};
//! static PACE: ResultOf<kinds::Speed> = ResultOf::new("pace", usual::PACE);
//! fn run(rec: &mut Recorder, volume: &Traced<Volume>) {
//!     rec.result(&PACE, [], volume);
//! }
//! ```
//!
//! A kind that includes several takes none but its own: an amount is liquid or weight, and no share. What has its
//! dimension only from what was typed is no share either:
//!
//! ```compile_fail,E0277
//! # use tankside_calc::calculation::handles::ResultOf;
//! # use tankside_calc::quantity::{kind::Ratio, kinds, usual};
//! # use tankside_calc::working::record::{Recorder, Traced};
//! static DOSE: ResultOf<kinds::Amount> = ResultOf::new("dose", usual::MEASURED);
//! fn run(rec: &mut Recorder, share: &Traced<Ratio>) {
//!     rec.result(&DOSE, [], share);
//! }
//! ```
//!
//! ```compile_fail,E0277
//! # use tankside_calc::calculation::handles::ResultOf;
//! # use tankside_calc::quantity::{kind::Mixed, kinds, usual};
//! # use tankside_calc::working::record::{Recorder, Traced};
//! static OFF: ResultOf<kinds::Share> = ResultOf::new("off", usual::PERCENT);
//! fn run(rec: &mut Recorder, dose: &Traced<Mixed>) {
//!     rec.result(&OFF, [], dose);
//! }
//! ```
//!
//! A row too few:
//!
//! ```compile_fail,E0308
//! # use tankside_calc::calculation::handles::ResultOf;
//! # use tankside_calc::quantity::{kind::Velocity, kinds, usual};
//! # use tankside_calc::working::record::{Recorder, Traced};
//! static PACE: ResultOf<kinds::Speed, 1> = ResultOf::new("lap-N-pace", usual::PACE);
//! fn run(rec: &mut Recorder, pace: &Traced<Velocity>) {
//!     rec.result(&PACE, [], pace);
//! }
//! ```
//!
//! A name with more row numbers than its type says, and a word that is not one of the choices:
//!
//! ```compile_fail,E0080
//! # use tankside_calc::calculation::handles::ResultOf;
//! # use tankside_calc::quantity::{kinds, usual};
//! static PACE: ResultOf<kinds::Speed> = ResultOf::new("lap-N-pace", usual::PACE);
//! ```
//!
//! ```compile_fail,E0080
//! # use tankside_calc::calculation::handles::{Choice, InputOf};
//! const EFFECT: InputOf<Choice> = InputOf::choice("effect", &["add", "subtract"]);
//! const TAKE: &str = EFFECT.choice_of("substract");
//! ```

use crate::calculation::declare::{Bounds, FormItem, Group, Holds, Input, Need};
use crate::calculation::inputs::flat_name;
use crate::quantity::kinds::{Any, Count, OfKind};
use crate::quantity::unit::{Unit, Units};
use crate::quantity::usual;
pub use crate::working::result::{ResultOf, Verdict};
use std::marker::PhantomData;

/// Marks an input that is in no group.
#[derive(Debug)]
pub enum Single {}

/// One of several words.
#[derive(Debug)]
pub enum Choice {}

/// A name that the user gives.
#[derive(Debug)]
pub enum OwnName {}

/// A unit of measure, by its name.
#[derive(Debug)]
pub enum UnitName {}

/// What holds a word, not a quantity.
pub trait Worded {}
impl Worded for Choice {}
impl Worded for OwnName {}
impl Worded for UnitName {}

/// An input that holds a `D` and is a field of the group `R`, or of none.
#[derive(Debug)]
pub struct InputOf<D, R = Single> {
    /// What form, checks and questions read of it.
    pub input: Input,
    types: PhantomData<fn() -> (D, R)>,
}

impl<D, R> Clone for InputOf<D, R> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<D, R> Copy for InputOf<D, R> {}

/// A field of the group `R`, whatever it holds.
pub type Field<R> = InputOf<Any, R>;

impl<D: OfKind, R> InputOf<D, R> {
    /// A quantity that is usually said in `units`.
    pub const fn quantity(name: &'static str, units: &'static Units) -> Self {
        InputOf::new(name, Holds::Quantity(D::KIND), units)
    }
}

impl<R> InputOf<Count, R> {
    /// A whole number from `least` to `most`.
    pub const fn count(name: &'static str, least: f64, most: f64) -> Self {
        let mut count = InputOf::new(name, Holds::Count, usual::NUMBER);
        let limits = (least, most);
        count.input.bounds = Some(Bounds { unit: Unit::none(), hard: limits, plausible: limits, positive: false });
        count
    }
}

impl<R> InputOf<Choice, R> {
    /// One of `words`; left out, it is the first.
    pub const fn choice(name: &'static str, words: &'static [&'static str]) -> Self {
        let mut choice = InputOf::new(name, Holds::Choice(words), usual::NUMBER);
        choice.input.need = Need::Default(words[0]);
        choice
    }

    /// One of its words, for a comparison; a constant, so that any other word does not compile.
    pub const fn choice_of(&self, word: &'static str) -> &'static str {
        let Holds::Choice(words) = self.input.holds else { panic!("it holds no words") };
        let mut at = 0;
        while at < words.len() {
            if same(words[at], word) {
                return words[at];
            }
            at += 1;
        }
        panic!("no such word among the choices")
    }
}

const fn same(one: &str, other: &str) -> bool {
    let (one, other) = (one.as_bytes(), other.as_bytes());
    if one.len() != other.len() {
        return false;
    }
    let mut at = 0;
    while at < one.len() {
        if one[at] != other[at] {
            return false;
        }
        at += 1;
    }
    true
}

impl<R> InputOf<OwnName, R> {
    /// A name of the user's own; it may be left out.
    pub const fn own_name(name: &'static str) -> Self {
        InputOf::new(name, Holds::Name, usual::NUMBER).optional()
    }
}

impl<R> InputOf<UnitName, R> {
    /// A unit of measure.
    pub const fn unit_name(name: &'static str) -> Self {
        InputOf::new(name, Holds::Unit, usual::NUMBER)
    }
}

impl<D, R> InputOf<D, R> {
    const fn new(name: &'static str, holds: Holds, units: &'static Units) -> Self {
        let need = Need::Required;
        let input = Input { name, holds, units, bounds: None, read_to: None, need, stopwatch: false, grows: false };
        InputOf { input, types: PhantomData }
    }

    /// Limits in `unit`: above `hard.0` (0 itself refused) up to `hard.1`, cautioned outside `plausible`.
    pub const fn above(mut self, unit: &str, hard: (f64, f64), plausible: (f64, f64)) -> Self {
        self.input.bounds = Some(Bounds { unit: Unit::of(unit), hard, plausible, positive: true });
        self
    }

    /// Limits in `unit`: from `hard.0` itself up to `hard.1`, cautioned outside `plausible`.
    pub const fn from(mut self, unit: &str, hard: (f64, f64), plausible: (f64, f64)) -> Self {
        self.input.bounds = Some(Bounds { unit: Unit::of(unit), hard, plausible, positive: false });
        self
    }

    /// Usually said in other units.
    pub const fn said_in(mut self, units: &'static Units) -> Self {
        self.input.units = units;
        self
    }

    /// How finely it can be read, US and metric.
    pub const fn read_to(mut self, us: (f64, &str), metric: (f64, &str)) -> Self {
        self.input.read_to = Some(((us.0, Unit::of(us.1)), (metric.0, Unit::of(metric.1))));
        self
    }

    /// Timed by hand with a stopwatch, for as long as one likes: read to a fifth of a second.
    pub const fn timed(self) -> Self {
        self.read_to((0.2, "s"), (0.2, "s")).stopwatch().grows()
    }

    /// Timed by hand with a stopwatch.
    pub const fn stopwatch(mut self) -> Self {
        self.input.stopwatch = true;
        self
    }

    /// Grows when one catches, walks or sprays for longer.
    pub const fn grows(mut self) -> Self {
        self.input.grows = true;
        self
    }

    /// May be left out.
    pub const fn optional(mut self) -> Self {
        self.input.need = Need::Optional;
        self
    }

    /// Must be given.
    pub const fn required(mut self) -> Self {
        self.input.need = Need::Required;
        self
    }

    /// Left out, it is `text`.
    pub const fn or(mut self, text: &'static str) -> Self {
        self.input.need = Need::Default(text);
        self
    }

    /// Whether a flat name ends with its name: whether it is this field, in a row of whatever group.
    #[inline(always)]
    pub fn is_last_in(&self, flat: &str) -> bool {
        is_field(flat, "", self.input.name)
    }

    /// The same field in the group `S`.
    pub const fn in_group<S>(&self) -> InputOf<D, S> {
        InputOf { input: self.input, types: PhantomData }
    }

    /// The same field, whatever it holds: for the list of its group.
    pub const fn field(&self) -> Field<R> {
        InputOf { input: self.input, types: PhantomData }
    }

    /// Its name, for an error about it.
    pub const fn name(&self) -> &'static str {
        self.input.name
    }
}

impl<D> InputOf<D> {
    /// Its place in a form.
    pub const fn item(&self) -> FormItem {
        FormItem::One(self.input)
    }
}

/// The fields of a group.
#[derive(Debug)]
pub struct Fields<R, const N: usize> {
    inputs: [Input; N],
    group: PhantomData<fn() -> R>,
}

impl<R, const N: usize> Fields<R, N> {
    /// In the order in which a short text gives them; at least one.
    pub const fn of(fields: &[Field<R>; N]) -> Self {
        let mut inputs = [fields[0].input; N];
        let mut at = 1;
        while at < N {
            inputs[at] = fields[at].input;
            at += 1;
        }
        Fields { inputs, group: PhantomData }
    }
}

/// The fields of a group, by their handles.
#[macro_export]
macro_rules! fields {
    ($($field:expr),+ $(,)?) => {
        const { &$crate::calculation::handles::Fields::of(&[$($field.field()),+]) }
    };
}

pub use fields;

/// Whether a flat name, `catch.2.volume`, is that of a field in a row of a group; of any group where none is named.
fn is_field(flat: &str, group: &str, field: &str) -> bool {
    let point = |byte: Option<&u8>| byte == Some(&b'.');
    let last = flat.strip_suffix(field).is_some_and(|row| point(row.as_bytes().last()));
    last && (group.is_empty() || flat.strip_prefix(group).is_some_and(|rest| point(rest.as_bytes().first())))
}

/// A group of rows whose fields are marked by `R`.
#[derive(Debug)]
pub struct GroupOf<R> {
    /// What form and checks read of it.
    pub group: Group,
    rows: PhantomData<fn() -> R>,
}

impl<R> GroupOf<R> {
    /// A group of `least` to `most` rows.
    pub const fn new<const N: usize>(
        name: &'static str,
        fields: &'static Fields<R, N>,
        least: usize,
        most: usize,
    ) -> Self {
        GroupOf { group: Group { name, fields: &fields.inputs, least, most }, rows: PhantomData }
    }

    /// Its name, for an error about it.
    pub const fn name(&self) -> &'static str {
        self.group.name
    }

    /// Whether a flat name is that of a field in one of its rows.
    #[inline(always)]
    pub fn has<D>(&self, flat: &str, field: &InputOf<D, R>) -> bool {
        is_field(flat, self.group.name, field.input.name)
    }

    /// The flat name of a field in its `row`-th row, `catch.2.volume`, where names are data.
    #[inline(always)]
    pub fn flat<D>(&self, row: usize, field: &InputOf<D, R>) -> String {
        flat_name(self.group.name, row, field.input.name)
    }

    /// Its place in a form.
    pub const fn item(&self) -> FormItem {
        let Group { name, fields, least, most } = self.group;
        FormItem::Many(Group { name, fields, least, most })
    }
}
