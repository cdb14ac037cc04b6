//! What holds for every number inside the declared limits: units, reading, scaling, inverses, and that a recording is
//! what was computed. Numbers are drawn, the same on every machine.

mod drawn;

use drawn::{Draw, Reach, problem, units, value, written};
use tankside_calc::declare::Calculator;
use tankside_calc::fragment::{Options, fragment};
use tankside_calc::given::{Given, Inputs, switched};
use tankside_calc::kind::Kind;
use tankside_calc::phrases::{Phrases, places};
use tankside_calc::record::{Expr, Outcome, Rounding, System};
use tankside_calc::registry::{CALCULATORS, calculator};
use tankside_calc::typed::{read, unit_text};
use tankside_calc::unit::Unit;
use tankside_calc::units::{ATOMS, Dim};
use tankside_calc::worked::{Worked, work, work_inputs};
use tankside_calc::{say, working};

const EACH: u64 = 60;

fn phrases() -> Phrases {
    tankside::catalogue::phrases("en").expect("a readable catalogue").expect("English")
}

/// Every unit that may be typed: the rows of the table and what forms offer.
fn every_unit() -> Vec<Unit> {
    let mut all: Vec<Unit> = ATOMS.iter().map(|row| Unit::of(row.symbol)).collect();
    all.extend(Kind::ALL.iter().flat_map(|kind| units(*kind)).filter(|unit| unit.parts().len() > 1));
    all
}

#[test]
fn an_amount_in_one_unit_and_back_in_another_is_itself_to_a_part_in_10_to_the_12() {
    let mut draw = Draw::new(1);
    let all = every_unit();
    let mut pairs = 0;
    for from in &all {
        for to in all.iter().filter(|to| to.dim() == from.dim()) {
            let amount = draw.between(1e-6, 1e9);
            let there = amount * from.size() / to.size();
            let back = there * to.size() / from.size();
            // Four multiplications, each good to a part in 10^15.
            assert!((back - amount).abs() <= 1e-12 * amount, "{amount} {} by {}", from.plain(), to.plain());
            pairs += 1;
        }
    }
    assert!(pairs > 1500, "{pairs} pairs");
}

#[test]
fn what_is_shown_of_an_amount_reads_back_as_that_amount() {
    let mut draw = Draw::new(2);
    for kind in Kind::ALL {
        for unit in units(*kind) {
            for _ in 0..20 {
                let number = draw.between(1e-4, 1e7);
                let text = written(number, &unit, *kind);
                let typed = read(&text, *kind, None).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
                assert_eq!(typed.unit, unit, "{text}");
                let number_shown = say::as_typed(&typed).strip_suffix(&unit.shown()).map(str::to_owned);
                let number_shown = number_shown.unwrap_or_else(|| panic!("{text} is shown without its unit"));
                let shown = format!("{number_shown}{}", unit_text(&unit, *kind));
                let again = read(&shown, *kind, None).unwrap_or_else(|fault| panic!("{text}, {shown}: {fault:?}"));
                // Twelve figures are shown.
                assert!((again.si - typed.si).abs() <= 1e-11 * typed.si.abs(), "{text} is shown {shown}");
            }
        }
    }
}

/// Every problem drawn for a calculator that it takes.
fn taken(calculator: &'static Calculator, reach: Reach, seed: u64) -> Vec<Worked> {
    let mut draw = Draw::new(seed);
    let mut all = Vec::new();
    for _ in 0..EACH * 40 {
        let (given, system) = problem(calculator, reach, &mut draw);
        all.extend(work(calculator, &given, system));
        if all.len() as u64 >= EACH {
            break;
        }
    }
    assert!(all.len() as u64 >= EACH / 3, "{}: only {} of the problems drawn are taken", calculator.id, all.len());
    all
}

