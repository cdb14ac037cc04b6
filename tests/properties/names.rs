//! Results and steps of an answer can be told apart: no two of them share a name, unless they are the same step said
//! once for each of two results.

use super::{Reach, taken};
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::words::say;

/// Whether somebody gave two rows one name: what is theirs stays as they wrote it.
fn named_alike(worked: &Worked) -> bool {
    let flat = worked.inputs.names().filter(|flat| flat.ends_with(".name"));
    let names: Vec<&str> = flat.filter_map(|flat| worked.inputs.word_at(flat)).collect();
    (0..names.len()).any(|at| names[..at].contains(&names[at]))
}

/// The names that several of these have, with what each of them says.
fn shared(all: Vec<(String, String)>) -> Vec<String> {
    let twice = |at: usize| {
        let (name, said) = &all[at];
        let other = all[..at].iter().find(|(other, other_said)| other == name && other_said != said)?;
        Some(format!("“{name}” is {} and {said}", other.1))
    };
    (0..all.len()).filter_map(twice).collect()
}

#[test]
fn a_name_shared_by_two_is_found() {
    let row = |name: &str, said: &str| (name.to_owned(), said.to_owned());
    assert_eq!(
        shared(vec![row("mix", "2 gal"), row("water", "1 gal"), row("mix", "3 gal")]),
        ["“mix” is 2 gal and 3 gal"]
    );
    assert_eq!(shared(vec![row("mix", "2 gal"), row("mix", "2 gal")]), [""; 0]);
}

#[test]
fn no_two_results_and_no_two_steps_of_an_answer_share_a_name() {
    let phrases = tankside::catalogue::phrases("en").expect("a readable catalogue").expect("English");
    let (mut found, mut pairs) = (Vec::new(), 0);
    for calculator in CALCULATORS {
        for (reach, seed) in [(Reach::Plausible, 31), (Reach::Hard, 32)] {
            for worked in taken(calculator, reach, seed) {
                if named_alike(&worked) {
                    continue;
                }
                let results: Vec<(String, String)> = (worked.results.iter())
                    .map(|one| {
                        let said = format!("{} ({})", say::outcome(one, &phrases), one.name());
                        (say::result_name(&worked, one, &phrases), said)
                    })
                    .collect();
                pairs += results.len() * results.len().saturating_sub(1) / 2;
                let steps: Vec<(String, String)> = (worked.steps.iter())
                    .map(|step| {
                        (
                            say::step_title(&worked, step, &phrases),
                            format!("{} = {}", say::formula(&worked, step, &phrases), say::step_value(step, &phrases)),
                        )
                    })
                    .collect();
                for line in shared(results).into_iter().chain(shared(steps)) {
                    found.push(format!("{}: {line}", calculator.id));
                }
            }
        }
    }
    found.sort();
    found.dedup_by(|one, other| one.split(" is ").next() == other.split(" is ").next());
    assert!(pairs > 5_000, "{pairs}");
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn no_step_of_an_answer_is_shown_twice() {
    let (mut twice, mut count) = (Vec::new(), 0);
    for calculator in CALCULATORS {
        for (reach, seed) in [(Reach::Plausible, 33), (Reach::Hard, 34)] {
            for worked in taken(calculator, reach, seed) {
                // The same inputs and steps in the same formula, shown in the same unit.
                let said: Vec<String> =
                    worked.steps.iter().map(|step| format!("{:?} in {}", step.expr, step.unit.shown())).collect();
                count += said.len();
                for at in 0..said.len() {
                    if let Some(first) = said[..at].iter().position(|other| *other == said[at]) {
                        twice
                            .push(format!("{}: {} and {}", calculator.id, worked.steps[first].id, worked.steps[at].id));
                    }
                }
            }
        }
    }
    twice.sort();
    twice.dedup();
    assert!(count > 5_000, "{count}");
    assert!(twice.is_empty(), "{}", twice.join("\n"));
}
