//! Worked examples: from the author's block to a problem worked, with every mistake at its place.

use super::figures::{names_in_figures, show_own};
use super::limits::{LimitWords, may_limit};
use super::packed::KeptText;
use super::silent::{product_twice, tell_example, tell_product_twice};
use super::slips::{key_help, without_knock_ons};
use super::units::{amount_meant, unit_meant};
use crate::load::{Lesson, LessonHeader};
use crate::markdown::{Body, Caution, Insert, Show, WorkedExample};
use crate::notation::Units;
use crate::problem::{Problem, Problems, Rule, Source, code, offer};
use crate::yaml::Node;
use std::collections::BTreeMap;
use std::ops::Range;
use tankside_calc::calculation::declare::{Calculator, FormItem};
use tankside_calc::calculation::inputs::{InputFault, InputProblem, RawInputs};
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::{CALCULATORS, calculator};
use tankside_calc::page::worked as fragment;
use tankside_calc::quantity::typed::Misread;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::{System, WorkedResult};

/// A worked example of a lesson.
#[derive(Debug)]
pub struct Example {
    /// Its name within the lesson.
    pub name: String,
    /// Its title.
    pub title: String,
    /// How much of it is shown unfolded.
    pub show: Show,
    /// Inputs and groups that are open in its form, in this order.
    pub first: Vec<&'static str>,
    /// The result shown large; empty for the calculator's own choice.
    pub large: String,
    /// The inputs, flat.
    pub given: RawInputs,
    /// The units shown.
    pub system: System,
    /// The calculator.
    pub calculator: &'static Calculator,
    /// Its name in the lesson's file.
    pub place: Range<usize>,
}

impl Example {
    /// The problem worked. A course does not keep this for thousands of examples: it is many times as large as what the
    /// author wrote, and takes microseconds to do again.
    pub fn work(&self) -> Option<Worked> {
        work(self.calculator, &self.given, self.system).ok()
    }
}

/// A lesson with its examples worked.
#[derive(Debug)]
pub struct ReadyLesson {
    /// Name of its file without `.md`.
    pub stem: String,
    /// The whole file; without its text where only pages are made and nobody reads it again.
    pub source: Source,
    /// Its header.
    pub header: LessonHeader,
    /// Where the text after the header starts.
    pub body_start: usize,
    /// The body's holes and outline; its HTML is kept apart.
    pub body: Body,
    /// The body's HTML.
    pub(super) html: KeptText,
    /// Its examples by name; boxed, as a map makes room for eleven where most lessons have one.
    pub examples: BTreeMap<String, Box<Example>>,
}

impl ReadyLesson {
    /// Names of the banks that it places.
    pub fn banks(&self) -> impl Iterator<Item = &str> {
        let placed = self.body.holes.iter().filter_map(|hole| match &hole.insert {
            Insert::Questions(questions) => Some(questions.banks().map(|(bank, _)| bank)),
            _ => None,
        });
        placed.flatten()
    }

    /// Names of the cautions that it shows by their names.
    pub fn cautions(&self) -> impl Iterator<Item = &str> {
        self.body.holes.iter().filter_map(|hole| match &hole.insert {
            Insert::Caution(Caution::Stock { id, .. }) => Some(id.as_str()),
            _ => None,
        })
    }

    /// The HTML of its body, without the holes; nothing if the memory that holds it was damaged.
    pub fn html(&self) -> Option<String> {
        self.html.text()
    }

    /// How many bytes that HTML has.
    pub fn html_len(&self) -> usize {
        self.html.len()
    }

    /// What `read` makes of that HTML, for which none of it is copied.
    pub fn with_html<R>(&self, read: impl FnOnce(&str) -> R) -> Option<R> {
        self.html.with_text(read)
    }
}

