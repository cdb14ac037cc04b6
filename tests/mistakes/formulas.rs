//! Wrong workings written apart from the core's, as formulas over the numbers that a question gives: each is named for
//! what it is, to three figures, and to two it is named or asked for one figure more.

use crate::{every, typed};
use std::collections::BTreeMap;
use tankside_calc::quantity::typed::is_compound;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::score::{Answer, Query, Verdict, number};
use tankside_calc::question::template::Posed;
use tankside_calc::text::figures::{exact, to_figures};

const SEEDS: u32 = 60;

/// The number of an input in the unit it is typed in.
type Number<'a> = &'a dyn Fn(&str) -> f64;

/// A wrong working: where it is made, of which inputs in which units, what it is called, and its formula.
struct Formula {
    asks: &'static str,
    answer_in: &'static str,
    given: &'static [(&'static str, &'static str)],
    named: &'static str,
    wrong: fn(Number) -> f64,
}

const CATCH: &[(&str, &str)] = &[("catch.1.volume", "fl oz"), ("catch.1.time", "s")];
const TIMED: &[(&str, &str)] =
    &[("timed.1.volume", "fl oz"), ("timed.1.catch-time", "s"), ("timed.1.area", "ft2"), ("timed.1.area-time", "s")];
const USED: &[(&str, &str)] = &[("used.1.volume", "gal"), ("used.1.area", "ft2")];
const PASS: &[(&str, &str)] =
    &[("pass.1.length", "ft"), ("pass.1.spacing", "ft"), ("pass.1.passes", ""), ("pass.1.time", "s")];
const TANK: &[(&str, &str)] =
    &[("tank", "gal"), ("application-rate", "gal/1000 ft2"), ("product.1.rate", "fl oz/1000 ft2")];
const TOP_UP: &[(&str, &str)] =
    &[("tank", "gal"), ("application-rate", "gal/1000 ft2"), ("left", "gal"), ("product.1.rate", "fl oz/1000 ft2")];
const BOOM: &[(&str, &str)] = &[("nozzle-flow", "gal/min"), ("speed", "mph"), ("spacing", "in")];
const FLOW: &[(&str, &str)] = &[("flow", "gal/min"), ("pressure", "psi"), ("new-pressure", "psi")];
const LIQUID: &[(&str, &str)] = &[("strength", "lb/gal"), ("ai-wanted", "lb/acre")];
const SIDES: &[(&str, &str)] = &[("rectangle.1.length", "ft"), ("rectangle.1.width", "ft")];
const ROUND: &[(&str, &str)] = &[("circle.1.diameter", "ft")];
const NEW_TIP: &[(&str, &str)] = &[("rated-flow", "gal/min"), ("rated-pressure", "psi"), ("test-pressure", "psi")];

