//! The drawing of a lawn: every part beside the others.

use super::outline::{Outline, along, round};
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

/// Shapes drawn; more would be too small on a phone.
const MOST_DRAWN: usize = 6;

/// A part that is drawn: its group, its area and whether it is taken off.
type Drawn = (&'static str, f64, bool);

/// Every part, with the outlines of those that are drawn.
fn drawn(worked: &Worked) -> (Vec<Drawn>, Vec<Outline>) {
    let inputs = &worked.inputs;
    let mut parts: Vec<Drawn> = Vec::new();
    let mut outlines: Vec<Outline> = Vec::new();
    // One part alone is the whole lawn.
    let area = |own: Option<f64>| own.or_else(|| worked.si(&AREA, [])).unwrap_or_default();
    for shape in SHAPES {
        for row in inputs.rows_at(shape.group) {
            let area = area(worked.si(shape.result, [row.number]));
            parts.push((shape.group, area, cut_out(&row)));
            if outlines.len() < MOST_DRAWN {
                outlines.push((shape.outline)(row, area));
            }
        }
    }
    if inputs.row_count(&OFFSET_ROWS) > 0 {
        let area = area(worked.si(&OFFSETS, []));
        parts.push((OFFSET_ROWS.name(), area, is_cut(inputs.word(&OFFSET_EFFECT))));
        let widths: Vec<f64> = inputs.rows(&OFFSET_ROWS).map(|row| side(&row, &OFFSET)).collect();
        outlines.push(along(&widths, si(inputs.typed(&OFFSET_SPACING))));
    }
    if inputs.row_count(&SPOKES) > 0 {
        let area = area(worked.si(&RADII, []));
        parts.push((SPOKES.name(), area, is_cut(inputs.word(&RADIUS_EFFECT))));
        outlines.push(round(area));
    }
    outlines.truncate(MOST_DRAWN);
    (parts, outlines)
}

/// Every part beside the others, all to one scale.
pub(super) fn draw(worked: &Worked, system: System) -> Drawing {
    let (parts, outlines) = drawn(worked);
    let unit = usual::SURFACE.pick(system);
    let columns = outlines.len().clamp(1, 3);
    let (wide, high) = (344.0 / columns as f64, 112.0);
    let mut drawing = Drawing::new(high * outlines.len().div_ceil(columns) as f64 + 8.0);
    let scale = outlines.iter().fold(f64::MAX, |scale, outline| {
        let (across, up) = outline.reach();
        scale.min((wide / 2.0 - 8.0) / across).min(38.0 / up)
    });
    for (index, (group, area, cut)) in parts.iter().enumerate() {
        if let Some(outline) = outlines.get(index) {
            let middle = (8.0 + wide * ((index % columns) as f64 + 0.5), 46.0 + high * (index / columns) as f64);
            outline.draw(&mut drawing, if *cut { "band-2" } else { "ground" }, middle, scale);
            if !cut {
                outline.draw(&mut drawing, "line", middle, scale);
            }
            let sign = if *cut { "−" } else { "+" };
            let text = [sign, " ", &written::quantity(*area, &unit)].concat();
            drawing.label(Set::Mid, middle.0, middle.1 + 58.0, Label::Plain(text));
        }
        let key = if *cut { "lawn-area.draw.cut" } else { "lawn-area.draw.added" };
        let shape = Arg::Phrase([CALCULATOR.id, ".group.", group].concat());
        drawing.say(key, vec![("shape", shape), ("area", Arg::Quantity(*area, unit))]);
    }
    let total = Arg::Quantity(worked.si(&AREA, []).unwrap_or_default(), unit);
    drawing.say("lawn-area.draw.total", vec![("drawn", Arg::Text(outlines.len().to_string())), ("area", total)]);
    drawing
}
