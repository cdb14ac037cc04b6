//! A recorded step as a person writes it: the formula in words, then the numbers with the unit factors that carry
//! them to the unit of the result, every unit that cancels marked.

use crate::figures::{STEP_FIGURES, exact, shown};
use crate::record::{Expr, Origin, Step};
use crate::unit::Unit;
use crate::units::{Atom, atom};
use std::sync::Arc;

/// Joins two terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Op {
    /// +
    Plus,
    /// −
    Minus,
    /// ×
    Times,
    /// ÷
    Over,
}

impl Op {
    /// The sign.
    pub fn sign(self) -> &'static str {
        match self {
            Op::Plus => "+",
            Op::Minus => "−",
            Op::Times => "×",
            Op::Over => "÷",
        }
    }
}

/// One unit in a term, and whether it cancels.
#[derive(Clone, Debug)]
pub struct Mark {
    /// The unit.
    pub atom: &'static Atom,
    /// Above (1) or below (−1) the line.
    pub exponent: i8,
    /// Whether it cancels against another.
    pub struck: bool,
    /// Whether a unit that counts others (1000 ft²) stands for its count times the other.
    pub opened: bool,
}

/// One term of a line.
#[derive(Clone, Debug)]
pub enum Term {
    /// A value with its units.
    Value {
        /// The number as shown.
        text: String,
        /// Its full value in that unit.
        value: f64,
        /// Its units.
        marks: Vec<Mark>,
    },
    /// So many of one unit make one of another: `128 fl oz/gal`.
    Factor {
        /// How many, at least 1.
        count: f64,
        /// The smaller unit and the larger; a bare count has neither.
        marks: Vec<Mark>,
    },
    /// Something in brackets, and the units its value is in.
    Bracket(Line, Vec<Mark>),
    /// A square root.
    Root(Line),
    /// Rounded up to a whole number.
    Up(Line),
    /// Rounded down to a whole number.
    Down(Line),
    /// The smaller of two.
    Least(Line, Line),
}

/// Terms joined by signs; the first sign is not shown.
pub type Line = Vec<(Op, Term)>;

/// The numbers of a step, unit factors included.
pub fn numbers(step: &Step) -> Line {
    line(&step.expr, &step.unit)
}

fn line(expr: &Arc<Expr>, target: &Unit) -> Line {
    match &**expr {
        Expr::Add(..) | Expr::Sub(..) => {
            let mut terms = Vec::new();
            signed(expr, Op::Plus, &mut terms);
            terms
                .into_iter()
                .flat_map(|(op, term)| {
                    let mut chain = line(&term, target);
                    if let Some(first) = chain.first_mut() {
                        first.0 = op;
                    }
                    chain
                })
                .collect()
        }
        Expr::Root(inner) => vec![(Op::Times, Term::Root(line(inner, &own_unit(inner).unwrap_or_default())))],
        Expr::Ceil(inner) => vec![(Op::Times, Term::Up(line(inner, target)))],
        Expr::Floor(inner) => vec![(Op::Times, Term::Down(line(inner, target)))],
        Expr::Least(a, b) => vec![(Op::Times, Term::Least(line(a, target), line(b, target)))],
        Expr::Leaf { .. } | Expr::Mul(..) | Expr::Div(..) => Chain::of(expr).to(target),
    }
}

fn signed(expr: &Arc<Expr>, op: Op, out: &mut Vec<(Op, Arc<Expr>)>) {
    let flipped = if op == Op::Plus { Op::Minus } else { Op::Plus };
    match &**expr {
        Expr::Add(a, b) => {
            signed(a, op, out);
            signed(b, op, out);
        }
        Expr::Sub(a, b) => {
            signed(a, op, out);
            signed(b, flipped, out);
        }
        _ => out.push((op, expr.clone())),
    }
}

/// The unit in which a bracket's content is shown: that of its first leaf.
fn own_unit(expr: &Expr) -> Option<Unit> {
    match expr {
        Expr::Leaf { unit, .. } => Some(unit.clone()),
        Expr::Add(a, _) | Expr::Sub(a, _) | Expr::Ceil(a) | Expr::Floor(a) | Expr::Least(a, _) => own_unit(a),
        Expr::Root(_) | Expr::Mul(..) | Expr::Div(..) => None,
    }
}

/// A unit of length (or any other unit) waiting to cancel, and the mark it stands for.
#[derive(Clone, Copy)]
struct Slot {
    atom: &'static Atom,
    sign: i8,
    mark: Option<(usize, usize)>,
}

/// A product of leaves and brackets.
#[derive(Default)]
struct Chain {
    terms: Line,
    slots: Vec<Slot>,
    struck: Vec<(usize, usize)>,
    opened: Vec<(usize, usize)>,
}

