//! Drawings: a small SVG builder. Coordinates have at most one decimal, so that every engine writes the same bytes.

use crate::quantity::unit::Unit;
use crate::text::figures::{RESULT_FIGURES, exact, to_figures, without_noise};
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

/// Puts a coordinate at the end of a text.
pub(crate) fn put_at(value: f64, out: &mut String) {
    let tenths = if value.is_finite() { (value * 10.0).round() as i64 } else { 0 };
    if tenths < 0 {
        out.push('-');
    }
    let (mut whole, tenth) = (tenths.unsigned_abs() / 10, tenths.unsigned_abs() % 10);
    let (mut digits, mut first) = ([b'0'; 20], 19);
    loop {
        digits[first] = b'0' + (whole % 10) as u8;
        whole /= 10;
        if whole == 0 {
            break;
        }
        first -= 1;
    }
    digits[first..].iter().for_each(|digit| out.push(char::from(*digit)));
    if tenth > 0 {
        out.push('.');
        out.push(char::from(b'0' + tenth as u8));
    }
}

/// An element with its class and its measures, each after the name of its attribute.
fn shape(name: &str, class: &str, measures: &[(&str, f64)]) -> Element {
    let mut out = String::with_capacity(96);
    begin(name, class, &mut out);
    for (attribute, value) in measures {
        out.push(' ');
        out.push_str(attribute);
        out.push_str("=\"");
        put_at(*value, &mut out);
        out.push('"');
    }
    out.push_str("/>");
    Element::Shape(out)
}

/// An element with its class and the points that it goes through.
fn through(name: &str, class: &str, points: &[(f64, f64)]) -> Element {
    let mut out = String::with_capacity(48 + 12 * points.len());
    begin(name, class, &mut out);
    out.push_str(" points=\"");
    for (index, (x, y)) in points.iter().enumerate() {
        if index > 0 {
            out.push(' ');
        }
        put_at(*x, &mut out);
        out.push(',');
        put_at(*y, &mut out);
    }
    out.push_str("\"/>");
    Element::Shape(out)
}

fn begin(name: &str, class: &str, out: &mut String) {
    for piece in ["<", name, " class=\"tk-draw-", class, "\""] {
        out.push_str(piece);
    }
}

impl Drawing {
    /// An empty drawing, `height` units high.
    pub fn new(height: f64) -> Drawing {
        Drawing { height, parts: Vec::new(), captions: Vec::new() }
    }

    /// A rectangle; `class` is the last part of its class name (`water` for `tk-draw-water`).
    pub fn rect(&mut self, class: &str, x: f64, y: f64, width: f64, height: f64) {
        let size = [("x", x), ("y", y), ("width", width.max(0.0)), ("height", height.max(0.0))];
        self.parts.push(shape("rect", class, &size));
    }

    /// A straight line.
    pub fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        self.parts.push(shape("line", class, &[("x1", from.0), ("y1", from.1), ("x2", to.0), ("y2", to.1)]));
    }

    /// A circle.
    pub fn circle(&mut self, class: &str, x: f64, y: f64, radius: f64) {
        self.parts.push(shape("circle", class, &[("cx", x), ("cy", y), ("r", radius.max(0.0))]));
    }

    /// An ellipse with half axes `across` and `up`.
    pub fn ellipse(&mut self, class: &str, x: f64, y: f64, across: f64, up: f64) {
        let size = [("cx", x), ("cy", y), ("rx", across.max(0.0)), ("ry", up.max(0.0))];
        self.parts.push(shape("ellipse", class, &size));
    }

    /// A closed shape through points.
    pub fn polygon(&mut self, class: &str, points: &[(f64, f64)]) {
        self.parts.push(through("polygon", class, points));
    }

    /// An open line through points.
    pub fn path(&mut self, class: &str, points: &[(f64, f64)]) {
        self.parts.push(through("polyline", class, points));
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

    /// Two scales along one band, from nothing to a value each: what lines up with what. Takes the top 112 units.
    pub fn scales(&mut self, names: [Label; 2], ends: [&(f64, Unit); 2]) {
        let (left, right) = (24.0, 336.0);
        self.rect("band", left, 46.0, right - left, 16.0);
        for share in [0.0, 0.5, 1.0] {
            let tick = left + (right - left) * share;
            self.line("line", (tick, 40.0), (tick, 68.0));
            for ((si, unit), y) in ends.into_iter().zip([35.0, 84.0]) {
                // Half of what the end says, so that the middle and the end agree.
                let end = to_figures(without_noise(si / unit.size()), RESULT_FIGURES);
                let part = exact(without_noise(end * share));
                // A long number at the end would cross the edge.
                let long = share == 1.0 && part.len() > 4;
                let (set, x) = if long { (Set::End, right + 20.0) } else { (Set::Mid, tick) };
                self.label(set, x, y, Label::Plain(part));
            }
        }
        for (name, y) in names.into_iter().zip([16.0, 104.0]) {
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
