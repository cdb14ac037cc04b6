//! The schedule: from answers to what is learned, what is kept, and the day on which a kind of problem comes back.
//!
//! A kind of problem is a question template. It is *learned* after [`TO_LEARN`] right answers on different numbers and
//! without help, and *kept* after one right in each of [`TO_KEEP`] later sessions. As in the research, right answers
//! are counted and need not follow one another: one miss takes one right answer back and makes the kind due at once. A
//! kind that was learned stays so after one miss, and its session counts with the next right answer; after a second
//! miss before that, it has to be learned again. Only a slip that puts down at least 10 % too much starts the count
//! over, and it then takes [`TO_CLEAR`] right answers, and [`TO_CLEAR_AGAIN`] once it was made again: nobody should pass
//! that by luck. Right answers alone do not show that a slip is gone: one that strikes one time in ten hides behind twelve
//! of them three times in ten. So the learner also finds that very slip in a worked example, [`TO_FIND`] times, before the
//! kind is learned, where it can be shown in one line (McLaren, Adams and Mayer 2015: finding and fixing errors shows a
//! week later). Starting over at every miss was tried: nearly all of a thousand made-up learners (`cargo xtask learners`)
//! were left with something that they could do and that never counted. A choice has no fresh numbers, so that a second
//! right answer on the same day shows only that the first was remembered: it counts once a day.
//!
//! What is learned comes back [`RETURNS`] days after the day it was learned (Rawson and Dunlosky 2011; Kang, Lindsey,
//! Mozer and Pashler 2014: expanding gaps keep recall high while the learner already sprays). The 3 and 3 are a
//! judgment for calculation: the research is on recall.

/// Right answers, on different numbers and at the first try, after which a kind of problem is learned.
pub const TO_LEARN: u32 = 3;
/// The same after a slip that puts down at least 10 % too much. It may have been a wrong key, so the first costs less than
/// the next.
pub const TO_CLEAR: u32 = 12;
/// The same after a second such slip with the same kind of problem. Of the made-up learners whom finding a slip does not
/// help at all, six right answers after every slip let five of a thousand through and these none; in the middle they are
/// released two sittings later.
pub const TO_CLEAR_AGAIN: u32 = 24;
/// How often that slip has to be found in a worked example as well. Of the made-up learners, four leave nobody released
/// with one that strikes one time in ten.
pub const TO_FIND: u32 = 4;
/// Later sessions with a right answer after which it is kept.
pub const TO_KEEP: u32 = 3;
/// Days after the day of learning on which it comes back.
pub const RETURNS: &[i32] = &[1, 3, 7, 16, 35];
/// The most days between two encounters before an exam: a gap of about a week serves a test in five weeks (Cepeda,
/// Vul, Rohrer, Wixted and Pashler 2008).
const EXAM_GAP: i32 = 7;
/// The days before an exam over which everything comes back once more: on a single day it would be too much.
pub(super) const LAST_DAYS: u32 = 7;

/// How many draws are remembered as met while a kind is being learned.
const MET: usize = 10;

/// One answer, as the schedule sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Event {
    /// The learner's day, as a number of days.
    pub day: i32,
    /// The draw: two with the same numbers count once.
    pub draw: u32,
    /// Whether it was right.
    pub right: bool,
    /// Whether it was a first try without help.
    pub unaided: bool,
    /// Whether it was a slip that puts down at least 10 % too much.
    pub over: bool,
    /// Whether it is an answer to a choice, which has no fresh numbers.
    pub choice: bool,
    /// With [`Event::over`], whether that slip can be shown in a worked example; else, whether this is no answer to the
    /// problem but such an example, with the learner's own slip to find.
    pub find: bool,
}

/// How far somebody is with a kind of problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// Right answers less misses, from 0 to [`TO_LEARN`].
    pub row: u32,
    /// Right answers that are still wanted after a slip that puts down too much.
    pub owed: u32,
    /// Whether such a slip was ever made.
    over_once: bool,
    /// How often that slip is still to be found in a worked example.
    pub finds: u32,
    /// Whether it is learned.
    pub learned: bool,
    /// Later sessions with a right answer, at most [`TO_KEEP`].
    pub sessions: u32,
    /// Whether the last answer was a miss.
    pub missed: bool,
    /// Whether it was ever answered correctly.
    pub right_once: bool,
    /// The day on which it comes back.
    pub due: i32,
    /// The day of the last answer.
    pub last: i32,
    /// The day of the last session that counted, or on which it was learned; meaningless where it is not.
    counted_on: i32,
    /// How many of [`RETURNS`] have been met.
    step: usize,
    /// The newest draws answered correctly before it was learned.
    draws: Vec<u32>,
}

