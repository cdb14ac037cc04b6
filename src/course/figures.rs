//! Computed numbers in prose: each looked up in its example, in its own lesson or another.

use super::examples::{Example, ReadyLesson};
use crate::markdown::{Caution, Figure, FigureOf, Hole, Insert, figures_mut};
use crate::parallel::{in_parallel, threads};
use crate::problem::{ASKED, Problem, Problems, Source, code, offer};
use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::Outcome;

/// Puts the text of every computed number of `lessons` into its place; it may come from any of them or from one of the
/// `kept`. `names` are all lessons, whether or not they could be read; the problems of each lesson go to its own.
pub(super) fn show_figures(
    lessons: &mut [Arc<ReadyLesson>],
    kept: &[&ReadyLesson],
    names: &BTreeSet<String>,
    phrases: &Phrases,
    of_lessons: &mut [Problems],
) {
    let waits = |lesson: &&mut Arc<ReadyLesson>| lesson.body.figures().any(|figure| figure.shown.is_empty());
    let found = found(lessons, kept, phrases);
    for (lesson, texts) in lessons.iter_mut().filter(waits).zip(found) {
        let holes = own_holes(lesson).into_iter().flat_map(|holes| figures_mut(holes));
        for figure in holes.filter(|figure| figure.shown.is_empty()) {
            let text = texts.iter().find(|(place, _)| *place == figure.place.start);
            figure.shown.extend(text.map(|(_, text)| text.as_str()));
        }
    }
    // What is left has something wrong with it, which is told in the order of the course.
    if !lessons.iter_mut().any(|lesson| waits(&lesson)) {
        return;
    }
    // The numbers are taken out while they are looked up, because a number may come from any other lesson.
    let mut bodies: Vec<_> =
        lessons.iter_mut().map(|lesson| own_holes(lesson).map(std::mem::take).unwrap_or_default()).collect();
    let all = || lessons.iter().map(|lesson| &**lesson).chain(kept.iter().copied());
    let by_stem: BTreeMap<&str, &ReadyLesson> = all().map(|lesson| (lesson.stem.as_str(), lesson)).collect();
    let mut with: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for lesson in all() {
        for example in &lesson.body.outline.examples {
            with.entry(example).or_default().push(&lesson.stem);
        }
    }
    with.values_mut().for_each(|stems| stems.sort_unstable());
    let shelf = Shelf { lessons: &by_stem, names, with, asked: Cell::new(0), last: RefCell::new(None) };
    for ((lesson, holes), problems) in lessons.iter().zip(&mut bodies).zip(of_lessons) {
        for figure in figures_mut(holes).into_iter().filter(|figure| figure.shown.is_empty()) {
            match shelf.text(lesson, figure, phrases) {
                Ok(text) => figure.shown = text,
                Err(None) => {}
                Err(Some(problem)) => problems.push(problem.at(&lesson.source, figure.place.clone())),
            }
        }
    }
    for (place, holes) in lessons.iter_mut().filter_map(own_holes).zip(bodies) {
        *place = holes;
    }
}

/// How many lessons a thread looks up numbers for at a time: neighbors often show numbers of the same example.
const NEIGHBORS: usize = 16;

/// The texts of the numbers that wait for one and have one, each with the start of its place, for every lesson in which
/// a number waits.
fn found(lessons: &[Arc<ReadyLesson>], kept: &[&ReadyLesson], phrases: &Phrases) -> Vec<Vec<(usize, String)>> {
    let waiting = |lesson: &&ReadyLesson| lesson.body.figures().any(|figure| figure.shown.is_empty());
    let waiting: Vec<&ReadyLesson> = lessons.iter().map(|lesson| &**lesson).filter(waiting).collect();
    if waiting.is_empty() {
        return Vec::new();
    }
    let all = lessons.iter().map(|lesson| &**lesson).chain(kept.iter().copied());
    let by_stem: HashMap<&str, &ReadyLesson> = all.map(|lesson| (lesson.stem.as_str(), lesson)).collect();
    let together: Vec<&[&ReadyLesson]> = waiting.chunks(NEIGHBORS).collect();
    let found = in_parallel(&together, threads(), |lessons| {
        let mut last = None;
        let mut text = |lesson: &ReadyLesson, figure: &Figure| {
            let home = figure.lesson.as_ref().map_or(Some(lesson), |stem| by_stem.get(stem.as_str()).copied());
            let example: &Example = home?.examples.get(&figure.example)?;
            if !last.as_ref().is_some_and(|(of, _)| std::ptr::eq(*of, example)) {
                last = Some((std::ptr::from_ref(example), example.work()?));
            }
            last.as_ref().and_then(|(_, worked)| text_of(figure, worked, phrases).ok())
        };
        let mut texts = |lesson: &ReadyLesson| {
            let waiting = lesson.body.figures().filter(|figure| figure.shown.is_empty());
            waiting.filter_map(|figure| Some((figure.place.start, text(lesson, figure)?))).collect()
        };
        lessons.iter().map(|lesson| texts(lesson)).collect::<Vec<Vec<(usize, String)>>>()
    });
    found.into_iter().flatten().collect()
}

