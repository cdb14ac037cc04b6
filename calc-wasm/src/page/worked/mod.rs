//! The worked example as HTML: form and answer, produced here and nowhere else.
//!
//! Natively at publishing time, in WebAssembly on each keystroke; same inputs, same bytes. Text from outside goes
//! through [`crate::text::escape::html`]; everything else is written here.

mod answer;
mod chain;
mod choices;
mod doubt;
mod form;
mod read_to;
mod results;
mod rows;
mod sure;

use crate::calculation::declare::{Calculator, Face, FormItem};
use crate::calculation::inputs::{InputFault, InputProblem, RawInputs};
use crate::calculation::worked::Worked;
use crate::card::{NO_RUN, work_card};
use crate::fitted::{self, Extra};
use crate::page::card;
use crate::text::escape::{html, markup};
use crate::text::texts::joined;
use crate::uncertainty::work;
use crate::words::phrases::{Form, Phrases};
use crate::words::say;
use crate::working::record::System;

pub(crate) use answer::sources;
pub use answer::{some_steps, step_line, steps};
pub(crate) use sure::sure;

/// How much of a worked example is in sight before anything is unfolded.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Show {
    /// The result in a sentence and the drawing: an example to read.
    Sentence,
    /// The form, the main results and the steps.
    #[default]
    Steps,
    /// All results as well, and every step in words.
    Everything,
}

impl Show {
    /// `sentence`, `steps` or `everything`.
    pub fn id(self) -> &'static str {
        match self {
            Show::Sentence => "sentence",
            Show::Steps => "steps",
            Show::Everything => "everything",
        }
    }

    /// The one with this id.
    pub fn from_id(id: &str) -> Option<Show> {
        [Show::Sentence, Show::Steps, Show::Everything].into_iter().find(|show| show.id() == id)
    }
}

/// What a page asks of a worked example.
#[derive(Clone, Debug, Default)]
pub struct Options<'a> {
    /// Name, unique on the page; ids begin with it.
    pub name: &'a str,
    /// Title shown above.
    pub title: &'a str,
    /// Units shown.
    pub system: System,
    /// Level of the title's heading, 2 to 4.
    pub level: u8,
    /// How much is in sight.
    pub show: Show,
    /// Inputs and groups that are open in the form, in this order; `None` for all of them as declared.
    pub first: Option<&'a [&'a str]>,
    /// The result that is shown large, by its name; nothing for the calculator's own choice.
    pub large: &'a str,
    /// Parts of the answer that the reader has unfolded, where only those are wanted in full; `None` for all.
    pub unfolded: Option<&'a [&'a str]>,
    /// Whether the page has the form already, and only the answer and the notes are wanted.
    pub formed: bool,
    /// Whether of the answer only results and cautions are wanted: the rest follows once typing rests.
    pub brief: bool,
}

/// A worked example, rendered.
#[derive(Debug)]
pub struct Fragment {
    /// The form element.
    pub form: String,
    /// The answer element.
    pub answer: String,
    /// The messages next to single fields.
    pub notes: Notes,
    /// One sentence for a screen reader: the main results, or that something is missing.
    pub spoken: String,
}

impl Fragment {
    /// What is answered while a part is missing, and thrown away by the door.
    fn nothing() -> Fragment {
        Fragment { form: String::new(), answer: String::new(), notes: Notes::default(), spoken: String::new() }
    }
}

/// The messages next to single fields.
#[derive(Debug, Default)]
pub struct Notes {
    /// Problems: flat name and text.
    pub errors: Vec<(String, String)>,
    /// Flat names of inputs that are outside their usual range.
    pub unusual: Vec<String>,
}

impl Notes {
    /// What is wrong with a field.
    fn error(&self, flat: &str) -> Option<&str> {
        self.errors.iter().find(|(about, _)| about == flat).map(|(_, text)| text.as_str())
    }

    /// Whether there is a message about an input, or about a row of a group.
    fn about(&self, name: &str) -> bool {
        let within = |flat: &str| flat.split('.').next() == Some(name);
        self.errors.iter().any(|(flat, _)| within(flat)) || self.unusual.iter().any(|flat| within(flat))
    }
}

