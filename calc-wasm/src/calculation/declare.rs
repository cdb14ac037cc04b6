//! The declaration of a calculator: from it come form, command-line fields, checks, questions and reference pages.

use crate::calculation::drawing::Drawing;
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::quantity::kind::Kind;
use crate::quantity::typed::Misread;
use crate::quantity::unit::{Unit, Units};
use crate::text::figures::round_number;
use crate::text::texts;
pub use crate::working::record::ResultSpec;
use crate::working::record::{Recorder, System};

/// A calculator, declared once. Formula, inputs and reasons are in the doc comment of each one.
#[derive(Debug)]
pub struct Calculator {
    /// Kebab-case id, final once published.
    pub id: &'static str,
    /// Inputs, single and repeated, in the order of the form.
    pub inputs: &'static [FormItem],
    /// Results, the main one first.
    pub results: &'static [&'static ResultSpec],
    /// Names of the results whose uncertainty is worked out from the readings; empty where readings do not decide.
    pub uncertain: &'static [&'static str],
    /// A group whose rows are shown side by side as columns of a table of results.
    pub compare: Option<&'static str>,
    /// What a page shows of it.
    pub face: Face,
    /// Whether it judges what was put down. A danger in a question about that is for the learner to find; in any other
    /// question the right answer itself would break a label.
    pub looks_back: bool,
    /// Published sources of the formula.
    pub sources: &'static [Source],
    /// Inputs of the calculator's own page, and of tests over the registry.
    pub example: &'static [(&'static str, &'static str)],
    /// The same situation in metric practice.
    pub example_metric: &'static [(&'static str, &'static str)],
    /// The calculation.
    pub run: fn(&Inputs, &mut Recorder) -> Result<(), Fault>,
    /// The drawing, from what was worked out.
    pub draw: fn(&Worked, System) -> Drawing,
}

/// What a calculation may refuse beyond what its declaration says: a combination that cannot be.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault(Box<Refusal>);

/// What a [`Fault`] says. It is boxed, so that every step of a calculation returns little.
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    /// Message id, also the phrase key.
    pub id: &'static str,
    /// The input it is about, flat name or group.
    pub about: String,
    /// For an input that only another input gives a meaning: why it cannot be read as that kind.
    pub misread: Option<(Misread, Kind)>,
}

impl std::ops::Deref for Fault {
    type Target = Refusal;

    fn deref(&self) -> &Refusal {
        &self.0
    }
}

impl Fault {
    /// A fault about one input.
    pub fn new(id: &'static str, about: impl Into<String>) -> Fault {
        Fault(Box::new(Refusal { id, about: about.into(), misread: None }))
    }

    /// A fault about an input that is not of the kind which another input asks for.
    pub fn misread(misread: Misread, kind: Kind, about: impl Into<String>) -> Fault {
        Fault(Box::new(Refusal { id: kind.id(), about: about.into(), misread: Some((misread, kind)) }))
    }
}

/// What a page shows of a problem that was worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// Results, working, drawing.
    Results,
    /// The calibration card.
    Card,
}

/// What a form asks for in one place: a single input, or a group of repeated rows.
#[derive(Debug)]
pub enum FormItem {
    /// A single input.
    One(Input),
    /// Rows of inputs.
    Many(Group),
}

impl FormItem {
    /// The name of the input or the group.
    pub fn name(&self) -> &'static str {
        match self {
            FormItem::One(input) => input.name,
            FormItem::Many(group) => group.name,
        }
    }
}

/// Rows of inputs that repeat: catches, products, lawns.
#[derive(Debug)]
pub struct Group {
    /// Name, also the prefix of flat names (`catch.1.volume`).
    pub name: &'static str,
    /// Fields of a row, in the order a short text gives them.
    pub fields: &'static [Input],
    /// Rows there must be.
    pub least: usize,
    /// Rows there may be.
    pub most: usize,
}

/// Limits of an input, in `unit`.
#[derive(Clone, Copy, Debug)]
pub struct Bounds {
    /// Unit of the four numbers.
    pub unit: Unit,
    /// Refused below (and at, where the lower limit is 0 and `positive`) and above.
    pub hard: (f64, f64),
    /// Cautioned outside.
    pub plausible: (f64, f64),
    /// Whether the lower hard limit itself is refused.
    pub positive: bool,
}

/// Whether an input may be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It must be given.
    Required,
    /// It may be left out.
    Optional,
    /// Left out, it is this.
    Default(&'static str),
}

/// What an input holds.
#[derive(Clone, Copy, Debug)]
pub enum Holds {
    /// A quantity or a bare number.
    Quantity(Kind),
    /// A whole number.
    Count,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A name that the user gives, at most 60 characters.
    Name,
    /// A unit of measure.
    Unit,
}