impl Chain {
    fn of(expr: &Arc<Expr>) -> Chain {
        let mut chain = Chain::default();
        chain.gather(expr, 1);
        chain
    }

    fn gather(&mut self, expr: &Arc<Expr>, sign: i8) {
        match &**expr {
            Expr::Mul(a, b) => {
                self.gather(a, sign);
                self.gather(b, sign);
            }
            Expr::Div(a, b) => {
                self.gather(a, sign);
                self.gather(b, -sign);
            }
            Expr::Leaf { origin, si, unit } => {
                let value = crate::figures::without_noise(si / unit.size());
                let text = match origin {
                    Origin::Step(_) => shown(value, STEP_FIGURES),
                    _ => exact(value),
                };
                let marks = marks(unit);
                self.push(sign, Term::Value { text, value, marks: marks.clone() }, &marks);
            }
            _ => {
                let unit = own_unit(expr).unwrap_or_default();
                let inner = line(expr, &unit);
                let term = match inner.as_slice() {
                    [(_, Term::Root(_) | Term::Up(_) | Term::Down(_) | Term::Least(..))] => inner[0].1.clone(),
                    _ => Term::Bracket(inner, marks(&unit)),
                };
                self.push(sign, term, &marks(&unit));
            }
        }
    }

    fn push(&mut self, sign: i8, term: Term, marks: &[Mark]) {
        let index = self.terms.len();
        self.terms.push((if sign > 0 { Op::Times } else { Op::Over }, term));
        for (place, mark) in marks.iter().enumerate() {
            self.slots.push(Slot { atom: mark.atom, sign: sign * mark.exponent, mark: Some((index, place)) });
        }
    }

    fn to(mut self, target: &Unit) -> Line {
        let mut want: Vec<Slot> =
            target.parts().iter().map(|(atom, exponent)| Slot { atom, sign: *exponent, mark: None }).collect();
        settle(&mut self.slots, &mut want);
        let scale = spread(&mut want).recip();
        self.cancel();
        self.open();
        for _ in 0..24 {
            settle(&mut self.slots, &mut want);
            self.cancel();
            if !self.convert(&mut want) {
                break;
            }
        }
        if scale != 1.0 {
            let (op, count) = if scale > 1.0 { (Op::Times, scale) } else { (Op::Over, scale.recip()) };
            self.terms.push((op, Term::Factor { count, marks: Vec::new() }));
        }
        self.strike();
        self.terms
    }

    /// Opens units that count others (1000 ft²) and squares (ft²) into what they are made of.
    fn open(&mut self) {
        let counting = self.slots.iter().filter(|slot| slot.atom.counts.is_some());
        self.opened = counting.filter_map(|slot| slot.mark).collect();
        spread(&mut self.slots);
    }

    fn cancel(&mut self) {
        let mut index = 0;
        while index < self.slots.len() {
            let slot = self.slots[index];
            let partner =
                self.slots[index + 1..].iter().position(|other| other.atom == slot.atom && other.sign == -slot.sign);
            match partner {
                Some(offset) => {
                    let other = self.slots.remove(index + 1 + offset);
                    self.slots.remove(index);
                    self.struck.extend(slot.mark);
                    self.struck.extend(other.mark);
                }
                None => index += 1,
            }
        }
    }

    /// Adds one unit factor; false when nothing is left to convert.
    fn convert(&mut self, want: &mut Vec<Slot>) -> bool {
        for index in 0..self.slots.len() {
            let from = self.slots[index];
            let goal = want
                .iter()
                .find(|slot| slot.sign == from.sign && slot.atom.dim == from.atom.dim && slot.atom != from.atom)
                .or_else(|| {
                    self.slots.iter().find(|slot| {
                        slot.sign == -from.sign && slot.atom.dim == from.atom.dim && slot.atom != from.atom
                    })
                })
                .map(|slot| slot.atom);
            if let Some(to) = goal {
                self.factor(index, &[to], to);
                return true;
            }
            if let Some(side) = from.atom.is_land().then(|| self.side_near(from.atom, want)) {
                let square = square_of(side);
                self.factor(index, &[side, side], square);
                return true;
            }
            if let Some(land) = want.iter().find(|slot| slot.atom.is_land() && slot.sign == from.sign) {
                return self.gather_land(index, land.atom);
            }
        }
        self.percent(want)
    }

    /// Turns two lengths into an area unit that is no square (acre, ha).
    fn gather_land(&mut self, index: usize, land: &'static Atom) -> bool {
        let side = native_side(land);
        let from = self.slots[index];
        if from.atom.dim.length != 1 {
            return false;
        }
        if from.atom != side {
            self.factor(index, &[side], side);
            return true;
        }
        let Some(second) = (index + 1..self.slots.len())
            .find(|other| self.slots[*other].atom == side && self.slots[*other].sign == from.sign)
        else {
            return false;
        };
        let second = self.slots.remove(second);
        self.struck.extend(second.mark);
        self.slots[index].atom = square_of(side);
        self.factor(index, &[land], land);
        true
    }

