//! The published cases of `tests/cases`, worked by the core and by the `work` command.
//!
//! The same files are worked by WebAssembly and by a page in `tests/browser/cases.test.mjs`.

mod case_files;

use case_files::{Case, Expected, Within, cases, entries, folder};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::uncertainty::work;
use tankside_calc::working::line;
use tankside_calc::working::record::{Outcome, System};

fn system(case: &Case) -> System {
    System::from_id(&case.units).expect("us or metric")
}

fn worked(case: &Case) -> Result<Worked, String> {
    let known = calculator(&case.calculator).ok_or_else(|| format!("no calculator `{}`", case.calculator))?;
    work(known, &RawInputs(case.given.clone()), system(case)).map_err(|faults| format!("{}: {faults:?}", case.name))
}

/// Runs `check` over every case, on every core of the machine, and fails with all that went wrong.
fn every_case(check: fn(&Case) -> Result<(), String>) -> usize {
    let cases = cases();
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let wrong: Vec<String> = std::thread::scope(|scope| {
        let parts: Vec<_> = cases
            .chunks(cases.len().div_ceil(threads).max(1))
            .map(|part| scope.spawn(move || part.iter().filter_map(|case| check(case).err()).collect::<Vec<_>>()))
            .collect();
        parts.into_iter().flat_map(|part| part.join().expect("the checks do not panic")).collect()
    });
    assert!(wrong.is_empty(), "{} of {} cases:\n{}", wrong.len(), cases.len(), wrong.join("\n"));
    cases.len()
}

#[test]
fn every_case_holds_in_the_core() {
    let count = every_case(|case| {
        let worked = worked(case)?;
        for (name, expected) in &case.expect {
            let found = worked.result(name).ok_or_else(|| format!("{}: no result {name}", case.name))?;
            match (expected, &found.outcome) {
                (Expected::Verdict(id), Outcome::Verdict(found)) if id == found => {}
                (Expected::Quantity(figure), Outcome::Quantity(_, unit)) if unit.dim() == figure.unit.dim() => {
                    let value = worked.value_in(name, &figure.unit.plain()).unwrap_or(f64::NAN);
                    if !figure.fits(value) {
                        return Err(format!("{}: {name} is {value}, not {}", case.name, figure.value));
                    }
                    if figure.within == Within::Stated
                        && figure.off > figure.half_digit
                        && figure.fits_the_last_digit(value)
                    {
                        return Err(format!("{}: {name} is {value} and needs no tolerance", case.name));
                    }
                }
                (_, outcome) => return Err(format!("{}: {name} is {outcome:?}", case.name)),
            }
        }
        cautions(case, worked.cautions.iter().map(|caution| caution.id.to_owned()).collect())
    });
    println!("{count} cases in the core");
}

fn cautions(case: &Case, mut raised: Vec<String>) -> Result<(), String> {
    raised.sort();
    match &case.cautions {
        Some(ids) if *ids != raised => Err(format!("{}: cautions {raised:?}, not {ids:?}", case.name)),
        _ => Ok(()),
    }
}

#[test]
fn the_working_shown_comes_to_the_result_in_every_case() {
    every_case(|case| {
        for step in &worked(case)?.steps {
            let (shown, value) = (line::evaluate(&line::numbers(step)), step.si / step.unit.size());
            // Numbers in a shown working are printed to 12 digits at least.
            if (shown - value).abs() > 1e-9 * value.abs().max(1e-9) {
                let text = line::signs(&line::numbers(step));
                return Err(format!("{}: {} shows {text} = {shown}, not {value}", case.name, step.id));
            }
        }
        Ok(())
    });
}