impl Standing {
    /// Before the first answer.
    pub fn new(day: i32) -> Standing {
        let (row, owed, finds, sessions, step) = (0, 0, 0, 0, 0);
        let (learned, missed, right_once, over_once) = (false, false, false, false);
        Standing {
            row,
            owed,
            over_once,
            finds,
            learned,
            sessions,
            missed,
            right_once,
            due: day,
            last: day,
            counted_on: day,
            step,
            draws: Vec::new(),
        }
    }

    /// Whether it has been retained long enough.
    pub fn retained(&self) -> bool {
        self.learned && self.sessions >= TO_KEEP
    }

    /// Whether nothing is left to do about a slip that puts down too much.
    pub fn cleared(&self) -> bool {
        self.owed == 0 && self.finds == 0
    }

    /// Takes an answer. `today` is the reader's day: an answer that a wrong clock dated later counts as today's.
    pub fn take(&mut self, event: Event, today: i32) {
        let day = event.day.min(today).max(self.last);
        self.last = day;
        if event.find && !event.over {
            if event.right && self.finds > 0 {
                self.finds -= 1;
                self.settle(day);
            }
            return;
        }
        if !event.unaided {
            // A right answer after a hint shows that the hint was understood, and no more.
            self.missed |= !event.right;
            return;
        }
        if !event.right {
            self.row = self.row.saturating_sub(1);
            // The next gap is no longer than the last one.
            self.step = self.step.saturating_sub(1);
            (self.missed, self.due) = (true, day);
            if event.over {
                self.owed = if self.over_once { TO_CLEAR_AGAIN } else { TO_CLEAR };
                (self.row, self.over_once, self.learned) = (0, true, false);
                // Another slip of the same kind is to be found as well.
                self.finds = if event.find { (self.finds + TO_FIND).min(2 * TO_FIND) } else { self.finds };
                self.draws.clear();
            }
            if self.row + 2 <= TO_LEARN {
                (self.learned, self.sessions, self.step) = (false, 0, 0);
            }
            return;
        }
        (self.missed, self.right_once) = (false, true);
        if !self.learned {
            self.due = day + 1;
            let numbers = if event.choice { day as u32 } else { event.draw };
            if self.draws.contains(&numbers) {
                return;
            }
            self.draws.push(numbers);
            // A template has thirty draws or more; of those met long ago each may count again.
            if self.draws.len() > MET {
                self.draws.remove(0);
            }
            self.row = (self.row + 1).min(TO_LEARN);
            self.owed = self.owed.saturating_sub(1);
            self.settle(day);
            if self.learned {
                self.draws.clear();
            } else if self.row == TO_LEARN && self.draws.len() as u32 >= TO_LEARN {
                // More are wanted than a small template has numbers: those of the first half may come again.
                self.draws.clear();
            }
            return;
        }
        self.row = TO_LEARN;
        if day < self.due {
            return;
        }
        if day > self.counted_on {
            self.sessions = (self.sessions + 1).min(TO_KEEP);
            self.step += 1;
            self.counted_on = day;
        }
        self.due = day + self.gap();
    }

    /// Learned, where nothing is wanted any more.
    fn settle(&mut self, day: i32) {
        if !self.learned && self.row == TO_LEARN && self.cleared() {
            (self.learned, self.counted_on, self.step) = (true, day, 0);
            self.due = day + RETURNS[0];
        }
    }

    /// Days until the next return after the last: the distance of two neighbors of [`RETURNS`].
    fn gap(&self) -> i32 {
        let last = RETURNS.len() - 1;
        let step = self.step.clamp(1, last);
        RETURNS[step] - RETURNS[step - 1]
    }

