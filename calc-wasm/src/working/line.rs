//! A recorded step as a person writes it: the numbers with the unit factors that carry them to the unit of the
//! result, every unit that cancels marked. Which factors and marks, see [`crate::working::cancel`].

use crate::quantity::order::{order, whole_above, whole_below};
use crate::quantity::unit::Unit;
use crate::quantity::units::{Atom, atom};
use crate::text::figures::{STEP_FIGURES, exact, shown};
use crate::working::cancel::Chain;
use crate::working::record::{Expr, Step};
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

/// One unit in a term, and how much of it cancels.
#[derive(Clone, Debug)]
pub struct Mark {
    /// The unit.
    pub atom: &'static Atom,
    /// Above (1) or below (−1) the line.
    pub exponent: i8,
    /// What is left of it once everything has canceled.
    pub left: Left,
    /// Whether a unit that counts others (1000 ft²) stands for its count times the other.
    pub opened: bool,
}

/// What is left of a unit once everything has canceled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Left {
    /// All of it: it belongs to the unit of the result.
    Whole,
    /// One side of a square: a ft² in which one ft canceled.
    Half,
    /// Nothing: it cancels.
    None,
}

impl Mark {
    pub(crate) fn new(atom: &'static Atom, exponent: i8) -> Mark {
        Mark { atom, exponent, left: Left::Whole, opened: false }
    }

