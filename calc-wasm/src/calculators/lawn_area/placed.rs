//! Where the parts of a lawn stand in its drawing: one scale for all, what is cut out inside what it is cut out of.

use super::outline::Outline;

/// Shapes drawn; more would be too small on a phone.
pub(super) const MOST_DRAWN: usize = 6;
/// Room for the parts, in the drawing's own units.
const ROOM: (f64, f64) = (344.0, 118.0);
const EDGE: f64 = 8.0;
/// Between two parts, and between a cut-out and the edge of what it is cut out of.
const GAP: f64 = 8.0;
/// Beside a part that is too small for its number.
const NUMBER: f64 = 14.0;

/// The parts in their places.
pub(super) struct Places {
    /// The middle of each.
    pub(super) at: [(f64, f64); MOST_DRAWN],
    /// How long a meter is.
    pub(super) scale: f64,
    /// How far down they reach.
    pub(super) below: f64,
}

impl Places {
    /// Puts parts beside each other from a corner, in as many lines as they need: all, or only those that are cut out or
    /// only those that are not. Says how far down they reach; `None` where the room is too small.
    fn shelve(
        &mut self,
        parts: &[(Outline, bool)],
        only: Option<bool>,
        from: (f64, f64),
        room: (f64, f64),
    ) -> Option<f64> {
        let (mut x, mut y, mut line) = (0.0, 0.0, 0.0_f64);
        for (at, (outline, cut)) in self.at.iter_mut().zip(parts) {
            if only.is_some_and(|only| only != *cut) {
                continue;
            }
            let (across, up) = outline.reach();
            let (across, up) = (across * self.scale, up * self.scale);
            let number = if outline.holds_number(self.scale) { 0.0 } else { NUMBER };
            let (wide, high) = (2.0 * across + number, (2.0 * up).max(number));
            if x > 0.0 && x + wide > room.0 {
                (x, y, line) = (0.0, y + line + GAP, 0.0);
            }
            if wide > room.0 || y + high > room.1 {
                return None;
            }
            *at = (from.0 + x + across, from.1 + y + high / 2.0);
            (x, line) = (x + wide + GAP, line.max(high));
        }
        Some(from.1 + y + line)
    }
}

/// Every part in its place, as large as the room allows.
pub(super) fn places(parts: &[(Outline, bool)]) -> Places {
    let (mut host, mut most, mut largest) = (0, 0.0, f64::MAX);
    for (index, (outline, cut)) in parts.iter().enumerate() {
        let ((across, up), (inside, level)) = (outline.reach(), outline.inside());
        largest = largest.min(ROOM.0 / 2.0 / across).min(ROOM.1 / 2.0 / up);
        if !cut && inside * level > most {
            (host, most) = (index, inside * level);
        }
    }
    let mut placed = Places { at: Default::default(), scale: largest, below: EDGE };
    for only in [Some(false), None] {
        placed.scale = largest;
        // Smaller in small steps, until all have room.
        for _ in 0..150 {
            if let Some(below) = placed.shelve(parts, only, (EDGE, EDGE), ROOM) {
                placed.below = below;
                let ((across, up), (x, y), scale) = (parts[host].0.inside(), placed.at[host], placed.scale);
                // The number of the whole stands in its upper left corner.
                let from = (x - across * scale + GAP + NUMBER, y - up * scale + GAP);
                let room = (2.0 * (across * scale - GAP) - NUMBER, 2.0 * (up * scale - GAP));
                if only.is_none() || placed.shelve(parts, Some(true), from, room).is_some() {
                    return placed;
                }
                break;
            }
            placed.scale *= 0.97;
        }
    }
    placed
}