    /// The day on which it comes back where an exam lies ahead: never more than a week off, and once more in the last
    /// week before it, on a day that `place` decides, so that not everything comes at once.
    pub fn due_before(&self, exam: i32, place: u32) -> i32 {
        let last_time = exam - 1 - (place % LAST_DAYS) as i32;
        if self.last >= last_time.min(exam - 3) {
            return self.due;
        }
        self.due.min(self.last + EXAM_GAP).min(last_time).max(self.last)
    }
}

/// How far somebody is after these answers, in the order in which they were given; `None` before the first.
pub fn standing(events: &[Event], today: i32) -> Option<Standing> {
    let first = events.first()?;
    let mut standing = Standing::new(first.day.min(today));
    events.iter().for_each(|event| standing.take(*event, today));
    Some(standing)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn right(day: i32, draw: u32) -> Event {
        Event { day, draw, right: true, unaided: true, over: false, choice: false, find: false }
    }

    fn miss(day: i32) -> Event {
        Event { day, draw: 99, right: false, unaided: true, over: false, choice: false, find: false }
    }

    #[test]
    fn three_right_on_fresh_numbers_is_learned_and_three_later_sessions_keep_it() {
        let mut events = vec![right(0, 1), right(0, 1), right(0, 2)];
        assert!(!standing(&events, 0).unwrap().learned, "the same numbers twice count once");
        events.push(right(0, 3));
        let now = standing(&events, 0).unwrap();
        assert!(now.learned && !now.retained());
        assert_eq!(now.due, 1);
        for (day, due) in [(1, 3), (3, 7), (7, 16), (16, 35)] {
            events.push(right(day, 10 + day as u32));
            events.push(right(day, 50 + day as u32));
            let now = standing(&events, day).unwrap();
            assert_eq!(now.due, due, "after day {day}: one session counts once");
            assert_eq!(now.retained(), day >= 7);
        }
    }

    #[test]
    fn a_miss_takes_one_back_and_is_due_at_once() {
        let now = standing(&[right(0, 1), right(0, 2), miss(1)], 1).unwrap();
        assert!(!now.learned && now.missed && now.right_once);
        assert_eq!((now.row, now.due), (1, 1));
        let events = [right(0, 1), right(0, 2), miss(1), right(1, 3), right(1, 4)];
        assert!(standing(&events, 1).unwrap().learned, "three right, of which one made up for the miss");
        let nothing = standing(&[miss(0), miss(0), miss(0)], 0).unwrap();
        assert_eq!(nothing.row, 0, "nobody starts below nothing");
    }

    #[test]
    fn what_was_learned_stays_so_after_one_miss_and_not_after_two() {
        let learned = [right(0, 1), right(0, 2), right(0, 3)];
        let with = |more: &[Event]| standing(&[&learned, more].concat(), 9).unwrap();
        let once = with(&[miss(1)]);
        assert!(once.learned && once.missed && once.due == 1, "{once:?}");
        let made_up = with(&[miss(1), right(1, 4)]);
        assert_eq!((made_up.sessions, made_up.missed), (1, false), "one right in that session");
        assert_eq!(made_up.due, 3, "and the gap is that of the first return");
        assert_eq!(with(&[right(1, 4), right(3, 5), miss(7), right(7, 6)]).due, 11, "no longer than the last gap");
        let twice = with(&[right(1, 4), miss(3), miss(3)]);
        assert_eq!((twice.learned, twice.sessions, twice.row), (false, 0, 1));
        let one_day = with(&[miss(1), right(1, 4), miss(1), right(1, 5), miss(1), right(1, 6)]);
        assert_eq!(one_day.sessions, 1, "a day is one session");
        assert_eq!(with(&[miss(0), right(0, 4)]).sessions, 0, "the day of learning does not count as a later one");
    }

    #[test]
    fn a_slip_that_puts_on_too_much_starts_the_count_anew_and_asks_for_more_the_second_time() {
        let over = Event { over: true, ..miss(1) };
        let now = standing(&[right(0, 1), right(0, 2), right(0, 3), over], 1).unwrap();
        assert!(!now.learned && now.missed);
        assert_eq!((now.row, now.owed), (0, TO_CLEAR));
        // A template of three numbers is enough.
        let again = |count: u32| -> Vec<Event> { (0..count).map(|turn| right(1, turn % 3)).collect() };
        let after = |count: u32| standing(&[&[right(0, 1), right(0, 2), over], &again(count)[..]].concat(), 1).unwrap();
        assert!(!after(TO_CLEAR - 1).learned && after(TO_CLEAR).learned, "{:?}", after(TO_CLEAR));
        assert_eq!(after(TO_CLEAR).due, 2);
        let twice = standing(&[&[over], &again(TO_CLEAR)[..], &[over]].concat(), 1).unwrap();
        assert_eq!((twice.owed, twice.learned), (TO_CLEAR_AGAIN, false));
    }

    #[test]
    fn a_slip_that_can_be_shown_is_found_four_times_before_the_kind_is_learned() {
        let over = Event { over: true, find: true, ..miss(0) };
        let found = Event { find: true, ..right(1, 0) };
        let mut events: Vec<Event> = vec![over];
        events.extend((0..TO_CLEAR).map(|turn| right(0, turn)));
        let now = standing(&events, 0).unwrap();
        assert_eq!((now.owed, now.finds, now.learned), (0, TO_FIND, false));
        events.extend([found; 3]);
        events.push(Event { right: false, ..found });
        assert_eq!(standing(&events, 1).unwrap().finds, 1, "one that was not found does not count");
        events.push(found);
        let now = standing(&events, 1).unwrap();
        assert!(now.learned && now.finds == 0 && now.due == 2, "{now:?}");
        let early = standing(&[&[over], &[found; 4][..], &[right(1, 1), right(1, 2)]].concat(), 1).unwrap();
        assert_eq!((early.finds, early.owed, early.learned), (0, TO_CLEAR - 2, false), "both are wanted");
        assert_eq!(standing(&[right(0, 1), found], 1).unwrap().row, 1, "one that is not owed counts for nothing");
    }

    #[test]
    fn a_return_before_its_day_does_not_count() {
        let early = [right(0, 1), right(0, 2), right(0, 3), right(1, 4), right(2, 5)];
        let now = standing(&early, 2).unwrap();
        assert_eq!((now.sessions, now.due), (1, 3));
    }

    #[test]
    fn help_does_not_count() {
        let helped = Event { unaided: false, ..right(0, 4) };
        let now = standing(&[right(0, 1), right(0, 2), helped], 0).unwrap();
        assert_eq!(now.row, 2);
    }

    #[test]
    fn a_clock_set_back_loses_nothing_and_leaves_nothing_waiting_for_years() {
        let events = [right(4000, 1), right(4000, 2), right(4000, 3)];
        let now = standing(&events, 10).unwrap();
        assert!(now.learned);
        assert_eq!(now.due, 11);
        let back = standing(&[right(20, 1), right(12, 2), right(20, 3)], 20).unwrap();
        assert!(back.learned && back.due == 21, "a day that goes back is not before the one before it");
    }

    #[test]
    fn an_exam_brings_things_back_within_a_week_and_once_more_before_it() {
        let events = [right(0, 1), right(0, 2), right(0, 3), right(1, 4), right(3, 5), right(7, 6), right(16, 7)];
        let now = standing(&events, 16).unwrap();
        assert_eq!(now.due, 35);
        assert_eq!(now.due_before(40, 0), 23);
        let spread: Vec<i32> = (0..4).map(|place| now.due_before(24, place)).collect();
        assert_eq!(spread, [23, 22, 21, 20], "each on a day of its own");
        assert_eq!(now.due_before(20, 5), 35, "it was seen in the last week");
    }

    #[test]
    fn a_choice_is_learned_when_it_was_right_on_three_days() {
        let chosen = |day, draw| Event { choice: true, ..right(day, draw) };
        let three_times = [chosen(0, 1), chosen(0, 2), chosen(0, 3)];
        let now = standing(&three_times, 0).unwrap();
        assert_eq!((now.row, now.learned, now.due), (1, false, 1), "the same day counts once");
        assert!(!standing(&[chosen(0, 1), chosen(1, 1)], 1).unwrap().learned);
        let now = standing(&[chosen(0, 1), chosen(1, 1), chosen(5, 1)], 5).unwrap();
        assert!(now.learned && now.due == 6, "{now:?}");
    }
}
