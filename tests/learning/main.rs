//! Choices made from the mistakes, steps answered one by one, and slips to find: over every template there is.

#[path = "../banks/mod.rs"]
mod banks;

use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::question::Question;
use tankside_calc::question::options::{APART, OFFERED, choices};
use tankside_calc::question::score::{Answer, Verdict, number};
use tankside_calc::question::steps::{StepVerdict, judge_step, leading, slipped, why};
use tankside_calc::question::template::Posed;
use tankside_calc::words::say;

const SEEDS: u32 = 8;

fn each(mut look: impl FnMut(&Question, u32, Posed)) {
    for question in banks::numbers() {
        for seed in 1..=SEEDS {
            let draw = question.draw_at(seed * 37);
            if let Ok(posed) = question.draw(draw) {
                look(question, seed, posed);
            }
        }
    }
}

#[test]
fn a_choice_is_right_once_and_the_others_are_wrong_and_far_enough_away() {
    let (mut offered, mut all) = (0, 0);
    each(|question, seed, posed| {
        all += 1;
        let texts = choices(&posed, seed);
        assert_eq!(texts, choices(&posed, seed), "the same seed gives the same choices");
        if texts.is_empty() {
            return;
        }
        offered += 1;
        assert!((3..=OFFERED).contains(&texts.len()));
        let kind = Kind::of(&posed.unit).unwrap_or(Kind::Number);
        let values: Vec<f64> = texts
            .iter()
            .map(|text| {
                typed::read(text, kind, None).unwrap_or_else(|fault| panic!("{}: {text}: {fault:?}", question.id)).si
            })
            .collect();
        let right =
            texts.iter().filter(|text| matches!(number(&posed, &Answer::Text((*text).clone())), Verdict::Right));
        assert_eq!(right.count(), 1, "{}: {texts:?}", question.id);
        for (place, one) in values.iter().enumerate() {
            for other in &values[..place] {
                // What is read is rounded to the figures shown.
                assert!(
                    (one - other).abs() > (APART - 0.01) * one.abs().max(other.abs()),
                    "{}: {texts:?}",
                    question.id
                );
            }
        }
    });
    assert!(offered * 2 > all, "{offered} of {all} draws have choices");
}

#[test]
fn the_right_choice_is_in_every_place_and_no_more_often_the_longest_than_others() {
    let (mut places, mut longest, mut expected, mut four) = ([0_u32; OFFERED], 0.0, 0.0, 0_u32);
    each(|_, seed, posed| {
        let texts = choices(&posed, seed);
        if texts.len() != OFFERED {
            return;
        }
        four += 1;
        let right = say::quantity(posed.si, &posed.unit, banks::phrases());
        let place = texts.iter().position(|text| *text == right).expect("the right one is offered");
        places[place] += 1;
        let most = texts.iter().map(|text| text.chars().count()).max().unwrap_or(0);
        let sharing = texts.iter().filter(|text| text.chars().count() == most).count() as f64;
        expected += 1.0 / OFFERED as f64;
        if right.chars().count() == most {
            longest += 1.0 / sharing;
        }
    });
    assert!(four > 300, "{four}");
    for count in places {
        let share = f64::from(count) * OFFERED as f64 / f64::from(four);
        assert!((0.7..1.3).contains(&share), "{places:?}");
    }
    let ratio = longest / expected;
    assert!((0.6..1.4).contains(&ratio), "the right one is the longest {ratio:.2} times as often as by chance");
}

#[test]
fn every_step_takes_its_own_value_and_asks_for_a_unit_that_is_missing() {
    each(|question, _, posed| {
        for (index, step) in posed.worked.steps.iter().enumerate() {
            let text = say::step_value(step, banks::phrases());
            assert_eq!(judge_step(&posed.worked, index, &text), StepVerdict::Right, "{}: {text}", question.id);
            assert!(matches!(judge_step(&posed.worked, index, " "), StepVerdict::Ask(_)));
            if step.si == 0.0 {
                continue;
            }
            let twice = format!("{} {}", 2.1 * step.si / step.unit.size(), step.unit.plain());
            assert_eq!(judge_step(&posed.worked, index, &twice), StepVerdict::Wrong, "{}: {twice}", question.id);
        }
        assert!(matches!(judge_step(&posed.worked, 999, "1 gal"), StepVerdict::Ask(_)));
    });
}

#[test]
fn a_slip_is_one_wrong_step_that_leads_to_what_the_mistake_leads_to() {
    let (mut found, mut all) = (0, 0);
    each(|question, seed, posed| {
        all += 1;
        let Some(slip) = slipped(&posed, seed) else { return };
        found += 1;
        let led = slip.worked.si_at(&posed.result).expect("it ends in the result");
        let meant = slip.mistake.leads_to(&posed.right_working(), &posed.unit).expect("the mistake is made here");
        assert!((led - meant).abs() <= 1e-6 * meant.abs(), "{} {}", question.id, slip.mistake.id);
        for (index, (wrong, right)) in slip.worked.steps.iter().zip(&posed.worked.steps).enumerate() {
            assert!(index >= slip.step || wrong.si == right.si, "{}: nothing is wrong before the slip", question.id);
        }
        let right = say::step_value(&posed.worked.steps[slip.step], banks::phrases());
        assert_eq!(judge_step(&posed.worked, slip.step, &right), StepVerdict::Right);
    });
    assert!(found * 2 > all, "a slip can be shown in {found} of {all} draws");
}

#[test]
fn why_offers_three_purposes_and_the_right_one_is_that_of_the_step() {
    let mut asked = 0;
    each(|_, seed, posed| {
        let shown = leading(&posed).saturating_sub(seed as usize % 3);
        let Some((step, right, kinds)) = why(&posed, shown, seed) else { return };
        asked += 1;
        assert!(step < shown, "what is left blank is not asked about");
        assert_eq!(kinds.len(), 3);
        assert_eq!(Kind::of(&posed.worked.steps[step].unit), Some(kinds[right]));
        for kind in &kinds {
            let key = format!("practice.why.{}", kind.id().trim_start_matches("kind."));
            assert!(banks::phrases().find(&key).is_some(), "{key} has no words");
        }
    });
    assert!(asked > 500, "{asked}");
}