/// The holes of a lesson that nobody else has yet; fresh ones are all such.
fn own_holes(lesson: &mut Arc<ReadyLesson>) -> Option<&mut Vec<Hole>> {
    Arc::get_mut(lesson).map(|lesson| &mut lesson.body.holes)
}

/// Names of the examples whose numbers the prose shows.
pub(super) fn names_in_figures(holes: &[Hole]) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    for hole in holes {
        match &hole.insert {
            Insert::Figure(figure) => drop(names.insert(figure.example.clone())),
            Insert::Caution(Caution::Own { body, .. }) => names.extend(names_in_figures(&body.holes)),
            _ => {}
        }
    }
    names
}

/// Puts the text of the numbers of a lesson's own examples into its place.
pub(super) fn show_own(
    source: &Source,
    holes: &mut [Hole],
    worked: &BTreeMap<String, Worked>,
    phrases: &Phrases,
    problems: &mut Problems,
) {
    for figure in figures_mut(holes).into_iter().filter(|figure| figure.lesson.is_none()) {
        let Some(worked) = worked.get(&figure.example) else { continue };
        match text_of(figure, worked, phrases) {
            Ok(text) => figure.shown = text,
            Err(problem) => {
                problems.push(problem.at(source, figure.place.clone()));
                // It has been looked up, and nothing is published.
                figure.shown.push('?');
            }
        }
    }
}

/// The most lessons listed for an example whose name many lessons use.
const WRITTEN: usize = 4;

struct Shelf<'a> {
    lessons: &'a BTreeMap<&'a str, &'a ReadyLesson>,
    names: &'a BTreeSet<String>,
    /// The lessons that have an example of a name.
    with: BTreeMap<&'a str, Vec<&'a str>>,
    /// Near names looked for so far: each costs a walk through all of them.
    asked: Cell<usize>,
    /// The example that was worked last.
    last: RefCell<Option<(&'a Example, Worked)>>,
}

impl<'a> Shelf<'a> {
    /// A help line around a near name, for the first problems that ask.
    fn offer<'n>(&self, typed: &str, names: impl IntoIterator<Item = &'n str> + Clone) -> Option<String> {
        self.asked.set(self.asked.get() + 1);
        if self.asked.get() <= ASKED { offer(typed, names) } else { None }
    }

    /// The number as it is shown; no problem where its absence follows from one that was reported.
    fn text(&self, lesson: &'a ReadyLesson, figure: &Figure, phrases: &Phrases) -> Result<String, Option<Problem>> {
        let home = match &figure.lesson {
            None => Some(lesson),
            Some(stem) => self.lessons.get(stem.as_str()).copied(),
        };
        match home.and_then(|home| home.examples.get(&figure.example)) {
            Some(example) => {
                let example: &Example = example;
                // Neighbors often show numbers of the same example.
                let mut last = self.last.borrow_mut();
                if !last.as_ref().is_some_and(|(of, _)| std::ptr::eq(*of, example)) {
                    // An example that cannot be worked was reported at its block.
                    *last = Some((example, example.work().ok_or(None)?));
                }
                match &*last {
                    Some((_, worked)) => text_of(figure, worked, phrases).map_err(Some),
                    None => Err(None),
                }
            }
            None => Err(self.unknown_example(lesson, home, figure)),
        }
    }

    /// What is wrong with a number whose example is missing.
    fn unknown_example(&self, lesson: &ReadyLesson, home: Option<&ReadyLesson>, figure: &Figure) -> Option<Problem> {
        let name = figure.example.as_str();
        let error = |title: String| Problem::new(code::FIGURE_UNKNOWN, title, "");
        let Some(home) = home else {
            let stem = figure.lesson.as_deref().unwrap_or_default();
            // A lesson that is listed but missing here could not be read.
            if self.names.contains(stem) {
                return None;
            }
            let mut problem = error(format!("there is no lesson `{stem}.md` in this course"));
            problem.help = self.offer(stem, self.names.iter().map(String::as_str));
            return Some(problem);
        };
        // The block is there and has a problem of its own.
        if home.body.outline.examples.contains(name) {
            return None;
        }
        let elsewhere = self.with.get(name).map_or(&[][..], Vec::as_slice);
        if let Some(first) = elsewhere.first() {
            let mut of = match &figure.of {
                FigureOf::Result(result) => result.clone(),
                FigureOf::Input(input) => format!("input/{input}"),
            };
            if let Some(unit) = &figure.unit {
                of.push_str(&format!("?in={}", unit.replace(' ', "_")));
            }
            let sought = figure.lesson.as_deref().unwrap_or(&lesson.stem);
            let title = format!("the worked example `{name}` is in the lesson `{first}`, not in `{sought}`");
            let written = elsewhere.iter().take(WRITTEN).map(|stem| match *stem {
                // The lesson that was named is another one, and the example is here.
                stem if stem == lesson.stem => format!("`figure:{name}/{of}`"),
                stem => format!("`figure:{stem}.{name}/{of}`"),
            });
            return Some(error(title).help(format!("write {}", written.collect::<Vec<_>>().join(" or "))));
        }
        let help = self.offer(name, home.body.outline.examples.iter().map(String::as_str));
        let help = help.unwrap_or_else(|| "write a block `worked-example` with that name into the lesson".to_owned());
        Some(error(format!("there is no worked example called `{name}`")).help(help))
    }
}

