//! Choices made from the mistakes, steps answered one by one, and slips to find: over every template there is.

#[path = "../banks/mod.rs"]
mod banks;
mod choice_items;
mod exam_choices;
mod sittings;
#[path = "../banks/surplus.rs"]
mod surplus;

use tankside_calc::mistakes;
use tankside_calc::page::steps::faded;
use tankside_calc::page::worked::{some_steps, step_line};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::quantity::unit::{Unit, unit};
use tankside_calc::question::Question;
use tankside_calc::question::options::{APART, OFFERED, choices};
use tankside_calc::question::score::{Answer, Verdict, number};
use tankside_calc::question::steps::{StepVerdict, judge_part, judge_step, slipped, why};
use tankside_calc::question::template::Posed;
use tankside_calc::words::{factors, say};
use tankside_calc::working::record::{Expr, Step};

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
    assert!(offered * 5 > 2 * all, "{offered} of {all} draws have choices");
}

#[test]
fn wrong_choices_are_within_reason_and_no_mistake_is_left_out_while_there_is_room() {
    each(|question, seed, posed| {
        let texts = choices(&posed, seed);
        let kind = Kind::of(&posed.unit).unwrap_or(Kind::Number);
        let right = say::quantity(posed.si, &posed.unit, banks::phrases());
        let values: Vec<f64> = texts.iter().map(|text| typed::read(text, kind, None).expect("a quantity").si).collect();
        let percent = posed.unit.has(unit!("%")) && posed.si.abs() <= 1.0;
        for (text, si) in texts.iter().zip(&values) {
            let times = si / posed.si;
            let off = times.max(1.0 / times);
            // What is read is rounded to the figures shown.
            assert!(off < if kind == Kind::Speed { 4.1 } else { 46.0 }, "{}: {text} for {right}", question.id);
            assert!(!percent || si.abs() < 1.006, "{}: {text} for {right}", question.id);
        }
        if !(1..OFFERED).contains(&texts.len()) {
            return;
        }
        for mistake in mistakes::all() {
            let Some(si) = mistake.leads_to(&posed.right_working(), &posed.unit) else { continue };
            let (times, text) = (si / posed.si, say::quantity(si, &posed.unit, banks::phrases()));
            let most = if kind == Kind::Speed { 4.0 } else { 45.0 };
            let likely = (1.0 / most..=most).contains(&times) && (!percent || si.abs() <= 1.0);
            let told = matches!(number(&posed, &Answer::Text(text)), Verdict::Wrong(Some(_)));
            let near = |other: &f64| (si - other).abs() < (APART + 0.01) * si.abs().max(other.abs());
            assert!(!likely || !told || values.iter().any(near), "{}: {} is left out", question.id, mistake.id);
        }
    });
}

#[test]
fn the_steps_of_a_problem_are_those_of_its_review_and_end_in_the_answer_in_its_unit() {
    let (mut all, mut fewer) = (0, 0);
    each(|question, seed, posed| {
        all += 1;
        let working = posed.working();
        let last = working.last().unwrap_or_else(|| panic!("{}: no step", question.id));
        assert_eq!((last.si, last.unit), (posed.si, posed.unit), "{}: it ends in what is asked", question.id);
        fewer += u32::from(working.len() < posed.worked.steps.len());
        for (place, step) in working.iter().enumerate() {
            let later = working[place + 1..].iter();
            // A step is known by its value and unit where a later one takes it.
            let used = |other: &Step| leaves(&other.expr).iter().any(|leaf| (leaf.0, leaf.1) == (step.si, step.unit));
            assert!(
                place + 1 == working.len() || later.into_iter().any(used),
                "{}: {} is for nothing",
                question.id,
                step.id
            );
        }
        // The page shows these lines and no others, with nothing, one or two of them left blank.
        let shown = |step: &Step| step_line(&posed.worked, step, banks::phrases());
        let review = some_steps(&posed.worked, &working, banks::phrases());
        for blanks in 0..3 {
            let html = faded(question, &posed, blanks, seed, banks::phrases());
            assert_eq!(html.matches("<li class=\"tk-step").count(), working.len(), "{}", question.id);
            for step in &working[..working.len().saturating_sub(blanks)] {
                let line = shown(step);
                assert!(html.contains(&line) && review.contains(&line), "{}: {line}", question.id);
            }
        }
        let answers: Vec<String> = working.iter().map(|step| say::step_value(step, banks::phrases())).collect();
        let right = judge_part(&posed, &format!("steps-{}", working.len()), &answers.join("; "));
        assert_eq!(right, Some(true), "{}: {answers:?}", question.id);
    });
    assert!(all > 1_000 && fewer > 200, "{fewer} of {all}");
}

