//! Figures about questions and checks for the page: how hard a question is, how well it separates people, how reliable a
//! check is.

use super::items::Same;
use super::roster::Roster;
use super::rows::{BAR, tenths};
use serde::Serialize;
use std::collections::BTreeMap;
use tankside_calc::question::{Ask, Question};

/// The most questions that a page lists, those that tell you least first.
const ITEMS_ON_PAGE: usize = 40;
/// How many answers a question needs before anything is said about it.
const ENOUGH: f64 = 10.0;
/// How many must have missed it.
const ENOUGH_MISSED: f64 = 3.0;
/// Below this a question does not separate those who know from those who do not (Ebel and Frisbie 1991, from memory).
const TELLS_LITTLE: f64 = 0.2;

/// A question.
#[derive(Debug, Serialize)]
pub(super) struct ItemRow {
    text: String,
    id: String,
    n: u64,
    difficulty: String,
    bar: f64,
    discrimination: String,
    note: String,
}

/// A check that several people sat with the same questions.
#[derive(Debug, Serialize)]
pub(super) struct CheckRow {
    name: String,
    questions: usize,
    n: u64,
    mean: String,
    reliability: String,
}

impl Roster<'_> {
    /// A question as one person reads it: with the numbers of its first draw.
    fn one_draw(&self, question: &Question) -> String {
        let posed = (question.kind == Ask::Number).then(|| question.draw(question.draw_at(0)).ok()).flatten();
        posed.map_or_else(|| question.text.clone(), |posed| question.text_for(&posed, self.phrases))
    }

    /// Questions that do not separate people come first.
    pub(super) fn question_rows(&self) -> Vec<ItemRow> {
        let mut rows: Vec<(f64, ItemRow)> = Vec::new();
        for (known, item) in self.questions.all.iter().zip(&self.crew.items) {
            let Some(difficulty) = item.difficulty() else { continue };
            let discrimination = item.discrimination();
            let few = item.n < ENOUGH;
            let few_missed = item.n - item.right < ENOUGH_MISSED;
            let note = match discrimination {
                _ if few => "desk.item-few",
                _ if difficulty > 0.95 => "desk.item-easy",
                _ if few_missed => "desk.item-few-missed",
                Some(r) if r < -TELLS_LITTLE => "desk.item-backwards",
                Some(r) if r < TELLS_LITTLE => "desk.item-little",
                _ => "desk.item-good",
            };
            let rank = if few || few_missed { 2.0 } else { discrimination.unwrap_or(1.0) };
            rows.push((
                rank,
                ItemRow {
                    text: self.one_draw(known.question),
                    id: known.question.id.clone(),
                    n: item.n as u64,
                    difficulty: self.percent(difficulty),
                    bar: tenths(difficulty * BAR),
                    discrimination: discrimination
                        .map_or_else(|| "–".to_owned(), |value| self.phrases.number(two_places(value))),
                    note: self.phrases.get(note).to_owned(),
                },
            ));
        }
        rows.sort_by(|one, other| one.0.total_cmp(&other.0).then_with(|| one.1.id.cmp(&other.1.id)));
        rows.into_iter().map(|(_, row)| row).take(ITEMS_ON_PAGE).collect()
    }

    /// Checks, each with the questions that most people sat.
    pub(super) fn check_rows(&self) -> Vec<CheckRow> {
        let mut best: BTreeMap<&str, &Same> = BTreeMap::new();
        for same in self.crew.same.values() {
            let held = best.entry(&same.name).or_insert(same);
            if same.n > held.n {
                *held = same;
            }
        }
        let row = |same: &Same| CheckRow {
            name: same.name.clone(),
            questions: same.right.len(),
            n: same.n as u64,
            mean: self.percent(same.scores / same.n / (same.right.len().max(1) as f64)),
            reliability: same
                .reliability()
                .map_or_else(|| "–".to_owned(), |value| self.phrases.number(two_places(value))),
        };
        best.into_values().filter(|same| same.n > 1.0).map(row).collect()
    }
}

fn two_places(value: f64) -> String {
    let text = format!("{value:.2}");
    if text.starts_with('-') { text.replacen('-', "−", 1) } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_correlation_has_two_places_and_a_minus() {
        assert_eq!(two_places(-0.054), "−0.05");
    }
}
