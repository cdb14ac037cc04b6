//! What the pages show of a calculator that has to be worked out. For the stock's own words it is made when the program
//! is built (`build.rs`).

use super::asks::{InputGroup, groups};
use super::formula::{FormulaRow, formulas};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use tankside_calc::calculation::declare::{Calculator, Holds, Input};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::switch::switched;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::page::worked::{Options, Show, opened, section};
use tankside_calc::text::escape::quantities;
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::{Severity, System};

/// An input by its flat name, with what is typed.
pub(crate) type Situation = BTreeMap<String, String>;

#[derive(Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Facts {
    /// Its own example as a form with its answer; HTML.
    #[serde(skip)]
    pub(crate) example: Cow<'static, str>,
    /// What it takes.
    pub(crate) groups: Vec<InputGroup>,
    /// What it warns of.
    pub(crate) cautions: Vec<CautionRow>,
    pub(crate) formulas: Vec<FormulaRow>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct CautionRow {
    severity: String,
    word: String,
    text: String,
}

/// All of them, with further situations in which it is worked.
///
/// # Errors
/// A situation that cannot be worked; only a developer sees it.
pub(crate) fn facts(
    calculator: &'static Calculator,
    situations: &[Situation],
    system: System,
    phrases: &Phrases,
) -> Result<Facts, String> {
    let worked = worked(calculator, situations, system)?;
    Ok(Facts {
        example: example(calculator, system, phrases).into(),
        groups: groups(calculator, system, phrases),
        cautions: cautions(&worked, phrases),
        formulas: formulas(&worked, phrases),
    })
}

fn example(calculator: &'static Calculator, system: System, phrases: &Phrases) -> String {
    let given = own_example(calculator, system);
    let first = opened(calculator, &given);
    let options = Options {
        name: calculator.id,
        title: phrases.get("site.work-sheet"),
        system,
        level: 2,
        show: Show::Everything,
        first: Some(&first),
        large: "",
        unfolded: None,
        formed: false,
        brief: false,
    };
    section(calculator, &given, &options, phrases)
}

fn own_example(calculator: &Calculator, system: System) -> RawInputs {
    RawInputs::from_pairs(system.pick(calculator.example, calculator.example_metric))
}

/// Its example, without made-up names, and its further situations, worked.
///
/// # Errors
/// One that cannot be worked.
pub(crate) fn worked(
    calculator: &'static Calculator,
    situations: &[Situation],
    system: System,
) -> Result<Vec<Worked>, String> {
    // A made-up name would appear in a formula's title as if it belonged there.
    let named = |name: &str| matches!(calculator.input(name), Some(Input { holds: Holds::Name, .. }));
    let plain = own_example(calculator, system).0.into_iter().filter(|(name, _)| !named(name)).collect();
    let further = situations.iter().map(|one| given(calculator, one, system));
    let one = |(index, given): (usize, RawInputs)| {
        work(calculator, &given, system).map_err(|faults| {
            let which = if index == 0 { "its example".to_owned() } else { format!("situation {index}") };
            format!("{}, {which}: {faults:?}", calculator.id)
        })
    };
    std::iter::once(RawInputs(plain)).chain(further).enumerate().map(one).collect()
}

/// A situation as it is written, in US units, or in round numbers of the other system.
fn given(calculator: &'static Calculator, situation: &Situation, system: System) -> RawInputs {
    let written = RawInputs(situation.clone().into_iter().collect());
    if system == System::Us { written } else { switched(calculator, &written, system) }
}

/// The calculator's own cautions, each as it read when it was first raised, the most serious first.
fn cautions(worked: &[Worked], phrases: &Phrases) -> Vec<CautionRow> {
    let mut seen = BTreeSet::new();
    let mut rows: Vec<(Severity, CautionRow)> = Vec::new();
    for one in worked {
        for caution in one.cautions.iter().filter(|caution| caution.id.starts_with(one.calculator.id)) {
            // One nozzle or several: the same warning.
            if seen.insert(caution.id.trim_end_matches("-one")) {
                let severity = caution.severity.id().to_owned();
                let word = phrases.get(&format!("severity.{severity}")).to_owned();
                let text = quantities(&say::caution(one, caution, phrases));
                rows.push((caution.severity, CautionRow { severity, word, text }));
            }
        }
    }
    rows.sort_by_key(|(severity, _)| std::cmp::Reverse(*severity));
    rows.into_iter().map(|(_, row)| row).collect()
}
