//! The trainer's desk: training records and paper quizzes marked by the core, and what they say about a crew.

mod answers;
mod contribution;
mod copies;
pub mod crew;
pub mod files;
pub mod gather;
mod look;
pub mod odd;
mod packed;
pub mod paper;
mod people;
pub mod questions;
pub mod record;
mod refusal;
pub mod roster;
pub mod rows;
pub mod score;
pub mod sheet;
mod sittings;
pub mod standing;
mod store;
pub mod table;
pub mod tally;
mod together;
pub mod unread;
mod wrong;
