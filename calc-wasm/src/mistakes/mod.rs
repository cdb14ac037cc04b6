//! Known mistakes: wrong workings of the calculators, run like right ones, and the naming of a wrong answer by them.
//!
//! No mistake is a typed ratio of wrong to right: each is the calculator again with other inputs, in a wrong table of
//! units, or a formula worked in place. Sources are next to the phrases of each (`mistakes.yaml`).

mod active;
mod adjust;
mod area;
mod beside;
mod output;
mod places;
mod sense;
mod steps;
mod tank;
mod timing;
mod units;
mod whole;
pub(crate) mod wrong;

pub use sense::{dose_of, sense};
pub use wrong::{RightWorking, Wrong};

use crate::calculation::declare::{Calculator, follows};
use crate::calculators::{day_plan, shared, tank_mix};
use crate::quantity::kind::Kind;
use crate::quantity::order::{order, order_of, within};
use crate::quantity::typed::Typed;
use crate::quantity::unit::{Unit, unit};
use crate::working::record::Rounding;
use wrong::row_in;

/// A usual mistake.
#[derive(Debug)]
pub struct Mistake {
    /// Kebab-case id, final once published; its phrases are `mistake.ID.did`, `.why` and `.lawn`.
    pub id: &'static str,
    /// The results in whose working it is made.
    pub places: &'static [&'static [Place]],
    /// Whether it is a small bias by nature: where the numbers leave less than [`APART`] of it, it is not looked for.
    pub slight: bool,
    /// The wrong working: SI value of the answer it leads to; `None` where these inputs leave no room for it.
    pub wrong: fn(&Wrong) -> Option<f64>,
}

/// A result in whose working a mistake is made.
#[derive(Debug)]
pub struct Place {
    /// Calculator id.
    pub calculator: &'static str,
    /// Name of the result; `N` and `M` stand for row numbers.
    pub result: &'static str,
    /// What the result decides.
    pub dose: Dose,
}

/// What a number too high does to the product that reaches the lawn, when the next step is done with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dose {
    /// More product, in proportion: an amount of product, an area, a speed.
    More,
    /// Less product, in proportion: an output or a rate of spray believed too high.
    Less,
    /// More product, as the square root: a pressure.
    Root,
    /// Whatever the unit of the answer says: an amount converted from one unit to another.
    ByUnit,
    /// More product in what is added to a tank that holds some mix at the right strength.
    ToppedUp,
    /// Nothing that can be told from this number.
    Unknown,
}

/// The least distance between the right answer and the mistakes of a posed question, as a share of the smaller.
pub const APART: f64 = 0.03;
/// The least distance between them where a percentage off is asked for, of which half a point is allowed.
const POINTS_APART: f64 = 0.011;
/// How close an answer of many figures must be to what a wrong working leads to: a rounded factor such as 3.14 on the
/// way is within it.
const CLOSE: f64 = 0.0008;
/// No rounding of steps takes an answer farther off than this.
const FAR: f64 = 0.25;
/// Figures of a learner who rounds on the way.
const ROUNDED: Rounding = Rounding::Every(3);

/// Every mistake, in the order in which they are looked for and listed.
pub static MISTAKES: &[&[Mistake]] = &[
    output::MISTAKES,
    timing::MISTAKES,
    area::MISTAKES,
    adjust::MISTAKES,
    units::MISTAKES,
    tank::MISTAKES,
    active::MISTAKES,
    steps::MISTAKES,
    whole::MISTAKES,
];

/// The number is right for another unit than the one written after it.
pub static ANOTHER_UNIT: Mistake = Mistake { id: "another-unit", places: &[], slight: false, wrong: |_| None };

/// A percentage is right but for its side: over for under.
pub static WRONG_SIDE: Mistake = Mistake { id: "over-for-under", places: &[], slight: false, wrong: |_| None };

/// A right answer was rounded so far up that it breaks a limit of the label.
pub static OVER_LABEL: Mistake = Mistake { id: "rounded-over-label", places: &[], slight: false, wrong: |_| None };

/// Every mistake, one by one.
pub fn all() -> impl Iterator<Item = &'static Mistake> {
    MISTAKES.iter().copied().flatten()
}