const FORMULAS: &[Formula] = &[
    formula("catch-test/nozzle-output", "gal/min", CATCH, "partial-minute-catch-called-gpm", |n| {
        n("catch.1.volume") / 128.0
    }),
    formula("catch-test/nozzle-output", "gal/min", CATCH, "128-forgotten-divides-by-100", |n| {
        n("catch.1.volume") / 100.0 * 60.0 / n("catch.1.time")
    }),
    formula("catch-test/nozzle-output", "gal/min", CATCH, "quart-for-gallon", |n| {
        n("catch.1.volume") / 32.0 * 60.0 / n("catch.1.time")
    }),
    formula("catch-test/nozzle-output", "gal/min", CATCH, "another-unit", |n| {
        n("catch.1.volume") * 60.0 / n("catch.1.time")
    }),
    formula("catch-test/nozzle-output", "gal/min", CATCH, "seconds-taken-as-minutes", |n| {
        n("catch.1.volume") / 128.0 / n("catch.1.time")
    }),
    formula("catch-test/nozzle-output", "gal/min", CATCH, "sixty-and-128-forgotten", |n| {
        n("catch.1.volume") / n("catch.1.time")
    }),
    formula("application-rate/application-rate", "gal/1000 ft2", TIMED, "catch-time-not-scaled", |n| {
        n("timed.1.volume") / 128.0 * 1000.0 / n("timed.1.area")
    }),
    formula("application-rate/application-rate", "gal/1000 ft2", TIMED, "time-ratio-upside-down", |n| {
        n("timed.1.volume") * n("timed.1.catch-time") / n("timed.1.area-time") / 128.0 * 1000.0 / n("timed.1.area")
    }),
    formula("application-rate/application-rate", "gal/1000 ft2", TIMED, "not-scaled-to-1000", |n| {
        n("timed.1.volume") / n("timed.1.catch-time") * n("timed.1.area-time") / 128.0
    }),
    formula("application-rate/application-rate", "gal/1000 ft2", USED, "not-scaled-to-1000", |n| n("used.1.volume")),
    formula("swath-timing/area-rate", "ft2/min", PASS, "one-pass-only", |n| {
        n("pass.1.length") * n("pass.1.spacing") * 60.0 / n("pass.1.time")
    }),
    formula("swath-timing/area-rate", "ft2/min", PASS, "overlap-corrected-twice", |n| {
        n("pass.1.length") * n("pass.1.spacing") / 2.0 * n("pass.1.passes") * 60.0 / n("pass.1.time")
    }),
    formula("swath-timing/area-rate", "ft2/min", PASS, "seconds-taken-as-minutes", |n| {
        n("pass.1.length") * n("pass.1.spacing") * n("pass.1.passes") / n("pass.1.time")
    }),
    formula("tank-mix/product-1-amount", "fl oz", TANK, "gallons-taken-for-thousands", |n| {
        n("tank") * n("product.1.rate")
    }),
    formula("tank-mix/product-1-amount", "fl oz", TOP_UP, "capacity-for-mix-left", |n| {
        n("tank") / n("application-rate") * n("product.1.rate")
    }),
    formula("boom-output/rate", "gal/acre", BOOM, "5940-with-feet", |n| {
        5940.0 * n("nozzle-flow") / (n("speed") * n("spacing") / 12.0)
    }),
    formula("boom-output/rate-per-1000-ft2", "gal/1000 ft2", BOOM, "gpa-constant-for-per-1000", |n| {
        5940.0 * n("nozzle-flow") / (n("speed") * n("spacing"))
    }),
    formula("pressure-flow/new-flow", "gal/min", FLOW, "pressure-linear", |n| {
        n("flow") * n("new-pressure") / n("pressure")
    }),
    formula("nozzle-wear/rated-flow-at-test", "gal/min", NEW_TIP, "rated-flow-linear", |n| {
        n("rated-flow") * n("test-pressure") / n("rated-pressure")
    }),
    formula("active-ingredient/product-rate", "fl oz/acre", LIQUID, "ai-rate-as-product-rate-liquid", |n| {
        n("ai-wanted") * 128.0
    }),
    formula("active-ingredient/product-rate", "fl oz/acre", LIQUID, "multiplied-by-strength", |n| {
        n("ai-wanted") * n("strength") * 128.0
    }),
    formula("lawn-area/area", "ft2", SIDES, "sides-added", |n| {
        2.0 * (n("rectangle.1.length") + n("rectangle.1.width"))
    }),
    formula("lawn-area/area", "ft2", SIDES, "length-plus-width", |n| n("rectangle.1.length") + n("rectangle.1.width")),
    formula("lawn-area/area", "ft2", ROUND, "diameter-for-radius", |n| {
        std::f64::consts::PI * n("circle.1.diameter").powi(2)
    }),
    formula("lawn-area/area", "ft2", ROUND, "radius-not-squared", |n| {
        std::f64::consts::PI * n("circle.1.diameter") / 2.0
    }),
];

const fn formula(
    asks: &'static str,
    answer_in: &'static str,
    given: &'static [(&'static str, &'static str)],
    named: &'static str,
    wrong: fn(Number) -> f64,
) -> Formula {
    Formula { asks, answer_in, given, named, wrong }
}

/// Inputs that change nothing in the workings below.
const BESIDE: &[&str] = &["label-max", "name", "method", "wetted-width", "tolerance", "target", "nozzles", "turns"];

