//! A step's numbers as factors, each a fraction of amounts: what the units do, to be seen, printed and heard.

use crate::quantity::units::{Atom, atom};
use crate::text::escape::html;
use crate::text::texts::replaced;
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::working::line::{DOWN, LEAST, Left, Line, Mark, Op, Term, UP, factor_text, numbers};
use crate::working::record::Step;

/// For whom the factors are written.
#[derive(Clone, Copy, PartialEq)]
enum Style {
    /// A terminal: plain characters, a unit that cancels in square brackets.
    Plain,
    /// A page: MathML Core, a unit that cancels struck through.
    Page,
    /// A voice: words.
    Voice,
}

/// What is above or below the line of a fraction.
#[derive(Default)]
struct Side {
    text: String,
    /// Numbers, units and signs in it.
    parts: usize,
    /// Whether a unit comes last, so that the next one multiplies it.
    unit: bool,
    /// Whether its number is 1.
    one: bool,
}

/// One factor: a fraction, or an amount where nothing is below.
struct Factor {
    top: Side,
    bottom: Side,
    /// Whether the bottom is an amount that the top is divided by, and not the rest of a unit.
    divided: bool,
}

struct Writer<'p> {
    style: Style,
    phrases: &'p Phrases,
    /// Units that cancel, in the order in which they come up.
    cancelled: Vec<&'static Atom>,
}

/// Whether any unit in the line cancels; where none does, the factors tell nothing that the numbers do not.
pub(crate) fn cancels(line: &Line) -> bool {
    line.iter().any(|(_, term)| match term {
        Term::Value { marks, .. } | Term::Factor { marks, .. } => marks.iter().any(|mark| mark.left != Left::Whole),
        Term::Bracket(inner, _) | Term::Root(inner) | Term::Up(inner) | Term::Down(inner) => cancels(inner),
        Term::Least(a, b) => cancels(a) || cancels(b),
    })
}

fn written(line: &Line, style: Style, phrases: &Phrases) -> (String, Vec<&'static Atom>) {
    let mut writer = Writer { style, phrases, cancelled: Vec::new() };
    let text = writer.line(line, true);
    (text, writer.cancelled)
}

/// The factors of a step on one line, each unit that cancels in square brackets.
pub fn text(step: &Step, phrases: &Phrases) -> String {
    let mut out = written(&numbers(step), Style::Plain, phrases).0;
    out.push_str(" = ");
    out.push_str(&say::step_value(step, phrases));
    out
}

/// The factors of a step as the content of a `math` element; `None` where no unit cancels.
pub(crate) fn math(step: &Step, numbers: &Line, phrases: &Phrases) -> Option<String> {
    if !cancels(numbers) {
        return None;
    }
    let mut out = written(numbers, Style::Page, phrases).0;
    out.push_str("<mrow><mo>=</mo><mtext>");
    out.push_str(&html(&say::step_value(step, phrases)));
    out.push_str("</mtext></mrow>");
    Some(out)
}

/// The factors of a step as they are read aloud, ending with the units that cancel and the value.
pub fn spoken(step: &Step, numbers: &Line, phrases: &Phrases) -> String {
    let (said, cancelled) = written(numbers, Style::Voice, phrases);
    let units: Vec<String> = cancelled.iter().map(|unit| word(unit, false, phrases).to_owned()).collect();
    phrases.fill("chain.spoken", |place| match place {
        "chain" => Some(said.clone()),
        "units" => Some(say::listed(&units, phrases)),
        "value" => Some(value_said(step, phrases)),
        _ => None,
    })
}

fn word<'p>(unit: &Atom, one: bool, phrases: &'p Phrases) -> &'p str {
    let key = ["unit.", unit.symbol, if one { ".one" } else { ".many" }].concat();
    phrases.find(&key).unwrap_or(unit.shown)
}

fn value_said(step: &Step, phrases: &Phrases) -> String {
    let shown = say::step_value(step, phrases);
    let number = shown.strip_suffix(&step.unit.shown()).unwrap_or(&shown).trim_end();
    let mut out = number.to_owned();
    for (part, exponent) in step.unit.parts() {
        let below = exponent < 0;
        for piece in if below { [" ", phrases.get("chain.per"), " "] } else { ["", "", " "] } {
            out.push_str(piece);
        }
        out.push_str(word(part, below || number == "1", phrases));
    }
    out
}

