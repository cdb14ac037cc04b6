//! What a mistake does on the lawn points the right way: whether the wrong number puts on too much product or too
//! little is worked out by mixing and spraying with it, apart from the core, and held against the sentence that is
//! shown.

use crate::apart::on_all_cores;
use crate::{every, phrases, typed};
use std::collections::BTreeMap;
use tankside_calc::doors::question::score_json;
use tankside_calc::mistakes;
use tankside_calc::question::Question;
use tankside_calc::question::score::{Answer, Verdict, dose, judge};
use tankside_calc::question::template::Posed;

const SEEDS: u32 = 200;

/// What a result is, to somebody who works on with it.
enum Use {
    /// Spray over ground: a tank of 100 is mixed for 100 / rate of ground.
    Spray,
    /// What comes out in a time: the rate of spray is in step with it.
    Output,
    /// Ground, or ground in a time: product is mixed for it.
    Ground,
    /// Time for ground: the rate of spray is in step with it.
    Time,
    /// Time to spray a lawn: product goes on as long.
    Spraying,
    /// Product, which is poured in.
    Product,
    /// Pressure, which the flow follows by its root.
    Pressure,
    /// Water, which thins the product.
    Water,
    /// What a gallon of liquid holds: the more it is believed to hold, the fewer gallons go on.
    Content,
    /// Speed over the ground: believed faster, the spray is believed thinner.
    Speed,
    /// A percentage, or a number that does not decide a dose alone.
    Nothing,
}

fn used(posed: &Posed) -> Use {
    let (calculator, result) = (posed.calculator.id, posed.result.as_str());
    let above = posed.unit.first().map_or("", |part| part.symbol);
    let spray = matches!(above, "gal" | "L");
    match (calculator, result) {
        (
            "application-rate" | "known-area",
            "application-rate" | "rate-per-acre" | "rate-per-100-m2" | "rate-per-ha",
        ) => Use::Spray,
        ("boom-output", "rate" | "rate-per-1000-ft2" | "new-rate") => Use::Spray,
        ("catch-test", "nozzle-output" | "mean-output" | "total-output") => Use::Output,
        ("pressure-flow", "new-flow" | "liquid-flow") => Use::Output,
        ("nozzle-wear", "rated-flow" | "rated-flow-at-test" | "rated-catch") => Use::Output,
        ("lawn-area", "area" | "acres" | "thousands") | ("swath-timing", "area-rate" | "area-covered") => Use::Ground,
        ("tank-mix" | "carrier-volume", "area-treated" | "new-mix-area" | "volume-2-area-per-tank") => Use::Ground,
        ("boom-output", "boom-width") => Use::Ground,
        ("swath-timing", "time-per-area" | "spray-time") => Use::Time,
        ("usage-check", "time-that-fits") => Use::Spraying,
        ("swath-timing", "pace") | ("ground-speed", "speed") => Use::Speed,
        ("pressure-flow", "needed-pressure") => Use::Pressure,
        ("tank-mix", "water-to-add") | ("carrier-volume", "volume-2-water") | ("dilution", "water") => Use::Water,
        ("nutrient", "nutrient-per-gallon") => Use::Content,
        ("spreader", "crossing-target") => Use::Product,
        ("boom-output", "nozzle-flow") | ("nutrient" | "active-ingredient" | "dilution", _) => Use::Product,
        ("tank-mix" | "day-plan" | "carrier-volume", name) if name.contains("product") || name.contains("strength") => {
            Use::Product
        }
        ("unit-conversion", _) if spray && posed.unit.parts().count() == 2 => Use::Spray,
        ("unit-conversion", _) if posed.unit.plain() == "gal" => Use::Nothing,
        ("unit-conversion", _) if ["mph", "mi/h"].contains(&posed.unit.plain().as_str()) => Use::Speed,
        ("unit-conversion", _) if posed.unit.plain().ends_with("/min") => Use::Nothing,
        // A pressure is read or set; which, a conversion does not say.
        ("unit-conversion", _) if ["psi", "bar", "kPa"].contains(&posed.unit.plain().as_str()) => Use::Nothing,
        ("unit-conversion", _) => Use::Product,
        _ => Use::Nothing,
    }
}