#[test]
fn every_case_holds_through_the_command() {
    let count = every_case(|case| {
        let fault = |what: String| Err(format!("{}: {what}", case.name));
        let mut command = Command::new(env!("CARGO_BIN_EXE_tankside"));
        command.args(["work", &case.calculator, "--json", "--units", &case.units]);
        command.args(case.given.iter().map(|(name, text)| format!("{name}={text}")));
        for (name, expected) in &case.expect {
            if let Expected::Quantity(figure) = expected
                && !figure.unit.is_none()
            {
                command.arg("--in").arg(format!("{name}={}", figure.unit.plain()));
            }
        }
        let output = command.output().map_err(|fault| fault.to_string())?;
        if !output.status.success() {
            return fault(String::from_utf8_lossy(&output.stderr).into_owned());
        }
        let answer: Value = serde_json::from_slice(&output.stdout).map_err(|fault| fault.to_string())?;
        let native = worked(case)?;
        for (name, expected) in &case.expect {
            let result = &answer["results"][name];
            match expected {
                Expected::Verdict(id) if result["verdict"] == id.as_str() => {}
                Expected::Verdict(id) => return fault(format!("{name} is {result}, not {id}")),
                Expected::Quantity(figure) => {
                    let value = result["value"].as_f64().unwrap_or(f64::NAN);
                    if result["unit"] != figure.unit.plain() || !figure.fits(value) {
                        return fault(format!("{name} is {result}, not {} {}", figure.value, figure.unit.plain()));
                    }
                    if native.value_in(name, &figure.unit.plain()) != Some(value) {
                        return fault(format!("{name} is {value}, in the core {:?}", native.si_at(name)));
                    }
                }
            }
        }
        let raised = answer["cautions"].as_array().into_iter().flatten();
        cautions(case, raised.filter_map(|caution| Some(caution["id"].as_str()?.to_owned())).collect())
    });
    println!("{count} cases through the command");
}

#[test]
fn a_case_has_a_name_of_its_own_and_every_calculator_a_case_in_both_unit_systems() {
    let mut names = BTreeSet::new();
    let mut systems: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for case in cases() {
        assert!(names.insert(case.name.clone()), "two cases are called `{}`", case.name);
        assert!(calculator(&case.calculator).is_some(), "{}: no calculator {}", case.name, case.calculator);
        systems.entry(case.calculator).or_default().insert(case.units);
    }
    for calculator in CALCULATORS {
        let have = systems.get(calculator.id).map_or(0, BTreeSet::len);
        assert_eq!(have, 2, "{} has no case in US or none in metric units", calculator.id);
    }
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct NotExpressed {
    /// Ids of reference cases that share the reason.
    cases: Vec<String>,
    /// Where the rest of a case is in the suite: the part that is not.
    #[serde(default)]
    part: Option<String>,
    /// Why no calculator works it.
    why: String,
}

#[test]
fn every_reference_case_is_in_the_suite_or_listed_with_its_reason() {
    let text = |name: &str| std::fs::read_to_string(folder().join(name)).expect("a readable list");
    let list = text("reference-ids.txt");
    let known: BTreeSet<&str> = list.lines().filter(|line| !line.is_empty() && !line.starts_with('#')).collect();
    let entries = entries();
    let expressed: BTreeSet<&str> = entries.iter().flat_map(|(_, entry)| entry.ids()).collect();
    let told: Vec<NotExpressed> = serde_yaml::from_str(&text("not-expressed.yaml")).expect("a list of reasons");
    let mut whole: BTreeSet<&str> = BTreeSet::new();
    for reason in &told {
        assert!(reason.why.len() > 20, "{:?}: a reason is a sentence", reason.cases);
        for id in reason.cases.iter().map(String::as_str) {
            assert!(known.contains(id), "no reference case is called {id}");
            assert_eq!(expressed.contains(id), reason.part.is_some(), "{id}: in the suite only where a part is not");
            assert!(reason.part.is_some() || whole.insert(id), "{id} is listed twice");
        }
    }
    let strange: Vec<&&str> = expressed.iter().filter(|id| !known.contains(*id)).collect();
    assert!(strange.is_empty(), "`case` names what is not in reference-ids.txt; leave it out: {strange:?}");
    let lost: Vec<&&str> = known.iter().filter(|id| !expressed.contains(*id) && !whole.contains(*id)).collect();
    assert!(lost.is_empty(), "neither in the suite nor listed with a reason: {lost:?}");
}
