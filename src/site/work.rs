//! A page for each calculator, made from its declaration, and their list on the first page.

use super::pages::{Link, Pages};
use crate::catalogue::{self, Situations};
use crate::course::ReadyLesson;
use crate::load::Lesson;
use crate::markdown::Part;
use serde::Serialize;
use serde_yaml::Value;
use std::collections::{BTreeMap, BTreeSet};
use tankside_calc::declare::{Bounds, Calculator, Entry, Holds, Input, Need};
use tankside_calc::escape::quantities;
use tankside_calc::figures::{exact, to_figures, without_noise};
use tankside_calc::fragment::{Options, section};
use tankside_calc::given::Given;
use tankside_calc::kind::Kind;
use tankside_calc::phrases::{Phrases, capital};
use tankside_calc::record::{Severity, System};
use tankside_calc::registry::CALCULATORS;
use tankside_calc::say;
use tankside_calc::typed;
use tankside_calc::unit::Unit;
use tankside_calc::worked::{Worked, work};

/// The shelves of the first page, in order; one that a calculator names and that is not here comes last.
const SHELVES: &[&str] = &["calibrate", "mix", "measure", "convert"];
/// Lessons named on a calculator's page before the rest is only counted.
const LESSONS_NAMED: usize = 12;

/// A calculator with what the pages show of it.
pub(super) struct Shown {
    pub(super) calculator: &'static Calculator,
    /// Its own example in the course's units.
    pub(super) example: Given,
    /// Its example, without names of anybody's own, and its further situations, worked.
    pub(super) worked: Vec<Worked>,
    shelf: String,
}

impl Shown {
    /// Path of its page in the site.
    pub(super) fn page(&self) -> String {
        format!("work/{}.html", self.calculator.id)
    }
}

/// Every calculator of the registry, its example and situations worked.
///
/// # Errors
/// A file of the stock content that cannot be read, or a situation that cannot be worked; only a developer sees it.
pub(super) fn shown(system: System) -> Result<Vec<Shown>, String> {
    CALCULATORS.iter().map(|calculator| show(calculator, system)).collect()
}

fn show(calculator: &'static Calculator, system: System) -> Result<Shown, String> {
    let example = Given::from_pairs(system.pick(calculator.example, calculator.example_metric));
    let known = catalogue::situations(calculator.id)?;
    let Situations { shelf, situations } = known.unwrap_or_default();
    // A name of somebody's own would stand in a formula's title as if it belonged there.
    let named = |name: &str| matches!(calculator.input(name), Some(Input { holds: Holds::Name, .. }));
    let plain = Given(example.0.iter().filter(|(name, _)| !named(name)).cloned().collect());
    let mut worked = Vec::new();
    for (index, given) in std::iter::once(plain).chain(situations.iter().map(given)).enumerate() {
        worked.push(work(calculator, &given, system).map_err(|faults| {
            let which = if index == 0 { "its example".to_owned() } else { format!("situation {index}") };
            format!("{}, {which}: {faults:?}", calculator.id)
        })?);
    }
    Ok(Shown { calculator, example, worked, shelf })
}

fn given(situation: &serde_yaml::Mapping) -> Given {
    let text = |value: &Value| match value {
        Value::String(text) => text.clone(),
        other => serde_yaml::to_string(other).unwrap_or_default().trim().to_owned(),
    };
    Given(situation.iter().map(|(name, value)| (text(name), text(value))).collect())
}

#[derive(Serialize)]
pub(super) struct WorkPart {
    pub(super) id: &'static str,
    pub(super) title: String,
    pub(super) summary: String,
    worked: String,
    groups: Vec<InputGroup>,
    cautions: Vec<CautionRow>,
    sources: Vec<SourceRow>,
    lessons: Vec<Link>,
    more: String,
}

#[derive(Serialize)]
struct InputGroup {
    name: String,
    rows: String,
    inputs: Vec<InputRow>,
}

#[derive(Serialize)]
struct InputRow {
    name: String,
    facts: Vec<Fact>,
}

#[derive(Serialize)]
struct Fact {
    name: String,
    text: String,
    /// A sentence rather than a number.
    long: bool,
}

#[derive(Serialize)]
struct CautionRow {
    severity: &'static str,
    word: String,
    text: String,
}

#[derive(Serialize)]
pub(super) struct SourceRow {
    pub(super) title: &'static str,
    pub(super) publisher: &'static str,
    pub(super) url: &'static str,
}