/// Product on the lawn with the wrong number, as a share of what there is with the right one.
fn lawn(posed: &Posed, right: f64, wrong: f64) -> Option<f64> {
    let mixed_for_tank = |rate: f64| 100.0 / rate;
    Some(match used(posed) {
        // Product is mixed for the believed rate and goes on at the true one.
        Use::Spray | Use::Output | Use::Time => mixed_for_tank(wrong) / mixed_for_tank(right),
        Use::Ground | Use::Product | Use::Spraying => wrong / right,
        Use::Speed => mixed_for_tank(1.0 / wrong) / mixed_for_tank(1.0 / right),
        Use::Pressure => (wrong / right).sqrt(),
        Use::Water => right / wrong,
        Use::Content => right / wrong,
        Use::Nothing => return None,
    })
}

/// What a sentence claims: more, less, or nothing of the kind.
fn claimed(said: &str, claims: &[&str]) -> bool {
    claims.iter().any(|claim| said.contains(claim))
}

const OVER: &[&str] = &[
    "too much product",
    "times the product",
    "far above any label",
    "too strong",
    "is a violation",
    "more ground than you do",
    "reads low",
    "more than you planned",
    "more than you believe, and",
];
const UNDER: &[&str] = &[
    "too little product",
    "part in",
    "hardly any",
    "falls short",
    "a fifth more",
    "runs out",
    "thinner than",
    "less ground than you do",
    "half the ground",
    "narrower",
    "reads high",
    "sees nothing happen",
    "third of the ground",
    "less than you believe",
];

/// What the feedback on an answer says about the lawn.
fn said(question: &Question, draw: u32, answer: &Answer) -> Option<(String, String)> {
    let Answer::Text(text) = answer else { return None };
    let told = score_json(&question.json().line(), draw, &serde_json::to_string(text).ok()?, phrases());
    let told: serde_json::Value = serde_json::from_str(&told).ok()?;
    let html = told["html"].as_str()?;
    let lawn = html.split("tk-feedback__lawn\">").nth(1).map(|rest| rest.split("</p>").next().unwrap_or_default());
    Some((told["mistake"].as_str()?.to_owned(), lawn.unwrap_or_default().to_owned()))
}

#[test]
fn what_a_mistake_does_on_the_lawn_points_the_way_that_mixing_with_it_does() {
    let all: Vec<&'static Question> = every().iter().collect();
    let told = on_all_cores(&all, |question| {
        let (mut tried, mut faults) = (0_u32, Vec::new());
        for seed in 0..SEEDS.min(question.offered.count()) {
            let draw = question.draw_at(seed);
            let posed = question.draw(draw).expect("it was judged");
            let problem = posed.right_working();
            for mistake in mistakes::all() {
                let Some(wrong) = mistake.leads_to(&problem, &posed.unit) else { continue };
                let Some((named, lawn_said)) = said(question, draw, &typed(wrong, &posed.unit)) else { continue };
                if named != mistake.id {
                    continue;
                }
                let over = claimed(&lawn_said, OVER);
                let under = claimed(&lawn_said, UNDER);
                let right = match lawn(&posed, posed.si, wrong) {
                    Some(dose) => {
                        tried += 1;
                        (!over || dose > 1.0) && (!under || dose < 1.0)
                    }
                    None => true,
                };
                // A percentage: too high looks closer, too low further off.
                let percent = match named.as_str() {
                    "percent-error-on-wrong-base" if posed.si > 0.0 => {
                        lawn_said.contains("should fail") && wrong < posed.si
                    }
                    "percent-error-on-wrong-base" => lawn_said.contains("may pass") && wrong.abs() > posed.si.abs(),
                    "worn-set-compared-with-itself" => wrong < posed.si,
                    // Mix or water itself: too little runs out, too much is left.
                    "water-at-the-old-volume" | "area-divided-by-rate" if wrong > posed.si => {
                        lawn_said.contains("mix is left")
                    }
                    "water-at-the-old-volume" | "area-divided-by-rate" => lawn_said.contains("runs dry"),
                    _ => true,
                };
                if !right || !percent || lawn_said.contains("one part in") && !lawn_said.contains("of the product") {
                    faults.push((
                        (question.id.as_str(), mistake.id),
                        format!("{} for {}: {lawn_said}", wrong / posed.unit.size(), posed.si / posed.unit.size()),
                    ));
                }
            }
        }
        (tried, faults)
    });
    let tried: u32 = told.iter().map(|(tried, _)| tried).sum();
    let faults: BTreeMap<(&str, &str), String> = told.into_iter().flat_map(|(_, faults)| faults).collect();
    println!("{tried} consequences that decide a dose");
    assert!(tried > 2000, "{tried}");
    assert!(faults.is_empty(), "{} pairs: {faults:#?}", faults.len());
}