#[test]
fn every_step_recorded_works_out_again_to_the_last_bit_and_the_numbers_shown_come_to_it() {
    for calculator in CALCULATORS {
        for reach in [Reach::Plausible, Reach::Hard] {
            for worked in taken(calculator, reach, 3) {
                for step in &worked.steps {
                    let again = step.expr.value();
                    assert_eq!(again.to_bits(), step.si.to_bits(), "{} {}", calculator.id, step.id);
                    let line = working::numbers(step);
                    let (shown, value) = (working::evaluate(&line), step.si / step.unit.size());
                    // A difference loses what its two sides have in common.
                    let scale = largest(&step.expr) / step.unit.size();
                    assert!(
                        (shown - value).abs() <= 1e-9 * value.abs() + 1e-12 * scale,
                        "{} {}: {} comes to {shown}, not {value}",
                        calculator.id,
                        step.id,
                        working::text(&line)
                    );
                }
                for found in &worked.found {
                    if let (Outcome::Quantity(si, _), Some(expr)) = (&found.outcome, &found.expr) {
                        assert_eq!(expr.value().to_bits(), si.to_bits(), "{} {}", calculator.id, found.name());
                    }
                }
            }
        }
    }
}

/// The largest value that is added or subtracted on the way.
fn largest(expr: &Expr) -> f64 {
    match expr {
        Expr::Leaf { .. } => expr.value().abs(),
        Expr::Add(a, b) | Expr::Sub(a, b) | Expr::Least(a, b) => largest(a).max(largest(b)),
        Expr::Mul(a, b) => largest(a) * largest(b),
        Expr::Div(a, b) => largest(a) / b.value().abs(),
        Expr::Root(a) => largest(a).sqrt(),
        Expr::Ceil(a) | Expr::Floor(a) => largest(a) + 1.0,
    }
}

#[test]
fn inside_the_limits_and_on_their_borders_every_result_is_a_number_or_its_refusal_is_said() {
    let phrases = phrases();
    for calculator in CALCULATORS {
        for reach in [Reach::Hard, Reach::Borders] {
            let mut draw = Draw::new(4);
            for _ in 0..EACH * 3 {
                let (given, system) = problem(calculator, reach, &mut draw);
                match work(calculator, &given, system) {
                    Ok(worked) => told(&worked, &given, &phrases),
                    Err(problems) => {
                        assert!(!problems.is_empty());
                        for problem in &problems {
                            let text = say::problem(calculator, problem, system, &phrases);
                            assert!(text.contains(' ') && places(&text).is_empty(), "{given:?}: {problem:?}: {text}");
                        }
                    }
                }
            }
        }
    }
}

fn told(worked: &Worked, given: &Given, phrases: &Phrases) {
    let id = worked.calculator.id;
    for found in &worked.found {
        assert!(worked.calculator.result(&found.name()).is_some(), "{id}: {} is not declared", found.name());
        if let Outcome::Quantity(si, _) = &found.outcome {
            assert!(si.is_finite(), "{id} {}: {given:?}", found.name());
        }
    }
    for step in &worked.steps {
        assert!(step.si.is_finite(), "{id} {}: {given:?}", step.id);
    }
    let options = Options { name: "x", title: "X", system: worked.system, level: 3 };
    let page = fragment(worked.calculator, given, &options, phrases);
    assert!(page.errors.is_empty());
    for odd in ["NaN", "inf\"", "inf ", "∞", ">—<"] {
        assert!(!page.answer.contains(odd), "{id}: {odd} on the page of {given:?}");
    }
    assert!(places(&page.spoken).is_empty(), "{id}: {}", page.spoken);
}

/// What follows when one input is changed and nothing else: result ∝ input ^ exponent.
struct Law {
    calculator: &'static str,
    /// Inputs that are drawn within their usual range, or `name=text`.
    given: &'static [&'static str],
    /// Input, result, exponent.
    laws: &'static [(&'static str, &'static str, f64)],
}

const fn law(
    calculator: &'static str,
    given: &'static [&'static str],
    laws: &'static [(&'static str, &'static str, f64)],
) -> Law {
    Law { calculator, given, laws }
}