    /// The unit that is shown: of an opened one, the unit it counts.
    pub fn base(&self) -> &'static Atom {
        match self.atom.counts {
            Some((_, base)) if self.opened => atom(base),
            _ => self.atom,
        }
    }
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
    /// How many of one unit make one of another: `128 fl oz/gal`.
    Factor {
        /// How many, at least 1.
        count: f64,
        /// The smaller unit and the larger; of a percentage, `%` alone.
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

/// An expression's numbers, carried to the unit `target`.
pub(crate) fn line(expr: &Arc<Expr>, target: &Unit) -> Line {
    match &**expr {
        Expr::Add(..) | Expr::Sub(..) => {
            let mut terms = Vec::new();
            signed(expr, Op::Plus, &mut terms);
            let mut sum: Line = terms
                .into_iter()
                .flat_map(|(op, term)| {
                    let mut chain = line(&term, target);
                    if let Some(first) = chain.first_mut() {
                        first.0 = op;
                    }
                    chain
                })
                .collect();
            told_apart(&mut sum);
            sum
        }
        Expr::Ceil(inner) => vec![(Op::Times, Term::Up(line(inner, target)))],
        Expr::Floor(inner) => vec![(Op::Times, Term::Down(line(inner, target)))],
        Expr::Least(a, b) => vec![(Op::Times, Term::Least(line(a, target), line(b, target)))],
        Expr::Root(_) | Expr::Leaf { .. } | Expr::Mul(..) | Expr::Div(..) => Chain::of(expr).to(target),
    }
}

/// Two numbers whose difference is small by comparison are shown to more figures, so that the line shows a difference:
/// 340.28 ft² − 340.31 ft², not 340.3 ft² twice.
fn told_apart(sum: &mut Line) {
    let [
        (Op::Plus | Op::Times, Term::Value { text: one, value: a, marks }),
        (Op::Minus, Term::Value { text: other, value: b, marks: same }),
    ] = sum.as_mut_slice()
    else {
        return;
    };
    let alike = marks.iter().map(|mark| mark.atom.symbol).eq(same.iter().map(|mark| mark.atom.symbol));
    let (apart, size) = ((*a - *b).abs(), a.abs().max(b.abs()));
    if !alike || order(*a, *b).is_eq() {
        return;
    }
    let (mut figures, mut ratio) = (STEP_FIGURES, size / apart);
    while ratio >= 100.0 && figures < MOST_APART {
        (figures, ratio) = (figures + 1, ratio / 10.0);
    }
    if figures > STEP_FIGURES {
        // What was typed is shown to the letter already.
        for (text, value) in [(one, *a), (other, *b)] {
            let finer = shown(value, figures);
            if finer.len() > text.len() {
                *text = finer;
            }
        }
    }
}

/// Figures beyond which two numbers count as equal.
const MOST_APART: usize = 9;

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

/// What no sign of arithmetic says, by the phrase that does.
pub type Worded<'w> = &'w dyn Fn(&'static str, &str, &str) -> String;

/// The line in plain characters; what is rounded, and the smaller of two, as `worded` says it.
pub fn text(line: &Line, worded: Worded) -> String {
    let mut out = String::with_capacity(128);
    put_line(line, worded, &mut out);
    out
}

/// The line in signs alone, as mathematicians write it: for messages of tests.
pub fn signs(line: &Line) -> String {
    text(line, &|key, a, b| match key {
        UP => format!("⌈{a}⌉"),
        DOWN => format!("⌊{a}⌋"),
        _ => format!("min({a}; {b})"),
    })
}

/// The phrase for a number rounded up, `{a}`.
pub const UP: &str = "formula.up";
/// The phrase for a number rounded down, `{a}`.
pub const DOWN: &str = "formula.down";
/// The phrase for the smaller of two, `{a}` and `{b}`.
pub const LEAST: &str = "formula.least";

fn put_line(line: &Line, worded: Worded, out: &mut String) {
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
        put_term(term, worded, out);
    }
}

fn put_term(term: &Term, worded: Worded, out: &mut String) {
    let mut around = |before: &str, line: &Line, after: &str| {
        out.push_str(before);
        put_line(line, worded, out);
        out.push_str(after);
    };
    match term {
        Term::Value { text, marks, .. } => with_unit(text, marks, out),
        // On one line `× 1000 ft²/1000 ft²` would say nothing that `× 1000` does not.
        Term::Factor { count, marks } if counts(marks) => out.push_str(&factor_text(*count)),
        Term::Factor { count, marks } => with_unit(&factor_text(*count), marks, out),
        // A root alone has brackets of its own.
        Term::Bracket(line, _) if matches!(line.as_slice(), [(_, Term::Root(_))]) => put_line(line, worded, out),
        Term::Bracket(line, _) => around("(", line, ")"),
        Term::Root(line) => around("√(", line, ")"),
        Term::Up(line) => out.push_str(&worded(UP, &text(line, worded), "")),
        Term::Down(line) => out.push_str(&worded(DOWN, &text(line, worded), "")),
        Term::Least(a, b) => out.push_str(&worded(LEAST, &text(a, worded), &text(b, worded))),
    }
}

fn counts(marks: &[Mark]) -> bool {
    matches!(marks, [smaller, larger] if larger.atom.counts.is_some_and(|(_, base)| base == smaller.atom.symbol))
}

/// A factor's count: exact where it is short, to 7 figures where it is not.
pub fn factor_text(count: f64) -> String {
    exact(crate::text::figures::to_figures(count, 7))
}

fn with_unit(number: &str, marks: &[Mark], out: &mut String) {
    out.push_str(number);
    if !marks.is_empty() {
        out.push(' ');
        put_unit(marks, out);
    }
}

/// The units of a term, plain.
pub fn unit_text(marks: &[Mark]) -> String {
    let mut out = String::with_capacity(16);
    put_unit(marks, &mut out);
    out
}

fn put_unit(marks: &[Mark], out: &mut String) {
    if let [first, second] = marks
        && (first.atom.symbol, second.atom.symbol, second.exponent) == ("mi", "h", -1)
    {
        return out.push_str("mph");
    }
    for (index, mark) in marks.iter().enumerate() {
        if mark.exponent < 0 {
            out.push('/');
        } else if index > 0 {
            out.push('·');
        }
        out.push_str(mark.atom.shown);
    }
}

/// The value a line comes to when its numbers are taken as shown in full; for tests that compare the working with the
/// result.
pub fn evaluate(line: &Line) -> f64 {
    let mut total = 0.0;
    let mut product: Option<f64> = None;
    for (op, term) in line {
        let value = match term {
            Term::Value { value, marks, .. } => value / counted(marks),
            Term::Factor { count, marks } => count / counted(marks),
            Term::Bracket(inner, marks) => evaluate(inner) / counted(marks),
            Term::Root(inner) => evaluate(inner).sqrt(),
            Term::Up(inner) => whole_above(evaluate(inner)),
            Term::Down(inner) => whole_below(evaluate(inner)),
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

/// A unit such as `1000 ft²` divides by its count when it is opened; a kept or canceled one does not.
fn counted(marks: &[Mark]) -> f64 {
    marks
        .iter()
        .filter(|mark| mark.opened)
        .filter_map(|mark| Some(f64::from(mark.atom.counts?.0).powi(-i32::from(mark.exponent))))
        .product()
}