/// A shelf of the first page.
#[derive(Serialize)]
pub(super) struct WorkShelf {
    id: String,
    name: String,
    rows: Vec<WorkRow>,
}

#[derive(Serialize)]
struct WorkRow {
    href: String,
    title: String,
    summary: String,
}

/// The page of a calculator.
///
/// # Errors
/// A template that cannot be rendered; only a developer sees it.
pub(super) fn page(
    shown: &Shown,
    lessons: &Uses,
    system: System,
    phrases: &Phrases,
    pages: &Pages,
) -> Result<String, String> {
    let calculator = shown.calculator;
    let options = Options { name: calculator.id, title: phrases.get("site.work-sheet"), system, level: 2 };
    let used = lessons.0.get(calculator.id).map_or(&[][..], Vec::as_slice);
    let more = used.len().saturating_sub(LESSONS_NAMED);
    let part = WorkPart {
        id: calculator.id,
        title: title(calculator, phrases),
        summary: phrases.get(&format!("{}.summary", calculator.id)).to_owned(),
        worked: section(calculator, &shown.example, &options, phrases),
        groups: groups(calculator, system, phrases),
        cautions: cautions(&shown.worked, phrases),
        sources: sources(calculator),
        lessons: used.iter().take(LESSONS_NAMED).cloned().collect(),
        more: if more == 0 { String::new() } else { fill(phrases, "site.work-more", &[("count", &more.to_string())]) },
    };
    pages.work(&part)
}

/// A calculator's title.
pub(super) fn title(calculator: &Calculator, phrases: &Phrases) -> String {
    phrases.get(&format!("{}.title", calculator.id)).to_owned()
}

/// The published sources of a calculator's formula.
pub(super) fn sources(calculator: &Calculator) -> Vec<SourceRow> {
    let row = |source: &tankside_calc::declare::Source| SourceRow {
        title: source.title,
        publisher: source.publisher,
        url: source.url,
    };
    calculator.sources.iter().map(row).collect()
}

/// The calculators by shelf, for the first page.
pub(super) fn shelves(shown: &[Shown], phrases: &Phrases) -> Vec<WorkShelf> {
    let others: BTreeSet<&str> =
        shown.iter().map(|one| one.shelf.as_str()).filter(|shelf| !SHELVES.contains(shelf)).collect();
    let mut shelves = Vec::new();
    for shelf in SHELVES.iter().copied().chain(others) {
        let row = |one: &Shown| WorkRow {
            href: one.page(),
            title: title(one.calculator, phrases),
            summary: phrases.get(&format!("{}.summary", one.calculator.id)).to_owned(),
        };
        let rows: Vec<WorkRow> = shown.iter().filter(|one| one.shelf == shelf).map(row).collect();
        let key = format!("site.shelf-{shelf}");
        let name = phrases.find(&key).unwrap_or(phrases.get("site.shelf-other")).to_owned();
        if !rows.is_empty() {
            shelves.push(WorkShelf {
                id: if shelf.is_empty() { "other".to_owned() } else { shelf.to_owned() },
                name,
                rows,
            });
        }
    }
    shelves
}

/// Which lessons work with a calculator: links to the first example of each, in course order.
pub(super) struct Uses(BTreeMap<String, Vec<Link>>);

impl Uses {
    /// Looks through the lessons once.
    pub(super) fn of<'l>(lessons: impl Iterator<Item = (&'l Lesson, &'l ReadyLesson)>) -> Uses {
        let mut uses: BTreeMap<String, Vec<Link>> = BTreeMap::new();
        for (lesson, ready) in lessons {
            let mut here = BTreeSet::new();
            for hole in &ready.body.holes {
                let Part::WorkedExample(example) = &hole.part else { continue };
                if here.insert(example.calculator.as_str()) {
                    let href = format!("../lessons/{}.html#worked-{}", lesson.stem, example.name);
                    let link = Link { href, title: lesson.header.title.clone() };
                    uses.entry(example.calculator.clone()).or_default().push(link);
                }
            }
        }
        Uses(uses)
    }
}