/// Mistakes in a factor of units, with the factors that they get wrong: a line of a working can only hold such a
/// mistake if one of them is in it.
const IN_FACTORS: &[(&str, &[f64])] = &[
    ("acre-rate-used-per-1000", &[43.56, 43_560.0]),
    ("per-1000-rate-used-per-acre", &[43.56, 43_560.0]),
    ("4356-wrong-direction", &[43.56, 43_560.0]),
    ("4356-and-43560-mixed", &[43.56, 43_560.0]),
    ("acre-rounded-to-40000", &[43.56, 43_560.0]),
    ("128-forgotten-divides-by-100", &[128.0]),
    ("quart-for-gallon", &[128.0]),
    ("ounces-left-as-gallons", &[128.0]),
    ("sixty-and-128-forgotten", &[128.0]),
    ("seconds-taken-as-minutes", &[60.0]),
    ("partial-minute-catch-called-gpm", &[60.0]),
    ("thousands-forgotten", &[1000.0, 100.0]),
    ("not-scaled-to-1000", &[1000.0, 100.0]),
    ("pints-read-as-quarts", &[16.0]),
    ("teaspoons-per-fluid-ounce", &[6.0]),
];

impl Mistake {
    /// The factors of units that it gets wrong, such as 128; empty where it is a mistake of another kind.
    pub fn factors(&self) -> &'static [f64] {
        IN_FACTORS.iter().find(|(id, _)| *id == self.id).map_or(&[], |(_, factors)| factors)
    }

    /// The place of a calculator's result, if this mistake is made in its working.
    pub fn place(&self, calculator: &str, result: &str) -> Option<&'static Place> {
        let mut places = self.places.iter().copied().flatten();
        places.find(|place| place.calculator == calculator && follows(place.result, result))
    }

    /// What this mistake leads to in a problem, said in `unit`.
    ///
    /// `None` where it is not made in this result, or makes no difference at these inputs.
    pub fn leads_to(&self, right: &RightWorking, unit: &Unit) -> Option<f64> {
        let least = if self.slight { APART } else { 0.0 };
        self.made(right, unit).filter(|si| !nearer(*si, right.si, least))
    }

    /// The same, however little it changes.
    fn made(&self, right: &RightWorking, unit: &Unit) -> Option<f64> {
        self.leads_anywhere(right, unit).filter(|si| order(*si, right.si).is_ne())
    }

    /// The same, though it may be to the right answer.
    fn leads_anywhere(&self, right: &RightWorking, unit: &Unit) -> Option<f64> {
        self.place(right.worked.calculator.id, right.result)?;
        let si = (self.wrong)(&Wrong::new(right, unit, Rounding::None))?;
        (si.is_finite() && si != 0.0).then_some(si)
    }

    /// What it leads to where the steps of the wrong working are rounded to three figures.
    pub fn leads_to_rounded(&self, right: &RightWorking, unit: &Unit) -> Option<f64> {
        (self.wrong)(&Wrong::new(right, unit, ROUNDED)).filter(|si| si.is_finite())
    }

    /// Product on the lawn as a share of what was meant, if `wrong` is used and nothing else goes wrong.
    pub fn dose(&self, right: &RightWorking, wrong: f64, unit: &Unit) -> Option<f64> {
        let place = self.place(right.worked.calculator.id, right.result)?;
        share(by_unit(place.dose, unit), right, wrong)
    }
}

/// Product on the lawn as a share of what was meant, if `wrong` is used for a result of which this much is known.
fn share(dose: Dose, right: &RightWorking, wrong: f64) -> Option<f64> {
    let ratio = wrong / right.si;
    let share = match dose {
        Dose::More => ratio,
        Dose::Less => 1.0 / ratio,
        Dose::Root => ratio.sqrt(),
        Dose::ToppedUp => {
            let fill = row_in(right.result, 0);
            let whole = right.worked.si(&tank_mix::MIX_TO_MAKE, []);
            // A plan's later fills find the tank empty.
            let finds_mix = whole.is_some() || fill == Some(1);
            let left = right.worked.inputs.typed(&shared::LEFT).filter(|_| finds_mix).map_or(0.0, |typed| typed.si);
            let new = whole.or_else(|| right.worked.si(&day_plan::FILL_MIX, [fill?]))?;
            (left + new * ratio) / (left + new)
        }
        Dose::ByUnit | Dose::Unknown => return None,
    };
    (share.is_finite() && share > 0.0).then_some(share)
}

