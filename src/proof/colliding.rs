//! Known mistakes that a question's numbers hide: those that give the right answer, or another mistake's.

use super::Marks;
use super::questions::Reading;
use crate::problem::code;
use std::collections::BTreeSet;
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::mistakes::{Mistake, all, nearest};
use tankside_calc::question::Question;
use tankside_calc::question::template::Posed;
use tankside_calc::text::figures::plain_digits;

/// How many problems of a question are looked at for mistakes that no number shows.
const LOOKED_AT: usize = 30;

impl Reading<'_> {
    /// Mistakes that give the right answer itself in every problem, and, where the numbers are fixed, those too near to it
    /// or to each other.
    pub(super) fn colliding(&self, index: usize, question: &Question, marks: &mut Marks) {
        let place = || self.place(index, "given");
        let mut unseen: Option<BTreeSet<&'static str>> = None;
        let mut clash = None;
        let each = question.each();
        let mut shown = BTreeSet::new();
        for (draw, question) in
            question.offered.draws().take(LOOKED_AT).flat_map(|draw| each.iter().map(move |one| (draw, one)))
        {
            let Ok(posed) = question.draw(draw) else { return };
            let near = nearest(&posed.right_working(), &posed.unit, &[]);
            if question.offered.parts().0 == 1 {
                clash = clash.or(near.clash);
            }
            let mut found: BTreeSet<&str> = near.unseen.into_iter().collect();
            if unseen.is_none() && !found.is_empty() {
                shown = (1..=3).flat_map(|turn| made_at_others(question, &posed.given, turn)).collect();
            }
            // A mistake is hidden only if it is hidden in every draw: one draw without any is enough.
            if unseen.as_ref().is_none_or(|unseen| !unseen.is_empty()) {
                let hidden = hidden(question, &posed);
                shown.extend(&hidden);
                found.extend(hidden);
            }
            unseen = Some(match unseen {
                None => found,
                Some(before) => before.intersection(&found).copied().collect(),
            });
        }
        if let Some((first, second)) = clash {
            let first = first.map_or_else(|| "the right answer".to_owned(), |id| format!("the mistake `{id}`"));
            let title = format!("with these numbers the mistake `{second}` cannot be told from {first}");
            let help = "change a number, so that a wrong answer shows which mistake was made".to_owned();
            marks.at(code::MISTAKES_COLLIDE, &self.bank.source, place(), title, help);
        } else if let Some(id) = unseen.unwrap_or_default().intersection(&shown).next() {
            let title = format!(
                "with these numbers the mistake `{id}` gives the right answer, so anyone who makes it is marked right"
            );
            let help = "change a number, or widen a range".to_owned();
            marks.at(code::MISTAKES_COLLIDE, &self.bank.source, place(), title, help);
        }
    }
}

/// The mistakes that show when the numbers of a problem are moved a little: a mistake that has no room in this question
/// never shows, whatever the numbers.
fn made_at_others(question: &Question, given: &RawInputs, turn: usize) -> Vec<&'static str> {
    let Some(posed) = moved(question, given, |index| 0.13 * (1 + (index + turn) % 4) as f64) else { return Vec::new() };
    nearest(&posed.right_working(), &posed.unit, &[]).made
}

/// The mistakes that make no difference because of one number: a catch of 60 s is called the output of a minute. With
/// that number a millionth larger, the mistake is made, and leads to the right answer but for that millionth.
fn hidden(question: &Question, posed: &Posed) -> BTreeSet<&'static str> {
    const MOVED: f64 = 1e-6;
    let right = posed.right_working();
    let silent = |mistake: &&Mistake| mistake.leads_to(&right, &posed.unit).is_none();
    let mut found = BTreeSet::new();
    for at in 0..posed.given.0.len() {
        let other = moved(question, &posed.given, |index| if index == at { MOVED } else { 0.0 });
        let Some(other) = other else { continue };
        let right = other.right_working();
        let meets = |mistake: &&Mistake| {
            let led = mistake.leads_to(&right, &other.unit);
            led.is_some_and(|si| (si - right.si).abs() <= 100.0 * MOVED * right.si.abs())
        };
        found.extend(all().filter(meets).filter(silent).map(|mistake| mistake.id));
    }
    found
}

/// The problem with each number larger by a share.
fn moved(question: &Question, given: &RawInputs, by: impl Fn(usize) -> f64) -> Option<Posed> {
    let mut moved = question.clone();
    moved.parts.clear();
    moved.given = given.0.clone();
    for (index, (_, text)) in moved.given.iter_mut().enumerate() {
        let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
        if let Ok(number) = text[..end].parse::<f64>() {
            *text = format!("{}{}", plain_digits(number * (1.0 + by(index))), &text[end..]);
        }
    }
    moved.draw(0).ok()
}