/// Renders form and answer for inputs as given.
///
/// The form is left out where the page has it already.
pub fn fragment(calculator: &'static Calculator, given: &RawInputs, options: &Options, phrases: &Phrases) -> Fragment {
    let worked = match calculator.face {
        Face::Results => work(calculator, given, options.system),
        Face::Card => work_card(given, options.system),
    };
    if fitted::any_missed() {
        return Fragment::nothing();
    }
    match worked {
        Ok(worked) => {
            let notes = Notes { errors: Vec::new(), unusual: unusual(&worked) };
            Fragment {
                form: form(calculator, given, &notes, options, phrases),
                answer: match calculator.face {
                    Face::Results => answer::answer(&worked, options, phrases),
                    Face::Card => card::face(&worked, options, phrases),
                },
                notes,
                spoken: spoken(&worked, phrases),
            }
        }
        Err(problems) => {
            let all = texts(calculator, &problems, options.system, phrases);
            // A new card starts empty: what is still to come is listed, but it is no mistake beside its field yet.
            let missing = [InputFault::Missing, InputFault::Refused(NO_RUN)];
            let coming = |problem: &InputProblem| calculator.face == Face::Card && missing.contains(&problem.fault);
            let told = all.iter().zip(&problems).filter(|(_, problem)| !coming(problem));
            let notes = Notes { errors: told.map(|(text, _)| text.clone()).collect(), unusual: Vec::new() };
            Fragment {
                form: form(calculator, given, &notes, options, phrases),
                answer: answer::waiting(calculator, &all, phrases),
                spoken: phrases.get("fragment.waiting").to_owned(),
                notes,
            }
        }
    }
}

fn form(
    calculator: &'static Calculator,
    given: &RawInputs,
    notes: &Notes,
    options: &Options,
    phrases: &Phrases,
) -> String {
    if options.formed || !fitted::has(Extra::Form) {
        String::new()
    } else {
        form::form(calculator, given, notes, options, phrases)
    }
}

