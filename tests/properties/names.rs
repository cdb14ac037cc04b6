//! Results and steps of an answer can be told apart: no two of them share a name, unless they are the same step said
//! once for each of two results.

use super::{Reach, taken};
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::WorkedResult;

/// Whether somebody gave two rows one name: what is theirs stays as they wrote it.
fn named_alike(worked: &Worked) -> bool {
    let flat = worked.inputs.names().filter(|flat| flat.ends_with(".name"));
    let names: Vec<&str> = flat.filter_map(|flat| worked.inputs.word_at(flat)).collect();
    (0..names.len()).any(|at| names[..at].contains(&names[at]))
}

/// The name of a result as its place in the answer says it: what is compared has its row at the head of its column.
fn name(worked: &Worked, found: &WorkedResult, phrases: &Phrases) -> String {
    let name = say::result_name(worked, found, phrases);
    match worked.calculator.compare.is_some().then(|| found.rows.first()).flatten() {
        Some(row) => format!("{name}, in column {row:?}"),
        None => name,
    }
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
                        (name(&worked, one, &phrases), format!("{} ({})", say::outcome(one, &phrases), one.name()))
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
