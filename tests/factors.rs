//! Factor-label working: for every calculator, in its examples and with each input in every unit a form offers, the
//! factors come to the value, and exactly the units of the result are left.

mod drawn;

use drawn::{Random, Reach, problem};
use std::collections::BTreeMap;
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::page::worked::steps;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::quantity::units::{ATOMS, Atom, atom};
use tankside_calc::uncertainty::work;
use tankside_calc::words::factors;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::line::{Left, Line, Mark, Op, Term, evaluate, numbers, signs};
use tankside_calc::working::record::{Step, System};

fn phrases() -> Phrases {
    tankside::catalogue::phrases("en").expect("a readable catalogue").expect("English")
}

/// Every example, as it is and with one input at a time in another unit of its kind.
fn problems() -> Vec<(&'static Calculator, System, RawInputs)> {
    let mut all = Vec::new();
    for calculator in CALCULATORS {
        for (system, pairs) in [(System::Us, calculator.example), (System::Metric, calculator.example_metric)] {
            let given = RawInputs::from_pairs(pairs);
            for (index, (name, written)) in given.0.iter().enumerate() {
                let Some(kind) = calculator.input(name).and_then(|input| input.kind()) else { continue };
                let typed = typed::read(written, kind, None).expect("the example is read");
                let (us, metric) = kind.offered();
                for unit in us.iter().chain(metric) {
                    if unit.dim() != typed.unit.dim() || (kind == Kind::Number) {
                        continue;
                    }
                    let mut other = given.clone();
                    other.0[index].1 = format!("{:.12} {}", typed.si / unit.size(), typed::unit_text(unit, kind));
                    all.push((*calculator, system, other));
                }
            }
            all.push((*calculator, system, given));
        }
        // And with everything in any unit at once.
        let mut random = Random::new(20);
        let drawn = std::iter::repeat_with(|| problem(calculator, Reach::Plausible, &mut random)).take(600);
        let taken = drawn.filter(|(given, system)| work(calculator, given, *system).is_ok()).take(30);
        all.extend(taken.map(|(given, system)| (*calculator, system, given)));
    }
    all
}

fn worked() -> impl Iterator<Item = Worked> {
    problems().into_iter().map(|(calculator, system, given)| {
        work(calculator, &given, system).unwrap_or_else(|faults| panic!("{}: {given:?}: {faults:?}", calculator.id))
    })
}

