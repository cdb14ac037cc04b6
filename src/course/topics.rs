//! What a question is about, where its author does not say.

use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculators::{
    active_ingredient, application_rate, boom_output, carrier_volume, catch_test, day_plan, dilution, ground_speed,
    known_area, lawn_area, nozzle_wear, nutrient, pressure_flow, spreader, swath_timing, tank_mix, unit_conversion,
    usage_check,
};
use tankside_calc::question::Question;
use tankside_calc::question::topic::Topic;

/// The topic of a question: its author's, or that of the calculator it is worked with; a choice is about the label.
pub fn topic_of(question: &Question) -> Topic {
    question.topic.or_else(|| of_calculator(question.calculator_id())).unwrap_or(Topic::Label)
}

/// The topic of a calculator's questions.
pub(crate) fn of_calculator(id: &str) -> Option<Topic> {
    TOPICS.iter().find(|(calculator, _)| calculator.id == id).map(|(_, topic)| *topic)
}

const TOPICS: &[(&Calculator, Topic)] = &[
    (&unit_conversion::CALCULATOR, Topic::Units),
    (&lawn_area::CALCULATOR, Topic::Area),
    (&swath_timing::CALCULATOR, Topic::Timing),
    (&ground_speed::CALCULATOR, Topic::Timing),
    (&catch_test::CALCULATOR, Topic::Output),
    (&application_rate::CALCULATOR, Topic::Rate),
    (&boom_output::CALCULATOR, Topic::Rate),
    (&known_area::CALCULATOR, Topic::Rate),
    (&usage_check::CALCULATOR, Topic::Rate),
    (&tank_mix::CALCULATOR, Topic::Tank),
    (&day_plan::CALCULATOR, Topic::Tank),
    (&pressure_flow::CALCULATOR, Topic::Adjust),
    (&nozzle_wear::CALCULATOR, Topic::Adjust),
    (&active_ingredient::CALCULATOR, Topic::Active),
    (&nutrient::CALCULATOR, Topic::Active),
    (&spreader::CALCULATOR, Topic::Active),
    (&dilution::CALCULATOR, Topic::Active),
    (&carrier_volume::CALCULATOR, Topic::Carrier),
];

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
