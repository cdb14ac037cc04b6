//! Drawings: a small SVG builder. Coordinates have at most one decimal, so that every engine writes the same bytes.

use crate::quantity::unit::Unit;
use crate::text::figures::{RESULT_FIGURES, exact, to_figures, without_noise};
use crate::text::texts::joined;
use crate::working::record::Arg;

/// Width of every drawing in its own units.
pub const WIDTH: f64 = 360.0;

/// What a drawing says in words: a phrase key with its values.
#[derive(Clone, Debug)]
pub struct Caption {
    /// Phrase key.
    pub key: &'static str,
    /// Values for the phrase.
    pub args: Vec<(&'static str, Arg)>,
}

/// A drawing in the making.
#[derive(Clone, Debug)]
pub struct Drawing {
    pub(crate) height: f64,
    pub(crate) parts: Vec<Element>,
    /// The text equivalent: one phrase or several, shown as one paragraph.
    pub captions: Vec<Caption>,
}

#[derive(Clone, Debug)]
pub(crate) enum Element {
    Shape(String),
    Label { x: f64, y: f64, class: &'static str, text: Label },
}

/// Text in a drawing.
#[derive(Clone, Debug)]
pub enum Label {
    /// As it is: a number with its unit.
    Plain(String),
    /// A phrase with values.
    Phrase(&'static str, Vec<(&'static str, Arg)>),
}

/// How a label is set.
#[derive(Clone, Copy, Debug)]
pub enum Set {
    /// Starts at the point.
    Start,
    /// Centered on the point.
    Mid,
    /// Ends at the point.
    End,
    /// Centered, large: the value.
    Strong,
}

impl Set {
    fn class(self) -> &'static str {
        match self {
            Set::Start => "tk-draw-text",
            Set::Mid => "tk-draw-text tk-draw-text--mid",
            Set::End => "tk-draw-text tk-draw-text--end",
            Set::Strong => "tk-draw-text tk-draw-text--strong tk-draw-text--mid",
        }
    }
}

pub(crate) fn at(value: f64) -> String {
    let tenths = if value.is_finite() { (value * 10.0).round() as i64 } else { 0 };
    let (sign, size) = (if tenths < 0 { "-" } else { "" }, tenths.unsigned_abs());
    match (size / 10, size % 10) {
        (whole, 0) => format!("{sign}{whole}"),
        (whole, tenth) => format!("{sign}{whole}.{tenth}"),
    }
}

impl Drawing {
    /// An empty drawing, `height` units high.
    pub fn new(height: f64) -> Drawing {
        Drawing { height, parts: Vec::new(), captions: Vec::new() }
    }

    /// A rectangle; `class` is the last part of its class name (`water` for `tk-draw-water`).
    pub fn rect(&mut self, class: &str, x: f64, y: f64, width: f64, height: f64) {
        self.parts.push(Element::Shape(format!(
            "<rect class=\"tk-draw-{class}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
            at(x),
            at(y),
            at(width.max(0.0)),
            at(height.max(0.0))
        )));
    }

    /// A straight line.
    pub fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        self.parts.push(Element::Shape(format!(
            "<line class=\"tk-draw-{class}\" x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"/>",
            at(from.0),
            at(from.1),
            at(to.0),
            at(to.1)
        )));
    }

    /// A circle.
    pub fn circle(&mut self, class: &str, x: f64, y: f64, radius: f64) {
        self.parts.push(Element::Shape(format!(
            "<circle class=\"tk-draw-{class}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
            at(x),
            at(y),
            at(radius.max(0.0))
        )));
    }

    /// An ellipse with half axes `across` and `up`.
    pub fn ellipse(&mut self, class: &str, x: f64, y: f64, across: f64, up: f64) {
        self.parts.push(Element::Shape(format!(
            "<ellipse class=\"tk-draw-{class}\" cx=\"{}\" cy=\"{}\" rx=\"{}\" ry=\"{}\"/>",
            at(x),
            at(y),
            at(across.max(0.0)),
            at(up.max(0.0))
        )));
    }

    /// A closed shape through points.
    pub fn polygon(&mut self, class: &str, points: &[(f64, f64)]) {
        let points: Vec<String> = points.iter().map(|(x, y)| format!("{},{}", at(*x), at(*y))).collect();
        self.parts
            .push(Element::Shape(format!("<polygon class=\"tk-draw-{class}\" points=\"{}\"/>", joined(&points, " "))));
    }

    /// An open line through points.
    pub fn path(&mut self, class: &str, points: &[(f64, f64)]) {
        let points: Vec<String> = points.iter().map(|(x, y)| format!("{},{}", at(*x), at(*y))).collect();
        self.parts
            .push(Element::Shape(format!("<polyline class=\"tk-draw-{class}\" points=\"{}\"/>", joined(&points, " "))));
    }

    /// A dimension line with end ticks across it.
    pub fn dimension(&mut self, from: (f64, f64), to: (f64, f64)) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = (dx * dx + dy * dy).sqrt().max(0.1);
        let (nx, ny) = (-dy / length * 6.0, dx / length * 6.0);
        self.line("dim", from, to);
        for end in [from, to] {
            self.line("dim", (end.0 - nx, end.1 - ny), (end.0 + nx, end.1 + ny));
        }
    }

    /// Two scales along one band, from nothing to a value each: what lines up with what. Takes the top 104 units.
    pub fn scales(&mut self, names: [Label; 2], ends: [&(f64, Unit); 2]) {
        let (left, right) = (24.0, 336.0);
        self.rect("band", left, 42.0, right - left, 16.0);
        for share in [0.0, 0.5, 1.0] {
            let tick = left + (right - left) * share;
            self.line("line", (tick, 36.0), (tick, 64.0));
            for ((si, unit), y) in ends.into_iter().zip([31.0, 80.0]) {
                // Half of what the end says, so that the middle and the end agree.
                let end = to_figures(without_noise(si / unit.size()), RESULT_FIGURES);
                let part = exact(without_noise(end * share));
                let (set, x) = if share < 1.0 { (Set::Mid, tick) } else { (Set::End, right + 20.0) };
                self.label(set, x, y, Label::Plain(part));
            }
        }
        for (name, y) in names.into_iter().zip([13.0, 98.0]) {
            self.label(Set::Start, left - 8.0, y, name);
        }
    }

    /// Text at a point.
    pub fn label(&mut self, set: Set, x: f64, y: f64, text: Label) {
        self.parts.push(Element::Label { x, y, class: set.class(), text });
    }

    /// Adds a sentence to the text equivalent.
    pub fn say(&mut self, key: &'static str, args: Vec<(&'static str, Arg)>) {
        self.captions.push(Caption { key, args });
    }
}
