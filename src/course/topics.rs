//! What a question is about, where its author does not say.

use tankside_calc::question::Question;
use tankside_calc::question::topic::Topic;

/// The topic of a question: its author's, or that of the calculator it is worked with; a choice is about the label.
pub fn topic_of(question: &Question) -> Topic {
    let calculator = question.asks.split_once('/').map_or("", |(id, _)| id);
    question.topic.or_else(|| of_calculator(calculator)).unwrap_or(Topic::Label)
}

/// The topic of a calculator's questions.
pub(crate) fn of_calculator(id: &str) -> Option<Topic> {
    Some(match id {
        "unit-conversion" => Topic::Units,
        "lawn-area" => Topic::Area,
        "swath-timing" | "ground-speed" => Topic::Timing,
        "catch-test" => Topic::Output,
        "application-rate" | "boom-output" | "known-area" | "usage-check" => Topic::Rate,
        "tank-mix" | "day-plan" => Topic::Tank,
        "pressure-flow" | "nozzle-wear" => Topic::Adjust,
        "active-ingredient" | "nutrient" | "spreader" | "dilution" => Topic::Active,
        "carrier-volume" => Topic::Carrier,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use tankside_calc::calculators::registry::CALCULATORS;

    #[test]
    fn every_calculator_has_its_topic() {
        for calculator in CALCULATORS {
            assert!(of_calculator(calculator.id).is_some(), "{} has no topic", calculator.id);
        }
    }
}
