//! The trainer's desk: training records and paper quizzes marked by the core, and what they say about a crew.

pub mod gather;
pub mod paper;
pub mod questions;
pub mod record;
pub mod roster;
pub mod score;
pub mod sheet;
pub mod standing;
pub mod tally;
