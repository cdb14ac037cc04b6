//! Drills, exams and plans made from every question of the stock and of the demo course.

use crate::banks;
use crate::exam_choices::pool;
use std::collections::{BTreeMap, BTreeSet};
use tankside::course::topic_of;
use tankside_calc::learning::exam::{Blueprint, compose};
use tankside_calc::learning::plan::{DaysOff, Load, plan};
use tankside_calc::learning::schedule::{Event, Standing};
use tankside_calc::learning::session::{DrillItem, session};
use tankside_calc::question::topic::Topic;
use tankside_calc::question::{Ask, Question};

const LENGTH: usize = 12;

fn formula(question: &Question) -> String {
    if question.asks.is_empty() { question.id.clone() } else { question.asks.clone() }
}

fn kinds() -> Vec<DrillItem> {
    let kind = |question: &Question| DrillItem {
        topic: topic_of(question).id().to_owned(),
        formula: formula(question),
        choice: question.kind != Ask::Number,
        standing: None,
        due: 0,
    };
    banks::questions().map(kind).collect()
}

/// Drills on one day by somebody whose every answer is right, or every other wrong.
fn drills(kinds: &mut [DrillItem], count: usize, misses: bool) -> Vec<Vec<usize>> {
    let mut all = Vec::new();
    for sitting in 0..count {
        let slots = session(kinds, LENGTH, 0, sitting as u64 + 7);
        for (at, slot) in slots.iter().enumerate() {
            let kind = &mut kinds[*slot];
            let right = !misses || at % 2 == 0;
            let draw = (sitting * LENGTH + at) as u32;
            let event = Event { day: 0, draw, right, unaided: true, over: false, choice: kind.choice, find: false };
            kind.standing.get_or_insert_with(|| Standing::new(0)).take(event, 0);
            kind.due = kind.standing.as_ref().map_or(0, |standing| standing.due);
        }
        all.push(slots);
    }
    all
}

#[test]
fn the_first_drills_ask_one_of_each_formula_and_each_topic_has_its_turn() {
    for misses in [false, true] {
        let mut kinds = kinds();
        let wanted: BTreeSet<String> =
            kinds.iter().filter(|kind| !kind.choice).map(|kind| kind.formula.clone()).collect();
        let topics: BTreeSet<String> = kinds.iter().map(|kind| kind.topic.clone()).collect();
        // With misses, half of each drill is what was missed.
        let enough = if misses { wanted.len() / 6 + 6 } else { wanted.len() / LENGTH + 4 };
        let asked = drills(&mut kinds, enough, misses);
        let first: BTreeSet<&str> = asked[0].iter().map(|slot| kinds[*slot].topic.as_str()).collect();
        assert_eq!(first.len(), topics.len().min(LENGTH), "{first:?}");
        let met: BTreeSet<String> = asked.iter().flatten().map(|slot| kinds[*slot].formula.clone()).collect();
        let open: Vec<&String> = wanted.difference(&met).collect();
        assert!(open.is_empty(), "{enough} drills leave {open:?} of {} formulas", wanted.len());
        let mut times: BTreeMap<&str, u32> = BTreeMap::new();
        let numbers = asked.iter().flatten().filter(|slot| !kinds[**slot].choice);
        numbers.for_each(|slot| *times.entry(kinds[*slot].formula.as_str()).or_default() += 1);
        let most = times.values().copied().max().unwrap_or(0);
        assert!(misses || most <= 3, "{times:?}");
    }
}

#[test]
fn a_choice_of_any_bank_is_asked_once_in_a_drill_and_is_not_learned_in_a_day() {
    let mut kinds: Vec<DrillItem> = kinds().into_iter().filter(|kind| kind.choice).collect();
    let count = kinds.len();
    assert!(count > 50, "{count}");
    for slots in drills(&mut kinds, count / LENGTH + 2, false) {
        let unique: BTreeSet<usize> = slots.iter().copied().collect();
        assert_eq!(unique.len(), slots.len());
    }
    assert!(kinds.iter().all(|kind| kind.standing.as_ref().is_none_or(|standing| !standing.learned)));
}

#[test]
fn no_question_of_the_banks_is_in_every_exam() {
    let (questions, pool) = pool();
    let weights = Topic::ALL.iter().map(|topic| topic.weight_percent()).collect();
    let blueprint = Blueprint { weights, items: 50, typed: 16 };
    let mut times: BTreeMap<&str, u32> = BTreeMap::new();
    for seed in 0..60 {
        let asked = compose(&pool, &blueprint, seed);
        assert_eq!(asked.len(), 50);
        let unique: BTreeSet<usize> = asked.iter().map(|one| one.item).collect();
        assert_eq!(unique.len(), 50, "no question twice");
        unique.into_iter().for_each(|place| *times.entry(&questions[place].id).or_default() += 1);
    }
    let (most, id) = times.iter().map(|(id, times)| (*times, *id)).max().expect("something is asked");
    assert!(most <= 48, "{id} is in {most} of 60 exams");
}

#[test]
fn a_plan_of_five_weeks_for_all_banks_is_two_drills_a_day_and_has_nearly_every_formula() {
    let kinds: Vec<DrillItem> = kinds()
        .into_iter()
        .map(|kind| DrillItem { formula: if kind.choice { String::new() } else { kind.formula }, ..kind })
        .collect();
    let load = Load { new: 4, questions: 2 * LENGTH as u32, off: DaysOff::default() };
    let plan = plan(&kinds, 0, Some(35), load);
    assert!(plan.days.iter().all(|day| day.questions <= load.questions), "{:?}", plan.days);
    assert!(plan.fits < kinds.len() as u32, "not all of {} kinds fit", kinds.len());
    let (met, all) = plan.formulas;
    assert_eq!(met, plan.fits.min(all), "one of each formula comes first");
    assert!(met * 10 >= all * 9, "{met} of {all} formulas fit");
    let back: Vec<u32> = plan.days.iter().filter(|day| day.day >= 28).map(|day| day.back).collect();
    assert!(back.len() == 7 && back.iter().all(|back| *back <= load.questions), "{back:?}");
}
