//! Every calculator of the registry with its example and situations worked: what the pages and the formula sheet show.

use super::super::formulas::FormulaPart;
use crate::catalogue::{self, Situations};
use std::collections::BTreeMap;
use std::sync::OnceLock;
use tankside_calc::calculation::declare::{Calculator, Holds, Input};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::switch::switched;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::System;

/// A calculator with what the pages show of it.
#[derive(Debug)]
pub(in crate::site) struct Shown {
    pub(in crate::site) calculator: &'static Calculator,
    /// Its own example in the course's units.
    pub(in crate::site) example: RawInputs,
    /// Its example, without made-up names, and its further situations, worked.
    pub(in crate::site) worked: Vec<Worked>,
    /// Its shelf on the first page; empty if none is named.
    pub(in crate::site) shelf: String,
    /// Its formulas in the course's words, made when they are first needed.
    pub(in crate::site) formulas: OnceLock<FormulaPart>,
}

impl Shown {
    /// Path of its page in the site.
    pub(in crate::site) fn page(&self) -> String {
        format!("work/{}.html", self.calculator.id)
    }
}

/// Every calculator of the registry, its example and situations worked.
///
/// # Errors
/// A file of the stock content that cannot be read, or a situation that cannot be worked; only a developer sees it.
pub(in crate::site) fn shown(system: System) -> Result<Vec<Shown>, String> {
    CALCULATORS.iter().map(|calculator| show(calculator, system)).collect()
}

fn show(calculator: &'static Calculator, system: System) -> Result<Shown, String> {
    let example = RawInputs::from_pairs(system.pick(calculator.example, calculator.example_metric));
    let known = catalogue::situations(calculator.id)?;
    let Situations { shelf, situations } = known.unwrap_or_default();
    // A made-up name would appear in a formula's title as if it belonged there.
    let named = |name: &str| matches!(calculator.input(name), Some(Input { holds: Holds::Name, .. }));
    let plain = RawInputs(example.0.iter().filter(|(name, _)| !named(name)).cloned().collect());
    let mut worked = Vec::new();
    for (index, given) in
        std::iter::once(plain).chain(situations.iter().map(|one| given(calculator, one, system))).enumerate()
    {
        worked.push(work(calculator, &given, system).map_err(|faults| {
            let which = if index == 0 { "its example".to_owned() } else { format!("situation {index}") };
            format!("{}, {which}: {faults:?}", calculator.id)
        })?);
    }
    Ok(Shown { calculator, example, worked, shelf, formulas: OnceLock::new() })
}

/// A situation as it is written, in US units, or in round numbers of the other system.
fn given(calculator: &'static Calculator, situation: &BTreeMap<String, String>, system: System) -> RawInputs {
    let written = RawInputs(situation.clone().into_iter().collect());
    if system == System::Us { written } else { switched(calculator, &written, system) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use std::path::Path;
    use tankside_calc::words::phrases::Phrases;

    fn phrases() -> Phrases {
        catalogue::first_phrases().clone()
    }

    fn both() -> Vec<Shown> {
        let mut all = shown(System::Us).expect("every situation can be worked");
        all.extend(shown(System::Metric).expect("in metric units, too"));
        all
    }

    /// Message ids in a calculator's source whose phrase is a sentence of its own: a refusal begins with what it
    /// refuses, a constant's name ends without a full stop.
    fn cautions_in_source(calculator: &Calculator) -> BTreeSet<String> {
        let file = format!("calc-wasm/src/calculators/{}.rs", calculator.id.replace('-', "_"));
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
        let source = std::fs::read_to_string(&path).unwrap_or_else(|fault| panic!("{}: {fault}", path.display()));
        let code = source.lines().filter(|line| !line.trim_start().starts_with("//"));
        let code = code.collect::<Vec<_>>().join(" ");
        let phrases = phrases();
        let sentence = |id: &str| {
            let text = phrases.find(id).unwrap_or_default();
            text.ends_with('.') && !text.starts_with("{input}:") && !text.starts_with("{group}:")
        };
        let start = format!("{}.", calculator.id);
        // Every second piece is between quotation marks.
        let pieces: Vec<&str> = code.split('"').collect();
        let literals = pieces.chunks_exact(2).map(|pair| (pair[0].trim_end(), pair[1]));
        let ids = literals
            .filter(|(before, _)| !before.ends_with("Fault::new("))
            .map(|(_, id)| id)
            .filter(|id| id.strip_prefix(start.as_str()).is_some_and(|name| !name.contains('.') && name != "summary"));
        ids.filter(|id| sentence(id)).map(ToOwned::to_owned).collect()
    }

    /// Calculators whose page shows more than their example; the others' pages are whole, but show less.
    fn with_situations() -> impl Iterator<Item = &'static Calculator> {
        let known = |id: &str| catalogue::situations(id).expect("a readable file").is_some();
        CALCULATORS.iter().copied().filter(move |calculator| known(calculator.id))
    }

    /// What the recordings of a calculator's example and situations hold, in either system of units.
    fn recorded(
        calculator: &Calculator,
        all: &[Shown],
        of: fn(&Worked) -> Vec<&'static str>,
    ) -> BTreeSet<&'static str> {
        let own = all.iter().filter(|one| one.calculator.id == calculator.id);
        own.flat_map(|one| &one.worked).flat_map(of).collect()
    }

    #[test]
    fn a_calculators_page_knows_every_caution_that_its_code_may_raise() {
        let all = both();
        let mut silent = Vec::new();
        for calculator in with_situations() {
            let raised = recorded(calculator, &all, |worked| worked.cautions.iter().map(|one| one.id).collect());
            let unraised = cautions_in_source(calculator).into_iter().filter(|id| !raised.contains(id.as_str()));
            silent.extend(
                unraised.map(|id| format!("content/work/{}.yaml has no situation that raises {id}", calculator.id)),
            );
        }
        assert!(silent.is_empty(), "{}", silent.join("\n"));
    }

    #[test]
    fn the_formula_sheet_has_every_step_that_has_a_name() {
        let (all, phrases) = (both(), phrases());
        let mut missing = Vec::new();
        for calculator in with_situations() {
            let start = format!("{}.step.", calculator.id);
            let shown = recorded(calculator, &all, |worked| worked.steps.iter().map(|step| step.id).collect());
            let named = phrases.iter().map(|(key, _)| key).filter(|key| key.starts_with(&start));
            let unshown = named.filter(|key| !shown.contains(key));
            missing
                .extend(unshown.map(|key| format!("content/work/{}.yaml has no situation with {key}", calculator.id)));
        }
        assert!(missing.is_empty(), "{}", missing.join("\n"));
    }

    #[test]
    fn a_situation_file_belongs_to_a_calculator() {
        let folder = crate::embedded::CONTENT.get_dir("work").expect("the folder is in the tree");
        for file in folder.files() {
            let stem = file.path().file_stem().and_then(|stem| stem.to_str()).unwrap_or_default();
            assert!(CALCULATORS.iter().any(|calculator| calculator.id == stem), "{stem}");
        }
    }
}
