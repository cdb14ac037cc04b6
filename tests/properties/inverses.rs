//! What one problem answers, entered into the problem that asks the other way around, leads back.

use crate::EACH;
use crate::drawn::{Random, Reach, value, written};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::read;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::{Outcome, System};

/// Works a problem, and returns one result as a text that can be entered into another.
fn text_of(id: &str, pairs: &[(&str, &str)], result: &str) -> String {
    let calculator = calculator(id).expect("a calculator");
    let worked = work(calculator, &RawInputs::from_pairs(pairs), System::Us)
        .unwrap_or_else(|faults| panic!("{id} {pairs:?}: {faults:?}"));
    let found = worked.result(result).unwrap_or_else(|| panic!("{id} gives no {result}"));
    let Outcome::Quantity(si, unit) = &found.outcome else { panic!("{result} is a verdict") };
    written(si / unit.size(), unit, found.spec.kind)
}

fn same(before: &str, after: &str, kind: Kind) {
    let si = |text: &str| read(text, kind, None).unwrap_or_else(|fault| panic!("{text}: {fault:?}")).si;
    let (before, after) = (si(before), si(after));
    // 15 figures go from one problem to the next.
    assert!((before - after).abs() <= 1e-11 * before.abs(), "{before}, then {after}");
}

fn drawn_text(id: &str, name: &str, random: &mut Random) -> String {
    let input = calculator(id).expect("a calculator").input(name).expect("an input");
    value(input, Reach::Plausible, random)
}

#[test]
fn any_of_a_booms_four_numbers_comes_back_from_the_other_three() {
    const FOUR: [&str; 4] = ["nozzle-flow", "speed", "spacing", "rate"];
    let boom = calculator("boom-output").expect("a calculator");
    let mut random = Random::new(8);
    let mut back = 0;
    for _ in 0..EACH {
        let given: Vec<(&str, String)> =
            FOUR[..3].iter().map(|name| (*name, drawn_text("boom-output", name, &mut random))).collect();
        let pairs: Vec<(&str, &str)> = given.iter().map(|(name, text)| (*name, text.as_str())).collect();
        let rate = text_of("boom-output", &pairs, "rate");
        for (name, text) in &given {
            let mut others: Vec<(&str, &str)> = pairs.iter().filter(|(other, _)| other != name).copied().collect();
            others.push(("rate", &rate));
            // A rate beyond the input's limits cannot be entered.
            if work(boom, &RawInputs::from_pairs(&others), System::Us).is_ok() {
                let kind = boom.input(name).and_then(|input| input.kind()).expect("a quantity");
                same(text, &text_of("boom-output", &others, name), kind);
                back += 1;
            }
        }
    }
    assert!(back as u64 > EACH, "{back} came back");
}

#[test]
fn a_flow_at_another_pressure_leads_back_to_the_first_and_a_wanted_flow_to_its_pressure() {
    let mut random = Random::new(9);
    for _ in 0..EACH {
        let [flow, pressure, new] =
            ["flow", "pressure", "new-pressure"].map(|name| drawn_text("pressure-flow", name, &mut random));
        let there = [("flow", flow.as_str()), ("pressure", &pressure), ("new-pressure", &new)];
        let new_flow = text_of("pressure-flow", &there, "new-flow");
        let back = [("flow", new_flow.as_str()), ("pressure", &new), ("new-pressure", &pressure)];
        same(&flow, &text_of("pressure-flow", &back, "new-flow"), Kind::Flow);
        let wanted = [("flow", flow.as_str()), ("pressure", &pressure), ("wanted-flow", &new_flow)];
        same(&new, &text_of("pressure-flow", &wanted, "needed-pressure"), Kind::Pressure);
    }
}

#[test]
fn a_rate_of_product_for_a_nutrient_puts_down_that_much_of_it() {
    let mut random = Random::new(10);
    for _ in 0..EACH {
        let (share, target) = (
            written(random.between(1.0, 60.0), &Unit::of("%"), Kind::Share),
            drawn_text("nutrient", "target", &mut random),
        );
        let spread = text_of("nutrient", &[("nitrogen", &share), ("target", &target)], "product-rate");
        let put_down = text_of("nutrient", &[("nitrogen", &share), ("spread", &spread)], "nitrogen-rate");
        same(&target, &put_down, Kind::MassPerArea);
    }
}

#[test]
fn a_rate_of_product_for_an_active_ingredient_holds_that_much_of_it() {
    let mut random = Random::new(11);
    for _ in 0..EACH {
        let strength = written(random.between(0.5, 8.0), &Unit::of("lb/gal"), Kind::Strength);
        let wanted = written(random.between(0.05, 4.0), &Unit::of("lb/acre"), Kind::LabelRate);
        let rate = text_of("active-ingredient", &[("strength", &strength), ("ai-wanted", &wanted)], "product-rate");
        let holds = text_of("active-ingredient", &[("strength", &strength), ("label-rate", &rate)], "ai-rate");
        same(&wanted, &holds, Kind::LabelRate);
    }
}

#[test]
fn a_speed_walked_takes_the_same_time_over_the_same_course() {
    let mut random = Random::new(12);
    for _ in 0..EACH {
        let (distance, time) = (
            drawn_text("ground-speed", "run.1.distance", &mut random),
            drawn_text("ground-speed", "run.1.time", &mut random),
        );
        let speed = text_of("ground-speed", &[("run.1.distance", &distance), ("run.1.time", &time)], "speed");
        let pairs = [("wanted-speed", speed.as_str()), ("course.1.length", &distance)];
        // A speed beyond the limits of the wanted speed cannot be entered.
        if work(calculator("ground-speed").expect("a calculator"), &RawInputs::from_pairs(&pairs), System::Us).is_ok() {
            same(&time, &text_of("ground-speed", &pairs, "course-1-time"), Kind::Time);
        }
    }
}
