//! Which unit factors carry a product to the unit wanted, and which units cancel on the way.
//!
//! Units cancel whole where they can: an area against an area, 1000 ft² against 1000 ft². Only what is left is opened:
//! a counted unit into its count, a square into its sides, where lengths wait for them.

use crate::quantity::order::order;
use crate::quantity::unit::Unit;
use crate::quantity::units::{ATOMS, Atom, Dim, atom};
use crate::text::figures::{STEP_FIGURES, exact, shown, to_figures, without_noise};
use crate::working::line::{Left, Line, Mark, Op, Term, line};
use crate::working::record::{Expr, Origin};
use std::sync::Arc;

/// Longest chain of factors; the longest of the trade, a pace in in/min to acres an hour, has five.
const MOST_FACTORS: usize = 24;

/// A unit waiting to cancel, and the mark that stands for it.
#[derive(Clone, Copy)]
struct Slot {
    atom: &'static Atom,
    sign: i8,
    mark: Option<(usize, usize)>,
    /// Whether it is one side of the square that is marked.
    side: bool,
}

/// A product of leaves and brackets.
#[derive(Default)]
pub(crate) struct Chain {
    terms: Line,
    slots: Vec<Slot>,
}

impl Chain {
    /// The product as it was computed, in the units of its leaves.
    pub(crate) fn of(expr: &Arc<Expr>) -> Chain {
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
                let value = without_noise(si / unit.size());
                let text = match origin {
                    Origin::Step(_) => shown(value, STEP_FIGURES),
                    // A number without an end, such as π, to one figure more than a step shows.
                    Origin::Constant(_) if endless(value) => exact(to_figures(value, STEP_FIGURES + 1)),
                    _ => exact(value),
                };
                self.push(sign, Term::Value { text, value, marks: marks(unit) });
            }
            _ => {
                let unit = own_unit(expr);
                let inner = match &**expr {
                    // The root of a share is that of a bare number: 30 psi over 2.8 bar comes to one unit first.
                    Expr::Root(inner) if unit.is_none() => vec![(Op::Times, Term::Root(line(inner, &unit)))],
                    Expr::Root(inner) => vec![(Op::Times, Term::Root(line(inner, &own_unit(inner))))],
                    _ => line(expr, &unit),
                };
                let marks = marks(&unit);
                let term = match inner.as_slice() {
                    [(_, only @ (Term::Root(_) | Term::Up(_) | Term::Down(_) | Term::Least(..)))]
                        if marks.is_empty() =>
                    {
                        only.clone()
                    }
                    _ => Term::Bracket(inner, marks),
                };
                self.push(sign, term);
            }
        }
    }

    fn push(&mut self, sign: i8, term: Term) {
        let index = self.terms.len();
        let marks = match &term {
            Term::Value { marks, .. } | Term::Bracket(_, marks) => marks.as_slice(),
            _ => &[],
        };
        for (place, mark) in marks.iter().enumerate() {
            let slot = Slot { atom: mark.atom, sign: sign * mark.exponent, mark: Some((index, place)), side: false };
            self.slots.push(slot);
        }
        self.terms.push((if sign > 0 { Op::Times } else { Op::Over }, term));
    }

    /// The line, with the factors that carry it to `target`.
    pub(crate) fn to(mut self, target: &Unit) -> Line {
        let slot = |(atom, sign)| Slot { atom, sign, mark: None, side: false };
        let mut want: Vec<Slot> = target.parts().map(slot).collect();
        self.meet(&mut want);
        self.open_counts();
        self.meet(&mut want);
        self.bridge(&mut want);
        open_squares(&mut self.slots);
        open_squares(&mut want);
        self.meet(&mut want);
        self.bridge(&mut want);
        let mut terms = self.terms;
        for (_, term) in &mut terms {
            if let Term::Bracket(inner, marks) = term {
                marks.iter_mut().for_each(|mark| hand_down(inner, mark));
            }
        }
        terms
    }

    /// Writes unit factors until nothing is left to convert.
    fn bridge(&mut self, want: &mut Vec<Slot>) {
        while self.terms.len() < MOST_FACTORS && (self.convert(want) || self.share(want) || self.same_kind(want)) {
            self.meet(want);
        }
    }

    /// Takes out what is already as wanted, then what cancels.
    fn meet(&mut self, want: &mut Vec<Slot>) {
        want.retain(|wanted| {
            let place = self.slots.iter().position(|slot| slot.atom == wanted.atom && slot.sign == wanted.sign);
            place.map(|index| self.slots.remove(index)).is_none()
        });
        let mut index = 0;
        while index < self.slots.len() {
            let slot = self.slots[index];
            let partner =
                self.slots[index + 1..].iter().position(|other| other.atom == slot.atom && other.sign == -slot.sign);
            match partner {
                Some(offset) => {
                    let other = self.slots.remove(index + 1 + offset);
                    self.slots.remove(index);
                    self.strike(&slot);
                    self.strike(&other);
                }
                None => index += 1,
            }
        }
    }

    /// Opens units that count others: 1000 ft² becomes 1000 times ft².
    fn open_counts(&mut self) {
        for index in 0..self.slots.len() {
            let slot = self.slots[index];
            if let Some((_, base)) = slot.atom.counts {
                self.slots[index].atom = atom(base);
                if let Some(mark) = slot.mark.and_then(|place| self.mark(place)) {
                    mark.opened = true;
                }
            }
        }
    }

    /// Adds one unit factor; false when nothing is left to convert.
    fn convert(&mut self, want: &[Slot]) -> bool {
        for index in 0..self.slots.len() {
            let from = self.slots[index];
            let fits =
                |slot: &&Slot, sign: i8| slot.sign == sign && slot.atom.dim == from.atom.dim && slot.atom != from.atom;
            let goal = want.iter().find(|slot| fits(slot, from.sign));
            let goal = goal.or_else(|| self.slots.iter().find(|slot| fits(slot, -from.sign)));
            if let Some(goal) = goal {
                self.factor(index, on_the_way(from.atom, goal.atom));
                return true;
            }
        }
        self.lengths(want)
    }

    /// Where lengths and areas meet: opens an acre into sides, or makes an area of two sides.
    fn lengths(&mut self, want: &[Slot]) -> bool {
        let is_length = |slot: &Slot| slot.atom.dim.length == 1;
        let sides = self.slots.iter().chain(want).find(|slot| is_length(slot)).map(|slot| slot.atom);
        if let Some(index) = self.slots.iter().position(|slot| slot.atom.is_land())
            && let Some(side) = sides
        {
            self.factor(index, square_of(side));
            open_squares(&mut self.slots);
            return true;
        }
        let gathered = |slot: &&Slot| slot.atom.dim.length == 2 && slot.atom.side.is_none();
        let Some(area) = want.iter().find(gathered) else { return false };
        let side = native_side(area.atom);
        let lengths: Vec<usize> = (0..self.slots.len())
            .filter(|index| is_length(&self.slots[*index]) && self.slots[*index].sign == area.sign)
            .collect();
        let [first, second, ..] = lengths[..] else { return false };
        if let Some(index) = [first, second].into_iter().find(|index| self.slots[*index].atom != side) {
            self.factor(index, side);
            return true;
        }
        let other = self.slots.remove(second);
        self.strike(&other);
        self.slots[first].atom = square_of(side);
        self.factor(first, on_the_way(self.slots[first].atom, area.atom));
        true
    }

    /// Replaces the slot at `index` by `into`, writing the factor between the two units.
    fn factor(&mut self, index: usize, into: &'static Atom) {
        let from = self.slots.remove(index);
        let term = self.terms.len();
        let (count, smaller, larger) = ratio(from.atom, into);
        let up = smaller == into;
        let op = if up == (from.sign > 0) { Op::Times } else { Op::Over };
        self.terms.push((op, Term::Factor { count, marks: vec![Mark::new(smaller, 1), Mark::new(larger, -1)] }));
        self.strike(&from);
        self.strike(&Slot { mark: Some((term, usize::from(up))), side: false, ..from });
        self.slots.push(Slot { atom: into, sign: from.sign, mark: Some((term, usize::from(!up))), side: false });
    }

    /// A share becomes a bare number, `÷ 100 %`, or a number a share.
    fn share(&mut self, want: &mut Vec<Slot>) -> bool {
        let share = |slot: &Slot| slot.atom.dim == Dim::default();
        let index = self.slots.iter().position(share);
        let wanted = want.iter().position(share);
        let (op, mark) = match (index, wanted) {
            (Some(index), _) => {
                let from = self.slots.remove(index);
                self.strike(&from);
                let mut mark = Mark::new(from.atom, 1);
                mark.left = Left::None;
                (if from.sign > 0 { Op::Over } else { Op::Times }, mark)
            }
            (None, Some(wanted)) => (Op::Times, Mark::new(want.remove(wanted).atom, 1)),
            (None, None) => return false,
        };
        // Of a hundred, or of a million.
        let count = mark.atom.size.bottom as f64;
        self.terms.push((op, Term::Factor { count, marks: vec![mark] }));
        true
    }

    /// The share is wanted as one unit per another, and nothing is left: `× 128 fl oz/gal`.
    fn same_kind(&mut self, want: &[Slot]) -> bool {
        let plain = |wanted: &Slot| wanted.atom.counts.map_or(wanted.atom, |(_, base)| atom(base));
        let above = want.iter().find(|slot| slot.sign > 0).map(plain);
        let below = want.iter().find(|slot| slot.sign < 0).map(plain);
        let (Some(above), Some(below)) = (above, below) else { return false };
        if above.dim != below.dim || above == below || !self.slots.is_empty() {
            return false;
        }
        let term = self.terms.len();
        let (count, smaller, larger) = ratio(above, below);
        let up = smaller == above;
        let op = if up { Op::Times } else { Op::Over };
        self.terms.push((op, Term::Factor { count, marks: vec![Mark::new(smaller, 1), Mark::new(larger, -1)] }));
        for (atom, sign, place) in [(above, 1, usize::from(!up)), (below, -1, usize::from(up))] {
            self.slots.push(Slot { atom, sign, mark: Some((term, place)), side: false });
        }
        true
    }

    fn strike(&mut self, slot: &Slot) {
        if let Some(mark) = slot.mark.and_then(|place| self.mark(place)) {
            mark.left = match (mark.left, slot.side) {
                (Left::Whole, true) => Left::Half,
                _ => Left::None,
            };
        }
    }

    fn mark(&mut self, (term, place): (usize, usize)) -> Option<&mut Mark> {
        match &mut self.terms.get_mut(term)?.1 {
            Term::Value { marks, .. } | Term::Factor { marks, .. } | Term::Bracket(_, marks) => marks.get_mut(place),
            _ => None,
        }
    }
}

