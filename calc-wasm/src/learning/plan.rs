//! A plan of days: what was missed, what is new and what comes back, from today to an exam or over five weeks, and no more
//! in a day than somebody does.

use super::schedule::{Event, LAST_DAYS, Standing, TO_LEARN, standing};
use super::session::{DrillItem, wanted};

/// Days of a plan without an exam.
pub const USUAL_DAYS: i32 = 35;
/// Share of the days before an exam in which everything is met for the first time.
const FIRST_MET: f64 = 0.6;

/// Days of the week on which nobody sits down.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DaysOff(u8);

impl DaysOff {
    /// From days of the week, 0 for Sunday to 6; others are no days. All seven leave no day to practice, and count as none.
    pub fn of(week: impl Iterator<Item = usize>) -> DaysOff {
        let off = week.filter(|day| *day < 7).fold(0, |off, day| off | 1 << day);
        DaysOff(if off == 0x7f { 0 } else { off })
    }

    /// Whether a day, as a number of days since 1970, is one of them.
    pub fn hold(self, day: i32) -> bool {
        // 1970 began on a Thursday.
        self.0 >> day.wrapping_add(4).rem_euclid(7) & 1 == 1
    }
}

/// How much a learner does, and when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Load {
    /// New kinds of problem in a day, where no exam sets the pace.
    pub new: u32,
    /// Questions in a day in total, new or not: the length of two drills.
    pub questions: u32,
    /// Days without practice.
    pub off: DaysOff,
}

/// One day of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlannedDay {
    /// The day.
    pub day: i32,
    /// Kinds of problem that were missed or begun, and are still to be learned.
    pub missed: u32,
    /// Kinds met for the first time.
    pub new: u32,
    /// Kinds that come back.
    pub back: u32,
    /// Questions in all: what is to be learned is asked until it is, what comes back once.
    pub questions: u32,
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

