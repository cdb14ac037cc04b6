//! What leads from one file of a course to another: links, numbers, banks, terms.

use super::banks::{ReadyBank, read_pass};
use super::examples::ReadyLesson;
use super::figures::show_figures;
use super::whole::Course;
use crate::embedded::is_text;
use crate::load::Own;
use crate::markdown::{Insert, Outline, Questions, check_links};
use crate::notation::percent_meant;
use crate::problem::{Problem, Problems, Source, code, offer};
use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

/// The course's own terms must link to existing terms.
pub(super) fn check_terms(own: &Own, terms: &BTreeSet<String>, problems: &mut Problems) {
    for term in &own.terms {
        for address in term.text.split("](term:").skip(1).filter_map(|rest| rest.split(')').next()) {
            if !terms.contains(address) {
                let title = format!("the term `{}` leads to a term `{address}`, which does not exist", term.id);
                let mut problem = Problem::new(code::TERM_UNKNOWN, title, "glossary.yaml");
                problem.help = offer(address, terms.iter().map(String::as_str));
                problems.push(problem);
            }
        }
    }
}

/// Follows what leads from one lesson to another: links to headings, numbers, questions.
pub(super) fn follow(
    fresh: &mut [Arc<ReadyLesson>],
    kept: &[&ReadyLesson],
    course: &Course,
    of_lessons: &mut [Problems],
) {
    let outline = |lesson| -> (&str, &Source, &Outline) {
        let lesson: &ReadyLesson = lesson;
        (lesson.stem.as_str(), &lesson.source, &lesson.body.outline)
    };
    let all = fresh.iter().map(|lesson| &**lesson).chain(kept.iter().copied()).map(outline);
    check_links(fresh.iter().map(|lesson| outline(lesson)), all, of_lessons);
    show_figures(fresh, kept, &course.lesson_names, &course.phrases, of_lessons);
    for (lesson, problems) in fresh.iter().zip(of_lessons) {
        for hole in &lesson.body.holes {
            if let Insert::Questions(questions) = &hole.insert {
                check_questions(&lesson.source, questions, course, problems);
            }
        }
    }
}

/// Checks what a lesson asks of a bank.
fn check_questions(source: &Source, written: &Questions, course: &Course, problems: &mut Problems) {
    let banks = &course.banks;
    let Some(bank) = banks.get(&written.bank) else { return };
    if written.pass.as_deref().is_some_and(|pass| read_pass(pass).is_none()) {
        let title = "a percentage above 0 and up to 100 % is expected for `pass`";
        let problem = Problem::new(code::PASS_NOT_A_SHARE, title, "").at(source, written.pass_place.clone());
        let meant = percent_meant(written.pass.as_deref().unwrap_or_default(), "80 %");
        problems.push(problem.help(format!("write `pass: {meant}`")));
    }
    let mut too_many = |bank: &ReadyBank, ask: Option<u32>, place: &Range<usize>| {
        let there = bank.questions.len();
        // What could not be read of it may be as many as are missing.
        if course.bank_files.get(&bank.id).is_some_and(|bank| bank.cut) {
            return;
        }
        if let Some(ask) = ask.filter(|ask| *ask as usize > there) {
            // No author has the stock's lesson: what can be changed is the bank in its place.
            if let Some(own) = course.bank_files.get(&bank.id).filter(|_| is_text(&source.name, &source.text)) {
                let stem = source.name.rsplit('/').next().unwrap_or_default().trim_end_matches(".md");
                let title =
                    format!("the stock lesson `{stem}` asks {ask} questions of this bank, which has only {there}");
                let help = format!("write at least {ask}; or rename the file and its id, and the stock bank is back");
                let place = own.root.get("id").map_or(0..0, |id| id.span.clone());
                return problems.push(Problem::new(code::ASKS_TOO_MANY, title, "").at(&own.source, place).help(help));
            }
            let title = format!("{ask} questions are asked for, but the bank `{}` has only {there}", bank.id);
            let problem = Problem::new(code::ASKS_TOO_MANY, title, "").at(source, place.clone());
            problems.push(problem.help(format!("write `ask: {there}` or less, or leave the line out to ask them all")));
        }
    };
    too_many(bank, written.ask, &written.ask_place);
    for other in &written.also {
        if let Some(bank) = banks.get(&other.bank) {
            too_many(bank, other.ask, &other.ask_place);
        }
    }
}