#[test]
fn a_wrong_number_that_shows_no_mistake_errs_the_way_that_mixing_with_it_does() {
    let all: Vec<&'static Question> = every().iter().filter(|question| question.parts.is_empty()).collect();
    let told = on_all_cores(&all, |question| {
        let (mut tried, mut faults) = (0_u32, Vec::new());
        for seed in 0..SEEDS.min(question.offered.count()) {
            let draw = question.draw_at(seed);
            for factor in [0.37, 0.86, 1.16, 2.13, 3.77] {
                let posed = question.draw(draw).expect("it was judged");
                let answer = typed(posed.si * factor, &posed.unit);
                let Ok((verdict @ Verdict::Wrong(None), Some(posed))) = judge(question, draw, &answer) else {
                    continue;
                };
                let said = dose(&posed, &answer, &verdict);
                let topped_up = posed.worked.inputs.typed_at("left").is_some();
                let agrees = match (said, lawn(&posed, 1.0, factor)) {
                    // What is added to a tank that holds some mix is a share of all.
                    (Some(said), Some(mixed)) if topped_up => (said > 1.0) == (mixed > 1.0),
                    (Some(said), Some(mixed)) => (said / mixed - 1.0).abs() < 0.01,
                    (None, Some(_)) => false,
                    (_, None) => true,
                };
                tried += u32::from(said.is_some());
                if !agrees {
                    faults.push((question.id.as_str(), format!("{answer:?}: {said:?}")));
                }
            }
        }
        (tried, faults)
    });
    let tried: u32 = told.iter().map(|(tried, _)| tried).sum();
    let faults: BTreeMap<&str, String> = told.into_iter().flat_map(|(_, faults)| faults).collect();
    assert!(tried > 4000, "{tried}");
    assert!(faults.is_empty(), "{} questions: {faults:#?}", faults.len());
}

#[test]
fn what_is_told_of_a_result_is_told_by_every_mistake_that_knows() {
    let mut told: BTreeMap<(&str, &str), Vec<mistakes::Dose>> = BTreeMap::new();
    for place in mistakes::all().flat_map(|mistake| mistake.places.iter().copied().flatten()) {
        told.entry((place.calculator, place.result)).or_default().push(place.dose);
    }
    for ((calculator, result), doses) in told {
        let known = doses.iter().find(|dose| **dose != mistakes::Dose::Unknown);
        let calculator = tankside_calc::calculators::registry::calculator(calculator).expect("it is declared");
        let sense = mistakes::sense(calculator, &result.replace(['N', 'M'], "1"));
        assert_eq!(Some(&sense), known.or(Some(&mistakes::Dose::Unknown)), "{}/{result}", calculator.id);
    }
}