/// A change to a bracket's unit is made in each of the products inside it.
fn hand_down(inner: &mut Line, mark: &mut Mark) {
    let opened = std::mem::take(&mut mark.opened);
    if mark.left == Left::Whole && !opened {
        return;
    }
    let mut done = false;
    for (op, term) in inner {
        done = done && !matches!(op, Op::Plus | Op::Minus);
        let sign = if *op == Op::Over { -mark.exponent } else { mark.exponent };
        if let Term::Least(a, b) = term {
            hand_down(a, &mut Mark { opened, ..mark.clone() });
            hand_down(b, &mut Mark { opened, ..mark.clone() });
            continue;
        }
        let (Term::Value { marks, .. } | Term::Factor { marks, .. } | Term::Bracket(_, marks)) = term else { continue };
        let found =
            marks.iter_mut().find(|own| own.atom == mark.atom && own.exponent == sign && own.left == Left::Whole);
        if let Some(own) = found
            && !done
        {
            (own.left, own.opened, done) = (mark.left, opened, true);
        }
        if let Term::Bracket(deeper, marks) = term {
            marks.iter_mut().for_each(|own| hand_down(deeper, own));
        }
    }
}

/// How many of the smaller unit make one of the larger.
fn ratio(a: &'static Atom, b: &'static Atom) -> (f64, &'static Atom, &'static Atom) {
    let (many, smaller) = a.size.ratio(b.size);
    if smaller { (many, a, b) } else { (many, b, a) }
}