/// From the formula of each calculator, which names its source; by hand.
const LAWS: &[Law] = &[
    law(
        "catch-test",
        &["catch.1.volume", "catch.1.time"],
        &[("catch.1.volume", "nozzle-output", 1.0), ("catch.1.time", "nozzle-output", -1.0)],
    ),
    law(
        "swath-timing",
        &["pass.1.length", "pass.1.spacing", "pass.1.passes=4", "pass.1.time"],
        &[
            ("pass.1.length", "area-rate", 1.0),
            ("pass.1.spacing", "area-rate", 1.0),
            ("pass.1.passes", "area-covered", 1.0),
            ("pass.1.time", "area-rate", -1.0),
            ("pass.1.time", "time-per-area", 1.0),
            ("pass.1.spacing", "time-per-area", -1.0),
            ("pass.1.length", "pace", 1.0),
            ("pass.1.time", "pace", -1.0),
            ("pass.1.spacing", "pace", 0.0),
        ],
    ),
    law(
        "application-rate",
        &["timed.1.volume", "timed.1.catch-time", "timed.1.area", "timed.1.area-time"],
        &[
            ("timed.1.volume", "application-rate", 1.0),
            ("timed.1.catch-time", "application-rate", -1.0),
            ("timed.1.area", "application-rate", -1.0),
            ("timed.1.area-time", "application-rate", 1.0),
            ("timed.1.volume", "rate-per-acre", 1.0),
        ],
    ),
    law(
        "application-rate",
        &["used.1.volume", "used.1.area"],
        &[("used.1.volume", "application-rate", 1.0), ("used.1.area", "application-rate", -1.0)],
    ),
    law(
        "tank-mix",
        &["tank", "application-rate", "product.1.rate=0.02 fl oz/1000 ft2"],
        &[
            ("tank", "area-treated", 1.0),
            ("application-rate", "area-treated", -1.0),
            ("product.1.rate", "product-1-amount", 1.0),
            ("tank", "product-1-amount", 1.0),
            ("application-rate", "product-1-amount", -1.0),
            ("application-rate", "product-1-strength", -1.0),
        ],
    ),
    law(
        "tank-mix",
        &["tank", "application-rate", "product.1.rate=0.25 %", "product.2.rate=2 lb/100 gal"],
        &[
            ("product.1.rate", "product-1-amount", 1.0),
            ("application-rate", "product-1-amount", 0.0),
            ("tank", "product-2-amount", 1.0),
            ("application-rate", "product-2-amount", 0.0),
        ],
    ),
    law(
        "carrier-volume",
        &["volume.1.rate", "volume.2.rate", "tank", "area", "product.1.rate=0.02 fl oz/1000 ft2"],
        &[
            ("volume.1.rate", "volume-1-area-per-tank", -1.0),
            ("volume.1.rate", "volume-1-mix", 1.0),
            ("volume.1.rate", "volume-1-tanks", 1.0),
            ("volume.1.rate", "volume-1-strength-1", -1.0),
            ("volume.1.rate", "volume-1-product-1", 0.0),
            ("volume.1.rate", "volume-2-mix", 0.0),
            ("tank", "volume-1-tanks", -1.0),
            ("area", "volume-1-product-1", 1.0),
        ],
    ),
    law(
        "lawn-area",
        &["rectangle.1.length", "rectangle.1.width"],
        &[
            ("rectangle.1.length", "area", 1.0),
            ("rectangle.1.width", "acres", 1.0),
            ("rectangle.1.width", "square-side", 0.5),
            ("rectangle.1.width", "circle-diameter", 0.5),
        ],
    ),
    law("lawn-area", &["triangle.1.base", "triangle.1.height"], &[("triangle.1.height", "area", 1.0)]),
    law(
        "lawn-area",
        &["trapezoid.1.side-a", "trapezoid.1.side-b", "trapezoid.1.distance"],
        &[("trapezoid.1.distance", "area", 1.0)],
    ),
    law("lawn-area", &["circle.1.diameter"], &[("circle.1.diameter", "area", 2.0)]),
    law("lawn-area", &["circle.1.radius"], &[("circle.1.radius", "area", 2.0)]),
    law(
        "lawn-area",
        &["ellipse.1.length", "ellipse.1.width"],
        &[("ellipse.1.length", "area", 1.0), ("ellipse.1.width", "area", 1.0)],
    ),
    law("lawn-area", &["strip.1.width", "strip.1.length"], &[("strip.1.width", "area", 1.0)]),
    law(
        "lawn-area",
        &["offset.1.width", "offset.2.width", "offset.3.width", "offset-spacing"],
        &[("offset-spacing", "area", 1.0)],
    ),
    law(
        "usage-check",
        &["area", "application-rate", "volume-used", "time", "spacing", "product.1.rate=1.5 fl oz/1000 ft2"],
        &[
            ("volume-used", "true-rate", 1.0),
            ("area", "true-rate", -1.0),
            ("application-rate", "true-rate", 0.0),
            ("application-rate", "expected-volume", 1.0),
            ("area", "expected-volume", 1.0),
            ("time", "output", -1.0),
            ("time", "pace", -1.0),
            ("spacing", "pace", -1.0),
            ("product.1.rate", "product-1-rate", 1.0),
            ("volume-used", "product-1-share", 1.0),
            ("application-rate", "product-1-share", -1.0),
        ],
    ),
    law(
        "known-area",
        &["plot.1.width", "plot.1.length", "plot.1.volume"],
        &[
            ("plot.1.volume", "application-rate", 1.0),
            ("plot.1.width", "application-rate", -1.0),
            ("plot.1.length", "rate-per-acre", -1.0),
        ],
    ),
    law(
        "known-area",
        &["plot.1.area", "plot.1.volume"],
        &[("plot.1.area", "application-rate", -1.0), ("plot.1.area", "times-to-acre", -1.0)],
    ),
    law(
        "boom-output",
        &["nozzle-flow", "speed", "spacing", "nozzles=8", "new-speed"],
        &[
            ("nozzle-flow", "rate", 1.0),
            ("speed", "rate", -1.0),
            ("spacing", "rate", -1.0),
            ("nozzles", "total-flow", 1.0),
            ("new-speed", "new-rate", -1.0),
        ],
    ),
    law(
        "boom-output",
        &["rate", "speed", "spacing"],
        &[("rate", "nozzle-flow", 1.0), ("speed", "nozzle-flow", 1.0), ("spacing", "nozzle-flow", 1.0)],
    ),
    law("boom-output", &["rate", "nozzle-flow", "spacing"], &[("nozzle-flow", "speed", 1.0), ("rate", "speed", -1.0)]),
    law(
        "boom-output",
        &["rate", "nozzle-flow", "speed"],
        &[("nozzle-flow", "spacing", 1.0), ("rate", "spacing", -1.0)],
    ),
    law(
        "ground-speed",
        &["run.1.distance", "run.1.time", "course.1.length"],
        &[
            ("run.1.distance", "speed", 1.0),
            ("run.1.time", "speed", -1.0),
            ("course.1.length", "course-1-time", 1.0),
            ("run.1.distance", "course-1-time", -1.0),
        ],
    ),
    law(
        "pressure-flow",
        &["flow", "pressure", "new-pressure", "relative-density"],
        &[
            ("flow", "new-flow", 1.0),
            ("pressure", "new-flow", -0.5),
            ("new-pressure", "new-flow", 0.5),
            ("relative-density", "liquid-flow", -0.5),
        ],
    ),
    law(
        "pressure-flow",
        &["flow", "pressure", "wanted-flow"],
        &[
            ("wanted-flow", "needed-pressure", 2.0),
            ("flow", "needed-pressure", -2.0),
            ("pressure", "needed-pressure", 1.0),
        ],
    ),
    law(
        "nozzle-wear",
        &["rated-flow", "rated-pressure", "test-pressure", "catch-time", "nozzle.1.volume", "nozzle.2.volume"],
        &[
            ("rated-flow", "rated-catch", 1.0),
            ("catch-time", "rated-catch", 1.0),
            ("test-pressure", "rated-catch", 0.5),
            ("rated-pressure", "rated-catch", -0.5),
            ("catch-time", "mean-flow", -1.0),
        ],
    ),
    law(
        "nutrient",
        &["nitrogen=16 %", "target", "area"],
        &[
            ("target", "product-rate", 1.0),
            ("nitrogen", "product-rate", -1.0),
            ("area", "product-for-area", 1.0),
            ("target", "product-for-area", 1.0),
        ],
    ),
    law(
        "nutrient",
        &["nitrogen=12 %", "phosphate=4 %", "spread"],
        &[("spread", "nitrogen-rate", 1.0), ("nitrogen", "nitrogen-rate", 1.0), ("nitrogen", "phosphate-rate", 0.0)],
    ),
    law(
        "active-ingredient",
        &["strength=4 lb/gal", "ai-wanted=1 lb/acre", "area"],
        &[
            ("ai-wanted", "product-rate", 1.0),
            ("strength", "product-rate", -1.0),
            ("area", "product-amount", 1.0),
            ("area", "product-rate", 0.0),
        ],
    ),
    law(
        "dilution",
        &["mix=3 gal", "wanted=0.5 %"],
        &[("mix", "product-amount", 1.0), ("wanted", "product-amount", 1.0), ("mix", "per-gallon", 0.0)],
    ),
    law(
        "spreader",
        &["run.1.weight", "run.1.length", "run.1.spacing", "run.1.passes=4", "target", "setting"],
        &[
            ("run.1.weight", "rate", 1.0),
            ("run.1.length", "rate", -1.0),
            ("run.1.passes", "rate", -1.0),
            ("setting", "next-setting", 1.0),
            ("target", "next-setting", 1.0),
            ("run.1.weight", "next-setting", -1.0),
        ],
    ),
    law(
        "day-plan",
        &["lawn.1.area", "lawn.2.area", "application-rate", "tank=1000 gal", "product.1.rate=0.02 fl oz/1000 ft2"],
        &[
            ("application-rate", "total-mix", 1.0),
            ("application-rate", "lawn-1-mix", 1.0),
            ("lawn.1.area", "lawn-1-mix", 1.0),
            ("lawn.1.area", "lawn-2-mix", 0.0),
            ("product.1.rate", "total-product-1", 1.0),
            ("application-rate", "total-product-1", 0.0),
            ("application-rate", "total-area", 0.0),
        ],
    ),
    law("unit-conversion", &["amount=87 gal/acre", "to=gal/1000 ft2"], &[("amount", "converted", 1.0)]),
];