/// Works the examples of a lesson. Its text is let go of where there are `words` for a maximum to tell that nothing in it
/// will be read again: it has no problem, and no example that it could contradict.
pub(super) fn ready(
    mut lesson: Lesson,
    mut body: Body,
    units: Units,
    phrases: &Phrases,
    words: Option<&LimitWords>,
    problems: &mut Problems,
) -> ReadyLesson {
    let (mut examples, mut worked) = (BTreeMap::new(), BTreeMap::new());
    let named = names_in_figures(&body.holes);
    for written in body.examples() {
        if let Some((example, done)) = resolve(&lesson.source, written, units, phrases, problems) {
            let place = |name: &str| {
                let places = written.given.as_ref().map_or_else(Vec::new, Node::flat);
                let named = places.iter().find(|(other, _)| other == name && !name.is_empty());
                named.map_or(example.place.clone(), |(_, node)| node.span.clone())
            };
            tell_example(&lesson.source, place, &done, phrases, problems);
            if named.contains(&example.name) {
                worked.insert(example.name.clone(), done);
            }
            examples.insert(example.name.clone(), Box::new(example));
        }
    }
    // Now, while they are at hand: most numbers in prose come from an example in the same lesson.
    show_own(&lesson.source, &mut body.holes, &worked, phrases, problems);
    let html = std::mem::take(&mut body.html);
    let is_read = |words| problems.is_empty() && (examples.is_empty() || !may_limit(lesson.body(), words));
    let is_read = words.is_some_and(is_read);
    if is_read {
        lesson.let_go();
    }
    // Examples take room of their own.
    let html = if is_read && examples.is_empty() {
        // Its own room is larger than it.
        KeptText::Whole(Box::from(html.as_str()))
    } else {
        KeptText::packed(&html)
    };
    // The examples now hold what they are made of.
    for hole in &mut body.holes {
        if let Insert::WorkedExample(written) = &mut hole.insert {
            (written.given, written.first, written.large, written.title) = (None, None, None, None);
        }
    }
    body.holes.shrink_to_fit();
    let Lesson { stem, source, header, body_start } = lesson;
    ReadyLesson { stem, source, header, body_start, body, html, examples }
}

pub(crate) fn system(units: Units) -> System {
    match units {
        Units::Us => System::Us,
        Units::Metric => System::Metric,
    }
}

fn resolve(
    source: &Source,
    written: &WorkedExample,
    units: Units,
    phrases: &Phrases,
    problems: &mut Problems,
) -> Option<(Example, Worked)> {
    let Some(found) = calculator(&written.calculator) else {
        let title = format!("there is no calculator called `{}`", written.calculator);
        let problem = Problem::new(code::CALCULATOR_UNKNOWN, title, "").at(source, written.calculator_place.clone());
        problems.push(problem.help(calculator_help(&written.calculator)));
        return None;
    };
    let system = system(written.units.unwrap_or(units));
    let (given, places) = flat(found, written.given.as_ref());
    let first = first(source, found, written, &given, problems);
    let pairs = given.0.iter().map(|(name, text)| (name.as_str(), text.as_str()));
    if let Some((flat, name)) = product_twice(pairs) {
        let place = place_of(flat, &places, written.given.as_ref()).unwrap_or(written.place.clone());
        tell_product_twice(source, name, place, problems);
    }
    match work(found, &given, system) {
        Ok(worked) => {
            let title = written
                .title
                .clone()
                .map(crate::notation::curved)
                .unwrap_or_else(|| phrases.get(&format!("{}.title", found.id)).to_owned());
            let (name, show, place) =
                (written.name.clone(), written.show.unwrap_or(Show::Steps), written.place.clone());
            let large = large(source, written, &worked, problems);
            Some((Example { name, title, show, first, large, given, system, calculator: found, place }, worked))
        }
        Err(faults) => {
            for fault in &without_knock_ons(found, faults) {
                let place = place_of(&fault.about, &places, written.given.as_ref()).unwrap_or(written.place.clone());
                let key = key_of(found, fault, written.given.as_ref(), &place);
                let typed = given.text(&fault.about).unwrap_or_default();
                problems.push(input_problem(found, fault, typed, system).at(source, key.unwrap_or(place)));
            }
            // What these inputs would give is not known, but what the calculator never gives is.
            if let Some(wanted) = written.large.as_ref().filter(|wanted| found.result(&wanted.name).is_none()) {
                let title = format!("`{}` has no result called `{}`", found.id, wanted.name);
                let problem = Problem::new(code::RESULT_UNKNOWN, title, "").at(source, wanted.place.clone());
                let help = offer(&wanted.name, found.results.iter().map(|spec| spec.name));
                problems.push(problem.help(help.unwrap_or_default()));
            }
            None
        }
    }
}

