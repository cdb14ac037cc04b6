//! Counts that add up: answers, topics, slips.

/// Right and all answers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Share {
    /// Right ones.
    pub right: u32,
    /// All of them.
    pub of: u32,
}

impl Share {
    /// Counts one more.
    pub fn add(&mut self, right: bool) {
        self.right += u32::from(right);
        self.of += 1;
    }

    /// Adds another count, or the points of a question of several parts.
    pub fn merge(&mut self, other: Share) {
        self.right += other.right;
        self.of += other.of;
    }

    /// The share, 0 to 1; `None` where nothing was counted.
    pub fn share(self) -> Option<f64> {
        (self.of > 0).then(|| f64::from(self.right) / f64::from(self.of))
    }
}

/// A slip that somebody made: how often, and whether it would once put down too much.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Slips {
    /// How often.
    pub times: u32,
    /// Whether an answer with it would put down too much by [`super::standing::OVER`] or more.
    pub over: bool,
}

impl Slips {
    /// Counts one more.
    pub fn add(&mut self, over: bool) {
        self.times += 1;
        self.over |= over;
    }
}

/// A topic over everybody.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TopicSum {
    /// First answers.
    pub share: Share,
    /// People with fewer right than [`super::standing::READY`].
    pub below: usize,
}

impl TopicSum {
    /// Adds a person, or another sum.
    pub fn merge(&mut self, other: TopicSum) {
        self.share.merge(other.share);
        self.below += other.below;
    }
}

/// How many of those who made a slip are named.
pub const NAMED: usize = 6;

/// A slip that people made.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Made {
    /// How many people.
    pub people: usize,
    /// How often in all.
    pub times: u32,
    /// Whether it would once put down too much.
    pub over: bool,
    /// The first of them, by name.
    pub first: Vec<String>,
}

impl Made {
    /// Adds the next people in the order of the roster.
    pub fn merge(&mut self, other: Made) {
        self.people += other.people;
        self.times += other.times;
        self.over |= other.over;
        self.first.extend(other.first);
        self.first.truncate(NAMED);
    }
}
