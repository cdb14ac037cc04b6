//! How sure a result is: what a budget holds. It is worked out in the room of uncertainty.

/// Coverage factor of an expanded uncertainty: two standard uncertainties, about 95 % (JCGM 100:2008, 6.3.3).
pub const COVERAGE: f64 = 2.0;

/// What makes a result unsure.
#[derive(Clone, Debug, PartialEq)]
pub enum Cause {
    /// One reading, by its flat name.
    Reading(String),
    /// This many repeats that differ.
    Scatter(usize),
}

impl Cause {
    /// Whether it is this reading.
    pub fn is(&self, flat: &str) -> bool {
        matches!(self, Cause::Reading(name) if name == flat)
    }
}

/// One line of a budget, SI base units.
#[derive(Clone, Debug)]
pub struct BudgetLine {
    /// What it is.
    pub cause: Cause,
    /// Standard uncertainty of the reading itself; of the result, for scatter.
    pub standard: f64,
    /// Slope of the result against the reading; 1 for scatter.
    pub sensitivity: f64,
    /// What it adds to the result: slope times standard uncertainty, not negative.
    pub contribution: f64,
    /// Its share of the variance of the result, 0 to 1.
    pub share: f64,
    /// Whether the reading grows when one catches, walks or sprays for longer.
    pub grows: bool,
}

/// How sure one result is.
#[derive(Clone, Debug)]
pub struct Budget {
    /// Which result: its place in [`Worked::results`].
    pub result: usize,
    /// The result, SI base units.
    pub value: f64,
    /// Combined standard uncertainty, SI base units.
    pub standard: f64,
    /// What it is made of, the largest first.
    pub parts: Vec<BudgetLine>,
    /// How sure it has to be, relative and expanded.
    pub target: f64,
    /// What it would take.
    pub longer: Longer,
}

impl Budget {
    /// Expanded uncertainty, SI base units.
    pub fn expanded(&self) -> f64 {
        COVERAGE * self.standard
    }

    /// Expanded uncertainty as a share of the result.
    pub fn relative(&self) -> f64 {
        self.expanded() / self.value.abs()
    }
}

/// The answer to "how long must I catch and spray?".
#[derive(Clone, Debug, PartialEq)]
pub enum Longer {
    /// It is as sure as wanted already.
    Enough,
    /// Every run must be this many times as long.
    Times {
        /// Above 1.
        factor: f64,
        /// What is timed; where nothing is, the ground or the distance; where there is neither, all that grows.
        grown: Vec<Grown>,
    },
    /// Longer runs will not do while repeats differ this much, or there is nothing that could be longer; more of them
    /// will.
    Repeats {
        /// How many there are.
        now: usize,
        /// How many of the same length are needed in total, should they go on to differ as they do.
        needed: usize,
    },
    /// Repeats differ so much that no number of them that anybody would do makes up for it.
    Unsteady {
        /// How many there are.
        now: usize,
    },
    /// The readings are so coarse that no run or repeats that anybody would do make up for it.
    Coarse {
        /// The reading that adds the most.
        most: Cause,
    },
    /// No length will do.
    Never {
        /// The largest of the readings that do not grow with a run.
        fixed: Cause,
        /// What it alone leaves, relative and expanded.
        alone: f64,
        /// What all such readings together leave, relative and expanded.
        together: f64,
    },
}

/// A reading that grows with the run: all rows of it together, SI base units.
#[derive(Clone, Debug, PartialEq)]
pub struct Grown {
    /// Flat name of the first of them.
    pub first: String,
    /// What they come to now.
    pub now: f64,
    /// What they must come to.
    pub needed: f64,
}