fn groups(calculator: &'static Calculator, system: System, phrases: &Phrases) -> Vec<InputGroup> {
    let mut groups: Vec<InputGroup> = Vec::new();
    let mut open = false;
    for entry in calculator.inputs {
        match entry {
            Entry::One(input) => {
                if !open {
                    groups.push(InputGroup { name: String::new(), rows: String::new(), inputs: Vec::new() });
                    open = true;
                }
                let row = row(calculator, input, input.name, system, phrases);
                if let Some(group) = groups.last_mut() {
                    group.inputs.push(row);
                }
            }
            Entry::Many(group) => {
                open = false;
                let limits = [("least", group.least.to_string()), ("most", group.most.to_string())];
                let limits = limits.each_ref().map(|(name, text)| (*name, text.as_str()));
                let key = if group.least == 0 { "site.work-rows-up-to" } else { "site.work-rows" };
                let field = |input: &'static Input| {
                    row(calculator, input, &format!("{}.1.{}", group.name, input.name), system, phrases)
                };
                groups.push(InputGroup {
                    name: capital(phrases.get(&format!("{}.group.{}", calculator.id, group.name))),
                    rows: fill(phrases, key, &limits),
                    inputs: group.fields.iter().map(field).collect(),
                });
            }
        }
    }
    groups
}

fn row(
    calculator: &'static Calculator,
    input: &'static Input,
    flat: &str,
    system: System,
    phrases: &Phrases,
) -> InputRow {
    let mut facts = Vec::new();
    let mut add = |key: &str, text: String| {
        let long = text.len() > 36;
        facts.push(Fact { name: phrases.get(key).to_owned(), text: quantities(&text), long });
    };
    let range = |(low, high): (f64, f64), bounds: &Bounds| {
        let (low, high) = (limit(low, bounds, input, system), limit(high, bounds, input, system));
        // "15 to 120 s": the unit once, where both have the same.
        let unit = high.trim_start_matches(|letter: char| !letter.is_whitespace());
        let number = low.strip_suffix(unit).unwrap_or(&low);
        fill(phrases, "range", &[("low", number), ("high", &high)])
    };
    match (input.holds, input.bounds) {
        (Holds::Choice(words), _) => {
            let words: Vec<String> = words.iter().map(|word| say::word(calculator, flat, word, phrases)).collect();
            add("site.work-choice", words.join(", "));
        }
        (Holds::Name, _) => add("site.work-takes", phrases.get("site.work-name").to_owned()),
        (Holds::Unit, _) => add("site.work-takes", phrases.get("site.work-unit").to_owned()),
        (Holds::Count, Some(bounds)) => add("site.work-whole", range(bounds.hard, &bounds)),
        (Holds::Quantity(_), Some(bounds)) => {
            add("site.work-usual", range(bounds.plausible, &bounds));
            let takes = if bounds.positive {
                let (least, most) = bounds.hard;
                let (low, high) = (limit(least, &bounds, input, system), limit(most, &bounds, input, system));
                fill(phrases, "site.work-above", &[("low", if least == 0.0 { "0" } else { &low }), ("high", &high)])
            } else {
                range(bounds.hard, &bounds)
            };
            add("site.work-takes", takes);
        }
        (Holds::Quantity(kind), None) => add("site.work-takes", phrases.get(kind.id()).to_owned()),
        (Holds::Count, None) => {}
    }
    if let Some((us, metric)) = input.read_to {
        let (amount, unit) = system.pick(us, metric);
        let unit = Unit::of(unit);
        add("site.work-read", say::quantity(amount * unit.size(), &unit));
    }
    match input.need {
        Need::Required => {}
        Need::Optional => add("site.work-left-out", phrases.get("site.work-optional").to_owned()),
        Need::Default(text) => {
            let counts = match input.kind().and_then(|kind| typed::read(text, kind, None).ok()) {
                Some(typed) => say::quantity(typed.si, &Unit::of(input.unit(system))),
                None => say::word(calculator, flat, text, phrases),
            };
            add("site.work-left-out", fill(phrases, "site.work-default", &[("amount", &counts)]));
        }
    }
    InputRow { name: capital(phrases.get(&format!("{}.input.{}", calculator.id, declared(flat)))), facts }
}

/// `catch.1.volume` is declared as `catch.volume`.
fn declared(flat: &str) -> String {
    flat.replacen(".1.", ".", 1)
}