/// Whether a formula is about the question as it is posed: its inputs, in its units, and no others that matter.
fn is_about(formula: &Formula, posed: &Posed) -> bool {
    let fits = |(name, unit): &(&str, &str)| {
        let typed = posed.given.text(name).filter(|text| !is_compound(text));
        typed.is_some() && posed.worked.inputs.typed(name).is_some_and(|typed| typed.unit == Unit::of(unit))
    };
    let known = |name: &str| {
        let last = name.rsplit('.').next().unwrap_or(name);
        formula.given.iter().any(|(listed, _)| *listed == name) || BESIDE.contains(&last)
    };
    let only = posed.given.0.iter().all(|(name, _)| known(name));
    formula.given.iter().all(fits) && only && posed.unit == Unit::of(formula.answer_in)
}

/// Figures of a number as it is written, without the zeros at its ends.
fn figures(answer: &Answer) -> usize {
    let Answer::Text(text) = answer else { return 0 };
    let number = text.split(' ').next().unwrap_or_default();
    number.chars().filter(char::is_ascii_digit).collect::<String>().trim_matches('0').len()
}

fn named(posed: &Posed, answer: &Answer) -> &'static str {
    match number(posed, answer) {
        Verdict::Right | Verdict::Coarse => "right",
        Verdict::Wrong(Some(recognised)) => recognised.mistake.id,
        Verdict::Wrong(None) => "none",
        Verdict::Ask(Query::Figure(_)) => "one more figure",
        Verdict::Ask(_) => "asked",
    }
}

#[test]
fn wrong_workings_written_apart_are_named_for_what_they_are() {
    let mut tally: BTreeMap<(&str, &str), [u32; 4]> = BTreeMap::new();
    for question in every() {
        for formula in FORMULAS.iter().filter(|formula| formula.asks == question.asks) {
            for seed in 0..SEEDS.min(question.offered.count()) {
                let posed = question.draw(question.draw_at(seed)).expect("it was judged");
                if !is_about(formula, &posed) {
                    break;
                }
                let value = |name: &str| posed.typed(name).unwrap_or_else(|| panic!("no {name}")).value();
                let si = (formula.wrong)(&value) * posed.unit.size();
                let answer = typed(si, &posed.unit);
                let three = named(&posed, &answer);
                // 120 may be all that was worked out, or two figures of something else; then one more is requested.
                let named_so = three == formula.named || three == "one more figure" && figures(&answer) <= 2;
                let [all, right, other, two] = tally.entry((&question.id, formula.named)).or_default();
                *all += 1;
                *right += u32::from(named_so);
                *other += u32::from(!["none", "one more figure", formula.named].contains(&three));
                let figures = exact(to_figures(si / posed.unit.size(), 2)).replace(',', "");
                let coarse = named(&posed, &Answer::Text(format!("{figures} {}", posed.unit.plain())));
                *two += u32::from([formula.named, "one more figure"].contains(&coarse));
            }
        }
    }
    let sums = tally.values().fold([0; 4], |sum, one| [0, 1, 2, 3].map(|index| sum[index] + one[index]));
    let [all, right, other, two] = sums;
    println!(
        "{} pairs of question and wrong working, {all} answers: {right} named, {other} named otherwise; {two} to two figures",
        tally.len()
    );
    let weak: Vec<_> =
        tally.iter().filter(|(_, [all, right, other, _])| right * 100 < all * 95 || other * 100 > *all).collect();
    assert!(tally.len() >= 40, "{} pairs", tally.len());
    assert!(right * 100 >= all * 95 && other * 100 <= all, "{right} and {other} of {all}: {weak:?}");
    assert!(two * 100 >= all * 80, "{two} of {all} to two figures");
    let exercised: std::collections::BTreeSet<&str> = tally.keys().map(|(_, named)| *named).collect();
    let idle: Vec<&str> =
        FORMULAS.iter().map(|formula| formula.named).filter(|named| !exercised.contains(named)).collect();
    assert!(idle.is_empty(), "no question for {idle:?}");
}