/// The days on which there is something to do, as if every answer were right. What was missed comes first, in a drill or an
/// exam, and then what was begun, both in half of a day or in what nothing else is due for. Where not all kinds fit, one of each
/// formula comes first, as in the drill.
pub fn plan(kinds: &[DrillItem], today: i32, exam: Option<i32>, load: Load) -> Plan {
    let end = exam.unwrap_or(today + USUAL_DAYS).clamp(today, today + 400);
    let learned = |kind: &&DrillItem| kind.standing.as_ref().is_some_and(|standing| standing.learned);
    let mut known: Vec<Standing> = kinds.iter().filter(learned).filter_map(|kind| kind.standing.clone()).collect();
    let begun = |missed: bool| {
        let such = move |kind: &&DrillItem| {
            kind.standing.as_ref().is_some_and(|standing| !standing.learned && standing.missed == missed)
        };
        kinds.iter().filter(such).map(wanted)
    };
    let mut begun: Vec<u32> = begun(true).chain(begun(false)).collect();
    begun.reverse();
    let mut fresh = (kinds.len() - known.len() - begun.len()) as u32;
    let had = formulas(kinds.iter().filter(|kind| kind.standing.is_some()));
    let all = formulas(kinds.iter());
    let practice = |from: i32, to: i32| (from..to).filter(|day| !load.off.hold(*day)).count() as i32;
    let days = ((f64::from(end - today) * FIRST_MET) as i32).max(1);
    let pace = if exam.is_some() {
        fresh.div_ceil(practice(today, today + days).max(1) as u32).max(1)
    } else {
        load.new.max(1)
    };
    // What does not fit until then may still be met up to the last week.
    let last_new = days.max(end - today - LAST_DAYS as i32);
    let (mut planned, mut met) = (Vec::new(), 0);
    for day in today..=end {
        if load.off.hold(day) {
            continue;
        }
        let sits = exam == Some(day);
        // What would come up only after the last day of practice comes on that day.
        let last = exam.is_some_and(|exam| exam - day <= 7 && practice(day + 1, exam) == 0);
        let mut due: Vec<(i32, usize)> = Vec::new();
        for (place, standing) in known.iter().enumerate() {
            let on = exam.map_or(standing.due, |exam| standing.due_before(exam, place as u32));
            let before = exam.is_some_and(|exam| last && on < exam && on > day);
            if (on <= day || before) && !sits {
                due.push((on, place));
            }
        }
        longest_due_first(&mut due);
        // What was missed comes before what is due, as in the drill.
        let room = load.questions.div_ceil(2).max(load.questions.saturating_sub(due.len() as u32));
        let (mut missed, mut questions) = (0, 0);
        let mut made_up = 0;
        while let Some(wants) = begun.last().copied().filter(|_| !sits && questions < room) {
            let asked = wants.min(room - questions);
            (missed, questions) = (missed + 1, questions + asked);
            if asked < wants {
                // The rest of what it wants comes on the next day.
                begun.iter_mut().rev().take(1).for_each(|wants| *wants -= asked);
                break;
            }
            begun.pop();
            made_up += 1;
        }
        // What does not fit waits for tomorrow.
        due.truncate(load.questions.saturating_sub(questions) as usize);
        for (_, place) in &due {
            known[*place].take(right(day, 0), day);
        }
        let back = due.len() as u32;
        questions += back;
        known.extend((0..made_up).filter_map(|_| learned_on(day)));
        let over = exam.is_some() && day - today >= last_new;
        let room = load.questions.saturating_sub(questions) / TO_LEARN;
        let new = if sits || over { 0 } else { fresh.min(pace).min(room) };
        (fresh, met, questions) = (fresh - new, met + new, questions + new * TO_LEARN);
        known.extend((0..new).filter_map(|_| learned_on(day)));
        if questions > 0 {
            planned.push(PlannedDay { day, missed, new, back, questions });
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

    const LOAD: Load = Load { new: 4, questions: 24, off: DaysOff(0) };

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
            assert!(plan.days.iter().all(|day| day.questions <= LOAD.questions), "{:?}", plan.days);
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

    fn miss(day: i32) -> Event {
        Event { right: false, ..right(day, 0) }
    }

    #[test]
    fn what_an_exam_missed_is_planned_for_the_first_days_and_then_comes_back() {
        let mut kinds = fresh(60, 60);
        kinds[..8].iter_mut().for_each(|kind| kind.standing = standing(&[miss(0)], 0));
        // One that had been learned comes back at once.
        kinds[8].standing = standing(&[right(-3, 1), right(-3, 2), right(-3, 3), miss(0)], 0);
        // After a slip that puts down too much it takes more.
        kinds[9].standing = standing(&[Event { over: true, ..miss(0) }], 0);
        let planned = plan(&kinds, 0, Some(35), LOAD);
        let missed: Vec<u32> = planned.days.iter().map(|day| day.missed).take(4).collect();
        // Seven of three questions and two of an eighth; on the next day its last, and the twelve of the ninth.
        assert_eq!(missed, [8, 2, 0, 0]);
        assert_eq!(planned.days[0].back, 1);
        assert!(planned.days[1].back >= 7, "what was learned yesterday");
        assert_eq!(planned.fits, 60);
        assert!(planned.days.iter().all(|day| day.questions <= LOAD.questions), "{:?}", planned.days);
        let without = plan(&fresh(60, 60), 0, Some(35), LOAD);
        assert!(without.days.iter().all(|day| day.missed == 0));
    }

    #[test]
    fn nobody_sits_on_a_day_off_and_all_that_fitted_still_does() {
        // Day 4 since 1970 was a Monday: Saturdays and Sundays off.
        let off = DaysOff::of([0, 6].into_iter());
        assert!(off.hold(2) && off.hold(3) && !off.hold(4) && off.hold(9) && !DaysOff::of(0..7).hold(2));
        let kinds = fresh(40, 40);
        for exam in 33..47 {
            let planned = plan(&kinds, 4, Some(exam), Load { off, ..LOAD });
            assert!(planned.days.iter().all(|day| !off.hold(day.day)), "{:?}", planned.days);
            assert_eq!((planned.fits, planned.formulas), (40, (40, 40)), "exam on day {exam}");
            let last: u32 = planned.days.iter().filter(|day| day.day >= exam - 10).map(|day| day.back).sum();
            assert!(last >= 40, "each once more before an exam on day {exam}: {last}");
        }
        let usual = plan(&fresh(1, 1), 4, None, Load { off, ..LOAD });
        let days: Vec<i32> = usual.days.iter().map(|day| day.day - 4).collect();
        assert_eq!(days, [0, 1, 3, 7, 16, 35], "Mon, Tue, Thu, Mon, Wed, Mon");
        assert_eq!(plan(&fresh(1, 1), 5, None, Load { off, ..LOAD }).days[3].day, 12, "Saturday's comes on Monday");
    }

    #[test]
    fn a_day_that_has_passed_is_no_reason_to_count_for_ever() {
        assert!(plan(&fresh(1, 1), 10, Some(3), LOAD).days.len() <= 1);
        assert!(plan(&fresh(1, 1), 0, Some(i32::MAX), LOAD).days.len() <= 401);
    }
}
