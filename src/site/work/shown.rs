//! Every calculator of the registry with what the pages and the formula sheet show of it.

use super::facts::{Facts, Situation, facts};
use crate::catalogue::{self, Situations};
use crate::site::ready;
use std::sync::OnceLock;
use tankside_calc::calculation::declare::Calculator;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

/// A calculator with what the pages show of it.
#[derive(Debug)]
pub(in crate::site) struct Shown {
    pub(in crate::site) calculator: &'static Calculator,
    /// Its shelf on the first page; empty if none is named.
    pub(in crate::site) shelf: String,
    /// The units of the course.
    system: System,
    /// Further problems, beside its example.
    situations: Vec<Situation>,
    /// In the course's words, made when they are first needed: its page, the formula sheet and the search show them.
    facts: OnceLock<Result<Facts, String>>,
}

impl Shown {
    /// Path of its page in the site.
    pub(in crate::site) fn page(&self) -> String {
        format!("work/{}.html", self.calculator.id)
    }

    /// What has to be worked out, in the words of the course.
    ///
    /// # Errors
    /// A situation that cannot be worked; only a developer sees it.
    pub(in crate::site) fn facts(&self, phrases: &Phrases) -> Result<&Facts, String> {
        let made = || {
            let before = ready::facts(self.calculator.id, self.system, phrases);
            before.map_or_else(|| facts(self.calculator, &self.situations, self.system, phrases), Ok)
        };
        self.facts.get_or_init(made).as_ref().map_err(String::clone)
    }
}

/// Every calculator of the registry, in the units of a course.
///
/// # Errors
/// A file of the stock content that cannot be read; only a developer sees it.
pub(in crate::site) fn shown(system: System) -> Result<Vec<Shown>, String> {
    CALCULATORS.iter().map(|calculator| show(calculator, system)).collect()
}

fn show(calculator: &'static Calculator, system: System) -> Result<Shown, String> {
    let Situations { shelf, situations } = catalogue::situations(calculator.id)?.unwrap_or_default();
    Ok(Shown { calculator, shelf, system, situations, facts: OnceLock::new() })
}

#[cfg(test)]
mod tests {
    use super::super::facts::worked;
    use super::*;
    use std::collections::BTreeSet;
    use std::path::Path;
    use tankside_calc::calculation::worked::Worked;

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
        let worked = |one: &Shown| worked(one.calculator, &one.situations, one.system).expect("they can be worked");
        own.flat_map(|one| worked(one).iter().flat_map(of).collect::<Vec<_>>()).collect()
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
