//! What the answers to questions add up to over everybody: difficulty and discrimination of a question, reliability of a
//! check.

/// What a question's answers add up to, over everyone: sums, from which difficulty and discrimination follow.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Item {
    /// People who answered it in a sitting with other questions.
    pub n: f64,
    /// Right answers.
    pub right: f64,
    /// Sum of the share right of the rest of the sitting.
    pub rest: f64,
    /// Sum of its square.
    pub rest_squared: f64,
    /// Sum over right answers alone.
    pub rest_of_right: f64,
}

impl Item {
    /// One answer, with the share right of the other questions of that sitting.
    pub fn add(&mut self, right: bool, rest: f64) {
        self.n += 1.0;
        self.rest += rest;
        self.rest_squared += rest * rest;
        if right {
            self.right += 1.0;
            self.rest_of_right += rest;
        }
    }

    /// Adds another part.
    pub fn merge(&mut self, other: &Item) {
        self.n += other.n;
        self.right += other.right;
        self.rest += other.rest;
        self.rest_squared += other.rest_squared;
        self.rest_of_right += other.rest_of_right;
    }

    /// Share of right answers: the question's difficulty, as test theory calls it (a high one is an easy question).
    pub fn difficulty(&self) -> Option<f64> {
        (self.n > 0.0).then(|| self.right / self.n)
    }

    /// Point-biserial correlation of this question with the rest of the sitting, -1 to 1: whether those who do well
    /// elsewhere do well here. `None` where everybody answered alike, or all did equally well elsewhere.
    ///
    /// `r = (n Σxy - Σx Σy) / sqrt((n Σx² - (Σx)²)(n Σy² - (Σy)²))`, Pearson's r with x of 0 and 1; checked against a
    /// general-purpose statistics library in `tests/outside`.
    pub fn discrimination(&self) -> Option<f64> {
        let across = self.n * self.right - self.right * self.right;
        let along = self.n * self.rest_squared - self.rest * self.rest;
        // Rounding leaves a little where there is nothing: this many times the machine's epsilon still counts as
        // nothing.
        let nothing = 1e-12 * self.n * self.rest_squared;
        if across <= 0.0 || along <= nothing {
            return None;
        }
        Some((self.n * self.rest_of_right - self.right * self.rest) / (across.sqrt() * along.sqrt()))
    }
}

/// Sittings of the same questions.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Same {
    /// The check.
    pub name: String,
    /// How many took it.
    pub n: f64,
    /// Sum of their scores.
    pub scores: f64,
    /// Sum of the squares of their scores.
    pub squares: f64,
    /// Right answers to each question, in the order of their ids.
    pub right: Vec<f64>,
}

impl Same {
    /// One sitting: right or not, question by question in the order of their ids.
    pub fn add(&mut self, rights: &[bool]) {
        self.right.resize(rights.len(), 0.0);
        let score = rights.iter().filter(|right| **right).count() as f64;
        self.n += 1.0;
        self.scores += score;
        self.squares += score * score;
        for (sum, right) in self.right.iter_mut().zip(rights) {
            *sum += f64::from(u8::from(*right));
        }
    }

    /// Adds another part.
    pub fn merge(&mut self, other: Same) {
        if self.name.is_empty() {
            self.name = other.name;
        }
        self.right.resize(self.right.len().max(other.right.len()), 0.0);
        self.n += other.n;
        self.scores += other.scores;
        self.squares += other.squares;
        for (sum, more) in self.right.iter_mut().zip(&other.right) {
            *sum += more;
        }
    }

    /// Reliability by Kuder and Richardson's formula 20; `None` for one question, one person, or equal scores.
    ///
    /// `k / (k - 1) * (1 - Σ p q / σ²)`, σ² the variance of the scores over all who took it (Kuder and Richardson 1937,
    /// Psychometrika 2:151–160, from memory); checked against a general-purpose statistics library in `tests/outside`.
    pub fn reliability(&self) -> Option<f64> {
        let k = self.right.len() as f64;
        if k < 2.0 || self.n < 2.0 {
            return None;
        }
        let mean = self.scores / self.n;
        let variance = self.squares / self.n - mean * mean;
        if variance <= 1e-12 * (1.0 + mean * mean) {
            return None;
        }
        let apart: f64 = self.right.iter().map(|right| right / self.n * (1.0 - right / self.n)).sum();
        Some(k / (k - 1.0) * (1.0 - apart / variance))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_in_parts_are_the_sums_of_the_whole() {
        let answers = [(true, 0.9), (false, 0.2), (true, 0.6), (false, 0.7), (true, 0.8)];
        let mut whole = Item::default();
        answers.iter().for_each(|(right, rest)| whole.add(*right, *rest));
        let (mut first, mut second) = (Item::default(), Item::default());
        answers[..2].iter().for_each(|(right, rest)| first.add(*right, *rest));
        answers[2..].iter().for_each(|(right, rest)| second.add(*right, *rest));
        first.merge(&second);
        assert_eq!(whole.difficulty(), first.difficulty());
        let (one, other) = (whole.discrimination().expect("varied"), first.discrimination().expect("varied"));
        assert!((one - other).abs() < 1e-12);
    }

    #[test]
    fn where_nothing_varies_nothing_is_claimed() {
        let mut item = Item::default();
        (0..5).for_each(|_| item.add(true, 0.5));
        assert_eq!(item.discrimination(), None);
        (0..5).for_each(|_| item.add(false, 0.5));
        assert_eq!(item.discrimination(), None, "all did equally well elsewhere");
        let mut same = Same::default();
        same.add(&[true, false]);
        assert_eq!(same.reliability(), None, "one person");
        same.add(&[false, true]);
        assert_eq!(same.reliability(), None, "equal scores");
    }
}