    /// The length unit to open an acre or a hectare into: one that is already there, or its own.
    fn side_near(&self, land: &Atom, want: &[Slot]) -> &'static Atom {
        self.slots
            .iter()
            .chain(want)
            .find(|slot| slot.atom.dim.length == 1)
            .map_or_else(|| native_side(land), |slot| slot.atom)
    }

    /// Replaces the slot at `index` by `into`, writing the factor between the two units.
    fn factor(&mut self, index: usize, into: &[&'static Atom], shown: &'static Atom) {
        let from = self.slots.remove(index);
        let ratio = from.atom.size.over(shown.size);
        let term = self.terms.len();
        let (count, smaller, larger, up) = if ratio.top >= ratio.bottom {
            (ratio.value(), shown, from.atom, true)
        } else {
            (ratio.bottom as f64 / ratio.top as f64, from.atom, shown, false)
        };
        let mark = |atom, exponent| Mark { atom, exponent, struck: false, opened: false };
        let op = if up == (from.sign > 0) { Op::Times } else { Op::Over };
        self.terms.push((op, Term::Factor { count, marks: vec![mark(smaller, 1), mark(larger, -1)] }));
        self.struck.extend(from.mark);
        self.struck.push((term, usize::from(up)));
        let place = usize::from(!up);
        for atom in into {
            self.slots.push(Slot { atom, sign: from.sign, mark: Some((term, place)) });
        }
    }

    fn percent(&mut self, want: &mut Vec<Slot>) -> bool {
        let percent = atom("%");
        let term = self.terms.len();
        let marks = vec![Mark { atom: percent, exponent: 1, struck: false, opened: false }];
        if let Some(index) = self.slots.iter().position(|slot| slot.atom == percent) {
            let from = self.slots.remove(index);
            self.struck.extend(from.mark);
            self.struck.push((term, 0));
            let op = if from.sign > 0 { Op::Over } else { Op::Times };
            self.terms.push((op, Term::Factor { count: 100.0, marks }));
            return true;
        }
        if let Some(index) = want.iter().position(|slot| slot.atom == percent) {
            want.remove(index);
            self.terms.push((Op::Times, Term::Factor { count: 100.0, marks }));
            return true;
        }
        self.bridge(want)
    }

    /// A share wanted as one unit in another (fl oz/gal) where nothing measured is left: the factor between the two.
    fn bridge(&mut self, want: &mut Vec<Slot>) -> bool {
        let pairs = |top: &Slot, slot: &Slot| top.sign > 0 && slot.sign < 0 && slot.atom.dim == top.atom.dim;
        let found = want.iter().enumerate().find_map(|(above, top)| {
            let below = want.iter().position(|slot| pairs(top, slot))?;
            Some((above, below, top.atom, want[below].atom))
        });
        let Some((above, below, top, bottom)) = found else { return false };
        let ratio = bottom.size.over(top.size);
        let (op, count, smaller, larger) = if ratio.top >= ratio.bottom {
            (Op::Times, ratio.value(), top, bottom)
        } else {
            (Op::Over, ratio.bottom as f64 / ratio.top as f64, bottom, top)
        };
        let mark = |atom, exponent| Mark { atom, exponent, struck: false, opened: false };
        self.terms.push((op, Term::Factor { count, marks: vec![mark(smaller, 1), mark(larger, -1)] }));
        want.remove(above.max(below));
        want.remove(above.min(below));
        true
    }

    fn strike(&mut self) {
        for place in std::mem::take(&mut self.struck) {
            if let Some(mark) = self.mark(place) {
                mark.struck = true;
            }
        }
        for place in std::mem::take(&mut self.opened) {
            if let Some(mark) = self.mark(place) {
                mark.opened = true;
            }
        }
    }

    fn mark(&mut self, (term, place): (usize, usize)) -> Option<&mut Mark> {
        match &mut self.terms.get_mut(term)?.1 {
            Term::Value { marks, .. } | Term::Factor { marks, .. } | Term::Bracket(_, marks) => marks.get_mut(place),
            _ => None,
        }
    }
}

impl Atom {
    /// Acre and hectare: areas that are no square of a length unit and count none.
    fn is_land(&self) -> bool {
        self.dim.length == 2 && self.side.is_none() && self.counts.is_none()
    }
}

fn native_side(land: &Atom) -> &'static Atom {
    atom(if land.us { "ft" } else { "m" })
}

fn square_of(side: &Atom) -> &'static Atom {
    crate::units::ATOMS.iter().find(|row| row.side == Some(side.symbol)).unwrap_or_else(|| atom("ft2"))
}