/// The next unit on the way to `goal`: to one that counts others, by the unit it counts.
fn on_the_way(from: &'static Atom, goal: &'static Atom) -> &'static Atom {
    match goal.counts {
        Some((_, base)) if base != from.symbol => atom(base),
        _ => goal,
    }
}

impl Atom {
    /// Acre and hectare: areas that are not the square of a length unit and do not count one.
    fn is_land(&self) -> bool {
        self.dim.length == 2 && self.side.is_none() && self.counts.is_none()
    }
}

/// The side in which an area's own ground is measured.
fn native_side(area: &Atom) -> &'static Atom {
    let base = area.counts.map_or(area, |(_, base)| atom(base));
    atom(base.side.unwrap_or(if area.us { "ft" } else { "m" }))
}

fn square_of(side: &Atom) -> &'static Atom {
    let own = ATOMS.iter().find(|row| row.side == Some(side.symbol));
    own.unwrap_or_else(|| atom(if side.us { "ft2" } else { "m2" }))
}

fn open_squares(slots: &mut Vec<Slot>) {
    let mut index = 0;
    while index < slots.len() {
        if let Some(side) = slots[index].atom.side {
            let slot = Slot { atom: atom(side), side: true, ..slots[index] };
            slots[index] = slot;
            slots.insert(index, slot);
        }
        index += 1;
    }
}

fn marks(unit: &Unit) -> Vec<Mark> {
    unit.parts().map(|(atom, exponent)| Mark::new(atom, exponent)).collect()
}

/// The unit in which a bracket's content is shown: that of its first leaves.
fn own_unit(expr: &Expr) -> Unit {
    match expr {
        Expr::Leaf { unit, .. } => *unit,
        Expr::Add(a, _) | Expr::Sub(a, _) | Expr::Ceil(a) | Expr::Floor(a) | Expr::Least(a, _) => own_unit(a),
        Expr::Mul(a, b) => own_unit(a).times(&own_unit(b), 1),
        Expr::Div(a, b) => own_unit(a).times(&own_unit(b), -1),
        Expr::Root(a) => own_unit(a).root(),
    }
}

/// Whether a number takes more figures than a factor shows.
fn endless(value: f64) -> bool {
    order(value, to_figures(value, 7)).is_ne()
}
