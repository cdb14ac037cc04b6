//! How likely an answer is to be blamed on a mistake by chance: for every template, over every answer of three figures
//! within a factor of ten of the right one, each weighed by the share of all answers that round to it.

use crate::every;
use tankside_calc::mistakes;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::question::Question;
use tankside_calc::question::score::{Answer, Verdict, number};
use tankside_calc::question::template::Posed;
use tankside_calc::text::figures::{exact, to_figures};

/// Draws of each template.
const DRAWS: u32 = 12;

/// Every answer of three figures within a factor of ten of `right`, and how much of the whole rounds to it.
fn answers(right: f64) -> Vec<(f64, f64)> {
    let size = right.abs();
    let mut all = Vec::with_capacity(1802);
    let mut scale = 10_f64.powi((size / 10.0).log10().floor() as i32 - 2);
    let mut step = (size / 10.0 / scale).ceil();
    while step * scale <= size * 10.0 {
        let value = step * scale;
        let weight = ((step + 0.5) / (step - 0.5)).log10() / 2.0;
        all.push((to_figures(value, 3).copysign(right), weight));
        step += 1.0;
        if step >= 1000.0 {
            (step, scale) = (100.0, scale * 10.0);
        }
    }
    all
}

/// Numbers that a blame could be near: what the mistakes lead to, and what would be right in another unit.
fn blamed_near(posed: &Posed) -> Vec<f64> {
    let (problem, unit) = (posed.right_working(), &posed.unit);
    let made = mistakes::all().filter_map(|mistake| {
        let full = mistake.leads_to(&problem, unit)?;
        Some([full, mistake.leads_to_rounded(&problem, unit).unwrap_or(full)])
    });
    let kind = Kind::of(unit).expect("a kind");
    let units = posed.worked.inputs.quantities().map(|(_, typed)| &typed.unit);
    let units = units.chain(posed.beside.iter().map(|(_, typed)| &typed.unit)).cloned();
    let (us, metric) = kind.offered();
    let units = units.chain(us.iter().chain(metric).copied());
    let units: Vec<Unit> = units.filter(|other| other.dim() == unit.dim()).collect();
    let others = units.iter().map(|other| posed.si / other.size() * unit.size());
    made.flatten().chain(others).chain([-posed.si]).map(|si| si / unit.size()).collect()
}

/// The share of answers drawn at random that are blamed on a mistake.
fn chance(posed: &Posed) -> f64 {
    let near = blamed_near(posed);
    let right = posed.si / posed.unit.size();
    // That nothing else is blamed is tested with random answers, in `apart`.
    let possible = |value: f64| near.iter().any(|other| (value - other).abs() <= 0.01 * other.abs());
    let blamed = answers(right).into_iter().filter(|(value, _)| {
        let answer = format!("{} {}", exact(*value).replace(',', "").replace('−', "-"), posed.unit.plain());
        possible(*value) && matches!(number(posed, &Answer::Text(answer)), Verdict::Wrong(Some(_)))
    });
    blamed.map(|(_, weight)| weight).sum()
}

#[test]
fn of_a_hundred_answers_at_random_one_is_blamed_at_most_in_every_template() {
    let all: Vec<&Question> = every().iter().collect();
    let shares = crate::apart::on_all_cores(&all, |question| {
        let draws = DRAWS.min(question.offered.count());
        let sum: f64 =
            (0..draws).map(|seed| chance(&question.draw(question.draw_at(seed)).expect("it was judged"))).sum();
        (sum / f64::from(draws), question.id.as_str())
    });
    let mut shares = shares;
    shares.sort_by(|one, other| other.0.total_cmp(&one.0));
    let mean = shares.iter().map(|(share, _)| share).sum::<f64>() / shares.len() as f64;
    println!("{:.2} % on the whole; most {:?}", mean * 100.0, &shares[..shares.len().min(30)]);
    let over: Vec<_> = shares.iter().filter(|(share, _)| *share > 0.01).collect();
    assert!(over.is_empty(), "{} templates blame more than one in a hundred: {over:?}", over.len());
}
