//! Draws day's logs and prints what the core makes of each, one JSON object per line, for the check against libraries.

use tankside_calc::question::chance::Chance;
use tankside_calc::uncertainty::chart::{Calibration, Lawn, Point, Verdict, point, verdict};

fn main() {
    let mut chance = Chance::new(2026);
    let mut unit = move || (chance.bits() >> 11) as f64 / (1_u64 << 53) as f64;
    for _ in 0..400 {
        let known = Calibration {
            rate: 1.0 + unit() * 3.0,
            rate_share: 0.005 + unit() * 0.03,
            area_share: 0.005 + unit() * 0.03,
            gauge: unit(),
        };
        let shift = 1.0 + (unit() - 0.5) * 0.2;
        let lawns: Vec<Lawn> = (0..1 + (unit() * 12.0) as usize)
            .map(|_| {
                let area = 2.0 + unit() * 30.0;
                let scatter = if unit() < 0.05 { 0.6 + unit() } else { 0.94 + unit() * 0.12 };
                Lawn { area, volume: area * known.rate * shift * scatter }
            })
            .collect();
        let points: Vec<Point> = lawns.iter().map(|lawn| point(lawn, &known)).collect();
        let said = match verdict(&points) {
            Verdict::Empty => "empty".to_owned(),
            Verdict::Steady => "steady".to_owned(),
            Verdict::Drifting(high) => format!("drifting {high}"),
            Verdict::OneOff(place, high) => format!("one-off {place} {high}"),
        };
        let lawns: Vec<String> = lawns.iter().map(|lawn| format!("[{:?},{:?}]", lawn.area, lawn.volume)).collect();
        let points: Vec<String> = points.iter().map(|point| format!("[{:?},{:?}]", point.share, point.sigma)).collect();
        println!(
            "{{\"rate\":{:?},\"rate_share\":{:?},\"area_share\":{:?},\"gauge\":{:?},\"lawns\":[{}],\"points\":[{}],\"said\":\"{said}\"}}",
            known.rate,
            known.rate_share,
            known.area_share,
            known.gauge,
            lawns.join(","),
            points.join(",")
        );
    }
}
