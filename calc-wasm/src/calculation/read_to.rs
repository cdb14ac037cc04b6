//! How finely each input was read: what its declaration takes for usual, or what the person who read it says.
//!
//! `read-to.tank` is how finely the tank's gauge was read, `read-to.catch.volume` how finely every catch was: a
//! quantity of the field's own kind or a share of the reading (`2 %`); 0 counts the reading as given.

use crate::calculation::declare::{Calculator, Input, row_number};
use crate::calculation::inputs::{InputFault, InputProblem, Inputs, RawInputs};
use crate::quantity::kind::Kind;
use crate::quantity::typed::{self, Typed};
use crate::quantity::unit::unit;
use crate::working::record::System;

/// What the name of such an input begins with.
pub const PREFIX: &str = "read-to.";

/// A flat name without its row: `catch.2.volume` is `catch.volume`.
pub fn field_of(flat: &str) -> String {
    match flat.split('.').collect::<Vec<_>>().as_slice() {
        [group, row, field] if row_number(row).is_some() => [group, ".", field].concat(),
        _ => flat.to_owned(),
    }
}

/// The input that a name such as `read-to.catch.volume` is about, where there is one that holds a quantity.
pub fn target<'n>(calculator: &Calculator, name: &'n str) -> Option<(&'n str, &'static Input, Kind)> {
    let field = name.strip_prefix(PREFIX)?;
    let input = calculator.input(field).filter(|_| field_of(field) == field)?;
    Some((field, input, input.kind().filter(|kind| *kind != Kind::Number)?))
}

/// Reads how finely the inputs were read, once the inputs themselves are read.
pub(crate) fn take(calculator: &Calculator, given: &RawInputs, inputs: &mut Inputs, problems: &mut Vec<InputProblem>) {
    for (name, text) in &given.0 {
        let Some((field, input, kind)) = target(calculator, name) else { continue };
        let text = text.trim();
        if text.is_empty() {
            continue;
        }
        let own = inputs.quantities().find(|(flat, _)| field_of(flat) == field).map(|(_, typed)| typed.clone());
        let bare = own.map_or_else(|| input.unit(System::Us), |typed| typed.unit);
        // "0 %" of a label rate would be a rate; here a percentage is always of the reading.
        let share = typed::read(text, Kind::Share, None).ok().filter(|share| share.unit == unit!("%"));
        let read = share.map_or_else(|| typed::read(text, kind, Some(&bare)), Ok);
        let fault = match read {
            Ok(read) if read.si < 0.0 => InputFault::Refused("problem.read-to"),
            Ok(read) if wide(&read, field, inputs) => InputFault::Refused("problem.read-to"),
            Ok(read) => {
                inputs.read_to.push((field.to_owned(), read));
                continue;
            }
            Err(misread) => InputFault::Misread(misread, kind),
        };
        problems.push(InputProblem { about: name.clone(), fault });
    }
}

/// Whether marks are so far apart that nothing could have been read.
fn wide(read: &Typed, field: &str, inputs: &Inputs) -> bool {
    inputs
        .quantities()
        .any(|(flat, typed)| field_of(flat) == field && typed.si != 0.0 && width(read, typed) > typed.si.abs())
}

/// The width of what a reading was read to, SI base units.
fn width(read: &Typed, typed: &Typed) -> f64 {
    if read.unit == unit!("%") { read.si * typed.si.abs() } else { read.si }
}

/// How finely one reading was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resolution {
    /// What it was read to, SI base units; 0 where it counts as given.
    pub width: f64,
    /// Whether it is a share of the reading, so that a longer run is read no better.
    pub share: bool,
}

impl Inputs {
    /// How finely a quantity was read: as its reader says, else as is usual for the field in the units it was typed in.
    pub fn resolution(&self, input: &Input, flat: &str, typed: &Typed) -> Resolution {
        let said = self.said_read_to(flat).cloned();
        let usual = || usual(input, if typed.unit.is_us() { System::Us } else { System::Metric });
        match said.or_else(usual) {
            Some(read) => Resolution { width: width(&read, typed), share: read.unit == unit!("%") },
            None => Resolution { width: 0.0, share: false },
        }
    }

    /// Whether its reader says how finely an input was read.
    pub fn says_read_to(&self, flat: &str) -> bool {
        self.said_read_to(flat).is_some()
    }

    fn said_read_to(&self, flat: &str) -> Option<&Typed> {
        if self.read_to.is_empty() {
            return None;
        }
        let field = field_of(flat);
        self.read_to.iter().rev().find(|(name, _)| *name == field).map(|(_, read)| read)
    }
}

/// How finely a field is usually read; `None` where it counts as given.
pub fn usual(input: &Input, system: System) -> Option<Typed> {
    let (us, metric) = input.read_to?;
    let (amount, unit) = system.pick(us, metric);
    Some(Typed { si: amount * unit.size(), unit })
}
