//! How sure a result is, in words and on a page.

use crate::{read, worked};
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::page::worked::{Options, fragment};
use tankside_calc::uncertainty::Longer;
use tankside_calc::words::phrases::places;
use tankside_calc::words::uncertainty as words;
use tankside_calc::working::record::System;

#[test]
fn no_doubt_is_finer_than_what_is_shown_and_no_advice_is_beyond_doing() {
    // "47 gal ± 0.0003", "between 1.4 and 1.4", "about 21 in all instead of 2", "8992 ft² in all", "read that more
    // finely".
    let phrases = tankside::catalogue::phrases("en").expect("a readable catalogue").unwrap_or_default();
    let mut shown = 0;
    for calculator in CALCULATORS {
        for (system, pairs) in [(System::Us, calculator.example), (System::Metric, calculator.example_metric)] {
            for scale in [1.0, 0.01, 30.0] {
                let mut worked = worked(calculator.id, pairs, system);
                // The same problem with every doubt so much smaller or larger.
                for budget in &mut worked.budgets {
                    budget.standard *= scale;
                }
                for budget in &worked.budgets {
                    let unit = words::unit_of(&worked, budget).expect("a quantity");
                    let line = words::result(budget, unit, &phrases);
                    let explained = words::explained(budget, unit, "It", &phrases);
                    let name = format!("{} {} × {scale}: {line} {explained}", calculator.id, system.id());
                    let Some((value, rest)) = line.split_once(" ± ") else {
                        assert!(!explained.contains("between"), "{name}");
                        continue;
                    };
                    let margin = rest.split(' ').next().expect("a number");
                    let decimals = |text: &str| text.split_once('.').map_or(0, |(_, part)| part.len());
                    assert_eq!(decimals(value), decimals(margin), "{name}");
                    let figures = margin.trim_start_matches(['0', '.']).replace(['.', ','], "");
                    assert!(matches!(figures.trim_end_matches('0').len(), 1 | 2), "{name}");
                    let (_, bounds) = explained.split_once("between ").expect("bounds");
                    let (low, high) = bounds.split_once(" and ").expect("two bounds");
                    assert_ne!(low, high.split(". The ±").next().expect("the end"), "{name}");
                    shown += 1;
                }
                for budget in &worked.budgets {
                    let advice = words::answer(&worked, budget, &phrases);
                    assert!(!advice.contains("{") && !advice.contains("more finely"), "{advice}");
                    match &budget.longer {
                        Longer::Times { factor, .. } => assert!(*factor <= 4.0, "{advice}"),
                        Longer::Repeats { now, needed } => assert!(*needed <= 6.max(now + 2), "{advice}"),
                        _ => {}
                    }
                }
            }
        }
    }
    assert!(shown >= 40, "{shown}");
}

#[test]
fn a_page_says_how_sure_and_leaves_no_place_open() {
    let phrases = tankside::catalogue::phrases("en").expect("a readable catalogue").unwrap_or_default();
    let sixty: Vec<(String, String)> = (1..=60)
        .map(|row| (format!("nozzle.{row}.volume"), format!("{} fl oz", 19 + row % 3)))
        .chain([("nozzle-time".to_owned(), "30 s".to_owned())])
        .collect();
    let mut pages: Vec<(&'static Calculator, RawInputs)> =
        CALCULATORS.iter().map(|one| (*one, RawInputs::from_pairs(read(one, System::Us)))).collect();
    pages.push((calculator("catch-test").expect("it is there"), RawInputs(sixty)));
    for (calculator, given) in pages {
        let options = Options { name: "x", title: "x", system: System::Us, level: 2, ..Options::default() };
        let answer = fragment(calculator, &given, &options, &phrases).answer;
        assert_eq!(answer.contains("tk-sure__table"), !calculator.uncertain.is_empty(), "{}", calculator.id);
        assert!(places(&answer).is_empty(), "{}", calculator.id);
        assert!(!answer.contains("uncertainty."), "{}: a phrase is missing", calculator.id);
        // Readings of one kind share a line, so that even sixty nozzles make a short table.
        assert!(answer.matches("<tr><th scope=\"row\">").count() < 40, "{}", calculator.id);
    }
}
