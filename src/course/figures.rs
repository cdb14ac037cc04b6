//! Computed numbers in prose: each looked up in its example, in its own lesson or another.

use super::examples::{Example, ReadyLesson};
use crate::markdown::{Figure, FigureOf};
use crate::problem::{Problem, Problems, code, offer};
use std::collections::{BTreeMap, BTreeSet};
use tankside_calc::quantity::unit::Unit;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::Outcome;

/// Puts the text of every computed number into its place; `names` are all lessons, whether or not they could be read.
pub(super) fn show_figures(
    lessons: &mut [ReadyLesson],
    names: &BTreeSet<String>,
    phrases: &Phrases,
    problems: &mut Problems,
) {
    // The numbers are taken out while they are looked up, because a number may come from any other lesson.
    let mut bodies: Vec<_> = lessons.iter_mut().map(|lesson| std::mem::take(&mut lesson.body.holes)).collect();
    let by_stem: BTreeMap<&str, &ReadyLesson> = lessons.iter().map(|lesson| (lesson.stem.as_str(), lesson)).collect();
    let shelf = Shelf { lessons: &by_stem, names };
    for (lesson, holes) in lessons.iter().zip(&mut bodies) {
        for figure in crate::markdown::figures_mut(holes) {
            match shelf.text(lesson, figure, phrases) {
                Ok(text) => figure.shown = text,
                Err(None) => {}
                Err(Some(problem)) => problems.push(problem.at(&lesson.source, figure.place.clone())),
            }
        }
    }
    for (lesson, holes) in lessons.iter_mut().zip(bodies) {
        lesson.body.holes = holes;
    }
}

struct Shelf<'a> {
    lessons: &'a BTreeMap<&'a str, &'a ReadyLesson>,
    names: &'a BTreeSet<String>,
}

impl Shelf<'_> {
    /// The number as it is shown; no problem where its absence follows from one that was reported.
    fn text(&self, lesson: &ReadyLesson, figure: &Figure, phrases: &Phrases) -> Result<String, Option<Problem>> {
        let home = match &figure.lesson {
            None => Some(lesson),
            Some(stem) => self.lessons.get(stem.as_str()).copied(),
        };
        match home.and_then(|home| home.examples.get(&figure.example)) {
            Some(example) => text_of(figure, example, phrases).map_err(Some),
            None => Err(self.unknown_example(lesson, home, figure)),
        }
    }

    /// What is wrong with a number whose example is not there.
    fn unknown_example(&self, lesson: &ReadyLesson, home: Option<&ReadyLesson>, figure: &Figure) -> Option<Problem> {
        let name = figure.example.as_str();
        let error = |title: String| Problem::new(code::FIGURE_UNKNOWN, title, "");
        let Some(home) = home else {
            let stem = figure.lesson.as_deref().unwrap_or_default();
            // A lesson that is there and not on the shelf could not be read.
            if self.names.contains(stem) {
                return None;
            }
            let mut problem = error(format!("there is no lesson `{stem}.md` in this course"));
            problem.help = offer(stem, self.names.iter().map(String::as_str));
            return Some(problem);
        };
        // The block is there and has a problem of its own.
        if home.body.outline.examples.contains(name) {
            return None;
        }
        let elsewhere = self.lessons.iter().filter(|(_, other)| other.body.outline.examples.contains(name));
        let elsewhere: Vec<&str> = elsewhere.map(|(stem, _)| *stem).collect();
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
            let written = elsewhere.iter().map(|stem| match *stem {
                // The lesson that was named is another one, and the example is here.
                stem if stem == lesson.stem => format!("`figure:{name}/{of}`"),
                stem => format!("`figure:{stem}.{name}/{of}`"),
            });
            return Some(error(title).help(format!("write {}", written.collect::<Vec<_>>().join(" or "))));
        }
        let help = offer(name, home.body.outline.examples.iter().map(String::as_str));
        let help = help.unwrap_or_else(|| "write a block `worked-example` with that name into the lesson".to_owned());
        Some(error(format!("there is no worked example called `{name}`")).help(help))
    }
}

/// The text of a computed number in prose.
///
/// # Errors
/// What is wrong with it, to be put at its place.
fn text_of(figure: &Figure, example: &Example, phrases: &Phrases) -> Result<String, Problem> {
    let worked = &example.worked;
    let (si, own, text) = match &figure.of {
        FigureOf::Input(name) => match worked.inputs.typed(name) {
            Some(typed) => (typed.si, typed.unit.clone(), say::as_typed(typed)),
            None => match worked.inputs.word(name) {
                Some(word) => return Ok(say::word(worked.calculator, name, word, phrases)),
                None => return Err(unknown(name, "input", worked.inputs.names().map(ToOwned::to_owned).collect())),
            },
        },
        FigureOf::Result(name) => match worked.result(name) {
            Some(found) => match &found.outcome {
                Outcome::Quantity(si, unit) => (*si, unit.clone(), say::amount(found, *si, unit)),
                Outcome::Verdict(key) => return Ok(phrases.get(key).to_owned()),
            },
            None => return Err(unknown(name, "result", worked.found.iter().map(|found| found.name()).collect())),
        },
    };
    let Some(wanted) = &figure.unit else { return Ok(text) };
    let wanted = wanted.replace('_', " ");
    match Unit::parse(&wanted) {
        Some(unit) if unit.dim() == own.dim() => Ok(say::quantity(si, &unit)),
        Some(_) => {
            let title = format!("this figure is in {}, which cannot be shown in {wanted}", own.shown());
            Err(Problem::new(code::FIGURE_UNIT_WRONG_KIND, title, ""))
        }
        None => Err(Problem::new(code::FIGURE_UNIT_UNKNOWN, format!("`{wanted}` is not a unit"), "")),
    }
}

fn unknown(name: &str, what: &str, known: Vec<String>) -> Problem {
    let problem = Problem::new(code::FIGURE_UNKNOWN, format!("this example has no {what} called `{name}`"), "");
    let offered = offer(name, known.iter().map(String::as_str));
    problem.help(offered.unwrap_or_else(|| format!("write one of: {}", known.join(", "))))
}