impl Writer<'_> {
    /// A line; the terms of an `outer` one may go to a new line on a narrow screen, so each is one element.
    fn line(&mut self, line: &Line, outer: bool) -> String {
        let mut out = String::new();
        let mut rest = line.as_slice();
        while let Some((op, _)) = rest.first() {
            let more = rest.iter().skip(1).position(|(op, _)| matches!(op, Op::Plus | Op::Minus));
            let (terms, after) = rest.split_at(more.map_or(rest.len(), |more| more + 1));
            let first = rest.len() == line.len();
            if !first || *op == Op::Minus {
                let sign = if *op == Op::Minus { Op::Minus } else { Op::Plus };
                self.sign(sign, first, &mut out);
            }
            let product = self.product(terms);
            let alone = terms.len() == line.len() && product.len() == 1;
            for (index, factor) in product.iter().enumerate() {
                if index > 0 {
                    self.sign(Op::Times, false, &mut out);
                }
                self.factor(factor, outer, alone, &mut out);
            }
            rest = after;
        }
        out
    }

    /// A sign between two factors, or before the first.
    fn sign(&self, op: Op, first: bool, out: &mut String) {
        let pieces = match self.style {
            Style::Page => ["<mo>", op.sign(), "</mo>"],
            Style::Plain if first => ["", op.sign(), ""],
            Style::Plain => [" ", op.sign(), " "],
            Style::Voice if first => ["", self.word(op), " "],
            // A voice makes a pause at a comma, so that each factor is heard as one.
            Style::Voice => [", ", self.word(op), " "],
        };
        pieces.into_iter().for_each(|piece| out.push_str(piece));
    }

    fn word(&self, op: Op) -> &str {
        self.phrases.get(match op {
            Op::Plus => "chain.plus",
            Op::Minus => "chain.minus",
            Op::Times => "chain.times",
            Op::Over => "chain.over",
        })
    }

    fn factor(&self, factor: &Factor, outer: bool, alone: bool, out: &mut String) {
        let (top, bottom) = (&factor.top, &factor.bottom);
        let fraction = bottom.parts > 0;
        if self.style == Style::Page {
            out.push_str(if fraction { "<mfrac>" } else { "" });
            row(top, fraction || outer, out);
            row(bottom, true, out);
            out.push_str(if fraction { "</mfrac>" } else { "" });
            return;
        }
        let between = match (self.style, factor.divided) {
            (Style::Voice, true) => self.word(Op::Over),
            (Style::Voice, false) => self.phrases.get("chain.per"),
            _ => "/",
        };
        let bracket = self.style == Style::Plain && !alone;
        let pieces = match (fraction, bracket) {
            (false, _) => ["", &top.text, "", "", "", "", ""],
            (true, true) => ["(", &top.text, " ", between, " ", &bottom.text, ")"],
            (true, false) => ["", &top.text, " ", between, " ", &bottom.text, ""],
        };
        pieces.into_iter().for_each(|piece| out.push_str(piece));
    }

    fn product(&mut self, terms: &[(Op, Term)]) -> Vec<Factor> {
        let mut product: Vec<Factor> = Vec::new();
        for (op, term) in terms {
            let over = *op == Op::Over;
            let own = matches!(term, Term::Factor { .. });
            let (mut top, mut bottom) = self.sides(term, over);
            if over {
                (top, bottom) = (bottom, top);
            }
            let open = product.iter().rev().take_while(|factor| factor.bottom.parts == 0).count();
            if top.parts == 0 && open > 0 && !own {
                // All that comes before the sign of division goes above one line, as it would be written by hand.
                for before in product.drain(product.len() - open..) {
                    self.times(&mut top);
                    if top.parts > 0 && self.style != Style::Page {
                        top.text.push(' ');
                    }
                    top.text.push_str(&before.top.text);
                    top.parts += before.top.parts;
                }
            } else if top.parts == 0 {
                self.number(&mut top, "1");
            }
            product.push(Factor { top, bottom, divided: over && !own });
        }
        product
    }

    /// What a term puts above the line and below it; of one that is divided by, the other way around.
    fn sides(&mut self, term: &Term, over: bool) -> (Side, Side) {
        let (mut top, mut bottom) = (Side::default(), Side::default());
        let marks = match term {
            Term::Value { text, marks, .. } => {
                self.number(&mut top, text);
                marks
            }
            Term::Factor { count, marks } => {
                self.number(&mut top, &factor_text(*count));
                marks
            }
            _ => {
                top.text = self.inner(term);
                top.parts = 1;
                return (top, bottom);
            }
        };
        for mark in marks {
            if mark.exponent > 0 {
                self.unit(&mut top, mark, true);
            } else {
                // "Per gallon" is said, and "1 gallon" written.
                self.unit(&mut bottom, mark, self.style != Style::Voice || over);
            }
        }
        (top, bottom)
    }

    fn number(&self, side: &mut Side, text: &str) {
        let text = self.phrases.number(text.to_owned());
        self.token(side, "mn", &text);
        side.one = text == "1";
    }

    /// A sign of multiplication inside a side, where something comes before it.
    fn times(&self, side: &mut Side) {
        if side.parts > 0 {
            self.token(side, "mo", if self.style == Style::Voice { self.word(Op::Times) } else { Op::Times.sign() });
        }
    }

    fn token(&self, side: &mut Side, tag: &str, text: &str) {
        let pieces = match self.style {
            Style::Page => ["<", tag, ">", text, "</", tag, ">"],
            _ if side.parts > 0 => [" ", text, "", "", "", "", ""],
            _ => [text, "", "", "", "", "", ""],
        };
        pieces.into_iter().for_each(|piece| side.text.push_str(piece));
        side.parts += 1;
        side.unit = false;
    }

    fn unit(&mut self, side: &mut Side, mark: &Mark, one: bool) {
        match mark.atom.counts {
            Some((count, _)) => {
                self.times(side);
                if mark.opened {
                    self.number(side, &count.to_string());
                }
            }
            None if side.parts == 0 && one => self.number(side, "1"),
            None => side.one |= side.parts == 0,
        }
        let base = mark.base();
        match (mark.left, base.side) {
            (Left::Half, Some(edge)) => {
                self.atom(side, atom(edge), true);
                self.atom(side, atom(edge), false);
            }
            (left, _) => self.atom(side, base, left != Left::Whole),
        }
    }

    fn atom(&mut self, side: &mut Side, unit: &'static Atom, struck: bool) {
        if struck && !self.cancelled.contains(&unit) {
            self.cancelled.push(unit);
        }
        let times;
        let between = match self.style {
            // A square foot of which one side cancels is its two sides, and is read as no unit of its own.
            Style::Page if side.unit => "<mo>×</mo>",
            Style::Page => "",
            Style::Plain if side.unit => " × ",
            Style::Voice if side.unit => {
                times = [" ", self.word(Op::Times), " "].concat();
                &times
            }
            _ if side.parts > 0 => " ",
            _ => "",
        };
        let pieces = match (self.style, struck) {
            (Style::Page, true) => [between, "<mtext><s>", unit.shown, "</s></mtext>"],
            (Style::Page, false) => [between, "<mtext>", unit.shown, "</mtext>"],
            (Style::Plain, true) => [between, "[", unit.shown, "]"],
            (Style::Plain, false) => [between, unit.shown, "", ""],
            (Style::Voice, _) => [between, word(unit, side.one, self.phrases), "", ""],
        };
        pieces.into_iter().for_each(|piece| side.text.push_str(piece));
        side.parts += 1;
        side.unit = true;
    }

    /// A bracket, a root, a number rounded, the smaller of two.
    fn inner(&mut self, term: &Term) -> String {
        let (key, signs, line, other) = match term {
            Term::Bracket(line, _) => {
                ("chain.bracket", ["(", ")", "<mrow><mo>(</mo>", "<mo>)</mo></mrow>"], line, None)
            }
            Term::Root(line) => ("chain.root", ["√(", ")", "<msqrt>", "</msqrt>"], line, None),
            Term::Up(line) => (UP, [""; 4], line, None),
            Term::Down(line) => (DOWN, [""; 4], line, None),
            Term::Least(a, b) => (LEAST, [""; 4], a, Some(b)),
            Term::Value { .. } | Term::Factor { .. } => return String::new(),
        };
        let a = self.line(line, false);
        let b = other.map_or_else(String::new, |line| self.line(line, false));
        let [open, close, open_page, close_page] = signs;
        if self.style == Style::Voice || (open.is_empty() && self.style == Style::Plain) {
            return self.phrases.fill_with(key, &[("a", &a), ("b", &b)]);
        }
        if self.style == Style::Plain {
            return [open, &a, close].concat();
        }
        if !open.is_empty() {
            return [open_page, &a, close_page].concat();
        }
        // A space at the end of an `mtext` is not drawn.
        let words = replaced(&html(self.phrases.get(key)), " ", "\u{a0}");
        let parts = ["<mrow><mtext>", &words, "</mtext></mrow>"].concat();
        let parts = replaced(&parts, "{a}", &["</mtext>", &a, "<mtext>"].concat());
        let parts = replaced(&parts, "{b}", &["</mtext>", &b, "<mtext>"].concat());
        replaced(&parts, "<mtext></mtext>", "")
    }
}

/// A side of a fraction as one element of the page; `whole` where it must be one.
fn row(side: &Side, whole: bool, out: &mut String) {
    let row = whole && side.parts > 1;
    for piece in if row { ["<mrow>", &side.text, "</mrow>"] } else { ["", &side.text, ""] } {
        out.push_str(piece);
    }
}
