//! The draws offered of the stock and demo questions, judged ahead of time so that publishing need not judge them
//! again.
//!
//! `offered.txt` has a line for each template: digest, draws judged, letters of those to skip. A template that is not
//! in it is judged when its course is published; `tests/draws/` checks every line against the judging itself.

use std::collections::{HashMap, HashSet};
use std::sync::OnceLock;
use tankside_calc::question::offered::Offered;
use tankside_calc::question::options::choosable;
use tankside_calc::question::{Ask, Question};

static TABLE: &str = include_str!("offered.txt");
/// The digests of those that an exam may ask as a choice.
static CHOSEN: &str = include_str!("chosen.txt");

/// The draws offered of the template with this digest, if it was judged ahead of time.
pub fn judged_before(digest: &str) -> Option<Offered> {
    static READ: OnceLock<HashMap<&str, &str>> = OnceLock::new();
    let read = READ.get_or_init(|| TABLE.lines().filter_map(|line| line.split_once(' ')).collect());
    let (judged, skip) = read.get(digest)?.split_once(' ')?;
    Some(Offered::read(judged.parse().ok()?, skip))
}

/// Whether an exam may ask a question, which has this digest, as a choice; found ahead of time or now.
pub fn may_be_chosen(question: &Question, digest: &str) -> bool {
    static READ: OnceLock<HashSet<&str>> = OnceLock::new();
    if question.kind != Ask::Number {
        return true;
    }
    let before = READ.get_or_init(|| CHOSEN.lines().collect()).contains(digest);
    before || judged_before(digest).is_none() && choosable(question)
}

/// The digests of the templates that were found to be fit for choices.
pub fn chosen() -> impl Iterator<Item = &'static str> {
    CHOSEN.lines()
}

/// The line of a template, as the table has it.
pub fn line(digest: &str, offered: &Offered) -> String {
    let (judged, skip) = offered.parts();
    format!("{digest} {judged} {skip}\n")
}

/// The digests in the table.
pub fn digests() -> impl Iterator<Item = &'static str> {
    TABLE.lines().filter_map(|line| line.split(' ').next())
}