/// Whether two values are nearer than `share` of the smaller; exactly that far apart is not.
fn nearer(a: f64, b: f64, share: f64) -> bool {
    let smaller = a.abs().min(b.abs());
    order_of((a - b).abs(), share * smaller, smaller).is_lt()
}

/// Product on the lawn as a share of what was meant, from which on a slip puts down too much.
pub const OVER: f64 = 1.10;

/// Whether a share of the product meant is too much; exactly a tenth over is.
pub fn too_much(dose: f64) -> bool {
    order(dose, OVER).is_ge()
}

/// A mistake that an answer shows.
#[derive(Debug)]
pub struct Recognised {
    /// The mistake.
    pub mistake: &'static Mistake,
    /// Product on the lawn as a share of what was meant, if the wrong number is used.
    pub dose: Option<f64>,
    /// Of a number that is right for another unit, that unit.
    pub other: Option<Unit>,
    /// Whether the answer is above the right one.
    pub above: bool,
}

impl Recognised {
    /// A right answer that was rounded over a limit of the label.
    pub fn over_label() -> Recognised {
        Recognised { mistake: &OVER_LABEL, dose: None, other: None, above: true }
    }
}

/// What the known mistakes say about an answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fitting {
    /// None leads to it.
    None,
    /// One does.
    One(&'static Mistake),
    /// Several do, which are not the same arithmetic.
    Several,
}

impl PartialEq for Mistake {
    fn eq(&self, other: &Mistake) -> bool {
        self.id == other.id
    }
}

/// The mistakes that lead to an answer of which `place` is one in the last figure, SI.
///
/// Two workings that are the same arithmetic have one name, the first.
pub fn fitting(right: &RightWorking, answer: &Typed, place: f64) -> Fitting {
    let mut found: Option<(&'static Mistake, f64)> = None;
    for mistake in all() {
        let Some(full) = mistake.leads_to(right, &answer.unit) else { continue };
        if !nearer(full, answer.si, FAR) {
            continue;
        }
        let close = |si: f64| within(answer.si, si, (0.5 * place).max(CLOSE * si.abs()));
        if !close(full) && !mistake.leads_to_rounded(right, &answer.unit).is_some_and(close) {
            continue;
        }
        match found {
            Some((_, other)) if order(full, other).is_eq() => {}
            Some(_) => return Fitting::Several,
            None => found = Some((mistake, full)),
        }
    }
    found.map_or(Fitting::None, |(mistake, _)| Fitting::One(mistake))
}

/// What a mistake means for the lawn.
pub fn named(right: &RightWorking, mistake: &'static Mistake, answer: &Typed) -> Recognised {
    let above = order(answer.si, right.si).is_gt();
    Recognised { mistake, dose: mistake.dose(right, answer.si, &answer.unit), other: None, above }
}

/// What can be said about an answer that no wrong working leads to: over for under, or right in another unit.
pub fn otherwise(right: &RightWorking, answer: &Typed, place: f64) -> Option<Recognised> {
    let close = |si: f64| within(si, right.si, (0.5 * place).max(CLOSE * right.si.abs()));
    let above = order(answer.si, right.si).is_gt();
    if is_percent_off(right.worked.calculator, right.result) {
        let turned = close(-answer.si);
        return turned.then_some(Recognised { mistake: &WRONG_SIDE, dose: None, other: None, above });
    }
    let other = another_unit(right, answer, place)?;
    Some(Recognised { mistake: &ANOTHER_UNIT, dose: None, other: Some(other), above })
}

/// Whether a result says in percent how far something is off, or by how much it changes: below zero is under.
pub fn is_percent_off(calculator: &'static Calculator, result: &str) -> bool {
    calculator.result(result).is_some_and(|spec| spec.percent_off)
}

/// Pairs of units that the trade goes back and forth between.
const USUAL_PAIRS: &[[Unit; 2]] = &[
    [unit!("gal"), unit!("fl oz")],
    [unit!("gal/min"), unit!("fl oz/min")],
    [unit!("gal/1000 ft2"), unit!("gal/acre")],
    [unit!("fl oz/1000 ft2"), unit!("fl oz/acre")],
    [unit!("fl oz/acre"), unit!("gal/acre")],
    [unit!("lb/1000 ft2"), unit!("lb/acre")],
    [unit!("lb"), unit!("oz")],
    [unit!("ft2"), unit!("acre")],
    [unit!("s"), unit!("min")],
    [unit!("mph"), unit!("ft/min")],
    [unit!("L"), unit!("mL")],
    [unit!("L/min"), unit!("mL/min")],
    [unit!("L/100 m2"), unit!("L/ha")],
    [unit!("kg"), unit!("g")],
    [unit!("m2"), unit!("ha")],
];

/// The unit of the same kind in which the number written would have been right: one that the question gives, or the
/// usual partner of the one written, or any usual one where that has none: `gal/min` for `gal/h`. A percentage has no
/// other.
fn another_unit(right: &RightWorking, answer: &Typed, place: f64) -> Option<Unit> {
    let dim = answer.unit.dim();
    if answer.unit.has(unit!("%")) {
        return None;
    }
    let given = right.worked.inputs.quantities().map(|(_, typed)| &typed.unit);
    let given = given.chain(right.beside.iter().map(|(_, typed)| &typed.unit)).copied();
    let pairs = || USUAL_PAIRS.iter().flat_map(|[one, other]| [(*one, *other), (*other, *one)]);
    let alone = pairs().all(|(one, _)| one != answer.unit);
    let partner = pairs().filter(|(one, _)| alone || *one == answer.unit).map(|(_, other)| other);
    let mut units = given.chain(partner).filter(|unit| unit.dim() == dim && *unit != answer.unit);
    let number = answer.si / answer.unit.size();
    let place = place / answer.unit.size();
    units.find(|unit| within(number * unit.size(), right.si, (0.5 * place * unit.size()).max(CLOSE * right.si.abs())))
}

/// Spray over ground is an output, and believed too high it thins the product; a rate of product or an amount that is
/// measured out is a dose itself. A number of gallons may be either.
fn by_unit(dose: Dose, unit: &Unit) -> Dose {
    if dose != Dose::ByUnit {
        return dose;
    }
    let by_gallon = unit.first().is_some_and(|atom| matches!(atom.symbol, "gal" | "L"));
    match Kind::of(unit) {
        Some(Kind::VolumePerArea | Kind::Flow) if by_gallon => Dose::Less,
        Some(Kind::Volume) if by_gallon => Dose::Unknown,
        Some(Kind::VolumePerArea | Kind::MassPerArea | Kind::Volume | Kind::Mass | Kind::Area | Kind::Speed) => {
            Dose::More
        }
        _ => Dose::Unknown,
    }
}

/// Two of the values that a question must keep apart and does not; `None` stands for the right answer.
pub type Clash = (Option<&'static str>, &'static str);

/// What comes too close in a problem.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Near {
    /// The first two that must be told apart and cannot be.
    pub clash: Option<Clash>,
    /// Whether a mistake that is slight by nature is within [`APART`] of the right answer.
    pub slight: bool,
    /// Mistakes that lead elsewhere than to the right answer.
    pub made: Vec<&'static str>,
    /// Mistakes that lead to the right answer itself: whoever makes one reads that all is well.
    pub unseen: Vec<&'static str>,
}

