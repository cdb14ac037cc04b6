//! Results grow and shrink with their inputs as the formulas say; where no power law holds, in one direction only.

use crate::EACH;
use crate::drawn::{Random, Reach, value};
use crate::laws::{LAWS, Law};
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculation::inputs::{Inputs, RawInputs};
use tankside_calc::calculation::worked::work_inputs;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::{Rounding, System};

/// A problem with these inputs, drawn until one is accepted.
fn drawn_with(calculator: &'static Calculator, names: &[&str], random: &mut Random) -> Inputs {
    for _ in 0..2000 {
        let pairs = names.iter().map(|name| match name.split_once('=') {
            Some((name, text)) => (name.to_owned(), text.to_owned()),
            None => {
                let input = calculator.input(name).unwrap_or_else(|| panic!("{} has no {name}", calculator.id));
                ((*name).to_owned(), value(input, Reach::Plausible, random))
            }
        });
        let given = RawInputs(pairs.collect());
        if let Ok(worked) = work(calculator, &given, System::Us) {
            return worked.inputs;
        }
    }
    panic!("{}: nothing drawn for {names:?} is taken", calculator.id)
}

fn si(calculator: &'static Calculator, inputs: Inputs, result: &str) -> Option<f64> {
    let worked = work_inputs(calculator, inputs, System::Us, Rounding::None).ok()?;
    Some(worked.si_at(result).unwrap_or_else(|| panic!("{} gives no {result}", calculator.id)))
}

fn input_si(inputs: &Inputs, name: &str) -> f64 {
    inputs.typed_at(name).unwrap_or_else(|| panic!("{name} is not among what is given")).si
}

#[test]
fn results_scale_with_their_inputs_as_the_formula_says() {
    let mut random = Random::new(5);
    for Law { calculator: id, given, laws } in LAWS {
        let calculator = calculator(id).expect("a calculator");
        for (input, result, exponent) in *laws {
            let mut held = 0;
            for _ in 0..EACH {
                let inputs = drawn_with(calculator, given, &mut random);
                let factor = *random.one(&[2.0, 3.0, 4.0]);
                let changed = inputs.with(input, input_si(&inputs, input) * factor);
                let before = si(calculator, inputs, result).expect("it was taken");
                // A share over 100 % or a tank without room is refused; nothing is claimed of it.
                let Some(after) = si(calculator, changed, result) else { continue };
                let expected = before * factor.powf(*exponent);
                // A dozen operations, each good to a part in 10^15.
                assert!(
                    (after - expected).abs() <= 1e-11 * expected.abs(),
                    "{id}: {result} with {factor} times {input}: {after}, not {expected}"
                );
                held += 1;
            }
            assert!(held >= EACH / 4, "{id}: {result} by {input} was tried {held} times");
        }
    }
}

/// More of the input, and the result goes up (or stays); or down.
const MONOTONE: &[(&str, &[&str], &str, &str, bool)] = &[
    (
        "swath-timing",
        &["pass.1.length", "pass.1.spacing", "pass.1.time", "wetted-width"],
        "wetted-width",
        "overlap",
        true,
    ),
    (
        "swath-timing",
        &["pass.1.length", "pass.1.spacing", "pass.1.time", "wetted-width"],
        "pass.1.spacing",
        "overlap",
        false,
    ),
    ("tank-mix", &["tank", "application-rate", "left=0.1 gal"], "left", "mix-to-make", false),
    ("tank-mix", &["tank", "application-rate", "left=0.1 gal"], "left", "new-mix-area", false),
    (
        "tank-mix",
        &["tank", "application-rate", "product.1.rate=0.02 fl oz/1000 ft2"],
        "product.1.rate",
        "water-to-add",
        false,
    ),
    ("carrier-volume", &["volume.1.rate", "volume.2.rate", "tank", "area"], "area", "volume-1-refills", true),
    ("carrier-volume", &["volume.1.rate", "volume.2.rate", "tank", "area"], "volume.1.rate", "volume-1-filling", true),
    ("carrier-volume", &["volume.1.rate", "volume.2.rate", "tank", "area"], "tank", "volume-1-refills", false),
    ("usage-check", &["area", "application-rate", "volume-used"], "volume-used", "departure", true),
    ("usage-check", &["area", "application-rate", "volume-used"], "application-rate", "departure", false),
    (
        "nozzle-wear",
        &["rated-flow", "catch-time", "nozzle.1.volume", "nozzle.2.volume"],
        "nozzle.1.volume",
        "mean-wear",
        true,
    ),
    (
        "nozzle-wear",
        &["rated-flow", "catch-time", "nozzle.1.volume", "nozzle.2.volume"],
        "rated-flow",
        "mean-wear",
        false,
    ),
    ("day-plan", &["lawn.1.area", "application-rate", "tank"], "lawn.1.area", "fills", true),
    ("day-plan", &["lawn.1.area", "application-rate", "tank"], "tank", "fills", false),
    ("spreader", &["run.1.weight", "run.1.area", "target"], "run.1.weight", "departure", true),
    ("dilution", &["mix=3 gal", "wanted=0.5 %"], "wanted", "water", false),
    ("nutrient", &["nitrogen=16 %", "target", "area", "bag"], "area", "bags", true),
    (
        "lawn-area",
        &["trapezoid.1.side-a", "trapezoid.1.side-b", "trapezoid.1.distance"],
        "trapezoid.1.side-a",
        "area",
        true,
    ),
];

#[test]
fn more_of_an_input_moves_its_result_one_way_only() {
    let mut random = Random::new(6);
    for (id, given, input, result, up) in MONOTONE {
        let calculator = calculator(id).expect("a calculator");
        for _ in 0..EACH {
            let inputs = drawn_with(calculator, given, &mut random);
            let more = inputs.with(input, input_si(&inputs, input) * (1.0 + random.share()));
            let less = si(calculator, inputs, result).expect("it was taken");
            let Some(more) = si(calculator, more, result) else { continue };
            let (low, high) = if *up { (less, more) } else { (more, less) };
            assert!(low <= high + 1e-12 * high.abs(), "{id}: {result} by {input}: {less}, then {more}");
        }
    }
}
