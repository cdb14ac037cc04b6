//! The stock banks as a whole: questions enough to drill on, of every topic by its weight, with numbers that differ,
//! with data that the working does not need, and with explanations.

use crate::surplus::has_surplus;
use crate::{phrases, stock, stock_questions};
use std::collections::{BTreeMap, BTreeSet};
use tankside_calc::question::template::{Posed, TemplateFault};
use tankside_calc::question::topic::Topic;
use tankside_calc::question::{Ask, Question};

/// Number templates that the stock banks have at least.
const TEMPLATES: usize = 220;
/// Texts that a template has at least: enough that the memory of an answer does not help.
const TEXTS: usize = 30;
/// Seeds after which a text that has not come up is not counted.
const SEEDS: u32 = 400;

fn posed(question: &Question, seed: u32) -> Posed {
    question
        .draw(question.draw_at(seed))
        .unwrap_or_else(|fault: TemplateFault| panic!("{} at {seed}: {fault:?}", question.id))
}

#[test]
fn the_stock_banks_have_enough_number_templates_of_every_topic_by_its_weight() {
    let mut by_topic: BTreeMap<Topic, usize> = BTreeMap::new();
    for question in stock() {
        let topic = question.topic.unwrap_or_else(|| panic!("{} names no topic", question.id));
        *by_topic.entry(topic).or_default() += 1;
    }
    println!("{} templates: {by_topic:?}", stock().len());
    assert!(stock().len() >= TEMPLATES, "{} templates", stock().len());
    for topic in Topic::ALL {
        let there = by_topic.get(topic).copied().unwrap_or_default();
        let share = there as f64 * 100.0 / stock().len() as f64;
        let weight = f64::from(topic.weight_percent());
        assert!(
            (share - weight).abs() <= 1.0,
            "{topic:?}: {there} templates are {share:.1} %, and it weighs {weight} %"
        );
    }
}

#[test]
fn every_template_has_at_least_thirty_texts() {
    let mut few = Vec::new();
    for question in stock() {
        let mut texts = BTreeSet::new();
        for seed in 1..=SEEDS {
            texts.insert(question.text_for(&posed(question, seed), phrases()));
            if texts.len() >= TEXTS {
                break;
            }
        }
        if texts.len() < TEXTS {
            few.push(format!("{}: {}", question.id, texts.len()));
        }
    }
    assert!(few.is_empty(), "{few:#?}");
}

#[test]
fn a_third_of_the_templates_give_more_than_the_working_needs() {
    let with: Vec<&str> = stock().iter().filter(|question| has_surplus(question)).map(|one| one.id.as_str()).collect();
    println!("{} of {} with surplus data", with.len(), stock().len());
    assert!(with.len() * 3 >= stock().len(), "{} of {}: {with:?}", with.len(), stock().len());
}

#[test]
fn no_two_templates_read_alike() {
    let mut seen: BTreeMap<String, &str> = BTreeMap::new();
    for question in stock() {
        let words: String = question.text.chars().filter(|letter| letter.is_alphabetic()).collect();
        if let Some(other) = seen.insert(words.to_lowercase(), &question.id) {
            panic!("{} and {other} have the same words", question.id);
        }
    }
}
/// Templates in which a limit of the label decides, against what somebody is used to, ordered or planned.
const LIMITS: &[&str] = &[
    "active-ingredient-visits-in-a-year",
    "active-ingredient-visits-still-open",
    "active-ingredient-yearly-active",
    "boom-output-fastest-for-the-label",
    "carrier-volume-strongest-allowed",
    "day-plan-load-at-the-limit",
    "dilution-spot-spray-limit",
    "nutrient-nitrogen-limit",
    "spreader-spreader-at-the-limit",
    "tank-mix-acre-limit-in-a-tank",
    "tank-mix-least-water",
    "tank-mix-least-water-in-acres",
    "tank-mix-most-in-a-tank",
];

#[test]
fn in_ten_templates_a_limit_bites() {
    assert!(LIMITS.len() >= 10);
    for id in LIMITS {
        let question = stock().iter().find(|one| one.id == *id).unwrap_or_else(|| panic!("{id} is a stock question"));
        // A yearly limit always decides.
        let year = question.given.iter().any(|(name, _)| name == "year-max");
        assert!(year || has_surplus(question), "{id} gives the number that the limit overrules");
    }
}

#[test]
fn there_are_sixty_choices_with_a_topic_and_each_option_explained() {
    let choices: Vec<&Question> = stock_questions().filter(|one| one.kind != Ask::Number).collect();
    assert!(choices.len() >= 60, "{} choices", choices.len());
    for question in &choices {
        assert!(question.topic.is_some(), "{} names no topic", question.id);
        for option in &question.options {
            assert!(!option.because.is_empty(), "{}: “{}” is not explained", question.id, option.text);
        }
    }
}
