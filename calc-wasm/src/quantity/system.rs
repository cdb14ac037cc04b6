//! The two unit systems in which the trade works.

/// Which units a page or a terminal shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum System {
    /// US customary, as US labels write.
    #[default]
    Us,
    /// Metric.
    Metric,
}

impl System {
    /// `us` or `metric`.
    pub fn id(self) -> &'static str {
        match self {
            System::Us => "us",
            System::Metric => "metric",
        }
    }

    /// The system with this id.
    pub fn from_id(id: &str) -> Option<System> {
        [System::Us, System::Metric].into_iter().find(|system| system.id() == id)
    }

    /// Both, this one first.
    pub fn and_other(self) -> [System; 2] {
        self.pick([System::Us, System::Metric], [System::Metric, System::Us])
    }

    /// The first in US units, the second in metric.
    pub fn pick<T>(self, us: T, metric: T) -> T {
        match self {
            System::Us => us,
            System::Metric => metric,
        }
    }
}
