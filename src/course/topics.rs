//! What a question is about, where its author does not say.

use tankside_calc::question::Question;
use tankside_calc::question::topic::Topic;

/// The topic of a question: its author's, or that of the calculator it is worked with.
pub fn topic_of(question: &Question) -> Topic {
    question.topic.unwrap_or_else(|| match question.asks.split_once('/').map_or("", |(id, _)| id) {
        "unit-conversion" => Topic::Units,
        "lawn-area" => Topic::Area,
        "swath-timing" | "ground-speed" => Topic::Timing,
        "catch-test" => Topic::Output,
        "application-rate" | "boom-output" | "known-area" | "usage-check" => Topic::Rate,
        "tank-mix" | "day-plan" => Topic::Tank,
        "pressure-flow" | "nozzle-wear" => Topic::Adjust,
        "active-ingredient" | "nutrient" | "spreader" | "dilution" => Topic::Active,
        "carrier-volume" => Topic::Carrier,
        _ => Topic::Label,
    })
}