/// The inputs and groups that are open in an example's form: those that its author names, otherwise those that are
/// given.
fn first(
    source: &Source,
    calculator: &'static Calculator,
    written: &WorkedExample,
    given: &RawInputs,
    problems: &mut Problems,
) -> Vec<&'static str> {
    let Some(names) = &written.first else { return fragment::opened(calculator, given) };
    let all: Vec<&'static str> = calculator.inputs.iter().map(FormItem::name).collect();
    let mut first = Vec::new();
    for one in names {
        match all.iter().find(|name| **name == one.name) {
            Some(name) if first.contains(name) => {}
            Some(name) => first.push(*name),
            None => {
                let title = format!("`{}` has no input called `{}`", calculator.id, one.name);
                let help = offer(&one.name, all.iter().copied());
                let help = help.unwrap_or_else(|| format!("write one of: {}", all.join(", ")));
                problems.push(Problem::new(code::INPUT_UNKNOWN, title, "").at(source, one.place.clone()).help(help));
            }
        }
    }
    first
}

/// The result that the author wants large: one that these inputs give.
fn large(source: &Source, written: &WorkedExample, worked: &Worked, problems: &mut Problems) -> String {
    let Some(wanted) = &written.large else { return String::new() };
    let names: Vec<String> = worked.results.iter().map(WorkedResult::name).collect();
    if !names.contains(&wanted.name) {
        let title = format!("these inputs give no result called `{}`", wanted.name);
        let help = offer(&wanted.name, names.iter().map(String::as_str));
        let help = help.unwrap_or_else(|| format!("write one of: {}", names.join(", ")));
        problems.push(Problem::new(code::RESULT_UNKNOWN, title, "").at(source, wanted.place.clone()).help(help));
    }
    wanted.name.clone()
}

/// Help for an unknown calculator: the nearest name, or all of them.
pub(crate) fn calculator_help(typed: &str) -> String {
    let names = CALCULATORS.iter().map(|calculator| calculator.id);
    offer(typed, names.clone()).unwrap_or_else(|| format!("write one of: {}", names.collect::<Vec<_>>().join(", ")))
}