/// The inputs and groups that are open in a form where nobody says which: those that something is given for.
pub fn opened(calculator: &'static Calculator, given: &RawInputs) -> Vec<&'static str> {
    let has = |item: &&FormItem| match item {
        FormItem::One(input) => given.text(input.name).is_some_and(|text| !text.trim().is_empty()),
        FormItem::Many(group) => given.rows(group.name) > 0,
    };
    calculator.inputs.iter().filter(has).map(FormItem::name).collect()
}

/// The whole section as a page holds it.
pub fn section(calculator: &'static Calculator, given: &RawInputs, options: &Options, phrases: &Phrases) -> String {
    let Fragment { form, answer, .. } = fragment(calculator, given, options, phrases);
    let (name, title, level) = (html(options.name), html(options.title), options.level.clamp(2, 4).to_string());
    let mut out = String::with_capacity(form.len() + answer.len() + 4 * 1024);
    markup!(
        &mut out,
        "<section class=\"tk-worked tk-worked--",
        options.show.id(),
        "\" data-part=\"worked\" data-calculator=\"",
        calculator.id,
        "\" data-name=\"",
        &name,
        "\" data-title=\"",
        &title,
        "\" data-units=\"",
        options.system.id(),
        "\" data-level=\"",
        &level,
        "\" data-show=\"",
        options.show.id()
    );
    if let Some(first) = options.first {
        markup!(&mut out, "\" data-first=\"", &joined(first, " "));
    }
    if !options.large.is_empty() {
        markup!(&mut out, "\" data-large=\"", html(options.large));
    }
    markup!(
        &mut out,
        "\" id=\"worked-",
        &name,
        "\" aria-labelledby=\"worked-",
        &name,
        "-title\">\n<h",
        &level,
        " class=\"tk-worked__title\" id=\"worked-",
        &name,
        "-title\">",
        &title,
        "</h",
        &level,
        ">\n"
    );
    if options.show == Show::Sentence {
        out.push_str(&answer);
        unfolds(&mut out, "form", false, &html(phrases.get("fragment.try")));
        markup!(&mut out, &form, &tools(calculator, options.system, phrases), "</details>\n");
    } else {
        markup!(&mut out, &form, &answer, &tools(calculator, options.system, phrases));
    }
    out.push_str("<p class=\"tk-spoken\" data-role=\"spoken\" aria-live=\"polite\"></p>\n</section>\n");
    out
}

/// Units, link and reset on one quiet line, with room for what became of them.
pub fn tools(calculator: &'static Calculator, system: System, phrases: &Phrases) -> String {
    let mut out = String::from("<div class=\"tk-tools\" data-part=\"tools\">\n");
    let mut button = |attributes: &[&str], text: &str| {
        let attributes = attributes.concat();
        markup!(&mut out, "<button type=\"button\" class=\"tk-quiet\" ", &attributes, ">", html(text), "</button>\n");
    };
    for (of, key) in [(System::Us, "fragment.show-us"), (System::Metric, "fragment.show-metric")] {
        let hidden = if of == system { " hidden" } else { "" };
        button(&["data-do=\"units\" data-units=\"", of.id(), "\"", hidden], phrases.get(key));
    }
    button(&["data-do=\"link\""], phrases.get("fragment.link"));
    button(&["data-do=\"reset\""], &answer::own_or_usual(calculator, "reset", phrases));
    for (role, key) in
        [("rounded", "fragment.rounded"), ("link-note", "fragment.link-note"), ("link-copied", "fragment.link-copied")]
    {
        markup!(
            &mut out,
            "<p class=\"tk-tools__said\" data-role=\"",
            role,
            "\" role=\"status\" hidden>",
            html(phrases.get(key)),
            "</p>\n"
        );
    }
    out.push_str("</div>\n");
    out
}

/// The line that unfolds; the caller closes the element.
pub(crate) fn unfolds(out: &mut String, key: &str, open: bool, title: &str) {
    let open = if open { " open" } else { "" };
    markup!(
        out,
        "<details class=\"tk-fold tk-fold--",
        key,
        "\" data-fold=\"",
        key,
        "\"",
        open,
        "><summary class=\"tk-fold__title\">",
        title,
        "</summary>\n"
    );
}

/// A part that folds under its `title`; what is folded on the page is not rendered again at each keystroke.
pub(crate) fn fold(
    out: &mut String,
    options: &Options,
    key: &str,
    open: bool,
    title: &str,
    body: impl FnOnce(&mut String),
) {
    unfolds(out, key, open, title);
    if options.unfolded.is_none_or(|unfolded| unfolded.contains(&key)) {
        body(out);
    }
    out.push_str("</details>\n");
}

fn texts(
    calculator: &'static Calculator,
    problems: &[InputProblem],
    system: System,
    phrases: &Phrases,
) -> Vec<(String, String)> {
    if !problems.is_empty() && !fitted::has(Extra::Problems) {
        return Vec::new();
    }
    problems.iter().map(|problem| (problem.about.clone(), say::problem(calculator, problem, system, phrases))).collect()
}

/// Inputs that the working points out as unusual.
fn unusual(worked: &Worked) -> Vec<String> {
    worked.inputs.implausible.iter().map(|(name, _)| String::from(&**name)).collect()
}

fn spoken(worked: &Worked, phrases: &Phrases) -> String {
    let main = worked.unasked().filter(|found| found.spec.main);
    let mut said: Vec<String> = worked.cautions.iter().map(|caution| say::caution(worked, caution, phrases)).collect();
    let results = main.map(|found| {
        phrases.fill_in("fragment.spoken", Form::Inside, |place, form| match place {
            "name" => Some(say::result_in(worked, found, form, phrases)),
            "value" => Some(say::outcome(found, phrases)),
            _ => None,
        })
    });
    // A danger comes before the number it concerns.
    let graver =
        worked.cautions.iter().filter(|caution| caution.severity == crate::working::record::Severity::Danger).count();
    said.splice(graver..graver, results);
    joined(&said, " ")
}