/// The text of a computed number in prose.
///
/// # Errors
/// What is wrong with it, to be put at its place.
fn text_of(figure: &Figure, worked: &Worked, phrases: &Phrases) -> Result<String, Problem> {
    let (si, own, text) = match &figure.of {
        FigureOf::Input(name) => match worked.inputs.typed_at(name) {
            Some(typed) => (typed.si, typed.unit, say::as_typed(typed, phrases)),
            None => match worked.inputs.word_at(name) {
                Some(word) => return Ok(say::word(worked.calculator, name, word, phrases)),
                None => return Err(unknown(name, "input", worked.inputs.names().map(ToOwned::to_owned).collect())),
            },
        },
        FigureOf::Result(name) => match worked.result(name) {
            Some(found) => match &found.outcome {
                Outcome::Quantity(si, unit) => (*si, *unit, say::amount(found, *si, unit, phrases)),
                Outcome::Verdict(key) => return Ok(phrases.get(key).to_owned()),
            },
            None => return Err(unknown(name, "result", worked.results.iter().map(|found| found.name()).collect())),
        },
    };
    let Some(wanted) = &figure.unit else { return Ok(text) };
    let wanted = wanted.replace('_', " ");
    match Unit::parse(&wanted) {
        Some(unit) if unit.dim() == own.dim() => Ok(say::quantity(si, &unit, phrases)),
        Some(_) => {
            let title = format!("this figure is in {}, which cannot be shown in {wanted}", own.shown());
            Err(same_kind(Problem::new(code::FIGURE_UNIT_WRONG_KIND, title, ""), &own, &wanted))
        }
        None => {
            let problem = Problem::new(code::FIGURE_UNIT_UNKNOWN, format!("`{wanted}` is not a unit"), "");
            Err(same_kind(problem, &own, &wanted))
        }
    }
}

/// Offers another unit of the kind of a number.
fn same_kind(problem: Problem, own: &Unit, wanted: &str) -> Problem {
    let Some((us, metric)) = Kind::of(own).map(Kind::offered) else { return problem };
    let others = || us.iter().chain(metric).filter(|unit| *unit != own);
    // `L` for an output is most likely `L/min`.
    let begins = |unit: &&Unit| unit.plain().split('/').next().is_some_and(|first| first.trim() == wanted.trim());
    let Some(other) = others().find(begins).or_else(|| others().next()) else { return problem };
    let written = other.plain().replace(' ', "_");
    problem.help(format!("end the address with a unit that measures the same, such as `?in={written}`"))
}

fn unknown(name: &str, what: &str, known: Vec<String>) -> Problem {
    let problem = Problem::new(code::FIGURE_UNKNOWN, format!("this example has no {what} called `{name}`"), "");
    let offered = offer(name, known.iter().map(String::as_str));
    problem.help(offered.unwrap_or_else(|| format!("write one of: {}", known.join(", "))))
}