/// Value and unit of everything that a step is worked from.
fn leaves(expr: &Expr) -> Vec<(f64, Unit)> {
    match expr {
        Expr::Leaf { si, unit, .. } => vec![(*si, *unit)],
        Expr::Add(a, b) | Expr::Sub(a, b) | Expr::Mul(a, b) | Expr::Div(a, b) | Expr::Least(a, b) => {
            [leaves(a), leaves(b)].concat()
        }
        Expr::Root(a) | Expr::Ceil(a) | Expr::Floor(a) => leaves(a),
    }
}

#[test]
fn pounds_are_asked_for_and_the_last_step_is_in_pounds() {
    let question =
        banks::numbers().find(|question| question.text.contains("How many pounds of the powder do you order"));
    let question = question.expect("the powder is ordered in pounds");
    let posed = question.draw(question.draw_at(37)).expect("drawn");
    let last = posed.working().pop().expect("a step");
    assert!(say::step_value(&last, banks::phrases()).ends_with(" lb"), "{last:?}");
}

#[test]
fn every_step_takes_its_own_value_and_asks_for_a_unit_that_is_missing() {
    each(|question, _, posed| {
        let working = posed.working();
        for (index, step) in working.iter().enumerate() {
            let text = say::step_value(step, banks::phrases());
            assert_eq!(judge_step(&working, index, &text), StepVerdict::Right, "{}: {text}", question.id);
            assert!(matches!(judge_step(&working, index, " "), StepVerdict::Ask(_)));
            if step.si == 0.0 {
                continue;
            }
            let twice = format!("{} {}", 2.1 * step.si / step.unit.size(), step.unit.plain());
            assert_eq!(judge_step(&working, index, &twice), StepVerdict::Wrong, "{}: {twice}", question.id);
        }
        assert!(matches!(judge_step(&working, 999, "1 gal"), StepVerdict::Ask(_)));
    });
}

#[test]
fn a_slip_is_one_wrong_step_that_leads_to_what_the_mistake_leads_to() {
    let (mut found, mut all) = (0, 0);
    each(|question, seed, posed| {
        all += 1;
        let Some(slip) = slipped(&posed, seed, None) else { return };
        found += 1;
        let led = slip.worked.si_at(&posed.result).expect("it ends in the result");
        let meant = slip.mistake.leads_to(&posed.right_working(), &posed.unit).expect("the mistake is made here");
        assert!((led - meant).abs() <= 1e-6 * meant.abs(), "{} {}", question.id, slip.mistake.id);
        let working = posed.working();
        assert_eq!(slip.working.len(), working.len(), "{}: the same lines", question.id);
        assert_eq!(slip.working.last().map(|last| (last.si, last.unit)), Some((led, posed.unit)), "{}", question.id);
        for (index, (wrong, right)) in slip.working.iter().zip(&working).enumerate() {
            assert!(index >= slip.step || wrong.si == right.si, "{}: nothing is wrong before the slip", question.id);
        }
        let right = say::step_value(&working[slip.step], banks::phrases());
        assert_eq!(judge_step(&working, slip.step, &right), StepVerdict::Right);
        // 83 fl oz + 272 fl oz is no line in which somebody takes a gallon for 100 fl oz.
        let formula = factors::text(&working[slip.step], banks::phrases());
        let place = format!("{} {}: {formula}", question.id, slip.mistake.id);
        assert!(formula.contains(['×', '÷', '/']) && !formula.contains(['⌈', '⌊']), "{place}");
        if slip.mistake.id.starts_with("128-") || slip.mistake.id.contains("quart-for") {
            assert!(formula.contains("128"), "{place}");
        }
    });
    assert!(found * 2 > all, "a slip can be shown in {found} of {all} draws");
}

#[test]
fn why_offers_three_purposes_and_the_right_one_is_that_of_the_step() {
    let mut asked = 0;
    each(|_, seed, posed| {
        let working = posed.working();
        let shown = &working[..working.len().saturating_sub(seed as usize % 3)];
        let Some((step, right, kinds)) = why(shown, seed) else {
            assert!(shown.iter().all(|step| step.id.ends_with(".squares")), "no reason is asked: {shown:?}");
            return;
        };
        asked += 1;
        assert!(step < shown.len(), "what is left blank is not asked about");
        assert_eq!(kinds.len(), 3);
        let kind = match Kind::of(&shown[step].unit) {
            Some(Kind::MassPerArea) => Some(Kind::VolumePerArea),
            Some(Kind::TimePerArea) => Some(Kind::Time),
            kind => kind,
        };
        assert_eq!(kind, Some(kinds[right]));
        assert!(!shown[step].id.ends_with(".squares"), "squares of lengths are no area of anything");
        for kind in &kinds {
            let key = format!("practice.why.{}", kind.id().trim_start_matches("kind."));
            assert!(banks::phrases().find(&key).is_some(), "{key} has no words");
        }
    });
    assert!(asked > 500, "{asked}");
}
