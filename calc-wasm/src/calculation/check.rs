//! Inputs read against the declaration of their calculator: each passes, or what is wrong with it is reported.

use crate::calculation::declare::{Bounds, Calculator, FormItem, Holds, Input, Need};
use crate::calculation::inputs::{InputValue, Inputs, Taken, flat_name};
use crate::calculation::raw::RawInputs;
use crate::calculation::read_to;
use crate::quantity::kind::Kind;
use crate::quantity::order::{above, order};
use crate::quantity::system::System;
use crate::quantity::typed::{self, Misread, Typed};
use crate::quantity::unit::Unit;
use crate::quantity::units::Dim;
use std::sync::Arc;

/// Longest name of a product or an operator.
const LONGEST_NAME: usize = 60;

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

impl Inputs {
    /// Reads `given` against the declaration, with the limits of `system`. Every problem is reported, not only the first.
    pub fn read(
        calculator: &'static Calculator,
        given: &RawInputs,
        system: System,
    ) -> Result<Inputs, Vec<InputProblem>> {
        let mut reading = Reading { system, inputs: Inputs::default(), problems: Vec::new() };
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
}

struct Reading {
    system: System,
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
            Ok(mut value) => {
                let name: Arc<str> = Arc::from(flat);
                // What counts where nobody wrote anything is the same amount in every system, in a unit of the form.
                let unit = input.unit(self.system);
                if let InputValue::Quantity(typed) = &mut value
                    && !own
                    && typed.unit.is_us() != unit.is_us()
                    && typed.unit.dim() == unit.dim()
                {
                    typed.unit = unit;
                }
                match (&value, input.limits(self.system)) {
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
        Holds::Name if text.chars().nth(LONGEST_NAME).is_some() => Err(InputFault::LongName),
        Holds::Name => Ok(InputValue::Word(text.chars().filter(|letter| !letter.is_control()).collect())),
    }
}