/// A unit's symbols with their exponents, counted units as what they count and squares as two sides.
#[derive(Default, PartialEq, Debug)]
struct Tally(BTreeMap<&'static str, i32>);

impl Tally {
    fn add(&mut self, unit: &'static Atom, exponent: i32, halves: i32) {
        let base = unit.counts.map_or(unit, |(_, base)| atom(base));
        let (symbol, sides) = match base.side {
            Some(side) => (side, halves),
            None => (base.symbol, halves / 2),
        };
        *self.0.entry(symbol).or_default() += exponent * sides;
        self.0.retain(|_, exponent| *exponent != 0);
    }

    fn of(unit: &Unit) -> Tally {
        let mut tally = Tally::default();
        unit.parts().for_each(|(part, exponent)| tally.add(part, i32::from(exponent), 2));
        tally
    }
}

/// What is left and what is struck in one product.
fn tally(product: &[&(Op, Term)]) -> (Tally, Tally) {
    let (mut left, mut struck) = (Tally::default(), Tally::default());
    for (op, term) in product {
        let sign = if *op == Op::Over { -1 } else { 1 };
        let (Term::Value { marks, .. } | Term::Factor { marks, .. } | Term::Bracket(_, marks)) = term else { continue };
        for Mark { atom, exponent, left: kept, .. } in marks {
            let exponent = sign * i32::from(*exponent);
            let halves = match kept {
                Left::Whole => 2,
                Left::Half => 1,
                Left::None => 0,
            };
            left.add(atom, exponent, halves);
            struck.add(atom, exponent, 2 - halves);
        }
    }
    (left, struck)
}

/// The products of a line, and of every line inside it that is in the same unit.
fn products(line: &Line) -> Vec<Vec<&(Op, Term)>> {
    let mut all: Vec<Vec<&(Op, Term)>> = Vec::new();
    for signed in line {
        match all.last_mut() {
            Some(product) if !matches!(signed.0, Op::Plus | Op::Minus) => product.push(signed),
            _ => all.push(vec![signed]),
        }
    }
    all.into_iter()
        .flat_map(|product| match product.as_slice() {
            [(_, Term::Up(inner) | Term::Down(inner))] => products(inner),
            [(_, Term::Least(a, b))] => [products(a), products(b)].concat(),
            _ => vec![product],
        })
        .collect()
}

fn about(worked: &Worked, step: &Step) -> String {
    format!("{} {} {}: {}", worked.calculator.id, worked.system.id(), step.id, factors::text(step, &phrases()))
}

#[test]
fn the_factors_come_to_the_value_of_the_step() {
    for worked in worked() {
        for step in &worked.steps {
            let (shown, value) = (evaluate(&numbers(step)), step.si / step.unit.size());
            assert!(
                (shown - value).abs() <= 1e-9 * value.abs().max(1e-3),
                "{}: {shown}, not {value}; {}",
                about(&worked, step),
                signs(&numbers(step))
            );
        }
    }
}

#[test]
fn exactly_the_units_of_the_result_are_left_and_the_struck_ones_cancel() {
    for worked in worked() {
        for step in &worked.steps {
            let line = numbers(step);
            for product in products(&line) {
                let (left, struck) = tally(&product);
                assert_eq!(struck, Tally::default(), "struck, and does not cancel: {}", about(&worked, step));
                assert_eq!(left, Tally::of(&step.unit), "left, and not in the result: {}", about(&worked, step));
            }
        }
    }
}

#[test]
fn no_factor_says_that_one_of_a_unit_is_one_of_it() {
    for worked in worked() {
        for step in &worked.steps {
            for (_, term) in &numbers(step) {
                if let Term::Factor { count, .. } = term {
                    assert!(*count > 1.0, "{}", about(&worked, step));
                }
            }
        }
    }
}

/// The text of markup, with struck units in square brackets, no spaces.
fn plain(markup: &str) -> String {
    let bracketed = markup.replace("<s>", "[").replace("</s>", "]");
    let mut out = String::new();
    let mut inside = false;
    for letter in bracketed.chars() {
        match letter {
            '<' => inside = true,
            '>' => inside = false,
            _ if inside || letter == ' ' => {}
            _ => out.push(letter),
        }
    }
    out
}

#[test]
fn page_and_terminal_show_the_same_factors_and_the_page_folds_away_only_those_that_cancel() {
    let phrases = phrases();
    for worked in worked() {
        let page = steps(&worked, &phrases);
        for (index, step) in worked.steps.iter().enumerate() {
            let item = page.split_once(&format!("<li class=\"tk-chain\" value=\"{}\"", index + 1));
            let item = item.map(|(_, rest)| rest.split("</li>").next().unwrap_or(rest)).unwrap_or_default();
            let line = factors::text(step, &phrases);
            let math = item.split_once("<math").and_then(|(_, rest)| rest.split_once('>')?.1.split_once("</math>"));
            assert_eq!(math.is_some(), line.contains('['), "{line}");
            if let Some((math, _)) = math {
                // Above and below a fraction's line there are no signs of division, and a root's sign is drawn.
                let bare = |text: &str| text.replace(['(', ')', '/', ' ', '\u{a0}', '√'], "");
                assert_eq!(bare(&plain(math)), bare(&line));
            }
        }
    }
}

#[test]
fn every_unit_has_words() {
    let phrases = phrases();
    for unit in &ATOMS {
        for number in ["one", "many"] {
            let key = format!("unit.{}.{number}", unit.symbol);
            assert!(phrases.find(&key).is_some(), "no phrase {key}");
            assert!(!unit.shown.contains(['<', '>', '&']), "{} goes into markup as it is", unit.shown);
        }
    }
}

fn step(id: &str, given: &[(&str, &str)], system: System, step: usize) -> (String, String) {
    let worked = work(calculator(id).expect("a calculator"), &RawInputs::from_pairs(given), system).expect("it works");
    let step = &worked.steps[step];
    (factors::text(step, &phrases()), factors::spoken(step, &numbers(step), &phrases()))
}

#[test]
fn an_output_in_gallons_a_minute_is_shown_and_read_aloud_factor_by_factor() {
    // By hand: 186 fl oz / 60 s × 1 gal / 128 fl oz × 60 s / 1 min = 1.453125 gal/min.
    let given = [("catch.1.volume", "186 fl oz"), ("catch.1.time", "60 s")];
    let (text, said) = step("catch-test", &given, System::Us, 0);
    assert_eq!(text, "(186 [fl oz] / 60 [s]) × (1 gal / 128 [fl oz]) × (60 [s] / 1 min) = 1.453 gal/min");
    assert_eq!(
        said,
        "186 fluid ounces divided by 60 seconds, times 1 gallon per 128 fluid ounces, times 60 seconds per minute. \
         This cancels fluid ounces and seconds, and leaves 1.453 gallons per minute."
    );
}

#[test]
fn an_area_cancels_as_an_area_and_one_counted_in_thousands_is_opened_only_where_it_must_be() {
    // By hand: 1 acre × 1.1 gal/1000 ft² × 43,560 ft²/acre = 47.916 gal.
    let given = [("tank", "50 gal"), ("application-rate", "1.1 gal/1000 ft2"), ("area", "1 acre")];
    let (text, _) = step("tank-mix", &given, System::Us, 1);
    assert_eq!(text, "1 [acre] × (1.1 gal / 1000 [ft²]) × (43,560 [ft²] / 1 [acre]) = 47.92 gal");
    // By hand: 2 thousand ft² × 1.1 gal/1000 ft² = 2.2 gal.
    let given = [("tank", "50 gal"), ("application-rate", "1.1 gal/1000 ft2"), ("area", "2 1000 ft2")];
    let (text, _) = step("tank-mix", &given, System::Us, 1);
    assert_eq!(text, "2 × [1000 ft²] × (1.1 gal / [1000 ft²]) = 2.2 gal");
}

#[test]
fn lengths_make_an_area_and_bring_their_own_factors() {
    // By hand: 1200 in × 1 ft/12 in × 5 ft × 2 = 1000 ft².
    let given =
        [("pass.1.length", "1200 in"), ("pass.1.spacing", "5 ft"), ("pass.1.passes", "2"), ("pass.1.time", "60 s")];
    let (text, said) = step("swath-timing", &given, System::Us, 0);
    assert_eq!(text, "1200 [in] × 5 ft × 2 × (1 ft / 12 [in]) = 1000 ft²");
    assert!(said.ends_with("This cancels inches, and leaves 1000 square feet."), "{said}");
}
