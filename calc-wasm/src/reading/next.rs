//! What is worked out next, with what was read.

use super::{Reading, Thing};
use crate::calculation::label;
use crate::calculators::catch_test::CATCH;
use crate::calculators::ground_speed::RUN;
use crate::calculators::known_area::PLOT;
use crate::calculators::{catch_test, ground_speed, known_area, pressure_flow, shared, tank_mix, usage_check};
use crate::quantity::typed::Typed;
use crate::question::chance::Chance;
use crate::question::offered::Offered;
use crate::question::topic::Topic;
use crate::question::{Ask, Question};
use crate::text::figures::{exact, to_figures, without_noise};
use crate::working::record::System;

/// Figures of a reading that are worked with.
const FIGURES: usize = 6;

/// What a question asks for: a result, by the module of the calculator that declares it.
macro_rules! asks {
    ($calculator:ident::$result:ident, $rows:expr) => {
        [const { $calculator::CALCULATOR.id }, &$calculator::$result.flat($rows)].join("/")
    };
}

/// The question that follows a reading: `typed` is what was read, `text` its sentence with places for the inputs.
pub fn next(reading: &Reading, typed: &Typed, text: &str) -> Question {
    let mut chance = Chance::new(u64::from(reading.seed) ^ 0x6e65_7874);
    let us = reading.system == System::Us;
    let of = |us_text: &'static str, metric: &'static str| if us { us_text } else { metric };
    let read =
        format!("{} {}", exact(to_figures(without_noise(typed.si / typed.unit.size()), FIGURES)), typed.unit.plain());
    let one = |chance: &mut Chance, all: &[&str]| all[chance.below(all.len())].to_owned();
    let (asks, topic, answer_in, given): (String, Topic, &str, Vec<(String, String)>) = match reading.thing {
        Thing::Jug => (
            asks!(catch_test::NOZZLE_OUTPUT, []),
            Topic::Output,
            of("gal/min", "L/min"),
            vec![
                (CATCH.flat(1, &catch_test::VOLUME), read),
                (CATCH.flat(1, &catch_test::TIME), one(&mut chance, &["15 s", "20 s", "30 s"])),
            ],
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
                asks!(usage_check::TRUE_RATE, []),
                Topic::Rate,
                of("gal/1000 ft2", "L/100 m2"),
                vec![
                    (usage_check::AREA.name().to_owned(), format!("{} {}", exact(area), of("ft2", "m2"))),
                    (shared::APPLICATION_RATE.name().to_owned(), of("2 gal/1000 ft2", "8 L/100 m2").to_owned()),
                    (
                        usage_check::TANK_BEFORE.name().to_owned(),
                        format!("{} {}", exact(full), reading.scale.unit.plain()),
                    ),
                    (usage_check::TANK_AFTER.name().to_owned(), read),
                ],
            )
        }
        Thing::Watch => (
            asks!(ground_speed::SPEED, []),
            Topic::Timing,
            of("mph", "km/h"),
            vec![
                (
                    RUN.flat(1, &ground_speed::DISTANCE),
                    one(&mut chance, if us { &["100 ft", "150 ft"] } else { &["30 m", "50 m"] }),
                ),
                (RUN.flat(1, &ground_speed::TIME), read),
            ],
        ),
        Thing::Tape => (
            asks!(known_area::RATE, []),
            Topic::Rate,
            of("gal/1000 ft2", "L/100 m2"),
            vec![
                (
                    PLOT.flat(1, &known_area::LENGTH),
                    one(&mut chance, if us { &["12 ft", "15 ft", "18 ft", "20 ft"] } else { &["4 m", "5 m", "6 m"] }),
                ),
                (PLOT.flat(1, &known_area::WIDTH), read),
                (
                    PLOT.flat(1, &known_area::CAUGHT),
                    one(
                        &mut chance,
                        if us { &["16 fl oz", "20 fl oz", "24 fl oz"] } else { &["600 mL", "700 mL", "800 mL"] },
                    ),
                ),
            ],
        ),
        Thing::Pressure => (
            asks!(pressure_flow::NEW_FLOW, []),
            Topic::Adjust,
            of("gal/min", "L/min"),
            vec![
                (
                    pressure_flow::FLOW.name().to_owned(),
                    one(
                        &mut chance,
                        if us {
                            &["0.3 gal/min", "0.4 gal/min", "0.5 gal/min"]
                        } else {
                            &["1.2 L/min", "1.6 L/min", "2 L/min"]
                        },
                    ),
                ),
                (pressure_flow::PRESSURE.name().to_owned(), of("40 psi", "3 bar").to_owned()),
                (pressure_flow::NEW_PRESSURE.name().to_owned(), read),
            ],
        ),
        Thing::Label => (
            asks!(tank_mix::AMOUNT, [1]),
            Topic::Tank,
            of("fl oz", "mL"),
            vec![
                (
                    tank_mix::TANK.name().to_owned(),
                    one(&mut chance, if us { &["50 gal", "100 gal", "200 gal"] } else { &["200 L", "400 L", "600 L"] }),
                ),
                (shared::APPLICATION_RATE.name().to_owned(), of("2 gal/1000 ft2", "8 L/100 m2").to_owned()),
                (tank_mix::PRODUCT.flat(1, &label::RATE), read),
            ],
        ),
    };
    Question {
        id: format!("reading-{}", reading.thing.id()),
        kind: Ask::Number,
        topic: Some(topic),
        text: text.to_owned(),
        asks,
        given,
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