/// Whether right answer and mistakes can be told apart, or the first two that are nearer to each other than [`APART`];
/// `more` are compared with it beside the known ones.
pub fn nearest(right: &RightWorking, unit: &Unit, more: &[&'static Mistake]) -> Near {
    let mut values: Vec<(Option<&'static str>, f64)> = vec![(None, right.si)];
    let points = is_percent_off(right.worked.calculator, right.result);
    let close = |a: f64, b: f64| nearer(a, b, APART) || points && (a - b).abs() < POINTS_APART;
    let mut found = Near::default();
    for mistake in all().chain(more.iter().copied()) {
        let Some(full) = mistake.leads_anywhere(right, unit) else { continue };
        if order(full, right.si).is_eq() {
            found.unseen.push(mistake.id);
            continue;
        }
        found.made.push(mistake.id);
        if mistake.slight && close(full, right.si) {
            found.slight = true;
            continue;
        }
        let near = values.iter().find(|(_, other)| close(full, *other));
        if let Some((other, _)) = near {
            found.clash = Some((*other, mistake.id));
            return found;
        }
        values.push((Some(mistake.id), full));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mistake_in_a_factor_is_a_known_one() {
        for (id, factors) in IN_FACTORS {
            let mistake =
                all().find(|mistake| mistake.id == *id).unwrap_or_else(|| panic!("no mistake is called {id}"));
            assert_eq!(mistake.factors(), *factors);
        }
    }
}
