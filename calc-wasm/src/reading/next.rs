//! What is worked out next, with what was read.

use super::{Reading, Thing};
use crate::quantity::typed::Typed;
use crate::question::chance::Chance;
use crate::question::offered::Offered;
use crate::question::topic::Topic;
use crate::question::{Ask, Question};
use crate::text::figures::{exact, to_figures, without_noise};
use crate::working::record::System;

/// Figures of a reading that are worked with.
const FIGURES: usize = 6;

/// The question that follows a reading: `typed` is what was read, `text` its sentence with places for the inputs.
pub fn next(reading: &Reading, typed: &Typed, text: &str) -> Question {
    let mut chance = Chance::new(u64::from(reading.seed) ^ 0x6e65_7874);
    let us = reading.system == System::Us;
    let of = |us_text: &'static str, metric: &'static str| if us { us_text } else { metric };
    let read =
        format!("{} {}", exact(to_figures(without_noise(typed.si / typed.unit.size()), FIGURES)), typed.unit.plain());
    let one = |chance: &mut Chance, all: &[&str]| all[chance.below(all.len())].to_owned();
    let (asks, topic, answer_in, given): (&str, Topic, &str, Vec<(&str, String)>) = match reading.thing {
        Thing::Jug => (
            "catch-test/nozzle-output",
            Topic::Output,
            of("gal/min", "L/min"),
            vec![("catch.1.volume", read), ("catch.1.time", one(&mut chance, &["15 s", "20 s", "30 s"]))],
        ),
        Thing::Gauge => {
            let full = reading.scale.at(f64::from(reading.scale.count));
            let used = full - reading.nearest();
            // A lawn of such a size that its rate comes out as rates do.
            let area = if us {
                500.0 * (used + chance.below(3) as f64)
            } else {
                100.0 * (used / 8.0 + 1.0 + chance.below(2) as f64)
            };
            let area = to_figures(area, 2);
            (
                "usage-check/true-rate",
                Topic::Rate,
                of("gal/1000 ft2", "L/100 m2"),
                vec![
                    ("area", format!("{} {}", exact(area), of("ft2", "m2"))),
                    ("application-rate", of("2 gal/1000 ft2", "8 L/100 m2").to_owned()),
                    ("tank-before", format!("{} {}", exact(full), reading.scale.unit.plain())),
                    ("tank-after", read),
                ],
            )
        }
        Thing::Watch => (
            "ground-speed/speed",
            Topic::Timing,
            of("mph", "km/h"),
            vec![
                ("run.1.distance", one(&mut chance, if us { &["100 ft", "150 ft"] } else { &["30 m", "50 m"] })),
                ("run.1.time", read),
            ],
        ),
        Thing::Tape => (
            "known-area/application-rate",
            Topic::Rate,
            of("gal/1000 ft2", "L/100 m2"),
            vec![
                (
                    "plot.1.length",
                    one(&mut chance, if us { &["12 ft", "15 ft", "18 ft", "20 ft"] } else { &["4 m", "5 m", "6 m"] }),
                ),
                ("plot.1.width", read),
                (
                    "plot.1.volume",
                    one(
                        &mut chance,
                        if us { &["16 fl oz", "20 fl oz", "24 fl oz"] } else { &["600 mL", "700 mL", "800 mL"] },
                    ),
                ),
            ],
        ),
        Thing::Pressure => (
            "pressure-flow/new-flow",
            Topic::Adjust,
            of("gal/min", "L/min"),
            vec![
                (
                    "flow",
                    one(
                        &mut chance,
                        if us {
                            &["0.3 gal/min", "0.4 gal/min", "0.5 gal/min"]
                        } else {
                            &["1.2 L/min", "1.6 L/min", "2 L/min"]
                        },
                    ),
                ),
                ("pressure", of("40 psi", "3 bar").to_owned()),
                ("new-pressure", read),
            ],
        ),
        Thing::Label => (
            "tank-mix/product-1-amount",
            Topic::Tank,
            of("fl oz", "mL"),
            vec![
                (
                    "tank",
                    one(&mut chance, if us { &["50 gal", "100 gal", "200 gal"] } else { &["200 L", "400 L", "600 L"] }),
                ),
                ("application-rate", of("2 gal/1000 ft2", "8 L/100 m2").to_owned()),
                ("product.1.rate", read),
            ],
        ),
    };
    Question {
        id: format!("reading-{}", reading.thing.id()),
        kind: Ask::Number,
        topic: Some(topic),
        text: text.to_owned(),
        asks: asks.to_owned(),
        given: given.into_iter().map(|(name, text)| (name.to_owned(), text)).collect(),
        beside: Vec::new(),
        answer_in: answer_in.to_owned(),
        tolerance: String::new(),
        because: String::new(),
        parts: Vec::new(),
        options: Vec::new(),
        draw_version: 1,
        offered: Offered::of(1, |_| true),
    }
}