/// A problem with these inputs, drawn until it is taken.
fn drawn_with(calculator: &'static Calculator, names: &[&str], draw: &mut Draw) -> Inputs {
    for _ in 0..2000 {
        let pairs = names.iter().map(|name| match name.split_once('=') {
            Some((name, text)) => (name.to_owned(), text.to_owned()),
            None => {
                let input = calculator.input(name).unwrap_or_else(|| panic!("{} has no {name}", calculator.id));
                ((*name).to_owned(), value(input, Reach::Plausible, draw))
            }
        });
        let given = Given(pairs.collect());
        if let Ok(worked) = work(calculator, &given, System::Us) {
            return worked.inputs;
        }
    }
    panic!("{}: nothing drawn for {names:?} is taken", calculator.id)
}

fn si(calculator: &'static Calculator, inputs: Inputs, result: &str) -> Option<f64> {
    let worked = work_inputs(calculator, inputs, System::Us, Rounding::None).ok()?;
    Some(worked.si(result).unwrap_or_else(|| panic!("{} gives no {result}", calculator.id)))
}

fn input_si(inputs: &Inputs, name: &str) -> f64 {
    inputs.typed(name).unwrap_or_else(|| panic!("{name} is not among what is given")).si
}

#[test]
fn results_scale_with_their_inputs_as_the_formula_says() {
    let mut draw = Draw::new(5);
    for Law { calculator: id, given, laws } in LAWS {
        let calculator = calculator(id).expect("a calculator");
        for (input, result, exponent) in *laws {
            let mut held = 0;
            for _ in 0..EACH {
                let inputs = drawn_with(calculator, given, &mut draw);
                let factor = *draw.one(&[2.0, 3.0, 4.0]);
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

#[test]
fn every_calculator_has_a_law() {
    for calculator in CALCULATORS {
        assert!(LAWS.iter().any(|law| law.calculator == calculator.id), "{} has none", calculator.id);
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
    let mut draw = Draw::new(6);
    for (id, given, input, result, up) in MONOTONE {
        let calculator = calculator(id).expect("a calculator");
        for _ in 0..EACH {
            let inputs = drawn_with(calculator, given, &mut draw);
            let more = inputs.with(input, input_si(&inputs, input) * (1.0 + draw.share()));
            let less = si(calculator, inputs, result).expect("it was taken");
            let Some(more) = si(calculator, more, result) else { continue };
            let (low, high) = if *up { (less, more) } else { (more, less) };
            assert!(low <= high + 1e-12 * high.abs(), "{id}: {result} by {input}: {less}, then {more}");
        }
    }
}

/// The largest number of a dimension that a problem has in it: what a difference of two can be wrong against.
fn scale(worked: &Worked, dim: Dim) -> f64 {
    let steps = worked.steps.iter().filter(|step| step.unit.dim() == dim).map(|step| step.si.abs());
    let inputs = worked.inputs.quantities().filter(|(_, typed)| typed.unit.dim() == dim);
    steps.chain(inputs.map(|(_, typed)| typed.si.abs())).fold(1.0, f64::max)
}

#[test]
fn units_switched_to_and_fro_give_the_same_results() {
    for calculator in CALCULATORS {
        for before in taken(calculator, Reach::Plausible, 7) {
            let given = given_of(&before);
            let there = switched(calculator, &given, System::Metric);
            let back = switched(calculator, &there, System::Us);
            for (system, given) in [(System::Metric, &there), (System::Us, &back)] {
                let after = work(calculator, given, system)
                    .unwrap_or_else(|faults| panic!("{}: {given:?}: {faults:?}", calculator.id));
                for found in &before.found {
                    let name = found.name();
                    let (Some(one), Some(other)) = (before.si(&name), after.si(&name)) else { continue };
                    let Outcome::Quantity(_, unit) = &found.outcome else { continue };
                    // Each of a few inputs is carried to 8 figures, twice.
                    let near = 2e-6 * scale(&before, unit.dim());
                    assert!((one - other).abs() <= near, "{} {name}: {one}, then {other}; {given:?}", calculator.id);
                }
            }
        }
    }
}

/// The inputs of a problem as they were typed.
fn given_of(worked: &Worked) -> Given {
    let pairs = worked.inputs.names().filter_map(|name| {
        let text = match (worked.inputs.typed(name), worked.inputs.word(name)) {
            (Some(typed), _) => {
                written(typed.value(), &typed.unit, worked.calculator.input(name)?.kind().unwrap_or(Kind::Number))
            }
            (None, word) => word?.to_owned(),
        };
        Some((name.to_owned(), text))
    });
    Given(pairs.collect())
}

#[test]
fn whole_tanks_stay_whole_when_the_units_are_switched() {
    // 3 × 200 gal at 2 gal/1000 ft² treat 300,000 ft²; by hand. Carried to 8 figures in metric units, it must still be 3.
    let calculator = calculator("carrier-volume").expect("a calculator");
    for tanks in 1..=40 {
        for tank in [50, 200, 300] {
            let area = format!("{} ft2", tanks * tank * 500);
            let tank = format!("{tank} gal");
            let pairs = [
                ("volume.1.rate", "2 gal/1000 ft2"),
                ("volume.2.rate", "1 gal/1000 ft2"),
                ("tank", &tank),
                ("area", &area),
            ];
            let given = Given::from_pairs(&pairs);
            for (system, given) in
                [(System::Us, given.clone()), (System::Metric, switched(calculator, &given, System::Metric))]
            {
                let worked = work(calculator, &given, system).expect("it is taken");
                assert_eq!(worked.si("volume-1-refills"), Some(f64::from(tanks - 1)), "{given:?}");
            }
        }
    }
}

/// Works a problem, and says one result as a text that can be given to another.
fn text_of(id: &str, pairs: &[(&str, &str)], result: &str) -> String {
    let calculator = calculator(id).expect("a calculator");
    let worked = work(calculator, &Given::from_pairs(pairs), System::Us)
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

fn drawn_text(id: &str, name: &str, draw: &mut Draw) -> String {
    let input = calculator(id).expect("a calculator").input(name).expect("an input");
    value(input, Reach::Plausible, draw)
}

#[test]
fn any_of_a_booms_four_numbers_comes_back_from_the_other_three() {
    const FOUR: [&str; 4] = ["nozzle-flow", "speed", "spacing", "rate"];
    let boom = calculator("boom-output").expect("a calculator");
    let mut draw = Draw::new(8);
    let mut back = 0;
    for _ in 0..EACH {
        let given: Vec<(&str, String)> =
            FOUR[..3].iter().map(|name| (*name, drawn_text("boom-output", name, &mut draw))).collect();
        let pairs: Vec<(&str, &str)> = given.iter().map(|(name, text)| (*name, text.as_str())).collect();
        let rate = text_of("boom-output", &pairs, "rate");
        for (name, text) in &given {
            let mut others: Vec<(&str, &str)> = pairs.iter().filter(|(other, _)| other != name).copied().collect();
            others.push(("rate", &rate));
            // A rate beyond what may be given leads nowhere.
            if work(boom, &Given::from_pairs(&others), System::Us).is_ok() {
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
    let mut draw = Draw::new(9);
    for _ in 0..EACH {
        let [flow, pressure, new] =
            ["flow", "pressure", "new-pressure"].map(|name| drawn_text("pressure-flow", name, &mut draw));
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
    let mut draw = Draw::new(10);
    for _ in 0..EACH {
        let (share, target) = (
            written(draw.between(1.0, 60.0), &Unit::of("%"), Kind::Share),
            drawn_text("nutrient", "target", &mut draw),
        );
        let spread = text_of("nutrient", &[("nitrogen", &share), ("target", &target)], "product-rate");
        let put_down = text_of("nutrient", &[("nitrogen", &share), ("spread", &spread)], "nitrogen-rate");
        same(&target, &put_down, Kind::MassPerArea);
    }
}

#[test]
fn a_rate_of_product_for_an_active_ingredient_holds_that_much_of_it() {
    let mut draw = Draw::new(11);
    for _ in 0..EACH {
        let strength = written(draw.between(0.5, 8.0), &Unit::of("lb/gal"), Kind::Strength);
        let wanted = written(draw.between(0.05, 4.0), &Unit::of("lb/acre"), Kind::LabelRate);
        let rate = text_of("active-ingredient", &[("strength", &strength), ("ai-wanted", &wanted)], "product-rate");
        let holds = text_of("active-ingredient", &[("strength", &strength), ("label-rate", &rate)], "ai-rate");
        same(&wanted, &holds, Kind::LabelRate);
    }
}

#[test]
fn a_speed_walked_takes_the_same_time_over_the_same_course() {
    let mut draw = Draw::new(12);
    for _ in 0..EACH {
        let (distance, time) = (
            drawn_text("ground-speed", "run.1.distance", &mut draw),
            drawn_text("ground-speed", "run.1.time", &mut draw),
        );
        let speed = text_of("ground-speed", &[("run.1.distance", &distance), ("run.1.time", &time)], "speed");
        let pairs = [("wanted-speed", speed.as_str()), ("course.1.length", &distance)];
        // A speed beyond the limits of the wanted one leads nowhere.
        if work(calculator("ground-speed").expect("a calculator"), &Given::from_pairs(&pairs), System::Us).is_ok() {
            same(&time, &text_of("ground-speed", &pairs, "course-1-time"), Kind::Time);
        }
    }
}
