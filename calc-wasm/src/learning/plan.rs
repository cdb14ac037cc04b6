//! A plan of days: how many problems are new and how many come back, from today to an exam or over five weeks.

use super::schedule::{Event, Standing, TO_LEARN, standing};

/// Days of a plan without an exam.
pub const USUAL_DAYS: i32 = 35;
/// Share of the days before an exam in which everything is met for the first time.
const FIRST_MET: f64 = 0.6;

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

/// The days on which there is something to do, as if every answer were right. `most` is how many new kinds fit in a
/// day.
pub fn plan(kinds: &[Option<Standing>], today: i32, exam: Option<i32>, most: u32) -> Vec<PlannedDay> {
    let end = exam.unwrap_or(today + USUAL_DAYS).clamp(today, today + 400);
    let mut known: Vec<Standing> = kinds.iter().flatten().filter(|standing| standing.learned).cloned().collect();
    let mut fresh = (kinds.len() - known.len()) as u32;
    let days = ((f64::from(end - today) * FIRST_MET) as u32).max(1);
    let pace = if exam.is_some() { fresh.div_ceil(days).max(1) } else { most.max(1) };
    let mut planned = Vec::new();
    for day in today..=end {
        let mut back = 0;
        for standing in &mut known {
            let due = exam.map_or(standing.due, |exam| standing.due_before(exam));
            if due <= day {
                back += 1;
                standing.take(Event { day, draw: 0, right: true, unaided: true, over: false }, day);
            }
        }
        let new = if exam == Some(day) { 0 } else { fresh.min(pace) };
        fresh -= new;
        known.extend((0..new).filter_map(|_| learned_on(day)));
        if new + back > 0 {
            planned.push(PlannedDay { day, new, back });
        }
    }
    planned
}

fn learned_on(day: i32) -> Option<Standing> {
    let events: Vec<Event> =
        (0..TO_LEARN).map(|draw| Event { day, draw, right: true, unaided: true, over: false }).collect();
    standing(&events, day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_is_met_well_before_the_exam_and_comes_back_before_it() {
        let plan = plan(&vec![None; 60], 0, Some(35), 5);
        assert_eq!(plan.iter().map(|day| day.new).sum::<u32>(), 60);
        let last_new = plan.iter().filter(|day| day.new > 0).map(|day| day.day).max().unwrap();
        assert!(last_new <= 21, "{last_new}");
        let last_days: u32 = plan.iter().filter(|day| day.day >= 32).map(|day| day.back).sum();
        assert!(last_days >= 60, "each once more in the last three days: {last_days}");
    }

    #[test]
    fn without_an_exam_the_days_are_those_of_the_schedule() {
        let plan = plan(&[None], 10, None, 3);
        let days: Vec<i32> = plan.iter().map(|day| day.day - 10).collect();
        assert_eq!(days, [0, 1, 3, 7, 16, 35]);
    }

    #[test]
    fn a_day_that_has_passed_is_no_reason_to_count_for_ever() {
        assert!(plan(&[None], 10, Some(3), 3).len() <= 1);
        assert!(plan(&[None], 0, Some(i32::MAX), 3).len() <= 401);
    }
}
