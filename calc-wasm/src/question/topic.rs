//! Topics: what a question is about, so that practice can be mixed and a mock exam drawn by its weights.

/// What a question is about. The topics are those of applicator training material; each has a share of a mock exam.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Topic {
    /// Conversions, rates per acre and per 1,000 ft².
    Units,
    /// Area of a site.
    Area,
    /// Pace, swath and overlap.
    Timing,
    /// Catch test, output and uniformity of nozzles.
    Output,
    /// Application rate, per 1,000 ft² or per acre.
    Rate,
    /// Product in a tank, area that a tank treats, part fills.
    Tank,
    /// Pressure, speed and tip; what to change.
    Adjust,
    /// Active ingredient, percentages, fertilizer.
    Active,
    /// Volume of water, droplets.
    Carrier,
    /// What the label says; drift, filling, leftovers.
    Label,
}

impl Topic {
    /// Every topic, in the order in which pages list them.
    pub const ALL: &[Topic] = &[
        Topic::Units,
        Topic::Area,
        Topic::Timing,
        Topic::Output,
        Topic::Rate,
        Topic::Tank,
        Topic::Adjust,
        Topic::Active,
        Topic::Carrier,
        Topic::Label,
    ];

    /// Their words in a question file, in the same order.
    pub const IDS: &[&str] =
        &["units", "area", "timing", "output", "rate", "tank", "adjust", "active", "carrier", "label"];

    /// Its word in a question file.
    pub fn id(self) -> &'static str {
        Topic::IDS[self as usize]
    }

    /// The topic with this word.
    pub fn of(id: &str) -> Option<Topic> {
        Topic::ALL.iter().copied().find(|topic| topic.id() == id)
    }

    /// Its share of a mock exam, in percent: a proposal, as no published weights were found.
    pub fn weight_percent(self) -> u32 {
        match self {
            Topic::Units | Topic::Rate | Topic::Tank => 14,
            Topic::Area | Topic::Timing | Topic::Output => 12,
            Topic::Adjust => 8,
            Topic::Active => 7,
            Topic::Carrier => 4,
            Topic::Label => 3,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_topic_has_its_word_and_the_weights_make_a_whole() {
        assert_eq!(Topic::ALL.len(), Topic::IDS.len());
        for topic in Topic::ALL {
            assert_eq!(Topic::of(topic.id()), Some(*topic));
        }
        assert_eq!(Topic::ALL.iter().map(|topic| topic.weight_percent()).sum::<u32>(), 100);
        assert_eq!(Topic::of("sums"), None);
    }
}