/// The flat inputs of a `given`, rows written as one text opened, and the node of each.
pub(crate) fn flat<'n>(calculator: &Calculator, given: Option<&'n Node>) -> (RawInputs, Vec<(String, &'n Node)>) {
    let places: Vec<(String, &Node)> = given.map_or_else(Vec::new, Node::flat);
    let pairs = places.iter().map(|(name, node)| (name.clone(), node.text().unwrap_or_default().to_owned()));
    (RawInputs(pairs.collect()).opened(calculator), places)
}

/// Where an input is: its own value, else its row, else its group, else the whole of `given`.
pub(crate) fn place_of(
    about: &str,
    places: &[(String, &Node)],
    given: Option<&Node>,
) -> Option<std::ops::Range<usize>> {
    let mut name = about;
    loop {
        let within = |other: &str| other == name || other.strip_prefix(name).is_some_and(|rest| rest.starts_with('.'));
        if let Some((_, node)) = places.iter().find(|(other, _)| within(other)) {
            return Some(node.span.clone());
        }
        match name.rsplit_once('.') {
            Some((front, _)) => name = front,
            None => return given.map(|node| node.span.clone()),
        }
    }
}

/// Where an unknown name is written: the group's key if there is no such group, or it is written without rows; else the
/// key whose value is at `place`. Nothing for other faults, which are in the value.
pub(crate) fn key_of(
    found: &Calculator,
    fault: &InputProblem,
    given: Option<&Node>,
    place: &Range<usize>,
) -> Option<Range<usize>> {
    if fault.fault != InputFault::UnknownName {
        return None;
    }
    let mut names = fault.about.split('.');
    if let (Some(group), Some(next)) = (names.next(), names.next())
        && group != "read-to"
        && (found.group(group).is_none() || !next.bytes().all(|byte| byte.is_ascii_digit()))
    {
        return given?.entries().iter().find(|entry| entry.key == group).map(|entry| entry.key_span.clone());
    }
    let mut waiting: Vec<&Node> = given.into_iter().collect();
    while let Some(node) = waiting.pop() {
        if let Some(entry) = node.entries().iter().find(|entry| entry.node.span == *place) {
            return Some(entry.key_span.clone());
        }
        waiting.extend(node.entries().iter().map(|entry| &entry.node).chain(node.items()));
    }
    None
}

/// A problem with an input, in the author's terms.
pub(crate) fn input_problem(
    calculator: &'static Calculator,
    fault: &InputProblem,
    typed: &str,
    system: System,
) -> Problem {
    // An author reads everything in one language, in the notation that files are written in.
    let phrases = crate::catalogue::first_phrases();
    let mut said = say::problem(calculator, fault, system, phrases);
    // `gal/1000 ft` for `gal/1000 ft2`.
    if let InputFault::Misread(Misread::WrongKind(unit), _) = &fault.fault
        && unit.dim().length == -1
    {
        said = said.replacen(&unit.shown(), "per distance, without the ² of an area", 1);
    }
    let problem = Problem::new(rule_of(&fault.fault), said.trim_end_matches('.').to_owned(), "");
    match &fault.fault {
        InputFault::UnknownName => problem.help(key_help(calculator, &fault.about)),
        InputFault::Missing => {
            let example = say::example_text(calculator, &fault.about, system);
            problem.help(format!("write, for example, `{}: {example}`", fault.about))
        }
        InputFault::Misread(Misread::UnitUnknown(unit), kind) => match unit_meant(unit, *kind) {
            Some(meant) if typed.contains(unit.as_str()) => {
                problem.help(format!("write `{}`", typed.replacen(unit.as_str(), &meant, 1)))
            }
            _ => match amount_meant(typed, *kind) {
                Some(meant) => problem.help(format!("write `{meant}`")),
                None => problem,
            },
        },
        InputFault::Misread(Misread::UnitMissing, _) if without_unit(typed) => {
            let example = say::example_text(calculator, &fault.about, system);
            let unit =
                example.trim_start_matches(|letter: char| letter.is_ascii_digit() || ".,".contains(letter)).trim();
            match Unit::parse(unit) {
                Some(_) => problem.help(format!("write, for example, `{} {unit}`", typed.trim())),
                None => problem,
            }
        }
        InputFault::Misread(_, kind) => match amount_meant(typed, *kind) {
            Some(meant) => problem.help(format!("write `{meant}`")),
            None => problem,
        },
        InputFault::HardLimit(_) => problem.help("write a value within these limits"),
        _ => problem,
    }
}

/// Whether a unit is all that an amount, a list of amounts or a range lacks.
fn without_unit(typed: &str) -> bool {
    let range = typed.trim().trim_start_matches("one of ").replace(" to ", "").replace(" by ", "").replace(", ", "");
    range.parse::<f64>().is_ok()
}

fn rule_of(fault: &InputFault) -> &'static Rule {
    match fault {
        InputFault::Missing => code::INPUT_MISSING,
        InputFault::UnknownName => code::INPUT_UNKNOWN,
        InputFault::Misread(..) => code::INPUT_UNREADABLE,
        InputFault::HardLimit(_) => code::INPUT_IMPOSSIBLE,
        InputFault::UnknownWord(_) => code::INPUT_NOT_A_CHOICE,
        InputFault::LongName => code::INPUT_TOO_LONG,
        InputFault::TooManyRows(_) | InputFault::TooFewRows(_) => code::INPUT_ROWS,
        InputFault::Refused(_) => code::INPUTS_CONTRADICT,
    }
}