/// A limit as a person would say it: in the unit that the form starts with; in the unit it was declared in where that
/// takes fewer digits (5 gal, not 640 fl oz); a long one in any offered unit that says it in three figures (10 h).
fn limit(amount: f64, bounds: &Bounds, input: &Input, system: System) -> String {
    let si = amount * Unit::of(bounds.unit).size();
    let usual = Unit::of(input.unit(system));
    let value = |unit: &Unit| without_noise(si / unit.size());
    let digits = |unit: &Unit| exact(value(unit)).len();
    let long = value(&usual) >= 1000.0;
    let (us, metric) = input.kind().map_or((&[][..], &[][..]), Kind::offered);
    let offered =
        system.pick(us, metric).iter().filter(|text| long || **text == bounds.unit).map(|text| Unit::of(text));
    // "5000 1000 ft²" would be two numbers in a row.
    let counts = |unit: &Unit| unit.parts().first().is_some_and(|(part, _)| part.counts.is_some());
    let sound = |unit: &Unit| value(unit) >= 1.0 && to_figures(value(unit), 3) == value(unit) && !counts(unit);
    let best = offered.filter(sound).fold(usual, |best, unit| if digits(&unit) < digits(&best) { unit } else { best });
    say::quantity(si, &best)
}

/// The calculator's own cautions, each as it came out where it was first raised, the most serious first.
fn cautions(worked: &[Worked], phrases: &Phrases) -> Vec<CautionRow> {
    let mut seen = BTreeSet::new();
    let mut rows: Vec<(Severity, CautionRow)> = Vec::new();
    for one in worked {
        for caution in one.cautions.iter().filter(|caution| caution.id.starts_with(one.calculator.id)) {
            if seen.insert(caution.id) {
                let severity = caution.severity.id();
                let word = phrases.get(&format!("severity.{severity}")).to_owned();
                let text = quantities(&capital(&say::caution(one, caution, phrases)));
                rows.push((caution.severity, CautionRow { severity, word, text }));
            }
        }
    }
    rows.sort_by_key(|(severity, _)| std::cmp::Reverse(*severity));
    rows.into_iter().map(|(_, row)| row).collect()
}

/// A phrase with its places filled.
pub(super) fn fill(phrases: &Phrases, key: &str, places: &[(&str, &str)]) -> String {
    phrases.fill(key, |place| places.iter().find(|(name, _)| *name == place).map(|(_, text)| (*text).to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    fn phrases() -> Phrases {
        catalogue::phrases("en").expect("a readable catalogue").expect("there is English")
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
        // Of every two pieces the second stands between quotation marks.
        let pieces: Vec<&str> = code.split('"').collect();
        let literals = pieces.chunks_exact(2).map(|pair| (pair[0].trim_end(), pair[1]));
        let ids = literals
            .filter(|(before, _)| !before.ends_with("Fault::new("))
            .map(|(_, id)| id)
            .filter(|id| id.strip_prefix(start.as_str()).is_some_and(|name| !name.contains('.') && name != "summary"));
        ids.filter(|id| sentence(id)).map(ToOwned::to_owned).collect()
    }

    #[test]
    fn every_calculator_stands_on_a_shelf_that_has_a_name() {
        let phrases = phrases();
        for one in shown(System::Us).expect("every situation can be worked") {
            let id = one.calculator.id;
            // One without a file of situations stands among the others until somebody writes it.
            let stands = one.shelf.is_empty() || SHELVES.contains(&one.shelf.as_str());
            assert!(stands, "content/work/{id}.yaml names no shelf: {}", one.shelf);
        }
        for shelf in SHELVES {
            assert!(phrases.find(&format!("site.shelf-{shelf}")).is_some(), "{shelf}");
        }
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

    #[test]
    fn limits_are_said_as_they_are_read_in_the_field() {
        let bounds = |flat: &str, id: &str| {
            let input = tankside_calc::registry::calculator(id).and_then(|one| one.input(flat)).expect("declared");
            (input, input.bounds.expect("a quantity has limits"))
        };
        // By hand: 1/8 gal is 16 fl oz, 5 gal is 18.9 L, 36,000 s are 10 h.
        let (input, volume) = bounds("catch.volume", "catch-test");
        assert_eq!(limit(volume.plausible.0, &volume, input, System::Us), "16 fl oz");
        assert_eq!(limit(volume.plausible.1, &volume, input, System::Us), "5 gal");
        assert_eq!(limit(volume.plausible.1, &volume, input, System::Metric), "18.9 L");
        let (input, time) = bounds("pass.time", "swath-timing");
        assert_eq!(limit(time.hard.1, &time, input, System::Us), "10 h");
        assert_eq!(limit(time.plausible.0, &time, input, System::Us), "15 s");
    }
}
