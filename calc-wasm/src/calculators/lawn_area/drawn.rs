//! The drawing of a lawn: its parts to one scale, what is cut out inside what it is cut out of.

use super::outline::{Outline, along, round};
use super::placed::{MOST_DRAWN, places};
use super::shapes::{SHAPES, si, side};
use super::{
    AREA, CALCULATOR, OFFSET, OFFSET_EFFECT, OFFSET_ROWS, OFFSET_SPACING, OFFSETS, RADII, RADIUS_EFFECT, SPOKES,
    cut_out, is_cut,
};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::worked::Worked;
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::record::{Arg, System};

/// A part of the lawn: its group, its area and whether it is taken off.
type Part = (&'static str, f64, bool);

/// Every part, and the outlines of those that are drawn, with whether each is taken off.
fn drawn(worked: &Worked) -> (Vec<Part>, Vec<(Outline, bool)>) {
    let inputs = &worked.inputs;
    let mut parts: Vec<Part> = Vec::new();
    let mut outlines: Vec<(Outline, bool)> = Vec::new();
    // One part alone is the whole lawn.
    let area = |own: Option<f64>| own.or_else(|| worked.si(&AREA, [])).unwrap_or_default();
    for shape in SHAPES {
        for row in inputs.rows_at(shape.group) {
            let area = area(worked.si(shape.result, [row.number]));
            let cut = cut_out(&row);
            parts.push((shape.group, area, cut));
            outlines.push(((shape.outline)(row, area), cut));
        }
    }
    if inputs.row_count(&OFFSET_ROWS) > 0 {
        let area = area(worked.si(&OFFSETS, []));
        let cut = is_cut(inputs.word(&OFFSET_EFFECT));
        parts.push((OFFSET_ROWS.name(), area, cut));
        let widths: Vec<f64> = inputs.rows(&OFFSET_ROWS).map(|row| side(&row, &OFFSET)).collect();
        outlines.push((along(&widths, si(inputs.typed(&OFFSET_SPACING))), cut));
    }
    if inputs.row_count(&SPOKES) > 0 {
        let area = area(worked.si(&RADII, []));
        let cut = is_cut(inputs.word(&RADIUS_EFFECT));
        parts.push((SPOKES.name(), area, cut));
        outlines.push((round(area), cut));
    }
    outlines.truncate(MOST_DRAWN);
    (parts, outlines)
}

/// The parts to one scale: beside each other, what is cut out inside the largest part where there is room in it.
///
/// Where a part lies is nowhere measured, so the drawing says that it does not show it.
pub(super) fn draw(worked: &Worked, system: System) -> Drawing {
    let (parts, outlines) = drawn(worked);
    let unit = usual::SURFACE.pick(system);
    let places = places(&outlines);
    let (below, scale, several) = (places.below, places.scale, outlines.len() > 1);
    let lines = outlines.len().div_ceil(2);
    let mut drawing = Drawing::new(below + 22.0 * (lines + usize::from(several)) as f64 + 6.0);
    // What is cut out lies on top of what it is cut out of, and no part covers a number.
    for layer in ["ground", "line", "band-2", ""] {
        for ((number, (outline, cut)), at) in (1..).zip(&outlines).zip(places.at) {
            if layer.is_empty() && several {
                let (x, y) = outline.mark(at, scale, *cut);
                drawing.label(Set::Mid, x, y, Label::Plain(number.to_string()));
            } else if !layer.is_empty() && (layer == "band-2") == *cut {
                outline.draw(&mut drawing, layer, at, scale);
            }
        }
    }
    for (index, (group, area, cut)) in parts.iter().enumerate() {
        if index < outlines.len() {
            let sign = if *cut { "−" } else { "+" };
            let number = if several { [&(index + 1).to_string(), ":  "].concat() } else { String::new() };
            let text = [&number, sign, " ", &written::quantity(*area, &unit)].concat();
            let y = below + 18.0 + 22.0 * (index / 2) as f64;
            drawing.label(Set::Start, 8.0 + 176.0 * (index % 2) as f64, y, Label::Plain(text));
        }
        let key = if *cut { "lawn-area.draw.cut" } else { "lawn-area.draw.added" };
        let shape = Arg::Phrase([CALCULATOR.id, ".group.", group].concat());
        drawing.say(key, vec![("shape", shape), ("area", Arg::Quantity(*area, unit))]);
    }
    if several {
        let y = below + 18.0 + 22.0 * lines as f64;
        drawing.label(Set::Start, 8.0, y, Label::Phrase("lawn-area.draw.lie", Vec::new()));
    }
    let total = Arg::Quantity(worked.si(&AREA, []).unwrap_or_default(), unit);
    drawing.say("lawn-area.draw.total", vec![("drawn", Arg::Text(outlines.len().to_string())), ("area", total)]);
    drawing
}
