//! A worked example with steps left blank, or with one step that is wrong, as HTML.

use crate::page::question::{query, slip_key};
use crate::page::worked::step_line;
use crate::quantity::unit::Unit;
use crate::question::Question;
use crate::question::score::Query;
use crate::question::steps::{Slipped, why};
use crate::question::template::Posed;
use crate::text::escape::{html, quantities};
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::working::record::Step;

fn asked(question: &Question, posed: &Posed, phrases: &Phrases) -> String {
    format!("<p class=\"tk-question__text\">{}</p>\n", quantities(&question.text_for(posed, phrases)))
}

/// A problem with its last `blanks` steps left blank; each is answered with its unit.
pub fn faded(question: &Question, posed: &Posed, blanks: usize, seed: u32, phrases: &Phrases) -> String {
    let (worked, working) = (&posed.worked, posed.working());
    let first = working.len().saturating_sub(blanks);
    let mut out = String::from("<div class=\"tk-question tk-faded\">\n");
    out.push_str(&asked(question, posed, phrases));
    out.push_str("<ol class=\"tk-steps\">\n");
    for (index, step) in working.iter().enumerate() {
        if index < first {
            out.push_str(&step_line(worked, step, phrases));
            continue;
        }
        let title = html(&say::step_label(worked, step, phrases));
        out.push_str(&format!(
            "<li class=\"tk-step tk-step--blank\"><label class=\"tk-step__title\" for=\"step-{index}\">{title}</label> \
             <input class=\"tk-question__entry\" id=\"step-{index}\" data-step=\"{index}\" type=\"text\" autocapitalize=\"off\" autocomplete=\"off\" spellcheck=\"false\" aria-describedby=\"step-{index}-ask\"> \
             <span class=\"tk-question__ask\" id=\"step-{index}-ask\" role=\"status\"></span></li>\n"
        ));
    }
    out.push_str("</ol>\n");
    out.push_str(&why_choice(posed, &working[..first], seed, phrases));
    out.push_str("</div>\n");
    out
}

/// "Why this step?", a choice about one of the steps that are shown, with the place of the right answer.
fn why_choice(posed: &Posed, shown: &[Step], seed: u32, phrases: &Phrases) -> String {
    let Some((step, right, kinds)) = why(shown, seed) else { return String::new() };
    let title = say::step_title(&posed.worked, &shown[step], phrases);
    let asked = phrases.fill("practice.why", |place| (place == "step").then(|| title.clone()));
    let mut out = format!(
        "<fieldset class=\"tk-question__answer tk-why\" data-right=\"{right}\"><legend class=\"tk-question__label\">{}</legend>\n",
        html(&asked)
    );
    for (place, kind) in kinds.iter().enumerate() {
        let key = format!("practice.why.{}", kind.id().trim_start_matches("kind."));
        out.push_str(&format!(
            "<label class=\"tk-choice\"><input class=\"tk-choice__mark\" type=\"radio\" name=\"why\" value=\"{place}\"> <span class=\"tk-choice__text\">{}</span></label>\n",
            html(phrases.get(&key))
        ));
    }
    out.push_str("</fieldset>\n");
    out
}

/// A working with one wrong step: the learner marks the step and gives the right figure.
pub fn slip(question: &Question, posed: &Posed, slipped: &Slipped, phrases: &Phrases) -> String {
    let mut out = String::from("<div class=\"tk-question tk-slip\">\n");
    out.push_str(&asked(question, posed, phrases));
    out.push_str(&format!(
        "<fieldset class=\"tk-question__answer\"><legend class=\"tk-question__label\">{}</legend>\n<ol class=\"tk-steps\">\n",
        html(phrases.get("practice.slip"))
    ));
    for (index, step) in slipped.working.iter().enumerate() {
        let line = step_line(&slipped.worked, step, phrases);
        let title = html(&say::step_title(&slipped.worked, step, phrases));
        let mark = format!(
            "<label class=\"tk-slip__mark\"><input class=\"tk-choice__mark\" type=\"radio\" name=\"slip\" value=\"{index}\" aria-label=\"{title}\"></label> "
        );
        out.push_str(&line.replacen("<li class=\"tk-step\">", &format!("<li class=\"tk-step\">{mark}"), 1));
    }
    out.push_str(&format!(
        "</ol></fieldset>\n<p class=\"tk-question__answer\"><label class=\"tk-question__label\" for=\"slip-figure\">{}</label> \
         <input class=\"tk-question__entry\" id=\"slip-figure\" type=\"text\" autocapitalize=\"off\" autocomplete=\"off\" spellcheck=\"false\" aria-describedby=\"slip-ask\"></p>\n\
         <p class=\"tk-question__ask\" id=\"slip-ask\" data-role=\"ask\"></p>\n</div>\n",
        html(phrases.get("practice.slip-figure"))
    ));
    out
}

/// What the mistake was, in words, and the right working from its line on, to the answer.
pub fn slip_explained(posed: &Posed, slipped: &Slipped, phrases: &Phrases) -> String {
    let mut out = String::from("<div class=\"tk-feedback\">\n");
    for part in ["did", "why"] {
        let key = slip_key(posed, slipped.mistake, part, phrases);
        let text = phrases.get(&key);
        if !text.contains('{') {
            out.push_str(&format!("<p class=\"tk-feedback__{part}\">{}</p>\n", quantities(text)));
        }
    }
    out.push_str(&format!("<ol class=\"tk-steps\" start=\"{}\">\n", slipped.step + 1));
    for step in &posed.working()[slipped.step..] {
        out.push_str(&step_line(&posed.worked, step, phrases));
    }
    out.push_str("</ol>\n</div>\n");
    out
}

/// What is asked about the answer to a step, or about a reading, in this unit.
pub fn ask(about: &Query, unit: Unit, phrases: &Phrases) -> String {
    query(about, Some(unit), phrases)
}
