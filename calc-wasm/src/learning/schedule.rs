//! The schedule: from answers to what is learned, what is kept, and the day on which a kind of problem comes back.
//!
//! A kind of problem is a question template. It is *learned* after [`TO_LEARN`] right answers in a row, on different
//! numbers and without help, and *kept* after one right in each of [`TO_KEEP`] later sessions. A miss starts the count
//! again. What is learned comes back [`RETURNS`] days after the day it was learned (Rawson and Dunlosky 2011; Kang,
//! Lindsey, Mozer and Pashler 2014: expanding gaps keep recall high while the learner already sprays). The 3 and 3 are
//! a judgement for calculation: the research is on recall.

/// Right answers in a row, on different numbers and at the first try, after which a kind of problem is learned.
pub const TO_LEARN: u32 = 3;
/// Later sessions with a right answer after which it is kept.
pub const TO_KEEP: u32 = 3;
/// Days after the day of learning on which it comes back.
pub const RETURNS: &[i32] = &[1, 3, 7, 16, 35];
/// Most days between two meetings while an exam lies ahead: a gap of about a week serves a test in five weeks (Cepeda,
/// Vul, Rohrer, Wixted and Pashler 2008).
const EXAM_GAP: i32 = 7;

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
}

/// How far somebody is with a kind of problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// Right answers in a row that count, at most [`TO_LEARN`].
    pub row: u32,
    /// Whether it is learned.
    pub learned: bool,
    /// Later sessions with a right answer, at most [`TO_KEEP`].
    pub sessions: u32,
    /// Whether the last answer was a miss.
    pub missed: bool,
    /// Whether it was ever answered rightly.
    pub right_once: bool,
    /// The day on which it comes back.
    pub due: i32,
    /// The day of the last answer.
    pub last: i32,
    /// The day on which it was learned; meaningless where it is not.
    learned_on: i32,
    /// How many of [`RETURNS`] have been met.
    step: usize,
    /// The draws of the row.
    draws: Vec<u32>,
}

impl Standing {
    /// Before the first answer.
    pub fn new(day: i32) -> Standing {
        let (row, sessions, step) = (0, 0, 0);
        let (learned, missed, right_once) = (false, false, false);
        Standing {
            row,
            learned,
            sessions,
            missed,
            right_once,
            due: day,
            last: day,
            learned_on: day,
            step,
            draws: Vec::new(),
        }
    }

    /// Whether it is kept.
    pub fn kept(&self) -> bool {
        self.learned && self.sessions >= TO_KEEP
    }

    /// Takes an answer. `today` is the reader's day: what a wrong clock dated later counts as today's.
    pub fn take(&mut self, event: Event, today: i32) {
        let day = event.day.min(today).max(self.last);
        let later = self.learned && day > self.last.max(self.learned_on);
        self.last = day;
        if !event.unaided {
            // A right answer after a hint shows that the hint was understood, and no more.
            self.missed |= !event.right;
            return;
        }
        if !event.right {
            *self = Standing { right_once: self.right_once, missed: true, ..Standing::new(day) };
            return;
        }
        self.missed = false;
        self.right_once = true;
        if !self.learned {
            if !self.draws.contains(&event.draw) {
                self.draws.push(event.draw);
                self.row += 1;
            }
            self.due = day + 1;
            if self.row >= TO_LEARN {
                (self.learned, self.learned_on, self.step) = (true, day, 0);
                self.due = day + RETURNS[0];
            }
        } else if later {
            self.sessions = (self.sessions + 1).min(TO_KEEP);
            self.step += 1;
            self.due = day + self.gap();
        }
    }

    /// Days until the next return after the last: the distance of two neighbours of [`RETURNS`].
    fn gap(&self) -> i32 {
        let last = RETURNS.len() - 1;
        let step = self.step.clamp(1, last);
        RETURNS[step] - RETURNS[step - 1]
    }

    /// The day on which it comes back where an exam lies ahead: never more than a week off, and once more in the last
    /// three days before it.
    pub fn due_before(&self, exam: i32) -> i32 {
        if self.last >= exam - 3 {
            return self.due;
        }
        self.due.min(self.last + EXAM_GAP).min(exam - 3).max(self.last)
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
        Event { day, draw, right: true, unaided: true }
    }

    fn miss(day: i32) -> Event {
        Event { day, draw: 99, right: false, unaided: true }
    }

    #[test]
    fn three_right_on_fresh_numbers_is_learned_and_three_later_sessions_keep_it() {
        let mut events = vec![right(0, 1), right(0, 1), right(0, 2)];
        assert!(!standing(&events, 0).unwrap().learned, "the same numbers twice count once");
        events.push(right(0, 3));
        let now = standing(&events, 0).unwrap();
        assert!(now.learned && !now.kept());
        assert_eq!(now.due, 1);
        for (day, due) in [(1, 3), (3, 7), (7, 16), (16, 35)] {
            events.push(right(day, 10 + day as u32));
            events.push(right(day, 50 + day as u32));
            let now = standing(&events, day).unwrap();
            assert_eq!(now.due, due, "after day {day}: one session counts once");
            assert_eq!(now.kept(), day >= 7);
        }
    }

    #[test]
    fn a_miss_starts_the_count_again_and_is_due_at_once() {
        let events = [right(0, 1), right(0, 2), right(0, 3), miss(1)];
        let now = standing(&events, 1).unwrap();
        assert!(!now.learned && now.missed && now.right_once);
        assert_eq!((now.row, now.due), (0, 1));
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
        assert_eq!(now.due_before(40), 23);
        assert_eq!(now.due_before(21), 18, "three days before");
    }
}