/// An amount in a unit.
pub type Amount = (f64, Unit);

/// One input.
#[derive(Clone, Copy, Debug)]
pub struct Input {
    /// Kebab-case name.
    pub name: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// The unit a form starts with; none for words and counts.
    pub units: &'static Units,
    /// Its limits; `None` for words.
    pub bounds: Option<Bounds>,
    /// How finely it can be read in the field: amount and unit, US and metric.
    pub read_to: Option<(Amount, Amount)>,
    /// Whether it may be left out.
    pub need: Need,
    /// Whether a hand stops the watch, so that reaction time adds to the reading.
    pub stopwatch: bool,
    /// Whether it grows when one catches, walks or sprays for longer; a width or a tank does not.
    pub grows: bool,
}

impl Input {
    /// The kind of its quantity, if it holds one.
    pub fn kind(&self) -> Option<Kind> {
        match self.holds {
            Holds::Quantity(kind) => Some(kind),
            _ => None,
        }
    }

    /// The unit a form starts with.
    pub fn unit(&self, system: System) -> Unit {
        self.units.pick(system)
    }

    /// Its limits for somebody who works in these units. Where they are declared in the other system's, they are round
    /// numbers in the unit of the form, none of them more than 2 % inside the declared ones: 40,000 L for 10,000 gal.
    pub fn limits(&self, system: System) -> Option<Bounds> {
        let (bounds, unit) = (self.bounds?, self.unit(system));
        if bounds.unit.is_us() == unit.is_us() || bounds.unit.dim() != unit.dim() {
            return Some(bounds);
        }
        let size = bounds.unit.size() / unit.size();
        let round = |(low, high)| (round_number(low * size * 1.02, false), round_number(high * size * 0.98, true));
        Some(Bounds { unit, hard: round(bounds.hard), plausible: round(bounds.plausible), ..bounds })
    }
}

/// A published source.
#[derive(Debug)]
pub struct Source {
    /// Title, year where known.
    pub title: &'static str,
    /// Publisher.
    pub publisher: &'static str,
    /// Address; empty where it is common practice.
    pub url: &'static str,
}

impl Calculator {
    /// The input or field with this name; a group's field as `catch.volume` or `catch.3.volume`.
    pub fn input(&self, flat: &str) -> Option<&'static Input> {
        let Some((group, rest)) = parted(flat) else {
            return self.inputs.iter().find_map(|item| match item {
                FormItem::One(input) if input.name == flat => Some(input),
                _ => None,
            });
        };
        let field = match parted(rest) {
            None => rest,
            Some((row, field)) => row_number(row).map(|_| field)?,
        };
        self.group(group)?.fields.iter().find(|input| input.name == field)
    }

    /// The group with this name.
    pub fn group(&self, name: &str) -> Option<&'static Group> {
        self.inputs.iter().find_map(|item| match item {
            FormItem::Many(group) if group.name == name => Some(group),
            _ => None,
        })
    }

    /// The result whose pattern a flat name follows.
    pub fn result(&self, flat: &str) -> Option<&'static ResultSpec> {
        self.results.iter().copied().find(|spec| follows(spec.name, flat))
    }
}

/// A flat name before and after its first point.
fn parted(flat: &str) -> Option<(&str, &str)> {
    let at = flat.bytes().position(|byte| byte == b'.')?;
    Some((&flat[..at], &flat[at + 1..]))
}

/// The number of a row as flat names write it, 1 to 999: `01` and `+1` are no other way to say it.
pub(crate) fn row_number(text: &str) -> Option<usize> {
    let plain = (1..=3).contains(&text.len()) && !text.starts_with('0');
    let digit = |number, byte: u8| byte.is_ascii_digit().then(|| number * 10 + usize::from(byte - b'0'));
    if plain { text.bytes().try_fold(0, digit) } else { None }
}

/// Whether a flat name follows a pattern in which `N` and `M` stand for row numbers.
pub(crate) fn follows(pattern: &str, flat: &str) -> bool {
    texts::word_by_word(pattern, flat, &mut |word, row| row == word || row.parse::<usize>().is_ok())
}

/// The unit in which an input's limits are shown: the one a form starts with, whatever they are declared in.
pub fn limit_unit(calculator: &Calculator, flat: &str, bounds: &Bounds, system: System) -> Unit {
    let shown = calculator.input(flat).map(|input| input.unit(system));
    shown.filter(|shown| shown.dim() == bounds.unit.dim()).unwrap_or(bounds.unit)
}