fn marks(unit: &Unit) -> Vec<Mark> {
    unit.parts()
        .iter()
        .map(|(atom, exponent)| Mark { atom, exponent: *exponent, struck: false, opened: false })
        .collect()
}

/// Takes out what already stands as it is wanted.
fn settle(have: &mut Vec<Slot>, want: &mut Vec<Slot>) {
    want.retain(|wanted| {
        let place = have.iter().position(|slot| slot.atom == wanted.atom && slot.sign == wanted.sign);
        place.map(|index| have.remove(index)).is_none()
    });
}

/// Opens counted and square units; the counts multiply to what is returned.
fn spread(slots: &mut Vec<Slot>) -> f64 {
    let mut scale = 1.0;
    let mut open = Vec::with_capacity(slots.len());
    for slot in slots.drain(..) {
        let mut slot = slot;
        if let Some((count, base)) = slot.atom.counts {
            scale *= f64::from(count).powi(i32::from(slot.sign));
            slot.atom = atom(base);
        }
        match slot.atom.side {
            Some(side) => open.extend([Slot { atom: atom(side), ..slot }, Slot { atom: atom(side), ..slot }]),
            None => open.push(slot),
        }
    }
    *slots = open;
    scale
}

/// The line in plain characters.
pub fn text(line: &Line) -> String {
    let mut out = String::new();
    for (index, (op, term)) in line.iter().enumerate() {
        if index > 0 {
            out.push(' ');
            out.push_str(op.sign());
            out.push(' ');
        } else if matches!(op, Op::Over) {
            out.push_str("1 ÷ ");
        } else if matches!(op, Op::Minus) {
            out.push('−');
        }
        out.push_str(&term_text(term));
    }
    out
}

fn term_text(term: &Term) -> String {
    match term {
        Term::Value { text, marks, .. } => with_unit(text, marks),
        Term::Factor { count, marks } => with_unit(&factor_text(*count), marks),
        Term::Bracket(line, _) => format!("({})", text(line)),
        Term::Root(line) => format!("√({})", text(line)),
        Term::Up(line) => format!("⌈{}⌉", text(line)),
        Term::Down(line) => format!("⌊{}⌋", text(line)),
        Term::Least(a, b) => format!("min({}; {})", text(a), text(b)),
    }
}

/// A factor's count: exact where it is short, to 7 figures where it is not.
pub fn factor_text(count: f64) -> String {
    exact(crate::figures::to_figures(count, 7))
}

fn with_unit(number: &str, marks: &[Mark]) -> String {
    let unit = unit_text(marks);
    if unit.is_empty() { number.to_owned() } else { format!("{number} {unit}") }
}

/// The units of a term, plain.
pub fn unit_text(marks: &[Mark]) -> String {
    if let [first, second] = marks
        && (first.atom.symbol, second.atom.symbol, second.exponent) == ("mi", "h", -1)
    {
        return "mph".to_owned();
    }
    let mut out = String::new();
    for mark in marks {
        if mark.exponent < 0 {
            out.push('/');
        } else if !out.is_empty() {
            out.push('·');
        }
        out.push_str(mark.atom.shown);
    }
    out
}

/// The value a line comes to when its numbers are taken as shown in full; for tests that hold working against result.
pub fn evaluate(line: &Line) -> f64 {
    let mut total = 0.0;
    let mut product: Option<f64> = None;
    for (op, term) in line {
        let value = match term {
            Term::Value { value, marks, .. } => value / counted(marks),
            Term::Factor { count, marks } => count / counted(marks),
            Term::Bracket(inner, marks) => evaluate(inner) / counted(marks),
            Term::Root(inner) => evaluate(inner).sqrt(),
            Term::Up(inner) => (evaluate(inner) - 1e-9).ceil(),
            Term::Down(inner) => (evaluate(inner) + 1e-9).floor(),
            Term::Least(a, b) => evaluate(a).min(evaluate(b)),
        };
        match (op, product) {
            (Op::Plus | Op::Minus, _) => {
                total += product.unwrap_or(0.0);
                product = Some(if *op == Op::Minus { -value } else { value });
            }
            (Op::Times, None) => product = Some(value),
            (Op::Over, None) => product = Some(1.0 / value),
            (Op::Times, Some(so_far)) => product = Some(so_far * value),
            (Op::Over, Some(so_far)) => product = Some(so_far / value),
        }
    }
    total + product.unwrap_or(0.0)
}

/// A unit such as `1000 ft²` divides by its count when it is opened; a kept or cancelled one does not.
fn counted(marks: &[Mark]) -> f64 {
    marks
        .iter()
        .filter(|mark| mark.opened)
        .filter_map(|mark| Some(f64::from(mark.atom.counts?.0).powi(-i32::from(mark.exponent))))
        .product()
}
