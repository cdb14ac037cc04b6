//! The drawing of a spreader: its rate around the target, and what the boxes caught.

use super::swath::boxes;
use super::{HIGH_LIMIT, LABEL_MAX, LOW_LIMIT, RATE, SWATH};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::worked::Worked;
use crate::quantity::unit::Unit;
use crate::working::record::{Arg, System};

pub(super) fn draw(worked: &Worked, _: System) -> Drawing {
    let mut drawing = Drawing::new(if worked.si(&SWATH, []).is_some() { 320.0 } else { 150.0 });
    gauge(worked, &mut drawing);
    pattern(worked, &mut drawing);
    drawing
}

/// The rate on a line from nothing, with the window around the target and the label maximum.
fn gauge(worked: &Worked, drawing: &mut Drawing) {
    let [rate, low, high] = [&RATE, &LOW_LIMIT, &HIGH_LIMIT].map(|mark| worked.shown(mark, []));
    let most = worked.inputs.typed(&LABEL_MAX).map(|typed| (typed.si, typed.unit));
    let far = [rate, low, high, most].iter().flatten().map(|(si, _)| *si).fold(0.0, f64::max) * 1.15;
    if far <= 0.0 {
        return;
    }
    let x = |si: f64| 24.0 + 312.0 * si / far;
    if let (Some(low), Some(high)) = (low, high) {
        drawing.rect("band", x(low.0), 58.0, x(high.0) - x(low.0), 40.0);
        let part = |(si, unit): &(f64, Unit)| Arg::Quantity(*si, *unit);
        let args = vec![("low", part(&low)), ("high", part(&high))];
        drawing.label(Set::Mid, 180.0, 124.0, Label::Phrase("spreader.draw.window", args.clone()));
        drawing.say("spreader.draw.around", args);
    }
    drawing.line("line", (24.0, 98.0), (336.0, 98.0));
    if let Some((si, _)) = most {
        drawing.line("warn", (x(si), 48.0), (x(si), 98.0));
    }
    for (mark, key) in [(rate, "spreader.draw.rate"), (most, "spreader.draw.most")] {
        if let Some((si, unit)) = mark {
            drawing.say(key, vec![("rate", Arg::Quantity(si, unit))]);
        }
    }
    if let Some((si, unit)) = rate {
        drawing.circle("mark", x(si), 98.0, 7.0);
        drawing.label(
            Set::Strong,
            x(si).clamp(90.0, 270.0),
            36.0,
            Label::Plain(crate::quantity::written::quantity(si, &unit)),
        );
        drawing.line("dim", (x(si), 44.0), (x(si), 90.0));
    }
}

/// The boxes on both sides of the center, what they caught to scale, and the swath that counts.
fn pattern(worked: &Worked, drawing: &mut Drawing) {
    let (Some((swath, unit)), Ok(boxes)) = (worked.shown(&SWATH, []), boxes(&worked.inputs)) else { return };
    let reach = boxes.iter().map(|caught| caught.offset.si()).fold(swath / 2.0, f64::max);
    let highest = boxes.iter().map(|caught| caught.amount.si()).fold(f64::MIN_POSITIVE, f64::max);
    let scale = 150.0 / reach;
    let width = (150.0 / boxes.len() as f64 * 0.7).min(24.0);
    let floor = 270.0;
    for caught in &boxes {
        let level = caught.amount.si() / highest * 100.0;
        let out = caught.offset.si() * scale;
        drawing.rect("band", 180.0 + out - width / 2.0, floor - level, width, level);
        if out > 0.0 {
            drawing.rect("band", 180.0 - out - width / 2.0, floor - level, width, level);
        }
    }
    let half = floor - boxes[0].amount.si() / 2.0 / highest * 100.0;
    drawing.line("line", (8.0, floor), (352.0, floor));
    drawing.line("dim", (8.0, half), (352.0, half));
    drawing.label(Set::End, 352.0, half - 6.0, Label::Phrase("spreader.draw.half", vec![]));
    let edge = swath / 2.0 * scale;
    drawing.dimension((180.0 - edge, floor + 16.0), (180.0 + edge, floor + 16.0));
    let args = vec![("swath", Arg::Quantity(swath, unit))];
    drawing.label(Set::Mid, 180.0, floor + 40.0, Label::Phrase("spreader.draw.swath", args.clone()));
    drawing.say("spreader.draw.pattern", args);
}
