//! The pages that every site has beside its lessons, checks and calculators, each named here and nowhere else.

/// The calibration card.
pub const CARD: &str = "card.html";
/// Mixed practice.
pub const DRILL: &str = "drill.html";
/// The mock exam.
pub const EXAM: &str = "exam.html";
/// Every formula with its source.
pub const FORMULAS: &str = "formulas.html";
/// The trade's words.
pub const GLOSSARY: &str = "glossary.html";
/// The first page.
pub const HOME: &str = "index.html";
/// The log of a day's work.
pub const LOG: &str = "log.html";
/// What a server shows in place of a page that is not there; no lesson leads to it.
pub const NOT_FOUND: &str = "not-found.html";
/// What a learner has done.
pub const PROGRESS: &str = "progress.html";
/// Reading practice.
pub const READING: &str = "reading.html";
/// Practice step by step.
pub const STEPS: &str = "steps.html";
/// Units and constants.
pub const UNITS: &str = "units.html";

/// Those that a lesson may lead to.
pub const ALL: [&str; 11] = [CARD, DRILL, EXAM, FORMULAS, GLOSSARY, HOME, LOG, PROGRESS, READING, STEPS, UNITS];
