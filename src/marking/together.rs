//! What the roster says of wrong answers that show no known mistake: question by question, those who gave about the same
//! together.

use super::crew::Crew;
use super::odd::{Example, Like, Odd};
use super::questions::{LessonRef, Questions};
use super::rows::who;
use super::tally::Made;
use super::wrong::Wrong;
use serde::Serialize;
use std::cmp::Reverse;
use tankside_calc::question::Ask;
use tankside_calc::text::figures::shown;

/// The most questions that a page lists, and kinds of answers to each.
const QUESTIONS: usize = 15;
const GROUPS: usize = 3;

/// A question with wrong answers that show no known mistake.
#[derive(Debug, Serialize)]
pub(super) struct OddRow {
    question: String,
    who: String,
    groups: Vec<OddGroup>,
    /// How many other kinds of answers there were, in words.
    more: Option<String>,
    #[serde(skip)]
    pub(super) lesson: Option<LessonRef>,
}

/// Those who gave about the same.
#[derive(Debug, Serialize)]
struct OddGroup {
    told: String,
    who: String,
    /// Whether they are several.
    together: bool,
}

impl OddRow {
    /// Whether several people gave about the same wrong answer.
    pub(super) fn is_together(&self) -> bool {
        self.groups.iter().any(|group| group.together)
    }
}

/// Several people who gave about the same wrong figure.
fn most_together(odd: &Odd, numeric: bool) -> usize {
    let figures = odd.groups(numeric).into_iter().filter(|(like, ..)| like.is_figure());
    figures.map(|(_, made, _)| made.people).max().unwrap_or(0)
}

/// How many questions there are to which several people gave about the same wrong figure.
pub(super) fn together(crew: &Crew, questions: &Questions) -> usize {
    let several = |(index, odd): &(&usize, &Odd)| most_together(odd, questions.all[**index].is_one_number()) > 1;
    crew.odd.iter().filter(several).count()
}

/// The questions, those first to which most people gave about the same; and how many there are beyond those.
pub(super) fn odd_rows(crew: &Crew, questions: &Questions) -> (Vec<OddRow>, usize) {
    let mut order: Vec<(usize, &Odd)> = crew.odd.iter().map(|(index, odd)| (*index, odd)).collect();
    let rank = |(index, odd): &(usize, &Odd)| {
        let together = most_together(odd, questions.all[*index].is_one_number());
        Reverse((if together > 1 { together } else { 0 }, odd.all.people, odd.all.times))
    };
    order.sort_by_cached_key(|one| (rank(one), one.0));
    let more = order.len().saturating_sub(QUESTIONS);
    (order.into_iter().take(QUESTIONS).map(|(index, odd)| row(index, odd, questions)).collect(), more)
}

fn row(index: usize, odd: &Odd, questions: &Questions) -> OddRow {
    let groups = odd.groups(questions.all[index].is_one_number());
    let rest = groups.len().saturating_sub(GROUPS);
    let more = (rest > 0).then(|| questions.phrases.fill_with("desk.odd-more", &[("count", &rest.to_string())]));
    let first = groups.first().map(|(_, _, example)| *example);
    let asked = first.map(|Example { draw, typed }| Wrong::of(questions, index, *draw, typed).asked());
    let group = |(like, made, example): (Like, Made, &Example)| OddGroup {
        told: told(index, like, example, questions),
        who: who(&made, questions.phrases),
        together: made.people > 1 && like.is_figure(),
    };
    OddRow {
        question: asked.unwrap_or_default(),
        who: who(&odd.all, questions.phrases),
        groups: groups.into_iter().take(GROUPS).map(group).collect(),
        more,
        lesson: questions.all[index].lesson.clone(),
    }
}

/// What some people gave, with the first of their answers.
fn told(index: usize, like: Like, example: &Example, questions: &Questions) -> String {
    let phrases = questions.phrases;
    let wrong = Wrong::of(questions, index, example.draw, &example.typed);
    if like == Like::BLANK {
        return phrases.get("desk.odd-blank").to_owned();
    }
    let so = wrong.told("desk.odd");
    let Some(share) = like.share().filter(|_| questions.all[index].is_one_number()) else {
        let is_number = questions.all[index].question.kind == Ask::Number;
        return if is_number { phrases.fill_with("desk.odd-alone", &[("so", &so)]) } else { so };
    };
    let (key, amount) = match share {
        share if (1.0..2.0).contains(&share) => ("desk.odd-high", (share - 1.0) * 100.0),
        share if (0.5..1.0).contains(&share) => ("desk.odd-low", (1.0 - share) * 100.0),
        share => ("desk.odd-times", share),
    };
    let amount = phrases.number(shown(amount, 2));
    phrases.fill_with(key, &[("amount", &amount), ("so", &so)])
}
