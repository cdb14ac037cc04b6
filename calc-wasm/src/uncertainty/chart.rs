//! The day's log as a control chart: each lawn's rate against the calibrated one, with limits from what is known of
//! both.
//!
//! A point is the rate a lawn got (volume used over area) as a share of the calibrated rate. Its standard deviation is
//! not estimated from the points, as for a chart without a standard, but follows from the calibration's own
//! uncertainty, the lawn's measured area and the gauge: first-order propagation as in JCGM 100:2008, 5.1. The verdict
//! on a row of points follows the Western Electric rules as the NIST/SEMATECH e-Handbook of Statistical Methods gives
//! them (6.3.2, "What are Variables Control Charts?"): a point beyond three standard deviations; two of three beyond
//! two; four of five beyond one; eight in a row on one side.

/// A lawn as it was logged, SI base units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lawn {
    /// Area treated.
    pub area: f64,
    /// Volume used.
    pub volume: f64,
}

/// What is known of the calibration and of the readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Calibration {
    /// The calibrated rate, volume per area, SI base units.
    pub rate: f64,
    /// Its standard uncertainty, as a share.
    pub rate_share: f64,
    /// Standard uncertainty of a measured area, as a share.
    pub area_share: f64,
    /// How finely the gauge is read, SI base unit; it is read before and after a lawn.
    pub gauge: f64,
}

/// A lawn on the chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Its rate as a share of the calibrated one.
    pub share: f64,
    /// One standard deviation of that share.
    pub sigma: f64,
}

impl Point {
    /// How many standard deviations it is off.
    pub fn z(&self) -> f64 {
        (self.share - 1.0) / self.sigma
    }
}

/// The point of a lawn.
pub fn point(lawn: &Lawn, known: &Calibration) -> Point {
    let share = lawn.volume / lawn.area / known.rate;
    // A reading is anywhere within its resolution: a rectangle, r/√12; two of them, r/√6 (JCGM 100:2008, 4.3.7).
    let gauge = known.gauge / 6.0_f64.sqrt() / lawn.volume;
    let squares = known.rate_share * known.rate_share + known.area_share * known.area_share + gauge * gauge;
    Point { share, sigma: share * squares.sqrt() }
}

/// What the points say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// No lawn yet.
    Empty,
    /// Nothing out of the ordinary.
    Steady,
    /// The rate has moved; whether it is too high.
    Drifting(bool),
    /// One lawn is off by itself: its place, and whether it got too much.
    OneOff(usize, bool),
}

/// A point farther off than this, in standard deviations, is outside the limits.
const OUT: f64 = 3.0;

/// Judges the points in the order in which the lawns were done, as they are after the last of them.
pub fn verdict(points: &[Point]) -> Verdict {
    if points.is_empty() {
        return Verdict::Empty;
    }
    let zs: Vec<f64> = points.iter().map(Point::z).collect();
    // A single lawn far out is set aside: alone it shows no drift, and it must not make one of those around it.
    let off = zs.iter().rposition(|z| z.abs() > OUT);
    let alone = zs.iter().filter(|z| z.abs() > OUT).count() == 1;
    let judged: Vec<f64> = zs.iter().copied().filter(|z| !alone || z.abs() <= OUT).collect();
    for high in [true, false] {
        let sided: Vec<f64> = judged.iter().map(|z| if high { *z } else { -*z }).collect();
        if moved(&sided) {
            return Verdict::Drifting(high);
        }
    }
    // The last one that is off by itself: those before it have been reported.
    match off {
        Some(place) => Verdict::OneOff(place, zs[place] > 0.0),
        None => Verdict::Steady,
    }
}

/// Whether the last points show that the rate has moved to the positive side.
fn moved(zs: &[f64]) -> bool {
    let last = |count: usize, needed: usize, beyond: f64| {
        zs.len() >= count && zs[zs.len() - count..].iter().filter(|z| **z > beyond).count() >= needed
    };
    last(3, 2, 2.0) || last(5, 4, 1.0) || last(8, 8, 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(zs: &[f64]) -> Vec<Point> {
        zs.iter().map(|z| Point { share: 1.0 + z * 0.04, sigma: 0.04 }).collect()
    }

    #[test]
    fn a_lawns_limits_come_from_calibration_area_and_gauge() {
        let known = Calibration { rate: 2.0, rate_share: 0.03, area_share: 0.04, gauge: 0.0 };
        let made = point(&Lawn { area: 10.0, volume: 20.0 }, &known);
        assert!((made.share - 1.0).abs() < 1e-12 && (made.sigma - 0.05).abs() < 1e-12, "3-4-5: {made:?}");
        let coarse = point(&Lawn { area: 10.0, volume: 20.0 }, &Calibration { gauge: 6.0_f64.sqrt(), ..known });
        assert!((coarse.sigma - (0.0025_f64 + 0.0025).sqrt()).abs() < 1e-12, "{coarse:?}");
    }

    #[test]
    fn each_rule_of_the_handbook_is_found_and_nothing_short_of_it() {
        assert_eq!(verdict(&[]), Verdict::Empty);
        assert_eq!(verdict(&points(&[0.5, -1.9, 2.9, -0.2])), Verdict::Steady);
        assert_eq!(verdict(&points(&[0.1, 3.2, 0.2])), Verdict::OneOff(1, true));
        assert_eq!(verdict(&points(&[0.1, -3.2])), Verdict::OneOff(1, false));
        let around = [1.2, 0.4, 1.3, 6.0, 1.1];
        assert_eq!(verdict(&points(&around)), Verdict::OneOff(3, true), "a lawn far out makes no drift of the others");
        assert_eq!(verdict(&points(&[0.2, 3.4, 3.2])), Verdict::Drifting(true), "two of them do");
        assert_eq!(verdict(&points(&[2.1, 0.0, 2.2])), Verdict::Drifting(true));
        assert_eq!(verdict(&points(&[-1.1, -1.2, 0.3, -1.3, -1.4])), Verdict::Drifting(false));
        assert_eq!(verdict(&points(&[0.1, 0.2, 0.3, 0.4, 0.1, 0.2, 0.3, 0.4])), Verdict::Drifting(true));
        assert_eq!(verdict(&points(&[0.1, 0.2, 0.3, -0.4, 0.1, 0.2, 0.3, 0.4])), Verdict::Steady);
    }
}
