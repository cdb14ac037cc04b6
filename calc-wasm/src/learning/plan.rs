//! A plan of days: how many problems are new and how many come back, from today to an exam or over five weeks, and no
//! more in a day than somebody does.

use super::schedule::{Event, LAST_DAYS, Standing, TO_LEARN, standing};
use super::session::DrillItem;

/// Days of a plan without an exam.
pub const USUAL_DAYS: i32 = 35;
/// Share of the days before an exam in which everything is met for the first time.
const FIRST_MET: f64 = 0.6;

/// How much a learner does in a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Load {
    /// New kinds of problem, where no exam sets the pace.
    pub new: u32,
    /// Questions in total, new or not: the length of two drills.
    pub questions: u32,
}

/// One day of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlannedDay {
    /// The day.
    pub day: i32,
    /// Kinds of problem met for the first time, or still to be learned.
    pub new: u32,
    /// Kinds that come back.
    pub back: u32,
}

impl PlannedDay {
    /// How many questions that is: what is new is asked until it is learned, what comes back once.
    pub fn questions(&self) -> u32 {
        self.new * TO_LEARN + self.back
    }
}

/// What fits in the days there are.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// The days on which there is something to do.
    pub days: Vec<PlannedDay>,
    /// Kinds that are learned at the end.
    pub fits: u32,
    /// Formulas of which a kind is learned at the end, and how many there are.
    pub formulas: (u32, u32),
}

/// The days on which there is something to do, as if every answer were right. Where not all kinds fit, one of each
/// formula comes first, as in the drill.
pub fn plan(kinds: &[DrillItem], today: i32, exam: Option<i32>, load: Load) -> Plan {
    let end = exam.unwrap_or(today + USUAL_DAYS).clamp(today, today + 400);
    let learned = |kind: &&DrillItem| kind.standing.as_ref().is_some_and(|standing| standing.learned);
    let mut known: Vec<Standing> = kinds.iter().filter(learned).filter_map(|kind| kind.standing.clone()).collect();
    let mut fresh = (kinds.len() - known.len()) as u32;
    let (had, all) = (formulas(kinds.iter().filter(learned)), formulas(kinds.iter()));
    let days = ((f64::from(end - today) * FIRST_MET) as u32).max(1);
    let pace = if exam.is_some() { fresh.div_ceil(days).max(1) } else { load.new.max(1) };
    // What does not fit until then may still be met up to the last week.
    let last_new = (days as i32).max(end - today - LAST_DAYS as i32);
    let (mut planned, mut met) = (Vec::new(), 0);
    for day in today..=end {
        let sits = exam == Some(day);
        let mut due: Vec<(i32, usize)> = Vec::new();
        for (place, standing) in known.iter().enumerate() {
            let on = exam.map_or(standing.due, |exam| standing.due_before(exam, place as u32));
            if on <= day && !sits {
                due.push((on, place));
            }
        }
        longest_due_first(&mut due);
        // What does not fit waits for tomorrow.
        due.truncate(load.questions as usize);
        for (_, place) in &due {
            known[*place].take(right(day, 0), day);
        }
        let back = due.len() as u32;
        let over = exam.is_some() && day - today >= last_new;
        let room = load.questions.saturating_sub(back) / TO_LEARN;
        let new = if sits || over { 0 } else { fresh.min(pace).min(room) };
        (fresh, met) = (fresh - new, met + new);
        known.extend((0..new).filter_map(|_| learned_on(day)));
        if new + back > 0 {
            planned.push(PlannedDay { day, new, back });
        }
    }
    Plan { days: planned, fits: known.len() as u32, formulas: ((had + met).min(all), all) }
}

/// How many formulas there are among kinds; a choice that has none is not counted.
fn formulas<'k>(kinds: impl Iterator<Item = &'k DrillItem>) -> u32 {
    let mut seen: Vec<&str> = Vec::new();
    for kind in kinds.filter(|kind| !kind.formula.is_empty()) {
        if !seen.contains(&kind.formula.as_str()) {
            seen.push(&kind.formula);
        }
    }
    seen.len() as u32
}

/// Puts what has been due longest first; the library's sorting is heavy in a browser.
fn longest_due_first(due: &mut [(i32, usize)]) {
    for end in 1..due.len() {
        let mut at = end;
        while at > 0 && due[at] < due[at - 1] {
            due.swap(at, at - 1);
            at -= 1;
        }
    }
}

fn right(day: i32, draw: u32) -> Event {
    Event { day, draw, right: true, unaided: true, over: false, choice: false, find: false }
}

fn learned_on(day: i32) -> Option<Standing> {
    let events: Vec<Event> = (0..TO_LEARN).map(|draw| right(day, draw)).collect();
    standing(&events, day)
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOAD: Load = Load { new: 4, questions: 24 };

    fn fresh(count: usize, formulas: usize) -> Vec<DrillItem> {
        let kind = |index: usize| DrillItem {
            topic: String::new(),
            formula: format!("f{}", index % formulas),
            choice: false,
            standing: None,
            due: 0,
        };
        (0..count).map(kind).collect()
    }

    #[test]
    fn everything_is_met_well_before_the_exam_and_comes_back_before_it() {
        let plan = plan(&fresh(60, 60), 0, Some(35), LOAD);
        assert_eq!((plan.fits, plan.formulas), (60, (60, 60)));
        assert_eq!(plan.days.iter().map(|day| day.new).sum::<u32>(), 60);
        let last_new = plan.days.iter().filter(|day| day.new > 0).map(|day| day.day).max().unwrap();
        assert!(last_new <= 21, "{last_new}");
        let last_days: u32 = plan.days.iter().filter(|day| day.day >= 28).map(|day| day.back).sum();
        assert!(last_days >= 60, "each once more in the last week: {last_days}");
    }

    #[test]
    fn no_day_is_more_than_two_drills_and_what_fits_has_one_of_each_formula_first() {
        for (kinds, formulas, days) in [(339, 80, 35), (339, 80, 10), (183, 40, 35), (339, 80, 90), (20, 10, 2)] {
            let plan = plan(&fresh(kinds, formulas), 0, Some(days), LOAD);
            assert!(plan.days.iter().all(|day| day.questions() <= LOAD.questions), "{:?}", plan.days);
            assert!(plan.days.iter().all(|day| day.day < days), "nothing on the day itself");
            assert_eq!(plan.fits, plan.days.iter().map(|day| day.new).sum::<u32>());
            assert_eq!(plan.formulas, (plan.fits.min(formulas as u32), formulas as u32));
            // No heap on one day of the last week.
            let last: Vec<u32> = plan.days.iter().filter(|day| day.day >= days - 7).map(|day| day.back).collect();
            assert!(days < 14 || last.len() >= 6, "{last:?}");
        }
        let plan = plan(&fresh(339, 80), 0, Some(35), LOAD);
        assert!(plan.fits >= 80 && plan.formulas == (80, 80), "five weeks are enough for every formula: {}", plan.fits);
    }

    #[test]
    fn without_an_exam_the_days_are_those_of_the_schedule() {
        let plan = plan(&fresh(1, 1), 10, None, LOAD);
        let days: Vec<i32> = plan.days.iter().map(|day| day.day - 10).collect();
        assert_eq!(days, [0, 1, 3, 7, 16, 35]);
    }

    #[test]
    fn a_day_that_has_passed_is_no_reason_to_count_for_ever() {
        assert!(plan(&fresh(1, 1), 10, Some(3), LOAD).days.len() <= 1);
        assert!(plan(&fresh(1, 1), 0, Some(i32::MAX), LOAD).days.len() <= 401);
    }
}
