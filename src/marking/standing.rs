//! Who may spray tomorrow, and who not yet.

use super::person::{Person, Sat};

/// Share right that releases somebody to the field: stricter than the 70 to 75 % of a licensing exam. The project's
/// judgment, from research on mastery (Kulik and Kulik 1987); see the design of learning in DEVELOPERS.md.
pub const READY: f64 = 0.9;
/// A slip that puts down this share of what was meant, or more, keeps somebody out of the field.
pub use tankside_calc::mistakes::OVER;
/// The fewest questions in a sitting that says something about mixed work.
pub const MIXED: u32 = 10;

/// Whether somebody is ready.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Ready for the field.
    Ready,
    /// Not yet, and why.
    NotYet(Vec<Why>),
}

/// What is missing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// No check of [`MIXED`] questions or more was handed in; the longest had this many.
    NoMixedSet(u32),
    /// Fewer right than [`READY`]: right answers, and answers in all.
    TooFewRight(u32, u32),
    /// This many answers in it would put down too much.
    TooMuch(u32),
    /// In this many kinds of problem the drill showed a slip that puts down too much, and it is not cleared there.
    NotCleared(u32),
    /// This many answers in it, from paper, cannot be marked as they are written: any of them may be one of those.
    NotRead(u32),
}

impl Standing {
    /// Whether a person is ready, by the newest of their sittings that counts and is long enough.
    pub fn of(person: &Person) -> Standing {
        let Some(Sat { share, over, unread, .. }) = person.decides() else {
            return Standing::NotYet(vec![Why::NoMixedSet(person.longest)]);
        };
        let mut why = Vec::new();
        if share.share().is_none_or(|share| share < READY) {
            why.push(Why::TooFewRight(share.right, share.of));
        }
        if *over > 0 {
            why.push(Why::TooMuch(*over));
        }
        if *unread > 0 {
            why.push(Why::NotRead(*unread));
        }
        let owed = person.owed();
        if owed > 0 {
            why.push(Why::NotCleared(owed));
        }
        if why.is_empty() { Standing::Ready } else { Standing::NotYet(why) }
    }

    /// Whether it is the first.
    pub fn is_ready(&self) -> bool {
        matches!(self, Standing::Ready)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::marking::tally::Share;

    fn person(right: u32, of: u32, over: u32) -> Person {
        let share = Share { right, of };
        Person { newest: Some(Sat { share, over, ..Sat::default() }), ..Person::default() }
    }

    #[test]
    fn nine_of_ten_and_no_answer_that_puts_on_too_much_or_is_not_read() {
        assert_eq!(Standing::of(&person(9, 10, 0)), Standing::Ready);
        assert_eq!(Standing::of(&person(8, 10, 0)), Standing::NotYet(vec![Why::TooFewRight(8, 10)]));
        assert_eq!(Standing::of(&person(19, 20, 1)), Standing::NotYet(vec![Why::TooMuch(1)]));
        let mut unread = person(19, 20, 0);
        unread.newest.iter_mut().for_each(|sat| sat.unread = 1);
        assert_eq!(Standing::of(&unread), Standing::NotYet(vec![Why::NotRead(1)]));
        let none = Person { longest: 4, ..Person::default() };
        assert_eq!(Standing::of(&none), Standing::NotYet(vec![Why::NoMixedSet(4)]));
    }
}
