//! The worked example as HTML: form and answer, produced here and nowhere else.
//!
//! Natively at publishing time, in WebAssembly on each keystroke; same inputs, same bytes. Text from outside goes
//! through [`crate::text::escape::html`]; everything else is written here.

mod answer;
mod chain;
mod form;
mod sure;

use crate::card::{NO_RUN, work_card};
use crate::page::card;
use crate::problem::declare::{Calculator, Entry, Face};
use crate::problem::given::{InputFault, InputProblem, RawInputs};
use crate::problem::worked::Worked;
use crate::text::escape::html;
use crate::text::texts::joined;
use crate::uncertainty::work;
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::working::record::System;

pub(crate) use answer::sources;
pub use answer::{one_step as step_line, steps};
pub(crate) use sure::sure;

/// What a page asks of a worked example.
#[derive(Clone, Debug)]
pub struct Options<'a> {
    /// Name, unique on the page; ids begin with it.
    pub name: &'a str,
    /// Title shown above.
    pub title: &'a str,
    /// Units shown.
    pub system: System,
    /// Level of the title's heading, 2 to 4.
    pub level: u8,
}

/// A worked example, rendered.
#[derive(Debug)]
pub struct Fragment {
    /// The form element.
    pub form: String,
    /// The answer element.
    pub answer: String,
    /// Problems with inputs: flat name and text.
    pub errors: Vec<(String, String)>,
    /// One sentence for a screen reader: the main results, or that something is missing.
    pub spoken: String,
}

/// Renders form and answer for inputs as given.
pub fn fragment(calculator: &'static Calculator, given: &RawInputs, options: &Options, phrases: &Phrases) -> Fragment {
    let worked = match calculator.face {
        Face::Results => work(calculator, given, options.system),
        Face::Card => work_card(given, options.system),
    };
    match worked {
        Ok(worked) => Fragment {
            form: form::form(calculator, given, &[], options, phrases),
            answer: match calculator.face {
                Face::Results => answer::answer(&worked, options, phrases),
                Face::Card => card::face(&worked, options, phrases),
            },
            errors: Vec::new(),
            spoken: spoken(&worked, phrases),
        },
        Err(problems) => {
            let all = texts(calculator, &problems, options.system, phrases);
            // A new card starts empty: what is still to come is listed, but it is no mistake beside its field yet.
            let missing = [InputFault::Missing, InputFault::Refused(NO_RUN)];
            let coming = |problem: &InputProblem| calculator.face == Face::Card && missing.contains(&problem.fault);
            let told = all.iter().zip(&problems).filter(|(_, problem)| !coming(problem));
            let errors: Vec<(String, String)> = told.map(|(text, _)| text.clone()).collect();
            Fragment {
                form: form::form(calculator, given, &errors, options, phrases),
                answer: answer::waiting(calculator, &all, phrases),
                spoken: phrases.get("fragment.waiting").to_owned(),
                errors,
            }
        }
    }
}

/// The inputs and groups that stand open in a form where nobody says which: those that something is given for.
pub fn opened(calculator: &'static Calculator, given: &RawInputs) -> Vec<&'static str> {
    let has = |entry: &&Entry| match entry {
        Entry::One(input) => given.text(input.name).is_some_and(|text| !text.trim().is_empty()),
        Entry::Many(group) => given.rows(group.name) > 0,
    };
    calculator.inputs.iter().filter(has).map(Entry::name).collect()
}

/// The whole section as a page holds it.
pub fn section(calculator: &'static Calculator, given: &RawInputs, options: &Options, phrases: &Phrases) -> String {
    let Fragment { form, answer, .. } = fragment(calculator, given, options, phrases);
    let (name, title, level) = (html(options.name), html(options.title), options.level.clamp(2, 4));
    let line = |role: &str, key: &str| {
        format!("<p class=\"tk-worked__link\" data-role=\"{role}\" hidden>{}</p>\n", html(phrases.get(key)))
    };
    format!(
        "<section class=\"tk-worked\" data-part=\"worked\" data-calculator=\"{}\" data-name=\"{name}\" data-title=\"{title}\" data-units=\"{}\" data-level=\"{level}\" id=\"worked-{name}\" aria-labelledby=\"worked-{name}-title\">\n\
         <h{level} class=\"tk-worked__title\" id=\"worked-{name}-title\">{title}</h{level}>\n{form}{answer}{}{}\
         <p class=\"tk-spoken\" data-role=\"spoken\" aria-live=\"polite\"></p>\n</section>\n",
        calculator.id,
        options.system.id(),
        line("link-note", "fragment.link-note"),
        line("link-copied", "fragment.link-copied"),
    )
}

fn texts(
    calculator: &'static Calculator,
    problems: &[InputProblem],
    system: System,
    phrases: &Phrases,
) -> Vec<(String, String)> {
    problems.iter().map(|problem| (problem.about.clone(), say::problem(calculator, problem, system, phrases))).collect()
}

fn spoken(worked: &Worked, phrases: &Phrases) -> String {
    let main = worked.found.iter().filter(|found| found.spec.main);
    let mut said: Vec<String> = main
        .map(|found| {
            phrases.fill("fragment.spoken", |place| match place {
                "name" => Some(say::result_name(worked, found, phrases)),
                "value" => Some(say::outcome(found, phrases)),
                _ => None,
            })
        })
        .collect();
    said.extend(worked.cautions.iter().map(|caution| say::caution(worked, caution, phrases)));
    joined(&said, " ")
}
