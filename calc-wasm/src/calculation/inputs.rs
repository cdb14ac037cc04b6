//! Inputs: as they were given (flat names and texts), and as they were read against a calculator's declaration.

use crate::calculation::declare::{Bounds, Calculator, Fault, FormItem, Holds, Input, Need, row_number};
use crate::calculation::read_to;
use crate::quantity::kind::{Kind, Measure};
use crate::quantity::order::{above, order};
use crate::quantity::typed::{self, Misread, Typed};
use crate::quantity::unit::Unit;
use crate::quantity::units::Dim;
use crate::working::record::{Expr, Origin, Traced};
use crate::working::traced::leaf;
use std::sync::Arc;

/// The most inputs of a problem: the largest calculator has half as many with every row and every reading filled in.
pub const MOST_INPUTS: usize = 2_000;

/// Longest name of a product or an operator.
const LONGEST_NAME: usize = 60;

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
            let mut free: Vec<&Input> = group.fields.iter().collect();
            for (index, piece) in parts.iter().copied().enumerate() {
                let named = group.fields.iter().find_map(|field| {
                    let rest = piece.strip_prefix(field.name)?;
                    rest.starts_with(' ').then(|| (field.name, rest.trim()))
                });
                let (field, value) = named.unwrap_or_else(|| (meant_for(piece, &parts[index..], &free), piece));
                free.retain(|other| other.name != field);
                pairs.push((format!("{name}.{field}"), value.to_owned()));
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

/// The field that a part without a name is for; empty where none is left.
fn meant_for(piece: &str, rest: &[&str], free: &[&Input]) -> &'static str {
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
        (None, _) => free.iter().find(|field| !matches!(field.holds, Holds::Name)).map_or("", |field| field.name),
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

/// What is wrong with an input.
#[derive(Clone, Debug, PartialEq)]
pub struct InputProblem {
    /// Flat name of the input, or a group's name.
    pub about: String,
    /// What is wrong.
    pub fault: InputFault,
}

/// What can be wrong with an input.
#[derive(Clone, Debug, PartialEq)]
pub enum InputFault {
    /// It must be given and is not.
    Missing,
    /// The calculator has no input of this name.
    UnknownName,
    /// The text is not what the input takes.
    Misread(Misread, Kind),
    /// Outside what can be: the limits, and whether the lower is itself refused.
    HardLimit(Bounds),
    /// Not one of the words.
    UnknownWord(&'static [&'static str]),
    /// A name that is too long.
    LongName,
    /// More rows than may be.
    TooManyRows(usize),
    /// Fewer rows than must be.
    TooFewRows(usize),
    /// The calculation refuses the combination; a message id.
    Refused(&'static str),
}

impl PartialEq for Bounds {
    fn eq(&self, other: &Bounds) -> bool {
        self.unit == other.unit && self.hard == other.hard && self.plausible == other.plausible
    }
}

/// A value that passed.
#[derive(Clone, Debug)]
pub(crate) enum InputValue {
    Quantity(Typed),
    Word(String),
}

/// An input that passed: its flat name, its declaration and its row, found once.
#[derive(Clone, Debug)]
struct Taken {
    name: Arc<str>,
    input: &'static Input,
    /// The group it is in and its row there; no name and 0 for a single input.
    group: &'static str,
    row: usize,
    value: InputValue,
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
    values: Vec<Taken>,
    rows: Vec<(&'static str, usize)>,
    /// How finely fields were read, where that is given: field and size, or share of the reading.
    pub(crate) read_to: Vec<(String, Typed)>,
    /// Inputs outside their plausible range.
    pub(crate) implausible: Vec<(Arc<str>, Bounds)>,
}

impl Inputs {
    /// Reads `given` against the declaration. Every problem is reported, not only the first.
    pub fn read(calculator: &'static Calculator, given: &RawInputs) -> Result<Inputs, Vec<InputProblem>> {
        let mut reading = Reading::default();
        for (name, _) in &given.0 {
            let dots = name.bytes().filter(|byte| *byte == b'.').count();
            let known = dots != 1 && calculator.input(name).is_some();
            if !known && read_to::target(calculator, name).is_none() {
                reading.problem(name, InputFault::UnknownName);
            }
        }
        for item in calculator.inputs {
            match item {
                FormItem::One(input) => reading.take(input, ("", 0), input.name, given),
                FormItem::Many(group) => {
                    let rows = given.rows(group.name);
                    if rows > group.most {
                        reading.problem(group.name, InputFault::TooManyRows(group.most));
                        continue;
                    }
                    if rows < group.least {
                        reading.problem(group.name, InputFault::TooFewRows(group.least));
                    }
                    reading.inputs.rows.push((group.name, rows));
                    for row in 1..=rows {
                        for field in group.fields {
                            reading.take(field, (group.name, row), &flat_name(group.name, row, field.name), given);
                        }
                    }
                }
            }
        }
        read_to::take(calculator, given, &mut reading.inputs, &mut reading.problems);
        if reading.problems.is_empty() { Ok(reading.inputs) } else { Err(reading.problems) }
    }

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

#[derive(Default)]
struct Reading {
    inputs: Inputs,
    problems: Vec<InputProblem>,
}

impl Reading {
    fn problem(&mut self, about: &str, fault: InputFault) {
        self.problems.push(InputProblem { about: about.to_owned(), fault });
    }

    fn take(&mut self, input: &'static Input, (group, row): (&'static str, usize), flat: &str, given: &RawInputs) {
        let text = given.text(flat).map(str::trim).filter(|text| !text.is_empty());
        let (text, own) = match (text, input.need) {
            (Some(text), _) => (text, true),
            (None, Need::Default(text)) => (text, false),
            (None, Need::Optional) => return,
            (None, Need::Required) => return self.problem(flat, InputFault::Missing),
        };
        match read_one(input, text) {
            Ok(value) => {
                let name: Arc<str> = Arc::from(flat);
                match (&value, input.bounds) {
                    (InputValue::Quantity(typed), Some(bounds)) if own => self.check(&name, typed, bounds),
                    (InputValue::Quantity(typed), None) if own => self.check_unbound(flat, typed),
                    _ => {}
                }
                self.inputs.values.push(Taken { name, input, group, row, value });
            }
            Err(fault) => self.problem(flat, fault),
        }
    }

    /// An input of several kinds has no limits of its own; but it is above 0, and a share ends at 100 %.
    fn check_unbound(&mut self, flat: &str, typed: &Typed) {
        if typed.si <= 0.0 {
            self.problem(flat, InputFault::Refused("label.not-above-zero"));
        } else if typed.unit.dim() == Dim::default() && !typed.unit.is_none() && above(typed.si, 1.0) {
            self.problem(flat, InputFault::Refused("problem.more-than-all"));
        }
    }

    fn check(&mut self, flat: &Arc<str>, typed: &Typed, bounds: Bounds) {
        let value = typed.si / bounds.unit.size();
        let inside = |(low, high): (f64, f64)| order(low, value).is_le() && order(value, high).is_le();
        if !inside(bounds.hard) || (bounds.positive && order(value, bounds.hard.0).is_le()) {
            self.problem(flat, InputFault::HardLimit(bounds));
        } else if !inside(bounds.plausible) {
            self.inputs.implausible.push((flat.clone(), bounds));
        }
    }
}

fn read_one(input: &Input, text: &str) -> Result<InputValue, InputFault> {
    match input.holds {
        Holds::Quantity(kind) => typed::read(text, kind, None)
            .map(InputValue::Quantity)
            .map_err(|misread| InputFault::Misread(misread, kind)),
        Holds::Count => {
            let typed =
                typed::read(text, Kind::Number, None).map_err(|misread| InputFault::Misread(misread, Kind::Number))?;
            if typed.si.fract() == 0.0 {
                Ok(InputValue::Quantity(typed))
            } else {
                Err(InputFault::Misread(Misread::NotWhole, Kind::Number))
            }
        }
        Holds::Choice(words) => {
            let lower = text.to_ascii_lowercase();
            let found = words.iter().find(|word| **word == lower);
            found.map(|word| InputValue::Word((*word).to_owned())).ok_or(InputFault::UnknownWord(words))
        }
        Holds::Unit if Unit::parse(text).is_none() => {
            Err(InputFault::Misread(Misread::UnitUnknown(text.to_owned()), Kind::Any))
        }
        Holds::Unit => Ok(InputValue::Word(text.to_owned())),
        Holds::Name if text.chars().count() > LONGEST_NAME => Err(InputFault::LongName),
        Holds::Name => Ok(InputValue::Word(text.chars().filter(|letter| !letter.is_control()).collect())),
    }
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
